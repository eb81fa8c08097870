"""Findings and reasons of allergens as sentences, alike on cards, in the table and in the workbook."""

from collections.abc import Sequence

from costing.ledger.allergens import Finding, State
from costing.report.allergy import ReasonRow
from costing.report.words import allergen_name, allergen_word, series
from costing.tongue import capital, day_text, say

SAID_FIRST: tuple[State, ...] = ("contains", "may_contain", "not_stated", "exempt")


def reason_words(row: ReasonRow) -> tuple[str, str]:
    """("Contains, by Butter: ", who stated it and what it is in, by which way)."""
    who, label, since = stated_words(row)
    said = series(text for text in (who, label, say("since {day}", day=since) if since else "") if text)
    behind = behind_words(row)
    first = say("{state}, by {source}: ", state=state_word(row), source=row.source)
    into = capital(into_words(row))
    if behind:
        return first, say("stated by {who}. Behind it: {behind}. {into}.", who=said, behind=behind, into=into)
    return first, say("stated by {who}. {into}.", who=said, into=into)


def state_word(row: ReasonRow) -> str:
    """The state that a reason makes, to begin a line with."""
    return say("Exempt") if row.state == "exempt" else capital(allergen_word(row.state))


def stated_words(row: ReasonRow) -> tuple[str, str, str]:
    """(who stated it, on which label or why, since when)."""
    stated = row.statement
    since = day_text(stated.since) if stated and stated.since else ""
    return (stated.who if stated else "") or say("nobody is named"), stated.label if stated else "", since


def behind_words(row: ReasonRow) -> str:
    """What an exemption took away."""
    return series(f"{name} ({allergen_word(state)})" for name, state in row.behind)


def into_words(row: ReasonRow) -> str:
    """ "in Ropewalk by way of Browned butter rum; in Browned butter rum"."""
    ways: dict[tuple[str, ...], list[str]] = {}
    for item, way in row.into:
        ways.setdefault(way, []).append(item)
    return "; ".join(
        say("in {items} by way of {way}", items=series(items), way=" → ".join(way)) if way
        else say("in {items}", items=series(items))
        for way, items in ways.items()
    )  # fmt: skip


def allergen_lines(findings: Sequence[Finding]) -> list[tuple[str, str]]:
    """(words of the state, the allergens in it), the worst first; "" as the second for a state that needs no names."""
    out = []
    for state in SAID_FIRST:
        found = [f for f in findings if f.state == state]
        if state == "exempt":
            by = {f.says: f"{allergen_name(f.says)} ({_by(f)})" for f in found}
            names = series(by.values())
        else:
            names = series(allergen_name(f.says) for f in found)
        if found:
            every = say("any of the {n} on the list", n=len(found)) if len(found) == len(findings) else names
            out.append((capital(allergen_word(state)), every))
    free = sum(f.state == "free" for f in findings)
    if free:
        rest = say("every one of the list") if free == len(findings) else say("the others of the list")
        out.append((say("Free by what was stated"), rest))
    return out


def _by(finding: Finding) -> str:
    said = [r.statement for r in finding.reasons if r.state == "exempt" and r.statement]
    return "; ".join(say("by {who}: {label}", who=s.who, label=s.label) for s in said)
