"""A name taken to pieces: its words, and what is said of size, strength and year beside them.

"ORCHARD LDN DRY GIN 6x0,7L 40%vol" has the words orchard, ldn, dry, gin. What is cut is kept: two names that agree in
every word and not in their strength are not the same thing. Ages and other numbers stay words ("8 years old" is "8y").
"""

import re
import unicodedata
from collections.abc import Collection
from decimal import Decimal
from typing import NamedTuple

from costing.supply.whose.record import Size
from costing.supply.whose.trade import NOISE

_NUMBER = r"[0-9]{1,9}(?:[.,][0-9]{1,6})?"
_UNITS: dict[str, tuple[str, str]] = {
    word: (unit, factor)
    for words, unit, factor in (
        ("ml mls", "ml", "1"),
        ("cl cls", "ml", "10"),
        ("dl", "ml", "100"),
        ("l lt lts ltr ltrs lit liter liters litre litres litro litros", "ml", "1000"),
        ("hl", "ml", "100000"),
        ("mg", "g", "0.001"),
        ("g gr grs gm gms gram grams gramm", "g", "1"),
        ("kg kgs kilo kilos", "g", "1000"),
        ("oz floz", "oz", "1"),
        ("lb lbs", "lb", "1"),
        ("gal gallon gallons", "gal", "1"),
        ("pt pint pints", "pint", "1"),
    )
    for word in words.split()
}
_UNIT = "|".join(sorted(_UNITS, key=len, reverse=True)) + r"|fl\.?[ ]?oz"
_HOLDERS = "bottles?|btls?|fl|flaschen?|cans?|tins?|packs?|pk|pcs|pieces?|stk|units?|ct|cs|ea"
_CUT = re.compile(
    rf"""
    (?=[0-9\#*]|\b[abcknpvx])(?:  # a look ahead that spares most letters a try of every alternative
    (?P<age>\b(?P<years>[0-9]{{1,3}})[ -]?(?:years?|yrs?|yo|y|ans?|anos?|anni|jahre?)\b\.?(?:[ -]?old\b)?)
    | (?P<strength>(?:\b(?:alc|alk|abv|vol)\b\.?[ ]?)?(?P<share>{_NUMBER})[ ]?
        (?:%(?:[ ]?(?:abv|alc|alk|vol)\b\.?(?:/vol\b\.?)?)?|°|(?P<proof>proof\b|(?<=[0-9])p\b)|(?:abv|vol)\b\.?))
    | (?P<slashes>\b[0-9]+/[0-9]+/{_NUMBER}(?:/[a-z]+)?\b)
    | (?P<size>(?:(?<![0-9.,])[0-9]+[ ]?[x*/][ ]?){{0,2}}
        (?<![0-9.,])(?P<amount>{_NUMBER})[ ]?(?P<unit>{_UNIT})\b\.?(?:[ ]?[x*][ ]?[0-9]+\b)?)
    | (?P<pack>\b(?:case|cs|carton|ctn|karton|kiste|box|pack)[ ](?:of[ ]|a[ ]|zu[ ])?[0-9]+\b
        | \b(?:[0-9]+[ ]?[x*/][ ]?)?[0-9]+[ -]?(?:(?:{_HOLDERS})\b\.?|er\b|/(?:cs|case|ctn|carton)\b)
        | \b[0-9]+[ ]?[x*](?![a-z0-9]) | (?<![a-z0-9])[x*][ ]?[0-9]+\b)
    | (?P<number>\b(?:no|nr|num|n°)\.?[ ]?(?=[0-9])|\#(?=[0-9])))
    """,
    re.VERBOSE,
)
_WORD = re.compile(r"[0-9]+y(?![^\W_])|[0-9]+%|[0-9]+|[^\W\d_]+")
_DIGIT = re.compile("[0-9]")
_YEAR = re.compile("(?:19|20)[0-9]{2}")
_SIGNS = str.maketrans({"'": "", "’": "", "`": "", "´": "", "×": "x", "✕": "x", "℮": " ", "™": "", "®": "", "©": ""})
_LETTERS = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "⁄": "/"})
_NONE: frozenset[str] = frozenset()


class Form(NamedTuple):
    """``words`` in their order, ``years`` (vintages, 19xx and 20xx), ``strengths`` ("40%", "80p"), ``cut`` the texts of
    sizes, and ``bare`` where nothing but noise was there, which then stands for itself."""

    words: tuple[str, ...]
    years: frozenset[str] = frozenset()
    strengths: frozenset[str] = frozenset()
    cut: tuple[str, ...] = ()
    bare: bool = False


def plain(text: str) -> str:
    """Case, accents, signs of trade marks and apostrophes taken off, runs of spaces made one."""
    low = text.translate(_SIGNS)
    if not low.isascii():
        low = unicodedata.normalize("NFKD", low.casefold()).casefold().translate(_LETTERS)
        low = "".join(_letter(ch) for ch in low if not unicodedata.combining(ch))
    return " ".join(low.casefold().split())


def _letter(ch: str) -> str:
    """A digit of any script as 0 to 9, all else as it is."""
    return str(unicodedata.decimal(ch)) if ch.isdecimal() else ch


def fold(text: str, noise: Collection[str] = NOISE) -> Form:
    """A name's words without sizes, packs, strengths, years and the words of ``noise`` (folded)."""
    low = plain(text)
    if not _DIGIT.search(low):
        words = _WORD.findall(low)
        kept = tuple([w for w in words if w not in noise])
        return Form(kept or tuple(words), bare=not kept)
    strengths: list[str] = []
    cut: list[str] = []

    def take(found: re.Match[str]) -> str:
        if found["age"]:
            return f" {int(found['years'])}y "
        if found["strength"]:
            told = _told(found["share"])
            if not found["proof"] and Decimal(told) <= Decimal("0.5"):
                return " 0% "  # without alcohol: a word of its own, because it is another thing
            strengths.append(told + ("p" if found["proof"] else "%"))
        elif found["size"]:
            cut.append(f"{found['amount']} {found['unit']}")
        return " "

    words = _WORD.findall(_CUT.sub(take, low))
    years = _NONE
    if _YEAR.search(low):
        years = frozenset(w for w in words if len(w) == 4 and _YEAR.fullmatch(w))
        words = [w for w in words if w not in years]
    kept = tuple([w for w in words if w not in noise])
    said = frozenset(strengths) if strengths else _NONE
    return Form(kept or tuple(words), years, said, tuple(cut), not kept)


def amounts(form: Form) -> frozenset[Size]:
    """The sizes that a name itself tells, in ml and g, other units as they are."""
    out = set()
    for text in form.cut:
        number, _, word = text.partition(" ")
        unit, factor = _UNITS.get(word, ("oz", "1"))
        out.add((Decimal(number.replace(",", ".")) * Decimal(factor), unit))
    return frozenset(out)


def _told(number: str) -> str:
    """A number as it is compared: "40", "37.5"."""
    value = Decimal(number.replace(",", "."))
    return f"{value.normalize():f}"
