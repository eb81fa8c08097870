"""Which currency a sign or a code stands for, by ISO 4217; a sign that several countries share stands for none."""

import re
from collections.abc import Mapping
from functools import cache, lru_cache

import iso4217

from costing.book.money import digits as minor_digits
from costing.supply.packs.numerals import FRACTIONS, fold

__all__ = ["SIGN", "currency_of_text", "in_hundredths", "may_be", "minor_digits", "of_sign", "shared_sign"]

_SIGNS: Mapping[str, str] = {
    "€": "EUR", "euro": "EUR", "euros": "EUR", "£": "GBP", "us$": "USD", "u$s": "USD", "a$": "AUD", "au$": "AUD",
    "c$": "CAD", "ca$": "CAD", "nz$": "NZD", "hk$": "HKD", "s$": "SGD", "nt$": "TWD", "r$": "BRL", "mx$": "MXN",
    "₹": "INR", "₽": "RUB", "₩": "KRW", "₪": "ILS", "₴": "UAH", "₺": "TRY", "₫": "VND", "₱": "PHP", "฿": "THB",
    "₦": "NGN", "₡": "CRC", "₲": "PYG", "₸": "KZT", "₾": "GEL", "₼": "AZN", "₵": "GHS", "₭": "LAK", "₮": "MNT",
    "៛": "KHR", "৳": "BDT", "zł": "PLN", "kč": "CZK", "ft": "HUF", "sfr.": "CHF", "sfr": "CHF", "fr.": "CHF",
    "руб.": "RUB", "руб": "RUB", "円": "JPY", "원": "KRW",
    "$": "", "¥": "", "元": "", "kr": "", "kr.": "", "rs": "", "rs.": "", "lei": "", "₨": "", "﷼": "",
    "ct": "", "ct.": "", "cts": "", "c": "", "¢": "", "p": "", "rp": "", "rp.": "",
}  # fmt: skip
"""Signs by Unicode and common practice, no source. £ is read as sterling: the other pounds write LE, LL or a code. The
last row are hundredths of several currencies."""
_HUNDREDTHS = frozenset({"ct", "ct.", "cts", "c", "¢", "p", "rp", "rp."})
_DOLLARS = "USD CAD AUD NZD HKD SGD TWD MXN ARS CLP COP UYU BSD BBD BZD BMD BND FJD JMD TTD XCD NAD LRD SRD GYD KYD"
_KRONER = "DKK NOK SEK ISK"
_SHARED: Mapping[str, frozenset[str]] = {
    sign: frozenset(codes.split())
    for signs, codes in (
        ("$ dollar", _DOLLARS), ("¥ 元", "JPY CNY"), ("kr kr.", _KRONER), ("krona krone kroner", _KRONER),
        ("crown couronne", f"{_KRONER} CZK"),
        ("rs rs. ₨ rupee", "INR PKR LKR NPR MUR SCR"), ("lei", "RON MDL"),
        ("franc", "CHF XOF XAF XPF RWF CDF DJF KMF GNF BIF"),
        ("pound", "GBP EGP LBP SYP SDG SSP FKP GIP SHP"), ("peso", "MXN ARS CLP COP UYU PHP CUP DOP"),
        ("﷼", "SAR QAR OMR YER IRR"),
    )
    for sign in signs.split()
}  # fmt: skip
"""What a sign or a word that several countries share may stand for, by ISO 4217's names of the currencies."""
_KIND: Mapping[str, str] = {
    form: word
    for word, forms in (
        ("dollar", "dollar dollars dólar dólares dolares dollari dollaro"),
        ("franc", "franc francs franken fränkli franchi franco francos frank"),
        ("pound", "pound pounds pfund livre livres sterline"),
        ("krona", "krona kronor krone kroner kronen"), ("crown", "crown crowns couronne couronnes corone coronas"),
        ("peso", "pesos"), ("rupee", "rupee rupees rupien"),
    )
    for form in forms.split()
}  # fmt: skip
_NAMES: tuple[tuple[str, str], ...] = (
    (r"u\.?s\.?a?\.?[ -]?dollars?|american dollars?|us[ -]dólar(?:es)?|dollars? américains?", "USD"),
    (r"canadian dollars?|kanadische dollar|dollars? canadiens?", "CAD"), (r"australian dollars?", "AUD"),
    (r"new zealand dollars?", "NZD"), (r"hong ?kong dollars?", "HKD"), (r"singapore dollars?", "SGD"),
    (r"swiss francs?|schweizer ?franken|francs? suisses?|franchi svizzeri|zwitserse franken?|francos suizos", "CHF"),
    (r"(?:british )?pounds? sterling|sterling|british pounds?|uk pounds?|livres? sterling|lire? sterline", "GBP"),
    (r"danish (?:kron|crown)\w*|dänische kronen|danske kroner", "DKK"),
    (r"norwegian (?:kron|crown)\w*|norwegische kronen|norske kroner", "NOK"),
    (r"swedish (?:kron|crown)\w*|schwedische kronen|svenska kronor", "SEK"),
    (r"icelandic (?:kron|crown)\w*|íslenskar krónur", "ISK"), (r"czech (?:kor|crown)\w*|tschechische kronen", "CZK"),
    (r"(?:japanese )?yen", "JPY"), (r"renminbi|(?:chinese )?yuan", "CNY"), (r"mexican pesos?", "MXN"),
    (r"indian rupees?", "INR"),
)  # fmt: skip
"""Currencies in words, in the languages that lists come in; common practice, no source."""
_NAMED = tuple((re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.IGNORECASE), code) for words, code in _NAMES)
_MAY_NAME = re.compile(
    r"dol|d[oó]l|fran|pound|pfund|livre|sterl|kr[oó]|crown|couronne|coron|yen|yuan|renm|peso|rup", re.IGNORECASE
)
_FORMS = "|".join(sorted(_KIND, key=len, reverse=True))
_WORD = re.compile(rf"(?<![^\W\d_])(?P<by>(?:per|by the|a|pro|je|par|/) ?)?(?P<word>{_FORMS})(?!\w)", re.IGNORECASE)
_CENTS = re.compile(
    r"(?<!\w)(?:cents?|eurocents?|centimes?|centesimi|c[eé]ntimos?|pence|pennies|rappen|øre|öre)(?!\w)|¢"
    r"|\((?:p|c|ct|rp)\.?\)|(?<!\w)in (?:p|c|ct|rp)\.?(?!\w)",
    re.IGNORECASE,
)
_CENTS_BESIDE = re.compile(
    r"[0-9.,] ?(?:cents?|cts?|c|p|pence|rp|rappen)\.?(?!\w)|(?<!\w)(?:cts?|rp)\.? ?[0-9]", re.IGNORECASE
)
_CODES_AND_WORDS = "ALL BAM BOB CUP DOP GEL LAK MAD MOP PEN RON SOS TOP TRY"
_WORDS = frozenset(_CODES_AND_WORDS.split())
"""Codes that are words too: in small letters they are only words."""
SIGN = rf"(?!(?:cts?|c|p|rp|¢)\.?(?![^\s0-9().,'+/%-]))[^\s0-9().,'+/%{FRACTIONS}-]{{1,5}}\.?"
"""A pattern of what may stand beside an amount; ``of_sign`` says whether it is a currency. Signs of hundredths are
none: 85p is not 85 of anything that is counted in."""
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
    named, shared = _met(plain)
    if len(named) != 1:
        return ""
    code = next(iter(named))
    return code if all(may_be(sign, code) for sign in shared) else ""


