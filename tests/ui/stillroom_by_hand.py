"""What tests of the stillroom share: the place on the sample, and a hand that types into its lines."""

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import QAbstractItemView, QLineEdit
from pytestqt.qtbot import QtBot

from costing.book.records import Preparation
from costing.edits import house
from ui.desk import Desk, Where
from ui.places.stillroom import StillroomPlace
from ui.places.stillroom.lines import StageLine

RUM = "pineapple-distillate"
Keys = Qt.Key


@contextmanager
def stillroom_on(desk: Desk) -> Iterator[StillroomPlace]:
    """The stillroom on the sample, which works under a permit, with the distillate open."""
    assert desk.do(house.set_permit(desk.document.book, "Harbour office 12", None))
    place = StillroomPlace(desk)
    place.resize(1100, 700)
    place.show()
    assert place.show_item(Where("preparation", RUM))
    yield place
    place.close()
    place.deleteLater()  # at once, or every test after it dresses all that were shown before
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def line(place: StillroomPlace, key: str) -> StageLine:
    """A line of the stages of the preparation that is shown, by its key in it."""
    at = position(place, key)
    assert at is not None, key
    return place.stages.model.row(at)


def position(place: StillroomPlace, key: str) -> int | None:
    """Where a line of the preparation that is shown stands."""
    return place.stages.model.position(f"{place.current}/{key}")


def come_to(place: StillroomPlace, key: str, column: int = 1) -> None:
    """Come to a line, as the arrow keys do."""
    place.stages.table.setFocus()
    assert place.stages.table.choose(f"{place.current}/{key}", column), key


def editor_of(place: StillroomPlace, qtbot: QtBot) -> QLineEdit:
    """Begin to type into the cell that is come to."""
    table = place.stages.table
    qtbot.keyClick(table, Keys.Key_F2)
    found = [e for e in table.viewport().findChildren(QLineEdit) if e.isVisible()]
    assert found
    found[-1].selectAll()
    return found[-1]


def typed(qtbot: QtBot, place: StillroomPlace, text: str) -> None:
    """Type over the cell that is come to, and Enter."""
    editor = editor_of(place, qtbot)
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Keys.Key_Return)
    editing = QAbstractItemView.State.EditingState
    qtbot.waitUntil(lambda: place.stages.table.state() != editing)


def made(place: StillroomPlace, ident: str = RUM) -> Preparation:
    """The preparation as the book has it."""
    return place.desk.document.book.all(Preparation)[ident]
