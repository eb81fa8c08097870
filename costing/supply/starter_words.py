"""What the first sheet of the starter workbook says, and which kinds of stage take a figure."""

from costing.book.kinds import READING_DIMS, STAGE_KINDS

TITLE = "Starter workbook"
GUIDE = (
    "Write names as you say them; the same name means the same thing on every sheet. Sheets, columns and their order "
    "are explained below, and the grey line under each head says it again.",
    "Amounts are written with their unit: 45 ml, 0,75 l, 1 1/2 us fl oz, 2 dashes, 1.72 kg less 0.37 kg, 1.2 l at 5 C. "
    "A ~ in front says that nobody measured it. Behind it, after a semicolon, may stand how it was measured, and after "
    "another a note: 1.95 kg; scales; tray tared.",
    "A plain number is taken only where it can mean one thing: pieces, runs, money. Elsewhere write the unit, or fill "
    "in the column Unit. Percentages may be typed as 51 % or as a cell in percent.",
    "Days are dates, or text such as 2026-03-01. Where a From day is empty, the day on the House sheet counts.",
    "Rows with the word example under Skip are passed over: they show how it is meant, and the book is the same with "
    "them or without. Clear the word and the row counts; the word skip parks a row of your own.",
    "On Preparations, Serves and Menu an empty cell means: as in the row above. Each thing that goes in has a row of "
    "its own, and so has each figure; they may share a row.",
    "Do not merge cells, and do not add columns. A sheet of your own may stay if its name begins with Notes.",
    "An allergen that nobody stated is not stated, never free. Distilling, vacuum, pressure and alcohol are work for "
    "licensed and trained people; local law comes first.",
)


def kinds_that_take(figure: str) -> str:
    """The kinds of stage that take a fact; readings may stand on every kind."""
    if figure in READING_DIMS or figure == "runs":
        return "every kind"
    return ", ".join(kind for kind, row in STAGE_KINDS.items() if figure in row.takes)
