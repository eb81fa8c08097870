"""More files as they arrive: catalogue, credit note, invoice in a PDF, a sheet that hides things, a paste; terms.

The arithmetic is that of EN 16931-1, its rules named BR-...; codes are those of UN/ECE Rec 20 and 21.
"""

import io
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from math import prod
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from PIL import ImageCms
from pypdf import PdfReader

from costing.book.book import Book
from costing.book.buying import ExchangeRate, Order
from costing.book.records import Quote, Supplier
from costing.book.selling import SalesPeriod
from costing.ledger.prices import UnitPrice, price_of_quote
from costing.ledger.unit import unit_of_good
from costing.menu.mix import recent_sales
from costing.paths import sample_book
from costing.store import read_json
from sample_data import catalogue, credit, hybrid, invoice, make, morelists, sales

HOME = Path(make.__file__).parent
PRICES = HOME / "prices"
CENT = Decimal("0.01")
UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
CBC, CAC = f"{{{UBL}CommonBasicComponents-2}}", f"{{{UBL}CommonAggregateComponents-2}}"
RAM = "{urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100}"


@cache
def book() -> Book:
    """The sample."""
    return read_json(sample_book())


def quoted(code: str, day: date) -> Quote:
    """The quote of a supplier's code that holds on a day."""
    held = [
        q
        for q in book().all(Quote).values()
        if q.code == code and q.since <= day and (q.until is None or q.until >= day)
    ]
    return max(held, key=lambda q: q.since)


def root_of(name: str) -> ET.Element:
    """A shipped XML file, parsed."""
    return ET.fromstring((PRICES / name).read_bytes())


def number(element: ET.Element, path: str) -> Decimal:
    """The figure at a path of UBL or CII names; KeyError where there is none."""
    text = element.findtext(path)
    if text is None:
        raise KeyError(path)
    return Decimal(text)


def cents(amount: Decimal) -> Decimal:
    """Half up, as EN 16931 rounds amounts of this sign."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def check_digit_holds(code: str) -> bool:
    """GS1, "How to calculate a check digit manually": weights 3 and 1 from the right, the whole divides by ten."""
    return sum(int(d) * (1 if n % 2 == 0 else 3) for n, d in enumerate(reversed(code))) % 10 == 0


# the catalogue


def catalogue_lines() -> Iterator[ET.Element]:
    """The lines of the catalogue."""
    yield from root_of("ropewalk-casks-catalogue-2027-01-01.xml").iter(f"{CAC}CatalogueLine")


def seller_code(line: ET.Element) -> str:
    """The supplier's number of an item."""
    return line.findtext(f"{CAC}Item/{CAC}SellersItemIdentification/{CBC}ID") or ""


ORDERS = {
    "CatalogueLine": (
        "ID ActionCode OrderableIndicator OrderableUnit ContentUnitQuantity OrderQuantityIncrementNumeric "
        "MinimumOrderQuantity PackLevelCode LineValidityPeriod ItemComparison RequiredRelatedItem "
        "RequiredItemLocationQuantity Item"
    ),
    "Item": (
        "PackQuantity PackSizeNumeric Name SellersItemIdentification StandardItemIdentification ClassifiedTaxCategory"
    ),
    "Price": "PriceAmount BaseQuantity PriceType ValidityPeriod",
    "RequiredItemLocationQuantity": "MinimumQuantity MaximumQuantity Price",
}
"""Elements in the order of the schema (OASIS UBL 2.1, CommonAggregateComponents; Peppol T19 keeps it)."""


def test_the_catalogue_keeps_the_order_of_the_schema() -> None:
    root = root_of("ropewalk-casks-catalogue-2027-01-01.xml")
    assert root.tag == f"{{{UBL}Catalogue-2}}Catalogue"
    assert root.findtext(f"{CBC}CustomizationID") == "urn:fdc:peppol.eu:poacc:trns:catalogue:3"
    for name, order in ORDERS.items():
        known = order.split()
        for element in root.iter(f"{CAC}{name}"):
            places = [known.index(child.tag.partition("}")[2]) for child in element]
            assert places == sorted(places), name


