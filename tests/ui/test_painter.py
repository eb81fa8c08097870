"""The painter of the screen: the shapes that the pages print, in the same places, in every language and size."""

import io
from collections.abc import Mapping
from itertools import pairwise

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication
from reportlab.pdfgen.canvas import Canvas

from costing.report.figures.painter_pdf import PALETTE, Picture
from costing.report.figures.shapes import SERIES, Anchor, Area, Box, Figure, Line, Measure, Role, Shape, label
from costing.report.figures.stream import stream_figure
from costing.report.pdf_page import Ink
from costing.report.streams import serve_stream
from costing.tongue import PSEUDO_RTL
from tests.ui.colour_maths import contrast
from ui.app import FACE, dress
from ui.document import Document
from ui.painters import measure_qt, paint
from ui.painters.painter_qt import mixed, outline_of
from ui.theme import NAMES, theme_named
from ui.theme.roles import ThemeName

SCALE = 2
PAPER: Mapping[str, str] = {str(role): colour for role, colour in PALETTE.items()}
_SMOOTH = Qt.TransformationMode.SmoothTransformation
WORDS = ("Pineapple rum", "24.4 g, 0.42", "ليمون 45 ml", "½ – ≥ é")


def _font() -> QFont:
    return QFont(FACE)


def _painted(figure: Figure, palette: Mapping[str, str], scale: float = SCALE) -> QImage:
    image = QImage(round(figure.wide * scale), round(figure.tall * scale), QImage.Format.Format_RGB32)
    image.fill(QColor(palette["ground"]))
    painter = QPainter(image)
    painter.scale(scale, scale)
    paint(painter, figure, palette, _font())
    painter.end()
    return image


def _printed(figure: Figure) -> QImage:
    """The same figure as the pages print it, rasterised."""
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(figure.wide, figure.tall))
    Picture(figure, Ink()).drawOn(canvas, 0, 0)
    canvas.save()
    page = pypdfium2.PdfDocument(file.getvalue())[0]
    picture = page.render(scale=SCALE, rev_byteorder=True).to_pil().convert("RGB")
    data = picture.tobytes()
    image = QImage(data, picture.width, picture.height, picture.width * 3, QImage.Format.Format_RGB888)
    return image.copy()


