"""Files that are looked at, a row each, under a row that stands for all of them."""

from collections.abc import Sequence
from dataclasses import dataclass

from costing.supply.till.plan_record import Fate
from costing.tongue import say, say_many
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column
from ui.places.menu.sales.case import SalesJudged
from ui.places.menu.sales.seen import days_text, plans_of, state_text, state_tip

ALL = "all"
"""The key of the row that stands for every file."""


@dataclass(frozen=True, slots=True)
class FileRow:
    """One file, or all of them."""

    key: str
    files: tuple[SalesJudged, ...]

    def count(self, fate: Fate) -> int:
        """Rows of one fate."""
        return sum(plan.count(fate) for plan in plans_of(self.files))

    @property
    def ready(self) -> bool:
        """Whether every file can be taken."""
        return all(one.ready for one in self.files)


def file_columns(form: Format) -> Sequence[Column[FileRow]]:
    """Its name, what becomes of its rows, and what stands between it and the book."""

    def name(row: FileRow) -> str:
        many = say_many("All {n} file", "All {n} files", len(row.files))
        return many if row.key == ALL else own(row.files[0].case.name)

    def since(row: FileRow) -> str:
        days = [plan.periods[0].since for plan in plans_of(row.files) if plan.periods]
        return form.day(min(days)) if days and row.key != ALL else ""

    def days(row: FileRow) -> str:
        return days_text(row.files[0], form) if row.key != ALL else ""

    def tip(row: FileRow) -> str:
        return state_tip(row.files[0]) if row.key != ALL else state(row)

    def waiting(row: FileRow) -> str:
        return form.number(row.count("waiting"), 0) if plans_of(row.files) else UNKNOWN

    def state(row: FileRow) -> str:
        if row.key != ALL:
            return state_text(row.files[0])
        return say("{n} of {of} ready", n=sum(one.ready for one in row.files), of=len(row.files))

    return (
        Column[FileRow]("name", say("File"), name, strong=lambda r: r.key == ALL),
        Column[FileRow]("state", say("State"), state, tip=tip, strong=lambda r: not r.ready),
        Column[FileRow]("waiting", say("Wait"), waiting, True, lambda r: r.count("waiting")),
        Column[FileRow]("since", say("From"), since, tip=days),
    )
