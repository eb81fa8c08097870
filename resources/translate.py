"""Collect what is said and bring every catalogue up to date: ``python -m resources.translate [--check]``.

Collected are the literals handed to ``say`` and ``say_many`` in ``costing/`` and ``ui/``, the tables of words that are
marked ``Words``, ``Sayings`` or ``Saying`` (see ``costing.tongue``), and the names of the shipped lists of allergens.
``--check`` writes nothing and fails where a catalogue does not fit the code.
"""

import argparse
import ast
import re
import string
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import polib

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / "resources" / "translations"
SOURCES = ("costing", "ui")
TABLES = frozenset({"Words", "Sayings", "Saying"})
COUNTED = 2
"""Texts that ``say_many`` takes: one, and many."""
_ALLERGENS = ROOT / "resources" / "tables" / "allergens.csv"
_MNEMONIC = re.compile(r"(?<!&)&(?=\w)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A text that is said, with the place: file and line. ``many`` is "" where nothing is counted."""

    text: str
    many: str
    place: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Fault:
    """Something said that nobody can collect."""

    place: str
    why: str


def collect(root: Path = ROOT) -> tuple[list[Found], list[Fault]]:
    """All that is said under the sources, in the order of files and lines, and what is wrong there."""
    found: list[Found] = []
    faults: list[Fault] = []
    for folder in SOURCES:
        for path in sorted((root / folder).rglob("*.py")):
            name = path.relative_to(root).as_posix()
            if name == "costing/tongue.py" or name.startswith("costing/terminal/"):  # the terminal speaks English
                continue
            these, wrong = scan(path.read_text(encoding="utf-8"), name)
            found += these
            faults += wrong
    return found + list(_allergens()), faults


def scan(source: str, name: str) -> tuple[list[Found], list[Fault]]:
    """What one file says."""
    found: list[Found] = []
    faults: list[Fault] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.AnnAssign) and isinstance(node.annotation, ast.Name) and node.value is not None:
            if node.annotation.id in TABLES:
                found += [Found(text=t, many="", place=(name, str(line))) for t, line in _texts(node.value) if t]
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("say", "say_many"):
            count = 1 if node.func.id == "say" else COUNTED
            texts = [_literal(arg) for arg in node.args[:count]]
            if len(texts) < count or any(text is None for text in texts):
                faults.append(Fault(f"{name}:{node.lineno}", f"{node.func.id} takes literals, or use a table of words"))
            elif all(texts):
                one, many = texts[0] or "", (texts[1] or "") if count == COUNTED else ""
                found.append(Found(text=one, many=many, place=(name, str(node.lineno))))
    return found, faults


def _literal(node: ast.expr) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def _texts(node: ast.expr) -> Iterator[tuple[str, int]]:
    """The texts of a table: values of a dict, items of a tuple, or a dict made from a tuple of texts."""
    match node:
        case ast.Constant(value=str(text)):
            yield text, node.lineno
        case ast.Dict():
            for value in node.values:
                yield from _texts(value)
        case ast.Tuple() | ast.List() | ast.Set():
            for item in node.elts:
                yield from _texts(item)
        case ast.DictComp():
            for comprehension in node.generators:
                yield from _texts(comprehension.iter)
        case ast.BinOp():
            yield from _texts(node.left)
            yield from _texts(node.right)
        case _:
            return


def _allergens() -> Iterator[Found]:
    for n, line in enumerate(_ALLERGENS.read_text(encoding="utf-8").splitlines()[1:], start=2):
        yield Found(text=line.split(",")[2], many="", place=("resources/tables/allergens.csv", str(n)))


