"""The sentence of every doubt about whose price a line is."""

from costing.tongue import Words

WHOSE_DOUBTS: Words = {
    "code-other-name": "the code is that of {name}, and the words of the line are others: codes are used again",
    "gtin-other-name": "the barcode number is that of {name}, and the words of the line are others",
    "code-twice": "this supplier's code is on {count} goods of the book",
    "gtin-shared": "this barcode number is on {count} goods of the book",
    "alias-twice": "this text was confirmed for {count} goods",
    "two-goods": "it may mean {one} or {other}",
    "two-lines": "another line of the file means {name} in the same size too",
    "one-word-differs": "one word differs from {name}: {line} here, {known} there",
    "other-number": "a number in the name differs: {line} here, {known} there",
    "other-word": "a word in the name differs: {line} here, {known} there",
    "other-strength": "the strength differs: {line} here, {known} there",
    "other-size": "it was bought in {known}, and this is {line}: a new pack",
    "other-count": "it was bought {known} to the pack, and this is {line}: a new pack",
    "other-vintage": "the year differs: {line} here, {known} there",
    "size-unknown": "the words are those of {name}, but the size of one of the two is not known",
    "cut-short": "the text ends in the middle of a word, {line}: more of it than that may be missing to {name}",
    "longer-name": "these are the words of {name}, and {other} begins with them: the text may have been cut off",
    "price-far": "the words are those of {name}, but the price is {times} times the last one",
}
