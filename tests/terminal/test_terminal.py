"""The terminal as a bar manager meets it: journeys, one-line errors, and JSON that equals the core."""

import json
import re
import shlex
from collections import Counter
from pathlib import Path

import pytest

from costing.__main__ import main, parser
from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.records import KINDS
from costing.ledger import reckon
from costing.pricing import priced_serves
from tests import chains


class Shell:
    """Runs commands in one folder and keeps what they print."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self.capsys = folder, capsys

    def __call__(self, line: str, code: int = 0) -> str:
        argv = [a.replace("@", str(self.folder) + "/") for a in shlex.split(line)]
        try:
            got = main(argv)
        except SystemExit as stop:
            got = int(stop.code or 0)
        printed = self.capsys.readouterr()
        assert got == code, printed
        if code == 2:
            assert printed.out == ""
            assert printed.err.count("\n") == 1, printed.err
            return printed.err.strip()
        return printed.out


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path, capsys)


def chain(shell: Shell, name: str) -> None:
    warned = int(name == "mother")  # its weighings leave something unexplained, and the new book says so
    shell(f"new @{name}.stillroom --from {chains.path(name)}", warned)


def test_first_chain_in_the_terminal(shell: Shell) -> None:
    chain(shell, "distillate")
    text = shell("cost @distillate.stillroom --day 2026-06-01")
    row = next(line for line in text.splitlines() if line.startswith("Harbour Light"))
    assert re.split(r"\s{2,}", row)[1:3] == ["2.6269", "2.8601"]
    assert "16.00" in row
    assert "47.5766" in text
    ledger = shell("ledger @distillate.stillroom 'roasted pineapple rum distillate' --day 2026-06-01")
    assert "1.73468 l" in ledger
    assert "lost here: 26.2 % of the alcohol" in ledger
    assert "82.53" in ledger
    assert "19.34 of the materials in it" in ledger  # the invented worked chain: 26.2 % of 73.80
    assert "8.75 of the materials in it" in ledger  # and 11.85 % of 73.80 in the pots
    assert "Caution: Distilling needs a licence nearly everywhere" in ledger


@pytest.mark.parametrize("name", chains.NAMES)
def test_json_has_the_full_figures_of_the_core(shell: Shell, name: str) -> None:
    chain(shell, name)
    reckoning = reckon(chains.book(name).on(chains.DAY))
    warned = 1 if name == "mother" else 0  # its weighings leave something unexplained, and say so
    document = json.loads(shell(f"cost @{name}.stillroom --day {chains.DAY} --json", warned))
    assert (document["stillroom"], document["form"]) == ("cost", "1.0")
    for printed, priced in zip(document["serves"], priced_serves(reckoning), strict=True):
        assert printed["cost"]["materials"] == priced.cost.materials
        assert printed["cost"]["with_making"] == priced.cost.making
        assert printed["suggestion"]["at"]["all_in"] == float(priced.suggestion.at.all_in)  # type: ignore[union-attr]
    for prep in document["preparations"]:
        for output in prep["outputs"]:
            assert output["cost"]["with_making"] == reckoning.costs[output["id"]].making
        own = int(any(p.level != "note" for p in reckoning.ledgers[prep["id"]].problems))
        whole = json.loads(shell(f"ledger @{name}.stillroom {prep['id']} --day {chains.DAY} --json", own))
        for line in whole["lines"]:
            masses = {f: sum(s["mass"] for s in line[f]) for f in ("in", "out")}
            assert masses["in"] == pytest.approx(masses["out"], rel=1e-9)


def test_price_change_undone_after_a_restart(shell: Shell) -> None:
    chain(shell, "distillate")
    book = "@distillate.stillroom"
    before = shell(f"export {book} -")
    said = shell(f"quote {book} 'White rum 40 %' 21.50 --day 2026-05-01")
    assert "2.8601 -> 3.0605" in said
    assert "3.0605" in shell(f"cost {book} --day 2026-06-01")
    assert "2.8601" in shell(f"cost {book} --day 2026-04-30")  # the old price still holds on an older day
    assert shell(f"history {book} --undo").startswith("undone: price of White rum")
    assert shell(f"export {book} -") == before
    assert shell(f"history {book} --redo").startswith("redone")
    entries = json.loads(shell(f"history {book} --json"))["entries"]
    assert [e["act"] for e in entries] == ["migrate", "do", "undo", "redo"]
    assert entries[1]["records"] == ["quote/rum-2026-05-01-1"]
    assert "nothing to undo" not in shell(f"history {book} --undo")
    assert "undo" in shell(f"history {book} --undo", 2)


def test_a_quote_may_bring_its_own_pack_and_supplier(shell: Shell) -> None:
    chain(shell, "distillate")
    book = "@distillate.stillroom"
    shell(f"quote {book} rum 79.80 --pack '4.2 l' --supplier market --day 2026-05-01")
    good = json.loads(shell(f"cost {book} --item rum --json --day 2026-05-01"))["goods"][0]
    assert (good["supplier"], good["unit_cost"]) == ("market", pytest.approx(19.0, rel=1e-12))
    assert "no supplier called 'nobody'" in shell(f"quote {book} rum 20 --supplier nobody", 2)


def test_a_quote_is_checked_before_it_is_written(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    before = shell("export @s.stillroom -")
    assert '"3 bananas": the unit "bananas" is not known' in shell(
        "quote @s.stillroom white-rum 91 --pack '3 bananas' --day 2026-11-01", 2
    )
    assert "cannot become kg without a density" in shell(
        "quote @s.stillroom pineapple 9 --pack '1 l' --day 2026-11-01", 2
    )
    assert "say what the price is for with --pack" in shell(
        "quote @s.stillroom white-rum 91 --supplier 'dry-store' --day 2026-11-01", 2
    )
    assert shell("export @s.stillroom -") == before
    said = shell(
        "quote @s.stillroom white-rum 95.20 --supplier 'Ropewalk Casks' --tax inc --tax-rate '19 %' --day 2026-11-01"
    )
    assert "84.00 for 6 x 0.7 l -> 95.20 for 6 x 0.7 l" in said
    good = json.loads(shell("cost @s.stillroom --item white-rum --json --day 2026-11-01"))["goods"][0]
    assert (good["supplier"], good["unit_cost"]) == ("casks", pytest.approx(95.20 / 1.19 / 4.2, rel=1e-12))


def test_a_quote_of_the_same_day_changes_only_what_is_given(shell: Shell, tmp_path: Path) -> None:
    data = json.loads(chains.path("distillate").read_text("utf-8"))
    data["quote"][1] |= {"until": "2026-12-31", "note": "agreed by phone", "breaks": [{"packs": "6", "price": "18.00"}]}
    (tmp_path / "q.json").write_text(json.dumps(data), "utf-8")
    shell("new @q.stillroom --from @q.json")
    shell("quote @q.stillroom rum 19.50 --day 2026-01-01")
    shell("export @q.stillroom @out.json")
    after = {q["id"]: q for q in json.loads((tmp_path / "out.json").read_text("utf-8"))["quote"]}["q2"]
    assert (after["price"], after["until"], after["note"]) == ("19.50", "2026-12-31", "agreed by phone")
    assert after["breaks"] == [{"packs": "6", "price": "18.00"}]


def test_one_name_for_two_goods_must_be_said_by_id(shell: Shell, tmp_path: Path) -> None:
    data = json.loads(chains.path("distillate").read_text("utf-8"))
    data["good"].append({**data["good"][1], "id": "rum-2"})
    (tmp_path / "two.json").write_text(json.dumps(data), "utf-8")
    said = shell("new @two.stillroom --from @two.json", 1)
    assert "White rum 40 % is also the name of rum" in said
    assert "say which by id, rum or rum-2" in shell("quote @two.stillroom 'White rum 40 %' 20", 2)


def test_an_exported_amount_changed_in_its_text_alone_is_not_passed_over(shell: Shell, tmp_path: Path) -> None:
    chain(shell, "distillate")
    shell("export @distillate.stillroom @d.json")
    text = (tmp_path / "d.json").read_text("utf-8")
    (tmp_path / "d.json").write_text(text.replace('"text": "45 ml"', '"text": "60 ml"'), "utf-8")
    said = shell("new @e.stillroom --from @d.json", 2)
    assert 'text says "60 ml" and value says "45 ml"; change both' in said
    assert not (tmp_path / "e.stillroom").exists()


def test_a_good_whose_id_means_two_things_takes_no_price(shell: Shell, tmp_path: Path) -> None:
    data = json.loads(chains.path("distillate").read_text("utf-8"))
    data["good"].append({**data["good"][1], "id": "lemon-juice", "name": "Bottled juice"})
    (tmp_path / "clash.json").write_text(json.dumps(data), "utf-8")
    shell("new @clash.stillroom --from @clash.json", 1)
    assert "the same id is also preparation/lemon-juice" in shell(
        "quote @clash.stillroom lemon-juice 9 --pack '1 l' --supplier market", 2
    )


def test_the_form_page_names_every_kind_fact_and_reading(shell: Shell) -> None:
    page = shell("form")
    for word in (*KINDS, *STAGE_KINDS, *READING_DIMS, "us fl oz", "spent_ratio"):
        assert word in page


def test_export_is_read_back_equal(shell: Shell, tmp_path: Path) -> None:
    chain(shell, "mother")
    shell("export @mother.stillroom @m.json")
    shell("new @again.stillroom --from @m.json", 1)
    shell("export @again.stillroom @n.json")
    assert (tmp_path / "m.json").read_bytes() == (tmp_path / "n.json").read_bytes()


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("cost @none.stillroom", "there is no such file"),
        ("cost @distillate.stillroom --day 2026-02-30", "'2026-02-30' is not a day"),
        ("cost @distillate.stillroom --item rumm", "did you mean White rum 40 %"),
        ("ledger @distillate.stillroom nothing-like-it", "no preparation called 'nothing-like-it'"),
        ("quote @distillate.stillroom rum abc", "'abc' is not an amount"),
        ("quote @distillate.stillroom rum 1,500", "could be 1500 or 1.500"),
        ("quote @distillate.stillroom rum '12 kg'", "is not a price"),
        ("quote @distillate.stillroom rum 12 --pack '0 l'", "must hold more than nothing"),
        ("new @distillate.stillroom --sample", "not overwritten"),
        ("new @x.stillroom --from @none.json", "no such file"),
        ("brew @x.stillroom", "invalid choice"),
        ("cost @distillate.stillroom --dya x", "unrecognized arguments"),
        ("report @distillate.stillroom", "required: --out"),
        ("report @distillate.stillroom --out @distillate.stillroom", "is a file; --out names the folder"),
        ("export @distillate.stillroom @none/x.json", "there is no folder"),
    ],
)
def test_a_bad_call_is_one_clear_line(shell: Shell, line: str, part: str) -> None:
    chain(shell, "distillate")
    assert part in shell(line, 2)


def test_problems_are_sentences_and_exit_1(shell: Shell, tmp_path: Path) -> None:
    data = json.loads(chains.path("distillate").read_text("utf-8"))
    data["quote"] = [q for q in data["quote"] if q["good"] != "rum"]
    data["preparation"][0]["versions"][0]["stages"][1]["readings"]["out.mass"] = "0.2 kg"
    (tmp_path / "bad.json").write_text(json.dumps(data), "utf-8")
    shell("new @bad.stillroom --from @bad.json", 1)
    text = shell("check @bad.stillroom --day 2026-06-01", 1)
    assert "more-water-than-in" not in text
    assert "kg of water went, and only 2.632 kg was in it" in text
    shown = shell("cost @bad.stillroom --day 2026-06-01", 1)
    assert "refused, see below" in shown
    assert "not known" in shown


def test_unpriced_is_at_least_never_a_total(shell: Shell, tmp_path: Path) -> None:
    data = json.loads(chains.path("distillate").read_text("utf-8"))
    data["quote"] = [q for q in data["quote"] if q["good"] != "rum"]
    (tmp_path / "open.json").write_text(json.dumps(data), "utf-8")
    shell("new @open.stillroom --from @open.json", 1)
    row = next(r for r in shell("cost @open.stillroom --day 2026-06-01", 1).splitlines() if r.startswith("Harbour"))
    assert ">= " in row
    serve = json.loads(shell("cost @open.stillroom --day 2026-06-01 --json", 1))["serves"][0]
    assert (serve["at_least"], serve["unpriced"], serve["suggestion"]) == (True, ["rum"], None)


def test_sample_is_sound_and_prices_every_serve(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    assert "0 errors, 0 warnings" in shell("check @s.stillroom --day 2026-11-01")
    serves = json.loads(shell("cost @s.stillroom --day 2026-11-01 --json"))["serves"]
    assert len(serves) == 21
    assert all(s["suggestion"] and s["price"] for s in serves)


def test_help_names_every_command_and_each_explains_itself(capsys: pytest.CaptureFixture[str]) -> None:
    overview = parser().format_help()
    for command in ("new", "export", "check", "cost", "ledger", "quote", "history", "report", "allergens"):
        assert f"    {command} " in overview
        with pytest.raises(SystemExit) as stop:
            main([command, "--help"])
        assert stop.value.code == 0
        assert "BOOK" in capsys.readouterr().out


def test_a_ledger_of_another_size_and_of_a_batch_as_it_was_made(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    day = "--day 2026-11-01 --json"
    one = json.loads(shell(f"ledger @s.stillroom tea-cordial {day}"))["outputs"][0]
    two = json.loads(shell(f"ledger @s.stillroom tea-cordial --times 2 {day}"))["outputs"][0]
    assert two["made"] == pytest.approx(2 * one["made"], rel=0.05)
    assert two["cost"]["materials"] == pytest.approx(one["cost"]["materials"], rel=0.05)
    assert "accepted above 0" in shell("ledger @s.stillroom tea-cordial --times 0", 2)
    logs = json.loads(shell("export @s.stillroom -"))["batch"]
    log = next(b for b in logs if b["preparation"] == "pineapple-distillate")
    logged = shell(f"ledger @s.stillroom pineapple-distillate --batch {log['id']} --day {log['day']}")
    assert f"batch {log['id']} of {log['day']} as it was made" in logged
    assert "there is no batch called 'nothing'" in shell("ledger @s.stillroom pineapple-distillate --batch nothing", 2)
    assert "no batch of cut-ice is logged" in shell("ledger @s.stillroom cut-ice --batch x", 2)


def test_allergens_are_told_and_reasoned(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    page = shell("allergens @s.stillroom --day 2026-11-01")
    assert "never to be read as free" in page
    told = json.loads(shell("allergens @s.stillroom --day 2026-11-01 --json"))["items"]
    assert all(len(findings) == 14 for findings in told.values())
    walnut = shell("allergens @s.stillroom --item 'Quay Walnut' --day 2026-11-01")
    assert "nuts: contains" in walnut
    assert "in Walnut mother" in walnut


SOUR = """Quay Sour
45 ml white rum
20 ml lemon juice
1 barspoon nobody's bitters

