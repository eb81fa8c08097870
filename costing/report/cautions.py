"""Cautions: which ones a book calls for, and what they say. Plain words, no advice; local codes decide."""

from collections.abc import Mapping
from datetime import date

from costing.book.book import View
from costing.report.content import Head

WORDS: Mapping[str, str] = {
    "distil": "Distilling needs a licence nearly everywhere, even in small amounts and under vacuum. The local code "
    "and the licensing office decide, not this report.",
    "vapour": "Warm spirit gives off vapour that burns: no flame, no spark, and air that moves. A licensed practice "
    "and the fire code of the place say how much may stand where.",
    "vacuum": "Glass under vacuum can implode: look for scratches and stars before each run, and work behind a shield.",
    "pressure": "Carbonate only in vessels rated for the pressure, with a relief valve. Carbon dioxide collects low "
    "down: keep the air of the room moving, and follow the code for gas in cellars.",
    "steep": "Some places restrict infusing or mixing ahead of service: ask what the local code allows.",
    "allergens": "Allergens are not assessed in this edition. What no label stated stays not stated through every "
    "preparation and serve, and is never to be read as free.",
    "shelf": "No shelf life is suggested here. How long a preparation keeps is for the house, its records and the "
    "local food code to settle.",
    "service": "Strengths are computed. They help to serve with care; they do not replace judgement at the bar.",
}
_BY_KIND: Mapping[str, tuple[str, ...]] = {
    "distil": ("distil", "vapour", "vacuum"),
    "infuse": ("steep",),
    "carbonate": ("pressure",),
}
_WARM = ("roast", "reduce")


def cautions_for(view: View, preparation: str | None = None) -> tuple[str, ...]:
    """Codes of the cautions that a whole book, or one preparation of it, calls for, in the order of ``WORDS``."""
    chosen = [view.preparations[preparation]] if preparation else list(view.preparations.values())
    found: set[str] = {"allergens", "service"} if preparation is None else {"allergens"}
    if chosen:
        found.add("shelf")
    alcohol = any(
        dict(good.makeup).keys() & {"abv", "ethanol"} or good.kind in ("spirit", "liqueur")
        for good in view.goods.values()
    )
    for _, version in chosen:
        for stage in version.stages:
            found.update(_BY_KIND.get(stage.kind, ()))
            if stage.kind in _WARM and alcohol and stage is not version.stages[0] and _has_infusion(version.stages):
                found.add("vapour")
    if not alcohol:
        found -= {"steep", "vapour", "service"}
    if preparation is None and any(v.build.kind == "carbonate" for _, v in view.serves.values()):
        found.add("pressure")
    return tuple(code for code in WORDS if code in found)


def _has_infusion(stages: tuple[object, ...]) -> bool:
    return any(getattr(stage, "kind", "") == "infuse" for stage in stages)


def caution(code: str, head: Head) -> str:
    """The words of a caution; the one on distilling carries what the house entered of its permit."""
    if code != "distil":
        return WORDS[code]
    return f"{WORDS[code]} {permit_line(head.permit, head.permit_until, head.day)}"


def permit_line(permit: str, until: date | None, day: date) -> str:
    """What the house entered of its permit, said plainly, and whether it has run out."""
    if not permit:
        return "The house has entered no permit reference."
    if until is None:
        return f"Permit entered by the house: {permit}, without an expiry."
    if until < day:
        return f"Permit entered by the house: {permit}, which ran out on {until.isoformat()}."
    return f"Permit entered by the house: {permit}, until {until.isoformat()}."
