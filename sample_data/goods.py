"""What the bar buys: goods with composition, bridges and what each label says of allergens. No brands."""

from sample_data.forms import Plain, fact, kept

EU14 = (
    "gluten", "crustaceans", "eggs", "fish", "peanuts", "soya", "milk", "nuts", "celery", "mustard", "sesame",
    "sulphites", "lupin", "molluscs",
)  # fmt: skip
GLUTEN, EGGS, MILK, NUTS, CELERY = "gluten", "eggs", "milk", "nuts", "celery"
SO2, SOY, SESAME = "sulphites", "soya", "sesame"
NORTH, CASKS, DRY, OWN = "north-quay", "casks", "dry-store", "house"
SHEETS = {
    NORTH: ("North Quay Fruit, quality desk", "2025-11-17", "produce statement 25/11"),
    CASKS: ("Ropewalk Casks, technical desk", "2025-11-20", "specification sheet"),
    DRY: ("Customs Street Dry Store, quality desk", "2025-11-12", "pack label and specification"),
    OWN: ("Head of the stillroom", "2025-12-01", "house statement"),
}


def sheet(
    supplier: str, *, contains: tuple[str, ...] = (), may: tuple[str, ...] = (), silent: tuple[str, ...] = ()
) -> list[Plain]:
    """One supplier's sheet: what it contains, may contain, and all else free; nothing is said of ``silent``."""
    who, since, label = SHEETS[supplier]
    out = []
    for name in EU14:
        state = "contains" if name in contains else "may_contain" if name in may else "free"
        if name not in silent:
            out.append({"name": name, "state": state, "who": who, "since": since, "label": label})
    return out


def good(ident: str, name: str, kind: str, base: str, makeup: Plain | None = None, **fields: object) -> Plain:
    """One good."""
    return {"id": ident, "name": name, "kind": kind, "base": base} | kept(makeup=makeup or {}, **fields)


def drink(ident: str, name: str, kind: str, makeup: Plain, **more: object) -> Plain:
    """A bottled drink from the casks."""
    said = {"preferred": CASKS, "allergens": sheet(CASKS)} | more
    return good(ident, name, kind, "l", makeup, **said)


def fresh(ident: str, name: str, water: str, solubles: str, **more: object) -> Plain:
    """Fruit or herb by weight; water by USDA SR28, solubles = 100 - water - fibre - fat where not told otherwise."""
    makeup: Plain = {"water": water, "solubles": solubles}
    if "acid" in more:
        makeup["acid"] = more.pop("acid")
    said = {"preferred": NORTH, "allergens": sheet(NORTH)} | more
    kind = str(said.pop("kind", "fruit"))
    return good(ident, name, kind, "kg", makeup, **said)


def store(ident: str, name: str, kind: str, makeup: Plain | None = None, **more: object) -> Plain:
    """Dry goods by weight."""
    said = {"preferred": DRY, "allergens": sheet(DRY)} | more
    return good(ident, name, kind, str(said.pop("base", "kg")), makeup, **said)


WINE = sheet(CASKS, contains=(SO2,))
BARLEY = sheet(CASKS)  # distillates of cereals are named among the exemptions of the annex, so the sheet says free

