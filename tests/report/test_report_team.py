"""What the team gets carries no money; allergens are said by whom and why; text of any kind stays text."""

import io
from datetime import date
from decimal import Decimal
from typing import Any

import openpyxl
import pdfplumber
import pytest

from costing.ledger import reckon
from costing.report import write_reports
from costing.report.allergy import SO2_LINE, AllergenRow, AllergenTable
from costing.report.allergy_words import allergen_lines
from costing.report.cautions import WORDS
from costing.report.content import Contents
from costing.report.gather import contents
from costing.report.pdf import allergen_sheet, batch_sheet, cost_sheets, menu_card, spec_cards, team_sheets
from costing.report.phrases import figure_line, time_line
from costing.report.xlsx import workbook
from costing.store import import_json
from tests.report.chains import CHAINS, Edit, chain, find
from tests.report.test_report_figures import SAMPLE

SULPHITES = "sulphur dioxide and sulphites"


def _flat(data: bytes) -> str:
    with pdfplumber.open(io.BytesIO(data)) as pages:
        return " ".join(" ".join((page.extract_text() or "").split()) for page in pages.pages)


def _dearer(plain: dict[str, Any]) -> None:
    """Every figure of money is another one: prices, charges, printed prices, targets and taxes."""
    for quote in plain["quote"]:
        quote["price"] = str(Decimal(str(quote["price"])) * Decimal("3.217"))
    for menu in plain["menu"]:
        for section in menu["sections"]:
            for line in section["lines"]:
                for price in line.get("prices", ()):
                    price["price"] = str(Decimal(str(price["price"])) * Decimal("1.5"))
    for terms in plain["house"]["terms"]:
        terms["policy"] = {"kind": "margin", "value": "77.77"}


@pytest.mark.parametrize("name", CHAINS)
def test_the_team_is_shown_no_money(name: str) -> None:
    """Not one byte of the team's pages moves when every price in the book does; the owner's do. Nor is a cost, a
    price or the currency spoken of."""
    before, after = contents(chain(name), 7), contents(chain(name, _dearer), 7)
    every = [p.id for p in before.preparations]
    for make in (spec_cards, allergen_sheet, lambda c: team_sheets(c, every)):
        data = make(before)
        assert data == make(after)
        text = _flat(data).casefold()
        for word in ("eur", "price", "margin", "pour cost", "carried", "materials", " money"):
            assert word not in text, word
    for owners in (menu_card, cost_sheets, lambda c: batch_sheet(c, c.preparations[-1])):
        assert owners(before) != owners(after)


def test_a_spec_card_says_how_a_drink_is_built_and_what_it_is() -> None:
    def edit(plain: dict[str, Any]) -> None:
        plain["house"]["standard_drink"] = "10 g"
        version = find(plain, "serve", "harbour-light")["versions"][0]
        version["note"] = "Shake hard, strain twice."
        version["build"]["adds"][1]["amount"] = "2/3 us fl oz"

    reckoning = chain("distillate", edit)
    said = contents(reckoning, 7)
    (card,) = said.cards
    line = reckoning.serves["harbour-light"]
    assert card.balance is not None
    litres, grams = line.on.matter.volume() or 0.0, 1000.0 * line.on.matter.ethanol
    made = reckoning.units["distillate"].matter
    assert made is not None
    text = _flat(spec_cards(said))
    for word in ("Harbour Light", "45 ml", "2/3 us fl oz", "19.7 ml", "Shake hard, strain twice.",
                 f"{1000 * litres:.0f} ml", f"{100 * (line.on.matter.abv or 0.0):.1f} % vol",
                 f"{grams:.1f} g of alcohol", f"{grams / 10.0:.2f} standard drinks of 10 g", "g/l as citric",
                 f"Roasted pineapple rum distillate, {100 * (made.abv or 0.0):.1f} % vol: trim", "distil under vacuum",
                 "Not stated"):  # fmt: skip
        assert word in text, word
    parts = [p.name for p in card.parts]
    adds = reckoning.view.serves["harbour-light"][1].build.adds
    assert parts == [said.names[a.source] for a in adds]
    assert card.parts[0].amount == pytest.approx(0.045)


def test_a_dilution_says_where_it_is_from() -> None:
    def edit(plain: dict[str, Any]) -> None:
        plain["technique"] = [{"id": "thrown", "name": "Thrown", "like": "stirred"}]
        version = find(plain, "serve", "harbour-light")["versions"][0]
        version["technique"] = "thrown"
        version["build"].get("facts", {}).pop("dilution", None)

    said = contents(chain("distillate", edit), 7)
    found = said.cards[0].dilution
    assert found is not None
    assert found.mark == "assumed"
    assert found.how == "by the published curve of drinks that are stirred"
    assert set(found.how.split()) <= set(_flat(spec_cards(said)).replace(")", " ").replace(",", " ").split())
    assert any(a.figure == "dilution" and "published curve" in a.typed for a in said.assumptions)
    assert "published curve" in " ".join(_cells(said, "Notes"))


