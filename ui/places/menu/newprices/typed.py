"""What is typed for a repricing: an overall aim, the limit of a rise, how many prices may change."""

from decimal import Decimal

from costing.edits.base import typed_price
from costing.edits.suppliers import typed_share
from costing.menu.reprice_record import Aim
from costing.tongue import say

SURELY_MONEY = 100
"""A bare number above this is no pour cost."""


def typed_aim(text: str, currency: str) -> Aim | None:
    """An overall aim as typed: "20 %" is a pour cost, "margin 9000" what the sales looked at are to leave; "" is none.
    ValueError for a bare number that may be either, and for what is neither."""
    work = text.strip()
    if not work:
        return None
    if work.endswith("%"):
        return Aim(kind="pour_cost", value=typed_share(work) or Decimal(0))
    words = (say("margin {money}", money="").strip().casefold(), "margin")
    word = next((w for w in words if work.casefold().startswith(w)), "")
    money = work[len(word) :].strip()
    times = not word and money.casefold().strip(" 0123456789.,") in ("x", "×")  # so many times the cost is no sum
    if times or not any(c.isdigit() for c in money):
        raise ValueError(
            say("“{text}” is no aim for a menu: write a pour cost (20 %) or a margin (margin 9000)", text=work)
        )
    value = typed_price(money, currency)
    if not word and value <= SURELY_MONEY:
        raise ValueError(say("“{text}” may be a pour cost or a margin: write {text} % or margin {text}", text=money))
    return Aim(kind="margin", value=value)


def aim_text(aim: Aim | None) -> str:
    """An aim as it is typed."""
    if aim is None:
        return ""
    return percent_text(aim.value) if aim.kind == "pour_cost" else say("margin {money}", money=f"{aim.value:f}")


def percent_text(share: Decimal | None) -> str:
    """A share as it is typed; "" is none."""
    return "" if share is None else f"{(100 * share).normalize():f} %"


def typed_number_of_prices(text: str) -> int | None:
    """How many prices may change, as typed; "" is any. ValueError for what is no whole number from 1 on."""
    work = text.strip()
    if not work:
        return None
    if not (work.isascii() and work.isdigit() and 1 <= int(work) < 1_000_000):
        raise ValueError(say("“{text}” is no number of prices: write one like 7, or nothing for any", text=work))
    return int(work)
