"""What ``allergens`` prints: every item in a line, or all the reasons of one."""

from collections.abc import Iterator, Mapping

from costing.ledger import Reckoning
from costing.ledger.allergens import Finding, Reason
from costing.report.words import ALLERGEN_WORDS
from costing.terminal.show import name_of
from costing.terminal.table import printable, table

Found = Mapping[str, tuple[Finding, ...]]
CAUTION = (
    "What nobody stated is not stated, and is never to be read as free. Nothing is dropped by distilling or straining. "
    "The label and the supplier decide; so does the law of the place."
)


def allergens_text(reckoning: Reckoning, items: Found) -> Iterator[str]:
    """One row an item: what it contains, may contain, what nobody stated, and what a named person exempted."""
    rows = [
        (_name(reckoning, ident), *(_those(findings, state) for state in ("contains", "may_contain", "exempt")),
         _unstated(findings))
        for ident, findings in items.items()
    ]  # fmt: skip
    heads = ("item", *(ALLERGEN_WORDS[s] for s in ("contains", "may_contain", "exempt", "not_stated")))
    yield table(heads, rows, left=len(heads))
    yield ""
    yield CAUTION


def reasons_text(reckoning: Reckoning, items: Found) -> Iterator[str]:
    """Every allergen of the list with its reasons."""
    for ident, findings in items.items():
        yield printable(_name(reckoning, ident))
        for finding in findings:
            yield f"  {finding.says}: {ALLERGEN_WORDS[finding.state]}"
            for reason in finding.reasons:
                if reason.state != "free":
                    yield printable(f"    {_reason(reckoning, reason)}")
    yield ""
    yield CAUTION


def _name(reckoning: Reckoning, ident: str) -> str:
    return reckoning.view.serves[ident][0].name if ident in reckoning.view.serves else name_of(reckoning.view, ident)


def _those(findings: tuple[Finding, ...], state: str) -> str:
    return ", ".join(f.name for f in findings if f.state == state) or "-"


def _unstated(findings: tuple[Finding, ...]) -> str:
    names = [f.name for f in findings if f.state == "not_stated"]
    if len(names) > 3:
        return f"{len(names)} of {len(findings)}"
    return ", ".join(names) or "-"


def _reason(reckoning: Reckoning, reason: Reason) -> str:
    kind, _, ident = reason.source.partition("/")
    machine = reckoning.view.equipment.get(ident) if kind == "equipment" else None
    said = f"{ALLERGEN_WORDS[reason.state]}: {machine.name if machine else name_of(reckoning.view, reason.source)}"
    if reason.path:
        said += f", in {' in '.join(name_of(reckoning.view, p) for p in reversed(reason.path))}"
    statement = reason.statement
    if statement is not None and (statement.who or statement.label):
        said += f" ({', '.join(x for x in (statement.who, statement.label) if x)})"
    return said
