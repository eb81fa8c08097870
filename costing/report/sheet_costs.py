"""The sheets of preparations and serves: blocks of inputs, amounts, unit costs by layer and money, all linked."""

from collections.abc import Iterable, Sequence

from costing.book.records import LAYERS
from costing.report.content import Contents, Head, InputRow, OutputRow, ServeRow
from costing.report.grid import Ref, Refs, Sheet, at, tab
from costing.report.phrases import day_stamp, said_of, strength_words, unit_word
from costing.report.places import refusal
from costing.report.words import layer_word, series
from costing.tongue import ENGLISH, Saying, language, say

PREPARATIONS: Saying = "Preparations"
SERVES: Saying = "Serves"
"""Names of sheets; ``tab`` says them."""
TYPED, AMOUNT, BASE, PER_UNIT, MONEY, MAKING, FLAG, UNIT_COST = 2, 3, 4, 5, 6, 10, 11, 12
"""Unit costs stand last: they are on the other blocks already, so paper does without them."""
_MONEY = range(MONEY, MONEY + len(LAYERS))


def _sheet(name: str, title: str, words: str, first: str, per_unit: str, head: Head) -> Sheet:
    sheet = Sheet(tab(name), (36, 18, 10.5, 6, 10, 10, 9, 9, 9, 11, 8, 10, 10, 10, 10), printed_columns=FLAG)
    sheet.begin(title, day_stamp(head), f"{head.house} · {words}")
    layers = [layer_word(layer) for layer in LAYERS]
    sheet.headings(
        3,
        (first, say("As typed"), say("Amount"), say("of"), per_unit, *(say("Money {layer}", layer=w) for w in layers),
         say("Money with making"), "", *(say("Unit cost {layer}", layer=w) for w in layers)),
        (AMOUNT, *range(PER_UNIT, FLAG), *range(UNIT_COST, UNIT_COST + len(LAYERS))),
    )  # fmt: skip
    sheet.text(3, BASE, say("of"), "head.beside")
    return sheet


def preparations_sheet(contents: Contents, refs: Refs) -> Sheet:
    """Every output, inputs first. Adds to ``refs`` where the unit cost of each stands."""
    sheet = _sheet(
        PREPARATIONS, say("Preparations"),
        say("Money in {currency} per unit that is made. Amounts are what the loss ledger found: they do not move with "
            "prices, and a changed yield or dose needs the book itself.", currency=contents.head.currency),
        say("Preparation, and what is in it"), say("Per unit"), contents.head,
    )  # fmt: skip
    row = 4
    for preparation in contents.preparations:
        if not preparation.outputs:
            sheet.text(row, 1, preparation.name, "block")
            sheet.blank(row, range(2, FLAG), "block")
            sheet.number(row, FLAG, 1.0, "flag")
            for problem in refusal(preparation, contents):
                row += 1
                said = say("Not costed: {why}", why=said_of(problem, contents))
                sheet.wide(row, 1, sheet.safe, said, "text.small", lines=2)
            row += 2
        for output in preparation.outputs:
            row = _output(sheet, row, output, refs)
    return sheet


def _output(sheet: Sheet, row: int, output: OutputRow, refs: Refs) -> int:
    sheet.text(row, 1, output.name, "block")
    sheet.text(row, TYPED, say("made in a batch"), "block.small")
    sheet.number(row, AMOUNT, output.made, "block.amount")
    sheet.text(row, BASE, unit_word(output.base), "block.beside")
    sheet.blank(row, range(PER_UNIT, FLAG + 1), "block")
    made, first = at(row, AMOUNT), row + 1
    for line in output.inputs:
        row += 1
        net = say("net of itself") if output.net_of_itself else ""
        _input(sheet, row, line, net, f"={at(row, AMOUNT)}/{made}", refs)
    row += 1
    words = say("Unit cost, per {unit}", unit=unit_word(output.base))
    refs[output.id] = _total(sheet, row, words, first, row - 1, "total.unit")
    return row + 2


def _input(sheet: Sheet, row: int, line: InputRow, typed: str, per_unit: str, refs: Refs) -> None:
    sheet.text(row, 1, line.name, "indent")
    sheet.text(row, TYPED, typed, "text.small")
    sheet.number(row, AMOUNT, line.amount, "amount")
    sheet.text(row, BASE, unit_word(line.base), "beside")
    sheet.formula(row, PER_UNIT, per_unit, "amount")
    ref = refs.get(line.source)
    for layer in range(len(LAYERS)):
        if ref is not None and layer in ref.layers:
            sheet.formula(row, UNIT_COST + layer, f"={ref.layers[layer]}", "unit")
            money = f"={at(row, PER_UNIT)}*N({at(row, UNIT_COST + layer)})"
            sheet.formula(row, MONEY + layer, money, "unit")
    sheet.formula(row, MAKING, f"=SUM({at(row, _MONEY[0])}:{at(row, _MONEY[-1])})", "unit")
    if ref is None:
        sheet.number(row, FLAG, 1.0, "flag")
    else:
        sheet.formula(row, FLAG, f"={ref.flag}", "flag")


