"""What is needed of an ingredient while nobody says: as much as a month takes, or a pack."""

from decimal import Decimal
from functools import partial

from PySide6.QtCore import QObject, Signal

from costing.book.book import Book
from costing.book.selling import SalesPeriod
from costing.supply.buying.index import Usage, last_period, usage_of
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.jobs import Progress
from ui.latest import Latest
from ui.places.cellar.buying.need import a_month_of, need_text, one_pack


class Usual(QObject):
    """Usual needs of goods by the last sales that are known; ``known`` tells when those have been worked out."""

    known = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._usage: Usage | None = None
        self._latest = Latest(self)
        self._latest.known.connect(self.known)

    def of(self, figures: Figures, good: str, share: Decimal) -> tuple[str, str]:
        """(an amount as it is typed, of which ``share`` of what is bought can be used; where it comes from in words).
        "" for the first while it is not known, or where nothing counts."""
        form, base = self.desk.format, figures.view.goods[good].base
        period = last_period(figures.book, figures.day)
        said = say("No sales are kept that ended by this day: a pack of what costs it.")
        if period is not None:
            found = self._in_period(figures.book, period)
            if found is None:
                return "", say("What a month takes is being worked out…")
            month = a_month_of(found, good)
            if month is not None:
                said = say(
                    "A month takes {amount} of it as it is bought, by what was sold from {since} to {until}.",
                    amount=form.amount(float(month), base), since=form.day(period.since), until=form.day(period.until),
                )  # fmt: skip
                return need_text(month * share, base), said
            said = say("What was sold took none of it: a pack of what costs it.")
        pack = one_pack(figures.reckoning, good)
        return (need_text(pack * share, base, down=True), said) if pack is not None else ("", "")

    def _in_period(self, book: Book, period: SalesPeriod) -> Usage | None:
        """What a period's drinks took. After an edit the last known one stands until the new one is worked out: it only
        offers an amount, which the field shows, and all that is compared is compared for that amount."""
        key = (book, period)
        self._latest.ask(key, partial(_usage, book, period))
        found: Usage | None = self._latest.of(key)
        if found is not None:
            self._usage = found
        return self._usage if self._usage is not None and self._usage.period == period else None


def _usage(book: Book, period: SalesPeriod, _: Progress) -> Usage:
    return usage_of(book, period)
