"""What reports there are, and one of them made by itself: the same bytes to look at, to save and to print."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Literal

from costing.report.content import Contents
from costing.report.write import ALLERGENS, CARD, COSTS, DECISIONS, SPECS, TEAM, WORKBOOK
from costing.tongue import Words, say_word

Format = Literal["pdf", "xlsx", "csv"]
Needs = Literal["", "preparation", "serve"]


@dataclass(frozen=True, slots=True)
class Report:
    """One report: the formats it comes in, what it is of, whether it shows money, and the name of its file."""

    id: str
    formats: tuple[Format, ...]
    file: str
    needs: Needs = ""
    costs: bool = True

    @property
    def title(self) -> str:
        """What it is called."""
        return say_word(TITLES[self.id])

    @property
    def about(self) -> str:
        """What it is for."""
        return say_word(ABOUT[self.id])


TITLES: Words = {
    "menu-cost": "Menu cost card",
    "menu-decisions": "Menu decisions",
    "cost-sheets": "Cost sheets",
    "cost-sheet": "Cost sheet of one drink",
    "spec-cards": "Spec cards",
    "spec-card": "Spec card of one drink",
    "allergens": "Allergen table",
    "team-sheets": "Batch sheets for the team",
    "batch-sheet": "Batch sheet",
    "workbook": "Workbook",
    "table-prices": "Table: price book",
    "table-drinks": "Table: drinks",
    "table-menu": "Table: menu",
    "table-losses": "Table: losses",
    "table-allergens": "Table: allergens",
}
ABOUT: Words = {
    "menu-cost": "Every drink with its cost, price, pour cost, margin and suggestion, for the owners",
    "menu-decisions": "What each drink sold and earns, its class and how sure that is, and what to do, for the owners",
    "cost-sheets": "A page a drink: the stream into the glass, its price steps and what moves it",
    "cost-sheet": "One drink: the stream into the glass, its price steps and what moves it",
    "spec-cards": "How each drink is built, without costs, for the team",
    "spec-card": "How one drink is built, without costs, for the team",
    "allergens": "Allergens of every drink and preparation, with who stated what",
    "team-sheets": "How each preparation is made, without costs, with blanks to fill in",
    "batch-sheet": "One preparation with its loss ledger in money",
    "workbook": "All tables in one workbook with live formulas: change a pack price and the drinks move",
    "table-prices": "What each ingredient costs and by whose quote, for any other program",
    "table-drinks": "Each drink with its cost by layer, strength and volume, for any other program",
    "table-menu": "Each line of the menu with price, net, pour cost and margin, for any other program",
    "table-losses": "Each stream of each stage in kilograms, litres and pure alcohol, for any other program",
    "table-allergens": "What every drink and preparation contains by the house's list, for any other program",
}
REPORTS: tuple[Report, ...] = (
    Report("menu-cost", ("pdf",), CARD),
    Report("menu-decisions", ("pdf",), DECISIONS),
    Report("cost-sheets", ("pdf",), COSTS),
    Report("cost-sheet", ("pdf",), "cost-sheet-{id}.pdf", "serve"),
    Report("spec-cards", ("pdf",), SPECS, costs=False),
    Report("spec-card", ("pdf",), "spec-card-{id}.pdf", "serve", costs=False),
    Report("allergens", ("pdf",), ALLERGENS, costs=False),
    Report("team-sheets", ("pdf",), TEAM, costs=False),
    Report("batch-sheet", ("pdf",), "batch-{id}.pdf", "preparation"),
    Report("workbook", ("xlsx",), WORKBOOK),
    Report("table-prices", ("csv",), "price-book.csv"),
    Report("table-drinks", ("csv",), "drinks.csv"),
    Report("table-menu", ("csv",), "menu.csv"),
    Report("table-losses", ("csv",), "losses.csv"),
    Report("table-allergens", ("csv",), "allergens.csv", costs=False),
)


def report_named(ident: str) -> Report:
    """The report. ValueError for one there is not."""
    found = next((r for r in REPORTS if r.id == ident), None)
    if found is None:
        raise ValueError(f"there is no report {ident!r}: {', '.join(r.id for r in REPORTS)}")
    return found


def make(report: Report, contents: Contents, subject: str = "") -> bytes:
    """The bytes of a report in the language of the context, which ``contents`` should have been gathered in too.
    ``subject`` is the preparation or drink where it needs one; ValueError where the day does not have it."""
    # openpyxl and reportlab take a while to load: only when something is really made
    from costing.report import csvfile, pdf  # noqa: PLC0415

    if report.needs == "preparation":
        found = next((p for p in contents.preparations if p.id == subject), None)
        if found is None:
            raise ValueError(f"no preparation {subject!r} on {contents.head.day}")
        return pdf.batch_sheet(contents, found)
    if report.needs == "serve":
        one = _of_serve(contents, subject)
        return pdf.cost_sheets(one) if report.costs else pdf.spec_cards(one)
    if report.id == "workbook":
        from costing.report.xlsx import workbook  # noqa: PLC0415

        return workbook(contents)
    makers: dict[str, Callable[[Contents], bytes]] = {
        "menu-cost": pdf.menu_card,
        "menu-decisions": pdf.menu_decisions,
        "cost-sheets": pdf.cost_sheets,
        "spec-cards": pdf.spec_cards,
        "allergens": pdf.allergen_sheet,
        "team-sheets": lambda said: pdf.team_sheets(said, [p.id for p in said.preparations]),
        "table-prices": csvfile.prices,
        "table-drinks": csvfile.drinks,
        "table-menu": csvfile.menu,
        "table-losses": csvfile.losses,
        "table-allergens": csvfile.allergens,
    }
    return makers[report.id](contents)


def _of_serve(contents: Contents, serve: str) -> Contents:
    """The contents with one drink on its cards and menus and no other."""
    menu = tuple(line for line in contents.menu if line.serve.id == serve)
    cards = tuple(card for card in contents.cards if card.id == serve)
    if not menu or not cards:
        raise ValueError(f"no drink {serve!r} on {contents.head.day}")
    return replace(contents, menu=menu, cards=cards)


def all_reports(preparations: Iterable[str]) -> tuple[tuple[Report, str, str], ...]:
    """(report, subject, name of its file) of everything there is for a day, no name twice on any system. What is of
    one drink is left out: all drinks together have it."""
    taken: set[str] = set()
    out: list[tuple[Report, str, str]] = []
    subjects = tuple(preparations)
    for report in REPORTS:
        for subject in {"": ("",), "preparation": subjects, "serve": ()}[report.needs]:
            name = first = file_name(report, subject)
            count = 1
            while name.casefold() in taken:
                count += 1
                stem, dot, ending = first.rpartition(".")
                name = f"{stem}-{count}{dot}{ending}"
            taken.add(name.casefold())
            out.append((report, subject, name))
    return tuple(out)


def file_name(report: Report, subject: str = "") -> str:
    """What its file is called."""
    safe = "".join(ch if ch.isalnum() or ch in "-_." else "_" for ch in subject)[:80].strip("._") or "one"
    return report.file.replace("{id}", safe)
