"""What every printed page shares: type, text that is safe to set, head and foot, tables. Knows reportlab."""

import io
from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, landscape
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

from costing.book.money import digits, rounded, shown
from costing.paths import resource
from costing.report.cautions import caution
from costing.report.cleartext import clear, right_to_left
from costing.report.content import Head
from costing.report.phrases import stamp

INK, FAINT, COPPER = HexColor("#1F2328"), HexColor("#5B6067"), HexColor("#9A4F20")
PAPER, RULE = HexColor("#F6F1E9"), HexColor("#B9B0A3")
FACE, BOLD = "StillroomSans", "StillroomSans-Bold"
MARGIN, TOP, BOTTOM = 12 * mm, 22 * mm, 15 * mm
LACKING = "▯"


@cache
def faces() -> frozenset[int]:
    """Register the two shipped faces once; the code points that both can show."""
    found = []
    for name, file in ((FACE, "DejaVuSans.ttf"), (BOLD, "DejaVuSans-Bold.ttf")):
        font = TTFont(name, io.BytesIO(resource("fonts", file)))
        pdfmetrics.registerFont(font)
        found.append(frozenset(font.face.charToGlyph))
    pdfmetrics.registerFontFamily(FACE, normal=FACE, bold=BOLD, italic=FACE, boldItalic=BOLD)
    return found[0] & found[1]


def style(size: float = 8, *, bold: bool = False, right: bool = False, colour: Any = INK) -> ParagraphStyle:
    """A paragraph style of the house."""
    return ParagraphStyle(
        f"{size}{bold}{right}{colour}",
        fontName=BOLD if bold else FACE,
        fontSize=size,
        leading=size * 1.28,
        textColor=colour,
        alignment=TA_RIGHT if right else 0,
        splitLongWords=1,
    )


class Ink:
    """Sets text for one document, and remembers what could not be shown as it was written."""

    def __init__(self) -> None:
        self.has = faces()
        self.lacking: set[str] = set()
        self.turned = False

    def plain(self, text: str) -> str:
        """Text with a visible mark for every character that the faces do not have."""
        said = clear(text)
        self.turned = self.turned or right_to_left(said)
        self.lacking.update(ch for ch in said if ord(ch) not in self.has and not ch.isspace())
        return "".join(ch if ord(ch) in self.has or ch.isspace() else LACKING for ch in said)

    def markup(self, text: str) -> str:
        """The same, escaped for a paragraph, lines kept."""
        return escape(self.plain(text)).replace("\n", "<br/>")

    def para(self, text: str, size: float = 8, *, bold: bool = False, right: bool = False, colour: Any = INK) -> Any:
        """A paragraph of plain text."""
        return Paragraph(self.markup(text), style(size, bold=bold, right=right, colour=colour))

    def lead(self, first: str, text: str, size: float = 8) -> Any:
        """A paragraph that begins in bold."""
        return Paragraph(f"<b>{self.markup(first)}</b>{self.markup(text)}", style(size))

    def run(self, parts: Iterable[tuple[str, str]], size: float = 8) -> Any:
        """One paragraph of parts that each begin in bold."""
        text = " ".join(f"<b>{self.markup(first)}</b>{self.markup(rest)}" for first, rest in parts)
        return Paragraph(text, style(size))

    def two(self, text: str, small: str, size: float = 8, *, bold: bool = False, right: bool = False) -> list[Any]:
        """A line of text and a smaller, fainter one under it."""
        out = [self.para(text, size, bold=bold, right=right)]
        return out + ([self.para(small, size - 1.5, right=right, colour=FAINT)] if small else [])

    def footnotes(self) -> list[str]:
        """What the reader must know of characters that were not shown as written."""
        notes = []
        if self.lacking:
            points = ", ".join(f"U+{ord(ch):04X}" for ch in sorted(self.lacking))
            notes.append(f"{LACKING} stands for a character that the printed face does not have: {points}.")
        if self.turned:
            notes.append(
                "Text in a script that runs from right to left is printed letter by letter in the order it is stored, "
                "neither joined nor turned: read it in the book or the workbook."
            )
        return notes


def money(value: float, head: Head) -> str:
    """An amount as it is printed, rounded in the one place that rounds."""
    return f"{shown(value, head.money):,}"


def unit_money(value: float, head: Head) -> str:
    """What one unit costs, with two places more than the currency has: it is multiplied before it is paid."""
    return f"{rounded(value, digits(head.money) + 2):,}"


