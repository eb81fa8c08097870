"""The prices a drink could have: the price steps, which price moves it, and the stream into the glass."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.book.records import Menu
from costing.edits import menus
from costing.pricing import PricedServe
from costing.report.figures.shapes import Figure, Measure
from costing.report.figures.steps import ROW, TOP, steps_figure, steps_of
from costing.report.figures.steps import Step as PriceStep
from costing.report.figures.stream import stream_figure
from costing.report.figures.tornado import tornado_figure
from costing.report.moves import shares
from costing.report.streams import serve_stream
from costing.tongue import say
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.range_why import RangeOf
from ui.ranges import in_doubt, range_of, range_tip, range_words
from ui.whys import PriceOf
from ui.widgets.fields import DayField, read_day
from ui.widgets.picture import PictureView, Region
from ui.widgets.wrapping import Wrapping

COLUMNS = 7
"""Columns that a stream into a drink may take."""


class PricePage(QWidget):
    """Choose a price with the arrow keys; Enter puts it on the menu from the day above."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.serve = desk, ""
        self._priced: PricedServe | None = None
        self._steps: tuple[PriceStep, ...] = ()
        self.title = QLabel(self)
        self.title.setProperty("heading", True)
        self.title.setWordWrap(True)
        self.lacking = QLabel(self)
        self.lacking.setWordWrap(True)
        self.lacking.hide()
        self.since = self._since()
        self.use = QPushButton(say("Take this price"), self)
        self.use.setProperty("chief", True)
        self.use.clicked.connect(self._use)
        self.range = QPushButton(self)
        self.range.clicked.connect(self._explain_range)
        self.steps = PictureView(say("Price steps"), self._steps_figure, self, least=340.0)
        self.steps.set_regions(self._regions)
        self.steps.set_table(self._steps_table)
        self.steps.picked.connect(self._picked)
        self.steps.came_to.connect(self._came_to)
        self.tornado = PictureView(say("Which price moves this drink"), self._tornado_figure, self, least=280.0)
        self.tornado.set_table(self._tornado_table)
        self._lay_out()

    def _lay_out(self) -> None:
        label = QLabel(say("Prices hold from"), self)
        label.setBuddy(self.since)
        top = QHBoxLayout()
        top.addWidget(label)
        top.addWidget(self.since)
        top.addWidget(self.use)
        top.addStretch(1)
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.steps, 3)
        heading = QLabel(say("Which price moves this drink"), inside)
        heading.setProperty("heading", True)
        between = Wrapping(inside, least=1)
        between.take([heading, self.range])
        column.addWidget(between)
        column.addWidget(self.tornado, 2)
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addWidget(self.title)
        layout.addLayout(top)
        layout.addWidget(self.lacking)
        layout.addWidget(scroll, 1)

    def _since(self) -> DayField:
        """The day that prices hold from: as typed, until another day is looked at."""
        document = self.desk.document
        field = DayField(say("Prices hold from"), self.desk.format, lambda: document.day, self)
        field.set_day(document.day)
        field.picked.connect(field.set_day)
        document.day_changed.connect(self._day_changed)
        return field

    def show_serve(self, serve: str, place: tuple[str, str] | None = None) -> None:
        """Show a drink at a place (menu, section), its first where none is given."""
        document = self.desk.document
        fresh, self.serve = serve != self.serve, serve
        found = [p for p in document.priced if p.serve.id == serve]
        self._priced = next((p for p in found if place in (None, (p.menu, p.section))), None)
        priced = self._priced
        self._steps = self._make_steps(priced) if priced is not None else ()
        self.title.setText(self._title(priced) if priced is not None else "")
        self._say_range()
        self._show_lacking()
        self.steps.refresh()
        self.tornado.refresh()
        if fresh or priced is None:
            chosen = next((s for s in self._steps if s.suggested), None) or next(
                (s for s in self._steps if s.now), None
            )
            self.steps.choose(str(chosen.price) if chosen else "")
        self._say_use()

    def _day_changed(self, day: date) -> None:
        self.since.revert()
        self.since.set_day(day)

    def _show_lacking(self) -> None:
        """What has no price, where the picture's figures are therefore not the whole."""
        figures, lacking = self.desk.document.figures, self._priced.cost.unpriced if self._priced else frozenset()
        names = say(", ").join(own(figures.names.get(good, good)) for good in sorted(lacking))
        self.lacking.setText(
            say(
                "No price for {names}: every cost here is at least, and every margin at most, what is shown.",
                names=names,
            )
        )
        self.lacking.setVisible(bool(lacking))

    def _title(self, priced: PricedServe) -> str:
        menu = self.desk.document.view.menus.get(priced.menu)
        if menu is None:
            return say("{serve}, on no menu yet", serve=own(priced.serve.name))
        return say("{serve} on {menu}, {section}", serve=own(priced.serve.name), menu=own(menu.name),
                   section=own(priced.section))  # fmt: skip

    def _explain_range(self) -> None:
        self.desk.explain(RangeOf(self.serve))

    def show_range(self) -> None:
        """The range of the drink that is shown, as it is known by now."""
        self._say_range()
        self.steps.refresh()

    def _say_range(self) -> None:
        figures, form = self.desk.document.figures, self.desk.format
        found, doubt = range_of(figures, self.serve), in_doubt(figures, self._priced)
        said = say("May cost {range}", range=own(range_words(found, form)) if found is not None else UNKNOWN)
        self.range.setText(doubt.marked(said))
        self.range.setToolTip(range_tip(figures, self._priced, form))
        self.range.setAccessibleDescription(self.range.toolTip())
        self.range.setEnabled(found is not None)

    def _make_steps(self, priced: PricedServe) -> tuple[PriceStep, ...]:
        terms = self.desk.document.view.terms
        if terms is None:
            return ()
        return steps_of(
            priced.base,
            priced.policy,
            terms.levies,
            terms.points,
            printed=priced.price.all_in if priced.price else None,
            suggested=priced.suggestion.at.all_in if priced.suggestion else None,
        )

    def _cash(self, value: float) -> str:
        return self.desk.format.money(value)

    def _steps_figure(self, wide: float, _: float, measure: Measure) -> Figure | None:
        priced = self._priced
        if priced is None or not self._steps:
            return None
        aim = menus.policy_text(priced.policy)
        found = range_of(self.desk.document.figures, self.serve)
        band = (found.low, found.high) if found is not None else None
        return steps_figure(self._steps, wide, measure, self._cash, aim=aim, sure=priced.cost.complete, band=band)

    def _regions(self, figure: Figure) -> Sequence[Region]:
        out = []
        for n, step in enumerate(self._steps):
            top = TOP + n * ROW
            name = say("{price}: margin {margin}", price=self._cash(float(step.price)), margin=self._margin(step))
            out.append(Region((0.0, top, figure.wide, top + ROW), str(step.price), name))
        return out

    def _steps_table(self) -> list[list[str]]:
        form = self.desk.format
        head = [say("Price"), say("Tax and service"), say("Cost"), say("Margin"), say("Pour cost"), say("Target")]
        sure = self._sure
        rows = [
            [
                form.money(s.price), form.money(s.levies), form.least(form.money(s.cost), sure), self._margin(s),
                form.least(form.percent(s.cost / s.net if s.net else None), sure), self._target(s),
            ]
            for s in self._steps
        ]  # fmt: skip
        return [head, *rows]

    @property
    def _sure(self) -> bool:
        """Whether all that is in the drink has a price."""
        return self._priced is not None and self._priced.cost.complete

    def _margin(self, step: PriceStep) -> str:
        text = self._cash(step.margin)
        return text if self._sure else say("at most {figure}", figure=text)

    def _target(self, step: PriceStep) -> str:
        """What costs at least that much may miss a target that it meets here, and misses one that it misses."""
        if not step.met:
            return say("missed")
        return say("met") if self._sure else UNKNOWN

    def _tornado_figure(self, wide: float, _: float, measure: Measure) -> Figure | None:
        found = self._shares() if self.serve else []
        if not found:
            return None
        cash = partial(self.desk.format.number, places=self.desk.format.places + 2)
        return tornado_figure(found, wide, measure, cash)

    def _shares(self) -> list[tuple[str, float]]:
        figures = self.desk.document.figures
        return [(figures.names.get(good, good), money) for good, money in shares(figures.reckoning, self.serve)]

    def _tornado_table(self) -> list[list[str]]:
        form = self.desk.format
        rows = [[name, form.number(money, form.places + 2)] for name, money in self._shares()]
        return [[say("Ingredient"), say("Money in one drink")], *rows]

    # Choosing

    def _came_to(self, _: str) -> None:
        self._say_use()
        priced = self._priced
        if priced is not None:
            self.desk.explain(PriceOf(self.serve, priced.menu, priced.section))

    def _say_use(self) -> None:
        key = self.steps.chosen()
        priced = self._priced
        on_menu = priced is not None and bool(priced.menu)
        self.use.setEnabled(bool(key) and on_menu)
        price = self._cash(float(Decimal(key))) if key else ""
        self.use.setText(say("Take {price}", price=price) if key else say("Take this price"))
        self.use.setToolTip("" if on_menu else say("Put the drink on a menu first, in the place Menu."))

    def _use(self) -> None:
        if self.steps.chosen():
            self._picked(self.steps.chosen())

    def _picked(self, key: str) -> None:
        self.desk.attempt(partial(self._price_step, key))
        self.steps.setFocus(Qt.FocusReason.OtherFocusReason)

    def _price_step(self, key: str) -> Step | None:
        document, priced = self.desk.document, self._priced
        menu = document.book.all(Menu).get(priced.menu) if priced is not None else None
        if priced is None or menu is None:
            raise ValueError(say("put the drink on a menu first, in the place Menu"))
        if priced.price is not None and priced.price.all_in == Decimal(key):
            return None
        spot = menus.spot_of(menu, self.serve, priced.section)
        return menus.set_price(document.book, menu.id, spot, key, read_day(self.since.text(), document.day))


class StreamPage(QWidget):
    """The stream: money and liquid from bought packs into one glass."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.serve = desk, ""
        self.picture = PictureView(say("The stream into the glass"), self._figure, self, least=560.0)
        self.picture.set_table(self._table)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addWidget(self.picture)

    def show_serve(self, serve: str) -> None:
        """Show a drink."""
        self.serve = serve
        self.picture.refresh()

    def _figure(self, wide: float, tall: float, measure: Measure) -> Figure | None:
        figures = self.desk.document.figures
        if self.serve not in figures.view.serves:
            return None
        stream = serve_stream(figures.reckoning, self.serve, figures.names, COLUMNS)
        if stream is None:
            return None
        return stream_figure(stream, wide, max(200.0, tall - 4.0), measure, self.desk.format.money)

    def _table(self) -> list[list[str]]:
        figures = self.desk.document.figures
        stream = serve_stream(figures.reckoning, self.serve, figures.names, COLUMNS)
        if stream is None:
            return []
        names = {node.id: node.name for node in stream.nodes}
        money = self.desk.format.money
        head = [say("From"), say("To"), say("Money"), say("Of which lost on the way")]
        return [head, *([names[k.source], names[k.target], money(k.money), money(k.lost)] for k in stream.links)]
