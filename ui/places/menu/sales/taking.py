"""Taking files into the book, a step each, one after another, with the window alive between them."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal

from costing.book.change import Step
from costing.edits.tills import take_sales
from costing.supply.till.plan_record import SalesPlan
from ui.desk import Desk
from ui.places.menu.sales.case import SalesJudged


class Taking(QObject):
    """``stepped`` tells how many are taken so far, ``ended`` those that were: all of them, or those before the first
    that could not be."""

    stepped = Signal(object)
    ended = Signal(object)

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.going = False
        """Whether files are being taken."""

    def take(self, files: Sequence[SalesJudged]) -> None:
        """Begin with the first."""
        self.going = True
        self._one_more(tuple(files), 0)

    def _one_more(self, files: tuple[SalesJudged, ...], taken: int) -> None:
        plan = files[taken].plan if taken < len(files) else None
        if plan is None or not self.desk.attempt(partial(self._step, plan)):
            self.going = False
            self.ended.emit(files[:taken])
            return
        self.stepped.emit(taken + 1)
        QTimer.singleShot(0, self, partial(self._one_more, files, taken + 1))

    def _step(self, plan: SalesPlan) -> Step | None:
        document = self.desk.document
        return take_sales(document.book, plan, document.past_ids())
