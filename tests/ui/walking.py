"""Going through a window as it is seen: its widgets, what they say, where they are."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPoint, QRect, Qt
from PySide6.QtGui import QAccessible, QAction, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QCheckBox,
    QComboBox,
    QGroupBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QScrollBar,
    QSplitterHandle,
    QStyle,
    QStyleOptionButton,
    QTabBar,
    QTextEdit,
    QWidget,
)

from tests.ui.colour_maths import contrast

FORMAT_MARKS = re.compile("[\u200e\u200f\u2066-\u2069\u061c]")
FIELDS = (QLineEdit, QPlainTextEdit, QTextEdit, QComboBox)


def seen(root: QWidget) -> Iterator[QWidget]:
    """Every widget that is shown in a window, not those that Qt makes inside its own."""
    for widget in [root, *root.findChildren(QWidget)]:
        if widget.isVisible() and widget.window() is root and not widget.visibleRegion().isEmpty():
            yield widget


def where(widget: QWidget) -> str:
    """A widget, for whoever reads a failure: its class, name and text, and what it stands in."""
    chain: list[str] = []
    at: QWidget | None = widget
    while at is not None and len(chain) < 3:
        chain.append(type(at).__name__)
        at = at.parentWidget()
    text = next((t for t in (widget.accessibleName(), words_of(widget)) if t), "")
    return f"{' < '.join(chain)} “{text[:40]}”"


def words_of(widget: QWidget) -> str:
    """The text that a label or a button shows."""
    if isinstance(widget, (QLabel, QAbstractButton)):
        return widget.text()
    return widget.title() if isinstance(widget, QGroupBox) else ""


def takes_focus(widget: QWidget) -> bool:
    """Whether Tab comes to it."""
    return bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus) and widget.isEnabled() and widget.isVisible()


def by_arrows(widget: QWidget) -> bool:
    """Whether the arrows come to it, as they do to all of a group of which Tab comes to the one that is chosen."""
    group = widget.group() if isinstance(widget, QAbstractButton) else None
    return isinstance(widget, QAbstractButton) and group is not None and group.exclusive() and not widget.isChecked()


def spoken(widget: QWidget) -> str:
    """What assistive technology calls it."""
    face = QAccessible.queryAccessibleInterface(widget)
    return face.text(QAccessible.Text.Name).strip() if face is not None else ""


def actions_in(root: QWidget) -> list[QAction]:
    """Every action of a window that does something."""
    found = dict.fromkeys(
        action
        for widget in [root, *root.findChildren(QWidget)]
        for action in widget.actions()
        if not action.isSeparator() and action.menu() is None
    )
    return list(found)


def in_menus(root: QWidget) -> set[QAction]:
    """Every action that lies in a menu."""
    return {action for menu in root.findChildren(QMenu) for action in menu.actions()}


def walked(first: QWidget, press: Qt.Key, most: int = 300) -> list[QWidget]:
    """What the keyboard comes to from a widget on, one press after another, until it is somewhere again."""
    order: list[QWidget] = []
    at: QWidget | None = first
    while at is not None and at not in order and len(order) < most:
        order.append(at)
        QTest.keyClick(at, press)
        at = QApplication.focusWidget()
    if at is order[0]:
        return order
    raise AssertionError(f"from {where(first)} the keyboard came to {where(at) if at else 'nothing'}, not back")


def targets(root: QWidget) -> Iterator[tuple[QWidget, QRect]]:
    """What is clicked on, and how large it is."""
    for widget in seen(root):
        if isinstance(widget, QTabBar):
            for n in range(widget.count()):
                yield widget, widget.tabRect(n)
        elif isinstance(widget, QHeaderView) and widget.orientation() == Qt.Orientation.Horizontal:
            if widget.sectionsClickable():
                yield widget, QRect(0, 0, 99, widget.height())
        elif isinstance(widget, QAbstractItemView):
            model = widget.model()
            if model is not None and model.rowCount(QModelIndex()) and not isinstance(widget, QHeaderView):
                yield widget, QRect(0, 0, 99, widget.visualRect(model.index(0, 0)).height() + 1)
        elif isinstance(widget, (QAbstractButton, *FIELDS)) and widget.isEnabled():
            inside = widget.parentWidget()
            if not isinstance(inside, (QTabBar, QLineEdit, QComboBox, QScrollBar, QAbstractItemView)):
                yield widget, widget.rect()


def clipped(root: QWidget) -> Iterator[str]:
    """Labels, buttons and fields that are smaller than their text asks for."""
    for widget in [w for w in root.findChildren(QWidget) if w.isVisible() and w.window() is root]:
        if isinstance(widget, QSplitterHandle) or isinstance(widget.parentWidget(), (QTabBar, QLineEdit)):
            continue
        if isinstance(widget, QLabel) and widget.wordWrap():
            need = widget.heightForWidth(widget.width())
            if widget.text() and widget.height() + 2 < need:
                yield f"{where(widget)}: {widget.height()} of {need} high"
        elif isinstance(widget, (QLabel, QAbstractButton)) and words_of(widget):
            hint, size = widget.sizeHint(), widget.size()
            if size.width() + 1 < hint.width() or size.height() + 1 < hint.height():
                yield f"{where(widget)}: {size.toTuple()} of {hint.toTuple()}"
        elif isinstance(widget, (QLineEdit, QComboBox)) and not _in_cell(widget):
            need = widget.sizeHint().height()
            if widget.height() + 1 < need:
                yield f"{where(widget)}: {widget.height()} of {need} high"


def _in_cell(widget: QWidget) -> bool:
    """Whether a field is the editor of a cell, or the inside of a box to choose from."""
    parent = widget.parentWidget()
    return isinstance(parent, QComboBox) or isinstance(parent and parent.parentWidget(), QAbstractItemView)


def said(root: QWidget) -> Iterator[tuple[str, str]]:
    """Every text that is shown or spoken: (where, text)."""
    yield "title", root.windowTitle()
    for widget in seen(root):
        place = where(widget)
        if isinstance(widget.parentWidget(), QTabBar):
            continue  # its arrows are Qt's own, and said in Qt's own catalogue
        yield place, words_of(widget)
        yield f"{place}, tip", re.sub("<[^>]*>", " ", widget.toolTip())
        yield f"{place}, name", widget.accessibleName()
        yield f"{place}, description", widget.accessibleDescription()
        if isinstance(widget, QLineEdit):
            yield f"{place}, hint", widget.placeholderText()
        if isinstance(widget, QTabBar):
            for n in range(widget.count()):
                yield place, widget.tabText(n)
        if isinstance(widget, QComboBox):
            for n in range(widget.count()):
                yield place, widget.itemText(n)
        if isinstance(widget, QAbstractItemView) and not isinstance(widget, QHeaderView):
            yield from ((place, text) for text in cells(widget))
    for action in actions_in(root):
        yield "action", action.text()
        yield "action, tip", action.toolTip()


def cells(view: QAbstractItemView, most: int = 60) -> Iterator[str]:
    """The headings and first cells of a table or tree."""
    model = view.model()
    if model is None:
        return
    role = Qt.ItemDataRole
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(QModelIndex())
    for column in range(columns):
        heading = model.headerData(column, Qt.Orientation.Horizontal, role.DisplayRole)
        yield heading if isinstance(heading, str) else ""
        for row in range(min(most, model.rowCount(QModelIndex()))):
            index = model.index(row, column, QModelIndex())
            for which in (role.DisplayRole, role.ToolTipRole):
                text = index.data(which)
                yield text if isinstance(text, str) else ""


def outside_brackets(text: str) -> str:
    """What of a pseudo-translated text is not inside its brackets: names from the book stand inside, too."""
    plain, depth, out = FORMAT_MARKS.sub("", text), 0, []
    for letter in plain:
        depth += letter == "["
        out.append(letter if depth == 0 else " ")
        depth -= letter == "]" and depth > 0
    return "".join(out)


def words_in(texts: Iterable[str]) -> set[str]:
    """The words of three letters and more in texts, in lower case."""
    return {word for text in texts for word in re.findall(r"[^\W\d_]{3,}", text.casefold())}


def inked(widget: QWidget, image: QImage) -> float | None:
    """Contrast of what is written on a widget to what it is written on, from the pixels of its window."""
    corner = widget.mapTo(widget.window(), QPoint(0, 0))
    rect = QRect(corner, widget.size()).intersected(image.rect()).adjusted(3, 3, -3, -3)
    if rect.width() < 4 or rect.height() < 4:
        return None
    part = image.copy(rect).convertToFormat(QImage.Format.Format_RGB32)
    pixels = Counter(f"#{value & 0xFFFFFF:06x}" for value in memoryview(part.constBits()).cast("I"))
    ground = pixels.most_common(1)[0][0]
    return max(contrast(colour, ground) for colour in pixels)


def boxed(box: QCheckBox, image: QImage) -> float:
    """Contrast of the frame of a box to tick to what is around it, from the pixels of its window."""
    option = QStyleOptionButton()
    box.initStyleOption(option)
    inside = box.style().subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, option, box)
    corner = box.mapTo(box.window(), inside.topLeft())
    around = image.pixelColor(corner.x() + inside.width() + 2, corner.y() - 2).name()
    middle = corner.y() + inside.height() // 2
    return max(contrast(image.pixelColor(corner.x() + n, middle).name(), around) for n in range(3))
