"""Edits of preparations: what was typed stands, nothing else moves, everything can be taken back."""

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal

import pytest

from costing.book.book import Book
from costing.book.change import Step
from costing.book.fact import parse_fact
from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.plain import record_from_plain, record_to_plain
from costing.book.records import Preparation, Stage
from costing.edits import figures, preparations, stage_lines, stages
from costing.edits.base import InUse, Undecided
from costing.ledger import reckon
from costing.paths import sample_book
from costing.store import read_json

DAY = date(2026, 11, 1)
RUM = "pineapple-distillate"


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def after(book: Book, step: Step | None) -> Book:
    """The book after a step, which can also be taken back and written down."""
    assert step is not None
    done = book.with_changes(step.changes)
    assert done.with_changes(step.inverse().changes) == book
    for change in step.changes:
        if change.after is not None:
            plain = record_to_plain(change.after)
            assert record_from_plain(change.kind, plain, "test") == change.after
    return done


def made(book: Book, ident: str = RUM) -> Preparation:
    """A preparation."""
    return book.all(Preparation)[ident]


def now(book: Book, ident: str = RUM) -> tuple[Stage, ...]:
    """Its stages on the day."""
    return book.on(DAY).preparations[ident][1].stages


def stage(book: Book, name: str, ident: str = RUM) -> Stage:
    """One of them."""
    return next(s for s in now(book, ident) if s.id == name)


def moved_fields(before: object, later: object) -> set[str]:
    """Names of the fields that two records differ in."""
    return {f.name for f in fields(before) if getattr(before, f.name) != getattr(later, f.name)}  # type: ignore[arg-type]


def test_three_lines_make_a_preparation_that_is_costed(book: Book) -> None:
    draft = preparations.new_preparation(book, "Green Spark", "500 ml lime juice\n300 g sugar", "0.65 l", "12", DAY)
    done = after(book, draft.step)
    ledger = reckon(done.on(DAY)).ledgers[draft.id]
    assert not ledger.refused
    assert not draft.undecided
    assert made(done, draft.id).base == "l"
    with pytest.raises(ValueError, match="already"):
        preparations.new_preparation(done, "green spark", "1 l water", "1 l", "", DAY)


def test_ids_are_not_used_again(book: Book) -> None:
    first = preparations.new_preparation(book, "Green Spark", "1 l water", "0.9 l", "", DAY, past={"green-spark"})
    assert first.id == "green-spark-2"
    step, new = preparations.duplicate(book, RUM, "Green Spark", DAY, past={"green-spark"})
    assert new == "green-spark-2"
    assert after(book, step)


def test_name_unit_days_and_note(book: Book) -> None:
    done = after(book, preparations.rename(book, RUM, " Roasted   pine "))
    assert moved_fields(made(book), made(done)) == {"name"}
    assert made(done).name == "Roasted pine"
    with pytest.raises(ValueError, match="already"):
        preparations.rename(book, RUM, made(book, "honey-syrup").name.upper())
    with pytest.raises(ValueError, match="name"):
        preparations.rename(book, RUM, "  ")
    assert preparations.rename(book, RUM, made(book).name) is None
    assert made(after(book, preparations.set_base(book, RUM, "kg"))).base == "kg"
    with pytest.raises(ValueError, match="bottle"):
        preparations.set_base(book, RUM, "bottle")
    done = after(book, preparations.set_shelf(book, RUM, "90"))
    assert made(done).shelf_days == 90
    assert moved_fields(made(book), made(done)) == {"shelf_days"}
    assert made(after(book, preparations.set_shelf(book, RUM, ""))).shelf_days is None
    for wrong in ("soon", "-3", "1.5", "99999"):
        with pytest.raises(ValueError, match=wrong):
            preparations.set_shelf(book, RUM, wrong)
    done = after(book, preparations.set_note(book, RUM, DAY, "press the bag"))
    old, new = made(book).versions, made(done).versions
    assert new[0] == old[0]
    assert moved_fields(old[1], new[1]) == {"note"}


