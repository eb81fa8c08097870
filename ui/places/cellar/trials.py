"""Yield tests of the chosen ingredient: what was weighed, the mean, and the recipe it is taken into."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.records import YieldTest
from costing.book.yields import yield_mean, yield_share
from costing.edits import trials
from costing.report.words import figure_word
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.fault import KNOWN, refusal_of
from ui.format import Format, own
from ui.frame.opening import who
from ui.models.table import Column, RowTable
from ui.widgets.acts import act
from ui.widgets.fields import TextField
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


@dataclass(frozen=True, slots=True)
class TrialRow:
    """One test."""

    test: YieldTest

    @property
    def share(self) -> float | None:
        """The share kept."""
        found = yield_share(self.test)
        return float(found) if found is not None else None


def trial_columns(form: Format) -> Sequence[Column[TrialRow]]:
    """What a test shows."""
    return (
        Column[TrialRow]("day", say("Day"), lambda r: form.day(r.test.day), sort=lambda r: r.test.day),
        Column[TrialRow]("part", say("Kept"), lambda r: r.test.part),
        Column[TrialRow]("gross", say("As purchased"), lambda r: r.test.gross.text, True),
        Column[TrialRow]("kept", say("Can be used"), lambda r: r.test.kept.text, True),
        Column[TrialRow]("share", say("Yield"), lambda r: form.percent(r.share), True, lambda r: r.share),
        Column[TrialRow]("who", say("By"), lambda r: r.test.initials),
        Column[TrialRow]("note", say("Note"), lambda r: r.test.note),
    )


class TrialsPage(QWidget):
    """Weigh, see the mean, take it into a recipe."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.good = desk, ""
        self._typed: dict[str, tuple[str, ...]] = {}
        self.rows: RowTable[TrialRow] = RowTable(trial_columns(desk.format), lambda r: r.test.id, desk, self)
        empty = EmptyPlace(say("Weigh it as purchased, trim or juice it, weigh again: type both weights above."))
        self.list = ListPane(self.rows, say("Yield tests"), empty, self)
        self.list.filter.hide()
        self.list.count.hide()
        self.gross = TextField(say("As purchased"), self, hint=say("2.45 kg less 0.65 kg"))
        self.kept = TextField(say("Can be used"), self, hint="1.02 kg")
        self.part = TextField(say("What was kept"), self, hint=say("flesh, juice…"))
        self._fields = (self.gross, self.kept, self.part)
        self.add = QPushButton(say("Add the test"), self)
        self.add.clicked.connect(self.take)
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        self.said.hide()
        self.mean = QLabel(self)
        self.mean.setWordWrap(True)
        self.into = QComboBox(self)
        self.into.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.into.setMinimumContentsLength(10)
        self.into.setAccessibleName(say("Stage that takes the mean"))
        self.use = QPushButton(say("Take the mean into this recipe"), self)
        self.use.clicked.connect(self.write)
        fields = QFormLayout()
        for title, field in (
            (say("As purchased"), self.gross), (say("Can be used"), self.kept), (say("What was kept"), self.part),
        ):  # fmt: skip
            fields.addRow(title, field)
        # One under the other, so that large letters do not make the window wider than a small screen.
        acts = QHBoxLayout()
        acts.addWidget(self.add)
        acts.addStretch(1)
        below = QVBoxLayout()
        below.addWidget(self.into)
        below.addWidget(self.use, 0, Qt.AlignmentFlag.AlignLeading)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(fields)
        layout.addLayout(acts)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.mean)
        layout.addLayout(below)
        self.list.table.current_key.connect(self._chosen)
        self._make_actions()

    def _make_actions(self) -> None:
        act(self.list.table, say("Remove this test"), "Delete", self.remove, alone=True)
        act(self, say("Add the test"), "Ctrl+Return", self.take)
        self.add.setToolTip(say("Ctrl+Enter"))

    def show_good(self, good: str) -> None:
        """The tests of a good; "" for none. What was typed for another waits until that one is shown again."""
        fresh, before, self.good = good != self.good, self.good, good
        document = self.desk.document
        self.setEnabled(bool(good))
        if fresh:
            self._turn(before)
        self.rows.set_rows(TrialRow(t) for t in trials.trials_of(document.book, good))
        if fresh:
            self._say("")
            self.list.table.fit_columns()
        self._offer()

    def _turn(self, before: str) -> None:
        """Weights are of the good that they were typed for: keep them with it, and show those of this one."""
        if any(field.text() for field in self._fields):
            self._typed[before] = tuple(field.text() for field in self._fields)
        typed = self._typed.pop(self.good, ("",) * len(self._fields))
        for field, text in zip(self._fields, typed, strict=True):
            field.revert()
            field.setText(text)

    def _part(self) -> str | None:
        index = self.list.table.currentIndex()
        if index.isValid():
            return self.rows.row(index.row()).test.part
        rows = self.rows.rows()
        return rows[-1].test.part if rows else None

    def _chosen(self, _: str) -> None:
        self._offer()

    def _offer(self) -> None:
        document, part, form = self.desk.document, self._part(), self.desk.format
        mean = yield_mean(trials.trials_of(document.book, self.good, part)) if part is not None else None
        if mean is None:
            self.mean.setText("")
        else:
            spread = form.percent(mean.spread) if mean.spread is not None else say("not known from one")
            self.mean.setText(
                say_many("{part}: {share} of what is purchased, from {n} test; tests differ by {spread}",
                         "{part}: {share} of what is purchased, from {n} tests; tests differ by {spread}",
                         mean.n, part=own(part or say("kept")), share=form.percent(mean.share), spread=spread)
            )  # fmt: skip
        self.into.clear()
        for preparation, stage, fact in trials.stages_for(document.book, self.good, document.day):
            name = document.names.get(preparation, preparation)
            text = say(
                "{preparation}, {stage}: {figure}", preparation=own(name), stage=own(stage), figure=figure_word(fact)
            )
            self.into.addItem(text, (preparation, stage))
        self.use.setEnabled(mean is not None and self.into.count() > 0)

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))

    def take(self) -> None:
        """Add what was typed as a test."""
        document = self.desk.document
        try:
            step = trials.new_trial(
                document.book, self.good, document.day, self.gross.text(), self.kept.text(), self.part.text(),
                who(), document.past_ids(),
            )  # fmt: skip
        except KNOWN as error:
            self._say(refusal_of(error).text)
            return
        if not self.desk.do(step):
            self._say(self.desk.refusal.text if self.desk.refusal else "")
        else:
            self._say("")
            for field in (self.gross, self.kept):
                field.revert()
            self.gross.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self) -> None:
        """The mean into the chosen stage, from the day that is looked at."""
        chosen, part, document = self.into.currentData(), self._part(), self.desk.document
        if chosen is not None and part is not None:
            preparation, stage = chosen
            self.desk.attempt(
                lambda: trials.write_mean(
                    document.book, self.good, part, preparation, stage, document.day, document.day
                )
            )

    def remove(self) -> None:
        """Take the chosen test out."""
        index = self.list.table.currentIndex()
        if index.isValid():
            key = self.rows.key(index.row())
            self.desk.attempt(lambda: trials.remove_trial(self.desk.document.book, key))
