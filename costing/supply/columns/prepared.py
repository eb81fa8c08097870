"""The columns of a table made ready for its lines: every figure read once, with the mark of its column."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Per
from costing.supply.arriving.table import Table
from costing.supply.columns.amounts import Amount, amounts, mark_of
from costing.supply.columns.days import Day, Order, order_changed, order_of, read_day
from costing.supply.columns.headings import NOTHING, has_deposit, meaning, of_alcohol
from costing.supply.columns.looks import column_cells
from costing.supply.columns.record import Columns, Use, body_at, use_of
from costing.supply.packs.currencies import in_hundredths
from costing.supply.packs.marks import Mark, mark_by_products

FIGURES = (
    "price", "price_each", "price_measure", "gross", "old_price", "deposit", "quantity", "total", "rate",
)  # fmt: skip
MAIN = ("price", "price_each", "price_measure", "gross")
Rows = Sequence[Sequence[str]]
_ONE = Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """One column of quantity breaks: from how many packs (by the heading, or by row), at what price."""

    packs: Decimal | None
    from_: Sequence[Amount]
    prices: Sequence[Amount]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What one column of prices is asked for; ``per`` is "" where nobody has said."""

    role: str
    per: Per
    base: Decimal
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """Cells, amounts and days by role, one for each row under the heading."""

    columns: Columns
    first: int
    rows: Rows
    cells: Mapping[str, Sequence[str]]
    amounts: Mapping[str, Sequence[Amount]]
    places: Mapping[str, int]
    asked: tuple[Asked, ...]
    steps: tuple[Steps, ...]
    days: Mapping[str, Sequence[Day]]
    decimal: str | None
    content_decimal: str | None
    doubts: tuple[Doubt, ...]


def prepared(table: Table, columns: Columns, today: date, most: int | None = None) -> Prepared:
    """Everything under the heading by role; at most ``most`` rows, read as the whole table decides. Doubts about whole
    columns are those of the result."""
    rows = table.rows[body_at(columns) :]
    cells = {use.role: column_cells(rows, use.column) for use in reversed(columns.uses)}
    marks, doubts = _marks(cells, columns)
    orders = {role: _order(cells[role], role, columns) for role in ("since", "until") if role in cells}
    doubts += [unsure for _, unsure in orders.values() if unsure is not None]
    rows, cells = rows[:most], {role: column[:most] for role, column in cells.items()}
    blank = [""] * len(rows)
    read = {role: amounts(cells[role], role, marks[role]) for role in FIGURES if role in cells}
    main = next((role for role in MAIN if role in read), None)
    found = Prepared(
        columns=columns, first=body_at(columns), rows=rows,
        cells={role: cells.get(role, blank) for role in _TEXTS} | cells,
        amounts=read,
        places={role: min(2, _most_places(column)) for role, column in read.items()},
        asked=tuple(_with_doubts(_asked(columns, role), columns) for role in MAIN if role in read),
        steps=_steps(rows, columns, marks.get(main or "", None)),
        days={role: _read_days(cells[role], role, *order, today) for role, order in orders.items()},
        content_decimal=marks.get("content"), decimal=marks.get(main or "", columns.decimal or None),
        doubts=tuple(doubts),
    )  # fmt: skip
    return found


_TEXTS = (
    "code",
    "gtin",
    "name",
    "pack",
    "count",
    "content",
    "unit",
    "currency",
    "section",
    "brand",
    "vintage",
    "minimum",
)


def _most_places(column: Sequence[Amount]) -> int:
    """Decimal places that a column shows at most: a sheet drops closing zeros of single cells, not of all."""
    most = 0
    for one in column:
        if one.value is not None and most < 2:
            exponent = one.value.as_tuple().exponent
            most = max(most, -exponent if isinstance(exponent, int) else 0)
    return most


def _marks(cells: Mapping[str, Sequence[str]], columns: Columns) -> tuple[dict[str, str | None], list[Doubt]]:
    """The decimal mark of every column of figures: by its cells, else by products, else as remembered, else unknown."""
    marks: dict[str, str | None] = {}
    doubts: list[Doubt] = []
    products: Mark | None = None
    for role in (*FIGURES, "content"):
        if role not in cells:
            continue
        mark = mark_of(cells[role])
        if mark.sure or mark.why == "contradiction":
            marks[role] = mark.mark
        else:
            products = products or _by_products(cells)
            marks[role] = products.mark if products.sure and role in _IN_PRODUCTS else columns.decimal or None
        if mark.why == "contradiction":
            doubts.append(doubt("decimal-mixed", role, one=mark.seen[0], other=mark.seen[-1]))
        elif marks[role] is None and mark.ambiguous:
            doubts.append(doubt("decimal-unknown", role, n=mark.ambiguous))
        elif role in MAIN and columns.decimal and marks[role] not in (None, columns.decimal):
            doubts.append(doubt("decimal-changed", role, was=columns.decimal, now=marks[role]))
    return marks, doubts


