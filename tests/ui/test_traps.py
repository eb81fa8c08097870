"""Traps of Qt for Python that were met before are not in the window again: its source is read for them."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import ui

FILES = sorted(path for path in Path(ui.__file__).parent.rglob("*.py"))
FORBIDDEN = {
    "QDoubleSpinBox": "12.50 typed in German becomes 1250",
    "QStandardItemModel": "data in a second place",
    "QTableWidget": "data in a second place",
    "QTreeWidget": "data in a second place",
    "QListWidget": "data in a second place",
    "QSortFilterProxyModel": "seconds at 20,000 rows",
    "internalPointer": "a freed object, and the process dies",
    "QThread": "still running at the end, and the process dies",
    "QCharts": "its licence",
}
LOOP_TURNERS = {"pictures.py"}
"""Only the mode that renders pictures turns the event loop itself."""


def _trees() -> Iterator[tuple[Path, ast.Module]]:
    for path in FILES:
        yield path, ast.parse(path.read_text(encoding="utf-8"))


def _names(tree: ast.AST) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            yield node.id, node.lineno
        elif isinstance(node, ast.Attribute):
            yield node.attr, node.lineno
        elif isinstance(node, ast.ImportFrom):
            yield from ((alias.name, node.lineno) for alias in node.names)


def _calls(tree: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, (ast.Attribute, ast.Name)):
            yield (node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id), node


@pytest.mark.parametrize("name", FORBIDDEN)
def test_what_is_known_to_harm_is_not_used(name: str) -> None:
    found = [f"{path.name}:{line}" for path, tree in _trees() for word, line in _names(tree) if word == name]
    assert found == [], FORBIDDEN[name]


def test_no_signal_holds_a_lambda() -> None:
    found = [
        f"{path.name}:{call.lineno}"
        for path, tree in _trees()
        for name, call in _calls(tree)
        if name in ("connect", "singleShot") and any(isinstance(a, ast.Lambda) for a in call.args)
    ]
    assert found == [], "what the lambda holds is never freed"


def test_no_signal_carries_a_qt_integer() -> None:
    """A Signal(int) has 32 bits; ids, money and counts go as objects. Rows and columns of a table fit."""
    found = [
        f"{path.name}:{call.lineno}"
        for path, tree in _trees()
        for name, call in _calls(tree)
        if name == "Signal" and len(call.args) == 1 and isinstance(call.args[0], ast.Name) and call.args[0].id == "int"
    ]
    assert found == []


def test_the_event_loop_is_turned_by_nobody() -> None:
    found = [
        f"{path.name}:{call.lineno}"
        for path, tree in _trees()
        for name, call in _calls(tree)
        if name == "processEvents" and path.name not in LOOP_TURNERS
    ]
    assert found == []


def test_uniform_heights_are_set_before_the_model() -> None:
    """expandAll and then setUniformRowHeights gives rows of height -1 and a tree that looks empty."""
    for path, tree in _trees():
        for function in (n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)):
            lines = {name: call.lineno for name, call in _calls(function)}
            if "setUniformRowHeights" in lines and "setModel" in lines:
                assert lines["setUniformRowHeights"] < lines["setModel"], f"{path.name}:{lines['setUniformRowHeights']}"
            if "setUniformRowHeights" in lines and "expandAll" in lines:
                assert lines["setUniformRowHeights"] < lines["expandAll"], f"{path.name}:{lines['expandAll']}"


def test_no_sentence_is_put_together_of_pieces() -> None:
    """Other languages order words differently."""
    found = [
        f"{path.name}:{node.lineno}"
        for path, tree in _trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add) and _says(node.left) and _says(node.right)
    ]
    assert found == []


def _says(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("say", "say_many")


def test_nothing_stands_at_a_fixed_place() -> None:
    """Fixed pixels break at 125 % and at large letters; pictures in points and hints of widgets do not."""
    found = [
        f"{path.name}:{call.lineno}: {name}"
        for path, tree in _trees()
        for name, call in _calls(tree)
        if name in ("setFixedSize", "setFixedHeight", "setFixedWidth", "setGeometry", "move")
        and any(isinstance(a, ast.Constant) and isinstance(a.value, int) and a.value > 0 for a in call.args)
    ]
    assert found == []
