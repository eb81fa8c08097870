"""Words: the sentences of Problems, stages, streams and layers. Codes stay in the core; this is a face.

Tables are English; whoever shows a word of one asks the function of that name, which says it in the language of the
context.
"""

from collections.abc import Iterable
from datetime import date

from costing.book.kinds import FACT_DIMS, READING_DIMS
from costing.book.problem import Problem
from costing.book.units import Dim
from costing.report.method_words import method_word
from costing.tongue import Words, day_text, numeral, say, say_word, word

LAYER_WORDS: Words = {
    "materials": "materials",
    "energy": "energy",
    "machine": "machine",
    "labour": "labour",
}
FATE_WORDS: Words = {
    "in": "in",
    "on": "goes on",
    "kept": "kept as by-product",
    "meant": "meant to leave",
    "lost": "lost",
    "unexplained": "unexplained",
}
STAGE_WORDS: Words = {
    "make": "make",
    "trim": "trim",
    "bottle": "bottle",
    "rest": "rest",
    "cut": "cut",
    "blend": "blend",
    "dissolve": "dissolve",
    "acidify": "acidify",
    "build": "build",
    "carbonate": "carbonate",
    "wash": "wash with fat or milk",
    "proof": "proof down",
    "roast": "roast",
    "reduce": "reduce",
    "dehydrate": "dehydrate",
    "ferment": "ferment",
    "infuse": "infuse and strain",
    "rinse": "rinse the marc",
    "strain": "strain",
    "press": "press",
    "juice": "juice",
    "clarify": "clarify",
    "distil": "distil under vacuum",
}
FIGURE_WORDS: Words = {
    "out.mass": "the weight that goes on",
    "out.volume": "the volume that goes on",
    "out.abv": "the strength of what goes on",
    "out.brix": "the Brix of what goes on",
    "left.mass": "the weight of what leaves",
    "left.abv": "the strength of what leaves",
    "makes.mass": "makes",
    "makes.volume": "makes",
    "to.mass": "to",
    "to.volume": "to",
    "spent_ratio": "spent weight over charge",
    "yield": "yield",
    "abv": "the strength to proof to",
    "take": "collected a run",
    "pot_abv": "strength of the pot",
    "pot_t": "temperature of the pot",
    "co2": "CO2 dissolved",
    "holdup": "left in the vessel a run",
    "coolant": "coolant",
    "vent": "gas drawn through",
    "exchange": "juice of the solids that mixed",
    "t": "temperature",
    "headspace": "gas room above the liquid",
    "foam": "gas lost as foam",
    "given_off": "gas given off",
}
CODE_WORDS: Words = {
    "density": "density",
    "makes": "makes",
    "to": "to",
    "one piece": "one piece",
    "pack": "pack",
    "active time": "active time",
    "passive time": "passive time",
    "time to set up": "time to set up",
    "pieces made": "pieces made",
    "power": "power",
    "most a run takes": "most a run takes",
    "seconds": "seconds",
    "dilution": "dilution",
    "spent": "spent",
    "keep": "keep",
    "lost": "lost",
    "refuse": "refuse",
    "runs": "runs",
    "purges": "purges",
    "pressure": "pressure",
    "brix": "brix",
}
"""Names of figures that English says by their code."""
STREAM_WORDS: Words = {
    "on": "goes on",
    "running": "from the stage before",
    "water": "water, computed",
    "film": "film and vent",
    "film and vent": "film and vent",
    "short": "short",
    "trim": "trim",
    "left behind": "left behind",
    "gone in resting": "gone in resting",
    "offcut": "offcut",
    "gas vented": "gas vented",
    "vapour": "vapour",
    "held in the solids": "held in the solids",
    "press cake": "press cake",
    "hulls and pulp": "hulls and pulp",
    "pellet": "pellet",
    "gas given off": "gas given off",
    "pot residue": "pot residue",
    "melt": "water from ice",
}
MAKEUP_WORDS: Words = {
    "abv": "strength",
    "sugar": "sugar",
    "brix": "Brix",
    "water": "water",
    "solubles": "dissolved solids",
    "ethanol": "alcohol",
    "acid": "acid, as citric",
    "so2": "SO2",
}
"""What a good is made of."""
KEY_WORDS: Words = {"ethanol": "alcohol", "solubles": "dissolved solids", "mass": "weight"}
_SENTENCES: Words = {
    "ambiguous-ounce": '{source}"{text}": an oz may be a US or an imperial fluid ounce or a weight; write "us fl oz", '
    '"imp fl oz" or "oz av", or set oz in the house\'s measures',
    "alcohol-may-leave": "alcohol leaves with the steam and this edition does not know how much; all of it is kept in "
    "the figures, so measure the strength",
    "alias-twice": '"{text}" of this supplier means two ingredients, so it is asked about each time; remove one of '
    "them",
    "amount-missing": "{source} has no amount; only a proof works out its own water and a carbonation its own gas, "
    "so write how much goes in",
    "button-twice": '"{text}" is a button twice; the meaning of {other} holds, so remove one of them',
    "bad-id": "an id must be text without a slash, of 1 to 200 characters",
    "bad-makeup": "the makeup cannot be: {why}",
    "bad-measure": 'the house measure {name} is "{text}"; it must be a volume, a weight or pieces',
    "blank-name": "it has no name",
    "claim-overpaid": "more was credited than the {amount} that was claimed; check the credit note",
    "diluent-too-sweet": "{figure} is {value} Bx and what it is let down with has {least} Bx; use something thinner",
    "facts-compete": "{names} each say how much goes on; give one of them",
    "exempt-by-nobody": "{name} is taken away without a name or a reason, so it stays; write who decided (who) and why "
    "(label)",
    "fact-not-taken": "this kind of stage takes no figure {figure}; it takes {takes}",
    "foreign-currency": "the price is in {currency} and the house counts in {house}; enter what one {currency} is "
    "worth, or a quote in {house}",
    "free-by-nobody": "{name} is called free and nobody stands for it; write who read it or on which label",
    "gain": "the batch uses as much of itself as it makes (gain {gain}): {loop}; use less of it, or make more",
    "half-energy": "energy and power belong together: name the energy good and the power, or neither",
    "id-clash": "the same id is also {other}; give one of them another id",
    "layer-mismatch": "it is bought by the {base} but counts as {layer}; set its layer to energy, machine or labour",
    "less-out-than-in": "{figure} is {value}, less than the {least} that went in; something left before it was "
    "weighed: enter a stage for that, or correct the reading",
    "lighter-than-dry-solids": "{figure} is {value} kg, lighter than the {least} kg of solids (and juice that never "
    "mixed) in it; "
    "correct the weighing or the composition",
    "lines-left-out": "lines of its recipe are not decided and in no cost, so the cost is at least what is shown: "
    "{lines}; enter them, then take them out of its note",
    "line-undecided": "what one of the lines means is not decided",
    "log-left-out": "what the log says of this stage leaves the recipe nothing to go on with, so it is left out; check "
    "the figures read",
    "log-input": "{source} stands for {count} inputs of the recipe, so the log's amount is left out; name one by its "
    "id",
    "loop": "these preparations need one another: {loop}; break the loop",
    "makes-nothing": "nothing is left at the end",
    "makeup-sum": "the shares of the makeup add up to {sum} %, more than 100 %",
    "missing": 'there is no {what} "{id}"; add it or name another',
    "more-ethanol-than-in": "{figure} would hold {value} kg of pure alcohol, more than the {most} kg that went in; "
    "check the strength and the amount read",
    "more-gas-than-in": "{value} kg of CO2 would be dissolved and only {most} kg went in; add gas or carbonate less",
    "more-out-than-in": "{figure} is {value} kg and only {most} kg went in; check the weighing and the tare",
    "more-than-can-be": "{figure} is {value} kg where {most} kg is the most there can be with the other weighing; "
    "one of the two is wrong",
    "more-than-liquid": "{figure} asks for {value} kg of liquid and there are only {most} kg; check the yield",
    "more-sugar-than-in": "{figure} asks for {value} kg of sugar to ferment and there are only {most} kg; check the "
    "reading",
    "more-water-than-in": "{figure} means that {value} kg of water went, and only {most} kg was in it; "
    "check the weight, or the composition",
    "make-not-last": "a make stage whose product cannot be worked out must be the last; put what follows into another "
    "preparation",
    "measure-shadows": "{name} is a unit everybody knows, so the house's own measure of that name is not used; "
    "rename it",
    "makeup-competes": "{names} state the composition in more than one way; use strength with sugar, or Brix alone, or "
    "the shares by weight",
    "melt-not-taken": "{technique} adds water from ice, and a {kind} takes none; make the drink a build, or "
    "its strength leaves the melt out",
    "melt-not-known": "its volume is not known, so neither is the water from ice; the cost stands, the strength does "
    "not",
    "melt-not-said": "{technique} does not say how much water comes from ice; weigh one drink before and after, or "
    "enter 0 % where none melts",
    "method-cannot": "{figure} was read by {method}, which cannot work here ({why}); the reading is left out, so "
    "measure another way",
    "method-misfit": "{method} does not measure {figure}; the reading is left out, so correct how it was measured",
    "mother-does-not-settle": "the composition of this mother batch does not settle in {rounds} rounds",
    "name-taken": "there is already something called {name}; give another name",
    "needs-fact": "the stage needs a figure: give one of {options}",
    "needs-pieces": 'it is counted by the piece, so its version needs "pieces", how many one batch gives',
    "no-density": '{source}"{text}" cannot become {base} without a density; enter the density of the good, or '
    "measure in {base}",
    "no-house": "the book has no house; it needs one with a name, a currency and terms",
    "no-labour": "hands are timed but no labour is priced; name a labour good for the house or the stage",
    "no-machine": "it says how long a machine works alone and names none, so that time costs nothing; name the "
    "equipment",
    "no-makeup": "its composition is not entered, so it is costed but not followed as alcohol, water and solids; enter "
    "its strength and sugar, or its Brix, or its water and what dissolves",
    "no-piece": '{source}"{text}" needs to know what one piece is; enter the weight or volume of one piece',
    "no-solids": "{figure} is a ratio to the solids put in, and there are none",
    "no-source": "there is nothing called {source} that can be used here today; check the name and its first day",
    "no-stage": "it has no stage",
    "price-nothing": "its price is 0; is that meant?",
    "no-terms": "the house has no terms (taxes, price points, target)",
    "no-terms-yet": "the house's first terms begin on {since}, after {day}; until then there is no net price",
    "no-version": "it has no version, so nothing says how it is made",
    "no-volume": "solids are in it, so its volume is not known; weigh it, or enter a measured density",
    "not-an-exemption": '{name} is given as "{state}"; an exemption says "free", by whom and why',
    "not-followed": "{source} is costed but its matter is not known, so weights and strengths leave it out",
    "not-followed-made": "{source} is part of it and its makeup is not known, so neither is how much there is; enter "
    "the makeup of {source}, or end with a make stage that says how much it makes",
    "no-title": "it has no name: put one above the lines",
    "nothing-decided": "none of the lines is decided, so there is nothing to add",
    "nothing-to-distil": "nothing volatile is in the still",
    "out-of-range": "{figure} of {value} must lie from {low} to {high}",
    "outside-curve": "the published dilution curve of {technique} does not reach a build of {value} % vol; weigh one "
    "drink before and after, and enter the ratio",
    "outside-physics": "the figures leave the range the physics is known for: {why}",
    "periods-overlap": "it begins on {since}, and {other} goes on to {until}: what was sold in between counts twice; "
    "change the days of one of them",
    "points-too-fine": "a price point of {value} cannot be paid in {currency}; use steps and endings it has",
    "pieces-not-counted": "pieces are given and it is issued by the {base}; set its base to each, or say how much a "
    "stage makes with the fact makes",
    "over-charge": "{value} {unit} go in at a time, more than the {most} {unit} that the equipment takes; make more "
    "runs",
    "pressure-high": "this needs more than 4 bar above the air's pressure; only a vessel rated for it may hold that",
    "rate-of-own": "{currency} is the house's own money and needs no rate; remove it",
    "rebate-above-price": "its rebates and charges come to more than the price, so it costs less than nothing",
    "refused-source": "{source} is refused, see there",
    "repeated": "{name} is given twice",
    "runs-not-counted": "how much goes in is not known, so the runs of the equipment are not counted; enter runs",
    "same-name": "{name} is also the name of {other}; a person cannot tell them apart",
    "same-day": "two versions begin on {day}; keep one",
    "some-gas-stays": "the gas that stays dissolved after fermenting is not known and counts as given off; no vessel "
    "may be closed on it unless it is rated for the pressure",
    "still-refuses": "the still cannot do that: {why}",
    "stronger-than-sugar": "{figure} is {value}, and all the sugar in it gives {most} at most; check the strength read",
    "stronger-than-charge": "{figure} is {value}, above the {most} that is in it; proofing only makes weaker",
    "sweeter-than-charge": "{figure} is {value}, above the {most} that is in it; dilution only makes thinner",
    "time-not-priced": "{figure} is bought by the {base}, and the time of a stage is costed by the {needs}; price it "
    "by the {needs}",
    "tax-rate-missing": "the house does not recover purchase tax and nobody said how much comes on top; enter the "
    "tax_rate (0 where there is none)",
    "tax-unknown": "nobody said whether the price has tax in it; say so before it counts",
    "two-quotes": "the same supplier has another quote from {day} ({other}); the later id counts, keep one",
    "unexplained-much": "{value} % of what entered is unexplained, more than scales err; weigh again or find the stage "
    "that is missing",
    "two-byproducts": "stage {stage} keeps two by-products; one stream leaves a stage, so keep one",
    "unknown-allergen": "{name} is not on the list {list}; its names are {names}",
    "no-currency": "there is no currency yet: choose one in the settings of the house",
    "unknown-currency": "{value} is not a currency code of ISO 4217",
    "unknown-kind": "{kind} is not a kind of stage",
    "unknown-list": "{value} is not a list of allergens that ships; there are {lists}",
    "unknown-makeup": "{name} is not part of a makeup; the parts are {takes}",
    "unknown-reading": "{figure} is not a reading; the readings are {takes}",
    "unknown-unit": '{source}"{text}": the unit "{unit}" is not known; use a unit such as ml, cl, l, g, kg, or add it '
    "to the house's measures",
    "unpriced": "no supplier has a price for it on this day, so what contains it costs at least what is shown",
    "warmth-unknown": '{source}"{text}": how much it grows from that temperature to 20 C is not known without a '
    "composition; enter the makeup, or weigh it",
    "weaker-than-charge": "{figure} is {value}, below the {least} that went in; fermenting only makes stronger",
    "within-error": "{figure} is {value} where {most} is the most there can be: within measuring error, taken as that",
    "wrong-dimension": '{figure}{source}"{text}" does not fit here; {needs} is needed',
}