def test_an_allergen_goes_by_a_person_with_a_reason(book: Book) -> None:
    with pytest.raises(ValueError, match="named person"):
        preparations.exempt(book, RUM, "milk", "", "whey removed", DAY)
    done = after(book, preparations.exempt(book, RUM, "milk", "Ada", "laboratory 12", DAY))
    assert made(done).exemptions[0].who == "Ada"
    assert after(done, preparations.take_back_exemption(done, RUM, "milk")) == book


def test_the_version_of_the_day_is_amended_and_from_a_day_on_adds_one(book: Book) -> None:
    done = after(book, stages.set_figure(book, RUM, date(2026, 1, 5), "trim", "refuse", "50 %"))
    assert made(done).versions[1] == made(book).versions[1]
    assert dict(made(done).versions[0].stages[0].facts)["refuse"].value == 50
    later = date(2026, 12, 1)
    done = after(book, stages.set_figure(book, RUM, DAY, "trim", "refuse", "44 %", since=later))
    assert made(done).versions[:2] == made(book).versions
    assert made(done).versions[2].since == later
    with pytest.raises(ValueError, match="not made yet"):
        stages.set_figure(book, RUM, date(2020, 1, 1), "trim", "refuse", "44 %")
    done = after(book, preparations.begin_version(book, RUM, later))
    assert made(done).versions[2].stages == made(book).versions[1].stages
    with pytest.raises(ValueError, match="already"):
        preparations.begin_version(done, RUM, later)
    assert after(done, preparations.remove_version(done, RUM, later)) == book
    with pytest.raises(ValueError, match="only version"):
        preparations.remove_version(book, "saline", made(book, "saline").versions[0].since)


def test_pieces_and_density(book: Book) -> None:
    done = after(book, preparations.set_pieces(book, "lemon-wheel", DAY, "~80"))
    pieces = made(done, "lemon-wheel").versions[0].pieces
    assert pieces is not None
    assert pieces.mark == "assumed"
    assert pieces.value == 80
    with pytest.raises(ValueError, match="pieces"):
        preparations.set_pieces(book, "lemon-wheel", DAY, "1.2 kg")
    done = after(book, preparations.set_density(book, "lime-juice", DAY, "1.03"))
    density = made(done, "lime-juice").versions[1].density
    assert density is not None
    assert density.text == "1.03 kg/l"
    with pytest.raises(ValueError, match="density"):
        preparations.set_density(book, "lime-juice", DAY, "1.03 kg")
    assert made(after(book, preparations.set_density(book, "lime-juice", DAY, ""))).versions


def test_by_products(book: Book) -> None:
    step = preparations.keep_byproduct(book, "ginger-juice", DAY, "press", "Ginger cake")
    done = after(book, step)
    assert made(done, "ginger-juice").versions[0].byproducts[0].share == 0
    done = after(done, preparations.set_share(done, "ginger-juice", DAY, "ginger-cake", "4 %", DAY))
    kept = made(done, "ginger-juice").versions[0].byproducts[0]
    assert kept.share == Decimal("0.04")
    assert kept.computed_on == DAY
    done = after(done, preparations.name_byproduct(done, "ginger-juice", DAY, "ginger-cake", "Pressed ginger"))
    done = after(done, preparations.set_method(done, "ginger-juice", DAY, "ginger-cake", "saves bought ginger"))
    assert "ginger-juice/ginger-cake" in reckon(done.on(DAY)).costs
    with pytest.raises(ValueError, match="already"):
        preparations.keep_byproduct(done, "ginger-juice", DAY, "press", "More")
    assert not made(after(done, preparations.drop_byproduct(done, "ginger-juice", DAY, "ginger-cake")), "ginger-juice"
                    ).versions[0].byproducts  # fmt: skip
    with pytest.raises(InUse) as used:
        preparations.drop_byproduct(book, RUM, DAY, "marc")
    assert ("preparation", "marc-rinse") in used.value.users
    for wrong in ("5", "120 %", "-1 %", "half"):
        with pytest.raises(ValueError, match=wrong):
            preparations.share_of(wrong)
    again = preparations.keep_byproduct(book, "ginger-juice", DAY, "press", "Cake", past={"ginger-juice/cake"})
    assert made(after(book, again), "ginger-juice").versions[0].byproducts[0].id == "cake-2"