def _total(sheet: Sheet, row: int, words: str, first: int, last: int, style: str) -> Ref:
    sheet.text(row, 1, words, "total")
    sheet.blank(row, range(2, MONEY), "total")
    for column in (*_MONEY, MAKING):
        cells = f"{at(first, column)}:{at(last, column)}"
        sheet.formula(row, column, f"=SUM({cells})" if last >= first else "=0", style)
    flags = f"{at(first, FLAG)}:{at(last, FLAG)}"
    sheet.formula(row, FLAG, f"=SUM({flags})" if last >= first else "=0", "total.flag")
    layers = {n: at(row, column, sheet.name) for n, column in enumerate(_MONEY)}
    return Ref(layers, at(row, MAKING, sheet.name), at(row, FLAG, sheet.name))


def serves_sheet(contents: Contents, refs: Refs) -> tuple[Sheet, dict[str, tuple[str, str, str]]]:
    """Every drink; and by serve, the cells of its base cost, its cost with making, and its flag."""
    words = say(
        "Money in {currency} for one drink. Pour cost and suggestions stand on {layers}.",
        currency=contents.head.currency,
        layers=base_words(contents.head),
    )
    sheet = _sheet(
        SERVES, say("Serves"), words, say("Serve, and what is in it"), say("In a drink"), contents.head
    )  # fmt: skip
    row, where = 4, {}
    for serve in contents.serves:
        row, cells = _serve(sheet, row, serve, contents, refs)
        where[serve.id] = cells
    return sheet, where


def _serve(sheet: Sheet, row: int, serve: ServeRow, contents: Contents, refs: Refs) -> tuple[int, tuple[str, str, str]]:
    sheet.text(row, 1, serve.name, "block")
    sheet.text(row, TYPED, in_glass(serve, contents), "block.small")
    sheet.blank(row, range(AMOUNT, FLAG + 1), "block")
    if not serve.costed:
        return _not_costed(sheet, row, serve, contents)
    said = in_glass(serve, contents)
    sheet.wide(row, TYPED, sheet.safe, said, "block.small", lines=1 + len(said) // 75)
    first = row + 1
    for line in serve.inputs:
        row += 1
        _input(sheet, row, line, line.typed, f"={at(row, AMOUNT)}", refs)
    row += 1
    total = _total(sheet, row, say("One drink"), first, row - 1, "total.unit")
    row += 1
    layers = [LAYERS.index(layer) for layer in contents.head.base]
    sheet.text(row, 1, say("Base cost: {layers}", layers=base_words(contents.head)), "total")
    sheet.blank(row, range(2, MAKING), "total")
    sheet.formula(row, MAKING, "=" + ("+".join(total.layers[n] for n in layers) or "0"), "total.unit")
    sheet.formula(row, FLAG, f"={total.flag}", "total.flag")
    return row + 2, (at(row, MAKING, sheet.name), total.making, total.flag)


def _not_costed(sheet: Sheet, row: int, serve: ServeRow, contents: Contents) -> tuple[int, tuple[str, str, str]]:
    """A serve whose build cannot be read has no cost at all, not a cost of nothing."""
    sheet.text(row, MAKING, say("not costed"), "block.right")
    sheet.number(row, FLAG, 1.0, "flag")
    cells = at(row, MAKING, sheet.name), at(row, MAKING, sheet.name), at(row, FLAG, sheet.name)
    for problem in serve.doubts:
        row += 1
        said = say("Not costed: {why}", why=said_of(problem, contents))
        sheet.wide(row, 1, sheet.safe, said, "text.small")
    return row + 2, cells


def base_words(head: Head) -> str:
    """The layers that percentages stand on, in words."""
    return listed([layer_word(layer) for layer in head.base])


def listed(words: Sequence[str] | Iterable[str]) -> str:
    """a, b and c."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return say("{first} and {last}", first=series(items[:-1]), last=items[-1])


def technique_word(name: str) -> str:
    """A technique amid a line: its name, small where the language writes nouns so."""
    return name.lower() if language() == ENGLISH else name


def in_glass(serve: ServeRow, contents: Contents) -> str:
    """What stands in the glass, and how sure the cost is."""
    parts = [] if serve.litres is None else [say("{volume} ml in the glass", volume=f"{1000 * serve.litres:.0f}")]
    if serve.costed:
        parts.append(say("after dilution {strength}", strength=strength_words(serve, contents)))
    parts += [t for t in (technique_word(serve.technique), serve.glass) if t]
    if serve.assumed_share:
        parts.append(say("{share} % of the cost rests on assumed figures", share=f"{100 * serve.assumed_share:.0f}"))
    return " · ".join(parts)
