"""Pictures as data: nothing overlaps or runs off, and the widths are the money of the ledger."""

import json
import math
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.levies import Levy, Policy, PricePoints
from costing.ledger import Reckoning, reckon
from costing.pricing import net_of, priced_serves
from costing.report.figures import Box, Figure, Line, Text, overlaps
from costing.report.figures.painter_pdf import PALETTE, measure_with
from costing.report.figures.shapes import fitted, wrapped
from costing.report.figures.steps import MOST, steps_figure, steps_of
from costing.report.figures.stream import stream_figure
from costing.report.figures.tornado import RISE, tornado_figure
from costing.report.gather import COLUMNS, contents, names_of
from costing.report.moves import shares
from costing.report.pdf_page import Ink
from costing.report.streams import Link, Node, Stream, batch_stream, merged, serve_stream
from costing.store import import_json
from tests.report.chains import CHAINS, chain, find

SAMPLE = Path(__file__).parent.parent.parent / "sample_data" / "book.json"
BOOKS = (*CHAINS, "sample")
LONG = "A name so long that no column of any page holds it without breaking it over lines or leaving some of it out"


@cache
def _book(name: str) -> Reckoning:
    if name != "sample":
        return chain(name)
    return reckon(import_json(SAMPLE.read_text(encoding="utf-8")).on(date(2026, 6, 1)))


def _cash(value: float) -> str:
    return f"{value:,.2f}"


def _sound(figure: Figure) -> None:
    """Every text is on the picture and clear of every other; every box and line is on it; no figure is odd."""
    assert [(a.text, b and b.text) for a, b in overlaps(figure)] == []
    for shape in figure.shapes:
        left, top, right, bottom = shape.bounds
        assert all(map(math.isfinite, (left, top, right, bottom)))
        assert left <= right
        assert top <= bottom
        if isinstance(shape, Box | Line):
            assert left >= -0.01
            assert top >= -0.01
            assert right <= figure.wide + 0.01
            assert bottom <= figure.tall + 0.01
    assert figure.said


def _streams(name: str) -> list[Stream]:
    reckoning = _book(name)
    names = names_of(reckoning.view)
    found = [serve_stream(reckoning, s, names, n) for s in reckoning.view.serves for n in (2, COLUMNS, 30)]
    found += [batch_stream(reckoning, p, names) for p in reckoning.ledgers]
    return [s for s in found if s is not None]


@pytest.mark.parametrize("name", BOOKS)
def test_every_stream_of_a_book_is_drawn_without_an_overlap(name: str) -> None:
    measure = measure_with(Ink())
    for stream in _streams(name):
        for wide, tall in ((773.0, 244.0), (527.0, 240.0), (527.0, 600.0)):
            figure = stream_figure(stream, wide, tall, measure, _cash)
            _sound(figure)
            assert figure.wide == wide
            assert figure.tall <= tall


@pytest.mark.parametrize("name", BOOKS)
def test_money_in_a_stream_is_kept_and_ends_as_the_cost(name: str) -> None:
    """What comes in goes on, but for what leaves with a by-product; all of it ends in the materials of the ledger."""
    for stream in (*_streams(name), *(merged(s, 0.1) for s in _streams(name))):
        for node in stream.nodes:
            come = sum(k.money for k in stream.links if k.target == node.id)
            goes = sum(k.money for k in stream.links if k.source == node.id)
            if node.id == stream.end:
                assert come == pytest.approx(stream.money, rel=1e-9, abs=1e-12)
            elif any(k.target == node.id for k in stream.links):
                assert come == pytest.approx(goes + node.kept, rel=1e-9, abs=1e-12), node
        assert all(0.0 <= k.lost <= k.money + 1e-12 for k in stream.links)
        assert 0.0 <= stream.lost <= stream.money


@pytest.mark.parametrize("name", BOOKS)
def test_a_stream_into_a_glass_is_the_cost_of_the_drink_however_it_is_drawn(name: str) -> None:
    reckoning = _book(name)
    names = names_of(reckoning.view)
    for serve in reckoning.serves:
        for most in (2, 30):
            stream = serve_stream(reckoning, serve, names, most)
            assert stream is not None
            assert stream.money == pytest.approx(reckoning.serve_cost(serve).materials, rel=1e-9)
            kept = sum(n.kept for n in stream.nodes)
            ends = {k.target for k in stream.links}
            bought = sum(k.money for k in stream.links if k.source not in ends)
            assert bought - kept == pytest.approx(stream.money, rel=1e-9)


