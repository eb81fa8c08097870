"""Figures for people: money, amounts, shares and days as the locale writes them."""

from datetime import UTC, date, datetime
from decimal import Decimal

from PySide6.QtCore import QDate, QLocale

from costing.book.money import digits, rounded
from costing.book.problem import Problem
from costing.report.phrases import unit_word
from costing.tongue import PSEUDO, PSEUDO_RTL, right_to_left, say

LRI, FSI, PDI = "\u2066", "\u2068", "\u2069"
"""The isolates of the Unicode bidirectional algorithm: text between them does not reorder what stands around it."""
UNKNOWN = "–"
MINUS = "\u2212"


def isolate(text: str) -> str:
    """A figure with its unit, kept in one piece from left to right in a right-to-left line."""
    # The signs are not in every face, and another face's line stands a pixel lower: they go where they are needed.
    return f"{LRI}{text}{PDI}" if right_to_left() else text


def own(text: str) -> str:
    """A name from the book inside a sentence: it runs in its own direction and does not turn the sentence."""
    return f"{FSI}{text}{PDI}" if right_to_left() else text


def locale_of(language: str) -> QLocale:
    """The locale that a language of the window is written in. English follows the machine where that is English."""
    if language in ("en", PSEUDO):
        system = QLocale.system()
        english = system.language() == QLocale.Language.English
        return system if english else QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
    return QLocale("ar") if language == PSEUDO_RTL else QLocale(language)


class Format:
    """How one window writes figures: by the locale of its language, in the currency of its house."""

    def __init__(self, locale: QLocale, currency: str = "") -> None:
        """``currency`` is an ISO 4217 code; anything else is written with two decimals."""
        # Western digits everywhere: what is typed back in and what the reports print must be readable as the same.
        self.locale = locale
        locale.setNumberOptions(QLocale.NumberOption.DefaultNumberOptions)
        self.use(currency)

    def use(self, currency: str) -> None:
        """Write money of another currency from now on."""
        self.currency = currency
        try:
            self.places = digits(currency)
        except ValueError:
            self.places = 2

    def number(self, value: float | Decimal, places: int = 2, *, trim: bool = False) -> str:
        """A number with a fixed count of decimals, rounded as money is; ``trim`` leaves out zeros at the end."""
        whole = rounded(value, places)
        text = f"{abs(whole):.{places}f}"
        head, _, tail = text.partition(".")
        if trim:
            tail = tail.rstrip("0")
        groups: list[str] = []
        while len(head) > 3:
            groups.insert(0, head[-3:])
            head = head[:-3]
        out = self._group().join([head, *groups]) + (self._point() + tail if tail else "")
        return f"{MINUS}{out}" if whole < 0 else out

    def money(self, value: float | Decimal | None) -> str:
        """An amount of money with the currency's own decimals; the currency is named by headings."""
        return UNKNOWN if value is None else self.number(value, self.places)

    def least(self, text: str, complete: bool) -> str:
        """A figure that lacks some of its parts: "at least 2.44"."""
        return text if complete or text == UNKNOWN else say("at least {figure}", figure=text)

    def unit_money(self, value: float | None, base: str) -> str:
        """ "43.53 / L"; small sums keep four decimals more than nothing."""
        if value is None:
            return UNKNOWN
        places = self.places if abs(value) >= 0.1 or value == 0 else self.places + 2
        return isolate(f"{self.number(value, places)} / {unit_word(base)}")

    def signed(self, value: float | Decimal | None) -> str:
        """A difference in money with its sign and an arrow, never by colour alone."""
        if value is None:
            return UNKNOWN
        shown = rounded(value, self.places)
        if shown == 0:
            return self.money(0.0)
        return isolate(f"{'▲ +' if shown > 0 else '▼ '}{self.money(value)}")

    def percent(self, share: float | Decimal | None, places: int = 1) -> str:
        """A share: 0.213 is "21.3 %"."""
        return UNKNOWN if share is None else isolate(f"{self.number(100 * share, places)} %")

    def strength(self, abv: float | None) -> str:
        """ABV as a share of volume: "43.2 % vol"."""
        return UNKNOWN if abv is None else isolate(f"{self.number(100 * abv, 1)} % vol")

    def amount(self, value: float | None, base: str) -> str:
        """An amount in base units as a bar says it: ml and g where it is small."""
        if value is None:
            return UNKNOWN
        if base in ("l", "kg") and abs(value) < 1.0:
            small = 1000.0 * value
            places = 0 if small == 0 or abs(small) >= 99.95 else 1 if abs(small) >= 0.95 else 3
            return isolate(f"{self.number(small, places, trim=True)} {'ml' if base == 'l' else 'g'}")
        if base == "each":
            return isolate(say("{count} pc", count=self.number(value, 2, trim=True)))
        return isolate(f"{self.number(value, 3, trim=True)} {unit_word(base)}")

    def day(self, value: date | None) -> str:
        """A day, short, as the locale writes it, with the whole year. Where the locale writes slashes it is 2026-11-28:
        1/12/2026 is two days to two people, is not taken when typed, and so is not shown either."""
        if value is None:
            return UNKNOWN
        pattern = self.locale.dateFormat(QLocale.FormatType.ShortFormat)
        if "/" in pattern:
            return isolate(value.isoformat())
        if "yyyy" not in pattern:
            pattern = pattern.replace("yy", "yyyy")
        text = self.western(self.locale.toString(QDate(value.year, value.month, value.day), pattern))
        # Some locales put direction marks between the figures, which would turn them round inside the isolate.
        return isolate(text.replace("\u200f", "").replace("\u200e", ""))

    def moment(self, utc: str) -> str:
        """A journal's UTC time of writing as local day and time."""
        try:
            at = datetime.fromisoformat(utc.replace("Z", "+00:00")).replace(tzinfo=UTC).astimezone()
        except ValueError:
            return utc
        return f"{self.day(at.date())} {isolate(f'{at:%H:%M}')}"

    def western(self, text: str) -> str:
        """The text with the digits 0 to 9 in place of the locale's own."""
        return "".join(str(int(ch)) if ch.isdecimal() else ch for ch in text)

    def _point(self) -> str:
        mark = self.locale.decimalPoint()
        return mark if mark in ".," else "."

    def _group(self) -> str:
        mark = self.locale.groupSeparator()
        if self._point() == "." and mark not in (",", "\u00a0", "\u202f", "'", "\u2019"):
            return ","
        return mark


def level_word(problem: Problem) -> str:
    """How bad a problem is, in a word."""
    return {"error": say("not costed"), "warning": say("look at this"), "note": say("to know")}[problem.level]
