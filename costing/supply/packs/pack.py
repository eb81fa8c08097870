"""What a free text says of a pack: so many, of how much each, and in all."""

from decimal import Decimal
from functools import lru_cache
from math import prod

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.packs.grammar import Grammar
from costing.supply.packs.group import Group, outer
from costing.supply.packs.record import Pack, PackUnit
from costing.supply.packs.same import alike, as_fluid, by_litre_price
from costing.supply.packs.sane import MOST, plain, size_doubts
from costing.supply.packs.scan import Scanner
from costing.supply.packs.tokens import Term
from costing.supply.packs.vocabulary import BAGS, HALF, VAGUE

LONGEST = 300
"""Characters: a longer text is a description, and is doubted unread."""


@lru_cache(maxsize=65_536)
def parse_pack(text: str, *, kind: str = "") -> Pack:
    """``text`` ("6 x 70 cl", "24/12 OZ BTL", "Kiste 8 kg") as a Pack, in ml, g or pieces; it never raises.

    ``kind`` is the good's kind in the book, "" where unknown: an ounce of a drink is fluid. A size without a count has
    no levels. Pieces that are counted as such ("60 Stk") are 1 each; "EACH", "bunch" and "6 bottles" say how many and
    not how much: no content, and the doubt "size-missing". Volume is never turned into weight. Without doubts the total
    is known; without a total there is always a doubt.
    """
    return read_pack_text(text, kind, None)


def read_pack_text(text: str, kind: str, decimal: str | None) -> Pack:
    """``parse_pack``, with the decimal mark of the column where it is known."""
    if len(text) > LONGEST:
        return Pack(text=text, doubts=(doubt("text-long", "pack", n=len(text)),))
    if (priced := by_litre_price(text)) is not None:
        return priced
    scan = Scanner(text, kind, decimal)
    grammar = Grammar(scan)
    groups = grammar.groups()
    return _Reading(text, grammar, groups).pack()


