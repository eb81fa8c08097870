"""The scatter of the section that one is in, with the drink one is on marked."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from costing.menu.judged import Judged
from costing.menu.words import class_word
from costing.report.figures.scatter import Scatter, Spot, Threshold, mark_places, scatter_figure, scatter_rows
from costing.report.figures.shapes import Figure, Measure
from costing.tongue import say
from ui.format import Format
from ui.places.menu.keep.rows import KeepRow, count_text, margin_text, sure_text
from ui.theme import role_colour
from ui.widgets.picture import PictureView, Region

WIDE, TALL = 320.0, 200.0
"""Points that a scatter needs at least."""
AROUND = 4.0
"""Pixels between a mark and the ring around it."""
Drawn = tuple[KeepRow, Judged]


class KeepPicture(PictureView):
    """The scatter. A mark is come to and picked like any region; the one of the table's drink has a ring."""

    def __init__(self, form: Format, parent: QWidget | None = None) -> None:
        super().__init__(say("What sells and what earns"), self._scatter_figure, parent, least=WIDE)
        self._form = form
        self._drawn: tuple[Drawn, ...] = ()
        self._scatter: Scatter | None = None
        self._measure: Measure | None = None
        self.set_regions(self._marks)
        self.set_table(self._rows)

    def show_section(self, rows: Sequence[KeepRow], key: str) -> None:
        """The drinks of one section, and the key of the one that is marked."""
        drawn = tuple((row, row.drink) for row in rows if row.drink is not None)
        if drawn != self._drawn or self._scatter is None:
            self._drawn, self._scatter = drawn, scatter_of(drawn, self._form)
            self.refresh()
        self.choose(key)

    def _scatter_figure(self, wide: float, tall: float, measure: Measure) -> Figure | None:
        if self._scatter is None:
            return None
        self._measure = measure
        return scatter_figure(self._scatter, wide, max(TALL, tall - 1.0), measure, self._form.money)

    def _marks(self, figure: Figure) -> Sequence[Region]:
        if self._scatter is None or self._measure is None:
            return ()
        places = mark_places(self._scatter, figure.wide, figure.tall, self._measure, self._form.money)
        return [
            Region(bounds, row.key, spot_text(drink, self._form))
            for bounds, (row, drink) in zip(places, self._drawn, strict=True)
        ]

    def _rows(self) -> list[list[str]]:
        return scatter_rows(self._scatter, self._form.money) if self._scatter is not None else []

    def paintEvent(self, event: QPaintEvent) -> None:
        """The picture, and a ring around the drink of the table; the frame of the focus stands in for it."""
        super().paintEvent(event)
        region = self._region()
        if region is None or self.hasFocus():
            return
        painter = QPainter(self.viewport())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(role_colour("focus"), 2))
        frame: QRectF = self._frame(region)
        painter.drawEllipse(frame.adjusted(-AROUND, -AROUND, AROUND, AROUND))
        painter.end()


def spot_text(drink: Judged, form: Format) -> str:
    """A drink of the picture in words."""
    return say("{drink}: {klass}, {sure}; {count} sold, margin {margin}", drink=drink.item.name,
               klass=class_word(drink.klass), sure=sure_text(drink), count=count_text(drink.row.sold, form),
               margin=margin_text(drink.item, form))  # fmt: skip


def scatter_of(drawn: Sequence[Drawn], form: Format) -> Scatter | None:
    """The drinks of one section with their spread and the thresholds; None where it has no classes."""
    section = drawn[0][0].section if drawn else None
    if section is None or section.margin_band is None:
        return None
    found = section.engineered
    if found.O is None or found.popularity_sold is None:
        return None
    band = section.margin_band
    return Scatter(
        spots=tuple(_spot(drink) for _, drink in drawn),
        popular=Threshold(value=found.popularity_sold, low=found.popularity_sold, high=found.popularity_sold),
        # what costs come to on average need not be what they come to as shown
        earning=Threshold(value=found.O, low=min(band.low, found.O), high=max(band.high, found.O)),
    )


def _spot(drink: Judged) -> Spot:
    spread = None if drink.spot is None else (drink.spot.sold_var, drink.spot.cov, drink.spot.margin_var)
    return Spot(name=drink.item.name, sold=drink.row.sold, margin=drink.row.margin, spread=spread, sure=drink.sure,
                klass=class_word(drink.klass), standing=sure_text(drink))  # fmt: skip
