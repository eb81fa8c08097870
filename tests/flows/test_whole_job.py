"""The whole job without a window, each command a process of its own, as it is run in a bar."""

import json
import subprocess
import sys
from pathlib import Path

import pdfplumber
import pytest

from tests import chains


def run(*argv: str | Path, code: int = 0) -> str:
    """One command in a fresh process."""
    done = subprocess.run(
        [sys.executable, "-m", "costing", *map(str, argv)],
        capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == code, (argv, done.stdout, done.stderr)
    return done.stdout if code < 2 else done.stderr


def serve(book: Path, day: str = "2026-06-01") -> dict[str, float]:
    """Cost of the first serve."""
    cost: dict[str, float] = json.loads(run("cost", book, "--day", day, "--json"))["serves"][0]["cost"]
    return cost


def test_from_the_plain_form_to_the_owner(tmp_path: Path) -> None:
    book, out = tmp_path / "bar.stillroom", tmp_path / "out"
    run("new", book, "--from", chains.path("distillate"))
    assert serve(book)["materials"] == pytest.approx(2.6269, abs=1e-4)
    assert serve(book)["with_making"] == pytest.approx(2.860126, abs=1e-6)
    assert "the weight of what leaves 1.35 kg (measured)" in run("ledger", book, "distillate")

    run("quote", book, "rum", "20.90", "--day", "2026-05-01")
    # rum + 10 % moves the serve by 0.152 (invented, computed: the sensitivity of the worked chain)
    assert serve(book)["with_making"] - 2.860126 == pytest.approx(0.152, abs=5e-4)
    run("history", book, "--undo")
    assert serve(book)["with_making"] == pytest.approx(2.860126, abs=1e-6)

    written = run("report", book, "--out", out, "--day", "2026-06-01")
    names = {p.name for p in out.iterdir()}
    every = {"menu-cost.xlsx", "menu-cost.pdf", "cost-sheets.pdf", "spec-cards.pdf", "allergens.pdf"}
    every |= {"batch-sheets-for-the-team.pdf", "batch-distillate.pdf", "batch-lemon-juice.pdf"}
    assert names == every
    assert all(name in written for name in names)
    with pdfplumber.open(out / "menu-cost.pdf") as card:
        text = "\n".join(page.extract_text() for page in card.pages)
    assert all(part in text for part in ("Harbour Light", "2.63", "2.86", "16.00", "revision 3"))
    with pdfplumber.open(out / "batch-distillate.pdf") as sheet:
        text = "\n".join(page.extract_text() for page in sheet.pages)
    assert all(part in text for part in ("82.53", "47.5766", "licence"))


def test_refused_file_is_left_as_it_was(tmp_path: Path) -> None:
    stranger = tmp_path / "notes.stillroom"
    stranger.write_bytes(b"shopping list\n" * 100)
    before = stranger.read_bytes()
    for command in (["check"], ["cost"], ["history", "--undo"], ["quote", "rum", "3"]):
        said = run(command[0], stranger, *command[1:], code=2)
        assert "is not a book of Stillroom Ledger" in said
        assert said.count("\n") == 1
    assert stranger.read_bytes() == before
