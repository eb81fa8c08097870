"""The tree of what is made of what: preparations and drinks, and under each what goes into it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QHeaderView, QLabel, QTreeView, QVBoxLayout, QWidget

from costing.book.records import Stage
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Figures
from ui.folding import fold, holds
from ui.format import UNKNOWN
from ui.models.table import Column, Index
from ui.models.tree import TreeTable
from ui.ranges import may_cost, range_of
from ui.whys import CostOfServe, UnitCost
from ui.widgets.fields import FilterField
from ui.widgets.table import TALL, CellDelegate


@dataclass(frozen=True, slots=True)
class TreeRow:
    """A thing, or a thing inside another. ``above`` are the ids on the way to it, so that what is in itself ends."""

    id: str
    kind: str
    name: str
    amount: str = ""
    made: float | None = None
    base: str = ""
    kept: float | None = None
    cost: float | None = None
    complete: bool = True
    above: frozenset[str] = frozenset()
    at: int = 0


def kept_share(figures: Figures, ident: str) -> float | None:
    """The share of what counts that reaches the end of a preparation: stage by stage, multiplied."""
    ledger = figures.reckoning.ledgers.get(ident)
    if ledger is None or ledger.refused:
        return None
    share = 1.0
    for line in ledger.lines:
        share *= 1.0 - line.share_lost
    return share


def top_rows(figures: Figures, *, drinks: bool) -> list[TreeRow]:
    """Preparations by name; the drinks too."""
    found = [_made(figures, ident) for ident in figures.view.preparations]
    if drinks:
        for ident, (serve, _) in figures.view.serves.items():
            cost = figures.reckoning.serve_cost(ident)
            found.append(TreeRow(ident, "serve", serve.name, cost=cost.making, complete=cost.complete, base="each"))
    return sorted(found, key=lambda r: (r.kind, fold(r.name)))


def _made(figures: Figures, ident: str, amount: str = "", above: frozenset[str] = frozenset(), at: int = 0) -> TreeRow:
    reckoning, source = figures.reckoning, ident
    owner = source.partition("/")[0]
    ledger = reckoning.ledgers.get(owner)
    output = ledger.outputs.get(source) if ledger else None
    cost, unit = reckoning.costs.get(source), reckoning.units.get(source)
    kind = "good" if source in figures.view.goods else "preparation"
    return TreeRow(
        source, kind, figures.names.get(source, source), amount, output.made if output and not amount else None,
        unit.base if unit else "", kept_share(figures, owner) if kind == "preparation" else None,
        cost.making if cost else None, cost.complete if cost else False, above, at,
    )  # fmt: skip


def inside(figures: Figures, row: TreeRow) -> list[TreeRow]:
    """What goes into it, as typed; nothing more under what is met again."""
    owner = row.id.partition("/")[0]
    if owner in row.above or row.kind == "good":
        return []
    above = row.above | {owner}
    return [
        _made(figures, source, amount, above, n) for n, (source, amount) in enumerate(_inputs(figures, row.kind, owner))
    ]


def _inputs(figures: Figures, kind: str, ident: str) -> Iterator[tuple[str, str]]:
    stages: Sequence[Stage] = ()
    if kind == "serve" and ident in figures.view.serves:
        stages = (figures.view.serves[ident][1].build,)
    elif ident in figures.view.preparations:
        stages = figures.view.preparations[ident][1].stages
    for stage in stages:
        for item in stage.adds:
            yield item.source, item.amount.text.lstrip("~ ") if item.amount else say("computed")


def tree_columns(desk: Desk) -> Sequence[Column[TreeRow]]:
    """What the tree shows."""
    form = desk.format

    def amount(row: TreeRow) -> str:
        return row.amount or (form.amount(row.made, row.base) if row.made is not None else "")

    def cost(row: TreeRow) -> str:
        if row.cost is None:
            return UNKNOWN
        text = form.unit_money(row.cost, row.base) if row.kind != "serve" else form.money(row.cost)
        return form.least(text, row.complete)

    def cost_tip(row: TreeRow) -> str:
        found = range_of(desk.document.figures, row.id, "preparation") if row.kind == "preparation" else None
        return may_cost(found, form, "preparation") if found is not None else ""

    def kept(row: TreeRow) -> str:
        return "" if row.kept is None else form.percent(row.kept, 0)

    def why(row: TreeRow) -> UnitCost | CostOfServe:
        return UnitCost(row.id) if row.kind != "serve" else CostOfServe(row.id)

    return (
        Column[TreeRow]("name", say("Made of"), lambda r: r.name, why=why),
        Column[TreeRow]("amount", say("Batch"), amount, True, why=why,
                        about=say("What a batch makes; under it, what goes into it as typed")),
        Column[TreeRow]("cost", say("Cost"), cost, True, why=why, tip=cost_tip,
                        about=say("With making, per L, kg or piece")),
        Column[TreeRow]("kept", say("Kept"), kept, True, why=why,
                        about=say("Share of the alcohol, else of what is dissolved, else of the weight, that reaches "
                                  "the end")),
    )  # fmt: skip


class TreePane(QWidget):
    """Filter, count and tree. A top row is shown when it is come to; any row is gone to with Enter."""

    chosen = Signal(str)
    """A preparation at the top that was come to."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._figures = desk.document.figures
        self.filter = FilterField(self)
        self.filter.setPlaceholderText(say("Filter (Ctrl+F)"))
        self.filter.setAccessibleName(say("Filter: {list}", list=say("Preparations")))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self._filtered)
        self.filter.installEventFilter(self)
        self.count = QLabel(self)
        self.count.setProperty("faint", True)
        self.drinks = QCheckBox(say("Drinks too"), self)
        self.drinks.toggled.connect(self._filtered)
        self.model: TreeTable[TreeRow] = TreeTable(tree_columns(desk), _key, self._below, self)
        self.view = QTreeView(self)
        self.view.setAccessibleName(say("What is made of what"))
        self.view.setUniformRowHeights(True)
        self.view.setItemDelegate(CellDelegate(self.view))
        self.view.setModel(self.model)
        self.view.setAlternatingRowColors(True)
        self.view.setAllColumnsShowFocus(True)
        self.view.setEditTriggers(QTreeView.EditTrigger.NoEditTriggers)
        self.view.header().setMinimumHeight(TALL)
        self.view.header().setStretchLastSection(False)
        self.view.setToolTip(say("Enter goes to what a row names. Left and Right fold it."))
        self.view.installEventFilter(self)
        self.view.doubleClicked.connect(self._open)
        self.view.selectionModel().currentChanged.connect(self._came_to)
        top = QHBoxLayout()
        top.addWidget(self.filter, 1)
        top.addWidget(self.count)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.setSpacing(4)
        layout.addLayout(top)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.drinks)
        self._current = ""
        self._quiet = False

    def _below(self, row: TreeRow) -> list[TreeRow]:
        return inside(self._figures, row)

    def refresh(self) -> None:
        """Show the book as it is now; what is unfolded stays so."""
        self._figures = self.desk.document.figures
        tops = top_rows(self._figures, drinks=self.drinks.isChecked())
        words = fold(self.filter.text()).split()
        shown = [row for row in tops if not words or self._passes(row, words)]
        before = self.view.selectionModel().currentIndex()
        path, column = self.model.path_of(before), max(0, before.column())
        unfolded = [p for p in self._paths(tops) if self.view.isExpanded(self.model.index_of(p))]
        first = self.model.rowCount() == 0
        self._quiet = True
        self.model.set_rows(shown)
        for place in unfolded:
            self.view.setExpanded(self.model.index_of(place), True)
        index = self.model.index_of(path, column) if path else QModelIndex()
        if index.isValid():
            self.view.setCurrentIndex(index)
        self._quiet = False
        self.count.setText(
            str(len(tops)) if len(shown) == len(tops) else say("{shown} of {total}", shown=len(shown), total=len(tops))
        )
        if first and shown:
            self._widths()

    def _paths(self, rows: Sequence[TreeRow]) -> Iterator[tuple[str, ...]]:
        for row in rows:
            yield (_key(row),)
            for child in self._below(row):
                yield (_key(row), _key(child))

    def _passes(self, row: TreeRow, words: Sequence[str]) -> bool:
        named = [row.name, *(child.name for child in self._below(row))]
        return holds(fold("  ".join(named)), list(words))

    def _widths(self) -> None:
        header, metrics = self.view.header(), self.view.fontMetrics()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        for n, sample in enumerate(("Clarified cucumber", "00.00 kg", "00.00 / kg", "100 %")):
            header.resizeSection(n, metrics.horizontalAdvance(sample) + 10)

    def _filtered(self, *_: object) -> None:
        self.refresh()

    def choose(self, ident: str, kind: str = "preparation") -> bool:
        """Come to a top row; False where it is not shown."""
        index = self.model.index_of((f"{kind}/{ident}",))
        if not index.isValid():
            return False
        self.view.setCurrentIndex(index)
        self.view.scrollTo(index)
        return True

    def _came_to(self, current: QModelIndex, _: QModelIndex) -> None:
        row = self.model.row_of(current)
        if row is None or self._quiet:
            return
        if not current.parent().isValid() and row.kind == "preparation" and row.id != self._current:
            self._current = row.id
            self.chosen.emit(row.id)
        subject = self.model.columns[current.column()].why
        found = subject(row) if subject else None
        if found is not None:
            self.desk.explain(found)  # after what shows it: the last that is explained is what was chosen

    def row(self) -> TreeRow | None:
        """The row that is come to."""
        return self.model.row_of(self.view.currentIndex())

    def shown(self, ident: str) -> None:
        """Take note of what is shown beside the tree."""
        self._current = ident

    def _open(self, index: Index) -> None:
        row = self.model.row_of(index)
        if row is not None:
            self.desk.go(Where(row.kind, row.id.partition("/")[0]))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """In the filter Esc clears and Down goes into the tree; in the tree Enter goes to what a row names."""
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if watched is self.filter:
            if event.key() == Qt.Key.Key_Escape and self.filter.text():
                self.filter.clear()
                return True
            if (enter or event.key() == Qt.Key.Key_Down) and self.model.rowCount():
                if not self.view.currentIndex().isValid():
                    self.view.setCurrentIndex(self.model.index(0, 0))
                self.view.setFocus(Qt.FocusReason.TabFocusReason)
                return True
        elif watched is self.view and enter and self.view.currentIndex().isValid():
            self._open(self.view.currentIndex())
            return True
        return super().eventFilter(watched, event)


def _key(row: TreeRow) -> str:
    return f"{row.kind}/{row.id}" if not row.above else f"{row.at}:{row.kind}/{row.id}"
