"""What a file does to every drink and to a month, before it is taken."""

from collections.abc import Sequence

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.supply.plan.effect import Effect, ServeEffect, per_month, worst
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.format import UNKNOWN
from ui.models.table import Column, RowTable
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


def effect_columns(desk: Desk) -> Sequence[Column[ServeEffect]]:
    """One drink a row: each figure before and after."""
    form = desk.format

    def least(complete: bool, value: float) -> str:
        return form.least(form.money(value), complete)

    def target(e: ServeEffect) -> str:
        if e.broke:
            return say("broken by this")
        met = e.after.on_target
        return UNKNOWN if met is None else say("met") if met else say("missed before too")

    def month(e: ServeEffect) -> str:
        value = per_month(e)
        return form.signed(value) if value is not None else UNKNOWN

    def at(e: ServeEffect) -> str:
        missed = e.after.on_target is False and e.after.suggestion is not None
        return form.money(e.after.suggestion.at.all_in) if missed and e.after.suggestion else UNKNOWN

    def printed(e: ServeEffect) -> str:
        return form.money(e.after.price.all_in if e.after.price else None)

    return (
        Column[ServeEffect]("name", say("Drink"), lambda e: e.name, strong=lambda e: e.broke),
        Column[ServeEffect]("menu", say("Menu"), lambda e: _menu(desk, e)),
        Column[ServeEffect]("before", say("Cost"), lambda e: least(e.before.cost.complete, e.before.base), True,
                            lambda e: e.before.base),
        Column[ServeEffect]("after", say("Cost with it"), lambda e: least(e.after.cost.complete, e.after.base), True,
                            lambda e: e.after.base),
        Column[ServeEffect]("moves", say("Moves by"), lambda e: form.signed(e.moves), True, lambda e: e.moves),
        Column[ServeEffect]("pour", say("Pour cost"), lambda e: form.percent(e.before.price.pour_cost if e.before.price
                            else None), True, lambda e: (e.before.price and e.before.price.pour_cost) or 0),
        Column[ServeEffect]("pour2", say("Pour cost with it"), lambda e: form.percent(e.after.price.pour_cost if
                            e.after.price else None), True, lambda e: (e.after.price and e.after.price.pour_cost) or 0),
        Column[ServeEffect]("margin", say("Margin"), lambda e: form.money(e.before.price.margin if e.before.price else
                            None), True, lambda e: e.before.price.margin if e.before.price else 0),
        Column[ServeEffect]("margin2", say("Margin with it"), lambda e: form.money(e.after.price.margin if e.after.price
                            else None), True, lambda e: e.after.price.margin if e.after.price else 0),
        Column[ServeEffect]("month", say("A month"), month, True, lambda e: per_month(e) or 0),
        Column[ServeEffect]("target", say("Target"), target, sort=lambda e: not e.broke),
        Column[ServeEffect]("price", say("Printed price"), printed, True),
        Column[ServeEffect]("suggested", say("Suggested"), at, True),
    )  # fmt: skip


def _menu(desk: Desk, effect: ServeEffect) -> str:
    menu = desk.document.view.menus.get(effect.before.menu)
    return menu.name if menu is not None else UNKNOWN


class EffectPage(QWidget):
    """The month in a sentence, and the drinks whose cost moves."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.rows: RowTable[ServeEffect] = RowTable(effect_columns(desk), _key, desk, self)
        empty = EmptyPlace(say("No drink's cost moves by what is to be taken."))
        self.list = ListPane(self.rows, say("Drinks that move"), empty, self)
        self.list.table.opened.connect(self._go)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)

    def show_effect(self, effect: Effect | None) -> None:
        """The figures of a plan; None while they are worked out."""
        if effect is None:
            self.said.setText(say("Being worked out…"))
            return
        self.rows.set_rows(worst(effect.serves))
        self.list.table.fit_columns()
        self.said.setText(month_text(self.desk, effect))

    def _go(self, key: str) -> None:
        self.desk.go(Where("serve", key.partition("/")[0]))


def _key(effect: ServeEffect) -> str:
    return f"{effect.serve}/{effect.before.menu}"


def month_text(desk: Desk, effect: Effect) -> str:
    """A month at the current mix, before and after, in a sentence."""
    form = desk.format
    before, after = effect.before, effect.after
    if effect.period is not None:
        mix = say("At the mix of {since} to {until}, a month", since=form.day(effect.period.since),
                  until=form.day(effect.period.until))  # fmt: skip
    else:
        mix = say("No sales are entered, so with one of each drink it")
    said = say(
        "{mix} costs {cost} where it cost {before} ({moves}): pour cost {pour} after {pour_before}.", mix=mix,
        cost=form.money(after.cost), before=form.money(before.cost), moves=form.signed(after.cost - before.cost),
        pour=form.percent(after.pour_cost), pour_before=form.percent(before.pour_cost),
    )  # fmt: skip
    broken = len(effect.broken)
    if broken:
        said += " " + say_many(
            "{n} drink does not meet its target any more.", "{n} drinks do not meet their targets any more.", broken
        )
    if before.without:
        said += " " + say_many(
            "{n} drink without a price or a full cost is not counted.",
            "{n} drinks without a price or a full cost are not counted.", len(before.without),
        )  # fmt: skip
    return said
