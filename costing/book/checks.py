"""What is amiss with a Book: a list of functions, each from a Book to Problems. Add a check: add it to CHECKS.

These look at references and shapes, without arithmetic; what a stage cannot do is found by the ledger.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.buying import Alias, Claim, ColumnMap, ExchangeRate, Order, Purchase
from costing.book.fact import Fact
from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.money import digits
from costing.book.problem import Level, Problem, problem
from costing.book.records import (
    AllergenStatement,
    BatchLog,
    Equipment,
    Facts,
    Glass,
    Good,
    House,
    Menu,
    Preparation,
    Quote,
    Serve,
    Stage,
    Supplier,
    Technique,
    Version,
    YieldTest,
)
from costing.book.selling import Button, SalesPeriod, Scenario
from costing.book.units import UNITS, Dim, lookup
from costing.book.yields import yield_share
from costing.tables import allergen_list, allergen_lists

Check = Callable[[Book], Iterable[Problem]]
UNDECIDED = "undecided: "
"""How the note of a version begins that was made of a recipe with lines left out, which follow with " | " between."""
SUPPOSED_OF = {
    "price": "good", "labour": "good", "supplier": "supplier", "figure": "preparation", "dose": "serve",
    "volume": "serve", "menu price": "menu",
}  # fmt: skip
"""Which kind of record the target of a supposed change is."""


def house(book: Book) -> Iterator[Problem]:
    """A house with a currency, money rules and measures that can be read."""
    if book.house is None:
        yield problem("no-house", "house")
        return
    try:
        digits(book.house.currency)
    except ValueError:
        yield _currency("house", book.house.currency)
    if not book.house.terms:
        yield problem("no-terms", "house")
    yield from _same_day("house/terms", (t.since for t in book.house.terms))
    yield from _repeated("house/measures", book.house.measures)
    for name, fact in book.house.measures:
        unit = lookup(fact.unit)
        if unit is None or unit.dim not in (Dim.VOLUME, Dim.MASS, Dim.COUNT) or fact.value <= 0:
            yield problem("bad-measure", "house", name=name, text=fact.text)
        if name.lower() in UNITS:
            yield problem("measure-shadows", "house", "warning", name=name)
    yield from _points(book.house)
    if book.house.labour and book.house.labour not in book.all(Good):
        yield _missing("house", "good", book.house.labour)
    if book.house.allergen_list not in allergen_lists():
        yield problem("unknown-list", "house", value=book.house.allergen_list, lists=", ".join(allergen_lists()))
    drink = book.house.standard_drink
    if drink is not None and not (_is(drink, Dim.MASS) and drink.value > 0):
        yield problem("wrong-dimension", "house", figure="standard_drink", text=drink.text, needs="g")


def _points(house: House) -> Iterator[Problem]:
    """Price points that the currency can show."""
    try:
        places = digits(house.currency)
    except ValueError:
        return
    for terms in house.terms:
        for amount in (terms.points.step, *terms.points.endings):
            if amount != round(amount, places):
                yield problem("points-too-fine", f"house/{terms.since}", value=amount, currency=house.currency)


def ids(book: Book) -> Iterator[Problem]:
    """Ids that name one thing: no blank, no slash, and no good that is also a preparation."""
    for kind, ident in book.records:
        if not ident.strip() or "/" in ident or len(ident) > 200:
            yield problem("bad-id", f"{kind}/{ident}")
    for ident in book.all(Good).keys() & book.all(Preparation).keys():
        yield problem("id-clash", f"good/{ident}", other=f"preparation/{ident}")


def quotes(book: Book) -> Iterator[Problem]:
    """Quotes for goods and suppliers that exist, in a currency that exists, one a day."""
    seen: dict[tuple[str, str, date], str] = {}
    for quote in book.all(Quote).values():
        where = f"quote/{quote.id}"
        if quote.good not in book.all(Good):
            yield _missing(where, "good", quote.good)
        if quote.supplier not in book.all(Supplier):
            yield _missing(where, "supplier", quote.supplier, "warning")
        if quote.price == 0:
            yield problem("price-nothing", where, "note")
        day = quote.good, quote.supplier, quote.since
        if day in seen:
            yield problem("two-quotes", where, "warning", other=seen[day], day=quote.since)
        seen[day] = quote.id
        try:
            digits(quote.currency)
        except ValueError:
            yield _currency(where, quote.currency)


def _currency(where: str, code: str) -> Problem:
    return problem("unknown-currency", where, value=code) if code.strip() else problem("no-currency", where)


def goods(book: Book) -> Iterator[Problem]:
    """Preferred suppliers exist; layers fit the base; no makeup figure twice."""
    for good in book.all(Good).values():
        where = f"good/{good.id}"
        if good.preferred and good.preferred not in book.all(Supplier):
            yield _missing(where, "supplier", good.preferred, "warning")
        if good.base in ("h", "kwh") and good.layer == "materials":
            yield problem("layer-mismatch", where, "warning", base=good.base, layer=good.layer)
        yield from _repeated(where, good.makeup)
        yield from _statements(book, where, good.allergens)


def equipment(book: Book) -> Iterator[Problem]:
    """Equipment whose hours and energy are goods; power and energy go together."""
    for machine in book.all(Equipment).values():
        where = f"equipment/{machine.id}"
        for good in (machine.hour, machine.energy):
            if good and good not in book.all(Good):
                yield _missing(where, "good", good)
        if bool(machine.energy) != (machine.power is not None):
            yield problem("half-energy", where, "warning")
        yield from _statements(book, where, machine.allergens)


def _statements(book: Book, where: str, statements: tuple[AllergenStatement, ...]) -> Iterator[Problem]:
    """Allergens by the names of the house's list, each once; "free" says who found it so."""
    if book.house is None or book.house.allergen_list not in allergen_lists():
        return
    known = allergen_list(book.house.allergen_list)
    codes = {name.casefold(): a.code for a in known for name in (a.name, a.code)}
    for name in dict.fromkeys(s.name for s in statements):
        if name.casefold() not in codes:
            allowed = ", ".join(a.name for a in known)
            yield problem("unknown-allergen", where, "warning", name=name, list=book.house.allergen_list, names=allowed)
    for code, count in Counter(codes.get(s.name.casefold(), s.name) for s in statements).items():
        if count > 1:
            yield problem("repeated", where, "warning", name=code)
    for statement in statements:
        if statement.state == "free" and not (statement.who or statement.label):
            yield problem("free-by-nobody", where, "warning", name=statement.name)


