"""Which price matters: the tornado of the whole menu at what was sold, or of one drink, as a picture and a table."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QSplitter, QVBoxLayout, QWidget

from costing.menu.mix import Mix
from costing.menu.tornado import SWING, Bar, By, Tornado, menu_tornado, own_swings, serve_tornado
from costing.report.figures.shapes import Figure, Measure
from costing.report.figures.tornado import tornado_figure
from costing.tongue import Words, say, word
from ui.desk import Desk, Where
from ui.document import Figures
from ui.format import Format, own
from ui.jobs import Progress
from ui.latest import Latest
from ui.models.table import Column
from ui.places.cellar.buying.saying import Hint, Line, moved
from ui.places.menu.keep.choice import fill
from ui.places.menu.standing import Standing
from ui.places.menu.whatif.table import WideTable
from ui.whys import UnitCost
from ui.widgets.listpane import ListPane
from ui.widgets.picture import PictureView
from ui.widgets.wrapping import Cell, Wrapping, shrinking

WAYS: tuple[By, ...] = ("good", "supplier", "preparation")
BY_WORDS: Words = {"good": "ingredient", "supplier": "supplier", "preparation": "preparation"}
HEAD_WORDS: Words = {"good": "Ingredient", "supplier": "Supplier", "preparation": "Preparation"}
LEAST = 280.0
"""Points that a tornado needs across."""


@dataclass(frozen=True, slots=True)
class Swung:
    """What is to be found: of a drink or ("") of all that was sold, moved by a tenth or each by its own price."""

    figures: Figures
    mix: Mix
    serve: str
    by: By
    own: bool

    def __call__(self, tell: Progress) -> "Found":
        """The tornado."""
        reckoning = self.figures.reckoning
        swings = own_swings(reckoning) if self.own else {}
        tell(1, 2, "")
        if self.serve:
            found = serve_tornado(reckoning, self.serve, self.by, swings=swings)
        else:
            found = menu_tornado(reckoning, self.mix, self.by, swings=swings)
        return Found(self, found, frozenset(swings))


@dataclass(frozen=True, slots=True)
class Found:
    """The tornado; ``known`` are the goods that move by a share of their own."""

    of: Swung
    tornado: Tornado
    known: Collection[str]


class MattersView(QWidget):
    """Of what, by what, and by how much above; the picture, then every line of it."""

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.standing = desk, standing
        self._found: Found | None = None
        self._serves: list[str] = [""]
        self._wanted = ""
        self._latest = Latest(self)
        self._latest.known.connect(self.refresh)
        self.of, self.by = QComboBox(self), QComboBox(self)
        self.of.setAccessibleName(say("Whose cost"))
        self.by.setAccessibleName(say("What moves"))
        self.by.addItems([word(BY_WORDS, by) for by in WAYS])
        self.own = QCheckBox(say("Each by what its own price does"), self)
        self.own.setToolTip(say("In four weeks, as far as its quotes tell; the others by a tenth"))
        self.told = Line(self, kind="faint")
        self.picture = PictureView(say("Which price matters"), self._figure, self, least=LEAST)
        self.picture.set_table(self._table)
        self.rows: WideTable[Bar] = WideTable(lambda b: b.key, desk, self)
        self.hint = Hint("", self)
        self.list = ListPane(self.rows, say("Which price matters"), self.hint, self)
        self.list.table.horizontalHeader().setStretchLastSection(False)
        self._lay_out()
        self.of.activated.connect(self._chosen)
        self.by.activated.connect(self._chosen)
        self.own.toggled.connect(self._chosen)
        self.list.table.explained.connect(desk.explain)
        self.list.table.opened.connect(self._open)

    def _lay_out(self) -> None:
        top = Wrapping(self, least=1)
        choices = (say("Cost of"), self.of), (say("by"), self.by)
        top.take([*(Cell(text, shrinking(box), self, beside=True) for text, box in choices), self.own])
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.picture)
        self.split.addWidget(self.list)
        self.split.setSizes([230, 200])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 0)
        layout.setSpacing(4)
        layout.addWidget(top)
        layout.addWidget(self.split, 1)
        layout.addWidget(self.told)

    def first(self) -> QWidget:
        """Of what."""
        return self.of

    def refresh(self) -> None:
        """What is chosen, as far as it is known."""
        figures = self.desk.document.figures
        self._show_choices(figures)
        by = WAYS[max(0, self.by.currentIndex())]
        self.own.setVisible(by == "good")
        asked = Swung(figures, self.standing.today(), self._serves[max(0, self.of.currentIndex())], by,
                      self.own.isChecked() and by == "good")  # fmt: skip
        self._latest.ask(asked, asked)
        found: Found | None = self._latest.of(asked)
        if found is not None or self._found is None or not _alike(self._found.of, asked):
            self._show(found)
        if found is None:
            self.told.say(
                say("It is being worked out…") if self._found is None else say("It is being worked out anew…")
            )

    def _show_choices(self, figures: Figures) -> None:
        """The whole menu, then every drink that can be made, by name."""
        wanted = self._wanted or self._serves[max(0, self.of.currentIndex())]
        drinks = sorted((serve.name, ident) for ident, (serve, _) in figures.view.serves.items()
                        if ident in figures.reckoning.serves)  # fmt: skip
        self._serves = ["", *(ident for _, ident in drinks)]
        fill(self.of, [say("the whole menu, at what was sold"), *(own(name) for name, _ in drinks)])
        self.of.setCurrentIndex(self._serves.index(wanted) if wanted in self._serves else 0)
        self._wanted = ""

    def _show(self, found: Found | None) -> None:
        self._found = found
        form, fresh = self.desk.format, not self.rows.total
        bars = found.tornado.bars if found is not None else ()
        columns = bar_columns(found, form) if found is not None else self.rows.columns
        other = self.rows.show_rows(columns, bars)
        if bars and (fresh or other) and self.isVisible():
            self.list.table.fit_columns()
        self.hint.setText(_nothing(found) if found is not None else "")
        self.picture.setVisible(bool(bars))
        self.told.say(_told(found, form) if found is not None else "")
        self.picture.refresh()

    def _figure(self, wide: float, _: float, measure: Measure) -> Figure | None:
        found = self._found
        if found is None or not found.tornado.bars:
            return None
        down = found.tornado.by == "preparation"
        shares = [(bar.name, (bar.down if down else bar.up) / SWING) for bar in found.tornado.bars]
        words, said = _words(found) if down or found.of.own else ("", "")
        return tornado_figure(shares, wide, measure, _cash(found, self.desk.format),
                              of="drink" if found.of.serve else "period", words=words, said=said)  # fmt: skip

    def _table(self) -> list[list[str]]:
        found = self._found
        if found is None:
            return []
        columns = bar_columns(found, self.desk.format)
        return [[c.title for c in columns], *([c.show(bar) for c in columns] for bar in found.tornado.bars)]

    def _open(self, key: str) -> None:
        if self._found is not None:
            self.desk.go(Where(self._found.tornado.by, key))

    def _chosen(self, *_: object) -> None:
        self.refresh()

    def save_state(self) -> dict[str, object]:
        """What is chosen."""
        return {"of": self._wanted or self._serves[max(0, self.of.currentIndex())], "by": self.by.currentIndex(),
                "own": self.own.isChecked()}  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        wanted, by = state.get("of"), state.get("by")
        self._wanted = wanted if isinstance(wanted, str) else ""
        if isinstance(by, int) and 0 <= by < len(WAYS):
            self.by.setCurrentIndex(by)
        self.own.setChecked(state.get("own") is True)


def _alike(one: Swung, two: Swung) -> bool:
    """Whether the figures of the one may stand until those of the other are there."""
    return (one.serve, one.by, one.own, one.mix.periods) == (two.serve, two.by, two.own, two.mix.periods)


def _cash(found: Found, form: Format) -> "partial[str]":
    """Money of a drink has two more decimals than that of a period."""
    return partial(form.number, places=_places(found, form))


def _places(found: Found, form: Format) -> int:
    return form.places + (2 if found.of.serve else 0)


def _words(found: Found) -> tuple[str, str]:
    """What stands below the picture, and for it, where it is not of a tenth on a price."""
    first = found.tornado.bars[0].name
    if found.tornado.by == "preparation":
        return (say("what costs more where that preparation alone gives 10 % less"),
                say("{name} matters most.", name=first))  # fmt: skip
    return (say("what costs more where that price alone rises by what it usually does in four weeks"),
            say("{name} moves it most by what its own price does.", name=first))  # fmt: skip


def _nothing(found: Found) -> str:
    if not found.of.serve and not any(item.sold for item in found.of.mix.items):
        return say("Nothing was sold in these weeks: choose one drink above.")
    if found.tornado.by == "preparation":
        return say("No preparation is in it.")
    return say("Nothing in it has a price.")


def _told(found: Found, form: Format) -> str:
    whole = form.least(form.number(found.tornado.whole, _places(found, form)), found.tornado.complete)
    said = [say("All of it costs {money}, as the book stands.", money=whole)]
    if found.tornado.by == "preparation":
        said.append(say("To first order, and each by itself: preparations stand in each other and do not add up."))
    else:
        said.append(say("Each by itself, all others as they are."))
    return " ".join(said)


def bar_columns(found: Found, form: Format) -> list[Column[Bar]]:
    """What moves, the money that goes through it, by how much it moves, and what that does."""
    by, places = found.tornado.by, _places(found, form)

    def name(bar: Bar) -> str:
        return bar.name or bar.key or say("no supplier")

    def share(bar: Bar) -> str:
        text = form.percent(bar.swing, 0 if bar.swing == SWING else 1)
        return say("{share}, assumed", share=text) if found.of.own and bar.key not in found.known else text

    def why(bar: Bar) -> object | None:
        return UnitCost(bar.key) if by != "supplier" else None

    heads = (say("Yield down"), say("Yield up")) if by == "preparation" else (say("Price down"), say("Price up"))
    return [
        Column[Bar](f"{by} name", word(HEAD_WORDS, by), name, sort=lambda b: name(b).casefold(), why=why),
        Column[Bar]("money", say("Money through it"), lambda b: form.number(b.money, places), True, lambda b: b.money,
                    why=why),
        Column[Bar]("by", say("By"), share, True, lambda b: b.swing, why=why),
        Column[Bar]("down", heads[0], lambda b: moved(form, b.down, places), True, lambda b: b.down, why=why,
                    about=say("What all of it then costs more or less")),
        Column[Bar]("up", heads[1], lambda b: moved(form, b.up, places), True, lambda b: b.up, why=why,
                    about=say("What all of it then costs more or less")),
    ]  # fmt: skip
