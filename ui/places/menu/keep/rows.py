"""The drinks that are judged as rows under the headings of their sections, and the columns of the first view."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from costing.book.book import View
from costing.menu.judged import Judged, Section
from costing.menu.mix import Item
from costing.menu.words import (
    LEFT_WORDS,
    WHY_WORDS,
    action_word,
    advice_text,
    chance_text,
    class_word,
    sure_word,
)
from costing.tongue import say, word
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column
from ui.places.menu.keep.work import SectionKey


@dataclass(frozen=True, slots=True)
class KeepRow:
    """One drink of a section, or the section's heading (``item`` None). ``drink`` is None where it has no class."""

    key: str
    section: Section
    title: str
    item: Item | None = None
    drink: Judged | None = None
    unpriced: bool = False

    @property
    def heading(self) -> bool:
        """Whether it stands over a section."""
        return self.item is None

    @property
    def drinks(self) -> bool:
        """Whether its section has classes."""
        return bool(self.section.drinks)


def section_titles(sections: Sequence[SectionKey], view: View) -> Mapping[SectionKey, str]:
    """What sections are called; the menu's name goes before where there are several menus, or no other name."""
    several = len({menu for menu, _ in sections}) > 1
    out = {}
    for menu, name in sections:
        of = view.menus[menu].name if menu in view.menus else menu
        whole = say("{menu}, {section}", menu=of, section=name) if name and several else name or of
        out[menu, name] = whole
    return out


def keep_rows(sections: Sequence[Section], titles: Mapping[SectionKey, str]) -> list[KeepRow]:
    """Headings and drinks in menu order; what has no price stands last in its section."""
    out: list[KeepRow] = []
    seen: dict[str, int] = {}

    def key_of(item: Item) -> str:
        seen[item.key] = seen.get(item.key, 0) + 1  # one drink may stand twice in a section
        return item.key if seen[item.key] == 1 else f"{item.key}#{seen[item.key]}"

    for section in sections:
        title = titles.get((section.menu, section.name), section.name)
        out.append(KeepRow(heading_key(section), section, title))
        drinks: Sequence[Judged | None] = section.drinks or [None] * len(section.items)
        for item, drink in zip(section.items, drinks, strict=True):
            out.append(KeepRow(key_of(item), section, title, item, drink))
        out += [KeepRow(key_of(item), section, title, item, unpriced=True) for item in section.unpriced]
    return out


def heading_key(section: Section) -> str:
    """The key of a section's heading."""
    return f"§{section.menu}/{section.name}"


def name_of(row: KeepRow) -> str:
    """The drink, or the section."""
    return row.item.name if row.item is not None else row.title


def by(figure: Callable[[KeepRow], Any]) -> Callable[[KeepRow], Any]:
    """A key to sort by; headings have none and stand last."""
    return lambda row: None if row.heading else figure(row)


def count_text(value: float, form: Format) -> str:
    """How many were sold."""
    return form.number(value, 1, trim=True)


def sure_text(drink: Judged) -> str:
    """ "borderline, 86 %"; of too small a sample no chance."""
    if drink.state == "few" or drink.chance is None:
        return sure_word(drink.state)
    return say("{sure}, {chance}", sure=sure_word(drink.state), chance=own(chance_text(drink.chance)))


def margin_text(item: Item, form: Format) -> str:
    """What one earns; at most that where its cost is not whole."""
    text = form.money(item.margin)
    return text if item.complete else say("at most {figure}", figure=text)


def cut_text(section: Section, form: Format) -> str:
    """The margin from which a drink of a section earns much; at most that where a cost in it is not whole."""
    text = form.money(section.engineered.O)
    return text if section.complete else say("at most {figure}", figure=text)


def keep_columns(
    form: Format, why: Mapping[str, Callable[[KeepRow], object | None]]
) -> Sequence[Column[KeepRow]]:  # fmt: skip
    """Drink, sold, share, margin, class, how sure, what to do. ``why`` makes the subjects of "margin", "class" and
    "sure". A heading has the set's total and its two thresholds."""

    def sold(row: KeepRow) -> str:
        return count_text(row.section.engineered.N if row.item is None else row.item.sold, form)

    def share(row: KeepRow) -> str:
        if row.heading:
            cut = row.section.engineered.Q
            return say("from {figure}", figure=form.percent(cut)) if cut is not None and row.drinks else ""
        return form.percent(row.drink.row.mix if row.drink else None)

    def margin(row: KeepRow) -> str:
        if row.item is None:
            cut = row.section.engineered.O
            return say("from {figure}", figure=cut_text(row.section, form)) if cut is not None and row.drinks else ""
        return UNKNOWN if row.unpriced else margin_text(row.item, form)

    def klass(row: KeepRow) -> str:
        return "" if row.heading else class_word(row.drink.klass) if row.drink else UNKNOWN

    def sure(row: KeepRow) -> str:
        return "" if row.heading else sure_text(row.drink) if row.drink else UNKNOWN

    def do(row: KeepRow) -> str:
        if row.heading:
            return word(WHY_WORDS, row.section.why) if row.section.why else ""
        if row.unpriced:
            return word(LEFT_WORDS, "no price")
        return action_word(row.drink.advice.action) if row.drink else UNKNOWN

    def reasons(row: KeepRow) -> str:
        return f"{advice_text(row.drink.advice, form.currency)}." if row.drink else do(row)

    def heading(row: KeepRow) -> bool:
        return row.heading

    return (
        Column[KeepRow]("name", say("Drink"), name_of, sort=by(lambda r: name_of(r).casefold()), strong=heading,
                        depth=lambda r: 0 if r.heading else 1, tip=lambda r: r.title, why=why["class"]),
        Column[KeepRow]("sold", say("Sold"), sold, True, by(lambda r: r.item.sold if r.item else None), strong=heading,
                        why=why["class"]),
        Column[KeepRow]("share", say("Of the mix"), share, True, by(lambda r: r.drink.row.mix if r.drink else None),
                        why=why["class"], about=say("Share of all drinks sold in its section")),
        Column[KeepRow]("margin", say("Margin"), margin, True,
                        by(lambda r: None if r.unpriced or r.item is None else r.item.margin),
                        why=why["margin"], about=say("What one brings as it was paid, without tax, less its cost")),
        Column[KeepRow]("class", say("Class"), klass, sort=by(klass), why=why["class"]),
        Column[KeepRow]("sure", say("How sure"), sure, sort=by(_chance), why=why["sure"],
                        about=say("The chance that the class is right, by how many were sold and what costs may be")),
        Column[KeepRow]("do", say("What to do"), do, sort=by(do), why=why["class"], tip=reasons),
    )  # fmt: skip


def _chance(row: KeepRow) -> float | None:
    return row.drink.chance if row.drink and row.drink.state != "few" else None