def preparations(book: Book) -> Iterator[Problem]:
    """Versions, stages and by-products that hang together."""
    for preparation in book.all(Preparation).values():
        where = f"preparation/{preparation.id}"
        if not preparation.versions:
            yield problem("no-version", where)
        yield from _same_day(where, (v.since for v in preparation.versions))
        yield from _exemptions(book, preparation, where)
        for version in preparation.versions:
            yield from _version(book, preparation, version, f"{where}/{version.since}")


def _exemptions(book: Book, preparation: Preparation, where: str) -> Iterator[Problem]:
    """An allergen is taken away by a named person with a reason, or not at all."""
    yield from _statements(book, where, preparation.exemptions)
    for exemption in preparation.exemptions:
        if exemption.state != "free":
            yield problem("not-an-exemption", where, name=exemption.name, state=exemption.state)
        elif not exemption.who.strip() or not exemption.label.strip():
            yield problem("exempt-by-nobody", where, "warning", name=exemption.name)


def _version(book: Book, preparation: Preparation, version: Version, where: str) -> Iterator[Problem]:
    if not version.stages:
        yield problem("no-stage", where)
    if preparation.base == "each" and version.pieces is None:
        yield problem("needs-pieces", where)
    if preparation.base != "each" and version.pieces is not None:
        yield problem("pieces-not-counted", where, base=preparation.base)
    names = Counter(stage.id for stage in version.stages)
    for name, count in names.items():
        if count > 1:
            yield problem("repeated", where, name=name)
    for stage in version.stages:
        yield from _stage(book, stage, f"{where}/stage/{stage.id}")
    kept = Counter(b.stage for b in version.byproducts)
    for b in version.byproducts:
        if b.stage not in names:
            yield problem("missing", f"{where}/byproduct/{b.id}", what="stage", id=b.stage)
        if kept[b.stage] > 1:
            yield problem("two-byproducts", f"{where}/byproduct/{b.id}", stage=b.stage)


