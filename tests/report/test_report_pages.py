"""The printed pages hold the figures and the names, mark what they cannot show, and come out the same twice."""

import io
import os
import sys
from pathlib import Path
from typing import Any

import openpyxl
import pdfplumber
import pytest

from costing.book.problem import leads_into
from costing.report import batch_name, write_reports
from costing.report.cautions import cautions_for, permit_line
from costing.report.cleartext import clear
from costing.report.gather import contents
from costing.report.pdf import batch_sheet, menu_card
from costing.report.phrases import strength_words
from costing.report.places import place
from costing.report.xlsx import LONGEST, plain, workbook
from tests.report.chains import CHAINS, DAY, chain, find

BOUND = ["menu-cost.xlsx", "menu-cost.pdf", "cost-sheets.pdf", "spec-cards.pdf", "allergens.pdf",
         "batch-sheets-for-the-team.pdf"]  # fmt: skip


def _text(data: bytes) -> str:
    with pdfplumber.open(io.BytesIO(data)) as pages:
        return "\n".join(page.extract_text() or "" for page in pages.pages)


def _flat(data: bytes) -> str:
    """The same on one line, so that a phrase is found where it wraps."""
    return " ".join(_text(data).split())


def _batch(name: str, ident: str, edit: Any = None) -> str:
    said = contents(chain(name, edit), 7)
    return _text(batch_sheet(said, next(p for p in said.preparations if p.id == ident)))


def test_the_card_of_the_first_chain_shows_what_was_agreed() -> None:
    text = _text(menu_card(contents(chain("distillate"), 7)))
    for word in ("2.63", "2.86", "16.00", "15.50", "gives away 0.42", "19.7 %", "Harbour Light", "Acceptance house",
                 "2026-06-01", "revision 7", "page 1 of 1", "materials", "No permit reference"):  # fmt: skip
        assert word in text, word


@pytest.mark.parametrize("name", CHAINS)
def test_every_name_of_a_chain_is_printed(name: str, tmp_path: Path) -> None:
    reckoning = chain(name)
    files = write_reports(reckoning, tmp_path / "made" / "here", revision=7)
    assert [f.name for f in files][:6] == BOUND
    assert len(files) == 6 + len(reckoning.ledgers)
    text = " ".join(_text(f.read_bytes()) for f in files if f.suffix == ".pdf").replace("\n", " ")
    made = [p.name for p, _ in reckoning.view.preparations.values()]
    for word in made + [s.name for s, _ in reckoning.view.serves.values()]:
        assert word in text, word
    assert sorted(p.name for p in files[0].parent.iterdir()) == sorted(f.name for f in files)


def test_a_batch_sheet_follows_the_batch_to_the_last_gram() -> None:
    text = _batch("distillate", "distillate")
    for word in ("47.5766 / L", "42.5439", "5.0326", "1.735 L", "6.000 kg",
                 "refuse 49 % (measured)", "2.304", "1.110", "meant to leave",
                 "31.15", "82.53", "Glass under vacuum", "No shelf life"):  # fmt: skip
        assert word in text, word
    mother = _batch("mother", "mother")
    for word in ("unexplained", "keep 98 % (assumed)", "67.4 % vol where 70.2 % vol is computed", "Spent walnuts"):
        assert word in mother, word


def test_cautions_are_those_that_the_book_calls_for() -> None:
    assert "distil" not in cautions_for(chain("cooler"))
    assert {"pressure", "allergens", "shelf"} <= set(cautions_for(chain("cooler")))
    assert {"distil", "vapour", "vacuum", "steep", "service"} <= set(cautions_for(chain("mother")))
    assert "pressure" not in cautions_for(chain("mother"))
    assert "distil" not in cautions_for(chain("distillate"), "lemon-juice")
    assert "ran out on 2026-01-31" in permit_line("P 7", DAY.replace(month=1, day=31), DAY)


def test_a_drink_with_an_unpriced_part_is_at_least_and_has_no_suggestion() -> None:
    said = contents(chain("distillate", lambda p: p["quote"].pop(1)), 7)
    text = _flat(menu_card(said))
    for word in ("at least", "White rum 40 %", "missing", "What is amiss"):
        assert word in text, word
    assert "at least" in _batch("distillate", "distillate", lambda p: p["quote"].pop(1))


