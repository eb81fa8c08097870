"""House rules a reader could break without noticing: imports, words for codes, and what the docs promise."""

import contextlib
import io
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from costing.__main__ import main, parser
from costing.book.kinds import FACT_DIMS, STAGE_KINDS
from costing.report.words import CODES, DOUBT_WORDS, REASON_WORDS, STAGE_WORDS
from costing.supply.build import PROBLEMS
from costing.supply.lines import LINE_DOUBTS
from costing.supply.measure import DOUBTS
from costing.supply.recipe import RECIPE_DOUBTS

ROOT = Path(__file__).parent.parent
CODE = re.compile(r'(?:problem|Impossible|Unbridged)\(\s*f?"([a-z{}-]+)"')


def test_import_contracts_are_kept() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_problem_code_has_a_sentence_and_every_sentence_a_code() -> None:
    rooms = [ROOT / "costing" / part for part in ("book", "ledger", "supply")]
    text = "".join(f.read_text("utf-8") for room in rooms for f in room.rglob("*.py"))
    raised = {c for c in CODE.findall(text) if "{" not in c}
    assert raised - CODES == set()
    spoken = set(re.findall(r'"([a-z]+(?:-[a-z0-9]+)*)"', text)) | {"more-ethanol-than-in", "more-water-than-in"}
    assert CODES - spoken == set()


def test_every_stage_kind_has_a_word_and_known_facts() -> None:
    assert set(STAGE_WORDS) == set(STAGE_KINDS)
    assert {f for kind in STAGE_KINDS.values() for f in kind.takes} == set(FACT_DIMS)


def test_the_readme_shows_only_commands_that_exist() -> None:
    lines = re.findall(r"python -m costing ([^`\n]+)", (ROOT / "README.md").read_text("utf-8"))
    assert len(lines) > 8
    for line in lines:
        argv = shlex.split(line.strip())
        if argv[0] != "--help" and argv[0] != "COMMAND":
            parser().parse_args(argv)


def test_no_assert_guards_the_product() -> None:
    for folder in ("costing", "resources"):
        for file in (ROOT / folder).rglob("*.py"):
            assert not re.search(r"^\s*assert\b|except:\s*$", file.read_text("utf-8"), re.MULTILINE), file


SHOWN = "new|cost|ledger|days|classes|scenario|reprice|capacity"
"""Commands whose output the README shows."""


def test_the_readme_shows_what_the_commands_print(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    monkeypatch.chdir(tmp_path)
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        for line in re.findall(rf"^    python -m costing ((?:{SHOWN}) [^\n]+)", readme, re.MULTILINE):
            main(shlex.split(line))
    shown = [line for block in re.findall(r"```\n(.*?)```", readme, re.DOTALL) for line in block.splitlines()]
    assert len(shown) > 30
    assert [line for line in shown if line not in printed.getvalue().splitlines()] == []


def test_every_doubt_about_a_paste_has_words() -> None:
    assert DOUBT_WORDS.keys() | REASON_WORDS.keys() >= DOUBTS | LINE_DOUBTS | RECIPE_DOUBTS
    assert CODES | {"missing"} >= PROBLEMS
