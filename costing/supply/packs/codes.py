"""Codes that name goods, units and money: GTIN by the GS1 rule, UN/ECE units and packages, ISO 4217 currencies."""

import re

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.packs.currencies import currency_of_text, minor_digits
from costing.supply.packs.numerals import fold
from costing.supply.packs.unece import UnitCode, unit_of_code

__all__ = ["UnitCode", "currency_of_text", "gtin14", "gtin_ok", "minor_digits", "unit_of_code"]

LENGTHS = frozenset({8, 12, 13, 14})
SSCC = 18
FULL = 14
_POWER = re.compile(r"([0-9])[.,]?([0-9]*)E\+?([0-9]{1,2})", re.IGNORECASE)
_POINT_ZERO = re.compile(r"([0-9]+)[.,]0+")
Read = tuple[str, tuple[Doubt, ...]]
NONE: tuple[Doubt, ...] = ()


def _checks(digits: str) -> bool:
    """Weights 3, 1, 3, 1... from the rightmost data digit, and what is missing to the next ten (GS1)."""
    data = [int(sign) for sign in reversed(digits)]
    return (sum(data[0::2]) + 3 * sum(data[1::2])) % 10 == 0


def gtin_ok(text: str) -> bool:
    """Whether ``text`` is a GTIN of 8, 12, 13 or 14 digits or an SSCC of 18 whose check digit is right (GS1)."""
    return len(text) in LENGTHS | {SSCC} and text.isascii() and text.isdigit() and _checks(text)


def gtin14(text: str) -> Read:
    """(the number in 14 digits, doubts), "" where there is none to keep. A wrong check digit is kept, and doubted.

    Doubts: "gtin-padded" zeros lost in front were put back; "gtin-check"; "gtin-length"; "gtin-sscc" names a shipment;
    "gtin-letters"; "gtin-spaces" signs between the digits; "gtin-decimals" it came as 123.0; "gtin-power" it came as
    1.23E+11; "gtin-zeros" it is all zeros.
    """
    plain = fold(text).strip("'\"")
    if not plain:
        return "", ()
    if power := _POWER.fullmatch(plain):
        return _of_power(power, plain)
    digits, doubts = plain, NONE
    if tail := _POINT_ZERO.fullmatch(plain):
        digits, doubts = tail[1], (doubt("gtin-decimals", "gtin", value=plain),)
    elif not plain.isdigit():
        digits = re.sub(r"[ .'-]", "", plain)
        if not digits.isdigit():
            return "", (doubt("gtin-letters", "gtin", value=plain),)
        doubts = (doubt("gtin-spaces", "gtin", value=plain),)
    kept, more = _of_digits(digits)
    return kept, (*doubts, *more)


def _of_digits(digits: str) -> Read:
    if not digits.strip("0"):
        return "", (doubt("gtin-zeros", "gtin", value=digits),)
    if len(digits) == SSCC:
        return "", (doubt("gtin-sscc", "gtin", value=digits),)
    if len(digits) > FULL or len(digits) < 6:
        return "", (doubt("gtin-length", "gtin", value=digits, n=len(digits)),)
    full = digits.zfill(FULL)
    if not _checks(full):
        return full, (doubt("gtin-check", "gtin", value=digits),)
    return full, () if len(digits) in LENGTHS else (doubt("gtin-padded", "gtin", value=digits),)


def _of_power(power: re.Match[str], plain: str) -> Read:
    """A number that a sheet has shown in powers of ten: whole only where every digit still stands there."""
    digits, places = power[1] + power[2], int(power[3]) + 1
    lost = (doubt("gtin-power", "gtin", value=plain),)
    if len(digits) != places:
        return "", lost
    kept, more = _of_digits(digits)
    return kept, (*lost, *more)