def test_the_numbers_of_a_catalogue_check() -> None:
    codes = [e.text or "" for e in root_of("ropewalk-casks-catalogue-2027-01-01.xml").iter(f"{CBC}ID")
             if e.get("schemeID") in ("0160", "0088")]  # fmt: skip
    assert len(codes) > 18
    assert [code for code in codes if len(code) not in (13, 14) or not check_digit_holds(code)] == []
    items = [line.findtext(f"{CAC}Item/{CAC}StandardItemIdentification/{CBC}ID") for line in catalogue_lines()]
    assert len(set(items)) == len(items)
    # a bottle has another number than its case: GS1 General Specifications, 2.1
    sold = {seller_code(line): line for line in catalogue_lines()}
    for code in catalogue.PRICES:
        stated = sold[code].findtext(f"{CAC}Item/{CAC}StandardItemIdentification/{CBC}ID")
        assert (stated == f"0{quoted(code, catalogue.ISSUED).gtin}") == (code not in catalogue.SINGLE), code


def test_packs_and_compared_prices_of_the_catalogue_agree() -> None:
    """Price of the orderable unit = price of a litre x litres in it, to what two decimals of a litre can say."""
    factors = {"MLT": Decimal("0.001"), "LTR": Decimal(1)}  # Rec 20
    whole = []
    for line in catalogue_lines():
        content = line.find(f"{CBC}ContentUnitQuantity")
        compared = line.find(f"{CAC}ItemComparison")
        if content is None or compared is None:
            continue
        units = number(line, f"{CAC}Item/{CBC}PackSizeNumeric")
        litres = Decimal(content.text or "") * factors[content.get("unitCode", "")]
        price = number(line, f"{CAC}RequiredItemLocationQuantity/{CAC}Price/{CBC}PriceAmount")
        litre = number(compared, f"{CBC}PriceAmount")
        reckoned = [n for n, held in (("each", litres * units), ("whole", litres))
                    if abs(litre * held - price) <= Decimal("0.0051") * held]  # fmt: skip
        assert reckoned, seller_code(line)
        if "each" not in reckoned:
            whole.append(seller_code(line))
        below = number(line, f"{CAC}Item/{CBC}PackQuantity")
        assert units % below == 0
    assert whole == ["RC-230"]


def test_breaks_days_and_actions_of_the_catalogue() -> None:
    root = root_of("ropewalk-casks-catalogue-2027-01-01.xml")
    period = [root.findtext(f"{CAC}ValidityPeriod/{CBC}{end}Date") or "" for end in ("Start", "End")]
    assert period == ["2027-01-01", "2027-12-31"]
    codes = {seller_code(line) for line in catalogue_lines()}
    actions = Counter(line.findtext(f"{CBC}ActionCode") for line in catalogue_lines())
    assert actions == {"Update": len(codes) - 3, "Add": 2, "Delete": 1}
    asked, broken, related, shorter = [], {}, {}, []
    for line in catalogue_lines():
        code = seller_code(line)
        steps = line.findall(f"{CAC}RequiredItemLocationQuantity")
        asked += [code] * sum(s.findtext(f"{CAC}Price/{CBC}PriceType") == "AAN" for s in steps)  # UNCL 5387
        least = [number(s, f"{CBC}MinimumQuantity") for s in steps]
        for step, after in zip(steps, least[1:], strict=False):
            assert number(step, f"{CBC}MaximumQuantity") == after - 1
        prices = [number(s, f"{CAC}Price/{CBC}PriceAmount") for s in steps]
        assert prices == sorted(prices, reverse=True)
        if len(steps) > 1:
            broken[code] = [str(n) for n in least]
        for needed in line.iter(f"{CAC}RequiredRelatedItem"):
            related[code] = needed.findtext(f"{CBC}ID") or ""
        for inner in line.iter():
            first, last = inner.findtext(f"{CBC}StartDate"), inner.findtext(f"{CBC}EndDate")
            if first is not None and last is not None:
                assert period[0] <= first <= last <= period[1]
                shorter += [code] if last < period[1] else []
    assert asked == ["RC-206"]
    assert broken == {"RC-204": ["1", "3", "10"], "RC-240": ["1", "6"]}
    assert related == {code: f"{code}-D" for code in ("RC-240", "RC-241", "RC-250")}
    assert codes >= set(related.values())
    assert set(shorter) == {"RC-221"}
    units = {line.findtext(f"{CBC}OrderableUnit") for line in catalogue_lines()}
    assert units == {"XCS", "XBO", "XKG", "XCR"}  # Rec 21 with its X
    deposits = {seller_code(line): number(line, f"{CAC}RequiredItemLocationQuantity/{CAC}Price/{CBC}PriceAmount")
                for line in catalogue_lines() if seller_code(line) in related.values()}  # fmt: skip
    assert deposits == {f"{code}-D": quoted(code, catalogue.ISSUED).deposit for code in related}