def _states(plain: dict[str, Any]) -> None:
    """All free but what follows: gluten in the rum, taken away from the distillate by name; milk in the cordial, and
    SO2; nuts perhaps from the still; nothing stated of the lemon."""
    listed = ["gluten", "crustaceans", "eggs", "fish", "peanuts", "soya", "milk", "nuts", "celery", "mustard", "sesame",
              "sulphites", "lupin", "molluscs"]  # fmt: skip
    stated = {"rum": {"gluten": "contains"}, "cordial": {"milk": "contains", "sulphites": "contains"}, "lemon": None}
    for good in plain["good"]:
        mine = stated.get(good["id"], {})
        good["allergens"] = [] if mine is None else [
            {"name": code, "state": mine.get(code, "free"), "who": "A. Keeper", "label": "label, lot 7",
             "since": "2026-01-02"} for code in listed
        ]  # fmt: skip
    find(plain, "good", "cordial").setdefault("makeup", {})["so2"] = "200 mg/l"
    still = find(plain, "equipment", "still")
    still["allergens"] = [{"name": "nuts", "state": "may_contain", "who": "Stillroom", "label": "walnuts on Mondays"}]
    find(plain, "preparation", "distillate")["exemptions"] = [
        {"name": "gluten", "state": "free", "who": "B. Chemist", "label": "laboratory report 12"},
        {"name": "nuts", "state": "free", "who": "", "label": "nobody signed this"},
    ]


def _table(edit: Edit = _states) -> tuple[Contents, AllergenTable]:
    said = contents(chain("distillate", edit), 7)
    assert said.allergens is not None
    return said, said.allergens


def _row(found: AllergenTable, ident: str) -> dict[str, str]:
    (row,) = (r for r in found.rows if r.id == ident)
    return {f.says: f.state for f in row.findings}


def test_cells_of_the_allergen_table_are_those_worked_out_by_hand() -> None:
    """By hand: the distillate is rum, pineapple and water on a still; the juice is lemon; the drink takes both, and the
    cordial with its milk and sulphites."""
    _, found = _table()
    assert len(found.names) == 14
    distillate = _row(found, "distillate")
    assert distillate.pop("cereals containing gluten") == "exempt"
    assert distillate.pop("nuts") == "may_contain", "an exemption that nobody signed takes nothing away"
    assert set(distillate.values()) == {"free"}
    assert set(_row(found, "lemon-juice").values()) == {"not_stated"}
    drink = _row(found, "harbour-light")
    assert {n: drink.pop(n) for n in ("milk", "nuts", SULPHITES)} == {
        "milk": "contains", "nuts": "may_contain", SULPHITES: "contains",
    }  # fmt: skip
    assert set(drink.values()) == {"not_stated"}, "one unstated lemon leaves all the rest unstated"
    assert [(r.name, r.all) for r in found.unstated] == [("Lemon", True)]


def test_every_reason_is_printed_with_who_and_by_which_way() -> None:
    said, _ = _table()
    text = _flat(allergen_sheet(said))
    for word in ("Exempt, by Roasted pineapple rum distillate: stated by B. Chemist, laboratory report 12",
                 "Behind it: White rum 40 % (contains)", "may contain", "not stated", "exempted",
                 "stated by Stillroom, walnuts on Mondays",
                 "In Harbour Light by way of Roasted pineapple rum distillate",
                 "stated by A. Keeper, label, lot 7, since 2026-01-02", "Nothing stated for 1 good: Lemon",
                 "Regulation (EU) 1169/2011", "distilling alone never does"):  # fmt: skip
        assert word in text, word
    assert "nobody signed this" not in text
    cells = _cells(said, "Allergen reasons")
    for word in ("B. Chemist", "laboratory report 12", "walnuts on Mondays", "Lemon", "everything on the list"):
        assert word in cells, word
    states = _cells(said, "Allergens")
    assert {"contains", "may contain", "not stated", "exempted by name", "–"} <= set(states)


