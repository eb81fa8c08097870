"""How many runs a stage is made in: as entered, else as many as the equipment's charge size asks for, else one."""

import math
from dataclasses import dataclass

from costing.book.fact import Mark
from costing.book.problem import Problem, problem
from costing.book.records import Stage
from costing.book.units import Dim
from costing.ledger.inputs import Shelf
from costing.ledger.lines import Standing
from costing.ledger.matter import Matter
from costing.ledger.parting import SCALES, Figures
from costing.ledger.reading import Refused, marks_of

MOST_RUNS = 1000


@dataclass(frozen=True, slots=True)
class Runs:
    """The number, whether it was ``counted`` by the charge where nobody entered it, and how sure it is."""

    number: float
    counted: bool
    mark: Mark

    @property
    def marks(self) -> dict[str, Standing]:
        """How the figure "runs" is marked where it was counted."""
        return {"runs": "computed"} if self.counted else {}


def runs_of(stage: Stage, facts: Figures, whole: Matter, shelf: Shelf, where: str, problems: list[Problem]) -> Runs:
    """The runs for a charge of ``whole``. Refused for runs outside 1 to 1000; a charge that the equipment does not
    take in one go, and one whose size is not known, are warned of."""
    size = shelf.size(stage)
    entered = facts.get("runs")
    mark: Mark = marks_of(stage.facts).get("runs", "measured")
    if entered is not None and not 1.0 <= entered <= MOST_RUNS:
        raise Refused([problem("out-of-range", where, figure="runs", value=entered, low=1, high=MOST_RUNS)])
    if size is None:
        return Runs(1.0 if entered is None else entered, False, mark)
    dim, most, guessed = size
    amount = whole.mass if dim is Dim.MASS else whole.volume()
    if not amount:
        if entered is None:
            problems.append(problem("runs-not-counted", where, "warning"))
        return Runs(1.0 if entered is None else entered, False, mark)
    if entered is not None:
        if amount / entered > most * (1.0 + SCALES):
            each, unit = amount / entered, dim.value
            problems.append(problem("over-charge", where, "warning", value=each, most=most, unit=unit))
        return Runs(entered, False, mark)
    number = float(max(1, math.ceil(amount / most - 1e-9)))
    if number > MOST_RUNS:
        raise Refused([problem("out-of-range", where, figure="runs", value=number, low=1, high=MOST_RUNS)])
    return Runs(number, True, guessed)
