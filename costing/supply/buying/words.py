"""What buying has to say in words: parts of a price, seasons that are not said, and how an allergen moves."""

from costing.tongue import Words

PART_WORDS: Words = {
    "asked": "first price",
    "break_off": "price break",
    "free_off": "free packs",
    "tax": "tax",
    "charges": "charges of the pack",
    "freight": "share of the freight",
}
USABLE_WORDS: Words = {
    "supplier": "yield tests of this supplier's goods",
    "good": "yield tests, the same for every supplier without any of its own",
    "said": "as it was said",
    "none": "nothing was tested, so all of it counts",
}
SEASON_WORDS: Words = {
    "moving": "over the moving mean of twelve months",
    "year": "over the mean of one year, so a trend counts as season",
    "few-months": "prices of fewer than nine months of a year are known",
    "few-quotes": "fewer than four prices are known",
}
CHANGE_WORDS: Words = {
    "appears": "must be said now",
    "disappears": "need not be said any more",
    "not-stated": "is not stated any more",
    "exempt": "is exempted by a word that was given for another ingredient",
    "changes": "is stated otherwise",
}
MISSING_WORDS: Words = {
    "before": "had no price on the first day",
    "after": "has no price on the last day",
    "both": "has no price on either day",
}
