"""Numbers as supplier lists write them, in a grammar of our own: what has two readings is never read in silence."""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from costing.supply.arriving.table import Figure
from costing.supply.packs.currencies import SIGN, of_sign
from costing.supply.packs.numerals import ARABIC_DECIMAL, ARABIC_GROUP, COMMA, FRACTIONS, POINT, fold, readings
from costing.tongue import say

State = Literal["number", "on-request", "several", "ambiguous", "none"]
LONGEST = 60
"""Characters: no amount of money is longer, with its currency and its spaces."""
_QUICK = re.compile(r"(?:([€£]) ?)?(-?[0-9]{1,9}(?:([.,])(?:[0-9]{1,2}|[0-9]{4,6}))?)(?: ?([€£]))?")
_QUICK_SIGNS = {None: "", "€": "EUR", "£": "GBP"}
_CUR = f"(?:{SIGN})"
_CELL = re.compile(
    rf"(?P<before>{_CUR})? ?(?P<open>\()?(?P<sign>[-+])? ?(?P<inner>{_CUR})? ?(?P<sign2>[-+])? ?"
    rf"(?P<numeral>(?:[0-9{FRACTIONS}]|[.,{ARABIC_DECIMAL}](?=[0-9]))"
    rf"(?:[0-9 ',./{ARABIC_DECIMAL}{ARABIC_GROUP}{FRACTIONS}]*[0-9{FRACTIONS}])?)"
    rf"(?P<even> ?[.,] ?--?)?(?P<sign3>-)? ?(?P<percent>%)? ?(?P<inner2>{_CUR})?(?P<sign4>-)?(?P<close>\))? ?"
    rf"(?P<after>{_CUR})?",
    re.IGNORECASE,
)
_SEVERAL = re.compile(r"([0-9]{1,3}) ?(?:/|(for|für|fuer|pour|voor|por) ) ?(.+)", re.IGNORECASE)
_PHRASES = """poa, por, p o a, tbc, tba, tbd, ask, call, on request, on application, price on application,
price on request, price to be confirmed, to be confirmed, market price, daily price, auf anfrage, a a, anfrage,
preis auf anfrage, tagespreis, tagespreise, sur demande, prix sur demande, prix du jour, op aanvraag, a pedido,
prijs op aanvraag, dagprijs, su richiesta, prezzo su richiesta, a richiesta, bajo pedido, a consultar, consultar,
precio a consultar, sob consulta"""
"""Words for a price that has to be asked for; common practice, no source."""
_ASKED = frozenset(" ".join(phrase.split()) for phrase in _PHRASES.split(","))
_LETTERS = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """What a cell says as a number.

    ``value`` is there in the state "number" alone. "ambiguous" has two ``readings``, or one that contradicts the mark
    of its column; "several" is a price for ``count`` of them ("3 for 10"), in ``readings``; "on-request" is a price
    that has to be asked for; "none" is no number. ``currency`` is an ISO 4217 code, or "" where none is named or its
    sign is shared ($). A ``percent`` is as written: 19 for "19 %".
    """

    value: Decimal | None = None
    currency: str = ""
    percent: bool = False
    state: State = "none"
    readings: tuple[Decimal, ...] = ()
    count: int = 1


NO_NUMBER = Number()
ASKED = Number(state="on-request")


def read_number(text: str, decimal: str | None = None) -> Number:
    """``text`` as a Number; what it says never raises. ``decimal`` is the column's mark, "." or ",", None if unknown.

    A cell that a sheet stored as a number keeps its own mark, a point. ValueError for any other ``decimal``.
    """
    return _read(text, POINT if isinstance(text, Figure) else decimal)


