"""How the house judges its menu: the popularity cut, ties, drinks that nobody bought, and when it is sure."""

from dataclasses import replace
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.selling import Judging
from costing.edits.base import typed_number
from costing.edits.house import house_of
from costing.tongue import say

Share = Literal["cut", "variable", "sure"]


def _judged(book: Book, after: Judging, what: str) -> Step | None:
    house = house_of(book)
    if house.judging == after:
        return None
    return Step(what, (put("house", replace(house, judging=after), book.house),))


def share_text(share: Decimal) -> str:
    """A share as it is typed: "70 %"."""
    return f"{(share * 100).normalize():f} %"


def typed_share(text: str) -> Decimal:
    """A share of 0.7 from "70 %" or "70". ValueError for what is no number, and for less than 1 without its sign, which
    may be a share.
    """
    work = text.strip()
    number = typed_number(work.removesuffix("%").strip(), work)
    if 0 < number < 1 and not work.endswith("%"):
        raise ValueError(say("“{text}” may be a share or percent: write it like 70 %", text=work))
    return number / 100


def set_share(name: Share, book: Book, text: str) -> Step | None:
    """The popularity cut, what varies with sales besides cost, or the chance from which a class is sure, as typed
    ("70 %"). ValueError outside the range of each."""
    value = typed_share(text)
    judging = house_of(book).judging
    ranges = {"cut": ("0", "200"), "variable": ("0", "99"), "sure": ("50", "99.9")}
    low, high = ranges[name]
    if not Decimal(low) <= value * 100 <= Decimal(high):
        raise ValueError(say("“{text}” must lie from {low} % to {high} %", text=text.strip(), low=low, high=high))
    said = share_text(value)
    if name == "cut":
        return _judged(book, replace(judging, cut=value), say("popular from {share} of an equal share on", share=said))
    if name == "variable":
        return _judged(
            book, replace(judging, variable=value), say("varies with sales besides cost: {share}", share=said)
        )
    return _judged(book, replace(judging, sure=value), say("a class is sure from a chance of {share} on", share=said))


def set_tie(book: Book, tie: Literal["high", "low"]) -> Step | None:
    """Whether exactly at a threshold counts as high."""
    said = {"high": say("exactly at a threshold counts as high"), "low": say("exactly at a threshold counts as low")}
    return _judged(book, replace(house_of(book).judging, tie=tie), said[tie])


def set_unsold(book: Book, unsold: Literal["counted", "left out"]) -> Step | None:
    """Whether drinks of which none was sold are counted among those that share the mix."""
    said = {
        "counted": say("drinks that nobody bought are counted"),
        "left out": say("drinks that nobody bought are not counted"),
    }
    return _judged(book, replace(house_of(book).judging, unsold=unsold), said[unsold])
