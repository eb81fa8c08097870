"""Every doubt of this room has a sentence, and the figures that its sentence needs."""

import ast
import re
from pathlib import Path

import costing.supply.columns as room
from costing.supply.columns.words import COLUMN_DOUBTS, LEFT_OUT

FILES = sorted(Path(room.__file__).parent.glob("*.py"))
CODE = re.compile(r"[a-z]+(?:-[a-z]+)+|nameless|twice|shifted")


def calls() -> list[tuple[str, set[str]]]:
    """(code, names of its values) of every ``doubt("code", ...)``; a code chosen by ``if`` counts for both."""
    out = []
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "doubt" and node.args:
                names = {word.arg for word in node.keywords if word.arg}
                if any(word.arg is None for word in node.keywords):
                    names |= {"expected", "found", "column"}  # the one shared dict, in guard
                codes = [one.value for one in ast.walk(node.args[0]) if isinstance(one, ast.Constant)]
                out += [(str(code), names) for code in codes if CODE.fullmatch(str(code))]
    return out


def test_every_doubt_has_its_sentence_and_its_figures() -> None:
    said = calls()
    assert len(said) > 60
    for code, names in said:
        needed = set(re.findall(r"\{(\w+)\}", COLUMN_DOUBTS[code]))
        assert needed <= names, f"{code} needs {needed - names}"


def test_every_sentence_is_used() -> None:
    spoken = {
        str(node.value)
        for file in FILES
        if file.name != "words.py"
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Constant)
    }
    assert (COLUMN_DOUBTS.keys() | LEFT_OUT.keys()) - spoken == set()
