"""The small way in: goods, preparations, juices and twists from almost nothing, everything assumed and marked so."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Step
from costing.book.checks import check
from costing.book.fact import Fact
from costing.book.records import Good, GoodKind, House, Input, Preparation, Quote, Stage, Supplier, Terms, Version
from costing.ledger import reckon
from costing.ledger.allergens import allergens_of
from costing.supply import juice_of, read_recipe, small_good, small_preparation, to_serve, twist_of
from costing.supply.ids import free_id, slug
from costing.supply.starting import starting_values
from costing.tables import find_produce
from tests.supply.books import DAY, small_bar

EMPTY = Book.of([House(id="house", name="Tidewall Bar", currency="EUR", terms=(Terms(since=DAY),))])
TWENTY: tuple[tuple[str, GoodKind, str, str], ...] = (
    ("Lemon", "fruit", "10 kg", "24.50"),
    ("Pineapples", "fruit", "8 kg", "21.60"),
    ("Blood orange", "fruit", "40 each", "9"),
    ("White rum 40 %", "spirit", "6 x 0.7 l", "84"),
    ("Pear brandy 50 % vol", "spirit", "0.7 l", "30"),
    ("Lighthouse spirit", "spirit", "0.5 l", "33"),
    ("Orange liqueur", "liqueur", "0.7 l", "15"),
    ("Sweet vermouth", "wine", "0.75 l", "8"),
    ("Lager", "beer", "30 l", "80"),
    ("Lime juice", "juice", "1 l", "5"),
    ("Mint", "herb", "1 kg", "20"),
    ("Cinnamon", "dry", "0.5 kg", "12"),
    ("White sugar", "sugar", "5 kg", "6"),
    ("Citric acid", "acid", "1 kg", "7"),
    ("Whole milk", "dairy", "1 l", "1.20"),
    ("Egg white", "egg", "1 l", "6"),
    ("Soda water", "water", "24 x 0.2 l", "12"),
    ("Carbon dioxide", "gas", "10 kg", "30"),
    ("Clear ice block", "ice", "50 each", "10"),
    ("Paper straw", "consumable", "1000 each", "14"),
)


def with_step(book: Book, step: Step | None) -> Book:
    assert step is not None
    return book.with_changes(step.changes)


def twenty() -> Book:
    book = EMPTY
    for name, kind, pack, price in TWENTY:
        book = with_step(book, small_good(name, kind, pack, price, "Quay Stores", DAY, book))
    return book


def test_twenty_names_make_a_book_that_reckons() -> None:
    book = twenty()
    assert len(book.all(Good)) == len(book.all(Quote)) == 20
    assert len(book.all(Supplier)) == 1  # named twenty times, added once
    assert check(book) == ()
    reckoning = reckon(book.on(DAY))
    assert not [p for p in reckoning.problems if p.level == "error"]
    for good in book.all(Good).values():
        assert good.id in reckoning.costs, good.id
        assert sum(reckoning.costs[good.id].columns) > 0
    # 84 for 6 x 0.7 l; 40 oranges for 9 at the table's weight of one
    assert sum(reckoning.costs["white-rum-40"].columns) == pytest.approx(84 / 4.2)
    orange = find_produce("orange")
    assert orange is not None
    assert orange.piece_g is not None
    assert sum(reckoning.costs["blood-orange"].columns) == pytest.approx(9 / (40 * float(orange.piece_g) / 1000))


def test_what_nobody_stated_is_marked_assumed_and_names_its_row() -> None:
    for good in twenty().all(Good).values():
        facts = [fact for _, fact in good.makeup] + [f for f in (good.density, good.piece) if f is not None]
        assert all(fact.mark == "assumed" and fact.text.startswith("~") for fact in facts), good.id
        assert bool(facts) <= bool(good.note), good.id
        assert not good.note or good.note.startswith("table produce: ")


def test_no_allergen_is_ever_stated() -> None:
    book = twenty()
    assert all(good.allergens == () for good in book.all(Good).values())
    reckoning = reckon(book.on(DAY))
    for ident in ("whole-milk", "egg-white", "lemon"):
        assert {f.state for f in allergens_of(reckoning, ident)} == {"not_stated"}


def test_the_figures_are_those_of_the_table() -> None:
    lemon, row = twenty().all(Good)["lemon"], find_produce("lemon")
    assert row is not None
    assert {name: fact.value for name, fact in lemon.makeup} == {"water": row.water, "solubles": row.solubles}
    assert lemon.piece is not None
    assert (lemon.piece.value, lemon.piece.unit) == (row.piece_g, "g")


@pytest.mark.parametrize(
    ("ident", "abv", "note"),
    [("white-rum-40", "40", "white rum;"), ("pear-brandy-50-vol", "50", "brandy (last words);"),
     ("lighthouse-spirit", "40", "(stand-in);")],
)  # fmt: skip
def test_a_strength_in_the_name_goes_first_and_a_stand_in_says_so(ident: str, abv: str, note: str) -> None:
    good = twenty().all(Good)[ident]
    assert dict(good.makeup)["abv"].value == Decimal(abv)
    assert note in good.note


def test_a_kind_that_the_table_has_otherwise_does_not_bring_its_figures() -> None:
    book = with_step(EMPTY, small_good("Lemon", "consumable", "10 each", "2", "Quay Stores", DAY, EMPTY))
    assert book.all(Good)["lemon"].makeup == ()


def test_a_pack_that_the_kinds_base_cannot_tell_sets_the_base() -> None:
    book = with_step(EMPTY, small_good("Zzz fruit", "fruit", "12 each", "6", "Quay Stores", DAY, EMPTY))
    assert book.all(Good)["zzz-fruit"].base == "each"
    assert sum(reckon(book.on(DAY)).costs["zzz-fruit"].columns) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"name": " "}, "needs a name"),
        ({"name": "LEMONS"}, "already"),
        ({"kind": "potion"}, "not a kind"),
        ({"pack": "a box"}, "not an amount"),
        ({"pack": "0 kg"}, "more than nothing"),
        ({"pack": "2 oz"}, "not a pack"),
        ({"pack": "3 h"}, "not a pack"),
        ({"kind": "labour"}, "so many h"),
        ({"price": "2 EUR"}, "not a price"),
        ({"price": "-2"}, "not a price"),
        ({"price": "~2"}, "not a price"),
        ({"supplier": ""}, "who sells it"),
    ],
)
def test_a_good_that_cannot_be_is_refused_with_the_remedy(change: dict[str, str], why: str) -> None:
    lemon = Good(id="lemon", name="Lemon", kind="fruit", base="kg")
    suppliers = [Supplier(id="a", name="A"), Supplier(id="b", name="B")]
    book = Book.of([*EMPTY.records.values(), lemon, *suppliers])
    given = {"name": "Lime", "kind": "fruit", "pack": "1 kg", "price": "4", "supplier": "A"} | change
    with pytest.raises(ValueError, match=why):
        small_good(**given, since=DAY, book=book)  # type: ignore[arg-type]


def test_a_price_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="not a price"):
        small_good("Lime", "fruit", "1 kg", Decimal("NaN"), "A", DAY, EMPTY)


def test_a_book_without_a_currency_asks_for_it() -> None:
    with pytest.raises(ValueError, match="currency"):
        small_good("Lime", "fruit", "1 kg", "4", "A", DAY, Book())
    quote = next(
        c.after for c in small_good("Lime", "fruit", "1 kg", "4", "A", DAY, Book(), currency="SEK").changes
        if isinstance(c.after, Quote)
    )  # fmt: skip
    assert quote.currency == "SEK"


LINES = "500 ml lemon juice\n300 g white sugar\n2 dashes bitters\n10 ml zzz"


def test_a_preparation_of_three_lines_is_costed_in_what_it_makes() -> None:
    bar = small_bar()
    draft = small_preparation("Sour mix", LINES, "0.7 l", "12", DAY, bar)
    book = with_step(bar, draft.step)
    assert not [p for p in check(book) if p.level == "error"]
    assert [line.text for line in draft.undecided] == ["10 ml zzz"]
    made = book.all(Preparation)["sour-mix"]
    assert (made.base, made.versions[0].note) == ("l", "undecided: 10 ml zzz")
    stage = made.versions[0].stages[0]
    assert (stage.kind, stage.active and stage.active.unit) == ("make", "min")
    costs = reckon(book.on(DAY)).costs
    juice = costs["lemon-juice"].columns[0]
    assert costs["sour-mix"].columns[0] == pytest.approx((0.5 * juice + 3 + 0.016) / 0.7, rel=1e-9)
    assert costs["sour-mix"].columns[3] > costs["lemon-juice"].columns[3]  # twelve minutes of hands


def test_a_preparation_counted_by_the_piece() -> None:
    bar = small_bar()
    book = with_step(bar, small_preparation("Sugared leaf", "40 lemon leaf", "40 each", "", DAY, bar).step)
    made = book.all(Preparation)["sugared-leaf"]
    assert (made.base, made.versions[0].stages[0].active) == ("each", None)
    assert reckon(book.on(DAY)).costs["sugared-leaf"].columns[0] == pytest.approx(10)


def test_a_preparation_of_nothing_known_is_no_step() -> None:
    draft = small_preparation("Mystery", "10 ml zzz", "1 l", "5", DAY, small_bar())
    assert (draft.step, [p.code for p in draft.problems]) == (None, ["line-undecided", "nothing-decided"])


@pytest.mark.parametrize(
    ("name", "makes", "minutes", "why"),
    [
        ("", "1 l", "5", "needs a name"),
        ("Lemon juice", "1 l", "5", "already"),
        ("Mix", "1", "5", "what a batch makes"),
        ("Mix", "5 min", "5", "what a batch makes"),
        ("Mix", "1 l", "5 l", "not a time"),
    ],
)
def test_three_lines_that_cannot_be_are_refused(name: str, makes: str, minutes: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        small_preparation(name, LINES, makes, minutes, DAY, small_bar())


def test_a_juice_and_a_twist_by_one_key_and_a_drink_on_them() -> None:
    book = twenty()
    lemon = book.all(Good)["lemon"]
    for draft in (juice_of(lemon, DAY, book), twist_of(lemon, DAY, book)):
        book = with_step(book, draft.step)
    juice, twist = book.all(Preparation)["lemon-juice"], book.all(Preparation)["lemon-twist"]
    share = dict(juice.versions[0].stages[0].facts)["yield"]
    assert (share.value, share.mark) == (Decimal("43.5"), "assumed")  # 43 to 44 % of whole fruit: the table
    assert twist.versions[0].pieces is not None
    assert twist.versions[0].pieces.mark == "assumed"
    reckoning = reckon(book.on(DAY))
    assert not [p for p in reckoning.problems if p.level == "error"]
    # 2.45 a kg; 1 kg gives 0.435 kg of juice at the table's density; 109.4 g of fruit gives seven twists
    density = find_produce("lemon juice")
    assert density is not None
    assert density.density is not None
    assert reckoning.costs["lemon-juice"].columns[0] == pytest.approx(2.45 / 0.435 * float(density.density), rel=1e-9)
    assert reckoning.costs["lemon-twist"].columns[0] == pytest.approx(2.45 * 0.1094 / 7, rel=1e-9)
    assert reckoning.direct["lemon-juice"].assumed == reckoning.direct["lemon-juice"].row
    pasted = read_recipe("Quay Sour\n50 ml white rum\njuice of 1/2 lemon\nlemon twist", book)
    assert pasted.undecided == ()
    book = with_step(book, to_serve(pasted, book, DAY).step)
    assert reckon(book.on(DAY)).serve_cost("quay-sour").columns[0] == pytest.approx(
        0.05 * 20 + 0.02125 * 2.45 / 0.435 * float(density.density) + 2.45 * 0.1094 / 7, rel=1e-9
    )


def test_a_juice_nobody_knows_and_a_twist_without_a_fruit_are_refused() -> None:
    book = twenty()
    with pytest.raises(ValueError, match="no juice yield"):
        juice_of(book.all(Good)["white-sugar"], DAY, book)
    with pytest.raises(ValueError, match="what one"):
        twist_of(book.all(Good)["mint"], DAY, book)
    with pytest.raises(ValueError, match="number of twists"):
        twist_of(book.all(Good)["lemon"], DAY, book, pieces="0")
    with pytest.raises(ValueError, match="already"):
        juice_of(book.all(Good)["lemon"], DAY, with_step(book, juice_of(book.all(Good)["lemon"], DAY, book).step))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.text(max_size=12), max_size=8), st.sets(st.sampled_from(["a", "b", "good", "good-2"])))
def test_ids_are_unique_plain_and_never_reused(names: list[str], past: set[str]) -> None:
    book = Book()
    for name in names:
        ident = free_id(name, book, past, fallback="good")
        assert ident.strip()
        assert "/" not in ident
        assert ident not in past
        assert ("good", ident) not in book.records
        book = Book.of([*book.records.values(), Good(id=ident, name=name, kind="other", base="kg")])
    assert not [p for p in check(book) if p.code in ("bad-id", "id-clash")]


def test_a_slug_reads_like_its_name() -> None:
    assert slug("Crème de mûre, 15 %") == "creme-de-mure-15"
    assert slug("Weißer Rum/Øl") == "weisser-rum-ol"
    assert slug("柠檬") == "柠檬"
    assert slug("%%") == ""


def test_an_id_does_not_clash_with_a_preparation_of_the_same_slug() -> None:
    stage = Stage(
        id="make", kind="make", adds=(Input(source="x", amount=Fact(text="1 l", value=Decimal(1), unit="l")),)
    )
    mix = Preparation(id="sour-mix", name="Old mix", versions=(Version(since=date(2026, 1, 1), stages=(stage,)),))
    book = Book.of([*EMPTY.records.values(), mix])
    book = with_step(book, small_good("Sour mix", "other", "1 l", "4", "Quay Stores", DAY, book))
    assert "sour-mix-2" in book.all(Good)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Alcohol free gin", "spirit"), ("Zero proof spirit", "spirit"), ("Non-alcoholic beer", "beer"),
        ("Overproof white rum", "spirit"), ("Navy strength gin", "spirit"), ("Oat milk", "dairy"),
        ("Prickly pear", "fruit"),
    ],
)  # fmt: skip
def test_what_the_last_word_says_is_not_what_it_is(name: str, kind: str) -> None:
    """No strength and no composition is taken from "gin" for a gin without alcohol."""
    assert starting_values(name, kind).makeup == ()
