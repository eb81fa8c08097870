"""What a line is about by its words, and what remarks say in words: breaks, free goods, least orders.

Words in English, German, French, Dutch, Italian and Spanish; common practice of lists and delivery notes, no source.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from costing.book.records import Break, FreeGoods
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Sort
from costing.supply.columns.amounts import amount
from costing.supply.columns.folding import folded

_WORDS: Mapping[Sort, str] = {
    "return": (
        "retour retoure retouren retourware rucknahme ruckgabe rucksendung return returned "
        "reso resi devolucion gutschrift"
    ),
    "deposit": (
        "pfand leergut pfandkiste kistenpfand flaschenpfand fasspfand pfandartikel pfandwert deposit "
        "consigne consignation consignes "
        "deconsigne statiegeld cauzione vuoti leerkiste leerkasten emballages europalette europaletten "
        "europallet pallet palette pallets "
        "paletten palettenpfand palettentausch pallettausch palet bancale emballagepfand leeggoed "
        "mehrwegpfand einwegpfand"
    ),
    "charge": (
        "fracht frachtkosten frachtkostenanteil versand versandkosten versandkostenpauschale porto "
        "lieferkosten liefergebuhr lieferpauschale "
        "anfahrt anfahrtspauschale zustellung zustellgebuhr maut mautzuschlag energiezuschlag "
        "energiekostenzuschlag dieselzuschlag logistikpauschale "
        "mindermengenzuschlag kuhlzuschlag freight delivery carriage shipping surcharge handling postage "
        "livraison transport transportkosten "
        "verzendkosten bezorgkosten leveringskosten vrachtkosten brandstoftoeslag trasporto spedizione "
        "consegna envio transporte porte portes "
        "bearbeitungsgebuhr verpackungspauschale servicepauschale"
    ),
    "rebate": "ruckvergutung jahresbonus bonus rebate ristourne umsatzbonus jahresruckvergutung",
}  # fmt: skip
_SORT_OF: Mapping[str, Sort] = {word: sort for sort, words in _WORDS.items() for word in words.split()}
_KEYS = frozenset(_SORT_OF)
_SURE = frozenset(
    (
        "retour",
        "retoure",
        "retouren",
        "leergut",
        "kistenpfand",
        "flaschenpfand",
        "fasspfand",
        "leeggoed",
        "frachtkosten",
    )
)
"""Words that say it wherever they stand; the others have to begin a short name."""
_SMALL = frozenset(("de", "du", "des", "di", "del", "of", "the", "fur", "per", "la", "le", "for", "zu", "zum"))
_BESIDE = re.compile(
    r"\b(?:inkl|incl|inc|including|inclusive|exkl|excl|ex|exc|zzgl|plus|ohne|mit|without|with|sans|"
    r"avec|hor|hors|senza|con|sin|zonder|met|keine?n?|no|free|frei|frei haus)"
    r" (?:\w+ )?(?:\w*pfand|deposit|consigne|statiegeld|cauzione|fracht|freight|delivery|versand|"
    r"transport|livraison|envio|retour|return)\b"
)
_PLAIN = str.maketrans("äöüéèêàçñóíúá", "aoueeeacnoiua") | str.maketrans(dict.fromkeys(".,;:()[]/+-*\"'!?&", " "))
_FREE_WORD = r"(?:free|gratis|offert\w*|omaggio|kostenlos|frei|gratuit\w*|bonus|regalo|naturalrabatt|geschenkt)"
_FREE = re.compile(
    rf"(?<![\d.,])(\d{{1,3}}) ?\+ ?(\d{{1,3}})(?![\d.,]?\d)(?: ?(?:\w+ )?{_FREE_WORD}\b)?|"
    rf"\b{_FREE_WORD}:? ?(\d{{1,3}}) ?\+ ?(\d{{1,3}})\b",
    re.IGNORECASE,
)
_FREE_SAID = re.compile(rf"\b{_FREE_WORD}\b", re.IGNORECASE)
_UNITS_AFTER = r"(?:\s*[^\W\d_]{1,12}\.?)?"
_SIGN = r"(?:€|£|\$|EUR|GBP|USD|CHF)"
_MONEY = rf"(?:{_SIGN}\s?)?(\d{{1,3}}(?:[.' ]\d{{3}})+(?:,\d{{1,4}})?(?!\d)|\d+(?:[.,]\d{{1,4}})?(?!\d))\s?{_SIGN}?"
_FROM = r"(?:ab|from|dès|des|vanaf|da|desde|a partir de|à partir de|min\.?|bei)"
_AFTER_MONEY = r"(?=\s*(?:$|[,;/()|+]|\.(?!\d)|(?:je|per|pro|each|ea|par|al|und|and|et|ab|from|netto|net)\b))"
_BREAK = re.compile(
    rf"(?:\b{_FROM}\s+(?P<packs>\d{{1,4}})(?!\d|[.,]\d){_UNITS_AFTER}|"
    rf"(?<![\d.,])(?P<plus>\d{{1,4}})\s?\+{_UNITS_AFTER})"
    rf"\s*(?:[:@=-]|nur|je|zu|at|only|a|à)?\s*{_MONEY}{_AFTER_MONEY}",
    re.IGNORECASE,
)
_LEAST = re.compile(r"[^\d]{0,16}?(\d{1,5})(?:[.,]0+)?\s*[^\d]{0,16}")


@dataclass(frozen=True, slots=True)
class Said:
    """What the words of a remark or a name say about price."""

    breaks: tuple[Break, ...] = ()
    free: FreeGoods | None = None
    doubts: tuple[Doubt, ...] = ()


NOTHING_SAID = Said()


def sort_of(name: str) -> tuple[Sort, bool]:
    """(what a line is about, whether that is sure). Goods that are sold with a deposit, or carriage free, stay goods; a
    word in the middle of a longer name leaves it goods, and unsure."""
    words = name.casefold().translate(_PLAIN).split()
    if _KEYS.isdisjoint(words):
        return "goods", True
    return _sorted(name)


@lru_cache(maxsize=4096)
def _sorted(name: str) -> tuple[Sort, bool]:
    words = _BESIDE.sub(" ", folded(name)).split()
    met = [(i, word) for i, word in enumerate(words) if _known(word)]
    if not met:
        return "goods", True
    ranked = sorted(met, key=lambda item: ("return", "deposit", "charge", "rebate").index(_known(item[1]) or "rebate"))
    at, word = ranked[0]
    sort = _known(word) or "goods"
    plain = [w for w in words if w not in _SMALL and not any(ch.isdigit() for ch in w)]
    if word in _SURE or at == 0 or len(plain) <= 2:
        return sort, True
    return "goods", False


def _known(word: str) -> Sort | None:
    """A folded word has lost its plural ending; so have the known ones, where that changes them."""
    return _SORT_OF.get(word) or _SORT_OF.get(word + "s") or _SORT_OF.get(word + "es")


@lru_cache(maxsize=65_536)
def said_in(text: str, decimal: str | None, at: str) -> Said:
    """Breaks ("ab 5 Kisten 22,90") and free goods ("12+1 free") that a text states, each with its doubt: words are no
    figures of a column. An amount that has two readings gives no break."""
    doubts: list[Doubt] = []
    free = _free(text)
    rest = text
    if free is not None:
        doubts.append(doubt("free-from-text", at, value=text, paid=free.paid, free=free.free))
        rest = _FREE.sub(" ", text)
    breaks = []
    for found in _BREAK.finditer(rest):
        read = amount(found[3].strip(" .,'"), at, decimal)
        shown = found[0].strip()
        if read.value is None or read.value <= 0:
            doubts.append(doubt("break-unread", at, value=shown))
            continue
        packs = Decimal(found["packs"] or found["plus"])
        breaks.append(Break(packs=packs, price=read.value))
        doubts.append(doubt("break-from-text", at, value=shown, packs=packs, price=read.value))
    return Said(tuple(breaks), free, tuple(doubts)) if doubts else NOTHING_SAID


def _free(text: str) -> FreeGoods | None:
    """12+1 in a remark is free goods where a word says so, or where the text is nothing else."""
    if "+" not in text:
        return None
    found = _FREE.search(text)
    if found is None or not (_FREE_SAID.search(text) or found[0].strip() == text.strip()):
        return None
    paid, free = Decimal(found[1] or found[3]), Decimal(found[2] or found[4])
    return FreeGoods(paid=paid, free=free) if 0 < free <= paid else None


@lru_cache(maxsize=4096)
def least_of(text: str) -> Decimal | None:
    """The least order that a cell states: "5", "min. 5 Kisten". None where it holds no one whole number."""
    found = _LEAST.fullmatch(text.strip())
    return Decimal(found[1]) if found else None
