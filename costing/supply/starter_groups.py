"""Rows that belong together: an empty cell means "as in the row above", and what is said twice must be said alike."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from costing.supply.starter_cells import fold
from costing.supply.starter_faults import Faults
from costing.supply.starter_goods import Site
from costing.supply.starter_names import Names, given_id
from costing.supply.starter_table import Row


@dataclass(slots=True)
class Group:
    """Rows under one word; ``parts`` are the groups inside it, in their order."""

    ident: str
    row: Row
    rows: list[Row] = field(default_factory=list)
    parts: dict[str, "Group"] = field(default_factory=dict)

    def one(self, key: str, read: Callable[[Row], Any] | None = None) -> Any:
        """What the column says in any of the rows; a fault where two rows say different things."""
        said = [row for row in self.rows if row.has(key)]
        for row in said[1:]:
            if row.cell(key).key != said[0].cell(key).key:
                row.amiss(key, f"{said[0].cell(key).place} says {said[0].cell(key).shown}; both belong to one thing, "
                          "so write it once")  # fmt: skip
        if not said:
            return None
        return read(said[0]) if read is not None else said[0].get(key)

    def some(self, *keys: str, **names: str) -> dict[str, Any]:
        """{field: value} of the columns that are filled anywhere in the group."""
        wanted = {key: key for key in keys} | names
        found = {name: self.one(key) for name, key in wanted.items()}
        return {name: value for name, value in found.items() if value is not None}


def named_groups(rows: Sequence[Row], names: Names, instead: str, faults: Faults) -> list[Group]:
    """The things that a sheet of many rows a thing names, each with its rows, registered under their ids."""
    groups: list[tuple[str, str | None, Group]] = []
    current: Group | None = None
    for row in rows:
        name, ident = row.get("name"), row.cells["id"].key if row.has("id") else None
        if name is None:
            if row.has("name"):
                continue
            if current is None:
                row.amiss("name", f"no row above says which {instead} this is; write its name")
                continue
        else:
            same = [g for n, i, g in groups if n == fold(name) and (ident is None or i is None or i == ident)]
            if current is not None and current in same:
                found = current
            elif same:
                found = same[0]
            else:
                found = Group("", row)
                groups.append((fold(name), ident, found))
            current = found
        current.rows.append(row)
    for given in (True, False):
        for _, ident, group in groups:
            if (ident is not None) is given:
                _identify(group, names, instead, faults)
    return [g for _, _, g in groups if g.ident]


def _identify(group: Group, names: Names, instead: str, faults: Faults) -> None:
    name = str(group.row.get("name"))
    ident = group.one("id", lambda row: given_id(row, names, faults))
    if ident is None and any(row.has("id") for row in group.rows):
        return
    if ident is None and names.find(name):
        group.row.amiss("name", "something else is called so already; change one name, or give it an Id")
    group.ident = ident or names.free(name, instead)
    names.add(group.ident, name)


def by_day(group: Group, site: Site) -> None:
    """Split a group into its versions: an empty From day goes on with the version of the row above."""
    current: str | None = None
    for row in group.rows:
        if current is None or row.has("since"):
            current = site.day(row)
        if current is not None:
            group.parts.setdefault(current, Group(current, row)).rows.append(row)