# the credit note


def test_the_credit_note_adds_up_and_answers_the_invoice() -> None:
    root = root_of("ropewalk-casks-credit-2026-11-24.xml")
    billed = root_of("ropewalk-casks-invoice-2026-11-17.xml")
    assert root.tag == f"{{{UBL}CreditNote-2}}CreditNote"
    assert root.findtext(f"{CBC}CreditNoteTypeCode") == "381"  # UNTDID 1001
    corrected = root.find(f"{CAC}BillingReference/{CAC}InvoiceDocumentReference")  # BT-25, BT-26
    assert corrected is not None
    for name in ("ID", "IssueDate"):
        assert corrected.findtext(f"{CBC}{name}") == billed.findtext(f"{CBC}{name}")
    lines = list(root.iter(f"{CAC}CreditNoteLine"))
    net = Decimal(0)
    for line in lines:
        stated = number(line, f"{CBC}LineExtensionAmount")
        assert stated == cents(number(line, f"{CBC}CreditedQuantity") * number(line, f"{CAC}Price/{CBC}PriceAmount"))
        assert number(line, f"{CBC}CreditedQuantity") > 0
        net += stated
    total = root.find(f"{CAC}LegalMonetaryTotal")
    assert total is not None
    assert number(total, f"{CBC}LineExtensionAmount") == net  # BR-CO-10
    assert number(total, f"{CBC}TaxExclusiveAmount") == net  # BR-CO-13, no allowances or charges
    tax = number(root, f"{CAC}TaxTotal/{CBC}TaxAmount")
    group = root.find(f"{CAC}TaxTotal/{CAC}TaxSubtotal")
    assert group is not None
    assert number(group, f"{CBC}TaxableAmount") == net  # BR-S-8
    assert number(group, f"{CBC}TaxAmount") == tax == cents(net * Decimal("0.19"))  # BR-CO-14, BR-CO-17
    assert (
        number(total, f"{CBC}TaxInclusiveAmount") == net + tax == number(total, f"{CBC}PayableAmount")
    )  # BR-CO-15, 16
    rum = next(line for line in billed.iter(f"{CAC}InvoiceLine") if seller_code(line) == "RC-201")
    over = number(rum, f"{CAC}Price/{CBC}PriceAmount") - quoted("RC-201", invoice.DAY).price
    assert number(lines[0], f"{CAC}Price/{CBC}PriceAmount") == over == Decimal("1.20")
    assert number(lines[0], f"{CBC}CreditedQuantity") == number(rum, f"{CBC}InvoicedQuantity")
    assert number(lines[1], f"{CBC}LineExtensionAmount") == quoted("RC-240", credit.DAY).deposit


# the invoice in a PDF


@cache
def reader() -> PdfReader:
    """The PDF, opened."""
    return PdfReader(PRICES / "north-quay-invoice-2026-11-16.pdf", strict=True)


def attached() -> ET.Element:
    """The XML inside, parsed."""
    (content,) = reader().attachments["factur-x.xml"]
    return ET.fromstring(content)


