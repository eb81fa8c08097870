"""XML inside a sheet's archive, read as a stream of events, with no document type or entity obeyed."""

from collections.abc import Callable, Mapping
from typing import Protocol
from xml.parsers import expat

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.limits import PIECE, Members, Tell, damaged
from costing.tongue import say

Attributes = Mapping[str, str]
BETWEEN = "}"
"""What stands between a namespace and a name."""


class Handler(Protocol):
    """What hears the events of a part. ValueError, LookupError or ArithmeticError from it mean damage."""

    def start(self, tag: str, attributes: Attributes) -> None:
        """An element begins; names are "namespace}name"."""

    def end(self, tag: str) -> None:
        """It ends."""

    def data(self, text: str) -> None:
        """Characters in it."""


def feed(members: Members, part: str, handler: Handler, tell: Tell | None = None) -> None:
    """Give every event of a part of an archive to ``handler``. Unreadable for a damaged part or one with a document
    type; what ``handler`` raises as Unreadable, and what ``tell`` raises, passes through."""
    parser = expat.ParserCreate(namespace_separator=BETWEEN)
    parser.buffer_text = True
    parser.buffer_size = PIECE
    parser.StartDoctypeDeclHandler = _refuse(members.name, part)
    parser.EntityDeclHandler = _refuse(members.name, part)
    parser.StartElementHandler = handler.start
    parser.EndElementHandler = handler.end
    parser.CharacterDataHandler = handler.data
    size, done = members.spans.get(part.casefold(), (0, 1, False))[1], 0
    try:
        for piece in members.pieces(part):
            parser.Parse(piece, False)
            if tell is not None:
                done += len(piece)
                tell(min(done // 8, size), size)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise damaged(members.name, f"{part}: {expat.ErrorString(error.code)}, {error.lineno}") from None
    except (ValueError, LookupError, ArithmeticError) as error:
        if isinstance(error, Unreadable):
            raise
        raise damaged(members.name, f"{part}: {error}") from None


def _refuse(name: str, part: str) -> Callable[..., None]:
    def refuse(*_: object) -> None:
        raise Unreadable(
            say("{name} declares a document type or an entity in {part}, which no sheet needs: it is not read",
                name=name, part=part)
        )  # fmt: skip

    return refuse