def refresh(catalogue: polib.POFile, found: list[Found]) -> None:
    """Bring a catalogue up to date: new texts without a translation, kept ones with theirs, those gone as obsolete."""
    forms = plural_forms(catalogue)
    wanted: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for item in found:
        wanted.setdefault((item.text, item.many), []).append(item.place)
    kept = {(entry.msgid, entry.msgid_plural or ""): entry for entry in catalogue}
    catalogue.clear()
    for (text, many), places in wanted.items():
        entry = kept.pop((text, many), None) or polib.POEntry(msgid=text, msgid_plural=many)
        if many and not entry.msgstr_plural:
            entry.msgstr_plural = dict.fromkeys(range(forms), "")
        entry.obsolete = False
        entry.occurrences = [(name, "") for name in dict.fromkeys(name for name, _ in places)]
        catalogue.append(entry)
    for entry in kept.values():
        if translated(entry):  # what nobody ever translated is not worth keeping
            entry.obsolete, entry.occurrences = True, []
            catalogue.append(entry)


def plural_forms(catalogue: polib.POFile) -> int:
    """How many forms the language counts with."""
    said = re.search(r"nplurals=(\d+)", catalogue.metadata.get("Plural-Forms", ""))
    return int(said[1]) if said else COUNTED


def translated(entry: polib.POEntry) -> bool:
    """Whether a text has its translation, every form of it."""
    if entry.msgid_plural:
        return bool(entry.msgstr_plural) and all(entry.msgstr_plural.values())
    return bool(entry.msgstr)


def misfits(entry: polib.POEntry) -> list[str]:
    """What a translation does not keep of its text: figures in braces, the mnemonic, spaces at the ends."""
    if not translated(entry):
        return ["is not translated"]
    allowed = fields(entry.msgid) | fields(entry.msgid_plural)
    out = []
    for said in entry.msgstr_plural.values() if entry.msgid_plural else [entry.msgstr]:
        try:
            has = fields(said)
        except ValueError as error:
            out.append(f"cannot be filled in: {error}")
            continue
        # a form of a count may leave the number out, as in "one good"
        lacks = allowed - has - ({"n"} if entry.msgid_plural else set())
        out += [f"lacks {{{name}}}" for name in sorted(lacks)]
        out += [f"has {{{name}}}, which is not given" for name in sorted(has - allowed)]
        if len(_MNEMONIC.findall(said)) != len(_MNEMONIC.findall(entry.msgid)):
            out.append("has another number of mnemonics (&)")
        if _ends(said) != _ends(entry.msgid):
            out.append("begins or ends in other blank space")
    return out


def fields(text: str) -> set[str]:
    """The names of the figures of a text. ValueError for a text that cannot be filled in."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def _ends(text: str) -> tuple[bool, bool]:
    return text[:1].isspace(), text[-1:].isspace()


def catalogues() -> Mapping[str, Path]:
    """Catalogues by language."""
    return {path.stem: path for path in sorted(FOLDER.glob("*.po"))}


def main(arguments: list[str] | None = None) -> int:
    """Refresh or check; 1 where something is said that cannot be collected, or a checked catalogue does not fit."""
    parser = argparse.ArgumentParser(prog="python -m resources.translate", description="Refresh the translations.")
    parser.add_argument("--check", action="store_true", help="write nothing; fail where a catalogue does not fit")
    check = parser.parse_args(arguments).check
    found, faults = collect()
    for fault in faults:
        print(f"{fault.place}: {fault.why}")
    amiss = len(faults)
    for tag, path in catalogues().items():
        catalogue = polib.pofile(str(path), wrapwidth=110)
        before = str(catalogue)
        refresh(catalogue, found)
        entries = [entry for entry in catalogue if not entry.obsolete]
        wrong = [(entry, misfits(entry)) for entry in entries if misfits(entry)]
        gone = sum(entry.obsolete for entry in catalogue)
        print(f"{tag}: {len(entries)} texts, {len(wrong)} to see to, {gone} obsolete")
        for entry, why in wrong:
            print(f"  {entry.msgid!r} {'; '.join(why)}")
        if not check and str(catalogue) != before:
            catalogue.save(str(path))
        amiss += len(wrong) if check else 0
    return 1 if amiss else 0


if __name__ == "__main__":
    sys.exit(main())
