"""The currency of one line, from whatever names one: its price, its cell, its list."""

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.packs.currencies import currency_of_text, may_be


def currency_of_line(cell: str, priced: str, sign: str, listed: str, beside: str) -> tuple[str, tuple[Doubt, ...]]:
    """(ISO 4217 code or "", doubts): that of the price itself (``priced``), else of its ``cell``, else of the list.

    ``sign`` (at the price) and ``beside`` (in the heading or the sentences) are signs that several currencies share: a
    doubt, unless a currency is known that they may stand for.
    """
    found, doubts = _named(cell, priced, listed)
    if sign and found and not doubts and not may_be(sign, found):
        return found, (doubt("currency-unlike", "currency", value=sign, list=found),)
    if (sign or beside) and not found and not doubts:
        return found, (doubt("currency-unknown", "currency", value=sign or beside),)
    return found, doubts


def _named(cell: str, priced: str, listed: str) -> tuple[str, tuple[Doubt, ...]]:
    if not cell and (not priced or priced == listed):
        return listed or priced, ()
    own = currency_of_text(cell) if cell else ""
    if cell.strip() and not own:
        return priced or listed, (doubt("currency-unknown", "currency", value=cell),)
    if own and priced and own != priced:
        return priced, (doubt("currency-unlike", "currency", value=priced, list=own),)
    found = priced or own
    if listed and found != listed:
        return found, (doubt("currency-unlike", "currency", value=found, list=listed),)
    return found, ()
