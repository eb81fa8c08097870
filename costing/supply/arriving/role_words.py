"""What a column of a list may mean, how a line was matched and what becomes of it, in words."""

from costing.tongue import Words

ROLE_WORDS: Words = {
    "code": "supplier's code",
    "gtin": "number under the bars",
    "name": "name",
    "brand": "brand",
    "pack": "pack",
    "count": "pieces in the pack",
    "content": "what one piece holds",
    "unit": "unit",
    "price": "price of the pack",
    "price_each": "price of one piece",
    "price_measure": "price of a litre or kilogram",
    "old_price": "price until now",
    "gross": "price with tax",
    "rate": "tax rate",
    "currency": "currency",
    "since": "valid from",
    "until": "valid until",
    "deposit": "deposit",
    "minimum": "least that is sold",
    "break_from": "from so many packs on",
    "break_price": "price from there on",
    "quantity": "packs billed",
    "total": "money of the line",
    "abv": "strength",
    "vintage": "vintage",
    "section": "group",
    "supplier": "supplier",
    "remark": "remark",
}
HOW_WORDS: Words = {
    "code": "supplier's code",
    "gtin": "number under the bars",
    "alias": "words confirmed before",
    "words": "the same words",
    "hand": "said by hand",
    "suggested": "only alike",
    "none": "nothing",
}
SORT_WORDS: Words = {
    "goods": "ingredient",
    "charge": "charge",
    "deposit": "deposit",
    "return": "sent back",
    "rebate": "money back",
}
OWED_WORDS: Words = {
    "price": "billed above what was agreed",
    "quantity": "billed and did not come",
    "credit": "sent back and not credited",
    "deposit": "deposits on containers",
    "rebate": "money back for turnover",
    "other": "something else",
}
KIND_WORDS: Words = {
    "list": "price list",
    "catalogue": "catalogue",
    "invoice": "invoice",
    "credit": "credit note",
}
