"""A supposed change as one line of text, and back.

    NAME +10 %     NAME -5 %     a tenth up, a twentieth down
    NAME x 1.1     NAME = 20     so many times as much; to this figure

    White rum +10 %                        the pack of an ingredient          price white-rum = 84.00
    North Quay Fruit +5 %                  all that a supplier sells          supplier north-quay x 1.05
    VAT = 21 %                             a tax or service                   tax VAT = 21 %
    pineapple-distillate trim/refuse = 45 %  a figure of a stage              figure ...
    Harbour Light, White rum = 50 ml       how much goes into a drink         dose ...
    labour = 22        labour lead-hand +5 %                                  an hour of hands
    sold -10 %         sold harbour-light = 200                               how many are sold
    CHF = 0.95                             worth of one of a currency         rate CHF = 0.95
    menu harbour-light = 17.00             menu terrace, second-tide = 13     a printed price

A figure that is itself in percent is not changed by "+2 %", which may mean two points: "= 21 %", or "x 1.02".
"""

import re
from datetime import date
from decimal import Decimal

from costing.book.book import Book, View
from costing.book.fact import Fact, parse_fact
from costing.book.records import Quote
from costing.book.selling import Supposed
from costing.book.units import Dim, lookup
from costing.edits.applying import price_text
from costing.edits.base import CURRENCY_SIGNS, typed_number, typed_price
from costing.edits.judging import share_text, typed_share
from costing.edits.menus import printable
from costing.edits.rates import typed_worth
from costing.edits.supposed_names import SORT_WORDS, Thing, called, keyed, not_found, things
from costing.menu.supposed_prices import standing
from costing.menu.supposed_recipes import figure_text, figures_of, places_of
from costing.supply.packs.numbers import parse_number
from costing.tongue import say, word

LONGEST = 300
_NUMBER = r"(?P<n>[0-9.,]*[0-9])"
_UP = re.compile(rf"(?P<left>.*\S)\s*\+\s*{_NUMBER}\s*%")
_DOWN = re.compile(rf"(?P<left>.*\S)\s+[-\u2212\u2013]\s*{_NUMBER}\s*%")
_TIMES = re.compile(rf"(?P<left>.*\S)\s+[x×]\s*{_NUMBER}")
_PERCENT = (Dim.RATIO, Dim.STRENGTH, Dim.BRIX)


def read_supposed(text: str, book: Book, day: date) -> Supposed:
    """A typed line. ValueError, in one line with the remedy, for what cannot be read, is called by no name of the day,
    or may mean two things."""
    line = " ".join(text.split())
    if len(line) > LONGEST:
        raise ValueError(say("{n} characters are too many for one change: at most {most}", n=len(line), most=LONGEST))
    view = book.on(day)
    if "=" in line:
        left, _, right = line.rpartition("=")
        thing = _one(view, left.strip(), line)
        return Supposed(sort=thing.sort, target=thing.target, part=thing.part, how="to",
                        value=_to(book, view, thing, right.strip(), line))  # fmt: skip
    for pattern in (_UP, _DOWN, _TIMES):
        found = pattern.fullmatch(line)
        if found is not None:
            thing, number = _one(view, found["left"], line), typed_number(found["n"], line)
            by = number - 1 if pattern is _TIMES else number / 100 * (1 if pattern is _UP else -1)
            if pattern is not _TIMES and _in_percent(view, thing):
                raise ValueError(say("“{text}” may be so many points or a share of the figure: write what it becomes "
                                     "(= 21 %), or {name} x {times}", text=line, name=found["left"],
                                     times=figure_text(1 + by)))  # fmt: skip
            return _by(thing, by, line)
    raise ValueError(say("“{text}” says no change: write +10 %, = 20 or x 1.1 behind the name of a thing", text=line))


def supposed_text(supposed: Supposed, book: Book, day: date) -> str:
    """A supposed change as it can be typed again: by names where these say enough, else by ids. What it speaks of may
    be gone from the book; it is then written by ids all the same."""
    view = book.on(day)
    thing = Thing(supposed.sort, supposed.target, supposed.part)
    right = _right(book, view, thing, supposed)
    named = called(view, thing)
    for left in (named, f"{word(SORT_WORDS, thing.sort)} {named}"):
        text = f"{left} {right}"
        try:
            if read_supposed(text, book, day) == supposed:
                return text
        except ValueError:
            continue
    return f"{keyed(thing)} {right}"


def _one(view: View, left: str, text: str) -> Thing:
    if not left:
        raise ValueError(say("“{text}” does not say of what: write a name before it", text=text))
    found = things(view, left)
    if not found:
        raise ValueError(not_found(view, left))
    if len(found) > 1:
        ways = say(" or ").join(f"“{keyed(thing)}”" for thing in found[:4])
        raise ValueError(say("“{name}” may mean {n} things: write {ways}", name=left, n=len(found), ways=ways))
    return found[0]


