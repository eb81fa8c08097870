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
from costing.report.cleartext import clear
from costing.report.cleartext import right_to_left as runs_left
from costing.report.content import Head
from costing.report.pdf_turned import TurnedParagraph, mirrored, visual
from costing.report.phrases import house_name, stamp
from costing.tongue import PSEUDO, PSEUDO_RTL, day_text, language, numeral, right_to_left, say

INK, FAINT, COPPER = HexColor("#1F2328"), HexColor("#5B6067"), HexColor("#9A4F20")
PAPER, RULE = HexColor("#F6F1E9"), HexColor("#B9B0A3")
FACE, BOLD = "StillroomSans", "StillroomSans-Bold"
MARGIN, TOP, BOTTOM = 12 * mm, 22 * mm, 15 * mm
LACKING = "▯"
SOFT = "\u00ad"
"""A soft hyphen: where a long word of a translation may break. Paragraphs know it."""


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
        self.leftwards = right_to_left()

    def line(self, text: str) -> str:
        """One line as its letters stand on the page, for whoever draws without paragraphs."""
        said = self.plain(text).replace(SOFT, "")
        return visual(said) if self.leftwards else said

    def plain(self, text: str) -> str:
        """Text with a visible mark for every character that the faces do not have."""
        said = clear(text)
        self.turned = self.turned or runs_left(said)
        self.lacking.update(ch for ch in said if ord(ch) not in self.has and not ch.isspace())
        return "".join(ch if ord(ch) in self.has or ch.isspace() else LACKING for ch in said)

    def markup(self, text: str) -> str:
        """The same, escaped for a paragraph, lines kept."""
        return escape(self.plain(text)).replace("\n", "<br/>")

    def para(self, text: str, size: float = 8, *, bold: bool = False, right: bool = False, colour: Any = INK) -> Any:
        """A paragraph of plain text."""
        if self.leftwards:
            return self._turned([(text, bold)], size, right=right, colour=colour)
        return Paragraph(self.markup(text), style(size, bold=bold, right=right, colour=colour))

    def lead(self, first: str, text: str, size: float = 8) -> Any:
        """A paragraph that begins in bold."""
        if self.leftwards:
            return self._turned([(first, True), (text, False)], size)
        return Paragraph(f"<b>{self.markup(first)}</b>{self.markup(text)}", style(size))

    def run(self, parts: Iterable[tuple[str, str]], size: float = 8) -> Any:
        """One paragraph of parts that each begin in bold."""
        if self.leftwards:
            return self._turned([run for first, rest in parts for run in ((first, True), (f"{rest} ", False))], size)
        text = " ".join(f"<b>{self.markup(first)}</b>{self.markup(rest)}" for first, rest in parts)
        return Paragraph(text, style(size))

    def two(self, text: str, small: str, size: float = 8, *, bold: bool = False, right: bool = False) -> list[Any]:
        """A line of text and a smaller, fainter one under it."""
        out = [self.para(text, size, bold=bold, right=right)]
        return out + ([self.para(small, size - 1.5, right=right, colour=FAINT)] if small else [])

    def _turned(self, runs: list[tuple[str, bool]], size: float, *, right: bool = False, colour: Any = INK) -> Any:
        shown = [(self.plain(text).replace(SOFT, ""), bold) for text, bold in runs]
        return TurnedParagraph(shown, size, colour, (FACE, BOLD), right=right)

    def footnotes(self) -> list[str]:
        """What the reader must know of characters that were not shown as written."""
        notes = []
        if self.lacking:
            points = ", ".join(f"U+{ord(ch):04X}" for ch in sorted(self.lacking))
            notes.append(
                say(
                    "{sign} stands for a character that the printed face does not have: {points}.",
                    sign=LACKING,
                    points=points,
                )
            )
        if self.turned and not self.leftwards:
            notes.append(
                say(
                    "Text in a script that runs from right to left is printed letter by letter in the order it is "
                    "stored, neither joined nor turned: read it in the book or the workbook."
                )
            )
        return notes


def money(value: float, head: Head) -> str:
    """An amount as it is printed, rounded in the one place that rounds."""
    return numeral(f"{shown(value, head.money):,}")


def unit_money(value: float, head: Head) -> str:
    """What one unit costs, with two places more than the currency has: it is multiplied before it is paid."""
    return numeral(f"{rounded(value, digits(head.money) + 2):,}")


def figure(value: float | None, places: int = 3) -> str:
    """A mass or volume; a dash where there is none."""
    return "–" if value is None or abs(value) < 0.5 * 10**-places else numeral(f"{value:,.{places}f}")


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
    return laid(rows, [w * mm for w in widths], look, repeatRows=int(headed))


def laid(rows: Sequence[Sequence[Any]], widths: Sequence[float], look: Iterable[tuple[Any, ...]], **more: Any) -> Any:
    """A table of these widths in points, from the side that the language begins at; tall rows go on over a page."""
    side = "LEFT"
    if right_to_left():
        rows, widths, look = mirrored(rows, widths, look)
        side = "RIGHT"
    return Table(rows, widths, splitInRow=1, style=TableStyle(list(look)), hAlign=side, **more)


def heading(ink: Ink, text: str, *follows: Any) -> Any:
    """A heading that stays with what follows it."""
    return KeepTogether([Spacer(1, 4 * mm), ink.para(text, 10.5, bold=True), Spacer(1, 1.2 * mm), *follows])


def closing(ink: Ink, codes: Iterable[str], head: Head) -> list[Any]:
    """The cautions, once."""
    lines = [caution(code, head.permit, head.permit_until, head.day) for code in codes]
    out = [heading(ink, say("Cautions"), ink.para(lines[0], 7, colour=FAINT))] if lines else []
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
    day = say("{day} · revision {revision}", day=day_text(head.day), revision=head.revision)
    mark = ink.plain(stamp(head))

    story = [*story[:1], *(ink.para(note, 7) for note in ink.footnotes()), *story[1:]]

    def dress(canvas: Any, number: int, of: int) -> None:
        left, right, top = MARGIN, size[0] - MARGIN, size[1] - 13 * mm
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, 9)
        begin, end = canvas.drawString, canvas.drawRightString
        near, far = left, right
        if ink.leftwards:
            begin, end, near, far = end, begin, far, near
        begin(near, top, _fitted(house_name(head), BOLD, 9, right - left - 60 * mm, ink))
        canvas.setFont(FACE, 8)
        end(far, top, ink.line(day))
        canvas.setStrokeColor(COPPER)
        canvas.setLineWidth(1.2)
        canvas.line(left, top - 2.2 * mm, right, top - 2.2 * mm)
        canvas.setFillColor(FAINT)
        canvas.setFont(FACE, 7)
        begin(near, 8 * mm, _fitted(f"{title} · {stamp(head)}", FACE, 7, right - left - 30 * mm, ink))
        end(far, 8 * mm, ink.line(say("page {number} of {count}", number=number, count=of)))

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
        lang={PSEUDO: "en", PSEUDO_RTL: "ar"}.get(language(), language()),
        invariant=1,
    )
    document.build(story, canvasmaker=type("Dressed", (_Pages,), {"dress": staticmethod(dress)}))
    return out.getvalue()


def _fitted(text: str, face: str, size: float, room: float, ink: Ink) -> str:
    """One line of a running head; a house name too long for it is shortened with a sign (the first page has it all)."""
    text = ink.plain(text)
    if pdfmetrics.stringWidth(ink.line(text), face, size) <= room:
        return ink.line(text)
    while text and pdfmetrics.stringWidth(ink.line(text + "…"), face, size) > room:
        text = text[:-1]
    return ink.line(text + "…")
