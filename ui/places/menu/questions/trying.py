"""How long a price test takes: drinks and weeks that tell whether a new price pays, and when to look."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.money import exact
from costing.menu.mix import Item
from costing.menu.pricetest import PriceTest, break_even_share, detectable, plan
from costing.pricing.suggest import break_even_volume, candidate
from costing.tongue import say, say_many
from ui.desk import Where
from ui.format import own
from ui.places.menu.questions.pane import Answer, Fig, Row, Sheet
from ui.places.menu.questions.question import Asked, Question, count
from ui.places.menu.questions.reading import Names, find_name, read_above
from ui.places.menu.questions.rows import figures_sheet
from ui.whys import Line, PriceOf, Said, Trail

LONG = 26
"""Weeks beyond which a test is out of reach: prices, guests and seasons move meanwhile. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class AskedTest(Asked):
    """The row of the menu, the price to be tested, the weeks it would be given, and whether one looks half way."""

    item: Item
    price: Decimal
    weeks: float | None
    look: bool

    def work(self) -> "FoundTest":
        """The test. ValueError where there is nothing to tell apart."""
        item, listed = self.item, self.item.listed
        terms = self.figures.view.terms
        if listed is None:
            raise ValueError(say("{drink} has no printed price", drink=own(item.name)))
        if self.price == listed:
            raise ValueError(
                say("{drink} is sold at that price already: there is nothing to test", drink=own(item.name))
            )
        rivals = sum(i.sold for i in self.mix.sections[item.menu, item.section])
        if not 0 < item.sold < rivals:
            raise ValueError(say("{drink} has no share of its section to test: {n} of {all} sold", drink=own(item.name),
                                 n=f"{item.sold:g}", all=f"{rivals:g}"))  # fmt: skip
        cost, levies = exact(item.cost), terms.levies if terms is not None else ()
        before, after = candidate(cost, listed, levies).net, candidate(cost, self.price, levies).net
        share, per_week = item.sold / rivals, rivals / self.mix.weeks
        even = break_even_share(share, before, after, cost)
        if even is None:
            raise ValueError(say("the new price leaves no margin, so that nothing sold at it could pay"))
        if not 0 < even < 1:
            raise ValueError(say("no share of the section would pay for that price: the drink would have to sell {n} "
                                 "of 100", n=f"{100 * even:.0f}"))  # fmt: skip
        test = plan(share, even, per_week=per_week, look=self.look)
        seen = detectable(share, self.weeks, per_week, up=even > share, look=self.look) if self.weeks else None
        return FoundTest(test, before, after, break_even_volume(before, after, cost), per_week, seen)


@dataclass(frozen=True, slots=True)
class FoundTest:
    """The test, net prices, the change of volume that pays for it, drinks of the section a week, and the share that the
    given weeks would tell."""

    test: PriceTest
    before: Decimal
    after: Decimal
    volume: Decimal | None
    per_week: float
    seen: float | None


