"""Units against published factors, and the house's own measures."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book import Book, parse_fact
from costing.book.records import House, Terms
from costing.book.units import Dim, UnitDef, lookup

D = Decimal
KELVIN = 273.15


@pytest.mark.parametrize(
    ("unit", "dim", "factor"),
    [
        # NIST Special Publication 811 (2008), appendix B, exact by definition
        ("lb", Dim.MASS, D("0.45359237")),
        ("oz av", Dim.MASS, D("0.028349523125")),
        ("us fl oz", Dim.VOLUME, D("0.0295735295625")),
        ("us pint", Dim.VOLUME, D("0.473176473")),
        ("us gal", Dim.VOLUME, D("3.785411784")),
        ("bar", Dim.PRESSURE, D(1000)),
        ("kpa", Dim.PRESSURE, D(10)),
        ("hPa", Dim.PRESSURE, D(1)),
        # Units of Measurement Regulations 1995 (UK)
        ("imp gal", Dim.VOLUME, D("4.54609")),
        ("imp pint", Dim.VOLUME, D("0.56826125")),
        ("imp fl oz", Dim.VOLUME, D("0.0284130625")),
        # the SI's own prefixes
        ("kg", Dim.MASS, D(1)),
        ("g", Dim.MASS, D("0.001")),
        ("mg", Dim.MASS, D("0.000001")),
        ("l", Dim.VOLUME, D(1)),
        ("dl", Dim.VOLUME, D("0.1")),
        ("cl", Dim.VOLUME, D("0.01")),
        ("ml", Dim.VOLUME, D("0.001")),
        ("hl", Dim.VOLUME, D(100)),
        ("kg/m3", Dim.DENSITY, D("0.001")),
        ("g/ml", Dim.DENSITY, D(1)),
        ("g/100 ml", Dim.CONCENTRATION, D(10)),
        ("w", Dim.POWER, D("0.001")),
        ("%", Dim.RATIO, D("0.01")),
        ("% vol", Dim.STRENGTH, D("0.01")),
        ("Bx", Dim.BRIX, D("0.01")),
    ],
)
def test_a_unit_is_what_is_published(unit: str, dim: Dim, factor: Decimal) -> None:
    found = lookup(unit)
    assert found is not None
    assert found == UnitDef(dim, factor)


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        ("mmHg", 1.33322),  # NIST SP 811: 133.3224 Pa; the torr differs from it in the seventh figure
        ("torr", 1.333224),
        ("min", 1 / 60),
        ("s", 1 / 3600),
        ("f", 5 / 9),
    ],
)
def test_a_unit_that_no_decimal_holds_is_near_enough(unit: str, factor: float) -> None:
    found = lookup(unit)
    assert found is not None
    assert float(found.factor) == pytest.approx(factor, rel=3e-6)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0.0), (212, 100.0), (-40, -40.0), (68, 20.0), (98.6, 37.0)])
def test_fahrenheit(fahrenheit: float, celsius: float) -> None:
    found = lookup("°F")
    assert found is not None
    assert float(D(str(fahrenheit)) * found.factor + found.offset) == pytest.approx(celsius, abs=1e-9)


def test_ounces_and_gallons_divide_as_they_should() -> None:
    def factor(unit: str) -> Decimal:
        found = lookup(unit)
        assert found is not None
        return found.factor

    assert factor("us gal") == 128 * factor("us fl oz") == 8 * factor("us pint")
    assert factor("imp gal") == 160 * factor("imp fl oz") == 8 * factor("imp pint")
    assert factor("lb") == 16 * factor("oz av")
    assert factor("us fl oz") / factor("imp fl oz") == pytest.approx(D("1.0408"), abs=D("0.0001"))


@pytest.mark.parametrize("unit", ["oz", "ounce", "ounces", "pint", "gal", "cup", "spoon", "shot", "mil", "kgs.", "µl"])
def test_a_unit_that_could_be_two_things_or_none_is_not_known(unit: str) -> None:
    assert lookup(unit) is None


@pytest.mark.parametrize("text", ["ML", "Ml", " ml ", "US  FL  OZ", "°C", "BRIX", "% VOL"])
def test_case_and_spaces_do_not_matter(text: str) -> None:
    assert lookup(text) is not None


def _measures(**typed: str) -> dict[str, UnitDef]:
    house = House(
        id="house",
        name="House",
        currency="EUR",
        terms=(Terms(since=date(2026, 1, 1)),),
        measures=tuple((name, parse_fact(text)) for name, text in typed.items()),
    )
    return dict(Book.of([house]).on(date(2026, 3, 2)).measures)


@pytest.mark.parametrize(("unit", "litres"), [("dash", "0.0008"), ("dashes", "0.0008"), ("Dashes", "0.0008")])
def test_a_house_measure_is_found_in_the_plural(unit: str, litres: str) -> None:
    found = lookup(unit, _measures(dash="0.8 ml"))
    assert found == UnitDef(Dim.VOLUME, D(litres))


def test_a_house_may_say_what_its_ounce_is() -> None:
    assert lookup("oz", _measures(oz="1 us fl oz")) == UnitDef(Dim.VOLUME, D("0.0295735295625"))
    assert lookup("oz", _measures(oz="1 imp fl oz")) == UnitDef(Dim.VOLUME, D("0.0284130625"))
    assert lookup("oz") is None


def test_a_measure_by_weight_or_by_piece() -> None:
    found = _measures(pinch="0.3 g", splash="5 ml", bunch="12 each")
    assert found["pinch"] == UnitDef(Dim.MASS, D("0.0003"))
    assert found["bunch"] == UnitDef(Dim.COUNT, D(12))


@pytest.mark.parametrize("text", ["5 min", "3 spoons", "40 % vol", "2 kw"])
def test_a_measure_of_something_else_is_no_measure(text: str) -> None:
    assert _measures(splash=text) == {}
