"""What a person is told when something cannot be: the problem, its cause, and what to do."""

import errno

from costing.book.book import StaleChange
from costing.book.history import Conflict, NothingToUndo
from costing.book.plain import BadForm
from costing.edits.base import InUse, Undecided
from costing.report.words import doubt_word
from costing.store import FileFault
from costing.supply.arriving.line import Unreadable
from costing.tongue import Words, capital, say, word
from ui.format import own


class Refusal(ValueError):
    """Something that was asked for cannot be. All three parts are sentences in the language of the window."""

    def __init__(self, problem: str, cause: str, remedy: str) -> None:
        super().__init__(problem)
        self.problem, self.cause, self.remedy = problem, cause, remedy

    @property
    def text(self) -> str:
        """The three parts as one paragraph."""
        return " ".join(part for part in (self.problem, self.cause, self.remedy) if part)


def _undecided(error: Undecided) -> Refusal:
    line = error.line
    doubts = "; ".join(doubt_word(d) for d in line.doubts)
    cause = line.fault or (say("{doubts}.", doubts=capital(doubts)) if doubts else say("It names no amount."))
    if line.matches and line.source is None:
        names = ", ".join(c.name for c in line.matches[:3])
        remedy = say("Did you mean {names}? Type one of them, with its amount in front.", names=names)
    else:
        remedy = say("Write an amount and what it is, like “45 ml gin”.")
    return Refusal(say("“{text}” was not taken.", text=own(line.text)), cause, remedy)


KNOWN = (ValueError, Conflict, FileFault, OSError)
"""What an edit may raise that a person can do something about; anything else is a fault of the program."""


def refusal_of(error: Exception) -> Refusal:
    """Any of ``KNOWN`` in words; a Refusal as it is."""
    match error:
        case Refusal():
            return error
        case NothingToUndo():
            return Refusal(say("There is nothing to take back or do again."), "", say("Go on with the next edit."))
        case Conflict():
            names = ", ".join(f"{kind} {ident}" for kind, ident in error.keys)
            return Refusal(
                say("This was not written: {names} changed in the meantime.", names=names),
                say("Another window or the terminal wrote to the same book."),
                say("What is shown now is their work. Look at it and make the edit again if it is still wanted."),
            )
        case StaleChange():
            return Refusal(
                say("This was not written: {name} is not as this edit found it.", name=error.key[1]),
                say("It changed while it was being edited."),
                say("Look at it and make the edit again."),
            )
        case Undecided():
            return _undecided(error)
        case InUse():
            return Refusal(
                say("{name} stays in the book.", name=error.name),
                say("It is used by {users}.", users=", ".join(dict.fromkeys(error.names))),
                say("Take it out there first; “where used” goes there."),
            )
        case BadForm():
            return Refusal(say("This cannot be kept in the book."), str(error), say("Correct the figure named here."))
        case FileFault():
            return Refusal(
                say("The file of the book could not be written or read."),
                str(error),
                say("Nothing shown here is lost: mend what is named, then do it again."),
            )
        case OSError():
            return _disk(error)
        case Unreadable():  # a line of its own: what is wrong with which file, and what to do
            return Refusal(say("{sentence}.", sentence=str(error).rstrip(".")), "", "")
        case _:
            return Refusal(
                say("That cannot be."), _sentence(str(error)), say("Correct it, or press Esc to leave it as it was.")
            )


_REMEDIES: Words = {
    "room": "Make room on the disk, or choose another one, then do it again.",
    "rights": "Choose a folder that you may write to, then do it again.",
    "place": "Choose another folder or name, then do it again.",
    "other": "See that the disk is there and reached, or choose another folder, then do it again.",
}
_KIND_OF = {
    errno.ENOSPC: "room", errno.EFBIG: "room", getattr(errno, "EDQUOT", errno.ENOSPC): "room",
    errno.EACCES: "rights", errno.EPERM: "rights", errno.EROFS: "rights",
    errno.ENOENT: "place", errno.ENOTDIR: "place", errno.EISDIR: "place", errno.EEXIST: "place",
    errno.ENAMETOOLONG: "place", errno.ENOTEMPTY: "place",
}  # fmt: skip


def _disk(error: OSError) -> Refusal:
    """What a disk refused: the name somebody chose and the system's word for why, without its numbers."""
    name = str(error.filename or "")
    problem = say("The disk refused {file}.", file=own(name)) if name else say("The disk refused.")
    return Refusal(problem, _sentence(error.strerror or str(error)),
                   word(_REMEDIES, _KIND_OF.get(error.errno or 0, "other")))  # fmt: skip


def _sentence(text: str) -> str:
    text = capital(text.strip())
    return text if not text or text[-1] in ".!?" else say("{sentence}.", sentence=text)
