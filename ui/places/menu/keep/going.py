"""What becomes of the others, and of the money, once the chosen drinks have left: rows and columns."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from costing.book.selling import Judging
from costing.menu.engineer import Klass, Row
from costing.menu.judged import Section, without
from costing.menu.leaving import Leaving
from costing.menu.words import WHY_WORDS, class_word
from costing.tongue import say, word
from ui.format import UNKNOWN, Format
from ui.models.table import Column
from ui.places.menu.keep.rows import KeepRow, count_text, name_of


@dataclass(frozen=True, slots=True)
class GoingRow:
    """A drink before and after, or the heading of its section (``before`` None). ``lost`` and ``spread`` are None for
    what leaves."""

    of: KeepRow
    before: Row | None = None
    leaves: bool = False
    lost: Row | None = None
    spread: Row | None = None

    @property
    def moves(self) -> bool:
        """Whether its class becomes another one."""
        return self.before is not None and self.lost is not None and self.lost.klass != self.before.klass


@dataclass(frozen=True, slots=True)
class Going:
    """All rows, and the margins of all that was sold: now, once the sales of what leaves are lost, and once they went
    to the others. ``left`` is false where nothing that was sold stays in a section."""

    rows: tuple[GoingRow, ...] = ()
    now: float = 0.0
    lost: float = 0.0
    spread: float = 0.0
    left: bool = True

    @property
    def leave(self) -> tuple[KeepRow, ...]:
        """What leaves."""
        return tuple(row.of for row in self.rows if row.leaves)

    @property
    def moved(self) -> int:
        """Drinks whose class becomes another one."""
        return sum(row.moves for row in self.rows)


def going(rows: Sequence[KeepRow], judging: Judging, gone: Collection[str]) -> Going:
    """What becomes of the drinks of these rows when those with the keys ``gone`` leave. A section without classes is
    its heading alone."""
    out = Going()
    for heading in (row for row in rows if row.heading):
        section = heading.section
        drinks = [row for row in rows if row.section is section and row.drink is not None]
        after = _after(section, drinks, judging, gone) if drinks else Going()
        out = Going(
            rows=(*out.rows, GoingRow(heading), *after.rows), now=out.now + after.now, lost=out.lost + after.lost,
            spread=out.spread + after.spread, left=out.left and after.left,
        )  # fmt: skip
    return out


def _after(section: Section, drinks: Sequence[KeepRow], judging: Judging, gone: Collection[str]) -> Going:
    serves = {row.item.serve for row in drinks if row.item is not None and row.key in gone}
    found = without(section, judging, serves)
    return Going(rows=_rows(drinks, found), now=found.before.M, lost=found.lost.M, spread=found.spread.M,
                 left=found.lost.O is not None)  # fmt: skip


def _rows(drinks: Sequence[KeepRow], found: Leaving) -> tuple[GoingRow, ...]:
    stay = {n: pair for n, *pair in zip(found.stay, found.lost, found.spread, strict=True)}
    return tuple(
        GoingRow(row, found.before[n], n not in stay, *stay.get(n, (None, None))) for n, row in enumerate(drinks)
    )


def going_columns(form: Format) -> Sequence[Column[GoingRow]]:
    """Drink, sold now and with what the others leave it, class now and then, what happens."""

    def sold(row: GoingRow) -> str:
        return count_text(row.before.sold, form) if row.before is not None else ""

    def spread(row: GoingRow) -> str:
        return "" if row.of.heading else UNKNOWN if row.spread is None else form.number(row.spread.sold, 0)

    def klass(row: GoingRow, of: Row | None) -> str:
        return "" if row.of.heading else _klass(of.klass if of is not None else None)

    def happens(row: GoingRow) -> str:
        if row.of.heading:
            return word(WHY_WORDS, row.of.section.why) if row.of.section.why else ""
        return say("leaves") if row.leaves else say("changes its class") if row.moves else say("stays as it is")

    def before(row: GoingRow) -> str:
        return klass(row, row.before)

    def after(row: GoingRow) -> str:
        return klass(row, row.lost)

    def either(row: GoingRow) -> bool:
        return row.of.heading or row.moves

    return (
        Column[GoingRow]("name", say("Drink"), lambda r: name_of(r.of), sort=_by(lambda r: name_of(r.of).casefold()),
                         strong=lambda r: r.of.heading, depth=lambda r: 0 if r.of.heading else 1),
        Column[GoingRow]("sold", say("Sold"), sold, True,
                         _by(lambda r: r.before.sold if r.before else None)),
        Column[GoingRow]("spread", say("Sold, with theirs"), spread, True,
                         _by(lambda r: r.spread.sold if r.spread else None),
                         about=say("If guests take the others instead, in proportion to what these sold")),
        Column[GoingRow]("before", say("Class now"), before, sort=_by(before)),
        Column[GoingRow]("after", say("Class then"), after, sort=_by(after), strong=either,
                         about=say("The same whether their sales are lost or go to the others")),
        Column[GoingRow]("happens", say("What happens"), happens, sort=_by(happens), strong=either),
    )  # fmt: skip


def _by(figure: Callable[[GoingRow], object]) -> Callable[[GoingRow], object]:
    return lambda row: None if row.of.heading else figure(row)


def _klass(klass: Klass | None) -> str:
    return class_word(klass) if klass is not None else UNKNOWN
