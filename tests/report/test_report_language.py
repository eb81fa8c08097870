"""Reports in another language: nothing is left in English, figures are the same, and pages look as they should."""

import io
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pdfplumber
import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth

from costing.book.problem import Problem, problem
from costing.ledger import Reckoning, reckon
from costing.report import pdf
from costing.report.cautions import SHORT, WORDS, caution, short_caution
from costing.report.content import Contents
from costing.report.figures import overlaps
from costing.report.figures.painter_pdf import measure_with
from costing.report.figures.steps import steps_figure, steps_of
from costing.report.figures.stream import stream_figure
from costing.report.figures.tornado import tornado_figure
from costing.report.gather import contents
from costing.report.grid import at, quoted, tab
from costing.report.pdf_page import Ink, faces
from costing.report.pdf_turned import TurnedParagraph, mirrored, visual
from costing.report.words import CODES, sentence
from costing.report.xlsx import sheets, workbook
from costing.store import import_json
from costing.tables import allergen_list, allergen_lists
from costing.tongue import PSEUDO, PSEUDO_RTL, speaking
from tests.report.chains import CHAINS, chain

SAMPLE = Path(__file__).parent.parent.parent / "sample_data" / "book.json"
DAY = date(2026, 6, 1)
PLAIN = re.compile(r"(?<![\w.])[A-Za-z]*[aeiou][A-Za-z]*(?![\w.])")
"""A word that no pseudo-language has: with a plain vowel."""
KEPT = frozenset(
    {"vol", "min", "mol", "bar", "mbar", "Regulation", "Annex", "A4", "EUR", "EU", "revision", "each", "kg", "abs"}
)
"""Units, what a law is cited by, and what the sheet names of spreadsheets hold."""


@cache
def _reckoning() -> Reckoning:
    return reckon(import_json(SAMPLE.read_text(encoding="utf-8")).on(DAY))


@cache
def _book_words() -> frozenset[str]:
    """Every word that somebody typed into the book: those stay as they are."""

    def texts(node: Any) -> Iterator[str]:
        match node:
            case str():
                yield node
            case dict():
                for key, value in node.items():
                    yield key
                    yield from texts(value)
            case list():
                for value in node:
                    yield from texts(value)
            case _:
                return

    whole = " ".join(texts(json.loads(SAMPLE.read_text(encoding="utf-8"))))
    return frozenset(word.casefold() for word in re.findall("[A-Za-z]+", whole))


def _left(text: str) -> list[str]:
    known = _book_words()
    words = PLAIN.findall(re.sub(r"\w*…", "", text))  # a picture cuts what is too long for it
    return [w for w in words if w not in KEPT and w.casefold() not in known]


