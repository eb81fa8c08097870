"""The picture in the window: drawn for the room there is, worked by keyboard, told in words and in a table."""

from collections.abc import Sequence

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication, QImage, QWheelEvent
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from costing.report.figures.shapes import Box, Figure, Measure, label
from costing.tongue import PSEUDO_RTL
from tests.ui.colour_maths import contrast
from ui.app import dress
from ui.theme import NAMES, role_colour, theme_named
from ui.theme.roles import ThemeName
from ui.widgets.figures_table import FiguresTable, Texts, as_text
from ui.widgets.picture import PictureView, Region

ROWS = 8
TABLE = [["Price", "Cost"], ["12.00", "2.40"], ["13.00", "2.40"]]


def _build(wide: float, tall: float, measure: Measure) -> Figure:
    shapes = tuple(
        shape
        for n in range(ROWS)
        for shape in (
            Box(x=60.0, y=n * 16.0 + 2, wide=wide - 60.0, tall=12.0, fill="money"),
            label(2.0, n * 16.0 + 11, f"{12 + n}.00", measure),
        )
    )
    return Figure(wide=wide, tall=ROWS * 16.0, shapes=shapes, said="Target met from 14.00.")


def _find(figure: Figure) -> Sequence[Region]:
    return [Region((0.0, n * 16.0, figure.wide, n * 16.0 + 16.0), f"{12 + n}", f"{12 + n}.00 met") for n in range(ROWS)]


def _nothing(wide: float, tall: float, measure: Measure) -> Figure | None:
    return None


@pytest.fixture
def view(qtbot: QtBot) -> PictureView:
    """A picture of eight rows that can be picked, in room enough."""
    view = PictureView("Price steps", _build, least=200.0)
    view.set_regions(_find)
    view.set_table(lambda: TABLE)
    qtbot.addWidget(view)
    view.resize(480, 300)
    view.show()
    qtbot.waitExposed(view)
    view.refresh()
    return view


def _spot(view: PictureView, region: int) -> QPoint:
    left, top, _, bottom = (v * view.factor for v in view.regions[region].bounds)
    return QPoint(int(left) + 20, int((top + bottom) / 2) - view.verticalScrollBar().value())


def test_it_is_named_and_told(view: PictureView) -> None:
    assert view.accessibleName() == "Price steps"
    assert view.accessibleDescription() == "Target met from 14.00."


def test_it_is_built_for_the_room_there_is(view: PictureView) -> None:
    assert view.figure is not None
    assert view.figure.wide * view.factor == pytest.approx(480, abs=1)
    view.resize(700, 300)
    assert view.figure.wide * view.factor == pytest.approx(700, abs=1)


def test_letters_are_as_large_as_those_of_the_window(view: PictureView) -> None:
    assert 7.5 * view.factor == pytest.approx(view.fontInfo().pixelSize())
    font = view.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    view.setFont(font)
    assert 7.5 * view.factor >= 0.66 * view.fontInfo().pixelSize() - 0.01


def test_a_little_too_little_room_makes_it_smaller(view: PictureView) -> None:
    view.resize(270, 300)
    assert 0.66 <= view.factor / view.scale < 1.0
    assert view.horizontalScrollBar().maximum() == 0


def test_too_little_room_is_scrolled_and_not_made_unreadable(view: PictureView) -> None:
    view.resize(210, 120)
    assert 7.5 * view.factor == pytest.approx(0.8 * view.fontInfo().pixelSize())
    assert not view._more.geometry().intersects(view.viewport().geometry())
    assert view._more.geometry().bottom() < view.horizontalScrollBar().mapTo(view, QPoint(0, 0)).y()
    assert view.horizontalScrollBar().maximum() > 0
    assert view.verticalScrollBar().maximum() > 0
    view.resize(480, 300)
    assert view.horizontalScrollBar().maximum() == 0
    assert view.verticalScrollBar().maximum() == 0


