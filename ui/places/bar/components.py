"""The components of a drink as lines that are typed: "45 ml pineapple rum"; a last, empty line takes the next one."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Input, Stage
from costing.edits import serves
from costing.edits.lines import line_text
from costing.ledger import Reckoning
from costing.ledger.unit import Unbridged, amount_in_base
from costing.pricing.exposure import base_layers
from costing.supply import parse_measure
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.folding import fold, holds
from ui.format import own
from ui.models.table import Column
from ui.whys import CostOfServe, UnitCost

OFFERED = 12


@dataclass(frozen=True, slots=True)
class PartRow:
    """One component, or the empty line behind the last."""

    serve: str
    at: int
    text: str
    source: str = ""
    base: str = ""
    amount: float | None = None
    money: float | None = None
    spill: str = ""
    note: str = ""
    mark: str = ""


def amount_of(reckoning: Reckoning, item: Input) -> tuple[float | None, str]:
    """(base units of an input, the base): None where it cannot be told, or the stage works it out."""
    unit = reckoning.units.get(item.source)
    if unit is None or item.amount is None:
        return None, unit.base if unit else ""
    try:
        return amount_in_base(item.amount, unit, reckoning.view.measures).value, unit.base
    except Unbridged:
        return None, unit.base


def part_rows(figures: Figures, serve: str, build: Stage) -> list[PartRow]:
    """The components in order, and the empty line. Their money stands on the layers that the cost of the drink stands
    on, with what is poured beside, so that it adds up to it."""
    line, layers = figures.reckoning.serves.get(serve), base_layers(figures.reckoning)
    taken = line.carried.row if line is not None else {}
    whole: dict[str, float] = {}
    for item in build.adds:
        whole[item.source] = whole.get(item.source, 0.0) + (amount_of(figures.reckoning, item)[0] or 0.0)
    out = []
    for n, item in enumerate(build.adds):
        amount, base = amount_of(figures.reckoning, item)
        cost = figures.reckoning.costs.get(item.source)
        money = None
        if cost is not None and cost.complete and amount is not None:
            # what is bought is more than what goes in where some of it is spilled
            bought = taken.get(item.source, amount) * amount / whole[item.source] if whole[item.source] else amount
            money = cost.of(layers) * bought
        out.append(
            PartRow(
                serve,
                n,
                line_text(item, figures.names),
                item.source,
                base,
                amount,
                money,
                item.spill.text if item.spill else "",
                item.note,
                item.amount.mark if item.amount else "computed",
            )
        )
    return [*out, PartRow(serve, len(out), "")]


def offers_for(text: str, names: Sequence[str]) -> list[str]:
    """Lines that go on from what was typed: its amount, then every name that holds the words behind it."""
    try:
        rest = parse_measure(text).rest if text.strip()[:1].isdigit() or text.strip()[:1] in "~½¼¾⅓⅔." else text
    except ValueError:
        rest = text
    wanted = fold(rest)
    head = text[: len(text) - len(rest)] if rest and text.endswith(rest) else ""
    if not wanted:
        return []
    words = wanted.split()
    found = sorted((not fold(n).startswith(wanted), n.casefold(), n) for n in names if holds(fold(n), words))
    return [f"{head}{name}" for _, _, name in found[:OFFERED]]


def part_columns(desk: Desk, serve: Callable[[], str], day: Callable[[], date]) -> Sequence[Column[PartRow]]:
    """What a line shows; the first is typed into."""
    form, document = desk.format, desk.document

    def write(book: Book, row: PartRow, text: str) -> Step | None:
        if text.strip() == row.text:
            return None
        return serves.set_line(book, serve(), day(), row.at, text)

    def spill(book: Book, row: PartRow, text: str) -> Step | None:
        if text.strip() == row.spill:
            return None
        return serves.set_spill(book, serve(), day(), row.at, text)

    def offers(text: str) -> Sequence[str]:
        return offers_for(text, list(document.names.values()))

    def tip(row: PartRow) -> str:
        if not row.source:
            return say("Type an amount and what it is. A whole recipe can be pasted here, one component a line.")
        return row.note or say("Enter types over it; Delete takes it out; Ctrl+Up and Ctrl+Down move it.")

    return (
        Column[PartRow](
            "text",
            say("Component"),
            lambda r: r.text if r.source else say("Type the next component here"),
            tip=tip,
            write=write,
            edit_text=lambda r: r.text,
            offers=offers,
            mark=lambda r: r.mark,
            why=_why,
        ),
        Column[PartRow](
            "amount", say("Is"), lambda r: form.amount(r.amount, r.base) if r.source else "", True, why=_why
        ),
        Column[PartRow](
            "money",
            say("Costs"),
            lambda r: form.money(r.money) if r.source else "",
            True,
            why=_why,
            about=say("In the layers that pour cost stands on, with what is poured beside"),
        ),
        Column[PartRow](
            "spill",
            say("Spill"),
            lambda r: r.spill,
            True,
            write=spill,
            editable=lambda r: bool(r.source),
            why=_why,
            about=say("What is poured beside the glass, such as 3 %"),
        ),
        Column[PartRow]("note", say("Note"), lambda r: own(r.note) if r.note else "", why=_why),
    )


def _why(row: PartRow) -> UnitCost | CostOfServe:
    """What the component costs; on the empty line, what the drink does."""
    return UnitCost(row.source) if row.source else CostOfServe(row.serve)