@pytest.fixture
def inked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every text that a page sets, as it comes."""
    said: list[str] = []
    plain = Ink.plain

    def heard(ink: Ink, text: str) -> str:
        said.append(text)
        return plain(ink, text)

    monkeypatch.setattr(Ink, "plain", heard)
    return said


def _pages(said: Contents) -> None:
    pdf.menu_card(said)
    pdf.spec_cards(said)
    pdf.allergen_sheet(said)
    pdf.team_sheets(said, [p.id for p in said.preparations])
    for preparation in said.preparations:
        pdf.batch_sheet(said, preparation)
    pdf.cost_sheets(replace(said, menu=said.menu[:4]))


def test_a_pseudo_language_leaves_no_sentence_of_the_pages_in_english(inked: list[str]) -> None:
    with speaking(PSEUDO):
        _pages(contents(_reckoning(), 7))
    left = {text: words for text in dict.fromkeys(inked) if (words := _left(text))}
    assert left == {}


def test_a_pseudo_language_leaves_nothing_of_the_workbook_in_english() -> None:
    with speaking(PSEUDO):
        said = sheets(contents(_reckoning(), 7))
        left = {
            (sheet.name, place): cell.value
            for sheet in said
            for place, cell in sheet.cells.items()
            if cell.kind == "text" and _left(str(cell.value))
        }
        assert left == {}
        formulas = [c.value for sheet in said for c in sheet.cells.values() if c.kind == "formula"]
    quotes = {text for formula in formulas for text in re.findall('"([^"]*)"', str(formula))}
    assert {text for text in quotes if _left(text)} == set()


def _amiss(code: str, detail: Mapping[str, object]) -> Problem:
    return problem(code, "good/x", "error", **detail)


@pytest.mark.parametrize("code", sorted(CODES))
def test_no_sentence_of_a_problem_stays_in_english(code: str) -> None:
    detail = {"figure": "out.mass", "value": 1.5, "most": 1.25, "least": 0.5, "low": "above 0", "high": 2,
              "what": "good", "needs": "l or kg", "options": "take or abv", "names": "a and b",
              "why": "gas-in-it", "base": "each", "day": DAY, "since": DAY}  # fmt: skip
    with speaking(PSEUDO):
        said = sentence(_amiss(code, detail))
    assert said.startswith("[")
    assert "{" not in said


@pytest.mark.parametrize("tag", ["de", "ar"])
@pytest.mark.parametrize("code", sorted(CODES))
def test_a_sentence_in_another_language_says_the_same_figures(code: str, tag: str) -> None:
    detail = {name: f"«{name}»" for name in ("source", "text", "name", "other", "id", "loop", "unit", "technique")}
    english = sentence(_amiss(code, detail))
    with speaking(tag):
        said = sentence(_amiss(code, detail))
    assert said != english
    assert sorted(re.findall("«[a-z]*»", said)) == sorted(re.findall("«[a-z]*»", english))


def test_cautions_are_said_in_the_language() -> None:
    for code in WORDS:
        english = caution(code, "P-1", DAY, DAY)
        with speaking("de"):
            assert caution(code, "P-1", DAY, DAY) != english
    with speaking("de"):
        assert "bis 01.06.2026" in caution("distil", "P-1", DAY, DAY)
        assert all(short_caution(code) != SHORT[code] for code in SHORT)
    assert short_caution("vapour") == ""


def test_every_shipped_allergen_has_a_german_name() -> None:
    names = {a.name for list_ in allergen_lists() for a in allergen_list(list_)}
    with speaking("de"):
        from costing.report.words import allergen_name

        assert {name for name in names if allergen_name(name) == name} == set()


def test_figures_are_the_same_and_only_their_marks_differ(inked: list[str]) -> None:
    pdf.menu_card(contents(_reckoning(), 7))
    english = [text for text in inked if re.fullmatch(r"[\d,.]+", text)]
    inked.clear()
    with speaking("de"):
        pdf.menu_card(contents(_reckoning(), 7))
    german = [text for text in inked if re.fullmatch(r"[\d,.]+", text)]
    swap = str.maketrans(",.", ".,")
    assert english
    assert [text.translate(swap) for text in english] == german


def test_numbers_of_a_workbook_are_numbers_in_every_language() -> None:
    def numbers(tag: str) -> list[float]:
        with speaking(tag):
            said = sheets(contents(_reckoning(), 7))
        return [float(c.value) for s in said for _, c in sorted(s.cells.items()) if c.kind == "number"]

    assert numbers("de") == numbers("en") == numbers("ar")


@pytest.mark.sheet
def test_a_workbook_in_another_language_recalculates_to_the_same(tmp_path: Path) -> None:
    engine = shutil.which("soffice")
    if engine is None:
        pytest.skip("no spreadsheet engine on this machine")
    paths = []
    for tag in ("en", "de", "ar", PSEUDO):
        paths.append(tmp_path / f"{tag}.xlsx")
        with speaking(tag):
            paths[-1].write_bytes(workbook(contents(chain("distillate"), 7)))
    out = tmp_path / "out"
    subprocess.run(
        [engine, f"-env:UserInstallation=file://{tmp_path / 'profile'}", "--headless", "--convert-to", "xlsx",
         "--outdir", str(out), *map(str, paths)], check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    found = []
    for path in paths:
        book = openpyxl.load_workbook(out / path.name, data_only=True)
        found.append([[c.value for row in ws for c in row if isinstance(c.value, int | float)] for ws in book])
        texts = [c.value for ws in book for row in ws for c in row if isinstance(c.value, str)]
        assert not [t for t in texts if t.startswith("#") or "Err:" in t]
    for other in found[1:]:
        assert [len(sheet) for sheet in other] == [len(sheet) for sheet in found[0]]
        for here, there in zip(found[0], other, strict=True):
            assert here == pytest.approx(there)


def test_references_to_a_sheet_of_any_name_are_quoted() -> None:
    assert at(3, 2, "Prices") == "Prices!$B$3"
    assert at(3, 2, "Price book") == "'Price book'!$B$3"
    assert at(3, 2, "L'été") == "'L''été'!$B$3"
    assert quoted('say "no"') == '"say ""no"""'
    with speaking(PSEUDO):
        assert tab("Prices") == "Prîçéš··"


