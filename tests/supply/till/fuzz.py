"""Files of a till with cells torn, swapped, doubled and filled with nonsense: ``python -m tests.supply.till.fuzz [N]``.

Whatever comes, a plan keeps the law of its rows, and only ``Unreadable`` stops a file.
"""

import random
import sys
from collections import Counter

from costing.edits.tills import take_sales
from costing.supply.arriving.line import Unreadable
from costing.supply.till.arrive import arrive_sales
from costing.supply.till.plan_record import SalesSaid
from costing.supply.till.preview import preview_sales
from costing.supply.till.words import sales_doubt_text
from tests.supply.till.test_sample_sales import FILES, TODAY, house

NONSENSE = (
    "", "-", "1.204", "1,204", "12,50", "x", "31/02/2026", "2026-13-01", "01/02/2026", "TOTAL", "C", "V", "Q", "-1",
    "0", "1e9", "99999999999999", "NaN", "25:99", "=1+1", "\u200f12", "½", "12 %", "Period,2026-01-01,2026-01-02",
    "Page 3", "Net", "Qty", "€ 12.00", "(3.00)", "3-", "\x00", "a" * 300,
)  # fmt: skip


def torn(rng: random.Random, text: str) -> str:
    """The text with a few cells or rows changed."""
    rows = [line.split(",") for line in text.splitlines()][: rng.randint(3, 60)]
    for _ in range(rng.randint(1, 12)):
        row = rng.choice(rows)
        what = rng.random()
        if what < 0.6 and row:
            row[rng.randrange(len(row))] = rng.choice(NONSENSE)
        elif what < 0.7:
            rows.insert(rng.randrange(len(rows)), list(rng.choice(rows)))
        elif what < 0.8:
            row[:] = row[::-1]
        elif what < 0.9 and len(rows) > 1:
            rows.remove(row)
        else:
            row.append(rng.choice(NONSENSE))
    return "\n".join(",".join(row) for row in rows)


def main(count: int) -> None:
    """Tear ``count`` files and say what became of them."""
    rng, book, seen = random.Random(4711), house(), Counter[str]()
    texts = [path.read_text() for path in FILES]
    for n in range(count):
        text = torn(rng, rng.choice(texts))
        said = SalesSaid(
            tax=rng.choice(("", "ex", "inc")), days=rng.choice(("", "dmy")), split=rng.choice(("", "week"))
        )
        try:
            plan = arrive_sales(text.encode("utf-8", "replace"), f"{n}.csv", book, TODAY, said)
        except Unreadable:
            seen["unreadable"] += 1
            continue
        if plan.read != sum(plan.count(fate) for fate in ("counted", "ignored", "waiting")):
            raise RuntimeError(f"file {n}: rows are lost")
        if plan.periods and sum(period.read for period in plan.periods) != plan.read:
            raise RuntimeError(f"file {n}: the periods do not hold every row")
        preview_sales(plan)
        for one in (*plan.asked, *plan.doubts):
            if "{" in sales_doubt_text(one) or sales_doubt_text(one) == one.code:
                raise RuntimeError(f"file {n}: {one} has no sentence")
            seen[one.code] += 1
        seen["asked" if plan.asked else "taken"] += 1
        if not plan.asked:
            take_sales(book, plan)
    for code, times in seen.most_common():
        sys.stdout.write(f"{times:7} {code}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