def test_so2_is_computed_by_mixing_and_stands_beside_the_line_of_the_law() -> None:
    """C of the drink is the sum of V times C over the volume in the glass; 15 ml at 200 mg/l is 3 mg."""
    said, found = _table()
    (drink,) = (r for r in found.rows if r.id == "harbour-light")
    litres = said.serves[0].litres
    assert litres is not None
    cordial = next(p.amount for p in said.cards[0].parts if p.name == said.names["cordial"])
    assert cordial is not None
    assert drink.so2 == pytest.approx(200.0 * cordial / litres, rel=1e-6)
    assert drink.so2 is not None
    assert drink.so2 > SO2_LINE
    text = _flat(allergen_sheet(said))
    assert f"Harbour Light: {drink.so2:.3g} mg/l, above the line." in text

    def quiet(plain: dict[str, Any]) -> None:
        _states(plain)
        for statement in find(plain, "good", "cordial")["allergens"]:
            if statement["name"] == "sulphites":
                statement["state"] = "free"

    assert "declare it, and correct the statements" in _flat(allergen_sheet(_table(quiet)[0]))


def test_the_worst_is_said_first_on_a_card() -> None:
    said, found = _table()
    lines = allergen_lines(said.cards[0].findings)
    assert [words for words, _ in lines] == ["Contains", "May contain", "Not stated"]
    assert lines[0][1] == f"milk, {SULPHITES}"
    (row,) = (r for r in found.rows if r.id == "distillate")
    assert isinstance(row, AllergenRow)
    words, names = allergen_lines(row.findings)[1]
    assert words == "Exempted by name"
    assert names == "cereals containing gluten (by B. Chemist: laboratory report 12)"
    text = _flat(spec_cards(said))
    assert text.index("Contains:") < text.index("May contain:") < text.index("Not stated:")


def test_a_house_without_a_list_is_told_so() -> None:
    said = contents(chain("distillate", lambda p: p["house"].update(allergen_list="Moon 3")), 7)
    assert "so nothing can be said" in _flat(allergen_sheet(said))
    assert "names no list" in _flat(spec_cards(said))
    workbook(said)


def test_the_caution_on_allergens_claims_what_is_done() -> None:
    assert "not assessed" not in WORDS["allergens"]
    for word in ("named person", "never to be read as free", "local code"):
        assert word in WORDS["allergens"], word


ODD = {"rum": "=SUM(1)", "lemon": "<b>bold</b> & co", "cordial": "שלום עולם", "garnish": "@cmd", "ice": "+1 \u202eoops"}


def test_names_of_any_kind_stay_text_in_every_report() -> None:
    def edit(plain: dict[str, Any]) -> None:
        _states(plain)
        for ident, name in ODD.items():
            find(plain, "good", ident)["name"] = name
        find(plain, "serve", "harbour-light")["name"] = "<i>Light</i> =1+1"
        find(plain, "preparation", "distillate")["name"] = "=HYPERLINK(1) <br/>"

    said = contents(chain("distillate", edit), 7)
    for make in (spec_cards, allergen_sheet, cost_sheets, menu_card, lambda c: team_sheets(c, ["distillate"])):
        text = _flat(make(said))
        assert "=HYPERLINK(1)" in text
        assert "\u202e" not in text
        assert "<i>Light</i> =1+1" in text or "Batch sheets" in text
    assert "right to left" in _flat(spec_cards(said))
    book = openpyxl.load_workbook(io.BytesIO(workbook(said)))
    formulas = [c.value for s in book for row in s.iter_rows() for c in row if c.data_type == "f"]
    assert not [f for f in formulas if "HYPERLINK" in str(f) or "SUM(1)" in str(f) or "cmd" in str(f)]
    for name in ("Balance", "Allergens", "Allergen reasons", "Price book", "History"):
        cells = [c for row in book[name].iter_rows(min_row=4) for c in row if isinstance(c.value, str)]
        odd = [c for c in cells if c.data_type == "s" and c.value[:1] in ("=", "+", "@")]
        assert all(c.quotePrefix for c in odd), name
    assert any(c.value == "=SUM(1)" for row in book["History"].iter_rows() for c in row)


def test_the_balance_sheet_is_the_balance_of_the_ledger() -> None:
    said = contents(chain("mother", lambda p: p["house"].update(standard_drink="14 g")), 7)
    sheet = openpyxl.load_workbook(io.BytesIO(workbook(said)))["Balance"]
    rows = {row[0].value: row for row in sheet.iter_rows(min_row=5)}
    for card in said.cards:
        assert card.balance is not None
        found = rows[card.name]
        assert found[2].value == pytest.approx(1000 * card.balance.litres)
        assert found[3].value == pytest.approx(100 * card.balance.abv)
        assert found[4].value == pytest.approx(card.balance.ethanol_g)
        assert found[5].data_type == "f"
    assert sheet.cell(4, 5).value == 14


