"""What a quote says in plain words of serving with care. No legal advice: law and licence of the place decide."""

from costing.menu.event import Alcohol
from costing.tongue import Sayings, numeral, say, say_word

WITH_CARE: Sayings = (
    "Offer water with every round and food from the first hour on, and drinks without alcohol as good as the others.",
    "Not every guest drinks alike: the figure is an average, and some will have twice as much or none.",
    "Serve nobody who has had enough, and know who drives. The law and the licence of the place decide; this is no "
    "legal advice.",
)
"""Common practice, no source."""


def alcohol_line(alcohol: Alcohol) -> str:
    """Grams of ethanol a guest, and in standard drinks where the house says what one is."""
    grams = {"all": f"{alcohol.grams:.0f}", "first": f"{alcohol.first_hour:.0f}", "later": f"{alcohol.later_hour:.0f}"}
    if alcohol.standard is None:
        return say("{all} g of ethanol a guest on average, {first} g in the first hour and {later} g in each later "
                   "one.", **grams)  # fmt: skip
    drinks = numeral(f"{alcohol.standard:.1f}")
    return say("{all} g of ethanol a guest on average ({drinks} standard drinks as the house counts), {first} g in the "
               "first hour and {later} g in each later one.", drinks=drinks, **grams)  # fmt: skip


def with_care(alcohol: Alcohol) -> tuple[str, ...]:
    """The lines to print under a quote; none where nothing in it has alcohol."""
    if alcohol.grams <= 0 and not alcohol.unknown:
        return ()
    unknown: tuple[str, ...] = ()
    if alcohol.unknown:
        names = ", ".join(alcohol.unknown)
        unknown = (say("The strength of {names} is not known, so that it is at least this much.", names=names),)
    return (alcohol_line(alcohol), *unknown, *(say_word(text) for text in WITH_CARE))
