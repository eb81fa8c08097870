"""A year of dated quotes: fresh goods by the month with their season, spirits and dry goods with a few changes."""

from dataclasses import dataclass, field

from sample_data.forms import OPENED, Plain, kept
from sample_data.goods import CASKS, DRY, NORTH, OWN

MONTHS = (
    "2025-12-01", "2026-01-05", "2026-02-02", "2026-03-02", "2026-04-01", "2026-05-04",
    "2026-06-01", "2026-07-01", "2026-08-03", "2026-09-01", "2026-10-05", "2026-11-02",
)  # fmt: skip


@dataclass(frozen=True)
class Offer:
    """One pack that a supplier sells: code, what is in it, and its dated prices (day, price of the whole pack)."""

    good: str
    supplier: str
    code: str
    content: str
    prices: tuple[tuple[str, str], ...]
    levels: tuple[int, ...] = ()
    gtin: str = ""
    currency: str = "EUR"

    more: Plain = field(default_factory=dict)


def gtin(number: int) -> str:
    """A 13-digit number of the range 200-299, which GS1 leaves to use inside one company; check digit by GS1."""
    data = f"29{number:010d}"
    total = sum(int(d) * (3 if n % 2 == 0 else 1) for n, d in enumerate(reversed(data)))
    return data + str(-total % 10)


def monthly(ident: str, code: str, content: str, prices: str, levels: tuple[int, ...] = (), **more: object) -> Offer:
    """A fresh good of the quay: one price a month from December to November."""
    given = prices.split()
    return Offer(ident, NORTH, code, content, tuple(zip(MONTHS, given, strict=True)), levels, more=dict(more))


def dated(
    ident: str, supplier: str, code: str, content: str, prices: str, levels: tuple[int, ...] = (), **more: object
) -> Offer:
    """A good with a few prices: "79.80 2026-08-01:84.00"; the first holds from the day the book opened, and
    "2026-07-01/2026-07-31:43.20" is an offer that ends."""
    rows = []
    for text in prices.split():
        day, _, price = text.rpartition(":")
        rows.append((day or OPENED, price))
    barcode = gtin(int(code.split("-")[1])) if supplier in (CASKS, DRY) else ""
    return Offer(ident, supplier, code, content, tuple(rows), levels, barcode, more=dict(more))


FRESH = [
    monthly("pineapple", "NQ-101", "8 kg", "22.00 21.60 21.20 21.60 22.40 22.80 23.20 23.20 22.00 20.80 20.80 21.40"),
    monthly("lemon", "NQ-102", "10 kg", "24.00 24.50 23.80 23.80 24.60 25.60 26.40 27.00 28.20 27.80 26.20 24.80",
            breaks=[{"packs": "5", "price": "22.90"}]),
    monthly("lime", "NQ-103", "4 kg", "11.60 11.20 11.80 12.60 13.40 13.20 12.00 10.80 10.40 10.60 11.00 11.40"),
    monthly("orange", "NQ-104", "10 kg", "17.80 17.20 16.80 17.00 17.80 18.80 20.20 21.40 22.00 21.60 20.20 18.40"),
    monthly("cucumber", "NQ-105", "0.4 kg", "8.70 8.40 9.30 8.90 7.70 6.60 5.80 5.40 5.40 5.80 7.20 8.20", (12,)),
    monthly("apple", "NQ-106", "13 kg", "19.50 19.80 20.20 20.80 21.60 22.60 23.40 24.40 23.00 18.20 17.40 18.60"),
    monthly("ginger", "NQ-107", "5 kg", "17.50 17.00 16.50 16.50 17.00 17.80 18.60 19.20 19.00 18.40 17.80 17.40"),
    monthly("rosemary", "NQ-108", "0.1 kg", "11.00 11.60 11.60 10.40 9.00 8.00 7.60 7.60 7.60 8.00 9.00 10.40", (10,)),
    monthly("dill", "NQ-109", "0.1 kg", "12.40 13.00 13.20 11.80 10.00 8.60 7.80 7.60 7.60 8.20 9.80 11.80", (10,)),
    monthly("mint", "NQ-110", "0.1 kg", "12.00 12.80 12.80 11.20 9.60 8.40 7.60 7.40 7.40 8.00 9.40 11.20", (10,)),
    monthly("mint-sprig", "NQ-111", "60 each", "7.80 8.20 8.20 7.40 6.60 6.00 5.60 5.40 5.40 5.80 6.40 7.40"),
    monthly("lemon-leaf", "NQ-112", "50 each", "6.00 6.00 6.20 6.40 6.40 6.00 5.60 5.60 5.60 5.80 6.00 6.00"),
    monthly("milk", "NQ-120", "1 l", "12.60 12.60 12.60 12.48 12.24 11.88 11.76 11.76 12.00 12.24 12.48 12.60", (12,)),
    monthly("butter", "NQ-121", "0.25 kg", "45.00 45.00 44.20 43.60 42.80 42.00 42.00 43.00 44.00 45.60 46.40 47.20",
            (20,)),
    monthly("egg-white", "NQ-122", "1 l", "33.00 33.00 33.60 34.20 33.60 32.40 31.80 31.80 31.80 32.40 33.00 33.60",
            (6,)),
    monthly("pineapple-crisp", "NQ-130", "40 each", "9.60 9.60 9.60 9.60 9.60 9.60 9.90 9.90 9.90 9.90 10.20 10.20"),
    Offer("walnut", NORTH, "NQ-115", "5 kg", ((OPENED, "24.00"), ("2026-06-15", "21.00"), ("2026-08-17", "25.50"))),
]  # fmt: skip

