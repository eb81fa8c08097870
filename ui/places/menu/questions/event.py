"""What an event costs: what to ask a head, what to make and to buy, and how to serve with care."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.levies import Policy
from costing.edits.base import currency_of
from costing.edits.menus import typed_policy
from costing.menu.event import Plan, Quote, Staff, event_quote
from costing.menu.event_words import with_care
from costing.tongue import say
from ui.format import own
from ui.places.menu.questions.event_rows import (
    batch_rows,
    cost_rows,
    drink_rows,
    event_sheets,
    hour_rows,
    shopping_rows,
)
from ui.places.menu.questions.pane import Answer, Sheet
from ui.places.menu.questions.question import Asked, Question, count
from ui.places.menu.questions.reading import (
    Names,
    offered,
    read_above,
    read_list,
    read_number,
    read_share,
    read_staff,
    read_whole,
)

GUESTS, HOURS = 100_000, 48


@dataclass(frozen=True, slots=True)
class AskedEvent(Asked):
    """The plan."""

    plan: Plan

    def work(self) -> Quote:
        """The quote."""
        return event_quote(self.figures.reckoning, self.plan)


class Event(Question):
    """A party that is quoted for."""

    key = "event"
    needs_sales = False

    def title(self) -> str:
        """The question."""
        return say("What an event costs")

    def meaning(self) -> str:
        """What it stands on."""
        return say("On the day looked at, under its taxes and service and price points. Nothing in stock is taken off.")

    def fill_in(self) -> None:
        """Guests, drinks, money."""
        for n, (key, title, hint, about) in enumerate((
            ("guests", say("Guests"), "80", ""),
            ("hours", say("Hours served"), "4", ""),
            ("first", say("Drinks in the first hour"), "2", say("A guest; common practice, and no more than that")),
            ("later", say("In each later hour"), "1", say("A guest; common practice, and no more than that")),
            ("more", say("Poured beyond that"), "0 %", say("For tasting and slips")),
        )):  # fmt: skip
            self.blank(key, title, (0, n, 1), hint=hint, about=about)
        self.blank("drinks", say("Drinks that are served, with their shares"), (1, 0, 3), offers=self._offer,
                   hint=say("as they sold; or Harbour Light 40 %; Ropewalk"),
                   about=say("Those without a share have what is left alike"))  # fmt: skip
        self.blank("staff", say("Staff"), (1, 3, 2), hint="3 x 5 h @ 22",
                   about=say("People x hours @ money an hour; setting up and clearing counted"))  # fmt: skip
        for n, (key, title, hint, about) in enumerate((
            ("hire", say("Hire"), "0", say("Glasses, ice, room: what is hired, in money")),
            ("breakage", say("Breaks of the hire"), "0 %", ""),
            ("minimum", say("Minimum spend"), say("none"), say("The least that the party pays, all in")),
            ("deposit", say("Paid ahead"), "0 %", ""),
            ("target", say("Target"), say("the house's"), say("20 % is a pour cost of the drinks; margin 9.50 money a "
                                                            "head after everything")),
        )):  # fmt: skip
            self.blank(key, title, (2, n, 1), hint=hint, about=about)

    def _serves(self) -> Names:
        return [(ident, serve.name) for ident, (serve, _) in self.figures.view.serves.items()]

    def _offer(self, text: str) -> list[str]:
        return offered(text, [name for _, name in self._serves()])

    def tables(self) -> Sequence[Sheet]:
        """Money, drinks, batches, hours, shopping."""
        return event_sheets()

    def asked(self) -> Asked | str:
        """The plan as its fields stand."""
        guests = self.read("guests", lambda text: read_whole(text, 1, GUESTS), 0)
        hours = self.read("hours", lambda text: read_above(text, HOURS), 0.0)
        drinks = self.read("drinks", lambda text: read_list(text, self._serves(), read_share, bare=True), ())
        first = self.read("first", lambda text: read_number(text, 0, 100), 2.0)
        later = self.read("later", lambda text: read_number(text, 0, 100), 1.0)
        more = self.read("more", lambda text: read_share(text, 10.0), 0.0)
        staff = self.read("staff", read_staff, ())
        hire = self.read("hire", self.money, Decimal(0))
        breakage = self.read("breakage", read_share, 0.0)
        minimum = self.read("minimum", self.money, None)
        deposit = self.read("deposit", read_share, 0.0)
        target = self.read("target", self._target, None)
        if not guests or not hours:
            return say("Type how many guests come, and for how many hours they are served.")
        try:
            serves = self._shares(drinks)
        except ValueError as error:
            return str(error)
        if not serves:
            return say("Type the drinks that are served: no sales are there to take their mix from.")
        plan = Plan(
            guests=guests, hours=hours, serves=serves, first_hour=first, later=later, allowance=more,
            staff=tuple(Staff(people=p, hours=h, rate=r) for p, h, r in staff), hire=float(hire), breakage=breakage,
            minimum=minimum, deposit=Decimal(repr(deposit)), policy=target,
        )  # fmt: skip
        return AskedEvent(self.figures, self.standing.today(), plan)

    def _target(self, text: str) -> Policy | None:
        return typed_policy(text, currency_of(self.desk.document.book))

    def _shares(self, drinks: Sequence[tuple[str, float | None]]) -> tuple[tuple[str, float], ...]:
        """Drinks with their shares, those without one having the rest alike; the sold mix where none is named."""
        if not drinks:
            sold: dict[str, float] = {}
            for item in self.standing.today().items:
                if item.sold > 0:
                    sold[item.serve] = sold.get(item.serve, 0.0) + item.sold
            return tuple((serve, number / sum(sold.values())) for serve, number in sold.items())
        bare = sum(share is None for _, share in drinks)
        rest = 1.0 - sum(share for _, share in drinks if share is not None)
        if bare and rest <= 1e-9:
            raise ValueError(say("The shares leave nothing for the drinks without one: lower them, or give each one."))
        return tuple((serve, rest / bare if share is None else share) for serve, share in drinks)

    def answer(self, asked: AskedEvent, found: Quote) -> Answer:
        """What to ask."""
        reckoning, form = asked.figures.reckoning, self.form
        rows = {
            "cost": cost_rows(found, form),
            "drinks": drink_rows(found, form),
            "batches": batch_rows(reckoning, found, asked.figures.names, form),
            "hours": hour_rows(reckoning, found, form),
            "shopping": shopping_rows(reckoning, found, asked.figures.names, form),
        }
        warning = ""
        if found.left < 0:
            warning = say("This event costs the house money: raise the price, the minimum or the target, or cut staff "
                          "and hire.")  # fmt: skip
        return Answer(self._said(found), rows, warning, self._notes(found), with_care(found.alcohol))

    def _said(self, q: Quote) -> str:
        price, form = q.price, self.form
        said = say("Ask {price} a head: {guests} guests pay {total} in all, and {left} is left after all costs.",
                   price=form.money(price.a_head), guests=q.plan.guests, total=form.money(price.total),
                   left=form.money(q.left) if q.complete
                   else say("at most {figure}", figure=form.money(q.left)))  # fmt: skip
        if price.minimum is None:
            return said
        if price.binds == "minimum":
            return said + " " + say("The minimum spend of {minimum} decides what is paid: the price a head comes to "
                                    "{heads}.", minimum=form.money(price.minimum),
                                    heads=form.money(price.a_head * price.guests))  # fmt: skip
        return said + " " + say("The price a head decides what is paid: the minimum spend of {minimum} is below it.",
                                minimum=form.money(price.minimum))  # fmt: skip

    def _notes(self, q: Quote) -> list[str]:
        form = self.form
        notes = [say("{n} drinks are expected; pour cost is {share} of what the house keeps.",
                     n=count(form, q.plan.drinks), share=form.percent(q.pour_cost))]  # fmt: skip
        if not self.blanks["drinks"].text.strip():
            notes.append(say("Drinks in the mix that was sold."))
        if not q.complete:
            lacking = ", ".join(own(p.name) for p in q.poured if not p.complete)
            notes.append(say("Something has no price in {drinks}: costs and price are at least what is shown.",
                             drinks=lacking))  # fmt: skip
        return notes
