"""``python -m tests.supply.plan.seeded [--rows 20000] [--seeds 3]``: long lists with seeded errors, and what slips."""

import argparse
import csv
import sys
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.book import Book
from costing.book.records import Good, GoodKind, House, Quote, Supplier, Terms
from costing.supply.plan.arrive import Said, arrive
from costing.supply.small import BASES, read_pack
from sample_data.biglist import BigList, big_list

DAY, START = date(2026, 11, 28), date(2026, 1, 1)


@dataclass(frozen=True, slots=True)
class Found:
    """What became of a list: seeded ``errors``, those that ``slipped`` through as sound, honest rows and how many of
    them were held, and whether rows read are the three fates together."""

    errors: int
    slipped: tuple[str, ...]
    ignored: int
    honest: int
    false_holds: int
    adds_up: bool


def book_of(made: BigList) -> Book:
    """A house that buys everything of the list, at the prices before, with a year of past prices for fresh goods."""
    records: list[House | Supplier | Good | Quote] = [
        House(id="house", name="Bar", currency="EUR", terms=(Terms(since=START),)),
        Supplier(id="s", name="Casks", tax="ex", tax_rate=Decimal("0.19")),
    ]
    cells = csv.reader(made.data.decode("cp1252").splitlines(), delimiter=";")
    names = {row[0]: row[2] for row in cells if len(row) > 2}
    for code, (pack, price) in made.prices_before.items():
        kind: GoodKind = made.kinds[code]  # type: ignore[assignment]
        levels, content = read_pack(pack)
        base = BASES[kind]
        unit = content.unit.lower()
        if base == "l" and unit in ("g", "kg"):
            base = "kg"
        elif base == "kg" and unit in ("l", "ml", "cl"):
            base = "l"
        elif unit in ("each", ""):
            base = "each"
        records.append(Good(id=code.lower(), name=f"{names.get(code, code)} {code}", kind=kind, base=base))
        records.append(
            Quote(
                id=f"q-{code}", good=code.lower(), supplier="s", content=content, levels=levels, price=price,
                currency="EUR", since=START, code=code, tax_rate=Decimal("0.19"),
            )
        )  # fmt: skip
    return Book.of(records)


def run(rows: int, seed: int, errors: float = 0.02) -> Found:
    """One list, judged."""
    made = big_list(rows, seed, errors)
    plan = arrive(made.data, "list.csv", book_of(made), DAY, Said(supplier="s"))
    wrong = {row.row: row for row in made.truth if row.error}
    by_row = {int(line.line.where.rpartition(" ")[2]): line for line in plan.lines}
    slipped: list[str] = []
    ignored = false = 0
    for number, line in by_row.items():
        if number in wrong:
            told = wrong[number]
            if line.fate == "sound":
                slipped.append(f"row {number}, {told.error}: {told.written} for {told.right}")
            ignored += line.fate == "ignored"
        elif line.fate == "held":
            false += 1
    whole = plan.read == plan.count("sound") + plan.count("held") + plan.count("ignored")
    slipped += [f"row {n} is gone" for n in wrong if n not in by_row and not _left_out(plan.incoming.left_out, n)]
    honest = len(by_row.keys() - wrong.keys())
    return Found(len(wrong), tuple(slipped), ignored, honest, false, whole)


def _left_out(rows: object, number: int) -> bool:
    return any(row.where.rpartition(" ")[2] == str(number) for row in rows)  # type: ignore[attr-defined]


def main() -> int:
    """Several lists; exit 1 where an error slipped or honest rows are held too often."""
    top = argparse.ArgumentParser(description=__doc__)
    top.add_argument("--rows", type=int, default=20_000)
    top.add_argument("--seeds", type=int, default=3)
    args = top.parse_args()
    bad = 0
    for seed in range(1, args.seeds + 1):
        found = run(args.rows, seed)
        share = found.false_holds / found.honest
        bad += bool(found.slipped) or share >= 0.02 or not found.adds_up
        print(
            f"seed {seed}: {found.errors} errors, {len(found.slipped)} slipped, {found.ignored} left out as no price;"
        )
        print(f"  {found.false_holds} of {found.honest} honest rows held ({share:.2%})")
        for line in found.slipped[:10]:
            print(f"  {line}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
