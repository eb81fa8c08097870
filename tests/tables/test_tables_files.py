"""The shipped tables as files: every one parses, says where it comes from, and agrees with its own rules."""

import ast
import re
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest

from costing import tablefile, tables
from costing.book.records import BaseUnit, GoodKind
from costing.book.units import UNITS
from costing.liquor.sucrose import sucrose_density
from costing.tablefile import Sourced, fold, lines, records
from costing.tables import (
    Acid,
    Allergen,
    AllergenWord,
    BottleSize,
    FillTolerance,
    JuiceYield,
    Limit,
    Produce,
    SecondYield,
    StandardDrink,
    SugarFact,
    UnitRow,
    UsualMeasure,
    find_measure,
    find_produce,
    produce,
)

FOLDER = Path(__file__).parent.parent.parent / "resources" / "tables"
KEYS: dict[type[Sourced], tuple[str, ...]] = {
    Produce: ("name",),
    JuiceYield: ("fruit", "share_of", "source"),
    SecondYield: ("fruit", "part", "source"),
    Allergen: ("list", "code"),
    AllergenWord: ("match", "word"),
    BottleSize: ("list", "ml"),
    StandardDrink: ("code",),
    UnitRow: ("unit",),
    Acid: ("name",),
    SugarFact: ("name",),
    UsualMeasure: ("name",),
    FillTolerance: ("list", "low_ml"),
    Limit: ("code",),
}
EACH = pytest.mark.parametrize("cls", list(KEYS), ids=[c.table for c in KEYS])


def test_every_file_has_its_record_and_every_record_its_file() -> None:
    assert sorted(f.stem for f in FOLDER.glob("*.csv")) == sorted(c.table for c in KEYS)


@EACH
def test_a_table_parses_and_every_row_has_source_basis_and_a_key_of_its_own(cls: type[Sourced]) -> None:
    found = records(cls)
    assert len(found) > 3
    keys = [tuple(getattr(r, k) for k in KEYS[cls]) for r in found]
    assert len(set(keys)) == len(keys)
    assert all(r.source.strip() and r.basis in ("read", "computed", "memory") for r in found)
    assert all(k != "" for r, key in zip(found, keys, strict=True) for k in key if cls is not UnitRow)


@EACH
def test_what_is_from_memory_says_so(cls: type[Sourced]) -> None:
    """A row may not call a figure read and its source memory, nor the other way round."""
    for r in records(cls):
        assert not ("no source" in r.source and r.basis != "memory"), r
        assert not (r.source.startswith("from memory") and r.basis != "memory"), r


@EACH
def test_the_files_are_plain(cls: type[Sourced]) -> None:
    raw = (FOLDER / f"{cls.table}.csv").read_bytes()
    assert b"\r" not in raw
    assert not raw.startswith(b"\xef\xbb\xbf")
    assert raw.endswith(b"\n")
    assert all(not line.startswith(b"#") for line in raw.splitlines())
    assert all(cell == cell.strip() for line in lines(cls.table) for cell in line.cells.values())


def test_names_are_common_nouns_in_small_letters() -> None:
    """A brand is a name of its own and is written with a capital or a sign; no row needs one."""
    for p in produce():
        for name in (p.name, *p.aliases):
            assert re.fullmatch(r"[a-z]+( [a-z0-9]+)*", name), name
    assert all(re.fullmatch(r"[a-z]+( [a-z]+)*", r.word) for r in records(AllergenWord))


def test_kinds_and_bases_are_those_of_a_good() -> None:
    assert {p.kind for p in produce()} <= set(get_args(GoodKind))
    assert {p.base for p in produce()} <= set(get_args(BaseUnit))
    assert len([p for p in produce() if p.kind in ("fruit", "herb", "dry", "dairy", "sugar", "acid", "egg")]) > 90
    assert all((p.abv is not None) == (p.kind in ("spirit", "liqueur", "wine", "beer")) for p in produce())


