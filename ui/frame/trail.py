"""Where one was before, and where one went back from."""

from ui.desk import Where

LONGEST = 100
"""Places one can go back to."""
Spot = tuple[str, Where | None]
"""A place, and the thing in it that was gone to."""


class Trail:
    """Places in the order they were come to; going on from an earlier one forgets what came after it."""

    def __init__(self) -> None:
        self._spots: list[Spot] = []
        self._at = -1

    @property
    def begun(self) -> bool:
        """Whether one has been anywhere yet."""
        return bool(self._spots)

    def leads(self, by: int) -> bool:
        """Whether there is a place so many steps on, back where ``by`` is below 0."""
        return 0 <= self._at + by < len(self._spots)

    def come_to(self, spot: Spot) -> None:
        """Remember a place that was come to; the same one twice is one."""
        if not self.begun or self._spots[self._at] != spot:
            self._spots = [*self._spots[: self._at + 1], spot][-LONGEST:]
            self._at = len(self._spots) - 1

    def step(self, by: int) -> Spot | None:
        """Go so many steps along it; None where it does not lead."""
        if not self.leads(by):
            return None
        self._at += by
        return self._spots[self._at]
