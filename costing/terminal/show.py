"""The text that commands print: what each thing costs, the loss ledger, the trail, the day book."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from costing.book.book import View
from costing.book.history import Row
from costing.book.money import digits, parts_shown, rounded
from costing.book.problem import Problem
from costing.book.records import (
    LAYERS,
    Quote,
)
from costing.ledger import Cost, Reckoning, why
from costing.ledger.balance import Balance, balance_of, unstated
from costing.ledger.rows import Carried
from costing.pricing import Candidate, PricedServe, split
from costing.report.phrases import sugar_acid_words
from costing.report.words import (
    layer_word,
    line_of,
)
from costing.terminal.table import printable, table

DASH = "-"


def money(value: float | Decimal, currency: str, more: int = 0) -> str:
    """An amount to the currency's places, or some more where a unit cost is shown."""
    places = digits(currency) + more if currency else 2 + more
    return f"{rounded(float(value), places):,f}"


def cost_text(reckoning: Reckoning, cost: Cost) -> str:
    """A cost with making, "at least" where something in it has no price."""
    return ("" if cost.complete else ">= ") + money(cost.making, currency_of(reckoning), 2)


def pack_text(quote: Quote) -> str:
    """A pack as it is bought: 6 x 0.7 l."""
    return "".join(f"{n} x " for n in quote.levels) + quote.content.text


def percent(value: float | Decimal | None, places: int = 1) -> str:
    """A fraction as per cent."""
    return DASH if value is None else f"{rounded(float(value) * 100, places):f} %"


def figure(value: float | None, places: int) -> str:
    """A physical figure, or a dash."""
    return DASH if value is None else f"{rounded(value, places):f}"


def name_of(view: View, source: str) -> str:
    """The name of a good, preparation or by-product by its id."""
    if source in view.goods:
        return view.goods[source].name
    ident, _, part = source.partition("/")
    if ident not in view.preparations:
        return source
    preparation, version = view.preparations[ident]
    kept = next((b.name for b in version.byproducts if b.id == part), "")
    return f"{preparation.name}: {kept}" if kept else preparation.name


def heading(reckoning: Reckoning, revision: int, what: str) -> str:
    """One line: house, what, day, revision, currency, base."""
    house, terms = reckoning.view.book.house, reckoning.view.terms
    layers = " + ".join(map(layer_word, terms.base)) if terms else "materials"
    name = house.name if house else "no house"
    unit = house.currency if house else "?"
    return printable(
        f"{name}: {what} on {reckoning.view.day}, revision {revision}, in {unit}, pour cost on {layers} of net price"
    )


def serves_text(reckoning: Reckoning, serves: Iterable[PricedServe]) -> Iterator[str]:
    """The priced serves, a table for each section of a menu; "at least" where a component has no price."""
    head = (
        "serve",
        "cost",
        "with making",
        "printed",
        "net",
        "pour cost",
        "margin",
        "needs",
        "suggested",
        "target",
        "ABV",
    )
    groups: dict[str, list[tuple[str, ...]]] = {}
    for s in serves:
        menu = reckoning.view.menus[s.menu].name if s.menu else "On no menu"
        groups.setdefault(f"{menu}, {s.section}" if s.section else menu, []).append(_serve_row(reckoning, s))
    for title, rows in groups.items():
        yield printable(title)
        yield table(head, rows)
        yield ""


def _serve_row(reckoning: Reckoning, s: PricedServe) -> tuple[str, ...]:
    currency = currency_of(reckoning)
    at_least = "" if s.cost.complete else ">= "
    costed = s.line is not None
    return (
        s.serve.name,
        at_least + money(s.base, currency, 2) if costed else "not known",
        at_least + money(s.cost.making, currency, 2) if costed else "not known",
        money(s.price.all_in, currency) if s.price else DASH,
        money(s.price.net, currency) if s.price else DASH,
        at_least + percent(s.price.pour_cost) if s.price and costed else DASH,
        money(s.price.margin, currency) if s.price and s.cost.complete else DASH,
        money(s.suggestion.needed_all_in, currency) if s.suggestion else DASH,
        money(s.suggestion.at.all_in, currency) if s.suggestion else DASH,
        {True: "met", False: "missed", None: DASH}[s.on_target],
        _strength(s),
    )


