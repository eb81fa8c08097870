"""The notice on distilling and fermenting: it stands before the figures until the house says under which permit."""

from PySide6.QtWidgets import QFormLayout, QFrame, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.edits import house
from costing.ledger import Reckoning
from costing.report.cautions import caution, cautions_for
from costing.tongue import say
from ui.desk import Desk
from ui.fault import KNOWN, refusal_of
from ui.widgets.fields import DayField, TextField, read_day

NEEDED = ("distil", "ferment")


def needs_permit(reckoning: Reckoning, preparation: str) -> bool:
    """Whether a preparation is of a kind that nearly everywhere needs one, and the house has not said which."""
    found = reckoning.view.book.house
    entered = bool(found and found.permit)
    return not entered and any(code in NEEDED for code in cautions_for(reckoning, preparation))


class PermitNotice(QFrame):
    """Stands where the figures of such a preparation would; entering a reference is a step, and takes it away."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setObjectName("notice")
        self.setProperty("bad", True)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.permit = TextField(say("Permit reference"), self, hint=say("its reference, or “works under one”"))
        self.until = DayField(say("Valid until"), desk.format, lambda: desk.document.day, self)
        self.enter = QPushButton(say("Enter it"), self)
        self.enter.setProperty("chief", True)
        self.enter.clicked.connect(self.take)
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        form = QFormLayout()
        form.addRow(say("Permit reference"), self.permit)
        form.addRow(say("Valid until"), self.until)
        layout = QVBoxLayout(self)
        layout.addWidget(self.said)
        layout.addLayout(form)
        layout.addWidget(self.enter)
        layout.addWidget(self.fault)
        layout.addStretch(1)

    def show_for(self, preparation: str) -> None:
        """Say what it is about."""
        document = self.desk.document
        codes = [code for code in cautions_for(document.reckoning, preparation) if code in NEEDED]
        said = [caution(code, "", None, document.day) for code in codes]
        said.append(say("The local code decides. Its figures are shown once the house has said under which permit it "
                        "works; this is asked once a book."))  # fmt: skip
        self.said.setText("\n\n".join(said))

    def take(self) -> None:
        """Write what was entered into the book."""
        document = self.desk.document
        if not self.permit.text().strip():
            self.fault.setText(say("Write the reference of the permit, or that the house works under one."))
            return
        try:
            until = read_day(self.until.text(), document.day) if self.until.text().strip() else None
            step = house.set_permit(document.book, self.permit.text(), until)
        except KNOWN as error:
            self.fault.setText(refusal_of(error).text)
            return
        done = self.desk.do(step)
        self.fault.setText("" if done or self.desk.refusal is None else self.desk.refusal.text)
