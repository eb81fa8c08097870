"""Laws of the matcher, on small books of words that meet one another often."""

import unicodedata
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from costing.supply.whose import Asked, Catalogue, Known, Remembered
from costing.supply.whose.fold import fold, plain
from tests.supply.whose.goods import asked, known

TEXT = (
    "Orchard Orchad Harbour Harbor Quay Gin Rum Spiced Spicy Dry London LDN Rosé Crème Brûlée 8yr 12yr 2020 2021 40% "
    "63% bottle Reserve Rsv Zeltmoor Zeltmor"
)
WORDS = TEXT.split()
names = st.lists(st.sampled_from(WORDS), min_size=1, max_size=4).map(" ".join)
sizes = st.sampled_from(["70 cl", "1 l", ""])
books = st.lists(
    st.builds(known, names, sizes, code=st.sampled_from(["", "A1", "B2", "0C3"]), supplier=st.sampled_from("st")),
    min_size=1, max_size=8,
)  # fmt: skip
lines = st.builds(asked, names, sizes, code=st.sampled_from(["", "A1", "C3"]), levels=st.sampled_from([(), (1,), (6,)]))
files = st.lists(lines, min_size=1, max_size=6)


@given(books, files, st.randoms())
@settings(deadline=None)
def test_the_order_of_lines_and_goods_does_not_matter(book: list[Known], file: list[Asked], rng: object) -> None:
    order = list(range(len(file)))
    rng.shuffle(order)  # type: ignore[attr-defined]
    goods = list(book)
    rng.shuffle(goods)  # type: ignore[attr-defined]
    straight = Catalogue(book).match_all(file)
    mixed = Catalogue(goods).match_all([file[i] for i in order])
    assert [straight[i] for i in order] == mixed


@given(books, files)
@settings(deadline=None)
def test_the_same_file_twice_gives_the_same(book: list[Known], file: list[Asked]) -> None:
    catalogue = Catalogue(book)
    once = catalogue.match_all(file)
    assert catalogue.match_all(file) == once
    assert catalogue.match_all([*file, *file]) == [*once, *once]


@given(books, lines, names, st.data())
@settings(deadline=None)
def test_an_alias_makes_only_its_own_text_sure(book: list[Known], line: Asked, text: str, data: st.DataObject) -> None:
    good = data.draw(st.sampled_from([item.good for item in book]))
    before = Catalogue(book).match(line)
    after = Catalogue(book, [Remembered(supplier="s", text=text, good=good)]).match(line)
    if plain(text) != plain(line.name):
        assert after == before
    elif not before.doubts and before.how in ("words", "suggested", "none"):
        assert (after.good, after.how) == (good, "alias")


@given(books, lines)
@settings(deadline=None)
def test_never_sure_by_words_when_two_goods_bear_the_name(book: list[Known], line: Asked) -> None:
    match = Catalogue(book).match(replace(line, code=""))
    form = fold(line.name)
    bearers = {
        item.good
        for item in book
        if sorted(fold(item.name).words) == sorted(form.words)
        and fold(item.name).years == form.years
        and item.size == line.size
        and not (form.strengths and fold(item.name).strengths and form.strengths != fold(item.name).strengths)
    }
    if len(bearers) > 1:
        assert not match.sure
    if match.sure:
        assert line.size is not None
        assert match.good in {item.good for item in book if item.size == line.size}


@given(books, lines)
@settings(deadline=None)
def test_case_and_accents_do_not_count(book: list[Known], line: Asked) -> None:
    catalogue = Catalogue(book)
    bare = "".join(c for c in unicodedata.normalize("NFKD", line.name) if not unicodedata.combining(c))
    for text in (line.name.upper(), line.name.lower(), unicodedata.normalize("NFD", line.name), bare):
        assert catalogue.match(replace(line, name=text)) == catalogue.match(line)


@given(books, files)
@settings(deadline=None)
def test_sure_has_no_doubts_and_a_good_and_late_suggestions_change_nothing_else(
    book: list[Known], file: list[Asked]
) -> None:
    catalogue = Catalogue(book)
    for now, late in zip(catalogue.match_all(file), catalogue.match_all(file, suggest=False), strict=True):
        assert now.sure == (now.how in ("code", "gtin", "alias", "words") and not now.doubts)
        assert not now.sure or (now.good and not now.new_pack and not now.suggestions)
        assert len(now.suggestions) <= 5
        assert (now.good, now.how, now.sure, now.new_pack, now.vintage) == (
            late.good, late.how, late.sure, late.new_pack, late.vintage
        )  # fmt: skip
        assert not late.suggestions


@given(st.text(max_size=60))
@settings(max_examples=300, deadline=None)
def test_any_text_folds_and_folding_settles(text: str) -> None:
    form = fold(text)
    assert all(word == plain(word) for word in form.words)
    assert plain(plain(text)) == plain(text)
