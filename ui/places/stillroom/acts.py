"""What can be done with the stages of a preparation, each act with its key."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QObject, QPoint, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from costing.book.book import Book
from costing.book.change import Step
from costing.book.kinds import STAGE_KINDS
from costing.edits import stage_lines as line_edits
from costing.edits import stages
from costing.report.words import stage_word
from costing.tongue import capital, say
from ui.desk import Desk
from ui.fault import Refusal
from ui.format import own
from ui.models.table import RowTable
from ui.places.stillroom.lines import StageLine
from ui.places.stillroom.table import StageTable
from ui.places.stillroom.writing import remove_line, write_kind, write_text
from ui.widgets.acts import acts
from ui.widgets.table import Block


class StageActs(QObject):
    """Acts on the line of a stage that is come to."""

    opened = Signal(str)
    """The id of a stage whose every figure is wanted, or not any more."""

    def __init__(self, desk: Desk, table: StageTable, model: RowTable[StageLine], ident: Callable[[], str]) -> None:
        super().__init__(table)
        self.desk, self.table, self.model, self._ident = desk, table, model, ident
        table.paste_step = self._paste
        self.actions = self._make()

    def _make(self) -> list[QAction]:
        return acts(
            self.table,
            [
                (say("A stage after this one…"), "Ins", self.ask_stage),
                (say("A stage of its own for this component…"), "Ctrl+Shift+I", self.ask_split),
                (say("This stage once more"), "Ctrl+Alt+D", self.duplicate_stage),
                (say("Every figure of this stage, or only those that are there"), "F8", self.open_stage),
                (say("Change the kind all the same"), "Ctrl+Return", self.change_all_the_same),
                (say("Up"), "Ctrl+Up", partial(self.shift, -1)),
                (say("Down"), "Ctrl+Down", partial(self.shift, 1)),
                (say("Take this out"), "Delete", self.remove),
            ],
            alone=True,
        )

    def ask_stage(self) -> None:
        """Choose the kind of a new stage."""
        self._kinds(self.add_stage)

    def ask_split(self) -> None:
        """Choose the kind of a stage for the chosen components."""
        if self._chosen_inputs():
            self._kinds(self.split_off)
        else:
            self.desk.tell(say("Come to a component first: it gets a stage of its own, and what was typed stays."))

    def _kinds(self, act: Callable[[str], object]) -> None:
        menu = QMenu(self.table)
        menu.setAccessibleName(say("Kinds of stage"))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        mechanism = ""
        titles = dict(zip(STAGE_KINDS, lettered([capital(stage_word(kind)) for kind in STAGE_KINDS]), strict=True))
        for kind, row in STAGE_KINDS.items():
            if mechanism and row.mechanism != mechanism:
                menu.addSeparator()
            mechanism = row.mechanism
            menu.addAction(titles[kind]).triggered.connect(partial(_run, act, kind))
        at = self.table.visualRect(self.table.currentIndex())
        menu.popup(self.table.viewport().mapToGlobal(QPoint(at.left(), at.bottom())))

    def add_stage(self, kind: str) -> bool:
        """A new stage behind the one that is come to."""
        document, made = self.desk.document, ""
        row = self.table.line()
        found = document.view.preparations.get(self._ident())
        if found is None:
            return False
        order = [s.id for s in found[1].stages]
        at = order.index(row.stage) + 1 if row is not None and row.stage in order else len(order)

        def work() -> Step:
            nonlocal made
            step, made = stages.add_stage(document.book, self._ident(), document.day, kind, at)
            return step

        return self.desk.attempt(work) and self._begin(made)

    def split_off(self, kind: str) -> bool:
        """A stage of its own for the chosen components, before theirs."""
        document, made = self.desk.document, ""
        chosen = self._chosen_inputs()
        if chosen is None:
            return False
        stage, places = chosen

        def work() -> Step:
            nonlocal made
            step, made = stages.split_off(document.book, self._ident(), document.day, stage, kind, places)
            return step

        return self.desk.attempt(work) and self._begin(made)

    def come_to(self, line: str) -> bool:
        """Come to a line of the preparation that is shown ("infuse/add/0"); False where there is none."""
        return self.table.choose(f"{self._ident()}/{line}", 1)

    def _begin(self, stage: str) -> bool:
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return self.come_to(f"{stage}/new")

    def _chosen_inputs(self) -> tuple[str, list[int]] | None:
        """(stage, places) of the selected components, all of one stage; nothing where none is."""
        row = self.table.line()
        if row is None:
            return None
        keys = set(self.table.chosen()) | {row.key}
        places = [r.at for r in self.model.rows() if r.key in keys and r.sort == "add" and r.stage == row.stage]
        return (row.stage, places) if places else None

    def duplicate_stage(self) -> None:
        """The stage once more, behind itself."""
        row, document = self.table.line(), self.desk.document
        if row is not None and row.stage:
            made = ""

            def work() -> Step:
                nonlocal made
                step, made = stages.duplicate_stage(document.book, self._ident(), document.day, row.stage)
                return step

            if self.desk.attempt(work):
                self.come_to(made)

    def open_stage(self) -> None:
        """Every figure that the stage may have, or only those that are there."""
        row = self.table.line()
        if row is not None and row.stage:
            self.opened.emit(row.stage)

    def change_all_the_same(self) -> None:
        """The kind that was typed, though figures go with it."""
        row, document = self.table.line(), self.desk.document
        if row is None or row.sort != "stage":
            return
        index = self.model.index(self.model.position(row.key) or 0, 1)
        typed = str(index.data() or "")
        work = partial(write_kind, self._ident(), document.day, document.book, row.stage, typed, giving_up=True)
        self.model.drop_refused(index)
        self.desk.attempt(work)

    def shift(self, by: int) -> None:
        """A stage or a component earlier or later."""
        row, document = self.table.line(), self.desk.document
        if row is None or not row.stage:
            return
        if row.sort == "add":
            work = partial(line_edits.move_line, document.book, self._ident(), document.day, row.stage, row.at, by)
            inside = f"{row.stage}/add/{row.at + by}"
            if self.desk.attempt(work):
                self.come_to(inside)
        else:
            self.desk.attempt(
                partial(stages.move_stage, document.book, self._ident(), document.day, row.stage, by)
            )  # fmt: skip

    def remove(self) -> None:
        """Take away what the chosen line says."""
        row, document = self.table.line(), self.desk.document
        if row is not None:
            self.desk.attempt(partial(remove_line, self._ident(), document.day, document.book, row))

    def _paste(self, book: Book, block: Block, row: int, column: int) -> Step | None:
        """A recipe into a stage; a column of figures into the lines from here on; one step either way."""
        rows = self.model.rows()
        line = rows[row] if 0 <= row < len(rows) else next((r for r in reversed(rows) if r.sort == "new"), None)
        if line is None or line.sort == "end":
            return None
        if line.sort in ("figure", "equipment", "labour", "kept", "share"):
            return write_text(self._ident(), self.desk.document.day, set(), book, line, block[0][0])
        text = "\n".join(" ".join(cell.strip() for cell in cells if cell.strip()) for cells in block)
        at = line.at if line.sort in ("add", "new") else 0
        step, found = line_edits.paste_lines(book, self._ident(), self.desk.document.day, line.stage, at, text)
        if found.undecided:
            waiting = "; ".join(entry.text for entry in found.undecided)
            if step is None:
                raise Refusal(
                    say("Nothing of this was taken."),
                    say("No line says what goes in and how much of it: {lines}.", lines=waiting),
                    say("Write an amount and a name of the book, like “1.2 kg pineapple”."),
                )
            self.desk.tell(say("Not taken, type them by hand: {lines}", lines=own(waiting)))
        return step


def _run(act: Callable[[str], object], kind: str, *_: object) -> None:
    act(kind)


def lettered(titles: Sequence[str]) -> list[str]:
    """Titles with a letter each to choose it by, as long as there are letters: the first that nobody has yet."""
    taken: set[str] = set()
    out = []
    for title in titles:
        at = next((n for n, ch in enumerate(title) if ch.isalpha() and ch.casefold() not in taken), None)
        if at is None:
            out.append(title)
            continue
        taken.add(title[at].casefold())
        out.append(f"{title[:at]}&{title[at:]}")
    return out
