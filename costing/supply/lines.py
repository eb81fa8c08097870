"""One pasted component: its measure, its name, what that may be in the book, and every doubt about it."""

import re
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.fact import Fact, Mark
from costing.book.records import Good, Preparation
from costing.ledger.unit import Unbridged, amount_in_base, unit_of_good
from costing.supply.figures import plain_text
from costing.supply.matching import Candidate, Named, Names, candidates, catalogue, choose
from costing.supply.measure import Measure, parse_measure, to_fact, worded
from costing.supply.spoken import Measures
from costing.tables import find_measure, find_produce
from costing.tongue import say

LINE_DOUBTS = frozenset(
    {
        "no-match",  # nothing in the book is called so
        "like-only",  # something is merely alike
        "two-names",  # two things are called so
        "partly-named",  # the one thing whose name holds these words and more
        "unreadable",  # the amount cannot be read; ``fault`` says why
        "no-name",  # an amount of nothing named
        "top-up",  # as much as the glass takes
        "parts",  # a share of a total that nobody said
        "not-by-piece",  # a number of something that has no piece
        "unbridged",  # an amount that the good lacks the density or piece for; the day's problems say which
        "amount-last",  # the amount stood behind the name, and a number before it
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedLine:
    """One component. ``matches`` are what ``name`` may mean, best first; ``source`` the one chosen, or None; ``amount``
    what would go into a stage, or None where that is not decided; ``fault`` why an amount could not be read."""

    text: str
    name: str
    measure: Measure | None = None
    matches: tuple[Candidate, ...] = ()
    source: str | None = None
    amount: Fact | None = None
    doubts: tuple[str, ...] = ()
    fault: str = ""

    @property
    def decided(self) -> bool:
        """Whether the line says what goes in and how much of it."""
        return self.source is not None and self.amount is not None

    @property
    def parts(self) -> Decimal | None:
        """The parts of a line measured in parts."""
        return self.measure.value if self.measure is not None and self.measure.kind == "part" else None


@dataclass(frozen=True, slots=True)
class Known:
    """What lines are read against."""

    names: tuple[Named, ...]
    measures: Measures | None
    book: Book | None

    def counted(self, source: str) -> bool:
        """Whether so many of it can be told: it is kept by the piece, or says what a piece weighs or holds."""
        if self.book is None:
            return True
        good, made = self.book.all(Good).get(source), self.book.all(Preparation).get(source)
        if good is not None:
            return good.base == "each" or good.piece is not None
        return made is not None and made.base == "each"

    def bridged(self, source: str, amount: Fact) -> bool:
        """Whether a good can be told in such an amount; a preparation is asked when the day is reckoned."""
        good = self.book.all(Good).get(source) if self.book is not None else None
        if good is None:
            return True
        measures = self.measures or {}
        try:
            amount_in_base(amount, unit_of_good(good, measures)[0], measures)
        except Unbridged:
            return False
        return True

    def other_kind(self, name: str, source: str) -> bool:
        """Whether the tables know ``name`` as another kind of thing than the good is: cream is no coconut cream."""
        good = self.book.all(Good).get(source) if self.book is not None else None
        row = find_produce(name)
        return good is not None and row is not None and row.kind != good.kind


def known_names(names: Names, measures: Measures | None) -> Known:
    """What lines are read against; the house's measures are the book's where none are given."""
    book = names if isinstance(names, Book) else None
    if measures is None and book is not None:
        measures = book.on(date.max).measures
    return Known(catalogue(names), measures, book)


_STUCK = r"(?=~?[.,]?[0-9½⅓⅔¼¾⅛⅜⅝⅞])"
BULLET = re.compile(rf"\s*(?:[*•·◦▪‣●+]\s*|[-–—](?!{_STUCK})\s*|\[[ xX]?\]\s*)+(?=\S)")
"""What stands before a line of a list. A minus stuck to a number is none: "-2 kg" is less than nothing."""
_NEGATIVE = re.compile(rf"~?\s*[-–—−]{_STUCK}")
_MINUS_INSIDE = re.compile(rf"[\s:;,=(][-–—−]{_STUCK}")
_LAST = re.compile(r"(?<![\w.,/])(?=[.,]?[0-9])")


def read_line(text: str, names: Names, measures: Measures | None = None) -> PastedLine:
    """Read one pasted component ("45 ml pineapple rum") against the names of a book, a mapping source -> name, or Named
    records. ``measures`` are the house's own; a Book brings them. Never raises for what the text says."""
    return component(text, known_names(names, measures))


def component(text: str, known: Known, doubts: tuple[str, ...] = ()) -> PastedLine:
    """One component, read; ``doubts`` are those its reader has already."""
    bare = BULLET.sub("", text, count=1).strip()
    bare = re.sub(rf"^[0-9]{{1,2}}[.)]\s+(?=[-–—−]?{_STUCK})", "", bare)
    try:
        measure, name, more = _measured(bare, known.measures)
    except ValueError as fault:
        name = re.sub(r"^[\W\d_]+", "", bare)
        return PastedLine(text=text.strip(), name=name, doubts=("unreadable",), fault=str(fault))
    line = PastedLine(text=text.strip(), name=name, measure=measure, doubts=(*doubts, *more, *measure.doubts))
    return _matched(line, known) if name else replace(line, doubts=(*line.doubts, "no-name"))


def _measured(text: str, measures: Measures | None) -> tuple[Measure, str, tuple[str, ...]]:
    """(measure, name, doubts): the amount stands first, or else last ("Gin: 45 ml")."""
    if _NEGATIVE.match(text):
        raise _less_than_nothing(text)
    try:
        first, fault = parse_measure(text, measures), None
    except ValueError as error:
        first, fault = None, error
    bare = first is not None and (first.word != "" or first.value is None)
    if first is not None and first.value is not None and (bare or not re.search("[0-9]", first.rest)):
        return first, first.rest, ()
    work = plain_text(text)
    for start in (m.start() for m in _LAST.finditer(work) if m.start()):
        try:
            last = parse_measure(work[start:], measures)
        except ValueError:
            continue
        if last.word and last.kind in ("amount", "range", "part", "each") and not last.rest:
            if _MINUS_INSIDE.search(text):
                raise _less_than_nothing(text)
            name = work[:start].strip(" :,;-(=")
            return last, name, (("amount-last",) if re.search("[0-9]", name[:2]) else ())
    if first is None:
        raise fault or ValueError(text)
    return first, first.rest, ()


def _less_than_nothing(text: str) -> ValueError:
    return ValueError(
        say(
            "“{text}” is less than nothing; where the dash only begins a line of a list, put a space behind it",
            text=text,
        )
    )


def _matched(line: PastedLine, known: Known) -> PastedLine:
    """The line with what its name may mean, and with its amount where that is decided."""
    measure = line.measure
    if measure is None:
        return line
    if measure.kind in ("twist", "juice of"):
        return _of_fruit(line, measure, known)
    found = candidates(line.name, known.names)
    source, doubts = choose(found)
    if source is not None and "partly-named" in doubts and known.other_kind(line.name, source):
        source, doubts = None, ("like-only",)
    line = replace(line, matches=found, source=source, doubts=(*line.doubts, *doubts))
    if measure.kind == "top up":
        return replace(line, doubts=(*line.doubts, "top-up"))
    if measure.kind == "part":
        return replace(line, doubts=(*line.doubts, "parts"))
    if measure.value is None or source is None:
        return line
    if measure.unit == "each":
        if not known.counted(source):
            return replace(line, doubts=(*line.doubts, "not-by-piece"))
        line = replace(line, doubts=tuple(d for d in line.doubts if d != "each-or-part"))
        measure = replace(measure, doubts=tuple(d for d in measure.doubts if d != "each-or-part"))
    amount = to_fact(measure)
    if not known.bridged(source, amount):
        line = replace(line, doubts=(*line.doubts, "unbridged"))
    return _with_amount(line, amount)


def _with_amount(line: PastedLine, fact: Fact) -> PastedLine:
    """The line with its amount, whose text is what was pasted without the name."""
    mark: Mark = "assumed" if fact.mark == "assumed" or "implied-one" in line.doubts else "measured"
    doubts = tuple(dict.fromkeys(line.doubts))
    amount = worded(said_amount(line) or fact.text, fact.value, fact.unit, mark, doubts)
    return replace(line, doubts=doubts, amount=amount)


def said_amount(line: PastedLine) -> str:
    """The words of a line that say how much: "2 dashes" of "2 dashes of bitters"; "" where that cannot be told."""
    whole = " ".join(BULLET.sub("", line.text, count=1).split())
    before, name, after = whole.rpartition(line.name)
    said = f"{before.strip(' ,;:-(')} {after.strip(' ,;:-)')}".strip() if name else ""
    return re.sub(r"\s+(?:of|the|a|an)$", "", said, flags=re.IGNORECASE)


def _of_fruit(line: PastedLine, measure: Measure, known: Known) -> PastedLine:
    """ "Juice of 1/2 lemon", "2 lime wedges": of the thing of that name, made from the fruit, if the book has it.

    A juice comes in the ml that the tables say a fruit gives; a twist in pieces. Without it the fruit is only shown.
    """
    made = candidates(f"{line.name} {measure.word}", known.names)
    source, doubts = choose(made)
    if source is None or made[0].reason not in ("exact", "reordered", "plural"):
        shown = tuple(dict.fromkeys((*made, *candidates(line.name, known.names))))[:5]
        return replace(line, matches=shown, doubts=(*line.doubts, *(doubts or ("like-only",))))
    line = replace(line, matches=made, source=source, doubts=(*line.doubts, *doubts))
    if measure.kind == "twist":
        if not known.counted(source):
            return replace(line, doubts=(*line.doubts, "not-by-piece"))
        doubts = tuple(d for d in line.doubts if d != "share-of-fruit")
        kept = replace(measure, doubts=tuple(d for d in measure.doubts if d != "share-of-fruit"))
        return _with_amount(replace(line, doubts=doubts), to_fact(kept))
    usual = find_measure(f"juice of a {line.name}") or find_measure(f"juice of an {line.name}")
    if usual is None or measure.value is None:
        return line
    return _with_amount(line, replace(to_fact(measure), value=measure.value * usual.ml, unit="ml", mark="assumed"))
