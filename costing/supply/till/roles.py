"""What a column of a till's export may say."""

from typing import Literal

TillRole = Literal[
    "day", "time", "outlet", "code", "item", "category", "parent", "line", "qty", "price", "gross", "discount", "net",
    "service", "tax", "paid", "flag", "reason", "check", "covers", "server",
]  # fmt: skip
"""``day`` is a business day or a calendar stamp; ``parent`` names the line, or the button, that a modifier belongs to,
``line`` numbers the lines of a check. ``gross`` is before discount; ``net`` what was left after it, with tax inside or
not (``Columns.tax`` says which); ``paid`` is with everything in it. ``flag`` marks voids, gifts, waste and refunds."""
TILL_ROLES: tuple[TillRole, ...] = TillRole.__args__  # type: ignore[attr-defined]
FIGURES: tuple[TillRole, ...] = ("qty", "price", "gross", "discount", "net", "service", "tax", "paid")
"""Roles whose cells are figures."""
SUMMED: tuple[TillRole, ...] = ("qty", "gross", "discount", "net", "service", "tax", "paid")
"""Those of them that a total adds up."""
MONEY: tuple[TillRole, ...] = ("net", "paid", "gross")
"""Columns that say what was paid; one of them is enough."""