DOUBT_WORDS: Words = {
    "about": "the text says about",
    "amount-last": "the amount was read from behind the name",
    "count-or-thousands": "two of them, or thousands",
    "each-or-part": "a share of a fruit, or a part",
    "each-or-total": "each, or in all",
    "house-measure": "the usual size, until the house says its own",
    "implied-one": "one, because nothing was said",
    "improper-fraction": "a fraction, or a whole and a fraction",
    "juice-yield": "how much juice a fruit gives is assumed",
    "like-only": "not taken, nothing is called so; write the name",
    "mixed-or-range": "a whole and a fraction, or a range",
    "no-amount": "no amount",
    "no-match": "nothing in the book is called so",
    "no-measure": "this measure has no usual size: set it in the house's measures",
    "no-name": "an amount of nothing named",
    "no-title": "no name above it",
    "not-by-piece": "what one piece of it is is not entered",
    "partly-named": "the one thing whose name holds these words",
    "parts": "in parts: say the total",
    "range-backward": "a range, smaller first",
    "several-recipes": "more than one drink in it",
    "share-of-fruit": "what share of the fruit it is is not known: make a preparation of it",
    "title-or-component": "the first line may be a name or a component",
    "top-up": "as much as the glass takes: say how much",
    "two-amounts": "two amounts that differ",
    "two-names": "two things are called so",
    "two-numbers": "so many of so much",
    "unbridged": "needs a density or the weight of a piece",
    "unreadable": "the amount cannot be read",
    "which-gallon": "read as a US gallon",
    "which-ounce": "read as US fluid ounces: set oz in the house's measures",
    "which-pint": "read as a US pint",
    "which-quart": "read as a US quart",
    "zero": "an amount of nothing",
}
"""Doubts about what was pasted; codes of ``costing.supply``."""
REASON_WORDS: Words = {
    "heading": "a heading",
    "instruction": "what to do, not what goes in",
    "instruction-with-amount": "what to do, though it names an amount",
}