def _cells(image: QImage, size: int = 8) -> list[tuple[int, int, int]]:
    """The mean colours of squares of ``size`` pixels: what stands where, whatever the edges are smoothed like."""
    small = image.scaled(image.width() // size, image.height() // size, mode=_SMOOTH)
    colours = (small.pixelColor(x, y) for y in range(small.height()) for x in range(small.width()))
    return [(c.red(), c.green(), c.blue()) for c in colours]


def _simple(measure: Measure) -> Figure:
    shapes: list[Shape] = [
        Box(x=10, y=10, wide=60, tall=20, fill="money"),
        Box(x=80, y=10, wide=60, tall=20, fill="series-1", tint=0.34, edge="ink", weight=1.0),
        Box(x=10, y=40, wide=60, tall=30, fill="series-3", hatch=True),
        Area(start=(80, 40), steps=(((110, 40), (110, 70), (140, 70)), ((140, 90),), ((80, 60),)), fill="series-6"),
        Line(x1=10, y1=80, x2=70, y2=95, role="ink", weight=2.0),
        label(10, 110, WORDS[0], measure, bold=True),
        label(140, 110, WORDS[1], measure, anchor="end", role="faint"),
    ]
    return Figure(wide=150, tall=120, shapes=tuple(shapes))


@pytest.fixture
def stream(document: Document) -> Figure:
    """A picture with everything in it: curves, hatches, backed text."""
    found = serve_stream(document.reckoning, "harbour-light", document.names, 6)
    assert found is not None
    return stream_figure(found, 600.0, 330.0, measure_qt(_font()), "{:.2f}".format)


def test_screen_and_page_show_the_same(stream: Figure) -> None:
    for figure in (_simple(measure_qt(_font())), stream):
        shown, printed = _painted(figure, PAPER), _printed(figure)
        assert abs(shown.width() - printed.width()) <= 1
        pairs = list(zip(_cells(shown), _cells(printed), strict=True))
        apart = [max(abs(a - b) for a, b in zip(one, other, strict=True)) for one, other in pairs]
        # Outlines around pale fills are the screen's own, and letters are smoothed another way.
        assert sum(1 for d in apart if d > 60) <= len(apart) * 0.01
        assert sum(apart) / len(apart) < 6.0


def test_a_fill_has_its_colour_tint_and_ground(qapp: object) -> None:
    figure = Figure(wide=40, tall=20, shapes=(
        Box(x=0, y=0, wide=20, tall=20, fill="money"), Box(x=20, y=0, wide=20, tall=20, fill="money", tint=0.5),
    ))  # fmt: skip
    image = _painted(figure, {**PAPER, "money": "#804000", "ground": "#FFFFFF", "ink": "#000000"})
    assert image.pixelColor(20, 20).name() == "#804000"
    assert image.pixelColor(60, 20).name() in ("#bf9f7f", "#c0a080", "#bfa080")


def test_a_hatch_stays_in_its_shape(qapp: object) -> None:
    figure = Figure(wide=60, tall=40, shapes=(Box(x=10, y=10, wide=30, tall=20, hatch=True),))
    image = _painted(figure, PAPER)
    white = QColor("#FFFFFF")
    inked = [
        (x, y) for x in range(image.width()) for y in range(image.height()) if image.pixelColor(x, y) != white
    ]  # fmt: skip
    assert inked
    assert all(10 * SCALE - 1 <= x <= 40 * SCALE and 10 * SCALE - 1 <= y <= 30 * SCALE for x, y in inked)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", WORDS)
def test_letters_stand_in_the_width_that_was_measured(text: str, bold: bool, qapp: object) -> None:
    measure = measure_qt(_font())
    wide = measure(text, 10.0, bold)
    figure = Figure(wide=wide + 20, tall=24, shapes=(label(10.0, 15.0, text, measure, size=10.0, bold=bold),))
    image = _painted(figure, PAPER, 4)
    inked = [x for x in range(image.width()) for y in range(image.height()) if image.pixelColor(x, y).value() < 160]
    assert min(inked) / 4 >= 10.0 - 1.0
    assert max(inked) / 4 <= 10.0 + wide + 1.0
    assert measure(text, 20.0, bold) == pytest.approx(2 * wide)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_right_to_left_does_not_mirror_a_picture(anchor: Anchor, qapp: QApplication) -> None:
    measure = measure_qt(_font())
    words = label(60.0, 15.0, "45 ml rum", measure, anchor=anchor)
    figure = Figure(wide=120, tall=24, shapes=(Box(x=0, y=0, wide=6, tall=24, fill="money"), words))
    before = _painted(figure, PAPER)
    dress(qapp, language=PSEUDO_RTL)
    assert _painted(figure, PAPER) == before


def test_a_sentence_reads_the_way_of_its_first_letter(qapp: object) -> None:
    measure = measure_qt(_font())

    def shown(text: str) -> QImage:
        return _painted(Figure(wide=120, tall=24, shapes=(label(4.0, 15.0, text, measure),)), PAPER)

    arabic = "خسارة 47 kg"
    assert shown(arabic) == shown(f"\u2067{arabic}\u2069")
    assert shown(arabic) != shown(f"\u2066{arabic}\u2069")
    assert shown("45 ml rum") == shown("\u206645 ml rum\u2069")
    assert shown("45") == shown("\u206645\u2069")


def test_marks_of_direction_take_no_room(qapp: object) -> None:
    measure = measure_qt(_font())
    assert measure("\u206645 ml\u2069", 7.5, False) == pytest.approx(measure("45 ml", 7.5, False))


def test_a_painter_is_given_back_as_it_was(stream: Figure) -> None:
    image = QImage(800, 400, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.scale(1.5, 1.5)
    before = painter.transform(), painter.pen(), painter.brush(), painter.layoutDirection(), painter.hasClipping()
    paint(painter, stream, theme_named("dark").figure, _font())
    after = painter.transform(), painter.pen(), painter.brush(), painter.layoutDirection(), painter.hasClipping()
    painter.end()
    assert before == after


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("tint", [1.0, 0.75, 0.45, 0.34])
@pytest.mark.parametrize("role", [*SERIES, "money", "tax"])
def test_pale_fills_are_outlined(name: ThemeName, tint: float, role: Role, qapp: object) -> None:
    palette = theme_named(name).figure
    edge = outline_of(Box(x=0, y=0, wide=9, tall=9, fill=role, tint=tint), palette)
    ground = palette["ground"]
    stands_out = contrast(mixed(palette[role], ground, tint).name(), ground)
    if 2.95 < stands_out < 3.05:
        return  # the test has rounded to eight bits, the painter has not
    if stands_out >= 3.0:
        assert edge is None
    else:
        assert edge is not None
        assert contrast(edge.name(), ground) >= 2.95


def test_grounds_and_edged_shapes_are_left_as_they_are(qapp: object) -> None:
    palette = theme_named("light").figure
    assert outline_of(Box(x=0, y=0, wide=9, tall=9, fill="paper"), palette) is None
    assert outline_of(Box(x=0, y=0, wide=9, tall=9, hatch=True), palette) is None
    edged = outline_of(Box(x=0, y=0, wide=9, tall=9, fill="series-7", edge="money"), palette)
    assert edged is not None
    assert edged.name().upper() == palette["money"]


def test_twice_as_large_is_twice_as_sharp(stream: Figure) -> None:
    """Painted at 2x, a picture has detail that a blown-up 1x does not have."""
    palette = theme_named("light").figure
    large = _painted(stream, palette, 4.0)
    blown = _painted(stream, palette, 2.0).scaled(large.size(), mode=_SMOOTH)

    def steps(image: QImage) -> int:
        """Steps from light to dark within one pixel."""
        count = 0
        for y in range(0, image.height(), 4):
            values = [image.pixelColor(x, y).value() for x in range(image.width())]
            count += sum(1 for a, b in pairwise(values) if abs(a - b) > 90)
        return count

    assert steps(large) > 1.5 * steps(blown)
