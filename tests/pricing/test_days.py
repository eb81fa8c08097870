"""A cost on many days: by hand, and against reckoning every single day in full.

The hand books are invented: a sour of rum and syrup, a syrup of sugar and water made at the house.
"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book import Book, parse_fact
from costing.book.buying import ExchangeRate
from costing.book.plain import record_from_plain
from costing.book.records import (
    DatedPrice,
    Good,
    House,
    Input,
    Menu,
    MenuLine,
    MenuSection,
    Preparation,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Stage,
    Terms,
    Version,
)
from costing.ledger import Cost, reckon
from costing.pricing import priced_serves
from costing.pricing.days import CostHistory, cost_history, moved
from costing.pricing.days_moves import Bridge, Move
from tests.ledger.strategies import EATABLE, LARDER, LIQUID, SINCE, Draw, book_of, laws, preparations

Plain = dict[str, Any]
LEVIES = [{"name": "Service", "rate": "0.10"}, {"name": "Tax", "rate": "0.09", "on": "running"}]
JAN, FEB, MAR, APR = date(2026, 1, 1), date(2026, 2, 1), date(2026, 3, 1), date(2026, 4, 1)
DAY = timedelta(days=1)


def quote(good: str, price: str, since: date, content: str = "1 l", **more: Any) -> tuple[str, Plain]:
    """A quote of the market."""
    plain = {"id": f"{good}-{since}-{more.get('supplier', '')}", "good": good, "supplier": "market", "content": content,
             "price": price, "currency": "EUR", "since": since.isoformat(), **more}  # fmt: skip
    return "quote", plain


def good(ident: str, kind: str, base: str, **more: Any) -> tuple[str, Plain]:
    """A good."""
    return "good", {"id": ident, "name": ident, "kind": kind, "base": base, **more}


def syrup(since: date, sugar: str = "1 kg", water: str = "1 kg") -> Plain:
    """A version of the syrup, by weight."""
    adds = [{"source": "sugar", "amount": sugar}, {"source": "water", "amount": water}]
    return {"since": since.isoformat(), "stages": [{"id": "mix", "kind": "dissolve", "adds": adds}]}


def sour(since: date, *adds: tuple[str, str]) -> Plain:
    """A version of the drink."""
    inputs = [{"source": s, "amount": a} for s, a in adds]
    return {"since": since.isoformat(), "build": {"id": "build", "kind": "build", "adds": inputs}}


OLD_SOUR = sour(JAN, ("rum", "0.06 l"), ("syrup", "0.02 kg"))


def bar(
    *more: tuple[str, Plain],
    syrups: tuple[Plain, ...] = (syrup(JAN),),
    sours: tuple[Plain, ...] = (OLD_SOUR,),
    terms: tuple[Plain, ...] = ({"since": "2026-01-01"},),
) -> Book:
    """Rum at 20.00 a litre, sugar at 1.00 and water at 0.10 a kilogram, from January on."""
    records = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "terms": list(terms)}),
        ("supplier", {"id": "market", "name": "Market"}),
        ("supplier", {"id": "other", "name": "Other"}),
        good("rum", "spirit", "l", makeup={"abv": "40 % vol"}),
        good("gin", "spirit", "l", makeup={"abv": "40 % vol"}),
        good("sugar", "sugar", "kg"),
        good("water", "water", "kg"),
        quote("rum", "20.00", JAN),
        quote("sugar", "1.00", JAN, "1 kg"),
        quote("water", "0.10", JAN, "1 kg"),
        ("preparation", {"id": "syrup", "name": "Syrup", "base": "kg", "versions": list(syrups)}),
        ("serve", {"id": "sour", "name": "Sour", "versions": list(sours)}),
        *more,
    ]
    return Book.of(record_from_plain(k, p) for k, p in records)


def parts(bridge: Bridge | None) -> dict[tuple[str, str], float]:
    """Money of every move by (why, source); two of one kind would hide one another."""
    assert bridge is not None
    out: dict[tuple[str, str], float] = {(m.why, m.source): m.making for m in bridge.moves}
    assert len(out) == len(bridge.moves)
    return out


def adds_up(bridge: Bridge) -> None:
    """The parts are the difference, layer by layer, and the base cost's with what its layers did."""
    sizes = (abs(v) for c in (bridge.before, bridge.after) if c for v in c.columns)
    slack = 1e-12 * max([1.0, *sizes, *(abs(v) for m in bridge.moves for v in m.columns)])
    for n in range(4):
        assert sum(m.columns[n] for m in bridge.moves) == pytest.approx(bridge.difference[n], rel=0, abs=slack)
    base = bridge.rebased + sum(m.of(bridge.layers[1]) for m in bridge.moves)
    assert base == pytest.approx(bridge.base_difference, rel=0, abs=4 * slack)
    for move in (m for m in bridge.moves if m.took):
        assert sum(sum(t.columns) for t in move.took) == pytest.approx(move.making, rel=0, abs=4 * slack)


