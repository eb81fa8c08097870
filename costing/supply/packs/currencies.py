"""Which currency a sign or a code stands for, by ISO 4217; a sign that several countries share stands for none."""

import re
from collections.abc import Mapping
from functools import cache, lru_cache

import iso4217

from costing.book.money import digits as minor_digits
from costing.supply.packs.numerals import FRACTIONS, fold

__all__ = ["SIGN", "currency_of_text", "minor_digits", "of_sign"]

_SIGNS: Mapping[str, str] = {
    "€": "EUR", "euro": "EUR", "euros": "EUR", "£": "GBP", "us$": "USD", "u$s": "USD", "a$": "AUD", "au$": "AUD",
    "c$": "CAD", "ca$": "CAD", "nz$": "NZD", "hk$": "HKD", "s$": "SGD", "nt$": "TWD", "r$": "BRL", "mx$": "MXN",
    "₹": "INR", "₽": "RUB", "₩": "KRW", "₪": "ILS", "₴": "UAH", "₺": "TRY", "₫": "VND", "₱": "PHP", "฿": "THB",
    "₦": "NGN", "₡": "CRC", "₲": "PYG", "₸": "KZT", "₾": "GEL", "₼": "AZN", "₵": "GHS", "₭": "LAK", "₮": "MNT",
    "៛": "KHR", "৳": "BDT", "zł": "PLN", "kč": "CZK", "ft": "HUF", "sfr.": "CHF", "sfr": "CHF", "fr.": "CHF",
    "руб.": "RUB", "руб": "RUB", "円": "JPY", "원": "KRW",
    "$": "", "¥": "", "元": "", "kr": "", "kr.": "", "rs": "", "rs.": "", "lei": "", "₨": "", "﷼": "",
}  # fmt: skip
"""Signs by Unicode and common practice, no source. £ is read as sterling: the other pounds write LE, LL or a code."""
_CODES_AND_WORDS = "ALL BAM BOB CUP DOP GEL LAK MAD MOP PEN RON SOS TOP TRY"
_WORDS = frozenset(_CODES_AND_WORDS.split())
"""Codes that are words too: in small letters they are only words."""
SIGN = rf"[^\s0-9().,'+/%{FRACTIONS}-]{{1,5}}\.?"
"""A pattern of what may stand beside an amount; ``of_sign`` says whether it is a currency."""
_MET = re.compile(r"(?<![^\W\d_])(?:[^\W\d_]{0,2}\$s?|[^\W\d_]{2,5}\.?)(?![^\W\d_])|[€£¥₹₽₩₪₴₺₫₱฿₦₡₲₸₾₼₵₭₮៛৳₨﷼]")


@cache
def _codes() -> frozenset[str]:
    """Codes of money that is paid with: gold, bonds and test codes have no minor unit."""
    return frozenset(c.code for c in iso4217.Currency if c.exponent is not None)


def of_sign(sign: str) -> str | None:
    """The ISO 4217 code of a sign or a code; "" for a sign that several share, None for what is no currency."""
    if (known := _SIGNS.get(sign.casefold())) is not None:
        return known
    code = sign.upper()
    return code if code in _codes() and (code not in _WORDS or sign.isupper()) else None


@lru_cache(maxsize=4096)
def currency_of_text(text: str) -> str:
    """The one currency that ``text`` ("£ 8.20", "Price EUR ex VAT", "eur") names, as its ISO 4217 code.

    "" where it names none, two, or only a sign that several share ($, ¥, kr). In a longer text a code has to stand in
    capitals, and one that is also a word (ALL, PEN, TOP) only counts when it stands alone or beside a figure.
    """
    plain = fold(text)
    if (whole := of_sign(plain)) is not None:
        return whole
    figures = any(sign.isdigit() for sign in plain)
    found = {_in_text(met[0], figures) for met in _MET.finditer(plain)} - {None}
    named = found - {""}
    return str(named.pop()) if len(named) == 1 and len(found) == 1 else ""


def _in_text(sign: str, figures: bool) -> str | None:
    for form in (sign, sign.removesuffix(".")):
        if form.casefold() in _SIGNS:
            return _SIGNS[form.casefold()]
    code = of_sign(sign.removesuffix("."))
    return code if code is not None and (figures or (sign.isupper() and code not in _WORDS)) else None
