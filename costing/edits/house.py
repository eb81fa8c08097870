"""Edits of the house itself: its money rules from a day on, its measures, its list of allergens, its permit."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.fact import parse_fact
from costing.book.levies import Levy, Policy, PricePoints
from costing.book.money import digits
from costing.book.records import LAYERS, Good, House, Layer, Terms
from costing.book.units import Dim, lookup
from costing.edits.base import currency_of, record_of, typed_fact, typed_number, typed_price, with_fact
from costing.edits.menus import policy_text, typed_policy
from costing.supply.plan.holds import WIDTHS
from costing.tables import allergen_lists
from costing.tongue import say


def house_of(book: Book) -> House:
    """The house, or a new one for a book that has none yet."""
    return book.house or House(id="house", name="", currency="", terms=())


def terms_on(house: House, day: date) -> Terms | None:
    """The money rules in force on a day."""
    begun = [t for t in house.terms if t.since <= day]
    return max(begun, key=lambda t: t.since) if begun else None


def _house(book: Book, after: House, what: str) -> Step | None:
    if book.house == after:
        return None
    return Step(what, (put("house", after, book.house),))


def _terms(book: Book, since: date, what: str, change: Callable[[Terms], Terms]) -> Step | None:
    """A change of the money rules from ``since`` on; what held before stays as it was."""
    house = house_of(book)
    old = terms_on(house, since) or Terms(since=since)
    new = replace(change(old), since=since)
    if new == old:
        return None
    kept = [t for t in house.terms if t.since != since]
    after = replace(house, terms=tuple(sorted([*kept, new], key=lambda t: t.since)))
    return _house(book, after, say("{what} from {day}", what=what, day=since.isoformat()))


def set_name(book: Book, name: str) -> Step | None:
    """What the house is called."""
    called = " ".join(name.split())
    return _house(book, replace(house_of(book), name=called), say("name of the house: {name}", name=called))


def set_currency(book: Book, code: str) -> Step | None:
    """The currency it counts in, by its ISO 4217 code. ValueError for a code there is not."""
    wanted = code.strip().upper()
    digits(wanted)
    return _house(book, replace(house_of(book), currency=wanted), say("currency: {code}", code=wanted))


def levies_text(levies: tuple[Levy, ...]) -> str:
    """Taxes and service as they are typed, one a line: "VAT 19 %", "Service 10 % on all before, kept"."""
    out = []
    for levy in levies:
        rate = f"{(levy.rate * 100).normalize():f} %"
        more = (" on all before" if levy.on == "running" else "") + (", kept" if levy.kept else "")
        out.append(f"{levy.name} {rate}{more}")
    return "\n".join(out)


def typed_levies(text: str) -> tuple[Levy, ...]:
    """The same read back. ValueError names the line that cannot be."""
    out = []
    for line in text.splitlines():
        if not line.strip():
            continue
        work, kept = line.strip(), False
        if work.casefold().endswith(", kept"):
            work, kept = work[: -len(", kept")].strip(), True
        running = work.casefold().endswith(" on all before")
        if running:
            work = work[: -len(" on all before")].strip()
        head, sign, rest = work.rpartition("%")
        name, _, rate = head.strip().rpartition(" ")
        if not sign or rest.strip() or not name.strip():
            raise ValueError(say("“{line}” is not a tax: write a name and a rate, like VAT 19 %", line=line.strip()))
        out.append(Levy(name.strip(), typed_number(rate) / 100, "running" if running else "net", kept))
    return tuple(out)


def set_levies(book: Book, text: str, since: date) -> Step | None:
    """Taxes and service in their order."""
    found = typed_levies(text)
    return _terms(book, since, say("taxes and service"), lambda t: replace(t, levies=found))


def points_text(points: PricePoints) -> tuple[str, str, str]:
    """(step, endings, least) as they are typed."""
    return f"{points.step}", " ".join(f"{e}" for e in points.endings), f"{points.least}" if points.least else ""


def set_points(book: Book, step: str, endings: str, least: str, since: date) -> Step | None:
    """The prices the house prints: multiples of a step, with certain endings, not below a least one."""
    currency = currency_of(book)
    found = PricePoints(
        typed_price(step, currency),
        tuple(typed_price(e, currency) for e in endings.replace(";", " ").split()),
        typed_price(least, currency) if least.strip() else Decimal(0),
    )
    return _terms(book, since, say("price points"), lambda t: replace(t, points=found))


def set_target(book: Book, text: str, since: date) -> Step | None:
    """The target of the house. ValueError for none: sections and lines may go without, the house may not."""
    policy = typed_policy(text, currency_of(book), _aim(book, since))
    if policy is None:
        raise ValueError(say("the house needs a target: 20 %, or margin 9.50, or x 5"))
    said = say("target of the house: {target}", target=policy_text(policy))
    return _terms(book, since, said, lambda t: replace(t, policy=policy))


def _aim(book: Book, since: date) -> Policy | None:
    held = terms_on(book.house, since) if book.house is not None else None
    return held.policy if held is not None else None


def set_base(book: Book, layers: tuple[Layer, ...], since: date) -> Step | None:
    """The layers that pour cost and suggestions stand on. ValueError for none."""
    ordered = tuple(layer for layer in LAYERS if layer in layers)
    return _terms(book, since, say("what pour cost stands on"), lambda t: replace(t, base=ordered))


def set_recovers_tax(book: Book, recovers: bool, since: date) -> Step | None:
    """Whether tax in a purchase price is got back and left out of cost."""
    return _terms(book, since, say("purchase tax"), lambda t: replace(t, recovers_tax=recovers))


def set_allergen_list(book: Book, name: str) -> Step | None:
    """The list of allergens that reports go by. ValueError for one that is not shipped."""
    if name not in allergen_lists():
        raise ValueError(say("there is no list “{name}”: one of {names}", name=name, names=", ".join(allergen_lists())))
    return _house(book, replace(house_of(book), allergen_list=name), say("list of allergens: {name}", name=name))


def set_standard_drink(book: Book, text: str) -> Step | None:
    """The ethanol in one standard drink, as the place counts ("10 g"); "" for none."""
    house = house_of(book)
    fact = typed_fact(text if not text.strip().isdigit() else f"{text.strip()} g", house.standard_drink)
    unit = lookup(fact.unit) if fact is not None else None
    if fact is not None and (unit is None or unit.dim is not Dim.MASS or fact.value <= 0):
        raise ValueError(say("“{text}” is not the ethanol in a standard drink: write it like 10 g", text=text))
    return _house(book, replace(house, standard_drink=fact), say("standard drink"))


def set_measure(book: Book, name: str, text: str) -> Step | None:
    """What a dash or an oz is here, as typed ("0.9 ml"); "" takes it out."""
    called = " ".join(name.split()).casefold()
    if not called:
        raise ValueError(say("a measure needs a name"))
    house = house_of(book)
    fact = parse_fact(text) if text.strip() else None
    unit = lookup(fact.unit) if fact is not None else None
    known = unit is not None and unit.dim in (Dim.VOLUME, Dim.MASS, Dim.COUNT)
    if fact is not None and (not fact.unit or not known or fact.value <= 0):
        raise ValueError(say("“{text}” is not what a measure holds: write it like 0.9 ml", text=text.strip()))
    after = replace(house, measures=with_fact(house.measures, called, fact))
    return _house(book, after, say("house measure {name}", name=called))


def set_labour(book: Book, good: str) -> Step | None:
    """The hour that hands cost where a stage names none, by id; "" for none."""
    if good:
        record_of(book, Good, good)
    return _house(book, replace(house_of(book), labour=good), say("hour of hands"))


def set_permit(book: Book, permit: str, until: date | None) -> Step | None:
    """The reference of the permit to distil, as the house enters it, or its word that it works under one."""
    after = replace(house_of(book), permit=permit.strip(), permit_until=until if permit.strip() else None)
    return _house(book, after, say("permit"))


def set_hold(book: Book, kind: str, text: str) -> Step | None:
    """How far a price of a kind of good may move before an arriving file is held there, as typed ("10 %"); "" leaves it
    to the shipped width. ValueError for an unknown kind, and for a share that is not above 0 to 1000 %."""
    if kind not in WIDTHS:
        raise ValueError(say("“{kind}” is not a kind of ingredient", kind=kind))
    house = house_of(book)
    kept = {name: share for name, share in house.holds if name != kind}
    work = text.strip()
    if work:
        share = typed_number(work.removesuffix("%").strip(), work) / 100
        if not 0 < share <= 10:
            raise ValueError(say("“{text}” must lie above 0 % and up to 1000 %", text=work))
        kept[kind] = share
    ordered = tuple((name, kept[name]) for name in WIDTHS if name in kept)
    return _house(book, replace(house, holds=ordered), say("how far prices may move"))
