"""Calendar stamps and times of day: what stands beside a day in one cell, and in a column of its own."""

import re
from decimal import Decimal

from costing.supply.arriving.table import DayCell, Figure

DAY_MINUTES = 24 * 60
_STAMP = re.compile(
    r"(?P<day>.*?\d{2,4}|.*?\d)(?:[T,]\s*|\s+(?:um |at |a |à |- )?)"
    r"(?P<time>\d{1,2}[:h.]\d{2}(?:[:.]\d{2})?(?:[.,]\d{1,6})?\s*(?:[AaPp]\.?[Mm]\.?)?)\s*(?:h|Uhr|uur)?"
    r"(?P<zone>Z|[+-]\d{2}:?\d{2})?"
)
_WEEKDAY = re.compile(
    r"(?:mo|mon|di|tu|tue|tues|mi|we|wed|do|th|thu|thur|thurs|fr|fri|sa|sat|so|su|sun|(?:mon|tues|wednes|thurs|fri|satur"
    r"|sun)day|(?:mon|diens|donners|frei|sams|sonn)tag|mittwoch|sonnabend|lun|mar|mer|jeu|ven|sam|dim|(?:lun|mar|mercre|jeu"
    r"|vendre|same)di|dimanche|lunes|martes|mie|miércoles|miercoles|jue|jueves|vie|viernes|sab|sáb|sábado|sabado|dom|domingo"
    r"|(?:lune|marte|mercole|giove|vener)d[iì]|gio|sabato|domenica|ma|wo|vr|za|zo|(?:maan|dins|woens|donder|vrij|zater|zon)"
    r"dag)(?:\.,?|,)?\s+(?=\d{1,4}[./-]\d|\d{1,2}\.? (?:de )?[^\W\d_])",
    re.IGNORECASE,
)
_COMPACT = re.compile(r"(?:19|20)\d{2}(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])")
_TIME = re.compile(
    r"(?P<hour>\d{1,2})(?:\s*[:h.]\s*(?P<minute>\d{2})(?:[:.](?P<second>\d{2})(?:[.,]\d{1,6})?)?)?\s*(?:h|Uhr|uur)?\s*"
    r"(?P<half>[AaPp]\.?[Mm]\.?)?(?:\s*(?:-|–|to|bis|a|à|al|tot)\s*\d{1,2}(?:[:h.]\d{2})?\s*(?:[AaPp]\.?[Mm]\.?)?)?\s*"
    r"(?:h|Uhr|uur)?"
)


def split_stamp(text: str) -> tuple[str, str, str]:
    """(day, time, zone) of a cell that may hold all three; ("...", "", "") where it holds a day alone. What a sheet
    stored as a day stays one; a weekday before a day is left out, and 20261123 is written out."""
    plain = _WEEKDAY.sub("", text.strip(), count=1) if not isinstance(text, DayCell) else text.strip()
    if _COMPACT.fullmatch(plain):
        return f"{plain[:4]}-{plain[4:6]}-{plain[6:]}", "", ""
    found = _STAMP.fullmatch(plain)
    if found is None:
        return text if plain == text.strip() else plain, "", ""
    day = DayCell(found["day"]) if isinstance(text, DayCell) else found["day"].strip()
    return day, found["time"].strip(), found["zone"] or ""


def minutes_of(text: str) -> int | None:
    """Minutes since midnight of a time ("23:10", "11.10 pm", "23h10", "23", "23:00 - 24:00", the share of a day that a
    sheet stores); None for what is none. 24:00 ends the day it is written under."""
    plain = text.strip()
    if isinstance(text, Figure) and "." in plain:
        share = Decimal(plain) % 1
        return int(share * DAY_MINUTES + Decimal("0.5"))
    if isinstance(text, DayCell):
        plain = split_stamp(text)[1] or plain
    found = _TIME.fullmatch(plain)
    if found is None:
        return None
    hour, minute = int(found["hour"]), int(found["minute"] or 0)
    if found["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found["half"][0] in "Pp" else 0)
    total = hour * 60 + minute
    return total if minute < 60 and total <= DAY_MINUTES else None
