"""``classes`` in the terminal, on the sample bar."""

import argparse
import contextlib
import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from costing.__main__ import main
from costing.menu import engineer
from costing.terminal.base import Mistake
from costing.terminal.classes import classes, classes_arguments


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("classes") / "bar.stillroom"
    with contextlib.redirect_stdout(io.StringIO()):
        main(["new", str(path), "--sample"])
    return path


def asked(book: Path, *words: str, day: str = "2026-12-31") -> tuple[int, str]:
    """(exit code, what it prints)."""
    parser = argparse.ArgumentParser()
    parser.add_argument("book", type=Path)
    parser.add_argument("--day", type=date.fromisoformat)
    parser.add_argument("--json", action="store_true")
    classes_arguments(parser)
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        code = classes(parser.parse_args([str(book), "--day", day, *words]))
    return code, printed.getvalue()


def document(book: Path, *words: str) -> Any:
    return json.loads(asked(book, "--json", *words)[1])


def test_it_says_its_rule_and_judges_every_section(book: Path) -> None:
    code, text = asked(book)
    assert code == 0
    assert "share >= 70 % of an equal share" in text
    assert "a tie counts as high" in text
    assert "sales of 2026-08-31 to 2026-11-22 (84 days); prices as paid" in text
    for section in ("Signatures", "House classics", "Wine and beer"):
        assert f"Main menu, {section}\n" in text
    assert "borderline: leave it" in text
    assert "they say" not in text


def test_the_document_is_the_arithmetic_of_its_own_figures(book: Path) -> None:
    found = document(book)
    assert (found["stillroom"], found["form"]) == ("classes", "1.0")
    assert len(found["sections"]) == 5
    for section in found["sections"]:
        rows = [(d["name"], d["sold"], d["cost"], d["net"]) for d in section["drinks"]]
        again = engineer(rows)
        assert [d["class"] for d in section["drinks"]] == [row.klass for row in again]
        assert section["totals"] == {letter: getattr(again, letter) for letter in section["totals"]}
        for d in section["drinks"]:
            assert sum(d["chances"].values()) == pytest.approx(1.0)
            assert d["action"] != "rework" or (d["state"] == "sure" and d["class"] == "dog")


def test_rules_of_the_call(book: Path) -> None:
    for text, share in (("80", 0.8), ("80 %", 0.8), ("0.8", 0.8), ("150", 1.5)):
        found = document(book, "--cut", text, "--tie", "low", "--unsold", "out", "--weeks", "4")
        assert found["rule"] == {"cut": share, "tie": "low", "unsold": "left out", "variable": 0.3, "sure": 0.9}
    for wrong in (["--cut", "many"], ["--cut", "300"], ["--weeks", "0"], ["--weeks", "x"], ["--tie", "even"]):
        with pytest.raises(SystemExit), contextlib.redirect_stderr(io.StringIO()):
            asked(book, *wrong)


def test_methods_sections_and_leaving(book: Path) -> None:
    _, text = asked(book, "--section", "signatures", "--methods", "--machine", "still", "--without", "Night Ferry")
    assert "House classics" not in text
    assert "they say" in text
    assert "margin a machine hour" in text
    assert "without Night Ferry:" in text
    (section,) = document(book, "--section", "Signatures", "--without", "night-ferry")["sections"]
    left = section["without"]
    stay = [d for d in section["drinks"] if d["id"] != "night-ferry"]
    again = engineer([(d["name"], d["sold"], d["cost"], d["net"]) for d in stay])
    moved = [(d["id"], d["class"], row.klass) for d, row in zip(stay, again, strict=True) if d["class"] != row.klass]
    assert [(m["id"], m["before"], m["after"]) for m in left["moved"]] == moved
    assert left["margin_lost"] == again.M
    assert left["margin_spread"] == pytest.approx(again.M * section["totals"]["N"] / again.N)


def test_a_day_before_any_sales_has_no_classes(book: Path) -> None:
    _, text = asked(book, day="2026-01-31")
    assert "nothing was sold here in this time: no classes" in text


@pytest.mark.parametrize("words", [("--section", "soup"), ("--without", "soup"), ("--machine", "soup")])
def test_names_that_mean_nothing_are_a_mistake(book: Path, words: tuple[str, ...]) -> None:
    with pytest.raises(Mistake, match="soup"):
        asked(book, *words)
