"""The columns that stages are typed into."""

from collections.abc import Callable, Sequence

from costing.book.book import Book
from costing.book.change import Step
from costing.report.method_words import method_word
from costing.tongue import say
from ui.desk import Desk, Where
from ui.models.table import Column
from ui.places.stillroom.lines import StageLine
from ui.places.stillroom.writing import methods_for, offers_for, write_how, write_text
from ui.whys import FigureOf, UnitCost


def stage_columns(
    desk: Desk,
    ident: Callable[[], str],
    line: Callable[[], StageLine | None],
    lines: Callable[[], Sequence[StageLine]],
) -> list[Column[StageLine]]:
    """What a line of a stage shows. ``ident`` is the preparation that is shown, ``line`` the line that is come to,
    ``lines`` are all of them: what is offered while one types depends on them."""
    document = desk.document

    def offers(text: str) -> list[str]:
        row = line()
        return offers_for(document.figures, lines(), row, text) if row else []

    def methods(text: str) -> list[str]:
        row = line()
        usable = methods_for(document.figures, ident(), row)[0] if row else []
        return [m for m in map(method_word, usable) if m.casefold().startswith(text.casefold())]

    def write(book: Book, row: StageLine, text: str) -> Step | None:
        return write_text(ident(), document.day, document.past_ids(), book, row, text)

    def write_beside(book: Book, row: StageLine, text: str) -> Step | None:
        return write_how(ident(), document.day, book, row, text)

    def why(row: StageLine) -> object | None:
        if row.source:
            return UnitCost(row.source)
        if row.fact is not None:
            return FigureOf(row.label, row.fact, Where("preparation", ident(), f"stage/{row.stage}/{row.name}"))
        return None

    def how_tip(row: StageLine) -> str:
        usable, not_here = methods_for(document.figures, ident(), row)
        if not usable and not not_here:
            return row.tip or row.label
        works = say(
            "Measured by: {methods}.", methods=", ".join(map(method_word, usable)) or say("nothing the house knows")
        )
        barred = "; ".join(say("{method} not here: {why}", method=method_word(m), why=why) for m, why in not_here)
        return f"{works}\n{barred}" if barred else works

    return [
        Column[StageLine]("label", say("Stage"), lambda r: r.label, strong=_heads, why=why, tip=_tip),
        Column[StageLine](
            "text", say("As typed"), lambda r: r.text, write=write,
            editable=lambda r: r.sort != "problem", offers=offers, mark=lambda r: r.mark,
            why=why, tip=_tip, strong=_heads,
        ),
        Column[StageLine](
            "how", say("How, spill, note"), lambda r: r.how, write=write_beside,
            editable=lambda r: r.sort in ("stage", "add", "share") or r.fact is not None, offers=methods, tip=how_tip,
            about=say("How a figure was measured; what of a component is spilled; a note on a stage"),
        ),
    ]  # fmt: skip


def _heads(row: StageLine) -> bool:
    return row.sort == "stage"


def _tip(row: StageLine) -> str:
    return row.tip or row.label
