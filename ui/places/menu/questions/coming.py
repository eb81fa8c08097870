"""If a drink comes: what it earns, less what the drinks it takes guests from would have earned."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from costing.book.money import to_float
from costing.ledger import Cost
from costing.menu.adding import Adding, Diverted, Needs, adding, needs_of_adding
from costing.menu.capacity_rows import VARYING, decision_margin
from costing.menu.mix import Item, Mix
from costing.pricing.levies import net_of
from costing.report.words import series
from costing.tongue import say, say_many
from ui.desk import Where
from ui.format import own
from ui.places.menu.questions.hours import HoursLine, hours_lines, hours_rows
from ui.places.menu.questions.pane import Answer, Fig, Row, Sheet
from ui.places.menu.questions.question import Asked, Question, count, span_text
from ui.places.menu.questions.reading import Names, find_name, offered, read_list, read_number, read_share
from ui.places.menu.questions.rows import figures_sheet, hours_sheet, signed, under_sheet
from ui.whys import CostOfServe, Line, Said, Trail


@dataclass(frozen=True, slots=True)
class AskedComing(Asked):
    """Which drink comes, at which printed price, how many would be sold in the weeks looked at, and the share of them
    that guests would have taken another drink instead."""

    serve: str
    price: Decimal
    sold: float
    instead: tuple[tuple[str, float], ...]

    def work(self) -> "FoundComing":
        """What it does to the house."""
        reckoning = self.figures.reckoning
        terms = reckoning.view.terms
        if terms is None:
            raise ValueError(say("the house has no taxes and target on this day: enter them first"))
        cost = reckoning.serve_cost(self.serve)
        net = to_float(net_of(self.price, terms.levies))
        rows = [(_best_row(self.mix, serve), share) for serve, share in self.instead]
        taken = [Diverted(name=i.name, share=share, margin=decision_margin(i)) for i, share in rows]
        found = adding(net - cost.of(VARYING), self.sold, taken)
        needs = needs_of_adding(reckoning, self.serve, self.sold, rows, self.mix.items)
        return FoundComing(found, needs, net, cost, hours_lines(reckoning, self.mix, needs.hours, needs.more))


@dataclass(frozen=True, slots=True)
class FoundComing:
    """The drink added; its net price and cost, and its hours."""

    added: Adding
    needs: Needs
    net: float
    cost: Cost
    hours: tuple[HoursLine, ...]


def _best_row(mix: Mix, serve: str) -> Item:
    """The row of a drink that sold most of it."""
    return max((i for i in mix.items if i.serve == serve), key=lambda i: i.sold)


class Coming(Question):
    """A drink of the book is put on the menu."""

    key = "coming"

    def title(self) -> str:
        """The question."""
        return say("If a drink comes")

    def meaning(self) -> str:
        """What it stands on."""
        return say("By the sales looked at; margins are net less materials and energy, which vary with each drink. A "
                   "guest who takes it instead of another drink brings one margin and loses the other.")  # fmt: skip

    def fill_in(self) -> None:
        """Drink, price, how many, and instead of what."""
        self.blank("drink", say("The drink that comes"), (0, 0, 2), choices=self._off_menu,
                   hint=say("a drink of the book"))  # fmt: skip
        self.blank("price", say("Printed price"), (0, 2, 1), hint=say("as suggested"),
                   about=say("Taxes and service in; the suggested price where nothing is typed"))  # fmt: skip
        self.blank("sold", say("Sold in these weeks"), (0, 3, 1), hint=say("an average drink"),
                   about=say("As many as a drink of the menus sold on average where nothing is typed"))  # fmt: skip
        self.blank("instead", say("Taken instead of, in shares of its sales"), (1, 0, 4),
                   hint=say("Quay Walnut 40 %; Night Ferry 20 %"), offers=self._offer)  # fmt: skip

    def _off_menu(self) -> list[str]:
        on = {serve for serve, _ in self.on_menus()}
        known = self._serves()
        return [name for serve, name in known if serve not in on] + [name for serve, name in known if serve in on]

    def _serves(self) -> Names:
        return [(ident, serve.name) for ident, (serve, _) in self.figures.view.serves.items()]

    def _offer(self, text: str) -> list[str]:
        return offered(text, self.on_menu_names())

    def tables(self) -> Sequence[Sheet]:
        """Money, shares, hours, and what is new."""
        return (
            figures_sheet(),
            Sheet("instead", say("Instead of"), ((say("Drink"), False), (say("Margin"), True),
                                                 (say("Share typed"), True), (say("Pays up to"), True))),
            hours_sheet(say("It takes"), say("More on balance")),
            Sheet("new", say("New to the menus"), ((say("What"), False),)),
        )  # fmt: skip

    def asked(self) -> Asked | str:
        """The drink with its price and number."""
        on = self.on_menus()
        serve = self.read("drink", partial(find_name, names=self._serves()), "")
        price = self.read("price", self.money, None)
        sold = self.read("sold", read_number, None)
        others = [(ident, name) for ident, name in on if ident != serve]
        instead = self.read("instead", lambda text: read_list(text, others, read_share), ())
        if not serve:
            return say("Choose a drink of the book.")
        if price is None:
            price = self._usual_price(serve)
        if price is None:
            return say("Type the price it would be printed at: nothing can be suggested for it.")
        shares = tuple((ident, share) for ident, share in instead if share is not None)
        return AskedComing(self.figures, self.standing.today(), serve, price,
                           _average(self.standing.today()) if sold is None else sold, shares)  # fmt: skip

    def _usual_price(self, serve: str) -> Decimal | None:
        """The suggested price, or the printed one where nothing is suggested."""
        found = [p for p in self.figures.priced if p.serve.id == serve]
        at = next((p.suggestion.at.all_in for p in found if p.suggestion is not None), None)
        return at if at is not None else next((p.price.all_in for p in found if p.price is not None), None)

    def answer(self, asked: AskedComing, found: FoundComing) -> Answer:
        """What it is worth."""
        form = self.form
        rows = {
            "figures": list(self._figures(asked, found)),
            "instead": self._instead(found),
            "hours": hours_rows(found.hours, form),
            "new": [] if self._there(asked) else list(under_sheet(self.figures, found.needs.new, "new")),
        }
        return Answer(self._said(asked, found), rows, notes=self._notes(asked, found))

    def _said(self, asked: AskedComing, found: FoundComing) -> str:
        a, form = found.added, self.form
        name = own(self.figures.view.serves[asked.serve][0].name)
        said = say("{n} of {drink} at {price} leave {money} in {span}.", n=count(form, a.sold), drink=name,
                   price=form.money(asked.price), money=signed(form, a.gain), span=span_text(asked.mix))  # fmt: skip
        share = a.break_even_share
        if not a.diverted:
            return said
        names = series(own(d.name) for d in a.diverted)
        if share is None or share > 1:
            return said + " " + say("It pays even if all of its guests come from {drinks}.", drinks=names)
        if share <= 0:
            return said + " " + say("It pays at no share, for it earns nothing itself.")
        return said + " " + say("It pays until {share} of its guests come from {drinks}.", share=form.percent(share, 0),
                                drinks=names)  # fmt: skip

    def _there(self, asked: AskedComing) -> bool:
        """Whether it is on a menu of the day already."""
        return any(i.serve == asked.serve for i in asked.mix.items)

    def _notes(self, asked: AskedComing, found: FoundComing) -> list[str]:
        said = []
        if self._there(asked):
            said.append(say("It is on a menu already: this is what as many more would do."))
        if not self.blanks["price"].text.strip():
            said.append(say("Nobody typed a price: {price} is the suggested one.", price=self.form.money(asked.price)))
        if not self.blanks["sold"].text.strip():
            said.append(say("Nobody typed how many: {n} is what a drink of the menus sold on average.",
                            n=count(self.form, asked.sold)))  # fmt: skip
        if not found.added.diverted:
            said.append(say("Every one of its guests is taken to be one more: name above the drinks that they would "
                            "have had instead."))  # fmt: skip
        if not found.cost.complete:
            said.append(say("Something in it has no price, so its margin is at most that."))
        return said

    def _figures(self, asked: AskedComing, found: FoundComing) -> Iterator[Row]:
        form, a = self.form, found.added
        why, where = self._margin_why(asked, found), Where("serve", asked.serve)

        def most(value: float) -> Fig:
            return Fig(form.money(value) if found.cost.complete else say("at most {figure}", figure=form.money(value)),
                       value)  # fmt: skip

        printed = say("at {price} printed", price=form.money(asked.price))
        yield Row("margin", (say("Margin of one"), most(a.margin), printed), why=why, where=where)
        yield Row("earns", (say("Margin of all that are sold"), most(a.earns),
                            say("{n} sold", n=count(form, a.sold))), why=why, where=where)  # fmt: skip
        yield Row("loses", (say("Lost on other drinks"), Fig(form.money(a.loses), a.loses),
                            say("{share} of its guests", share=form.percent(a.share, 0))))  # fmt: skip
        yield Row("gain", (say("On balance"), Fig(form.signed(a.gain), a.gain), ""), strong=True,
                  why=self._gain_why(asked, found))  # fmt: skip
        yield Row("each", (say("On balance, a drink sold"), Fig(form.signed(a.per_sale), a.per_sale), ""))
        come = len(found.needs.new.preparations), len(found.needs.new.goods)
        if any(come) and not self._there(asked):
            yield Row("new", (say("New to the menus"), Fig(str(sum(come)), sum(come)), self._new_words(*come)))

    def _new_words(self, preparations: int, goods: int) -> str:
        made = say_many("{n} preparation", "{n} preparations", preparations)
        return series([made, say_many("{n} ingredient", "{n} ingredients", goods)])

    def _instead(self, found: FoundComing) -> list[Row]:
        form, limits = self.form, found.added.break_even
        rows = []
        for n, d in enumerate(found.added.diverted):
            limit = limits[d.name]
            text = say("all of them") if limit is None or limit > 1 else form.percent(max(0.0, limit), 0)
            rows.append(Row(f"instead/{n}", (own(d.name), Fig(form.money(d.margin), d.margin),
                                             Fig(form.percent(d.share, 0), d.share), Fig(text, limit))))  # fmt: skip
        return rows

    def _margin_why(self, asked: AskedComing, found: FoundComing) -> object:
        form, cost = self.form, found.cost
        if asked.serve not in self.figures.reckoning.serves:
            return CostOfServe(asked.serve)
        where = Where("serve", asked.serve)
        lines = [
            Line(say("the printed price"), form.money(asked.price)),
            Line(say("net of tax and service"), form.money(found.net)),
            Line(say("less materials"), form.least(form.money(cost.of(("materials",))), cost.complete), where=where),
            Line(say("less energy"), form.least(form.money(cost.of(("energy",))), cost.complete), where=where),
        ]
        name = own(self.figures.view.serves[asked.serve][0].name)
        return Said(Trail(say("One {serve} leaves", serve=name), form.money(found.added.margin), tuple(lines)))

    def _gain_why(self, asked: AskedComing, found: FoundComing) -> object:
        form, a = self.form, found.added
        lines = [Line(say("{n} at {money}", n=count(form, a.sold), money=form.money(a.margin)), form.signed(a.earns))]
        lines += [
            Line(say("{n} guests would have had {drink} at {money}", n=count(form, a.sold * d.share), drink=own(d.name),
                     money=form.money(d.margin)), form.signed(-a.sold * d.share * d.margin))
            for d in a.diverted
        ]  # fmt: skip
        name = own(self.figures.view.serves[asked.serve][0].name)
        return Said(Trail(say("If {drink} comes", drink=name), form.signed(a.gain), tuple(lines)))


def _average(mix: Mix) -> float:
    """How many a drink of the menus sold on average, those that sold."""
    sold: dict[str, float] = {}
    for item in mix.items:
        if item.sold > 0:
            sold[item.serve] = sold.get(item.serve, 0.0) + item.sold
    return float(round(sum(sold.values()) / len(sold))) if sold else 0.0
