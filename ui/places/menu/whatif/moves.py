"""What moves the margin: the bridge, under a scenario or between two spans of the sales, in a sentence, as a picture,
and drink by drink."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QComboBox, QLabel, QSplitter, QVBoxLayout, QWidget

from costing.book.selling import SalesPeriod
from costing.menu.bridge import Bridge, Code, ItemParts
from costing.menu.bridge_words import PARTS, sentence
from costing.menu.compare import halves
from costing.menu.mix import ended_periods
from costing.report.decided import walks_of
from costing.report.decisions import Walk
from costing.report.figures.bridge import bridge_figure, bridge_rows
from costing.report.figures.shapes import Figure, Measure
from costing.report.words import series
from costing.tongue import capital, day_text, say, word
from ui.desk import Desk, Where
from ui.format import Format, own
from ui.latest import Latest
from ui.models.table import Column
from ui.places.cellar.buying.saying import Hint, Line, moved
from ui.places.menu.standing import Standing
from ui.places.menu.whatif.table import WideTable
from ui.places.menu.whatif.why import item_why, money_of
from ui.places.menu.whatif.work import Spans, Tried, Walked, inside
from ui.widgets.fields import DayField
from ui.widgets.listpane import ListPane
from ui.widgets.picture import PictureView
from ui.widgets.wrapping import Cell, Wrapping, shrinking

SCENARIO, HALVES, CHOSEN = 0, 1, 2
"""What the bridge is of."""
MONEY, SHARE = 0, 1
LEAST = 300.0
"""Points that a bridge needs across."""


@dataclass(frozen=True, slots=True)
class Move:
    """A bridge with what its two sides are called."""

    bridge: Bridge
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class MoveRow:
    """What one drink did to the margin; ``serve`` is "" where it cannot be gone to."""

    item: ItemParts
    serve: str = ""

    @property
    def key(self) -> str:
        """Which row of the bridge it is."""
        return self.item.key

    @property
    def whole(self) -> float:
        """All of it."""
        return float(sum(part.money for part in self.item.parts))


class MovesView(QWidget):
    """The choice of what is compared, the sentence, the picture with its table, and the drinks."""

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.standing = desk, standing
        self._tried: Tried | None = None
        self._hint = ""
        self._move: Move | None = None
        self._walks: tuple[Walk, ...] = ()
        self._latest = Latest(self)
        self._latest.known.connect(self.refresh)
        self.which, self.unit = QComboBox(self), QComboBox(self)
        self.which.setAccessibleName(say("What is compared"))
        self.which.addItems([say("this scenario with the menu as it stands"),
                             say("the first and the second half of these weeks"),
                             say("two spans of the sales")])  # fmt: skip
        self.unit.setAccessibleName(say("What the picture shows"))
        self.unit.addItems([say("the margin"), say("pour cost")])
        self._make_spans()
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.fault, self.told = Line(self, kind="error"), Line(self, kind="faint")
        self.picture = PictureView(say("What moved the margin"), self._figure, self, least=LEAST)
        self.picture.set_table(self._table)
        self.rows: WideTable[MoveRow] = WideTable(lambda r: r.key, desk, self)
        self.list = ListPane(self.rows, say("Which drinks moved it"), Hint("", self), self)
        self.list.table.horizontalHeader().setStretchLastSection(False)
        self._lay_out()
        self.which.activated.connect(self._chosen)
        self.unit.activated.connect(self._show_picture)
        self.list.table.explained.connect(desk.explain)
        self.list.table.opened.connect(self._open)

    def _make_spans(self) -> None:
        self.days = [
            DayField(name, self.desk.format, self._today, self)
            for name in (say("First span, from"), say("First span, until"), say("Second span, from"),
                         say("Second span, until"))
        ]  # fmt: skip
        self.spans = Wrapping(self, least=1)
        names = say("From"), say("until"), say("beside"), say("until")
        self.spans.take([Cell(name, field, self.spans, beside=True)
                         for name, field in zip(names, self.days, strict=True)])  # fmt: skip
        for n, field in enumerate(self.days):
            field.picked.connect(partial(self._day_typed, n))
            field.refused.connect(self._refused)

    def _lay_out(self) -> None:
        top = Wrapping(self, least=1)
        choices = (say("Compare"), self.which, 16), (say("Show"), self.unit, 10)
        top.take([Cell(text, shrinking(box, wide), self, beside=True) for text, box, wide in choices])
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.picture)
        self.split.addWidget(self.list)
        self.split.setSizes([215, 185])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 0)
        layout.setSpacing(4)
        layout.addWidget(top)
        layout.addWidget(self.spans)
        layout.addWidget(self.said)
        layout.addWidget(self.fault)
        layout.addWidget(self.split, 1)
        layout.addWidget(self.told)

    def first(self) -> QWidget:
        """What is compared."""
        return self.which

    # What is shown

    def show_tried(self, tried: Tried | None, hint: str) -> None:
        """The scenarios as they were tried, to be shown at the next refresh; ``hint`` says why there are none."""
        self._tried, self._hint = tried, hint

    def refresh(self) -> None:
        """What is compared, as far as it is known."""
        which = self.which.currentIndex()
        self.spans.setVisible(which == CHOSEN)
        for field, day in zip(self.days, self._span_days(), strict=True):
            if field.stands == "" and day is not None:
                field.set_day(day)
        if which == SCENARIO:
            self._show_scenario()
        else:
            self._show_spans()

    def _show_scenario(self) -> None:
        self._latest.forget()
        tried = self._tried
        if tried is None or tried.at < 0:
            fault = tried.faults.get(tried.of.chosen, "") if tried is not None else ""
            self._show(None, said=self._hint if not fault else say("This scenario has no figures."))
        elif not tried.sold:
            self._show(None, said=say("Nothing was sold in these weeks, so that no margin moves."))
        else:
            name = tried.found.others[tried.at].name
            self._show(Move(tried.bridges[tried.at], say("as it stands"), own(name)))

    def _show_spans(self) -> None:
        asked, why = self._asked()
        if asked is None:
            self._latest.forget()
            self._show(None, fault=why)
            return
        self._latest.ask(asked, asked)
        found: Walked | None = self._latest.of(asked)
        if found is None:
            self._show(None, said=say("It is being worked out…"))
            return
        first, last = _span_text(asked.first), _span_text(asked.last)
        self._show(Move(found.bridge, first, last), beside=self._beside(found))

    def _asked(self) -> tuple[Spans | None, str]:
        """The two spans; or why there are not two."""
        figures = self.desk.document.figures
        if self.which.currentIndex() == HALVES:
            found = halves(self.standing.periods())
            if found is None:
                return None, say("Two halves need two periods of sales: choose more weeks above, or read more sales.")
            return Spans(figures, *found), ""
        days = self._typed_days()
        if days is None:
            return None, say("Say from when until when each span goes.")
        since, until, again, last = days
        if since > until or again > last:
            return None, say("A span ends before it begins: change one of its days.")
        if max(since, again) <= min(until, last):
            return None, say("The two spans share days: let one end before the other begins.")
        periods = ended_periods(figures.book, figures.day)
        first, second = inside(periods, since, until), inside(periods, again, last)
        if not first or not second:
            which = say("first") if not first else say("second")
            return None, say("No whole period of sales lies in the {which} span: let it begin and end with one.",
                             which=which)  # fmt: skip
        return Spans(figures, first, second), ""

    def _beside(self, found: Walked) -> str:
        """What must be read with it."""
        said = [say("Each side has the menus, prices and costs of its last day.")]
        before, after = found.before.mix, found.after.mix
        if before.days != after.days:
            said.append(say("The sides are {n} and {m} days long: of volume, some is only that.", n=before.days,
                            m=after.days))  # fmt: skip
        if without := dict.fromkeys((*before.without, *after.without)):
            said.append(say("Sold, but on no menu of that day, and so in no figure: {names}.",
                            names=series(own(name) for name in without)))  # fmt: skip
        return " ".join(said)

    def _show(self, move: Move | None, *, said: str = "", fault: str = "", beside: str = "") -> None:
        currency = self.desk.format.currency
        if move is not None and not currency:
            move, fault = None, say("The house has no currency yet: say it in its settings.")
        self._move = move
        self._walks = walks_of(move.bridge, currency, move.before, move.after) if move is not None else ()
        self.fault.say(fault)
        if move is not None:
            said = say("{sentence}.", sentence=capital(sentence(move.bridge, currency)))
            beside = " ".join((beside, say(
                "Mix at the margins before; price and cost at what is sold after; an exchange rate at the foreign "
                "prices before."))).strip()  # fmt: skip
        self.said.setText(said)
        self.said.setVisible(bool(said))
        self.told.say(beside)
        self.split.setVisible(move is not None)
        rows = self._rows(move) if move is not None else []
        fresh = not self.rows.total
        columns = move_columns(move.bridge, self.desk.format, self._why) if move is not None else self.rows.columns
        other = self.rows.show_rows(columns, rows)
        if rows and (fresh or other) and self.isVisible():
            self.list.table.fit_columns()
        self._show_picture()

    def _show_picture(self, *_: object) -> None:
        if self._walk() is None and self._walks:
            self.unit.setCurrentIndex(MONEY)
        self.unit.setEnabled(len(self._walks) > 1)
        self.picture.refresh()

    def _walk(self) -> Walk | None:
        at = self.unit.currentIndex()
        return self._walks[at] if at < len(self._walks) else None

    def _figure(self, wide: float, _: float, measure: Measure) -> Figure | None:
        walk = self._walk()
        if walk is None:
            return None
        whole, step = self._sayings(walk)
        return bridge_figure(walk.bridge, max(LEAST, wide), measure, whole, moved=step)

    def _table(self) -> list[list[str]]:
        walk = self._walk()
        if walk is None:
            return []
        whole, step = self._sayings(walk)
        return bridge_rows(walk.bridge, whole, moved=step)

    def _sayings(self, walk: Walk) -> tuple["partial[str]", "partial[str]"]:
        form = self.desk.format
        if walk.unit == "money":
            return partial(form.money), partial(form.money)
        return partial(form.percent, places=2), partial(_points, form)

    def _rows(self, move: Move) -> list[MoveRow]:
        serves = {serve.name: ident for ident, (serve, _) in self.desk.document.view.serves.items()}
        rows = [MoveRow(item, serves.get(item.name, "")) for item in move.bridge.items]
        return sorted((r for r in rows if any(p.money for p in r.item.parts)), key=lambda r: -abs(r.whole))

    def _why(self, row: MoveRow) -> object | None:
        move = self._move
        if move is None:
            return None
        title = say("{drink}, from {before} to {after}", drink=own(row.item.name), before=move.before, after=move.after)
        return item_why(self.desk.document.figures, row.item, title, self.desk.format)

    def _open(self, key: str) -> None:
        row = next((r for r in self.rows.rows() if r.key == key), None)
        if row is not None and row.serve:
            self.desk.go(Where("serve", row.serve, "price"))

    # What is chosen

    def _chosen(self, *_: object) -> None:
        self.refresh()

    def _today(self) -> date:
        return self.desk.document.day

    def _span_days(self) -> Sequence[date | None]:
        """The ends of the two halves, which are there to be typed over."""
        found = halves(self.standing.periods())
        if found is None:
            return (None,) * 4
        first, last = found
        return (first[0].since, max(p.until for p in first), last[0].since, max(p.until for p in last))

    def _typed_days(self) -> Sequence[date] | None:
        stands = [field.stands for field in self.days]
        if not all(stands) or any(field.refusal is not None for field in self.days):
            return None
        return [date.fromisoformat(text) for text in stands]

    def _day_typed(self, n: int, day: date) -> None:
        self.days[n].set_day(day)
        self.refresh()
        QTimer.singleShot(0, self.days[n], self.days[n].revert)  # "+7" is shown as a day, once it has been told

    def _refused(self, refusal: object) -> None:
        self._show(None, fault=getattr(refusal, "text", ""))

    def save_state(self) -> dict[str, object]:
        """What is compared, and by what."""
        return {"which": self.which.currentIndex(), "unit": self.unit.currentIndex()}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        for key, box in (("which", self.which), ("unit", self.unit)):
            at = state.get(key)
            if isinstance(at, int) and 0 <= at < box.count():
                box.setCurrentIndex(at)


def move_columns(
    bridge: Bridge, form: Format, why: Callable[[MoveRow], object | None]
) -> list[Column[MoveRow]]:  # fmt: skip
    """Drink, all of it, and each part."""

    def money(value: float) -> str:
        return moved(form, value, form.places)

    def part(code: Code) -> Column[MoveRow]:
        return Column[MoveRow](code, capital(word(PARTS, code)), lambda r: money(float(money_of(r.item, code))), True,
                               lambda r: float(money_of(r.item, code)), why=why)  # fmt: skip

    return [
        Column[MoveRow]("name", say("Drink"), lambda r: r.item.name, sort=lambda r: r.item.name.casefold(),
                        why=why),
        Column[MoveRow]("whole", say("Margin"), lambda r: money(r.whole), True, lambda r: r.whole, why=why,
                        strong=lambda _: True),
        *(part(p.code) for p in bridge.parts),
    ]  # fmt: skip


def _points(form: Format, value: float) -> str:
    return say("{points} points", points=form.number(100 * value, 2))


def _span_text(periods: Sequence[SalesPeriod]) -> str:
    first, last = min(p.since for p in periods), max(p.until for p in periods)
    return say("{first} to {last}", first=day_text(first), last=day_text(last))
