"""Facts: one figure with the text as typed, its unit, and whether anybody measured it."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Mark = Literal["measured", "assumed"]

_VULGAR = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
NUMBER = re.compile(
    r"(?P<whole>[0-9]+) +(?P<top>[0-9]+)/(?P<under>[0-9]+)|(?P<top2>[0-9]+)/(?P<under2>[0-9]+)"
    r"|(?P<plain>-?(?:[0-9]+(?:[.,][0-9]+)?|\.[0-9]+))"
)
_UNITS_WITH_DIGITS = re.compile(r"g/100 ?ml|kg/m3")
_SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2044": "/", "\u2212": "-"})
LONGEST = 200
LARGEST = Decimal("1e9")
COLDEST, HOTTEST = Decimal(-30), Decimal(100)
FINEST = -28
"""Decimals kept, so that every figure that can be typed can also be stored and read back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One figure that somebody wrote down.

    ``text`` is what was typed and is never changed; ``value`` and ``unit`` are what it was read as; ``mark``
    says measured or assumed; ``how`` begins with the method (``costing.book.methods``) and may go on with vessel
    or number of trials; ``at`` is the temperature in C that a volume was measured at, 20 where it is None.
    ValueError for a value that is not finite, beyond 1e9 in size, or of more than 28 decimals, and for a
    temperature outside -30 to 100 C.
    """

    text: str
    value: Decimal
    unit: str = ""
    mark: Mark = "measured"
    how: str = ""
    note: str = ""
    at: Decimal | None = None

    def __post_init__(self) -> None:
        if not self.value.is_finite() or self.value.copy_abs() > LARGEST:
            raise ValueError(f"{self.text!r}: the figure {self.value} must lie between -1e9 and 1e9")
        exponent = self.value.as_tuple().exponent
        if isinstance(exponent, int) and exponent < FINEST:
            raise ValueError(f"{self.text!r:.60}: a figure has at most {-FINEST} decimals")
        if self.at is not None and not (self.at.is_finite() and COLDEST <= self.at <= HOTTEST):
            raise ValueError(f"{self.text!r:.60}: a temperature of {self.at} C must lie from {COLDEST} to {HOTTEST} C")


def parse_fact(text: str, mark: Mark | None = None) -> Fact:
    """Read "45 ml", "1 1/2 oz", "0,75 l", "¾ oz", "2 dashes" or "51 %"; a leading ~ marks it assumed.

    "2.45 kg less 0.65 kg" is gross less tare, and its value the net; "1.2 l at 5 C" is a volume measured cold.

    The unit is kept as written, so a house measure is looked up only when the amount is used. ValueError
    names the text and the remedy; a comma before exactly three digits is refused rather than guessed.
    """
    if len(text) > LONGEST:
        raise ValueError(f"an amount of {len(text)} characters is too long: at most {LONGEST}")
    work = text.translate(_SPACES).strip()
    for sign, plain in _VULGAR.items():
        work = work.replace(sign, " " + plain)
    work = work.strip()
    assumed = work.startswith("~")
    work = work.removeprefix("~").strip()
    work, at = _temperature(work, text)
    gross, less, tare = work.partition(" less ")
    value, unit = _amount(gross.strip(), text)
    if less:
        taken, tare_unit = _amount(tare.strip(), text)
        if tare_unit.lower() != unit.lower():
            raise ValueError(f"{text!r}: gross is in {unit!r} and tare in {tare_unit!r}; weigh both in one unit")
        if taken < 0 or taken > value:
            raise ValueError(f"{text!r}: a tare of {taken} must lie from 0 to the gross {value}")
        value -= taken
    return Fact(text=text, value=value, unit=unit, mark=mark or ("assumed" if assumed else "measured"), at=at)


def _temperature(work: str, text: str) -> tuple[str, Decimal | None]:
    """(the amount without its " at 5 C", degrees Celsius or None)."""
    amount, at, rest = work.rpartition(" at ")
    if not at:
        return work, None
    degrees, unit = _amount(rest.strip(), text)
    scale = unit.replace("°", "").strip().lower()
    if degrees.copy_abs() > LARGEST:
        raise ValueError(f"{text!r:.60}: no liquid is that warm or cold; write a temperature in C or F")
    if scale == "f":
        degrees = ((degrees - 32) * 5 / 9).quantize(Decimal("0.001"))
    elif scale != "c":
        raise ValueError(f'{text!r}: after "at" a temperature is needed, for example "1.2 l at 5 C"')
    return amount.strip(), degrees


def _amount(work: str, text: str) -> tuple[Decimal, str]:
    """(value, unit as written) of one number with its unit."""
    found = NUMBER.match(work)
    if not found:
        raise ValueError(f'{text!r} is not an amount: write a number and a unit, for example "45 ml"')
    rest = work[found.end() :]
    if rest[:1] in {".", ",", "/", "-"} or (rest[:1].isdigit()):
        raise ValueError(f"{text!r}: {work[: found.end() + 2]!r} can be read in more than one way")
    value = value_of(found, text)
    unit = " ".join(rest.split())
    if len(unit) > 40 or any(ch.isdigit() for ch in _UNITS_WITH_DIGITS.sub("", unit.lower())):
        raise ValueError(f"{text!r}: {unit!r} is not a unit")
    return value, unit


def value_of(found: re.Match[str], text: str) -> Decimal:
    """The number that ``NUMBER`` found in ``text``. ValueError for a comma before three digits and for n/0."""
    plain = found["plain"]
    if plain is not None:
        if "," in plain:
            whole, decimals = plain.lstrip("-").split(",")
            if len(decimals) == 3 and whole.lstrip("0"):
                raise ValueError(
                    f"{text!r}: {plain!r} could be {plain.replace(',', '')} or "
                    f"{plain.replace(',', '.')}; write one of them"
                )
            plain = plain.replace(",", ".")
        return Decimal(plain)
    under = Decimal(found["under"] or found["under2"])
    if under == 0:
        raise ValueError(f"{text!r} divides by zero")
    value = Decimal(found["whole"] or 0) + Decimal(found["top"] or found["top2"]) / under
    finest = Decimal(1).scaleb(FINEST)
    return value if abs(value) >= 1 or value == value.quantize(finest) else value.quantize(finest)
