"""A new menu against this one, at as many drinks: what it would earn, need, bring and do without."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from costing.book.records import Menu, Serve
from costing.ledger import reckon
from costing.ledger.reckon import Reckoning
from costing.menu.capacity_rows import decision_margin
from costing.menu.mix import menu_mix
from costing.menu.newmenu import MenuSide, NewMenu, expected_rows, new_menu
from costing.menu.todays import todays
from costing.report.words import series
from costing.tongue import day_text, say
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.places.menu.questions.hours import HoursLine, hours_lines, hours_rows
from ui.places.menu.questions.pane import Answer, Fig, Row, Sheet
from ui.places.menu.questions.question import Asked, Question, count, span_text
from ui.places.menu.questions.reading import Names, find_name, offered, read_above, read_list, read_number
from ui.places.menu.questions.rows import hours_sheet, signed, under_sheet
from ui.whys import CostOfServe, Line, Said, Trail


@dataclass(frozen=True, slots=True)
class AskedAgainst(Asked):
    """Which menus, and how many of new drinks are expected (by serve id)."""

    new: str
    old: str
    expected: tuple[tuple[str, float], ...]

    def work(self) -> "FoundAgainst":
        """Both sides; the new one on the day it begins, where that is still to come."""
        reckoning, menu = self.figures.reckoning, self.figures.book.all(Menu)[self.new]
        later, mix = reckoning, self.mix
        if menu.since is not None and menu.since > self.figures.day:
            later = reckon(self.figures.book.on(menu.since))
            mix = todays(later, menu_mix(later, self.mix.periods))
        rows = [i for i in mix.items if i.menu == self.new]
        if not rows:
            raise ValueError(_empty(menu, self.figures.day))
        before = [i for i in self.mix.items if i.menu == self.old]
        after, guessed = expected_rows(before, rows, dict(self.expected))
        found = new_menu(reckoning, before, after, later)
        hours = hours_lines(reckoning, self.mix, found.old.hours, found.new.hours, found.hours_more)
        return FoundAgainst(found, guessed, later, hours)


@dataclass(frozen=True, slots=True)
class FoundAgainst:
    """The comparison; ``guessed`` are names of drinks that nobody said a number of."""

    menus: NewMenu
    guessed: tuple[str, ...]
    later: Reckoning
    hours: tuple[HoursLine, ...]


def _empty(menu: Menu, day: date) -> str:
    name = own(menu.name)
    if menu.until is not None and menu.until < day:
        return say("{menu} ended on {day}: look at a day on which it was in force", menu=name, day=day_text(menu.until))
    return say("{menu} prints no drink that can be made on the day: put some on it first", menu=name)


class Against(Question):
    """A menu of the book in the place of another."""

    key = "against"

    def title(self) -> str:
        """The question."""
        return say("A new menu against this one")

    def meaning(self) -> str:
        """What it stands on."""
        return say("Both at as many drinks as this one sold, so that drinks and prices are compared and no hoped-for "
                   "crowd. Margins are net less materials and energy.")  # fmt: skip

    def fill_in(self) -> None:
        """Two menus, what is expected, and guests."""
        self.blank("new", say("The new menu"), (0, 0, 1), choices=self._menu_names, hint=say("a menu of the book"))
        self.blank("old", say("This menu"), (0, 1, 1), choices=self._sold_names, hint=say("the one that sold most"))
        self.blank("guests", say("Guests in these weeks"), (0, 2, 1), hint=say("not needed"))
        self.blank("expected", say("How many of each new drink would be sold in these weeks"), (1, 0, 3),
                   hint=say("Pier Head 120; Slack Water 80"), offers=self._offer)  # fmt: skip

    def _menus(self) -> Names:
        return [(menu.id, menu.name) for menu in self.figures.book.all(Menu).values()]

    def _menu_names(self) -> list[str]:
        return [name for _, name in self._menus()]

    def _sold(self) -> dict[str, float]:
        """Menus of the day and how many drinks they sold."""
        out: dict[str, float] = {}
        for item in self.standing.today().items if self.standing.periods() else ():
            out[item.menu] = out.get(item.menu, 0.0) + item.sold
        return out

    def _sold_names(self) -> list[str]:
        sold = self._sold()
        return [name for ident, name in self._menus() if ident in sold]

    def _drinks(self, menu: str) -> Names:
        found = self.figures.book.all(Menu).get(menu)
        on = [line.serve for section in found.sections for line in section.lines] if found is not None else []
        names = self._serve_names()
        return [(serve, names.get(serve, serve)) for serve in dict.fromkeys(on)]

    def _serve_names(self) -> dict[str, str]:
        return {serve.id: serve.name for serve in self.figures.book.all(Serve).values()}

    def _offer(self, text: str) -> list[str]:
        try:
            menu = find_name(self.blanks["new"].text, self._menus())
        except ValueError:
            return []
        return offered(text, [name for _, name in self._drinks(menu)])

    def tables(self) -> Sequence[Sheet]:
        """Money side by side, hours, drinks and what is under them."""
        sides = (say("This menu"), say("The new one"), say("More"))
        moves = ((say("What"), False), (say("Comes or goes"), False), (say("Kind"), False))
        return (
            Sheet("sides", say("Side by side"), ((say("What"), False), *((side, True) for side in sides))),
            hours_sheet(*sides),
            Sheet("drinks", say("Drinks"), ((say("Drink"), False), (say("Expected"), True), (say("Margin"), True),
                                            (say("Comes or stays"), False))),
            Sheet("moves", say("What comes and goes"), moves),
        )  # fmt: skip

    def asked(self) -> Asked | str:
        """Which menus."""
        sold = self._sold()
        new = self.read("new", partial(find_name, names=self._menus()), "")
        olds = [(ident, name) for ident, name in self._menus() if ident in sold]
        old = self.read("old", partial(find_name, names=olds), "")
        self.read("guests", read_above, None)
        drinks = self._drinks(new)
        expected = self.read("expected", lambda text: read_list(text, drinks, read_number), ())
        if not new:
            return say("Choose the menu that would come.")
        if not old:
            others = {ident: n for ident, n in sold.items() if ident != new}
            old = max(others, key=lambda ident: others[ident], default="")
        if not old:
            return say("There is no other menu on this day to put it against.")
        counts = tuple((serve, number) for serve, number in expected if number is not None)
        return AskedAgainst(self.figures, self.standing.today(), new, old, counts)

    def answer(self, asked: AskedAgainst, found: FoundAgainst) -> Answer:
        """What it would be worth."""
        form, n = self.form, found.menus
        names = {ident: own(name) for ident, name in self._menus()}
        said = say("At {n} drinks in {span}, {new} leaves {money} than {old}.", n=count(form, n.old.sold),
                   span=span_text(asked.mix), new=names[asked.new], old=names[asked.old],
                   money=signed(form, n.gain))  # fmt: skip
        if signed(form, n.gain) == say("the same"):
            said = say("At {n} drinks in {span}, {new} leaves the same as {old}.", n=count(form, n.old.sold),
                       span=span_text(asked.mix), new=names[asked.new], old=names[asked.old])  # fmt: skip
        notes = []
        if found.guessed:
            notes.append(say("Nobody said how many of {drinks} would be sold: as many as a drink of this menu did on "
                             "average.", drinks=series(own(name) for name in found.guessed)))  # fmt: skip
        if not (n.old.complete and n.new.complete):
            notes.append(
                say("Something that is sold has no price: costs are at least, margins at most, what is shown.")
            )
        if found.later is not asked.figures.reckoning:
            notes.append(say("The new menu is worked out on {day}, the day it begins.",
                             day=form.day(found.later.view.day)))  # fmt: skip
        guests = self.read("guests", read_above, None)
        rows = {
            "sides": list(_sides(n, form, guests)),
            "hours": hours_rows(found.hours, form),
            "drinks": self._drink_rows(found),
            "moves": self._moves(asked.figures, found),
        }
        return Answer(said, rows, notes=notes)

    def _drink_rows(self, found: FoundAgainst) -> list[Row]:
        form, come = self.form, set(found.menus.drinks_come)
        out = []
        for n, item in enumerate(found.menus.new.rows):
            margin = decision_margin(item)
            out.append(Row(f"drink/{n}/{item.serve}",
                           (item.name, Fig(count(form, item.sold), item.sold), Fig(form.money(margin), margin),
                            say("comes") if item.serve in come else say("stays")),
                           why=CostOfServe(item.serve), where=Where("serve", item.serve)))  # fmt: skip
        return out

    def _moves(self, figures: Figures, found: FoundAgainst) -> list[Row]:
        n, names = found.menus, self._serve_names()
        rows = [
            Row(f"{way}/{serve}", (names.get(serve, serve), word, say("drink")), where=Where("serve", serve))
            for way, word, serves in (("come", say("comes"), n.drinks_come), ("go", say("goes"), n.drinks_go))
            for serve in serves
        ]
        kinds = {"preparation": say("preparation"), "good": say("ingredient")}
        for way, word, under in (("come", say("comes"), n.come), ("go", say("goes"), n.go)):
            for row in under_sheet(figures, under, way):
                kind = kinds[row.where.kind] if row.where is not None else ""
                rows.append(Row(row.key, (row.cells[0], word, kind), why=row.why, where=row.where))
        return rows


def _sides(n: NewMenu, form: Format, guests: float | None) -> Iterator[Row]:
    def money(key: str, what: str, old: float, new: float, why: object | None = None, *, strong: bool = False) -> Row:
        return Row(key, (what, Fig(form.money(old), old), Fig(form.money(new), new),
                         Fig(form.signed(new - old), new - old)), why=why, strong=strong)  # fmt: skip

    def pour(side: MenuSide) -> Fig:
        return Fig(form.least(form.percent(side.pour_cost), side.complete), side.pour_cost)

    why = _gain_why(n, form)
    yield money("net", say("Net sales"), n.old.net, n.new.net)
    yield money("margin", say("Margin"), n.old.margin, n.new.margin, why, strong=True)
    yield money("each", say("Margin a drink"), n.old.margin_each or 0.0, n.new.margin_each or 0.0, why)
    yield Row("pour", (say("Pour cost"), pour(n.old), pour(n.new), ""))
    yield Row("drinks", (say("Drinks on it"), Fig(str(len(n.old.rows)), len(n.old.rows)),
                         Fig(str(len(n.new.rows)), len(n.new.rows)), ""))  # fmt: skip
    if guests:
        old, new = n.old.per_cover(guests), n.new.per_cover(guests)
        yield Row("per-guest", (say("Drinks a guest"), Fig(form.number(old), old), Fig(form.number(new), new), ""))
        yield money("guest", say("Margin a guest"), n.old.margin / guests, n.new.margin / guests)


def _gain_why(n: NewMenu, form: Format) -> Said:
    lines = []
    for side, title in ((n.new, say("the new one")), (n.old, say("this menu"))):
        lines.append(Line(title, form.money(side.margin)))
        lines += [
            Line(say("{n} of {drink}", n=count(form, i.sold), drink=own(i.name)),
                 form.money(i.sold * decision_margin(i)), depth=1,
                 where=Where("serve", i.serve))
            for i in side.rows if i.sold
        ]  # fmt: skip
    return Said(Trail(say("What the new menu leaves more"), form.signed(n.gain), tuple(lines)))