def test_a_copy_stands_on_its_own(book: Book) -> None:
    step, new = preparations.duplicate(book, "walnut-mother", "Second mother", DAY)
    done = after(book, step)
    assert stage(done, "steep", new).adds[0].source == new
    assert "walnut-mother" not in {i.source for s in now(done, new) for i in s.adds}
    cost = reckon(done.on(DAY)).costs
    assert cost[new].making == pytest.approx(cost["walnut-mother"].making)
    step, new = preparations.duplicate(book, "hazelnut-distillate", "Second nut", DAY)
    assert not made(after(book, step), new).exemptions
    assert "exemptions" in step.text


def test_remove_only_what_nobody_uses(book: Book) -> None:
    with pytest.raises(InUse) as used:
        preparations.remove(book, "lemon-juice")
    assert used.value.names
    draft = preparations.new_preparation(book, "Green Spark", "1 l water", "0.9 l", "", DAY)
    done = after(book, draft.step)
    assert after(done, preparations.remove(done, draft.id)) == book


def test_stages_come_go_and_move(book: Book) -> None:
    step, new = stages.add_stage(book, RUM, DAY, "clarify", 3)
    done = after(book, step)
    assert [s.id for s in now(done)] == ["trim", "roast", "infuse", new, "distil", "proof", "bottle"]
    assert not reckon(done.on(DAY)).ledgers[RUM].refused  # it loses nothing until somebody says so
    assert after(done, stages.remove_stage(done, RUM, DAY, new)) == book
    done = after(book, stages.move_stage(book, RUM, DAY, "bottle", -1))
    assert [s.id for s in now(done)][-2:] == ["bottle", "proof"]
    assert stages.move_stage(book, RUM, DAY, "bottle", 1) is None
    step, copy = stages.duplicate_stage(book, RUM, DAY, "bottle")
    done = after(book, step)
    assert stage(done, copy).facts == stage(book, "bottle").facts
    assert copy != "bottle"
    with pytest.raises(ValueError, match="last stage"):
        stages.remove_stage(book, "saline", DAY, "make")
    with pytest.raises(InUse):
        stages.remove_stage(book, RUM, DAY, "infuse")


@pytest.mark.parametrize("kind", STAGE_KINDS)
def test_a_new_stage_of_any_kind_is_taken(book: Book, kind: str) -> None:
    step, new = stages.add_stage(book, "simple-syrup", DAY, kind, 1)
    done = after(book, step)
    ledger = reckon(done.on(DAY)).ledgers["simple-syrup"]
    asks = {p.code for p in ledger.problems if p.level == "error"}
    assert not asks or asks == {"needs-fact"}
    line = next((line for line in ledger.lines if line.stage == new), None)
    assert line is None or line.share_lost == 0.0


def test_a_stage_id_is_new_for_every_version_and_log(book: Book) -> None:
    assert stages.free_stage_id(book, RUM, "trim") == "trim-2"
    assert stages.free_stage_id(book, RUM, "clarify", past={"clarify"}) == "clarify-2"


def test_another_kind_keeps_what_applies_and_says_what_would_go(book: Book) -> None:
    with pytest.raises(figures.WouldLose) as lost:
        stages.set_kind(book, RUM, DAY, "trim", "roast")
    assert [name for name, _ in lost.value.lost] == ["refuse"]
    assert "47 %" in str(lost.value)
    step = stages.set_kind(book, RUM, DAY, "trim", "roast", giving_up=True)
    assert step is not None
    assert "47 %" in step.text
    done = after(book, step)
    assert moved_fields(stage(book, "trim"), stage(done, "trim")) == {"kind", "facts"}
    done = after(book, stages.set_kind(book, RUM, DAY, "trim", "cut"))
    assert moved_fields(stage(book, "trim"), stage(done, "trim")) == {"kind"}
    with pytest.raises(ValueError, match="swirl"):
        stages.set_kind(book, RUM, DAY, "trim", "swirl")


