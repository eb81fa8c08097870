"""What a pack can be for a kind of good, and that every doubt has a sentence with its figures."""

import re
from pathlib import Path
from string import Formatter

import pytest

from costing.supply.packs import PACK_DOUBTS, column_mark, parse_pack, plausible
from costing.supply.packs.unece import unit_of_code
from costing.supply.packs.vocabulary import VOCABULARY
from tests.supply.packs.pack_cases import CASES


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("6x72,5cl", "spirit", "odd-fill"),  # 27 CFR 5.203 and Directive 2007/45/EC have no 725 ml
        ("70cl", "spirit", ""),
        ("750ml", "liqueur", ""),
        ("1.75L", "spirit", ""),
        ("0,7ml", "spirit", "odd-size"),
        ("7 L", "spirit", "odd-size"),
        ("5 L", "spirit", ""),
        ("1 kg", "spirit", "odd-unit"),
        ("72,5cl", "wine", ""),
        ("50 L", "wine", "odd-size"),
        ("58 L", "beer", ""),
        ("20 L BIB", "juice", ""),
        ("7 L", "dry", ""),
        ("60 x 50 x 1 L", "water", "odd-count"),
        ("4/6 CANS", "beer", ""),
    ],
)
def test_what_a_kind_is_not_sold_in_is_doubted(text: str, kind: str, code: str) -> None:
    assert [d.code for d in plausible(parse_pack(text), kind)] == ([code] if code else [])


def test_every_doubt_has_a_sentence_and_every_sentence_a_doubt() -> None:
    room = Path(column_mark.__code__.co_filename).parent
    raised = {c for f in room.glob("*.py") for c in re.findall(r'doubt\(\s*"([a-z0-9-]+)"', f.read_text("utf-8"))}
    raised |= {word.doubt for word in VOCABULARY.values()} - {""}
    raised |= {
        note for code in ("BO", "BLL", "PF", "KG", "ST") if (found := unit_of_code(code)) and (note := found.note)
    }
    assert raised == set(PACK_DOUBTS)


def test_every_sentence_has_the_figures_that_it_names() -> None:
    met = set()
    for text, _, _ in CASES:
        for found in (*parse_pack(text).doubts, *plausible(parse_pack(text), "spirit")):
            fields = {name for _, name, _, _ in Formatter().parse(PACK_DOUBTS[found.code]) if name}
            assert fields <= dict(found.values).keys(), found
            PACK_DOUBTS[found.code].format(**dict(found.values))
            met.add(found.code)
    assert len(met) > 25
