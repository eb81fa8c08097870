"""What a heading or a foot says of tax: in the price, not in the price, and at what rate."""

import re
from dataclasses import dataclass
from decimal import Decimal

from costing.book.records import TaxBasis
from costing.supply.columns.folding import folded

_TAX = (
    r"(?:mwst|mehrwertsteuer|ust|umsatzsteuer|steuern?|vat|v a t|tax|gst|tva|t v a|taxe|btw|b t w|iva|"
    r"i v a|impuesto|imposta)"
)
_OF = r"(?: (?:of|der|die|gesetzl|gesetzliche[rn]?|statutory|the|la|l|de|any|\d{1,2}|percent|gultiger?|jeweil\w*))*"
_OUT = (
    r"(?:ex|exc|excl|excluding|exclusive|exkl|exklusive|exclusief|zzgl|zuzugl|zuzuglich|ohne|plus|hor|"
    r"hors|sans|senza|sin|zonder|"
    r"without|before|netto|esclus[oa]|excluid[oa]|mas|più|piu|not including|not inclusive)"
)
_IN = (
    r"(?:inc|incl|including|inclusive|inkl|inklusive|inclusief|einschl|einschliesslich|mit|con|avec|"
    r"with|met|after|brutto|"
    r"comprend|compresa|compreso)"
)
_EX_TEXT = re.compile(
    rf"\b(?:{_OUT}{_OF} {_TAX}|{_TAX}{_OF} (?:excl\w*|exkl\w*|esclus[oa]|excluid[oa]|no incluid[oa]|"
    rf"non comprise?|not included|en su|en sus|"
    rf"a part|niet inbegrepen|nicht enthalten|extra|exclusief|ohne)|{_TAX} (?:will be|is|wird) added|"
    rf"(?:do|does|are) not include(?: \w+)? {_TAX}|ht|h t|hors taxe|nettopreis\w*|net price|"
    rf"prezzi netti)\b"
)
_IN_TEXT = re.compile(
    rf"\b(?:{_IN}{_OF} {_TAX}|{_TAX}{_OF} (?:incl\w*|inkl\w*|compres[oa]|comprise?|inclus[oae]?|"
    rf"incluid[oa]|inbegrepen|enthalten|included)|"
    rf"include {_TAX}|ttc|t t c|toute taxe comprise|bruttopreis\w*)\b"
)
_EX_HEAD = re.compile(
    r"\b(?:ex|exc|excl|exkl|excluding|exclusive|exclusief|ht|h t|hors taxe|netto|net|nett|"
    r"\w*nettopreis|nettoprijs|zzgl|neto|nett[oi])\b"
)
_IN_HEAD = re.compile(
    r"\b(?:inc|incl|inkl|including|inclusive|inclusief|ttc|t t c|brutto|\w*bruttopreis|brutoprijs|"
    r"bruto|lordo|gross|toute taxe comprise)\b"
)
_OTHER = re.compile(
    r"\b(?:\w{2,12}) (?:of )?(?:pfand|deposit|consigne|statiegeld|cauzione|fracht|freight|delivery|"
    r"lieferung|transport|port|emballage|"
    r"alkoholsteuer|duty|accise|rabatt|discount|remise)\b"
)
_WEIGHT = re.compile(r"\b(?:netto|brutto|net|gross) ?(?:gewicht|weight|poid|poids|peso|content|inhalt)\b")
_RATE = re.compile(
    r"(?:\b(?:mwst|ust|vat|tva|btw|iva|gst|tax|steuer)\b[^\d%]{0,12}(\d{1,2}(?:[.,]\d{1,2})?) ?%)"
    r"|(?:(\d{1,2}(?:[.,]\d{1,2})?) ?% ?(?:\w{1,12}\.? )?(?:mwst|ust|mehrwertsteuer|umsatzsteuer|vat|"
    r"tva|btw|iva|gst|tax)\b)",
    re.IGNORECASE,
)
_PERCENTS = (
    "2.1 2.5 2.6 3 3.8 4 4.8 5 5.5 6 7 7.7 8 8.1 9 9.5 10 12 13 13.5 14 15 16 17 18 19 20 21 22 23 24 25 25.5 27"
)
KNOWN_RATES: tuple[Decimal, ...] = tuple(Decimal(text).scaleb(-2) for text in _PERCENTS.split())
"""Rates of value added tax in force or lately in force in Europe, from memory; used to know a column with tax in it
beside one without, never to work a price out."""
RATE_WITHIN = Decimal("0.005")
"""How far gross / net may lie from 1 + rate, as a share: both are printed rounded."""


@dataclass(frozen=True, slots=True)
class TaxSaid:
    """What a text says of tax. ``both`` where it says that tax is in and that it is not."""

    basis: TaxBasis = "unknown"
    rate: Decimal | None = None
    both: bool = False


def tax_of_text(text: str) -> TaxSaid:
    """What a line above or below a list says: only where tax itself is named ("zzgl. MwSt.", "ex VAT", "HT")."""
    plain = folded(text)
    return _said(text, bool(_EX_TEXT.search(plain)), bool(_IN_TEXT.search(_EX_TEXT.sub(" ", plain))))


def tax_of_heading(text: str) -> TaxSaid:
    """What the heading of a price says; there "netto", "ex" or "gross" alone is enough."""
    plain = _WEIGHT.sub(" ", folded(text))
    named = tax_of_text(text)
    if named.basis != "unknown" or named.both:
        return named
    plain = _OTHER.sub(" ", plain)
    return _said(text, bool(_EX_HEAD.search(plain)), bool(_IN_HEAD.search(plain)))


def _said(text: str, out: bool, within: bool) -> TaxSaid:
    found = _RATE.search(text)
    rate = Decimal((found[1] or found[2]).replace(",", ".")).scaleb(-2) if found else None
    if out and within:
        return TaxSaid("unknown", rate, both=True)
    return TaxSaid("ex" if out else "inc" if within else "unknown", rate if out or within else None)


def known_rate(ratio: Decimal) -> Decimal | None:
    """The known rate whose 1 + rate is nearest to gross / net, within half a percent; None where none is."""
    best = min(KNOWN_RATES, key=lambda rate: abs(ratio - 1 - rate))
    return best if abs(ratio / (1 + best) - 1) <= RATE_WITHIN else None
