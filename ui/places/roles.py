"""What a column of a file may mean, in words and back: for suppliers' lists and for what a till exports alike."""

from collections.abc import Sequence
from dataclasses import dataclass

from costing.tongue import Words, say, word
from ui.format import UNKNOWN


@dataclass(frozen=True)
class Roles:
    """The roles there are, in their order, and their words."""

    known: Sequence[str]
    words: Words

    def text(self, role: str) -> str:
        """A role in words, "" for none."""
        return word(self.words, role) if role else ""

    def texts(self) -> list[str]:
        """All of them in words."""
        return [word(self.words, role) for role in self.known]

    def of(self, text: str) -> str:
        """The role of a word, "" for none. ValueError for a word that is none."""
        wanted = " ".join(text.casefold().split())
        if not wanted or wanted == UNKNOWN:
            return ""
        for role in self.known:
            if wanted in (role, word(self.words, role).casefold()):
                return role
        raise ValueError(say("“{text}” is nothing that a column may mean: Alt+Down lists what is.", text=text))
