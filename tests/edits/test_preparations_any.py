"""Any run of edits can be taken back step by step, and no edit touches what it was not asked to."""

from collections.abc import Callable
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Step
from costing.book.kinds import STAGE_KINDS
from costing.book.records import Preparation, Stage
from costing.edits import figures, preparations, stage_lines, stages
from costing.paths import sample_book
from costing.store import read_json

DAY = date(2026, 11, 1)
IDS = ("pineapple-distillate", "saline", "lemon-juice", "walnut-mother", "cut-ice", "milk-punch")
TEXTS = ("45 %", "1.2 kg", "0.5 l", "~7", "", "50 mbar", "twenty", "12 min", "1,234 kg", "40 % vol")
LINES = ("1 kg pineapple", "45 ml white rum", "moonwater", "", "2 lemons", "100 g sugar")


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def edits(draw: st.DrawFn, book: Book) -> Step | None:
    """One edit of a preparation, drawn."""
    ident = draw(st.sampled_from(IDS))
    line = book.on(DAY).preparations[ident][1].stages
    stage = draw(st.sampled_from([s.id for s in line]))
    at, by = draw(st.integers(0, 2)), draw(st.sampled_from([-1, 1]))
    kind = draw(st.sampled_from(list(STAGE_KINDS)))
    name = draw(st.sampled_from(figures.figure_names(kind)))
    since = draw(st.sampled_from([None, None, date(2026, 12, 24)]))
    if since is not None:
        line = max((v for v in book.all(Preparation)[ident].versions if v.since <= since), key=lambda v: v.since).stages
        stage = draw(st.sampled_from([s.id for s in line]))
    text, typed = draw(st.sampled_from(TEXTS)), draw(st.sampled_from(LINES))
    works: list[Callable[[], Step | None]] = [
        lambda: stages.set_figure(book, ident, DAY, stage, name, text, since),
        lambda: stages.set_how(book, ident, DAY, stage, name, "scales", since),
        lambda: stages.add_stage(book, ident, DAY, kind, at, since)[0],
        lambda: stages.split_off(book, ident, DAY, stage, kind, [at], since)[0],
        lambda: stages.remove_stage(book, ident, DAY, stage, since),
        lambda: stages.move_stage(book, ident, DAY, stage, by, since),
        lambda: stages.duplicate_stage(book, ident, DAY, stage, since)[0],
        lambda: stages.set_kind(book, ident, DAY, stage, kind, giving_up=by > 0, since=since),
        lambda: stages.set_stage_note(book, ident, DAY, stage, typed, since),
        lambda: stage_lines.set_line(book, ident, DAY, stage, at, typed, since),
        lambda: stage_lines.set_spill(book, ident, DAY, stage, at, text, since),
        lambda: stage_lines.set_amount(book, ident, DAY, stage, at, text, since),
        lambda: stage_lines.set_fixed(book, ident, DAY, stage, at, by > 0, since),
        lambda: stage_lines.move_line(book, ident, DAY, stage, at, by, since),
        lambda: stage_lines.remove_line(book, ident, DAY, stage, at, since),
        lambda: preparations.set_pieces(book, ident, DAY, text, since),
        lambda: preparations.set_density(book, ident, DAY, text, since),
        lambda: preparations.keep_byproduct(book, ident, DAY, stage, "Kept", (), since),
        lambda: preparations.set_shelf(book, ident, text),
    ]
    try:
        return draw(st.sampled_from(works))()
    except ValueError:
        return None


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_run_of_edits_is_taken_back_to_the_very_book(book: Book, data: st.DataObject) -> None:
    here, done = book, list[Step]()
    for _ in range(6):
        step = data.draw(st.composite(edits)(here))
        if step is not None:
            after = here.with_changes(step.changes)
            assert after != here
            assert step.text
            here, done = after, [*done, step]
    for step in reversed(done):
        here = here.with_changes(step.inverse().changes)
    assert here == book


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_edit_of_one_stage_drops_a_figure_or_a_component_elsewhere(book: Book, data: st.DataObject) -> None:
    ident = data.draw(st.sampled_from(IDS))
    before = book.on(DAY).preparations[ident][1].stages
    stage = data.draw(st.sampled_from(before))
    kind = data.draw(st.sampled_from(list(STAGE_KINDS)))
    name = data.draw(st.sampled_from(figures.figure_names(stage.kind)))
    text = data.draw(st.sampled_from([t for t in TEXTS if t]))
    works: list[Callable[[], Step | None]] = [
        lambda: stages.set_figure(book, ident, DAY, stage.id, name, text),
        lambda: stages.set_kind(book, ident, DAY, stage.id, kind),
        lambda: stages.split_off(book, ident, DAY, stage.id, kind, [0])[0],
        lambda: stages.move_stage(book, ident, DAY, stage.id, 1),
        lambda: stage_lines.move_line(book, ident, DAY, stage.id, 0, 1),
        lambda: stage_lines.set_line(book, ident, DAY, stage.id, 9, "1 kg pineapple"),
    ]
    try:
        step = data.draw(st.sampled_from(works))()
    except ValueError:
        return
    if step is None:
        return
    after = book.with_changes(step.changes).on(DAY).preparations[ident][1].stages
    assert words(before, but=(stage.id, name)) <= words(after)


def words(line: tuple[Stage, ...], but: tuple[str, str] = ("", "")) -> set[str]:
    """Everything that somebody typed into stages, each as "what: text"; ``but`` one figure of one stage."""
    out = set()
    for stage in line:
        typed = [*stage.facts, *stage.readings, *((t, getattr(stage, t)) for t in figures.TIMES)]
        out |= {fact.text for name, fact in typed if fact is not None and (stage.id, name) != but}
        out |= {f"{i.source} {i.amount.text if i.amount else ''} {i.spill} {i.fixed}" for i in stage.adds}
        out |= {f"{stage.equipment} {stage.labour} {stage.note}"}
    return out