BOTTLES = [
    dated("white-rum", CASKS, "RC-201", "0.7 l", "78.00 2026-01-05:79.80 2026-08-01:84.00", (6,)),
    dated("dark-rum", CASKS, "RC-202", "0.7 l", "92.40 2026-03-02:94.50 2026-08-01:97.80", (6,)),
    dated("dry-gin", CASKS, "RC-203", "1 l", "97.20 2026-01-05:99.00 2026-09-01:102.60", (6,),
          charges=[{"name": "Freight", "amount": "3.00"}]),
    dated("grain-vodka", CASKS, "RC-204", "1 l", "72.00 2026-05-04:74.40", (6,),
          breaks=[{"packs": "3", "price": "70.20"}, {"packs": "10", "price": "67.80"}]),
    dated("rye-whisky", CASKS, "RC-205", "0.7 l", "117.60 2026-04-01:121.80 2026-10-05:124.20", (6,)),
    dated("pear-brandy", CASKS, "RC-206", "0.7 l", "90.30 2026-01-05:92.40 2026-10-05:95.40", (6,)),
    dated("neutral-spirit", CASKS, "RC-207", "5 l", "92.50 2026-06-01:95.00"),
    dated("orange-liqueur", CASKS, "RC-208", "0.7 l", "87.00 2026-04-01:88.80 2026-08-01:91.20", (6,)),
    dated("herb-liqueur", CASKS, "RC-209", "0.7 l", "84.60 2026-03-02:86.40 2026-09-01:88.20", (6,)),
    dated("bitter-aperitif", CASKS, "RC-210", "1 l", "75.00 2026-05-04:76.80 2026-11-02:78.60", (6,)),
    dated("aromatic-bitters", CASKS, "RC-211", "0.2 l", "129.00 2026-06-01:132.00", (12,)),
    dated("fino", CASKS, "RC-220", "0.75 l", "65.40 2026-01-05:66.60 2026-09-01:69.00", (12,),
          free={"paid": "11", "free": "1"}),
    dated("red-vermouth", CASKS, "RC-221", "0.75 l",
          "46.80 2026-04-01:48.00 2026-07-01/2026-07-31:43.20 2026-10-05:49.20", (6,)),
    dated("white-vermouth", CASKS, "RC-222", "0.75 l", "45.60 2026-04-01:46.80", (6,)),
    dated("white-wine", CASKS, "RC-230", "0.75 l", "33.60 2026-02-02:34.20 2026-05-04:34.80 2026-09-01:36.00", (6,)),
    dated("red-wine", CASKS, "RC-231", "0.75 l", "37.20 2026-02-02:37.80 2026-09-01:39.60", (6,)),
    dated("sparkling-wine", CASKS, "RC-232", "0.75 l", "45.00 2026-05-04:46.20 2026-11-02:48.00", (6,)),
    dated("keg-lager", CASKS, "RC-240", "30 l", "76.50 2026-02-02:78.00 2026-07-01:79.80 2026-11-02:82.50",
          deposit="30.00", breaks=[{"packs": "6", "price": "74.00"}]),
    dated("soft-lager", CASKS, "RC-241", "0.33 l", "17.28 2026-04-01:17.76 2026-09-01:18.24", (4, 6), deposit="3.42"),
    dated("soda-water", CASKS, "RC-250", "0.75 l", "8.40 2026-04-01:8.64", (12,), deposit="3.30"),
    dated("still-water", CASKS, "RC-251", "0.5 l", "11.40 2026-04-01:11.80", (20,), deposit="4.50"),
]  # fmt: skip

