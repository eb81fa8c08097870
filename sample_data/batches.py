"""Batches as they were made: readings that scatter, lots, one that failed, one whose reading cannot be.

The figures are drawn around the recipe's own by a small generator with a fixed seed, then rounded as a scale or a
density meter would show them. Initials: SL stillroom lead, PH prep hand, EH evening hand.
"""

from collections.abc import Callable
from random import Random

from sample_data.forms import Plain, fact, kept

SEED = 20261123
TARED = "scales, vessel tared"
Figures = dict[str, tuple[float, float, int, str, str]]
"""By reading: recipe's figure, relative spread, decimals, unit, method."""


def _spread(rng: Random) -> float:
    """A bell of mean 0 and about unit spread from four plain draws, the same on every Python."""
    return (sum(rng.random() for _ in range(4)) - 2.0) * 1.7


def readings(rng: Random, figures: Figures) -> Plain:
    """One batch's readings, as the instrument showed them."""
    out: Plain = {}
    for name, (middle, share, places, unit, how) in figures.items():
        value = middle * (1.0 + share * _spread(rng))
        out[name] = fact(f"{value:.{places}f} {unit}", how)
    return out


def logged(stage: str, values: Plain, *added: Plain, who: str = "PH", at: str = "", note: str = "") -> Plain:
    """One stage of a batch."""
    return {"stage": stage} | kept(readings=values, added=list(added), initials=who, at=at, note=note)


def lot(source: str, amount: str, number: str) -> Plain:
    """What went in, with its lot."""
    return {"input": source, "amount": amount, "lot": number}


def batch(preparation: str, day: str, who: str, *stages: Plain, state: str = "", note: str = "") -> Plain:
    """One batch."""
    return {"id": f"{preparation}-{day}", "preparation": preparation, "day": day, "stages": list(stages)} | kept(
        initials=who, state=state, note=note
    )


def _lot_of(prefix: str, day: str) -> str:
    return f"{prefix}-{day[2:4]}{day[5:7]}{day[8:10]}"


def _distillate(rng: Random, day: str, n: int) -> Plain:
    stages = [
        logged("trim", readings(rng, {"out.mass": (3.16, 0.02, 3, "kg", TARED)}),
               lot("pineapple", "6.00 kg", _lot_of("NQ", day)), at=f"{day}T07:10:00Z"),
        logged("roast", readings(rng, {"out.mass": (1.95, 0.02, 3, "kg", "scales, tray tared")}),
               at=f"{day}T08:05:00Z"),
        logged("infuse", readings(rng, {"left.mass": (1.31, 0.03, 3, "kg", "scales, bag weighed empty")}),
               lot("white-rum", "3.000 l", f"RC-L{310 + n}"), at=f"{day}T12:40:00Z"),
    ]  # fmt: skip
    over = readings(
        rng, {"out.volume": (1.26, 0.008, 3, "l", "jug"), "out.abv": (62.3, 0.008, 1, "% vol", "density meter at 20 C")}
    )
    state, note, remark = "made", "", ""
    if n == 2:
        over = {"out.volume": fact("0.385 l", "jug"), "out.abv": fact("58.4 % vol", "density meter at 20 C")}
        state, note = "failed", "The second charge foamed into the condenser; what came over was poured away"
    if n == 3:
        over = {"out.volume": fact("1.255 l", "jug"), "out.abv": fact("82.6 % vol", "density meter at 20 C")}
        remark = "Stronger than can be: figures turned round? 62.8 looks likely"
    stages.append(logged("distil", over, who="SL", at=f"{day}T17:30:00Z", note=remark))
    if state == "made":
        stages.append(
            logged(
                "proof",
                {"out.abv": fact(("45.0", "44.8", "", "45.0", "45.1")[n] + " % vol", "density meter at 20 C")},
                who="SL",
                at=f"{day}T18:20:00Z",
            )
        )
    return batch("pineapple-distillate", day, "SL", *stages, state="" if state == "made" else state, note=note)


def _lime(rng: Random, day: str, n: int) -> Plain:
    middle = 1.35 if day < "2026-05-18" else 1.455
    return batch("lime-juice", day, "PH", logged(
        "juice", readings(rng, {"out.mass": (middle, 0.055, 3, "kg", TARED)}),
        lot("lime", "3.00 kg", _lot_of("NQ", day)), at=f"{day}T14:15:00Z",
        note="Small, dry fruit" if n == 1 else ""))  # fmt: skip


def _cucumber(rng: Random, day: str, n: int) -> Plain:
    return batch(
        "cucumber-water", day, "PH",
        logged("juice", readings(rng, {"out.mass": (2.93, 0.02, 3, "kg", TARED)}),
               lot("cucumber", "4.20 kg", _lot_of("NQ", day)), at=f"{day}T13:05:00Z"),
        logged("clarify", readings(rng, {"out.mass": (2.60, 0.012, 3, "kg", TARED)}),
               lot("pectinase", "1.5 g", "CS-L44"), who=("PH", "EH", "PH", "EH")[n], at=f"{day}T13:55:00Z"),
    )  # fmt: skip


def _punch(rng: Random, day: str, n: int) -> Plain:
    return batch(
        "milk-punch", day, "SL",
        logged("blend", {}, lot("white-rum", "1.500 l at 5 C", f"RC-L{318 + n}"), at=f"{day}T09:00:00Z"),
        logged("wash", {}, lot("milk", "1.000 l", _lot_of("NQ", day)), at=f"{day}T09:25:00Z"),
        logged("strain", readings(rng, {"left.mass": (0.65, 0.06, 3, "kg", TARED)}), at=f"{day}T15:10:00Z"),
        logged("clarify", readings(rng, {"out.mass": (4.06, 0.006, 3, "kg", TARED)}), at=f"{day}T16:00:00Z"),
        logged("bottle", readings(rng, {"out.abv": (14.1, 0.015, 1, "% vol",
                                                    "distilled sample, 200 ml made up to volume")}),
               at=f"{day}T16:40:00Z"),
        state="held" if n == 3 else "", note="Hazy: left to settle over the week" if n == 3 else "",
    )  # fmt: skip


def _walnut(rng: Random, day: str, n: int) -> Plain:
    return batch(
        "walnut-mother", day, "SL",
        logged("steep", readings(rng, {"left.mass": (1.56, 0.025, 3, "kg", TARED)}),
               lot("pear-brandy", "4.200 l", f"RC-L{402 + n}"), lot("walnut", "2.000 kg", "NQ-260615"),
               lot("walnut-mother", "2.000 l", "mother since June"), at=f"{day}T10:00:00Z"),
        logged("rest", readings(rng, {"out.volume": (6.35, 0.004, 2, "l", "jug at 20 C")}), at=f"{day}T17:00:00Z"),
    )  # fmt: skip


DAYS: tuple[tuple[Callable[[Random, str, int], Plain], str], ...] = (
    (_distillate, "2026-04-20 2026-06-08 2026-07-27 2026-09-14 2026-10-26"),
    (_lime, "2026-03-11 2026-04-15 2026-05-20 2026-07-08 2026-09-09 2026-10-28"),
    (_cucumber, "2026-02-10 2026-05-12 2026-08-18 2026-11-10"),
    (_punch, "2026-02-23 2026-05-25 2026-08-24 2026-11-16"),
    (_walnut, "2026-06-22 2026-08-31 2026-10-19"),
)


def _all() -> list[Plain]:
    rng = Random(SEED)
    return [made(rng, day, n) for made, days in DAYS for n, day in enumerate(days.split())]


BATCHES: list[Plain] = _all()
