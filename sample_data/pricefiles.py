"""Two price lists as suppliers send them: a clean sheet from the casks, a messy export from the quay."""

import io
import re
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from xml.etree.ElementTree import canonicalize

from openpyxl import Workbook
from openpyxl.styles import Font

from sample_data.quotes import BOTTLES, FRESH, Offer, gtin

VALID = date(2026, 12, 1)
STAMP = datetime(2026, 11, 20, 8, 0)
SHEET_HEADER = ("Item code", "EAN", "Description", "ABV %", "Bottles per case", "Content", "Case price EUR ex VAT",
                "Price per bottle", "Deposit per case", "Valid from")  # fmt: skip
DESCRIBED = {
    "RC-201": ("Rum white 40% 70cl", "70 cl", 40), "RC-202": ("Rum dark 42% 70cl", "70 cl", 42),
    "RC-203": ("Gin dry 43% 1L", "1 L", 43), "RC-204": ("Vodka, grain 40% 1L", "1 L", 40),
    "RC-205": ("Whisky rye 46% 70cl", "70 cl", 46), "RC-206": ("Pear brandy 50% 70cl", "70 cl", 50),
    "RC-207": ("Neutral spirit 96% 5L can", "5 L", 96), "RC-208": ("Liqueur bitter orange 40% 70cl", "70 cl", 40),
    "RC-209": ("Liqueur coast herb 35% 70cl", "70 cl", 35), "RC-210": ("Aperitif bitter root 15% 1L", "1 L", 15),
    "RC-211": ("Bitters aromatic 44% 20cl", "20 cl", 44), "RC-220": ("Fortified wine dry 15% 75cl", "75 cl", 15),
    "RC-221": ("Vermouth red 16% 75cl", "75 cl", 16), "RC-222": ("Vermouth white dry 18% 75cl", "75 cl", 18),
    "RC-230": ("House white 12.5% 75cl", "75 cl", 12.5), "RC-231": ("House red 13.5% 75cl", "75 cl", 13.5),
    "RC-232": ("House sparkling 11.5% 75cl", "75 cl", 11.5), "RC-240": ("Lager Harbour KEG 30L 4.9%", "30 L", 4.9),
    "RC-241": ("Lager alc. free 33cl, 4 x 6", "33 cl", 0.4), "RC-250": ("Soda water 75cl", "75 cl", 0),
    "RC-251": ("Table water 50cl", "50 cl", 0),
}  # fmt: skip
"""How the supplier's own list describes its codes: not as the house does."""
RISES = {"RC-201": "86.40", "RC-202": "99.60", "RC-205": "126.60", "RC-221": "50.40", "RC-232": "49.20",
         "RC-240": "84.00", "RC-211": "129.60"}  # fmt: skip
"""Case prices that move on the first of December; the rest stand."""
NEW = (
    ("RC-212", "Rum spiced 35% 70cl", "70 cl", 35, 6, "81.00"),
    ("RC-233", "House rose 12% 75cl", "75 cl", 12, 6, "37.80"),
)


def _plain_number(text: str) -> int | float:
    value = Decimal(text)
    return int(value) if value == value.to_integral_value() else float(value)


def _sheet_rows() -> list[tuple[object, ...]]:
    rows: list[tuple[object, ...]] = []
    for offer in BOTTLES:
        described, content, abv = DESCRIBED[offer.code]
        bottles = 1
        for level in offer.levels:
            bottles *= level
        price = Decimal(RISES.get(offer.code, offer.prices[-1][1]))
        each = (price / bottles).quantize(Decimal("0.001"))
        deposit = offer.more.get("deposit")
        rows.append((offer.code, offer.gtin, described, abv, bottles, content, float(price), float(each),
                     _plain_number(str(deposit)) if deposit else None, VALID))  # fmt: skip
    for code, described, content, abv, bottles, text in NEW:
        rows.append((code, gtin(int(code[3:])), described, abv, bottles, content, float(text),
                     float(Decimal(text) / bottles), None, VALID))  # fmt: skip
    return sorted(rows, key=lambda r: str(r[0]))


