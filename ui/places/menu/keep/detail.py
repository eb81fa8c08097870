"""The drink one is on: what to do and why, the chances of the four classes, its share, and what more sales tell."""

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QScrollArea, QVBoxLayout, QWidget

from costing.menu.engineer import Klass
from costing.menu.judged import Judged, Section
from costing.menu.words import (
    CLASS_MEANS,
    LEFT_WORDS,
    WHY_WORDS,
    action_word,
    advice_text,
    chance_text,
    class_word,
    sales_text,
)
from costing.tongue import capital, say, say_many, word
from ui.desk import Desk
from ui.format import UNKNOWN, Format, own
from ui.places.menu.keep.rows import KeepRow, count_text, cut_text, name_of, sure_text
from ui.places.menu.keep.why import Why, between
from ui.widgets.figure import FigureStrip

AS_DRAWN: tuple[Klass, ...] = ("puzzle", "star", "dog", "plowhorse")
"""Classes as they lie in the scatter: what earns more above, what sells more at the end of a line."""


class KeepDetail(QScrollArea):
    """What there is to say of one drink, or of a section."""

    def __init__(self, desk: Desk, why: Why, parent: QWidget | None = None) -> None:
        """``why`` makes the subject of the chances."""
        super().__init__(parent)
        self._form, self._why = desk.format, why
        self._row: KeepRow | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # coming to a chance scrolls to it
        self.setAccessibleName(say("The drink"))
        self.title, self.action, self.reasons, self.share = (QLabel(self) for _ in range(4))
        self.title.setProperty("heading", True)
        self.chances = FigureStrip(say("Chances of the four classes"), [(k, class_word(k)) for k in AS_DRAWN], desk, 2)
        for klass in AS_DRAWN:
            self.chances[klass].explained_by(self._subject)
        inside = QWidget(self)
        layout = QVBoxLayout(inside)
        layout.setContentsMargins(4, 2, 4, 2)
        layout.setSpacing(4)
        for label in (self.title, self.action, self.reasons, self.share):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        for widget in (self.title, self.action, self.reasons, self.share, self.chances):
            layout.addWidget(widget)
        layout.addStretch(1)
        self.setWidget(inside)

    def _subject(self) -> object | None:
        return self._why(self._row) if self._row is not None else None

    def show_row(self, row: KeepRow | None) -> None:
        """A drink, or the section whose heading one is on."""
        self._row = row
        drink = row.drink if row is not None else None
        self.title.setText("" if row is None else _title(row))
        self.chances.setVisible(drink is not None and drink.spot is not None)
        self.share.setVisible(row is not None)
        self.action.setText(self._action(row))
        self.reasons.setText(f"{advice_text(drink.advice, self._form.currency)}." if drink is not None else "")
        for label in (self.action, self.reasons):
            label.setVisible(bool(label.text()))
        self.share.setText(" ".join(_said(row, self._form)) if row is not None else "")
        if drink is not None and drink.spot is not None:
            for klass in AS_DRAWN:
                text = own(chance_text(drink.spot.chances[klass]))
                self.chances[klass].show_figure(text, note=capital(word(CLASS_MEANS, klass)))

    def _action(self, row: KeepRow | None) -> str:
        if row is None or row.drink is None:
            return ""
        return f"{capital(action_word(row.drink.advice.action))}."


def _title(row: KeepRow) -> str:
    if row.drink is None:
        return name_of(row)
    return say("{drink}: {klass}, {sure}", drink=own(name_of(row)), klass=class_word(row.drink.klass),
               sure=sure_text(row.drink))  # fmt: skip


def _said(row: KeepRow, form: Format) -> Iterator[str]:
    if row.unpriced:
        yield say("{why}.", why=capital(word(LEFT_WORDS, "no price")))
    elif row.section.why:
        yield say("{why}.", why=capital(word(WHY_WORDS, row.section.why)))
    elif row.drink is not None:
        yield _share(row.section, row.drink, form)
        if row.drink.needed != 0:
            yield _needed(row.section, row.drink, form)
    else:
        yield from _section(row.section, form)


def _share(section: Section, drink: Judged, form: Format) -> str:
    low, high = drink.share
    return say("Its share of the mix is {share}, 95 % interval {range}; popular from {cut}.",
               share=form.percent(drink.row.mix), range=between(form.percent(low), form.percent(high)),
               cut=form.percent(section.engineered.Q))  # fmt: skip


def _needed(section: Section, drink: Judged, form: Format) -> str:
    total = count_text(section.engineered.N, form)
    if drink.needed is None:
        return say("No number of sales would tell it from that threshold.")
    needed = own(sales_text(drink.needed))
    if drink.needed > section.engineered.N:
        return say("Its section must sell about {needed} to tell it from that threshold; it sold {total}.",
                   needed=needed, total=total)  # fmt: skip
    return say("About {needed} sold in its section tell it from that threshold; it sold {total}.", needed=needed,
               total=total)  # fmt: skip


def _section(section: Section, form: Format) -> Iterator[str]:
    found, band = section.engineered, section.margin_band
    drinks = say_many("{n} drink", "{n} drinks", len(section.drinks))
    yield say("{drinks}, {total} sold; nothing is judged below {enough} sold.", drinks=drinks,
              total=count_text(found.N, form), enough=count_text(section.enough, form))  # fmt: skip
    at = count_text(found.popularity_sold, form) if found.popularity_sold is not None else UNKNOWN
    yield say("Popular from {cut} of the mix, that is {count} sold.", cut=form.percent(found.Q), count=at)
    if band is not None:
        lies = between(form.money(band.low), form.money(band.high))
        yield say("Earns much from {margin}; in 90 of 100 draws that lies from {range}.",
                  margin=cut_text(section, form), range=lies)  # fmt: skip
