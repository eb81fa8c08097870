"""The first rows as they will be understood."""

from costing.supply.columns import guess_columns, preview
from tests.supply.columns.making import TODAY, read, table

LIST = """
    gültig ab 01.12.2026;;;
    Code;Name;Pack;Preis EUR
    SPIRITS;;;
    A1;Gin;6 x 70cl;1.204
    .
    A2;Rum;6 x 70cl;22,50
    A3;Rye;70 cl;auf Anfrage
"""


def test_texts_stand_beside_their_values() -> None:
    made = table(LIST)
    columns = guess_columns(made).columns
    shown = preview(made, columns, today=TODAY)
    assert [(row.where, row.why) for row in shown] == [("row 3", "group"), ("row 4", ""), ("row 6", ""), ("row 7", "")]
    assert [(cell.role, cell.text, cell.value) for cell in shown[1].cells] == [
        ("code", "A1", "A1"), ("name", "Gin", "Gin"), ("pack", "6 x 70cl", "6 x 700 ml"), ("price", "1.204", "1204"),
    ]  # fmt: skip
    assert [cell.value for cell in shown[3].cells] == ["A3", "Rye", "700 ml", ""]
    assert [doubt.code for doubt in shown[3].doubts] == ["on-request"]


def test_the_preview_is_the_reading() -> None:
    made = table(LIST)
    columns = guess_columns(made).columns
    lines = [row.line for row in preview(made, columns, today=TODAY) if row.line]
    assert tuple(lines) == read(made, columns).lines
    assert len(preview(made, columns, 2, today=TODAY)) == 2
