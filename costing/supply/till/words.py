"""What is doubted of a till's file, why its rows are in no count, and what its columns and marks mean, in English."""

from costing.supply.arriving.doubt import Doubt
from costing.tongue import Words, say_word

TILL_DOUBTS: Words = {
    "sales-ahead": "rows of days that are still to come: {count}",
    "sales-backward": "the last day {until} lies before the first day {since}",
    "sales-column-twice": "“{one}” and “{other}” may both be this column: “{one}” is used",
    "sales-combo-price": "“{text}” sells several drinks, and {serve} has no printed price to share by: say the shares",
    "sales-combo-shares": "the shares of what “{text}” brings make {sum} and not 1: correct them",
    "sales-decimal-mixed": "“{one}” (row {at}) and “{other}” (row {there}) use different decimal marks in one column",
    "sales-decimal-open": "“{value}” (row {n}) may be {one} or {other}: say which decimal mark the file uses",
    "sales-days-mixed": "“{one}” (row {at}) and “{other}” (row {there}) write days differently in one column: none is "
                        "read",
    "sales-digest": "these rows are there already, of {since} to {until}: nothing to do",
    "sales-flag-paid": "marked “{mark}”, and it brought money: rows {rows}",
    "sales-gap": "no row is of a day between {since} and {until}: look whether a year or a month is wrong",
    "sales-given-negative": "more of {serve} were taken back than were ever given or wasted: {count}",
    "sales-given-paid": "rows marked as given that brought money are counted as sold at that price: {count}",
    "sales-figure-unread": "“{value}” cannot be read as a figure",
    "sales-instead-alone": "“{text}” makes a drink another one and stands under none that is counted: rows {rows}",
    "sales-instead-more": "“{text}” stands {count} times under fewer drinks: rows {rows}",
    "sales-mark-unknown": "the mark “{mark}” is not known ({count} rows): say whether it was given, taken back before "
                          "it was made, wasted or refunded",
    "sales-marks-differ": "“{one}” and “{other}” stand in columns with different decimal marks: look whether "
                          "quantities and money are right",
    "sales-money-of-one": "rows that sell several, and whose money is the printed price of one: {count}, rows {rows}; "
                          "look whether the column is the price of one",
    "sales-net-empty": "its net is empty beside a gross of {gross}",
    "sales-night": "rows before the end of the business day are counted to the day before: {count}",
    "sales-night-before": "rows of the night before {since} are in this file, and are counted in it: {count}",
    "sales-no-heading": "no row of headings was found: say what each column means",
    "sales-no-item": "no column holds the buttons: say which one does",
    "sales-no-money": "no column holds money: only counts are taken",
    "sales-no-outlet": "no row is of the outlet “{name}”: it has {names}",
    "sales-no-period": "no column and no line says which days these are: say the first and the last day",
    "sales-no-qty": "no column holds how many were sold: say which one does",
    "sales-no-rows": "no row sells anything",
    "sales-outlets": "more than one outlet, all counted together: {names}",
    "sales-outside": "rows outside {since} to {until}, the days that are said: {count}, rows {rows}; say the days, or "
                     "leave these rows out",
    "sales-overlap": "{since} to {until} overlaps {other}, which is there already (“{file}”): what is in both would "
                     "count twice; take that one out first, or say other days",
    "sales-period-unsure": "“{value}” may say the days of this file, and does not do so plainly",
    "sales-price-far": "rows at prices far from the printed one ({each} where {printed} is printed): {count}, rows "
                       "{rows}; look whether quantities and money are right",
    "sales-price-zero": "rows that brought nothing and bear no mark are counted as given: {count}",
    "sales-qty-missing": "how many were sold is empty: rows {rows}",
    "sales-qty-open": "how many is empty, and what the button means is not known: rows {rows}",
    "sales-rates-differ": "the file's net is {file} of what was paid, and by the house's tax and service it is "
                          "{house}: the file's is taken",
    "sales-refund-unmarked": "rows below zero without a mark are taken as refunds of drinks that were made: {count}",
    "sales-replaces": "takes the place of the sales of {since} to {until} (“{file}”)",
    "sales-row-unread": "rows that cannot be read, {rows}: {why}; correct them in the file, or leave them out",
    "sales-sign": "sells {qty} and brings {net}, without a mark that would say why: rows {rows}",
    "sales-split-days": "rows without a day cannot be split by weeks or months: {count}",
    "sales-sums-off": "rows in which gross, discount, tax and net do not add up: {count}, rows {rows}",
    "sales-tax-against": "tax is taken as somebody said, and the sums of the file say otherwise in {holds} of {of} "
                         "rows",
    "sales-tax-changed": "the sums say otherwise about tax in net than this till was read by: say which holds",
    "sales-tax-open": "nothing proves whether tax is in the money of this file (the sums hold in {holds} of {of} "
                      "rows): say which",
    "sales-tax-prices": "the heading and the printed prices say different things about tax ({inc} rows are at prices "
                        "with it, {ex} without): say which holds",
    "sales-tax-taken": "gross less discount is net in {holds} of {of} rows and no tax stands beside it: tax and "
                       "service are taken to be in it",
    "sales-till-moved": "the columns of {till} stand in other places now",
    "sales-time-unread": "“{value}” cannot be read as a time of day",
    "sales-total-differs": "row {n}, “{text}”: {what} {stated}, and the rows add up to {summed}",
    "sales-twice": "lines of checks that stand in the file twice, and are counted twice: {count}, rows {rows}",
    "sales-undated": "rows without a day in a file that has days: {count}",
    "sales-zone": "times carry a time zone and are taken as they are printed: {count} rows",
}  # fmt: skip
ROLE_WORDS: Words = {
    "day": "day",
    "time": "time of day",
    "outlet": "outlet",
    "code": "code of the button",
    "item": "button",
    "category": "group",
    "parent": "what it is added to",
    "line": "line of the check",
    "qty": "how many",
    "price": "price of one",
    "gross": "money before discount",
    "discount": "discount",
    "net": "money after discount",
    "service": "service",
    "tax": "tax",
    "paid": "paid with everything in it",
    "flag": "mark of the row",
    "reason": "reason",
    "check": "check",
    "covers": "guests",
    "server": "who served",
}
LEFT_WORDS: Words = {
    "": "waits",
    "not named": "names no drink",
    "money key": "money and no drink",
    "modifier": "changes nothing",
    "total": "total",
    "before it was made": "taken back before it was made",
    "other": "none of these",
}
FLAG_NAMES: Words = {
    "sold": "sold",
    "given": "given (on the house, staff)",
    "before it was made": "taken back before it was made",
    "wasted": "taken back after it was made",
    "refunded": "refunded",
}
WHY_WORDS: Words = {
    "hidden": "hidden in the file",
    "heading-again": "heading, repeated",
    "page": "page number",
    "note": "a sentence",
    "group": "heads a group",
    "total": "total",
    "left": "left out by its button",
    "void": "taken back before it was made",
    "inside": "inside a set, which is counted",
    "outlet": "of another outlet",
    "by hand": "left out by hand",
}
BASIS_WORDS: Words = {
    "all": "gross - discount - tax - service = net",
    "tax": "gross - discount - tax = net",
    "discount": "gross - discount = net",
    "paid": "net + tax + service = paid",
    "same": "gross - tax - service = net",
    "": "no sum of its columns holds",
}


def sales_doubt_text(doubt: Doubt) -> str:
    """A doubt about a till's file as a sentence in the language of the context."""
    from costing.supply.columns.words import COLUMN_DOUBTS  # noqa: PLC0415
    from costing.supply.readers.words import FILE_DOUBTS  # noqa: PLC0415

    for words in (TILL_DOUBTS, COLUMN_DOUBTS, FILE_DOUBTS):
        if doubt.code in words:
            return say_word(words[doubt.code], **dict(doubt.values))
    return doubt.code