def casks_sheet() -> bytes:
    """The casks' list as a workbook: one table, codes as text, prices as numbers, days as days."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Price list"
    sheet.append(list(SHEET_HEADER))
    for row in _sheet_rows():
        sheet.append(list(row))
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    for row in sheet.iter_rows(min_row=2):
        row[1].number_format = "@"
        row[6].number_format = row[7].number_format = "0.00"
        row[9].number_format = "yyyy-mm-dd"
    sheet.freeze_panes = "A2"
    for column, width in zip("ABCDEFGHIJ", (10, 16, 34, 7, 16, 9, 22, 16, 16, 12), strict=True):
        sheet.column_dimensions[column].width = width
    book.properties.creator = "Ropewalk Casks"
    book.properties.created = book.properties.modified = STAMP
    raw = io.BytesIO()
    book.save(raw)
    return same_bytes(raw.getvalue())


def same_bytes(raw: bytes, changed: Callable[[str, bytes], bytes] = lambda _, data: data) -> bytes:
    """The same workbook with one day in it and nothing packed, so that two writings are equal byte for byte.

    Every part is written in canonical form (W3C, Canonical XML 2.0): the library that wrote it uses lxml where there is
    one, whose empty elements look different. ``changed`` may put something of its own into the part of a given name.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as new:
        for name in sorted(old.namelist()):
            data = changed(name, canonicalize(old.read(name)).encode())
            if name == "docProps/core.xml":
                data = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", STAMP.strftime("%Y-%m-%dT%H:%M:%SZ").encode(), data)
            member = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            member.create_system = 3
            new.writestr(member, data)
    return out.getvalue()


WEEK = {
    "NQ-101": ("ANANAS / pineapple, ripe", "Kiste 8 kg", "22,40"), "NQ-102": ("Lemons, unwaxed", "10kg", "24,20"),
    "NQ-103": ("Limes", "4 kg", "11,90"), "NQ-104": ("Oranges f. juice", "10 KG", "17,60"),
    "NQ-105": ("Cucumber", "12 x 400 g", "8,90"), "NQ-106": ("Apples, cooking", "13 kg", "19,20"),
    "NQ-107": ("Ginger root", "5 kg", "17,50"), "NQ-108": ("Rosemary", "10 x 100g", "11,00"),
    "NQ-109": ("Dill", "10x100 g", "12,60"), "NQ-110": ("Mint", "10 x 100 g", "12,20"),
    "NQ-111": ("Mint sprigs, picked", "60 Stk", "7,90"), "NQ-112": ("Lemon leaves", "50 St.", "6,10"),
    "NQ-120": ("Milk, whole 3,7 %", "12 x 1 L", "12,72"), "NQ-121": ("Butter, unsalted", "20 x 250 g", "47,20"),
    "NQ-122": ("Egg white, past.", "6 x 1L", "33,90"), "NQ-130": ("Pineapple crisps", "40 St.", "10,20"),
    "NQ-115": ("Green walnuts, frozen", "5 kg", "25,50"),
}  # fmt: skip
"""Next week's list in the supplier's words; decimal commas."""
GROUPS = (
    ("FRUIT & VEGETABLES", ("NQ-101", "NQ-102", "NQ-103", "NQ-104", "NQ-105", "NQ-106", "NQ-107", "NQ-115")),
    ("HERBS", ("NQ-108", "NQ-109", "NQ-110", "NQ-111", "NQ-112")),
    ("DAIRY & EGGS", ("NQ-120", "NQ-121", "NQ-122")),
    ("DRIED", ("NQ-130",)),
)
EXTRA = {
    "HERBS": [("NQ-113", "Épazote, fresh", "5 x 50 g", "auf Anfrage", "*")],
    "DAIRY & EGGS": [("NQ-123", "Crème fraîche 40 %", "6 x 500 g", "15,90 €", "neu")],
    "FRUIT & VEGETABLES": [("NQ-116", "Jalapeño", "1 kg", "6,50", ""),
                           ("NQ-117", "Quitten / quince", "Palette 400 kg", "1.024,00", "Vorbestellung")],
}  # fmt: skip


def quay_week() -> bytes:
    """The quay's week list: cp1252, semicolons, decimal commas, group rows, a repeated header, a page foot."""
    head = "Art.-Nr.;Bezeichnung;Gebinde;Preis € netto;Bemerkung"
    lines = ["North Quay Fruit – Wochenliste 49;;;;", "gültig 30.11.2026 – 06.12.2026;;;;", ";;;;", head]
    for n, (group, codes) in enumerate(GROUPS):
        lines.append(f"{group};;;;")
        for code in codes:
            described, pack, price = WEEK[code]
            remark = "ab 5 Kisten 22,90" if code == "NQ-102" else ""
            lines.append(f"{code};{described};{pack};{price};{remark}")
        lines += [";".join(row) for row in EXTRA.get(group, [])]
        if n == 0:
            lines += [";;;;Seite 1/2", "", head]
    lines += [";;;;", "Alle Preise zzgl. MwSt., Irrtum vorbehalten;;;;", ";;;;Seite 2/2"]
    return ("\r\n".join(lines) + "\r\n").encode("cp1252")


def codes_of(offers: tuple[Offer, ...] | list[Offer]) -> set[str]:
    """The supplier codes of some offers."""
    return {offer.code for offer in offers}


QUAY_CODES, CASKS_CODES = codes_of(FRESH), codes_of(BOTTLES)