class _Reading:
    """The groups of a text put together into one pack."""

    __slots__ = ("doubts", "grammar", "groups", "inside", "levels", "scan", "text", "used")

    def __init__(self, text: str, grammar: Grammar, groups: list[Group]) -> None:
        self.text = text
        self.grammar = grammar
        self.scan = grammar.scan
        self.groups = groups
        self.levels: list[int] = []
        self.inside: list[Term] = []
        self.doubts: list[Doubt] = []
        self.used: list[Term] = []

    def pack(self) -> Pack:
        sized = [g for g in self.groups if g.size is not None]
        counts = [g for g in self.groups if g.size is None]
        if sized:
            main = next((g for g in sized if g.levels), sized[0])
            return self._of_size(main, [g for g in sized if g is not main], counts)
        if counts:
            return self._of_counts(counts)
        return self._of_words()

    def _take(self, group: Group) -> None:
        self.used += group.terms
        self.doubts += group.doubts
        self.inside += group.inside

    # -- with a size

    def _of_size(self, main: Group, others: list[Group], counts: list[Group]) -> Pack:
        self._take(main)
        self.levels = list(main.levels)
        for other in others:
            self._again(main, other)
        for count in counts:
            self._more(main, count)
        size = main.size
        self._set_words()
        if size is None or self._about_bags(main):
            return self._done(None, "each")
        if size.value == 0:
            self.doubts.append(doubt("size-zero", "pack"))
            return self._done(None, _unit(size))
        self.doubts += size.doubts
        self.doubts += size_doubts(size.value, size.unit)
        return self._done(size.value, _unit(size))

    def _set_words(self) -> None:
        """A count said in a word: a sixpack is six, and a duo may be two of the size or two in all."""
        for token in self.scan.tokens:
            if token.word is not None and token.word.sort == "set" and not self.levels:
                if token.word.name.startswith("six"):
                    self.levels = [6]
                else:
                    self.doubts.append(doubt("count-in-words", "pack", value=token.text))

    def _again(self, main: Group, other: Group) -> None:
        """A second size: the same once more (12 oz, 355 ml), the total of it (6 x 70 cl = 4.2 L), or a doubt."""
        if main.size is None or other.size is None:
            return
        as_fluid(main.size, other.size)
        same = main.size.unit == other.size.unit
        figures = (other.total, other.size.value)
        if same and any(alike(one, two) for one in (main.total, main.size.value) for two in figures):
            self.used += other.terms
            if any(d.code.endswith("-which") for d in main.size.doubts) and not other.size.doubts:
                main.size.doubts = []
                if alike(main.size.value, other.size.value):
                    main.size.value = other.size.value
        else:
            said = self.grammar.shown_run(other.terms)
            self.doubts.append(doubt("sizes-differ", "pack", first=self.grammar.shown(main.size), second=said))
            self.used += other.terms

    def _more(self, main: Group, count: Group) -> None:
        """A count that stands apart from the size: "33cl, 4 x 6", "24/12 OZ *4/6 PACK*", "bushel cartons 135s"."""
        if any(self.grammar.is_gift(t) for t in count.terms):
            self.used += count.terms
            return
        size = main.size
        coded = any(t.noun is not None and t.noun.name == "s" for t in count.terms)
        if count.levels and coded and size is not None and (size.unit == "g" or _bushel(size)):
            count.inside, count.levels = count.terms, []
        elif not count.levels or count.no_unit is not None:
            pass
        elif count.bare and (size is None or size.unit == "g" or max(count.levels) > 24):
            self.doubts.append(doubt("number-left", "pack", value=self.grammar.shown_run(count.terms)))
            self.used += count.terms
            return
        elif count.pieces and size is not None and size.unit == "g" and size.value >= 1000 and not self.levels:
            self.doubts.append(doubt("each-or-total", "pack", n=count.many))
            count.inside = count.terms
        elif not self.levels:
            self.levels = list(count.levels)
            if count.bare:
                self.doubts.append(doubt("count-or-number", "pack", n=_times(count.levels)))
            if count.pieces and not (coded and size is not None and size.unit == "ml"):
                self.doubts.append(doubt("each-or-total", "pack", n=count.many))
        elif count.many == prod(self.levels):
            pass
        elif outer(count.terms[0].noun) and count.terms[0].first < main.terms[0].first:
            self.levels = [*count.levels, *self.levels]
        else:
            self.doubts.append(doubt("counts-differ", "pack", first=_times(self.levels), second=_times(count.levels)))
        if count.no_unit is not None:
            self.doubts.append(doubt("number-left", "pack", value=self.grammar.shown_run(count.terms)))
        self._take(count)

    def _about_bags(self, main: Group) -> bool:
        """Bags of 1 L by the dozen are twelve pieces: the litre is what one of them would hold."""
        first = min((t.first for g in self.groups for t in g.terms), default=0)
        said = {self.scan.said(n).lower() for n in range(first)}
        if not (self.levels and said & BAGS) or main.size is None:
            return False
        self.doubts.append(doubt("size-of-the-piece", "pack", value=self.grammar.shown(main.size)))
        return True

    # -- without one

    def _of_counts(self, counts: list[Group]) -> Pack:
        main = counts[0]
        self._take(main)
        self.levels = list(main.levels)
        for other in counts[1:]:
            if other.levels and other.many != main.many:
                first, second = _times(main.levels), _times(other.levels)
                self.doubts.append(doubt("counts-differ", "pack", first=first, second=second))
            self._take(other)
        missing = next((g.no_unit for g in counts if g.no_unit is not None), None)
        if missing is not None:
            self.doubts.append(doubt("unit-missing", "pack", value=self.grammar.shown(missing)))
            return self._done(None, None)
        sure = self.levels and any(g.pieces for g in counts) and not any(d.code == "layer-pattern" for d in self.doubts)
        if sure:
            return self._done(None, "each")
        self._missing_size()
        return self._done(None, None)

    def _of_words(self) -> Pack:
        """No count and no size: a bare number, a unit alone ("bushel baskets"), a piece ("EACH"), or nothing."""
        bare = [t for t in self.grammar.terms if t.sort == "bare"]
        if not bare:
            return self._lone()
        self.used = bare[:1]
        self.doubts += bare[0].doubts
        if bare[0].value == 0 and bare[0].decimals.strip("0.,") == "":
            self.doubts.append(doubt("size-zero", "pack"))
        elif not self.doubts:
            self.doubts.append(doubt("unit-missing", "pack", value=self.grammar.shown(bare[0])))
        return self._done(None, None)

    def _lone(self) -> Pack:
        words = [(n, t.word) for n, t in enumerate(self.scan.tokens) if t.word is not None]
        for n, word in words:
            if word.sort == "unit" and (len(self.scan.said(n)) > 1 or len(self.scan.tokens) == 1):
                share = Decimal("0.5") if self._half(n) else Decimal(1)
                size = Term("size", n, n + 1, word.factor * share, word.unit or "", word)
                self.used = [size]
                self.doubts.append(doubt(word.doubt or "implied-one", "pack"))
                return self._done(size.value, _unit(size))
        for n, word in words:
            if word.sort == "dozen":
                many = 6 if self._half(n) else 12
                self.used, self.levels = [Term("count", n, n + 1, Decimal(many), noun=word)], [many]
                self.doubts.append(doubt("implied-one", "pack"))
                return self._done(None, "each")
        for n, word in words:
            if word.sort == "piece" and word.name not in VAGUE:
                self.used, self.levels = [Term("count", n, n + 1, Decimal(1), noun=word)], [1]
                self._missing_size()
                return self._finish(None, "each", None)
        self.doubts.append(doubt("pack-missing", "pack"))
        return self._done(None, None)

    def _half(self, at: int) -> bool:
        return self.scan.said(at - 1).lower() in HALF

    def _missing_size(self) -> None:
        if not any(d.code == "layer-pattern" for d in self.doubts):
            self.doubts.append(doubt("size-missing", "pack"))

    # -- the end

    def _done(self, content: Decimal | None, unit: PackUnit | None) -> Pack:
        if unit == "each" and content is None and self.levels:
            content = Decimal(1)
        self._left_over()
        total = None
        many = prod(self.levels)
        if many > MOST:
            self.doubts.append(doubt("count-large", "pack", n=many))
            return self._finish(None, unit, None)
        if content is not None:
            total = content = plain(content)
            for level in self.levels:
                total *= level
            total = plain(total)
        return self._finish(content, unit, total)

    def _finish(self, content: Decimal | None, unit: PackUnit | None, total: Decimal | None) -> Pack:
        tokens = self.scan.tokens
        span = (0, 0)
        if self.used:
            span = (
                tokens[min(t.first for t in self.used)].start,
                tokens[max(t.last for t in self.used) - 1].end,
            )
        return Pack(
            text=self.text, levels=tuple(self.levels), content=content, unit=unit, total=total,
            doubts=tuple(dict.fromkeys(self.doubts)), span=span,
        )  # fmt: skip

    def _left_over(self) -> None:
        """Say every number that has no part in the pack, and what the text says of itself."""
        for term in self.inside:
            self.doubts.append(doubt("count-inside", "pack", n=term.value.to_integral_value()))
        used = {id(t) for t in self.used}
        for term in self.grammar.terms:
            if id(term) in used:
                for found in term.doubts:
                    if found not in self.doubts and term.sort == "count":
                        self.doubts.append(found)
            elif not self.grammar.is_gift(term) and term.sort != "noise":
                self.doubts.append(doubt("number-left", "pack", value=self.grammar.shown(term)))
        if any(t.word is not None and t.word.sort == "return" for t in self.scan.tokens):
            self.doubts.append(doubt("says-return", "pack"))


def _unit(size: Term) -> PackUnit:
    return "g" if size.unit == "g" else "ml" if size.unit == "ml" else "each"


def _bushel(size: Term) -> bool:
    return any(d.code == "weight-by-commodity" for d in size.doubts)


def _times(levels: list[int]) -> str:
    return " x ".join(map(str, levels))
