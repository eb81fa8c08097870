"""One and many: the endings by which a word of the trade's languages changes its number (common practice, no source).

Folded as names are, so that "Nüsse" is "nusse". A pair is found whichever of the two is asked about.
"""

from costing.supply.whose.trade import OTHER_IN_NUMBER

SHORTEST = 3
"""Letters that the shorter of the two has at least."""
_Endings = tuple[tuple[str, str], ...]


def _endings(text: str) -> _Endings:
    """(of one, of many) from "-y -ies, ..."; a dash stands for the rest of the word."""
    pairs = (pair.split() for pair in text.split(","))
    return tuple((one[1:], many[1:]) for one, many in pairs)


PLAIN = _endings("- -s, -o -oes, -x -xes, -ch -ches, -sh -shes, -ss -sses, -y -ies, -f -ves, -e -en")
"""Endings that hardly make another word: English, the s of French and Spanish, the n of Zitronen."""
NEAR = _endings(
    "-el -eln, -er -ern, -ss -sse, -ch -che, -lz -lze, -att -atter, -aut -auter, "  # German
    "-au -aux, -eu -eux, -ou -oux, -al -aux, "  # French
    "-oen -oenen, -el -elen, -ers -ersen, -ei -eien, -es -essen, -aan -anen, -oon -onen, -eer -eren, -aat -aten, "
    "-oot -oten, -oos -ozen, -f -ven, "  # Dutch
    "-o -i, -e -i, -a -e, -cia -ce, -gia -ge, -co -chi, -go -ghi, -ca -che, -ga -ghe, "  # Italian
    "-n -nes, -r -res, -l -les, -d -des, -z -ces"  # Spanish
)
"""Endings that may make another word too (rosa and rosé): they only ever suggest."""


def counts(word: str) -> frozenset[str]:
    """What a word may be in another number; most of it is no word at all."""
    return _changed(word, PLAIN) | _changed(word, NEAR)


def same_thing(word: str, other: str) -> bool:
    """Whether two words are a plain singular and plural, and many of the one are the other: not bitter and bitters."""
    return OTHER_IN_NUMBER.isdisjoint((word, other)) and other in _changed(word, PLAIN)


def _changed(word: str, endings: _Endings) -> frozenset[str]:
    out = set()
    for one, many in endings:
        if word.endswith(one) and (one or not word.endswith("s")):  # glas and glass are no pair
            out.add(word[: len(word) - len(one)] + many)
        if word.endswith(many):
            single = word[: len(word) - len(many)] + one
            if one or not single.endswith("s"):
                out.add(single)
    return frozenset(found for found in out if min(len(found), len(word)) >= SHORTEST)
