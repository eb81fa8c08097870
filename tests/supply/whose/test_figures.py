"""How often the matcher is right, on invented catalogues (the floors are the project's own aims)."""

import pytest

from costing.supply.whose import Catalogue
from tests.supply.whose.invent import invent
from tests.supply.whose.measure import by_score, in_first, judged, large, rules, structural


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 77])
def test_right_of_what_is_taken_and_right_among_the_first_five(seed: int) -> None:
    known, cases = invent(seed)
    catalogue = Catalogue(known)
    compared = {name: judged(rule, cases) for name, rule in rules(known, catalogue).items()}
    assert compared["structural"].precision >= 0.995
    assert compared["structural, no prices"].precision >= 0.995
    assert compared["structural, no prices"].right / 1176 >= 0.45
    assert compared["WRatio >= 90"].precision < 0.9 < compared["token_sort >= 95"].precision < 0.985
    assert in_first(catalogue, cases)[0] >= 0.97


@pytest.mark.slow
def test_right_of_what_is_taken_when_what_is_missing_is_renamed_too() -> None:
    known, cases = invent(3, rename_missing=True)
    assert judged(structural(Catalogue(known), prices=True), cases).precision >= 0.98


def test_a_small_book_is_no_less_careful() -> None:
    known, cases = invent(4, 120)
    figures = judged(structural(Catalogue(known), prices=False), cases)
    assert figures.taken > 20
    assert figures.precision == 1
    assert judged(by_score(known, lambda a, b, **_: 100.0 * (a == b), 100), cases).taken <= figures.taken


def test_an_invented_catalogue_is_what_it_says() -> None:
    known, cases = invent(9, 400)
    assert len(known) == 400
    assert len({item.good for item in known}) == 400
    goods = {item.good: item for item in known}
    assert all(case.asked.size == goods[case.truth].size for case in cases if case.truth)
    assert sum(not case.truth for case in cases) == 220
    assert invent(9, 400) == (known, cases)


@pytest.mark.bench
def test_a_wholesalers_hundred_thousand_lines() -> None:
    built, matched, sure = large(1)
    assert built < 1
    assert matched < 6  # 2.4 s where it was written
    assert sure > 500
