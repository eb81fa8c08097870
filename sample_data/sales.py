"""Twelve weeks of item sales, as the till prints them: one file a week, one row a button and business day.

The till knows buttons, not serves: names are shortened, the terrace has buttons of its own, happy hour is a second
price. Flags: V taken back before it was made (negative), C on the house, S staff. Gross and discount have tax and
service in them; net has neither.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from random import Random

from sample_data import bar
from sample_data.forms import Plain

SEED = 4711
FIRST, WEEKS = date(2026, 8, 31), 12
CENT = Decimal("0.01")
SERVICE, VAT = Decimal("0.05"), Decimal("0.19")
HEADER = ("Business day", "PLU", "Button", "Group", "Qty", "Gross", "Discount", "Net", "Service", "VAT", "Flag")
WEEKDAY = (0.55, 0.7, 0.85, 1.0, 1.45, 1.6, 0.85)
HAPPY = {"lamplighter-sour": Decimal("9.00"), "draught-lager": Decimal("4.50")}


@dataclass(frozen=True)
class Button:
    """A till button: its number and text, the serve it sells, how many on a plain day, and the menu it is on."""

    plu: str
    text: str
    group: str
    serve: str
    daily: float
    menu: str = "main"


BUTTONS = (
    Button("101", "HARB LIGHT", "Cocktails", "harbour-light", 9.5),
    Button("102", "TIDE TABL", "Cocktails", "tide-table", 5.5),
    Button("103", "Q WALNUT", "Cocktails", "quay-walnut", 3.6),
    Button("104", "BREAKWTR PUNCH", "Cocktails", "breakwater-punch", 6.0),
    Button("105", "SALT STAIR MTNI", "Cocktails", "salt-stair", 3.1),
    Button("106", "2ND TIDE", "Cocktails", "second-tide", 5.2),
    Button("107", "NIGHT FERRY UP", "Cocktails", "night-ferry", 4.2),
    Button("111", "LAMPLIGHTER SR", "Cocktails", "lamplighter-sour", 8.0),
    Button("112", "LANTERN HIBALL", "Cocktails", "lantern-highball", 7.0),
    Button("113", "ROPEWALK O/F", "Cocktails", "ropewalk", 4.6),
    Button("114", "COOPERS ROW", "Cocktails", "coopers-row", 3.3),
    Button("115", "GINGER WHRF", "Cocktails", "ginger-wharf", 6.4),
    Button("121", "PIER COOLER 0%", "No alcohol", "pier-cooler", 4.4),
    Button("122", "CHART ROOM 0%", "No alcohol", "chart-room", 2.6),
    Button("201", "WHITE GLS 15CL", "Wine", "glass-white", 11.0),
    Button("202", "RED GLS 15CL", "Wine", "glass-red", 8.5),
    Button("203", "SPARKL GLS", "Wine", "glass-sparkling", 6.5),
    Button("211", "LAGER DRAUGHT 0,4", "Beer", "draught-lager", 19.0),
    Button("212", "LAGER ALC FREE", "Beer", "soft-lager-bottle", 2.8),
    Button("301", "COFFEE", "Hot", "cup-coffee", 14.0),
    Button("302", "WATER 0,5", "Soft", "table-water", 7.5),
    Button("412", "T LANTERN HIBALL", "Terrace", "lantern-highball", 3.5, "terrace"),
    Button("406", "T 2ND TIDE", "Terrace", "second-tide", 2.6, "terrace"),
    Button("415", "T GINGER WHRF", "Terrace", "ginger-wharf", 3.0, "terrace"),
    Button("421", "T PIER COOLER", "Terrace", "pier-cooler", 2.2, "terrace"),
    Button("403", "T SPARKL GLS", "Terrace", "glass-sparkling", 3.0, "terrace"),
    Button("411", "T LAGER 0,4", "Terrace", "draught-lager", 6.5, "terrace"),
)
HOUSE_KEYS = (("901", "GIFT CARD 50", Decimal("50.00")), ("902", "OPEN BAR ITEM", Decimal("6.00")))
HAPPY_PLU = {"lamplighter-sour": ("161", "HH LAMPLIGHTER"), "draught-lager": ("261", "HH LAGER 0,4")}


@dataclass(frozen=True)
class Row:
    """One line of the till's export."""

    day: date
    plu: str
    text: str
    group: str
    qty: int
    gross: Decimal
    discount: Decimal
    serve: str = ""
    flag: str = ""
    taxed: bool = True

    @property
    def net(self) -> Decimal:
        """Without service and tax; what a gift card brings is all of it."""
        paid = self.gross - self.discount
        return _cents(paid / ((1 + SERVICE) * (1 + VAT))) if self.taxed else paid

    @property
    def service(self) -> Decimal:
        """Service on the net price."""
        return _cents(self.net * SERVICE) if self.taxed else Decimal(0)

    @property
    def vat(self) -> Decimal:
        """The rest of what was paid, so that a row adds up to the cent."""
        return self.gross - self.discount - self.net - self.service

    def cells(self) -> tuple[str, ...]:
        """As printed."""
        money = (self.gross, self.discount, self.net, self.service, self.vat)
        return (self.day.isoformat(), self.plu, self.text, self.group, str(self.qty), *(f"{m:.2f}" for m in money),
                self.flag)  # fmt: skip


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)


