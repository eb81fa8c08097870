"""The sheets of terms and menu: taxes and service in order, and from cost to price, every step a formula."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from costing.book.levies import Policy, PricePoints
from costing.report.content import Contents, MenuRow
from costing.report.grid import Sheet, at, quoted, tab
from costing.report.phrases import day_stamp, stamp
from costing.report.sheet_costs import base_words
from costing.tongue import Saying, Sayings, Words, say, say_word, word

TERMS: Saying = "Terms"
MENU: Saying = "Menu"
"""Names of sheets."""
SLACK = "1E-9"
Points = tuple[str, str, str, tuple[str, ...]]


def period_and_rests(points: PricePoints) -> tuple[Decimal, tuple[Decimal, ...]]:
    """Price points as arithmetic series: every point is rest + n * period. Without endings that is the step itself;
    with endings, the multiples of the step that end so repeat after the least whole multiple of it."""
    if not points.endings:
        return points.step, (Decimal(0),)
    step, rests = Fraction(points.step), set()
    for ending in points.endings:
        shares = Fraction(ending) * step.denominator
        if shares.denominator == 1:
            rests.add(points.step * (int(shares) * pow(step.numerator, -1, step.denominator) % step.denominator))
    return Decimal(step.numerator), tuple(sorted(rests))


def terms_sheet(contents: Contents) -> tuple[Sheet, str, str, tuple[str, ...], Points]:
    """The sheet, and the cells of: all-in for a bare price of 1, what is kept of it, each levy's part, and the price
    points (period, least, decimals, rests)."""
    sheet = Sheet(tab(TERMS), (34, 13, 26, 20, 16))
    sheet.wide(1, 1, 5, say("Terms"), "title")
    words = say("Taxes and service in the order they are added to a bare price of 1.")
    sheet.wide(2, 1, 5, f"{stamp(contents.head)}. {words}", "note")
    heads = say("Tax or service"), say("Rate"), say("Added to"), say("Who has it"), say("Part of a bare 1")
    sheet.headings(3, heads, (2, 5))
    sheet.text(3, 3, say("Added to"), "head.beside")
    sheet.text(4, 1, say("Bare price"))
    sheet.number(4, 5, 1.0, "factor")
    row, parts, kept = 4, [], [at(4, 5)]
    for levy in contents.levies:
        row += 1
        sheet.text(row, 1, levy.name)
        sheet.number(row, 2, float(levy.rate), "price.percent")
        sheet.text(row, 3, say("everything before it") if levy.on == "running" else say("the bare price"), "beside")
        sheet.text(row, 4, say("the house keeps it") if levy.kept else say("passed on"))
        before = f"SUM({at(4, 5)}:{at(row - 1, 5)})" if levy.on == "running" else at(4, 5)
        sheet.formula(row, 5, f"={at(row, 2)}*{before}", "factor")
        parts.append(at(row, 5, sheet.name))
        kept += [at(row, 5)] if levy.kept else []
    row += 1
    sheet.text(row, 1, say("All in"), "total")
    sheet.blank(row, (2, 3, 4), "total")
    sheet.formula(row, 5, f"=SUM({at(4, 5)}:{at(row - 1, 5)})", "total.factor")
    whole = at(row, 5, sheet.name)
    row += 1
    sheet.text(row, 1, say("Net: what the house keeps of it"), "total")
    sheet.blank(row, (2, 3, 4), "total")
    sheet.formula(row, 5, "=" + "+".join(kept), "total.factor")
    return sheet, whole, at(row, 5, sheet.name), tuple(parts), _points(sheet, row + 2, contents.points)


def _points(sheet: Sheet, row: int, points: PricePoints) -> Points:
    period, rests = period_and_rests(points)
    sheet.text(row, 1, say("Price points"), "head")
    sheet.blank(row, range(2, 6), "head")
    rows = [(say("Every"), period, "money"), (say("Not below"), points.least, "money")]
    rows.append((say("Decimals"), Decimal(_places(points)), "plain"))
    for n, rest in enumerate(rests):
        rows.append((say("Starting from") if n == 0 else say("or starting from"), rest, "money"))
    cells = []
    for n, (words, value, style) in enumerate(rows, start=1):
        sheet.text(row + n, 1, words)
        sheet.number(row + n, 2, float(value), style)
        cells.append(at(row + n, 2, sheet.name))
    return cells[0], cells[1], cells[2], tuple(cells[3:])


def _places(points: PricePoints) -> int:
    exponent = points.step.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _ceiling(value: str) -> str:
    return f"-INT(-({value}))"


def _many(name: str, terms: Sequence[str]) -> str:
    return terms[0] if len(terms) == 1 else f"{name}({','.join(terms)})"


def at_or_above(price: str, points: Points) -> str:
    """The lowest price point at or above a cell, with the slack the program allows."""
    period, least, decimals, rests = points
    wanted = f"MAX({price},{least})-{SLACK}"
    found = [f"{_ceiling(f'({wanted}-{rest})/{period}')}*{period}+{rest}" for rest in rests]
    return f"ROUND({_many('MIN', found)},{decimals})"


def below(price: str, points: Points) -> str:
    """The highest price point below a cell that holds a price point."""
    period, _, decimals, rests = points
    found = [f"({_ceiling(f'({price}-{rest}-{SLACK})/{period}')}-1)*{period}+{rest}" for rest in rests]
    return f"ROUND({_many('MAX', found)},{decimals})"


_TARGETS: Words = {"pour_cost": "pour cost", "margin": "margin", "multiplier": "times cost"}
_AFTER: Sayings = (
    "Net price", "Base cost", "Cost with making", "Pour cost", "Margin", "Aims at", "Target", "Net needed",
    "All in needed", "Suggested", "Point below", "which gives away", "On target", "", "Rests on assumed",
)  # fmt: skip


def menu_sheet(contents: Contents, costs: dict[str, tuple[str, str, str]]) -> tuple[Sheet, Sheet]:
    """(terms, menu)."""
    terms, whole, kept, parts, points = terms_sheet(contents)
    names = [levy.name for levy in contents.levies]
    widths = (24, 30, 9, *(9 for _ in names), 8.5, 10, 10, 8, 8.5, 11, 8.5, 8.5, 8.5, 10, 8.5, 8.5, 8, 8, 9)
    sheet = Sheet(tab(MENU), widths, fixed_columns=2, pages_wide=2)
    words = say(
        "money in {currency} · pour cost, margin and suggestion stand on {layers} and the net price. Framed cells may "
        "be typed over.",
        currency=contents.head.currency,
        layers=base_words(contents.head),
    )
    sheet.begin(say("Menu"), day_stamp(contents.head), f"{contents.head.house} · {words}")
    after = (say_word(name) for name in _AFTER)
    heads = (say("Menu, section"), say("Serve"), say("Printed price"), *names, *after)
    text = {1, 2, 9 + len(names), 16 + len(names), 17 + len(names)}
    sheet.headings(3, heads, [n for n in range(1, len(heads) + 1) if n not in text])
    sheet.text(3, 9 + len(names), say("Aims at"), "head.beside")
    sheet.text(3, 16 + len(names), say("On target"), "head.centre")
    for row, line in enumerate(contents.menu, start=4):
        _serve(sheet, row, line, costs[line.serve.id], (whole, kept, parts), points if contents.head.terms else None)
    return terms, sheet


def _serve(
    sheet: Sheet,
    row: int,
    line: MenuRow,
    cost: tuple[str, str, str],
    levies: tuple[str, str, tuple[str, ...]],
    points: Points | None,
) -> None:
    whole, kept, parts = levies
    after = 4 + len(parts)
    net, base, flag, price = at(row, after), at(row, after + 1), at(row, after + 13), at(row, 3)
    target, need_net, need_all, suggested, lower = (at(row, after + n) for n in (6, 7, 8, 9, 10))
    sheet.text(row, 1, " · ".join(w for w in (line.menu, line.section) if w) or say("on no menu"), "text.small")
    sheet.text(row, 2, line.serve.name, "text.bold")
    if line.printed is None:
        sheet.text(row, 3, "", "price.blank")
    else:
        sheet.number(row, 3, float(line.printed), "price")
    for n, part in enumerate(parts):
        sheet.formula(row, 4 + n, f'=IF(ISNUMBER({price}),{price}/{whole}*{part},"")', "money")

    def put(offset: int, formula: str, style: str) -> None:
        sheet.formula(row, after + offset, f"={formula}", style)

    if points is None:
        sheet.text(row, after, say("no terms"), "right.small")
    else:
        put(0, f'IF(ISNUMBER({price}),{price}/{whole}*{kept},"")', "money")
    put(1, cost[0], "money.copper")
    put(2, cost[1], "money")
    put(3, f'IF(AND(N({net})>0,ISNUMBER({base})),{base}/{net},"")', "percent")
    put(4, f'IF(AND(ISNUMBER({net}),ISNUMBER({base})),{net}-{base},"")', "money")
    put(13, cost[2], "flag")
    if line.serve.costed:
        sheet.number(row, after + 14, line.serve.assumed_share, "percent.whole")
    if points is None:
        return
    policy: Policy = line.priced.policy
    sheet.text(row, after + 5, word(_TARGETS, policy.kind), "beside")
    sheet.number(row, after + 6, float(policy.value), {"pour_cost": "price.percent", "margin": "price"}.get(
        policy.kind, "price.times"))  # fmt: skip
    needed = {"pour_cost": f"{base}/{target}", "margin": f"{base}+{target}", "multiplier": f"{base}*{target}"}
    least, none = quoted(say("at least")), quoted(say("none"))
    unsure = f'IF(NOT(ISNUMBER({base})),"–",IF({flag}>0,{least},IF({base}<0,{none},'
    put(7, f"{unsure}{needed[policy.kind]})))", "money")
    put(8, f"{unsure}{need_net}*{whole}/{kept})))", "money")
    put(9, f"{unsure}{at_or_above(need_all, points)})))", "money.copper")
    lowest = f"{below(suggested, points)}"
    put(10, f"{unsure}IF(OR({lowest}<=0,{lowest}<{points[1]}),{none},{lowest}))))", "money")
    put(11, f'IF(ISNUMBER({lower}),({suggested}-{lower})/{whole}*{kept},"")', "money")
    told = f"{quoted(say('yes'))},{quoted(say('no'))}"
    put(12, f'IF(AND(ISNUMBER({net}),ISNUMBER({need_net})),IF({net}>={need_net}-{SLACK},{told}),"")', "centre")
