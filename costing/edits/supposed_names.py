"""What the left side of a supposed change means: an ingredient, a supplier, a tax, a figure of a recipe, a drink ...

A name is an id, or what the thing is called, in any case. A word before it says which sort of thing is meant; without
one every sort is tried, and what fits two of them is refused.
"""

import difflib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from costing.book.book import View
from costing.book.money import digits
from costing.book.records import Preparation, Serve, Supplier
from costing.book.selling import ChangeSort
from costing.menu.supposed_prices import lines_of
from costing.menu.supposed_recipes import figures_of
from costing.tongue import Words, say, word

SORT_WORDS: Words = {
    "price": "price", "supplier": "supplier", "levy": "tax", "figure": "figure", "dose": "dose", "labour": "labour",
    "volume": "sold", "rate": "rate", "menu price": "menu",
}  # fmt: skip
"""The word that says which sort of thing is meant; English is always understood too."""
EVERYTHING: Words = {"all": "all"}
_ENDS = " ,:;"


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing that a change may be supposed of, as ``Supposed`` names it."""

    sort: ChangeSort
    target: str
    part: str = ""


def things(view: View, left: str) -> tuple[Thing, ...]:
    """What the words before the sign may mean; empty where nothing is called so."""
    text = " ".join(left.split())
    first, _, rest = text.partition(" ")
    for sort, find in _FINDERS.items():
        said = {SORT_WORDS[sort].casefold(), word(SORT_WORDS, sort).casefold()}
        if first.casefold() in said:
            found = tuple(dict.fromkeys(find(view, rest.strip(_ENDS))))
            if found:
                return found
    bare = (find(view, text) for sort, find in _FINDERS.items() if sort in _BARE)
    return tuple(dict.fromkeys(thing for found in bare for thing in found))


def not_found(view: View, left: str) -> str:
    """Why nothing is called so, with what comes close."""
    text = " ".join(left.split())
    first, _, rest = text.partition(" ")
    name = text
    if any(first.casefold() in (en.casefold(), word(SORT_WORDS, sort).casefold()) for sort, en in SORT_WORDS.items()):
        name = rest or text
    for kind, records in (("serve", view.serves), ("preparation", view.preparations)):
        (ident, *_) = [*_named(((i, r[0].name) for i, r in records.items()), name), ""]
        if ident and kind == "serve":
            return say("“{name}” is a drink: write sold {name} or menu {name}, or what of it is poured", name=name)
        if ident:
            version = view.preparations[ident][1]
            figures = ", ".join(f"{s.id}/{n}" for s in version.stages for n in figures_of(s))
            return say("“{name}” is a preparation: say which figure of it ({figures})", name=name, figures=figures)
    for head, tail in _splits(name):
        for ident in _named(((i, s.name) for i, (s, _) in view.serves.items()), head):
            serve, built = view.serves[ident]
            inside = ", ".join(item.source for item in built.build.adds)
            return say("there is no “{source}” in {serve} (there is: {sources})", source=tail, serve=serve.name,
                       sources=inside)  # fmt: skip
    known = {n.casefold(): n for n in _every_name(view)}
    close = difflib.get_close_matches(name.casefold(), known, 3, 0.6)
    if close:
        names = say(" or ").join(known[c] for c in close)
        return say("nothing is called “{name}” on this day; did you mean {names}?", name=name, names=names)
    return say("nothing is called “{name}” on this day: name an ingredient, a supplier, a tax, a drink or a figure",
               name=name)  # fmt: skip


def keyed(thing: Thing) -> str:
    """A thing by its ids, with the word of its sort: what can always be read again."""
    key = word(SORT_WORDS, thing.sort)
    match thing.sort:
        case "volume":
            return f"{key} {thing.target}".strip()
        case "labour":
            return f"{key} {thing.target}".strip()
        case _:
            return f"{key} {thing.target} {thing.part}".strip()


def called(view: View, thing: Thing) -> str:
    """A thing by its names, with no word of its sort where none is usual."""
    names = _names(view)
    target = names.get(thing.target, thing.target)
    key = word(SORT_WORDS, thing.sort)
    match thing.sort:
        case "price" | "rate" | "levy":
            return target
        case "figure":
            return f"{target} {thing.part}"
        case "dose":
            return f"{target}, {names.get(thing.part, thing.part)}"
        case "menu price":
            menu = view.menus.get(thing.target)
            alone = sum(bool(lines_of(m, thing.part)) for m in view.menus.values()) == 1
            serve = names.get(thing.part, thing.part)
            return f"{key} {serve}" if alone else f"{key} {menu.name if menu else thing.target}, {serve}"
        case _:
            return f"{key} {target}".strip() if thing.target else key


def _names(view: View) -> dict[str, str]:
    out = {g.id: g.name for g in view.goods.values()} | {s.id: s.name for s in view.book.all(Supplier).values()}
    out |= {p.id: p.name for p in view.book.all(Preparation).values()}
    return out | {s.id: s.name for s in view.book.all(Serve).values()}


def _every_name(view: View) -> Iterator[str]:
    yield from _names(view).values()
    yield from _names(view)
    yield from (levy.name for levy in (view.terms.levies if view.terms is not None else ()))


def _named(pairs: Iterable[tuple[str, str]], text: str) -> list[str]:
    """Ids of what is called so: by id first, else by name, else by an id that is typed with spaces."""
    fold = " ".join(text.casefold().split())
    known = list(pairs)
    ids = [ident for ident, _ in known if ident.casefold() == fold]
    ids = ids or [ident for ident, name in known if " ".join(name.casefold().split()) == fold]
    return ids or [ident for ident, _ in known if ident.casefold().replace("-", " ") == fold.replace("-", " ")]


def _price(view: View, text: str) -> Iterator[Thing]:
    yield from (Thing("price", i) for i in _named(((g.id, g.name) for g in view.goods.values()), text))


def _supplier(view: View, text: str) -> Iterator[Thing]:
    suppliers = view.book.all(Supplier).values()
    yield from (Thing("supplier", i) for i in _named(((s.id, s.name) for s in suppliers), text))


def _levy(view: View, text: str) -> Iterator[Thing]:
    levies = view.terms.levies if view.terms is not None else ()
    yield from (Thing("levy", name) for name in _named(((x.name, x.name) for x in levies), text))


def _figure(view: View, text: str) -> Iterator[Thing]:
    name, _, part = text.rpartition(" ")
    if "/" not in part:
        return
    pairs = ((i, p.name) for i, (p, _) in view.preparations.items())
    for ident in _named(pairs, name.strip(_ENDS)):
        stage, _, figure = part.partition("/")
        for found in view.preparations[ident][1].stages:
            if found.id.casefold() == stage.casefold():
                known = next((n for n in figures_of(found) if n.casefold() == figure.casefold()), figure)
                yield Thing("figure", ident, f"{found.id}/{known}")
                return
        yield Thing("figure", ident, part)  # no such stage: laying it says which there are


def _dose(view: View, text: str) -> Iterator[Thing]:
    names = _names(view)
    for head, tail in _splits(text):
        for ident in _named(((i, s.name) for i, (s, _) in view.serves.items()), head):
            adds = view.serves[ident][1].build.adds
            by_id = [item.id for item in adds if item.id and item.id.casefold() == tail.casefold()]
            inside = [(item.source, names.get(item.source, item.source)) for item in adds]
            yield from (Thing("dose", ident, source) for source in by_id or _named(inside, tail))


def _labour(view: View, text: str) -> Iterator[Thing]:
    if not text:
        yield Thing("labour", "")
    hands = ((g.id, g.name) for g in view.goods.values() if g.layer == "labour")
    yield from (Thing("labour", ident) for ident in _named(hands, text))


def _volume(view: View, text: str) -> Iterator[Thing]:
    if text.casefold() in ("", EVERYTHING["all"], word(EVERYTHING, "all").casefold()):
        yield Thing("volume", "")
    serves = ((s.id, s.name) for s in view.book.all(Serve).values())
    yield from (Thing("volume", ident) for ident in _named(serves, text))


def _rate(view: View, text: str) -> Iterator[Thing]:
    code, house = text.strip().upper(), view.book.house
    if len(code) != 3 or (house is not None and code == house.currency):
        return
    try:
        digits(code)
    except ValueError:
        return
    yield Thing("rate", code)


def _menu(view: View, text: str) -> Iterator[Thing]:
    pairs = [(s.id, s.name) for s in view.book.all(Serve).values()]
    for ident in _named(pairs, text):
        yield from (Thing("menu price", menu.id, ident) for menu in view.menus.values() if lines_of(menu, ident))
    for head, tail in _splits(text):
        for menu in _named(((m.id, m.name) for m in view.menus.values()), head):
            yield from (Thing("menu price", menu, ident) for ident in _named(pairs, tail))


def _splits(text: str) -> Iterator[tuple[str, str]]:
    """Every way to take words apart in two names."""
    words: Sequence[str] = text.split()
    for n in range(1, len(words)):
        yield " ".join(words[:n]).strip(_ENDS), " ".join(words[n:]).strip(_ENDS)


_FINDERS: Mapping[ChangeSort, Callable[[View, str], Iterable[Thing]]] = {
    "price": _price, "supplier": _supplier, "levy": _levy, "figure": _figure, "dose": _dose, "labour": _labour,
    "volume": _volume, "rate": _rate, "menu price": _menu,
}  # fmt: skip
_BARE: frozenset[ChangeSort] = frozenset({"price", "supplier", "levy", "figure", "dose", "rate"})
"""Sorts that are understood without their word: of a drink alone it is not clear what is meant."""
