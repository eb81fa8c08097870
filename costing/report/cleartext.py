"""Text as somebody typed it, made safe to print: what cannot be seen is named instead."""

import re
import unicodedata

_UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ud800-\udfff\ufeff\ufff9-\uffff]"
)
_LINES = re.compile("\r\n?|\u2028|\u2029")


def clear(text: str) -> str:
    """The text with every control character (and marks that turn the direction of reading) written as <U+0007>,
    so that it is neither lost nor obeyed. Tabs and line breaks stay."""
    return _UNSEEN.sub(lambda found: f"<U+{ord(found[0]):04X}>", _LINES.sub("\n", text))


def right_to_left(text: str) -> bool:
    """True when any letter is written from right to left."""
    return any(unicodedata.bidirectional(ch) in ("R", "AL") for ch in text)
