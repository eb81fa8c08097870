"""What a billed line is about where its document has no element for it: goods, a deposit, freight, something sent back.

The words are common practice, no source; what they decide against an item number is doubted.
"""

import re
import unicodedata
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Sort

RETURNABLE = "RAD"
"""UNCL 7161: charge for returnable containers."""
_VESSEL = (
    r"(?:kegs?|crates?|bottles?|casks?|cases?|containers?|boxes|box|futs?|fusts?|fass|fasser|kisten?|kasten|flaschen?"
    r"|caisses?|casiers?|bouteilles?|krat|kratten|cajas?|barril|barriles|fusti|fusto|casse|cassa)"
)
_DEPOSIT = (
    r"\w*pfand\w*|deposits?|deposito|caution|consignes?|consignation\w*|consigned|statiegeld\w*|\w*kaution\w*|cauzion\w*"
    rf"|fianzas?|envases?|pant|kaucja|vratna zaloha|returnable {_VESSEL}|(?:euro)?pallets?"
    r"|\w*palettes?|\w*paletten\w*"
)
_EMPTIES = (
    rf"\w*leergut\w*|leeggoed|empties|empty {_VESSEL}|vuoti|tomgods|deconsign\w*|emballages? (?:retour|rendus?|vides?)"
    rf"|(?:returned|returns?|retour\w*) (?:empty )?{_VESSEL}"
)
_BACK = r"returned|returns?|retour\w*|ruckgabe\w*|rucknahme\w*|resi|reso|devoluci\w*|retur\w*"
_CARRIED = (
    r"freight|\w*fracht\w*|delivery|deliveries|liefer(?:ung|kosten|pauschale|gebuhr)\w*|versand\w*|porto|postage|shipping"
    r"|carriage|transport\w*|livraison|frais de port|spese di (?:trasporto|spedizione)|consegna|trasporto|portes|envio"
    r"|vracht\w*|verzend\w*|bezorg\w*|frakt\w*|fragt"
    r"|packing|packaging|verpackung\w*|emballages?|handling|surcharges?"
    r"|\w*zuschlag\w*|supplements?|toeslag\w*|maut\w*|fuel|insurance"
)
_BONUS = (
    r"rebates?|\w*rabatt\w*|\w*bonus\w*|\w*skonto\w*|discounts?|remises?|ristournes?|ruckvergutung\w*|sconto|sconti"
    r"|descuentos?|\w*korting\w*|rappel|bonific\w*|turnover"
)
_FIRST = re.compile(rf"\W*(?:{_VESSEL}\W+)?(?:{_DEPOSIT}|{_EMPTIES})\b")
_BESIDE = re.compile(
    r"\b(?:inkl|incl\w*|including|exkl|excl\w*|zzgl|plus|ohne|mit|without|with|sans|avec|hors|senza|con|sin|zonder|met|no|free)"
    rf"\b\.? (?:\w+ )?(?:{_DEPOSIT}|{_CARRIED})\b"
)
"""Goods that are sold with a deposit, or carriage free, stay goods."""
_ANY_DEPOSIT = re.compile(rf"\b(?:{_DEPOSIT})\b")
_ANY_EMPTIES = re.compile(rf"\b(?:{_EMPTIES}|{_BACK})\b")
_ANY_CARRIED = re.compile(rf"\b(?:{_CARRIED})\b")
_FIRST_CARRIED = re.compile(rf"\W*(?:{_CARRIED})\b")
_ANY_BONUS = re.compile(rf"\b(?:{_BONUS})\b")


def _folded(text: str) -> str:
    """Small letters without accents: "Rückgabe" and "ruckgabe" are one."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in parts if not unicodedata.combining(sign))


def is_deposit(text: str) -> bool:
    """Whether a reason or a name speaks of a returnable deposit."""
    return bool(_ANY_DEPOSIT.search(_folded(text)))


def sort_of(
    name: str, *, coded: bool, amount: Decimal | None, quantity: Decimal | None, sized: bool
) -> tuple[Sort, tuple[Doubt, ...]]:
    """(what a line is about, doubts). ``coded``: it names an item by number; ``sized``: its name holds a size, as
    goods do. ``amount`` and ``quantity`` are negative for money and things that go back.

    A numbered item is only taken for a deposit, or for freight, when its name begins so, and then doubted.
    """
    plain = _BESIDE.sub(" ", _folded(name))
    back = (quantity is not None and quantity < 0) or (amount is not None and amount < 0)
    returned: Sort = "return" if back else "deposit"
    if coded:
        if _FIRST.match(plain):
            return returned, (doubt("sort-by-words", "name", sort=returned, name=name),)
        if not sized and _FIRST_CARRIED.match(plain):
            return "charge", (doubt("sort-by-words", "name", sort="charge", name=name),)
        return "goods", ()
    if _ANY_DEPOSIT.search(plain):
        return _named_so(plain, returned, name, sized=sized)
    if _ANY_EMPTIES.search(plain):
        return _named_so(plain, returned, name, sized=sized)
    if back and _ANY_BONUS.search(plain):
        return "rebate", ()
    if _ANY_CARRIED.search(plain):
        return "charge", (doubt("sort-by-words", "name", sort="charge", name=name),) if sized else ()
    return "goods", ()


def _named_so(plain: str, returned: Sort, name: str, *, sized: bool) -> tuple[Sort, tuple[Doubt, ...]]:
    """A name with a size that only mentions a deposit, or says that it went back, may be that of the goods."""
    if sized and not _FIRST.match(plain):
        return "goods", (doubt("goods-or-deposit", "name", name=name),)
    return returned, ()