DRINKS = [
    drink("white-rum", "White rum 40 %", "spirit", {"abv": fact("40 % vol", "label")}),
    drink("dark-rum", "Dark rum 42 %", "spirit", {"abv": fact("42 % vol", "label"), "sugar": fact("~4 g/l")}),
    drink("dry-gin", "Dry gin 43 %", "spirit", {"abv": fact("43 % vol", "label")}, allergens=BARLEY),
    drink("grain-vodka", "Grain vodka 40 %", "spirit", {"abv": fact("40 % vol", "label")}, allergens=BARLEY),
    drink("rye-whisky", "Rye whisky 46 %", "spirit", {"abv": fact("46 % vol", "label")}, allergens=BARLEY),
    drink("pear-brandy", "Pear brandy 50 %", "spirit", {"abv": fact("50 % vol", "label")}),
    drink("neutral-spirit", "Neutral spirit 96 %", "spirit", {"abv": fact("96 % vol", "label")}),
    drink("orange-liqueur", "Bitter orange liqueur 40 %", "liqueur",
          {"abv": fact("40 % vol", "label"), "sugar": fact("230 g/l", "label")},
          note="Also offered in CHF by another supplier; that quote is kept for comparison"),
    drink("herb-liqueur", "Coast herb liqueur 35 %", "liqueur",
          {"abv": fact("35 % vol", "label"), "sugar": fact("~250 g/l")},
          density=fact("1.0395 kg/l", "scales, 100 ml flask at 20 C, 3 fillings"),
          allergens=sheet(CASKS, may=(CELERY,))),
    drink("bitter-aperitif", "Bitter root aperitif 15 %", "liqueur",
          {"abv": fact("15 % vol", "label"), "sugar": fact("180 g/l", "label")}),
    drink("aromatic-bitters", "Aromatic bitters 44 %", "liqueur", {"abv": fact("44 % vol", "label")},
          allergens=sheet(CASKS, silent=(CELERY, NUTS)), note="The label is silent about celery and nuts; asked"),
    drink("fino", "Dry fortified wine 15 %", "wine",
          {"abv": fact("15 % vol", "label"), "sugar": "~3 g/l", "acid": "~4.5 g/l", "so2": fact("110 mg/l", "label")},
          allergens=WINE),
    drink("red-vermouth", "Red vermouth 16 %", "wine",
          {"abv": fact("16 % vol", "label"), "sugar": fact("150 g/l", "label"), "acid": "~4 g/l", "so2": "~90 mg/l"},
          allergens=WINE),
    drink("white-vermouth", "Dry white vermouth 18 %", "wine",
          {"abv": fact("18 % vol", "label"), "sugar": fact("32 g/l", "label"), "acid": "~5 g/l", "so2": "~100 mg/l"},
          allergens=WINE),
    drink("white-wine", "House white wine 12.5 %", "wine",
          {"abv": fact("12.5 % vol", "label"), "sugar": "~4 g/l", "acid": "~6 g/l", "so2": "~120 mg/l"},
          allergens=WINE),
    drink("red-wine", "House red wine 13.5 %", "wine",
          {"abv": fact("13.5 % vol", "label"), "sugar": "~3 g/l", "acid": "~5 g/l", "so2": "~90 mg/l"},
          allergens=sheet(CASKS, contains=(SO2,), may=(EGGS, MILK))),
    drink("sparkling-wine", "House sparkling wine 11.5 %", "wine",
          {"abv": fact("11.5 % vol", "label"), "sugar": fact("9 g/l", "label"), "acid": "~6 g/l", "so2": "~110 mg/l"},
          allergens=WINE),
    drink("keg-lager", "Harbour lager, keg 4.9 %", "beer", {"abv": fact("4.9 % vol", "label"), "sugar": "~30 g/l"},
          allergens=sheet(CASKS, contains=(GLUTEN,)), note="Sugar stands for all extract that is left"),
    drink("soft-lager", "Bottled lager without alcohol", "beer",
          {"abv": fact("0.4 % vol", "label"), "sugar": "~35 g/l"},
          allergens=sheet(CASKS, contains=(GLUTEN,)), piece=fact("330 ml", "label")),
    drink("soda-water", "Bottled soda water", "water", {"water": "100 %"}, piece=fact("750 ml", "label")),
    drink("still-water", "Bottled table water", "water", {"water": "100 %"}, piece=fact("500 ml", "label")),
]  # fmt: skip

FRESH = [
    fresh("pineapple", "Pineapple", "86 %", "~12.2 %", piece="~1.6 kg", acid="~8 g/kg",
          note="Water by USDA SR28; solubles = 100 - water - fibre - fat, assumed"),
    fresh("lemon", "Lemon", "88.98 %", "~7.9 %", piece="~109 g", acid="~56 g/kg"),
    fresh("lime", "Lime", "88.26 %", "~8.7 %", piece=fact("71 g", "scales, 40 fruit"), acid="~55 g/kg"),
    fresh("orange", "Orange", "86.75 %", "~10.7 %", piece="~180 g", acid="~9 g/kg"),
    fresh("cucumber", "Cucumber", "95.23 %", "~3.5 %", piece="~0.4 kg"),
    fresh("apple", "Cooking apple", "85.56 %", "~11.8 %", piece="~190 g", acid="~7 g/kg"),
    fresh("ginger", "Ginger root", "78.89 %", "~18.4 %"),
    fresh("walnut", "Green walnut", "~80 %", "~8 %", allergens=sheet(NORTH, contains=(NUTS,)),
          note="Picked in June only; frozen for the rest of the year"),
    fresh("rosemary", "Rosemary", "67.77 %", "~12 %", kind="herb"),
    fresh("dill", "Dill", "85.95 %", "~7 %", kind="herb", allergens=sheet(NORTH, may=(CELERY,))),
    fresh("mint", "Mint", "85.55 %", "~6 %", kind="herb"),
    good("lemon-leaf", "Lemon leaf", "garnish", "each", preferred=NORTH, allergens=sheet(NORTH)),
    good("mint-sprig", "Mint sprig", "garnish", "each", preferred=NORTH, allergens=sheet(NORTH)),
    fresh("milk", "Whole milk", "88.1 %", "~8 %", kind="dairy", density=fact("1.031 kg/l", "scales, 1 l flask"),
          allergens=sheet(NORTH, contains=(MILK,)), note="Fat and casein stand as insolubles: they curdle out"),
    fresh("butter", "Butter, unsalted", "16 %", "~2 %", kind="dairy", allergens=sheet(NORTH, contains=(MILK,)),
          note="The fat stands as insoluble: it is skimmed off"),
    good("egg-white", "Egg white, pasteurised", "egg", "l", {"water": "87.6 %", "solubles": "~12.4 %"},
         density=fact("1.036 kg/l", "label"), preferred=NORTH, allergens=sheet(NORTH, contains=(EGGS,))),
    good("pineapple-crisp", "Pineapple crisp", "garnish", "each", preferred=NORTH,
         note="New maker since the autumn: no statement yet, so nothing is stated"),
]  # fmt: skip