def _strength(s: PricedServe) -> str:
    """The strength in the glass; not known where part of the drink is not followed."""
    if s.line is None:
        return DASH
    if any(p.code == "not-followed" for p in s.line.problems):
        return "not known"
    return percent(s.line.on.matter.abv)


def serve_detail(reckoning: Reckoning, priced: PricedServe) -> Iterator[str]:
    """What lies between the cost of one drink and its price, in words."""
    currency, terms = currency_of(reckoning), reckoning.view.terms
    cost = priced.cost
    layers = ", ".join(
        f"{layer_word(layer)} {money(c, currency, 2)}" for layer, c in zip(LAYERS, cost.columns, strict=True) if c
    )
    yield f"{priced.serve.name}: {'' if cost.complete else 'at least '}{money(cost.making, currency, 2)} ({layers})"
    if not cost.complete:
        yield f"   no price today for {', '.join(name_of(reckoning.view, g) for g in sorted(cost.unpriced))}"
    if priced.assumed_share:
        yield f"   {percent(priced.assumed_share, 0)} of this cost rests on assumed figures"
    balance = balance_of(priced.line, reckoning.view.book.house) if priced.line else None
    if balance is not None:
        yield f"   {balance_text(balance, *_unstated(reckoning, priced))}"
    if priced.price and terms:
        parts = split(priced.price.all_in, terms.levies)
        amounts = parts_shown([float(parts.bare), *(float(amount) for _, amount in parts.parts)], currency)
        taken = ", ".join(f"{name} {amount:,f}" for (name, _), amount in zip(parts.parts, amounts[1:], strict=True))
        yield (
            f"   printed at {money(parts.all_in, currency)}: {amounts[0]:,f} before {taken or 'no tax or service'};"
            f" the house keeps {money(parts.net, currency)}"
        )
    if priced.suggestion is None:
        return
    s = priced.suggestion
    yield f"   target {_target(priced, currency)}: needs {money(s.needed_net, currency)} net"
    yield f"   so {money(s.needed_all_in, currency)} on the menu"
    yield f"   {_candidate_text(s.at, currency)} is the price point that keeps the target"
    if s.lower and s.gives_away is not None:
        yield f"   {_candidate_text(s.lower, currency)} gives away {money(s.gives_away, currency)} a drink"
    if priced.price and priced.move_volume is not None and s.at.all_in != priced.price.all_in:
        yield (
            f"   going from {money(priced.price.all_in, currency)} to {money(s.at.all_in, currency)} earns the same"
            f" if {percent(abs(priced.move_volume))} {'fewer' if priced.move_volume < 0 else 'more'} are sold"
        )


def _unstated(reckoning: Reckoning, priced: PricedServe) -> tuple[list[str], list[str]]:
    tart, sweet = unstated(reckoning, priced.line.carried) if priced.line else ((), ())
    return [name_of(reckoning.view, g) for g in tart], [name_of(reckoning.view, g) for g in sweet]


def balance_text(b: Balance, tart: Iterable[str] = (), sweet: Iterable[str] = ()) -> str:
    """What a drink is, in one line: volume, strength, standard drinks, sugar, acid; SO2 and gas where there is any."""
    parts = [f"{1000 * b.litres:.0f} ml", f"{100 * b.abv:.1f} % vol, {b.ethanol_g:.1f} g of alcohol"]
    if b.drinks is not None and b.ethanol_g:
        parts.append(f"about {b.drinks:.1f} standard drinks")
    parts.append(sugar_acid_words(b, tart, sweet))
    parts += [f"SO2 up to {b.so2_mg_l:.0f} mg/l"] if b.so2_mg_l else []
    parts += [f"CO2 {b.co2_g_l:.1f} g/l"] if b.co2_g_l else []
    return "; ".join(parts)


def _target(priced: PricedServe, currency: str) -> str:
    value = priced.policy.value
    if priced.policy.kind == "pour_cost":
        return f"pour cost {percent(value)}"
    return f"margin {money(value, currency)}" if priced.policy.kind == "margin" else f"{value} times the cost"