def test_the_history_has_every_quote_and_the_price_book_those_of_the_day() -> None:
    def edit(plain: dict[str, Any]) -> None:
        first = dict(find(plain, "quote", "q2"))
        plain["quote"].append({**first, "id": "old", "since": "2024-02-01", "price": "10.00"})
        plain["quote"].append({**first, "id": "next", "since": "2027-02-01", "price": "99.00"})
        plain["supplier"].append({"id": "other", "name": "Other Cellars"})
        plain["quote"].append({**first, "id": "dear", "supplier": "other", "since": "2024-01-01", "price": "400.00"})

    reckoning = chain("distillate", edit)
    book = openpyxl.load_workbook(io.BytesIO(workbook(contents(reckoning, 7))))
    history = {row[10].value for row in book["History"].iter_rows(min_row=4)} - {None}
    assert history == {q["id"] for q in _plain(edit)["quote"]}
    listed = {row[17].value: row[13].value for row in book["Price book"].iter_rows(min_row=4)}
    assert {"old", "next"}.isdisjoint(listed)
    assert listed["dear"] is None
    assert {k for k, v in listed.items() if v == "yes"} == {p.quote.id for p in reckoning.prices.values()}


def _plain(edit: Edit) -> dict[str, Any]:
    import json

    from tests.report.chains import FOLDER

    plain: dict[str, Any] = json.loads((FOLDER / "distillate.json").read_text(encoding="utf-8"))
    edit(plain)
    return plain


def _cells(said: Contents, sheet: str) -> list[str]:
    book = openpyxl.load_workbook(io.BytesIO(workbook(said)))
    return [str(c.value) for row in book[sheet].iter_rows() for c in row if c.value is not None]


def test_runs_setup_and_what_goes_in_once_are_said_on_a_batch_sheet() -> None:
    def edit(plain: dict[str, Any]) -> None:
        find(plain, "equipment", "still")["charge"] = "2 l"
        stages = find(plain, "preparation", "distillate")["versions"][0]["stages"]
        still = next(s for s in stages if s["kind"] == "distil")
        still.get("facts", {}).pop("runs", None)
        still["setup"] = "~20 min"
        stages[0]["adds"][0]["fixed"] = True

    reckoning = chain("distillate", edit)
    line = next(x for x in reckoning.ledgers["distillate"].lines if x.kind == "distil")
    if line.runs == 1.0:
        pytest.fail("the case is for a stage that is run more than once")
    said = contents(reckoning, 7)
    made = next(p for p in said.preparations if p.id == "distillate")
    sheet = _flat(batch_sheet(said, made))
    stage = next(s for s in made.stages if s.kind == "distil")
    runs = [figure_line(f) for f in stage.figures if f.name == "runs"]
    assert runs == [f"runs {line.runs:g} (computed, by the charge of the equipment)"]
    for words in (*runs[0].split(), "set", "up", "(assumed)", "(once", "a"):
        assert words in sheet.split(), words
    assert stage.setup is not None
    assert time_line("set up", stage.setup) == "set up 20 min once a batch (assumed)"
    assert any(a.figure == "time to set up" for a in said.assumptions)


def test_the_whole_sample_is_written(tmp_path: Any) -> None:
    reckoning = reckon(import_json(SAMPLE.read_text(encoding="utf-8")).on(date(2026, 6, 1)))
    files = write_reports(reckoning, tmp_path, revision=1)
    assert all(f.stat().st_size > 2000 for f in files)
    with pdfplumber.open(tmp_path / "cost-sheets.pdf") as pages:
        assert len(pages.pages) == len(contents(reckoning, 1).menu), "a cost sheet takes one page"
    with pdfplumber.open(tmp_path / "spec-cards.pdf") as pages:
        for page in pages.pages:
            assert all(c["x1"] <= page.width - 20 for c in page.chars)


def test_a_very_long_name_is_wrapped_and_never_cut_on_the_teams_pages() -> None:
    words = [f"word{n}" for n in range(400)]

    def edit(plain: dict[str, Any]) -> None:
        _states(plain)
        find(plain, "serve", "harbour-light")["name"] = " ".join(words)
        find(plain, "preparation", "distillate")["name"] = "W" * 900
        adds = find(plain, "serve", "harbour-light")["versions"][0]["build"]["adds"]
        adds += [{"source": "cordial", "amount": f"{n + 1} ml"} for n in range(80)]

    said = contents(chain("distillate", edit), 7)
    for make in (spec_cards, allergen_sheet):
        text = _flat(make(said))
        assert set(words) <= set(text.replace(",", " ").replace(":", " ").replace(";", " ").split())
        assert text.count("W") >= 900
    assert "80 ml" in _flat(spec_cards(said))
