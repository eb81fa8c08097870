"""What the book knows of buying beside its quotes: the order of one delivery, an exchange rate, four weeks of sales."""

from datetime import date

from sample_data import goods, invoice, stock
from sample_data.forms import OPENED, Plain, kept

ORDERED = date(2026, 11, 13)
FIRST, LAST = date(2026, 10, 26), date(2026, 11, 22)
"""The weeks 44 to 47, between the two counts."""


def _ordered() -> list[Plain]:
    """What the casks' van of 17 November was asked to bring, at the quotes of that day."""
    return [
        {"good": held.good, "packs": str(packs)}
        | kept(levels=list(held.offer.levels))
        | {"content": held.offer.content, "price": str(invoice.price_on(held.offer, invoice.DAY))}
        for day, held, packs in stock.delivered()
        if day == invoice.DAY and held.offer.supplier == goods.CASKS
    ]


ORDERS: list[Plain] = [
    {"id": f"{goods.CASKS}-{ORDERED}", "supplier": goods.CASKS, "day": str(ORDERED), "lines": _ordered(),
     "number": f"SLB-{invoice.DAY:%m%d}", "note": f"For Tuesday, {invoice.DAY}"},
]  # fmt: skip
RATES: list[Plain] = [
    {
        "id": f"chf-{OPENED}",
        "currency": "CHF",
        "since": OPENED,
        "worth": "1.06",
        "source": "The house's bank, invented",
    },
]