def test_the_cii_invoice_adds_up() -> None:
    root = attached()
    lines = list(root.iter(f"{RAM}IncludedSupplyChainTradeLineItem"))
    base: dict[Decimal, Decimal] = {}
    total = Decimal(0)
    for line in lines:
        price = line.find(f"{RAM}SpecifiedLineTradeAgreement/{RAM}NetPriceProductTradePrice")
        assert price is not None
        settled = line.find(f"{RAM}SpecifiedLineTradeSettlement")
        assert settled is not None
        quantity = number(line, f"{RAM}SpecifiedLineTradeDelivery/{RAM}BilledQuantity")
        net = number(settled, f"{RAM}SpecifiedTradeSettlementLineMonetarySummation/{RAM}LineTotalAmount")
        assert number(price, f"{RAM}ChargeAmount") >= 0  # BR-27
        assert net == cents(quantity * number(price, f"{RAM}ChargeAmount") / number(price, f"{RAM}BasisQuantity"))
        rate = number(settled, f"{RAM}ApplicableTradeTax/{RAM}RateApplicablePercent")
        base[rate] = base.get(rate, Decimal(0)) + net
        total += net
    head = root.find(f".//{RAM}ApplicableHeaderTradeSettlement")
    assert head is not None
    sums = head.find(f"{RAM}SpecifiedTradeSettlementHeaderMonetarySummation")
    assert sums is not None
    allowance = number(head, f"{RAM}SpecifiedTradeAllowanceCharge/{RAM}ActualAmount")
    part = head.find(f"{RAM}SpecifiedTradeAllowanceCharge")
    assert part is not None
    assert allowance == cents(number(part, f"{RAM}BasisAmount") * number(part, f"{RAM}CalculationPercent") / 100)
    base[number(part, f"{RAM}CategoryTradeTax/{RAM}RateApplicablePercent")] -= allowance
    assert number(sums, f"{RAM}LineTotalAmount") == total  # BR-CO-10
    assert number(sums, f"{RAM}AllowanceTotalAmount") == allowance  # BR-CO-11
    assert number(sums, f"{RAM}TaxBasisTotalAmount") == total - allowance  # BR-CO-13
    groups = head.findall(f"{RAM}ApplicableTradeTax")
    assert {number(g, f"{RAM}RateApplicablePercent"): number(g, f"{RAM}BasisAmount") for g in groups} == base  # BR-S-8
    taxes = Decimal(0)
    for group in groups:
        tax = number(group, f"{RAM}CalculatedAmount")
        rate = number(group, f"{RAM}RateApplicablePercent")
        assert tax == cents(number(group, f"{RAM}BasisAmount") * rate / 100)  # BR-CO-17
        taxes += tax
    assert number(sums, f"{RAM}TaxTotalAmount") == taxes  # BR-CO-14
    assert number(sums, f"{RAM}GrandTotalAmount") == total - allowance + taxes  # BR-CO-15
    assert number(sums, f"{RAM}DuePayableAmount") == number(sums, f"{RAM}GrandTotalAmount")  # BR-CO-16
    assert len(groups) == 2


def test_the_cii_invoice_bills_what_the_morning_brought() -> None:
    van = {}
    for row in (HOME / "deliveries/2026-10-26-to-2026-11-22.csv").read_text("utf-8").splitlines():
        cells = re.sub(r'"[^"]*"', "-", row).split(",")
        if cells[:2] == [str(hybrid.DAY), "North Quay Fruit"]:
            van[cells[3]] = Decimal(cells[5])
    billed, weighed, dearer, other = {}, [], [], []
    for line in attached().iter(f"{RAM}IncludedSupplyChainTradeLineItem"):
        code = line.findtext(f"{RAM}SpecifiedTradeProduct/{RAM}SellerAssignedID")
        element = line.find(f"{RAM}SpecifiedLineTradeDelivery/{RAM}BilledQuantity")
        assert element is not None
        quantity = Decimal(element.text or "")
        price = number(line, f"{RAM}SpecifiedLineTradeAgreement/{RAM}NetPriceProductTradePrice/{RAM}ChargeAmount")
        if code is None:
            other.append((line.findtext(f"{RAM}SpecifiedTradeProduct/{RAM}Name"), quantity > 0))
            continue
        quote = quoted(code, hybrid.DAY)
        if element.get("unitCode") == "KGM":
            weighed.append(code)
            pack = quote.content.value * prod(quote.levels)
            assert quote.content.unit == "kg"
            assert abs(quantity / pack - van[code]) < Decimal("0.05")  # a crate is never quite what it says
            quantity, price = van[code], price * pack
        billed[code] = quantity
        dearer += [code] if price != quote.price else []
    assert billed == van
    assert weighed == ["NQ-101"]
    assert dearer == ["NQ-104"]
    assert hybrid.DEARER["NQ-104"] > quoted("NQ-104", hybrid.DAY).price
    assert other == [("Deposit crate", True), ("Returned crates", False)]


