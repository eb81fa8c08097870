"""The mean of the last batches, offered as the recipe's figure."""

from collections.abc import Iterator
from datetime import date
from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMenu, QPushButton, QWidget

from costing.edits import batch_recipe
from costing.edits.batch_recipe import LoggedMean
from costing.report.phrases import reading_word
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.format import own

LASTS = (None, 5, 3)
"""Of how many of the last batches a mean is offered; None: of all by the recipe of the day."""


class MeanButton(QPushButton):
    """For the reading that is come to: its mean over the last batches, to be taken into the recipe."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(say("The mean of the last batches into the recipe…"), parent)
        self.desk, self.preparation = desk, ""
        self.stage = self.reading = ""
        self.clicked.connect(self.ask)
        self.show_reading("", "", "")

    def show_reading(self, preparation: str, stage: str, reading: str) -> None:
        """The reading that is come to; "" for none."""
        self.preparation, self.stage, self.reading = preparation, stage, reading
        self.setEnabled(bool(reading) and next(self.means(), None) is not None)
        self.setToolTip(reading_word(reading) if reading else say("Come to a reading first."))

    def means(self) -> Iterator[tuple[int | None, LoggedMean]]:
        """(of the last how many, the mean), each number of batches once."""
        document, seen = self.desk.document, set()
        if self.preparation not in document.view.preparations:
            return
        for last in LASTS:
            mean = batch_recipe.logged_mean(
                document.book, self.preparation, self.stage, self.reading, document.day, last
            )  # fmt: skip
            if mean is not None and mean.n not in seen:
                seen.add(mean.n)
                yield last, mean

    def ask(self, *_: object) -> None:
        """Which mean, and whether from the day that is looked at or in the version as it is."""
        if not self.isEnabled():
            self.desk.tell(say("Come to a reading first that batches by this recipe have."))
            return
        menu = QMenu(self)
        menu.setAccessibleName(say("Means of {reading}", reading=reading_word(self.reading)))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        day, left_out = self.desk.document.day, 0
        for last, mean in self.means():
            said = say_many("{figure}, from {n} batch", "{figure}, the mean of {n} batches", mean.n,
                            figure=own(mean.fact.text))  # fmt: skip
            for since, text in (
                (day, say("{mean}: from {day} on", mean=said, day=self.desk.format.day(day))),
                (None, say("{mean}: amend the recipe as it stands", mean=said)),
            ):
                menu.addAction(text).triggered.connect(partial(self._write, last, since))
            left_out = max(left_out, mean.left_out)
        if left_out:
            menu.addSeparator()
            menu.addAction(
                say_many("Left out: {n} batch of another size, or read otherwise",
                         "Left out: {n} batches of another size, or read otherwise", left_out)
            ).setEnabled(False)  # fmt: skip
        menu.popup(self.mapToGlobal(QPoint(0, self.height())))

    def _write(self, last: int | None, since: date | None, *_: object) -> None:
        self.write(last, since)

    def write(self, last: int | None, since: date | None) -> bool:
        """Take the mean of the last so many into the recipe, from a day on or in the version of the day."""
        document = self.desk.document
        return self.desk.attempt(
            partial(
                batch_recipe.write_mean, document.book, self.preparation, self.stage, self.reading, document.day,
                last=last, since=since,
            )
        )  # fmt: skip