class Trying(Question):
    """A price is tried on half of the guests."""

    key = "testing"

    def title(self) -> str:
        """The question."""
        return say("How long a price test takes")

    def meaning(self) -> str:
        """What it stands on."""
        return say("Half of the guests see the old price and half the new one, on the same days; counted is the share "
                   "of the drink in all that its section sells. Five tests of 100 see a difference where there is "
                   "none, and one of five misses a real one.")  # fmt: skip

    def fill_in(self) -> None:
        """Drink, price, weeks."""
        self.blank("drink", say("The drink"), (0, 0, 2), choices=self._priced_names,
                   hint=say("a drink with a printed price"))  # fmt: skip
        self.blank("price", say("Price to be tested"), (0, 2, 1), hint=say("all in"))
        self.blank("weeks", say("Weeks you would give it"), (0, 3, 1), hint=say("not needed"))
        self.box("look", say("Look once, half way"), (0, 4, 1))

    def _priced(self) -> Sequence[Item]:
        return [i for i in self.standing.today().items if i.listed is not None] if self.standing.periods() else []

    def _names(self) -> Names:
        """Rows of the menus by position, under the drink's name and, where it is on two, the menu's."""
        items, menus = self._priced(), self.figures.view.menus
        twice = {i.serve for i in items if sum(o.serve == i.serve for o in items) > 1}
        return [
            (str(n), f"{i.name} ({menus[i.menu].name}, {i.section})" if i.serve in twice else i.name)
            for n, i in enumerate(items)
        ]

    def _priced_names(self) -> list[str]:
        return [name for _, name in self._names()]

    def tables(self) -> Sequence[Sheet]:
        """Figures and the rule to stop by."""
        return (figures_sheet(),)

    def asked(self) -> Asked | str:
        """Drink and price."""
        names = self._names()
        at = self.read("drink", lambda text: find_name(text, names), "")
        price = self.read("price", self.money, None)
        weeks = self.read("weeks", lambda text: read_above(text, 520), None)
        if not at:
            return say("Choose a drink with a printed price.")
        if price is None:
            return say("Type the price that is to be tested.")
        return AskedTest(self.figures, self.standing.today(), self._priced()[int(at)], price, weeks,
                         self.boxes["look"].isChecked())  # fmt: skip

    def answer(self, asked: AskedTest, found: FoundTest) -> Answer:
        """How long."""
        form, test, item = self.form, found.test, asked.item
        weeks = say_many("{n} week", "{n} weeks", test.weeks or 0)
        said = say("It takes {weeks}: {n} drinks at each price, at {per_week} drinks a week in its section.",
                   weeks=weeks, n=form.number(test.per_arm, 0), per_week=count(form, found.per_week))  # fmt: skip
        at = {"drink": own(item.name), "price": form.money(asked.price), "even": form.percent(test.other),
              "share": form.percent(test.share)}  # fmt: skip
        if test.other < test.share:
            pays = say("{drink} at {price} pays unless its share falls below {even}, from {share} now.", **at)
        else:
            pays = say("{drink} at {price} pays if its share rises above {even}, from {share} now.", **at)
        warning, notes = "", []
        if test.weeks is not None and test.weeks > LONG:
            warning = say("That is too long to keep all else as it is: test a larger step, or decide without a test.")
        if not item.complete:
            notes.append(say("Something in it has no price, so its cost is at least that."))
        return Answer(f"{pays} {said}", {"figures": list(self._figures(asked, found))}, warning, notes)

    def _figures(self, asked: AskedTest, found: FoundTest) -> Iterator[Row]:
        form, test, item = self.form, found.test, asked.item
        where, why = Where("menu", item.menu, item.serve), self._even_why(asked, found)
        yield Row("now", (say("Price now"), Fig(form.money(item.listed), None),
                          say("{money} net", money=form.money(found.before))),
                  why=PriceOf(item.serve, item.menu, item.section), where=where)  # fmt: skip
        yield Row("then", (say("Price tested"), Fig(form.money(asked.price), None),
                           say("{money} net", money=form.money(found.after))), why=why)  # fmt: skip
        yield Row("share", (say("Share of its section now"), Fig(form.percent(test.share, 2), test.share),
                            say("{n} sold", n=count(form, item.sold))))  # fmt: skip
        volume = self._change(found.volume)
        yield Row("even", (say("Share at which it breaks even"), Fig(form.percent(test.other, 2), test.other), volume),
                  strong=True, why=why)  # fmt: skip
        yield Row("arm", (say("Drinks at each price"), Fig(form.number(test.per_arm, 0), test.per_arm),
                          say("all drinks of the section count")), strong=True)  # fmt: skip
        yield Row("both", (say("Drinks at both"), Fig(form.number(test.drinks, 0), test.drinks), ""))
        yield Row("week", (say("Drinks a week in its section"), Fig(count(form, found.per_week), found.per_week), ""))
        yield Row("weeks", (say("Weeks"), Fig(form.number(test.weeks or 0, 0), test.weeks), ""), strong=True)
        if asked.weeks:
            text = say("nothing") if found.seen is None else form.percent(found.seen, 2)
            less = say("or less") if test.other < test.share else say("or more")
            yield Row("seen", (say("In {n} weeks could be told", n=f"{asked.weeks:g}"), Fig(text, found.seen),
                               less if found.seen is not None else ""))  # fmt: skip
        yield from self._stop(test)

    def _change(self, volume: Decimal | None) -> str:
        if volume is None:
            return ""
        share = self.form.percent(abs(volume))
        return say("{share} fewer sold", share=share) if volume < 0 else say("{share} more sold", share=share)

    def _stop(self, test: PriceTest) -> Iterator[Row]:
        form = self.form
        if test.looks is None:
            yield Row("stop", (say("When to look"), "", say("not before all drinks are sold")))
        else:
            yield Row("stop", (say("When to look"), Fig(form.number(test.per_arm // 2, 0), test.per_arm // 2),
                               say("drinks at each price, once; end there only beyond z of {z}",
                                   z=form.number(test.looks.half, 3))))  # fmt: skip
        yield Row("critical", (say("The difference is real beyond z of"), Fig(form.number(test.critical, 3),
                                                                             test.critical),
                               say("once all drinks are sold")))  # fmt: skip

    def _even_why(self, asked: AskedTest, found: FoundTest) -> Said:
        form, cost = self.form, asked.item.cost
        lines = [
            Line(say("net of the price now"), form.money(found.before)),
            Line(say("net of the price tested"), form.money(found.after)),
            Line(
                say("cost"), form.least(form.money(cost), asked.item.complete), where=Where("serve", asked.item.serve)
            ),
            Line(say("margin now"), form.money(float(found.before) - cost)),
            Line(say("margin then"), form.money(float(found.after) - cost)),
            Line(say("change of volume that leaves the same"), form.percent(found.volume)),
            Line(say("share of its section now"), form.percent(found.test.share, 2)),
        ]
        return Said(Trail(say("Share at which {price} breaks even", price=form.money(asked.price)),
                          form.percent(found.test.other, 2), tuple(lines)))  # fmt: skip
