"""One drink: its components, how it is made, and its figures while it is typed."""

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Glass, Good, Serve, ServeVersion, Technique
from costing.edits import serves
from costing.ledger.allergens import serve_allergens
from costing.report.allergy_words import allergen_lines
from costing.report.cards import balance_in_glass
from costing.report.cautions import caution, drink_cautions
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import UNKNOWN
from ui.models.table import RowTable
from ui.places.bar.allergens import AllergensOf
from ui.places.bar.components import PartRow, part_columns, part_rows
from ui.places.bar.glass import InGlass
from ui.places.bar.paste import PasteLines
from ui.places.bar.strip import FlowStrip
from ui.whys import CostOfServe, PriceOf
from ui.widgets.acts import acts
from ui.widgets.fields import ChoiceField, TextField
from ui.widgets.listpane import ListPane
from ui.widgets.table import Block

WAIT = 40
"""Milliseconds after the last key before the draft is worked out: a fast hand is not held up."""


class BuildPage(QWidget):
    """The editor of one drink."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.serve = desk, ""
        self._typed: tuple[int, str] | None = None
        self._fields()
        self.parts: RowTable[PartRow] = RowTable(
            part_columns(desk, lambda: self.serve, lambda: desk.document.day), _key, desk, self
        )
        self.list = ListPane(self.parts, say("Components"), None, self)
        self.list.filter.hide()
        self.list.count.hide()
        self.list.table.paste_step = self._paste
        self.list.table.cells.typed.connect(self._typing)
        self.parts.dataChanged.connect(self._settled)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self._draft)
        self.figures = FlowStrip(
            say("Figures of the drink"),
            [
                ("cost", say("Cost")), ("making", say("With making")), ("price", say("Price")),
                ("pour", say("Pour cost")), ("margin", say("Margin")), ("abv", say("ABV")),
                ("volume", say("In the glass")), ("drinks", say("Standard drinks")),
                ("sugar", say("Sugar, acid")), ("lost", say("Spent on losses")),
            ],
            desk,
        )  # fmt: skip
        for key in ("cost", "making", "lost"):
            self.figures[key].explained_by(self._cost)
        for key in ("price", "pour", "margin"):
            self.figures[key].explained_by(self._price)
        for key in ("abv", "volume", "drinks", "sugar"):
            self.figures[key].explained_by(self._glass)
        self.why_allergens = QPushButton(say("Why"), self)
        self.why_allergens.setAccessibleName(say("Why these allergens"))
        self.why_allergens.clicked.connect(self.explain_allergens)
        self.allergens = QLabel(self)
        self.cautions = QLabel(self)
        for label in (self.allergens, self.cautions):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.cautions.setProperty("faint", True)
        inside = QWidget(self)
        layout = QVBoxLayout(inside)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addLayout(self._head)
        layout.addWidget(self.since)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.figures)
        said = QHBoxLayout()
        said.addWidget(self.allergens, 1)
        said.addWidget(self.why_allergens, 0, Qt.AlignmentFlag.AlignTop)
        layout.addLayout(said)
        layout.addWidget(self.cautions)
        self.list.table.setMinimumWidth(1)
        # large letters on a small screen take more than the height there is
        self.list.table.setMinimumHeight(5 * self.list.table.verticalHeader().defaultSectionSize())
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll)
        self._actions()

    def _fields(self) -> None:
        document = self.desk.document
        self.name = TextField(say("Name of the drink"), self)
        self.technique = ChoiceField(say("Technique"), partial(_names, document, Technique), self)
        self.glass = ChoiceField(say("Glass"), partial(_names, document, Glass), self)
        self.seconds = TextField(say("Seconds to build"), self, hint=say("90 s"))
        self.hands = ChoiceField(say("Whose hands"), self._hands, self, hint=say("as the house"))
        self.note = TextField(say("Note"), self)
        self.since = QLabel(self)
        self.since.setProperty("faint", True)
        self.name.committed.connect(partial(self._commit, self.name, serves.rename))
        self.technique.committed.connect(self._set_technique)
        self.glass.committed.connect(self._set_glass)
        self.hands.committed.connect(self._set_hands)
        self.seconds.committed.connect(partial(self._dated, self.seconds, serves.set_seconds))
        self.note.committed.connect(partial(self._dated, self.note, serves.set_note))
        first, second = QFormLayout(), QFormLayout()
        first.addRow(say("Drink"), self.name)
        first.addRow(say("Note"), self.note)
        first.addRow(say("Hands"), self.hands)
        second.addRow(say("Technique"), self.technique)
        second.addRow(say("Glass"), self.glass)
        second.addRow(say("Time"), self.seconds)
        self._head = QHBoxLayout()
        self._head.addLayout(first, 3)
        self._head.addLayout(second, 2)

    def _actions(self) -> None:
        table = self.list.table
        acts(
            table,
            [
                (say("Take the component out"), "Delete", self._remove),
                (say("Component up"), "Ctrl+Up", partial(self._move, -1)),
                (say("Component down"), "Ctrl+Down", partial(self._move, 1)),
            ],
            alone=True,
        )

    # What is shown

    def show_serve(self, serve: str) -> None:
        """Show a drink as it is now."""
        fresh = serve != self.serve
        self.serve = serve
        figures = self.desk.document.figures
        found = figures.view.serves.get(serve)
        self.setEnabled(found is not None)
        if found is None:
            self.parts.set_rows([])
            return
        record, version = found
        if fresh:
            for field in (self.name, self.technique, self.glass, self.seconds, self.hands, self.note):
                field.revert()
        self._show_fields(record, version, figures)
        self.parts.set_rows(part_rows(figures, self.serve, version.build))
        if fresh:
            self.list.table.fit_columns()
            self.list.table.setCurrentIndex(self.parts.index(0, 0))
        self._show_figures(figures)

    def _show_fields(self, record: Serve, version: ServeVersion, figures: Figures) -> None:
        self.name.set_text(record.name)
        technique, glass = figures.view.techniques.get(version.technique), figures.book.get("glass", version.glass)
        self.technique.set_text(technique.name if technique else version.technique)
        self.glass.set_text(str(getattr(glass, "name", "")) or version.glass)
        self.seconds.set_text(version.seconds.text if version.seconds else "")
        self.note.set_text(version.note)
        hands = figures.view.goods.get(version.build.labour)
        self.hands.set_text(hands.name if hands else version.build.labour)
        made = say("as made since {day}", day=self.desk.format.day(version.since))
        if len(record.versions) > 1:
            made = say_many(
                "{made}; {n} version in all", "{made}; {n} versions in all", len(record.versions), made=made
            )
        self.since.setText(made)

    def _show_figures(self, figures: Figures, *, draft: bool = False) -> None:
        form, reckoning, tags = self.desk.format, figures.reckoning, self.figures
        priced = next((p for p in figures.priced if p.serve.id == self.serve), None)
        line = reckoning.serves.get(self.serve)
        note = say("as it is being typed; nothing is written yet") if draft else ""
        if priced is None:
            return
        cost = priced.cost

        def least(text: str) -> str:
            return text if cost.complete else say("at least {figure}", figure=text)

        tags["cost"].show_figure(least(form.money(priced.base)), note=note, money=True)
        tags["making"].show_figure(least(form.money(cost.making)), note=note)
        price = priced.price
        tags["price"].show_figure(form.money(price.all_in if price else None), note=note)
        tags["pour"].show_figure(form.percent(price.pour_cost if price else None), note=note)
        tags["margin"].show_figure(form.money(price.margin if price else None), note=note)
        lost = reckoning.lost_money(line.carried) if line is not None else None
        tags["lost"].show_figure(form.money(lost), note=say("part of the cost, never added to it"))
        glass = balance_in_glass(reckoning, self.serve)
        tags["abv"].show_figure(form.strength(glass.abv if glass else None), note=note)
        tags["volume"].show_figure(form.amount(glass.litres if glass else None, "l"), note=note)
        drinks = glass.drinks if glass else None
        tags["drinks"].show_figure(form.number(drinks, 1) if drinks is not None else UNKNOWN, note=note)
        balance = (
            say("{sugar} and {acid} g/l", sugar=form.number(glass.sugar_g_l, 0), acid=form.number(glass.acid_g_l, 1))
            if glass
            else UNKNOWN
        )
        tags["sugar"].show_figure(balance, note=note)
        self._show_words(figures)

    def _show_words(self, figures: Figures) -> None:
        reckoning = figures.reckoning
        lines = allergen_lines(serve_allergens(reckoning, self.serve))
        said = [say("{state}: {names}.", state=state, names=names) if names else f"{state}." for state, names in lines]
        self.allergens.setText(" ".join(said) or say("Allergens: the house has no list of them yet."))
        house = figures.book.house
        permit, until = (house.permit, house.permit_until) if house else ("", None)
        codes = drink_cautions(reckoning, self.serve)
        self.cautions.setText(" ".join(caution(code, permit, until, figures.day) for code in codes))

    def explain_allergens(self) -> None:
        """Where each allergen comes from, in the why pane."""
        if self.serve:
            self.desk.explain(AllergensOf(self.serve))

    def _cost(self) -> object:
        return CostOfServe(self.serve)

    def _glass(self) -> object:
        return InGlass(self.serve)

    def _price(self) -> object:
        found = next((p for p in self.desk.document.priced if p.serve.id == self.serve), None)
        return PriceOf(self.serve, found.menu if found else "", found.section if found else "")

    # While it is typed

    def _typing(self, key: str, column: int, text: str) -> None:
        if column == 0:
            self._typed = int(key), text
            self._timer.start()

    def _draft(self) -> None:
        """The figures as they would be with the text that is being typed, where it can be read."""
        if self._typed is None:
            return
        at, text = self._typed
        document = self.desk.document
        try:
            step = serves.set_line(document.book, self.serve, document.day, at, text)
            figures = document.draft(step)
        except KNOWN:
            return  # half a line says nothing yet
        self._show_figures(figures, draft=True)

    def _settled(self, *_: object) -> None:
        self._typed = None

    # Edits

    def _commit(self, field: TextField, edit: Callable[[Book, str, str], Step | None], text: str) -> None:
        self._into(field, lambda: edit(self.desk.document.book, self.serve, text))

    def _dated(self, field: TextField, edit: Callable[[Book, str, date, str], Step | None], text: str) -> None:
        document = self.desk.document
        self._into(field, lambda: edit(document.book, self.serve, document.day, text))

    def _into(self, field: TextField, work: Callable[[], Step | None]) -> None:
        """Run an edit; what cannot be stays in its field, marked."""
        try:
            step = work()
        except KNOWN as error:
            field.refuse(refusal_of(error))
            self.desk.tell(refusal_of(error).text)
            return
        if not self.desk.do(step) and self.desk.refusal is not None:
            field.refuse(self.desk.refusal)

    def _set_technique(self, text: str) -> None:
        document = self.desk.document
        known = {t.name: t.id for t in document.book.all(Technique).values()}
        self._into(self.technique, lambda: serves.set_technique(
            document.book, self.serve, document.day, _one_of(text, known, say("technique"))))  # fmt: skip

    def _set_glass(self, text: str) -> None:
        document = self.desk.document
        known = {g.name: g.id for g in document.book.all(Glass).values()}
        self._into(self.glass, lambda: serves.set_glass(
            document.book, self.serve, document.day, _one_of(text, known, say("glass"))))  # fmt: skip

    def _hands(self) -> list[str]:
        return sorted(g.name for g in self.desk.document.book.all(Good).values() if g.kind == "labour")

    def _set_hands(self, text: str) -> None:
        document = self.desk.document
        known = {g.name: g.id for g in document.book.all(Good).values() if g.kind == "labour"}
        self._into(self.hands, lambda: serves.set_labour(
            document.book, self.serve, document.day, _one_of(text, known, say("hour of hands"))))  # fmt: skip

    def _at(self) -> int:
        return self.list.table.currentIndex().row()

    def _remove(self) -> None:
        document, at = self.desk.document, self._at()
        if at < len(self.parts.rows()) - 1:
            self.desk.attempt(lambda: serves.remove_line(document.book, self.serve, document.day, at))

    def _move(self, by: int) -> None:
        document, at = self.desk.document, self._at()
        if (
            0 <= at + by < len(self.parts.rows()) - 1
            and at < len(self.parts.rows()) - 1
            and self.desk.attempt(lambda: serves.move_line(document.book, self.serve, document.day, at, by))
        ):
            self.list.table.setCurrentIndex(self.parts.index(at + by, 0))

    def _paste(self, book: Book, block: Block, row: int, column: int) -> Step | None:
        """A whole recipe into the components: as one step where every line is decided and none is in doubt, and looked
        at first where one is."""
        text = "\n".join(" ".join(cell.strip() for cell in line if cell.strip()) for line in block)
        at = row if row >= 0 else len(self.parts.rows()) - 1
        step, found = serves.paste_lines(book, self.serve, self.desk.document.day, at, text)
        if step is not None and not found.undecided and not any(item.note for item in found.adds):
            return step
        dialog = PasteLines(self.desk, self.serve, at, text, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()
        return None


def _key(row: PartRow) -> str:
    return str(row.at)


def _names(document: object, cls: type) -> list[str]:
    return sorted(record.name for record in document.book.all(cls).values())  # type: ignore[attr-defined]


def _one_of(text: str, known: dict[str, str], what: str) -> str:
    """The id of a thing by its name in any case; "" for none. Refusal where there is none of that name."""
    if not text.strip():
        return ""
    found = [ident for name, ident in known.items() if name.casefold() == text.strip().casefold()]
    if len(found) == 1:
        return found[0]
    raise Refusal(
        say("There is no {what} called “{text}”.", what=what, text=text),
        "",
        say("Alt+Down lists what there is: {names}.", names=", ".join(sorted(known)) or say("nothing yet")),
    )
