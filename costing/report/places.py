"""Where something is amiss: the path of a problem in the names that people use, and what it is about."""

from datetime import date

from costing.book.problem import Problem, is_day, leads_into
from costing.report.content import Contents, PreparationRow, ServeRow
from costing.report.phrases import said_of
from costing.report.words import level_word, series
from costing.tongue import day_text, say

_KINDS = frozenset(
    {"good", "preparation", "serve", "quote", "menu", "batch", "supplier", "equipment", "technique", "glass"}
    | {"alias", "columnmap", "rate", "file", "order", "purchase", "claim", "sales", "button", "till", "scenario"}
)
_STEPS = frozenset({"stage", "add", "byproduct"})


def place(where: str, contents: Contents) -> str:
    """A problem's path in the names that people use: what it is about, then the way down to the place.

    Paths are kind/id, then where it matters the day a version began, then pairs such as stage/steep or add/2. A path
    without a kind is that of a preparation.
    """
    kind, _, path = where.partition("/")
    if kind == "house":
        return series([say("house"), *path.split("/")] if path else [say("house")])
    if kind not in _KINDS or not path:
        kind, path = "preparation", where
    ident, rest = _ident(kind, path.split("/"), contents)
    words = [contents.called.get(f"{kind}/{ident}") or contents.names.get(ident, ident)]
    since = {(kind, row.id): row.since for kind, rows in _versioned(contents) for row in rows}.get((kind, ident))
    while rest:
        part = rest.pop(0)
        if part in _STEPS and rest:
            words.append(_step(ident, part, rest.pop(0), contents))
        elif kind == "menu":
            words.append(contents.called.get(f"serve/{part}", part))
        elif is_day(part):
            words += (
                []
                if since is not None and part == since.isoformat()
                else [say("as made since {day}", day=day_text(date.fromisoformat(part)))]
            )
        else:
            words.append(_step(ident, "", part, contents))
    return series(words)


def _ident(kind: str, parts: list[str], contents: Contents) -> tuple[str, list[str]]:
    """The id that a path begins with, and the rest: even of an id with a slash, which a book should not have."""
    for n in range(len(parts), 1, -1):
        if f"{kind}/{'/'.join(parts[:n])}" in contents.called:
            return "/".join(parts[:n]), parts[n:]
    return parts[0], parts[1:]


def _step(ident: str, what: str, part: str, contents: Contents) -> str:
    """ "stage steep", "input 2", or a by-product by its name."""
    if what in ("", "byproduct"):
        name = contents.names.get(f"{ident}/{part}", part).removeprefix(f"{contents.names.get(ident, ident)}: ")
        return say("by-product {name}", name=name) if what or f"{ident}/{part}" in contents.names else part
    return say("input {n}", n=part) if what == "add" else say("stage {name}", name=part)


def _versioned(contents: Contents) -> tuple[tuple[str, tuple[PreparationRow | ServeRow, ...]], ...]:
    return ("preparation", contents.preparations), ("serve", contents.serves)


def amiss_of(preparation: PreparationRow, contents: Contents) -> tuple[Problem, ...]:
    """Everything amiss with one preparation, each once: what its ledger found, and what checks of the book found."""
    ident, since = preparation.id, preparation.since
    found = [*preparation.problems, *(p for p in contents.problems if leads_into(p.where, "preparation", ident, since))]
    found += [p for p in contents.problems if p.code == "id-clash" and p.where == f"good/{ident}"]
    return tuple(dict.fromkeys(found))


def refusal(preparation: PreparationRow, contents: Contents) -> tuple[Problem, ...]:
    """Why a preparation cannot be costed; nothing where it can."""
    if preparation.outputs:
        return ()
    return tuple(p for p in amiss_of(preparation, contents) if p.level == "error")


def amiss_line(problem: Problem, contents: Contents) -> str:
    """Place, sentence and level in one line."""
    return f"{place(problem.where, contents)}: {said_of(problem, contents)} ({level_word(problem.level)})"