def figure(value: float | None, places: int = 3) -> str:
    """A mass or volume; a dash where there is none."""
    return "–" if value is None or abs(value) < 0.5 * 10**-places else f"{value:,.{places}f}"


def table(
    rows: list[list[Any]], widths: Sequence[float], extra: Iterable[tuple[Any, ...]] = (), *, headed: bool = True
) -> Any:
    """A ruled table with a head that repeats on every page; rows too tall for a page go on over it."""
    top = [
        ("BACKGROUND", (0, 0), (-1, 0), PAPER),
        ("LINEBELOW", (0, 0), (-1, 0), 0.7, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, RULE),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
    ]
    look = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        *(top if headed else []),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("RIGHTPADDING", (0, 0), (-1, -1), 2),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        *extra,
    ]
    wide = [w * mm for w in widths]
    return Table(rows, wide, repeatRows=int(headed), splitInRow=1, style=TableStyle(look), hAlign="LEFT")


def heading(ink: Ink, text: str, *follows: Any) -> Any:
    """A heading that stays with what follows it."""
    return KeepTogether([Spacer(1, 4 * mm), ink.para(text, 10.5, bold=True), Spacer(1, 1.2 * mm), *follows])


def closing(ink: Ink, codes: Iterable[str], head: Head) -> list[Any]:
    """The cautions, once."""
    lines = [caution(code, head.permit, head.permit_until, head.day) for code in codes]
    out = [heading(ink, "Cautions", ink.para(lines[0], 7, colour=FAINT))] if lines else []
    out += [ink.para(line, 7, colour=FAINT) for line in lines[1:]]
    return out


class _Pages(Canvas):  # type: ignore[misc]
    """A canvas that holds its pages back until it knows how many there are."""

    dress: Any = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._held: list[dict[str, Any]] = []

    def showPage(self) -> None:
        """Hold the page."""
        self._held.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Dress and write every page."""
        for number, state in enumerate(self._held, start=1):
            self.__dict__.update(state)
            type(self).dress(self, number, len(self._held))
            super().showPage()
        super().save()


def pages(story: list[Flowable], *, title: str, head: Head, ink: Ink, wide: bool) -> bytes:
    """The document; the story begins with its title, and what could not be printed as written is said right under it.
    Equal stories give equal bytes."""
    size = landscape(A4) if wide else A4
    house, mark = ink.plain(head.house or "House without a name"), ink.plain(stamp(head))

    story = [*story[:1], *(ink.para(note, 7) for note in ink.footnotes()), *story[1:]]

    def dress(canvas: Any, number: int, of: int) -> None:
        left, right, top = MARGIN, size[0] - MARGIN, size[1] - 13 * mm
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, 9)
        canvas.drawString(left, top, _fitted(house, BOLD, 9, right - left - 60 * mm))
        canvas.setFont(FACE, 8)
        canvas.drawRightString(right, top, f"{head.day.isoformat()} · revision {head.revision}")
        canvas.setStrokeColor(COPPER)
        canvas.setLineWidth(1.2)
        canvas.line(left, top - 2.2 * mm, right, top - 2.2 * mm)
        canvas.setFillColor(FAINT)
        canvas.setFont(FACE, 7)
        canvas.drawString(left, 8 * mm, _fitted(f"{title} · {mark}", FACE, 7, right - left - 30 * mm))
        canvas.drawRightString(right, 8 * mm, f"page {number} of {of}")

    out = io.BytesIO()
    document = SimpleDocTemplate(
        out,
        pagesize=size,
        leftMargin=MARGIN - 6,  # a frame pads its text by 6 points
        rightMargin=MARGIN - 6,
        topMargin=TOP,
        bottomMargin=BOTTOM,
        title=title,
        author="Stillroom Ledger",
        subject=mark,
        lang="en",
        invariant=1,
    )
    document.build(story, canvasmaker=type("Dressed", (_Pages,), {"dress": staticmethod(dress)}))
    return out.getvalue()


def _fitted(text: str, face: str, size: float, room: float) -> str:
    """One line of a running head; a house name too long for it is shortened with a sign (the first page has it all)."""
    if pdfmetrics.stringWidth(text, face, size) <= room:
        return text
    while text and pdfmetrics.stringWidth(text + "…", face, size) > room:
        text = text[:-1]
    return text + "…"