def printed(serve: str, menu: str, day: date) -> Decimal | None:
    """The price on a menu on a day, or None where it is not on it or the menu is not out."""
    found: Plain = next(m for m in bar.MENUS if m["id"] == menu)
    if day.isoformat() < found.get("since", "") or day.isoformat() > found.get("until", "9"):
        return None
    for section in found["sections"]:
        for line in section["lines"]:
            begun = [p for p in line["prices"] if p["since"] <= day.isoformat()]
            if line["serve"] == serve and begun:
                return Decimal(max(begun, key=lambda p: str(p["since"]))["price"])
    return None


def _count(rng: Random, mean: float) -> int:
    """A whole number around ``mean``, with about the scatter of guests who come by chance."""
    bell = (sum(rng.random() for _ in range(4)) - 2.0) * 1.7
    return max(0, int(mean + bell * mean**0.5 + 0.5))


def _day(rng: Random, day: date) -> list[Row]:
    rows: list[Row] = []
    season = 1.08 if day < date(2026, 9, 28) else 0.94 if day < date(2026, 11, 2) else 1.0
    for b in BUTTONS:
        price = printed(b.serve, b.menu, day)
        if price is None:
            continue
        sold = _count(rng, b.daily * WEEKDAY[day.weekday()] * season)
        if sold:
            rows.append(Row(day, b.plu, b.text, b.group, sold, sold * price, Decimal(0), b.serve))
        if b.serve in HAPPY and b.menu == "main" and day.weekday() < 5:
            more = _count(rng, 2.2)
            if more:
                plu, text = HAPPY_PLU[b.serve]
                rows.append(Row(day, plu, text, b.group, more, more * HAPPY[b.serve], Decimal(0), b.serve))
        if rng.random() < 0.035:
            rows.append(Row(day, b.plu, b.text, b.group, -1, -price, Decimal(0), b.serve, "V"))
        if rng.random() < 0.03:
            rows.append(Row(day, b.plu, b.text, b.group, 1, price, price, b.serve, "C"))
    if rng.random() < 0.45:
        price = printed("draught-lager", "main", day) or Decimal(0)
        rows.append(Row(day, "211", "LAGER DRAUGHT 0,4", "Beer", 2, 2 * price, 2 * price, "draught-lager", "S"))
    if rng.random() < 0.12:
        rows.append(Row(day, "951", "NO ICE", "Modifier", 1, Decimal(0), Decimal(0)))
    for plu, text, amount in HOUSE_KEYS:
        if rng.random() < 0.10:
            rows.append(Row(day, plu, text, "House", 1, amount, Decimal(0), taxed=plu != "901"))
    return rows


def all_rows() -> dict[date, list[Row]]:
    """Every row of the twelve weeks by the Monday of its week."""
    rng = Random(SEED)
    out: dict[date, list[Row]] = {}
    for week in range(WEEKS):
        monday = FIRST + timedelta(weeks=week)
        out[monday] = [row for n in range(7) for row in _day(rng, monday + timedelta(days=n))]
    return out


def week_text(monday: date, rows: list[Row]) -> str:
    """One week's file: two lines of heading, the rows with a subtotal a day, and a total."""
    sunday = monday + timedelta(days=6)
    lines = ["Saltlantern Bar,item sales by business day", f"Period,{monday},{sunday}", "", ",".join(HEADER)]
    for n in range(7):
        day = monday + timedelta(days=n)
        lines += [_quoted(row.cells()) for row in rows if row.day == day]
        lines.append(_quoted(_sum(f"Subtotal {day}", [row for row in rows if row.day == day])))
    lines.append(_quoted(_sum("TOTAL", rows)))
    return "\r\n".join(lines) + "\r\n"


def _sum(name: str, rows: list[Row]) -> tuple[str, ...]:
    money = [(r.gross, r.discount, r.net, r.service, r.vat) for r in rows]
    sums = [sum((m[n] for m in money), Decimal(0)) for n in range(5)]
    return (name, "", "", "", str(sum(r.qty for r in rows)), *(f"{s:.2f}" for s in sums), "")


def _quoted(cells: tuple[str, ...]) -> str:
    return ",".join(f'"{c}"' if "," in c else c for c in cells)


def made(first: date, last: date) -> dict[str, int]:
    """Drinks made by serve from ``first`` to ``last``: sold, given away and staff, without what was taken back."""
    out: dict[str, int] = {}
    for rows in all_rows().values():
        for row in rows:
            if row.serve and first <= row.day <= last:
                out[row.serve] = out.get(row.serve, 0) + row.qty
    return out
