"""How many must be sold: drinks of the sold mix that carry the fixed costs."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.menu.capacity_rows import decision_margin
from costing.menu.composite import BreakEven, Part, composite_break_even
from costing.menu.mix import Item
from costing.tongue import say
from ui.desk import Where
from ui.format import own
from ui.places.menu.questions.pane import Answer, Fig, Row, Sheet
from ui.places.menu.questions.question import Asked, Question, count, span_text
from ui.places.menu.questions.reading import read_above
from ui.places.menu.questions.rows import figures_sheet
from ui.whys import CostOfServe, Line, Said, Trail

HUNDRED = 100.0
"""Drinks in one composite unit."""


@dataclass(frozen=True, slots=True)
class AskedCarrying(Asked):
    """Fixed costs of so many weeks."""

    fixed: Decimal
    weeks: float

    @property
    def items(self) -> tuple[Item, ...]:
        """Drinks that were sold."""
        return tuple(i for i in self.mix.items if i.sold > 0)

    @property
    def sold(self) -> float:
        """How many of all would be sold in those weeks, at the pace of the sales looked at."""
        return sum(i.sold for i in self.items) * self.weeks / self.mix.weeks

    def work(self) -> BreakEven:
        """Composite units of a hundred drinks, in the shares they were sold in."""
        whole = sum(i.sold for i in self.items)
        if whole <= 0:
            raise ValueError(say("nothing on the menus of the day was sold in these weeks"))
        parts = [
            Part(name=i.key, units=HUNDRED * i.sold / whole, net=i.net, variable=i.net - decision_margin(i))
            for i in self.items
        ]
        return composite_break_even(float(self.fixed), parts)


class Carrying(Question):
    """Fixed costs, and the mix as it sells."""

    key = "carrying"

    def title(self) -> str:
        """The question."""
        return say("How many must be sold")

    def meaning(self) -> str:
        """What it stands on."""
        return say("Drinks in the shares they were sold in, at what was paid for them. Fixed costs are those that "
                   "stay however many are sold: rent, staff, machines; not materials and energy.")  # fmt: skip

    def fill_in(self) -> None:
        """Money and weeks."""
        self.blank("fixed", say("Fixed costs"), (0, 0, 1), hint=say("net of tax, like 20000"))
        self.blank("weeks", say("In so many weeks"), (0, 1, 1), hint=say("as many as the sales"))
        self.grid.setColumnStretch(2, 1)

    def tables(self) -> Sequence[Sheet]:
        """By drink, and figures."""
        return (
            figures_sheet(),
            Sheet("drinks", say("Drink by drink"),
                  ((say("Drink"), False), (say("Of 100 sold"), True), (say("Net"), True), (say("Varies"), True),
                   (say("Must be sold"), True), (say("At this pace"), True))),
        )  # fmt: skip

    def asked(self) -> Asked | str:
        """How much in how many weeks."""
        fixed = self.read("fixed", self.money, None)
        weeks = self.read("weeks", lambda text: read_above(text, 520), None)
        mix = self.standing.today()
        if fixed is None:
            return say("Type the fixed costs that these drinks must carry.")
        return AskedCarrying(self.figures, mix, fixed, mix.weeks if weeks is None else weeks)

    def answer(self, asked: AskedCarrying, found: BreakEven) -> Answer:
        """How many."""
        form, must = self.form, found.units * HUNDRED
        said = say("{n} drinks must be sold in {span} to carry {fixed}: {net} net.", n=form.number(must, 0),
                   span=span_text(asked.mix, asked.weeks), fixed=form.money(asked.fixed),
                   net=form.money(found.sales))  # fmt: skip
        over = asked.sold - must
        pace = {"sold": form.number(asked.sold, 0), "n": form.number(abs(over), 0)}
        if over >= 0:
            said += " " + say("At the pace of these sales {sold} are, {n} more than that.", **pace)
        else:
            said += " " + say("At the pace of these sales {sold} are, {n} too few.", **pace)
        notes = []
        if lacking := [own(i.name) for i in asked.items if not i.complete]:
            notes.append(say("Something has no price in {drinks}: at least so many must be sold.",
                             drinks=", ".join(lacking)))  # fmt: skip
        return Answer(said, {"figures": self._figures(asked, found), "drinks": self._drinks(asked, found)}, notes=notes)

    def _figures(self, asked: AskedCarrying, found: BreakEven) -> list[Row]:
        form, must = self.form, found.units * HUNDRED
        left = asked.sold / HUNDRED * found.margin - float(asked.fixed)
        why = self._why(asked, found)
        return [
            Row("net", (say("Net of 100 drinks"), Fig(form.money(found.net), found.net), "")),
            Row("varies", (say("Varies with them"), Fig(form.money(found.variable), found.variable),
                           say("materials and energy"))),
            Row("margin", (say("100 drinks leave"), Fig(form.money(found.margin), found.margin), ""), why=why),
            Row("fixed", (say("Fixed costs"), Fig(form.money(asked.fixed), float(asked.fixed)),
                          span_text(asked.mix, asked.weeks))),
            Row("must", (say("Must be sold"), Fig(form.number(must, 0), must),
                         say("{n} a week", n=form.number(must / asked.weeks, 0))), strong=True, why=why),
            Row("sales", (say("Net sales at that"), Fig(form.money(found.sales), found.sales), ""), strong=True),
            Row("pace", (say("Sold at this pace"), Fig(form.number(asked.sold, 0), asked.sold),
                         say("{n} a week", n=form.number(asked.sold / asked.weeks, 0)))),
            Row("left", (say("Left over, at this pace"), Fig(form.money(left), left), ""), strong=True),
        ]  # fmt: skip

    def _drinks(self, asked: AskedCarrying, found: BreakEven) -> list[Row]:
        form, must = self.form, found.units
        whole, out = sum(i.sold for i in asked.items), []
        for n, item in enumerate(asked.items):
            of, varies = HUNDRED * item.sold / whole, item.net - decision_margin(item)
            pace = item.sold * asked.weeks / asked.mix.weeks
            out.append(Row(f"drink/{n}/{item.key}", (
                item.name, Fig(form.number(of, 1), of), Fig(form.money(item.net), item.net),
                Fig(form.least(form.money(varies), item.complete), varies),
                Fig(count(form, must * of), must * of), Fig(count(form, pace), pace),
            ), why=CostOfServe(item.serve), where=Where("serve", item.serve)))  # fmt: skip
        return out

    def _why(self, asked: AskedCarrying, found: BreakEven) -> Said:
        form, whole = self.form, sum(i.sold for i in asked.items)
        lines = [
            Line(say("fixed costs"), form.money(asked.fixed)),
            Line(say("100 drinks leave"), form.money(found.margin)),
        ]
        lines += [
            Line(say("{n} of {drink} leave", n=form.number(HUNDRED * i.sold / whole, 1), drink=own(i.name)),
                 form.money(HUNDRED * i.sold / whole * decision_margin(i)), depth=1, where=Where("serve", i.serve))
            for i in asked.items
        ]  # fmt: skip
        return Said(Trail(say("How many must be sold"), form.number(found.units * HUNDRED, 0), tuple(lines)))
