"""XML from outside, read with nothing in it obeyed: no entities, no document types, no network, and limits on its size.

What comes out carries local names only: elements of the document's own family of namespaces (every UBL 2, every
UN/CEFACT CII) lose their prefixes and versions, and everything else keeps its full name and is so never met.
"""

import codecs
import re
from typing import Any

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.limits import check_size, shown_name
from costing.tongue import say

MAX_DEPTH = 100
MAX_ELEMENTS = 600_000
NIL = "{http://www.w3.org/2001/XMLSchema-instance}nil"
UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
"""UBL 2.0 to 2.4 share their namespaces, which end in -2 (OASIS UBL 2.4, 3.1 Namespaces)."""
CII = ("urn:un:unece:uncefact:data:", "urn:ferd:")
_SPACE = re.compile(r"[\s\ufeff\0]*")
Element = Any
"""An element of lxml, which has no types of its own."""


def parse_xml(data: bytes, name: str) -> Element:
    """The root of an XML document in ``data``, with comments and processing instructions taken out of its texts.

    Unreadable, in one line with ``name``: too large, too deep, a document type or an entity, not well-formed, cut off.
    """
    from lxml import etree  # noqa: PLC0415  only who has XML pays for it

    name = shown_name(name) or say("the file")
    text = _looked_over(data, name)
    if text[:1].isspace():
        data = data.lstrip()  # a blank line before the declaration: common practice, no source
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False, remove_comments=True, remove_pis=True
    )
    try:
        root = etree.fromstring(data, parser)
    except etree.XMLSyntaxError as error:
        raise Unreadable(_fault(error, text, name)) from None
    except (LookupError, ValueError) as error:
        raise Unreadable(say("{name} is not XML that can be read: {why}", name=name, why=_line(error))) from None
    info = root.getroottree().docinfo
    if info.doctype or info.internalDTD is not None:
        raise Unreadable(_typed(name))
    if root.xpath("boolean(" + "/*" * (MAX_DEPTH + 1) + ")"):
        raise Unreadable(_deep(name))
    return root


def family_of(root: Element) -> str:
    """ "ubl" or "cii" by the namespace of a root, "" for any other."""
    space = space_of(root)
    return "ubl" if space.startswith(UBL) else "cii" if space.startswith(CII) else ""


def space_of(element: Element) -> str:
    """The namespace of an element, "" where it has none."""
    tag = str(element.tag)
    return tag[1 : tag.index("}")] if tag.startswith("{") else ""


def local_of(element: Element) -> str:
    """The name of an element without its namespace, cut where it is absurdly long."""
    return "".join(sign for sign in str(element.tag).rpartition("}")[2][:60] if sign.isprintable())


def plain(root: Element) -> Element:
    """The same root with the namespaces of its own family taken off every name below it, in place.

    An element that xsi:nil calls empty loses its text.
    """
    ours: tuple[str, ...] = (UBL,) if family_of(root) == "ubl" else CII
    names: dict[str, str] = {}
    for element in root.iter("*"):
        tag = element.tag
        if tag not in names:
            names[tag] = tag.rpartition("}")[2] if tag[1:].startswith(ours) else tag
        if names[tag] != tag:
            element.tag = names[tag]
        if NIL in element.attrib and element.get(NIL).strip() in ("true", "1"):
            element.text = None
    return root


def _looked_over(data: bytes, name: str) -> str:
    """The text of ``data``, as far as its marks can be found in it; what must not be parsed at all is refused here."""
    check_size(len(data), name)
    text = _as_text(data)
    if not text.strip("\ufeff \t\r\n\0"):
        raise Unreadable(say("{name} is empty: ask for it again", name=name))
    if text.count("<") - text.count("</") > MAX_ELEMENTS:
        raise Unreadable(
            say("{name} has more than {n} elements: ask for it in several files", name=name, n=MAX_ELEMENTS)
        )
    if _has_type(text):
        raise Unreadable(_typed(name))
    return text


def _as_text(data: bytes) -> str:
    """Enough of a decoding to find marks of XML, which are ASCII: wide encodings by their first bytes."""
    wide = ((codecs.BOM_UTF32_LE, "utf-32"), (codecs.BOM_UTF32_BE, "utf-32"), (codecs.BOM_UTF16_LE, "utf-16"),
            (codecs.BOM_UTF16_BE, "utf-16"), (b"<\0\0\0", "utf-32-le"), (b"\0\0\0<", "utf-32-be"),
            (b"<\0", "utf-16-le"), (b"\0<", "utf-16-be"))  # fmt: skip
    for mark, codec in wide:
        if data.startswith(mark):
            return data.decode(codec, "replace")
    return data.removeprefix(codecs.BOM_UTF8).decode("latin-1")


def _has_type(text: str) -> bool:
    """Whether a document type stands before the first element: only there may one stand (XML 1.0, 2.8)."""
    at = 0
    while at < len(text):
        blank = _SPACE.match(text, at)
        if blank is not None and blank.end() > at:
            at = blank.end()
        elif text.startswith(("<?", "<!--"), at):
            mark = "?>" if text[at + 1] == "?" else "-->"
            end = text.find(mark, at + 2)
            if end < 0:
                return False
            at = end + len(mark)
        else:
            return text[at : at + 9].upper() in ("<!DOCTYPE", "<!ENTITY ")
    return False


def _deep(name: str) -> str:
    return say("{name} nests its elements more than {n} deep: ask for another file", name=name, n=MAX_DEPTH)


def _typed(name: str) -> str:
    return say("{name} declares a document type or an entity, which no invoice needs: it is not read", name=name)


def _fault(error: Exception, text: str, name: str) -> str:
    said, line = _line(error), getattr(error, "lineno", None) or 1
    if "XML_PARSE_HUGE" in said and "depth" in said:
        return _deep(name)
    if "XML_PARSE_HUGE" in said:
        return say("{name} has an attachment of more than 10 MB in it: ask for it without", name=name)
    if "Premature end" in said or not text.rstrip(" \t\r\n\0").endswith(">"):
        return say("{name} breaks off in line {line}, before its end: ask for it again", name=name, line=line)
    return say("{name} is not well-formed XML in line {line}: {why}", name=name, line=line, why=said)


def _line(error: Exception) -> str:
    """What a library says, in one line of decent length."""
    said = " ".join(str(error).split()).partition(", line ")[0]
    return "".join(sign for sign in said if sign.isprintable())[:200]
