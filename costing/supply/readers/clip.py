"""What was copied out of a spreadsheet, an e-mail or a web page, as a Table."""

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Table
from costing.supply.readers.limits import MAX_BYTES, Tell
from costing.supply.readers.text import table_of
from costing.tongue import numeral, say


def read_clip(text: str, tell: Tell | None = None) -> Table:
    """The table of a text from the clipboard: cells between tabs, as spreadsheets put them there (a cell with a line
    break or a tab in quotes); a text without tabs is read as a file would be. Unreadable where it is empty or too long.
    """
    name = say("the pasted text")
    if not text.strip("\ufeff\0 \t\r\n"):
        raise Unreadable(say("nothing is pasted: copy the cells of the list first"))
    if len(text) > MAX_BYTES:
        raise Unreadable(
            say("{name} is too long: at most {n} characters are read", name=name, n=numeral(f"{MAX_BYTES:,}"))
        )
    return table_of(
        text.removeprefix("\ufeff"), delimiter="\t" if "\t" in text else None, name=name, shape="paste", tell=tell
    )