def test_a_drink_that_cannot_be_read_is_printed_with_the_reason() -> None:
    def edit(plain: dict[str, Any]) -> None:
        find(plain, "serve", "harbour-light")["versions"][0]["build"]["adds"][0]["amount"] = "3 glugs"

    said = contents(chain("distillate", edit), 7)
    text = _text(menu_card(said))
    assert "not costed" in text
    assert '"glugs" is not known' in text
    net = next(row.priced.price for row in contents(chain("distillate"), 7).menu)
    assert net is not None
    assert f"16.00 {net.net:.2f}" in text, "the printed price and what is kept of it do not hang on the cost"
    assert "strength not known" in text
    sheet = openpyxl.load_workbook(io.BytesIO(workbook(said)))["Serves"]
    assert any("glugs" in str(cell.value) for row in sheet.iter_rows() for cell in row)


def test_text_stays_text() -> None:
    bad = ["=1+1", "@SUM(A1)", "+1", "-1", '=HYPERLINK("x")']
    names = dict(zip(("rum", "lemon", "ice", "garnish", "water"), bad, strict=True))

    def edit(plain: dict[str, Any]) -> None:
        for ident, name in names.items():
            find(plain, "good", ident)["name"] = name
        plain["house"]["name"] = "=cmd|' /C calc'!A0"

    said = contents(chain("distillate", edit), 7)
    book = openpyxl.load_workbook(io.BytesIO(workbook(said)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    for name in (*bad, "=cmd|' /C calc'!A0"):
        found = [cell for cell in cells if cell.value == name]
        assert found, name
        assert all(cell.data_type == "s" and cell.quotePrefix for cell in found), name
    assert "=1+1 <b>&amp;" in _text(menu_card(contents(chain("distillate", lambda p: _rename(p, "=1+1 <b>&amp;")), 7)))


def _rename(plain: dict[str, Any], name: str) -> None:
    find(plain, "serve", "harbour-light")["name"] = name


def test_what_cannot_be_seen_is_named_and_nothing_is_too_long() -> None:
    assert clear("a\x07b\u202ec\r\nd") == "a<U+0007>b<U+202E>c\nd"
    assert plain("_x000D_ and _x_") == "_x005F_x000D_ and _x_"
    assert len(plain("x" * 40_000)) == LONGEST
    assert plain("x" * 40_000).endswith("32,767 characters")


def test_scripts_the_face_has_are_printed_and_others_are_marked() -> None:
    name = "Лимон Ρακή 檸檬🍋"
    text = _text(menu_card(contents(chain("distillate", lambda p: _rename(p, name)), 7)))
    assert "Лимон Ρακή ▯▯▯" in text.replace("\n", " ")
    for point in ("U+6AB8", "U+6AAC", "U+1F34B"):
        assert point in text
    assert "right to left" not in text
    assert "right to left" in _text(menu_card(contents(chain("distillate", lambda p: _rename(p, "לימון")), 7)))


def test_a_very_long_name_is_wrapped_and_never_cut() -> None:
    words = [f"word{n}" for n in range(400)]

    def edit(plain: dict[str, Any]) -> None:
        _rename(plain, " ".join(words))
        find(plain, "preparation", "distillate")["name"] = "W" * 900
        plain["house"]["name"] = "House " * 60

    text = _text(menu_card(contents(chain("distillate", edit), 7)))
    assert all(word in text for word in words)
    assert _batch("distillate", "distillate", edit).count("W") >= 900


def test_equal_input_gives_equal_bytes() -> None:
    for make in (menu_card, workbook, lambda c: batch_sheet(c, c.preparations[0])):
        assert make(contents(chain("mother"), 7)) == make(contents(chain("mother"), 7))


def test_a_book_with_nothing_in_it_still_prints() -> None:
    def edit(plain: dict[str, Any]) -> None:
        for kind in ("menu", "serve", "preparation", "quote", "good", "equipment", "supplier"):
            plain[kind] = []
        plain["house"]["terms"] = []

    said = contents(chain("distillate", edit), 0)
    assert "No serve is made on this day." in _text(menu_card(said))
    openpyxl.load_workbook(io.BytesIO(workbook(said)))


def test_a_currency_without_cents_is_printed_without_them() -> None:
    def edit(plain: dict[str, Any]) -> None:
        plain["house"]["currency"] = "JPY"
        for quote in plain["quote"]:
            quote["currency"] = "JPY"
            quote["price"] = str(int(float(quote["price"]) * 160))
        plain["house"]["terms"][0]["points"] = {"step": "50"}
        plain["menu"] = []

    reckoning = chain("distillate", edit)
    text = _text(menu_card(contents(reckoning, 7)))
    assert f"{reckoning.serve_cost('harbour-light').materials:,.0f}" in text
    assert "On no menu" in text
    assert "." not in text.split("Harbour Light")[1].split("%")[0]


def test_progress_is_told_and_names_of_files_are_safe(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    one = "cooler-base"
    files = write_reports(chain("cooler"), tmp_path, revision=1, batch=one, progress=lambda *n: told.append(n))
    assert [f.name for f in files] == [*BOUND, "batch-cooler-base.pdf"]
    assert told == [(n, 7) for n in range(8)]
    assert len(write_reports(chain("cooler"), tmp_path, revision=1, batch=())) == 5
    with pytest.raises(ValueError, match="no preparation 'nothing'"):
        write_reports(chain("cooler"), tmp_path, revision=1, batch="nothing")
    taken: set[str] = set()
    assert [batch_name(i, taken) for i in ("a/b", "A:b", "..", "ä b")] == [
        "batch-a_b.pdf", "batch-A_b-2.pdf", "batch-preparation.pdf", "batch-ä_b.pdf",
    ]  # fmt: skip


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("here")
    with pytest.raises(OSError, match="file"):
        write_reports(chain("cooler"), tmp_path / "file" / "under", revision=1)
    (tmp_path / "menu-cost.xlsx").mkdir()
    (tmp_path / "menu-cost.xlsx" / "full").write_text("x")
    with pytest.raises(OSError, match=r"menu-cost\.xlsx"):
        write_reports(chain("cooler"), tmp_path, revision=1)
    assert sorted(os.listdir(tmp_path)) == ["file", "menu-cost.xlsx"]  # noqa: PTH208


def test_the_heavy_libraries_are_loaded_late() -> None:
    import subprocess

    code = "import sys, costing.report; sys.exit(any(m in sys.modules for m in ('openpyxl', 'reportlab')))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_refused_preparation_is_printed_with_the_reason_and_no_cost() -> None:
    def edit(plain: dict[str, Any]) -> None:
        stages = find(plain, "preparation", "distillate")["versions"][0]["stages"]
        stages[-1]["facts"]["abv"] = "80 % vol"

    reckoning = chain("distillate", edit)
    assert reckoning.ledgers["distillate"].refused
    said = contents(reckoning, 7)
    text = _flat(batch_sheet(said, next(p for p in said.preparations if p.id == "distillate")))
    assert "proofing only makes weaker" in text
    assert "What it makes and costs" not in text
    assert text.index("Refused: cannot be costed") < text.index("proofing only") < text.index("Day made")
    assert text.count("proofing only") == 1
    assert "Stages, as far as they can be followed" in text
    assert "Where it goes" not in text
    assert "distil" in cautions_for(reckoning, "distillate")
    book = openpyxl.load_workbook(io.BytesIO(workbook(said)))
    for name in ("Preparations", "Ledger", "Serves", "Menu"):
        cells = [str(cell.value) for row in book[name].iter_rows() for cell in row]
        assert any("ot costed" in value or "Serves!" in value for value in cells), name


def test_a_sheet_of_a_preparation_refused_at_its_first_stage_has_no_empty_picture() -> None:
    def edit(plain: dict[str, Any]) -> None:
        stages = find(plain, "preparation", "distillate")["versions"][0]["stages"]
        stages[0]["adds"][0]["amount"] = "3 glugs"

    text = " ".join(_batch("distillate", "distillate", edit).split())
    assert "Refused: cannot be costed" in text
    assert "glugs" in text
    assert "0.000 kg in" not in text
    assert "Loss ledger" not in text


def test_what_an_assumed_share_counts_is_said_and_what_it_does_not() -> None:
    card = _flat(menu_card(contents(chain("mother"), 7)))
    assert "The last column says how much of a cost rests on assumed amounts, times, stage figures" in card
    assert "an assumed makeup, dilution or CO2 is listed here and not counted there" in card
    sheet = " ".join(_batch("distillate", "distillate").split())
    assert "None of this cost rests on an assumed figure among amounts" in sheet
    assert "Not counted in that: an assumed makeup, dilution or CO2." in sheet
    assert "No assumed figure stands behind" not in sheet
    notes = openpyxl.load_workbook(io.BytesIO(workbook(contents(chain("mother"), 7))))["Notes"]
    assert any("Not counted: an assumed makeup" in str(cell.value) for row in notes.iter_rows() for cell in row)


def test_a_by_product_is_said_to_take_its_part_of_alcohol_and_money() -> None:
    reckoning = chain("mother")
    line = reckoning.ledgers["mother"].lines[0]
    kept = next(s for s in line.outs if s.fate == "kept")
    alcohol = kept.matter.ethanol / line.total("in").ethanol
    money = reckoning.money(kept.row).making / reckoning.money(line.entered).making
    assert alcohol > 0.1
    assert money == pytest.approx(0.08)
    said = f"{100 * alcohol:.0f} % of the alcohol and {100 * money:.0f} % of the money"
    assert f"{said} that went in" in " ".join(_batch("mother", "mother").split())
    sheet = openpyxl.load_workbook(io.BytesIO(workbook(contents(reckoning, 7))))["Ledger"]
    assert any(f"kept as by-product with {said}" in str(row[18].value) for row in sheet.iter_rows(min_row=4))


def test_a_yield_in_solubles_is_said_of_dissolved_solids() -> None:
    said = contents(chain("distillate"), 7)
    assert "dissolved solids" in " ".join(_batch("distillate", "distillate").split())
    sheet = openpyxl.load_workbook(io.BytesIO(workbook(said)))["Ledger"]
    words = {row[12].value for row in sheet.iter_rows(min_row=4)}
    assert {"dissolved solids", "alcohol"} <= words
    assert "solids" not in words


def test_goes_in_lists_what_was_put_in_and_never_the_hours() -> None:
    def edit(plain: dict[str, Any]) -> None:
        plain["good"].append({"id": "hand", "name": "Prep hand", "kind": "labour", "base": "h", "layer": "labour"})
        plain["house"]["labour"] = "hand"
        stages = find(plain, "preparation", "distillate")["versions"][0]["stages"]
        stages[0]["active"] = "25 min"
        stages[1]["active"] = "~0.25 h"

    said = contents(chain("distillate", edit), 7)
    made = next(p for p in said.preparations if p.id == "distillate")
    added = [item.name for stage in made.stages for item in stage.added]
    assert "Pineapple" in added
    assert not {"Prep hand", "Vacuum still, one hour"} & set(added)
    assert any(i.source == "hand" for i in made.outputs[0].inputs), "the hours still cost"
    text = _flat(batch_sheet(said, made))
    for word in ("hands 25 min", "hands 15 min (0.25 h) (assumed)", "from the stage before", "90 min (1.5 h)"):
        assert word in text, word


def test_what_the_face_lacks_is_said_under_the_title() -> None:
    def edit(plain: dict[str, Any]) -> None:
        _rename(plain, "檸檬")
        find(plain, "preparation", "distillate")["name"] = "檸檬"

    said = contents(chain("distillate", edit), 7)
    card = _flat(menu_card(said))
    sheet = _flat(batch_sheet(said, next(p for p in said.preparations if p.id == "distillate")))
    assert card.index("Menu cost card") < card.index("U+6AB8") < card.index("Money in EUR")
    assert sheet.index("U+6AB8") < sheet.index("One standard batch")


def test_a_printed_price_stands_where_no_terms_say_what_is_kept_of_it() -> None:
    said = contents(chain("distillate", lambda p: p["house"]["terms"][0].update(since="2026-12-01")), 7)
    assert said.menu[0].printed is not None
    assert said.menu[0].priced.price is None
    text = _flat(menu_card(said))
    for word in ("16.00", "no terms", "no net price"):
        assert word in text, word
    menu = openpyxl.load_workbook(io.BytesIO(workbook(said)))["Menu"]
    values = [cell.value for cell in menu[4]]
    assert 16.0 in values
    assert "no terms" in values


def test_a_strength_that_leaves_something_out_names_it() -> None:
    def edit(plain: dict[str, Any]) -> None:
        plain["good"].append({"id": "bitters", "name": "Bitters", "kind": "other", "base": "l"})
        find(plain, "serve", "harbour-light")["versions"][0]["build"]["adds"].append(
            {"source": "bitters", "amount": "1 ml"}
        )

    said = contents(chain("distillate", edit), 7)
    assert strength_words(said.serves[0], said) == "not known: leaves out Bitters"
    assert {"leaves", "Bitters"} <= set(_flat(menu_card(said)).split())

    def solids(plain: dict[str, Any]) -> None:
        plain["good"].append({"id": "pulp", "name": "Pulp", "kind": "fruit", "base": "kg", "makeup": {"water": "80 %"}})
        find(plain, "serve", "harbour-light")["versions"][0]["build"]["adds"].append(
            {"source": "pulp", "amount": "10 g"}
        )

    said = contents(chain("distillate", solids), 7)
    assert said.serves[0].abv is None
    words = strength_words(said.serves[0], said)
    assert words.startswith("strength not known: ")
    assert "volume is not known" in words
    assert {"strength", "not", "known:"} <= set(_flat(menu_card(said)).split())


PLACES = [
    ("good/rum", "White rum 40 %"),
    ("quote/q2", "White rum 40 %, quote q2"),
    ("distillate/stage/still/add/2", "Roasted pineapple rum distillate, stage still, input 2"),
    ("preparation/distillate/2026-01-01/stage/still", "Roasted pineapple rum distillate, stage still"),
    ("preparation/distillate/2025-03-01/stage/still/add/1",
     "Roasted pineapple rum distillate, as made since 2025-03-01, stage still, input 1"),
    ("preparation/distillate", "Roasted pineapple rum distillate"),
    ("serve/harbour-light", "Harbour Light"),
    ("serve/harbour-light/add/2", "Harbour Light, input 2"),
    ("serve/harbour-light/2026-01-01/add/2", "Harbour Light, input 2"),
    ("serve/harbour-light/2026-01-01/stage/build/add/2", "Harbour Light, stage build, input 2"),
    ("house/terms", "house, terms"),
    ("house", "house"),
    ("good/no/such", "no, such"),
    ("nothing", "nothing"),
]  # fmt: skip


@pytest.mark.parametrize(("where", "words"), PLACES)
def test_a_place_is_said_in_names(where: str, words: str) -> None:
    assert place(where, contents(chain("distillate"), 7)) == words


def test_a_by_product_in_a_place_is_said_by_its_name() -> None:
    said = contents(chain("mother"), 7)
    assert place("preparation/mother/2026-01-01/byproduct/nuts", said) == "Walnut mother, by-product Spent walnuts"
    assert place("mother/nuts", said) == "Walnut mother, by-product Spent walnuts"


def test_a_problem_is_about_the_version_of_the_day() -> None:
    since = DAY.replace(month=1, day=1)
    for where in ("preparation/a", "preparation/a/2026-01-01/stage/b", "preparation/a/stage/b"):
        assert leads_into(where, "preparation", "a", since), where
    for where in ("preparation/ab", "preparation/a/2025-01-01/stage/b", "serve/a", "good/a"):
        assert not leads_into(where, "preparation", "a", since), where
    assert not leads_into("house/terms", "preparation", "house", since)


def test_what_the_book_finds_amiss_is_printed_and_bars_the_record() -> None:
    def edit(plain: dict[str, Any]) -> None:
        find(plain, "preparation", "distillate")["versions"][0]["stages"][0]["equipment"] = "no-such-machine"

    said = contents(chain("distillate", edit), 7)
    made = next(p for p in said.preparations if p.id == "distillate")
    sheet = _flat(batch_sheet(said, made))
    assert sheet.index("Refused: cannot be costed") < sheet.index("no-such-machine") < sheet.index("Day made")
    assert "no-such-machine" in _flat(menu_card(said))
    book = openpyxl.load_workbook(io.BytesIO(workbook(said)))
    for name in ("Notes", "Preparations", "Ledger"):
        assert any("no-such-machine" in str(c.value) for row in book[name].iter_rows() for c in row), name
