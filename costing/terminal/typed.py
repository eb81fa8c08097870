"""Figures as they are typed behind a flag: shares, amounts, names with a figure, people at an hourly rate."""

import argparse
import re

from costing.book.fact import NUMBER, value_of
from costing.terminal.base import Mistake

_PEOPLE = re.compile(r"(?P<people>[0-9.,]+)\s*[x×]\s*(?P<hours>[0-9.,]+)\s*h?\s*@\s*(?P<rate>[0-9.,]+)")


def amount(text: str) -> float:
    """A number from 0 on."""
    found = NUMBER.fullmatch(text.strip())
    if found is None or found["plain"] is None:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number; write it like 40 or 37.5")
    try:
        value = value_of(found, text.strip())
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    if not 0 <= value < 10**9:
        raise argparse.ArgumentTypeError(f"{text!r} must lie from 0 to below 1e9")
    return float(value)


def share(text: str) -> float:
    """A share: 40 %, 40% or 0.4. A bare number above 1 is not guessed at."""
    work = text.strip()
    value = amount(work.removesuffix("%").strip()) / (100 if work.endswith("%") else 1)
    if not work.endswith("%") and value > 1:
        raise argparse.ArgumentTypeError(f"{text!r} may be a share or per cent; write 0.4 or 40 %")
    return value


def bare_percent(text: str) -> str:
    """Text that must be per cent, as it is: 20, 20 %, 0.5 %. A bare number below 1 may be a share, and is not guessed
    at. Mistake for that; what is no number is left to whoever reads it."""
    found = NUMBER.fullmatch(text.strip())
    value = float(value_of(found, text.strip())) if found is not None and found["plain"] is not None else 0
    if 0 < value < 1:
        raise Mistake(f"{text!r} may be a share or per cent: write {100 * value:.4g} % for the share, or {value:.4g} %")
    return text


def weeks(text: str) -> int:
    """Whole weeks of sales."""
    work = text.strip()
    if not (work.isascii() and work.isdecimal()) or not 1 <= int(work) <= 520:
        raise argparse.ArgumentTypeError(f"{text!r} weeks must be a whole number from 1 to 520")
    return int(work)


def guests(text: str) -> int:
    """A whole number of people."""
    work = text.strip()
    if not (work.isascii() and work.isdecimal()) or not 1 <= int(work) <= 100_000:
        raise argparse.ArgumentTypeError(f"{text!r} guests must be a whole number from 1 to 100,000")
    return int(work)


def named_amount(text: str) -> tuple[str, float]:
    """NAME=40."""
    name, sign, figure = text.rpartition("=")
    if not sign or not name.strip():
        raise argparse.ArgumentTypeError(f"{text!r} does not say how much of what; write NAME=40")
    return name.strip(), amount(figure)


def named_share(text: str) -> tuple[str, float]:
    """NAME=0.4 or NAME=40%."""
    name, sign, figure = text.rpartition("=")
    if not sign or not name.strip():
        raise argparse.ArgumentTypeError(f"{text!r} does not say which share of what; write NAME=0.4 or NAME=40%")
    return name.strip(), share(figure)


def maybe_share(text: str) -> tuple[str, float | None]:
    """NAME, or NAME=0.4."""
    return named_share(text) if "=" in text else (text.strip(), None)


def staff(text: str) -> tuple[float, float, float]:
    """(people, hours each, rate an hour) of 3x5@22."""
    found = _PEOPLE.fullmatch(text.strip())
    if found is None:
        raise argparse.ArgumentTypeError(f"{text!r} is not staff; write people x hours @ rate, like 3x5@22")
    return amount(found["people"]), amount(found["hours"]), amount(found["rate"])
