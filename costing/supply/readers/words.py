"""The sentence of every doubt about a file as a whole, and what a file is called that cannot be read."""

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.tongue import Words

FILE_DOUBTS: Words = {
    "text-guessed": "the letters or cells of this text had to be guessed: look whether names and columns are right",
    "sheets-left": "these sheets were not read: {names}",
    "rows-hidden": "{count} rows are hidden in the file",
    "columns-hidden": "{count} columns are hidden in the file",
}
FOREIGN: Words = {
    "web": "is a web page, not a sheet: open it and save it as xlsx or csv",
    "mht": "is a saved web page, not a sheet: open it and save it as xlsx or csv",
    "xml-2003": "is a sheet in the XML form of 2003: open it and save it as xlsx",
    "flat-ods": "is a sheet in the flat XML form: open it and save it as ods or xlsx",
    "rtf": "is a text document (RTF), not a sheet: ask for the list as xlsx or csv",
    "picture": "is a picture: ask for the list as xlsx or csv",
    "word": "is a text document of the old doc form: ask for the list as xlsx or csv",
    "slides": "is a slide show: ask for the list as xlsx or csv",
    "mail": "is an e-mail: save what is attached to it and open that",
    "docx": "is a text document: copy its table and paste it, or ask for xlsx or csv",
    "odt": "is a text document (ODF): copy its table and paste it, or ask for xlsx or csv",
    "compound": "is an old compound file without a sheet in it: ask for the list as xlsx or csv",
    "zip": "is a zip archive, not a sheet: unpack it and open the file inside",
    "numbers": "is a sheet of the Numbers form: export it as xlsx or csv",
    "packed": "is a packed archive: unpack it and open the file inside",
    "program": "is a program, not a list: do not start it, and ask who sent it",
    "book": "is a book of this program: open it, do not import it",
    "database": "is a database (SQLite), not a list: export the table as csv",
    "parquet": "is a database file (Parquet), not a list: export the table as csv",
    "json": "is JSON, not a table: ask for the list as xlsx or csv",
    "old-sheet": "is a sheet of a form older than 1995: open it and save it as xlsx",
    "binary": "is of no kind that can be read: ask for the list as xlsx or csv",
    "zeros": "holds nothing but zeros, as after a copy that was cut short: fetch it again",
}


def table_doubts(table: Table) -> tuple[Doubt, ...]:
    """What somebody should know about how a table was read, whatever stands in its cells."""
    out = []
    if not table.sure:
        out.append(doubt("text-guessed"))
    if table.others:
        out.append(doubt("sheets-left", "", names=", ".join(table.others)))
    if table.hidden_rows:
        out.append(doubt("rows-hidden", "", count=len(table.hidden_rows)))
    if table.hidden_columns:
        out.append(doubt("columns-hidden", "", count=len(table.hidden_columns)))
    return tuple(out)