Quay Plain
45 ml white rum
20 ml lemon juice
"""


def test_a_good_a_preparation_and_pasted_drinks_come_in_by_the_line(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    book = "@s.stillroom"
    good = "--kind fruit --pack '12 x 125 g' --price 21.60 --supplier 'North Quay Fruit'"
    said = shell(f"add-good {book} Blackberry {good}")
    assert "assumed until measured: water ~88.15 %" in said
    assert "allergens are not stated" in said
    takes = "--takes '1 kg blackberry' --takes '600 g white sugar' --takes '0.4 l drinking water'"
    made = shell(f"add-preparation {book} 'Blackberry cordial' {takes} --makes '1.3 l' --minutes '15 min'")
    assert "makes 1.3000 l" in made
    assert "makes 7 each" in shell(f"add-twist {book} Lemon")
    assert "has 'Lime juice' already" in shell(f"add-juice {book} Lime", 2)
    assert "put a quote for it instead" in shell(f"add-good {book} Blackberry {good}", 2)
    (shell.folder / "p.txt").write_text(SOUR, "utf-8")
    seen = shell(f"paste {book} @p.txt", 1)
    assert "nothing is written yet: add 1 with --accept" in seen
    assert "not added: a line is not decided" in seen
    accepted = shell(f"paste {book} @p.txt --accept", 1)
    assert "id quay-plain: costs" in accepted
    names = {s["id"] for s in json.loads(shell(f"cost {book} --json"))["serves"]}
    assert "quay-plain" in names
    assert "quay-sour" not in names
    shell("new @t.stillroom --sample")
    for _ in range(4):
        shell(f"history {book} --undo")
    assert shell(f"export {book} -") == shell("export @t.stillroom -")


def test_what_moved_a_cost_and_two_batches_side_by_side(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    page = shell("days @s.stillroom 'Harbour Light' --from 2026-04-01 --to 2026-05-31")
    assert "recipe of Roasted pineapple rum distillate" in page
    told = json.loads(shell("days @s.stillroom 'Harbour Light' --from 2026-04-01 --to 2026-05-31 --json"))
    assert told["stillroom"] == "days"
    two = shell("compare @s.stillroom pineapple-distillate --day 2026-01-15 --and-day 2026-11-01")
    assert "refuse: 49 % (assumed) -> 47 % (measured" in two
    assert "called 'Nothing'" in shell("days @s.stillroom Nothing", 2)


def test_a_book_goes_to_a_workbook_and_back(shell: Shell) -> None:
    shell("new @s.stillroom --sample")
    said = shell("export @s.stillroom @s.xlsx", 1)
    kinds = Counter(line.split()[3] for line in said.splitlines() if "not in it:" in line)
    assert kinds == {
        "batch": 22, "yieldtest": 9, "order": 1, "rate": 1, "sales": 12, "supplier": 18, "button": 32, "till": 1,
        "scenario": 2, "equipment": 2, "house": 1,
    }  # fmt: skip
    shell("new @t.stillroom --from @s.xlsx")
    one, two = (json.loads(shell(f"cost @{n}.stillroom --day 2026-11-01 --json"))["serves"] for n in "st")
    assert one == two