DRY_GOODS = [
    dated("smoked-tea", DRY, "CS-301", "0.5 kg", "17.00 2026-01-05:17.40 2026-07-01:18.20"),
    dated("coffee", DRY, "CS-302", "1 kg", "108.00 2026-02-02:112.20 2026-06-01:118.80 2026-10-05:115.20", (6,)),
    dated("cocoa-nibs", DRY, "CS-303", "1 kg", "16.80 2026-03-02:18.40 2026-09-01:17.60"),
    dated("hazelnut", DRY, "CS-304", "5 kg", "68.00 2026-05-04:71.00 2026-10-05:66.50"),
    dated("salt", DRY, "CS-305", "1 kg", "9.60", (12,)),
    dated("sugar", DRY, "CS-306", "25 kg", "28.00 2026-01-05:28.75 2026-10-05:27.50"),
    dated("cane-sugar", DRY, "CS-307", "1 kg", "24.00 2026-03-02:25.20 2026-08-03:24.80", (10,)),
    dated("honey", DRY, "CS-308", "12.5 kg", "98.00 2026-02-02:101.00 2026-08-03:95.00"),
    dated("citric", DRY, "CS-309", "1 kg", "9.28 2026-01-05:9.52 2026-07-01:9.88", tax="inc", tax_rate="0.19"),
    dated("malic", DRY, "CS-310", "1 kg", "10.40 2026-06-01:10.90"),
    dated("yeast", DRY, "CS-314", "0.1 kg", "6.40"),
    dated("pectinase", DRY, "CS-311", "0.25 l", "21.50"),
    dated("olive", DRY, "CS-312", "120 each", "9.80 2026-04-01:10.20"),
    dated("wild-cherry", DRY, "CS-313", "90 each", "14.50 2026-06-01:15.20"),
    dated("water", DRY, "CS-320", "1000 kg", "4.10 2026-01-05:4.20"),
    dated("co2", DRY, "CS-321", "10 kg", "37.00 2026-01-05:38.00 2026-07-01:39.50", deposit="60.00"),
    dated("clear-ice", DRY, "CS-322", "100 each", "20.50 2026-01-05:21.00 2026-07-01:22.50"),
    dated("cracked-ice", DRY, "CS-323", "100 each", "5.80 2026-01-05:6.00 2026-07-01:6.40"),
    dated("straw", DRY, "CS-330", "500 each", "14.00 2026-05-04:13.50"),
    dated("napkin", DRY, "CS-331", "500 each", "60.00 2026-05-04:62.00", (10,)),
    dated("pick", DRY, "CS-332", "1000 each", "9.00"),
    dated("cloth", DRY, "CS-333", "50 each", "27.50 2026-04-01:28.50"),
    dated("coffee-filter", DRY, "CS-334", "1000 each", "21.00"),
    dated("flip-bottle", DRY, "CS-335", "100 each", "16.00"),
    # the same goods from somebody else: kept for comparison, beaten by the preferred supplier
    dated("lemon", DRY, "CS-350", "5 kg", "14.90 2026-04-01:15.40 2026-08-03:16.80 2026-11-02:15.20"),
    dated("orange", DRY, "CS-351", "5 kg", "11.20 2026-05-04:11.90 2026-09-01:12.60"),
    dated("grain-vodka", DRY, "CS-352", "0.7 l", "54.60 2026-06-01:55.80", (6,), tax="unknown"),
    Offer("orange-liqueur", DRY, "CS-353", "0.7 l", (("2026-02-02", "78.00"), ("2026-09-01", "76.50")), (6,),
          gtin(353), "CHF", more={"note": "In francs, by a dated rate; another supplier is preferred"}),
]  # fmt: skip

RATES = [
    dated("hand", OWN, "", "1 h", "18.80 2026-01-05:19.50 2026-07-01:20.10"),
    dated("lead-hand", OWN, "", "1 h", "23.00 2026-01-05:23.80 2026-07-01:24.50"),
    dated("bar-hand", OWN, "", "1 h", "19.60 2026-01-05:20.40 2026-07-01:21.00"),
    dated("still-hour", OWN, "", "1 h", "1.94"),
    dated("spin-hour", OWN, "", "1 h", "0.80"),
    dated("oven-hour", OWN, "", "1 h", "0.60"),
    dated("dryer-hour", OWN, "", "1 h", "0.15"),
    dated("freezer-hour", OWN, "", "1 h", "0.12"),
    dated("gas-rig-hour", OWN, "", "1 h", "0.90"),
    dated("current", OWN, "", "1 kwh", "0.30 2026-01-05:0.31 2026-10-05:0.29"),
]

OFFERS: tuple[Offer, ...] = (*FRESH, *BOTTLES, *DRY_GOODS, *RATES)
SOURCES = {NORTH: "week list", CASKS: "price list", DRY: "price list", OWN: "house rates"}


def _quotes(offer: Offer) -> list[Plain]:
    out = []
    for span, price in offer.prices:
        day, _, until = span.partition("/")
        out.append(
            {"id": f"{offer.good}-{day}-{offer.supplier}", "good": offer.good, "supplier": offer.supplier}
            | {"content": offer.content, "price": price, "currency": offer.currency, "since": day}
            | kept(until=until, levels=list(offer.levels), code=offer.code, gtin=offer.gtin, **offer.more)
            | {"source": f"{SOURCES[offer.supplier]} {day}"}
        )
    return out


QUOTES: list[Plain] = [quote for offer in OFFERS for quote in _quotes(offer)]
