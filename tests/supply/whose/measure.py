"""How well lines find their goods on invented catalogues: ``python -m tests.supply.whose.measure --seeds 10``.

Of one run and catalogue: the structural rule with and without prices, and two rules by a score that it stands beside.
"""

import argparse
import sys
import time
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rapidfuzz import fuzz, process

from costing.supply.whose import Asked, Catalogue, Known
from costing.supply.whose.fold import fold
from tests.supply.whose.invent import KINDS, Case, foreign, invent

Rule = Callable[[Asked], str]
"""The good that a line is taken for without asking, "" for none."""


@dataclass(slots=True)
class Figures:
    """Counts of one rule: lines it took, rightly, and rightly by kind of rename."""

    taken: int = 0
    right: int = 0
    by_kind: Counter[str] = field(default_factory=Counter)
    wrong: list[tuple[Case, str]] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def precision(self) -> float:
        """Right of taken."""
        return self.right / self.taken if self.taken else 1.0


def judged(rule: Rule, cases: Sequence[Case]) -> Figures:
    """A rule over every case, one by one."""
    out = Figures()
    start = time.perf_counter()
    for case in cases:
        good = rule(case.asked)
        if not good:
            continue
        out.taken += 1
        if good == case.truth:
            out.right += 1
            out.by_kind[case.kind] += 1
        else:
            out.wrong.append((case, good))
    out.seconds = time.perf_counter() - start
    return out


def structural(catalogue: Catalogue, *, prices: bool) -> Rule:
    """Each line as the only one of its file."""

    def rule(asked: Asked) -> str:
        match = catalogue.match(asked if prices else replace(asked, per_base=None))
        return match.good if match.sure else ""

    return rule


def without_size(text: str) -> str:
    """A name as the scores are given it: words and years, no size, pack, strength or noise."""
    form = fold(text)
    return " ".join((*form.words, *sorted(form.years)))


def by_score(known: Sequence[Known], scorer: Callable[..., float], least: float) -> Rule:
    """The best name of the same size, if its score is ``least`` or more."""
    by_size: dict[object, tuple[list[str], list[str]]] = {}
    for item in known:
        names, goods = by_size.setdefault(item.size, ([], []))
        names.append(without_size(item.name))
        goods.append(item.good)

    def rule(asked: Asked) -> str:
        names, goods = by_size.get(asked.size, ([], []))
        text = without_size(asked.name)
        found = process.extractOne(text, names, scorer=scorer, score_cutoff=least)
        return goods[found[2]] if found else ""

    return rule


def in_first(catalogue: Catalogue, cases: Sequence[Case], most: int = 5) -> tuple[float, Counter[str]]:
    """(share of the lines with a good whose good is what they are taken for or among the first, misses by kind)."""
    missed: Counter[str] = Counter()
    positives = [case for case in cases if case.truth]
    for case in positives:
        offered = [s.good for s in catalogue.suggest(case.asked)[:most]]
        if case.truth not in offered:
            missed[case.kind] += 1
    return 1 - missed.total() / len(positives), missed


def rules(known: Sequence[Known], catalogue: Catalogue) -> Mapping[str, Rule]:
    """All that are compared."""
    return {
        "structural": structural(catalogue, prices=True),
        "structural, no prices": structural(catalogue, prices=False),
        "WRatio >= 90": by_score(known, fuzz.WRatio, 90),
        "token_sort >= 95": by_score(known, fuzz.token_sort_ratio, 95),
    }


def large(seed: int, lines: int = 100_000, house: int = 2_000) -> tuple[float, float, int]:
    """(seconds to build the catalogue, seconds to match, lines that are sure) for a wholesaler's file that the house
    buys little of."""
    known, cases = invent(seed, house)
    asked = [case.asked for case in cases] + foreign(seed + 1000, lines - len(cases))
    start = time.perf_counter()
    catalogue = Catalogue(known)
    built = time.perf_counter()
    matches = catalogue.match_all(asked, suggest=False)
    return built - start, time.perf_counter() - built, sum(match.sure for match in matches)


def report(seed: int, worst: dict[str, float], *, rename_missing: bool, show: int) -> list[str]:
    """The lines about one seed. ``worst`` keeps the lowest figures so far."""
    known, cases = invent(seed, rename_missing=rename_missing)
    positives = Counter(case.kind for case in cases if case.truth)
    catalogue = Catalogue(known)
    out = [f"seed {seed}: {len(known)} goods, {positives.total()} renamed, {len(cases) - positives.total()} missing"]
    for name, rule in rules(known, catalogue).items():
        figures = judged(rule, cases)
        recall = figures.right / positives.total()
        _lowest(worst, f"{name}: precision", figures.precision)
        _lowest(worst, f"{name}: recall", recall)
        kinds = " ".join(f"{kind} {figures.by_kind[kind] / positives[kind]:.2f}," for kind in KINDS if positives[kind])
        out.append(
            f"  {name:22} taken {figures.taken:5} precision {figures.precision:.4f} recall {recall:.3f} "
            f"({figures.seconds:.2f} s)  {kinds.rstrip(',')}"
        )
        if name.startswith("structural, no"):
            good_names = {item.good: item.name for item in known}
            out += [f"      wrong: {c.kind}: {c.asked.name!r} -> {good_names[g]!r}" for c, g in figures.wrong[:show]]
    first, missed = in_first(catalogue, cases)
    _lowest(worst, "in the first five", first)
    out.append(f"  in the first five {first:.4f}  missed {dict(missed)}")
    return out


def _lowest(worst: dict[str, float], name: str, value: float) -> None:
    worst[name] = min(value, worst.get(name, value))


def main(argv: Sequence[str] | None = None) -> int:
    """The command."""
    parser = argparse.ArgumentParser(prog="python -m tests.supply.whose.measure", description=__doc__)
    parser.add_argument("--seeds", type=int, default=3, help="catalogues to invent")
    parser.add_argument("--first", type=int, default=1, help="the first seed")
    parser.add_argument("--rename-missing", action="store_true", help="goods that the book has not are renamed too")
    parser.add_argument("--show", type=int, default=0, help="wrong lines to show of each")
    parser.add_argument("--large", action="store_true", help="time 100,000 lines against 2,000 goods")
    args = parser.parse_args(argv)
    worst: dict[str, float] = {}
    for seed in range(args.first, args.first + args.seeds):
        for line in report(seed, worst, rename_missing=args.rename_missing, show=args.show):
            sys.stdout.write(line + "\n")
    sys.stdout.write("worst: " + ", ".join(f"{name} {value:.4f}" for name, value in worst.items()) + "\n")
    if args.large:
        built, matched, sure = large(args.first)
        sys.stdout.write(f"100,000 lines: catalogue {built:.2f} s, lines {matched:.2f} s, {sure} sure\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
