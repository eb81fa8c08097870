"""Cells whose number format names money: its currency is the line's, whatever the house counts in."""

from datetime import date

from costing.supply.arriving.table import Figure, MoneyFigure, Table
from costing.supply.columns import understand

HEAD = ("Code", "Name", "Pack", "Price ex VAT")


def lines(price: Figure):  # type: ignore[no-untyped-def]
    table = Table(
        shape="xlsx", rows=(HEAD, ("A1", "Gin Fogbell", "6 x 70 cl", price), ("A2", "Rum Kelp", "6 x 1 l", price))
    )
    return understand(table, name="list.xlsx", digest="d", today=date(2026, 11, 28)).lines


def test_a_code_in_the_format_is_the_currency() -> None:
    assert {line.currency for line in lines(MoneyFigure("84.5", "CHF"))} == {"CHF"}


def test_a_sign_of_several_currencies_is_doubted() -> None:
    for line in lines(MoneyFigure("84.5", "$")):
        assert "currency-unknown" in {d.code for d in line.doubts}
    assert not any(d.code == "currency-unknown" for line in lines(Figure("84.5")) for d in line.doubts)
