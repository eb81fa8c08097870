"""What sold figures stand on: the rows of a file, and what one was paid at, for the why pane."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from costing.book.records import Serve
from costing.book.selling import SalesPeriod, Sold
from costing.tongue import say
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.places.menu.sales.rows import ZERO, count_text, net_of, paid_average, span_text
from ui.whys import Line, Trail


@dataclass(frozen=True, slots=True)
class SoldWhy:
    """What one drink sold in a period on one menu ("": not said)."""

    period: str
    serve: str
    menu: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """Sold, given, taken back; money, and what one was paid at."""
        period = figures.book.all(SalesPeriod).get(self.period)
        sold = next((one for one in period.sold if (one.serve, one.menu) == (self.serve, self.menu)), None) if (
            period is not None
        ) else None  # fmt: skip
        if period is None or sold is None:
            return Trail(say("These sales are not in the book any more"), "", ())
        serve = figures.book.all(Serve).get(self.serve)
        name = own(serve.name if serve is not None else self.serve)
        title = say("{drink} sold, {days}", drink=name, days=span_text(period, form))
        return Trail(title, count_text(sold.count, form), (*_sold(sold, form), *_from(period, form)))


def _sold(sold: Sold, form: Format) -> Iterator[Line]:
    yield Line(say("paid for, and stayed paid"), count_text(sold.count, form), where=Where("serve", sold.serve))
    for text, value in (
        (say("given on the house or to staff"), sold.given), (say("taken back after they were made"), sold.wasted),
        (say("made, served and paid back"), sold.refunded),
    ):  # fmt: skip
        if value:
            yield Line(text, count_text(value, form))
    yield Line(say("made, which usage stands on"), count_text(sold.made, form))
    if sold.net is not None:
        yield Line(say("net of tax and service"), form.money(sold.net))
        if sold.count:
            yield Line(say("of one, on average"), form.money(sold.net / sold.count), depth=1)
    average = paid_average(sold)
    if average is not None:
        yield Line(say("paid for one on average, all in"), form.money(average))
    for at in sold.prices:
        yield Line(say("paid {price}", price=form.money(at.each)), count_text(at.count, form), depth=1)


def _from(period: SalesPeriod, form: Format) -> Iterator[Line]:
    if not period.read:
        yield Line(say("typed in by hand"))
        return
    yield Line(say("rows of {file}", file=own(period.file)), form.number(period.read, 0), "measured")
    for text, value in ((say("counted"), period.mapped), (say("in no count"), period.ignored),
                        (say("wait"), period.unmapped)):  # fmt: skip
        yield Line(text, form.number(value, 0), depth=1)


@dataclass(frozen=True, slots=True)
class PeriodWhy:
    """What a whole period sold."""

    period: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """Its drinks, the one that brought most first, and the rows of its file."""
        period = figures.book.all(SalesPeriod).get(self.period)
        if period is None:
            return Trail(say("These sales are not in the book any more"), "", ())
        serves = figures.book.all(Serve)
        lines = [Line(say("drinks paid for"), count_text(_total(period), form)),
                 Line(say("net of tax and service"), form.money(net_of(period)))]  # fmt: skip
        for sold in sorted(period.sold, key=lambda one: -(one.net or one.count)):
            name = serves[sold.serve].name if sold.serve in serves else sold.serve
            said = say("{n}, {money}", n=count_text(sold.count, form), money=form.money(sold.net))
            lines.append(Line(own(name), said, depth=1, where=Where("serve", sold.serve)))
        title = say("Sales of {days}", days=span_text(period, form))
        return Trail(title, form.money(net_of(period)), (*lines, *_from(period, form)))


def _total(period: SalesPeriod) -> Decimal:
    return sum((one.count for one in period.sold), ZERO)