def test_the_pdf_carries_one_file_and_says_so() -> None:
    """Factur-X 1.0 (FNFE-MPE and FeRD), 6.2: name, relationship, association, metadata."""
    root: Any = reader().root_object
    assert list(reader().attachments) == ["factur-x.xml"]
    (spec,) = (entry.get_object() for entry in root["/AF"])
    assert spec["/AFRelationship"] == "/Data"
    assert spec["/F"] == spec["/UF"] == "factur-x.xml"
    file = spec["/EF"]["/F"].get_object()
    assert file["/Subtype"] == "/text/xml"
    assert file["/Params"]["/Size"] == len(file.get_data())
    assert file.get_data() == hybrid.invoice_xml().encode()
    xmp = ET.fromstring(root["/Metadata"].get_object().get_data())
    space = "{urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#}"
    stated = {e.tag.removeprefix(space): e.text for e in xmp.iter() if e.tag.startswith(space)}
    assert stated == {"DocumentFileName": "factur-x.xml", "DocumentType": "INVOICE", "Version": "1.0",
                      "ConformanceLevel": "EN 16931"}  # fmt: skip
    described = [e.text for e in xmp.iter("{http://www.aiim.org/pdfa/ns/property#}name")]
    assert sorted(described, key=str) == sorted(stated)
    part = {
        e.tag.partition("}")[2]: e.text for e in xmp.iter() if e.tag.startswith("{http://www.aiim.org/pdfa/ns/id/}")
    }
    assert part == {"part": "3", "conformance": "B"}


def test_the_pdf_is_near_to_pdf_a_3() -> None:
    """ISO 19005-3: every font embedded, an output intent for the grey, old and new metadata say the same."""
    root: Any = reader().root_object
    fonts: Any = reader().pages[0]["/Resources"]["/Font"]  # type: ignore[index]
    assert len(fonts) == 1
    for font in fonts.values():
        described = font.get_object()["/FontDescriptor"].get_object()
        assert "/FontFile2" in described
        assert "/ToUnicode" in font.get_object()
    assert not reader().is_encrypted
    (intent,) = (entry.get_object() for entry in root["/OutputIntents"])
    profile = ImageCms.ImageCmsProfile(io.BytesIO(intent["/DestOutputProfile"].get_object().get_data()))
    assert profile.profile.xcolor_space == "GRAY"  # littleCMS reads it
    xmp, about = reader().xmp_metadata, reader().metadata
    assert xmp is not None
    assert about is not None
    assert (xmp.dc_title or {})["x-default"] == about.title
    assert xmp.pdf_producer == about.producer
    contents = reader().pages[0].get_contents()
    assert contents is not None
    drawn = contents.get_data()
    assert not re.search(rb"\b(rg|RG|k|K)\s", drawn)  # black of DeviceGray only


def test_the_page_shows_the_lines_and_sums_of_the_xml() -> None:
    shown = reader().pages[0].extract_text().splitlines()
    for line in hybrid.lines():
        for text in (line.name, str(line.quantity), str(line.price), str(line.net)):
            assert text in shown, text
    found = hybrid.sums(hybrid.lines())
    for amount in (found.lines, -found.allowance, found.net, found.gross, *(tax for _, _, tax in found.groups)):
        assert str(amount) in shown
    assert any(hybrid.NUMBER in text for text in shown)


# the sheet


def test_the_sheet_hides_what_it_says_it_hides() -> None:
    book = load_workbook(PRICES / "customs-street-2026-12-10.xlsx")
    assert [(s.title, s.sheet_state) for s in book.worksheets] == [("List", "visible"), ("Buying", "hidden")]
    sheet = book["List"]
    hidden = [n for n, row in sheet.row_dimensions.items() if row.hidden]
    remarks = {sheet.cell(n, 1).value: sheet.cell(n, 9).value for n in hidden}
    assert remarks == {302: "price 2025", 316: "delisted"}
    assert [letter for letter, column in sheet.column_dimensions.items() if column.hidden] == ["H"]
    merged = {str(cells) for cells in sheet.merged_cells.ranges}
    assert {"A1:I1", "D5:E5", "F5:G5", "A5:A6", "B5:B6"} <= merged
    headings = [[sheet.cell(at, n).value for n in range(4, 8)] for at in (5, 6)]
    assert headings == [["Pack", None, "Price", None], ["units", "content", "case", "bottle"]]
    assert sheet["C3"].value.date() == date(2026, 12, 10)
    groups = [sheet.cell(n, 1).value for n in range(7, sheet.max_row + 1) if isinstance(sheet.cell(n, 1).value, str)]
    assert len(groups) == 4


