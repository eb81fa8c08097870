"""How the terms of a pack hang together: "6 x 70 cl", "12/750 ml", "70 cl, 6 per case", "10 pieces, 170 g"."""

from decimal import Decimal

from costing.supply.arriving.doubt import doubt
from costing.supply.packs.group import USUAL, Group, by_piece, many_heavy
from costing.supply.packs.joins import Joins
from costing.supply.packs.tokens import Term

_CENTILITRES = frozenset(map(Decimal, (2, 3, 4, 5, 10, 20, 25, 33, 35, 50, 70, 75, 100, 150, 175, 200, 300)))
"""Bottles that "12/100/40" (bottles, cl, % vol) may speak of; a date 12/05/26 mostly does not."""


class Grammar(Joins):
    """Groups of one scanned text."""

    __slots__ = ()

    def groups(self) -> list[Group]:
        """The terms in groups. Bare numbers that nothing takes stay ungrouped."""
        out: list[Group] = []
        at = 0
        while at < len(self.terms):
            run, joins, group = [self.terms[at]], [], Group()
            while at + len(run) < len(self.terms):
                following = self.terms[at + len(run)]
                how = self.join(run[-1], following)
                if not self._links(run, how, following, group):
                    break
                run.append(following)
                joins.append(how)
            at += len(run)
            made = self._made(group, run, joins)
            if made is not None:
                out.append(made)
        return out

    def _links(self, run: list[Term], how: str, two: Term, group: Group) -> bool:
        one = run[-1]
        sized = any(t.sort == "size" for t in run)
        if two.sort == "size":
            return not sized and self._takes_size(run, how, two, group)
        if how == "x":
            return True
        if how == "/":
            if one.sort == "size" and len(run) == 1 and two.sort == "bare" and two.whole:
                group.doubts.append(doubt("count-or-number", "pack", n=two.value))
                return True
            return one.sort == "bare"
        if sized:
            counts = two.sort == "count" and not (two.noun and two.noun.name == "s")
            return counts and run[0].sort == "size" and how in ("", "k", "-", ",", "(")
        if two.sort == "count":
            if one.sort == "count" and one.noun is not None and one.noun.sort in ("outer", "many"):
                return how in ("", "k", "of", "(", "-") and two.noun is not None and two.noun.name != "s"
            return one.sort == "bare" and one.whole and ((how == "" and two.hyphen) or how == "of")
        return how == "of" and one.sort == "count" and two.sort == "bare"

    def _takes_size(self, run: list[Term], how: str, two: Term, group: Group) -> bool:
        one = run[-1]
        if how == "x" or (how == "/" and one.sort == "bare"):
            if how == "/" and self.scan.halves(one.first, two):
                group.doubts.append(doubt("fraction-or-count", "pack", value=f"{one.decimals}/{two.decimals}"))
            return True
        if one.sort == "count":
            return self._count_takes(one, two, how, group)
        if how == "of":
            return one.whole
        if how == "of?" and one.whole and two.first - one.last <= 3:
            group.doubts.append(doubt("each-or-total", "pack", n=one.value))
            return True
        if how == "=" or (how == "w" and self.scan.said(two.first - 1) == "="):
            group.inside.append(one)
            return True
        if how == "-" and one.whole and (one.value in USUAL or self.led(one)):
            if not self.led(one):
                group.doubts.append(doubt("range-or-count", "pack", n=one.value))
            return True
        return how == "" and one.whole and self._beside(run, two, group)

    def _count_takes(self, one: Term, two: Term, how: str, group: Group) -> bool:
        """Whether so many of something are each of the size that follows, or come to it in all."""
        if how in ("w", "+"):
            return False
        sort = one.noun.sort if one.noun else ""
        if how in ("of", "of?"):
            return True
        if how == "=" or sort == "slice" or (sort == "piece" and how == ","):
            group.inside.append(one)
        elif by_piece(one):
            self._each_or_total(one, two, group)
        elif one.sort == "count" and many_heavy(one, two):
            group.inside.append(one)
            group.doubts.append(doubt("each-or-total", "pack", n=one.value))
        elif sort == "outer" and how == "" and one.value > 1:
            group.doubts.append(doubt("each-or-total", "pack", n=one.value))
        return True

    def _each_or_total(self, count: Term, size: Term, group: Group) -> None:
        """Pieces beside a size, which may be that of each or of all: doubted, and read as all where it is a weight."""
        group.doubts.append(doubt("each-or-total", "pack", n=count.value))
        if size.unit == "g" and (size.value >= 1000 or (count.noun is not None and count.noun.sort == "piece")):
            group.inside.append(count)

    def _beside(self, run: list[Term], two: Term, group: Group) -> bool:
        """A bare number with a size right behind it: "flats 8 1-lb", "1 000 ml", "6 750 ml"."""
        one = run[-1]
        digits = self.scan.said(two.first)
        if len(one.decimals) <= 3 and len(digits) == 3 and digits.isdigit() and two.last - two.first >= 2:
            if digits[0] == "0" and len(run) == 1:
                factor = two.noun.factor if two.noun else Decimal(1)
                two.value = (one.value * 1000 + int(digits)) * factor
                one.sort, two.first = "noise", one.first
                return True
            group.doubts.append(doubt("count-or-thousands", "pack", n=one.value, size=digits))
            return True
        if len(run) > 1 and self.said_between(run[-2], one) == "/":
            small = all(t.value <= 24 for t in run) and two.unit == "ml"
            group.doubts += [doubt("count-or-number", "pack", n=self.shown_run(run))] * small
            return small
        if two.hyphen or self.led(one) or len(run) > 1:
            return True
        if one.first == 0 and one.value in USUAL:
            group.doubts.append(doubt("count-or-number", "pack", n=one.value))
            return True
        return False

    def _made(self, group: Group, run: list[Term], joins: list[str]) -> Group | None:
        run = [t for t in run if t.sort != "noise"]
        sized = next((t for t in run if t.sort == "size"), None)
        if sized is not None and sized is run[0] and len(run) == 2 and joins[0] != "x":
            if many_heavy(run[1], sized):
                group.inside.append(run[1])
                group.doubts.append(doubt("each-or-total", "pack", n=run[1].value))
            elif by_piece(run[1]):
                self._each_or_total(run[1], sized, group)
        if len(run) == 1 and run[0].sort == "bare" and not (self.led(run[0]) and run[0].whole and run[0].value):
            return None if not self._times_beside(run[0]) else self._counted(group, run)
        if sized is None:
            return self._open(group, run, joins)
        group.size = sized
        for term in run:
            if term is not sized and term not in group.inside:
                if term.noun is not None and term.noun.sort == "slice":
                    group.inside.append(term)
                elif not term.whole or term.value <= 0:
                    group.doubts.append(doubt("number-left", "pack", value=self.shown(term)))
                else:
                    group.counts.append(term)
                    group.levels.append(int(term.value))
        group.terms = run
        return group

    def _open(self, group: Group, run: list[Term], joins: list[str]) -> Group:
        """A chain without a size: "4/6 CANS", "4 x 6", "20 x 0,5", "12/100/40/GB"."""
        bare = all(t.sort == "bare" for t in run) and run[0].whole and run[0].value > 0
        if bare and joins == ["/", "/"] and run[1].value in _CENTILITRES and run[2].value <= 96:
            size = Term("size", run[1].first, run[1].last, run[1].value * 10, "ml")
            group.doubts.append(doubt("size-in-cl", "pack", value=self.shown(run[1])))
            group.size, group.levels, group.terms = size, [int(run[0].value)], run
            return group
        first, last, group.slashed = run[0], run[-1], "/" in joins
        if len(run) > 1 and last.sort == "bare" and not (last.whole and 0 < last.value <= 24):
            group.no_unit, run = last, run[:-1]
        elif len(run) == 2 and first.sort == "bare" and not (first.whole and first.value <= 24) and joins == ["x"]:
            group.no_unit, run = first, run[1:]
        if any(t.noun is not None and t.noun.name == "s" for t in run) and len(run) > 1:
            group.doubts.append(doubt("layer-pattern", "pack", value=self.shown_run(run)))
            group.terms = run
            return group
        made = self._counted(group, run)
        if group.no_unit is not None:
            made.terms = [*made.terms, group.no_unit]
        return made

    def _counted(self, group: Group, run: list[Term]) -> Group:
        for term in run:
            if term.noun is not None and term.noun.sort == "slice":
                group.inside.append(term)
            elif term.whole and term.value > 0:
                group.levels.append(int(term.value))
                group.counts.append(term)
            else:
                group.doubts.append(doubt("count-unread", "pack", value=self.shown(term)))
        group.terms = run
        return group

    def _times_beside(self, term: Term) -> bool:
        """ "x24" behind a word, "24x" before one."""
        before, behind = self.scan.word(term.first - 1), self.scan.word(term.last)
        after_it = before is not None and before.sort == "times" and self.scan.sort_at(term.first - 2) in ("w", "p")
        before_it = behind is not None and behind.sort == "times" and self.scan.sort_at(term.last + 1) == "w"
        return term.whole and term.value > 0 and (after_it or before_it)
