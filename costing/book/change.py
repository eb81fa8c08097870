"""Edits: a Step is a named list of Changes, and the only way a Book becomes another Book."""

from dataclasses import dataclass

from costing.book.plain import Plain, from_plain, record_from_plain, record_to_plain
from costing.book.records import KINDS, Record

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Change:
    """One record before and after; None before is a new record, None after a removed one."""

    kind: str
    id: str
    before: Record | None
    after: Record | None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"{self.kind!r} is not a kind of record")
        for side in (self.before, self.after):
            if side is not None and (type(side) is not KINDS[self.kind] or side.id != self.id):
                raise ValueError(f"a change of {self.kind} {self.id!r} holds another record: {side!r:.80}")

    @property
    def key(self) -> Key:
        """(kind, id)."""
        return self.kind, self.id

    def inverse(self) -> "Change":
        """The change that takes this one back."""
        return Change(self.kind, self.id, self.after, self.before)

    def to_plain(self) -> Plain:
        """As stored in the journal."""
        out: Plain = {"kind": self.kind, "id": self.id}
        if self.before is not None:
            out["before"] = record_to_plain(self.before)
        if self.after is not None:
            out["after"] = record_to_plain(self.after)
        return out

    @staticmethod
    def from_plain(data: Plain, where: str) -> "Change":
        """Read back; BadForm names the place."""
        kind = from_plain(str, data.get("kind"), f"{where}.kind")
        ident = from_plain(str, data.get("id"), f"{where}.id")
        before, after = (
            record_from_plain(kind, data[side], f"{where}.{side}") if side in data else None
            for side in ("before", "after")
        )
        return Change(kind, ident, before, after)


@dataclass(frozen=True, slots=True)
class Step:
    """What one act of the user does, under the name that undo shows. ``text`` is a code with figures or words."""

    text: str
    changes: tuple[Change, ...]

    def inverse(self) -> "Step":
        """The step that takes this one back, last change first."""
        return Step(self.text, tuple(change.inverse() for change in reversed(self.changes)))


def put(kind: str, after: Record, before: Record | None = None) -> Change:
    """A change that writes ``after`` (new, or in place of ``before``)."""
    return Change(kind, after.id, before, after)
