"""Drinks side by side: components aligned, then their figures."""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.report.cards import balance_in_glass
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.format import UNKNOWN, Format
from ui.models.table import Column, RowTable
from ui.places.bar.components import amount_of
from ui.widgets.fields import ChoiceField
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

MOST = 4


@dataclass(frozen=True, slots=True)
class SideRow:
    """One line across the drinks."""

    key: str
    name: str
    cells: tuple[str, ...]
    differs: bool


def side_rows(figures: Figures, chosen: list[str], form: Format) -> list[SideRow]:
    """Components by what they are, then the figures."""
    rows = [*_components(figures, chosen, form), *_figures(figures, chosen, form)]
    return [SideRow(f"{n}", name, cells, len(set(cells)) > 1) for n, (name, cells) in enumerate(rows)]


def _components(figures: Figures, chosen: list[str], form: Format) -> Iterator[tuple[str, tuple[str, ...]]]:
    builds = [figures.view.serves[ident][1].build for ident in chosen]
    sources = list(dict.fromkeys(item.source for build in builds for item in build.adds))
    for source in sources:
        cells = []
        for build in builds:
            amounts = [amount_of(figures.reckoning, item) for item in build.adds if item.source == source]
            known = [a for a, _ in amounts if a is not None]
            whole = form.amount(sum(known), amounts[0][1]) if amounts and known else say("as computed")
            cells.append(whole if amounts else UNKNOWN)
        yield figures.names.get(source, source), tuple(cells)


def _figures(figures: Figures, chosen: list[str], form: Format) -> Iterator[tuple[str, tuple[str, ...]]]:
    priced = [next(p for p in figures.priced if p.serve.id == ident) for ident in chosen]
    glasses = [balance_in_glass(figures.reckoning, ident) for ident in chosen]
    yield say("Cost"), tuple(form.money(p.base) for p in priced)
    yield say("With making"), tuple(form.money(p.cost.making) for p in priced)
    yield say("Price"), tuple(form.money(p.price.all_in if p.price else None) for p in priced)
    yield say("Pour cost"), tuple(form.percent(p.price.pour_cost if p.price else None) for p in priced)
    yield say("Margin"), tuple(form.money(p.price.margin if p.price else None) for p in priced)
    yield say("Suggested"), tuple(form.money(p.suggestion.at.all_in if p.suggestion else None) for p in priced)
    yield say("ABV"), tuple(form.strength(g.abv if g else None) for g in glasses)
    yield say("In the glass"), tuple(form.amount(g.litres if g else None, "l") for g in glasses)
    yield say("Sugar, g/l"), tuple(form.number(g.sugar_g_l, 0) if g else UNKNOWN for g in glasses)
    yield say("Acid, g/l"), tuple(form.number(g.acid_g_l, 1) if g else UNKNOWN for g in glasses)


class ComparePage(QWidget):
    """Two to four drinks; those that differ are in bold."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.chosen: list[str] = []
        self.add = ChoiceField(say("Drink to set beside it"), self._names, self, hint=say("Type a drink"))
        self.add.committed.connect(self._add)
        self.clear = QPushButton(say("Only this drink"), self)
        self.clear.clicked.connect(self._clear)
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        top = QHBoxLayout()
        label = QLabel(say("Set beside it"), self)
        label.setBuddy(self.add)
        top.addWidget(label)
        top.addWidget(self.add, 1)
        top.addWidget(self.clear)
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(6, 6, 6, 6)
        self._layout.addLayout(top)
        self._layout.addWidget(self.said)
        self.said.hide()
        self.list: ListPane | None = None

    def show_serve(self, serve: str) -> None:
        """The drink that others are set beside."""
        self.chosen = [serve, *(c for c in self.chosen[1:] if c != serve)]
        self.refresh()

    def refresh(self) -> None:
        """Make the table anew: its columns are drinks."""
        figures = self.desk.document.figures
        self.chosen = [c for c in self.chosen if c in figures.view.serves]
        names = [figures.view.serves[c][0].name for c in self.chosen]
        model: RowTable[SideRow] = RowTable(
            [
                Column[SideRow]("name", say("What"), lambda r: r.name, strong=lambda r: r.differs),
                *(_column(n, name) for n, name in enumerate(names)),
            ],
            lambda r: r.key,
            self.desk,
            self,
        )
        empty = EmptyPlace(say("Choose a drink on the left, then type another to set beside it."))
        pane = ListPane(model, say("Drinks side by side"), empty, self)
        if self.chosen:
            model.set_rows(side_rows(figures, self.chosen, self.desk.format))
        if self.list is not None:
            self._layout.replaceWidget(self.list, pane)
            self.list.deleteLater()
        else:
            self._layout.addWidget(pane, 1)
        self.list = pane
        pane.table.fit_columns()
        self.clear.setEnabled(len(self.chosen) > 1)

    def _names(self) -> list[str]:
        serves = self.desk.document.view.serves
        return [s.name for s, _ in serves.values() if s.id not in self.chosen]

    def _add(self, text: str) -> None:
        found = [s.id for s, _ in self.desk.document.view.serves.values() if s.name.casefold() == text.casefold()]
        fault = ""
        if not found:
            fault = say("There is no drink called “{text}”. Alt+Down lists them.", text=text)
        elif len(self.chosen) >= MOST:
            fault = say("Four side by side is as many as can be read. Begin anew with “Only this drink”.")
        self.said.setText(fault)
        self.said.setVisible(bool(fault))
        if not fault:
            self.add.revert()
            self.chosen.append(found[0])
            self.refresh()

    def _clear(self) -> None:
        self.chosen = self.chosen[:1]
        self.refresh()


def _column(n: int, name: str) -> Column[SideRow]:
    return Column[SideRow](f"{n}", name, lambda r: r.cells[n], True, strong=lambda r: r.differs)