def test_mass_shares_add_up_and_solubles_are_the_rest() -> None:
    by_rule = 0
    for p in produce():
        known = [x for x in (p.water, p.solubles, p.fibre, p.fat) if x is not None]
        assert sum(known) <= Decimal("100.5"), p.name
        if p.solubles is not None:
            parts = [x for x in (p.water, p.fibre, p.fat) if x is not None]
            assert len(parts) == 3, p.name
            assert p.solubles == 100 - sum(parts), p.name
            assert p.sugars is None or p.sugars <= p.solubles + Decimal("0.5"), p.name
            by_rule += 1
        assert (p.fibre_basis is None) == (p.fibre is None and p.fat is None), p.name
    assert by_rule > 90


def test_a_refuse_says_what_it_is() -> None:
    assert all(p.refuse_what for p in produce() if p.refuse)


def test_pieces_are_worked_out_of_the_edible_weight_that_they_name() -> None:
    checked = 0
    for p in produce():
        found = re.search(r"([\d.]+) g edible a (half)?.*refuse (\d+) %", p.piece_source)
        assert (p.piece_g is None) == (p.piece_basis is None) == (not p.piece_source), p.name
        if found and p.piece_g is not None:
            edible = Decimal(found[1]) * (2 if found[2] else 1)
            whole = edible / (1 - Decimal(found[3]) / 100)
            assert abs(p.piece_g - whole) <= Decimal("0.05"), p.name
            assert found[2] or Decimal(found[3]) == p.refuse, p.name
            checked += 1
    assert checked > 30


def test_the_juice_range_of_a_fruit_is_that_of_its_yields() -> None:
    """Read yields at the scale of a bar come first, remembered ones only where there is none."""
    cent = Decimal("0.01")
    for p in produce():
        of_it = [j for j in records(JuiceYield) if j.fruit == p.name and j.scale == "bar"]
        of_it = [j for j in of_it if j.basis != "memory"] or of_it
        if not of_it:
            assert (p.juice_low, p.juice_high, p.juice_basis) == (None, None, None), p.name
            continue
        whole = {"whole": Decimal(1), "edible": 1 - (p.refuse or Decimal(0)) / 100}
        low = min((j.share_low * whole[j.share_of]).quantize(cent, ROUND_HALF_UP) for j in of_it)
        high = max((j.share_high * whole[j.share_of]).quantize(cent, ROUND_HALF_UP) for j in of_it)
        assert (p.juice_low, p.juice_high) == (low, high), p.name
        assert (p.juice_basis == "memory") == all(j.basis == "memory" for j in of_it)


def test_no_fruit_gives_more_juice_than_it_holds() -> None:
    """Juice is at most the edible part times its water and solubles."""
    for j in records(JuiceYield):
        p = find_produce(j.fruit)
        assert p is not None, j
        liquid = [x for x in (p.water, p.solubles) if x is not None]
        assert len(liquid) == 2, j
        edible = 1 - (p.refuse or Decimal(0)) / 100 if j.share_of == "whole" else Decimal(1)
        assert j.share_low <= j.share_high <= edible * sum(liquid) / 100, j
        assert not j.juice or (juice := find_produce(j.juice)) is None or juice.kind == "juice"
        assert j.scale in ("bar", "industrial", "theory")
        assert j.share_of in ("whole", "edible")


def test_the_second_yields_are_one_over_their_factor() -> None:
    for s in records(SecondYield):
        assert find_produce(s.fruit) is not None, s
        assert s.factor is None or abs(s.edible_share - 1 / s.factor) <= Decimal("0.0006"), s


def test_densities_follow_from_the_weights_they_name() -> None:
    millilitres = {"cup": Decimal("236.588"), "fl oz": Decimal("29.5735")}
    checked = 0
    for p in produce():
        assert (p.density is None) == (p.density_basis is None), p.name
        assert p.density is None or Decimal("0.9") < p.density < Decimal("1.5"), p.name
        if p.density is not None and (found := re.search(r"from ([\d.]+) g a US (cup|fl oz)", p.source)):
            assert abs(p.density - Decimal(found[1]) / millilitres[found[2]]) < Decimal("0.001"), p.name
            checked += 1
    assert checked > 10


def test_an_acid_of_a_juice_names_its_own_source() -> None:
    found = [p for p in produce() if p.acid_low is not None]
    assert len(found) > 5
    assert all("acid: " in p.source for p in found)


