"""The house itself, suppliers, machines, glasses, techniques, serves and the two menus."""

from sample_data.forms import OPENED, Plain, add, fact, kept, stage
from sample_data.goods import CASKS, DRY, MILK, NORTH, NUTS, OWN

HOUSE: Plain = {
    "name": "Saltlantern Bar",
    "currency": "EUR",
    "labour": "hand",
    "measures": {"dash": fact("0.8 ml", "scales", "mean of 40 dashes"), "barspoon": "5 ml", "splash": "~6 ml"},
    "standard_drink": "10 g",
    "permit": "HB 114, an invented one",
    "permit_until": "2027-12-31",
    "prep_hours": "24",
    "note": "An invented hotel bar in an invented harbour town.",
    "terms": [
        {"since": OPENED,
         "levies": [{"name": "Service", "rate": "0.05"}, {"name": "VAT", "rate": "0.18", "on": "running"}],
         "points": {"step": "0.50"}, "policy": {"kind": "pour_cost", "value": "0.15"}},
        {"since": "2026-04-01",
         "levies": [{"name": "Service", "rate": "0.05"}, {"name": "VAT", "rate": "0.19", "on": "running"}],
         "points": {"step": "0.50"}, "policy": {"kind": "pour_cost", "value": "0.15"}},
    ],
}  # fmt: skip
HOUSE = kept(**HOUSE)

SUPPLIERS: list[Plain] = [
    {"id": NORTH, "name": "North Quay Fruit", "tax": "ex", "tax_rate": "0.07", "freight": "6.00", "free_from": "60.00",
     "minimum": "25.00", "names": ["North Quay Fruit Growers", "XH100200100"],
     "note": "Fruit, herbs, dairy and eggs; six mornings a week"},
    {"id": CASKS, "name": "Ropewalk Casks", "tax": "ex", "tax_rate": "0.19", "freight": "12.00", "free_from": "300.00",
     "minimum": "100.00", "names": ["XH100200300"], "note": "Spirits, wine and beer; Tuesdays"},
    {"id": DRY, "name": "Customs Street Dry Store", "tax": "ex", "tax_rate": "0.19", "freight": "7.50",
     "free_from": "120.00", "minimum": "40.00", "names": ["XH100200500"],
     "note": "Dry goods, gas, ice and consumables; Thursdays"},
    {"id": OWN, "name": "House rates", "note": "Hours and energy at the house's own rates"},
]  # fmt: skip


def _left(name: str, label: str) -> Plain:
    return {"name": name, "state": "may_contain", "who": "Head of the stillroom", "since": "2026-01-12", "label": label}


EQUIPMENT: list[Plain] = [
    {"id": "still", "name": "Vacuum still", "hour": "still-hour", "charge": fact("1.6 l", "jug", "fill mark"),
     "hours": "12", "allergens": [_left(NUTS, "Hazelnut runs on Mondays; the glass is washed, the seals are shared")],
     "note": "Energy is inside the hourly rate"},
    {"id": "spinner", "name": "Centrifuge", "hour": "spin-hour", "energy": "current", "power": "1.2 kw",
     "charge": "3.0 kg", "hours": "8", "allergens": [_left(MILK, "Milk punch is spun in the same beakers")]},
    {"id": "oven", "name": "Oven", "hour": "oven-hour", "energy": "current", "power": "~2.4 kw", "charge": "8 kg"},
    {"id": "dryer", "name": "Dryer", "hour": "dryer-hour", "energy": "current", "power": "0.45 kw", "charge": "2 kg"},
    {"id": "freezer", "name": "Directional freezer", "hour": "freezer-hour", "energy": "current", "power": "~0.25 kw",
     "charge": "24 kg"},
    {"id": "gas-rig", "name": "Carbonation rig", "hour": "gas-rig-hour", "charge": "9 l",
     "note": "Rated vessel with relief valve"},
    {"id": "brewer", "name": "Filter brewer", "energy": "current", "power": "2.0 kw", "charge": "2.5 kg"},
]  # fmt: skip

