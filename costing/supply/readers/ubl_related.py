"""What lines of one catalogue say of each other: deposits that go with an item, and items that are named twice."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from costing.supply.arriving.doubt import doubt
from costing.supply.arriving.line import PriceLine
from costing.supply.readers.xml_safe import Element
from costing.supply.readers.xml_sorts import is_deposit
from costing.supply.readers.xml_values import Amount, amount_at, text_at


def with_deposits(lines: list[PriceLine], elements: Sequence[Element]) -> list[PriceLine]:
    """Deposits: what a line requires besides is another line, found by the seller's number of its item."""
    by_code = {code: line for line in reversed(lines) for code in (line.code, line.gtin, line.said("gtin")) if code}
    out = []
    for line, element in zip(lines, elements, strict=True):
        made = line
        for related in element.iterfind("RequiredRelatedItem"):
            code = text_at(related, "ID")
            made = _with_deposit(made, by_code.get(code), code, amount_at(related, "Quantity"))
        out.append(made)
    return out


def _with_deposit(line: PriceLine, other: PriceLine | None, code: str, quantity: Amount) -> PriceLine:
    many = quantity.value if quantity.value is not None else Decimal(1)
    if other is None or other.price is None or other.base <= 0:
        return replace(line, doubts=(*line.doubts, doubt("related-missing", "deposit", code=code)))
    doubts = line.doubts
    if other.sort != "deposit" and not is_deposit(other.name):
        doubts = (*doubts, doubt("related-item", "deposit", code=code, name=other.name))
    if quantity.wrong:
        doubts = (*doubts, doubt("not-a-number", "deposit", value=quantity.text))
    deposit = (line.deposit or Decimal(0)) + other.price / other.base * many
    return replace(line, deposit=deposit, doubts=doubts)


def named_twice(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """Two lines about one item: one of them is wrong, or they are different packs."""
    keys = Counter(_key(line) for line in lines if _key(line))
    return [
        replace(line, doubts=(*line.doubts, doubt("item-twice", "code", code=_key(line))))
        if keys[_key(line)] > 1 else line
        for line in lines
    ]  # fmt: skip


def _key(line: PriceLine) -> str:
    return line.code or line.gtin
