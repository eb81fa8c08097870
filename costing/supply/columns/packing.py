"""Packs of a column, or of several; the readers remember what they have read."""

from costing.supply.packs.pack import parse_pack
from costing.supply.packs.parts import pack_of_parts
from costing.supply.packs.record import Pack

__all__ = ["pack_from", "pack_of_parts", "pieces"]


def pack_from(text: str, kind: str = "") -> Pack:
    """The pack that one text says."""
    return parse_pack(text, kind=kind)


def pieces(pack: Pack | None) -> int | None:
    """How many pieces a pack holds; 1 for a pack without levels, None where nothing was read."""
    if pack is None or (not pack.levels and pack.content is None):
        return None
    count = 1
    for level in pack.levels:
        count *= level
    return count