def near(value: float) -> Any:
    return pytest.approx(value, rel=0, abs=1e-12)


def test_a_dearer_quote_moves_the_drink_by_its_amount_times_the_unit_price() -> None:
    book = bar(quote("rum", "147.00", FEB, "0.7 l", levels=[10]), quote("gin", "30.00", MAR))
    history = cost_history(book, "sour", JAN, APR)
    assert [p.day for p in history.points] == [JAN, FEB]  # gin is not in it
    first, second = history.points
    assert first.base == near(0.06 * 20 + 0.02 * 0.55)
    assert first.moved is None
    assert parts(second.moved) == {("quote", "rum"): near(0.06 * 1.00)}
    move = second.moved.moves[0] if second.moved else None
    assert move is not None
    assert move.before is not None
    assert move.after is not None
    assert (move.amount, move.before.per_base, move.after.per_base) == (near(0.06), near(20.0), near(21.0))
    assert second.moved is not None
    assert (second.moved.day_a, second.moved.day_b) == (FEB - DAY, FEB)
    assert history.on(date(2026, 1, 20)) is first
    assert history.on(APR) is second


def test_a_quote_that_ends_leaves_no_price_and_the_cost_is_at_least() -> None:
    book = Book.of(
        replace(r, until=MAR) if isinstance(r, Quote) and r.id == "rum-2026-01-01-" else r
        for r in bar(quote("rum", "24.00", APR)).records.values()
    )
    _, ended, again = cost_history(book, "sour", JAN, APR).points
    assert ended.day == MAR + DAY
    assert not ended.complete
    assert ended.cost is not None
    assert ended.cost.unpriced == {"rum"}
    assert parts(ended.moved) == {("no-price", "rum"): near(-1.2)}
    assert again.complete
    assert parts(again.moved) == {("priced", "rum"): near(0.06 * 24)}


def test_tax_that_is_no_longer_recovered_stands_apart_from_the_quote_of_the_same_day() -> None:
    """11.90 with 19 % in it is 10.00 where tax comes back. From March it does not, and the quote is 13.09."""
    book = bar(
        quote("gin", "11.90", JAN, tax="inc", tax_rate="0.19"),
        quote("gin", "13.09", MAR, tax="inc", tax_rate="0.19"),
        sours=(sour(JAN, ("gin", "0.1 l")),),
        terms=({"since": "2026-01-01"}, {"since": "2026-03-01", "recovers_tax": False}),
    )
    bridge = cost_history(book, "sour", JAN, APR).points[1].moved
    assert parts(bridge) == {("quote", "gin"): near(0.1 * 1.0), ("terms", "gin"): near(0.1 * (13.09 - 11.0))}
    only_terms = moved(book, "sour", date(2026, 2, 28), MAR)
    assert only_terms.difference[0] == near(0.309)


def test_recipe_at_the_prices_before_and_prices_at_the_recipe_after() -> None:
    """Rum 60 to 50 ml while it goes from 20 to 22; gin comes in without a price before; syrup goes."""
    book = bar(
        quote("rum", "22.00", FEB),
        quote("gin", "30.00", FEB),
        sours=(OLD_SOUR, sour(FEB, ("rum", "0.05 l"), ("gin", "0.01 l"))),
    )
    bridge = cost_history(book, "sour", JAN, APR).points[1].moved
    assert parts(bridge) == {
        ("recipe", "sour"): near(-0.01 * 20 + 0.01 * 30 - 0.02 * 0.55),
        ("quote", "rum"): near(0.05 * 2),
    }
    assert bridge is not None
    took = {t.source: (sum(t.columns), t.own_line) for t in bridge.moves[0].took}
    assert took == {"rum": (near(-0.2), False), "gin": (near(0.3), True), "syrup": (near(-0.011), False)}
    assert bridge.moves[0].since == (JAN, FEB)