def test_what_a_make_makes_becomes_a_reading(book: Book) -> None:
    done = after(book, stages.set_kind(book, "saline", DAY, "make", "blend"))
    assert (
        dict(stage(done, "make", "saline").readings)["out.mass"] == dict(stage(book, "make", "saline").facts)["makes"]
    )
    costs = reckon(book.on(DAY)).costs["saline"].making, reckon(done.on(DAY)).costs["saline"].making
    assert costs[0] == pytest.approx(costs[1])


def test_a_plain_make_grows_stages_and_loses_no_word(book: Book) -> None:
    draft = preparations.new_preparation(
        book, "Green Spark", "6 kg pineapple\n1 l white rum", "3 l", "25", DAY
    )  # fmt: skip
    plain = after(book, draft.step)
    before = stage(plain, "make", draft.id)
    step, trim = stages.split_off(plain, draft.id, DAY, "make", "trim", [0])
    done = after(plain, step)
    first, last = now(done, draft.id)
    assert first.id == trim
    assert first.kind == "trim"
    assert first.adds == before.adds[:1]
    assert last == replace(before, adds=before.adds[1:])
    assert not reckon(done.on(DAY)).ledgers[draft.id].refused
    with pytest.raises(ValueError, match="choose"):
        stages.split_off(plain, draft.id, DAY, "make", "trim", [])


def test_figures_as_typed(book: Book) -> None:
    cases = [
        ("trim", "refuse", "45", "45 %"), ("trim", "refuse", "~45 %", "~45 %"), ("distil", "pressure", "60", "60 mbar"),
        ("distil", "runs", "2", "2"), ("infuse", "left.mass", "1.9 kg less 0.4 kg", "1.9 kg less 0.4 kg"),
        ("proof", "abv", "44", "44 % vol"), ("bottle", "active", "6", "6 min"), ("roast", "out.mass", "2 kg", "2 kg"),
    ]  # fmt: skip
    for where, name, text, wanted in cases:
        step = stages.set_figure(book, RUM, DAY, where, name, text)
        done = after(book, step)
        fact = figures.figure_of(stage(done, where), name)
        assert fact is not None
        assert fact.text == wanted
        kind = "readings" if name in READING_DIMS else name if name in figures.TIMES else "facts"
        assert moved_fields(stage(book, where), stage(done, where)) == {kind}
    for where, name, text in [
        ("trim", "refuse", "2 kg"), ("roast", "out.mass", "2"), ("proof", "abv", "44 %"), ("trim", "abv", "44 % vol"),
        ("trim", "refuse", ".5"), ("bottle", "active", "-5 min"), ("trim", "refuse", "half"),
    ]:  # fmt: skip
        with pytest.raises(ValueError, match=r"“|takes no|time|amount"):
            stages.set_figure(book, RUM, DAY, where, name, text)
    done = after(book, stages.set_figure(book, RUM, DAY, "trim", "refuse", ""))
    assert not stage(done, "trim").facts
    assert stages.set_figure(book, RUM, DAY, "trim", "refuse", "47 %") is None


def test_how_it_was_measured_goes_with_the_figure_that_was(book: Book) -> None:
    done = after(book, stages.set_how(book, RUM, DAY, "roast", "out.mass", "scales, other tray"))
    assert dict(stage(done, "roast").readings)["out.mass"].how == "scales, other tray"
    done = after(book, stages.set_figure(book, RUM, DAY, "roast", "out.mass", "1.9 kg"))
    assert dict(stage(done, "roast").readings)["out.mass"].how == ""
    with pytest.raises(ValueError, match="no figure yet"):
        stages.set_how(book, RUM, DAY, "roast", "out.brix", "refractometer")


