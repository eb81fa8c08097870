"""One numeral: its digits, its marks, and every value that they can mean.

Text is folded before it comes here: digits of any script are 0 to 9, every space is one space, every apostrophe is ',
and the Arabic marks keep their own signs: U+066B is always the decimal mark and U+066C always that of thousands.
"""

import re
import unicodedata
from collections.abc import Mapping
from decimal import Decimal

POINT, COMMA = ".", ","
ARABIC_DECIMAL, ARABIC_GROUP = "\u066b", "\u066c"
SPACES = "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\t\n\r\v\f"
DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d"
APOSTROPHES = "\u2018\u2019\u201b\u02bc\uff07\u00b4`"
UNSEEN = "\u200b\u200c\u200d\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2060\u2066\u2067\u2068\u2069\ufeff\u00ad"
"""Signs that only steer how a text is shown."""
FRACTIONS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_SIGNS: Mapping[int, str | None] = {
    **dict.fromkeys(map(ord, SPACES), " "),
    **dict.fromkeys(map(ord, DASHES), "-"),
    **dict.fromkeys(map(ord, APOSTROPHES), "'"),
    **{code: chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F) if code != 0xFF07},  # full width forms
    0x2044: "/",
}
_SEEN: Mapping[int, str | None] = {**_SIGNS, **dict.fromkeys(map(ord, UNSEEN))}
_OTHER_DIGIT = re.compile(r"(?![0-9])\d")
_PLAIN = re.compile(r"[0-9]+")
_GROUPED = re.compile(
    rf"(?P<first>[0-9]{{1,3}})(?P<by>[ ',.{ARABIC_GROUP}])(?P<more>[0-9]{{3}}(?:(?P=by)[0-9]{{3}})*)"
    rf"(?:(?P<mark>[.,{ARABIC_DECIMAL}])(?P<rest>[0-9]+))?"
)
_DECIMAL = re.compile(rf"(?P<whole>[0-9]*)(?P<mark>[.,{ARABIC_DECIMAL}])(?P<rest>[0-9]+)")
_FRACTION = re.compile(
    rf"(?:(?P<whole>[0-9]{{1,6}})(?: (?=[0-9])| ?(?=[{FRACTIONS}])))?"
    rf"(?:(?P<top>[0-9]{{1,2}})/(?P<under>[0-9]{{1,2}})|(?P<sign>[{FRACTIONS}]))"
)
_USUAL = frozenset({2, 3, 4, 8, 16})
"""Denominators that a written fraction has; 12/750 is none."""


def _digit(found: re.Match[str]) -> str:
    return str(unicodedata.digit(found[0]))


def plain_signs(text: str) -> str:
    """``text`` with every sign in its plain form and in its old place: digits of any script, spaces, dashes."""
    return text if text.isascii() else _OTHER_DIGIT.sub(_digit, text.translate(_SIGNS))


def fold(text: str) -> str:
    """``text`` in plain signs, without those that cannot be seen, every run of spaces as one."""
    if not text.isascii():
        text = _OTHER_DIGIT.sub(_digit, text.translate(_SEEN))
    return " ".join(text.split())


def readings(numeral: str) -> tuple[tuple[Decimal, str], ...]:
    """Every (value, decimal mark that it takes) of an unsigned numeral; the mark is "" where it needs none.

    Groups have exactly three digits, and a number with groups does not begin with a lone 0: "0,533" has one reading,
    "4,537" has two. Empty for what is no numeral.
    """
    if _PLAIN.fullmatch(numeral):
        return ((Decimal(numeral), ""),)
    if found := _GROUPED.fullmatch(numeral):
        return _grouped(found)
    if found := _DECIMAL.fullmatch(numeral):
        mark = found["mark"]
        return ((Decimal(f"{found['whole']}.{found['rest']}"), mark if mark in (POINT, COMMA) else ""),)
    value = fraction(numeral)
    return ((value, ""),) if value is not None else ()


def _grouped(found: re.Match[str]) -> tuple[tuple[Decimal, str], ...]:
    by, mark, first = found["by"], found["mark"], found["first"]
    digits = first + found["more"].replace(by, "")
    if mark == by:
        return ()
    other = {POINT: COMMA, COMMA: POINT}.get(by, "")
    if mark is not None:
        own = mark if mark in (POINT, COMMA) else other
        return ((Decimal(f"{digits}.{found['rest']}"), own),)
    if not other or by in found["more"]:
        return ((Decimal(digits), other),)
    decimal = Decimal(f"{first}.{found['more']}")
    return ((decimal, by),) if first == "0" else ((decimal, by), (Decimal(digits), other))


def fraction(numeral: str) -> Decimal | None:
    """The value of "1/2", "1 1/2", "½" or "1½"; None for any other text and for what is more than its whole (11/2)."""
    found = _FRACTION.fullmatch(numeral)
    if found is None:
        return None
    if found["sign"]:
        share = vulgar(found["sign"])
    else:
        top, under = int(found["top"]), int(found["under"])
        if not 0 < top < under or under not in _USUAL:
            return None
        share = Decimal(top) / under
    return share + int(found["whole"] or 0)


def vulgar(sign: str) -> Decimal:
    """The value of a fraction in one sign."""
    top, under = unicodedata.normalize("NFKC", sign).split("\u2044")
    return Decimal(top) / Decimal(under)