def test_a_little_too_little_height_makes_it_smaller(view: PictureView) -> None:
    assert view.figure is not None
    whole = view.figure.tall * view.scale
    strip = view.height() - view.viewport().height()
    view.resize(480, int(whole * 0.8) + strip)
    assert view.factor == pytest.approx(0.8 * view.scale, rel=0.02)
    assert view.figure.wide * view.factor == pytest.approx(480, abs=2)
    assert view.verticalScrollBar().maximum() == 0


def test_keys_make_it_larger_smaller_and_as_it_was(view: PictureView, qtbot: QtBot) -> None:
    view.setFocus()
    first = view.factor
    qtbot.keyClick(view, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert view.factor == pytest.approx(first * 1.2)
    qtbot.keyClick(view, Qt.Key.Key_Minus, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(view, Qt.Key.Key_Minus, Qt.KeyboardModifier.ControlModifier)
    assert view.factor == pytest.approx(first / 1.2)
    qtbot.keyClick(view, Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    assert view.factor == pytest.approx(first)
    for _ in range(30):
        view.larger()
    assert view.factor <= first * 4.01


def test_arrows_go_from_part_to_part_and_enter_picks(view: PictureView, qtbot: QtBot) -> None:
    with qtbot.waitSignals([view.came_to] * 3):
        for _ in range(3):
            qtbot.keyClick(view, Qt.Key.Key_Down)
    assert view.chosen() == "14"
    assert view.accessibleDescription() == "14.00 met"
    qtbot.keyClick(view, Qt.Key.Key_Up)
    with qtbot.waitSignal(view.picked) as picked:
        qtbot.keyClick(view, Qt.Key.Key_Return)
    assert picked.args == ["13"]
    qtbot.keyClick(view, Qt.Key.Key_End)
    qtbot.keyClick(view, Qt.Key.Key_Down)
    assert view.chosen() == "19"
    qtbot.keyClick(view, Qt.Key.Key_Home)
    assert view.chosen() == "12"


def test_what_is_come_to_is_brought_into_sight(view: PictureView, qtbot: QtBot) -> None:
    view.resize(480, 120)
    qtbot.keyClick(view, Qt.Key.Key_End)
    _, top, _, bottom = (v * view.factor for v in view.regions[-1].bounds)
    shown = view.verticalScrollBar().value(), view.verticalScrollBar().value() + view.viewport().height()
    assert shown[0] <= top
    assert bottom <= shown[1] + 1


def test_a_click_comes_to_a_part_and_another_picks_it(view: PictureView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.came_to) as came:
        qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=_spot(view, 5))
    assert came.args == ["17"]
    with qtbot.waitSignal(view.picked) as picked:
        qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=_spot(view, 5))
    assert picked.args == ["17"]
    with qtbot.assertNotEmitted(view.picked):
        qtbot.mouseClick(view.viewport(), Qt.MouseButton.RightButton, pos=_spot(view, 5))


def test_a_part_stays_chosen_when_the_picture_is_drawn_anew(view: PictureView) -> None:
    view.choose("15")
    view.refresh()
    assert view.chosen() == "15"
    view.choose("none of them")
    assert view.chosen() == ""
    assert view.accessibleDescription() == "Target met from 14.00."


def test_its_figures_are_copied(view: PictureView, qtbot: QtBot) -> None:
    qtbot.keyClick(view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert QGuiApplication.clipboard().text() == "Price\tCost\n12.00\t2.40\n13.00\t2.40"


def test_it_is_copied_whole_and_sharp(view: PictureView, qtbot: QtBot) -> None:
    view.resize(480, 120)
    qtbot.keyClick(view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    image = QGuiApplication.clipboard().image()
    assert view.figure is not None
    assert image.height() == pytest.approx(2 * view.figure.tall * view.factor, abs=3)
    colours = {image.pixelColor(image.width() - 40, y).name().upper() for y in range(image.height())}
    assert theme_named("light").figure["money"] in colours


def test_its_figures_are_a_table_too(view: PictureView, qtbot: QtBot) -> None:
    qtbot.keyClick(view, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    dialog = next(w for w in QApplication.topLevelWidgets() if isinstance(w, FiguresTable))
    assert dialog.windowTitle() == "Price steps"
    assert dialog.table.accessibleName() == "Price steps"
    assert dialog.model.rowCount() == 2
    QGuiApplication.clipboard().clear()
    dialog.copy()
    assert QGuiApplication.clipboard().text() == as_text(TABLE)
    with qtbot.waitSignal(dialog.destroyed):
        qtbot.keyClick(dialog, Qt.Key.Key_Escape)


def test_the_table_is_a_sound_model(qtbot: QtBot) -> None:
    for rows in ([], TABLE[:1], TABLE, [["a", "b"], ["1"]]):
        model = Texts(rows)
        QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
        assert [model.rowCount(), model.columnCount()] == [max(0, len(rows) - 1), len(rows[0]) if rows else 0]


def test_the_button_below_says_all_that_can_be_done(view: PictureView) -> None:
    texts = [action.text() for action in view.actions()]
    assert len(texts) == 6
    assert all(not action.shortcut().isEmpty() for action in view.actions())
    assert [action.text() for action in view._more.menu().actions()] == texts
    assert view._more.height() >= 24
    assert view._more.accessibleName()
    assert not view._more.geometry().intersects(view.viewport().geometry())


def test_nothing_to_draw_is_said(qtbot: QtBot) -> None:
    view = PictureView("Stream", _nothing)
    qtbot.addWidget(view)
    view.resize(300, 200)
    view.refresh()
    assert view.figure is None
    assert view.accessibleDescription()
    view.image()
    view.copy_table()
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Home):
        qtbot.keyClick(view, key)
    assert view.chosen() == ""


def test_a_wheel_that_moves_nothing_is_left_to_what_holds_the_picture(view: PictureView) -> None:
    def turned(keys: Qt.KeyboardModifier) -> bool:
        event = QWheelEvent(
            view.rect().center().toPointF(), view.rect().center().toPointF(), QPoint(0, 0), QPoint(0, 120),
            Qt.MouseButton.NoButton, keys, Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        view.wheelEvent(event)
        return event.isAccepted()

    first = view.factor
    assert not turned(Qt.KeyboardModifier.NoModifier)
    assert turned(Qt.KeyboardModifier.ControlModifier)
    assert view.factor > first


@pytest.mark.parametrize("name", NAMES)
def test_focus_is_seen(name: ThemeName, view: PictureView, qapp: QApplication, qtbot: QtBot) -> None:
    dress(qapp, theme=name)
    view.choose("")
    before = view.grab().toImage()
    view.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(view.hasFocus)
    after = view.grab().toImage()
    assert before.pixelColor(1, 60) == role_colour("base")
    assert contrast(after.pixelColor(1, 60).name(), before.pixelColor(1, 60).name()) >= 3.0


@pytest.mark.parametrize("name", NAMES)
def test_it_wears_the_theme(name: ThemeName, view: PictureView, qapp: QApplication) -> None:
    dress(qapp, theme=name)
    image = view.grab().toImage()
    assert image.pixelColor(470, 20).name().upper() == theme_named(name).figure["money"]
    assert image.pixelColor(3, 250).name().upper() == theme_named(name).ui["base"]


def test_it_is_not_mirrored_from_right_to_left(view: PictureView, qapp: QApplication) -> None:
    dress(qapp)
    before = view.viewport().grab().toImage()
    dress(qapp, language=PSEUDO_RTL)
    assert view.layoutDirection() == Qt.LayoutDirection.RightToLeft
    assert view.viewport().grab().toImage() == before
    assert view._more.x() == 0


def test_it_is_crisp_at_twice_the_pixels(view: PictureView) -> None:
    one, two = view.image(1.0), view.image(2.0)
    assert two.size() == one.size() * 2
    assert two.devicePixelRatio() == 2.0
    blown = one.convertToFormat(QImage.Format.Format_RGB32).scaled(two.size())
    differing = sum(
        blown.pixelColor(x, y) != two.pixelColor(x, y) for x in range(0, 100) for y in range(0, two.height(), 3)
    )
    assert differing > 100
