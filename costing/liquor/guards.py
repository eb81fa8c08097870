"""The one way this package refuses a number: a ValueError that names the value and the accepted range."""

from __future__ import annotations


def within(what: str, value: float, low: float, high: float) -> None:
    """Raise ValueError unless low <= value <= high; a NaN is always refused."""
    if not low <= value <= high:
        raise ValueError(f"{what} is {value!r}; accepted range {low:g} to {high:g}")


def above_zero(what: str, value: float) -> None:
    """Raise ValueError unless value is a finite number greater than 0."""
    if not 0.0 < value < float("inf"):
        raise ValueError(f"{what} is {value!r}; accepted range above 0 and finite")


def not_negative(what: str, value: float) -> None:
    """Raise ValueError unless value is a finite number of at least 0."""
    if not 0.0 <= value < float("inf"):
        raise ValueError(f"{what} is {value!r}; accepted range 0 and above, finite")