def _candidate_text(c: Candidate, currency: str) -> str:
    return f"{money(c.all_in, currency)} (net {money(c.net, currency)}, pour cost {percent(c.pour_cost)})"


def preparations_text(reckoning: Reckoning) -> str:
    """What each preparation and by-product costs per unit."""
    currency = currency_of(reckoning)
    rows = []
    for ident, ledger in reckoning.ledgers.items():
        if ledger.refused:
            rows.append((name_of(reckoning.view, ident), DASH, DASH, DASH, DASH, "refused, see below"))
        for output in ledger.outputs.values():
            cost = reckoning.costs[output.id]
            at_least = "" if cost.complete else ">= "
            whole = output.unit.matter
            rows.append(
                (
                    name_of(reckoning.view, output.id),
                    f"{figure(output.made, 0 if output.unit.base == 'each' else 4)} {output.unit.base}",
                    at_least + money(cost.materials, currency, 2),
                    at_least + money(cost.making, currency, 2),
                    percent(whole.abv if whole else None, 2),
                    percent(reckoning.assumed_share(output.direct), 0),
                )
            )
    return table(
        ("preparation", "a batch makes", "materials a unit", "with making", "ABV", "rests on assumptions"), rows
    )


def goods_text(reckoning: Reckoning, wanted: set[str]) -> str:
    """What single goods cost and by whose quote."""
    currency = currency_of(reckoning)
    rows = []
    for ident in sorted(wanted & set(reckoning.view.goods)):
        price = reckoning.prices.get(ident)
        rows.append(
            (
                name_of(reckoning.view, ident),
                f"{money(price.per_base, currency, 2)} / {reckoning.view.goods[ident].base}" if price else "no price",
                _pack(reckoning, ident),
                str(price.quote.since) if price else DASH,
            )
        )
    return table(("good", "costs", "pack", "since"), rows)


def _pack(reckoning: Reckoning, good: str) -> str:
    price = reckoning.prices.get(good)
    if price is None:
        return DASH
    quote, supplier = price.quote, reckoning.view.suppliers.get(price.quote.supplier)
    return f"{pack_text(quote)} at {quote.price} from {supplier.name if supplier else quote.supplier}"


def trail_text(reckoning: Reckoning, carried: Carried) -> str:
    """The trail below a figure, indented, down to the suppliers' lines."""
    currency = currency_of(reckoning)
    rows = []
    for reason in why(reckoning, carried):
        source = "  " * (reason.depth - 1) + name_of(reckoning.view, reason.source)
        unit = f"{cost_text(reckoning, reason.unit_cost)} / {reason.base}"
        rows.append(
            (
                source,
                f"{reason.amount:.6g} {reason.base}",
                reason.problem or unit,
                money(reason.money, currency, 2) if not reason.problem else "",
                _pack(reckoning, reason.source) if reason.quote else "",
            )
        )
    return table(("why", "amount", "at", "makes", "by the quote"), rows)


def history_text(rows: Iterable[Row]) -> str:
    """The day book, oldest first."""
    acts = {"do": "", "undo": "undone", "redo": "redone", "migrate": "file"}
    out = []
    for row in rows:
        what = f"{acts[row.act]} " if acts[row.act] else ""
        out.append((str(row.seq), row.at, row.who, f"{what}{row.code}" + (f" (row {row.of})" if row.of else "")))
    return table(("row", "when (UTC)", "who", "what"), out, left=4)


def problems_text(problems: Iterable[Problem]) -> list[str]:
    """One line a problem, errors first."""
    order = {"error": 0, "warning": 1, "note": 2}
    return [printable(line_of(p)) for p in sorted(problems, key=lambda p: order[p.level])]


def currency_of(reckoning: Reckoning) -> str:
    """The house's currency, or none where ISO 4217 has no such code (a Problem says so)."""
    house = reckoning.view.book.house
    try:
        return house.currency if house and digits(house.currency) >= 0 else ""
    except ValueError:
        return ""
