"""Speaking: one language a context, figures by its marks, and English wherever a translation does not fit."""

import threading
from datetime import date

import pytest

from costing import tongue
from costing.tongue import (
    PSEUDO,
    PSEUDO_RTL,
    capital,
    day_text,
    language,
    languages,
    numeral,
    pseudo,
    right_to_left,
    say,
    say_many,
    speak,
    speaking,
    word,
)


def test_english_is_what_stands_in_the_code() -> None:
    assert language() == "en"
    assert say("page {number} of {count}", number=2, count=9) == "page 2 of 9"
    assert say_many("{n} good", "{n} goods", 1) == "1 good"
    assert say_many("{n} good", "{n} goods", 2) == "2 goods"


def test_a_block_speaks_and_then_the_language_before_returns() -> None:
    with speaking("de"):
        assert say("page {number} of {count}", number=2, count=9) == "Seite 2 von 9"
        with speaking("en"):
            assert say("Cautions") == "Cautions"
        assert say("Cautions") == "Warnhinweise"
    assert language() == "en"


def test_the_language_before_returns_after_a_failure() -> None:
    with pytest.raises(RuntimeError), speaking("ar"):
        raise RuntimeError
    assert language() == "en"


def test_a_language_that_is_not_there_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"'tlh'.*en, ar, de"):
        speak("tlh")
    assert language() == "en"


def test_every_thread_speaks_its_own() -> None:
    heard: list[str] = []

    def other() -> None:
        heard.append(language())
        speak("de")
        heard.append(say("Cautions"))

    with speaking("ar"):
        thread = threading.Thread(target=other)
        thread.start()
        thread.join()
        assert language() == "ar"
    assert heard == ["en", "Warnhinweise"]


def test_what_nobody_translated_is_said_in_english() -> None:
    with speaking("de"):
        assert say("a sentence of no catalogue, {n}", n=3) == "a sentence of no catalogue, 3"
        assert say("") == ""


def test_a_translation_that_does_not_fit_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tongue, "_said", lambda _: "{wrong} {")
    assert say("{right}", right="this") == "this"


def test_counting_follows_the_language() -> None:
    one, many = "Nothing stated for {n} good: ", "Nothing stated for {n} goods: "
    with speaking("ar"):
        said = [say_many(one, many, n) for n in (0, 1, 2, 3, 11, 100)]
    assert len(set(said)) == 6
    assert "11" in said[4]


def test_pseudo_languages_keep_fields_and_mnemonics() -> None:
    assert pseudo("&Save {name} as") == "[&Sâvé {name} âš·····]"
    assert pseudo(" ") == " "
    with speaking(PSEUDO):
        assert say("{n} of {m}", n=1, m=2) == "[1 ôf 2···]"
        assert say_many("{n} good", "{n} goods", 3) == "[3 gôôdš···]"
    with speaking(PSEUDO_RTL):
        assert right_to_left()


def test_figures_take_the_marks_of_the_language() -> None:
    assert numeral("1,234.50 kg") == "1,234.50 kg"
    assert day_text(date(2026, 6, 1)) == "2026-06-01"
    with speaking("de"):
        assert numeral("-1,234.50") == "-1.234,50"
        assert day_text(date(2026, 6, 1)) == "01.06.2026"
    with speaking("ar"):
        assert numeral("1,234.50") == "1,234.50"
        assert day_text(date(2026, 6, 1)) == "01/06/2026"
        assert right_to_left()


def test_a_code_without_a_word_stands_for_itself() -> None:
    assert word({"a": "first"}, "a") == "first"
    assert word({"a": "first"}, "b") == "b"


def test_a_capital_leaves_the_rest_as_it_is() -> None:
    assert capital("mit Fett oder Milch") == "Mit Fett oder Milch"
    assert capital("") == ""


def test_english_comes_first_among_the_languages() -> None:
    assert languages() == ("en", "ar", "de")