def test_two_recipes_changed_on_one_day_stand_apart() -> None:
    """The syrup goes to two parts sugar, and the drink takes 30 g of it: (q1 - q0) at the old cost of a kilogram."""
    book = bar(
        syrups=(syrup(JAN), syrup(FEB, sugar="2 kg")),
        sours=(OLD_SOUR, sour(FEB, ("rum", "0.06 l"), ("syrup", "0.03 kg"))),
    )
    assert parts(moved(book, "sour", JAN, FEB)) == {
        ("recipe", "sour"): near(0.01 * 0.55),
        ("recipe", "syrup"): near(0.03 * (2.1 / 3 - 0.55)),
    }
    whole = moved(book, "syrup", JAN, FEB)
    assert parts(whole) == {("recipe", "syrup"): near(2.1 / 3 - 0.55)}
    assert parts(moved(book, "syrup", FEB, JAN)) == {("recipe", "syrup"): near(0.55 - 2.1 / 3)}
    assert moved(book, "syrup", FEB, APR).moves == ()


def test_what_follows_a_change_below_it_says_so() -> None:
    """A stronger feed takes more water to the same strength, though the proof itself is written as before."""

    def feed(since: date, gin: str) -> Plain:
        adds = [{"source": "gin", "amount": gin}, {"source": "water", "amount": "0.2 kg"}]
        return {"since": since.isoformat(), "stages": [{"id": "mix", "kind": "blend", "adds": adds}]}

    down = {"id": "down", "kind": "proof", "facts": {"abv": "20 % vol"},
            "adds": [{"source": "feed", "amount": "1 l"}, {"source": "water", "amount": None}]}  # fmt: skip
    book = bar(
        quote("gin", "30.00", JAN),
        ("preparation", {"id": "feed", "name": "Feed", "versions": [feed(JAN, "0.8 l"), feed(FEB, "0.9 l")]}),
        ("preparation", {"id": "proofed", "name": "P", "versions": [{"since": "2026-01-01", "stages": [down]}]}),
    )
    bridge = moved(book, "proofed", JAN, FEB)
    assert {(m.why, m.source) for m in bridge.moves} == {("recipe", "feed"), ("follows", "proofed")}
    adds_up(bridge)
    follows = next(m for m in bridge.moves if m.why == "follows")
    assert {t.source for t in follows.took} == {"feed", "water"}


def test_printed_prices_and_pour_costs_change_on_days_of_their_own() -> None:
    lines = [{"serve": "sour", "prices": [{"since": "2026-01-01", "price": "11.99"}, {"since": "2026-02-01",
             "price": "13.00"}]}]  # fmt: skip
    book = bar(
        ("menu", {"id": "m", "name": "M", "until": "2026-03-01", "sections": [{"name": "Long", "lines": lines}]}),
        terms=({"since": "2026-01-01", "levies": LEVIES},),
    )
    points = cost_history(book, "sour", JAN, APR).points
    assert [(p.day, [str(x.all_in) for x in p.printed]) for p in points] == [
        (JAN, ["11.99"]),
        (FEB, ["13.00"]),
        (MAR + DAY, []),
    ]
    assert [p.moved.moves for p in points if p.moved] == [(), ()]
    sold = points[0].printed[0]
    assert float(sold.net) == near(10.0)  # 11.99 = 10.00 x 1.10 x 1.09
    assert sold.pour_cost is not None
    assert float(sold.pour_cost) == near(0.1211)
    assert sold.margin is not None
    assert float(sold.margin) == near(10.0 - 1.211)


