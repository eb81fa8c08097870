"""What a supplier adds to a price, as one would type it: quantity breaks, packs that come free, charges on a pack."""

import re
from collections.abc import Iterable

from costing.book.fact import parse_fact
from costing.book.plain import Plain
from costing.book.records import Break, FreeGoods, PackCharge

_BREAK = re.compile(r"(?:from\s+)?(\S+)\s+at\s+(\S+)", re.IGNORECASE)
_FREE = re.compile(r"(\S+)\s+with\s+(\S+)", re.IGNORECASE)
_CHARGE = re.compile(r"(.*\S)\s+(-?[0-9.,]+)")


def _plain_number(text: str) -> str:
    fact = parse_fact(text)
    if fact.unit:
        raise ValueError(f"{text!r} is not a plain number")
    return str(fact.value)


def _parts(text: str) -> list[str]:
    return [p.strip() for p in re.split("[;\n]", text) if p.strip()]


def breaks(text: str) -> list[Plain]:
    """ "from 3 at 70.20; from 10 at 66.00". ValueError for anything else."""
    found = [_BREAK.fullmatch(part) for part in _parts(text)]
    if not found or None in found:
        raise ValueError("write from how many packs on a pack costs what: from 3 at 70.20; from 10 at 66.00")
    return [{"packs": _plain_number(m[1]), "price": _plain_number(m[2])} for m in found if m]


def free(text: str) -> Plain:
    """ "1 with 11". ValueError for anything else."""
    found = _FREE.fullmatch(text.strip())
    if found is None:
        raise ValueError("write how many packs come free with how many paid: 1 with 11")
    return {"paid": _plain_number(found[2]), "free": _plain_number(found[1])}


def charges(text: str) -> list[Plain]:
    """ "Freight 3.00; Rebate -1.50". ValueError for anything else."""
    found = [_CHARGE.fullmatch(part) for part in _parts(text)]
    if not found or None in found:
        raise ValueError("write a name and money for one pack: Freight 3.00; Rebate -1.50")
    return [{"name": m[1], "amount": _plain_number(m[2])} for m in found if m]


def typed_breaks(given: Iterable[Break]) -> str:
    """Breaks as they are typed."""
    return "; ".join(f"from {b.packs:f} at {b.price:f}" for b in given)


def typed_free(given: FreeGoods | None) -> str:
    """Free packs as they are typed."""
    return f"{given.free:f} with {given.paid:f}" if given else ""


def typed_charges(given: Iterable[PackCharge]) -> str:
    """Charges as they are typed."""
    return "; ".join(f"{c.name} {c.amount:f}" for c in given)
