"""GTIN by the GS1 rule, UN/ECE units by the international definitions, currencies by ISO 4217."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.supply.packs import currency_of_text, gtin14, gtin_ok, minor_digits, unit_of_code

GOOD = ["96385074", "614141007349", "036000291452", "4006381333931", "5901234123457", "10614141007346",
        "05704066204093", "08722700577584"]  # fmt: skip
BAD = ["8722700577588", "1234567890114", "1234567890124", "21382183120983"]


def test_the_published_worked_example() -> None:
    """GS1, How to calculate a check digit manually: 629104150021 comes to 57, the check digit is 3."""
    assert gtin_ok("6291041500213")
    assert [n for n in range(10) if gtin_ok(f"629104150021{n}")] == [3]


@pytest.mark.parametrize("text", GOOD)
def test_numbers_that_are_right(text: str) -> None:
    assert gtin_ok(text)
    assert gtin14(text) == (text.rjust(14, "0"), ())


@pytest.mark.parametrize("text", BAD)
def test_a_wrong_check_digit_is_kept_and_doubted(text: str) -> None:
    assert not gtin_ok(text)
    kept, doubts = gtin14(text)
    assert (kept, [d.code for d in doubts]) == (text.rjust(14, "0"), ["gtin-check"])


@pytest.mark.parametrize(
    "text", ["", "12345", "192387129837129873", "123456789012a", "٤٠٠٦٣٨١٣٣٣٩٣١", "4006381333931 "]
)
def test_what_is_no_gtin_is_not_ok(text: str) -> None:
    assert not gtin_ok(text)


def test_an_sscc_has_the_same_rule_and_names_no_good() -> None:
    """GS1 general specifications: an SSCC has 18 digits; the number is from memory."""
    right = [f"10614141192837465{n}" for n in range(10) if gtin_ok(f"10614141192837465{n}")]
    assert len(right) == 1
    assert [d.code for d in gtin14(right[0])[1]] == ["gtin-sscc"]


@pytest.mark.parametrize(
    ("text", "kept", "codes"),
    [
        ("36000291452", "00036000291452", ["gtin-padded"]),
        ("614141007349.0", "00614141007349", ["gtin-decimals"]),
        ("6.14141007349E+11", "00614141007349", ["gtin-power"]),
        ("6.14E+11", "", ["gtin-power"]),
        ("1.23E+11", "", ["gtin-power"]),
        ("5 901234 123457", "05901234123457", ["gtin-spaces"]),
        ("5-901234-123457", "05901234123457", ["gtin-spaces"]),
        ("'5901234123457", "05901234123457", []),
        ("٥٩٠١٢٣٤١٢٣٤٥٧", "05901234123457", []),
        ("RC-201", "", ["gtin-letters"]),
        ("0", "", ["gtin-zeros"]),
        ("12345", "", ["gtin-length"]),
        ("192387129837129", "", ["gtin-length"]),
        ("", "", []),
        ("36000291453", "00036000291453", ["gtin-check"]),
    ],
)
def test_what_lists_make_of_a_gtin(text: str, kept: str, codes: list[str]) -> None:
    found, doubts = gtin14(text)
    assert (found, [d.code for d in doubts]) == (kept, codes)


def check_digit(data: str) -> int:
    """The rule from the left, as it is told for a length: odd lengths of data begin with 3, even ones with 1."""
    weights = [3 if (len(data) - n) % 2 else 1 for n in range(len(data))]
    return -sum(int(d) * w for d, w in zip(data, weights, strict=True)) % 10


@given(st.sampled_from([7, 11, 12, 13, 17]).flatmap(lambda n: st.text("0123456789", min_size=n, max_size=n)), st.data())
def test_every_single_wrong_digit_is_found(digits: str, data: st.DataObject) -> None:
    right = f"{digits}{check_digit(digits)}"
    assert gtin_ok(right)
    place = data.draw(st.integers(0, len(right) - 1))
    other = data.draw(st.sampled_from([d for d in "0123456789" if d != right[place]]))
    assert not gtin_ok(right[:place] + other + right[place + 1 :])


@given(st.text(max_size=30))
def test_no_text_raises_and_what_is_kept_has_14_digits(text: str) -> None:
    kept, doubts = gtin14(text)
    assert kept == "" or (len(kept) == 14 and kept.isdigit())
    assert doubts or not kept or gtin_ok(kept)


INCH = Fraction(254, 100) ** 3
"""Cubic centimetres in a cubic inch: the inch is 2.54 cm (NIST SP 811)."""
US, UK, POUND = 231 * INCH, Fraction("4546.09"), Fraction("453.59237")
"""A US gallon is 231 cubic inches, a pound 0.45359237 kg (NIST SP 811); an imperial gallon 4.54609 l (SI 1995/1804)."""


@pytest.mark.parametrize(
    ("code", "dim", "factor"),
    [
        ("MLT", "ml", Fraction(1)), ("CLT", "ml", Fraction(10)), ("DLT", "ml", Fraction(100)), ("LTR",
        "ml", Fraction(1000)),
        ("HLT", "ml", Fraction(10**5)), ("CMQ", "ml", Fraction(1)), ("DMQ", "ml", Fraction(1000)),
        ("MTQ", "ml", Fraction(10**6)), ("GLL", "ml", US), ("QTL", "ml", US / 4), ("PTL", "ml", US / 8),
        ("GIA", "ml", US / 32), ("OZA", "ml", US / 128), ("GLI", "ml", UK), ("QTI", "ml", UK / 4), ("PTI",
        "ml", UK / 8),
        ("GII", "ml", UK / 32), ("OZI", "ml", UK / 160), ("BLL", "ml", US * 42),
        ("BUA", "ml", Fraction("2150.42") * INCH), ("BUI", "ml", UK * 8), ("PTD",
        "ml", Fraction("2150.42") * INCH / 64),
        ("MGM", "g", Fraction(1, 1000)), ("GRM", "g", Fraction(1)), ("DJ", "g", Fraction(10)), ("HGM",
        "g", Fraction(100)),
        ("KGM", "g", Fraction(1000)), ("TNE", "g", Fraction(10**6)), ("LBR", "g", POUND), ("ONZ", "g", POUND / 16),
        ("CWA", "g", POUND * 100), ("CWI", "g", POUND * 112), ("STN", "g", POUND * 2000), ("LTN", "g", POUND * 2240),
        ("APZ", "g", Fraction("31.1034768")), ("C62", "each", Fraction(1)), ("H87", "each", Fraction(1)),
        ("EA", "each", Fraction(1)), ("NAR", "each", Fraction(1)), ("PR", "each", Fraction(2)), ("DZN",
        "each", Fraction(12)),
        ("GRO", "each", Fraction(144)), ("CEN", "each", Fraction(100)), ("MIL", "each", Fraction(1000)),
        ("LPA", "alcohol", Fraction(1000)), ("ASU", "ratio", Fraction(1, 100)),
    ],
)  # fmt: skip
def test_a_factor_is_exact_by_definition(code: str, dim: str, factor: Fraction) -> None:
    found = unit_of_code(code)
    assert found is not None
    assert (found.dim, Fraction(found.factor)) == (dim, factor)


@pytest.mark.parametrize(
    ("code", "factor"),
    [("OZA", "29.5735295625"), ("OZI", "28.4130625"), ("GLL", "3785.411784"), ("GLI", "4546.09"), ("PTL", "473.176473"),
     ("PTI", "568.26125"), ("QTL", "946.352946"), ("LBR", "453.59237"), ("ONZ", "28.349523125"), ("CWA", "45359.237")],
)  # fmt: skip
def test_a_factor_in_figures(code: str, factor: str) -> None:
    """As the definitions come out in ml and g."""
    found = unit_of_code(code)
    assert found is not None
    assert found.factor == Decimal(factor)


def test_the_oil_barrel_is_no_beer_barrel() -> None:
    found = unit_of_code("BLL")
    assert found is not None
    assert (round(found.factor), found.note) == (158987, "unit-barrel")


@pytest.mark.parametrize(
    ("code", "package", "note"),
    [("XBO", "bottle", ""), ("XBQ", "bottle", ""), ("XCS", "case", ""), ("XCT", "carton", ""), ("XBX", "box", ""),
     ("XBW", "box for liquids", ""), ("XCR", "crate", ""), ("XCB", "beer crate", ""), ("XBC", "bottle crate", ""),
     ("XKG", "keg", ""), ("XCX", "can", ""), ("XTN", "tin", ""), ("XJR", "jar", ""), ("XJY", "jerrican", ""),
     ("XBG", "bag", ""), ("XEC", "plastic bag", ""), ("XSA", "sack", ""), ("XPO", "pouch", ""), ("XPJ", "punnet", ""),
     ("XPU", "tray", ""), ("XLU", "lug", ""), ("XBH", "bunch", ""), ("XBE", "bundle", ""), ("XTB", "tub", ""),
     ("XBJ", "bucket", ""), ("XDR", "drum", ""), ("XPA", "packet", ""), ("XPX", "pallet", ""), ("XPF", "pen",
     "unit-pen"),
     ("PF", "pallet", "unit-pen"), ("BO", "bottle", "unit-deprecated"), ("CS", "case", "unit-deprecated"),
     ("bx", "box", "unit-deprecated"), ("CT", "carton", "unit-deprecated")],
)  # fmt: skip
def test_a_package_says_in_what_and_never_how_much(code: str, package: str, note: str) -> None:
    """UN/ECE Recommendation 21, as code lists of UBL name it: X and the code."""
    found = unit_of_code(code)
    assert found is not None
    assert (found.dim, found.package, found.note) == ("package", package, note)
    assert found.factor == 1


def test_codes_of_usage_are_told_from_those_of_the_list() -> None:
    for code, note in [
        ("PT", "unit-deprecated"),
        ("QT", "unit-deprecated"),
        ("KG", "unit-keg"),
        ("L", "unit-unlisted"),
    ]:
        found = unit_of_code(code)
        assert found is not None
        assert found.note == note
    assert unit_of_code(" ltr ") == unit_of_code("LTR")
    assert unit_of_code("XYZ") is None


@pytest.mark.parametrize(
    ("text", "code"),
    [("EUR", "EUR"), ("eur", "EUR"), ("€", "EUR"), ("£ 8.20", "GBP"), ("Price EUR ex VAT", "EUR"), ("$", ""), ("US$",
    "USD"),
     ("¥", ""), ("kr", ""), ("zł", "PLN"), ("12 Kč", "CZK"), ("all prices", ""), ("ALL PRICES IN EUR", "EUR"),
     ("EUR 3 / USD 4", ""), ("XAU", ""), ("XXX", ""), ("PEN", "PEN"), ("pen", ""), ("", ""), ("Preis € netto", "EUR")],
)  # fmt: skip
def test_the_currency_of_a_text(text: str, code: str) -> None:
    assert currency_of_text(text) == code


@pytest.mark.parametrize(("code", "digits"), [("JPY", 0), ("EUR", 2), ("KWD", 3), ("IQD", 3), ("CLF", 4), ("ISK", 0)])
def test_minor_digits_are_those_of_iso_4217(code: str, digits: int) -> None:
    assert minor_digits(code) == digits


@given(st.text(max_size=40))
def test_no_text_raises_for_units_and_currencies(text: str) -> None:
    assert unit_of_code(text) is None or unit_of_code(text) is unit_of_code(text.upper())
    assert len(currency_of_text(text)) in (0, 3)
