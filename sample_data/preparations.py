"""What the house makes: every stage kind and mechanism, figures with the method that found them, honest marks."""

from sample_data.forms import OPENED, Plain, add, fact, kept, stage

TARED = "scales, vessel tared"


def version(since: str, *stages: Plain, **fields: object) -> Plain:
    """How it is made from a day on."""
    return {"since": since, "stages": list(stages)} | kept(**fields)


def prep(ident: str, name: str, *versions: Plain, **fields: object) -> Plain:
    """One preparation."""
    return {"id": ident, "name": name, "versions": list(versions)} | kept(**fields)


def kg(text: str, how: str = TARED, note: str = "") -> str | Plain:
    """A weighing."""
    return fact(text, how, note)


def _pineapple(since: str, trim: Plain, infuse: Plain, still: Plain, note: str) -> Plain:
    return version(
        since,
        stage("trim", "trim", add("pineapple", kg("6.000 kg", "scales, crates")), active="25 min", **trim),
        stage("roast", "roast", readings={"out.mass": kg("1.950 kg", "scales, tray tared")}, equipment="oven",
              active="5 min", passive="40 min"),
        stage("infuse", "infuse", add("white-rum", "3.000 l"), active="10 min", **infuse),
        stage("distil", "distil", equipment="still", setup="15 min", active="8 min", passive="1.5 h",
              labour="lead-hand", **still),
        stage("proof", "proof", add("water", None), facts={"abv": "45 % vol"}, active="5 min"),
        stage("bottle", "bottle", facts={"holdup": fact("8 g", "scales", "funnel and jug, 5 batches")}, active="4 min"),
        byproducts=[{"id": "marc", "stage": "infuse", "name": "Spent roasted pineapple", "share": "0.02",
                     "method": "what the rinse made of it saves", "computed_on": since}],
        note=note,
    )  # fmt: skip


DISTILLATES = [
    prep("pineapple-distillate", "Roasted pineapple rum distillate",
         _pineapple(
             OPENED,
             {"facts": {"refuse": fact("~49 %", "", "USDA SR28; replace by a house yield test")}},
             {"readings": {"left.mass": kg("1.72 kg less 0.37 kg", "scales, bag weighed empty")}},
             {"facts": {"pressure": fact("50 mbar", "gauge, absolute"), "take": fact("0.420 l", "jug"), "runs": "3",
                        "coolant": fact("-8 C", "thermometer"), "vent": "~0.05 mol", "holdup": "~12 g"}},
             "First house version, trim by the book"),
         _pineapple(
             "2026-04-13",
             {"facts": {"refuse": fact("47 %", "scales", "mean of four crates, 41 fruit")}},
             {"facts": {"exchange": "~92 %"},
              "readings": {"left.mass": kg("1.68 kg less 0.37 kg", "scales, bag weighed empty")}},
             {"facts": {"pressure": fact("55 mbar", "gauge, absolute"), "take": fact("0.420 l", "jug"),
                        "coolant": fact("-10 C", "thermometer"), "holdup": fact("11 g", "scales, 5 runs")}},
             "House yield test; the bag is pressed by hand; runs follow from what the still holds"),
         shelf_days=180),
    prep("herb-gin", "Rosemary and dill gin, distilled again", version(
        OPENED,
        stage("infuse", "infuse", add("dry-gin", "2.000 l"), add("rosemary", "60 g"), add("dill", "90 g"),
              readings={"left.mass": kg("0.232 kg")}, active="12 min"),
        stage("distil", "distil", equipment="still", setup="15 min", active="8 min", passive="1.75 h",
              labour="lead-hand",
              facts={"pressure": fact("60 mbar", "gauge, absolute"), "pot_abv": fact("7 % vol", "density meter"),
                     "coolant": fact("-10 C", "thermometer"), "holdup": fact("12 g", "scales, 3 runs")}),
        stage("proof", "proof", add("water", None), readings={"out.abv": fact("42.0 % vol", "density meter at 20 C")},
              active="6 min"),
        stage("bottle", "bottle", facts={"keep": fact("99 %", "scales, 3 batches")}, active="4 min")),
        shelf_days=180),
    prep("hazelnut-distillate", "Toasted hazelnut distillate", version(
        OPENED,
        stage("toast", "roast", add("hazelnut", "0.500 kg"),
              readings={"out.mass": kg("0.479 kg", "scales, tray tared")}, equipment="oven", active="6 min",
              passive="15 min"),
        stage("infuse", "infuse", add("neutral-spirit", "1.000 l"), add("water", "0.850 kg"),
              facts={"spent_ratio": "~1.55"}, active="10 min", note="Spent weight over that of the toasted nuts"),
        stage("distil", "distil", equipment="still", setup="15 min", active="8 min", passive="1.25 h",
              labour="lead-hand", note="Half charges: it foams",
              facts={"pressure": fact("60 mbar", "gauge, absolute"), "take": fact("0.480 l", "jug"), "runs": "2",
                     "coolant": fact("-10 C", "thermometer"), "vent": "~0.04 mol", "holdup": "~12 g"}),
        stage("proof", "proof", add("water", None), facts={"abv": "45 % vol"}, active="5 min")),
        shelf_days=180,
        exemptions=[{"name": "nuts", "state": "free", "who": "Head of the stillroom, Saltlantern Bar",
                     "since": "2026-01-12", "label": "Distilled; report HB-114 of the harbour laboratory: no nut "
                     "protein found. Guests who ask are told of the nuts all the same"}]),
]  # fmt: skip