def test_a_german_page_says_what_it_is_and_keeps_inside_its_columns() -> None:
    with speaking("de"):
        raw = pdf.menu_card(contents(_reckoning(), 7))
    with pdfplumber.open(io.BytesIO(raw)) as book:
        text = book.pages[0].extract_text()
        assert "Kalkulation der Karte" in text
        assert "01.06.2026 · Stand 7" in text
        assert re.search(r"Seite 1 von \d", text)
        assert "16,7 % vol" in text
        assert book.doc.catalog["Lang"] in (b"de", "de")
        for page in book.pages:
            assert all(c["x0"] > 0 and c["x1"] < page.width for c in page.chars)


def test_arabic_pages_run_from_right_to_left() -> None:
    with speaking("ar"):
        raw = pdf.menu_card(contents(_reckoning(), 7))
    with pdfplumber.open(io.BytesIO(raw)) as book:
        page = book.pages[0]
        first = [c for c in page.chars if c["size"] == 17]
        assert first
        assert max(c["x1"] for c in first) > page.width - 40
        joined = [c for c in page.chars if "\ufe70" <= c["text"][:1] <= "\ufeff"]
        assert len(joined) > 200
        assert not [c for c in page.chars if c["text"] == "▯"]


@pytest.mark.parametrize("name", CHAINS)
@pytest.mark.parametrize("tag", ["ar", PSEUDO_RTL])
def test_every_report_can_be_read_from_right_to_left(name: str, tag: str) -> None:
    with speaking(tag):
        said = contents(chain(name), 3)
        _pages(said)
        book = openpyxl.load_workbook(io.BytesIO(workbook(said)))
    assert all(sheet.sheet_view.rightToLeft for sheet in book)


def test_every_letter_of_the_arabic_catalogue_is_in_the_faces() -> None:
    import polib

    from resources.translate import catalogues

    has, lacking = faces(), set()
    for entry in polib.pofile(str(catalogues()["ar"])):
        for text in [entry.msgstr, *entry.msgstr_plural.values()]:
            lacking |= {ch for ch in visual(text) if ord(ch) not in has and not ch.isspace()}
    assert lacking == set()


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("Dry gin 43 %", "Dry gin 43 %"),
        ("אב גד", "דג בא"),
        ("אב 45 ml", "45 ml בא"),
        ("אב (גד)", "(דג) בא"),
        ("אב 1.98; 0.04", "0.04 ;1.98 בא"),
        ("אב → גד", "דג ← בא"),
        ("Dry gin 43 %, אב", "בא ,Dry gin 43 %"),
        ("אב CO2 גד", "דג CO2 בא"),
        ("אב −10 °C (Law (EU) 1/2 II)", "(Law (EU) 1/2 II) −10 °C בא"),
    ],
)
def test_a_line_is_turned_and_what_reads_from_the_left_is_kept(line: str, shown: str) -> None:
    assert visual(line) == shown


def test_arabic_letters_are_joined() -> None:
    assert visual("باب") == "\ufe8f\ufe8e\ufe91"
    assert visual("لا") == "\ufefb"


def test_a_mark_stays_with_the_letter_it_sits_on() -> None:
    assert visual("א\u05b7ב") == "בא\u05b7"


