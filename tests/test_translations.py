"""The catalogues fit the code: everything said is in them, whole, with the same figures, and found by the collector."""

import re
from pathlib import Path

import polib
import pytest

from costing.report.grid import LONGEST_TAB, tab
from costing.report.xlsx import SHEETS
from costing.tongue import speaking
from resources import translate
from resources.translate import catalogues, collect, misfits, refresh, scan

LANGUAGES = ("ar", "de")
SPOKEN = re.compile(r"[^\W\d_]{2,}")
UNITS = frozenset({"vol", "brix", "so", "kg", "ml", "bx", "ctrl", "enter"})


def _catalogue(tag: str) -> polib.POFile:
    return polib.pofile(str(catalogues()[tag]))


def test_nothing_is_said_that_cannot_be_collected() -> None:
    _, faults = collect()
    assert [f"{fault.place}: {fault.why}" for fault in faults] == []


@pytest.mark.parametrize("tag", LANGUAGES)
def test_every_text_is_translated_and_fits(tag: str) -> None:
    found, _ = collect()
    catalogue = _catalogue(tag)
    refresh(catalogue, found)
    wrong = {entry.msgid: misfits(entry) for entry in catalogue if not entry.obsolete and misfits(entry)}
    assert wrong == {}


@pytest.mark.parametrize("tag", LANGUAGES)
def test_a_catalogue_says_who_made_it(tag: str) -> None:
    assert "not reviewed by a native reader" in _catalogue(tag).header


def test_a_draft_in_arabic_is_in_arabic() -> None:
    left = [
        e.msgid for e in _catalogue("ar")
        if not e.obsolete and not e.msgid_plural and SPOKEN.search(re.sub(r"\{\w*\}", "", e.msgid))
        and not re.search("[\u0600-\u06ff]", e.msgstr)
    ]  # fmt: skip
    assert [text for text in left if not {word.casefold() for word in SPOKEN.findall(text)} <= UNITS] == []


@pytest.mark.parametrize("tag", LANGUAGES)
def test_sheets_have_names_that_a_spreadsheet_takes_and_tells_apart(tag: str) -> None:
    with speaking(tag):
        names = [tab(name) for name in SHEETS]
    assert len({name.casefold() for name in names}) == len(SHEETS)
    assert all(0 < len(name) <= LONGEST_TAB and not re.search(r"[\[\]:*?/\\]", name) for name in names)


def test_literals_and_marked_tables_are_collected() -> None:
    source = (
        'A: Words = {"x": "one", "y": "two"}\nB: Sayings = ("three", "", "four" " five")\nC: Saying = "six"\n'
        'D = {"z": "no"}\nE: Words = {t: t for t in ("seven",)}\n'
        'def f():\n    say("eight {n}", n=1)\n    say_many("{n} day", "{n} days", 2)\n    say_word(D["z"])\n'
    )
    found, faults = scan(source, "some.py")
    assert {(f.text, f.many) for f in found} == {
        ("one", ""), ("two", ""), ("three", ""), ("four five", ""), ("six", ""), ("seven", ""), ("eight {n}", ""),
        ("{n} day", "{n} days"),
    }  # fmt: skip
    assert faults == []


@pytest.mark.parametrize("call", ["say(name)", 'say(f"{n} days")', 'say("a" + b)', 'say_many("a", b, 1)', "say()"])
def test_what_cannot_be_collected_is_a_fault(call: str) -> None:
    _, faults = scan(f"x = {call}", "some.py")
    assert [fault.place for fault in faults] == ["some.py:1"]


def test_a_refreshed_catalogue_keeps_translations_and_lists_what_is_gone() -> None:
    catalogue = polib.POFile()
    catalogue.metadata = {"Plural-Forms": "nplurals=2; plural=(n != 1);"}
    catalogue += [polib.POEntry(msgid="Cost", msgstr="Kosten"), polib.POEntry(msgid="Gone", msgstr="Weg"),
                  polib.POEntry(msgid="Never")]  # fmt: skip
    found, _ = scan('say("Cost")\nsay("New")\nsay_many("{n} day", "{n} days", 3)', "some.py")
    refresh(catalogue, found)
    assert {e.msgid: (e.msgstr, e.obsolete) for e in catalogue} == {
        "Cost": ("Kosten", False), "New": ("", False), "{n} day": ("", False), "Gone": ("Weg", True),
    }  # fmt: skip
    again = str(catalogue)
    refresh(catalogue, found)
    assert str(catalogue) == again
    refresh(catalogue, [*found, *scan('say("Gone")', "some.py")[0]])
    assert next(e for e in catalogue if e.msgid == "Gone").obsolete == 0


@pytest.mark.parametrize(
    ("text", "said", "why"),
    [
        ("{n} of {m}", "{n} von", "lacks {m}"),
        ("{n}", "{n} {x}", "has {x}, which is not given"),
        ("&Save", "Sichern", "has another number of mnemonics (&)"),
        ("Save: ", "Sichern:", "begins or ends in other blank space"),
        ("{n}", "{n", "cannot be filled in"),
        ("Save", "", "is not translated"),
    ],
)
def test_a_translation_that_does_not_fit_is_told(text: str, said: str, why: str) -> None:
    assert why in "; ".join(misfits(polib.POEntry(msgid=text, msgstr=said)))


def test_a_doubled_ampersand_is_no_mnemonic() -> None:
    assert misfits(polib.POEntry(msgid="Food && drink", msgstr="Speise und Trank")) == []


def test_checking_writes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "de.po"
    path.write_text('msgid ""\nmsgstr ""\n"Language: de\\n"\n', encoding="utf-8")
    before = path.read_bytes()
    monkeypatch.setattr(translate, "FOLDER", tmp_path)
    assert translate.main(["--check"]) == 1
    assert path.read_bytes() == before
    assert translate.main([]) == 0
    assert "Cautions" in path.read_text(encoding="utf-8")