def _stage(book: Book, stage: Stage, where: str) -> Iterator[Problem]:
    if stage.kind not in STAGE_KINDS:
        yield problem("unknown-kind", where, kind=stage.kind, kinds=", ".join(STAGE_KINDS))
        return
    if stage.equipment and stage.equipment not in book.all(Equipment):
        yield _missing(where, "equipment", stage.equipment)
    if stage.labour and stage.labour not in book.all(Good):
        yield _missing(where, "good", stage.labour)
    if stage.passive is not None and not stage.equipment:
        yield problem("no-machine", where, "warning")
    hands = stage.active is not None or stage.setup is not None
    if hands and not stage.labour and not (book.house and book.house.labour):
        yield problem("no-labour", where, "warning")
    for fact, name in ((stage.active, "active"), (stage.passive, "passive"), (stage.setup, "setup")):
        if fact is not None and not _is(fact, Dim.TIME):
            yield problem("wrong-dimension", where, figure=name, text=fact.text, needs="h")
    computed = [i for i in stage.adds if i.amount is None]
    row = STAGE_KINDS[stage.kind]
    if len(computed) > (row.mechanism == "proof" or "co2" in row.facts):
        yield problem("amount-missing", where, source=computed[0].source)
    yield from _repeated(where, stage.facts)
    yield from _repeated(where, stage.readings)
    for name, _ in stage.facts:
        if name not in STAGE_KINDS[stage.kind].takes:
            yield problem("fact-not-taken", where, figure=name, takes=", ".join(STAGE_KINDS[stage.kind].takes))
    for name, _ in stage.readings:
        if name not in READING_DIMS:
            yield problem("unknown-reading", where, figure=name, takes=", ".join(READING_DIMS))
    for n, item in enumerate(stage.adds, 1):
        ident, _, part = item.source.partition("/")
        made = book.all(Preparation).get(ident)
        known = item.source in book.all(Good) or (made is not None and not part)
        if part and made is not None:
            known = any(b.id == part for v in made.versions for b in v.byproducts)
        if not known:
            yield problem("no-source", f"{where}/add/{n}", source=item.source)


def serves(book: Book) -> Iterator[Problem]:
    """Serves built from things that exist, with techniques and glasses that exist."""
    for serve in book.all(Serve).values():
        where = f"serve/{serve.id}"
        if not serve.versions:
            yield problem("no-version", where)
        yield from _same_day(where, (v.since for v in serve.versions))
        for version in serve.versions:
            build, at = version.build, f"{where}/{version.since}"
            if version.seconds is not None and build.active is not None:
                yield problem("repeated", at, name="the time of hands (seconds, and active of the build)")
            yield from _stage(book, replace(build, active=version.seconds or build.active), at)
            if version.technique and version.technique not in book.all(Technique):
                yield _missing(where, "technique", version.technique)
            if version.glass and version.glass not in book.all(Glass):
                yield _missing(where, "glass", version.glass, "warning")


def left_out(book: Book) -> Iterator[Problem]:
    """Recipes whose lines all went in: what a note keeps as undecided is in no cost."""
    recipes: tuple[Preparation | Serve, ...] = (*book.all(Preparation).values(), *book.all(Serve).values())
    for made in recipes:
        kind = "serve" if isinstance(made, Serve) else "preparation"
        for version in made.versions:
            lines = version.note.removeprefix(UNDECIDED).strip()
            if lines and version.note.startswith(UNDECIDED):
                said = "; ".join(line.strip() for line in lines.split("|"))
                yield problem("lines-left-out", f"{kind}/{made.id}/{version.since}", "warning", lines=said)