DRY_GOODS = [
    store("smoked-tea", "Smoked black tea", "dry", {"water": "~6 %", "solubles": "~34 %"}),
    store("coffee", "Coffee, ground for the filter", "dry", {"water": "~4 %", "solubles": "~28 %"}),
    store("cocoa-nibs", "Roasted cocoa nibs", "dry", {"water": "~3 %", "solubles": "~14 %"},
          allergens=sheet(DRY, may=(NUTS, MILK, SOY), silent=(SESAME,))),
    store("hazelnut", "Hazelnut kernels", "dry", {"water": "5.31 %", "solubles": "~18 %"},
          allergens=sheet(DRY, contains=(NUTS,), may=("peanuts", SESAME))),
    store("salt", "Sea salt, fine", "dry", {"water": "0 %", "solubles": "100 %"}),
    store("sugar", "White sugar", "sugar"),
    store("cane-sugar", "Raw cane sugar", "sugar", {"water": "~1 %", "solubles": "~99 %"}),
    store("honey", "Heather honey", "sugar", {"water": "17.1 %", "solubles": "~82.9 %"}),
    store("citric", "Citric acid, anhydrous", "acid"),
    store("malic", "Malic acid", "acid", {"solubles": "100 %", "acid": "955 g/kg"},
          note="As citric by equivalents: 64.04 / 67.04"),
    store("yeast", "Dry wine yeast", "other", {"water": "~8 %", "solubles": "~92 %"}),
    store("pectinase", "Pectinase, liquid", "other", {"water": "~50 %", "solubles": "~50 %"}),
    store("olive", "Green olive, pitted", "garnish", base="each", allergens=sheet(DRY, may=(NUTS, SO2))),
    store("wild-cherry", "Wild cherry in syrup", "garnish", base="each",
          allergens=sheet(DRY, silent=(SO2, NUTS)), note="Label says nothing of sulphites or kernels"),
    good("water", "Drinking water", "water", "kg", preferred=DRY, allergens=sheet(OWN)),
    good("co2", "Carbon dioxide", "gas", "kg", preferred=DRY, allergens=sheet(DRY)),
    good("clear-ice", "Clear ice block, one drink", "ice", "each", preferred=DRY, allergens=sheet(DRY),
         note="Bought in when the freezer is down; the house cuts its own"),
    good("cracked-ice", "Cracked ice for one shake", "ice", "each", preferred=DRY, allergens=sheet(OWN)),
    store("straw", "Reed straw", "consumable", base="each", allergens=sheet(DRY)),
    store("napkin", "Paper napkin", "consumable", base="each", allergens=sheet(DRY)),
    store("pick", "Wooden pick", "consumable", base="each", allergens=sheet(DRY)),
    store("cloth", "Straining cloth", "consumable", base="each", allergens=sheet(DRY)),
    store("coffee-filter", "Paper filter, one brew", "consumable", base="each", allergens=sheet(DRY)),
    store("flip-bottle", "Swing-top bottle, wear of one filling", "consumable", base="each", allergens=sheet(DRY)),
]  # fmt: skip


def rate(ident: str, name: str, kind: str, base: str, layer: str, note: str = "") -> Plain:
    """A rate of the house: hours and energy."""
    return good(ident, name, kind, base, layer=layer, preferred=OWN, note=note)


RATES = [
    rate("hand", "Prep hand, one hour", "labour", "h", "labour"),
    rate("lead-hand", "Stillroom lead, one hour", "labour", "h", "labour"),
    rate("bar-hand", "Bartender, one hour", "labour", "h", "labour"),
    rate("still-hour", "Vacuum still, one hour", "machine", "h", "machine",
         "Depreciation and upkeep over 1,500 h a year, energy inside"),
    rate("spin-hour", "Centrifuge, one hour", "machine", "h", "machine"),
    rate("oven-hour", "Oven, one hour", "machine", "h", "machine"),
    rate("dryer-hour", "Dryer, one hour", "machine", "h", "machine"),
    rate("freezer-hour", "Directional freezer, one hour", "machine", "h", "machine"),
    rate("gas-rig-hour", "Carbonation rig, one hour", "machine", "h", "machine"),
    rate("current", "Electricity", "energy", "kwh", "energy"),
]  # fmt: skip

GOODS: list[Plain] = [*DRINKS, *FRESH, *DRY_GOODS, *RATES]
