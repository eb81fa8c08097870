"""What a report is chosen by: which one, of what, in which language."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QLabel, QVBoxLayout, QWidget

from costing.report.catalogue import REPORTS, Report
from costing.tongue import language, languages, say
from ui.desk import Desk
from ui.fault import Refusal
from ui.models.table import Column, RowTable
from ui.places.month.language import language_name
from ui.places.month.making import Wanted
from ui.widgets.fields import ChoiceField
from ui.widgets.listpane import ListPane


class Choices(QWidget):
    """The reports there are, and what else has to be said of the chosen one."""

    changed = Signal()
    """Something else is wanted than before."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._tongue = self._usual = language() if language() in languages() else "en"
        self._subjects = {"preparation": "", "serve": ""}
        self.rows: RowTable[Report] = RowTable(
            [
                Column[Report]("title", say("Report"), _title, tip=_about),
                Column[Report]("format", say("As"), _formats),
                Column[Report]("costs", say("Shows money"), _money),
            ],
            _ident,
            desk,
            self,
        )
        self.rows.set_rows(REPORTS)
        self.list = ListPane(self.rows, say("Reports"), None, self)
        self.about = QLabel(self)
        self.stamp = QLabel(self)
        for label in (self.about, self.stamp):
            label.setWordWrap(True)
            label.setProperty("faint", True)
        self.tongue = ChoiceField(say("Language"), _languages, self)
        self.tongue.set_text(language_name(self._tongue))
        self.subject = ChoiceField(say("Of which"), self._offers, self, hint=say("Type its name"))
        form = QFormLayout()
        form.setContentsMargins(4, 0, 4, 0)
        form.addRow(say("Language"), self.tongue)
        form.addRow(say("Of which"), self.subject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.about)
        layout.addLayout(form)
        layout.addWidget(self.stamp)
        self.about.setContentsMargins(4, 0, 4, 0)
        self.stamp.setContentsMargins(4, 0, 4, 0)
        self.tongue.committed.connect(self._set_tongue)
        self.subject.committed.connect(self._set_subject)
        self.list.table.current_key.connect(self._chosen)

    # What is wanted

    @property
    def wanted(self) -> Wanted:
        """What is chosen."""
        index = self.list.table.currentIndex()
        report = self.rows.row(index.row()) if index.isValid() else REPORTS[0]
        return Wanted(report, self._subjects.get(report.needs, ""), self._tongue)

    def choose(self, report: str, subject: str = "") -> bool:
        """Go to a report, of a drink or a preparation where it is of one; False where there is none of that name."""
        found = next((r for r in REPORTS if r.id == report), None)
        if found is None:
            return False
        if subject and found.needs:
            self._subjects[found.needs] = subject
        if self.rows.position(report) is None:
            self.list.filter.clear()
        self.list.table.choose(report)
        self.refresh()
        return True

    def save_state(self) -> dict[str, object]:
        """What reports are of, and their language where it is another than the window's."""
        return {"subjects": dict(self._subjects), "tongue": "" if self._tongue == self._usual else self._tongue}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it was chosen; what makes no sense is passed over."""
        tongue, subjects = state.get("tongue"), state.get("subjects")
        if isinstance(tongue, str) and tongue in languages():
            self._tongue = tongue
            self.tongue.set_text(language_name(tongue))
        for needs, ident in subjects.items() if isinstance(subjects, dict) else ():
            if needs in self._subjects and isinstance(ident, str):
                self._subjects[needs] = ident

    def refresh(self) -> None:
        """The names of the day, and the day itself."""
        if not self.list.table.currentIndex().isValid() and self.rows.rowCount():
            self.list.table.choose(self.rows.key(0))
        for needs, chosen in self._subjects.items():
            there = self._names(needs)
            if chosen not in there:
                self._subjects[needs] = next(iter(there), "")
        wanted = self.wanted
        self.about.setText(wanted.report.about)
        self.subject.setEnabled(bool(wanted.report.needs))
        self.subject.refuse(None)
        self.subject.set_text(self._names(wanted.report.needs).get(wanted.subject, ""))
        self.stamp.setText(
            say(
                "Figures of {day}, revision {revision}",
                day=self.desk.format.day(self.desk.document.day),
                revision=self.desk.document.head,
            )
        )

    def _names(self, needs: str) -> dict[str, str]:
        """What the day has to choose from, by id."""
        view = self.desk.document.view
        if needs == "preparation":
            return {ident: self.desk.document.names.get(ident, ident) for ident in self.desk.document.reckoning.ledgers}
        return {ident: serve.name for ident, (serve, _) in view.serves.items()} if needs == "serve" else {}

    def _offers(self) -> list[str]:
        return sorted(self._names(self.wanted.report.needs).values(), key=str.casefold)

    # Acts

    def _chosen(self, _: str) -> None:
        self.refresh()
        self.changed.emit()

    def _set_subject(self, text: str) -> None:
        needs = self.wanted.report.needs
        wish = text.strip().casefold()
        found = [ident for ident, name in self._names(needs).items() if name.casefold() == wish]
        if not found:
            self.subject.refuse(
                Refusal(
                    say("Nothing of this day is called “{text}”.", text=text), "", say("Alt+Down lists what there is.")
                )
            )
            return
        self._subjects[needs] = found[0]
        self.refresh()
        self.subject.revert()  # as the book writes it
        self.changed.emit()

    def _set_tongue(self, text: str) -> None:
        wish = text.strip().casefold()
        found = [t for t in languages() if wish in (t.casefold(), language_name(t).casefold())]
        if not found:
            names = ", ".join(_languages())
            self.tongue.refuse(
                Refusal(say("There is no language “{text}”.", text=text), "", say("There are: {names}.", names=names))
            )
            return
        self._tongue = found[0]
        self.tongue.set_text(language_name(self._tongue))
        self.tongue.revert()
        self.changed.emit()


def _ident(report: Report) -> str:
    return report.id


def _title(report: Report) -> str:
    return report.title


def _about(report: Report) -> str:
    return report.about


def _formats(report: Report) -> str:
    return ", ".join(report.formats).upper()


def _money(report: Report) -> str:
    return say("yes") if report.costs else say("no")


def _languages() -> list[str]:
    return [language_name(tag) for tag in languages()]
