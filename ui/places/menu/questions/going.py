"""If a drink goes: what goes with it, and how many of its guests must stay for that to pay."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from costing.menu.capacity_rows import decision_margin
from costing.menu.dropping import Dropping, dropping
from costing.report.words import series
from costing.tongue import say
from ui.desk import Where
from ui.format import UNKNOWN, own
from ui.places.menu.questions.hours import HoursLine, hours_lines, hours_rows
from ui.places.menu.questions.pane import Answer, Fig, Row, Sheet
from ui.places.menu.questions.question import Asked, Question, count, span_text
from ui.places.menu.questions.reading import find_name
from ui.places.menu.questions.rows import figures_sheet, hours_sheet, signed, under_sheet
from ui.whys import Line, Said, Trail


@dataclass(frozen=True, slots=True)
class AskedGoing(Asked):
    """Which drink goes."""

    serve: str

    def work(self) -> "FoundGoing":
        """What becomes of the house without it."""
        reckoning = self.figures.reckoning
        found = dropping(reckoning, self.mix, self.serve)
        return FoundGoing(found, hours_lines(reckoning, self.mix, found.hours, found.instead))


@dataclass(frozen=True, slots=True)
class FoundGoing:
    """The drink dropped, and its hours."""

    dropped: Dropping
    hours: tuple[HoursLine, ...]


class Going(Question):
    """A drink is taken off every menu it is on."""

    key = "going"

    def title(self) -> str:
        """The question."""
        return say("If a drink goes")

    def meaning(self) -> str:
        """What it stands on."""
        return say("By the sales looked at; margins are net less materials and energy, which vary with each drink.")

    def fill_in(self) -> None:
        """One field."""
        self.blank("drink", say("The drink that goes"), (0, 0, 1), choices=self.on_menu_names,
                   hint=say("a drink of the menus"))  # fmt: skip
        self.grid.setColumnStretch(1, 1)

    def tables(self) -> Sequence[Sheet]:
        """Money, hours, and what only it needs."""
        return (
            figures_sheet(),
            hours_sheet(say("It took"), say("If all take others")),
            Sheet("under", say("Only it needs"),
                  ((say("What"), False), (say("Stock"), True), (say("Worth"), True), (say("Spoilt"), True))),
        )  # fmt: skip

    def asked(self) -> Asked | str:
        """Which drink."""
        names = self.on_menus()
        serve = self.read("drink", lambda text: find_name(text, names), "")
        return AskedGoing(self.figures, self.standing.today(), serve) if serve else say("Choose a drink of the menus.")

    def answer(self, asked: AskedGoing, found: FoundGoing) -> Answer:
        """What it is worth."""
        d, form = found.dropped, self.form
        notes = []
        if d.by_product:
            names = series(own(self._called(ident)) for ident in d.by_product)
            notes.append(say("Made then for a by-product alone, so that what it takes is not saved: {names}.",
                             names=names))  # fmt: skip
        if any(not i.complete for i in d.rows):
            notes.append(say("Something in it has no price, so its margin is at most that."))
        return Answer(
            f"{self._verdict(d)} {self._money(asked, d)}",
            {"figures": list(self._figures(d)), "hours": hours_rows(found.hours, form), "under": self._under(d)},
            notes=notes,
        )

    def _verdict(self, d: Dropping) -> str:
        name, share = own(d.rows[0].name), d.break_even
        if share is None:
            return say("Whether it pays to drop {drink} cannot be told: no other drink it could be compared with was "
                       "sold.", drink=name)  # fmt: skip
        if share == 0:
            return say("Dropping {drink} pays, even if its guests take nothing.", drink=name)
        if share > 1:
            return say("Dropping {drink} does not pay, even if every guest takes another drink of its section.",
                       drink=name)  # fmt: skip
        return say("Dropping {drink} pays if more than {share} of its guests take another drink of its section.",
                   drink=name, share=self.form.percent(share, 0))  # fmt: skip

    def _money(self, asked: AskedGoing, d: Dropping) -> str:
        span = span_text(asked.mix)
        if d.move is None:
            return say("In {span} it is {money} if they take nothing.", span=span, money=signed(self.form, d.vanish))
        return say("In {span} it is {less} if they take nothing, {all} if all take another.", span=span,
                   less=signed(self.form, d.vanish), all=signed(self.form, d.move))  # fmt: skip

    def _figures(self, d: Dropping) -> Iterator[Row]:
        form, serve = self.form, Where("serve", d.serve)
        sold = count(form, d.sold)
        yield Row("margin", (say("Margin of what was sold"), Fig(form.money(d.margin), d.margin),
                             say("{n} sold", n=sold)), why=self._margin_why(d), where=serve)  # fmt: skip
        spoilt = sum(s.money for s in d.spoilt)
        yield Row("spoilt", (say("Spoilt for it alone, saved"), Fig(form.money(spoilt), spoilt),
                             say("batches older than they keep")))  # fmt: skip
        yield Row("stays", (say("By-products it took, not saved"), Fig(form.money(d.stays), d.stays),
                            say("what they come from is made anyway")))  # fmt: skip
        yield Row("vanish", (say("If its guests take nothing"), Fig(form.signed(d.vanish), d.vanish), ""), strong=True,
                  why=self._vanish_why(d))  # fmt: skip
        others = say("{money} each on average", money=form.money(d.others)) if d.others is not None else ""
        yield Row("move", (say("If all take others of its section"), Fig(form.signed(d.move), d.move), others),
                  strong=True, why=self._vanish_why(d))  # fmt: skip
        share = form.percent(d.break_even, 0)
        yield Row("even", (say("Guests that must take another"), Fig(share, d.break_even),
                           say("for the house to be no worse off")))  # fmt: skip
        stock = sum(s.money for s in d.stock)
        yield Row("stock", (say("Stock that stands for it, freed once"), Fig(form.money(stock), stock),
                            say("a batch of each preparation, packs for a week")))  # fmt: skip

    def _under(self, d: Dropping) -> list[Row]:
        form = self.form
        stock, spoilt = {s.source: s for s in d.stock}, {s.preparation: s for s in d.spoilt}
        rows = []
        for row in under_sheet(self.figures, d.only, "only"):
            ident = row.key.rpartition("/")[2]
            kept, lost, base = stock.get(ident), spoilt.get(ident), self._base(ident)
            rows.append(Row(row.key, (
                row.cells[0],
                Fig(form.amount(kept.amount, base), kept.amount) if kept else UNKNOWN,
                Fig(form.money(kept.money), kept.money) if kept else UNKNOWN,
                Fig(form.money(lost.money), lost.money) if lost else "",
            ), why=row.why, where=row.where))  # fmt: skip
        return rows

    def _base(self, ident: str) -> str:
        unit = self.figures.reckoning.units.get(ident)
        return unit.base if unit is not None else ""

    def _called(self, ident: str) -> str:
        return self.figures.names.get(ident, ident)

    def _margin_why(self, d: Dropping) -> Said:
        form = self.form
        lines = []
        for item in d.rows:
            where = Where("menu", item.menu, item.serve)
            lines.append(Line(say("{n} sold at, net of tax and service", n=count(form, item.sold)),
                              form.money(item.net), where=where))  # fmt: skip
            materials = form.least(form.money(item.layers["materials"]), item.complete)
            lines.append(Line(say("less materials"), materials, depth=1, where=Where("serve", item.serve)))
            lines.append(Line(say("less energy"), form.money(item.layers["energy"]), depth=1))
            lines.append(Line(say("leaves, a drink"), form.money(decision_margin(item)), depth=1))
        title = say("What {drink} earned", drink=own(d.rows[0].name))
        return Said(Trail(title, form.money(d.margin), tuple(lines)))

    def _vanish_why(self, d: Dropping) -> Said:
        form = self.form
        lines = [
            Line(say("its margin is lost"), form.signed(-d.margin)),
            Line(say("what spoilt for it is saved"), form.signed(sum(s.money for s in d.spoilt))),
            Line(say("by-products it took are not saved"), form.signed(-d.stays)),
            Line(say("if its guests take nothing"), form.signed(d.vanish)),
        ]
        if d.others is not None:
            lines.append(Line(say("{n} guests take others at {money} each", n=count(form, d.sold),
                                  money=form.money(d.others)), form.signed(d.sold * d.others)))  # fmt: skip
            lines.append(Line(say("if all take others"), form.signed(d.move)))
        return Said(Trail(say("Without {drink}", drink=own(d.rows[0].name)), form.signed(d.vanish), tuple(lines)))
