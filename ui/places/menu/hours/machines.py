"""Machines and people as rows: the hours a week they have, those the sold mix took, and what one more is worth."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import isinf

from costing.book.book import Book
from costing.book.change import Step
from costing.edits.capacity import hours_text, set_equipment_hours, set_prep_hours
from costing.menu.batch_rows import PREP, machines_of
from costing.menu.capacity import Use
from costing.menu.mix import Mix
from costing.menu.portfolio import hours_of_all
from costing.tongue import capital, say
from ui.document import Figures
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column
from ui.places.menu.hours.work import Found
from ui.whys import Line, Said, Trail

PEOPLE = "people"
"""The key of the row of people; machines go by ``machine/`` and their id."""


@dataclass(frozen=True, slots=True)
class MachineRow:
    """A machine, or people preparing (``machine`` ""). Hours are a week; ``took`` those of the sold mix, ``best`` those
    of the best one (None: not known). ``resource`` is the good that is its hour, "" where none is; of machines that
    share one, only the first has figures, and the others name it in ``shares``. ``there`` are the hours of all that
    share it."""

    key: str
    machine: str
    name: str
    hours: Decimal | None
    resource: str
    there: Decimal | None = None
    took: float | None = None
    best: float | None = None
    use: Use | None = None
    weeks: float = 1.0
    shares: str = ""

    @property
    def share(self) -> float | None:
        """Share of the hours there are that the sold mix took."""
        return self.took / float(self.there) if self.took is not None and self.there else None

    @property
    def over(self) -> bool:
        """Whether the sold mix took more hours than there are."""
        return self.took is not None and self.there is not None and self.took > float(self.there) * (1 + 1e-9)


def machine_rows(figures: Figures, mix: Mix | None, found: Found | None) -> list[MachineRow]:
    """Machines that drinks are known to take hours of, those they take most of first, then people, then machines whose
    hours no drink is known to take. ``mix`` is None without sales."""
    view, house = figures.view, figures.book.house
    took = hours_of_all(mix.items) if mix is not None else {}
    weeks = mix.weeks if mix is not None and mix.weeks else 1.0

    def row(key: str, machine: str, name: str, hours: Decimal | None, resource: str, pool: Sequence[str]) -> MachineRow:
        said = [view.equipment[m].hours for m in pool] if pool else [hours]
        there = None if None in said else sum((h for h in said if h is not None), Decimal(0))
        return MachineRow(
            key=key, machine=machine, name=name, hours=hours, resource=resource, there=there, weeks=weeks,
            took=took.get(resource, 0.0) / weeks if mix is not None else None,
            best=found.taken(resource) / weeks if found is not None else None,
            use=found.use(resource) if found is not None else None,
        )  # fmt: skip

    known: list[list[MachineRow]] = []
    for good, pool in machines_of(figures.reckoning).items():
        first, *rest = (view.equipment[m] for m in pool)
        known.append([row(f"machine/{first.id}", first.id, first.name, first.hours, good, pool)])
        known[-1] += [
            MachineRow(key=f"machine/{m.id}", machine=m.id, name=m.name, hours=m.hours, resource=good,
                       shares=first.name)
            for m in rest
        ]  # fmt: skip
    known.sort(key=lambda rows: -(rows[0].took or 0.0))
    out = [r for rows in known for r in rows]
    out.append(row(PEOPLE, "", capital(say("people preparing")), house.prep_hours if house else None, PREP, ()))
    out += [
        MachineRow(key=f"machine/{m.id}", machine=m.id, name=m.name, hours=m.hours, resource="")
        for m in view.equipment.values() if not m.hour
    ]  # fmt: skip
    return out


def machine_columns(form: Format) -> tuple[Column[MachineRow], ...]:
    """Hours are typed; the rest is worked out."""

    def hours(value: float | None) -> str:
        return UNKNOWN if value is None else form.number(value, 1)

    def took(row: MachineRow) -> str:
        return say("with {machine}", machine=own(row.shares)) if row.shares else hours(row.took)

    def worth(row: MachineRow) -> str:
        if row.use is None:
            return UNKNOWN
        return form.money(row.use.worth) if row.use.binds else say("nothing")

    def tip(row: MachineRow) -> str:
        if not row.resource:
            return say("No good is the hour of it, so that no drink is known to take any: name one in the cellar.")
        if row.shares:
            return say("It shares its hours with {machine}: figures stand there.", machine=own(row.shares))
        if row.there is None and row.use is None:
            return say("Type the hours a week first: without them it limits nothing.")
        return ""

    return (
        Column[MachineRow]("name", say("Hours of"), lambda r: r.name, tip=tip),
        Column[MachineRow]("hours", say("Hours a week"),
                           lambda r: form.number(r.hours, 2, trim=True) if r.hours is not None else say("not said"),
                           True, write=_write, edit_text=lambda r: hours_text(r.hours), tip=tip,
                           sort=lambda r: r.hours, about=say("How many it can run, or people can prepare; type them")),
        Column[MachineRow]("share", say("Used"), lambda r: form.percent(r.share, 0), True, sort=lambda r: r.share,
                           strong=lambda r: r.over, tip=tip, about=say("Of the hours there are")),
        Column[MachineRow]("worth", say("One more is worth"), worth, True, tip=tip,
                           sort=lambda r: r.use.worth if r.use else None, why=lambda r: worth_why(r, form),
                           strong=lambda r: r.use is not None and r.use.binds,
                           about=say("The margin that the best mix earns more with it")),
        Column[MachineRow]("took", say("Sold mix"), took, True, sort=lambda r: r.took, tip=tip,
                           about=say("Hours a week that the sold mix took, by the sales looked at")),
        Column[MachineRow]("best", say("Best mix"), lambda r: hours(r.best), True, sort=lambda r: r.best,
                           tip=tip, about=say("Hours a week that the best mix takes")),
        Column[MachineRow]("up_to", say("Up to"), lambda r: up_to_text(r, form), True, tip=tip,
                           sort=lambda r: r.use.up_to if r.use and r.use.binds else None,
                           about=say("Hours a week in all; beyond them one more is worth less")),
    )  # fmt: skip


def _write(book: Book, row: MachineRow, text: str) -> Step | None:
    return set_equipment_hours(book, row.machine, text) if row.machine else set_prep_hours(book, text)


def up_to_text(row: MachineRow, form: Format) -> str:
    """How far one more hour is worth that, in hours a week."""
    if row.use is None or not row.use.binds:
        return UNKNOWN
    return say("any number") if isinf(row.use.up_to) else form.number(row.use.up_to / row.weeks, 1)


def worth_why(row: MachineRow, form: Format) -> object | None:
    """What one more hour is worth stands on."""
    use = row.use
    if use is None:
        return None
    lines = [
        Line(say("hours a week there are"), form.number(use.resource.hours / row.weeks, 1), "measured"),
        Line(say("the best mix takes"), form.number(use.used / row.weeks, 1)),
        Line(say("all that guests ask for would take"), form.number(use.wanted / row.weeks, 1)),
        Line(say("one more hour earns"), form.money(use.worth)),
    ]
    if use.binds:
        lines.append(Line(say("as far as, hours a week in all"), up_to_text(row, form), depth=1))
    if use.costs is None:
        lines.append(Line(say("no hour less can be spared: what is promised takes them all")))
    else:
        lines.append(Line(say("one hour less costs"), form.money(use.costs)))
        if use.costs:
            lines.append(Line(say("down to, hours a week"), form.number(use.down_to / row.weeks, 1), depth=1))
    if not use.binds:
        lines.append(Line(say("hours are left over, so that more would earn nothing")))
    title = say("One more hour of {machine} is worth", machine=own(use.resource.name))
    return Said(Trail(title, form.money(use.worth), tuple(lines)))
