"""Small helpers that write records in the plain form of a book, and elements of an XML document."""

from textwrap import indent
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from costing.book.fact import Fact, parse_fact

Plain = dict[str, Any]
OPENED = "2025-12-01"
"""The day the bar began its book: every first version and every first quote."""


def fact(text: str, how: str = "", note: str = "") -> str | Plain:
    """A figure as typed; written in full where it says how it was measured or carries a note."""
    if not how and not note:
        return text
    read: Fact = parse_fact(text)
    out: Plain = {"text": text, "value": str(read.value), "unit": read.unit}
    if read.mark == "assumed":
        out["mark"] = "assumed"
    if how:
        out["how"] = how
    if note:
        out["note"] = note
    if read.at is not None:
        out["at"] = str(read.at)
    return out


def add(
    source: str, amount: Any, spill: str | Plain = "", fixed: bool = False, ident: str = "", note: str = ""
) -> Plain:
    """One input of a stage; an amount of None is computed by the stage."""
    out: Plain = {"source": source, "amount": amount}
    if spill:
        out["spill"] = spill
    if fixed:
        out["fixed"] = True
    return out | kept(id=ident, note=note)


def stage(ident: str, kind: str, *adds: Plain, **fields: Any) -> Plain:
    """One stage: facts, readings, equipment, active, passive, setup, labour, note as they are given."""
    out: Plain = {"id": ident, "kind": kind}
    if adds:
        out["adds"] = list(adds)
    return out | kept(**fields)


def kept(**fields: Any) -> Plain:
    """Fields that say something; what keeps its usual value is left out."""
    return {name: value for name, value in fields.items() if value not in ("", None, (), [], {})}


def leaf(name: str, text: object, **attributes: str) -> str:
    """An XML element with a text in it, on one line."""
    return f"<{name}{_attributes(attributes)}>{escape(str(text))}</{name}>"


def tag(name: str, *parts: str, **attributes: str) -> str:
    """An XML element with elements in it, two spaces a level; a part of "" is left out."""
    inside = indent("\n".join(part for part in parts if part), "  ")
    return f"<{name}{_attributes(attributes)}>\n{inside}\n</{name}>"


def _attributes(attributes: dict[str, str]) -> str:
    """``xmlns_cac`` is written xmlns:cac, as a keyword cannot hold a colon."""
    return "".join(f" {name.replace('_', ':')}={quoteattr(value)}" for name, value in attributes.items())
