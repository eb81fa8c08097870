"""Costs drawn at random over a whole menu: every source once a draw, through everything that it moves.

Latin hypercube sampling (McKay, Beckman and Conover 1979): each source takes each of ``n`` equally likely slices of its
distribution once, in an order of its own that stands on the seed and the source's name. So a draw does not change for
what else is in the book, and two scenarios drawn with one seed differ by what differs between them.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import log, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING
from zlib import crc32

from costing.book.change import Key
from costing.book.records import Layer
from costing.ledger.reckon import Reckoning
from costing.pricing.exposure import Exposures, Node, exposures
from costing.pricing.sources import Source

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

DRAWS = 10_000
SEED = 20_260
BLOCK = 1_000
"""Draws worked through at once: what is at work then stays in a processor's cache."""


def cost_draws(
    reckoning: Reckoning,
    serves: Sequence[str],
    n: int = DRAWS,
    seed: int = SEED,
    layers: Sequence[Layer] | None = None,
) -> "Floats":
    """Costs of these drinks drawn ``n`` times, (n, len(serves)), in these layers (None: those of pour cost).

    What has no price counts nothing, as in the cost itself: a drink with such a part costs at least that. A drink that
    cannot be read costs 0. KeyError for one that is not there on the day.
    """
    return draw_costs(exposures(reckoning, layers, serves=set(serves)), serves, n=n, seed=seed)


def draw_costs(
    found: Exposures,
    serves: Sequence[str] | None = None,
    *,
    made: Sequence[str] = (),
    n: int = DRAWS,
    seed: int = SEED,
) -> "Floats":
    """Costs drawn ``n`` times, (n, drinks + outputs): columns are ``serves`` (None: all of the web), then ``made``.

    ValueError for fewer than one draw, or a seed below 0. KeyError for an output that is not in the web.
    """
    import numpy as np  # noqa: PLC0415

    if n < 1 or seed < 0:
        raise ValueError(f"{n} draws with the seed {seed}: at least 1 draw, and a seed of 0 or more, are needed")
    wanted: list[Key] = [("serve", s) for s in (found.serves if serves is None else serves)]
    wanted += [("", name) for name in made]
    order = _needed(found, wanted)
    vary = _varying(found, order)
    rows = {key: place for place, key in enumerate(vary)}
    factors = _Factors(found.sources, {k for key in vary for k in _node(found, key).own}, n, seed)
    steps = [_step(found, key, rows, factors) for key in vary]
    out = np.zeros((len(wanted), n))
    sure = set(order) - vary.keys()
    for column, key in enumerate(wanted):
        out[column] = _node(found, key).cost if key in sure else 0.0
    at = [(column, rows[key]) for column, key in enumerate(wanted) if key in rows]
    block = np.empty((len(vary), min(n, BLOCK)))
    for start in range(0, n, BLOCK):
        end = min(n, start + BLOCK)
        work = block[:, : end - start]
        for row, step in enumerate(steps):
            step(work, row, start, end)
        for column, row in at:
            out[column, start:end] = work[row]
    return out.T


def _node(found: Exposures, key: Key) -> Node:
    return found.serves[key[1]] if key[0] else found.nodes[key[1]]


def _needed(found: Exposures, wanted: Iterable[Key]) -> list[Key]:
    """What these stand on, and they themselves, inputs first."""
    keys = {key for key in wanted if not key[0] or key[1] in found.serves}
    below = [name for key in keys for name in _node(found, key).row]
    while below:
        name = below.pop()
        if ("", name) not in keys:
            keys.add(("", name))
            below += found.nodes[name].row
    return [("", name) for name in found.nodes if ("", name) in keys] + sorted(key for key in keys if key[0])


def _varying(found: Exposures, order: Iterable[Key]) -> dict[Key, None]:
    """Those of these nodes that some source moves, in order."""
    out: dict[Key, None] = {}
    for key in order:
        node = _node(found, key)
        if node.own or any(("", source) in out for source in node.row):
            out[key] = None
    return out


class _Factors:
    """The factor of each node, drawn."""

    def __init__(self, sources: Sequence[Source], used: Iterable[int], n: int, seed: int) -> None:
        import numpy as np  # noqa: PLC0415

        self.sources = sources
        middles = (np.arange(n) + 0.5) / n
        bell = np.array([NormalDist().inv_cdf(share) for share in middles.tolist()])
        self.drawn: dict[int, Floats] = {}
        for k in sorted(used):
            source = sources[k]
            own = np.random.Generator(np.random.SFC64([seed, crc32(source.name.encode())]))
            if source.seen is not None:  # anywhere between the least and the most
                self.drawn[k] = own.permutation(source.seen[0] + (source.seen[1] - source.seen[0]) * middles)
            else:
                self.drawn[k] = own.permutation(bell)

    def of(self, node: Node) -> "Floats | None":
        """(n,) of a node; None where it is always 1."""
        import numpy as np  # noqa: PLC0415

        logs: Floats | None = None
        for k, sd in node.own.items():
            more = self._logs(k, sd)
            logs = more if logs is None else logs + more
        return np.exp(logs) if logs is not None else None

    def _logs(self, k: int, sd: float) -> "Floats":
        source, drawn = self.sources[k], self.drawn[k]
        if source.seen is not None:
            return drawn
        if source.basis in ("batches", "prices"):
            return source.middle + sd * drawn
        width = sqrt(log(1.0 + sd * sd))
        # what was tested is known by its mean; cost is over a lognormal yield of that mean
        raised = width * width / 2.0 if source.basis == "tests" else 0.0
        return raised + (width if sd > 0.0 else -width) * drawn


def _step(
    found: Exposures, key: Key, rows: Mapping[Key, int], factors: _Factors
) -> "Callable[[Floats, int, int, int], None]":
    """What works out one node for one block of draws: (rows of costs, own row, first draw, last draw + 1)."""
    import numpy as np  # noqa: PLC0415

    node = _node(found, key)
    factor = factors.of(node)
    moving = {source: amount for source, amount in node.row.items() if ("", source) in rows}
    places = np.array([rows["", source] for source in moving], dtype=np.intp)
    amounts = np.array(list(moving.values()))
    still = sum(amount * found.nodes[source].cost for source, amount in node.row.items() if source not in moving)
    sure = still if node.row else node.cost

    def step(work: "Floats", row: int, start: int, end: int) -> None:
        own = work[row]
        if len(places):
            np.dot(amounts, work[places], out=own)
            own += sure
        else:
            own[:] = sure
        if factor is not None:
            own *= factor[start:end]

    return step
