"""What is known of one good: its composition and bridges, each with its mark; and its allergens."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from costing.book.book import Book
from costing.book.change import Step
from costing.book.fact import Fact
from costing.book.records import AllergenState, AllergenStatement, Good, Supplier
from costing.edits import goods
from costing.edits.goods import MAKEUP_UNITS
from costing.report.method_words import how_said
from costing.report.words import allergen_name, allergen_word, makeup_word
from costing.tables import Allergen
from costing.tongue import say
from ui.desk import Desk, Where
from ui.fault import Refusal
from ui.format import own
from ui.models.table import Column
from ui.whys import FigureOf

BASES = ("kg", "l", "each", "h", "kwh")


@dataclass(frozen=True, slots=True)
class FactRow:
    """One thing known of a good: ``what`` is "base", "density", "makeup abv"…"""

    what: str
    title: str
    text: str
    good: str
    fact: Fact | None = None
    hint: str = ""

    @property
    def key(self) -> str:
        """The good and what is known of it: a text that was not taken stays with its good."""
        return f"{self.good}/{self.what}"


def fact_rows(good: Good, suppliers: dict[str, str]) -> list[FactRow]:
    """Unit, supplier that costs it, composition, density, piece and note."""

    def fact(what: str, title: str, found: Fact | None, hint: str) -> FactRow:
        return FactRow(what, title, found.text if found else "", good.id, found, hint)

    makeup = dict(good.makeup)
    parts = [
        fact(f"makeup {part}", makeup_word(part), makeup.get(part), units[0]) for part, units in MAKEUP_UNITS.items()
    ]
    return [
        FactRow("base", say("costed by the"), good.base, good.id, hint=" / ".join(BASES)),
        FactRow("preferred", say("supplier that costs it"), suppliers.get(good.preferred, good.preferred), good.id,
                hint=say("whoever's quote is latest")),
        *parts,
        fact("density", say("a litre weighs"), good.density, "1.05 kg/l"),
        fact("piece", say("a piece weighs or holds"), good.piece, "70 g"),
        FactRow("note", say("note"), good.note, good.id),
    ]  # fmt: skip


def fact_columns(desk: Desk) -> Sequence[Column[FactRow]]:
    """What, as typed, how it is known."""

    def write(book: Book, row: FactRow, text: str) -> Step | None:
        if text.strip() == row.text:
            return None
        head, _, part = row.what.partition(" ")
        if head == "makeup":
            return goods.set_makeup(book, row.good, part, text)
        if head == "preferred":
            return goods.set_preferred(book, row.good, supplier_of(book, text))
        edits: dict[str, Callable[[Book, str, str], Step | None]] = {
            "base": goods.set_base, "density": goods.set_density, "piece": goods.set_piece, "note": goods.set_note,
        }  # fmt: skip
        return edits[head](book, row.good, text)

    def known(row: FactRow) -> str:
        if row.fact is None:
            return ""
        return say("measured") if row.fact.mark == "measured" else say("assumed")

    def came_from(row: FactRow) -> str:
        said = (how_said(row.fact.how), row.fact.note) if row.fact is not None else ()
        return own("; ".join(text for text in said if text))

    def why(row: FactRow) -> object | None:
        return FigureOf(row.title, row.fact, Where("good", row.good)) if row.fact is not None else None

    return (
        Column[FactRow]("title", say("What"), lambda r: r.title, why=why),
        Column[FactRow]("text", say("As typed"), lambda r: r.text, write=write, why=why,
                        mark=lambda r: r.fact.mark if r.fact else "", tip=lambda r: r.hint),
        Column[FactRow]("mark", say("Known by"), known),
        Column[FactRow]("note", say("From"), came_from),
    )  # fmt: skip


def supplier_of(book: Book, text: str) -> str:
    """The id of a supplier by name, "" for none. Refusal for a name that nobody has."""
    if not text.strip():
        return ""
    found = [s.id for s in book.all(Supplier).values() if s.name.casefold() == text.strip().casefold()]
    if len(found) == 1:
        return found[0]
    names = ", ".join(s.name for s in book.all(Supplier).values())
    raise Refusal(say("No supplier is called “{text}”.", text=text), "", say("There are: {names}.", names=names or "–"))


@dataclass(frozen=True, slots=True)
class AllergenRow:
    """One allergen of the house's list, and what was stated of it."""

    good: str
    allergen: Allergen
    stated: AllergenStatement | None

    @property
    def key(self) -> str:
        """The good and the allergen's code."""
        return f"{self.good}/{self.allergen.code}"


def allergen_rows(good: Good, listed: Sequence[Allergen]) -> list[AllergenRow]:
    """Every allergen of the list."""
    stated = {s.name.casefold(): s for s in good.allergens}
    return [AllergenRow(good.id, a, stated.get(a.name.casefold()) or stated.get(a.code.casefold())) for a in listed]


def state_words() -> dict[str, AllergenState | None]:
    """What can be stated, as people say it."""
    return {
        say("not stated"): None,
        allergen_word("contains"): "contains",
        allergen_word("may_contain"): "may_contain",
        allergen_word("free"): "free",
    }


def allergen_columns(desk: Desk, who: Callable[[], str], day: Callable[[], date]) -> Sequence[Column[AllergenRow]]:
    """Allergen, what was stated, by whom, on which label, since when."""
    form = desk.format

    def state(row: AllergenRow) -> str:
        return allergen_word(row.stated.state) if row.stated else say("not stated")

    def name(row: AllergenRow) -> str:
        return row.stated.name if row.stated else row.allergen.name

    def write_state(book: Book, row: AllergenRow, text: str) -> Step | None:
        words = {word.casefold(): s for word, s in state_words().items()}
        wanted = text.strip().casefold()
        if wanted not in words:
            raise Refusal(say("“{text}” is not what a label says.", text=text), "",
                          say("One of: {words}.", words=", ".join(state_words())))  # fmt: skip
        old = row.stated
        by = (old.who if old else "") or who()
        return goods.set_allergen(book, row.good, name(row), words[wanted], by, day(), old.label if old else "")

    def write_who(book: Book, row: AllergenRow, text: str) -> Step | None:
        old = _stated(row)
        return goods.set_allergen(book, row.good, old.name, old.state, text, old.since or day(), old.label)

    def write_label(book: Book, row: AllergenRow, text: str) -> Step | None:
        old = _stated(row)
        return goods.set_allergen(book, row.good, old.name, old.state, old.who, old.since or day(), text)

    return (
        Column[AllergenRow]("name", say("Allergen"), lambda r: allergen_name(r.allergen.name)),
        Column[AllergenRow]("state", say("The label says"), state, write=write_state,
                            choices=lambda: list(state_words()), strong=lambda r: r.stated is not None),
        Column[AllergenRow]("who", say("Read by"), lambda r: r.stated.who if r.stated else "", write=write_who),
        Column[AllergenRow]("label", say("On which label"), lambda r: r.stated.label if r.stated else "",
                            write=write_label),
        Column[AllergenRow]("since", say("Since"), lambda r: form.day(r.stated.since) if r.stated else ""),
    )  # fmt: skip


def _stated(row: AllergenRow) -> AllergenStatement:
    if row.stated is None:
        raise Refusal(
            say("Nothing is stated of {name} yet.", name=row.allergen.name), "", say("Type first what the label says.")
        )
    return row.stated
