"""Columns that are not used, and that somebody should know of before a list is taken."""

from collections.abc import Collection, Mapping, Sequence

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.columns.headings import Meaning
from costing.supply.columns.looks import Look


def noticed(
    heads: Sequence[str],
    means: Sequence[Meaning],
    seen: Sequence[Look],
    taken: Mapping[int, str],
    away: Collection[int],
) -> list[Doubt]:
    """Discounts, prices of alcohol, numbers of positions, counts under an unknown heading or under
    that of a quantity which no total bears out, and columns ``away`` that the file hides.

    ``taken`` are the roles of the columns in use; headings, meanings and looks are by column.
    """
    out: list[Doubt] = []
    roles = set(taken.values())
    for column, (head, said, look) in enumerate(zip(heads, means, seen, strict=True)):
        if said.role == "discount" and look.filled:
            out.append(doubt("discount-column", "price", value=head))
        if said.role == "code" and look.counting:
            out.append(doubt("position-numbers", "code", value=head))
        if said.role == "of_alcohol" and look.filled:
            out.append(doubt("price-of-alcohol", "price", value=head))
        counted = {"count", "pack", "quantity"} & roles
        ordered = taken.get(column) == "quantity" and "content" in roles and not {"count", "pack", "total"} & roles
        if _counts(look) and (ordered or not (counted or said.role or column in taken)):
            out.append(doubt("may-be-count", "count", value=head or column + 1))
    if away:
        hidden = " | ".join(heads[column] or str(column + 1) for column in sorted(away))
        out.append(doubt("hidden-columns", "", value=hidden))
    return out


def _counts(look: Look) -> bool:
    """Whether a column holds small whole numbers, as one of counts would."""
    return look.filled >= 0.8 and look.whole >= 0.9 and look.small >= 0.9 and not look.counting and look.money < 0.1
