"""Words of the window for codes of the book."""

from costing.tongue import Words, word

GOOD_KINDS: Words = {
    "spirit": "spirit",
    "liqueur": "liqueur",
    "wine": "wine",
    "beer": "beer",
    "juice": "juice",
    "fruit": "fruit",
    "herb": "herb or spice",
    "dry": "dry goods",
    "sugar": "sugar",
    "acid": "acid",
    "dairy": "dairy",
    "egg": "egg",
    "water": "water",
    "gas": "gas",
    "ice": "ice",
    "garnish": "garnish",
    "consumable": "consumable",
    "labour": "labour",
    "energy": "energy",
    "machine": "machine",
    "other": "other",
}
RECORD_KINDS: Words = {
    "house": "house",
    "supplier": "supplier",
    "good": "ingredient",
    "quote": "quote",
    "equipment": "machine",
    "technique": "technique",
    "glass": "glass",
    "preparation": "preparation",
    "serve": "drink",
    "menu": "menu",
    "batch": "batch",
    "yieldtest": "yield test",
}
MARKS: Words = {"measured": "measured", "assumed": "assumed", "computed": "computed"}


def good_kind_word(kind: str) -> str:
    """A kind of good."""
    return word(GOOD_KINDS, kind)


def record_word(kind: str) -> str:
    """A kind of record."""
    return word(RECORD_KINDS, kind)


def mark_word(mark: str) -> str:
    """How a figure is known."""
    return word(MARKS, mark)