def test_another_cost_base_moves_the_base_cost_by_itself() -> None:
    hand = [good("hand", "labour", "h", layer="labour"), quote("hand", "18.00", JAN, "1 h")]
    timed = OLD_SOUR | {"seconds": "100 s"}
    book = bar(
        *hand,
        quote("rum", "21.00", FEB),
        sours=(timed,),
        terms=({"since": "2026-01-01"}, {"since": "2026-02-01", "base": ["materials", "labour"]}),
    )
    house = book.house
    assert house is not None
    book = Book({**book.records, ("house", "house"): replace(house, labour="hand")})
    bridge = cost_history(book, "sour", JAN, APR).points[1].moved
    assert bridge is not None
    assert bridge.rebased == near(0.5)
    assert bridge.base_difference == near(0.5 + 0.06)
    assert sum(bridge.difference) == near(0.06)
    adds_up(bridge)


def test_a_cost_base_that_changes_alone_is_a_point_and_so_is_the_wage_of_one_stage() -> None:
    """The syrup is stirred for six minutes by a cook, who is named at the stage and nowhere else."""
    stirred = syrup(JAN)
    stirred["stages"][0] |= {"active": "6 min", "labour": "cook"}
    book = bar(
        good("cook", "labour", "h", layer="labour"),
        quote("cook", "20.00", JAN, "1 h"),
        quote("cook", "22.00", MAR, "1 h"),
        syrups=(stirred,),
        terms=({"since": "2026-01-01"}, {"since": "2026-02-01", "base": ["materials", "labour"]}),
    )
    based, paid = cost_history(book, "sour", JAN, APR).points[1:]
    assert (based.day, paid.day) == (FEB, MAR)
    assert based.layers == ("materials", "labour")
    assert based.moved is not None
    assert based.moved.moves == ()
    assert based.moved.base_difference == based.moved.rebased == near(0.02 * 0.05 * 20)
    assert parts(paid.moved) == {("quote", "cook"): near(0.02 * 0.05 * 2)}


def test_a_version_that_cannot_be_ends_the_cost_and_says_why() -> None:
    bad = syrup(FEB)
    bad["stages"][0]["facts"] = {"keep": "110 %"}
    book = bar(syrups=(syrup(JAN), bad, syrup(MAR)))
    first, refused, again = cost_history(book, "sour", date(2025, 12, 1), APR).points
    assert (first.day, refused.day, again.day) == (JAN, FEB, MAR)
    assert refused.cost is None
    assert refused.base is None
    assert {p.where.split("/")[1] for p in refused.faults} >= {"syrup"}
    assert parts(refused.moved) == {("ends", "sour"): near(-1.211)}
    assert parts(again.moved) == {("begins", "sour"): near(1.211)}
    assert again.faults == ()


def test_goods_and_what_is_kept_have_a_history_too() -> None:
    book = bar(quote("rum", "21.00", FEB))
    assert [p.base for p in cost_history(book, "rum", JAN, APR).points] == [near(20.0), near(21.0)]
    assert cost_history(book, "gin", JAN, APR).points[0].cost == Cost((0.0, 0.0, 0.0, 0.0), frozenset({"gin"}))
    assert cost_history(book, "sour", date(2025, 1, 1), date(2025, 12, 31)).points == ()


def test_what_cannot_be_asked() -> None:
    book = bar()
    with pytest.raises(KeyError, match="nothing"):
        cost_history(book, "nothing", JAN, FEB)
    with pytest.raises(KeyError, match="syrup/peel"):
        moved(book, "syrup/peel", JAN, FEB)
    with pytest.raises(ValueError, match="2026-01-01 lies before the first day 2026-02-01"):
        cost_history(book, "sour", FEB, JAN)
    with pytest.raises(ValueError, match="2026-03-01 must lie from 2026-01-01 to 2026-02-01"):
        cost_history(book, "sour", JAN, FEB).on(MAR)


FIRST = date(2026, 3, 1)
LENGTH = 16


@st.composite
def tame(draw: Draw, ident: str, base: str, sources: dict[str, str], since: date) -> Version:
    """A version that nearly always can be: liquids blended, sometimes let down, with hands and a machine's hour."""
    taken = draw(st.lists(st.sampled_from((*LIQUID, *sources)), min_size=1, max_size=3, unique=True))
    known = {**{g: LARDER[g].base for g in LIQUID}, **sources}
    adds = tuple(Input(source=s, amount=parse_fact(f"0.{draw(st.integers(1, 9))} {known[s]}")) for s in taken)
    hour = parse_fact(f"{draw(st.integers(5, 50))} min") if draw(st.booleans()) else None
    stages = [Stage(id="mix", kind="blend", adds=adds, active=hour, passive=hour, equipment="pot" if hour else "")]
    if draw(st.booleans()):
        water = Input(source="g16", amount=None)
        stages.append(Stage(id="down", kind="proof", adds=(water,), facts=(("abv", parse_fact("2 % vol")),)))
    return Version(since=since, stages=tuple(stages))


