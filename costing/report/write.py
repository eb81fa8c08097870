"""The files of a report, each written whole or not at all."""

import re
from collections.abc import Callable, Iterable
from pathlib import Path

from costing.disk import write_whole
from costing.ledger.reckon import Reckoning
from costing.report.gather import contents

Progress = Callable[[int, int], None]
"""Called with (files done, files in all)."""

WORKBOOK, CARD, COSTS = "menu-cost.xlsx", "menu-cost.pdf", "cost-sheets.pdf"
DECISIONS = "menu-decisions.pdf"
"""Written where sales were read."""
SPECS, ALLERGENS, TEAM = "spec-cards.pdf", "allergens.pdf", "batch-sheets-for-the-team.pdf"
"""The last three carry no costs."""


def write_reports(
    reckoning: Reckoning,
    out_dir: str | Path,
    *,
    revision: int,
    batch: str | Iterable[str] | None = None,
    progress: Progress | None = None,
) -> list[Path]:
    """Write all reports of the day into ``out_dir``, made where it is missing: the workbook, the menu cost card,
    cost sheets, spec cards, the allergen table, batch sheets, and these without costs for the team.

    ``batch`` names the preparation, or preparations, to print a batch sheet of; None prints all of them, an empty
    list none. Returns the paths. ValueError for a preparation the day does not have; OSError, with the path, where a
    file cannot be written; an older file then stays as it was.
    """
    chosen = list(reckoning.ledgers) if batch is None else [batch] if isinstance(batch, str) else list(batch)
    for ident in chosen:
        if ident not in reckoning.ledgers:
            raise ValueError(f"no preparation {ident!r} on {reckoning.view.day}: {', '.join(reckoning.ledgers)}")
    # openpyxl and reportlab take a while to load: only when something is really written
    from costing.report import pdf  # noqa: PLC0415
    from costing.report.xlsx import workbook  # noqa: PLC0415

    said = contents(reckoning, revision)
    jobs: list[tuple[str, Callable[[], bytes]]] = [
        (WORKBOOK, lambda: workbook(said)),
        (CARD, lambda: pdf.menu_card(said)),
        (COSTS, lambda: pdf.cost_sheets(said)),
        (SPECS, lambda: pdf.spec_cards(said)),
        (ALLERGENS, lambda: pdf.allergen_sheet(said)),
    ]
    if said.decisions is not None:
        jobs.insert(2, (DECISIONS, lambda: pdf.menu_decisions(said)))
    if chosen:
        jobs.append((TEAM, lambda: pdf.team_sheets(said, chosen)))
    taken = {name.casefold() for name, _ in jobs} | {TEAM.casefold()}
    for preparation in said.preparations:
        if preparation.id in chosen:
            jobs.append((batch_name(preparation.id, taken), lambda p=preparation: pdf.batch_sheet(said, p)))  # type: ignore[misc]
    folder = Path(out_dir)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for done, (name, make) in enumerate(jobs):
        if progress:
            progress(done, len(jobs))
        write_whole(make(), folder / name)
        written.append(folder / name)
    if progress:
        progress(len(jobs), len(jobs))
    return written


def batch_name(ident: str, taken: set[str]) -> str:
    """A file name for a preparation's id that every system takes, unlike any in ``taken`` (and added to it)."""
    stem = re.sub(r"[^\w.-]+", "_", ident).strip("._")[:80] or "preparation"
    name, count = f"batch-{stem}.pdf", 1
    while name.casefold() in taken:
        count += 1
        name = f"batch-{stem}-{count}.pdf"
    taken.add(name.casefold())
    return name