JUICES = [
    prep("lemon-juice", "Lemon juice",
         *(version(since,
                   stage("juice", "juice", add("lemon", "2.33 kg"), readings={"out.mass": kg(weight)}, active="8 min",
                         note=note),
                   byproducts=[{"id": "hulls", "stage": "juice", "name": "Lemon hulls", "share": "0.05",
                                "method": "sugar and acid they save in the cordial", "computed_on": since}],
                   density=fact("1.0313 kg/l", "scales, 500 ml flask at 20 C", "agrees with USDA SR28 cup weight"))
           for since, weight, note in ((OPENED, "1.000 kg", ""),
                                       ("2026-06-01", "1.040 kg", "Lever press in place of the hand reamer"))),
         shelf_days=1),
    prep("lime-juice", "Lime juice",
         version(OPENED, stage("juice", "juice", add("lime", "3.00 kg"), readings={"out.mass": kg("1.350 kg")},
                               active="14 min"), density=fact("1.024 kg/l", "scales, 500 ml flask at 20 C")),
         version("2026-05-18", stage("juice", "juice", add("lime", "3.00 kg"), readings={"out.mass": kg("1.455 kg")},
                                     active="14 min", note="Limes warmed and rolled first"),
                 density=fact("1.026 kg/l", "scales, 500 ml flask at 20 C")),
         shelf_days=1),
    prep("ginger-juice", "Ginger juice", version(
        OPENED,
        stage("trim", "trim", add("ginger", "1.500 kg"), facts={"refuse": fact("9 %", "scales")}, active="12 min"),
        stage("press", "press", add("cloth", "1", fixed=True), facts={"yield": "~48 %"},
              readings={"out.mass": kg("0.668 kg")}, setup="5 min", active="15 min")), shelf_days=2),
    prep("sharp-orange", "Orange juice, sharpened to lime", version(
        OPENED,
        stage("juice", "juice", add("orange", "4.200 kg"), readings={"out.mass": kg("2.000 kg")}, active="14 min"),
        stage("strain", "strain", add("cloth", "1", fixed=True), facts={"yield": fact("97 %", "scales, 4 batches")},
              active="3 min"),
        stage("acidify", "acidify", add("citric", "62 g"), add("malic", "38 g"), active="4 min",
              note="Titrated once a crop; about 8 g/l citric to begin with"),
        density=fact("1.071 kg/l", "scales, 500 ml flask at 20 C")), shelf_days=2),
    prep("cucumber-water", "Clarified cucumber water", version(
        OPENED,
        stage("trim", "trim", add("cucumber", "4.20 kg"), facts={"refuse": "~3 %"}, active="10 min"),
        stage("juice", "juice", facts={"yield": "~72 %"}, active="12 min"),
        stage("clarify", "clarify", add("pectinase", "1.5 g", fixed=True), add("cloth", "1", fixed=True),
              facts={"yield": "~90 %"}, readings={"out.mass": kg("2.610 kg"), "left.mass": kg("0.312 kg", "scales, "
                                                                                              "beakers tared")},
              equipment="spinner", setup="8 min", active="6 min", passive="20 min")), shelf_days=2),
    prep("apple-reduction", "Cooking apple reduction", version(
        OPENED,
        stage("trim", "trim", add("apple", "6.00 kg"), facts={"refuse": fact("11 %", "scales", "cores and stems")},
              active="18 min"),
        stage("juice", "juice", facts={"yield": "~66 %"}, active="12 min"),
        stage("clarify", "clarify", add("pectinase", "2 g", fixed=True), facts={"yield": "~88 %"},
              equipment="spinner", setup="8 min", active="6 min", passive="20 min"),
        stage("reduce", "reduce", readings={"out.brix": fact("45.0 Bx", "refractometer at 20 C")},
              equipment="oven", active="6 min", passive="1.5 h"),
        stage("acidify", "acidify", add("malic", "6 g"), active="2 min"),
        stage("bottle", "bottle", facts={"keep": "~97 %"}, active="4 min")), shelf_days=14),
]  # fmt: skip

