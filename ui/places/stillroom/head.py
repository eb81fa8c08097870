"""What a preparation is called and how it is kept, as fields; and its figures of the day."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QScrollArea, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.book.records import Preparation, Version
from costing.edits import preparations
from costing.report.cautions import caution, cautions_for, vapour_line
from costing.report.phrases import unit_word
from costing.tongue import Words, say, say_many, word
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN, refusal_of
from ui.format import UNKNOWN
from ui.places.kept import Waiting
from ui.places.stillroom.tree import kept_share
from ui.places.stillroom.why import Carried, LossAt
from ui.whys import UnitCost
from ui.widgets.fields import ChoiceField, TextField
from ui.widgets.figure import FigureStrip

CAUTION_WORDS: Words = {
    "distil": "distilling needs a licence",
    "vapour": "warm spirit vapour burns",
    "vacuum": "glass under vacuum",
    "pressure": "gas under pressure",
    "ferment": "fermenting may need a licence",
    "steep": "infusing may be restricted",
    "allergens": "allergens by label",
    "shelf": "the house says how long it keeps",
    "service": "serve with care",
}
"""Cautions in a few words; the whole sentences open under them."""


SEEN = 8
"""Lines of opened cautions that are seen at once."""


class Head(QWidget):
    """Name, unit, days, pieces, density and note of one preparation."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self.name = TextField(say("Name of the preparation"), self)
        self.base = ChoiceField(say("Unit it is costed in"), _bases, self)
        self.shelf = TextField(say("Days it keeps"), self, hint=say("not said"))
        self.pieces = TextField(say("Pieces a batch gives"), self)
        self.density = TextField(say("Density, measured"), self, hint=say("1.03 kg/l"))
        self.note = TextField(say("Note"), self)
        self.since = QLabel()
        self.since.setContentsMargins(0, 0, 8, 0)
        self.since.setProperty("faint", True)
        self.fields = (self.name, self.base, self.shelf, self.pieces, self.density, self.note)
        self._waiting = Waiting(self.fields)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(3)
        self._labels: dict[TextField, QLabel] = {}
        for field, title, row, column, across in (
            (self.name, say("Name"), 0, 0, 1), (self.base, say("Unit"), 0, 2, 1),
            (self.shelf, say("Keeps, days"), 0, 4, 1),
            (self.note, say("Note"), 1, 0, 3), (self.pieces, say("Pieces"), 1, 4, 1),
            (self.density, say("Density"), 1, 4, 1),
        ):  # fmt: skip
            self._labels[field] = label = QLabel(title, self)
            label.setBuddy(field)
            grid.addWidget(label, row, column)
            grid.addWidget(field, row, column + 1, 1, across)
            field.setMinimumWidth(self.fontMetrics().horizontalAdvance("00000"))
            field.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        for column, stretch in ((1, 7), (3, 1), (5, 2)):
            grid.setColumnStretch(column, stretch)
        self.name.committed.connect(partial(self._take, self.name, self._rename))
        self.base.committed.connect(partial(self._take, self.base, self._base))
        self.shelf.committed.connect(partial(self._take, self.shelf, self._shelf))
        self.pieces.committed.connect(partial(self._take, self.pieces, self._pieces))
        self.density.committed.connect(partial(self._take, self.density, self._density))
        self.note.committed.connect(partial(self._take, self.note, self._note))

    def show_preparation(self, made: Preparation, version: Version) -> None:
        """Show one as it is made on the day."""
        fresh = made.id != self.preparation
        if fresh:
            self._waiting.hold(self.preparation)
        self.preparation = made.id
        self.name.set_text(made.name)
        self.base.set_text(made.base)
        self.shelf.set_text(str(made.shelf_days) if made.shelf_days is not None else "")
        self.pieces.set_text(version.pieces.text if version.pieces else "")
        self.density.set_text(version.density.text if version.density else "")
        self.note.set_text(version.note)
        for field in (self.name, self.note):
            if not field.hasFocus():
                field.setCursorPosition(0)  # its beginning, not its end, says what it is
        if fresh:
            self._waiting.give_back(made.id)
        counted = made.base == "each" or version.pieces is not None
        for field, seen in ((self.pieces, counted), (self.density, not counted)):
            field.setVisible(seen)
            self._labels[field].setVisible(seen)
        said = say("as made since {day}", day=self.desk.format.day(version.since))
        if len(made.versions) > 1:
            said = say_many("{made}; {n} version", "{made}; {n} versions", len(made.versions), made=said)
        self.since.setText(said)
        self.since.setMinimumWidth(self.since.sizeHint().width())
        self.note.setToolTip(said)

    def clear(self) -> None:
        """Show none. What was typed waits for its preparation."""
        self._waiting.hold(self.preparation)
        self.preparation = ""
        for field in self.fields:
            field.set_text("")
        self.since.setText("")

    def _take(self, field: TextField, edit: Callable[[str], Step | None], text: str) -> None:
        """Run an edit; what cannot be stays in its field, marked, and is said."""
        try:
            step = edit(text)
        except KNOWN as error:
            field.refuse(refusal_of(error))
            self.desk.refuse(refusal_of(error))
            return
        if not self.desk.do(step) and self.desk.refusal is not None:
            field.refuse(self.desk.refusal)

    def _rename(self, text: str) -> Step | None:
        return preparations.rename(self.desk.document.book, self.preparation, text)

    def _base(self, text: str) -> Step | None:
        return preparations.set_base(self.desk.document.book, self.preparation, text)

    def _shelf(self, text: str) -> Step | None:
        return preparations.set_shelf(self.desk.document.book, self.preparation, text)

    def _pieces(self, text: str) -> Step | None:
        return preparations.set_pieces(self.desk.document.book, self.preparation, self.desk.document.day, text)

    def _density(self, text: str) -> Step | None:
        return preparations.set_density(self.desk.document.book, self.preparation, self.desk.document.day, text)

    def _note(self, text: str) -> Step | None:
        return preparations.set_note(self.desk.document.book, self.preparation, self.desk.document.day, text)


