"""Laws of the readers of documents: whatever is done to a document, it is read or refused, and no line is lost."""

import re
from contextlib import suppress
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from costing.supply.arriving.line import Incoming, Unreadable
from costing.supply.readers.xml_documents import read_xml
from costing.supply.readers.xml_lines import REMARKS
from costing.supply.readers.xml_words import XML_DOUBTS, XML_LEFT_OUT
from tests.supply.readers.xml_made import (
    catalogue,
    catalogue_line,
    category,
    charge,
    cii,
    cii_charge,
    cii_line,
    el,
    item,
    line,
    located,
    read,
    tag,
    taxes,
    totals,
    ubl,
)

READERS = Path(__file__).parents[3] / "costing" / "supply" / "readers"
LINES = ("InvoiceLine", "CreditNoteLine", "SubInvoiceLine", "CatalogueLine", "IncludedSupplyChainTradeLineItem")
_FOOT = charge("10.00", adds=False, code="95", tax=category()) + taxes(("158.00", "30.02", "S", 19), total="30.02")
_SUB = el("cac:SubInvoiceLine", el("cbc:ID", "1.1"), item())
WHOLE = (
    ubl(line(base=1, more=charge("1.00")), line(ident="2", goods=item("Deposit", code="")),
        foot=_FOOT + totals(LineExtension="168.00")),
    ubl(line(tail=_SUB, price_more=charge("6", adds=False, base="90")), head=el("cbc:Note", "VAT 19 %")),
    ubl(line(kind="CreditNote"), kind="CreditNote"),
    catalogue(catalogue_line(located(least=1), located("80.00", least=10), packs=el("cbc:PackSizeNumeric", "6"),
                             content=el("cbc:ContentUnitQuantity", "700", unitCode="MLT"),
                             more=el("cac:RequiredRelatedItem", el("cbc:ID", "G-1")))),
    cii(cii_line(settled=cii_charge("1.00")), cii_line(about=tag("LineStatusReasonCode", "GROUP"), ident="2")),
)  # fmt: skip
TEXTS = st.one_of(
    st.sampled_from(["", "0", "-1", "1e9", "84,00", "NaN", "Infinity", "9" * 15, "0." + "0" * 20 + "1", "XCS", "KGM"]),
    st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20),
)  # fmt: skip


def in_all(data: bytes) -> int:
    """Elements that are called a line, anywhere in a document."""
    return sum(1 for one in etree.fromstring(data).iter() if etree.QName(one).localname in LINES)


def read_or_refused(data: bytes) -> Incoming | None:
    try:
        found = read_xml(data, "made.xml")
    except Unreadable as error:
        said = str(error)
    else:
        return _whole(found, data)
    assert said.isprintable()
    assert "made.xml" in said
    return None


def _whole(found: Incoming, data: bytes) -> Incoming:
    assert len(found) + len(found.left_out) == in_all(data)
    assert [x.n for x in found] == list(range(1, len(found) + 1))
    for one in found:
        assert one.base > 0
        assert one.rate is None or 0 <= one.rate < 1
        assert all(isinstance(text, str) and text for _, text in one.raw)
    return found


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_a_mutated_document_is_read_or_refused_and_loses_no_line(data: st.DataObject) -> None:
    root = etree.fromstring(data.draw(st.sampled_from(WHOLE)))
    for _ in range(data.draw(st.integers(1, 4))):
        elements = list(root.iter())
        one = elements[data.draw(st.integers(0, len(elements) - 1))]
        what = data.draw(st.sampled_from(["delete", "double", "move", "text", "attribute", "rename"]))
        parent = one.getparent()
        if what == "delete" and parent is not None:
            parent.remove(one)
        elif what == "double" and parent is not None:
            parent.append(etree.fromstring(etree.tostring(one)))
        elif what == "move" and parent is not None:
            to = elements[data.draw(st.integers(0, len(elements) - 1))]
            if one not in to.iterancestors() and to is not one:
                to.append(one)
        elif what == "text":
            one.text = data.draw(TEXTS)
        elif what == "attribute":
            one.set(data.draw(st.sampled_from(["unitCode", "currencyID", "schemeID", "format"])), data.draw(TEXTS))
        elif what == "rename":
            one.tag = elements[data.draw(st.integers(0, len(elements) - 1))].tag
    read_or_refused(etree.tostring(root))


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(WHOLE), st.integers(0, 4000), st.binary(max_size=6), st.integers(0, 40))
def test_bytes_put_into_a_document_do_no_harm(whole: bytes, at: int, put: bytes, cut: int) -> None:
    with suppress(Unreadable):
        read_xml(whole[:at] + put + whole[at + cut :], "made.xml")


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    with pytest.raises(Unreadable):
        read_xml(data, "made.xml")