def test_ranges_hold_their_figure() -> None:
    for p in produce():
        for low, mid, high in ((p.abv_low, p.abv, p.abv_high), (p.acid_low, p.acid_high, p.acid_high)):
            assert (low is None) == (mid is None) == (high is None), p.name
            assert low is None or mid is None or high is None or low <= mid <= high, p.name
    for d in records(StandardDrink):
        assert 0 < d.low <= d.grams <= d.high, d
    for m in records(UsualMeasure):
        assert 0 < m.low <= m.ml <= m.high, m
    assert all(8 - Decimal("0.2") <= d.grams <= 20 for d in records(StandardDrink))  # Kalinowski and Humphreys: 8 to 20
    assert all(re.fullmatch(r"\d{4}", d.as_of) for d in records(StandardDrink))


def test_the_units_are_those_of_the_program_both_ways() -> None:
    shipped = {u.unit: (u.dimension, u.factor, u.offset) for u in records(UnitRow)}
    assert shipped == {name: (d.dim.value, d.factor, d.offset) for name, d in UNITS.items()}


def test_acids_are_their_molar_mass_over_their_equivalents() -> None:
    citric = next(a for a in records(Acid) if a.name == "citric acid")
    for a in records(Acid):
        assert abs(a.g_per_equivalent - a.molar_g / a.equivalents) <= Decimal("0.005"), a
        assert abs(a.as_citric - citric.g_per_equivalent / a.g_per_equivalent) <= Decimal("0.00005"), a
        assert find_produce(a.name) is not None or a.name == "acetic acid"


def test_syrups_agree_with_the_density_of_sugar_in_water() -> None:
    syrups = [s for s in records(SugarFact) if s.what == "syrup"]
    assert len(syrups) == 3
    for s in syrups:
        assert s.ratio is not None
        assert s.brix is not None
        assert s.density is not None
        assert s.sugar_gl is not None
        share = float(s.ratio / (1 + s.ratio))
        assert float(s.brix) == pytest.approx(100 * share, abs=0.005)
        rho = sucrose_density(share, 20.0) / 1000
        assert float(s.density) == pytest.approx(rho, abs=6e-5)
        assert float(s.sugar_gl) == pytest.approx(1000 * share * rho, abs=0.06)
        if s.litre_per_kg is not None and s.litre_per_kg_sugar is not None:
            assert float(s.litre_per_kg) == pytest.approx(1 / rho, abs=6e-5)
            assert float(s.litre_per_kg_sugar) == pytest.approx(1 / rho / share, abs=1.5e-4)


def test_fill_brackets_follow_one_another() -> None:
    brackets = records(FillTolerance)
    for before, after in pairwise(brackets):
        assert before.high_ml is not None
        assert before.high_ml < after.low_ml <= before.high_ml + 1
        assert before.percent > after.percent
    assert brackets[-1].high_ml is None


def test_bottle_sizes_rise() -> None:
    for name in dict.fromkeys(b.list for b in records(BottleSize)):
        sizes = [b.ml for b in tables.bottle_sizes(name)]
        assert sizes == sorted(set(sizes))
        assert 50 <= sizes[0] < sizes[-1] <= 3750


def test_allergen_words_bring_codes_of_a_list_and_kinds_of_a_good() -> None:
    known = {a.code for a in records(Allergen)}
    for r in records(AllergenWord):
        assert set(r.codes) <= known, r
        assert r.match in ("word", "kind")
        assert r.match == "word" or r.word in get_args(GoodKind)
    folded = [(r.match, fold(r.word)) for r in records(AllergenWord)]
    assert len(set(folded)) == len(folded)


def test_every_measure_is_found_by_its_names() -> None:
    for m in records(UsualMeasure):
        assert all(find_measure(name) is m for name in (m.name, *m.aliases, m.name.upper()))
    assert find_measure("jigger") is None


@pytest.mark.parametrize("module", [tables, tablefile])
def test_the_readers_know_only_the_standard_library_and_the_paths(module: object) -> None:
    tree = ast.parse(Path(str(getattr(module, "__file__", ""))).read_text("utf-8"))
    found = {n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) and n.module}
    assert {m for m in found if m.startswith("costing")} <= {"costing.paths", "costing.tablefile"}
