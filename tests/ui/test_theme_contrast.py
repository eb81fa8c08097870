"""Colours of both themes: text, marks, borders and series can be read and told apart, whoever looks."""

from collections import Counter
from itertools import product

import pytest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from costing.report.figures.painter_pdf import PALETTE
from costing.report.figures.shapes import SERIES
from tests.ui.colour_maths import VISION, apart, closest, contrast
from ui.app import dress
from ui.theme import NAMES, icon, role_colour, theme_named
from ui.theme.roles import ThemeName

TEXT, MARK = 4.5, 3.0
"""WCAG 2.2, success criteria 1.4.3 and 1.4.11."""
GROUNDS = ("window", "panel", "base", "alternate", "selection-inactive")
TOLD_APART = 14.0
"""CIE76; the published eight come down to 16 where one kind of cone is missing."""


def test_the_measure_gives_the_published_figures() -> None:
    eight = ["#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7"]
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#FFFFFF", "#308CC6") == pytest.approx(3.69, abs=0.01)
    assert {v: round(closest(eight, v)[0]) for v in VISION} == {"normal": 26, "protan": 21, "deutan": 17, "tritan": 16}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("role", ["text", "faint", "copper", "link", "error", "warning", "good"])
def test_text_is_read_on_every_ground(name: ThemeName, role: str) -> None:
    ui = theme_named(name).ui
    assert {g: round(contrast(ui[role], ui[g]), 2) for g in GROUNDS if contrast(ui[role], ui[g]) < TEXT} == {}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("top", "ground"), [("on-copper", "copper"), ("on-highlight", "highlight")])
def test_text_is_read_on_a_colour(name: ThemeName, top: str, ground: str) -> None:
    ui = theme_named(name).ui
    assert contrast(ui[top], ui[ground]) >= TEXT


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("role", ["edge", "focus", "error", "copper", "highlight"])
def test_borders_and_marks_stand_out(name: ThemeName, role: str) -> None:
    ui = theme_named(name).ui
    wanted = MARK if role != "highlight" else 2.5  # a selected row has a frame besides, and its letters turn
    grounds = ("window", "panel", "base", "alternate")
    assert {g: round(contrast(ui[role], ui[g]), 2) for g in grounds if contrast(ui[role], ui[g]) < wanted} == {}


@pytest.mark.parametrize("name", NAMES)
def test_words_in_pictures_are_read(name: ThemeName) -> None:
    figure = theme_named(name).figure
    low = {
        (top, ground): contrast(figure[top], figure[ground])
        for top, ground in product(("ink", "faint", "money"), ("ground", "paper"))
        if contrast(figure[top], figure[ground]) < TEXT
    }
    assert low == {}


@pytest.mark.parametrize("name", NAMES)
def test_marks_of_pictures_stand_out_or_are_outlined(name: ThemeName) -> None:
    figure = theme_named(name).figure
    low = {r for r in (*SERIES, "money", "loss", "tax") if contrast(figure[r], figure["ground"]) < MARK}
    # Pale on paper white; the painter draws an outline around what is pale.
    assert low == ({"series-2", "series-5", "series-7"} if name == "light" else set())


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("vision", VISION)
def test_series_are_told_apart_without_one_kind_of_cone(name: ThemeName, vision: str) -> None:
    figure = theme_named(name).figure
    assert closest([figure[s] for s in SERIES], vision)[0] >= TOLD_APART


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("vision", VISION)
def test_parts_of_a_price_are_told_apart(name: ThemeName, vision: str) -> None:
    figure = theme_named(name).figure
    for one, other in (("tax", "money"), ("money", "series-3"), ("tax", "series-3")):
        assert apart(figure[one], figure[other], vision) >= 12.0, (one, other)


def test_both_themes_have_the_same_roles() -> None:
    light, dark = theme_named("light"), theme_named("dark")
    assert set(light.ui) == set(dark.ui)
    assert set(light.figure) == set(dark.figure) == set(PALETTE)


@pytest.mark.parametrize("name", NAMES)
def test_money_has_one_colour(name: ThemeName) -> None:
    theme = theme_named(name)
    assert theme.ui["copper"] == theme.figure["money"]
    assert theme.ui["base"] == theme.figure["ground"]


@pytest.mark.parametrize("name", NAMES)
def test_what_qt_draws_by_itself_is_read_too(name: ThemeName, qapp: QApplication) -> None:
    dress(qapp, theme=name)
    palette = qapp.palette()
    group, role = palette.ColorGroup, palette.ColorRole
    for which, (top, ground) in product(
        (group.Active, group.Inactive),
        ((role.Text, role.Base), (role.WindowText, role.Window), (role.ButtonText, role.Button),
         (role.HighlightedText, role.Highlight), (role.ToolTipText, role.ToolTipBase), (role.Link, role.Base),
         (role.PlaceholderText, role.Base), (role.Text, role.AlternateBase)),
    ):  # fmt: skip
        colours = palette.color(which, top).name(), palette.color(which, ground).name()
        assert contrast(*colours) >= TEXT, (which, top, ground, colours)
    assert role_colour("copper").name().upper() == theme_named(name).ui["copper"]


@pytest.mark.parametrize("name", NAMES)
def test_the_chief_button_shows_that_it_cannot_be_pressed(name: ThemeName, qapp: QApplication, qtbot: QtBot) -> None:
    dress(qapp, theme=name)
    button = QPushButton("Use it")
    qtbot.addWidget(button)
    button.setProperty("chief", True)
    button.resize(120, 40)
    ui = theme_named(name).ui
    for enabled, ground in ((True, "copper"), (False, "panel")):
        button.setEnabled(enabled)
        image = button.grab().toImage()
        assert image.pixelColor(image.width() // 2, 6).name().upper() == ui[ground].upper()
    assert contrast(ui["faint"], ui["panel"]) >= TEXT


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("sign", ["cellar", "stillroom", "bar", "menu", "month", "undo", "redo", "find", "tick"])
def test_icons_are_drawn_in_the_colour_of_their_role(name: ThemeName, sign: str, qapp: QApplication) -> None:
    dress(qapp, theme=name)
    image = icon(sign).pixmap(48, 48).toImage()
    inked = Counter(
        image.pixelColor(x, y).name().upper()
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y).alpha() == 255
    )
    assert inked.most_common(1)[0][0] == theme_named(name).ui["text"]
