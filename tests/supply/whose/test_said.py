"""Every doubt has its sentence, and every sentence its figures."""

import re
from pathlib import Path

from costing.supply import whose
from costing.supply.whose import Catalogue
from costing.supply.whose.words import WHOSE_DOUBTS
from tests.supply.whose.invent import invent

CODE = re.compile(r'"([a-z]+(?:-[a-z]+)+)"')


def test_every_code_has_a_sentence_and_every_sentence_a_code() -> None:
    room = Path(whose.__file__).parent
    said = {
        code for file in room.glob("*.py") if file.name != "words.py" for code in CODE.findall(file.read_text("utf-8"))
    }
    assert said == set(WHOSE_DOUBTS)


def test_sentences_find_the_figures_that_they_name() -> None:
    known, cases = invent(5, 300)
    seen = {d.code: dict(d.values) for m in Catalogue(known).match_all([c.asked for c in cases]) for d in m.doubts}
    assert len(seen) > 4
    for code, values in seen.items():
        assert "{" not in WHOSE_DOUBTS[code].format(**values)
