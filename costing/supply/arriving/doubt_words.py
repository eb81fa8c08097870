"""Every doubt in words. Each room says its own; here they are one table, looked up when somebody reads them."""

from functools import cache

from costing.supply.arriving.doubt import Doubt
from costing.tongue import Words, say, say_word


@cache
def doubts() -> Words:
    """The English sentence of every code."""
    from costing.supply.columns.words import COLUMN_DOUBTS  # noqa: PLC0415
    from costing.supply.packs.words import PACK_DOUBTS  # noqa: PLC0415
    from costing.supply.plan.words import PLAN_DOUBTS  # noqa: PLC0415
    from costing.supply.readers.words import FILE_DOUBTS  # noqa: PLC0415
    from costing.supply.readers.xml_words import XML_DOUBTS  # noqa: PLC0415
    from costing.supply.whose.words import WHOSE_DOUBTS  # noqa: PLC0415

    return {**PACK_DOUBTS, **COLUMN_DOUBTS, **FILE_DOUBTS, **XML_DOUBTS, **WHOSE_DOUBTS, **PLAN_DOUBTS}


@cache
def left_out() -> Words:
    """Why a row is no line, by code."""
    from costing.supply.columns.words import LEFT_OUT  # noqa: PLC0415
    from costing.supply.readers.xml_words import XML_LEFT_OUT  # noqa: PLC0415

    return {**LEFT_OUT, **XML_LEFT_OUT}


def where_text(where: str) -> str:
    """Where a line stands ("row 12", "line 3") in the language of the context."""
    kind, _, rest = where.partition(" ")
    if kind == "row":
        return say("row {n}", n=rest)
    return say("line {n}", n=rest) if kind == "line" else where


def doubt_text(doubt: Doubt) -> str:
    """A doubt as a sentence in the language of the context; a code without one stands for itself."""
    words = doubts()
    return say_word(words[doubt.code], **dict(doubt.values)) if doubt.code in words else doubt.code
