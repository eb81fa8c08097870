"""What the heading of a column says: the role, what a price is asked for, and whether tax is in it."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from costing.supply.arriving.line import Per
from costing.supply.columns.folding import folded
from costing.supply.columns.taxes import TaxSaid, tax_of_heading
from costing.supply.columns.vocabulary import MEASURES, MONEY, PACK, PIECE, PRICE, RULES

WHOLE, PARTLY = 0.95, 0.6
"""How certain a role is when the whole heading is a known one, and when a word of it is."""
PRICE_ROLES = frozenset({"price", "price_each", "price_measure", "gross", "old_price"})
UNUSED = frozenset({"retail", "discount", "of_alcohol"})
"""Meanings of columns that are no role: a price for the guest, what is taken off, a price of the alcohol alone."""

_COMPOUND = re.compile(r"\b(\w{2,}?)s?(preis|prij|price)(?:e|en)?\b")
_PRICE = re.compile(rf"\b{PRICE}\b")
_MONEY = re.compile(rf"\b(?:{MONEY})\b")
_OLD = re.compile(
    r"\b(?:alt\w{0,2}|old|previous|bisher\w*|ancien\w*|oude?|vecchio|anterior|precedente?|letzte[rs]?|last|vorher\w*)\b"
)
_PURE = r"(?:pure?|rein\w*|puro|zuiver\w*|absolut\w*)"
_SPIRIT = r"(?:alcoo?l|alcohol|alkohol)"
_ALCOHOL = re.compile(
    r"\b(?:h?lpa|hl?ap|lap|h?laa|proof (?:gallon|litre|liter)|"
    rf"{_PURE} {_SPIRIT}\w*|{_SPIRIT} {_PURE}|"
    r"(?:per|pro|je|par|por) (?:100 ?|1 ?|vol ?)?(?:percent|degre|degree|grad|graad|grado|abv))\b|"
    r"\blitre? r ?a\b"
)
_BARE_PIECE = re.compile(
    r"(?:no of |number of |anzahl |nb de )?(?:bottle|btl|flasche|flaschen|bouteille|flessen|fles|bottigli[ae]|"
    r"botella|can|dose|dosen|lattin[ae]|lata|piece|pc|pezz[oi]|pieza)"
)
_NEW = re.compile(r"\b(?:neu\w{0,2}|new|nouveau|nieuwe?|nuovo|nuevo|now|jetzt|aktuell\w*|current)\b")
_BEFORE_MEASURE = rf"(?:per|pro|par|je|por|al|a|the|au|price|preis|prix|prezzo|precio|prij|{MONEY})"
_MEASURE = tuple(
    (
        re.compile(
            rf"\b{_BEFORE_MEASURE} (?:le |la )?(?:{words})\b(?! [aeiouh]\w)|\b(?:{words}) (?:preis|prij|price)\b"
        ),
        (per, Decimal(base)),
    )
    for words, (per, base) in MEASURES.items()
)
_DOZEN = re.compile(r"\b(?:per|pro|par|je|por|a|price|preis) (?:dozen|dutzend|douzaine|dz|doz|dozijn|docena|dozzina)\b")
_HUNDRED = re.compile(rf"\b(?:per|pro|par|je|por|price|preis) (100|1000) ?(?:{PIECE})\b")
_BASE_PRICE = re.compile(r"\bgrund preis\b|\b(?:comparison|reference) price\b")
_LOOSE_UNIT = re.compile(r"\b(?:unit|unite|unitaire|unitario|unitaria|einzel|eenheid|pu|p u|single|item)\b")
_PIECE = re.compile(rf"\b{PIECE}\b")
_PACK = re.compile(rf"\b{PACK}\b")
_RULES: tuple[tuple[str, re.Pattern[str], re.Pattern[str]], ...] = tuple(
    (role, re.compile(rf"(?:{pattern})"), re.compile(rf"\b(?:{pattern})\b")) for role, pattern in RULES
)
_FILLER = re.compile(
    rf"\b(?:{MONEY}|in|the|der|die|das|of|de|du|des|di|del|la|le|net|netto|ht|ex|excl|vat|mwst|tva|btw|iva)\b"
)
_FIRST = frozenset({"deposit", "retail", "discount", "break_price", "break_from", "since", "until", "minimum"})
"""What a word of a heading says even where the heading speaks of a price."""
_NUMBER = re.compile(r"\b(\d+)\b")
_ONE = Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What one heading says. ``role`` is "" where it says nothing known, and "retail" or "discount" for columns that
    are no role. A price is asked for ``base`` times ``per``; ``loose`` is "unit price", which may be that of a bottle
    or of a case. ``packs`` is the number of packs that a break begins at."""

    role: str = ""
    weight: float = 0.0
    per: Per = ""
    base: Decimal = _ONE
    loose: bool = False
    tax: TaxSaid = TaxSaid()
    packs: Decimal | None = None


NOTHING = Meaning()