def series(items: Iterable[str]) -> str:
    """Several things after one another, with the comma of the language."""
    return say(", ").join(items)


def doubt_word(doubt: str) -> str:
    """A doubt about a pasted line or drink, in words."""
    return word(DOUBT_WORDS, doubt)


def reason_word(reason: str) -> str:
    """Why a pasted line is no component, in words."""
    return word(REASON_WORDS, reason)


def layer_word(layer: str) -> str:
    """A layer as the house says it."""
    return word(LAYER_WORDS, layer)


def stage_word(kind: str) -> str:
    """A kind of stage in words."""
    return word(STAGE_WORDS, kind)


def fate_word(fate: str) -> str:
    """Where a stream goes, in words."""
    return word(FATE_WORDS, fate)


def stream_word(name: str) -> str:
    """A stream that the ledger names, in words; the name of a by-product stays as it is."""
    return word(STREAM_WORDS, name)


def makeup_word(part: str) -> str:
    """A part of a makeup in words."""
    return word(MAKEUP_WORDS, part)


def key_word(component: str) -> str:
    """The component that a yield stands on, in words."""
    return word(KEY_WORDS, component)


def allergen_word(state: str) -> str:
    """What is said of an allergen: contains, may contain, ..."""
    return word(ALLERGEN_WORDS, state)


