"""About the program: what it is, its version, the cautions in full, and the licences of what it stands on."""

from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, metadata, version

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QPlainTextEdit, QTabWidget, QVBoxLayout, QWidget

from costing.paths import resource
from costing.report.cautions import WORDS
from costing.tongue import say, say_word
from ui.models.table import Column, RowTable
from ui.widgets.table import DataTable

LIBRARIES = (
    "PySide6-Essentials", "shiboken6", "numpy", "scipy", "openpyxl", "et_xmlfile", "reportlab", "pillow",
    "charset-normalizer", "pypdfium2", "polib", "iso4217", "arabic-reshaper",
    "lxml", "defusedxml", "pypdf", "rapidfuzz",
)  # fmt: skip
"""What is installed with the program, beside Python itself."""


@dataclass(frozen=True, slots=True)
class Library:
    """One library: its name, version and licence as it states it itself."""

    name: str
    version: str
    licence: str


def libraries() -> list[Library]:
    """What is installed, read from each library's own description."""
    out = []
    for name in LIBRARIES:
        try:
            found = metadata(name)
        except PackageNotFoundError:
            continue
        stated = [*(found.get_all("License-Expression") or ()), *(found.get_all("License") or ())]
        said = next((text for text in stated if text), "")
        if not said or len(said) > 100 or "\n" in said:
            classes = [c.rpartition(" :: ")[2] for c in found.get_all("Classifier") or () if c.startswith("License")]
            said = ", ".join(dict.fromkeys(classes)) or said.strip().partition("\n")[0][:100]
        out.append(Library(name, found["Version"], said))
    return out


def program_version() -> str:
    """The version of this program; "" where it runs without being installed."""
    try:
        return version("stillroom-ledger")
    except PackageNotFoundError:
        return ""


class AboutDialog(QDialog):
    """What it is, cautions, licences."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("About Stillroom Ledger"))
        tabs = QTabWidget(self)
        tabs.setAccessibleName(say("About"))
        about = QLabel(
            say("Stillroom Ledger {version}\n\nTrue cost, price and loss ledger for a bar that makes its own "
                "ingredients. Every preparation is followed as masses of ethanol, water and solids, and money; it "
                "closes, and every figure answers why.\n\nThe program gives no advice on law, safety or health: local "
                "codes and licensed practice come first.", version=program_version()),
            self,
        )  # fmt: skip
        about.setWordWrap(True)
        about.setMargin(12)
        about.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeading)
        about.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByKeyboard)
        tabs.addTab(about, say("The program"))
        cautions = QPlainTextEdit(self)
        cautions.setReadOnly(True)
        cautions.setTabChangesFocus(True)
        cautions.setAccessibleName(say("Cautions"))
        cautions.setPlainText("\n\n".join(say_word(text) for text in WORDS.values()))
        tabs.addTab(cautions, say("Cautions"))
        self.rows: RowTable[Library] = RowTable(
            [
                Column[Library]("name", say("Library"), lambda r: r.name),
                Column[Library]("version", say("Version"), lambda r: r.version),
                Column[Library]("licence", say("Licence, as it says itself"), lambda r: r.licence),
            ],
            lambda r: r.name,
            None,
            self,
        )
        self.rows.set_rows(libraries())
        table = DataTable(self.rows, say("Licences"), self)
        tabs.addTab(table, say("Licences"))
        font = QPlainTextEdit(self)
        font.setReadOnly(True)
        font.setTabChangesFocus(True)
        font.setAccessibleName(say("Licence of the letters"))
        font.setPlainText(resource("fonts", "LICENSE-DejaVu.txt").decode("utf-8", "replace"))
        tabs.addTab(font, say("Letters"))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.button(QDialogButtonBox.StandardButton.Close).setText(say("Close"))
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(tabs, 1)
        layout.addWidget(buttons)
        self.finished.connect(self.deleteLater)
        letter = self.fontMetrics()
        self.resize(letter.averageCharWidth() * 100, letter.height() * 33)