def test_the_sheet_keeps_values_beside_its_formulas_but_for_one() -> None:
    path = PRICES / "customs-street-2026-12-10.xlsx"
    written, kept = load_workbook(path)["List"], load_workbook(path, data_only=True)["List"]
    seen, without, typed = 0, [], []
    for n in range(morelists.FIRST_ROW, written.max_row + 1):
        code, units = written.cell(n, 1).value, written.cell(n, 4).value
        if not isinstance(code, int):
            continue
        assert written.cell(n, 1).number_format == "00000"
        assert check_digit_holds(str(written.cell(n, 3).value))
        case, each = kept.cell(n, 6).value, kept.cell(n, 7).value
        if isinstance(case, str):
            typed.append((case, each))
            continue
        formulas = [c for c in (6, 7) if str(written.cell(n, c).value).startswith("=")]
        assert len(formulas) == 1
        seen += 1
        if case is None:
            without.append((code, written.cell(n, 6).value))
            continue
        assert each == pytest.approx(case / units, abs=1e-12)
        assert "€" in written.cell(n, 6).number_format
    assert seen > 15
    assert without == [(307, "=G18*D18")]
    assert typed == [("1\u00a0068,00\u00a0€", "26,70\u00a0€")]


def test_the_sheet_is_of_goods_the_house_buys_there() -> None:
    sheet = load_workbook(PRICES / "customs-street-2026-12-10.xlsx", data_only=True)["List"]
    moved, new = [], []
    for row in sheet.iter_rows(min_row=morelists.FIRST_ROW, values_only=True):
        if not isinstance(row[0], int):
            continue
        code = f"CS-{row[0]}"
        if not any(q.code == code for q in book().all(Quote).values()):
            new.append(row[0])
            continue
        quote = quoted(code, date(2026, 12, 1))
        assert str(row[2]) == quote.gtin
        assert row[3] == prod(quote.levels)
        if row[8] == "price 2025":
            assert Decimal(str(row[5])) == quoted(code, date(2025, 12, 1)).price
        elif isinstance(row[5], int | float):
            before = quote.price / (1 + (quote.tax_rate or 0)) if quote.tax == "inc" else quote.price
            assert abs(Decimal(str(row[5])) / before - 1) < Decimal("0.06"), code
            moved += [row[0]] if Decimal(str(row[5])) != quote.price else []
    assert sorted(moved) == sorted(morelists.MOVED)
    assert new == [315, 336, 316]


# the paste


def test_the_mail_is_a_table_by_tabs_with_two_lines_to_doubt() -> None:
    raw = (PRICES / "quay-mail.txt").read_bytes().decode("utf-8")
    rows = [line.split("\t") for line in raw.removesuffix("\r\n").split("\r\n")]
    assert {len(row) for row in rows} == {4}
    doubted = []
    for code, _, pack, price in rows[1:]:
        if not any(q.code == code for q in book().all(Quote).values()):
            continue
        quote = quoted(code, date(2026, 12, 1))
        moves = abs(Decimal(price.replace(",", ".")) / quote.price - 1)
        if moves > Decimal("0.15") or not re.search(r"\d ?(kg|g|l)$", pack):
            doubted.append(code)
    assert doubted == list(morelists.DOUBTED)


# written the same every time


def test_a_sheet_does_not_depend_on_what_writes_its_xml() -> None:
    """The library uses lxml where there is one; the bytes are the same without."""
    code = (
        "import hashlib; from sample_data import morelists, pricefiles; "
        "print(hashlib.sha256(morelists.store_sheet() + pricefiles.casks_sheet()).hexdigest())"
    )
    said = {
        subprocess.run([sys.executable, "-c", code], env=os.environ | {"OPENPYXL_LXML": lxml}, capture_output=True,
                       text=True, check=True, cwd=HOME.parent).stdout
        for lxml in ("True", "False")
    }  # fmt: skip
    assert len(said) == 1