def _by(thing: Thing, by: Decimal, text: str) -> Supposed:
    if not -1 <= by <= 100:
        raise ValueError(say("“{text}”: a change must lie from -100 % to +10000 %", text=text))
    return Supposed(sort=thing.sort, target=thing.target, part=thing.part, value=by)


def _fact(view: View, thing: Thing) -> Fact | None:
    """The figure or amount that a thing is, where it is there."""
    if thing.sort == "figure" and thing.target in view.preparations:
        stage, _, name = thing.part.partition("/")
        stages = view.preparations[thing.target][1].stages
        return next((figures_of(s).get(name) for s in stages if s.id == stage), None)
    if thing.sort == "dose" and thing.target in view.serves:
        build = view.serves[thing.target][1].build
        return next((build.adds[n].amount for n in places_of(build, thing.part)), None)
    return None


def _in_percent(view: View, thing: Thing) -> bool:
    fact = _fact(view, thing)
    unit = lookup(fact.unit, view.measures) if fact is not None else None
    return thing.sort == "levy" or (unit is not None and unit.dim in _PERCENT)


def _to(book: Book, view: View, thing: Thing, right: str, text: str) -> Decimal:
    if not right:
        raise ValueError(say("“{text}” does not say what it becomes: write a figure behind the sign", text=text))
    match thing.sort:
        case "price" | "labour":
            return _money(view, thing, right)
        case "supplier":
            raise ValueError(say("all prices of a supplier can change by a share, like +5 %, but not to one figure"))
        case "levy":
            return typed_share(right)
        case "volume":
            return _count(right)
        case "rate":
            return typed_worth(right)
        case "menu price":
            return printable(book, right)
        case "figure" | "dose":
            return _amount(view, thing, right, text)


def _money(view: View, thing: Thing, right: str) -> Decimal:
    """The price of a pack, in the currency it is quoted in; another than the house's must be said."""
    quote = _quote(view, thing)
    house = view.book.house.currency if view.book.house is not None else ""
    if quote is None:
        return typed_price(right, house)
    if quote.currency != house and not any(ch.isalpha() or ch in CURRENCY_SIGNS for ch in right):
        raise ValueError(say("its price is in {currency}: write = {text} {currency}", currency=quote.currency,
                             text=right))  # fmt: skip
    return typed_price(right, quote.currency)


def _quote(view: View, thing: Thing) -> Quote | None:
    house = view.book.house
    good = view.goods.get(thing.target or (house.labour if house is not None else ""))
    try:
        return standing(view, good) if good is not None else None
    except ValueError:
        return None  # laying the change says why


def _count(right: str) -> Decimal:
    value = parse_number(right)
    if value < 0:
        raise ValueError(say("{count} cannot have been sold", count=value))
    return value


def _amount(view: View, thing: Thing, right: str, text: str) -> Decimal:
    """A typed figure in the unit of the one it replaces; a bare number is in that unit."""
    fact, typed = _fact(view, thing), parse_fact(right)
    if fact is None:
        return max(typed.value, Decimal(0))  # laying the change says that there is none
    if typed.value < 0 or typed.at != fact.at:
        raise ValueError(say("“{text}”: it must be 0 or more, and told as it is now ({now})", text=text, now=fact.text))
    if not typed.unit or typed.unit.casefold() == fact.unit.casefold():
        if not typed.unit and fact.unit == "%" and 0 < typed.value < 1:
            raise ValueError(say("“{text}” may be a share or percent: write it like 60 %", text=text))
        return typed.value
    of, to = lookup(typed.unit, view.measures), lookup(fact.unit, view.measures)
    if of is not None and to is not None and to.dim is Dim.STRENGTH and typed.unit == "%":
        return typed.value
    if of is None or to is None or of.dim is not to.dim:
        raise ValueError(say("“{text}” does not fit: it is now {now}, write it in the same kind of unit", text=text,
                             now=fact.text))  # fmt: skip
    value = (typed.value * of.factor + of.offset - to.offset) / to.factor
    return Decimal(figure_text(value.quantize(Decimal("1e-12"))))


def _right(book: Book, view: View, thing: Thing, supposed: Supposed) -> str:
    value = supposed.value
    if supposed.how == "by":
        if _in_percent(view, thing):
            return f"x {figure_text(1 + value)}"
        return f"{'-' if value < 0 else '+'}{figure_text(abs(value) * 100)} %"
    match supposed.sort:
        case "price" | "labour":
            quote = _quote(view, thing)
            foreign = quote is not None and quote.currency != (book.house.currency if book.house is not None else "")
            return f"= {price_text(value)}{f' {quote.currency}' if quote is not None and foreign else ''}"
        case "levy":
            return f"= {share_text(value)}"
        case "figure" | "dose":
            fact = _fact(view, thing)
            cold = f" at {fact.at} C" if fact is not None and fact.at is not None else ""
            return f"= {figure_text(value)} {fact.unit if fact is not None else ''}".rstrip() + cold
        case "menu price":
            return f"= {price_text(value)}"
        case _:
            return f"= {value:f}"
