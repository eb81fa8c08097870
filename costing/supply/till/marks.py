"""What the marks of rows mean: as the till says, by words, or by a letter that the money of every row bears out."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from costing.book.buying import Columns
from costing.book.selling import RowFlag
from costing.supply.columns.folding import folded
from costing.supply.columns.record import use_of
from costing.supply.till.prices import ZERO
from costing.supply.till.record import TillRow, plain_text
from costing.supply.till.vocabulary import FLAG_WORDS, LETTERS, NO, YES

_WORDS: Mapping[str, RowFlag] = {word: flag for flag, words in reversed(FLAG_WORDS) for word in words.split()}
_RANK: Mapping[RowFlag, int] = {flag: n for n, (flag, _) in enumerate(FLAG_WORDS)}


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSeen:
    """One mark of a file, how many rows bear it, what it means ("" for one that has to be asked), and how that is
    known: somebody "said" so, the "till" remembers it, by its "word", or by the "money" of its rows."""

    mark: str
    rows: int
    flag: RowFlag | Literal[""] = ""
    how: Literal["", "said", "till", "word", "money"] = ""


def marks_of(
    rows: Sequence[TillRow], columns: Columns, *, said: Iterable[tuple[str, RowFlag]] = (),
    kept: Iterable[tuple[str, RowFlag]] = (),
) -> dict[str, MarkSeen]:  # fmt: skip
    """Every mark of a file by its plain text."""
    answers = {plain_text(mark): flag for mark, flag in said}
    remembered = {plain_text(mark): flag for mark, flag in kept}
    use = use_of(columns, "flag")
    heading = flag_of_words(use.header) if use is not None else ""
    by_mark: dict[str, list[TillRow]] = {}
    for row in rows:
        if row.flag:
            by_mark.setdefault(plain_text(row.flag), []).append(row)
    out: dict[str, MarkSeen] = {}
    for mark, bearing in by_mark.items():
        shown, count = bearing[0].flag, len(bearing)
        flag: RowFlag | Literal[""]
        if mark in answers:
            out[mark] = MarkSeen(mark=shown, rows=count, flag=answers[mark], how="said")
        elif mark in remembered:
            out[mark] = MarkSeen(mark=shown, rows=count, flag=remembered[mark], how="till")
        elif heading and heading != "sold" and mark in YES | NO:
            out[mark] = MarkSeen(mark=shown, rows=count, flag=heading if mark in YES else "sold", how="word")
        elif flag := flag_of_words(shown):
            out[mark] = MarkSeen(mark=shown, rows=count, flag=flag, how="word")
        else:
            flag = _by_money(shown.strip().upper(), bearing)
            out[mark] = MarkSeen(mark=shown, rows=count, flag=flag, how="money" if flag else "")
    return out


def flag_of_words(text: str) -> RowFlag | Literal[""]:
    """What the words of a mark, a heading or a reason say; "" where no word is known. Waste is said before a void: what
    was voided because it was spilled has been made."""
    said = [flag for word in folded(text).split() if len(word) > 1 and (flag := _known(word))]
    said.sort(key=_RANK.__getitem__)
    return said[0] if said else ""


def _known(word: str) -> RowFlag | None:
    """A folded word has lost its plural ending; so have the known ones, where that changes them."""
    return _WORDS.get(word) or _WORDS.get(word + "s") or _WORDS.get(word + "es")


def _by_money(letter: str, rows: Sequence[TillRow]) -> RowFlag | Literal[""]:
    """What one letter means where every row that bears it agrees with that, and with no other meaning of it."""
    fitting = {flag for sign, flag in LETTERS if sign == letter and all(_agrees(flag, row) for row in rows)}
    return fitting.pop() if len(fitting) == 1 else ""


def _agrees(flag: RowFlag, row: TillRow) -> bool:
    amount, qty = row.amount, row.qty
    if amount is None or qty is None:
        return False
    given = qty > 0 and amount == 0 and (row.gross is None or (row.gross > 0 and row.discount == row.gross))
    if flag == "given":
        return given
    back = qty < 0 and amount < 0
    return (back or given) if flag == "wasted" else back


def resolved(row: TillRow, marks: Mapping[str, MarkSeen]) -> RowFlag | Literal[""]:
    """What a row is by its mark and its reason; "" where its mark has to be asked. A row without a mark is sold; so is
    one whose reason alone says otherwise, unless it takes back or brings nothing."""
    flag: RowFlag | Literal[""] = "sold"
    if row.flag:
        flag = marks[plain_text(row.flag)].flag
    if row.reason and flag in ("sold", "before it was made"):
        why = flag_of_words(row.reason)
        if flag == "before it was made":
            return "wasted" if why == "wasted" else flag
        if why and why != "sold" and row.qty is not None and (row.qty < 0 or (row.amount or ZERO) == 0):
            return why
    return flag
