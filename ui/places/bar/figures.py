"""What a drink comes to: its figures, and its allergens and cautions in words."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QWidget

from costing.ledger.allergens import serve_allergens
from costing.pricing import PricedServe
from costing.report.allergy_words import allergen_lines
from costing.report.cards import balance_in_glass
from costing.report.cautions import caution, drink_cautions
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.format import UNKNOWN
from ui.places.bar.allergens import AllergensOf
from ui.places.bar.glass import InGlass
from ui.places.bar.strip import FlowStrip
from ui.whys import CostOfServe, PriceOf


class DrinkFigures(FlowStrip):
    """The figures of one drink, each with why."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            say("Figures of the drink"),
            [
                ("cost", say("Cost")), ("making", say("With making")), ("price", say("Price")),
                ("pour", say("Pour cost")), ("margin", say("Margin")), ("abv", say("ABV")),
                ("volume", say("In the glass")), ("drinks", say("Standard drinks")),
                ("sugar", say("Sugar, acid")), ("lost", say("Spent on losses")),
            ],
            desk,
        )  # fmt: skip
        self._desk, self._serve = desk, ""
        for key in ("cost", "making", "lost"):
            self[key].explained_by(self._cost)
        for key in ("price", "pour", "margin"):
            self[key].explained_by(self._price)
        for key in ("abv", "volume", "drinks", "sugar"):
            self[key].explained_by(self._glass)

    def show_drink(self, figures: Figures, serve: str, *, draft: bool = False) -> None:
        """Show a drink on its figures; nothing of one that is not made on their day. ``draft``: nothing is written."""
        self._serve = serve
        note = say("as it is being typed; nothing is written yet") if draft else ""
        priced = next((p for p in figures.priced if p.serve.id == serve), None)
        if priced is None:
            for tag in self.tags.values():
                tag.show_figure(UNKNOWN)
            return
        self._show_money(figures, priced, note)
        self._show_glass(figures, note)

    def _show_money(self, figures: Figures, priced: PricedServe, note: str) -> None:
        form, cost, price = self._desk.format, priced.cost, priced.price
        whole = cost.complete
        self["cost"].show_figure(form.least(form.money(priced.base), whole), note=note, money=True)
        self["making"].show_figure(form.least(form.money(cost.making), whole), note=note)
        self["price"].show_figure(form.money(price.all_in if price else None), note=note)
        self["pour"].show_figure(form.least(form.percent(price.pour_cost if price else None), whole), note=note)
        self["margin"].show_figure(form.money(price.margin if price and whole else None), note=note)
        line = figures.reckoning.serves.get(self._serve)
        lost = figures.reckoning.lost_money(line.carried) if line is not None else None
        self["lost"].show_figure(
            form.least(form.money(lost), whole), note=say("part of the cost, never added to it")
        )  # fmt: skip

    def _show_glass(self, figures: Figures, note: str) -> None:
        form = self._desk.format
        glass = balance_in_glass(figures.reckoning, self._serve)
        self["abv"].show_figure(form.strength(glass.abv if glass else None), note=note)
        self["volume"].show_figure(form.amount(glass.litres if glass else None, "l"), note=note)
        drinks = glass.drinks if glass else None
        self["drinks"].show_figure(form.number(drinks, 1) if drinks is not None else UNKNOWN, note=note)
        balance = (
            say("{sugar} and {acid} g/l", sugar=form.number(glass.sugar_g_l, 0), acid=form.number(glass.acid_g_l, 1))
            if glass
            else UNKNOWN
        )
        self["sugar"].show_figure(balance, note=note)

    def _cost(self) -> object:
        return CostOfServe(self._serve)

    def _glass(self) -> object:
        return InGlass(self._serve)

    def _price(self) -> object:
        found = next((p for p in self._desk.document.priced if p.serve.id == self._serve), None)
        return PriceOf(self._serve, found.menu if found else "", found.section if found else "")


class DrinkWords(QWidget):
    """Allergens with why, and under them what to be careful of."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._serve = desk, ""
        self.allergens, self.cautions = QLabel(self), QLabel(self)
        for label in (self.allergens, self.cautions):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.cautions.setProperty("faint", True)
        self.why = QPushButton(say("Why"), self)
        self.why.setAccessibleName(say("Why these allergens"))
        self.why.clicked.connect(self.explain)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.allergens, 0, 0)
        layout.addWidget(self.why, 0, 1, Qt.AlignmentFlag.AlignTop)
        layout.addWidget(self.cautions, 1, 0, 1, 2)
        layout.setColumnStretch(0, 1)

    def show_drink(self, figures: Figures, serve: str) -> None:
        """Show a drink on its figures; nothing of one that is not made on their day."""
        made = serve in figures.view.serves
        self._serve = serve if made else ""
        if not made:
            self.allergens.clear()
            self.cautions.clear()
            return
        lines = allergen_lines(serve_allergens(figures.reckoning, serve))
        said = [say("{state}: {names}.", state=state, names=names) if names else f"{state}." for state, names in lines]
        self.allergens.setText(" ".join(said) or say("Allergens: the house has no list of them yet."))
        house = figures.book.house
        permit, until = (house.permit, house.permit_until) if house else ("", None)
        codes = drink_cautions(figures.reckoning, serve)
        self.cautions.setText(" ".join(caution(code, permit, until, figures.day) for code in codes))

    def explain(self) -> None:
        """Where each allergen comes from, in the why pane."""
        if self._serve:
            self._desk.explain(AllergensOf(self._serve))
