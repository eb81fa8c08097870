"""What a drink or a liquid is, as the guest has it: volume, strength, sugar, acid, SO2, gas, standard drinks."""

from dataclasses import dataclass

from costing.book.records import House
from costing.book.units import Dim, lookup
from costing.ledger.lines import Line
from costing.ledger.matter import Matter
from costing.ledger.reckon import Reckoning
from costing.ledger.rows import Carried


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Of what goes on from a stage, at 20 C and after dilution.

    ``abv`` is a fraction; ``drinks`` are standard drinks by the house's definition, None where it has none.
    ``sugar_g_l`` is everything dissolved but the acids, so it counts salts and gums as sugar; ``acid_g_l`` is as
    citric; ``so2_mg_l`` is the most there can be, from what the makeup of goods states.
    """

    litres: float
    abv: float
    ethanol_g: float
    drinks: float | None
    sugar_g_l: float
    acid_g_l: float
    so2_mg_l: float
    co2_g_l: float


def balance_of(line: Line, house: House | None) -> Balance | None:
    """The balance of what a stage makes. None where its volume is not known: solids in it, a good not followed."""
    if any(p.code == "not-followed" for p in line.problems):
        return None
    return balance(line.on.matter, house)


def balance(matter: Matter, house: House | None) -> Balance | None:
    """The balance of a liquid; None where it has no volume."""
    litres = matter.volume()
    if not litres:
        return None
    grams = 1000.0 * matter.ethanol
    one = standard_grams(house)
    return Balance(
        litres=litres,
        abv=matter.abv or 0.0,
        ethanol_g=grams,
        drinks=grams / one if one else None,
        sugar_g_l=1000.0 * max(0.0, matter.solubles - matter.acids) / litres,
        acid_g_l=1000.0 * matter.acids / litres,
        so2_mg_l=1e6 * matter.so2 / litres,
        co2_g_l=1000.0 * matter.gas / litres,
    )


def standard_grams(house: House | None) -> float | None:
    """Grams of ethanol in one standard drink as the house counts; None where it says nothing that can be read."""
    fact = house.standard_drink if house else None
    unit = lookup(fact.unit) if fact else None
    if fact is None or unit is None or unit.dim is not Dim.MASS or fact.value <= 0:
        return None
    return 1000.0 * float(fact.value * unit.factor)


TART = frozenset({"fruit", "juice", "wine"})
SWEET = frozenset({"wine", "liqueur", "beer"})


def unstated(reckoning: Reckoning, carried: Carried) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(goods whose acid, goods whose sugar nobody stated) of what is in a row: with them, acid and sugar of the balance
    are the least there can be. Only kinds that bring it: fruit, juice and wine; wine, liqueur and beer."""
    goods = reckoning.view.goods
    inside = [goods[g] for g in reckoning.contents(carried).row if g in goods]
    said = {good.id: {name for name, _ in good.makeup} for good in inside}
    tart = tuple(g.id for g in inside if g.kind in TART and "acid" not in said[g.id])
    sweet = tuple(g.id for g in inside if g.kind in SWEET and not said[g.id] & {"sugar", "brix", "solubles"})
    return tart, sweet
