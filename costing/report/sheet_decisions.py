"""The sheet of menu decisions: sold, cost and net price to type over, thresholds and classes as formulas on them.

Columns are those of Kasavana and Smith (1982) as Dittmer and Keefe print them: B sold, C = B/N, D cost, E net price,
F = E - D, G = D B, H = E B, L = F B; K = I/J, O = M/N and Q = cut/n under each section.
"""

from collections.abc import Mapping

from costing.report.decisions import DecisionRow, Decisions, DecisionSet, rule_words
from costing.report.grid import Sheet, at, quoted, tab
from costing.report.phrases import day_stamp
from costing.tongue import Saying, Sayings, say, say_word

DECISIONS: Saying = "Menu decisions"
"""Name of the sheet."""
NAME, SOLD, MIX, COST, NET, MARGIN, COSTS, SALES, EARNED, POPULAR, EARNS, KLASS, REPORTED, STANDING, ACTION = range(
    1, 16
)
_HEADS: Sayings = (
    "Drink", "Sold", "Share of the mix", "Cost", "Net price", "Margin", "Cost of all sold", "Net sales",
    "Margin of all sold", "Popularity", "Margin is", "Class", "As judged", "How sure", "What to do",
)  # fmt: skip
_WIDTHS = (32, 9, 9, 9, 9, 9, 12, 12, 12, 10.5, 9, 12, 12, 16, 28)
PLACES = 9
"""Decimals that figures are compared to: exactly as much must not fail by the last bit of a float."""


def decisions_sheet(decisions: Decisions, costs: Mapping[str, str] | None = None) -> Sheet:
    """The sheet. ``costs`` are formulas without "=" for the cost of a serve, by id, where other sheets of the same
    workbook work it out: a pack price then moves the class as well; others are numbers that may be typed over."""
    head = decisions.head
    sheet = Sheet(tab(DECISIONS), _WIDTHS, pages_wide=2)
    words = say("Framed cells may be typed over: the classes follow. How sure they are is of the figures as judged.")
    sheet.begin(say_word(DECISIONS), day_stamp(head), f"{head.house} · {rule_words(decisions)} {words}")
    sheet.headings(3, (say_word(name) for name in _HEADS), range(SOLD, EARNED + 1))
    for column in range(POPULAR, ACTION):
        sheet.text(3, column, say_word(_HEADS[column - 1]), "head.beside")
    sheet.text(4, NAME, say("Popular from this much of an equal share"))
    sheet.number(4, MIX, float(decisions.judging.cut), "price.percent")
    row = 6
    for section in decisions.sets:
        row = _section(sheet, row, section, decisions, costs or {})
    return sheet


class _Cells:
    """Where the totals and thresholds of one section stand."""

    def __init__(self, first: int, count: int) -> None:
        self.first, self.last = first, first + count - 1
        self.total, self.popular, self.earning, self.pour = (first + count + n for n in range(4))
        self.sold = at(self.total, SOLD)
        self.mean = at(self.earning, MARGIN)
        self.cut = at(4, MIX)

    def column(self, column: int) -> str:
        """All rows of a column."""
        return f"{at(self.first, column)}:{at(self.last, column)}"

    def counted(self, decisions: Decisions) -> str:
        """How many drinks are counted (n)."""
        cells = self.column(SOLD)
        return f'COUNTIF({cells},">0")' if decisions.judging.unsold == "left out" else f"COUNT({cells})"


def _section(sheet: Sheet, row: int, section: DecisionSet, decisions: Decisions, costs: Mapping[str, str]) -> int:
    sheet.text(row, NAME, section.title, "block")
    sheet.blank(row, range(SOLD, ACTION + 1), "block")
    if section.note:
        row += 1
        sheet.wide(row, NAME, sheet.safe, section.note, "text.small", lines=2)
    if not section.rows:
        return row + 2
    cells = _Cells(row + 1, len(section.rows))
    for n, drink in enumerate(section.rows):
        _drink(sheet, cells.first + n, drink, cells, decisions, costs)
    _totals(sheet, cells, decisions)
    return cells.pour + 2