def parse_number(text: str, decimal: str | None = None) -> Decimal:
    """The one value of ``text``, whatever currency stands beside it.

    ValueError, in one line with the text and the remedy, for what is no number, has two readings, contradicts
    ``decimal``, is a percentage or the price of several.
    """
    found = read_number(text, decimal)
    if found.value is not None and not found.percent:
        return found.value
    shown = str(text)[:LONGEST]
    if found.percent:
        raise ValueError(say('"{text}" is a percentage: write an amount without the sign', text=shown))
    if found.state == "several":
        raise ValueError(say('"{text}" is the price of {n}: write the price of one', text=shown, n=found.count))
    if len(found.readings) > 1:
        first, second = found.readings
        raise ValueError(
            say('"{text}" may be {first} or {second}: say which decimal mark is used', text=shown, first=first,
                second=second)
        )  # fmt: skip
    if found.readings:
        raise ValueError(
            say('"{text}" does not use the decimal mark "{mark}": correct it or say the mark', text=shown, mark=decimal)
        )
    raise ValueError(say('"{text}" is no number: write one such as 1204.50', text=shown))


@lru_cache(maxsize=65_536)
def _read(text: str, decimal: str | None) -> Number:
    if decimal not in (None, POINT, COMMA):
        raise ValueError(say('the decimal mark "{mark}" must be a point or a comma', mark=decimal))
    quick = _QUICK.fullmatch(text)
    if quick and (decimal is None or quick[3] in (None, decimal)) and None in (quick[1], quick[4]):
        value = Decimal(quick[2].replace(COMMA, POINT))
        return Number(
            value=value, currency=_QUICK_SIGNS[quick[1] or quick[4]], state="number", readings=(value,)
        )  # fmt: skip
    if len(text) > LONGEST:
        return NO_NUMBER
    plain = fold(text)
    found = cell(plain)
    if found is not None:
        return _number(found, decimal)
    if (many := _SEVERAL.fullmatch(plain)) and int(many[1]) > 1:
        price = cell(many[3])
        if price is not None and not price[3] and (many[2] or price[1] is not None):
            one = _number(price, decimal)
            if one.state in ("number", "ambiguous"):
                return Number(
                    currency=one.currency, state="several", readings=one.readings, count=int(many[1])
                )  # fmt: skip
    return ASKED if _LETTERS.sub(" ", plain.casefold()).strip() in _ASKED else NO_NUMBER


Cell = tuple[tuple[tuple[Decimal, str], ...], str | None, bool, bool]


def cell(plain: str) -> Cell | None:
    """(readings, currency or None, negative, percent) of a folded text; None for what is no amount."""
    found = _CELL.fullmatch(plain)
    if found is None:
        return None
    signs = [found[name] for name in ("sign", "sign2", "sign3", "sign4") if found[name]]
    brackets = bool(found["open"])
    if brackets != bool(found["close"]) or len(signs) + brackets > 1 or (found["even"] and found["sign3"]):
        return None
    money = {of_sign(found[n]) for n in ("before", "inner", "inner2", "after") if found[n]}
    percent = bool(found["percent"])
    numeral = found["numeral"]
    if None in money or len(money - {""}) > 1 or (money and percent):
        return None
    values = _even(numeral, found["even"].strip()[0]) if found["even"] else readings(numeral)
    if not values:
        return None
    currency = max((code for code in money if code is not None), default=None)
    return values, currency, brackets or "-" in signs, percent


def _even(numeral: str, mark: str) -> tuple[tuple[Decimal, str], ...]:
    """ "4.-" and "1.204,-": a dash for no cents. The mark before it is the decimal one, of use to groups only."""
    values = readings(f"{numeral}{mark}00")
    needs = POINT in numeral or COMMA in numeral
    return tuple((value.to_integral_value(), own if needs else "") for value, own in values)


def _number(found: Cell, decimal: str | None) -> Number:
    values, currency, negative, percent = found
    fits = [value for value, mark in values if decimal is None or mark in ("", decimal)]
    # a minus sign is put before exact digits: unary minus would round to the context
    signed = tuple(value.copy_negate() if negative else value for value in (fits or [v for v, _ in values]))
    sure = len(fits) == 1
    return Number(
        value=signed[0] if sure else None,
        currency=currency or "",
        percent=percent,
        state="number" if sure else "ambiguous",
        readings=signed,
    )
