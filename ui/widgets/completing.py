"""Suggestions under a text field that fold accents and case, which Qt's own do not."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtWidgets import QCompleter, QLineEdit

from ui.folding import fold, holds

MOST = 60
"""Suggestions shown at once."""


class Suggestions(QCompleter):
    """Offers the choices that hold every word typed so far, those that begin with it first."""

    def __init__(
        self,
        field: QLineEdit,
        choices: Callable[[], Sequence[str]] | None = None,
        offers: Callable[[str], Sequence[str]] | None = None,
    ) -> None:
        """``choices`` is asked again whenever the field is typed into; ``offers`` instead where what goes on depends on
        what was typed."""
        super().__init__(field)
        self._field, self._choices, self._offers = field, choices, offers
        self._lines = QStringListModel(self)
        self.setModel(self._lines)
        self.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        self.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.setMaxVisibleItems(12)
        field.setCompleter(self)
        field.textEdited.connect(self._typed)

    def matches(self, text: str) -> list[str]:
        """What is offered for a text, best first."""
        if self._offers is not None:
            return list(self._offers(text))[:MOST]
        wanted = fold(text)
        words = wanted.split()
        ranked = [(not folded.startswith(wanted), n, choice)
                  for n, choice in enumerate(self._all()) if holds(folded := fold(choice), words)]  # fmt: skip
        return [choice for _, _, choice in sorted(ranked)[:MOST]]

    def show_all(self) -> None:
        """Open the list with everything in it."""
        self._lines.setStringList(self._all())
        self.complete()

    def _all(self) -> list[str]:
        return list(self._choices()) if self._choices is not None else self.matches(self._field.text())

    def _typed(self, text: str) -> None:
        self._lines.setStringList(self.matches(text))
