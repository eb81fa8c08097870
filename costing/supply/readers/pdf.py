"""The XML invoice inside a PDF (Factur-X, ZUGFeRD, XRechnung): an embedded file of a known name (ISO 32000-2, 7.11.4).

The pages themselves are not read.
"""

import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.limits import MAX_BYTES, shown_name
from costing.tongue import say

KNOWN = ("factur-x.xml", "zugferd-invoice.xml", "xrechnung.xml")
"""Factur-X 1.0, 6.2.2 and ZUGFeRD 1.0 and 2.0; compared without regard to case."""
ORDERS = frozenset({"order-x.xml"})
MAX_FILES = 1000
MAX_DEPTH = 30
Spec = Any
"""A file specification dictionary of pypdf."""


def xml_in_pdf(data: bytes, name: str) -> tuple[bytes, str]:
    """(the XML, the name it is embedded under) of the invoice in a PDF.

    Unreadable, in one line with ``name``: encrypted, damaged, nothing embedded, an order, several invoices that differ,
    or an attachment that unpacks to more than 20 MB.
    """
    name = shown_name(name) or say("the file")
    with _quiet():
        try:
            found = _invoices(data, name)
        except Unreadable:
            raise
        except RecursionError:
            raise Unreadable(_damaged(name)) from None
        except Exception as error:  # pypdf meets damage with whatever error its code runs into
            raise Unreadable(_damaged(name)) from error
    contents = {content for content, _ in found}
    if len(contents) > 1:
        raise Unreadable(
            say("{name} holds several invoices ({files}): save the one that counts", name=name, files=_list(found))
        )
    return found[0]


def _list(files: Sequence[tuple[Any, str]]) -> str:
    """Names of embedded files, the first few."""
    return ", ".join(shown_name(file) for _, file in files[:5])


def _damaged(name: str) -> str:
    return say("{name} is a damaged or cut off PDF: ask for it again, or for the XML by itself", name=name)


@contextmanager
def _quiet() -> Iterator[None]:
    """pypdf reports every repair to its log; here only the outcome counts."""
    log = logging.getLogger("pypdf")
    before = log.level
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        log.setLevel(before)


def _invoices(data: bytes, name: str) -> list[tuple[bytes, str]]:
    import io  # noqa: PLC0415

    from pypdf import PdfReader  # noqa: PLC0415  only who has a PDF pays for it

    reader = PdfReader(io.BytesIO(data), strict=False)
    if reader.is_encrypted and not _opens(reader):
        raise Unreadable(
            say("{name} is locked with a password: ask for it unlocked, or for the XML by itself", name=name)
        )
    files = list(_files(reader.root_object))
    chosen = [(spec, file) for spec, file in files if _base(file) in KNOWN]
    if not chosen:
        xml = [(spec, file) for spec, file in files if _base(file).endswith(".xml") and _base(file) not in ORDERS]
        if any(_base(file) in ORDERS for _, file in files) and not xml:
            raise Unreadable(say("{name} is an order (Order-X), not an invoice", name=name))
        if len(xml) > 1:
            raise Unreadable(
                say("{name} holds several XML files ({files}): save the invoice by itself", name=name,
                    files=_list(xml))
            )  # fmt: skip
        chosen = xml
    if not chosen:
        raise Unreadable(
            say("{name} is a PDF with no invoice inside that can be read: ask for the XML, or for a sheet", name=name)
        )
    return [(_content(spec, name), file) for spec, file in chosen]


def _opens(reader: Any) -> bool:
    """Whether a PDF opens without a password, as one that only restricts printing does."""
    from pypdf.errors import DependencyError, PyPdfError  # noqa: PLC0415

    try:
        return bool(reader.decrypt(""))
    except (DependencyError, PyPdfError, NotImplementedError, ValueError):
        return False


def _base(file: str) -> str:
    """A name without its folders, in small letters."""
    return file.replace("\\", "/").rpartition("/")[2].strip().casefold()


def _files(catalog: Any) -> Iterator[tuple[Spec, str]]:
    """Every embedded file with its name: those of the name tree, then those that are only associated (/AF)."""
    seen: set[int] = set()
    names = _resolved(catalog.get("/Names"))
    specs = list(_tree(_resolved(names.get("/EmbeddedFiles")), 0)) if hasattr(names, "get") else []
    associated = _resolved(catalog.get("/AF"))
    specs += [(_resolved(one), "") for one in (associated if isinstance(associated, list) else ())]
    for spec, key in specs[:MAX_FILES]:
        stream = _stream(spec)
        if stream is None or id(stream) in seen:
            continue
        seen.add(id(stream))
        yield spec, _name(spec) or key


def _tree(node: Any, depth: int) -> Iterator[tuple[Spec, str]]:
    """The leaves of a name tree, whose nodes may lie in each other (ISO 32000-2, 7.9.6)."""
    if depth > MAX_DEPTH or not hasattr(node, "get"):
        return
    leaves = _resolved(node.get("/Names"))
    if isinstance(leaves, list):
        for key, value in zip(leaves[0::2], leaves[1::2], strict=False):
            yield _resolved(value), str(_resolved(key))
    kids = _resolved(node.get("/Kids"))
    for kid in (kids if isinstance(kids, list) else ())[:MAX_FILES]:
        yield from _tree(_resolved(kid), depth + 1)


def _resolved(value: Any) -> Any:
    return value.get_object() if hasattr(value, "get_object") else value


def _name(spec: Spec) -> str:
    return next((str(text) for key in ("/UF", "/F") if (text := _resolved(spec.get(key)))), "")


def _stream(spec: Spec) -> Any:
    """The embedded stream of a file specification, None where it has none."""
    holder: Any = _resolved(spec.get("/EF")) if hasattr(spec, "get") else None
    if not hasattr(holder, "get"):
        return None
    found = next((_resolved(holder.get(key)) for key in ("/UF", "/F") if holder.get(key) is not None), None)
    return found if hasattr(found, "get_data") else None


def _content(spec: Spec, name: str) -> bytes:
    from pypdf.errors import PyPdfError  # noqa: PLC0415

    try:
        content = bytes(_stream(spec).get_data())
    except PyPdfError as error:
        if "imit" in type(error).__name__ + str(error):
            raise Unreadable(_bomb(name)) from None
        raise
    if len(content) > MAX_BYTES:
        raise Unreadable(_bomb(name))
    if not content:
        raise Unreadable(_damaged(name))
    return content


def _bomb(name: str) -> str:
    return say("the file inside {name} unpacks to more than 20 MB, which no invoice is: it is not read", name=name)
