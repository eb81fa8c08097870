"""What goes wrong in a price list, one function an error: from a right line to the cells that stand in its place."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from random import Random

from sample_data.bigkinds import Kind, PackOf, beyond


@dataclass(frozen=True, slots=True)
class Good:
    """One line as it should be; prices of the pack in cents, the one before and this list's."""

    kind: Kind
    code: str
    gtin: str
    name: str
    pack: PackOf
    before: int
    cents: int

    def cells(self, price: str = "", pack: str = "", currency: str = "EUR") -> list[str]:
        """The line, with another text for price, pack or currency where one is given."""
        return [self.code, self.gtin, self.name, self.kind.name, pack or self.pack.text(), price or shown(self.cents),
                currency, str(self.kind.rate)]  # fmt: skip

    def ratio(self, cents: float) -> float:
        """Of a price to the one before."""
        return cents / self.before


def shown(cents: int) -> str:
    """As a list of this kind writes money: "1.024,00"."""
    return f"{cents // 100:,}".replace(",", ".") + f",{cents % 100:02d}"


Slip = Callable[[Random, Good, Good], list[str] | None]
"""(chance, the right line, the line beside it) to the cells, or None where the error would not show."""
FOREIGN = ("CHF", "SEK", "USD")
WORDS = ("s. Angebot", "Tagespreis", "auf Anfrage")
LETTERS = str.maketrans("01", "Ol")


def _if_beyond(good: Good, cents: float, text: str = "") -> list[str] | None:
    """The line with another price, where it is one that no honest price reaches."""
    whole = round(cents)
    if whole < 1 or not beyond(good.kind, good.ratio(whole)):
        return None
    return good.cells(text or shown(whole))


def _factor(times: int) -> Slip:
    def slip(rng: Random, good: Good, beside: Good) -> list[str] | None:
        up = rng.random() < 0.5
        return _if_beyond(good, good.cents * times if up else good.cents / times)

    return slip


def _cents(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return _if_beyond(good, 100 * good.cents, str(good.cents))


def _single(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return _if_beyond(good, good.cents / good.pack.count) if good.pack.count > 1 else None


def _multiplied(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return _if_beyond(good, good.cents * good.pack.count) if good.pack.count > 1 else None


def _swapped(rng: Random, good: Good, beside: Good) -> list[str] | None:
    """Two digits beside each other changed places."""
    text = str(good.cents)
    found = []
    for n in range(len(text) - 1):
        made = int(text[:n] + text[n + 1] + text[n] + text[n + 2 :])
        if beyond(good.kind, good.ratio(made)):
            found.append(made)
    return good.cells(shown(found[int(len(found) * rng.random())])) if found else None


def _pack_changed(rng: Random, good: Good, beside: Good) -> list[str] | None:
    """Another pack beside the price of the old one."""
    *outer, inner = good.pack.levels or (1,)
    if inner == 1:
        return None
    half = inner % 2 == 0 and inner > 2 and rng.random() < 0.5
    other = PackOf((*outer, inner // 2 if half else inner * 2), good.pack.size, good.pack.unit)
    if not beyond(good.kind, good.ratio(good.cents * good.pack.count / other.count)):
        return None
    return good.cells(pack=other.text())


def _neighbour(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return _if_beyond(good, beside.cents)


def _point(rng: Random, good: Good, beside: Good) -> list[str] | None:
    """Three decimals behind a point: in a column of decimal commas that is thousands."""
    return good.cells(f"{good.cents / 100:.3f}")


def _taxed(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return _if_beyond(good, good.cents * (1 + good.kind.rate / 100))


def _empty(rng: Random, good: Good, beside: Good) -> list[str] | None:
    cells = good.cells()
    cells[5] = ""
    return cells


def _zero(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return good.cells("0,00")


def _negative(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return good.cells(f"-{shown(good.cents)}")


def _worded(rng: Random, good: Good, beside: Good) -> list[str] | None:
    """Words, or letters typed for digits."""
    typed = shown(good.cents).translate(LETTERS)
    if typed != shown(good.cents) and rng.random() < 0.5:
        return good.cells(typed)
    return good.cells(WORDS[int(len(WORDS) * rng.random())])


def _currency(rng: Random, good: Good, beside: Good) -> list[str] | None:
    return good.cells(currency=FOREIGN[int(len(FOREIGN) * rng.random())])


def _unit(rng: Random, good: Good, beside: Good) -> list[str] | None:
    """Grams for kilograms, millilitres for litres."""
    small = {"kg": "g", "l": "ml"}.get(good.pack.unit)
    return good.cells(pack=good.pack.text(unit=small)) if small else None


SLIPS: Mapping[str, Slip] = {
    "factor-10": _factor(10),
    "factor-100": _factor(100),
    "factor-1000": _factor(1000),
    "cents": _cents,
    "bottle-for-case": _single,
    "case-for-bottle": _multiplied,
    "digits-swapped": _swapped,
    "pack-changed": _pack_changed,
    "neighbour": _neighbour,
    "point-for-comma": _point,
    "tax-in": _taxed,
    "empty": _empty,
    "zero": _zero,
    "negative": _negative,
    "words": _worded,
    "currency": _currency,
    "unit": _unit,
}
ERRORS = tuple(SLIPS)
"""Every sort of error, by the word that ``truth`` has for it."""


def spoiled(rng: Random, error: str, good: Good, beside: Good) -> list[str] | None:
    """The cells of a line with an error in it; None where this error would not show on this line."""
    return SLIPS[error](rng, good, beside)
