"""Starting values of a new good: the row of the shipped tables that bears its name, as assumed facts."""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import cast

from costing.book.fact import Fact, parse_fact
from costing.book.records import BESIDE, BaseUnit, Facts
from costing.tables import Produce, find_produce, fold

STAND_IN = {"spirit": "vodka", "wine": "white wine", "beer": "lager"}
"""Where no row bears the name, the kind's most ordinary one stands in, and the note says so."""
CHANGES = frozenset(
    {
        "free", "non", "zero", "low", "without", "nonalcoholic", "dealcoholised", "overproof", "navy", "cask", "barrel",
        "oat", "almond", "soy", "soya", "rice", "coconut", "single", "double", "sour", "condensed", "prickly",
    }
)  # fmt: skip
"""Words that make a thing another than its last word says, so that no strength or composition is taken from that."""
_STRENGTH = re.compile(r"\(?\b([0-9]{1,2}(?:[.,][0-9]{1,2})?) ?(?:% ?(?:vol|abv)?|vol\b|abv\b)\.?\)?", re.IGNORECASE)
_STRONG = frozenset({"spirit", "liqueur", "wine", "beer"})


@dataclass(frozen=True, slots=True)
class Starting:
    """What is assumed of a good. ``note`` names the row ("table produce: lemon; USDA SR28 09150"), "" without one."""

    makeup: Facts = ()
    density: Fact | None = None
    piece: Fact | None = None
    base: BaseUnit | None = None
    note: str = ""


def starting_values(name: str, kind: str) -> Starting:
    """What the tables know of a good of that name and kind, every figure assumed. A strength that stands in the name of
    a strong drink ("White rum 40 %") goes before the table's."""
    strength = _STRENGTH.search(name) if kind in _STRONG else None
    row, how = _row(_STRENGTH.sub(" ", name) if strength else name, kind)
    said = Decimal(strength[1].replace(",", ".")) if strength else None
    if row is None:
        return Starting(makeup=() if said is None else (("abv", _fact(said, "% vol")),))
    makeup = _makeup(row, said, how)
    base = cast(BaseUnit, row.base) if row.base in ("kg", "l", "each") and how != "stand-in" else None
    return Starting(
        makeup=makeup,
        density=_fact(row.density, "kg/l") if row.density is not None and said is None and how != "stand-in" else None,
        piece=_fact(row.piece_g, "g") if row.piece_g else None,
        base=base,
        note=f"table produce: {row.name}{f' ({how})' if how else ''}; {row.source}",
    )


def _row(name: str, kind: str) -> tuple[Produce | None, str]:
    """(the row, how it was found): by the name, before a comma, by its last words, or the kind's stand-in."""
    plain = " ".join(re.sub(r"[0-9.,]+ ?(?:l|cl|ml|kg|g)\b", " ", name, flags=re.IGNORECASE).split())
    head = plain.partition(",")[0].partition("(")[0].strip()
    for said in dict.fromkeys((name, plain, head)):
        if (row := find_produce(said)) is not None and row.kind == kind:
            return row, ""
    words = head.split()
    if CHANGES & {word for part in words for word in fold(part).split()}:
        return None, ""  # what the last word says is not what this is: "alcohol free gin", "oat milk"
    for n in range(1, len(words)):
        if (row := find_produce(" ".join(words[n:]))) is not None and row.kind == kind:
            return row, "last words"
    row = find_produce(STAND_IN[kind]) if kind in STAND_IN else None
    return (row, "stand-in") if row is not None else (None, "")


def _makeup(row: Produce, said: Decimal | None, how: str) -> Facts:
    abv = said if said is not None else row.abv
    if abv is not None:
        sugar = row.sugar_gl if how != "stand-in" else None
        return (("abv", _fact(abv, "% vol")), *((("sugar", _fact(sugar, "g/l")),) if sugar else ()))
    if row.water is None or row.kind in BESIDE:
        return ()
    shares: Facts = tuple(
        (name, _fact(share, "%")) for name, share in (("water", row.water), ("solubles", row.solubles)) if share
    )
    if row.acid_low is not None and row.acid_high is not None and (row.density is not None or row.base == "l"):
        shares += (("acid", _fact((row.acid_low + row.acid_high) / 2, "g/l")),)
    return shares


def _fact(value: Decimal, unit: str) -> Fact:
    """An assumed figure of a table."""
    return replace(parse_fact(f"~{value.normalize():f} {unit}"), mark="assumed")
