"""A supplier's list of many goods with errors that are known, to measure what a reader of lists lets through.

Honest prices move as they do: spirits within a few per cent, fresh goods by tens of per cent with the season. Errors
are of the sorts that happen (``ERRORS``), equally many of each; a wrong price only stands where it lies clearly outside
what an honest one of that kind does, so that whatever reads the list could know. Everything is drawn from the seed.

``python -m sample_data.biglist --rows 20000 --seed 1 --out FILE`` writes a list, and with ``--truth FILE`` what is
wrong in it.
"""

import argparse
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import cos, exp, log, log1p, pi
from pathlib import Path
from random import Random
from typing import NamedTuple

from sample_data.bigkinds import KINDS, Kind, kinds_of
from sample_data.bigslips import ERRORS, Good, spoiled
from sample_data.quotes import MONTHS, gtin

VALID = date(2026, 12, 7)
HEADER = ("Art.-Nr.", "EAN", "Bezeichnung", "Gruppe", "Gebinde", "Preis € netto", "Währung", "MwSt %")
MOST = 150_000
LAST_MONTH = 11
"""The month of the prices before: this list's is the next."""
STIR = 0.1
"""How far a fresh price lies off its season, as the logarithm of a factor, up or down."""


class Told(NamedTuple):
    """One line of the file (1 is the heading): the error in it or "", the price of the pack that is right, and the text
    that stands in the price cell."""

    row: int
    error: str
    code: str
    right: Decimal
    written: str


class Swing(NamedTuple):
    """The year of a fresh good: how far the season goes, the month of the highest price, and how far the last price lay
    off its season."""

    far: float
    peak: float
    off: float

    def factor(self, month: int) -> float:
        """Of the mean of the year, without chance."""
        return 1 + self.far * cos(2 * pi * (month - self.peak) / 12)


@dataclass(frozen=True, kw_only=True)
class BigList:
    """``data`` is the file: cp1252, semicolons, decimal commas. ``truth`` has every line below the heading.

    ``prices_before`` is by code the pack as the house writes it ("6 x 0.7 l") and its price as last quoted, ``kinds``
    what kind of good it is, ``swings`` the season of the fresh ones.
    """

    seed: int
    data: bytes
    truth: tuple[Told, ...]
    prices_before: Mapping[str, tuple[str, Decimal]]
    kinds: Mapping[str, str]
    swings: Mapping[str, Swing]

    def history(self, code: str) -> tuple[tuple[date, Decimal], ...]:
        """A year of prices of the pack, the oldest first; the last one is that of ``prices_before``. Fresh goods have
        one a month, others one to five. KeyError for an unknown code."""
        last = self.prices_before[code][1]
        rng = Random(f"{self.seed}/{code}")
        days = [date.fromisoformat(day) for day in MONTHS]
        swing = self.swings.get(code)
        prices = _season(rng, last, swing) if swing else _steps(rng, last, KINDS[self.kinds[code]])
        return tuple((days[month], price) for month, price in prices)


def _season(rng: Random, last: Decimal, swing: Swing) -> Iterator[tuple[int, Decimal]]:
    """Every month from December to October by season and chance, then the last price."""
    for n, month in enumerate((12, *range(1, LAST_MONTH))):
        off = STIR * (2 * rng.random() - 1) - swing.off
        factor = swing.factor(month) / swing.factor(LAST_MONTH) * exp(off)
        yield n, _money(max(1, round(float(last) * 100 * factor)))
    yield LAST_MONTH, last


def _steps(rng: Random, last: Decimal, kind: Kind) -> Iterator[tuple[int, Decimal]]:
    """A few moves, worked out backwards: where a month had none the price stood."""
    out, cents = [], float(last * 100)
    for n in range(LAST_MONTH, 0, -1):
        if rng.random() < kind.moves / 3:
            out.append((n, _money(max(1, round(cents)))))
            cents /= exp(_move(rng, kind))
    out.append((0, _money(max(1, round(cents)))))
    if len(out) == 1:
        return iter([(0, last)])
    return reversed(out)


def _money(cents: int) -> Decimal:
    return Decimal(cents).scaleb(-2)


def _move(rng: Random, kind: Kind) -> float:
    """The logarithm of a move that is no slip: rather up than down."""
    return log1p(kind.width) * (1.4 * rng.random() - 0.4)


