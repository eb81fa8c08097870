"""The lines of a file as a table: old and new price of a unit, what was found, and why a line waits."""

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step
from costing.supply.arriving.doubt_words import doubt_text, where_text
from costing.supply.arriving.role_words import HOW_WORDS, SORT_WORDS
from costing.supply.plan.priced import pack_text
from costing.supply.plan.record import Fate, PlanLine
from costing.tongue import say, word
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column

ORDER: tuple[Fate, ...] = ("held", "sound", "ignored")
"""What waits first: that is what somebody has to look at."""
ByHand = Callable[[PlanLine, str], None]


def fate_word(fate: Fate) -> str:
    """What becomes of a line."""
    return {"sound": say("to take"), "held": say("waits"), "ignored": say("left out")}[fate]


def why_text(line: PlanLine) -> str:
    """Why a line waits, and what was taken from elsewhere."""
    said = [doubt_text(d) for d in (*line.why, *line.notes)]
    if line.by_hand:
        said.insert(0, say("decided by hand"))
    return "; ".join(said)


def pack_of(line: PlanLine) -> str:
    """The pack as it was read, or as it came."""
    quote = line.quote or line.priced
    return pack_text(quote.levels, quote.content) if quote is not None else line.line.said("pack")


def came_as(line: PlanLine) -> str:
    """The supplier's words."""
    return line.line.name or line.line.code or line.line.said("remark")


def columns(desk: Desk, *, billed: bool, choose: ByHand, came: ByHand) -> Sequence[Column[PlanLine]]:
    """Columns of a list, or of an invoice where ``billed``. ``choose`` and ``came`` hear what is typed over the
    ingredient and over the packs that came."""
    form, document = desk.format, desk.document

    def name(line: PlanLine) -> str:
        if line.line.sort != "goods":
            return word(SORT_WORDS, line.line.sort)
        return document.names.get(line.good, "") or UNKNOWN

    def chosen(book: Book, line: PlanLine, text: str) -> Step | None:
        choose(line, text)
        return None

    def delivered(book: Book, line: PlanLine, text: str) -> Step | None:
        came(line, text)
        return None

    def base(line: PlanLine) -> str:
        good = document.view.goods.get(line.good)
        return good.base if good is not None else ""

    def unit(line: PlanLine, value: Decimal | None) -> str:
        return form.unit_money(float(value), base(line)) if value is not None else UNKNOWN

    def change(line: PlanLine) -> str:
        if line.ratio is None:
            return UNKNOWN
        share = line.ratio - 1
        arrow = "▲ +" if share > 0 else "▼ " if share < 0 else ""
        return f"{arrow}{form.percent(share)}"

    def packs(value: Decimal | None) -> str:
        return form.number(value, 3, trim=True) if value is not None else UNKNOWN

    out = [
        Column[PlanLine]("n", say("Line"), lambda r: str(r.n), True, lambda r: r.n),
        Column[PlanLine]("fate", say("Is"), lambda r: fate_word(r.fate), sort=lambda r: ORDER.index(r.fate),
                         strong=lambda r: r.fate == "held"),
        Column[PlanLine]("came", say("Came as"), lambda r: own(came_as(r)), tip=as_it_came),
        Column[PlanLine]("good", say("Ingredient"), name, write=chosen, editable=lambda r: r.line.sort == "goods",
                         edit_text=lambda r: document.names.get(r.good, ""), choices=lambda: good_names(desk)),
        Column[PlanLine]("before", say("A unit was"), lambda r: unit(r, r.before), True, lambda r: r.before or 0),
        Column[PlanLine]("now", say("A unit is"), lambda r: unit(r, r.now), True, lambda r: r.now or 0),
        Column[PlanLine]("change", say("Change"), change, True, lambda r: r.ratio or 0),
    ]  # fmt: skip
    if billed:
        out += [
            Column[PlanLine]("packs", say("Packs billed"), lambda r: packs(r.packs), True, lambda r: r.packs or 0),
            Column[PlanLine]("delivered", say("Packs that came"), lambda r: packs(r.delivered), True,
                             lambda r: r.delivered or 0, write=delivered, editable=lambda r: r.packs is not None),
            Column[PlanLine]("ordered", say("Packs ordered"), lambda r: packs(r.ordered), True),
            Column[PlanLine]("agreed", say("Agreed a pack"), lambda r: form.money(r.agreed), True),
            Column[PlanLine]("billed", say("Billed a pack"), lambda r: form.money(r.priced.price if r.priced else None),
                             True),
        ]  # fmt: skip
    out += [
        Column[PlanLine]("how", say("Found by"), lambda r: word(HOW_WORDS, r.match.how)),
        Column[PlanLine]("pack", say("Pack"), pack_of),
    ]  # fmt: skip
    out.append(Column[PlanLine]("why", say("Why it waits, and what to know"), why_text, tip=why_text))
    return out


def as_it_came(line: PlanLine) -> str:
    """The whole line as it came, each part by what it was taken for."""
    return " · ".join([where_text(line.line.where), *(text for _, text in line.line.raw if text.strip())])


def good_names(desk: Desk) -> list[str]:
    """What a line may be said to mean."""
    return sorted((g.name for g in desk.document.view.goods.values()), key=str.casefold)


def seen(lines: Iterable[PlanLine], fate: Fate | None) -> list[PlanLine]:
    """The lines of one fate, or all with those that wait first."""
    if fate is not None:
        return [line for line in lines if line.fate == fate]
    return sorted(lines, key=lambda line: ORDER.index(line.fate))