def allergen_name(name: str) -> str:
    """An allergen of a shipped list by its name in the language; a name of another list stays as it is."""
    return say_word(name)


def level_word(level: str) -> str:
    """How bad a problem is."""
    return word(LEVEL_WORDS, level)


def mark_word(mark: str) -> str:
    """How a figure is known: measured, computed or assumed."""
    return word(MARK_WORDS, mark)


def figure_word(figure: str) -> str:
    """A fact or reading in words."""
    return word(FIGURE_WORDS if figure in FIGURE_WORDS else CODE_WORDS, figure)


def figure_text(figure: str, value: float) -> str:
    """A fact or reading with its value, in words."""
    return f"{figure_word(figure)} {value_text(figure, value)}"


def value_text(figure: str, value: float) -> str:
    """The value of a fact or reading in the unit a bar would say it in; ``figure`` says what it measures."""
    name, _, suffix = figure.partition(".")
    dim = READING_DIMS.get(figure)
    if dim is None:
        dims = FACT_DIMS.get(name, (Dim.RATIO,))
        dim = dims[0] if len(dims) == 1 or suffix in ("", "mass") else dims[1]
    if name in ("runs", "spent_ratio", "purges"):
        return numeral(f"{value:.5g}")
    percent = {Dim.RATIO: "%", Dim.STRENGTH: "% vol", Dim.BRIX: "Bx"}
    said = f"{100 * value:.5g} {percent[dim]}" if dim in percent else f"{value:.5g} {dim.value}"
    return numeral(said)


