"""Rules of the house that a reader could break without noticing: imports, words for codes, and what the docs promise."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

from costing.__main__ import parser
from costing.book.kinds import FACT_DIMS, STAGE_KINDS
from costing.report.words import CODES, STAGE_WORDS

ROOT = Path(__file__).parent.parent
CODE = re.compile(r'(?:problem|Impossible|Unbridged)\(\s*f?"([a-z{}-]+)"')


def test_import_contracts_are_kept() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_problem_code_has_a_sentence_and_every_sentence_a_code() -> None:
    used: set[str] = set()
    for file in (ROOT / "costing").rglob("*.py"):
        text = file.read_text("utf-8")
        used |= set(CODE.findall(text))
        used |= set(re.findall(r'"((?:more|no|ambiguous|unknown)-[a-z-]+)"', text))
    used = {c for code in used for c in (["more-ethanol-than-in", "more-water-than-in"] if "{" in code else [code])}
    assert used - CODES == set()
    assert CODES - used == set()


def test_every_stage_kind_has_a_word_and_known_facts() -> None:
    assert set(STAGE_WORDS) == set(STAGE_KINDS)
    assert {f for kind in STAGE_KINDS.values() for f in kind.facts} == set(FACT_DIMS)


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
