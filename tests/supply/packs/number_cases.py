"""Number texts with what they mean: rendered by rule from known figures in many locales, and written by hand.

The rules render with Python's own formatting and swap its marks: the texts do not come from the code under test.
"""

from collections.abc import Iterator
from decimal import Decimal

Case = tuple[str, Decimal, str | None]
"""(text, what it means, the decimal mark of the column it stands in: None for a text that no mark fixes)."""
FIGURES = [
    "0.5", "0.07", "0.533", "0.00880", "0.1212", "1.5", "4.537", "8.20", "12.50", "15.9", "99.99", "100", "101.4",
    "186.70",
    "999.999", "1024", "1024.5", "1204", "1204.5", "1204.56", "1234.567", "10000", "12345.6", "86400", "123456",
    "204500.25",
    "1000000", "1234567.89", "7654321", "13.611", "3.4", "2", "6", "0.25",
]  # fmt: skip
LOCALES = {  # name: (decimal mark, mark of groups); ways of writing by common practice, no source
    "en": (".", ","), "de": (",", "."), "fr": (",", "\u202f"), "fr-nbsp": (",", "\u00a0"), "sv": (",", " "),
    "ch": (".", "'"), "ch-typed": (".", "\u2019"), "si": (".", "\u2009"), "plain-point": (".", ""),
    "plain-comma": (",", ""), "ar": ("\u066b", "\u066c"), "full-width": ("\uff0e", "\uff0c"),
}  # fmt: skip
DIGITS = {"ar": "٠١٢٣٤٥٦٧٨٩", "full-width": "０１２３４５６７８９"}


def rendered(figure: str, locale: str) -> str:
    """A figure as a locale writes it, with its groups."""
    decimal, group = LOCALES[locale]
    places = len(figure.partition(".")[2])
    text = f"{Decimal(figure):,.{places}f}"
    text = text.replace(",", "\0").replace(".", decimal).replace("\0", group)
    return text.translate({ord("0") + n: digit for n, digit in enumerate(DIGITS.get(locale, "0123456789"))})


DRESSES = ["{}", "€ {}", "{} EUR", "-{}", "({})", "{}-"]


def ruled() -> Iterator[Case]:
    """Every figure in every locale, and in one of several dresses."""
    for row, figure in enumerate(FIGURES):
        for column, (locale, (decimal, _)) in enumerate(LOCALES.items()):
            mark = {"\u066b": None, "\uff0e": "."}.get(decimal, decimal)
            dress = DRESSES[(row + column) % len(DRESSES)]
            value = Decimal(figure)
            negative = dress.replace("{}", "").strip() in ("-", "()")
            yield dress.format(rendered(figure, locale)), -value if negative else value, mark
            yield rendered(figure, locale), value, mark


BY_HAND: list[Case] = [
    (text, Decimal(value), mark)
    for text, value, mark in [
        ("1.204", "1204", ","), ("1.204", "1.204", "."), ("4,537", "4.537", ","), ("4,537", "4537", "."),
        ("0,533", "0.533", None), ("0.533", "0.533", None), ("12,5", "12.5", None), ("1.5", "1.5", None),
        ("1 234,56", "1234.56", None), ("1\u00a0234,56", "1234.56", None), ("1\u202f234,56", "1234.56", None),
        ("1'234.56", "1234.56", None), ("1\u2019234.56", "1234.56", None), ("٣٫٥", "3.5", None),
        ("١٬٢٠٤", "1204", None), ("-12.50", "-12.50", None), ("(12.50)", "-12.50", None), ("12.50-", "-12.50", None),
        ("\u221212.50", "-12.50", None), ("\u201312.50", "-12.50", None), ("EUR 4.-", "4", None), ("4,-", "4", None),
        ("CHF 4.\u2014", "4", None), ("CHF 1'204.-", "1204", None), ("4.-- EUR", "4", None), ("£ 8.20", "8.20", None),
        ("15,90 €", "15.90", None), ("½", "0.5", None), ("1½", "1.5", None), ("1 ½", "1.5", None),
        ("1 1/2", "1.5", None), ("3/4", "0.75", None), ("¾", "0.75", None), ("1.234.567", "1234567", None),
        ("1,234,567", "1234567", None), ("1.234.567,8", "1234567.8", None), ("1,234,567.8", "1234567.8", None),
        ("1234,567", "1234.567", None), ("1234.567", "1234.567", None), (",75", "0.75", None), (".75", "0.75", None),
        ("007", "7", None), ("+3.20", "3.20", None), ("US$ 12", "12", None), ("12 Kč", "12", None),
        ("€-3,50", "-3.50", None), ("-€3,50", "-3.50", None), ("(€ 3,50)", "-3.50", None), ("€ (3,50)", "-3.50", None),
        ("\u200f12.50", "12.50", None), ("  12.50  ", "12.50", None), ("\ufeff12.50", "12.50", None),
        ("Fr. 4.50", "4.50", None), ("R$ 1.204,00", "1204.00", None), ("12 345 678", "12345678", None),
        ("3,50€", "3.50", None), ("kr 45,00", "45.00", None), ("1.204,-", "1204", ","), ("1,204.-", "1204", "."),
    ]
]  # fmt: skip
CASES: list[Case] = list(dict.fromkeys([*ruled(), *BY_HAND]))
NO_NUMBERS = [
    "", " ", "-", "–", "n/a", "NA", "None", "null", "nan", "inf", "-inf", "1e5", "1E5", "1_000", "0x10", "12/750 ml",
    "12 750 ml", "6 x 70 cl", "12.50 13.50", "12.50/kg", "12,34,567", "1.23.456", "1,234 567", "1.234'567.8", "--5",
    "(5", "5)", "(-5)", "-5-", "12.", "12,", "1..5", "1,,5", "11/2", "5/2", "2/0", "12⁵⁰", "③", "30.11.2026", "12:30",
    "EUR", "€", "EUR USD 5", "12 % €", "12.50 bottles", "ab 22,90", "ca. 5", "£10 or £12", "1 23", "1 2345",
    "1 0 0 0", "9" * 61, "１２／７５０", "Ⅻ", "x", "=1+1",
]  # fmt: skip
"""Texts that are no amount of anything."""
ASKED = [
    "POA", "poa", "P.O.A.", "TBC", "tbc", "TBA", "auf Anfrage", "Auf Anfrage", "a. A.", "sur demande",
    "price on application", "Price on request", "op aanvraag", "su richiesta", "a consultar", "market price", "£ POA",
    "Tagespreis",
]  # fmt: skip