@st.composite
def dated_books(draw: Draw) -> Book:
    """Two or three preparations, each in one or two versions, a drink of the last, and quotes, terms and printed prices
    that begin and end inside half a month."""
    days = st.integers(1, LENGTH).map(lambda n: FIRST + n * DAY)
    sources: dict[str, str] = {g: LARDER[g].base for g in EATABLE}
    mine: dict[str, str] = {}
    made: list[Preparation] = []
    for n in range(draw(st.integers(1, 3))):
        ident = f"p{n}"
        if draw(st.integers(0, 4)) == 0:
            one: Preparation = draw(preparations(ident, {**sources, **mine}, draw(st.integers(0, 3)) == 0))
        else:
            base = draw(st.sampled_from(("kg", "l")))
            one = Preparation(id=ident, name=ident, base=base, versions=(draw(tame(ident, base, mine, SINCE)),))
        if draw(st.integers(0, 3)):
            one = replace(one, versions=(*one.versions, draw(tame(ident, one.base, mine, draw(days)))))
        made.append(one)
        mine[one.id] = one.base
    sources |= mine
    records: dict[tuple[str, str], Record] = dict(book_of(tuple(made)).records)
    for n in range(draw(st.integers(0, 20))):
        ident = draw(st.sampled_from(sorted((*LIQUID, *LIQUID, *LARDER))))
        since: date = draw(days)
        tax = draw(st.sampled_from(("ex", "inc", "inc", "inc", "unknown")))
        records["quote", f"n{n}"] = Quote(
            id=f"n{n}",
            good=ident,
            supplier=draw(st.sampled_from(("market", "market", "other"))),
            content=parse_fact(f"{draw(st.integers(1, 9))} {LARDER[ident].base}"),
            price=Decimal(draw(st.integers(1, 9_999))) / 100,
            currency="EUR",
            since=since,
            until=since + draw(st.integers(0, 9)) * DAY if draw(st.booleans()) else None,
            tax=tax,
            tax_rate=Decimal("0.19") if tax == "inc" or draw(st.booleans()) else None,
        )
    for key, record in list(records.items()):
        if isinstance(record, Quote) and record.id.startswith("q-") and draw(st.integers(0, 9)) == 0:
            records[key] = replace(record, until=draw(days))
    house = records["house", "house"]
    assert isinstance(house, House)
    if draw(st.booleans()):
        base = draw(st.sampled_from((("materials",), ("materials", "labour", "machine"))))
        later_terms = Terms(since=draw(days), base=base, recovers_tax=draw(st.booleans()))
        records["house", "house"] = replace(house, terms=(*house.terms, later_terms))
    builds = []
    for since in sorted({SINCE, *draw(st.lists(days, max_size=2))}):
        taken = dict.fromkeys((made[-1].id, *draw(st.lists(st.sampled_from(sorted(sources)), max_size=2))))
        texts = {s: "1" if sources[s] == "each" else f"0.0{draw(st.integers(1, 9))} {sources[s]}" for s in taken}
        adds = [Input(source=s, amount=parse_fact(text)) for s, text in texts.items()]
        seconds = draw(st.one_of(st.none(), st.just(parse_fact("40 s"))))
        builds.append(ServeVersion(since=since, build=Stage(id="b", kind="build", adds=tuple(adds)), seconds=seconds))
    records["serve", "drink"] = Serve(id="drink", name="Drink", versions=tuple(builds))
    line = MenuLine(serve="drink", prices=(DatedPrice(since=draw(days), price=Decimal(12)),))
    records["menu", "m"] = Menu(
        id="m", name="M", sections=(MenuSection(name="S", lines=(line,)),), until=draw(st.one_of(st.none(), days))
    )
    return Book(records)


