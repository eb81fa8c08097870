"""The terms of a pack text: numbers with what they count or measure, fractions, ranges, and what is only noise."""

from decimal import Decimal
from math import gcd

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.packs.behind import Behind
from costing.supply.packs.numerals import readings, vulgar
from costing.supply.packs.tokens import Term
from costing.supply.packs.vocabulary import BARREL

_MOST_DIGITS = 9
"""Digits of a count or a size: longer numbers are codes."""
_COMMON = frozenset({Decimal("0.5"), Decimal("0.25"), Decimal("0.75"), Decimal(1) / 3, Decimal(2) / 3})
_DENOMINATORS = frozenset({2, 3, 4, 5, 6, 8})
_LARGEST = 16
"""The largest denominator of a written fraction."""


class Scanner(Behind):
    """Finds the terms of one text."""

    __slots__ = ("terms",)

    def __init__(self, text: str, kind: str, decimal: str | None) -> None:
        super().__init__(text, kind, decimal)
        self.terms: list[Term] = []

    def _dimensions(self) -> None:
        """Take the first figures of 30 x 40 cm for the noise that the last is."""
        for two, one in zip(reversed(self.terms), reversed(self.terms[:-1]), strict=False):
            word = self.word(two.last - 1)
            length = two.sort == "noise" and word is not None and word.sort == "length"
            between = range(one.last, two.first)
            words = [word.sort for n in between if (word := self.word(n)) is not None]
            joined = words == ["times"] or "".join(map(self.said, between)) in ("/", "-")
            if length and one.sort == "bare" and joined:
                one.sort, one.last = "noise", two.last

    def scan(self) -> list[Term]:
        """The terms, in their order."""
        at = 0
        while at < len(self.tokens):
            if self.tokens[at].sort in "nfo":
                term = self._number(at)
                self.terms.append(term)
                at = term.last
            else:
                at += 1
        if any(t.sort == "noise" for t in self.terms):
            self._dimensions()
        self._pounds_and_ounces()
        return self.terms

    def _pounds_and_ounces(self) -> None:
        """Put 1 lb 8 oz together."""
        for one, two in zip(self.terms, self.terms[1:], strict=False):
            names = (one.noun and one.noun.name, two.noun and two.noun.name)
            if one.last == two.first and one.sort == two.sort == "size" and names == ("lb", "oz"):
                one.value += two.value
                one.last, two.sort = two.last, "noise"

    def _number(self, at: int) -> Term:
        if self.sort_at(at) == "o":
            return Term("bare", at, at + 1, Decimal(0))
        fraction = self._fraction(at)
        if fraction is not None:
            return fraction
        value, whole, doubts = self._value(at)
        high = self._range(at)
        if high is not None:
            return high
        return self.behind(Term("bare", at, at + 1, value, whole=whole, doubts=doubts, decimals=self.said(at)))

    def _value(self, at: int) -> tuple[Decimal, bool, list[Doubt]]:
        """(value, whether it is a whole number, doubts); a numeral that cannot be read is 0 with a doubt."""
        said = self.said(at)
        if said.isdigit():
            if len(said) > _MOST_DIGITS:
                return Decimal(0), False, [doubt("number-left", "pack", value=said)]
            return Decimal(said), True, []
        values = readings(said)
        fits = [v for v, mark in values if self.decimal is None or mark in ("", self.decimal)]
        if not fits or len(said) > 2 * _MOST_DIGITS:
            return Decimal(0), False, [doubt("number-unread", "pack", value=said)]
        if len(fits) > 1:
            # a group of three: the unit behind it says which of the two is likely (see ``_sized``)
            return fits[0], False, [doubt("number-two-ways", "pack", first=fits[0], second=fits[1])]
        return fits[0], fits[0] == fits[0].to_integral_value() and "." not in str(fits[0]), []

    def _fraction(self, at: int) -> Term | None:
        """½, 1½, 1 1/9 and 1/2 with a unit that can be halved; None where the slash means something else."""
        if self.sort_at(at) == "f" and (keg := next((n for n in (at + 1, at + 2) if self._is_keg(n)), None)):
            found = Term("size", at, keg + 1, BARREL * vulgar(self.said(at)), "ml", self.word(keg))
            found.doubts.append(doubt("keg-of-barrel", "pack", share=self.said(at)))
            return found
        if self.sort_at(at) == "f":
            return self.behind(Term("bare", at, at + 1, vulgar(self.said(at))))
        if self.sort_at(at + 1) == "f" and self.said(at).isdigit():
            return self.behind(Term("bare", at, at + 2, Decimal(self.said(at)) + vulgar(self.said(at + 1))))
        if self.sort_at(at + 1) == "n" and self._slash(at + 2) and self._share(at + 1) is not None:
            whole, _, doubts = self._value(at)
            share = self._share(at + 1)
            term = self.behind(Term("bare", at, at + 4, whole + (share or 0), doubts=doubts))
            if term.sort in ("size", "count") and whole and self.said(at).isdigit():
                if whole > 4 and not (term.noun and term.noun.name in ("bushel", "dozen")):
                    term.doubts.append(doubt("mixed-or-count", "pack", value=term.value))
                return term
            return None
        if not self._slash(at + 1) or self.sort_at(at + 2) != "n" or self._slash(at + 3, number=True):
            return None
        share = self._share(at)
        return None if share is None else self._halved(at, share)

    def _halved(self, at: int, share: Decimal) -> Term | None:
        top, under = self.said(at), self.said(at + 2)
        keg = next((n for n in (at + 3, at + 4) if self._is_keg(n)), None)
        if keg is not None:
            barrel = self.unit_at(keg) is not None
            usual = under in ("2", "4", "6", "8") and top == "1"
            found = Term("size", at, keg + 1, BARREL * int(top) / int(under), "ml", self.word(keg))
            if not (barrel and usual):
                found.doubts.append(doubt("keg-of-barrel", "pack", share=f"{top}/{under}"))
            return found
        term = self.behind(Term("bare", at, at + 3, share))
        if term.sort == "count" and term.noun is not None and term.noun.sort == "dozen":
            return term
        if term.sort != "size" or term.noun is None:
            return None
        if term.noun.name == "bushel":
            return term
        if not term.noun.big and (top, under) != ("1", "2"):
            return None
        if (top, under) not in (("1", "2"), ("1", "4"), ("3", "4")) or not term.noun.big:
            if int(top) > 1 or int(under) > 4:
                return None
            term.doubts.append(doubt("fraction-or-count", "pack", value=f"{top}/{under}"))
        return term

    def halves(self, at: int, size: Term) -> bool:
        """Whether a/b in front of a unit, read as a count of sizes, could be a fraction of it: 2/3 L, 3/4 oz."""
        share = self._share(at)
        if share is None or size.noun is None:
            return False
        top, under = int(self.said(at)), int(self.said(at + 2))
        reduced = gcd(top, under) == 1 and (under in _DENOMINATORS or top == 1)
        return reduced and (size.noun.big or share in _COMMON)

    def _is_keg(self, at: int) -> bool:
        word = self.word(at)
        return word is not None and word.name in ("keg", "kegs", "bbl", "fass")

    def _slash(self, at: int, number: bool = False) -> bool:
        return self.said(at) == "/" and (not number or self.sort_at(at + 1) == "n")

    def _share(self, at: int) -> Decimal | None:
        """The fraction a/b that begins at token ``at``, less than one and with a usual denominator."""
        top, under = self.said(at), self.said(at + 2)
        if not (self._slash(at + 1) and top.isdigit() and under.isdigit() and len(top) < 3 and len(under) < 3):
            return None
        return Decimal(top) / int(under) if 0 < int(top) < int(under) and int(under) <= _LARGEST else None

    def _range(self, at: int) -> Term | None:
        """ "10-12 oz": from low to high, costed at its middle. None for "6 - 12oz", which is a count and a size."""
        tight = self.said(at + 1) == "-" and self.touching(at + 1) and self.touching(at + 2)
        word = self.said(at + 1).lower() in ("to", "bis")
        if not (tight or word) or self.sort_at(at + 2) != "n":
            return None
        low, _, doubts = self._value(at)
        high, whole, more = self._value(at + 2)
        if doubts or more or not 0 < low < high <= low * 4:
            return None
        term = self.behind(Term("bare", at, at + 3, high, whole=whole))
        if term.sort == "size":
            one = term.value / high
            term.value = one * (low + high) / 2
            term.doubts.append(doubt("size-range", "pack", low=one * low, high=one * high, unit=term.unit))
            return term
        if term.sort == "count":
            term.doubts.append(doubt("count-range", "pack", low=low, high=high))
            return term
        return term if term.sort == "noise" else None
