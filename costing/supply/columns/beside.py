"""What a list says outside its lines: above the heading, below the last line, in rows with one text only."""

import re
from dataclasses import dataclass

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.folding import folded
from costing.supply.columns.taxes import TaxSaid, tax_of_text
from costing.supply.packs.currencies import currency_of_text, shared_sign

_SIGNS = frozenset("$¥")
"""Signs of money that are no words: they say it in every sentence."""
_OF_PRICES = re.compile(r"preis|price|prix|prezz|preci|prij|tarif|currency|wahrung|valuta|devise|moneda|betrag|amount")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """``texts`` are the sentences; ``tax`` and ``currency`` what they say, "unknown" and "" where they say nothing or
    two things; ``sign`` the first sign or word for money that several currencies share."""

    texts: tuple[str, ...] = ()
    tax: TaxSaid = TaxSaid()
    currency: str = ""
    sign: str = ""
    doubts: tuple[Doubt, ...] = ()


def beside(table: Table, header_at: int, body: int) -> Beside:
    """The sentences beside the lines of a table; its heading begins at row ``header_at`` and ends before ``body``."""
    texts = [joined for row in table.rows[:header_at] if (joined := _joined(row))]
    texts += [only for row in table.rows[body:] if (only := _only(row)) and not only.isdigit()]
    texts = list(dict.fromkeys(texts))
    said = [(text, tax) for text in texts if (tax := tax_of_text(text)).basis != "unknown" or tax.both]
    tax, doubts = _agreed(said)
    named = {code for text in texts if _OF_PRICES.search(folded(text)) and (code := currency_of_text(text))}
    signs = (
        sign for text in texts if (sign := shared_sign(text)) and (sign in _SIGNS or _OF_PRICES.search(folded(text)))
    )
    return Beside(
        texts=tuple(texts), tax=tax, currency=named.pop() if len(named) == 1 else "", sign=next(signs, ""),
        doubts=doubts,
    )  # fmt: skip


def _agreed(said: list[tuple[str, TaxSaid]]) -> tuple[TaxSaid, tuple[Doubt, ...]]:
    if not said:
        return TaxSaid(), ()
    bases = {tax.basis for _, tax in said}
    if len(bases) > 1 or "unknown" in bases:
        return TaxSaid(both=True), (doubt("tax-contradicts", "tax", one=said[0][0], other=said[-1][0]),)
    rates = {tax.rate for _, tax in said} - {None}
    return TaxSaid(said[0][1].basis, rates.pop() if len(rates) == 1 else None), ()


def _joined(row: tuple[str, ...]) -> str:
    return " ".join(dict.fromkeys(cell.strip() for cell in row if cell.strip()))


def _only(row: tuple[str, ...]) -> str:
    """The one text of a row, "" where there are several."""
    found = ""
    for cell in row:
        if cell and cell != found:
            if found:
                return ""
            found = cell
    return found.strip()