def test_the_first_chain_loses_what_was_agreed() -> None:
    """The acceptance chain: of 73.80 of materials in the batch, 31.15 was spent on what is lost on the way."""
    stream = batch_stream(_book("distillate"), "distillate", names_of(_book("distillate").view))
    assert stream is not None
    assert (round(stream.money, 2), round(stream.lost, 2)) == (73.80, 31.15)
    figure = stream_figure(stream, 600.0, 300.0, measure_with(Ink()), _cash)
    assert any("31.15 of 73.80 (42 %)" in t.text for t in figure.texts)
    assert any(shape.hatch for shape in figure.shapes if not isinstance(shape, Line | Text))


def test_what_a_mother_batch_takes_of_the_one_before_stands_at_the_start() -> None:
    stream = batch_stream(_book("mother"), "mother", names_of(_book("mother").view))
    assert stream is not None
    before = next(n for n in stream.nodes if n.kind == "before")
    reckoning = _book("mother")
    (link,) = (k for k in stream.links if k.source == before.id)
    assert link.money == pytest.approx(before.amount * reckoning.costs["mother"].materials)


names_st = st.sampled_from(["Rum", LONG, "לימון", "<b>x</b>", "=SUM(1)", "檸檬", "", "W" * 90, "a 50 %"])


@st.composite
def _made_up(draw: Any) -> Stream:
    """A random stream of some columns: each node but the end goes on into one or two later ones."""
    count = draw(st.integers(1, 22))
    nodes = [Node(id=f"n{n}", kind=draw(st.sampled_from(["good", "made", "stage"])), name=draw(names_st), key="ethanol",
                  share_lost=draw(st.floats(0, 1)), stage="infuse", amount=draw(st.floats(0, 1e4)), base="l")
             for n in range(count)]  # fmt: skip
    end = Node(id="end", kind="end", name=draw(names_st))
    ids = [*(n.id for n in nodes), "end"]
    links: dict[tuple[str, str], float] = {}
    for n in range(count):
        for target in draw(st.lists(st.integers(n + 1, count), min_size=1, max_size=2)):
            links[ids[n], ids[target]] = draw(st.floats(0, 1e4) | st.just(0.0))
    made = {t for _, t in links}
    nodes = [n if n.id in made or n.kind == "good" else Node(id=n.id, kind="good", name=n.name) for n in nodes]
    nodes = [Node(id=n.id, kind="made", name=n.name) if n.id in made and n.kind == "good" else n for n in nodes]
    money = sum(m for (_, t), m in links.items() if t == "end")
    flows = tuple(Link(source=s, target=t, money=m, lost=m * draw(st.floats(0, 1))) for (s, t), m in links.items())
    whole = draw(st.booleans())
    return Stream(nodes=(*nodes, end), links=flows, end="end", money=money, lost=money / 3, complete=whole)


@settings(max_examples=60, deadline=None)
@given(_made_up())
def test_any_stream_is_drawn_inside_its_picture(stream: Stream) -> None:
    figure = stream_figure(stream, 773.0, 500.0, measure_with(Ink()), _cash)
    _sound(figure)
    assert figure.tall <= 500.0


@pytest.mark.parametrize("name", BOOKS)
def test_price_steps_and_tornado_of_every_serve_are_sound(name: str) -> None:
    reckoning = _book(name)
    measure = measure_with(Ink())
    terms = reckoning.view.terms
    assert terms is not None
    for row in contents(reckoning, 1).menu:
        told = row.priced.suggestion
        steps = steps_of(row.serve.base_cost, row.priced.policy, terms.levies, terms.points, printed=row.printed,
                         suggested=told.at.all_in if told else None)  # fmt: skip
        assert 1 <= len(steps) <= MOST
        assert [s.price for s in steps] == sorted({s.price for s in steps})
        assert row.printed is None or any(s.now and s.price == row.printed for s in steps)
        if told is not None:
            assert any(s.suggested and s.price == told.at.all_in and s.met for s in steps)
            assert not any(s.met for s in steps if s.price < told.at.all_in)
        for step in steps:
            assert step.net == pytest.approx(float(net_of(step.price, terms.levies)))
            assert step.levies + step.net == pytest.approx(float(step.price))
        for band in (None, (0.9 * row.serve.base_cost, 1.1 * row.serve.base_cost)):
            _sound(steps_figure(steps, 432.0, measure, _cash, band=band, aim="18 % pour cost"))
        _sound(tornado_figure(row.serve.shares, 314.0, measure, _cash))


