"""How well the cells of a column bear out a role, and which role they have where no heading says one."""

from collections.abc import Callable, Mapping

from costing.supply.columns.headings import Meaning
from costing.supply.columns.looks import Look

PRICED = frozenset({"price", "price_each", "price_measure", "gross", "old_price"})
NO_FIT = 0.2
"""What is left of a heading's certainty where the cells say otherwise: enough to be offered, not to be taken."""

KEPT = 0.5
"""What is left of a column of days, deposits, quantities and the like that cannot be read: every line then says so."""


def _mostly(share: float, wanted: float = 0.6) -> float:
    return 1.0 if share >= wanted else max(NO_FIT, share / wanted * 0.8)


def _code(look: Look) -> float:
    if look.counting or look.days > 0.5 or (look.money > 0.3 and look.codes < 0.6):
        return NO_FIT
    return 1.0 if look.codes >= 0.6 or (look.unique >= 0.8 and look.words < 2) else 0.5


def _name(look: Look) -> float:
    return 1.0 if look.words >= 0.8 and look.numbers < 0.3 else NO_FIT


def _pack(look: Look) -> float:
    return 1.0 if look.packs >= 0.5 else 0.6 if look.numbers < 0.5 else NO_FIT


def _count(look: Look) -> float:
    return 1.0 if look.whole >= 0.8 or (look.packs >= 0.5 and look.sized < 0.3) else NO_FIT


def _content(look: Look) -> float:
    return 1.0 if look.sized >= 0.5 or look.numbers >= 0.7 else 0.5 if look.sized + look.numbers >= 0.7 else NO_FIT


def _text(look: Look) -> float:
    return 1.0 if look.numbers < 0.5 else NO_FIT


def _figures(look: Look) -> float:
    return max(KEPT, _mostly(look.numbers, 0.5))


def _days(look: Look) -> float:
    return max(KEPT, _mostly(look.days, 0.5))


_FITS: Mapping[str, Callable[[Look], float]] = {
    "code": _code,
    "gtin": lambda look: max(0.5, look.gtin) if look.days < 0.5 else NO_FIT,
    "name": _name,
    "pack": _pack,
    "count": _count,
    "content": _content,
    "unit": _text,
    "brand": _text,
    "supplier": _text,
    "section": _text,
    "remark": lambda look: 1.0,
    "vintage": lambda look: _mostly(look.years, 0.4),
    "currency": lambda look: _mostly(look.currencies),
    "since": _days,
    "until": _days,
}


def fit(role: str, look: Look) -> float:
    """0 to 1: how well a column that looks so can be ``role``."""
    if look.filled == 0:
        return KEPT if role == "price" else NO_FIT
    if role in PRICED:
        return _mostly(look.numbers) if look.days < 0.5 else NO_FIT
    return _FITS.get(role, _figures)(look)


def role_of(meaning: Meaning, look: Look) -> str:
    """The role that heading and cells together say: "Pack" above whole numbers is a count, "VPE" above sizes a pack."""
    role = meaning.role
    if role in ("count", "quantity", "unit") and look.sized >= 0.5:
        return "pack"
    if role == "pack" and look.whole >= 0.8:
        return "count"
    if role in ("pack", "remark") and look.money > 0.4 and look.numbers >= 0.7:
        return "price"
    return role


def by_cells(look: Look) -> tuple[tuple[str, float], ...]:
    """(role, certainty) of a column whose heading says nothing, best first. Never certain."""
    out: list[tuple[str, float]] = []
    if look.gtin >= 0.8:
        out.append(("gtin", 0.8))
    if look.days >= 0.8:
        out.append(("since", 0.4))
    if look.currencies >= 0.9:
        out.append(("currency", 0.6))
    if look.sized >= 0.6 and look.words < 2.5:
        out.append(("pack", 0.6))
    if look.numbers >= 0.8 and look.money >= 0.3:
        out.append(("price", 0.5))
    if look.codes >= 0.8 and not look.counting and look.unique >= 0.95 and look.money < 0.2 and look.gtin < 0.5:
        out.append(("code", 0.5 if look.numbers < 0.9 else 0.35))
    if look.words >= 1 and look.numbers < 0.2 and look.sized < 0.6:
        out.append(("name", min(0.5, 0.25 + 0.05 * look.words)))
    return tuple(sorted(out, key=lambda item: -item[1]))