def _bases() -> list[str]:
    return list(preparations.BASES)


class Figured(FigureStrip):
    """What a batch makes, its strength and its cost."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            say("Figures of the preparation"),
            [
                ("made", say("A batch makes")), ("abv", say("Strength")), ("cost", say("Materials")),
                ("making", say("With making")), ("lost", say("Spent on losses")), ("assumed", say("Rests on assumed")),
            ],
            desk,
            across=6,
        )  # fmt: skip
        self.desk, self.preparation, self._across = desk, "", 6
        for key in ("cost", "making", "assumed"):
            self[key].explained_by(self._cost)
        self["lost"].explained_by(self._lost)
        self["made"].explained_by(self._carried)

    def minimumSizeHint(self) -> QSize:
        """Three side by side is the least."""
        wide = max(tag.minimumWidth() for tag in self.tags.values())
        return QSize(3 * wide + 4, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """All six side by side where there is room, else in two rows."""
        super().resizeEvent(event)
        grid = self.layout()
        needed = sum(tag.minimumWidth() + 2 for tag in self.tags.values())
        across = 6 if self.width() >= needed else 3
        if across != self._across and isinstance(grid, QGridLayout):
            self._across = across
            for n, tag in enumerate(self.tags.values()):
                grid.addWidget(tag, n // across, n % across)
            for column in range(6):
                grid.setColumnStretch(column, 1 if column < across else 0)

    def _cost(self) -> object:
        return UnitCost(self.preparation)

    def _last(self) -> str:
        ledger = self.desk.document.reckoning.ledgers.get(self.preparation)
        return ledger.lines[-1].stage if ledger is not None and ledger.lines else ""

    def _lost(self) -> object:
        return LossAt(self.preparation, self._last())

    def _carried(self) -> object:
        return Carried(self.preparation, self._last())

    def show_preparation(self, figures: Figures, ident: str, *, draft: bool = False) -> None:
        """Show its figures; ``draft`` where nothing of it is written yet."""
        self.preparation = ident
        form, reckoning = self.desk.format, figures.reckoning
        note = say("as it is being typed; nothing is written yet") if draft else ""
        ledger = reckoning.ledgers.get(ident)
        output = ledger.outputs.get(ident) if ledger else None
        cost = reckoning.costs.get(ident)
        if output is None or ledger is None or cost is None:
            why = say("a stage cannot be worked out; the reason stands under it")
            for tag in self.tags.values():
                tag.show_figure(UNKNOWN, note=why)
            return
        base, direct = output.unit.base, reckoning.direct[ident]

        def each(value: float) -> str:
            return form.least(form.unit_money(value, base), cost.complete)

        self["made"].show_figure(form.amount(output.made, base), note=note)
        try:
            abv = ledger.lines[-1].on.matter.abv
        except ValueError:
            abv = None
        self["abv"].show_figure(form.strength(abv), note=note)
        self["cost"].show_figure(each(cost.materials), note=note, money=True)
        self["making"].show_figure(each(cost.making), note=note)
        lost = form.unit_money(reckoning.lost_money(direct), base)
        share = kept_share(figures, ident)
        kept = say("{share} of what counts reaches the end", share=form.percent(share))
        self["lost"].show_figure(lost, note=say("per {base}, inside the cost; {kept}", base=unit_word(base), kept=kept))
        self["assumed"].show_figure(form.percent(reckoning.assumed_share(direct), 0), note=note)


class Cautions(QWidget):
    """The cautions a preparation calls for, as one line; the whole sentences open under it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self._short = desk, ""
        self.line = QToolButton(self)
        self.line.setCheckable(True)
        self.line.setAutoRaise(True)
        self.line.toggled.connect(self._open)
        self.line.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.text = QLabel(self)
        self.text.setWordWrap(True)
        self.room = QScrollArea(self)
        self.room.setWidgetResizable(True)
        self.room.setFrameShape(QScrollArea.Shape.NoFrame)
        self.room.setWidget(self.text)
        self.room.setAccessibleName(say("What the cautions say"))
        self.room.setFixedHeight(self.fontMetrics().lineSpacing() * SEEN)
        self.room.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.line)
        layout.addWidget(self.room)

    def show_preparation(self, figures: Figures, ident: str) -> None:
        """What this one calls for."""
        codes = cautions_for(figures.reckoning, ident) if ident in figures.view.preparations else ()
        house = figures.book.house
        permit, until = (house.permit, house.permit_until) if house else ("", None)
        short = " · ".join(word(CAUTION_WORDS, code) for code in codes)
        said = [caution(code, permit, until, figures.day) for code in codes]
        warm = vapour_line(figures.reckoning, ident) if codes else ""
        self.text.setText("\n".join([*said, *([warm] if warm else [])]))
        self._short = say("Cautions: {cautions}", cautions=short)
        self.line.setAccessibleName(self._short)
        self._fit()
        self.line.setToolTip(say("Opens what each of them says."))
        self.setVisible(bool(codes))

    def _fit(self) -> None:
        room = max(40, self.width() - 36)  # the button's own edges and padding, and what a bold letter takes more
        self.line.setText(self.line.fontMetrics().elidedText(self._short, Qt.TextElideMode.ElideRight, room))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As much of the line as there is room for."""
        super().resizeEvent(event)
        self._fit()

    def _open(self, opened: bool) -> None:
        self.room.setVisible(opened)
