"""Questions: a list of them in plain words, the fields of the chosen one, and its answer."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, QStringListModel, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QListView,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.places.base import Place, split_text, take_split
from ui.places.menu.questions.against import Against
from ui.places.menu.questions.carrying import Carrying
from ui.places.menu.questions.coming import Coming
from ui.places.menu.questions.event import Event
from ui.places.menu.questions.going import Going
from ui.places.menu.questions.question import Question
from ui.places.menu.questions.trying import Trying
from ui.places.menu.standing import Standing, StandingBar
from ui.widgets.acts import acts
from ui.widgets.roomy import scrolled

QUESTIONS: tuple[type[Question], ...] = (Going, Coming, Against, Event, Trying, Carrying)


class _Tall(QStyledItemDelegate):
    """Lines that are tall enough to be hit, wrapped where they are long."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """A little above and below."""
        size = super().sizeHint(option, index)
        return QSize(size.width(), size.height() + 12)


class QuestionsPage(Place):
    """Up and Down choose a question, Tab goes to its fields; the answer follows what is typed."""

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = standing
        self.bar = StandingBar(standing, self)
        self.read = QPushButton(say("Read sales…"), self)
        self.read.setProperty("chief", True)
        self.read.clicked.connect(self._go_sold)
        self.bar.take([self.read])
        self.list = QListView(self)
        self.list.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName(say("Questions"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)  # long ones wrap
        self.list.setItemDelegate(_Tall(self.list))
        self.shown = QStackedWidget(self)
        self.questions: dict[str, Question] = {}
        for made in QUESTIONS:
            question = made(desk, standing, self)
            self.questions[question.key] = question
            self.shown.addWidget(scrolled(question, self))
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.shown)
        self.split.setStretchFactor(1, 1)
        self.split.setSizes([190, 880])
        self.split.setCollapsible(1, False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.setSpacing(4)
        layout.addWidget(self.bar)
        layout.addWidget(self.split, 1)
        self.list.setModel(QStringListModel([question.title() for question in self.questions.values()], self))
        self._choose(0)
        self.list.selectionModel().currentChanged.connect(self._turned)
        self.list.activated.connect(self._into)
        standing.changed.connect(self._sales_moved)
        self._actions = acts(self, [(say("To the list of questions"), "Ctrl+Shift+L", self.back)])

    # Place

    def refresh(self, moved: Moved) -> None:
        """The sales that count, and the answer to the chosen question."""
        self.bar.refresh()
        self.read.setVisible(not self.standing.periods())
        self.question().refresh()

    def question(self) -> Question:
        """The one that is chosen."""
        return list(self.questions.values())[max(0, self.list.currentIndex().row())]

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._actions

    def first(self) -> QWidget:
        """The list of questions."""
        return self.list

    def find_field(self) -> QWidget:
        """The first field of the question: there is nothing to filter."""
        return self.question().first()

    def save_state(self) -> dict[str, object]:
        """The question, and what was typed for every one."""
        return {
            "question": self.question().key,
            "split": split_text(self.split),
            "answers": {key: question.save_state() for key, question in self.questions.items()},
        }

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        chosen, answers = state.get("question"), state.get("answers")
        for key, question in self.questions.items():
            kept = answers.get(key) if isinstance(answers, dict) else None
            if isinstance(kept, dict):
                question.restore_state(kept)
        if chosen in self.questions:
            self._choose(list(self.questions).index(str(chosen)))
        take_split(self.split, state.get("split"))

    def _sales_moved(self) -> None:
        self._moved(Moved(everything=True))

    # What is done

    def ask(self, key: str) -> Question:
        """Turn to a question."""
        self._choose(list(self.questions).index(key))
        return self.question()

    def _choose(self, at: int) -> None:
        self.list.setCurrentIndex(self.list.model().index(at, 0))

    def _turned(self, at: QModelIndex) -> None:
        self.shown.setCurrentIndex(max(0, at.row()))
        if self.isVisible():
            self.question().refresh()

    def _into(self, *_: object) -> None:
        self.question().first().setFocus(Qt.FocusReason.TabFocusReason)

    def back(self) -> None:
        """To the list of questions."""
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _go_sold(self) -> None:
        self.desk.go(Where("menu", ":sold"))
