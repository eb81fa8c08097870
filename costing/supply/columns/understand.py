"""A table of text cells as lines with prices. Every row becomes a line or is left out with its reason; none is lost."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, Kind, LeftOut, PriceLine
from costing.supply.arriving.table import Table
from costing.supply.columns.amounts import amount, places_of
from costing.supply.columns.beside import Beside, beside
from costing.supply.columns.days import validity
from costing.supply.columns.guess import guess_columns, main_price
from costing.supply.columns.lines import Listed, line_maker
from costing.supply.columns.packs_of import KindOf
from costing.supply.columns.places import standing
from costing.supply.columns.plain_lines import PlainLines, cut, says_something, unsure
from costing.supply.columns.prepared import Prepared, prepared
from costing.supply.columns.record import Columns, body_at, place
from costing.supply.columns.rows import Body, reasons
from costing.supply.packs.currencies import currency_of_text, shared_sign

Tell = Callable[[int, int], None]
Key = str | tuple[str, ...]
STEP = 4000
"""Rows between two words of progress."""


def understand(
    table: Table,
    columns: Columns | None = None,
    *,
    name: str,
    digest: str,
    today: date,
    kind_of: KindOf | None = None,
    kind: Kind = "list",
    tell: Tell | None = None,
    asked: Sequence[Doubt] = (),
) -> Incoming:
    """The lines of ``table`` as ``columns`` says (guessed where None).

    ``columns`` that are given count as set by somebody; where they are still a guess, its ``Guess.asked`` belongs into
    ``asked``: doubts that every line with a price carries. A text of plain lines is cut into cells first (see
    ``plain_lines``), and the result holds the table as cut.

    ``today`` bounds the days that a list can plausibly name (2000 to two years on); ``kind_of`` says the kind of good
    that a name means, "" where unknown; ``tell`` hears of progress (rows done, rows in all). Rows read = lines + left
    out. A column map that is remembered is held against the file with ``guard.fits`` first: here a heading that does
    not stand where it should is only doubted.
    """
    about: tuple[Doubt, ...]
    table = cut(table)
    if columns is None:
        guess = guess_columns(table)
        columns, about, asked = guess.columns, guess.doubts, (*asked, *guess.asked)
    else:
        columns, about = standing(table, columns)
    said = beside(table, columns.header_at, body_at(columns))
    ready = prepared(table, columns, today)
    listed, unlike = _listed(columns, said, today)
    listed = replace(listed, asked=tuple(dict.fromkeys(asked)))
    lines, left = _lines(table, ready, listed, kind_of, tell)
    return Incoming(
        name=name, digest=digest, shape=table.shape, kind=kind, lines=tuple(lines),
        left_out=(*_above(table, columns), *left),
        doubts=tuple(dict.fromkeys((*about, *unlike, *ready.doubts))), currency=listed.currency, table=table,
    )  # fmt: skip


def _listed(columns: Columns, said: Beside, today: date) -> tuple[Listed, tuple[Doubt, ...]]:
    """Tax, currency and days of the whole list: as remembered, else by its sentences; a contradiction is a doubt."""
    valid = validity(said.texts, today)
    doubts = [*said.doubts, *valid.doubts]
    tax, rate = columns.tax, columns.rate
    if tax == "unknown":
        tax, rate = said.tax.basis, rate or said.tax.rate
    elif said.tax.basis not in ("unknown", tax):
        doubts.append(doubt("list-has-tax-in" if said.tax.basis == "inc" else "list-has-tax-out", "tax"))
    main = main_price(columns)
    head = main.header if main is not None else ""
    currency = columns.currency or currency_of_text(head) or said.currency
    if columns.currency and said.currency not in ("", columns.currency):
        doubts.append(doubt("currency-contradicts", "currency", one=columns.currency, other=said.currency))
    listed = Listed(
        tax=tax, rate=rate, currency=currency, since=valid.since, until=valid.until, validity=valid.text,
        sign="" if currency else shared_sign(head) or said.sign,
    )  # fmt: skip
    return listed, tuple(doubts)


def _lines(
    table: Table, ready: Prepared, listed: Listed, kind_of: KindOf | None, tell: Tell | None
) -> tuple[list[PriceLine], list[LeftOut]]:
    lines: list[PriceLine] = []
    left: list[LeftOut] = []
    total = len(ready.rows)
    for i, made in enumerate(_each(table, ready, listed, kind_of)):
        if isinstance(made, PriceLine):
            lines.append(made)
        else:
            left.append(made)
        if tell is not None and i % STEP == 0:
            tell(i, total)
    if tell is not None:
        tell(total, total)
    return _twice(lines, ready.columns), left


def _each(table: Table, ready: Prepared, listed: Listed, kind_of: KindOf | None) -> Iterator[PriceLine | LeftOut]:
    """Every row under the heading, as a line or as left out."""
    cells = ready.cells
    body = Body(
        table=table, columns=ready.columns, rows=ready.rows, codes=cells["code"], gtins=cells["gtin"],
        names=cells["name"],
        packs=cells["pack"], prices=[ready.amounts[asked.role] for asked in ready.asked],
        strict=place(ready.columns, "pack") is None and place(ready.columns, "count") is None,
    )  # fmt: skip
    make = line_maker(ready, listed, kind_of)
    section, n = "", 0
    by_hand = isinstance(table, PlainLines) and not ready.columns.header_rows
    whys = reasons(body)
    for i, why in enumerate(whys):
        if not why:
            n += 1
            line = make(i, n, section)
            yield replace(line, doubts=(*line.doubts, *unsure(ready.rows[i]))) if by_hand else line
            continue
        # Without a heading nothing says that a row with a word and a number is none.
        lost = not ready.columns.header_rows and why in ("note", "group") and says_something(" ".join(ready.rows[i]))
        out = _left(table, ready.first + i, "unread" if lost else why)
        section = out.text if out.why == "group" else section
        yield out


def rows_as_read(
    table: Table, columns: Columns, *, today: date, kind_of: KindOf | None = None, most: int
) -> Iterator[PriceLine | LeftOut]:
    """The first ``most`` rows under the heading one by one, read as the whole table decides."""
    table = cut(table)
    columns, _ = standing(table, columns)
    said = beside(table, columns.header_at, body_at(columns))
    ready = prepared(table, columns, today, most)
    return _each(table, ready, _listed(columns, said, today)[0], kind_of)


def _above(table: Table, columns: Columns) -> list[LeftOut]:
    out = []
    for i in range(min(body_at(columns), len(table.rows))):
        filled = any(cell.strip() for cell in table.rows[i])
        why = "heading" if i >= columns.header_at else "unread" if _may_be_line(table.rows[i], columns) else "preamble"
        out.append(_left(table, i, why if filled else "empty"))
    return out


def _may_be_line(row: Sequence[str], columns: Columns) -> bool:
    """Whether a row above the lines holds a word and a number of its own: where no heading says that it belongs to the
    preamble, or where the number stands in a cell of its own, it may be a line."""
    if not columns.header_rows:
        return says_something(" ".join(row))
    figures = [amount(cell, "price", None) for cell in row if cell.strip()]
    return any(
        one.value is not None and (one.currency or one.sign or places_of(one.value) == 2) for one in figures
    ) and (any(one.state == "none" and not one.percent for one in figures))


def _left(table: Table, i: int, why: str) -> LeftOut:
    """A merged cell says its text once."""
    texts = dict.fromkeys(cell.strip() for cell in table.rows[i] if cell.strip())
    return LeftOut(where=f"row {i + 1}", text=" | ".join(texts), why=why)


def _twice(lines: list[PriceLine], columns: Columns) -> list[PriceLine]:
    """Lines of goods that share their code, or their name and pack, doubted on all of them."""
    beside = [role for role in ("brand", "vintage") if place(columns, role) is not None]
    keys = [_keys(line, beside) if line.sort == "goods" else () for line in lines]
    times = Counter(key for pair in keys for key in pair)
    if len(times) == times.total():
        return lines
    where: dict[Key, list[str]] = {}
    for line, pair in zip(lines, keys, strict=True):
        for key in pair:
            if times[key] > 1:
                where.setdefault(key, []).append(line.where)
    return [_doubted(line, pair, where) for line, pair in zip(lines, keys, strict=True)]


def _keys(line: PriceLine, beside: Sequence[str]) -> tuple[Key, ...]:
    """What no other line may share: the code; the name with the pack, and with brand and vintage if there are any."""
    if not line.name:
        return (line.code,) if line.code else ()
    pack = line.pack.text if line.pack is not None else ""
    named: Key = (line.name.casefold(), pack, line.unit)
    if beside:
        named = (*named, *map(line.said, beside))
    return (line.code, named) if line.code else (named,)


def _doubted(line: PriceLine, keys: tuple[Key, ...], where: dict[Key, list[str]]) -> PriceLine:
    others = dict.fromkeys(place for key in keys for place in where.get(key, ()) if place != line.where)
    if not others:
        return line
    shown = ", ".join(list(others)[:3])
    return replace(line, doubts=(*line.doubts, doubt("twice", "code" if line.code else "name", rows=shown)))
