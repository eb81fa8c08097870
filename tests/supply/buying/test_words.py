"""Every code of the room has its word, and no word is without a code."""

from typing import get_args

from costing.supply.buying import words
from costing.supply.buying.index import Missing
from costing.supply.buying.record import PARTS
from costing.supply.buying.season import Method, Why
from costing.supply.buying.swap_record import How
from costing.supply.buying.usable import Whose


def test_every_code_has_its_word() -> None:
    assert set(words.PART_WORDS) == set(PARTS)
    assert set(words.USABLE_WORDS) == set(get_args(Whose))
    assert set(words.SEASON_WORDS) == {*get_args(Method), *get_args(Why)} - {""}
    assert set(words.CHANGE_WORDS) == set(get_args(How))
    assert set(words.MISSING_WORDS) == set(get_args(Missing))
