"""Figures as somebody would type them into a starter workbook."""

from collections.abc import Iterable
from decimal import Decimal

from costing.book.fact import Fact
from costing.book.levies import Policy


def fact(figure: Fact | None) -> str:
    """A fact as it is typed: amount; how it was measured; note."""
    if figure is None:
        return ""
    sign = "~" if figure.mark == "assumed" and not figure.text.strip().startswith("~") else ""
    tail = f"; {figure.how}; {figure.note}" if figure.note else f"; {figure.how}" if figure.how else ""
    return f"{sign}{figure.text}{tail}"


def share(value: Decimal) -> str:
    """0.19 as "19 %"."""
    shown = f"{value * 100:f}"
    return f"{shown.rstrip('0').rstrip('.') if '.' in shown else shown} %"


def policy(aim: Policy | None) -> str:
    """A target as it is typed."""
    if aim is None:
        return ""
    return (
        share(aim.value)
        if aim.kind == "pour_cost"
        else f"{aim.value:f} {'x' if aim.kind == 'multiplier' else 'margin'}"
    )


def word(choices: Iterable[tuple[str, str]], value: str) -> str:
    """The word that stands for a value."""
    return next((w for w, v in choices if v == value), value)
