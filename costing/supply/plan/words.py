"""What the plan has to say of lines and files, in words."""

from costing.tongue import Words

PLAN_DOUBTS: Words = {
    "no-supplier": "nobody of the book is known by the name in it ({said}): say who sent it",
    "invoice-again": "{number} was posted already, of {day}: remove that first if this one is right",
    "file-again": "the same file was read on {day}, and {taken} of its lines were taken then",
    "list-changed": "this supplier's list is not as it was read the last time: look at what its columns mean now",
    "not-bought": "the house does not buy it",
    "whose": "it may be {like}: choose what it is",
    "whose-of-some": "it is like something that the house buys, and not the same: say what it is, or leave it",
    "match-not-sure": "it is like {name}, which is not enough: say that it is, or choose another",
    "new-pack": "{name} in another size or count than before: another pack, not another price",
    "other-pack": "another pack of what {rows} is of, and not the one bought until now",
    "same-good": "{rows} would price the same ingredient from the same day: take one of them",
    "no-ingredient": "it buys no ingredient ({sort})",
    "ends": "the catalogue ends this price",
    "ends-nothing": "the catalogue ends a price that the house never had",
    "on-request": "its price is on request",
    "same-price": "it is the price there is",
    "older": "a newer price is known, of {day}",
    "no-price": "it has no price that can be read",
    "price-of-what": "it does not say what {price} is the price of: the pack, one piece, a kilogram or a litre",
    "base-nothing": "its price is for {base} of them, which is none",
    "no-pack": "it names no pack that can be read ({text}), and there is no quote to take one from",
    "pack-from-last": "it names no pack: taken as the last one, {pack}",
    "pack-count-moved": "it says {text} where the last pack was {before}",
    "pack-does-not-fit": "a pack of {pack} does not fit {name}",
    "cannot-be": "it cannot be: {why}",
    "price-nothing": "the price is nothing",
    "looks-like-slip": "the price a unit is {times} times the last one, near {slip}: a decimal mark may have slipped",
    "looks-like-pack": "the price a unit is {times} times the last one, near the {count} in a pack: a price of one for "
    "the price of all, or the other way round",
    "looks-like-tax": "the price a unit is {times} times the last one, just the tax of {rate}: tax may be in it, or "
    "out",
    "free-kept": "{free} free with {paid}, as agreed before, is kept: the line does not speak of it",
    "breaks-gone": "the prices from a number of packs on belonged to the price before and are not carried on",
    "price-moves": "the price a unit is {times} times the last one, more than the {width} that pass unseen",
    "tax-unknown": "nobody said whether tax is in this supplier's prices",
    "tax-rate": "tax is in its prices, and the rate is not known",
    "no-currency": "it is not known what money it is in",
    "no-exchange": "it is in {currency}: say what one is worth in {house}, and from which day",
}
"""Doubts of a line against the book, and of a whole file."""
