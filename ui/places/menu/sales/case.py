"""Files of a till on the desk: what somebody said of each, and what comes of them, one after the other. Nothing here is
a widget."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from costing.book.book import Book
from costing.book.selling import Button
from costing.edits.tills import take_sales
from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Table
from costing.supply.readers.tables import read_bytes, read_table
from costing.supply.till.arrive import sales_of_table
from costing.supply.till.plan_record import NOTHING_SAID, SalesPlan, SalesSaid
from costing.supply.till.record import plain_text
from ui.jobs import Progress

ENDINGS = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls", ".xlsb", ".ods")
"""Files that are looked for in a folder."""
Key = tuple[str, str]
"""What tells one button from another: its code, and its text but for case and spaces."""
Meant = Mapping[Key, Button]
"""What somebody says that buttons mean, of all files alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesCase:
    """One file: where it lies, and what was answered about it."""

    path: Path
    said: SalesSaid = NOTHING_SAID

    @property
    def name(self) -> str:
        """What it is called."""
        return self.path.name


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesJudged:
    """A file as read and judged on the book with the files before it taken; ``fault`` says why it could not be.

    ``new`` says whether taking it would change anything.
    """

    case: SalesCase
    data: bytes = field(default=b"", repr=False)
    table: Table | None = None
    plan: SalesPlan | None = None
    fault: Exception | None = None
    new: bool = False

    @property
    def ready(self) -> bool:
        """Whether it can be taken, or is in the book already."""
        return self.plan is not None and not self.plan.asked and self.fault is None


def files_in(paths: Iterable[Path]) -> list[Path]:
    """The files that are meant, those of a folder by their names. OSError for a folder that cannot be looked into."""
    out: list[Path] = []
    for path in paths:
        if path.is_dir():
            inside = sorted(path.iterdir(), key=lambda one: one.name.casefold())
            out += [one for one in inside if one.is_file() and one.suffix.casefold() in ENDINGS]
        else:
            out.append(path)
    return list(dict.fromkeys(out))


def key_of(button: Button) -> Key:
    """What tells a button from others."""
    return button.code, plain_text(button.text)


def judge(
    cases: Sequence[SalesCase], meant: Meant, before: Sequence[SalesJudged], book: Book, day: date,
    past: frozenset[str], progress: Progress,
) -> tuple[SalesJudged, ...]:  # fmt: skip
    """Every file in order, each on ``book`` with those before it taken; ``before`` are they as they were judged last,
    so that an answer costs no second reading. Stopped by ``progress``."""
    known = {one.case.path: one for one in before}
    out = []
    for n, case in enumerate(cases):
        progress(n, len(cases), case.name)
        judged = _judged(case, meant, known.get(case.path), book, day, past)
        if judged.ready and judged.plan is not None:
            judged, book = _taken(judged, judged.plan, book, past)
        out.append(judged)
    progress(len(cases), len(cases), "")
    return tuple(out)


def _judged(
    case: SalesCase, meant: Meant, before: SalesJudged | None, book: Book, day: date, past: frozenset[str]
) -> SalesJudged:
    said = case.said
    data, table = (before.data, before.table) if before is not None else (b"", None)
    try:
        data = data or read_bytes(case.path)
        if table is None or before is None or _reading(before.case.said) != _reading(said):
            table = read_table(
                data, case.name, encoding=said.encoding, delimiter=said.delimiter, sheet=said.sheet
            )  # fmt: skip
        told = replace(said, buttons=tuple(meant.values()))
        plan = only_printed(sales_of_table(table, case.name, book, day, told, past=past))
    except (Unreadable, ValueError, OSError) as error:
        return SalesJudged(case=case, data=data, table=table, fault=error)
    return SalesJudged(case=case, data=data, table=table, plan=plan)


def _reading(said: SalesSaid) -> tuple[str | None, str | None, str]:
    return said.encoding, said.delimiter, said.sheet


def _taken(judged: SalesJudged, plan: SalesPlan, book: Book, past: frozenset[str]) -> tuple[SalesJudged, Book]:
    """The file, and the book with it taken."""
    try:
        step = take_sales(book, plan, past)
    except ValueError as error:
        return replace(judged, fault=error), book
    return (judged, book) if step is None else (replace(judged, new=True), book.with_changes(step.changes))


def only_printed(plan: SalesPlan) -> SalesPlan:
    """A plan that remembers only the buttons that its own file prints."""
    printed = {(seen.code, plain_text(seen.text)) for seen in plan.buttons}
    new = tuple(button for button in plan.new_buttons if key_of(button) in printed)
    return plan if len(new) == len(plan.new_buttons) else replace(plan, new_buttons=new)
