"""What the number format of a cell says of its number: a share, money, a day, a code with leading zeros."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from costing.supply.packs.currencies import of_sign

Kind = Literal["plain", "percent", "money", "code", "day", "span"]


@dataclass(frozen=True, slots=True)
class Look:
    """``currency`` of money (see ``cells.MoneyFigure``); ``width`` of a code, in digits."""

    kind: Kind = "plain"
    currency: str = ""
    width: int = 0


PLAIN = Look()
_BUILT_IN: Mapping[int, Look] = {
    **{n: Look("percent") for n in (9, 10)},
    **{n: Look("day") for n in (*range(14, 23), *range(27, 37), 45, 47, *range(50, 59))},
    46: Look("span"),
}
"""Formats without a text of their own (ECMA-376 part 1, 18.8.30). Those of money (5 to 8, 37 to 44) show the currency
of whoever opens the file, and so name none."""
_SECTION = re.compile(r'(?:"[^"]*"|\\.|\[[^\]]*\]|[^;"\\\[])*')
_PIECE = re.compile(r'"([^"]*)"|\\(.)|\[([^\]]*)\]|[_*].|(.)', re.DOTALL)
_ELAPSED = re.compile(r"h+|m+|s+", re.IGNORECASE)
_ZEROS = re.compile(r"0{2,20}")
_DAY = re.compile(r"[dmyhsDMYHS]")
_SIGN = re.compile(r"[$£¥€₹₺₽₴₩₪₫₱฿₦₡₲₵₸₼₾]")
_WORDS = ("general", "standard")
_BY_PLACE: Mapping[str, str] = {
    "409": "USD", "1009": "CAD", "c0c": "CAD", "c09": "AUD", "1409": "NZD", "1004": "SGD", "4804": "SGD", "c04": "HKD",
    "404": "TWD", "80a": "MXN", "340a": "CLP", "2c0a": "ARS", "240a": "COP", "41d": "SEK", "81d": "SEK", "414": "NOK",
    "814": "NOK", "406": "DKK", "40f": "ISK", "411": "JPY", "804": "CNY", "809": "GBP",
}  # fmt: skip
"""The currency of a place ([MS-LCID]) for signs that several share."""
_SHARED = frozenset({"$", "kr", "kr.", "¥"})


@lru_cache(maxsize=1024)
def look_of(number: int, code: str | None) -> Look:
    """What a format says, by its number and, where the file has one, its text."""
    if code is None:
        return _BUILT_IN.get(number, PLAIN)
    found = _SECTION.match(code[:400])
    section = found[0] if found else ""
    if section.strip().casefold() in _WORDS:
        return PLAIN
    plain, texts, marks = "", [], []
    elapsed = False
    for quoted, escaped, bracket, other in _PIECE.findall(section):
        if bracket:
            elapsed = elapsed or bool(_ELAPSED.fullmatch(bracket))
            marks += [bracket[1:]] if bracket.startswith("$") else []
        elif quoted or escaped:
            texts.append(quoted or escaped)
        else:
            plain += other
    if elapsed:
        return Look("span")
    if "%" in plain:
        return Look("percent")
    if _DAY.search(re.sub("general", "", plain, flags=re.IGNORECASE)):
        return Look("day")
    if _ZEROS.fullmatch(plain) and not texts and not marks:
        return Look("code", width=len(plain))
    currency = _currency(marks, texts, plain)
    return Look("money", currency) if currency else PLAIN


def _currency(marks: list[str], texts: list[str], plain: str) -> str:
    """By [$€-407], by a text in quotes, by a sign that stands alone."""
    for mark in marks:
        sign, _, place = mark.partition("-")
        code = _named(sign.strip(), place.casefold().lstrip("0"))
        if code:
            return code
    for text in ("".join(texts), *texts, *_SIGN.findall(plain)):
        code = _named(text.strip(), "")
        if code:
            return code
    return ""


def _named(sign: str, place: str) -> str:
    """The ISO code of a sign, the sign itself where it stands for several, "" where it is none."""
    if not sign:
        return ""
    code = of_sign(sign)
    if code:
        return code
    if code == "" or sign.casefold() in _SHARED:
        return _BY_PLACE.get(place, sign)
    return ""
