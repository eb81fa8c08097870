"""Break-even prices: how dear each ingredient of a drink may become, as it is quoted now."""

from dataclasses import dataclass

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from costing.book.levies import Policy
from costing.menu.breakeven import BreakEven, BreakEvens, Reach, break_evens
from costing.report.words import series
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Figures
from ui.format import UNKNOWN, Format, isolate, own
from ui.jobs import Progress
from ui.latest import Latest
from ui.models.table import Column, RowTable
from ui.places.cellar.buying.saying import Hint, Line
from ui.places.menu.keep.choice import fill
from ui.places.menu.keep.rows import section_titles
from ui.places.menu.whatif.words import signed_share
from ui.whys import PriceOf, UnitCost
from ui.widgets.figure import FigureStrip
from ui.widgets.listpane import ListPane

Spot = tuple[str, str, str]
"""Drink, menu, section."""


@dataclass(frozen=True, slots=True)
class Evened:
    """Which drink's prices are to be found."""

    figures: Figures
    serve: str

    def __call__(self, _: Progress) -> tuple[BreakEvens, ...]:
        """On every menu that prints a price for it."""
        return break_evens(self.figures.reckoning, self.serve)


class EvensView(QWidget):
    """The drink above with what it brings, costs and may cost; its ingredients below."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._spots: list[Spot] = []
        self._wanted: Spot | None = None
        self._latest = Latest(self)
        self._latest.known.connect(self.refresh)
        self.drink = QComboBox(self)
        self.drink.setAccessibleName(say("Drink"))
        self.money = FigureStrip(
            say("What the drink brings and costs"),
            [("net", say("Net price")), ("cost", say("Cost")), ("most", say("May cost")), ("target", say("Target"))],
            desk, 4,
        )  # fmt: skip
        for key in ("net", "cost", "most", "target"):
            self.money[key].explained_by(self._subject)
        self.fault = Line(self, kind="error")
        self.told = Line(self, kind="faint")
        self.rows: RowTable[BreakEven] = RowTable(even_columns(desk.format), lambda g: g.good, desk, self)
        self.hint = Hint("", self)
        self.list = ListPane(self.rows, say("Break-even prices"), self.hint, self)
        top = QHBoxLayout()
        label = QLabel(say("Drink"), self)
        label.setBuddy(self.drink)
        top.addWidget(label)
        top.addWidget(self.drink)
        top.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 0)
        layout.setSpacing(4)
        layout.addLayout(top)
        layout.addWidget(self.money)
        layout.addWidget(self.fault)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.told)
        self.drink.activated.connect(self._chosen)
        self.list.table.explained.connect(desk.explain)
        self.list.table.opened.connect(self._open)

    def first(self) -> QWidget:
        """The drink."""
        return self.drink

    def refresh(self) -> None:
        """The drinks that have a price, and what is known of the chosen one."""
        figures = self.desk.document.figures
        self._show_choices(figures)
        spot = self._spot()
        if spot is None:
            self._latest.forget()
            self._show(None)
            self.hint.setText(say("No drink of this day has a printed price: put one on a menu first."))
            return
        asked = Evened(figures, spot[0])
        self._latest.ask(asked, asked)
        found: tuple[BreakEvens, ...] | None = self._latest.of(asked)
        if found is None:
            self._show(None)
            self.hint.setText(say("It is being worked out…"))
            return
        one = next((f for f in found if (f.serve, f.menu, f.section) == spot), None)
        self._show(one)
        if one is None:
            self.hint.setText(say("This drink cannot be made on this day."))

    def _show_choices(self, figures: Figures) -> None:
        wanted = self._wanted or self._spot()
        priced = [p for p in figures.priced if p.price is not None and p.menu]
        self._spots = list(dict.fromkeys((p.serve.id, p.menu, p.section) for p in priced))
        names = {p.serve.id: p.serve.name for p in priced}
        several = [serve for serve, _, _ in self._spots]
        titles = section_titles([(menu, section) for _, menu, section in self._spots], figures.view)
        fill(self.drink, [
            own(names[serve]) if several.count(serve) == 1 else
            say("{drink}, {where}", drink=own(names[serve]), where=own(titles[menu, section]))
            for serve, menu, section in self._spots
        ])  # fmt: skip
        if self._spots:
            self.drink.setCurrentIndex(self._spots.index(wanted) if wanted in self._spots else 0)
        self._wanted = None

    def _spot(self) -> Spot | None:
        at = self.drink.currentIndex()
        return self._spots[at] if 0 <= at < len(self._spots) else None

    def _show(self, found: BreakEvens | None) -> None:
        form, fresh = self.desk.format, not self.rows.total
        self.rows.set_rows(found.goods if found is not None else ())
        if found is not None and fresh and self.isVisible():
            self.list.table.fit_columns()
        complete = found is not None and not found.unpriced
        shown = (
            {"net": form.money(found.net), "cost": form.least(form.money(found.cost), complete),
             "most": form.money(found.most), "target": _target(found.policy, form)}
            if found is not None else dict.fromkeys(("net", "cost", "most", "target"), UNKNOWN)
        )  # fmt: skip
        for key, text in shown.items():
            self.money[key].show_figure(text)
        self.fault.say(self._fault(found))
        self.hint.setText(say("No ingredient of it is in the cost that pour cost stands on."))
        missed = found is not None and complete and found.cost > found.most
        about = say("The price of a pack as it is quoted, each by itself and all others as they are. A dash: not even "
                    "with that ingredient for nothing.")  # fmt: skip
        said = [say("It misses its target as it stands.")] if missed else []
        said += [about] if found is not None and found.goods else []
        self.told.say(" ".join(said))

    def _fault(self, found: BreakEvens | None) -> str:
        if found is None or not found.unpriced:
            return ""
        names = series(own(self.desk.document.names.get(good, good)) for good in found.unpriced)
        if found.goods:
            return say("There is no price yet for {names}: what it may be is told.", names=names)
        return say("No price can be told: there is none yet for {names}.", names=names)

    def _subject(self) -> object | None:
        spot = self._spot()
        return PriceOf(*spot) if spot is not None else None

    def _open(self, key: str) -> None:
        self.desk.go(Where("good", key))

    def _chosen(self, *_: object) -> None:
        self.refresh()

    def save_state(self) -> dict[str, object]:
        """The drink."""
        return {"spot": list(self._wanted or self._spot() or ())}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        spot = state.get("spot")
        if isinstance(spot, list) and len(spot) == 3:
            self._wanted = (str(spot[0]), str(spot[1]), str(spot[2]))


def even_columns(form: Format) -> list[Column[BreakEven]]:
    """The ingredient, what a pack of it costs, and up to what price the drink meets its target, and earns."""

    def price(good: BreakEven) -> str:
        if good.price is None:
            return say("none yet")
        return _priced(form.number(good.price, form.places), good, form)

    def limit(good: BreakEven, reach: Reach | None) -> str:
        if reach is None:
            return UNKNOWN
        if reach.pack is None:
            return say("{money} a base unit", money=form.number(reach.per_base, form.places + 2))
        return _priced(form.number(reach.pack, form.places), good, form)

    def share(reach: Reach | None) -> str:
        return UNKNOWN if reach is None or reach.move is None else signed_share(reach.move, form)

    def move(reach: Reach | None) -> float | None:
        return None if reach is None else reach.move

    def why(good: BreakEven) -> object:
        return UnitCost(good.good)

    return [
        Column[BreakEven]("good", say("Ingredient"), lambda g: g.name, sort=lambda g: g.name.casefold(), why=why),
        Column[BreakEven]("price", say("Price now"), price, True,
                          lambda g: None if g.price is None else float(g.price), why=why,
                          about=say("Of a pack, as it is quoted")),
        Column[BreakEven]("target", say("Meets target to"), lambda g: limit(g, g.target), True,
                          lambda g: move(g.target), why=why,
                          about=say("Up to this price of a pack the drink meets its target at its printed price")),
        Column[BreakEven]("target by", say("By"), lambda g: share(g.target), True, lambda g: move(g.target), why=why,
                          about=say("How far that is from the price now; below 0 it misses its target already")),
        Column[BreakEven]("nothing", say("Earns to"), lambda g: limit(g, g.nothing), True,
                          lambda g: move(g.nothing), why=why,
                          about=say("At this price of a pack the drink earns nothing")),
        Column[BreakEven]("nothing by", say("By"), lambda g: share(g.nothing), True, lambda g: move(g.nothing),
                          why=why, about=say("How far that is from the price now")),
        Column[BreakEven]("pack", say("Pack"), lambda g: isolate(g.pack) if g.pack else UNKNOWN, why=why,
                          depth=lambda _: 1),
    ]  # fmt: skip


def _target(policy: Policy, form: Format) -> str:
    """A target in words."""
    match policy.kind:
        case "pour_cost":
            return form.percent(policy.value)
        case "margin":
            return say("margin {money}", money=isolate(form.money(policy.value)))
        case "multiplier":
            return say("{value} times cost", value=form.number(policy.value, 2, trim=True))


def _priced(text: str, good: BreakEven, form: Format) -> str:
    """A price with its currency where that is not the house's."""
    return text if good.currency in ("", form.currency) else isolate(f"{text} {good.currency}")
