"""Suppliers compared for the chosen ingredient: what each would charge for as much as is needed, and why."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.edits import goods
from costing.edits.base import currency_of, typed_price
from costing.supply.buying.offers import compare
from costing.supply.buying.record import NOTHING, Landed
from costing.supply.buying.usable import parts_of, usable
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN, refusal_of
from ui.format import own
from ui.models.table import RowTable
from ui.places.cellar.buying.compared_rows import (
    OfferRow,
    PartRow,
    offer_columns,
    offer_rows,
    part_columns,
    part_rows,
    summary,
)
from ui.places.cellar.buying.good_page import GoodPage
from ui.places.cellar.buying.need import read_need
from ui.places.cellar.buying.saying import Hint, Line, bare
from ui.places.cellar.buying.usual import Usual
from ui.places.kept import Waiting
from ui.widgets.fields import AmountField, TextField
from ui.widgets.listpane import ListPane

WHOLE = "\0"
"""The choice of the good as it is bought, with nothing trimmed off; no part is called so."""


@dataclass(slots=True)
class Asked:
    """What was asked of one good in this session: texts as typed, and the part that is needed (None: nobody said)."""

    need: str = ""
    rest: str = ""
    part: str | None = None


class ComparedPage(GoodPage):
    """The question above, the suppliers below, the cheapest first."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._fitted = ""
        self._asked: dict[str, Asked] = {}
        self._usual = Usual(desk, self)
        self._usual.known.connect(self.refresh)
        self.need = AmountField(say("Needed, once trimmed"), self, hint=say("5 kg, 3 l"))
        self.need.committed.connect(self._needed)
        self.need.refused.connect(self._refused)
        self.rest = TextField(say("Rest of the same order"), self, hint=say("what else is bought with it, in money"))
        self.rest.committed.connect(self._rested)
        self.rest.refused.connect(self._refused)
        self._waiting = Waiting((self.need, self.rest))
        self.part = QComboBox(self)
        self.part.setAccessibleName(say("Part that is needed"))
        self.part.setPlaceholderText(say("choose the part"))
        self.part.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.part.setMinimumContentsLength(10)
        self.part.activated.connect(self._part_chosen)
        self.said, self.basis, self.told = Line(self, kind="error"), Line(self, kind="faint"), Line(self)
        self.rows: RowTable[OfferRow] = RowTable(offer_columns(desk.format), lambda r: r.key, desk, self)
        self.hint = Hint("")
        self.list = ListPane(self.rows, say("Suppliers compared"), self.hint, self)
        self.list.filter.hide()
        self.list.count.hide()
        self.list.table.opened.connect(self.prefer)
        self.list.table.current_key.connect(self._come_to)
        self.parts: RowTable[PartRow] = RowTable(part_columns(), lambda r: r.key, desk, self)
        self.part_list = ListPane(self.parts, say("What this supplier comes to"), Hint(""), self)
        self.part_list.filter.hide()
        self.part_list.count.hide()
        self.use = QPushButton(say("Let this supplier cost it"), self)
        self.use.setToolTip(say("Enter on a row"))
        self.use.clicked.connect(self._use)
        self._lay_out()

    def _lay_out(self) -> None:
        self.form = QFormLayout()
        for title, field in (
            (say("Needed, once trimmed"), self.need), (say("Rest of the same order"), self.rest),
            (say("Part that is needed"), self.part),
        ):  # fmt: skip
            label = QLabel(title, self)
            label.setBuddy(field)
            self.form.addRow(label, field)
        acts = QHBoxLayout()
        acts.addWidget(self.use)
        acts.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(self.form)
        layout.addWidget(self.said)
        layout.addWidget(self.basis)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.part_list)
        self.split.setSizes([150, 300])
        layout.addWidget(self.split, 1)
        layout.addWidget(self.told)
        layout.addLayout(acts)

    # What is shown

    def refresh(self) -> None:
        """The question as it stands, and the answer to it."""
        figures = self.desk.document.figures
        fresh = self._begin(self._waiting)
        if fresh:
            self.said.say("")
        if self.good not in figures.view.goods:
            self._fill([])
            for line in (self.said, self.basis, self.told):
                line.say("")
            return
        asked = self._question()
        self._offer_parts(figures)
        usual, basis = self._usual_need(figures)
        self.need.set_text(asked.need or usual)
        self.rest.set_text(asked.rest)
        self.basis.say("" if asked.need else basis)
        if fresh:
            self._waiting.give_back(self.good)
        self._compare(figures)

    def _question(self) -> Asked:
        return self._asked.setdefault(self.good, Asked())

    def _offer_parts(self, figures: Figures) -> None:
        """The parts that were tested, and the whole; nothing to choose where nothing was tested."""
        parts, asked = parts_of(figures.book, self.good), self._question()
        if asked.part is not None and asked.part != WHOLE and asked.part not in parts:
            asked.part = None
        wanted = [(own(p or say("no part named")), p) for p in parts] + [(say("as it is bought, untrimmed"), WHOLE)]
        if [(self.part.itemText(n), self.part.itemData(n)) for n in range(self.part.count())] != wanted:
            self.part.clear()
            for text, part in wanted:
                self.part.addItem(text, part)
        self.part.setCurrentIndex(self.part.findData(self._part()) if self._part() is not None else -1)
        self.form.setRowVisible(self.part, bool(parts))

    def _part(self) -> str | None:
        """The part that is needed: the one that was chosen, or the only one; None while that is open."""
        asked, parts = self._question(), parts_of(self.desk.document.book, self.good)
        return asked.part if asked.part is not None else parts[0] if len(parts) == 1 else None

    def _open(self) -> bool:
        """Whether it is open still which part is needed."""
        return self._part() is None and len(parts_of(self.desk.document.book, self.good)) > 1

    def _share(self, figures: Figures) -> Decimal:
        """The share of the good that can be used where no supplier's own tests say otherwise."""
        part = self._part()
        if part == WHOLE:
            return Decimal(1)
        found = usable(figures.book, self.good, "", part).share
        return found if 0 < found <= 1 else Decimal(1)

    def _usual_need(self, figures: Figures) -> tuple[str, str]:
        """What is needed while nobody typed it, and where that comes from."""
        return ("", "") if self._open() else self._usual.of(figures, self.good, self._share(figures))

    # The answer

    def _compare(self, figures: Figures) -> None:
        told, rows = "", list[OfferRow]()
        self.need.set_base("")
        if self._open():
            self.hint.setText(say("Its yield tests are of several parts: choose above which one is needed."))
        elif not figures.view.offers(self.good):
            self.hint.setText(say("No quote for it is in force on this day: type one under “Quotes”."))
        elif not self.need.stands:
            self.hint.setText(say("Type above how much is needed: 5 kg, 3 l."))
        else:
            try:
                need = self._read_need(figures, self.need.stands)
                rows = offer_rows(figures, self.good, self._offers(figures, need))
                told = summary(rows, need, self.desk.format)
            except KNOWN as error:
                self.hint.setText(refusal_of(error).text)
        self._fill(rows)
        self.told.say(told)
        self.use.setEnabled(bool(rows))

    def _fill(self, rows: Sequence[OfferRow]) -> None:
        self.rows.set_rows(rows)
        table = self.list.table
        if rows and not table.currentIndex().isValid():
            table.choose(self.rows.key(0))
        index = table.currentIndex()
        self._come_to(self.rows.key(index.row()) if index.isValid() else "")
        if rows and self._fitted != self.good:
            self._fitted = self.good
            for pane in (self.list, self.part_list):
                pane.table.fit_columns()

    def _come_to(self, key: str) -> None:
        self.parts.set_rows(part_rows(self.rows.columns, self.rows.rows(), key))

    def _offers(self, figures: Figures, need: Decimal) -> tuple[Landed, ...]:
        part, rest = self._part(), self._read_rest(self._question().rest)
        if part == WHOLE:
            return compare(figures.reckoning, self.good, need, rest=rest, share=Decimal(1))
        return compare(figures.reckoning, self.good, need, rest=rest, part=part)

    def _read_need(self, figures: Figures, text: str) -> Decimal:
        unit = figures.reckoning.units[self.good]
        need = read_need(text, self.good, unit, figures.view, figures.names)
        whole = self.desk.format.amount(float(need), unit.base)
        self.need.set_base("" if text.strip().casefold() == bare(whole).casefold() else whole)
        return need

    def _read_rest(self, text: str) -> Decimal:
        return typed_price(text, currency_of(self.desk.document.book)) if text.strip() else NOTHING

    # What is typed

    def _needed(self, text: str) -> None:
        figures = self.desk.document.figures
        try:
            if text.strip():
                self._read_need(figures, text)
        except KNOWN as error:
            self.need.refuse(refusal_of(error))
            return
        self._question().need = text.strip()
        self._taken()
        if not text.strip():
            QTimer.singleShot(0, self.need, self.need.revert)  # the usual amount, once the field has told its text

    def _rested(self, text: str) -> None:
        try:
            self._read_rest(text)
        except KNOWN as error:
            self.rest.refuse(refusal_of(error))
            return
        self._question().rest = text.strip()
        self._taken()

    def _taken(self) -> None:
        self.said.say("")
        self.refresh()

    def _refused(self, refusal: object) -> None:
        self.said.say(getattr(refusal, "text", ""))

    def _part_chosen(self, at: int) -> None:
        self._question().part = self.part.itemData(at)
        self.refresh()

    # What is done

    def _use(self) -> None:
        index = self.list.table.currentIndex()
        if index.isValid():
            self.prefer(self.rows.key(index.row()))
        else:
            self.desk.tell(say("Come to a supplier first."))

    def prefer(self, key: str) -> None:
        """The supplier of a quote costs the good from now on, as a step."""
        at = self.rows.position(key)
        if at is None:
            return
        row, document = self.rows.row(at), self.desk.document
        if not row.offer.supplier:
            self.desk.tell(say("This quote names no supplier: name one under “Quotes” first."))
        elif document.view.goods[self.good].preferred == row.offer.supplier:
            self.desk.tell(say("{supplier} costs it already.", supplier=own(row.supplier)))
        else:
            self.desk.attempt(partial(goods.set_preferred, document.book, self.good, row.offer.supplier))