TECHNIQUES: list[Plain] = [
    {"id": "shaken", "name": "Shaken", "dilution": fact("52 %", "scales, in and out", "12 drinks, sd 4 points")},
    {"id": "stirred", "name": "Stirred", "dilution": fact("38 %", "scales, in and out", "10 drinks, sd 3 points")},
    {"id": "built", "name": "Built over ice", "dilution": "~8 %"},
    {"id": "shaken-sober", "name": "Shaken, without alcohol",
     "dilution": fact("36 %", "scales, in and out", "6 drinks; the published curve ends at 12 % vol")},
    {"id": "thrown", "name": "Thrown", "like": "stirred", "note": "Not weighed yet: the curve of a stir stands in"},
    {"id": "poured", "name": "Poured cold", "dilution": "0 %", "note": "Kept cold, no ice melts into it"},
]  # fmt: skip

GLASSES: list[Plain] = [
    {"id": "coupe", "name": "Coupe", "capacity": "180 ml"},
    {"id": "rocks", "name": "Rocks glass", "capacity": "300 ml"},
    {"id": "highball", "name": "Highball", "capacity": "350 ml"},
    {"id": "wine", "name": "Wine glass", "capacity": "420 ml"},
    {"id": "flute", "name": "Flute", "capacity": "170 ml"},
    {"id": "beer", "name": "Beer glass", "capacity": "480 ml"},
    {"id": "cup", "name": "Cup", "capacity": "200 ml"},
]

SHAKE, BLOCK, NAPKIN = add("cracked-ice", "1"), add("cut-ice", "1"), add("napkin", "1")
SPILL = "~3 %"


def build(since: str, technique: str, glass: str, seconds: str, *adds: Plain, note: str = "") -> Plain:
    """One dated build: bartender's time, a napkin with every drink."""
    made = stage("build", "build", *adds, NAPKIN, labour="bar-hand")
    out: Plain = {"since": since, "technique": technique, "seconds": seconds, "build": made}
    return out | kept(glass=glass, note=note)


def serve(ident: str, name: str, *versions: Plain) -> Plain:
    """One drink as sold."""
    return {"id": ident, "name": name, "versions": list(versions)}


def _sour(since: str, *more: Plain) -> Plain:
    return build(since, "shaken", "coupe", "90 s", add("white-rum", "50 ml", SPILL), add("lemon-juice", "25 ml"),
                 add("tea-cordial", "20 ml"), *more, SHAKE, add("lemon-leaf", "1"))  # fmt: skip


SIGNATURES = [
    serve("harbour-light", "Harbour Light", build(
        OPENED, "shaken", "coupe", "90 s", add("pineapple-distillate", "45 ml", SPILL), add("lemon-juice", "20 ml"),
        add("tea-cordial", "15 ml"), SHAKE, add("pineapple-crisp", "1"))),
    serve("tide-table", "Tide Table", build(
        OPENED, "stirred", "rocks", "90 s", add("dry-gin", "50 ml", SPILL), add("fino", "20 ml"),
        add("cucumber-water", "10 ml"), BLOCK, add("lemon-leaf", "1"))),
    serve("quay-walnut", "Quay Walnut", build(
        "2026-06-15", "stirred", "rocks", "90 s", add("walnut-mother", "35 ml", SPILL),
        add("pineapple-distillate", "15 ml", SPILL), add("tea-cordial", "1 barspoon"), BLOCK)),
    serve("breakwater-punch", "Breakwater Punch", build(
        OPENED, "built", "rocks", "35 s", add("milk-punch", "130 ml", "~1 %"), BLOCK, add("lemon-wheel", "1"))),
    serve("salt-stair", "Salt Stair", build(
        OPENED, "stirred", "coupe", "80 s", add("herb-gin", "55 ml", SPILL), add("white-vermouth", "15 ml"),
        add("saline", "2 dashes"), SHAKE, add("olive", "1"), add("pick", "1"))),
    serve("second-tide", "Second Tide", build(
        OPENED, "poured", "wine", "45 s", add("marc-rinse", "60 ml"), add("bitter-aperitif", "15 ml", SPILL),
        add("sparkling-wine", "80 ml", "~5 %"), add("orange-twist", "1"))),
    serve("night-ferry", "Night Ferry", build(
        OPENED, "shaken", "coupe", "95 s", add("hazelnut-distillate", "25 ml", SPILL),
        add("dark-rum", "30 ml", SPILL), add("house-coffee", "35 ml"), add("rich-syrup", "15 ml"), SHAKE)),
]  # fmt: skip