def test_a_paragraph_breaks_into_lines_that_fit_and_may_go_on_over_a_page() -> None:
    faces()
    names = ("StillroomSans", "StillroomSans-Bold")
    text = " ".join(["אבגד"] * 40) + " " + "א" * 90
    paragraph = TurnedParagraph([("ראש: ", True), (text, False)], 8, "#000000", names)
    wide, tall = paragraph.wrap(120.0, 1000.0)
    assert wide == 120.0
    assert tall == pytest.approx(len(paragraph.lines) * 8 * 1.28)
    for line in paragraph.lines:
        assert sum(stringWidth(visual(t.rstrip()), names[b], 8) for t, b in line) <= 120.02
    assert "".join(t for line in paragraph.lines for t, _ in line).replace(" ", "") == ("ראש: " + text).replace(" ", "")
    top, rest = paragraph.split(120.0, tall / 2)
    assert len(top.lines) + len(rest.lines) == len(paragraph.lines)
    assert paragraph.split(120.0, 5.0) == []
    assert paragraph.split(120.0, tall + 1.0) == [paragraph]


def test_a_mirrored_table_begins_on_the_right() -> None:
    rows, widths, look = mirrored([["a", "b", "c"]], [1, 2, 3], [
        ("LEFTPADDING", (1, 0), (-1, -1), 5), ("BACKGROUND", (0, 0), (0, -1), "x"), ("LINEBEFORE", (2, 0), (2, 0), 1),
    ])  # fmt: skip
    assert rows == [["c", "b", "a"]]
    assert widths == [3, 2, 1]
    assert look == [
        ("RIGHTPADDING", (0, 0), (1, -1), 5), ("BACKGROUND", (2, 0), (2, -1), "x"), ("LINEAFTER", (0, 0), (0, 0), 1),
    ]  # fmt: skip


@pytest.mark.parametrize("tag", ["de", "ar"])
def test_words_of_a_picture_keep_clear_of_one_another_in_every_language(tag: str) -> None:
    measure = measure_with(Ink())
    with speaking(tag):
        said = contents(_reckoning(), 7)
        for line in said.menu:
            serve, told = line.serve, line.priced.suggestion
            steps = steps_of(serve.base_cost, line.priced.policy, said.levies, said.points, printed=line.printed,
                             suggested=told.at.all_in if told else None)  # fmt: skip
            figures = [
                steps_figure(steps, wide, measure, _cash, aim="18 %", sure=wide > 400.0) for wide in (330.0, 432.0)
            ]
            figures.append(tornado_figure(serve.shares, 314.0, measure, _cash))
            if serve.stream is not None:
                figures.append(stream_figure(serve.stream, 773.0, 244.0, measure, _cash))
            for figure in figures:
                assert [(a.text, b and b.text) for a, b in overlaps(figure)] == []


def _cash(value: float) -> str:
    return f"{value:,.2f}"


def test_pictures_are_labelled_in_the_language(inked: list[str]) -> None:
    with speaking("de"):
        pdf.cost_sheets(replace(contents(_reckoning(), 7), menu=contents(_reckoning(), 7).menu[:1]))
    assert "Ein Drink" in inked
    assert any(text.startswith("Geld für das, was nicht bis zum Ende kommt") for text in inked)


def test_a_book_is_in_one_order_in_every_run() -> None:
    script = (
        "import sys, datetime\nfrom pathlib import Path\nfrom costing.ledger.order import in_order\n"
        "from costing.store import import_json\n"
        f"text = Path({str(SAMPLE)!r}).read_text(encoding='utf-8')\n"
        "print(in_order(import_json(text).on(datetime.date(2026, 6, 1)))[0])"
    )
    root = Path(__file__).parent.parent.parent
    said = {
        subprocess.run(
            [sys.executable, "-c", script], env={**os.environ, "PYTHONHASHSEED": seed}, cwd=root, check=True,
            capture_output=True, text=True, timeout=60,
        ).stdout
        for seed in ("1", "5")
    }  # fmt: skip
    assert len(said) == 1
