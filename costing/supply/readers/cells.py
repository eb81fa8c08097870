"""Cells of a sheet as text: what is stored is kept to its last digit, and what its format says of it rides along."""

import re
from datetime import datetime, time, timedelta
from decimal import Decimal

from costing.supply.arriving.table import DayCell, Figure, MoneyFigure, PercentFigure
from costing.supply.readers.formats import PLAIN, Look

__all__ = ["MoneyFigure", "PercentFigure"]

DIGITS = 15
"""Significant digits that a spreadsheet keeps of a number; what a file has beyond them is noise of binary fractions."""
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?", re.ASCII)
_WIDEST = 40


def number_text(raw: str) -> str:
    """A stored number ("1.5E-3", "9.0200000000000014") in plain digits with a point, "" for what is no number.

    Fractions are kept to 15 significant digits, which is what spreadsheets show; whole numbers written out keep every
    digit they have.
    """
    if raw.isdecimal() and raw.isascii():
        return raw.lstrip("0") or "0"
    if not _NUMBER.fullmatch(raw):
        return ""
    value = Decimal(raw)
    if abs(value.adjusted()) > _WIDEST:
        return "0" if not value else ""
    if len(value.as_tuple().digits) > DIGITS and ("." in raw or "e" in raw or "E" in raw):
        value = Decimal(f"{value:.{DIGITS - 1}E}")
    if not value:
        return "0"
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def float_text(value: float) -> str:
    """The same for a number of binary fractions."""
    if value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return number_text(repr(value))


def percent_text(number: str) -> str:
    """ "150 %" for "1.5"."""
    return f"{number_text(str(Decimal(number).scaleb(2)) if '.' in number else number + '00')} %"


def span_text(span: timedelta) -> str:
    """Hours, minutes and seconds: "36:30:00"."""
    seconds = round(span.total_seconds())
    sign, seconds = ("-", -seconds) if seconds < 0 else ("", seconds)
    return f"{sign}{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def serial_text(number: str, *, since_1904: bool, elapsed: bool) -> str:
    """A day that a sheet stored as a number of days (ECMA-376 part 1, 18.17.4.1), as DayCell; a time of day or a span
    as a text; "" for what is no day.

    Days are counted from 1899-12-30, one less before March 1900, for the form takes 1900 for a leap year; in the system
    of 1904 from 1904-01-01.
    """
    days = Decimal(number)
    if not 0 <= days < 2_958_466:
        return ""
    span = timedelta(days=int(days), seconds=round((days % 1) * 86_400))
    if elapsed or span < timedelta(days=1):
        return span_text(span)
    if since_1904:
        return _day(datetime(1904, 1, 1) + span)
    if span.days == 60:
        return ""
    return _day(datetime(1899, 12, 30 if span.days > 60 else 31) + span)


def _day(day: datetime) -> DayCell:
    """A day in ISO form, with its time where it has one."""
    return DayCell(day.date().isoformat() if day.time() == time() else day.isoformat(sep="T", timespec="seconds"))


def shown_number(number: str, look: Look, since_1904: bool) -> str:
    """A stored number in plain digits as a cell, with what its format says of it."""
    if look is PLAIN:
        return Figure(number)
    if look.kind == "percent":
        return PercentFigure(percent_text(number))
    if look.kind == "money":
        return MoneyFigure(number, look.currency)
    if look.kind == "code" and number.isdecimal() and len(number) < look.width:
        return number.zfill(look.width)
    if look.kind in ("day", "span"):
        return serial_text(number, since_1904=since_1904, elapsed=look.kind == "span") or Figure(number)
    return Figure(number)


def float_cell(value: float, look: Look, since_1904: bool) -> str:
    """The same for a number of binary fractions; one that is none, or out of all bounds, as a text."""
    number = float_text(value)
    return shown_number(number, look, since_1904) if number else repr(value)