MONEY = st.decimals(Decimal("0.01"), Decimal("9999"), places=4)


@settings(max_examples=200, deadline=None)
@given(
    MONEY, st.integers(1, 500), st.sampled_from([1, 6, 12, 100]), st.lists(st.decimals(-50, 50, places=2), max_size=3)
)
def test_a_line_that_keeps_the_rule_is_not_doubted(
    price: Decimal, quantity: int, base: int, parts: list[Decimal]
) -> None:
    """BIS Billing 3: round(price / base x quantity, 2) + charges - allowances."""
    net = (price / base * quantity).quantize(Decimal("0.01"), "ROUND_HALF_UP") + sum(parts, Decimal(0))
    more = "".join(charge(abs(p), adds=p >= 0) for p in parts)
    (found,) = read(ubl(line(quantity, price, net, unit="LTR", base=base, more=more, goods=item("Vinegar"))))
    assert {d.code for d in found.doubts} <= ({"base-suspect"} if price == base else set())
    assert (found.price, found.base, found.quantity) == (price, Decimal(base), Decimal(quantity))
    (off,) = read(ubl(line(quantity, price, net + 1, unit="LTR", base=base, more=more, goods=item("Vinegar"))))
    assert "line-total" in {d.code for d in off.doubts}


@settings(max_examples=100, deadline=None)
@given(st.permutations(range(6)))
def test_the_order_of_elements_in_a_line_does_not_matter(order: list[int]) -> None:
    """The schema fixes an order, and real documents break it; common practice, no source."""
    root = etree.fromstring(ubl(line(more=charge("1.00"), net="169.00", tail=el("cbc:Note", "x"))))
    (one,) = (kid for kid in root if kid.tag.endswith("}InvoiceLine"))
    kids = list(one)
    for at in order:
        one.append(kids[at])
    assert (
        read_xml(etree.tostring(root), "made.xml").lines
        == read(ubl(line(more=charge("1.00"), net="169.00", tail=el("cbc:Note", "x")))).lines
    )


def test_every_doubt_has_a_sentence_with_its_figures() -> None:
    said: dict[str, set[str]] = {}
    for file in READERS.glob("*.py"):
        if file.name.startswith(("xml_", "ubl_", "cii")) and file.name != "xml_words.py":
            for met in re.finditer(
                r'doubt\(\s*"([a-z-]+)"((?:[^()]|\((?:[^()]|\([^()]*\))*\))*)\)', file.read_text("utf-8")
            ):
                said.setdefault(met[1], set()).update(re.findall(r"\b(\w+)=", met[2]))
    assert len(said) > 50
    by_hand = {"type-proforma", "type-prepayment", "type-debit", "number-missing", "day-missing", "currency-missing"}
    assert said.keys() - XML_DOUBTS.keys() == set()
    assert XML_DOUBTS.keys() - said.keys() - by_hand == set()
    for code, sentence in XML_DOUBTS.items():
        assert set(re.findall(r"{(\w+)}", sentence)) <= said.get(code, {"type"}), code


def test_remarks_are_doubts_that_ask_for_nothing() -> None:
    assert XML_DOUBTS.keys() >= REMARKS


def test_every_reason_to_leave_a_line_out_has_a_sentence() -> None:
    text = "".join(file.read_text("utf-8") for file in READERS.glob("*.py") if file.name != "xml_words.py")
    assert all(f'"{why}"' in text for why in XML_LEFT_OUT)


def test_five_thousand_lines_are_read() -> None:
    lines = [
        line(ident=str(n), base=1, goods=item(f"Gin Fogbell {n} 6x70cl", code=f"G-{n}", gtin="06291041500213"))
        for n in range(5000)
    ]
    data = ubl(*lines)
    assert len(read(data)) == 5000