def _drink(
    sheet: Sheet, row: int, drink: DecisionRow, cells: _Cells, decisions: Decisions, costs: Mapping[str, str]
) -> None:
    sold, cost, net, margin = (at(row, column) for column in (SOLD, COST, NET, MARGIN))
    sheet.text(row, NAME, drink.name, "indent", "" if drink.complete else say("Its cost is at least this."))
    sheet.number(row, SOLD, drink.sold, "price.count")
    sheet.formula(row, MIX, f"=IF({cells.sold}>0,{sold}/{cells.sold},0)", "percent")
    if drink.serve in costs:
        sheet.formula(row, COST, f"={costs[drink.serve]}", "money.copper")
    else:
        sheet.number(row, COST, drink.cost, "price")
    sheet.number(row, NET, drink.net, "price")
    sheet.formula(row, MARGIN, f"={net}-{cost}", "money")
    sheet.formula(row, COSTS, f"={sold}*{cost}", "money")
    sheet.formula(row, SALES, f"={sold}*{net}", "money")
    sheet.formula(row, EARNED, f"={sold}*{margin}", "money")
    if not drink.klass:
        sheet.text(row, REPORTED, "–", "beside")
        return
    reaches = ">=0" if decisions.judging.tie == "high" else ">0"
    high, low = quoted(say("high")), quoted(say("low"))
    popular = f"ROUND({sold}*{cells.counted(decisions)}-{cells.cut}*{cells.sold},{PLACES}){reaches}"
    if decisions.judging.unsold == "left out":
        popular = f"AND({sold}>0,{popular})"
    sheet.formula(row, POPULAR, f"=IF({popular},{high},{low})", "beside")
    sheet.formula(row, EARNS, f"=IF(ROUND({margin}-{cells.mean},{PLACES}){reaches},{high},{low})", "beside")
    often, much = f"{at(row, POPULAR)}={high}", f"{at(row, EARNS)}={high}"
    star, plowhorse, puzzle, dog = map(quoted, decisions.classes)
    klass = f"IF({often},IF({much},{star},{plowhorse}),IF({much},{puzzle},{dog}))"
    sheet.formula(row, KLASS, f'=IF({cells.sold}>0,{klass},"–")', "beside")
    sheet.text(row, REPORTED, drink.klass, "beside")
    sheet.text(row, STANDING, drink.standing, "beside")
    sheet.text(row, ACTION, drink.action, "text.small")


def _totals(sheet: Sheet, cells: _Cells, decisions: Decisions) -> None:
    row = cells.total
    sheet.text(row, NAME, say("All of the section"), "total")
    sheet.blank(row, range(MIX, ACTION + 1), "total")
    for column, style in ((SOLD, "total.count"), (COSTS, "total.money"), (SALES, "total.money"),
                          (EARNED, "total.money")):  # fmt: skip
        sheet.formula(row, column, f"=SUM({cells.column(column)})", style)
    sheet.text(cells.popular, NAME, say("Popular from"))
    sheet.formula(cells.popular, SOLD, f"={at(cells.popular, MIX)}*{cells.sold}", "two")
    sheet.formula(cells.popular, MIX, f"={cells.cut}/{cells.counted(decisions)}", "percent.fine")
    sheet.text(cells.earning, NAME, say("High margin from"))
    sheet.formula(cells.earning, MARGIN, f"=IF({cells.sold}>0,{at(row, EARNED)}/{cells.sold},0)", "unit.price")
    sheet.text(cells.pour, NAME, say("Pour cost of the section"))
    pour = f"IF({at(row, SALES)}>0,{at(row, COSTS)}/{at(row, SALES)},0)"
    sheet.formula(cells.pour, COST, f"={pour}", "percent")