def test_a_tenth_on_a_price_moves_the_drink_by_what_the_tornado_says() -> None:
    """Against a second reckoning with that one price a tenth higher."""
    reckoning = chain("distillate")
    before = next(p.base for p in priced_serves(reckoning))
    for good, money in shares(reckoning, "harbour-light"):
        quote = reckoning.prices[good].quote

        def dearer(plain: dict[str, Any], ident: str = quote.id) -> None:
            record = find(plain, "quote", ident)
            record["price"] = str(Decimal(str(record["price"])) * Decimal("1.1"))

        after = next(p.base for p in priced_serves(chain("distillate", dearer)))
        assert after - before == pytest.approx(RISE * money, rel=1e-6, abs=1e-9)


def test_prices_of_a_cent_apart_are_thinned_and_dear_ones_fit() -> None:
    measure = measure_with(Ink())
    points = PricePoints(step=Decimal("0.01"))
    levies = (Levy("VAT", Decimal("0.19")),)
    steps = steps_of(2.4, Policy("pour_cost", Decimal("0.18")), levies, points, printed=Decimal("15.37"),
                     suggested=Decimal("15.87"))  # fmt: skip
    assert len(steps) == MOST
    assert steps[-1].price - steps[0].price > 1
    _sound(steps_figure(steps, 432.0, measure, _cash))
    dear = steps_of(1e6, Policy("multiplier", Decimal(5)), levies, PricePoints(), printed=Decimal("9999999"),
                    suggested=None)  # fmt: skip
    _sound(steps_figure(dear, 432.0, measure, _cash))
    assert steps_of(1.0, Policy("margin", Decimal(5)), (), PricePoints(), printed=None, suggested=None) == ()


def test_a_rebate_or_a_missing_price_does_not_break_the_steps() -> None:
    measure = measure_with(Ink())
    for cost, sure in ((-660.0, True), (1.1, False), (0.0, False), (300.0, True)):
        steps = steps_of(cost, Policy("pour_cost", Decimal("0.18")), (Levy("VAT", Decimal("0.19")),), PricePoints(),
                         printed=Decimal("16.00"), suggested=None)  # fmt: skip
        figure = steps_figure(steps, 432.0, measure, _cash, sure=sure, band=(0.0, 400.0))
        _sound(figure)
        words = {t.text for t in figure.texts}
        assert ("not sure" in words) == (not sure)
        assert not (not sure and "met" in words)


def test_what_is_too_small_to_draw_in_is_refused() -> None:
    measure = measure_with(Ink())
    with pytest.raises(ValueError, match="too small"):
        stream_figure(_streams("distillate")[0], 100.0, 300.0, measure, _cash)
    with pytest.raises(ValueError, match="at least one"):
        steps_figure((), 432.0, measure, _cash)
    with pytest.raises(ValueError, match="at least one"):
        tornado_figure((), 300.0, measure, _cash)


def test_text_is_cut_or_wrapped_to_its_room() -> None:
    measure = measure_with(Ink())
    for room in (0.0, 3.0, 20.0, 80.0, 500.0):
        for text in (LONG, "W" * 200, "", "a 50 %"):
            assert measure(fitted(text, room, 7.5, measure), 7.5, False) <= max(room, 0.0)
            lines = wrapped(text, room, 7.5, measure, most=2)
            assert 1 <= len(lines) <= 2
            assert all(measure(line, 7.5, False) <= room for line in lines)


def _luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.1 (W3C Recommendation, 5 June 2018)."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("text", ["ink", "faint", "money"])
@pytest.mark.parametrize("under", ["ground", "paper"])
def test_text_stands_out_from_what_it_is_on(text: Any, under: Any) -> None:
    """Contrast of at least 4.5:1 by WCAG 2.1, success criterion 1.4.3."""
    light, dark = sorted((_luminance(PALETTE[text]), _luminance(PALETTE[under])), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_shapes_know_no_toolkit() -> None:
    import subprocess
    import sys

    code = (
        "import sys, costing.report.figures.stream, costing.report.figures.steps, costing.report.figures.tornado; "
        "sys.exit(any(m.split('.')[0] in ('reportlab', 'PySide6') for m in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_every_series_has_its_own_colour_and_an_okabe_ito_hue() -> None:
    """The eight colours of Okabe and Ito, "Color Universal Design" (2008): black and these seven."""
    hues = {"#0072B2", "#E69F00", "#009E73", "#CC79A7", "#56B4E9", "#D55E00", "#F0E442"}
    assert {PALETTE[role] for role in PALETTE if role.startswith("series-")} == hues


def test_the_sample_is_read() -> None:
    assert json.loads(SAMPLE.read_text(encoding="utf-8"))["serve"]
