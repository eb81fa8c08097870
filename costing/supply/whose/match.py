"""Whose each line of a file is: by code, by GTIN, by a confirmed text, by all its words; else what it may mean."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.whose.align import align
from costing.supply.whose.fold import Form, fold, plain
from costing.supply.whose.identity import Claim, Found, Identities, code_key
from costing.supply.whose.kin import kin
from costing.supply.whose.names import NEAR, Entry, Names, Near
from costing.supply.whose.packs import count_of, sizes_of, unknown_pack
from costing.supply.whose.record import Asked, Known, Match, Remembered, Size, Suggestion
from costing.supply.whose.structure import apart, by_words, longer, said
from costing.supply.whose.trade import NOISE

MOST = 5
OTHER_SIZE = 0.1
"""How much nearer a good of another size must be to be suggested before one of the same."""
_OFTEN = 5_000
Tell = Callable[[int, int], object]
Taken = Collection[tuple[str, Size]]
"""Goods, by size, that other lines of the file surely are."""

NOTHING, SUGGESTED = Match(), Match(how="suggested")


class Catalogue:
    """What the house buys, ready to be asked. ``noise`` are words that say nothing in this supplier's lines: his own
    name, the names of his lists. Build it once for a file; it keeps what it learns of words."""

    def __init__(self, known: Iterable[Known], aliases: Iterable[Remembered] = (), noise: Iterable[str] = ()) -> None:
        items = tuple(known)
        self._noise = NOISE.union(word for text in noise for word in plain(text).split())
        self._identities = Identities(items, aliases)
        self._names = Names(items, self._noise)

    def match(self, asked: Asked) -> Match:
        """What one line means, as the only one of its file."""
        return self.match_all((asked,))[0]

    def match_all(self, asked: Sequence[Asked], tell: Tell | None = None, *, suggest: bool = True) -> list[Match]:
        """What every line of a file means, in their order, which does not count.

        Lines are judged together: what one of them surely is by code, GTIN or alias is suggested to no other of the
        same size; two different lines that mean one pack of a good by their words alone are not sure, and neither is
        one whose words begin a longer name that no other line means. With ``suggest`` False "suggested" lines carry no
        suggestions, for a file that is mostly not the house's: ask ``suggest`` when somebody looks. ``tell(done, of)``
        is called now and then.
        """
        forms = self._forms(asked)
        spelled = self._identities.spelled_twice(asked)
        matches = [self._by_identity(line, form, spelled) for line, form in zip(asked, forms, strict=True)]
        taken = {
            (found.good, line.size)
            for line, (found, _) in zip(asked, matches, strict=True)
            if found.sure and line.size is not None
        }
        out: list[Match] = []
        for n, (line, form, (found, among)) in enumerate(zip(asked, forms, matches, strict=True)):
            if tell is not None and n % _OFTEN == 0:
                tell(n, len(asked))
            out.append(found if found.good else self._by_words(line, form, found, among, taken))
        self._cut_off(asked, forms, out)
        self._twice(asked, out)
        if suggest:
            out = [
                match
                if match.sure or match.how == "none"
                else self._offered(match, self._suggestions(line, form, taken, among))
                for line, form, match, (_, among) in zip(asked, forms, out, matches, strict=True)
            ]
        if tell is not None:
            tell(len(asked), len(asked))
        return out

    def suggest(self, asked: Asked, taken: Taken = ()) -> tuple[Suggestion, ...]:
        """What a line may mean, at most five, the nearest first; ``taken`` are not among them."""
        return self._suggestions(asked, fold(asked.name, self._noise), taken)

    def _forms(self, asked: Sequence[Asked]) -> list[Form]:
        known: dict[str, Form] = {}
        forms = []
        for line in asked:
            form = known.get(line.name)
            if form is None:
                form = known[line.name] = fold(line.name, self._noise)
            forms.append(form)
        self._names.vocabulary.meet({word for form in known.values() for word in form.words})
        return forms

    def _by_identity(
        self, line: Asked, form: Form, spelled: Collection[tuple[str, str]]
    ) -> tuple[Match, tuple[str, ...]]:
        """(what an identity says, the goods it leaves open)."""
        found = self._identities.find(line, spelled)
        if found.claim is None:
            return Match(doubts=found.doubts) if found.doubts else NOTHING, found.among
        return self._confirmed(line, form, found.claim, found), ()

    def _confirmed(self, line: Asked, form: Form, claim: Claim, found: Found) -> Match:
        """A code, GTIN or alias beside what the line says of name and pack."""
        (good,) = claim.goods
        doubts = list(found.doubts)
        like, entry = self._names.likeness(form, good)
        if not found.confirmed and form.words:
            doubts += self._contradictions(claim, form, like, entry)
        pack = unknown_pack(line, claim.known)
        if pack is not None:
            doubts.append(pack)
        years = entry.form.years if entry is not None else frozenset()
        return Match(
            good=good,
            how=claim.how,
            sure=not doubts,
            new_pack=pack is not None,
            vintage=apart(form.years, years),
            doubts=tuple(doubts),
        )

    def _contradictions(self, claim: Claim, form: Form, like: float, entry: Entry | None) -> list[Doubt]:
        """Where the words speak against a code or GTIN: nothing in common, or a number, a well-known word or a strength
        in place of another. Where nobody kept the supplier's own words, only the house's name can be compared, which is
        in words of its own: one that is akin is then enough."""
        if entry is None:
            return []
        spoken = any(item.names for item in claim.known)
        if like < NEAR if spoken else not kin(form.words, entry.form.words):
            code = "gtin-other-name" if claim.how == "gtin" else "code-other-name"
            return [doubt(code, claim.how, name=entry.name)]
        out = []
        if like < NEAR:
            return self._other_strength(form, entry)
        rest = align(form.words, entry.form.words, self._names.vocabulary)
        for code, tells in (("other-number", _is_number), ("other-word", self._names.vocabulary.ordinary)):
            here, there = (frozenset(filter(tells, words)) for words in (rest.line, rest.good))
            if apart(here, there) and not kin(here, there):
                out.append(doubt(code, "name", line=said(here), known=said(there)))
        return [*out, *self._other_strength(form, entry)]

    @staticmethod
    def _other_strength(form: Form, entry: Entry) -> list[Doubt]:
        if not apart(form.strengths, entry.form.strengths):
            return []
        return [doubt("other-strength", "name", line=said(form.strengths), known=said(entry.form.strengths))]

    def _by_words(self, line: Asked, form: Form, found: Match, among: tuple[str, ...], taken: Taken) -> Match:
        match = by_words(line, form, self._names, self._identities)
        if match is None:
            match = SUGGESTED if among or self._any_free(line, form, taken) else NOTHING
        if not among:
            return match
        doubts = (*found.doubts, *match.doubts)
        if match.good and match.good not in among:
            names = self._identities.names
            doubts = (*doubts, doubt("two-goods", one=names[among[0]], other=names[match.good]))
        return replace(match, sure=False, doubts=doubts)

    def _any_free(self, line: Asked, form: Form, taken: Taken) -> bool:
        """Whether any name comes near whose good is not taken."""
        if line.size is None or not taken:
            return self._names.any_near(form)
        size = line.size
        return self._names.any_near(form, lambda entry: (entry.good, size) in taken)

    def _free(self, line: Asked, form: Form, taken: Taken) -> Near:
        """Names that come near and whose good is not taken."""
        near = self._names.near(form)
        if line.size is None or not taken:
            return near
        return [(like, entry) for like, entry in near if (entry.good, line.size) not in taken]

    def _suggestions(
        self, line: Asked, form: Form, taken: Taken, among: tuple[str, ...] = ()
    ) -> tuple[Suggestion, ...]:
        """The nearest goods, before them those that the line's code or GTIN is on."""
        best: dict[str, tuple[float, Entry]] = {}
        for like, entry in self._free(line, form, taken):
            if entry.good not in best or (-like, entry.name) < (-best[entry.good][0], best[entry.good][1].name):
                best[entry.good] = like, entry
        for good in among:
            like, known = self._names.likeness(form, good)
            if known is not None:
                best[good] = like, known
        ranked = []
        for good, (like, entry) in best.items():
            same = line.size is not None and line.size in sizes_of(self._identities.of_good[good])
            ranked.append((like if same or line.size is None else like - OTHER_SIZE, like, same, entry))
        ranked.sort(key=lambda row: (row[3].good not in among, -row[0], row[3].name, row[3].good))
        return tuple(self._suggestion(form, like, same, entry) for _, like, same, entry in ranked[:MOST])

    def _suggestion(self, form: Form, like: float, same: bool, entry: Entry) -> Suggestion:
        found = align(form.words, entry.form.words, self._names.vocabulary)
        return Suggestion(
            good=entry.good,
            name=entry.name,
            score=like,
            line_words=(*found.line, *(word for word, _ in found.forgiven)),
            good_words=(*found.good, *(word for _, word in found.forgiven)),
            same_size=same,
        )

    @staticmethod
    def _offered(match: Match, offered: tuple[Suggestion, ...]) -> Match:
        """A match with its suggestions, and the one word that tells the first of them from the line."""
        doubts = match.doubts
        if offered and not match.good:
            line, good = offered[0].line_words, offered[0].good_words
            if len(line) <= 1 and len(good) <= 1 and (line or good):
                here, there = (words[0] if words else "–" for words in (line, good))
                doubts = (*doubts, doubt("one-word-differs", "name", name=offered[0].name, line=here, known=there))
        return replace(match, suggestions=offered, doubts=doubts)

    def _cut_off(self, asked: Sequence[Asked], forms: Sequence[Form], matches: list[Match]) -> None:
        """Doubt a match by words where a longer name begins with the same, and no line of the file is that one."""
        meant = {(match.good, line.size) for line, match in zip(asked, matches, strict=True) if match.good}
        for n, (line, form, match) in enumerate(zip(asked, forms, matches, strict=True)):
            if match.how != "words" or not match.sure:
                continue
            others = longer(line, form, match.good, self._names, self._identities)
            missing = [good for good in others if (good, line.size) not in meant]
            if missing:
                name, other = (self._identities.names[good] for good in (match.good, missing[0]))
                matches[n] = replace(match, sure=False, doubts=(doubt("longer-name", "name", name=name, other=other),))

    def _twice(self, asked: Sequence[Asked], matches: list[Match]) -> None:
        """Take back what the words alone say where another line of the file means the same pack of the same good."""
        meant: defaultdict[tuple[str, Size | None], defaultdict[int | None, set[tuple[str, str, str]]]] = defaultdict(
            lambda: defaultdict(set)
        )
        sure = [(n, line, match) for n, (line, match) in enumerate(zip(asked, matches, strict=True)) if match.sure]
        for _, line, match in sure:
            meant[match.good, line.size][count_of(line.levels)].add(_line_key(line))
        for n, line, match in sure:
            if match.how != "words":
                continue
            counts, count = meant[match.good, line.size], count_of(line.levels)
            others = counts.values() if count is None else (counts.get(count, ()), counts.get(None, ()))
            if len(set().union(*others)) > 1:
                name = self._identities.names[match.good]
                matches[n] = replace(match, sure=False, doubts=(doubt("two-lines", name=name),))


def _is_number(word: str) -> bool:
    return word[0].isdigit()


def _line_key(line: Asked) -> tuple[str, str, str]:
    """What tells two lines from one that is there twice."""
    return code_key(line.code), line.gtin, plain(line.name)