SYRUPS = [
    prep("acid-blend", "Citrus acid blend, 10 %", version(
        OPENED,
        stage("dissolve", "dissolve", add("water", "0.900 kg"), add("citric", "60 g"), add("malic", "40 g"),
              facts={"holdup": fact("6 g", "scales")}, active="6 min")), shelf_days=60),
    prep("saline", "Saline, 20 % by weight", version(
        OPENED,
        stage("make", "make", add("water", "0.800 kg"), add("salt", "0.200 kg"), facts={"makes": "0.990 kg"},
              active="4 min")), shelf_days=60),
    prep("simple-syrup", "Sugar syrup, one to one", version(
        OPENED,
        stage("dissolve", "dissolve", add("sugar", "5.000 kg"), add("water", "5.000 kg"),
              readings={"out.brix": fact("50.0 Bx", "refractometer at 20 C")}, active="12 min"),
        stage("bottle", "bottle", facts={"keep": fact("99 %", "scales, 6 batches")}, active="8 min")), shelf_days=21),
    prep("rich-syrup", "Raw cane syrup, two to one", version(
        OPENED,
        stage("dissolve", "dissolve", add("cane-sugar", "2.000 kg"), add("water", "1.000 kg"), active="12 min"),
        stage("bottle", "bottle", facts={"holdup": fact("25 g", "scales")}, active="5 min")), shelf_days=21),
    prep("honey-syrup", "Heather honey syrup", version(
        OPENED,
        stage("thin", "proof", add("honey", "1.500 kg"), add("water", None),
              facts={"brix": fact("55 Bx", "refractometer at 20 C"), "holdup": fact("15 g", "scales")},
              active="8 min")), shelf_days=21),
    prep("tea-cordial", "Smoked tea cordial", version(
        OPENED,
        stage("brew", "infuse", add("water", "1.200 kg"), add("smoked-tea", "40 g"),
              readings={"left.mass": kg("138 g")}, active="6 min"),
        stage("dissolve", "dissolve", add("sugar", "900 g"), active="4 min"),
        stage("acidify", "acidify", add("citric", "18 g"), active="1 min"),
        stage("bottle", "bottle", facts={"keep": "~98 %"}, active="5 min")), shelf_days=28),
    prep("lemon-cordial", "Cordial of spent lemon hulls", version(
        OPENED,
        stage("draw", "infuse", add("lemon-juice/hulls", "1.200 kg"), add("sugar", "1.200 kg"),
              add("water", "0.600 kg"), facts={"exchange": "~70 %"}, readings={"left.mass": kg("0.980 kg")},
              active="14 min"),
        stage("acidify", "acidify", add("acid-blend", "180 ml"), active="2 min"),
        stage("bottle", "bottle", facts={"keep": "~98 %"}, active="5 min")), shelf_days=28),
]  # fmt: skip

