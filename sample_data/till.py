"""What the bar's till means, in the plain form of a book: its buttons, and how its weekly files are read.

Buttons of happy hour sell the same drinks at another price, those of the terrace sell them on its own menu. Keys that
sell no drink of a menu are left out, each for its reason.
"""

from sample_data import sales
from sample_data.forms import Plain, kept

SINCE = sales.FIRST.isoformat()
LEFT = {"901": "money key", "902": "not named", "951": "modifier"}
"""Why keys of the house sell no drink: a gift card, an open key, a wish about ice."""
ROLES = ("day", "code", "item", "category", "qty", "gross", "discount", "net", "service", "tax", "flag")
"""What each column of ``sales.HEADER`` is."""
ABOVE = 3
"""Rows above the heading: the title, the period, an empty one."""


def _sells(plu: str, text: str, serve: str, menu: str) -> Plain:
    return {"id": f"button-{plu}", "text": text, "since": SINCE, "code": plu, "parts": [{"serve": serve, "menu": menu}]}


def _left(plu: str, text: str) -> Plain:
    return {"id": f"button-{plu}", "text": text, "since": SINCE, "code": plu, "sort": "left", "reason": LEFT[plu]}


BUTTONS: list[Plain] = [
    *(_sells(b.plu, b.text, b.serve, b.menu) for b in sales.BUTTONS),
    *(_sells(plu, text, serve, "main") for serve, (plu, text) in sales.HAPPY_PLU.items()),
    *(_left(plu, text) for plu, text, _ in sales.HOUSE_KEYS),
    _left("951", "NO ICE"),
]
TILLS: list[Plain] = [
    {
        "id": "bar-till",
        "name": "Bar till",
        "since": SINCE,
        "flags": {"V": "before it was made", "C": "given", "S": "given"},
        "columns": kept(
            uses=[
                {"role": role, "column": n, "header": header}
                for n, (role, header) in enumerate(zip(ROLES, sales.HEADER, strict=True))
            ],
            header_at=ABOVE, width=len(sales.HEADER), days="ymd", tax="ex", delimiter=",", encoding="utf-8",
        ),
    }
]  # fmt: skip