CLASSICS = [
    serve("lamplighter-sour", "Lamplighter Sour", _sour(OPENED), _sour("2026-05-04", add("egg-white", "15 ml"))),
    serve("lantern-highball", "Lantern Highball", build(
        OPENED, "poured", "highball", "30 s", add("highball-batch", "220 ml", "~2 %"), BLOCK, add("lemon-wheel", "1"),
        add("straw", "1"))),
    serve("ropewalk", "Ropewalk", build(
        OPENED, "stirred", "rocks", "80 s", add("butter-rum", "55 ml", SPILL), add("rich-syrup", "4 ml"),
        add("orange-liqueur", "1 barspoon"), add("aromatic-bitters", "2 dashes"), BLOCK, add("orange-twist", "1"))),
    serve("coopers-row", "Coopers' Row", build(
        OPENED, "thrown", "coupe", "85 s", add("rye-whisky", "60 ml", SPILL), add("cocoa-vermouth", "25 ml"),
        add("herb-liqueur", "1 barspoon"), add("aromatic-bitters", "1 dash"), SHAKE, add("wild-cherry", "1"),
        add("pick", "1"))),
    serve("ginger-wharf", "Ginger Wharf", build(
        OPENED, "built", "highball", "60 s", add("grain-vodka", "45 ml", SPILL), add("ginger-juice", "12 ml"),
        add("lime-juice", "20 ml"), add("honey-syrup", "15 ml"), add("ginger-ferment", "50 ml"),
        add("soda-water", "40 ml"), add("cracked-ice", "1"),
        add("mint-sprig", "1"), add("straw", "1"))),
]  # fmt: skip

SOBER = [
    serve("pier-cooler", "Pier Cooler", build(
        OPENED, "built", "highball", "40 s", add("cooler-base", "180 ml"), BLOCK, add("lemon-leaf", "1"),
        add("straw", "1"))),
    serve("chart-room", "Chart Room", build(
        OPENED, "shaken-sober", "rocks", "85 s", add("apple-reduction", "25 ml"), add("lemon-juice", "15 ml"),
        add("ginger-juice", "6 ml"), add("tea-cordial", "10 ml"), add("cucumber-water", "55 ml"), SHAKE,
        add("lemon-wheel", "1"))),
]  # fmt: skip

PLAIN_SERVES = [
    serve("glass-white", "White wine, glass", build(
        OPENED, "poured", "wine", "20 s", add("white-wine", "150 ml", "~4 %"))),
    serve("glass-red", "Red wine, glass", build(OPENED, "poured", "wine", "20 s", add("red-wine", "150 ml", "~4 %"))),
    serve("glass-sparkling", "Sparkling wine, glass", build(
        OPENED, "poured", "flute", "25 s", add("sparkling-wine", "120 ml", "~6 %"))),
    serve("draught-lager", "Harbour lager, 0.4 l", build(
        OPENED, "poured", "beer", "30 s", add("keg-lager", "400 ml", fact("7 %", "scales", "drip trays, one week")))),
    serve("soft-lager-bottle", "Lager without alcohol, 0.33 l", build(
        OPENED, "poured", "beer", "20 s", add("soft-lager", "1"))),
    serve("cup-coffee", "Cup of coffee", build(OPENED, "poured", "cup", "25 s", add("house-coffee", "160 ml", "~8 %"))),
    serve("table-water", "Table water, 0.5 l", build(OPENED, "poured", "", "15 s", add("still-water", "1"))),
]  # fmt: skip

