"""Cautions: which ones a book calls for, and what they say. Plain words, no advice; local codes decide."""

from datetime import date

from costing.ledger.reckon import Reckoning
from costing.liquor import flash_point, lean_limit_ratio
from costing.liquor.vapours import FLASH_ABV_RANGE
from costing.tongue import Words, day_text, numeral, say, word

WORDS: Words = {
    "distil": "Distilling needs a licence nearly everywhere, even in small amounts and under vacuum. The local code "
    "and the licensing office decide, not this report.",
    "vapour": "Warm spirit gives off vapour that burns: no flame, no spark, and air that moves. Licensed practice "
    "and the fire code of the place say how much may stand where.",
    "vacuum": "Glass under vacuum can implode: look for scratches and stars before each run, and work behind a shield.",
    "pressure": "Carbonate only in vessels rated for the pressure, with a relief valve. Carbon dioxide collects low "
    "down: keep the air of the room moving, and follow the code for gas in cellars.",
    "ferment": "Making alcohol by fermenting needs a licence in many places, and gas under way can burst a closed "
    "vessel: the local code and licensed practice decide. Only a laboratory says what else has formed.",
    "steep": "Some places restrict infusing or mixing ahead of service: ask what the local code allows.",
    "allergens": "Allergens are followed through every preparation from what labels and people stated; a kitchen's own "
    "cross-contact is not in them. Not stated is never to be read as free, and distilling takes nothing away unless a "
    "named person exempted it. Check the labels of the day and tell guests by what the local code asks.",
    "shelf": "No shelf life is suggested here. How long a preparation keeps is for the house, its records and the "
    "local food code to settle.",
    "service": "Strengths are computed. They help to serve with care; they do not replace judgement at the bar.",
}
SHORT: Words = {
    "pressure": "Only vessels rated for the pressure.",
    "allergens": "Not stated is not free: check the label of the day.",
    "service": "Serve with care; the law of the place comes first.",
}
"""The same in few words, for a card."""
_DRY = frozenset({"roast", "reduce", "dehydrate"})


def cautions_for(reckoning: Reckoning, preparation: str | None = None) -> tuple[str, ...]:
    """Codes of the cautions that a whole book, or one preparation of it, calls for, in the order of ``WORDS``."""
    view = reckoning.view
    chosen = [preparation] if preparation else list(view.preparations)
    found = {"allergens"} | ({"shelf"} if chosen else set())
    kinds = {stage.kind for ident in chosen for stage in view.preparations[ident][1].stages}
    if "distil" in kinds:
        found |= {"distil", "vapour", "vacuum"}
    if "carbonate" in kinds:
        found.add("pressure")
    if "ferment" in kinds:
        found |= {"ferment", "pressure"}
    for ident in chosen:
        for line in reckoning.ledgers[ident].lines if ident in reckoning.ledgers else ():
            if line.total("in").ethanol > 0.0:
                found |= {"infuse": {"steep"}}.get(line.kind, set()) | ({"vapour"} if line.kind in _DRY else set())
    if preparation is None:
        found |= {"service"} if any(line.total("in").ethanol > 0.0 for line in reckoning.serves.values()) else set()
        found |= {"pressure"} if any(line.kind == "carbonate" for line in reckoning.serves.values()) else set()
    return tuple(code for code in WORDS if code in found)


def drink_cautions(reckoning: Reckoning, serve: str) -> tuple[str, ...]:
    """Codes of the cautions for whoever builds one drink."""
    line = reckoning.serves.get(serve)
    found = {"allergens"}
    if line is not None and line.total("in").ethanol > 0.0:
        found.add("service")
    if reckoning.view.serves[serve][1].build.kind == "carbonate":
        found.add("pressure")
    return tuple(code for code in WORDS if code in found)


def caution(code: str, permit: str, until: date | None, day: date) -> str:
    """The words of a caution; the one on distilling carries what the house entered of its permit."""
    return f"{word(WORDS, code)} {permit_line(permit, until, day)}" if code == "distil" else word(WORDS, code)


def short_caution(code: str) -> str:
    """A caution in few words; "" for one that is not said on a card."""
    return word(SHORT, code) if code in SHORT else ""


WARM = 55.0
"""C: how warm an infusion in a bath is held; common practice, no source. Named beside the figure it gives."""


def vapour_line(reckoning: Reckoning, preparation: str) -> str:
    """Flash point and vapour of the strongest liquid of a preparation that is warmed or distilled; "" for others."""
    if preparation not in reckoning.ledgers or not {"vapour", "steep"} & set(cautions_for(reckoning, preparation)):
        return ""
    strengths = [
        stream.matter.abv or 0.0 for line in reckoning.ledgers[preparation].lines for stream in (*line.ins, *line.outs)
    ]
    strongest = max(strengths, default=0.0)
    if strongest < FLASH_ABV_RANGE[0]:
        return ""
    return say(
        "Computed for the strongest liquid here, {strength} % vol: flash point about {flash} °C (within 3 °C); right "
        "over it at {warm} °C the vapour is {times} times what can burn.",
        strength=f"{100 * strongest:.0f}",
        flash=f"{flash_point(strongest):.0f}",
        warm=f"{WARM:.0f}",
        times=numeral(f"{lean_limit_ratio(strongest, WARM):.1f}"),
    )


def permit_line(permit: str, until: date | None, day: date) -> str:
    """What the house entered of its permit, said plainly, and whether it has run out."""
    if not permit:
        return say("No permit reference is entered for this house.")
    if until is None:
        return say("Permit entered by the house: {permit}, without an expiry.", permit=permit)
    if until < day:
        return say("Permit entered by the house: {permit}, which ran out on {day}.", permit=permit, day=day_text(until))
    return say("Permit entered by the house: {permit}, until {day}.", permit=permit, day=day_text(until))
