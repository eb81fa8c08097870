"""The one door for whatever a supplier sends: a table, an XML document, or a PDF with one inside."""

from collections.abc import Callable
from datetime import date
from hashlib import sha256
from pathlib import Path

from costing.book.buying import Columns
from costing.supply.arriving.line import Incoming

Tell = Callable[[int, int], None]
"""Told how many rows are done, of how many."""


def read_price_file(
    path: str | Path,
    *,
    columns: Columns | None = None,
    encoding: str | None = None,
    delimiter: str | None = None,
    sheet: str = "",
    tell: Tell | None = None,
) -> Incoming:
    """The lines of a price list, catalogue, invoice or credit note, each with its raw texts and its doubts.

    ``columns`` say what the columns of a table mean (None: guessed, with doubts); ``encoding``, ``delimiter`` and
    ``sheet`` settle what a text or a workbook leaves open. None of the four touches a document. ``Unreadable``, in one
    line that says what to do, for a file that cannot be read.
    """
    from costing.supply.readers.tables import read_bytes  # noqa: PLC0415

    path = Path(path)
    data = read_bytes(path)
    return read_prices(
        data, path.name, columns=columns, encoding=encoding, delimiter=delimiter, sheet=sheet, tell=tell
    )  # fmt: skip


def read_prices(
    data: bytes,
    name: str,
    *,
    columns: Columns | None = None,
    encoding: str | None = None,
    delimiter: str | None = None,
    sheet: str = "",
    tell: Tell | None = None,
) -> Incoming:
    """``read_price_file`` for bytes that are already here, under the name they came with."""
    from costing.supply.readers.sniff import what_is  # noqa: PLC0415

    digest = sha256(data).hexdigest()
    shape = what_is(data, name).shape
    if shape == "xml":
        return _read_xml(data, name, digest)
    if shape == "pdf":
        from costing.supply.readers.pdf import xml_in_pdf  # noqa: PLC0415

        inner, _ = xml_in_pdf(data, name)
        return _read_xml(inner, name, digest)
    from costing.supply.columns import understand  # noqa: PLC0415
    from costing.supply.readers.tables import read_table  # noqa: PLC0415

    table = read_table(data, name, encoding=encoding, delimiter=delimiter, sheet=sheet, tell=tell)
    return understand(table, columns, name=name, digest=digest, today=date.today(), tell=tell)


def _read_xml(data: bytes, name: str, digest: str) -> Incoming:
    from costing.supply.readers.xml_documents import read_xml  # noqa: PLC0415

    return read_xml(data, name, digest)
