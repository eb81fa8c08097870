"""Menu decisions on paper and in the workbook: published tables, and classes that follow a price typed over."""

import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any, Literal

import openpyxl
import pdfplumber
import pytest

from costing.book.selling import Judging
from costing.menu.figures import ItemRow
from costing.report.content import Head
from costing.report.decisions import DecisionRow, Decisions, DecisionSet, Walk, rule_words
from costing.report.figures.bridge import Bridge, BridgeStep
from costing.report.figures.scatter import Threshold
from costing.report.pdf_decisions import decisions_pages
from costing.report.sheet_decisions import decisions_sheet
from costing.tongue import PSEUDO_RTL, speaking
from tests.menu.examples import GEORGE, GEORGE_CLASSES, TEN, TEN_CLASSES, TWELVE, TWELVE_CLASSES

CLASSES = ("star", "plowhorse", "puzzle", "dog")
HEAD = Head(house="Lantern Bar", currency="EUR", money="EUR", day=date(2026, 11, 28), revision=7)


def judged(
    items: Sequence[ItemRow],
    classes: Sequence[str],
    *,
    cut: str = "0.7",
    tie: Literal["high", "low"] = "high",
    unsold: Literal["counted", "left out"] = "counted",
) -> Decisions:
    """A report on one set, whose thresholds are none of the sheet's business."""
    rows = tuple(
        DecisionRow(serve=f"s{n}", name=name, sold=float(sold), cost=float(cost), net=float(price), klass=klass,
                    chance="97 %", action="keep as it is", cells=(klass, "prime"), agreed="2 of 2",
                    spread=(float(sold), 0.0, 0.01), state="borderline" if n == 2 else "sure")
        for n, ((name, sold, cost, price), klass) in enumerate(zip(items, classes, strict=True))
    )  # fmt: skip
    total = sum(r.sold for r in rows)
    mean = sum(r.sold * r.margin for r in rows) / total
    share = float(cut) * total / len(rows)
    found = DecisionSet(
        title="Main menu · Mixed drinks", rows=rows, popular=Threshold(value=share, low=share, high=share),
        earning=Threshold(value=mean, low=mean - 0.1, high=mean + 0.1), methods=("class", "cost and money earned"),
        left_out=("Cloud",),
    )  # fmt: skip
    return Decisions(
        head=HEAD, since=date(2026, 11, 1), until=date(2026, 11, 28), sets=(found,), classes=CLASSES,
        judging=Judging(cut=Decimal(cut), tie=tie, unsold=unsold), cautions=("service",), without=("Old Quay",),
    )  # fmt: skip


def bridged() -> Walk:
    """From one pour cost to another."""
    steps = (BridgeStep(name="mix", amount=0.0077), BridgeStep(name="prices", amount=-0.0049))
    return Walk(
        title="Pour cost against the month before", unit="share",
        bridge=Bridge(start=BridgeStep(name="October", amount=0.2364), steps=steps,
                      end=BridgeStep(name="November", amount=0.2392)),
    )  # fmt: skip


def typed(decisions: Decisions, **cells: float) -> bytes:
    """The sheet as a bare workbook, with cells typed over by their address."""
    book = openpyxl.Workbook()
    page = book.active
    for (row, column), cell in decisions_sheet(decisions).cells.items():
        page.cell(row, column).value = cell.value or None
    for address, value in cells.items():
        page[address] = value
    out = BytesIO()
    book.save(out)
    return out.getvalue()


