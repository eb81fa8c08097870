"""What stands behind a number: a unit, a noun, a percent sign, and so what the number is."""

from decimal import Decimal

from costing.supply.arriving.doubt import doubt
from costing.supply.packs.tokens import Term, Tokens
from costing.supply.packs.vocabulary import FLUID_OUNCE, IMPERIAL, IMPERIAL_WORDS, US_WORDS, Word, word_of

_MONEY = frozenset("€£$¥₹")


class Behind(Tokens):
    """Tokens with the reading of what follows a number."""

    __slots__ = ()

    def behind(self, term: Term) -> Term:
        """The term with the unit, noun or sign that follows it."""
        at = term.last
        if self._money(term):
            term.whole = False
            return term
        if self.said(term.first - 1) == "#":
            return self._noise(term, at)  # a size of tin
        if self.said(at) in ("%", "°", "º", "‰"):
            return self._noise(term, at + 1)
        glued = self.touching(at)
        if self.said(at) == "." and glued and self.sort_at(at + 1) == "w":
            at += 1
        elif self.said(at) == "-" and glued and self.touching(at + 1) and self.sort_at(at + 1) == "w":
            at += 1
            term.hyphen = True
        elif self.said(at) == '"' and glued:
            return self._noise(term, at + 1)
        elif self.said(at) == "#" and glued:
            return self._pounds(term, at)
        if self.sort_at(at) != "w":
            return self._per_case(self._unit_before(term), at)
        unit = self.unit_at(at)
        if unit is not None:
            return self._sized(term, *unit)
        word = self.word(at)
        if word is None:
            low = self.said(at).lower()
            if low in ("c", "f") and glued:
                return self._noise(term, at + 1)  # -18C
            if low == "s" and glued and term.whole and not self.touching(at + 1):
                return self._count(term, at + 1, Word("piece", name="s"))
            return term
        return self._worded(term, at, word, glued)

    def _worded(self, term: Term, at: int, word: Word, glued: bool) -> Term:
        sort = word.sort
        if sort == "proof" and word.name == "p":
            if glued and 60 <= term.value <= 200:
                return self._noise(term, at + 1)
            return self._count(term, at + 1, word) if glued and term.whole else term
        if sort in ("age", "proof", "length", "strength"):
            last = at + 1
            while (more := self.word(last)) is not None and more.sort == "age":
                last += 1
            return self._noise(term, last)
        if sort == "join" and word.name not in ("per", "pro"):
            return term
        if sort == "join":
            return self._per_case(term, at)
        if sort == "times":
            return self._unit_before(term)
        if sort in ("unit", "with", "deposit", "return", "label", "money"):
            return term
        if sort == "say" and (noun := self.word(at + 1)) is not None and noun.sort in ("fluid", "inner", "outer"):
            return self._count(term, at + 2, noun)
        if sort == "dozen":
            term.value *= 12
            term.whole = term.value == term.value.to_integral_value()
            return self._count(term, at + 1, word)
        if sort in ("fluid", "inner", "outer", "many", "piece", "slice", "bags"):
            return self._count(term, at + 1, word)
        return term

    def _per_case(self, term: Term, at: int) -> Term:
        """ "12/CS", "12 per case": so many in what holds several."""
        word = self.word(at + 1)
        per = self.said(at) == "/" or (self.word(at) is not None and self.said(at).lower() in ("per", "pro"))
        if per and word is not None and word.sort in ("outer", "many") and term.whole:
            return self._count(term, at + 2, Word("many", name=word.name))
        return term

    def _unit_before(self, term: Term) -> Term:
        """ "CL 70", "kg. 5": the unit in front of its number, where that number has none behind it."""
        at = term.first - 1
        while self.said(at) == ".":
            at -= 1
        word, before = self.word(at), self.word(at - 1)
        if word is None or word.sort != "unit" or len(self.said(at)) < 2 or self.sort_at(at - 1) in ("n", "f"):
            return term
        if self.said(at - 1) in ("/", "-", ".") or (before is not None and before.sort in ("join", "unit")):
            return term
        found = self._sized(term, word, term.last)
        found.first = at
        found.doubts.append(doubt("unit-before", "pack", unit=self.said(at)))
        return found

    def _count(self, term: Term, last: int, noun: Word) -> Term:
        if not term.whole and not (term.value == term.value.to_integral_value() and noun.sort == "dozen"):
            return term
        if noun.sort == "many" and (inner := self.word(last)) is not None and inner.sort in ("many",):
            last += 1
        term.sort, term.last, term.noun = "count", last, noun
        after = self._per_case(Term("bare", term.first, last, term.value, whole=True), last)
        if after.sort == "count":
            term.last = after.last
        return term

    def _noise(self, term: Term, last: int) -> Term:
        term.sort, term.last, term.doubts = "noise", last, []
        return term

    def _money(self, term: Term) -> bool:
        before, behind = self.word(term.first - 1), self.word(term.last)
        return (
            self.said(term.first - 1) in _MONEY
            or self.said(term.last) in _MONEY
            or (before is not None and before.sort == "money")
            or (behind is not None and behind.sort == "money")
        )

    def _pounds(self, term: Term, at: int) -> Term:
        pound = word_of("lb")
        if pound is None or self.sort_at(at + 1) == "n":
            return term
        found = self._sized(term, pound, at + 1)
        found.doubts.append(doubt("pound-sign", "pack"))
        return found

    def unit_at(self, at: int) -> tuple[Word, int] | None:
        """(the unit that begins at token ``at``, the token behind it)."""
        word, said = self.word(at), self.said(at).lower()
        after = at + 1
        if said in ("fl", "fluid"):
            while self.said(after) == ".":
                after += 1
            ounce = self.word(after)
            return (FLUID_OUNCE, after + 1) if ounce is not None and ounce.name == "oz" else None
        if said in IMPERIAL_WORDS or said in US_WORDS:
            found = self.unit_at(after)
            if found is None:
                return None
            if said in US_WORDS:
                return Word("unit", found[0].unit, found[0].factor, "", found[0].big, found[0].name), found[1]
            name = "oz" if found[0].name == "floz" else found[0].name
            return (IMPERIAL[name], found[1]) if name in IMPERIAL else found
        if word is None or word.sort != "unit" or (said == "z" and not self.touching(at)):
            return None
        if self.said(after) == "/" and (over := self.word(after + 1)) is not None and over.sort == "unit":
            return None  # g/l: a concentration
        return word, after

    def _sized(self, term: Term, unit: Word, last: int) -> Term:
        if unit.name == "oz" and self.fluid:
            unit = FLUID_OUNCE
        if term.doubts and term.doubts[0].code == "number-two-ways":
            # big units are told with decimals (1.750 L), small ones with groups (1.000 g)
            first, second = (Decimal(value) for _, value in term.doubts[0].values)
            term.value = first if unit.big else second
        if unit.doubt:
            term.doubts.append(doubt(unit.doubt, "pack"))
        term.sort, term.last, term.noun = "size", last, unit
        term.value *= unit.factor
        term.unit = unit.unit or ""
        if self.said(last) == "." and self.touching(last):
            term.last = last + 1
        return term
