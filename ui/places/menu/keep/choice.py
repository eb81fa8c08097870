"""Which competing set is looked at, and the rule that sets are judged by."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from costing.report.words import layer_word
from costing.tongue import capital, say
from ui.format import Format, own
from ui.places.menu.keep.rows import section_titles
from ui.places.menu.keep.work import Asked, SectionKey


class SectionChoice(QWidget):
    """One section or all of them, and the rule in a line. ``chosen`` tells when somebody chose another."""

    chosen = Signal()

    def __init__(self, form: Format, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._form = form
        self._keys: list[SectionKey | None] = [None]
        self._wanted = ""
        self.box = QComboBox(self)
        self.box.setAccessibleName(say("Section"))
        self.box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.rule = QLabel(self)
        self.rule.setProperty("faint", True)
        self.rule.setWordWrap(True)
        self.rule.setTextFormat(Qt.TextFormat.PlainText)
        label = QLabel(say("Section"), self)
        label.setBuddy(self.box)
        row = QHBoxLayout(self)
        row.setContentsMargins(4, 0, 4, 0)
        row.addWidget(label)
        row.addWidget(self.box)
        row.addWidget(self.rule, 1)
        self.box.activated.connect(self._activated)

    @property
    def key(self) -> SectionKey | None:
        """The section that is looked at; None for all."""
        return self._keys[max(0, self.box.currentIndex())]

    @property
    def text(self) -> str:
        """The same as a text that can be kept, also before there are any sections."""
        return self._wanted or ("/".join(self.key) if self.key is not None else "")

    def want(self, text: str) -> None:
        """Look at this section once it is there."""
        self._wanted = text

    def show_asked(self, asked: Asked) -> None:
        """The sections of a mix, and the rule it is judged by. A section that is gone gives way to all."""
        keys, wanted = list(asked.mix.sections), self.text
        titles = section_titles(keys, asked.figures.view)
        self._wanted, self._keys = "", [None, *keys]
        fill(self.box, [say("all sections"), *(own(titles[key]) for key in keys)])
        found = (n for n, key in enumerate(self._keys) if key is not None and "/".join(key) == wanted)
        self.box.setCurrentIndex(next(found, 0))
        self.rule.setText(rule_text(asked, self._form))

    def _activated(self, _: int) -> None:
        self.chosen.emit()


def rule_text(asked: Asked, form: Format) -> str:
    """The rule in a line."""
    rule = asked.judging
    said = [
        say("popular from {share} of an equal share", share=form.percent(rule.cut, 0)),
        say("earns much from the average margin of all sold"),
        say("a tie counts as high") if rule.tie == "high" else say("a tie counts as low"),
        say("prices as paid"),
        say("cost: {layers}", layers=" + ".join(layer_word(layer) for layer in asked.mix.base)),
    ]
    if rule.unsold == "left out":
        said.append(say("drinks never sold do not count"))
    return say("{rule}.", rule=capital(say("; ").join(said)))


def fill(box: QComboBox, texts: Sequence[str]) -> None:
    """What can be chosen; a box that offers it already is left alone."""
    if [box.itemText(n) for n in range(box.count())] != list(texts):
        box.clear()
        box.addItems(list(texts))