SPIRITS = [
    prep("walnut-mother", "Walnut mother", version(
        "2026-06-15",
        stage("steep", "infuse", add("walnut-mother", "2.000 l"), add("pear-brandy", "4.200 l"),
              add("walnut", "2.000 kg"), facts={"spent_ratio": "~0.75"},
              readings={"left.mass": kg("1.560 kg"), "out.volume": fact("6.480 l", "jug")}, active="20 min"),
        stage("rest", "rest", facts={"keep": "~98 %"}),
        byproducts=[{"id": "spent", "stage": "steep", "name": "Spent walnuts", "share": "0.04",
                     "method": "replacement cost avoided", "computed_on": "2026-06-15"}])),
    prep("marc-rinse", "Second rinse of the spent pineapple", version(
        OPENED,
        stage("rinse", "rinse", add("pineapple-distillate/marc", "1.300 kg"), add("water", "0.900 kg"),
              facts={"exchange": "~80 %"}, readings={"left.mass": kg("1.190 kg")}, active="10 min"),
        stage("clarify", "clarify", facts={"yield": "~96 %"}, equipment="spinner", setup="8 min", active="4 min",
              passive="15 min"),
        stage("sweeten", "dissolve", add("sugar", "110 g"), active="3 min"),
        stage("bottle", "bottle", facts={"keep": "~98 %"}, active="4 min")), shelf_days=14),
    prep("butter-rum", "Browned butter rum", version(
        OPENED,
        stage("brown", "roast", add("butter", "0.400 kg"), readings={"out.mass": kg("0.338 kg", "scales, pan tared")},
              active="12 min"),
        stage("wash", "wash", add("dark-rum", "2.100 l"), active="6 min", note="Frozen overnight"),
        stage("skim", "strain", add("coffee-filter", "3"), readings={"left.mass": kg("0.462 kg", "scales, tray tared")},
              active="15 min"),
        stage("bottle", "bottle", facts={"keep": fact("99 %", "scales, 3 batches")}, active="4 min")), shelf_days=30),
    prep("milk-punch", "Clarified milk punch", version(
        OPENED,
        stage("blend", "blend", add("white-rum", "1.500 l at 5 C", note="Rum straight from the cold room"),
              add("marc-rinse", "0.400 l"), add("lemon-juice", "0.450 l"), add("tea-cordial", "0.300 l"),
              add("simple-syrup", "0.400 l"), add("water", "0.600 kg"), setup="5 min", active="12 min"),
        stage("wash", "wash", add("milk", "1.000 l"), active="5 min"),
        stage("strain", "strain", add("cloth", "2", fixed=True), readings={"left.mass": kg("0.640 kg")},
              active="15 min"),
        stage("clarify", "clarify", facts={"yield": fact("98 %", "scales, 3 batches")}, equipment="spinner",
              setup="8 min", active="8 min",
              passive="15 min"),
        stage("bottle", "bottle", facts={"keep": fact("98.5 %", "scales, 3 batches")}, active="8 min")), shelf_days=60),
    prep("cocoa-vermouth", "Cocoa nib vermouth", version(
        OPENED,
        stage("infuse", "infuse", add("red-vermouth", "2.250 l"), add("cocoa-nibs", "0.110 kg"),
              readings={"left.mass": kg("0.218 kg")}, active="6 min"),
        stage("bottle", "bottle", facts={"keep": fact("99 %", "scales, 2 batches")},
              readings={"out.abv": fact("15.9 % vol", "distilled sample, 200 ml made up to volume")},
              active="5 min")), shelf_days=45),
]  # fmt: skip

