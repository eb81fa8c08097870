"""The one parser for pasted measures: "1 1/2 oz", "70ml/2fl oz", "juice of 1/2", "2 - 3 dashes", "to fill".

Nothing is guessed in silence: what the text leaves open is a doubt by name (``DOUBTS``), and what has no amount is said
to have none. ``costing.book.fact.parse_fact`` is the strict reader of one typed amount; its numbers are used here.
"""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from costing.book.fact import LONGEST, Fact, Mark, parse_fact
from costing.book.units import lookup
from costing.supply.figures import Numbers, fine, numbers, plain_text
from costing.supply.spoken import Measures, Spoken, leading, spoken

Kind = Literal["amount", "range", "part", "each", "top up", "twist", "juice of", "unpriceable"]
DOUBTS = frozenset(
    {
        "about",  # the text says so itself: about, scant, heaped
        "implied-one",  # a measure without a number: "dash"
        "which-ounce",  # US or imperial, and what this bar pours; read as US
        "which-pint",
        "which-quart",
        "which-gallon",
        "house-measure",  # a dash, a splash: the usual size stands in until the house says its own
        "no-measure",  # a shot, a glass: no usual size, the house has to say one
        "no-amount",  # nothing said how much
        "each-or-part",  # a bare fraction: half a fruit, or a ratio
        "share-of-fruit",  # a twist, a slice: what share of the fruit it is
        "juice-yield",  # the juice of a fruit: how much that gives
        "each-or-total",  # "2 bottles (750 ml)": read as 750 ml each
        "two-amounts",  # one amount given twice, and the two differ
        "two-numbers",  # "2 30 ml": read as two of 30 ml
        "count-or-thousands",  # "2 750 ml": two of 750 ml, or 2750 ml; read as two of
        "mixed-or-range",  # "1-1/2": read as one and a half
        "range-backward",  # "3-2": read as from 2 to 3
        "improper-fraction",  # "11/2": eleven halves, or 1 1/2
        "zero",  # an amount of nothing
    }
)
"""Every doubt a measure may carry; ``costing.report.words`` has the sentences."""
AGREE = Decimal("0.06")
"""Two readings of one amount agree within this share: 2 fl oz against 60 ml is 1.5 %, against 70 ml 15 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What a pasted measure says. ``value`` costs it, in ``unit``; ``low`` and ``high`` are what the text, or a usual
    measure that stands in, leaves open; all three are None where there is no amount. ``unit`` is one of
    ``costing.book.units`` or of the house's measures, "" for parts. ``word`` is the measuring word ("dash", "twist"),
    ``rest`` the words that belong to the ingredient, ``text`` what was pasted."""

    text: str
    kind: Kind
    low: Decimal | None = None
    high: Decimal | None = None
    value: Decimal | None = None
    unit: str = ""
    word: str = ""
    rest: str = ""
    doubts: tuple[str, ...] = ()


