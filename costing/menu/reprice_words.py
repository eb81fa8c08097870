"""What a repricing has to say in words."""

from costing.tongue import Words

FAMILY_WORDS: Words = {
    "points": "how many price points a price may move",
    "rise": "the limit on a rise",
    "bounds": "the highest and lowest price of a serve",
    "held": "held prices",
    "order": "size order",
    "number": "how many prices may change",
    "reductions": "that no price may fall",
}
DOUBT_WORDS: Words = {
    "no-price": "left out, because no price is printed",
    "at-least": "cost at least so much: a component has no price, so the true pour cost is higher",
    "paid-less": "were paid at another price on average than the printed one; the aim stands on printed prices",
    "held-out-of-bounds": "are held at a price beyond their own bounds",
    "held-out-of-order": "are both held, though the larger one is cheaper",
    "off-the-points": "are printed at a price that is no price point",
    "later-price": "have another price from a later day on already, and that one stays",
}
GOAL_WORDS: Words = {
    "smallest": "smallest changes",
    "fewest": "fewest changes",
}
