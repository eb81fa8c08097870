"""Where a preparation is used, and the allergens that it brings there."""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.edits import preparations
from costing.edits.base import uses_of
from costing.ledger.allergens import WORST, Finding, Reason, allergens_of
from costing.report.words import allergen_name, allergen_word
from costing.tongue import capital, say
from ui.desk import Desk, Where
from ui.document import Figures
from ui.format import own
from ui.models.table import Column, RowTable
from ui.whys import CostOfServe, UnitCost
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


@dataclass(frozen=True, slots=True)
class UseRow:
    """One recipe or log that names the preparation or a by-product of it."""

    kind: str
    id: str
    name: str
    what: str
    amount: float | None
    base: str
    money: float | None


@dataclass(frozen=True, slots=True)
class AllergenRow:
    """One allergen of the house's list."""

    preparation: str
    finding: Finding
    by: str
    exempt: str


def use_rows(figures: Figures, ident: str) -> Iterator[UseRow]:
    """Everything that uses it, with how much of it and its money, in one drink or one batch of the user."""
    reckoning = figures.reckoning
    for use in uses_of(figures.book, "preparation", ident):
        lines = reckoning.ledgers[use.id].lines if use.kind == "preparation" and use.id in reckoning.ledgers else ()
        row = lines[-1].carried.row if lines else {}
        if use.kind == "serve" and use.id in reckoning.serves:
            row = reckoning.serves[use.id].carried.row
        taken = {s: a for s, a in row.items() if s.partition("/")[0] == ident}
        if not taken:
            name = use.name if use.kind != "batch" else say("batch {id}", id=use.name)
            yield UseRow(use.kind, use.id, name, "", None, "", None)
        for source, amount in taken.items():
            unit = reckoning.units.get(source)
            yield UseRow(
                use.kind, use.id, use.name, figures.names.get(source, source), amount, unit.base if unit else "",
                reckoning.money({source: amount}).making,
            )  # fmt: skip


def allergen_rows(figures: Figures, ident: str) -> Iterator[AllergenRow]:
    """Every allergen of the list, from what must be said first to what need not be."""
    made = figures.view.preparations[ident][0]
    for finding in sorted(allergens_of(figures.reckoning, ident), key=lambda f: WORST.index(f.state)):
        names = (finding.name.casefold(), finding.says.casefold())
        by = next((e for e in made.exemptions if e.name.casefold() in names), None)
        exempt = say("{who}: {why}", who=by.who, why=by.label) if by else ""
        yield AllergenRow(
            ident, finding, ", ".join(dict.fromkeys(_sources(figures, finding.reasons, finding.state))), exempt
        )


def _sources(figures: Figures, reasons: tuple[Reason, ...], state: str) -> Iterator[str]:
    for reason in reasons:
        if reason.state == state and state != "free":
            kind, _, ident = reason.source.partition("/")
            machine = figures.view.equipment.get(ident) if kind == "equipment" else None
            yield machine.name if machine else figures.names.get(reason.source, reason.source)


class UsesPage(QWidget):
    """Where it is used, and its allergens."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self.uses: RowTable[UseRow] = RowTable(self._use_columns(), _use_key, desk, self)
        self.list = ListPane(
            self.uses, say("Where it is used"), EmptyPlace(say("Nothing is made of it yet. Type it into a drink or "
                                                               "another preparation, and it stands here.")), self,
        )  # fmt: skip
        self.allergens: RowTable[AllergenRow] = RowTable(self._allergen_columns(), _allergen_key, desk, self)
        self.allergen_list = ListPane(
            self.allergens, say("Allergens"),
            EmptyPlace(say("The house has no list of allergens yet: choose one in the settings of the house.")), self,
        )  # fmt: skip
        title = QLabel(say("Allergens in it. One goes away only by a named person with a reason: “who: why”."), self)
        title.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2, 2, 2, 2)
        layout.addWidget(self.list, 1)
        layout.addWidget(title)
        layout.addWidget(self.allergen_list, 1)
        self.list.table.opened.connect(self._go)
        for pane in (self.list, self.allergen_list):
            pane.table.explained.connect(desk.explain)

    def _use_columns(self) -> list[Column[UseRow]]:
        form = self.desk.format
        kinds = {"serve": say("drink"), "preparation": say("preparation"), "batch": say("log of a batch")}

        def why(row: UseRow) -> object | None:
            return CostOfServe(row.id) if row.kind == "serve" else UnitCost(row.id) if row.kind != "batch" else None

        def amount(row: UseRow) -> str:
            return form.amount(row.amount, row.base) if row.amount is not None else say("not on this day")

        return [
            Column[UseRow]("kind", say("Is a"), lambda r: kinds.get(r.kind, r.kind)),
            Column[UseRow]("name", say("Used by"), lambda r: r.name, why=why,
                           tip=lambda r: say("Enter goes there.")),
            Column[UseRow]("what", say("Takes"), lambda r: own(r.what) if r.what else ""),
            Column[UseRow]("amount", say("How much"), amount, True, lambda r: r.amount,
                           about=say("In one drink, or in one batch of what uses it")),
            Column[UseRow]("money", say("Money"), lambda r: form.money(r.money) if r.money is not None else "", True,
                           lambda r: r.money, why=why),
        ]  # fmt: skip

    def _allergen_columns(self) -> list[Column[AllergenRow]]:
        def exempt(book: Book, row: AllergenRow, text: str) -> Step | None:
            if text.strip() == row.exempt:
                return None
            if not text.strip():
                made = self.desk.document.view.preparations[row.preparation][0]
                names = (row.finding.name.casefold(), row.finding.says.casefold())
                old = next(e.name for e in made.exemptions if e.name.casefold() in names)
                return preparations.take_back_exemption(book, row.preparation, old)
            who, _, why = text.partition(":")
            return preparations.exempt(book, row.preparation, row.finding.name, who, why, self.desk.document.day)

        return [
            Column[AllergenRow]("name", say("Allergen"), lambda r: capital(allergen_name(r.finding.says))),
            Column[AllergenRow]("state", say("Is"), lambda r: allergen_word(r.finding.state),
                                strong=lambda r: r.finding.state in ("contains", "may_contain")),
            Column[AllergenRow]("by", say("By"), lambda r: own(r.by) if r.by else ""),
            Column[AllergenRow]("exempt", say("Taken away by (who: why)"), lambda r: r.exempt, write=exempt),
        ]  # fmt: skip

    def show_preparation(self, ident: str) -> None:
        """Show a preparation."""
        fresh, self.preparation = ident != self.preparation, ident
        figures = self.desk.document.figures
        found = ident in figures.view.preparations
        if fresh:
            with QSignalBlocker(self.list.table):  # other rows in their own order, and nothing is explained on the way
                self.uses.set_rows(())
        self.uses.set_rows(use_rows(figures, ident) if found else ())
        self.allergens.set_rows(allergen_rows(figures, ident) if found else ())

    def _go(self, key: str) -> None:
        kind, ident, _ = key.split("|")
        self.desk.go(Where(kind, ident))


def _use_key(row: UseRow) -> str:
    return f"{row.kind}|{row.id}|{row.what}"


def _allergen_key(row: AllergenRow) -> str:
    return f"{row.preparation}/{row.finding.name}"
