"""Findings and reasons of allergens as sentences, alike on cards, in the table and in the workbook."""

from collections.abc import Sequence

from costing.ledger.allergens import Finding, State
from costing.report.allergy import ReasonRow
from costing.report.words import ALLERGEN_WORDS

SAID_FIRST: tuple[State, ...] = ("contains", "may_contain", "not_stated", "exempt")


def reason_words(row: ReasonRow) -> tuple[str, str]:
    """("Contains, by Butter: ", who stated it and what it is in, by which way)."""
    who, label, since = stated_words(row)
    said = ", ".join(text for text in (who, label, f"since {since}" if since else "") if text)
    behind = behind_words(row)
    into = into_words(row)
    return f"{state_word(row)}, by {row.source}: ", (
        f"stated by {said}. {f'Behind it: {behind}. ' if behind else ''}{into[:1].upper()}{into[1:]}."
    )


def state_word(row: ReasonRow) -> str:
    """The state that a reason makes, to begin a line with."""
    return "Exempt" if row.state == "exempt" else ALLERGEN_WORDS[row.state].capitalize()


def stated_words(row: ReasonRow) -> tuple[str, str, str]:
    """(who stated it, on which label or why, since when)."""
    stated = row.statement
    since = stated.since.isoformat() if stated and stated.since else ""
    return (stated.who if stated else "") or "nobody is named", stated.label if stated else "", since


def behind_words(row: ReasonRow) -> str:
    """What an exemption took away."""
    return ", ".join(f"{name} ({ALLERGEN_WORDS[state]})" for name, state in row.behind)


def into_words(row: ReasonRow) -> str:
    """ "in Ropewalk by way of Browned butter rum; in Browned butter rum"."""
    ways: dict[tuple[str, ...], list[str]] = {}
    for item, way in row.into:
        ways.setdefault(way, []).append(item)
    return "; ".join(
        f"in {', '.join(items)}" + (f" by way of {' → '.join(way)}" if way else "") for way, items in ways.items()
    )


def allergen_lines(findings: Sequence[Finding]) -> list[tuple[str, str]]:
    """(words of the state, the allergens in it), the worst first; "" as the second for a state that needs no names."""
    out = []
    for state in SAID_FIRST:
        found = [f for f in findings if f.state == state]
        if state == "exempt":
            by = {f.says: f"{f.says} ({_by(f)})" for f in found}
            names = ", ".join(by.values())
        else:
            names = ", ".join(f.says for f in found)
        if found:
            every = f"any of the {len(found)} on the list" if len(found) == len(findings) else names
            out.append((ALLERGEN_WORDS[state].capitalize(), every))
    free = sum(f.state == "free" for f in findings)
    if free:
        rest = "every one of the list" if free == len(findings) else "the others of the list"
        out.append(("Free by what was stated", rest))
    return out


def _by(finding: Finding) -> str:
    said = [r.statement for r in finding.reasons if r.state == "exempt" and r.statement]
    return "; ".join(f"by {s.who}: {s.label}" for s in said)
