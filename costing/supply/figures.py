"""Numbers as people paste them: mixed numbers, fractions of any script, ranges, a decimal comma, a bare point."""

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal

from costing.book.fact import LARGEST, NUMBER, value_of
from costing.supply.spoken import leading

FINEST = -18
_BETWEEN = re.compile(r" ?(?:-| to | or ) ?(?=[.0-9])", re.IGNORECASE)
_MIXED_SIGNS = str.maketrans({"\u066b": ".", "\u066c": ",", "×": "x", "✕": "x", "\u2044": "/"})


@dataclass(frozen=True, slots=True)
class Numbers:
    """From ``low`` to ``high``, the same where one number was read; ``rest`` is what follows."""

    low: Decimal
    high: Decimal
    rest: str
    doubts: tuple[str, ...] = ()
    fraction: bool = False


def plain_text(text: str) -> str:
    """``text`` with digits of any script, fractions and dashes in their plain forms and every space one space.

    A mixed number is set apart before a fraction sign is taken to pieces: "1½" is "1 1/2", never "11/2".
    """
    out = []
    for ch in text.translate(_MIXED_SIGNS):
        if "0" <= ch <= "9" or ch.isascii():
            out.append(ch)
        elif unicodedata.category(ch) == "Nd":
            out.append(str(unicodedata.digit(ch)))
        elif unicodedata.category(ch) == "No" and "\u2044" in (broken := unicodedata.normalize("NFKC", ch)):
            out.append(" " + broken.replace("\u2044", "/") + " ")
        elif unicodedata.category(ch) == "Pd" or ch == "\u2212":
            out.append("-")
        else:
            out.append(ch)
    return " ".join("".join(out).split())


def numbers(work: str, text: str) -> Numbers:
    """The number or range that ``work`` begins with."""
    low, rest, fraction, doubts = number(work, text)
    sep = _BETWEEN.match(rest)
    second = leading(rest.lstrip()) if not sep else None
    if second and second[0].sort == "unit" and (wide := _BETWEEN.match(second[1])):
        # "20 ml - 30 ml": the same unit twice is one range
        high, after, more, odd = number(second[1][wide.end() :], text)
        twin = leading(after.lstrip())
        if twin and twin[0] == second[0]:
            return _ordered(low, high, after, fraction or more, (*doubts, *odd))
    if not sep:
        return Numbers(low, low, rest, doubts, fraction)
    high, after, more, odd = number(rest[sep.end() :], text)
    if re.match(r"-(?:inch|in|cm|mm|ml|cl|oz)\b", after) and sep[0].strip() == "":
        return Numbers(low, low, rest, doubts, fraction)
    if high < low and more and high < 1 and low == low.to_integral_value() and "-" in sep[0]:
        both = low + high
        return Numbers(both, both, after, (*doubts, "mixed-or-range"), True)
    return _ordered(low, high, after, fraction or more, (*doubts, *odd))


def _ordered(low: Decimal, high: Decimal, rest: str, fraction: bool, doubts: tuple[str, ...]) -> Numbers:
    if high < low:
        return Numbers(high, low, rest, (*doubts, "range-backward"), fraction)
    return Numbers(low, high, rest, doubts, fraction)


def number(work: str, text: str) -> tuple[Decimal, str, bool, tuple[str, ...]]:
    """(value, what follows, whether it was a fraction, doubts) of the one number that ``work`` begins with."""
    found = NUMBER.match(f"0{work}" if re.match(",[0-9]", work) else work)
    if not found:
        raise ValueError(f'{text!r}: a number is needed, for example "45 ml"')
    rest = work[found.end() - (1 if re.match(",[0-9]", work) else 0) :]
    if re.match(r"[.,]?[0-9]|/", rest):
        raise ValueError(f"{text!r}: {work[:12]!r} can be read in more than one way; write one number and its unit")
    value = value_of(found, text)
    if value < 0:
        raise ValueError(f"{text!r}: the amount {value} must be 0 or more")
    over = found["under"] or found["under2"]
    improper = over is not None and Decimal(found["top"] or found["top2"]) > Decimal(over)
    return (
        fine(value, text),
        rest.lstrip(".,") if rest[:1] in ".," else rest,
        over is not None,
        (("improper-fraction",) if improper else ()),
    )


def fine(value: Decimal, text: str = "") -> Decimal:
    """A figure to 18 decimals, which a Fact can hold beside nine digits. ValueError beyond 1e9."""
    if abs(value) > LARGEST:
        raise ValueError(f"{text!r:.60}: an amount must lie from 0 to 1e9")
    exponent = value.as_tuple().exponent
    return value.quantize(Decimal(1).scaleb(FINEST)) if isinstance(exponent, int) and exponent < FINEST else value
