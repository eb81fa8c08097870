"""The words of a pack: units, containers, pieces and noise, as lists in Europe and America write them.

Factors are exact by definition (NIST SP 811; the jin is 500 g by the metric reform of 1959, from memory). What a word
means is common practice, no source.
"""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from costing.supply.packs.record import PackUnit
from costing.supply.packs.unece import unit_of_code

Sort = Literal[
    "unit", "fluid", "inner", "outer", "many", "piece", "slice", "dozen", "join", "times", "with", "deposit", "age",
    "proof", "strength", "length", "label", "return", "bags", "money", "set", "say",
]  # fmt: skip
"""What a word is. "fluid" is a container that drink comes in, "inner" another small one, "outer" what holds several;
"many" counts what is inside (pack, count of); "set" says a count in a word (sixpack); "slice" counts a cut and never
multiplies a weight; "say" is known and says nothing (of glass, loose, net)."""
BARREL = Decimal("117347.765304")
"""A US beer barrel in ml: 31 US gallons (27 CFR 25.11, from memory)."""
DRINKS = frozenset({"spirit", "liqueur", "wine", "beer", "juice", "water"})


@dataclass(frozen=True, slots=True)
class Word:
    """One word: for a "unit" the base unit it measures in, its factor, and the code of the doubt that it carries."""

    sort: Sort
    unit: PackUnit | None = None
    factor: Decimal = Decimal(1)
    doubt: str = ""
    big: bool = False
    name: str = ""


def _code(code: str) -> Decimal:
    found = unit_of_code(code)
    return found.factor if found else Decimal(1)


_UNITS: tuple[tuple[PackUnit, Decimal, str, bool, str], ...] = (
    ("ml", Decimal(1), "", False, "ml mls milliliter milliliters millilitre millilitres mililitro mililitros "
     "millilitri millilitro cc ccm мл 毫升"),
    ("ml", Decimal(10), "", False, "cl cls centilitre centilitres centiliter centiliters centilitro centilitri сл"),
    ("ml", Decimal(100), "", False, "dl deciliter decilitre decilitro dcl"),
    ("ml", Decimal(1000), "", True, "l lt lts ltr ltrs lit lits liter liters litre litres litro litros litri liters л "
     "литр литра литров 公升 升 リットル"),
    ("ml", Decimal(100_000), "", True, "hl hektoliter hectolitre hectoliter"),
    ("ml", _code("OZA"), "", False, "floz"),
    ("ml", _code("GLL"), "gallon-which", True, "gal gals gallon gallons"),
    ("ml", _code("QTL"), "quart-which", True, "qt qts quart quarts"),
    ("ml", _code("PTL"), "pint-which", True, "pt pts pint pints"),
    ("ml", _code("BUA"), "weight-by-commodity", True, "bushel bushels bu"),
    ("ml", BARREL, "barrel-which", True, "bbl bbls barrel barrels"),
    ("g", Decimal("0.001"), "", False, "mg"),
    ("g", Decimal(1), "", False, "g gr grs gm gms gram grams gramm gramme grammes grammi grammo gramos gramo г гр 克 "
     "グラム"),
    ("g", Decimal(10), "", False, "dag dkg deka"),
    ("g", Decimal(100), "", False, "hg"),
    ("g", Decimal(1000), "", True, "kg kgs kilo kilos kilogram kilograms kilogramm kilogramme kilogrammes kilogramo "
     "kilogramos кг 公斤 千克 キロ"),
    ("g", Decimal(1_000_000), "", True, "tonne tonnes tonnen"),
    ("g", Decimal(500), "", True, "斤 市斤"),
    ("g", _code("LBR"), "", True, "lb lbs pound pounds"),
    ("g", _code("ONZ"), "oz-which", False, "oz ozs ounce ounces onza onzas z"),
)  # fmt: skip
_WORDS: Mapping[Sort, str] = {
    "fluid": "bottle bottles btl btls bot bots bt btle flasche flaschen fl flasch bouteille bouteilles bout botella "
    "botellas bottiglia bottiglie bott fles flessen flacon flacons can cans dose dosen canette canettes blik "
    "blikken blikje blikjes lata latas lattina lattine nr lnnr growler growlers keg kegs fass faesser fasser fut futs "
    "fasschen fust fusten barril barriles fusto fusti cask casks jug jugs bib alum pet brik briks magnum kanister "
    "bidon bidons jerrycan jerrican flask demijohn bottled canned mehrweg einweg mw ew",
    "inner": "jar jars glas glaeser glaser bocal bocaux pot pots potje potjes tub tubs becher cup cups sachet sachets "
    "packet packets pouch pouches beutel tute tuten tuete tueten bag bags sack sacks sac sacs sacco sacchi saco sacos "
    "saecke sacke zak zakken tin tins punnet punnets schale schalen schalchen barquette barquettes container "
    "containers pakje pakjes packchen paeckchen pkt pkts pkg pkgs package packages packung packungen paquet "
    "paquets paquete paquetes pacchetto pacchetti paket pakete tube tubes tuben roll rolls rolle rollen block blocks "
    "brick bricks loaf loaves bucket buckets eimer seau seaux emmer emmers bac bacs vaschetta vaschette tarrina "
    "tarrinas bars bar barattolo barattoli boite boites conserve",
    "outer": "case cases cs carton cartons ctn ctns karton kartons kt kart kiste kisten kist kisten kistje caisse "
    "caisses caja cajas cassa casse cassetta cassette cartone cartoni crate crates kasten kaesten kasten krat kratten "
    "box boxes bx outer outers flat flats lug lugs tray trays palette palettes paletten pallet pallets steige steigen "
    "stiege stiegen master masters colli collo colis doos ve vpe display displays basket baskets bin bins sleeve "
    "sleeves bandeja bandejas plateau plateaux cageot cageots gebinde shipper umkarton overpack bale bales caixa "
    "caixas scatola scatole pal",
    "many": "pack packs pk pks pck pcks er loose count counts ct cnt set sets multipack lose pak",
    "piece": "each ea pc pcs pce piece pieces st stk stck stuck stueck stucke pz pza pzas pezzo pezzi ud uds unidad "
    "unidades unite unites unit units u stuks stuk piece pieza piezas шт 个 個 枚 只 head heads kopf kopfe bunch "
    "bunches bunched bund bunde botte bottes manojo manojos mazzo mazzi bos bossen egg eggs eier oeufs huevos "
    "uova eieren sprig sprigs leaf leaves",
    "slice": "slice slices scheibe scheiben plakken plak pl tranche tranches fette fetta lonchas loncha portion "
    "portions portionen porties porciones porzioni serving servings",
    "dozen": "dozen dz doz dzn dutzend douzaine douzaines docena docenas dozzina dozzine dozijn duzia",
    "join": "de of di du des da von van zu zum je a pro per par por",
    "times": "x х mal fois",
    "with": "with w mit avec con met inkl incl including plus inklusive",
    "deposit": "deposit deposits pfand mehrwegpfand leergut consigne statiegeld cauzione deposito emballage fianza",
    "age": "yr yrs yo year years ans an jahre jahr jahrig ano anos anni anno jaar old",
    "proof": "proof prf pf p",
    "strength": "vol abv alc alk alcohol alkohol alcool",
    "length": "cm mm inch inches zoll pouce pouces",
    "label": "no num cal cat class klasse kl batch art code ref aged vintage jahrgang",
    "return": "retour return returned returns ruckgabe rueckgabe retoure gutschrift reso devolucion",
    "bags": "liners napkins straws lids coasters ziplock servietten trinkhalme deckel pailles serviettes",
    "set": "sixpack sixpacks twin twinpack duo duopack trio triopack",
    "money": "eur euro euros usd gbp chf",
    "say": "net netto nett glass verre vidrio vetro film plastic plastique poly mesh resealable one way ganz small "
    "large mini en new neu and und et e y ed gift gb",
}


