"""What an hour costs: of a machine by what wears out in it, and of hands by what the house pays around the wage."""

from decimal import Decimal


def machine_hour(
    *,
    price: Decimal,
    residual: Decimal,
    years: Decimal,
    hours_a_year: Decimal,
    upkeep_a_year: Decimal = Decimal(0),
    kilowatts: Decimal = Decimal(0),
    tariff: Decimal = Decimal(0),
) -> Decimal:
    """Money an hour: (price - residual) / life hours + upkeep / hours + kW * tariff. Hours are of normal use, so that
    an idle machine is not loaded on the few batches made (IAS 2.13). Leave kW out where energy is costed on its own.

    ValueError where years or hours are not above 0, or anything else is below 0.
    """
    if years <= 0 or hours_a_year <= 0:
        raise ValueError(f"{years} years of {hours_a_year} hours: both must be above 0")
    if min(price, residual, upkeep_a_year, kilowatts, tariff) < 0 or residual > price:
        raise ValueError(f"price {price}, residual {residual}, upkeep, kW and tariff must be 0 or more, price the most")
    return (price - residual) / (years * hours_a_year) + upkeep_a_year / hours_a_year + kilowatts * tariff


def loaded_hour(*, wage: Decimal, on_costs: Decimal, paid_hours: Decimal, worked_hours: Decimal) -> Decimal:
    """Money an hour at work: wage times 1 + on-costs, over the share of paid hours that are worked.

    ``on_costs`` is a fraction of the wage. ValueError for less than nothing or more hours worked than paid.
    """
    if wage < 0 or on_costs < 0 or not 0 < worked_hours <= paid_hours:
        raise ValueError(f"wage {wage}, on-costs {on_costs}, {worked_hours} of {paid_hours} hours worked cannot be")
    return wage * (1 + on_costs) * paid_hours / worked_hours