BATCHED = [
    prep("cooler-base", "Cucumber cooler, carbonated", version(
        OPENED,
        stage("dissolve", "dissolve", add("cucumber-water", "2.000 kg"), add("sugar", "180 g"), active="5 min"),
        stage("acidify", "acidify", add("citric", "11.5 g"), active="1 min"),
        stage("carbonate", "carbonate", add("co2", None),
              facts={"co2": "~6 g/l", "t": fact("2 C", "thermometer"), "headspace": "~0.4 l", "purges": "2",
                     "foam": "~4 %"}, equipment="gas-rig", setup="4 min", active="6 min", passive="10 min"),
        stage("bottle", "bottle", add("flip-bottle", "10"), facts={"keep": fact("98.5 %", "scales, 4 batches")},
              active="6 min")), shelf_days=3),
    prep("highball-batch", "Lantern highball, carbonated", version(
        OPENED,
        stage("blend", "blend", add("dry-gin", "1.200 l"), add("bitter-aperitif", "0.350 l"),
              add("sharp-orange", "0.500 l"), add("lemon-cordial", "0.450 l"), add("water", "3.000 kg"),
              setup="5 min", active="8 min"),
        stage("carbonate", "carbonate", add("co2", None),
              facts={"co2": fact("6.8 g/l", "gauge", "by pressure and temperature"), "t": fact("1 C", "thermometer"),
                     "headspace": fact("0.8 l", "jug"), "purges": "3", "foam": "~5 %"}, equipment="gas-rig",
              setup="4 min", active="8 min", passive="15 min"),
        stage("bottle", "bottle", add("flip-bottle", "24"), facts={"keep": fact("98 %", "scales, 5 batches")},
              active="12 min")), shelf_days=7),
    prep("ginger-ferment", "Ginger and honey ferment", version(
        OPENED,
        stage("blend", "blend", add("ginger-juice", "0.200 l"), add("honey", "0.320 kg"), add("water", "2.500 kg"),
              add("yeast", "1 g", fixed=True), active="8 min"),
        stage("ferment", "ferment", facts={"given_off": fact("21 g", "scales", "vessel and airlock, before and after")},
              active="4 min", note="Two days warm, then cold; the lid gives way before the glass does"),
        stage("bottle", "bottle", add("flip-bottle", "6"), facts={"keep": fact("96 %", "scales, 3 batches", "lees")},
              active="8 min")), shelf_days=7),
    prep("house-coffee", "Filter coffee", version(
        OPENED,
        stage("brew", "infuse", add("water", "2.000 kg"), add("coffee", "0.120 kg"), add("coffee-filter", "1"),
              facts={"spent": fact("0.372 kg", TARED)}, equipment="brewer", active="3 min", passive="6 min"))),
]  # fmt: skip

PIECES = [
    prep("cut-ice", "Clear ice, house cut", version(
        OPENED,
        stage("freeze", "make", add("water", "24.0 kg"), equipment="freezer", active="10 min", passive="40 h"),
        stage("cut", "cut", readings={"out.mass": kg("15.6 kg"), "left.mass": kg("8.43 kg")}, active="55 min"),
        pieces=fact("126", "count", "three blocks"), note="The cloudy foot and the offcut are lost"), base="each"),
    prep("lemon-wheel", "Dried lemon wheel", version(
        OPENED,
        stage("cut", "cut", add("lemon", "1.100 kg"), facts={"refuse": "~14 %"}, active="15 min"),
        stage("dry", "dehydrate", readings={"out.mass": kg("0.135 kg")}, equipment="dryer", active="6 min",
              passive="8 h"), pieces=fact("74", "count")), base="each", shelf_days=30),
    prep("orange-twist", "Orange twist", version(
        OPENED,
        stage("peel", "make", add("orange", "1.080 kg"), facts={"keep": fact("9 %", "scales")}, active="10 min"),
        pieces=fact("42", "count", "six fruit")), base="each", shelf_days=1),
]  # fmt: skip

PREPARATIONS: list[Plain] = [*DISTILLATES, *JUICES, *SYRUPS, *SPIRITS, *BATCHED, *PIECES]