@lru_cache(maxsize=4096)
def shared_sign(text: str) -> str:
    """The sign or word for money in ``text`` that does not say which currency it is ("$", "kr", "dollars"), as it
    stands there; "" where there is none, or a currency is named beside it."""
    plain = fold(text)
    named, shared = _met(plain)
    return next((sign for sign in shared if not any(may_be(sign, code) for code in named)), "")


def may_be(sign: str, code: str) -> bool:
    """Whether a shared sign or word may stand for a currency: "$" for CAD, and not for EUR."""
    plain = sign.casefold()
    return code in _SHARED.get(_KIND.get(plain, plain), ())


@lru_cache(maxsize=4096)
def in_hundredths(text: str) -> bool:
    """Whether a heading, a cell or the sign of a number format speaks of cents, pence or the like."""
    plain = fold(text)
    return plain.casefold() in _HUNDREDTHS or bool(_CENTS.search(plain) or _CENTS_BESIDE.search(plain))


def _met(plain: str) -> tuple[frozenset[str], tuple[str, ...]]:
    """(the currencies that a folded text names, the signs and words of it that several share)."""
    named: set[str] = set()
    shared: list[str] = []
    if _MAY_NAME.search(plain):
        for pattern, name in _NAMED:
            plain, met = pattern.subn(" ", plain)
            if met:
                named.add(name)
        words = (met for met in _WORD.finditer(plain) if not (met["by"] and _KIND[met["word"].casefold()] == "pound"))
        shared = [met["word"] for met in words]
    figures = any(letter.isdigit() for letter in plain)
    for sign in _MET.findall(plain):
        code = _in_text(sign, figures)
        if code:
            named.add(code)
        elif code is not None and sign.casefold() not in _HUNDREDTHS:
            shared.append(sign)
    return frozenset(named), tuple(shared)


def _in_text(sign: str, figures: bool) -> str | None:
    for form in (sign, sign.removesuffix(".")):
        if form.casefold() in _SIGNS:
            return _SIGNS[form.casefold()]
    code = of_sign(sign.removesuffix("."))
    return code if code is not None and (figures or (sign.isupper() and code not in _WORDS)) else None