class _Gaps(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "" if key in ("source", "text", "base", "figure") else "?"


ALLERGEN_WORDS: Words = {
    "contains": "contains",
    "may_contain": "may contain",
    "not_stated": "not stated",
    "exempt": "exempted by name",
    "free": "free",
}
WHY_WORDS: Words = {
    "solids-in-it": "there are solids in it",
    "sweetened": "sugar in it makes the reading too low",
    "alcohol-in-it": "alcohol reads as sugar",
    "gas-in-it": "gas in it lifts the reading",
    "not-bought": "a label says nothing of what the house made",
}
"""Why a method cannot read a liquid; codes of ``costing.ledger.measuring``."""
LEVEL_WORDS: Words = {"error": "error", "warning": "warning", "note": "note"}
MARK_WORDS: Words = {"measured": "measured", "computed": "computed", "assumed": "assumed"}
_DETAILS: Words = {
    text: text
    for text in (
        "good", "preparation", "serve", "supplier", "equipment", "technique", "glass", "menu", "stage", "batch", "each",
        "materials", "energy", "machine", "labour", "amount", "content", "piece",
        "the time of hands (seconds, and active of the build)",
    )
}  # fmt: skip
"""What the details of a problem may hold that is a word and not a name."""
HANDS_TWICE = "the time of hands (seconds, and active of the build)"
_WORDY = frozenset({"what", "base", "layer", "needs", "figure", "options", "names"})
_NUMBERS = frozenset({"value", "most", "least", "low", "high", "gain", "sum"})
_IN_THE_FIGURES_UNIT = frozenset(
    {"out-of-range", "stronger-than-charge", "still-refuses", "stronger-than-sugar", "weaker-than-charge"}
)
"""Codes whose numbers are values of the figure itself; in others they are kilograms, whatever the figure."""


def _said(figure: str, number: str) -> str:
    try:
        value = float(number)
    except ValueError:
        return number
    known = figure in READING_DIMS or figure.partition(".")[0] in FACT_DIMS
    return value_text(figure, value) if known else numeral(f"{value:.4g}")


def _detail(name: str, text: str) -> str:
    """A detail in the language: a word, a day, a bound, or several joined by "and" or "or"."""
    if name in ("day", "since"):
        try:
            return day_text(date.fromisoformat(text))
        except ValueError:
            return text
    if name in ("low", "high"):
        bound, _, value = text.partition(" ")
        if bound == "above":
            return say("above {value}", value=value)
        return say("below {value}", value=value) if bound == "below" else text
    if name == "method":
        return method_word(text)
    if name not in _WORDY and text != HANDS_TWICE:
        return text
    first, joint, last = text.rpartition(" or ") if name in ("needs", "options") else ("", "", text)
    if joint:
        return say("{first} or {last}", first=_detail(name, first), last=_detail(name, last))
    first, joint, last = text.rpartition(" and ") if name == "names" else ("", "", text)
    if joint:
        return say("{first} and {last}", first=_detail(name, first), last=_detail(name, last))
    return word(_DETAILS, text)


def sentence(problem: Problem) -> str:
    """What is wrong and what to do, in one sentence without the place. An unknown code is shown with its figures."""
    figures = dict(problem.detail)
    template = word(_SENTENCES, problem.code)
    if problem.code not in _SENTENCES:
        return f"{problem.code} {', '.join(f'{k} {v}' for k, v in figures.items())}".strip()
    of = figures.get("figure", "") if problem.code in _IN_THE_FIGURES_UNIT else ""
    figures = {k: _detail(k, _said(of, v) if k in _NUMBERS else v) for k, v in figures.items()}
    if "why" in figures:
        figures["why"] = word(WHY_WORDS, figures["why"])
    if "figure" in figures:
        figures["figure"] = figure_word(figures["figure"])
    for name in ("source", "figure"):
        if name in figures and f"{{{name}}}" in template and template.split(f"{{{name}}}")[1][:1] in ('"', "{"):
            figures[name] += " "
    return template.format_map(_Gaps(figures))


def line_of(problem: Problem) -> str:
    """The sentence with its level and place in front."""
    return f"{level_word(problem.level)}: {problem.where}: {sentence(problem)}"


CODES = frozenset(_SENTENCES)
"""Every code that has a sentence; a test holds it against the codes in use."""