def test_equipment_hands_and_note(book: Book) -> None:
    done = after(book, stages.set_equipment(book, RUM, DAY, "roast", ""))
    assert moved_fields(stage(book, "roast"), stage(done, "roast")) == {"equipment"}
    with pytest.raises(ValueError, match="anvil"):
        stages.set_equipment(book, RUM, DAY, "roast", "anvil")
    with pytest.raises(ValueError, match="labour"):
        stages.set_labour(book, RUM, DAY, "roast", "pineapple")
    done = after(book, stages.set_labour(book, RUM, DAY, "roast", "lead-hand"))
    done = after(done, stages.set_stage_note(done, RUM, DAY, "roast", " dark edges "))
    assert stage(done, "roast").note == "dark edges"
    assert stage(done, "roast").labour == "lead-hand"


def test_components_as_lines(book: Book) -> None:
    done = after(book, stage_lines.set_line(book, RUM, DAY, "infuse", 1, "50 g sugar"))
    assert [i.source for i in stage(done, "infuse").adds] == ["white-rum", "sugar"]
    done = after(done, stage_lines.set_spill(done, RUM, DAY, "infuse", 0, "2"))
    done = after(done, stage_lines.set_fixed(done, RUM, DAY, "infuse", 1, True))
    done = after(done, stage_lines.set_line(done, RUM, DAY, "infuse", 0, "3.1 l white rum"))
    first, second = stage(done, "infuse").adds
    assert first.spill is not None
    assert first.spill.text == "2 %"
    assert second.fixed
    done = after(done, stage_lines.move_line(done, RUM, DAY, "infuse", 1, -1))
    assert [i.source for i in stage(done, "infuse").adds] == ["sugar", "white-rum"]
    done = after(done, stage_lines.set_amount(done, RUM, DAY, "infuse", 0, "60 g"))
    done = after(done, stage_lines.set_line(done, RUM, DAY, "infuse", 0, ""))
    assert len(stage(done, "infuse").adds) == 1
    with pytest.raises(Undecided):
        stage_lines.set_line(book, RUM, DAY, "infuse", 1, "3 dl moonwater")
    with pytest.raises(ValueError, match="share"):
        stage_lines.set_spill(book, RUM, DAY, "infuse", 0, "2 kg")
    done = after(book, stage_lines.put_input(book, RUM, DAY, "proof", "lemon-juice/hulls", "20 g"))
    assert stage(done, "proof").adds[-1].amount == parse_fact("20 g")


def test_a_component_goes_over_into_the_next_stage(book: Book) -> None:
    done = after(book, stage_lines.move_line(book, RUM, DAY, "infuse", 0, 1))
    assert not stage(done, "infuse").adds
    assert stage(done, "distil").adds == stage(book, "infuse").adds
    assert stage_lines.move_line(book, RUM, DAY, "trim", 0, -1) is None


def test_a_pasted_block_is_one_step(book: Book) -> None:
    step, found = stage_lines.paste_lines(book, RUM, DAY, "infuse", 1, "50 g sugar\n1 l moonwater\n20 ml lime juice")
    done = after(book, step)
    assert [i.source for i in stage(done, "infuse").adds] == ["white-rum", "sugar", "lime-juice"]
    assert [line.text for line in found.undecided] == ["1 l moonwater"]
    assert stage_lines.paste_lines(book, RUM, DAY, "infuse", 1, "moonwater")[0] is None


def test_juice_and_twists_of_a_fruit(book: Book) -> None:
    draft = preparations.twist_of(book, "lime", DAY)
    done = after(book, draft.step)
    assert made(done, draft.id).base == "each"
    draft = preparations.juice_of(book, "pineapple", DAY)
    done = after(book, draft.step)
    assert not reckon(done.on(DAY)).ledgers[draft.id].refused
    with pytest.raises(ValueError, match="already"):
        preparations.juice_of(done, "pineapple", DAY)
    with pytest.raises(ValueError, match="juice yield"):
        preparations.juice_of(book, "sugar", DAY)
