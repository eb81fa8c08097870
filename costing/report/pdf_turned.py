"""Pages that are read from right to left: letters joined, lines turned, tables mirrored. Knows reportlab.

reportlab sets letters from left to right as they come. Here a text is broken into lines as it is stored, then each line
is joined and turned by itself, which is the order that the bidirectional algorithm of Unicode asks for.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

_RTL = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff"
_UNIT = r"(?:% vol|%|°C|mg/l|g/l|ml|cl|mbar|bar|kg|kWh|min|Bx|mol|pc|L|l|g|h)(?![^\W_])"
_NUMBER = rf"(?:[+\-−~×]\s?)?\d+(?:[.,:/]\d+)*(?:\s?{_UNIT}(?: / [^\W_]+)?)?"
_WORD = rf"(?![{_RTL}])[^\W\d](?:(?![{_RTL}])[\w'’\-])*(?:\s?[%°])?"
_TURNS = re.compile(f"[{_RTL}]")
_FIGURE = re.compile(_NUMBER)
_TOKEN, _JOINT = rf"(?:{_NUMBER}|{_WORD})", r"(?:, |; |: |[ /.&])"
_SPAN = re.compile(rf"{_TOKEN}(?:{_JOINT}(?:{_TOKEN}|\({_TOKEN}(?:{_JOINT}{_TOKEN})*\)))*")
"""What is read from left to right: words of other scripts with the figures among them, or a figure with its unit."""
_MIRROR = str.maketrans("()[]{}<>«»→←", ")(][}{><»«←→")
Run = tuple[str, bool]
"""(text, bold)."""
_SIDES = {
    "LEFTPADDING": "RIGHTPADDING", "RIGHTPADDING": "LEFTPADDING", "LINEBEFORE": "LINEAFTER", "LINEAFTER": "LINEBEFORE",
}  # fmt: skip


@cache
def _joined() -> Callable[[str], str]:
    import arabic_reshaper  # noqa: PLC0415  only a page in Arabic needs it

    # of the ligatures only lam-alef, which the script demands and the printed faces have
    return arabic_reshaper.ArabicReshaper({"delete_harakat": False, "ARABIC LIGATURE ALLAH": False}).reshape  # type: ignore[no-any-return]


def visual(line: str, *, turns: bool | None = None) -> str:
    """One line as its letters stand from left to right, joined. A line without a letter that runs from right to left
    stays as it is, unless it ``turns`` as part of a longer text; in others what is read from left to right keeps its
    order, and all else is turned about it."""
    if not (bool(_TURNS.search(line)) if turns is None else turns):
        return line
    parts: list[str] = []
    end = 0
    for found in _SPAN.finditer(line):
        parts += [_turned(line[end : found.start()]), *_kept(found[0])]
        end = found.end()
    return "".join(reversed([*parts, _turned(line[end:])]))


def _kept(span: str) -> list[str]:
    """A span whole where there are words in it; figures one by one."""
    if re.search(rf"(?<![^\W_])(?!{_UNIT})[^\W\d_]", span):
        return [span]
    out, end = [], 0
    for found in _FIGURE.finditer(span):
        out += [_turned(span[end : found.start()]), found[0]]
        end = found.end()
    return [*out, _turned(span[end:])]


def _turned(text: str) -> str:
    """Letters joined, in the order they stand on the page; a mark stays with the letter it sits on."""
    clusters: list[str] = []
    for ch in _joined()(text) if text else "":
        if clusters and unicodedata.combining(ch):
            clusters[-1] += ch
        else:
            clusters.append(ch.translate(_MIRROR))
    return "".join(reversed(clusters))


class TurnedParagraph(Flowable):  # type: ignore[misc]
    """A paragraph of runs, read from right to left. ``right`` is as it would be in English: it ends at the left edge
    here. ``lines`` are for what is left of a paragraph that broke over pages."""

    def __init__(
        self,
        runs: Sequence[Run],
        size: float,
        colour: Any,
        faces: tuple[str, str],
        *,
        right: bool = False,
        lines: list[list[Run]] | None = None,
    ) -> None:
        super().__init__()
        self.runs, self.size, self.colour, self.faces, self.right = tuple(runs), size, colour, faces, right
        self.turns = any(_TURNS.search(text) for text, _ in runs)
        self.leading, self.lines, self.room, self.fixed = size * 1.28, lines or [], 0.0, lines is not None

    def wrap(self, wide: float, _tall: float) -> tuple[float, float]:
        """As wide as it may be, and as tall as its lines are."""
        self.room = wide
        if not self.fixed:
            self.lines = self._broken(wide)
        # a table that breaks a row between pages goes by these, not by what is given back
        self.width, self.height = wide, len(self.lines) * self.leading
        return self.width, self.height

    def minWidth(self) -> float:
        """The width of its longest word."""
        return max((self._wide(word, bold) for text, bold in self.runs for word in text.split()), default=0.0)

    def split(self, wide: float, tall: float) -> list[Flowable]:
        """Two paragraphs where only some of the lines have room."""
        self.wrap(wide, tall)
        fit = int(tall / self.leading)
        if fit < 1:
            return []
        if fit >= len(self.lines):
            return [self]
        return [
            TurnedParagraph(self.runs, self.size, self.colour, self.faces, right=self.right, lines=part)
            for part in (self.lines[:fit], self.lines[fit:])
        ]

    def draw(self) -> None:
        """Each line from its right edge; runs after one another to the left."""
        canvas = self.canv
        canvas.setFillColor(self.colour)
        y = len(self.lines) * self.leading - self.size
        for line in self.lines:
            ended = [*line[:-1], *((text.rstrip(), bold) for text, bold in line[-1:])]
            shown = [(visual(text, turns=self.turns), bold) for text, bold in ended]
            x = sum(stringWidth(text, self.faces[bold], self.size) for text, bold in shown) if self.right else self.room
            for text, bold in shown:
                canvas.setFont(self.faces[bold], self.size)
                canvas.drawRightString(x, y, text)
                x -= stringWidth(text, self.faces[bold], self.size)
            y -= self.leading

    def _wide(self, text: str, bold: bool) -> float:
        return float(stringWidth(visual(text, turns=self.turns), self.faces[bold], self.size))

    def _broken(self, wide: float) -> list[list[Run]]:
        lines: list[list[Run]] = []
        line: list[Run] = []
        used = 0.0
        for text, bold in self._pieces(wide):
            size = self._wide(text.rstrip(), bold)
            if text == "\n" or (line and used + size > wide + 0.01):
                lines.append(line)
                line, used = [], 0.0
                if text == "\n":
                    continue
            used += self._wide(text, bold)
            if line and line[-1][1] == bold:
                line[-1] = line[-1][0] + text, bold
            else:
                line.append((text, bold))
        return [*lines, line]

    def _pieces(self, wide: float) -> Iterable[Run]:
        """Words, each with the blank after it; a figure with its unit as one; line ends; and parts of a word that is
        wider than the room."""
        for text, bold in self.runs:
            for found in re.finditer(rf"\n|(?:{_NUMBER}|[^\s])+[^\S\n]*|[^\S\n]+", text):
                word = found[0]
                while word != "\n" and len(word) > 1 and self._wide(word.rstrip(), bold) > wide:
                    fit = len(word) - 1
                    while fit > 1 and self._wide(word[:fit], bold) > wide:
                        fit -= 1
                    yield word[:fit], bold
                    word = word[fit:]
                yield word, bold


def mirrored(
    rows: Sequence[Sequence[Any]], widths: Sequence[float], look: Iterable[tuple[Any, ...]]
) -> tuple[list[list[Any]], list[float], list[tuple[Any, ...]]]:
    """A table with its first column on the right: rows, widths and the commands of its style."""
    last = len(widths) - 1

    def turned(x: int) -> int:
        return last - x if x >= 0 else -1 - x

    out: list[tuple[Any, ...]] = []
    for name, first, end, *rest in look:
        out.append((_SIDES.get(name, name), (turned(end[0]), first[1]), (turned(first[0]), end[1]), *rest))
    return [list(reversed(row)) for row in rows], list(reversed(widths)), out
