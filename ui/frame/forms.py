"""The parts that pages of settings are made of."""

from collections.abc import Callable

from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QPushButton, QStyledItemDelegate, QWidget


def form() -> QFormLayout:
    """Fields beside their names, or under them where a line is too long."""
    out = QFormLayout()
    out.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
    out.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
    return out


def choice(parent: QWidget, name: str, slot: Callable[..., object]) -> QComboBox:
    """A list to choose from."""
    box = QComboBox(parent)
    box.setAccessibleName(name)
    box.setItemDelegate(QStyledItemDelegate(box))  # the one a combo has by itself squashes its lines
    box.activated.connect(slot)
    return box


def button(parent: QWidget, text: str, slot: Callable[..., object]) -> QPushButton:
    """A button that Enter in a field does not press: it takes the field, and nothing else."""
    out = QPushButton(text, parent)
    out.setAutoDefault(False)
    out.clicked.connect(slot)
    return out


def faint(parent: QWidget, text: str = "") -> QLabel:
    """What is said beside a field."""
    label = QLabel(text, parent)
    label.setProperty("faint", True)
    label.setWordWrap(True)
    label.setMinimumWidth(parent.fontMetrics().averageCharWidth() * 50)  # its height is judged by it
    return label
