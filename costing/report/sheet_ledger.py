"""The sheet of the loss ledger: every stage in masses, volumes, alcohol and money, closing to the last gram."""

from costing.book.records import LAYERS
from costing.ledger.lines import Fate
from costing.report.content import Contents, PreparationRow, StageRow
from costing.report.grid import Refs, Sheet, at, product_sum, tab
from costing.report.phrases import day_stamp, deviation_line, figure_line, flow_line, said_of
from costing.report.places import refusal
from costing.report.words import key_word, stage_word
from costing.tongue import Saying, Sayings, say, say_word

NAME: Saying = "Ledger"
_FATES: tuple[Fate, ...] = ("on", "kept", "meant", "lost", "unexplained")
IN, OUT, GAP, LITRES, ABV, ALCOHOL, GONE = 2, 3, 8, 9, 10, 11, 12
SHARE, MATERIALS, LOST, MAKING, FLAG = 14, 15, 16, 17, 18
_HEADINGS: Sayings = (
    "Preparation and stage", "In, kg", "Goes on, kg", "Kept, kg", "Meant to leave, kg", "Lost, kg", "Unexplained, kg",
    "Difference, kg", "Goes on, L", "Strength, % vol", "Pure alcohol on, L", "Pure alcohol lost, L", "Yield stands on",
    "Of it lost", "Carried, materials", "of this, lost (memo)", "Carried, with making", "", "What leaves",
    "Figures and readings",
)  # fmt: skip


def ledger_sheet(contents: Contents, refs: Refs) -> Sheet:
    """Stage by stage. Money carried is amounts times unit costs, so it follows the prices; so does the memo."""
    head = contents.head
    widths = (25, 7.5, 8, 7.5, 8, 7.5, 11.5, 9.5, 9, 8, 8, 8, 16, 7, 9.5, 9.5, 9.5, 8, 42, 110)
    sheet = Sheet(tab(NAME), widths, printed_columns=19, pages_wide=2)
    words = say(
        "money in {currency} for one batch. The money lost is a memo: it is part of what is carried and is never added "
        "to it.",
        currency=head.currency,
    )
    sheet.begin(say("Loss ledger"), day_stamp(head), f"{head.house} · {words}")
    sheet.headings(3, (say_word(name) for name in _HEADINGS), (*range(2, 13), *range(14, 18)))
    sheet.text(3, 13, say_word(_HEADINGS[12]), "head.beside")
    row = 4
    for preparation in contents.preparations:
        row = _preparation(sheet, row, preparation, contents, refs)
    return sheet


def _preparation(sheet: Sheet, row: int, preparation: PreparationRow, contents: Contents, refs: Refs) -> int:
    sheet.text(row, 1, preparation.name, "block")
    sheet.blank(row, range(2, len(_HEADINGS) + 1), "block")
    row += 1
    for stage in preparation.stages:
        _stage(sheet, row, stage, refs)
        row += 1
    for problem in refusal(preparation, contents):
        said = say("Not costed: {why}", why=said_of(problem, contents))
        sheet.wide(row, 1, sheet.safe, said, "text.small", lines=2)
        row += 1
    return row + 1


def _stage(sheet: Sheet, row: int, stage: StageRow, refs: Refs) -> None:
    sheet.text(row, 1, stage_word(stage.kind), "indent")
    sheet.number(row, IN, stage.into.kg, "kg")
    for column, fate in enumerate(_FATES, start=OUT):
        sheet.number(row, column, stage.flow(fate).kg, "kg")
    parts = f"SUM({at(row, OUT)}:{at(row, OUT + len(_FATES) - 1)})"
    sheet.formula(row, GAP, f"=ROUND({at(row, IN)}-{parts},9)", "kg")
    on = stage.flow("on")
    if on.litres is not None:
        sheet.number(row, LITRES, on.litres, "kg")
    if on.abv is not None:
        sheet.number(row, ABV, 100 * on.abv, "strength")
    sheet.number(row, ALCOHOL, on.alcohol, "kg")
    sheet.number(row, GONE, stage.flow("lost").alcohol + stage.flow("unexplained").alcohol, "kg")
    sheet.text(row, 13, key_word(stage.key), "beside")
    sheet.number(row, SHARE, stage.share_lost, "percent")
    known = {source: amount for source, amount in stage.row.items() if source in refs}
    materials = [(a, refs[s].layers[0]) for s, a in known.items() if 0 in refs[s].layers]
    lost = [(a, refs[s].layers[0]) for s, a in stage.lost_goods.items() if s in refs and 0 in refs[s].layers]
    sheet.formula(row, MATERIALS, product_sum(materials), "money", stage.money[LAYERS.index("materials")])
    sheet.formula(row, LOST, product_sum(lost), "money", stage.lost_money)
    sheet.formula(row, MAKING, product_sum((a, refs[s].making) for s, a in known.items()), "money", sum(stage.money))
    flags = "+".join(refs[s].flag for s in known) or "0"
    sheet.formula(row, FLAG, f"={flags}", "flag", 0.0)
    left = [flow_line(f, stage.key) for f in stage.flows if f.fate != "on"]
    sheet.text(row, 19, "; ".join(left), "text.small")
    said = [figure_line(f) for f in stage.figures]
    said += [deviation_line(d) for d in stage.deviations if d.predicted is not None]
    sheet.text(row, 20, "; ".join(said), "text.small")