_IN_PRODUCTS = frozenset({"price", "price_each", "total", "quantity"})


def _by_products(cells: Mapping[str, Sequence[str]]) -> Mark:
    triples: list[tuple[str, str, str]] = []
    for one, by, product in (
        ("quantity", "price", "total"),
        ("quantity", "price_each", "total"),
        ("count", "price_each", "price"),
    ):
        if one in cells and by in cells and product in cells:
            triples += zip(cells[one], cells[by], cells[product], strict=True)
    return mark_by_products(triple for triple in triples if all(triple))


def _asked(columns: Columns, role: str) -> Asked:
    """What a price column is asked for: by its role, by its heading, else as remembered."""
    use = use_of(columns, role)
    said = meaning(use.header) if use else NOTHING
    if role == "price_each":
        return Asked(role=role, per="each", base=said.base if said.per == "each" else _ONE)
    if role == "price_measure":
        per = said.per if said.per in ("kg", "l") else columns.per if columns.per in ("kg", "l") else ""
        return Asked(role=role, per=per, base=said.base if per == said.per else _ONE)
    if said.per == "pack" or (role == "gross" and said.per and not said.loose):
        return Asked(role=role, per=said.per, base=said.base)
    return Asked(role=role, per=columns.per, base=_ONE)


def _with_doubts(asked: Asked, columns: Columns) -> Asked:
    """What a heading says of its price that holds, whoever set the columns."""
    use = use_of(columns, asked.role)
    if use is None:
        return asked
    told = (
        ("deposit-in-price", has_deposit(use.header)), ("price-in-cents", in_hundredths(use.header)),
        ("price-of-alcohol", of_alcohol(use.header)),
    )  # fmt: skip
    return replace(asked, doubts=tuple(doubt(code, "price", value=use.header) for code, said in told if said))


def _steps(rows: Rows, columns: Columns, decimal: str | None) -> tuple[Steps, ...]:
    """Columns of breaks: a price whose heading says from how many, or beside a column that does."""
    froms = [use for use in columns.uses if use.role == "break_from"]
    out = []
    for use in (use for use in columns.uses if use.role == "break_price"):
        packs = meaning(use.header).packs
        beside = _nearest(froms, use) if packs is None else None
        cells = column_cells(rows, use.column)
        mark = mark_of(cells)
        prices = amounts(cells, "break_price", mark.mark if mark.sure else decimal)
        steps = amounts(column_cells(rows, beside.column), "break_from", decimal) if beside else []
        out.append(Steps(packs=packs, from_=steps, prices=prices))
    return tuple(out)


def _nearest(froms: Sequence[Use], use: Use) -> Use | None:
    """The column of numbers of packs that stands next before a column of break prices."""
    return max((one for one in froms if one.column < use.column), key=lambda one: one.column, default=None)


def _order(column: Sequence[str], role: str, columns: Columns) -> tuple[Order, Doubt | None]:
    """The order of days of a column: as its cells say, as remembered where they leave it open, never against both."""
    order, unsure = order_of(column)
    if unsure is not None and unsure.code == "day-order" and columns.days:
        return columns.days, None
    if order in ("dmy", "mdy") and columns.days in ("dmy", "mdy") and columns.days != order:
        return "", order_changed(order, role)
    return order, unsure


def _read_days(column: Sequence[str], role: str, order: Order, unsure: Doubt | None, today: date) -> Sequence[Day]:
    """Every cell as a day; where a column says two orders, only days that a sheet stored as such are read."""
    mixed = unsure if unsure is not None and unsure.code != "day-order" else None
    known: dict[tuple[type[str], str], Day] = {}
    out = []
    for cell in column:
        key = (type(cell), cell)
        found = known.get(key)
        if found is None:
            rejected = mixed is not None and type(cell) is str and bool(cell.strip())
            found = Day(None, (mixed,)) if rejected and mixed is not None else read_day(cell, order, today, role)
            known[key] = found
        out.append(found)
    return out
