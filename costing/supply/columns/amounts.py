"""A column of figures: its decimal mark decided once, every cell read with it, every doubt by name."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costing.book.buying import LARGEST
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import DayCell, Figure, MoneyFigure, Unworked
from costing.supply.packs.currencies import currency_of_text, in_hundredths, shared_sign
from costing.supply.packs.marks import Mark, column_mark
from costing.supply.packs.numbers import Number, read_number

_ONE = Decimal(1)
PRICE_ROLES = ("price", "price_each", "price_measure", "gross", "old_price", "break_price")


@dataclass(frozen=True, slots=True)
class Amount:
    """One cell. ``value`` is for ``base`` of what it is about ("3 for 10": 10 for 3). ``state`` is that of
    ``packs.numbers.Number``, "empty" for an empty cell and "unworked" for a formula without a value. ``sign`` is a sign
    for money that several currencies share ("$")."""

    state: str
    value: Decimal | None = None
    base: Decimal = _ONE
    currency: str = ""
    percent: bool = False
    doubts: tuple[Doubt, ...] = ()
    readings: tuple[Decimal, ...] = ()
    sign: str = ""


EMPTY = Amount("empty")


def mark_of(cells: Iterable[str]) -> Mark:
    """The decimal mark of a column by its own cells; only texts vote."""
    return column_mark(cell for cell in cells if type(cell) is str)


def amounts(cells: Sequence[str], at: str, decimal: str | None) -> list[Amount]:
    """Every cell of a column as an Amount, with the doubts of the role ``at``. Each text is read once."""
    texts: dict[str, Amount] = {"": EMPTY}
    figures: dict[str, Amount] = {}
    money: dict[tuple[str, str], Amount] = {}
    out = []
    for cell in cells:
        if type(cell) is str or type(cell) is Figure:
            known = figures if type(cell) is Figure else texts
            found = known.get(cell)
            if found is None:
                found = known[cell] = amount(cell, at, decimal)
        elif isinstance(cell, MoneyFigure):
            found = money.get((cell, cell.currency))
            if found is None:
                found = money[cell, cell.currency] = amount(cell, at, decimal)
        else:
            found = amount(cell, at, decimal)
        out.append(found)
    return out


def amount(cell: str, at: str, decimal: str | None) -> Amount:
    """One cell as an Amount."""
    if isinstance(cell, Unworked):
        return Amount("unworked", doubts=(doubt("formula-no-value", at, value=cell),))
    text = cell.strip()
    if not text:
        return EMPTY
    if isinstance(cell, DayCell):
        return Amount("none", doubts=(doubt(_misplaced(at), at, value=text),))
    number = read_number(Figure(text) if isinstance(cell, Figure) else text, decimal)
    found = _amount(number, text, at)
    if isinstance(cell, MoneyFigure):
        return _in_money(found, cell.currency, at)
    plain = text[0].isdigit() and text[-1].isdigit()
    return found if plain or found.currency or at not in PRICE_ROLES else replace(found, sign=shared_sign(text))


def _in_money(found: Amount, said: str, at: str) -> Amount:
    """An amount whose number format names money, by code or by a sign that several currencies share."""
    code = currency_of_text(said)
    if code or at not in PRICE_ROLES:
        return replace(found, currency=found.currency or code)
    if in_hundredths(said):
        return replace(found, doubts=(*found.doubts, doubt("price-in-cents", at, value=f"{found.value} {said}")))
    return replace(found, sign=said)


def _amount(number: Number, text: str, at: str) -> Amount:
    state, price = number.state, at in PRICE_ROLES
    if number.value is not None:
        if abs(number.value) >= LARGEST:
            return Amount("none", doubts=(doubt("figure-large", at, value=text),))
        if number.percent and price:
            return Amount("none", percent=True, doubts=(doubt("percent-in-price", at, value=text),))
        odd: tuple[Doubt, ...] = ()
        if price and number.value <= 0:
            odd = (doubt("negative-price" if number.value < 0 else "zero-price", at, value=text),)
        return Amount(state, number.value, _ONE, number.currency, number.percent, odd)
    if state == "several":
        value = number.readings[0] if len(number.readings) == 1 else None
        more = () if value is not None else (_two_readings(number, text, at),)
        many = doubt("several-for", at, value=text, count=number.count)
        return Amount(state, value, Decimal(number.count), number.currency, False, (many, *more), number.readings)
    if state == "ambiguous":
        return Amount(
            state, None, _ONE, number.currency, number.percent, (_two_readings(number, text, at),), number.readings
        )
    if state == "on-request":
        return Amount(state, doubts=(doubt("on-request", at, value=text),))
    cents = at in PRICE_ROLES and in_hundredths(text)
    return Amount("none", doubts=(doubt("price-in-cents" if cents else _misplaced(at), at, value=text),))


def _two_readings(number: Number, text: str, at: str) -> Doubt:
    if len(number.readings) > 1:
        return doubt("decimal-ambiguous", at, value=text, one=number.readings[0], other=number.readings[1])
    return doubt("decimal-contradicts", at, value=text)


def _misplaced(at: str) -> str:
    """A word where a price belongs may mean that the cells of a row have moved."""
    return "shifted" if at in PRICE_ROLES else "figure-unread"


def places_of(value: Decimal) -> int:
    """Decimal places as written; 0 for whole numbers."""
    exponent = value.as_tuple().exponent
    return -exponent if isinstance(exponent, int) and exponent < 0 else 0


def half_place(places: int) -> Decimal:
    """Half of the last place that is shown: what rounding may have taken or added."""
    return Decimal(5).scaleb(-places - 1)
