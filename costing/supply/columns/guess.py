"""What each column of a table means, as far as headings and cells can say; the rest is asked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.amounts import amounts, mark_of
from costing.supply.columns.beside import Beside, beside
from costing.supply.columns.counts import row_counts
from costing.supply.columns.days import order_of
from costing.supply.columns.fitting import PRICED, by_cells, fit, role_of
from costing.supply.columns.heading_rows import find_heading, headings_of
from costing.supply.columns.headings import UNUSED, WHOLE, Meaning, is_piece, meaning, says_pack
from costing.supply.columns.looks import Look, column_cells, looks, spread
from costing.supply.columns.noticing import noticed
from costing.supply.columns.plain_lines import USES, PlainLines, cut
from costing.supply.columns.prices import AGREE, Priced, Settled, agreement, settle
from costing.supply.columns.record import Columns, Use, place, use_of, with_uses
from costing.supply.columns.taxes import TaxSaid, tax_of_heading
from costing.supply.packs.currencies import currency_of_text

HOLDING = frozenset({"discount-column", "may-be-count", "price-of-alcohol"})
"""Doubts about columns that change what a price is, whatever single lines look like."""
LEAST = 0.3
"""Below this certainty a column is only an alternative."""
MOST = 5000
"""Rows whose figures are compared, spread over the table; the decimal mark and the order of days are asked of all."""
MANY = frozenset({"break_price", "break_from", "remark"})
"""Roles that several columns may have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another column that may have a role, or another role of a column."""

    role: str
    column: int
    header: str
    certainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """``columns`` as guessed, with ``certainty`` (0 to 1) by role. Nothing is guessed that ``doubts`` do not name;
    ``asked`` are those of them that hold every line until somebody has set the columns."""

    columns: Columns
    certainty: tuple[tuple[str, float], ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()

    def sure(self, role: str) -> float:
        """The certainty of a role, 0 where no column has it."""
        return next((sure for name, sure in self.certainty if name == role), 0.0)


Scored = tuple[float, str, int]


def guess_columns(table: Table) -> Guess:
    """The columns of a list that arrives for the first time.

    Headings are read in six languages and borne out by the cells below them. Two columns of one meaning are told apart
    only by arithmetic over all rows; what stays open is a doubt, and its certainty is low.
    """
    table = cut(table)
    by_hand = isinstance(table, PlainLines)
    at, rows = (0, 0) if by_hand else find_heading(table)
    width = max(map(len, table.rows), default=0)
    heads = (*headings_of(table, at, rows), *[""] * width)[:width]
    seen = looks(table, at + rows, width)
    seen_rows = [row for i, row in enumerate(table.rows[at + rows :], at + rows) if i not in table.hidden_rows]
    body = [seen_rows[i] for i in spread(len(seen_rows), MOST)]
    means = _told_apart(heads, [meaning(head) for head in heads], seen)
    scored = _scored(means, seen)
    taken, left = _assigned([one for one in scored if one[2] not in table.hidden_columns])
    if by_hand:
        taken, left = {column: (role, 0.5) for column, role in enumerate(USES)}, []
    left += [one for one in scored if one[2] in table.hidden_columns]
    away = {column for _, _, column in left if column in table.hidden_columns}
    about = noticed(heads, means, seen, {column: role for column, (role, _) in taken.items()}, away)
    columns = Columns(
        uses=(), header_at=at, header_rows=rows, width=width, sheet=table.sheet, delimiter=table.delimiter,
        encoding=table.encoding,
    )  # fmt: skip
    columns = with_uses(
        columns,
        [
            Use(role=role, column=column, header=heads[column])
            for column, (role, _) in taken.items()
            if role not in PRICED
        ],
    )
    counts = row_counts(body, columns)
    settled = settle(_priced(taken, heads, means, body), counts)
    sure = {column: (role, score) for column, (role, score) in taken.items() if role not in PRICED}
    sure |= {column: (role, score) for column, role, score in settled.roles}
    columns = with_uses(
        columns, [Use(role=role, column=column, header=heads[column]) for column, (role, _) in sure.items()]
    )
    guess = _finished(table, columns, sure, left, settled, body, counts, heads)
    asked = (*settled.asked, *(one for one in about if one.code in HOLDING))
    return replace(guess, doubts=(*guess.doubts, *about), asked=asked)


def _told_apart(heads: Sequence[str], means: Sequence[Meaning], seen: Sequence[Look]) -> list[Meaning]:
    """ "Unit price" is that of one piece only beside a price of the pack, alone it may be either; a price of alcohol is
    taken, and doubted, only where there is no other; "Bottles" are counted where a price is that of a case, and the
    "units" of a pack are where they are whole numbers."""
    alone = not any(said.role == "price" for said in means)
    lonely = not any(said.role in PRICED for said in means)
    by_case = any(said.role == "price" and said.per == "pack" for said in means)
    counted = any(said.role == "count" for said in means)
    out = []
    for head, said, look in zip(heads, means, seen, strict=True):
        if (alone and said.loose) or (lonely and said.role == "of_alcohol"):
            out.append(replace(said, role="price", per=""))
        elif not counted and (
            (by_case and not said.role and is_piece(head))
            or (said.role == "unit" and says_pack(head) and look.whole >= 0.8)
        ):
            out.append(Meaning(role="count", weight=WHOLE))
        else:
            out.append(said)
    return out


def _scored(means: Sequence[Meaning], seen: Sequence[Look]) -> list[Scored]:
    """Every role that a column may have, with its certainty."""
    out: list[Scored] = []
    for column, (said, look) in enumerate(zip(means, seen, strict=True)):
        if said.role in UNUSED:
            continue
        if said.role:
            role = role_of(said, look)
            out.append((said.weight * fit(role, look), role, column))
        else:
            out += [(certainty, role, column) for role, certainty in by_cells(look)]
        if said.role == "name" and said.weight < 1 and look.codes >= 0.8 and look.unique >= 0.9:
            out.append((0.4, "code", column))
    return sorted(out, key=lambda item: (-item[0], item[2]))


def _assigned(scored: Sequence[Scored]) -> tuple[dict[int, tuple[str, float]], list[Scored]]:
    """(role by column, what is left over). Prices may claim one role several times: ``settle`` tells them apart."""
    taken: dict[int, tuple[str, float]] = {}
    roles: set[str] = set()
    left = []
    headed = any(role in PRICED and certainty > 0.5 for certainty, role, _ in scored)
    for certainty, role, column in scored:
        single = role not in MANY and role not in PRICED
        if (
            column in taken
            or certainty < LEAST
            or (single and role in roles)
            or (role in PRICED and headed and certainty <= 0.5)
        ):
            left.append((certainty, role, column))
            continue
        taken[column] = (role, certainty)
        roles.add(role)
    return taken, left


def _priced(
    taken: dict[int, tuple[str, float]], heads: Sequence[str], means: Sequence[Meaning], body: Sequence[Sequence[str]]
) -> list[Priced]:
    out = []
    for column, (role, certainty) in sorted(taken.items()):
        if role in PRICED:
            cells = column_cells(body, column)
            values = [one.value for one in amounts(cells, "price", mark_of(cells).mark)]
            said = means[column]
            if said.role != role:
                said = Meaning(role=role, weight=certainty, tax=tax_of_heading(heads[column]))
            out.append(
                Priced(column=column, header=heads[column], meaning=said, certainty=certainty, values=values)
            )  # fmt: skip
    return out


def _finished(
    table: Table, columns: Columns, sure: dict[int, tuple[str, float]], left: Sequence[Scored], settled: Settled,
    body: Sequence[Sequence[str]], counts: Sequence[int | None], heads: Sequence[str],
) -> Guess:  # fmt: skip
    said = beside(table, columns.header_at, columns.header_at + columns.header_rows)
    doubts = [*said.doubts, *settled.doubts]
    if not columns.header_rows:
        doubts.append(doubt("no-heading"))
    columns, more = _money(table, columns, settled, said, body)
    columns, about = _asked_for(columns, body, counts)
    doubts += [*more, *about, *_missing(columns)]
    certainty: dict[str, float] = {}
    for role, score in sure.values():
        certainty[role] = round(max(score, certainty.get(role, 0.0)), 3)
    others = [
        Alternative(role=role, column=at, header=heads[at], certainty=round(score, 3)) for score, role, at in left
    ]
    return Guess(
        columns=columns, certainty=tuple(certainty.items()), alternatives=tuple(others), doubts=tuple(doubts)
    )  # fmt: skip


def _missing(columns: Columns) -> list[Doubt]:
    roles = {use.role for use in columns.uses}
    out = []
    if not roles & {"price", "price_each", "price_measure", "gross"}:
        out.append(doubt("no-price-column", "price"))
    if not roles & {"name", "code", "gtin"}:
        out.append(doubt("no-name-column", "name"))
    return out


def _money(
    table: Table, columns: Columns, settled: Settled, said: Beside, body: Sequence[Sequence[str]]
) -> tuple[Columns, list[Doubt]]:
    """Tax, rate, currency, decimal mark and order of days."""
    doubts: list[Doubt] = []
    main = main_price(columns)
    head = tax_of_heading(main.header) if main else TaxSaid()
    basis, rate = head.basis, head.rate or settled.rate or (said.tax.rate if said.tax.basis != "unknown" else None)
    if basis == "unknown" and settled.net_gross and settled.rate is not None:
        basis = "ex"
    if settled.swapped:
        basis, rate = "unknown", None
    elif basis == "unknown" and not head.both:
        basis = said.tax.basis
    elif said.tax.basis not in ("unknown", basis) or head.both:
        doubts.append(doubt("tax-contradicts", "tax", one=main.header if main else "", other=" ".join(said.texts)[:80]))
    below = table.rows[columns.header_at + columns.header_rows :]
    mark = mark_of(column_cells(below, main.column) if main else [])
    read = amounts(column_cells(body, main.column) if main else [], "price", mark.mark)
    named = {one.currency for one in read if one.currency}
    currency = (
        (currency_of_text(main.header) if main else "") or said.currency or (named.pop() if len(named) == 1 else "")
    )
    days = [cell for use in columns.uses if use.role in ("since", "until") for cell in column_cells(below, use.column)]
    order, unsure = order_of(days)
    if unsure:
        doubts.append(unsure)
    if mark.why == "contradiction":
        doubts.append(doubt("decimal-mixed", "price", one=mark.seen[0], other=mark.seen[-1]))
    decimal: Literal["", ".", ","] = (
        "" if not mark.sure else "." if mark.mark == "." else "," if mark.mark == "," else ""
    )
    return replace(columns, tax=basis, rate=rate, currency=currency, decimal=decimal, days=order), doubts


def main_price(columns: Columns) -> Use | None:
    """The column that prices are taken from: that of the pack, else of the piece, else of a measure, else with tax."""
    return next(
        (use for role in ("price", "price_each", "price_measure", "gross") if (use := use_of(columns, role))), None
    )


def _asked_for(
    columns: Columns, body: Sequence[Sequence[str]], counts: Sequence[int | None]
) -> tuple[Columns, list[Doubt]]:
    """What the price is asked for, where the heading does not say: proved by the unit price, told by a column of packs,
    or asked."""
    main = main_price(columns)
    if main is None or main.role != "price":
        return columns, []
    said = meaning(main.header)
    each = use_of(columns, "price_each")
    if each is not None:
        return _proved(columns, main, each, body, counts)
    if said.per == "pack":
        return columns, []
    many = next((i for i, count in enumerate(counts) if count is not None and count > 1), None)
    if not said.loose and (many is None or place(columns, "pack") is not None):
        return replace(columns, per="pack"), []
    if many is None:
        return columns, []
    shown = " ".join(cell for cell in body[many] if cell)[:80]
    return columns, [doubt("price-for-what", "price", value=main.header, line=shown)]


def _proved(
    columns: Columns, main: Use, each: Use, body: Sequence[Sequence[str]], counts: Sequence[int | None]
) -> tuple[Columns, list[Doubt]]:
    values = []
    for use in (main, each):
        cells = column_cells(body, use.column)
        values.append([one.value for one in amounts(cells, use.role, mark_of(cells).mark)])
    share, rows = agreement(values[0], values[1], counts)
    if not rows or share >= AGREE:
        return replace(columns, per="pack"), []
    back, _ = agreement(values[1], values[0], counts)
    code = "prices-swapped" if back >= AGREE else "unit-prices-differ"
    shown = f"{Decimal(str(round(share * 100, 1)))} %"
    return replace(columns, per="pack"), [doubt(code, "price", one=main.header, other=each.header, share=shown, n=rows)]
