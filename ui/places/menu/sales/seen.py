"""What is said of files that were read: rows, money, totals, what is to be known of them; and their buttons."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costing.book.selling import Left
from costing.report.words import series
from costing.supply.till.plan_record import ButtonSeen, SalesPlan
from costing.supply.till.record import plain_text
from costing.supply.till.words import BASIS_WORDS, LEFT_WORDS, sales_doubt_text
from costing.tongue import capital, say, say_many, word
from ui.fault import refusal_of
from ui.format import UNKNOWN, Format, own
from ui.places.menu.sales.case import Key, SalesJudged

AT_ONCE = frozenset({
    "sales-replaces", "sales-digest", "sales-total-differs", "sales-tax-against", "sales-rates-differ",
    "sales-till-moved", "sales-given-negative", "sales-outlets",
})  # fmt: skip
"""Doubts that are said above everything; the others stand on a page of their own."""


def sentence(text: str) -> str:
    """A doubt as a sentence of its own."""
    text = capital(text.strip())
    return text if text[-1:] in (".", "!", "?", "…") else say("{sentence}.", sentence=text)


def plans_of(judged: Iterable[SalesJudged]) -> list[SalesPlan]:
    """Plans of the files that could be read."""
    return [one.plan for one in judged if one.plan is not None]


def rows_text(plans: Sequence[SalesPlan], form: Format) -> str:
    """ "214 rows read: 190 counted, 20 in no count (12 total, 8 money and no drink), 4 wait." """
    fates = Counter(fate.fate for plan in plans for fate in plan.fates)
    reasons = Counter(fate.reason for plan in plans for fate in plan.fates if fate.fate == "ignored")
    counted, ignored, waiting = (form.number(fates[fate], 0) for fate in ("counted", "ignored", "waiting"))
    why = series(
        say("{n} {why}", n=form.number(n, 0), why=word(LEFT_WORDS, reason))
        for reason, n in sorted(reasons.items(), key=_most)
    )
    left = say("{n} in no count ({why})", n=ignored, why=why) if why else say("{n} in no count", n=ignored)
    whole = fates.total()
    return say_many("{n} row read: {counted} counted, {left}, {waiting} wait.",
                    "{n} rows read: {counted} counted, {left}, {waiting} wait.", whole, n=form.number(whole, 0),
                    counted=counted, left=left, waiting=waiting)  # fmt: skip


def _most(pair: tuple[Left, int]) -> tuple[int, str]:
    return -pair[1], pair[0]


def tax_text(plan: SalesPlan) -> str:
    """Whether tax is in the money of a file, and how that is known."""
    tax = plan.tax
    if not tax.basis:
        return "" if plan.asked else say("It has no money, only counts.")
    inside = say("Tax and service are in its money")
    if tax.basis == "ex":
        inside = say("Its net is without tax and service")
    how = {
        "said": say("as was said"), "kept": say("as this till was read before"), "sums": say("by its sums"),
        "words": say("by its heading"), "prices": say("by printed prices"), "taken": say("taken so"),
    }.get(tax.how, "")  # fmt: skip
    said = say("{inside}, {how}", inside=inside, how=how) if how else inside
    if tax.of:
        said += say("; {sum} in {holds} of {of} rows", sum=word(BASIS_WORDS, tax.formula), holds=tax.holds, of=tax.of)
    return sentence(said)


def totals_text(plans: Sequence[SalesPlan]) -> str:
    """How many totals of the files are what their rows add up to; "" where they have none."""
    totals = [total for plan in plans for total in plan.lines.totals]
    if not totals:
        return ""
    good = sum(not one.differs for one in totals)
    if good == len(totals):
        return say_many(
            "Its {n} total is what the rows add up to.", "All {n} totals are what the rows add up to.", good
        )
    return say_many("{good} of {n} total is what the rows add up to.",
                    "{good} of {n} totals are what the rows add up to.", len(totals), good=good)  # fmt: skip


def notes_of(judged: Iterable[SalesJudged], *, at_once: bool) -> list[str]:
    """What is doubted of files, the file named where there is more than one."""
    out = []
    files = list(judged)
    for one in files:
        if one.plan is None:
            continue
        for doubt in one.plan.doubts:
            if (doubt.code in AT_ONCE) is at_once:
                said = sentence(sales_doubt_text(doubt))
                named = say("{file}: {sentence}", file=own(one.case.name), sentence=said)
                out.append(said if len(files) == 1 else named)
    return out


def head_text(judged: Sequence[SalesJudged], form: Format) -> str:
    """Everything that is said above the buttons."""
    plans = plans_of(judged)
    if not plans:
        return ""
    said = [rows_text(plans, form), totals_text(plans)]
    if len(judged) == 1:
        said.insert(1, tax_text(plans[0]))
        said += notes_of(judged, at_once=True)
    return " ".join(text for text in said if text)


def days_text(one: SalesJudged, form: Format) -> str:
    """The days of a file."""
    plan = one.plan
    if plan is None or not plan.periods:
        return UNKNOWN
    since, until = plan.periods[0].since, plan.periods[-1].until
    if since == until:
        return form.day(since)
    return say("{since} to {until}", since=form.day(since), until=form.day(until))


def state_text(one: SalesJudged) -> str:
    """What stands between a file and the book, in a word or two."""
    if one.fault is not None:
        return say("cannot be read") if one.plan is None else say("cannot be taken")
    if one.plan is None:
        return UNKNOWN
    if one.plan.asked:
        return say_many("{n} question", "{n} questions", len(one.plan.asked))
    if not one.new:
        return say("in the book already")
    return say("replaces sales") if any(old is not None for old in one.plan.replaces) else say("ready")


def state_tip(one: SalesJudged) -> str:
    """The same in full."""
    if one.fault is not None:
        return refusal_of(one.fault).text
    asked = one.plan.asked if one.plan is not None else ()
    return "\n".join(map(sales_doubt_text, asked)) or state_text(one)


@dataclass(frozen=True, slots=True)
class SeenRow:
    """One button of the files that are looked at."""

    seen: ButtonSeen

    @property
    def key(self) -> str:
        """Which row it is."""
        code, text = self.button
        return f"{code}\t{text}"

    @property
    def button(self) -> Key:
        """What tells it from others."""
        return self.seen.code, plain_text(self.seen.text)

    @property
    def waits(self) -> bool:
        """Whether nobody has said what it means."""
        return self.seen.state == "waiting"


def seen_rows(plans: Sequence[SalesPlan]) -> list[SeenRow]:
    """Buttons of several files together, those that wait first, the most sold first."""
    found: dict[Key, ButtonSeen] = {}
    for plan in plans:
        for seen in plan.buttons:
            key = seen.code, plain_text(seen.text)
            old = found.get(key)
            found[key] = seen if old is None else _together(old, seen)
    order = {"waiting": 0, "sure": 1, "known": 2, "left": 3}
    rows = sorted(found.values(), key=lambda one: (order[one.state], -one.count, one.code, one.text))
    return [SeenRow(seen) for seen in rows]


def _together(one: ButtonSeen, other: ButtonSeen) -> ButtonSeen:
    nets = [net for net in (one.net, other.net) if net is not None]
    first, second = (one, other) if one.state == "waiting" else (other, one)
    return replace(
        first, rows=one.rows + other.rows, count=one.count + other.count, net=sum(nets, Decimal(0)) if nets else None,
        each=first.each if first.each is not None else second.each,
    )  # fmt: skip


def waiting_of(judged: Iterable[SalesJudged]) -> Iterator[ButtonSeen]:
    """Buttons that wait."""
    for plan in plans_of(judged):
        yield from plan.waiting