_ABOUT = re.compile(
    r"(?:about|approx(?:\.|imately)?|circa|ca\.|roughly|around|scant|generous|heaped|heaping|~|≈)\s*(?=\S)",
    re.IGNORECASE,
)
_VERB = re.compile(r"(?:add|plus|float)\s+(?=\S)", re.IGNORECASE)
_TOP = re.compile(
    r"(?:to (?:fill|top)(?: up)?|fill(?: up)?(?: to (?:the )?(?:top|brim))?"
    r"|top(?:ped)?(?: (?:up|off))?(?= with\b|$)|top (?:up|off))(?: with)?(?: |$)",
    re.IGNORECASE,
)
_TOP_LAST = re.compile(r"([^0-9]+?),? to (?:fill|top)(?: up)?$", re.IGNORECASE)
_JUICE = re.compile(r"(?:the )?juice (?:of|from)\b\s*", re.IGNORECASE)
_VAGUE = re.compile(
    r"(?:lots?|plenty|a little(?: bit)?|a bit|some|a few|few|several|as needed|as required|to taste|optional"
    r"|for (?:the )?(?:glass|rim|garnish)|garnish)(?:(?: of)?\b)(?: |$)",
    re.IGNORECASE,
)
_WORDS = {
    word: str(n)
    for n, names in enumerate(
        ["one a an", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"], 1
    )
    for word in names.split()
} | {"half": "1/2", "half a": "1/2", "half an": "1/2", "a half": "1/2", "a quarter": "1/4"}
_SAID = re.compile(rf"({'|'.join(sorted(_WORDS, key=len, reverse=True))})(?: |$)", re.IGNORECASE)
_AND = re.compile(r"(?<=[0-9]) ?(?:&|\+| and ) ?(?=[0-9]+/[0-9])", re.IGNORECASE)
_TIMES = re.compile(r" ?(?:x|\*|\() ?(?=[.0-9])| (?=[.0-9])", re.IGNORECASE)
_PIECE_LAST = re.compile(r"(.+) ([^\W\d_]+)$")
_AGAIN = re.compile(r"\s*[/(=]\s*(?=[.0-9])")


def parse_measure(text: str, measures: Measures | None = None) -> Measure:
    """Read a measure, or a whole pasted line with the ingredient after it; ``measures`` are the house's own.

    ValueError, with the text and the remedy, only for text longer than 200 characters and for numbers that cannot be
    read at all: a comma before exactly three digits, a division by zero, a negative amount, one beyond 1e9.
    """
    if len(text) > LONGEST:
        raise ValueError(f"a measure of {len(text)} characters is too long: at most {LONGEST}")
    found = _read(_AND.sub(" ", plain_text(text)), text, measures)
    if found.value == 0 and "zero" not in found.doubts:
        found = replace(found, doubts=(*found.doubts, "zero"))
    return replace(found, text=text, rest=_ingredient(found.rest), doubts=tuple(dict.fromkeys(found.doubts)))


def _read(work: str, text: str, measures: Measures | None) -> Measure:
    if about := _ABOUT.match(work):
        inner = _read(work[about.end() :], text, measures)
        return replace(inner, doubts=("about", *inner.doubts)) if inner.value is not None else _none(text, work)
    if top := _TOP.match(work):
        rest = work[top.end() :]
        told = _read(rest, text, measures) if rest else None
        if told is not None and told.kind in ("amount", "range") and "implied-one" not in told.doubts:
            return told
        return Measure(text=text, kind="top up", rest=rest)
    if whole := _TOP_LAST.match(work):
        return Measure(text=text, kind="top up", rest=whole[1])
    if vague := _VAGUE.match(work):
        return _none(text, work[vague.end() :], vague[0])
    if juice := _JUICE.match(work):
        return _juice(work[juice.end() :], text)
    if (verb := _VERB.match(work)) and (inner := _read(work[verb.end() :], text, measures)).unit:
        return inner
    said = _SAID.match(work)
    if said and not re.match("[.0-9]", work):
        work = f"{_WORDS[said[1].lower()]} {work[said.end() :]}".strip()
    if re.match(r"-? ?[.,]?[0-9]", work):
        return _counted(numbers(work, text), text, measures)
    one = Numbers(Decimal(1), Decimal(1), work, ("implied-one",))
    word = leading(work, measures)
    if word is None and (cut := _PIECE_LAST.match(work)):
        last = spoken(cut[2], measures)
        word = (last, cut[1]) if last is not None and last.sort == "piece" else None
    bare = word is not None and word[0].sort == "unsized" and not re.match(r" ?$| of\b", word[1])
    if word is None or bare or word[0].sort not in ("unit", "piece", "unsized") or len(work) < 2:
        return _none(text, work)
    if word[0].sort == "piece" and (fruit := re.match(r" of (?=[.0-9])", word[1])):
        one = numbers(word[1][fruit.end() :], text)  # "zest of 1 lemon"
        return _of_word(one, word[0], one.rest, text)
    return _of_word(one, word[0], word[1], text)


def _none(text: str, rest: str, word: str = "") -> Measure:
    return Measure(text=text, kind="unpriceable", word=word.strip().lower(), rest=rest, doubts=("no-amount",))


def _juice(work: str, text: str) -> Measure:
    said = _SAID.match(work)
    if said:
        work = f"{_WORDS[said[1].lower()]} {work[said.end() :]}".strip()
    one = Numbers(Decimal(1), Decimal(1), work, ("implied-one",))
    n = numbers(work, text) if re.match(r"[.,]?[0-9]", work) else one
    return _measure(text, "juice of", n, "each", n.rest, "juice", ("juice-yield",))


def _counted(n: Numbers, text: str, measures: Measures | None) -> Measure:
    """A number, or a range of them, with what stands behind it."""
    times = _TIMES.match(n.rest)
    if times and n.low == n.high and re.match(r"[.,]?[0-9]", n.rest[times.end() :]):
        return _times(n, n.rest[times.end() :], bool(times[0].strip()), text, measures)
    rest = n.rest[1:] if re.match(r"-[^\W\d_]", n.rest) else n.rest
    word = leading(rest.lstrip(), measures)
    if rest.lstrip().startswith("%"):
        return _none(text, f"{n.low} {rest.lstrip()}")
    if word is None and (cut := _PIECE_LAST.match(rest.strip())):
        piece = spoken(cut[2], measures)
        if piece is not None and piece.sort == "piece":
            return _of_word(n, piece, cut[1], text)
    if word is None or word[0].sort == "length":
        kind: Kind = "each" if n.low == n.high else "range"
        doubts: tuple[str, ...] = ()
        if n.fraction:
            kind, doubts = ("part" if _third(n) and not rest.strip() else kind), ("each-or-part",)
        return _measure(text, kind, n, "" if kind == "part" else "each", rest, "", doubts)
    first = _of_word(n, word[0], word[1], text)
    again = _AGAIN.match(word[1])
    if not again:
        return first
    if word[0].sort == "unsized":
        doubts = () if n.low == n.high == 1 else ("each-or-total",)
        return _times(replace(n, doubts=n.doubts + doubts), word[1][again.end() :], True, text, measures)
    return _twice(first, word[1][again.end() :], text, measures)


def _third(n: Numbers) -> bool:
    """No fruit is cut so in a bar: 1/3 and 2/3 are ratios, 1/2 and 1/4 may be fruit."""
    return any(value * 4 % 1 for value in (n.low, n.high))


def _times(n: Numbers, rest: str, sure: bool, text: str, measures: Measures | None) -> Measure:
    """ "2 750-ml", "2 x 30 ml", "3 2-inch strips": so many of a size."""
    size = numbers(rest, text)
    hyphen = re.match(r"-(?=[^\W\d_])", size.rest)
    tail = size.rest[1:] if hyphen else size.rest.lstrip()
    word = leading(tail, measures)
    doubts = n.doubts + size.doubts
    if word and word[0].sort == "length":
        piece = leading(word[1].lstrip(), measures)
        if piece and piece[0].sort in ("piece", "unsized"):
            return _of_word(replace(n, doubts=doubts), piece[0], piece[1], text)
        return _measure(text, "each", replace(n, doubts=doubts), "each", word[1], "", ())
    if not (sure or hyphen):
        thousands = re.match(r"[0-9]{3}(?![0-9.,])", rest) and n.low == n.low.to_integral_value()
        doubts += ("count-or-thousands" if thousands else "two-numbers",)
    both = Numbers(fine(n.low * size.low), fine(n.high * size.high), tail, doubts, fraction=False)
    if word is None:
        return _measure(text, "each", both, "each", tail, "", ("two-numbers",))
    after = word[1].lstrip(" )]")
    bottle = leading(after, measures)
    after = bottle[1] if bottle and bottle[0].sort == "unsized" else after
    return _of_word(both, word[0], after, text)


def _of_word(n: Numbers, word: Spoken, rest: str, text: str) -> Measure:
    doubts = (word.doubt,) if word.doubt else ()
    if word.sort == "part":
        return _measure(text, "part", n, "", rest, word.word, ())
    if word.sort == "unsized":
        return Measure(text=text, kind="unpriceable", word=word.word, rest=rest, doubts=(*n.doubts, *doubts))
    if word.sort == "piece":
        return _measure(text, "twist", n, "each", rest, word.word, doubts)
    kind: Kind = "range" if n.low != n.high else ("each" if word.unit == "each" else "amount")
    return _measure(text, kind, n, word.unit, rest, word.word, doubts, word)


def _measure(
    text: str,
    kind: Kind,
    n: Numbers,
    unit: str,
    rest: str,
    word: str,
    doubts: tuple[str, ...],
    worth: Spoken | None = None,
) -> Measure:
    low, one, high = (worth.low, worth.one, worth.high) if worth else (Decimal(1),) * 3
    middle = n.low if n.low == n.high else (n.low + n.high) / 2
    figures = [fine(v, text) for v in (n.low * low, middle * one, n.high * high)]
    return Measure(
        text=text, kind=kind, low=figures[0], value=figures[1], high=figures[2], unit=unit, word=word, rest=rest,
        doubts=(*n.doubts, *doubts),
    )  # fmt: skip


def _twice(first: Measure, work: str, text: str, measures: Measures | None) -> Measure:
    """ "70ml/2fl oz": one amount given twice. The reading whose unit is sure rules; where they differ is a doubt."""
    try:
        n = numbers(work, text)
    except ValueError:
        return replace(first, doubts=(*first.doubts, "two-amounts"))
    word = leading(n.rest.lstrip(" -"), measures)
    if word is None or word[0].sort != "unit":
        return replace(first, doubts=(*first.doubts, "two-amounts"))
    second = _of_word(n, word[0], word[1].lstrip(" )]"), text)
    takes = bool(word_doubts(first)) and not second.doubts
    keep = second if takes else replace(first, rest=second.rest)
    same = _agree(first, second, measures)
    return keep if same or (same is None and takes) else replace(keep, doubts=(*keep.doubts, "two-amounts"))


def word_doubts(measure: Measure) -> tuple[str, ...]:
    """The doubts that lie in the measuring word alone, which a house measure would end."""
    return tuple(d for d in measure.doubts if d.startswith("which-") or d in ("house-measure", "no-measure"))


def _agree(one: Measure, two: Measure, measures: Measures | None) -> bool | None:
    """Whether two amounts are the same within AGREE; None where they do not measure the same thing."""
    units = lookup(one.unit, measures), lookup(two.unit, measures)
    if one.value is None or two.value is None or units[0] is None or units[1] is None or units[0].dim != units[1].dim:
        return None
    a, b = one.value * units[0].factor, two.value * units[1].factor
    return abs(a - b) <= AGREE * max(a, b)


def _ingredient(rest: str) -> str:
    """The words left for the ingredient, without what only joins them to the amount."""
    out = rest.strip(" \t,;:-)]./=")
    out = re.sub(r"^(?:of|de|von)\b\s*(?:(?:the|a|an)\b\s*)?", "", out, flags=re.IGNORECASE)
    out = out.strip(" ,;:-")
    return f"{out})" if out.count("(") > out.count(")") else out


def to_fact(measure: Measure) -> Fact:
    """The amount as a Fact in the measure's unit, marked assumed where anything is doubted or it is a range.

    ValueError where there is no amount: parts need the recipe's total, a top-up and "some" have none.
    """
    if measure.value is None or measure.kind == "part":
        raise ValueError(f"{measure.text!r} says no amount ({measure.kind}); write one, for example 45 ml")
    sure = not measure.doubts and measure.kind != "range"
    mark: Mark = "measured" if sure else "assumed"
    return worded(measure.text.strip(), measure.value, measure.unit, mark, measure.doubts)


def worded(pasted: str, value: Decimal, unit: str, mark: Mark, doubts: tuple[str, ...]) -> Fact:
    """A Fact of a pasted amount. Its text is what was pasted, unless the strict reader reads something else of that;
    then the text says what it was read as, and what was pasted stands in the note: text and value never disagree."""
    try:
        strict = parse_fact(pasted)
        other = (strict.value, strict.unit) != (value, unit)
    except ValueError:
        other = False
    note = ", ".join(doubts)
    if other:
        note = f'pasted "{pasted[:LONGEST]}"' + (f": {note}" if note else "")
        pasted = f"{'~' if mark == 'assumed' else ''}{value:f} {unit}".strip()
    return Fact(text=pasted, value=value, unit=unit, mark=mark, note=note)
