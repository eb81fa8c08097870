"""Days in cells and in sentences: one order of day and month for a whole column, or none."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import DayCell, Figure, Unworked
from costing.supply.columns.folding import folded

Order = Literal["", "dmy", "mdy", "ymd"]
FIRST_YEAR = 2000
YEARS_AHEAD = 2
_MONTHS: Mapping[str, int] = {
    word: number
    for number, words in enumerate(
        (
            "january jan januar janner janvier janv januari gennaio gen enero ene",
            "february feb februar fevrier fev februari febbraio febrero",
            "march mar marz maerz mrz mars maart mrt marzo",
            "april apr avril avr aprile abril abr",
            "may mai mei maggio mag mayo",
            "june jun juni juin giugno giu junio",
            "july jul juli juillet juil luglio lug julio",
            "august aug aout augustus agosto ago",
            "september sep sept septembre settembre set septiembre",
            "october oct oktober okt octobre ottobre ott octubre",
            "november nov novembre noviembre",
            "december dec dezember dez decembre dicembre dic diciembre",
        ),
        start=1,
    )
    for word in words.split()
}
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d{1,2}:\d{2}(?::\d{2})?.*)?")
_PLAIN = re.compile(r"(\d{1,2})\s?([./-])\s?(\d{1,2})\s?\2\s?(\d{4}|\d{2})(?:[T ]\d{1,2}:\d{2}(?::\d{2})?)?")
_NAMED = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|er|\.|º)?[ -](?:of |de |di )?([^\W\d_]{3,10})\.?[, -]+(?:de |del |di )?(\d{4}|\d{2})"
)
_NAMED_FIRST = re.compile(r"([^\W\d_]{3,10})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})")
_SERIAL = re.compile(r"\d{5}(?:\.\d+)?")
_IN_TEXT = re.compile(
    rf"\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}[./-]\d{{1,2}}[./-](?:\d{{4}}|\d{{2}})(?!\d)|{_NAMED.pattern}|{_NAMED_FIRST.pattern}"
    r"|\d{1,2}\.\d{1,2}\.(?!\d)"
)
_VALID = re.compile(
    r"\b(?:gultig\w*|gilt|valid\w*|valable\w*|geldig\w*|effective|en vigueur|vigente|vigencia|valevole)\b"
)
_SINCE = re.compile(r"\b(?:ab|from|since|seit|von|vom|des|a partir|du|vanaf|van|dal|da|desde|as of)\b")
_UNTIL = re.compile(r"\b(?:bis|until|till|to|through|jusqu\w*|au|tot|fino|al|hasta)\b")


@dataclass(frozen=True, slots=True)
class Day:
    """A cell as a day, or the doubt why not."""

    day: date | None = None
    doubts: tuple[Doubt, ...] = ()


NO_DAY = Day()


@dataclass(frozen=True, slots=True, kw_only=True)
class Validity:
    """From when until when a whole list holds, and the sentence that says so."""

    since: date | None = None
    until: date | None = None
    text: str = ""
    doubts: tuple[Doubt, ...] = ()


def latest_day(today: date) -> date:
    """The last day that a price list can plausibly name: two years from today."""
    leap = (today.month, today.day) == (2, 29)
    return date(today.year + YEARS_AHEAD, today.month, 28 if leap else today.day)


def order_of(texts: Iterable[str]) -> tuple[Order, Doubt | None]:
    """The order of day and month in a column: that of the first value above 12.

    ("", doubt) where every value with a stroke may be either, or where two values say different orders. A point always
    means day first, and says nothing of values that are written otherwise.
    """
    seen: dict[Order, str] = {}
    open_text = ""
    for text in texts:
        order, decided = _order(text)
        if decided:
            seen.setdefault(order, text)
        elif order:
            open_text = open_text or text
    if {"dmy", "mdy"} <= seen.keys():
        return "", doubt("day-mixed", "since", one=seen["dmy"], other=seen["mdy"])
    best: Order = "dmy" if "dmy" in seen else "mdy" if "mdy" in seen else "ymd" if "ymd" in seen else ""
    if best in ("", "ymd") and open_text:
        return "", doubt("day-order", "since", value=open_text)
    return best, None


def order_changed(now: Order, at: str) -> Doubt:
    """The doubt of a column whose days are no longer written as they were."""
    return doubt("days-now-month-first" if now == "mdy" else "days-now-day-first", at)


def _order(text: str) -> tuple[Order, bool]:
    """(the order of one text, whether it fixes it); ("", False) for what is no day in figures or needs no order."""
    if isinstance(text, DayCell | Figure | Unworked):
        return "", False
    plain = text.strip()
    if _ISO.fullmatch(plain):
        return "ymd", True
    found = _PLAIN.fullmatch(plain)
    if found is None or found[2] == ".":
        return "", False
    first, second = int(found[1]), int(found[3])
    if first > 12 >= second:
        return "dmy", True
    return ("mdy", True) if second > 12 >= first else ("dmy", False)


def read_day(text: str, order: Order, today: date, at: str = "since") -> Day:
    """One cell as a day. Serial numbers of a sheet are refused: their epoch is not known from a text."""
    plain = text.strip()
    if not plain:
        return NO_DAY
    if isinstance(text, Unworked):
        return Day(None, (doubt("formula-no-value", at, value=text),))
    if isinstance(text, Figure) or _SERIAL.fullmatch(plain):
        return Day(None, (doubt("day-serial", at, value=plain),))
    parts = _parts(plain, order)
    if parts is None:
        ask = _order(plain)[0] == "dmy" and not order
        return Day(None, (doubt("day-order" if ask else "day-unread", at, value=plain),))
    return _plausible(parts, plain, today, at)


def _plausible(parts: tuple[int, int, int], plain: str, today: date, at: str) -> Day:
    try:
        day = date(*parts)
    except ValueError:
        return Day(None, (doubt("day-unread", at, value=plain),))
    if not date(FIRST_YEAR, 1, 1) <= day <= latest_day(today):
        return Day(None, (doubt("day-far", at, value=day.isoformat(), first=FIRST_YEAR, last=latest_day(today)),))
    return Day(day)


def _parts(plain: str, order: Order) -> tuple[int, int, int] | None:
    """(year, month, day) of a text; None where it is none or its order is not known."""
    if found := _ISO.fullmatch(plain):
        return int(found[1]), int(found[2]), int(found[3])
    if found := _PLAIN.fullmatch(plain):
        first, second, year = int(found[1]), int(found[3]), _year(found[4])
        if found[2] == "." or order == "dmy" or (not order and first > 12):
            return year, second, first
        if order == "mdy" or (not order and second > 12):
            return year, first, second
        return None
    if found := _NAMED.fullmatch(plain):
        month = _MONTHS.get(folded(found[2]))
        return (_year(found[3]), month, int(found[1])) if month else None
    if found := _NAMED_FIRST.fullmatch(plain):
        month = _MONTHS.get(folded(found[1]))
        return (int(found[3]), month, int(found[2])) if month else None
    return None


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def looks_like_day(text: str) -> bool:
    """Whether a cell holds a day in any order."""
    plain = text.strip()
    return isinstance(text, DayCell) or bool(_PLAIN.fullmatch(plain) or _ISO.fullmatch(plain)) or (
        _parts(plain, "") is not None
    )  # fmt: skip


def validity(texts: Sequence[str], today: date) -> Validity:
    """What the lines above or below a list say of when it holds ("gültig 30.11.2026 - 06.12.2026").

    Only lines with a word for it count. A second line that says otherwise is a doubt.
    """
    found = [said for text in texts if (said := _validity(text, today)) is not None]
    if not found:
        return Validity()
    first = found[0]
    if any((other.since, other.until) != (first.since, first.until) for other in found[1:]):
        return Validity(
            text=first.text, doubts=(doubt("validity-twice", "since", one=first.text, other=found[1].text),)
        )
    return first


def _validity(text: str, today: date) -> Validity | None:
    plain = folded(text)
    if not _VALID.search(plain):
        return None
    days = [found[0].strip() for found in _IN_TEXT.finditer(text)]
    if not days:
        return None
    shown = " ".join(text.split())
    if len(days) > 2:
        return Validity(text=shown, doubts=(doubt("validity-unclear", "since", value=shown),))
    if len(days) == 2:
        last = read_day(days[1], "", today, "until")
        first = read_day(_with_year(days[0], last.day), "", today)
        doubts = (*first.doubts, *last.doubts)
        if first.day and last.day and last.day < first.day:
            return Validity(text=shown, doubts=(doubt("validity-backward", "since", value=shown),))
        return Validity(since=first.day, until=last.day, text=shown, doubts=doubts)
    only = read_day(days[0], "", today)
    if _UNTIL.search(plain) and not _SINCE.search(plain):
        return Validity(until=only.day, text=shown, doubts=only.doubts)
    unclear = () if _SINCE.search(plain) else (doubt("validity-unclear", "since", value=shown),)
    return Validity(since=only.day, text=shown, doubts=(*only.doubts, *unclear))


def _with_year(text: str, last: date | None) -> str:
    """ "30.11." takes the year of the day that ends the span, or the one before."""
    if not re.fullmatch(r"\d{1,2}\.\d{1,2}\.", text) or last is None:
        return text
    day, month = (int(part) for part in text.rstrip(".").split("."))
    return f"{text}{last.year - ((month, day) > (last.month, last.day))}"
