"""Short ways to say what is known and what is asked."""

from decimal import Decimal

from costing.supply.whose import Asked, Catalogue, Known, Match, Size

_UNITS = {"ml": ("ml", 1), "cl": ("ml", 10), "l": ("ml", 1000), "g": ("g", 1), "kg": ("g", 1000), "each": ("each", 1)}


def size(text: str) -> Size | None:
    """ "70 cl" as 700 ml; "" is not known."""
    if not text:
        return None
    number, unit = text.split()
    name, factor = _UNITS[unit]
    return Decimal(number) * factor, name


def known(
    name: str, held: str = "70 cl", *, good: str = "", supplier: str = "s", code: str = "", gtin: str = "",
    names: tuple[str, ...] = (), levels: tuple[int, ...] = (), last: str = "", kind: str = "spirit",
) -> Known:  # fmt: skip
    """A good whose id is its name unless said otherwise."""
    return Known(
        good=good or name, name=name, names=names, supplier=supplier, code=code, gtin=gtin, size=size(held),
        levels=levels, last=Decimal(last) if last else None, kind=kind,
    )  # fmt: skip


def asked(
    name: str, held: str = "70 cl", *, n: int = 1, supplier: str = "s", code: str = "", gtin: str = "",
    levels: tuple[int, ...] = (), price: str = "",
) -> Asked:  # fmt: skip
    """A line."""
    return Asked(
        n=n, supplier=supplier, code=code, gtin=gtin, name=name, size=size(held), levels=levels,
        per_base=Decimal(price) if price else None,
    )  # fmt: skip


def one(things: list[Known], line: Asked) -> Match:
    """What a line means to a book of these."""
    return Catalogue(things).match(line)


def codes(match: Match) -> set[str]:
    """The doubts of a match."""
    return {doubt.code for doubt in match.doubts}
