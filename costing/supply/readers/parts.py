"""XML inside a sheet's archive, read as a stream of events, with no document type or entity obeyed."""

from collections.abc import Callable, Mapping
from typing import Protocol
from xml.parsers import expat

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.limits import PIECE, Members, Tell, damaged, shown_name
from costing.tongue import say

Attributes = Mapping[str, str]
BETWEEN = "}"
"""What stands between a namespace and a name."""
USUAL_RATIO = 8
"""What XML of a sheet is packed to: progress is told in packed bytes, for those are known beforehand."""


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
    for piece in filter(None, members.pieces(part)):
        _parse(parser, piece, members.name, part)
        if tell is not None:
            done += len(piece)
            tell(min(done // USUAL_RATIO, size), size)
    _parse(parser, b"", members.name, part)


def _parse(parser: expat.XMLParserType, piece: bytes, name: str, part: str) -> None:
    try:
        parser.Parse(piece, not piece)
    except expat.ExpatError as error:
        raise damaged(name, f"{part}: {expat.ErrorString(error.code)}, {error.lineno}") from None
    except (ValueError, LookupError, ArithmeticError) as error:
        if isinstance(error, Unreadable):
            raise
        raise damaged(name, f"{part}: {error}") from None


def _refuse(name: str, part: str) -> Callable[..., None]:
    def refuse(*_: object) -> None:
        raise Unreadable(
            say("{name} declares a document type or an entity in {part}, which no sheet needs: it is not read",
                name=name, part=shown_name(part)[:60])
        )  # fmt: skip

    return refuse
