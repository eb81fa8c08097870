"""Packs of a column, or of several; the readers remember what they have read."""

from collections.abc import Mapping
from dataclasses import replace

from costing.supply.packs import parts
from costing.supply.packs.pack import parse_pack
from costing.supply.packs.record import Pack

_AS_CODES: Mapping[str, str] = {"ml": "MLT", "hl": "HLT"}
"""Units as UN/ECE Recommendation 20 has them: as words they would be judged as packs of one millilitre or
hectolitre."""


def pack_from(text: str, kind: str = "") -> Pack:
    """The pack that one text says."""
    return parse_pack(text, kind=kind)


def pack_of_parts(count: str, content: str, unit: str = "", *, kind: str = "", decimal: str | None = None) -> Pack:
    """The pack of a count, a content and the unit of it, see ``packs.parts``."""
    code = _AS_CODES.get(unit.strip().casefold().rstrip("."), unit)
    pack = parts.pack_of_parts(count, content, code, kind=kind, decimal=decimal)
    return pack if code == unit else replace(pack, text=pack.text.replace(code, unit.strip()))


def pieces(pack: Pack | None) -> int | None:
    """How many pieces a pack holds; 1 for a pack without levels, None where nothing was read."""
    if pack is None or (not pack.levels and pack.content is None):
        return None
    count = 1
    for level in pack.levels:
        count *= level
    return count