@lru_cache(maxsize=4096)
def meaning(heading: str) -> Meaning:
    """The meaning of a heading in any of the six languages; NOTHING where no word of it is known."""
    text = _COMPOUND.sub(r"\1 \2", folded(heading))
    if not text:
        return NOTHING
    whole = _ruled(text, lambda role: True, words=False)
    if whole.role:
        return whole if whole.role not in ("retail", "break_price") else _price_like(whole, text)
    first = _ruled(text, lambda role: role in _FIRST, words=True)
    if first.role and not (first.role == "deposit" and _deposit_beside(text)):
        return _price_like(first, text)
    total = _ruled(text, lambda role: role == "total", words=True)
    if total.role and not _PIECE.search(text):
        return total
    if _PRICE.search(text):
        return _price(heading, text)
    plain = " ".join(_FILLER.sub(" ", text).split())
    return _ruled(plain, lambda role: True, words=False) if plain != text and _known(plain) else _ruled(
        text, lambda role: True, words=True
    )  # fmt: skip


def _known(plain: str) -> bool:
    return bool(_ruled(plain, lambda role: True, words=False).role)


def _ruled(text: str, asked: Callable[[str], bool], *, words: bool) -> Meaning:
    """The rule that fits the whole heading, or the longest that fits words of it."""
    best, length = NOTHING, 0
    for role, whole, part in _RULES:
        if not asked(role):
            continue
        if not words:
            if whole.fullmatch(text):
                return Meaning(role=role, weight=WHOLE)
            continue
        for found in part.finditer(text):
            if len(found[0]) > length:
                best, length = Meaning(role=role, weight=PARTLY), len(found[0])
    return best


def _price_like(found: Meaning, text: str) -> Meaning:
    if found.role not in ("break_price", "break_from"):
        return found
    number = _NUMBER.search(text)
    packs = Decimal(number[1]) if number else None
    return Meaning(role=found.role, weight=found.weight, packs=packs)


_BESIDE_DEPOSIT = re.compile(
    r"\b(?:ex|exc|excl|exkl|zzgl|ohne|plus|hor|sans|inc|incl|inkl|mit|avec|sin|senza|con) (?:\w+ )?"
    r"(?:\w*pfand|deposit|consigne|statiegeld|cauzione|deposito)\b"
)


def _deposit_beside(text: str) -> bool:
    """Whether a deposit is only said to be in a price or left out of it ("Preis exkl. Pfand")."""
    return bool(_PRICE.search(_MONEY.sub(" ", text)) and _BESIDE_DEPOSIT.search(text))


_WITH_DEPOSIT = re.compile(
    r"\b(?:inc|incl|inkl|including|inclusive|mit|avec|con|with|met|comprise?) (?:\w+ )?(?:\w*pfand|"
    r"deposit|consigne|statiegeld|"
    r"cauzione|deposito)\b|\b(?:consigne comprise|statiegeld inbegrepen)\b"
)


def of_alcohol(heading: str) -> bool:
    """Whether a heading asks its price for the alcohol in a good and not for the good (a litre of pure alcohol, one
    degree): what a pack costs by it hangs on its strength."""
    text = folded(heading)
    return bool(_ALCOHOL.search(text) and _PRICE.search(text))


def is_piece(heading: str) -> bool:
    """Whether a heading only names what is in a pack ("Bottles", "Dosen")."""
    return bool(_BARE_PIECE.fullmatch(folded(heading)))


def has_deposit(heading: str) -> bool:
    """Whether a heading says that the deposit is in its price ("Preis inkl. Pfand")."""
    return bool(_WITH_DEPOSIT.search(folded(heading)))


def _price(heading: str, text: str) -> Meaning:
    tax = tax_of_heading(heading)
    if _ALCOHOL.search(text):
        return Meaning(role="of_alcohol", weight=WHOLE, tax=tax)
    weight = 0.75 if re.fullmatch(rf"(?:{MONEY}|vk|cost|kosten)", text) else WHOLE
    if _OLD.search(text) and not _NEW.search(text):
        return Meaning(role="old_price", weight=weight, tax=tax)
    if (measure := _measure(text)) is not None:
        return Meaning(role="price_measure", weight=weight, per=measure[0], base=measure[1], tax=tax)
    if _BASE_PRICE.search(text):
        return Meaning(role="price_measure", weight=weight, tax=tax)
    if (count := _pieces(text)) is not None:
        return Meaning(role="price_each", weight=weight, per="each", base=count, tax=tax)
    pack, piece = _PACK.search(text), _PIECE.search(text)
    if _LOOSE_UNIT.search(text) and not pack:
        return Meaning(role="price_each", weight=0.8, per="each", loose=True, tax=tax)
    if piece and (not pack or piece.start() > pack.start()):
        return Meaning(role="price_each", weight=weight, per="each", tax=tax)
    if pack:
        return Meaning(role="price", weight=weight, per="pack", tax=tax)
    return Meaning(role="price", weight=min(weight, 0.9), tax=tax)


def _measure(text: str) -> tuple[Per, Decimal] | None:
    for pattern, (per, base) in _MEASURE:
        if pattern.search(text):
            return ("kg" if per == "kg" else "l"), base
    return None


def _pieces(text: str) -> Decimal | None:
    """Per dozen, per 100 pieces: how many pieces the price is for."""
    if _DOZEN.search(text):
        return Decimal(12)
    found = _HUNDRED.search(text)
    return Decimal(found[1]) if found else None


def says_pack(heading: str) -> bool:
    """Whether a word of a heading is one for a pack ("Pack / units")."""
    return bool(_PACK.search(folded(heading)))
