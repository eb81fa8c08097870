"""Drinks side by side: components aligned, then their figures."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.change import Step, put
from costing.book.records import Glass, Serve, ServeVersion, Technique
from costing.pricing import PricedServe
from costing.report.cards import balance_in_glass
from costing.tongue import say
from ui.desk import Desk
from ui.document import Document, Figures
from ui.format import UNKNOWN, Format, own
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


@dataclass(frozen=True, slots=True)
class Side:
    """One drink in the comparison: an id, its title, and the figures it is read from. Another version of a drink has
    figures of its own: those of the day, with that version in the place of the present one."""

    key: str
    ident: str
    title: str
    figures: Figures

    @property
    def version(self) -> ServeVersion:
        """How it is made."""
        return self.figures.view.serves[self.ident][1]

    @property
    def priced(self) -> PricedServe:
        """Its price at its first place."""
        return next(p for p in self.figures.priced if p.serve.id == self.ident)


def side_of(document: Document, key: str, form: Format) -> Side | None:
    """A drink by its id, or one of its versions by id and first day ("harbour-light@2025-12-01"); None where there is
    none such."""
    ident, _, since = key.partition("@")
    serve = document.book.all(Serve).get(ident)
    if serve is None or (not since and ident not in document.view.serves):
        return None
    if not since:
        return Side(key, ident, serve.name, document.figures)
    version = next((v for v in serve.versions if v.since.isoformat() == since), None)
    if version is None:
        return None
    alone = replace(serve, versions=(replace(version, since=min(version.since, document.day)),))
    figures = document.draft(Step("", (put("serve", alone, serve),)))
    return Side(key, ident, _versioned(serve, version, form), figures)


def _versioned(serve: Serve, version: ServeVersion, form: Format) -> str:
    return say("{serve}, from {day}", serve=serve.name, day=form.day(version.since))


def side_rows(sides: Sequence[Side], form: Format) -> list[SideRow]:
    """Components by what they are, then how it is made and the figures."""
    rows = [*_components(sides, form), *_ways(sides), *_figures(sides, form)]
    return [SideRow(f"{n}", name, cells, len(set(cells)) > 1) for n, (name, cells) in enumerate(rows)]


def _ways(sides: Sequence[Side]) -> Iterator[tuple[str, tuple[str, ...]]]:
    versions = [side.version for side in sides]
    book = sides[0].figures.book
    techniques, glasses = book.all(Technique), book.all(Glass)
    yield say("Technique"), tuple(techniques[v.technique].name if v.technique in techniques else UNKNOWN
                                  for v in versions)  # fmt: skip
    yield say("Glass"), tuple(glasses[v.glass].name if v.glass in glasses else UNKNOWN for v in versions)
    yield say("Time"), tuple(v.seconds.text if v.seconds else UNKNOWN for v in versions)


def _components(sides: Sequence[Side], form: Format) -> Iterator[tuple[str, tuple[str, ...]]]:
    figures = sides[0].figures
    builds = [side.version.build for side in sides]
    sources = list(dict.fromkeys(item.source for build in builds for item in build.adds))
    for source in sources:
        cells = []
        for build in builds:
            amounts = [amount_of(figures.reckoning, item) for item in build.adds if item.source == source]
            known = [a for a, _ in amounts if a is not None]
            whole = form.amount(sum(known), amounts[0][1]) if amounts and known else say("as computed")
            cells.append(whole if amounts else UNKNOWN)
        yield figures.names.get(source, source), tuple(cells)


def _figures(sides: Sequence[Side], form: Format) -> Iterator[tuple[str, tuple[str, ...]]]:
    priced = [side.priced for side in sides]
    glasses = [balance_in_glass(side.figures.reckoning, side.ident) for side in sides]
    yield say("Cost"), tuple(form.least(form.money(p.base), p.cost.complete) for p in priced)
    yield say("With making"), tuple(form.least(form.money(p.cost.making), p.cost.complete) for p in priced)
    yield say("Price"), tuple(form.money(p.price.all_in if p.price else None) for p in priced)
    yield (
        say("Pour cost"),
        tuple(form.least(form.percent(p.price.pour_cost if p.price else None), p.cost.complete) for p in priced),
    )
    yield say("Margin"), tuple(form.money(p.price.margin if p.price and p.cost.complete else None) for p in priced)
    yield say("Suggested"), tuple(form.money(p.suggestion.at.all_in if p.suggestion else None) for p in priced)
    yield say("ABV"), tuple(form.strength(g.abv if g else None) for g in glasses)
    yield say("In the glass"), tuple(form.amount(g.litres if g else None, "l") for g in glasses)
    yield say("Sugar, g/l"), tuple(form.number(g.sugar_g_l, 0) if g else UNKNOWN for g in glasses)
    yield say("Acid, g/l"), tuple(form.number(g.acid_g_l, 1) if g else UNKNOWN for g in glasses)


class ComparePage(QWidget):
    """Two to four drinks, or versions of one; lines that differ are in bold."""

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
        document, form = self.desk.document, self.desk.format
        sides = [side for c in self.chosen if (side := side_of(document, c, form)) is not None]
        self.chosen = [side.key for side in sides]
        names = [own(side.title) for side in sides]
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
        if sides:
            model.set_rows(side_rows(sides, form))
        if self.list is not None:
            self._layout.replaceWidget(self.list, pane)
            self.list.hide()  # it is let go of later, and must not be seen until then
            self.list.deleteLater()
        else:
            self._layout.addWidget(pane, 1)
        self.list = pane
        pane.table.fit_columns()
        self.clear.setEnabled(len(self.chosen) > 1)

    def choices(self) -> dict[str, str]:
        """What can be set beside: key by what it is called; other versions of the drinks that are here too."""
        document, form = self.desk.document, self.desk.format
        out = {s.name: s.id for s, _ in document.view.serves.values() if s.id not in self.chosen}
        for ident in dict.fromkeys(c.partition("@")[0] for c in self.chosen):
            serve = document.book.all(Serve).get(ident)
            for version in serve.versions if serve is not None and ident in document.view.serves else ():
                key = f"{ident}@{version.since.isoformat()}"
                if serve is not None and key not in self.chosen and version is not document.view.serves[ident][1]:
                    out[_versioned(serve, version, form)] = key
        return out

    def _names(self) -> list[str]:
        return list(self.choices())

    def _add(self, text: str) -> None:
        found = [key for name, key in self.choices().items() if name.casefold() == text.strip().casefold()]
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
