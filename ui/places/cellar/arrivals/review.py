"""The review of one file: who sent it, what each line would change, what that does, and taking it."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.book.change import Step
from costing.book.records import Good, Supplier, TaxBasis
from costing.edits.arrivals import accept
from costing.edits.base import typed_number
from costing.edits.suppliers import typed_share
from costing.supply.arriving.doubt_words import doubt_text
from costing.supply.arriving.role_words import KIND_WORDS
from costing.supply.plan.record import Fate, Gone, Plan, PlanLine
from costing.tongue import say, say_many, word
from ui.desk import Desk
from ui.fault import KNOWN, refusal_of
from ui.format import own
from ui.jobs import REST, Job
from ui.models.table import Column, RowTable
from ui.places.cellar.arrivals.case import Case, Judged, by_hand, effects, judge
from ui.places.cellar.arrivals.effects import EffectPage
from ui.places.cellar.arrivals.lines import as_it_came, columns, fate_word, seen, why_text
from ui.places.cellar.arrivals.reading import ReadingPage
from ui.widgets.acts import acts
from ui.widgets.fields import ChoiceField, TextField, in_row
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

Line = RowTable[PlanLine]


class ReviewPage(QWidget):
    """One file at a time. ``closed`` tells that it was put away or taken."""

    closed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.judged: Judged | None = None
        self.case: Case | None = None
        self._job: Job | None = None
        self._billed: bool | None = None
        top = self._head()
        self.progress = QProgressBar(self)
        self.stop = QPushButton(say("Stop"), self)
        self.stop.clicked.connect(self.cancel)
        self.waiting = QWidget(self)
        row = QHBoxLayout(self.waiting)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.progress, 1)
        row.addWidget(self.stop)
        self.pages = QTabWidget(self)
        self.pages.setAccessibleName(say("Pages of the file"))
        self._lines()
        self.effect = EffectPage(desk, self)
        self.reading = ReadingPage(desk, self)
        self.reading.changed.connect(self._reread)
        self.gone = self._gone()
        self.pages.addTab(self.lines_page, say("Lines"))
        self.pages.addTab(self.effect, say("What it does"))
        self.pages.addTab(self.gone_list, say("Not named any more"))
        self.pages.addTab(self.reading, say("How it is read"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addWidget(self.title)
        layout.addLayout(top)
        layout.addWidget(self.said)
        layout.addWidget(self.stops)
        layout.addWidget(self.waiting)
        layout.addWidget(self.pages, 1)
        layout.addLayout(self._buttons())
        self.waiting.hide()
        self.stops.hide()

    def _head(self) -> QHBoxLayout:
        """What the file is, who sent it and what tax is in it."""
        self.title = QLabel(self)
        self.title.setProperty("heading", True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.title.setWordWrap(True)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.stops = QLabel(self)
        self.stops.setWordWrap(True)
        self.stops.setProperty("error", True)
        self.who = ChoiceField(say("Who sent it"), self._suppliers, self, hint=say("Alt+Down lists them"))
        self.who.committed.connect(self._sent_by)
        self.tax = QComboBox(self)
        self.tax.setAccessibleName(say("Tax in these prices"))
        for title, code in ((say("not known"), "unknown"), (say("is not in them"), "ex"), (say("is in them"), "inc")):
            self.tax.addItem(title, code)
        self.tax.activated.connect(self._taxed)
        self.rate = TextField(say("Tax rate"), self, hint="19 %")
        self.rate.setMaximumWidth(self.fontMetrics().averageCharWidth() * 12)
        self.rate.committed.connect(self._taxed)
        self.fates = QComboBox(self)
        self.fates.setAccessibleName(say("Which lines are shown"))
        self.fates.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.fates.activated.connect(self._filtered)
        return in_row(QLabel(say("From"), self), self.who, QLabel(say("Tax"), self), self.tax, self.rate)

    def _lines(self) -> None:
        """The table of lines, made anew where an invoice follows a list: it has other columns."""
        self.lines_page = QWidget(self)
        self.lines_box = QVBoxLayout(self.lines_page)
        self.lines_box.setContentsMargins(0, 4, 0, 0)
        self.came = QLabel(self.lines_page)
        self.came.setWordWrap(True)
        self.came.setProperty("faint", True)
        self.lines_box.addWidget(self.came)
        self.rows, self.list = self._table(billed=False)

    def _table(self, *, billed: bool) -> tuple[Line, ListPane]:
        rows: Line = RowTable(
            columns(self.desk, billed=billed, choose=self.choose, came=self.delivered), lambda r: str(r.n), self.desk,
            self,
        )  # fmt: skip
        pane = ListPane(rows, say("Lines of the file"), None, self.lines_page)
        pane.top.addWidget(self.fates)
        pane.table.opened.connect(self.turn)
        pane.table.current_key.connect(self._come_to)
        self.lines_box.insertWidget(0, pane, 1)
        self._billed = billed
        return rows, pane

    def _gone(self) -> "RowTable[Gone]":
        form = self.desk.format
        names = self.desk.document
        rows: RowTable[Gone] = RowTable(
            (
                Column[Gone]("good", say("Ingredient"), lambda g: names.names.get(g.good, g.good)),
                Column[Gone]("then", say("Its price"), self._then, strong=lambda g: self._then(g) != say("stays")),
                Column[Gone]("since", say("Priced since"), lambda g: form.day(g.quote.since),
                             sort=lambda g: g.quote.since),
                Column[Gone]("price", say("Price of the pack"), lambda g: form.money(g.quote.price), True),
            ),
            lambda g: g.good, self.desk, self,
        )  # fmt: skip
        empty = EmptyPlace(say("The file names everything that this supplier asked a price for until now."))
        self.gone_list = ListPane(rows, say("Ingredients that the list names no more"), empty, self)
        self.gone_list.table.opened.connect(self.turn_ended)
        return rows

    def _then(self, gone: Gone) -> str:
        ends = self.case is not None and gone.good in self.case.ended
        return say("ends with this") if ends else say("stays")

    def _buttons(self) -> QHBoxLayout:
        self.all = QPushButton(say_many("Take {n} line", "Take {n} lines", 0), self)
        self.all.setProperty("chief", True)
        self.one = QPushButton(say("Take only this line"), self)
        self.end = QPushButton(say("End all their prices"), self)
        self.away = QPushButton(say("Put it away"), self)
        row = QHBoxLayout()
        for button, slot in ((self.away, self.close_file), (self.end, self._ended), (self.one, self.take_one),
                             (self.all, self.take_all)):  # fmt: skip
            button.clicked.connect(slot)
            if button is self.end:
                row.addStretch(1)
            row.addWidget(button)
        self.acts = acts(
            self,
            [
                (say("Take every line that is sound"), "Ctrl+Return", self.take_all),
                (say("Take only this line"), "Ctrl+Shift+Return", self.take_one),
                (say("Put the file away"), "Ctrl+Shift+X", self.close_file),
            ],
        )
        return row

    # The file

    def open_case(self, case: Case) -> None:
        """Read a file and show what comes of it; what was shown before is put away."""
        self.cancel()
        self.case, self.judged = case, None
        self.title.setText(own(case.name))
        self.said.setText(say("It is being read…"))
        self.stops.hide()
        self.rows.set_rows([])
        self.effect.show_effect(None)
        self._busy()
        self._judge()

    def _judge(self, rest: int = 0) -> None:
        case, document = self.case, self.desk.document
        if case is None:
            return
        past = frozenset(document.past_ids())
        self._run(partial(judge, case, document.book, document.day, past), rest)

    def _run(self, work: Callable[..., Judged], rest: int = 0) -> None:
        self._drop_job()
        job = Job(work, self)
        job.done.connect(self._done)
        job.failed.connect(self._failed)
        job.progress.connect(self._told)
        job.cancelled.connect(self._idle)
        self._job = job
        self._busy()
        job.start(rest)

    def _drop_job(self) -> None:
        job, self._job = self._job, None
        if job is not None:
            for signal, slot in ((job.done, self._done), (job.failed, self._failed), (job.progress, self._told),
                                 (job.cancelled, self._idle)):  # fmt: skip
                signal.disconnect(slot)
            job.cancel()

    def _busy(self) -> None:
        self.progress.setRange(0, 0)
        self.waiting.show()
        self._enabled()

    def _idle(self) -> None:
        self._job = None
        self.waiting.hide()
        if self.judged is None:
            self.close_file()
        self._enabled()

    def _told(self, done: int, total: int, text: str) -> None:
        self.progress.setRange(0, total)
        self.progress.setValue(done)
        self.progress.setFormat(say("{done} of {total} lines", done=done, total=total) if total else own(text))

    def _failed(self, error: Exception) -> None:
        self._job = None
        self.waiting.hide()
        if not isinstance(error, KNOWN):
            raise error
        self.desk.refuse(refusal_of(error))
        if self.judged is None:
            self.close_file()
        else:
            self.case = self.judged.case  # what was asked for cannot be: it stays as it was read
            self._show()

    def _done(self, judged: Judged) -> None:
        self._job = None
        self.waiting.hide()
        again = self.judged is not None and self.judged.plan.lines is judged.plan.lines
        self.judged = judged
        if not again:
            self.rows.set_rows([])  # read anew: what waits comes first, wherever a row stood before
        self._show()

    def cancel(self) -> None:
        """Stop what is going on; a file that was not read yet is put away."""
        if self._job is not None:
            self._drop_job()
            self._idle()

    def book_moved(self) -> None:
        """The book changed: the file is judged anew."""
        if self.case is not None:
            self._judge(REST)

    def close_file(self) -> None:
        """Put the file away; nothing of it is kept."""
        self._drop_job()
        self.waiting.hide()
        self.case = self.judged = None
        self.rows.set_rows([])
        self.closed.emit()

    # What is shown

    def _show(self) -> None:
        judged = self.judged
        if judged is None:
            return
        plan = judged.plan
        billed = plan.incoming.kind in ("invoice", "credit")
        if billed != self._billed:
            old = self.list
            self.fates.setParent(self.lines_page)
            self.rows, self.list = self._table(billed=billed)
            self.lines_box.removeWidget(old)
            old.deleteLater()
        self.title.setText(own(self._heading(plan)))
        self._fill_fates(plan)
        self._filtered()
        who = self.desk.document.book.all(Supplier).get(plan.supplier)
        self.who.set_text(who.name if who is not None else "")
        self._fill_tax(plan, who)
        self.stops.setText("\n".join(_sentence(doubt_text(d)) for d in plan.stops))
        self.stops.setVisible(bool(plan.stops))
        self.said.setText(self._counts(plan))
        self.effect.show_effect(judged.effect)
        self.reading.show_plan(plan, judged.case.said)
        self.gone.set_rows(plan.gone)
        self.pages.setTabText(
            2, say("Not named any more ({n})", n=len(plan.gone)) if plan.gone else say("Not named any more")
        )
        broken = len(judged.effect.broken)
        self.pages.setTabText(1, _does(broken))
        self._enabled()

    def _heading(self, plan: Plan) -> str:
        incoming = plan.incoming
        parts = [incoming.name, word(KIND_WORDS, incoming.kind)]
        if incoming.number:
            parts.append(say("number {number}", number=incoming.number))
        if incoming.day is not None:
            parts.append(self.desk.format.day(incoming.day))
        return " · ".join(parts)

    def _counts(self, plan: Plan) -> str:
        counts = plan.counts()
        said = say(
            "{n} rows read: {sound} to take, {held} wait, {ignored} left out.",
            n=plan.read, sound=counts["sound"], held=counts["held"], ignored=counts["ignored"],
        )  # fmt: skip
        return " ".join([said, *(_sentence(doubt_text(d)) for d in plan.doubts)])

    def _fill_fates(self, plan: Plan) -> None:
        chosen = self.fates.currentData() if self.fates.count() else None
        self.fates.clear()
        self.fates.addItem(say("All lines ({n})", n=len(plan.lines)), "")
        counts = Counter(line.fate for line in plan.lines)
        for fate in ("held", "sound", "ignored"):
            n = counts[fate]
            self.fates.addItem(f"{fate_word(fate)} ({n})", fate)
        self.fates.setCurrentIndex(max(0, self.fates.findData(chosen or "")))

    def _fill_tax(self, plan: Plan, who: Supplier | None) -> None:
        basis: TaxBasis = "unknown"
        rate = None
        if plan.columns is not None and plan.columns.tax != "unknown":
            basis, rate = plan.columns.tax, plan.columns.rate
        elif plan.columns is None and plan.lines:
            basis, rate = plan.lines[0].line.tax, plan.lines[0].line.rate
        if basis == "unknown" and who is not None:
            basis, rate = who.tax, who.tax_rate
        if rate is None and who is not None:
            rate = who.tax_rate
        self.tax.setCurrentIndex(max(0, self.tax.findData(basis)))
        self.rate.set_text(self.desk.format.percent(rate, 2) if rate is not None else "")
        own_word = plan.columns is None and basis != "unknown"
        self.tax.setEnabled(not own_word)
        self.rate.setEnabled(not own_word)

    def _filtered(self, *_: object) -> None:
        if self.judged is None:
            return
        fate: Fate | None = self.fates.currentData() or None
        self.rows.set_rows(seen(self.judged.plan.lines, fate))
        self.list.table.fit_columns()

    def _come_to(self, key: str) -> None:
        """The whole of the line that was come to: columns may be too narrow for it."""
        line = self._line(key)
        if line is None:
            self.came.setText("")
            return
        said = [say("As it came: {text}", text=own(as_it_came(line)))]
        if why := why_text(line):
            said.append(_capital(why))
        alike = self.judged.plan.suggestions(line) if self.judged is not None and not line.good else ()
        if alike:
            like = ", ".join(s.name for s in alike)
            said.append(say("Alike: {names}. Type over the ingredient to say which it is.", names=like))
        self.came.setText("\n".join(said))
        self._enabled()

    def _line(self, key: str) -> PlanLine | None:
        lines = self.judged.plan.lines if self.judged is not None else ()
        return next((line for line in lines if str(line.n) == key), None)

    def _enabled(self) -> None:
        plan = self.judged.plan if self.judged is not None else None
        ready = plan is not None and self._job is None
        stopped = plan is None or bool(plan.stops)
        sound = sum(1 for _ in plan.of("sound")) if plan is not None else 0
        ended = len(self.case.ended) if plan is not None and self.case is not None else 0
        said = say_many("Take {n} line", "Take {n} lines", sound)
        if ended:
            said = say_many("{take}, end {n} price", "{take}, end {n} prices", ended, take=said)
        self.all.setText(said)
        self.all.setEnabled(ready and not stopped and sound + ended > 0)
        line = self._line(self.rows.key(i.row())) if (i := self.list.table.currentIndex()).isValid() else None
        self.one.setEnabled(ready and not stopped and line is not None and line.fate == "sound")
        self.end.setVisible(plan is not None and bool(plan.gone))
        whole = plan is not None and self.case is not None and len(self.case.ended) == len(plan.gone)
        self.end.setText(say("Leave their prices") if whole else say("End all their prices"))

    def _ended(self, *_: object) -> None:
        """All of them end, or none."""
        if self.case is not None and self.judged is not None:
            every = frozenset(g.good for g in self.judged.plan.gone)
            self._rehand(replace(self.case, ended=frozenset() if self.case.ended == every else every))

    def turn_ended(self, good: str) -> None:
        """One price ends, or stays."""
        if self.case is not None:
            self._rehand(replace(self.case, ended=self.case.ended ^ {good}))

    # What somebody says

    def _suppliers(self) -> Sequence[str]:
        return [s.name for s in self.desk.document.book.all(Supplier).values()]

    def _sent_by(self, text: str) -> None:
        found = [
            s.id for s in self.desk.document.book.all(Supplier).values() if s.name.casefold() == text.strip().casefold()
        ]
        if len(found) != 1:
            self.who.refuse(refusal_of(ValueError(say("no supplier of the book is called “{name}”", name=text))))
            return
        if self.case is not None:
            self._reread(replace(self.case.said, supplier=found[0]))

    def _taxed(self, *_: object) -> None:
        """Tax in a list is remembered with how it is read; the supplier's own word stands for what says nothing."""
        basis = self.tax.currentData()
        text = self.rate.text().strip()
        try:
            rate = typed_share(text)
        except ValueError as error:
            self.rate.refuse(refusal_of(error))
            return
        if self.case is None or (basis == "inc" and rate is None):
            return
        columns = self.case.said.columns
        if columns is not None:
            columns = replace(columns, tax=basis, rate=rate)
        self._reread(replace(self.case.said, tax=basis, rate=rate, columns=columns))

    def _reread(self, said: object) -> None:
        if self.case is not None:
            self.case = replace(self.case, said=said)  # type: ignore[arg-type]
            self._judge()

    def choose(self, line: PlanLine, text: str) -> None:
        """What a line means, by name; nothing for none of the house's. ValueError for a name that nothing has."""
        goods = self.desk.document.book.all(Good).values()
        wanted = " ".join(text.casefold().split())
        found = [g.id for g in goods if wanted in (" ".join(g.name.casefold().split()), g.id.casefold())]
        if wanted and len(found) != 1:
            raise ValueError(say("no ingredient of the book is called “{name}”", name=text))
        if self.case is None:
            return
        said = {n: good for n, good in self.case.said.hand if n != line.n}
        said[line.n] = found[0] if wanted else ""
        self._reread(replace(self.case.said, hand=tuple(said.items())))

    def delivered(self, line: PlanLine, text: str) -> None:
        """How many packs of a line came. ValueError for what cannot be."""
        if self.case is None or self.judged is None:
            return
        packs = typed_number(text)
        case = replace(self.case, came={**self.case.came, line.n: packs})
        by = by_hand(self.judged.plan, replace(case, hand={}))
        if next(p for p in by.lines if p.n == line.n).delivered != packs:
            raise ValueError(say("{n} packs are billed: no more than that, and none below nothing, can have come",
                                 n=line.packs))  # fmt: skip
        self._rehand(case)

    def turn(self, key: str) -> None:
        """Take a line that waits, or leave one that would be taken."""
        line = self._line(key)
        if line is None or self.case is None or self.judged is None:
            return
        taken = line.fate != "sound"
        if taken and line.quote is None and line.packs is None:
            self.desk.tell(say("This line does not say enough to be taken: {why}", why=why_text(line)))
            return
        self._rehand(replace(self.case, hand={**self.case.hand, line.n: taken}))

    def _rehand(self, case: Case) -> None:
        """Lines as they are after a hand, at once; what that does follows when the hand rests."""
        if self.judged is None:
            return
        document = self.desk.document
        self.case = case
        judged = Judged(case, by_hand(self.judged.plan, case), self.judged.effect)
        self.judged = judged
        self._show()
        self._run(partial(effects, judged, document.book, document.day), REST)

    # Taking it

    def take_all(self) -> None:
        """Every sound line as one step."""
        self._take(None)

    def take_one(self) -> None:
        """The line under the cursor as one step; the others stay as they are."""
        index = self.list.table.currentIndex()
        if index.isValid():
            self._take([int(self.rows.key(index.row()))])

    def _take(self, only: list[int] | None) -> None:
        judged, document = self.judged, self.desk.document
        if judged is None or self._job is not None:
            return
        plan = judged.plan
        ended = sorted(judged.case.ended) if only is None else []

        def work() -> Step:
            return accept(plan, document.book, document.day, only=only, ended=ended, past=document.past_ids())

        if self.desk.attempt(work) and only is None:
            self.close_file()


def _does(broken: int) -> str:
    """The name of the page of effects."""
    if not broken:
        return say("What it does")
    return say_many("What it does ({n} target broken)", "What it does ({n} targets broken)", broken)


def _sentence(text: str) -> str:
    """A doubt as a sentence of its own."""
    text = _capital(text.strip())
    return text if text[-1:] in (".", "!", "?", "…") else say("{sentence}.", sentence=text)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