def big_list(rows: int = 20_000, seed: int = 1, errors: float = 0.02) -> BigList:
    """A list of ``rows`` goods, of which the share ``errors`` is wrong. ValueError outside 1 to 150,000 rows and shares
    from 0 to 0.5, or where a list is too small for its errors."""
    if not 1 <= rows <= MOST:
        raise ValueError(f"rows {rows} must lie from 1 to {MOST:,}")
    if not 0 <= errors <= 0.5:
        raise ValueError(f"the share of errors {errors} must lie from 0 to 0.5")
    rng = Random(seed)
    goods: list[Good] = []
    swings: dict[str, Swing] = {}
    for n, (kind, nth) in enumerate(kinds_of(rows)):
        good, swing = _good(rng, kind, n, nth)
        goods.append(good)
        if swing is not None:
            swings[good.code] = swing
    wrong = _wrong(rng, goods, round(rows * errors))
    lines, truth = [";".join(HEADER)], []
    for n, good in enumerate(goods):
        error, cells = wrong.get(n, ("", good.cells()))
        lines.append(";".join(cells))
        truth.append(Told(n + 2, error, good.code, _money(good.cents), cells[5]))
    return BigList(
        seed=seed,
        data=("\r\n".join(lines) + "\r\n").encode("cp1252"),
        truth=tuple(truth),
        prices_before={g.code: (g.pack.told(), _money(g.before)) for g in goods},
        kinds={g.code: g.kind.name for g in goods},
        swings=swings,
    )


def _good(rng: Random, kind: Kind, n: int, nth: int) -> tuple[Good, Swing | None]:
    """The ``nth`` good of a kind and the ``n``-th of the list, its price before and now."""
    pack = kind.packs[int(len(kind.packs) * rng.random())]
    low, high = kind.asked
    before = max(100, round(100 * exp(log(low) + log(high / low) * rng.random()) * pack.amount))
    swing, move = None, 0.0
    if kind.fresh:
        swing = Swing(0.3 * rng.random(), 12 * rng.random(), STIR * (2 * rng.random() - 1))
        off = STIR * (2 * rng.random() - 1) - swing.off
        move = log(swing.factor(LAST_MONTH + 1) / swing.factor(LAST_MONTH)) + off
    elif rng.random() < kind.moves:
        move = _move(rng, kind)
    now = max(100, round(before * exp(move)))
    number = 100_000 + n
    return Good(kind, f"{kind.letter}{number}", gtin(5_000_000 + n), kind.named(nth), pack, before, now), swing


def _wrong(rng: Random, goods: list[Good], many: int) -> dict[int, tuple[str, list[str]]]:
    """By place in the list the error and the cells that then stand there: each sort in turn, at the next place by
    chance where it makes a difference that shows."""
    order = sorted(range(len(goods)), key=[rng.random() for _ in goods].__getitem__)
    free = dict.fromkeys(order)
    out: dict[int, tuple[str, list[str]]] = {}
    passed, turn = 0, 0
    while len(out) < many:
        error = ERRORS[turn % len(ERRORS)]
        turn += 1
        found = None
        for at in free:
            beside = goods[at + 1] if at + 1 < len(goods) else goods[at - 1]
            cells = spoiled(rng, error, goods[at], beside)
            if cells is not None:
                found = at, cells
                break
        if found is None:
            passed += 1
            if passed >= len(ERRORS):
                raise ValueError(f"a list of {len(goods)} rows has no place for {many} errors")
            continue
        passed = 0
        out[found[0]] = error, found[1]
        del free[found[0]]
    return out


def main(argv: list[str] | None = None) -> None:
    """Write a list, and what is wrong in it if asked to."""
    parser = argparse.ArgumentParser(prog="python -m sample_data.biglist", description=main.__doc__)
    parser.add_argument("--rows", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--errors", type=float, default=0.02, help="share of the rows that is wrong")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--truth", type=Path, help="where the errors are written: row;error;code;right;written")
    args = parser.parse_args(argv)
    made = big_list(args.rows, args.seed, args.errors)
    args.out.write_bytes(made.data)
    if args.truth:
        told = [";".join(map(str, line)) for line in made.truth if line.error]
        args.truth.write_text("\n".join(["row;error;code;right;written", *told]) + "\n", encoding="utf-8")


__all__ = ["ERRORS", "BigList", "Swing", "Told", "big_list"]

if __name__ == "__main__":
    main()