def _table() -> Mapping[str, Word]:
    table: dict[str, Word] = {}
    for sort, names in _WORDS.items():
        table.update({name.rstrip("."): Word(sort, name=name.rstrip(".")) for name in names.split()})
    for unit, factor, doubted, big, names in _UNITS:
        first = names.split()[0]
        table.update({name: Word("unit", unit, factor, doubted, big, first) for name in names.split()})
    return MappingProxyType(table)


VOCABULARY = _table()


def words(text: str) -> frozenset[str]:
    """The words of a text as a set."""
    return frozenset(text.split())


BAGS = words("bags liners cups tubs pouches boxes containers lids straws napkins glasses beutel becher")
"""Goods that are themselves containers: a size beside them is what one would hold."""
HALF = words("half halbes demi media mezza mezzo medio")
VAGUE = words("head heads kopf kopfe egg eggs eier oeufs huevos uova eieren leaf leaves sprig sprigs u")
"""Pieces that are names of goods too: alone they count nothing."""
FLUID_OUNCE = Word("unit", "ml", _code("OZA"), name="floz")
IMPERIAL: Mapping[str, Word] = {
    "oz": Word("unit", "ml", _code("OZI"), name="imp floz"),
    "gal": Word("unit", "ml", _code("GLI"), big=True, name="imp gal"),
    "qt": Word("unit", "ml", _code("QTI"), big=True, name="imp qt"),
    "pt": Word("unit", "ml", _code("PTI"), big=True, name="imp pt"),
}
IMPERIAL_WORDS, US_WORDS = frozenset({"imp", "imperial", "uk"}), frozenset({"us"})


@lru_cache(maxsize=16_384)
def word_of(text: str) -> Word | None:
    """What a word of a pack is, in any case and with or without accents; None for one that is not known."""
    if text.isascii():
        return VOCABULARY.get(text.lower())
    folded = text.casefold()
    if folded in VOCABULARY:
        return VOCABULARY[folded]
    bare = unicodedata.normalize("NFKD", folded)
    return VOCABULARY.get("".join(sign for sign in bare if not unicodedata.combining(sign)))
