"""What stands between the terms of a pack, and which numbers say nothing of it: labels, vintages, deposits, gifts."""

from costing.supply.packs.scan import Scanner
from costing.supply.packs.tokens import Term

_CLOSING = frozenset(")]")
_GLASSES = ("glas", "gläs", "glaes", "verre", "copa", "bicchier", "glaz")
_SIGNS_OF_A_LABEL = frozenset(".:-(#")


class Joins:
    """The terms of one scanned text that matter, and what stands between them."""

    __slots__ = ("scan", "terms")

    def __init__(self, scan: Scanner) -> None:
        self.scan = scan
        self.terms = [t for t in scan.scan() if t.sort != "noise"]
        if any(t.word is not None and t.word.sort == "deposit" for t in scan.tokens):
            self._without_deposits()
        self.terms = [t for t in self.terms if not self._is_label(t)]

    def join(self, one: Term, two: Term) -> str:
        """How ``two`` follows ``one``: x, /, of, of? (an unknown noun between), =, +, (, comma, -, k (known words), w
        (unknown words), or nothing."""
        tokens = self.scan.tokens
        between = [t for t in range(one.last, two.first) if not self._in_noise(t)]
        if not between:
            return ""
        words = [tokens[t].word for t in between if tokens[t].sort == "w"]
        signs = {tokens[t].text for t in between if tokens[t].sort == "p"} - _CLOSING
        if not words and not signs:
            return ""
        if self._grown(between[0]):
            return "w"
        unknown = None in words or any(tokens[t].sort == "o" for t in between)
        sorts = [w.sort for w in words if w is not None]
        if not words and signs == {"/"}:
            return "/"
        if ("times" in sorts and not unknown) or self._star(between):
            return "x"
        if "=" in signs:
            return "="
        if (sorts and words[-1] is not None and words[-1].sort == "join") or "@" in signs:
            return "of?" if unknown else "of"
        if "+" in signs or "with" in sorts:
            return "+"
        if unknown:
            return "w"
        if "(" in signs:
            return "("
        if words:
            return "k"
        return "," if signs & {",", ";"} else "-" if signs == {"-"} else "k" if signs <= {".", "-"} else "w"

    def _grown(self, at: int) -> bool:
        """Whether an "a" has grown on a number: 12a is an age and no "6 a 70 cl"."""
        return self.scan.said(at).lower() == "a" and self.scan.touching(at)

    def said_between(self, one: Term, two: Term) -> str:
        """The text of the tokens between two terms."""
        return "".join(self.scan.said(n) for n in range(one.last, two.first))

    def _star(self, between: list[int]) -> bool:
        """Whether one star alone, spaced alike on both sides, stands there: 4 * 25g, and not "24 x 12 OZ *4/6*"."""
        if len(between) != 1 or self.scan.said(between[0]) != "*":
            return False
        return self.scan.touching(between[0]) == self.scan.touching(between[0] + 1)

    def _in_noise(self, token: int) -> bool:
        return any(t.sort == "noise" and t.first <= token < t.last for t in self.scan.terms)

    def led(self, term: Term) -> bool:
        """Whether the word before a term is one for what holds several: "Ctn 6", "case of 6"."""
        at = term.first - 1
        while at >= 0:
            word = self.scan.word(at)
            if word is not None and word.sort in ("outer", "many"):
                return True
            if not (self.scan.said(at) in _SIGNS_OF_A_LABEL or (word is not None and word.sort in ("join", "say"))):
                return word is not None and word.sort == "inner" and word.name.startswith("container")
            at -= 1
        return False

    def _is_label(self, term: Term) -> bool:
        """ "No. 5", "size 88", "#10", or a vintage: a number that says nothing of the pack."""
        if term.sort != "bare":
            return False
        at = term.first - 1
        while at >= 0 and self.scan.said(at) in (".", ":"):
            at -= 1
        word = self.scan.word(at)
        year = term.whole and len(term.decimals) == 4 and 1950 <= term.value <= 2049
        after = self.scan.word(term.last)
        chained = self.scan.said(term.last) == "/" or (after is not None and after.sort == "times")
        label = (word is not None and word.sort in ("label", "strength") and not chained) or year
        if label:
            term.sort = "noise"
        return label

    def _without_deposits(self) -> None:
        """Take amounts beside the word deposit for noise: those in its brackets, or else the nearest one."""
        scan = self.scan
        for at, token in enumerate(scan.tokens):
            if token.word is None or token.word.sort != "deposit":
                continue
            opened = next((n for n in range(at, -1, -1) if scan.said(n) in ("(", ")")), -1)
            closed = next((n for n in range(at, len(scan.tokens)) if scan.said(n) in ("(", ")")), -1)
            if opened >= 0 and closed >= 0 and scan.said(opened) == "(" and scan.said(closed) == ")":
                near = [t for t in self.terms if opened < t.first < closed]
            else:
                near = [t for t in self.terms if -5 <= t.first - at <= 3 and t.sort == "bare"]
                near = sorted(near, key=lambda t: (abs(t.first - at), t.first < at))[:1]
            for term in near:
                term.sort = "noise"
        self.terms = [t for t in self.terms if t.sort != "noise"]

    def is_gift(self, term: Term) -> bool:
        """ "+ 2 glasses": thrown in with the bottle."""
        said = self.scan.said(term.first + 1).lower()
        before = self.scan.said(term.first - 1)
        word = self.scan.word(term.first - 1) or (self.scan.word(term.first - 2) if before in ("/", ".") else None)
        return said.startswith(_GLASSES) and (before == "+" or (word is not None and word.sort == "with"))

    def shown(self, term: Term) -> str:
        """The text that a term was read from."""
        return self.shown_run([term])

    def shown_run(self, run: list[Term]) -> str:
        tokens = self.scan.tokens
        return " ".join(t.text for term in run for t in tokens[term.first : term.last])