def menus(book: Book) -> Iterator[Problem]:
    """Menus of serves that exist, each once."""
    for menu in book.all(Menu).values():
        where = f"menu/{menu.id}"
        lines = [line for section in menu.sections for line in section.lines]
        for name, count in Counter(line.serve for line in lines).items():
            if name not in book.all(Serve):
                yield _missing(where, "serve", name)
            if count > 1:
                yield problem("repeated", where, name=name)
        for line in lines:
            yield from _same_day(f"{where}/{line.serve}", (p.since for p in line.prices))


def batches(book: Book) -> Iterator[Problem]:
    """Batch logs of preparations and stages that exist, each stage once, with readings that there are."""
    for log in book.all(BatchLog).values():
        where, made = f"batch/{log.id}", book.all(Preparation).get(log.preparation)
        if made is None:
            yield _missing(where, "preparation", log.preparation)
            continue
        known = {stage.id for version in made.versions for stage in version.stages}
        for name, count in Counter(s.stage for s in log.stages).items():
            if name not in known:
                yield _missing(where, "stage", name, "warning")
            if count > 1:
                yield problem("repeated", where, "warning", name=name)
        for stage in log.stages:
            for name, _ in stage.readings:
                if name not in READING_DIMS:
                    yield problem("unknown-reading", where, "warning", figure=name, takes=", ".join(READING_DIMS))


def yield_tests(book: Book) -> Iterator[Problem]:
    """Yield tests of goods that exist, with no more kept than there was."""
    for test in book.all(YieldTest).values():
        where = f"yieldtest/{test.id}"
        if test.good not in book.all(Good):
            yield _missing(where, "good", test.good, "warning")
        share = yield_share(test)
        if share is None or not 0 <= share <= 1:
            yield problem("out-of-range", where, "warning", figure="kept", value=test.kept.text, low="0",
                          high=test.gross.text)  # fmt: skip


def buying(book: Book) -> Iterator[Problem]:
    """What arrived, was ordered and is owed: suppliers, goods and currencies that exist; one alias for one text."""
    meant: dict[tuple[str, str], str] = {}
    for alias in book.all(Alias).values():
        where = f"alias/{alias.id}"
        yield from _refers(book, where, alias.supplier, (alias.good,))
        key = alias.supplier, " ".join(alias.text.casefold().split())
        if meant.setdefault(key, alias.good) != alias.good:
            yield problem("alias-twice", where, "warning", text=alias.text)
    for columns in book.all(ColumnMap).values():
        yield from _refers(book, f"columnmap/{columns.id}", columns.supplier, ())
    for order in book.all(Order).values():
        yield from _refers(book, f"order/{order.id}", order.supplier, (line.good for line in order.lines))
    for bought in book.all(Purchase).values():
        yield from _refers(book, f"purchase/{bought.id}", bought.supplier, (line.good for line in bought.lines))
        yield from _known_currency(f"purchase/{bought.id}", bought.currency)
    for claim in book.all(Claim).values():
        yield from _refers(book, f"claim/{claim.id}", claim.supplier, (claim.good,) if claim.good else ())
        yield from _known_currency(f"claim/{claim.id}", claim.currency)
        if claim.open < 0:
            yield problem("claim-overpaid", f"claim/{claim.id}", "warning", amount=claim.amount)


def _refers(book: Book, where: str, supplier: str, ids: Iterable[str]) -> Iterator[Problem]:
    if supplier not in book.all(Supplier):
        yield _missing(where, "supplier", supplier, "warning")
    for ident in dict.fromkeys(ids):
        if ident not in book.all(Good):
            yield _missing(where, "good", ident, "warning")


def _known_currency(where: str, code: str) -> Iterator[Problem]:
    try:
        digits(code)
    except ValueError:
        yield _currency(where, code)