SERVES: list[Plain] = [*SIGNATURES, *CLASSICS, *SOBER, *PLAIN_SERVES]
COCKTAILS = tuple(s["id"] for s in (*SIGNATURES, *CLASSICS, *SOBER))


def line(ident: str, prices: str, first: str = OPENED, target: str = "") -> Plain:
    """A serve with the prices it was printed at: "15.50 2026-07-01:16.50", and a pour cost of its own to aim at."""
    rows = [text.rpartition(":") for text in prices.split()]
    policy = {"kind": "pour_cost", "value": target} if target else {}
    return {"serve": ident, "prices": [{"since": day or first, "price": price} for day, _, price in rows]} | kept(
        policy=policy
    )


def section(name: str, kind: str, value: str, *lines: Plain) -> Plain:
    """A heading with its target; no kind leaves it to the house's."""
    return {"name": name, "lines": list(lines)} | kept(policy={"kind": kind, "value": value} if kind else {})


MENUS: list[Plain] = [
    {"id": "main", "name": "Main menu", "sections": [
        section("Signatures", "", "",
                line("harbour-light", "15.50 2026-07-01:16.50", target="0.18"), line("tide-table", "12.50"),
                line("quay-walnut", "14.50", "2026-06-15"), line("breakwater-punch", "12.50"),
                line("salt-stair", "14.50"), line("second-tide", "12.50"), line("night-ferry", "13.00")),
        section("House classics", "pour_cost", "0.17",
                line("lamplighter-sour", "12.50 2026-05-04:13.00"), line("lantern-highball", "12.50"),
                line("ropewalk", "14.00"), line("coopers-row", "14.50 2026-10-05:15.00"),
                line("ginger-wharf", "12.50")),
        section("Without alcohol", "margin", "5.50", line("pier-cooler", "8.00"), line("chart-room", "8.00")),
        section("Wine and beer", "pour_cost", "0.25",
                line("glass-white", "7.00 2026-09-01:7.50"), line("glass-red", "7.50"), line("glass-sparkling", "9.00"),
                line("draught-lager", "5.50 2026-07-01:6.00"), line("soft-lager-bottle", "4.50")),
        section("Coffee and water", "pour_cost", "0.20", line("cup-coffee", "3.00"), line("table-water", "4.50"))]},
    {"id": "terrace", "name": "Terrace menu", "since": "2026-05-01", "until": "2026-09-30", "sections": [
        section("By the water", "", "",
                line("lantern-highball", "13.00", "2026-05-01"), line("second-tide", "13.00", "2026-05-01"),
                line("ginger-wharf", "13.00", "2026-05-01"), line("pier-cooler", "8.50", "2026-05-01")),
        section("Glasses", "pour_cost", "0.25",
                line("glass-sparkling", "9.50", "2026-05-01"), line("draught-lager", "6.50", "2026-05-01"))]},
]  # fmt: skip

SCENARIOS: list[Plain] = [
    {"id": "dearer-casks", "name": "Dearer casks", "since": "2026-11-22",
     "supposed": [{"sort": "supplier", "target": CASKS, "value": "0.06"}],
     "note": "What the casks' new list might do"},
    {"id": "dear-fruit", "name": "Dear fruit, one point up", "since": "2026-11-22",
     "supposed": [{"sort": "price", "target": "pineapple", "value": "0.25"},
                  {"sort": "menu price", "target": "main", "value": "17.50", "part": "harbour-light", "how": "to"}]},
]  # fmt: skip