SHEETS = {
    # twelve items with a cut of 80 %, eight of a week, ten of the authors' own: see tests.menu.examples
    "twelve": typed(judged(TWELVE, TWELVE_CLASSES, cut="0.8")),
    "george": typed(judged(GEORGE, GEORGE_CLASSES)),
    "ten": typed(judged(TEN, TEN_CLASSES)),
    "ten low": typed(judged(TEN, TEN_CLASSES, tie="low")),
    "dearer": typed(judged(GEORGE, GEORGE_CLASSES), E11=15.85),
    "stricter": typed(judged(GEORGE, GEORGE_CLASSES), C4=0.85),
    "unsold": typed(judged(((*GEORGE, ("Soup", 0, 1.0, 30.0))), (*GEORGE_CLASSES, "puzzle"), unsold="left out")),
    "nothing": typed(judged(GEORGE, GEORGE_CLASSES), **{f"B{row}": 0.0 for row in range(7, 15)}),
}  # fmt: skip


@pytest.fixture(scope="module")
def recalculated(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Every sheet as a spreadsheet program works it out."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("no spreadsheet program (soffice) on this machine: recalculation is not checked")
    folder = tmp_path_factory.mktemp("decisions")
    for name, data in SHEETS.items():
        (folder / f"{name}.xlsx").write_bytes(data)
    subprocess.run(
        [program, f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless", "--convert-to", "xlsx",
         "--outdir", str(folder / "out"), *(str(folder / f"{n}.xlsx") for n in SHEETS)],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    shutil.rmtree(folder / "profile", ignore_errors=True)
    return {n: openpyxl.load_workbook(folder / "out" / f"{n}.xlsx", data_only=True).active for n in SHEETS}


def classes(page: Any, rows: int) -> list[str]:
    """The column of classes."""
    return [page.cell(row, 12).value for row in range(7, 7 + rows)]


@pytest.mark.sheet
def test_a_recalculated_sheet_has_the_published_classes(recalculated: dict[str, Any]) -> None:
    assert classes(recalculated["twelve"], 12) == TWELVE_CLASSES
    assert classes(recalculated["george"], 8) == GEORGE_CLASSES
    assert classes(recalculated["ten"], 10) == TEN_CLASSES
    # exactly 7.0 % of the mix: a plowhorse where a tie counts as high, a dog where it does not
    assert (classes(recalculated["ten"], 10)[0], classes(recalculated["ten low"], 10)[0]) == ("plowhorse", "dog")
    assert classes(recalculated["ten low"], 10)[1:] == TEN_CLASSES[1:]


@pytest.mark.sheet
def test_totals_and_thresholds_are_those_of_the_published_exercise(recalculated: dict[str, Any]) -> None:
    """Dittmer and Keefe (9th ed. 2009), chapter 11, the exercise of eight items: N 629, I 3,350.20, J 10,425.95,
    M 7,075.75, K 32.133 %, O 11.2492, Q 8.75 % of the mix or 55.04 sold."""
    page = recalculated["george"]
    assert [page.cell(15, column).value for column in (2, 7, 8, 9)] == pytest.approx([629, 3350.20, 10425.95, 7075.75])
    assert page.cell(16, 3).value == pytest.approx(0.0875)
    assert page.cell(16, 2).value == pytest.approx(55.0375)
    assert page.cell(17, 6).value == pytest.approx(11.2492, abs=5e-5)
    assert page.cell(18, 4).value == pytest.approx(0.32133, abs=5e-6)
    assert page.cell(9, 3).value == pytest.approx(55 / 629)


@pytest.mark.sheet
def test_a_price_or_a_cut_typed_over_moves_the_class(recalculated: dict[str, Any]) -> None:
    before = classes(recalculated["george"], 8)
    # haddock earns 11.15 where 11.25 is the mean; for 0.20 more it earns 11.35, and the mean rises to 11.28
    assert (before[4], classes(recalculated["dearer"], 8)[4]) == ("plowhorse", "star")
    # at 85 % of an equal share 66.8 must be sold: of veal 65 were
    assert (before[7], classes(recalculated["stricter"], 8)[7]) == ("star", "puzzle")
    assert recalculated["dearer"].cell(11, 13).value == "plowhorse"


@pytest.mark.sheet
def test_what_is_not_sold_is_left_out_of_the_count_where_the_house_says_so(recalculated: dict[str, Any]) -> None:
    page = recalculated["unsold"]
    assert classes(page, 9) == [*GEORGE_CLASSES, "puzzle"]
    assert page.cell(17, 3).value == pytest.approx(0.0875)
    assert classes(recalculated["nothing"], 8) == ["–"] * 8


def test_a_cost_that_another_sheet_works_out_is_linked() -> None:
    sheet = decisions_sheet(judged(GEORGE, GEORGE_CLASSES), {"s0": "Serves!$J$9"})
    assert sheet.cells[7, 4].value == "=Serves!$J$9"
    assert sheet.cells[8, 4].kind == "number"
    assert sheet.head == 3


def text_of(data: bytes) -> list[str]:
    """What stands on each page."""
    with pdfplumber.open(BytesIO(data)) as pages:
        return [page.extract_text() or "" for page in pages.pages]


def test_the_pages_say_rule_classes_and_how_sure() -> None:
    found = replace(judged(GEORGE, GEORGE_CLASSES), walks=(bridged(),))
    with speaking("en"):
        data = decisions_pages(found)
        assert data == decisions_pages(found)
    pages = text_of(data)
    whole = "\n".join(pages)
    assert f"page {len(pages)} of {len(pages)}" in pages[-1]
    assert all("Lantern Bar" in page and "revision 7" in page for page in pages)
    for words in (
        "Popular from 70 % of an equal share", "exactly as much counts as high", "(28 days)", "prices as paid",
        "Popular from 55 sold (8.75 % of 629)", "a high margin from 11.25", "sells more, earns more",
        "borderline, 97 %",
        "No price, so in no class: Cloud.", "so in no section: Old Quay.", "2 of 2", "−0.49 points",
        "they do not replace judgement at the bar",
    ):  # fmt: skip
        assert words in whole.replace("\n", " "), words


def test_a_set_without_classes_says_why_and_pages_turn() -> None:
    plain = judged(GEORGE, GEORGE_CLASSES)
    rows = tuple(replace(r, klass="", chance="", complete=False) for r in plain.sets[0].rows)
    none = replace(plain, sets=(DecisionSet(title="Wine", rows=rows, note="nothing was sold here"),), without=())
    with speaking("en"):
        whole = " ".join(text_of(decisions_pages(none)))
        assert "at most" in whole
    assert "nothing was sold here" in whole
    assert "sells more" not in whole
    kept = decisions_sheet(none).cells
    assert not any(column == 12 and cell.kind == "formula" for (_, column), cell in kept.items())
    with speaking(PSEUDO_RTL):
        assert decisions_pages(plain).startswith(b"%PDF")
        assert decisions_pages(replace(plain, sets=())).startswith(b"%PDF")


@pytest.mark.parametrize("paid", ["paid", "printed", "both"])
def test_the_rule_says_every_setting(paid: Literal["paid", "printed", "both"]) -> None:
    with speaking("en"):
        said = rule_words(replace(judged(TEN, TEN_CLASSES, cut="0.8", tie="low", unsold="left out"), paid=paid))
    assert "80 % of an equal share" in said
    assert "exactly as much counts as low" in said
    assert "left out of the count" in said
    assert "sure from a chance of 90 %" in said
    assert {"paid": "as paid, ", "printed": "as printed, ", "both": "where the till says so"}[paid] in said


def test_a_set_gives_its_scatter_and_shares() -> None:
    (found,) = judged(GEORGE, GEORGE_CLASSES).sets
    assert sum(found.share(row) or 0.0 for row in found.rows) == pytest.approx(1.0)
    picture = found.scatter
    assert picture is not None
    assert [spot.sure for spot in picture.spots] == [n != 2 for n in range(8)]
    empty = replace(found, rows=())
    assert empty.scatter is None
    assert found.share(replace(found.rows[0], sold=0.0)) == 0.0
    assert replace(found, rows=tuple(replace(r, sold=0.0) for r in found.rows)).share(found.rows[0]) is None