def rates(book: Book) -> Iterator[Problem]:
    """Exchange rates of currencies that exist and are not the house's own, one a day."""
    own = book.house.currency if book.house else ""
    for rate in book.all(ExchangeRate).values():
        yield from _known_currency(f"rate/{rate.id}", rate.currency)
        if rate.currency == own:
            yield problem("rate-of-own", f"rate/{rate.id}", "warning", currency=own)
    for (currency, day), count in Counter((r.currency, r.since) for r in book.all(ExchangeRate).values()).items():
        if count > 1:
            found = min(r.id for r in book.all(ExchangeRate).values() if (r.currency, r.since) == (currency, day))
            yield problem("same-day", f"rate/{found}", "warning", day=day)


def sales(book: Book) -> Iterator[Problem]:
    """Periods of sales of serves that exist, that do not overlap."""
    last: SalesPeriod | None = None
    for period in sorted(book.all(SalesPeriod).values(), key=lambda p: (p.since, p.id)):
        where = f"sales/{period.id}"
        if last is not None and period.since <= last.until:
            yield problem("periods-overlap", where, "warning", other=last.id, since=period.since, until=last.until)
        last = period
        for sold in period.sold:
            if sold.serve not in book.all(Serve):
                yield _missing(where, "serve", sold.serve, "warning")


def buttons(book: Book) -> Iterator[Problem]:
    """Buttons of drinks that exist, one meaning for a text and a code; scenarios of what is there."""
    meant: dict[tuple[str, str], Button] = {}
    for button in book.all(Button).values():
        where = f"button/{button.id}"
        for part in button.parts:
            if part.serve not in book.all(Serve):
                yield _missing(where, "serve", part.serve, "warning")
        key = button.code, " ".join(button.text.casefold().split())
        if key in meant:
            yield problem("button-twice", where, "warning", text=button.text, other=meant[key].id)
        meant.setdefault(key, button)
    for scenario in book.all(Scenario).values():
        for supposed in scenario.supposed:
            kind = SUPPOSED_OF.get(supposed.sort)
            if kind is not None and supposed.target and (kind, supposed.target) not in book.records:
                yield _missing(f"scenario/{scenario.id}", kind, supposed.target, "warning")


def names(book: Book) -> Iterator[Problem]:
    """Names that a person can tell apart."""
    seen: dict[tuple[str, str], str] = {}
    for (kind, ident), record in sorted(book.records.items(), key=lambda item: item[0]):
        if not isinstance(record, Good | Preparation | Serve | Supplier):
            continue
        fold = " ".join(record.name.casefold().split())
        if not fold:
            yield problem("blank-name", f"{kind}/{ident}", "warning")
        elif (kind, fold) in seen:
            yield problem("same-name", f"{kind}/{ident}", "warning", name=record.name, other=seen[kind, fold])
        seen.setdefault((kind, fold), ident)


CHECKS: tuple[Check, ...] = (
    house, ids, names, goods, quotes, equipment, preparations, serves, left_out, menus, batches, yield_tests, buying,
    rates, sales, buttons,
)  # fmt: skip


def check(book: Book) -> tuple[Problem, ...]:
    """Every Problem that CHECKS find, in order; looked for once in a Book."""
    return book.once(_check)


def _check(book: Book) -> tuple[Problem, ...]:
    return tuple(p for rule in CHECKS for p in rule(book))


def _missing(where: str, what: str, ident: str, level: Level = "error") -> Problem:
    return problem("missing", where, level, what=what, id=ident)


def _same_day(where: str, days: Iterable[date]) -> Iterator[Problem]:
    for day, count in Counter(days).items():
        if count > 1:
            yield problem("same-day", where, day=day)


def _repeated(where: str, facts: Facts) -> Iterator[Problem]:
    for name, count in Counter(name for name, _ in facts).items():
        if count > 1:
            yield problem("repeated", where, name=name)


def _is(fact: Fact, dim: Dim) -> bool:
    unit = lookup(fact.unit)
    return unit is not None and unit.dim is dim