def every_day(history: CostHistory) -> list[date]:
    return [history.first + n * DAY for n in range((history.last - history.first).days + 1)]


@given(dated_books())
@laws(60)
def test_the_history_is_what_every_single_day_reckoned_in_full_says(book: Book) -> None:
    """Costs, unpriced goods, printed price and pour cost of a drink and of a preparation."""
    drink = cost_history(book, "drink", FIRST, FIRST + LENGTH * DAY)
    made = cost_history(book, "p0", FIRST, FIRST + LENGTH * DAY)
    for day in every_day(drink):
        full = reckon(book.on(day))
        point, below = drink.on(day), made.on(day)
        assert point is not None
        assert below is not None
        assert point.cost == (full.serve_cost("drink") if "drink" in full.serves else None)
        assert below.cost == full.costs.get("p0")
        (priced,) = (p for p in priced_serves(full) if p.serve.id == "drink")
        assert [p.all_in for p in point.printed] == ([priced.price.all_in] if priced.price else [])
        if priced.price and point.cost:
            assert point.base == priced.base
            assert point.printed[0].pour_cost == priced.price.pour_cost
            assert point.printed[0].net == priced.price.net
    assert [p.day for p in drink.points] == sorted({p.day for p in drink.points})


@given(dated_books())
@laws(100)
def test_the_parts_of_every_move_add_up_to_it(book: Book) -> None:
    history = cost_history(book, "drink", FIRST, FIRST + LENGTH * DAY)
    for point in history.points[1:]:
        assert point.moved is not None
        adds_up(point.moved)
        assert point.moved.after == point.cost
    for before, after in zip(history.points, history.points[1:], strict=False):
        assert after.moved is not None
        assert after.moved.before == before.cost


@given(dated_books(), st.integers(-60, LENGTH), st.integers(0, LENGTH))
@laws(100)
def test_any_two_days_add_up_and_forth_is_back_reversed(book: Book, from_: int, to: int) -> None:
    a, b = FIRST + from_ * DAY, FIRST + to * DAY
    there, back = moved(book, "drink", a, b), moved(book, "drink", b, a)
    adds_up(there)
    adds_up(back)
    assert there.difference == tuple(-x for x in back.difference)

    def quoted(bridge: Bridge) -> set[str]:
        return {m.source for m in bridge.moves if m.why in ("no-price", "priced")}

    recipes: list[Move] = [m for m in there.moves if m.why in ("recipe", "follows")]
    if not recipes:  # on one recipe every part is its own mirror
        assert parts_by_source(there) == {g: near(-v) for g, v in parts_by_source(back).items()}
        assert quoted(there) == quoted(back)


def parts_by_source(bridge: Bridge) -> dict[str, float]:
    """Money by what moved it, whatever the reason."""
    out: dict[str, float] = {}
    for move in bridge.moves:
        out[move.source] = out.get(move.source, 0.0) + move.making
    return out


def test_a_quote_in_another_currency_moves_with_its_rate() -> None:
    """10 bottles of one litre at 200 SEK: 20 SEK a litre, so 1.80 at 0.09 and 2.00 at 0.10 (by hand)."""
    made = Book.of([
        House(id="house", name="Bar", currency="EUR", terms=(Terms(since=date(2026, 1, 1)),)),
        Good(id="rum", name="Rum", kind="spirit", base="l"),
        Quote(id="q", good="rum", supplier="s", content=parse_fact("1 l"), levels=(10,), price=Decimal(200),
              currency="SEK", since=date(2026, 1, 1)),
        ExchangeRate(id="a", currency="SEK", since=date(2026, 1, 1), worth=Decimal("0.09")),
        ExchangeRate(id="b", currency="SEK", since=date(2026, 6, 1), worth=Decimal("0.10")),
    ])  # fmt: skip
    history = cost_history(made, "rum", date(2026, 1, 1), date(2026, 12, 31))
    assert [(p.day, p.base) for p in history.points] == [
        (date(2026, 1, 1), near(1.8)), (date(2026, 6, 1), near(2.0)),
    ]  # fmt: skip
    bridge = history.points[1].moved
    assert bridge is not None
    (move,) = bridge.moves
    assert (move.why, move.making) == ("rate", near(0.2))