def test_new_files_are_written_and_small() -> None:
    files = make.files()
    for name in ("customs-street-2026-12-10.xlsx", "ropewalk-casks-catalogue-2027-01-01.xml", "quay-mail.txt",
                 "ropewalk-casks-credit-2026-11-24.xml", "north-quay-invoice-2026-11-16.pdf"):  # fmt: skip
        assert files[f"prices/{name}"] == (PRICES / name).read_bytes()
        assert len(files[f"prices/{name}"]) < 100_000


# terms, order, rate, sales


def test_suppliers_state_their_terms_and_the_names_of_their_documents() -> None:
    suppliers = book().all(Supplier)
    for ident in ("north-quay", "casks", "dry-store"):
        supplier = suppliers[ident]
        assert supplier.tax == "ex"
        assert supplier.tax_rate in (Decimal("0.07"), Decimal("0.19"))
        assert supplier.freight is not None
        assert supplier.free_from is not None
        assert supplier.minimum is not None
    assert set(invoice.SELLER) & {suppliers["casks"].name, *suppliers["casks"].names} == {
        "Ropewalk Casks", "XH100200300",
    }  # fmt: skip
    assert {hybrid.SELLER[0], hybrid.SELLER[3]} <= set(suppliers["north-quay"].names)


def test_the_order_is_what_the_invoice_answers() -> None:
    (order,) = book().all(Order).values()
    billed = root_of("ropewalk-casks-invoice-2026-11-17.xml")
    assert order.number == billed.findtext(f"{CBC}BuyerReference")
    by_good = {line.good: line for line in order.lines}
    codes = {}
    for line in billed.iter(f"{CAC}InvoiceLine"):
        if seller_code(line):
            quote = quoted(seller_code(line), order.day)
            codes[quote.good] = number(line, f"{CBC}InvoicedQuantity")
            ordered = by_good[quote.good]
            assert (ordered.price, ordered.levels, ordered.content) == (quote.price, quote.levels, quote.content)
    assert codes == {good: line.packs for good, line in by_good.items()}
    assert order.day < invoice.DAY


def test_the_foreign_quote_has_a_rate_and_costs_nothing_in_use() -> None:
    (rate,) = book().all(ExchangeRate).values()
    assert rate.currency == "CHF"
    on = date(2026, 11, 15)
    view = book().on(on)
    unit, _ = unit_of_good(view.goods["orange-liqueur"], view.measures)
    found = {q.supplier: price_of_quote(view, q, unit) for q in view.offers("orange-liqueur")}
    foreign = found["dry-store"]
    assert isinstance(foreign, UnitPrice)
    # 76.50 francs at 1.06 for six bottles of 0.7 l
    assert foreign.per_base == pytest.approx(76.50 * 1.06 / 4.2, rel=1e-12)
    assert view.offers("orange-liqueur")[0].supplier == "casks"


def test_four_weeks_of_sales_are_those_of_the_till_files() -> None:
    assert len(book().all(SalesPeriod)) == 12
    period = recent_sales(book(), date(2026, 11, 22))
    assert period is not None
    assert (period.since, period.until, period.days) == (date(2026, 10, 26), date(2026, 11, 22), 28)
    by_plu = {b.plu: b.serve for b in sales.BUTTONS} | {plu: s for s, (plu, _) in sales.HAPPY_PLU.items()}
    paid: Counter[str] = Counter()
    for week in range(44, 48):
        for row in (HOME / f"sales/2026-W{week}.csv").read_text("utf-8").splitlines()[4:]:
            cells = re.sub(r'"[^"]*"', "-", row).split(",")
            if cells[1] in by_plu and cells[10] in ("", "V"):
                paid[by_plu[cells[1]]] += int(cells[4])
    counted: Counter[str] = Counter()
    for line in period.sold:
        counted[line.serve] += int(line.count)
    assert counted == paid
    assert len(counted) == 21
