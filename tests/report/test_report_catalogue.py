"""One report at a time: what is shown is what is saved, in the language asked for, and nothing twice under a name."""

import io
import re
from datetime import date

import openpyxl
import pypdfium2
import pytest

from costing.ledger import reckon
from costing.ledger.reckon import Reckoning
from costing.paths import sample_book
from costing.report import Contents, contents
from costing.report.catalogue import REPORTS, Report, all_reports, file_name, make, report_named
from costing.store import read_json
from costing.tongue import languages, speaking

DAY = date(2026, 11, 1)
SUBJECT = {"": "", "preparation": "pineapple-distillate", "serve": "harbour-light"}


@pytest.fixture(scope="module")
def reckoning() -> Reckoning:
    """The sample bar on its day."""
    return reckon(read_json(sample_book()).on(DAY))


@pytest.fixture(scope="module")
def said(reckoning: Reckoning) -> Contents:
    """All that its reports print, in English."""
    return contents(reckoning, 7)


def pages_of(data: bytes) -> list[str]:
    """The text of each page."""
    pdf = pypdfium2.PdfDocument(data)
    try:
        out = []
        for page in pdf:
            text = page.get_textpage()
            out.append(text.get_text_range())
            text.close()
            page.close()
        return out
    finally:
        pdf.close()


@pytest.mark.parametrize("report", REPORTS, ids=lambda r: r.id)
def test_every_report_is_what_its_format_says(report: Report, said: Contents) -> None:
    data = make(report, said, SUBJECT[report.needs])
    (form,) = report.formats
    assert file_name(report, SUBJECT[report.needs]).endswith(f".{form}")
    if form == "pdf":
        assert all("7" in page and "2026-11-01" in page for page in pages_of(data)), "each page can be made again"
    elif form == "xlsx":
        assert "Menu" in openpyxl.load_workbook(io.BytesIO(data)).sheetnames
    else:
        assert data.startswith(b"\xef\xbb\xbf")
    assert report.title
    assert report.about


@pytest.mark.parametrize("ident", ["menu-cost", "spec-card", "table-menu", "table-losses"])
def test_a_report_made_again_is_the_same_to_the_byte(ident: str, said: Contents, reckoning: Reckoning) -> None:
    report = report_named(ident)
    again = contents(reckon(reckoning.view), 7)
    assert make(report, said, SUBJECT[report.needs]) == make(report, again, SUBJECT[report.needs])


def test_what_is_for_the_team_shows_no_money(said: Contents) -> None:
    figure = re.compile(r"EUR|€")
    for report in REPORTS:
        if report.costs or report.formats != ("pdf",):
            continue
        text = "\n".join(pages_of(make(report, said, SUBJECT[report.needs])))
        assert not figure.search(text), report.id


def test_a_sheet_of_one_drink_is_of_that_drink_alone(said: Contents) -> None:
    others = [card.name for card in said.cards if card.id != "harbour-light"]
    for ident in ("cost-sheet", "spec-card"):
        text = " ".join(" ".join(pages_of(make(report_named(ident), said, "harbour-light"))).split())
        assert "Harbour Light" in text
        assert not [name for name in others if name in text], ident


@pytest.mark.parametrize("ident", ["batch-sheet", "cost-sheet", "spec-card"])
def test_what_the_day_does_not_have_is_said(ident: str, said: Contents) -> None:
    with pytest.raises(ValueError, match="nobody"):
        make(report_named(ident), said, "nobody")
    with pytest.raises(ValueError, match="no report"):
        report_named("nobody")


@pytest.mark.parametrize("tag", [tag for tag in languages() if tag != "en"])
def test_a_report_speaks_the_language_it_is_asked_in(tag: str, reckoning: Reckoning, said: Contents) -> None:
    report = report_named("spec-card")
    with speaking(tag):
        other = make(report, contents(reckoning, 7), "harbour-light")
        assert report.title != "Spec card of one drink" or tag not in ("de", "ar")
    assert pages_of(other) != pages_of(make(report, said, "harbour-light"))


def test_all_reports_have_names_of_their_own(reckoning: Reckoning) -> None:
    found = all_reports([*reckoning.ledgers, "A/B", "a_b", "a:b"])
    names = [name.casefold() for _, _, name in found]
    assert len(set(names)) == len(names)
    assert {r.id for r, _, _ in found} == {r.id for r in REPORTS if r.needs != "serve"}
    assert all(re.fullmatch(r"[\w.-]+", name) for name in names)


@pytest.mark.parametrize("ident", ["../../etc/passwd", "con:1", "", "  ", "æøå", "x" * 300, ".hidden", 'a"b|c*d?'])
def test_no_id_leads_a_file_elsewhere(ident: str) -> None:
    name = file_name(report_named("batch-sheet"), ident)
    assert re.fullmatch(r"batch-[\w.-]+\.pdf", name)
    assert len(name) < 120
    assert ".." not in name.removesuffix(".pdf").split("-", 1)[1][:2]
