"""Dress the application: palette, style sheet and icons of a theme."""

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

from costing.paths import resource
from ui.theme.roles import Theme, theme_named

PROPERTY = "stillroomTheme"
ICON = 64
"""Pixels an icon is drawn at; it is scaled down from there and stays crisp at twice the size."""
SHEET = """
QToolTip {{ color: {text}; background: {panel}; border: 1px solid {edge}; padding: 3px; }}
QMainWindow, QDialog {{ background: {window}; }}
QToolBar, QStatusBar {{ background: {panel}; border: 0; }}
QStatusBar {{ border-top: 1px solid {rule}; }}
QStatusBar::item {{ border: 0; }}
QHeaderView::section {{ background: {panel}; color: {faint}; border: 0; border-bottom: 1px solid {edge};
    padding: 3px 6px; }}
QTableView, QTreeView, QListView {{ border: 1px solid {rule}; gridline-color: {rule}; }}
QTableView::item:selected:!active, QTreeView::item:selected:!active, QListView::item:selected:!active {{
    background: {selection-inactive}; color: {text}; }}
QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QDateEdit {{ border: 1px solid {edge}; border-radius: 2px;
    padding: 2px 5px; min-height: {field-tall}px; background: {base}; color: {text}; }}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus, QDateEdit:focus {{
    border: 2px solid {focus}; padding: 1px 4px; }}
QComboBox::drop-down {{ border: 0; width: 22px; }}
QComboBox::down-arrow {{ image: none; width: 0; height: 0; margin-right: 4px; border-left: 5px solid {base};
    border-right: 5px solid {base}; border-top: 6px solid {text}; }}
QLineEdit:disabled, QPlainTextEdit:disabled, QComboBox:disabled {{ background: {panel}; color: {faint};
    border-color: {rule}; }}
QComboBox::down-arrow:disabled {{ border-color: {panel}; border-top-color: {faint}; }}
QComboBox QAbstractItemView::item {{ min-height: {box-tall}px; padding: 2px 4px; }}
QLineEdit[refused="true"], QPlainTextEdit[refused="true"], QComboBox[refused="true"] {{
    border: 2px solid {error}; padding: 1px 4px; }}
QLineEdit:read-only {{ background: {panel}; }}
QTableView QLineEdit, QTreeView QLineEdit {{ border-radius: 0; min-height: 0; padding: 0 3px; }}
QPushButton, QToolButton {{ min-height: {button-tall}px; padding: 1px 10px; border: 1px solid {edge};
    border-radius: 3px; background: {panel}; color: {text}; }}
QToolButton {{ padding: 1px 6px; }}
QPushButton:hover, QToolButton:hover {{ background: {alternate}; }}
QPushButton:focus, QToolButton:focus {{ border: 2px solid {focus}; }}
QPushButton:pressed, QToolButton:pressed, QToolButton:checked {{ background: {selection-inactive}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {faint}; border-color: {rule}; }}
QPushButton[chief="true"] {{ background: {copper}; color: {on-copper}; border-color: {copper}; }}
QPushButton[chief="true"]:focus {{ border: 2px solid {text}; }}
QPushButton[chief="true"]:disabled {{ background: {panel}; color: {faint}; border-color: {rule}; }}
QCheckBox, QRadioButton {{ min-height: {box-tall}px; spacing: 6px; }}
QTabBar::tab {{ min-height: {box-tall}px; padding: 2px 12px; border: 1px solid transparent;
    border-bottom: 2px solid {rule}; color: {faint}; background: {window}; }}
QTabBar::tab:selected {{ color: {text}; border-bottom: 2px solid {copper}; font-weight: bold; }}
QTabBar:focus {{ outline: none; }}
QTabBar::tab:focus {{ border: 1px solid {focus}; border-bottom: 2px solid {copper}; }}
QTabBar::scroller {{ width: 48px; }}
QTabWidget::pane {{ border: 0; border-top: 1px solid {rule}; }}
QSplitter::handle {{ background: {rule}; }}
QSplitter::handle:hover, QSplitter::handle:focus {{ background: {focus}; }}
QGroupBox {{ border: 1px solid {rule}; border-radius: 3px; margin-top: 1.1em; padding-top: 4px; }}
QGroupBox::title {{ subcontrol-origin: margin; left: 6px; padding: 0 3px; color: {faint}; }}
QMenu::item {{ min-height: {button-tall}px; padding: 2px 24px 2px 12px; }}
QMenu::item:selected {{ background: {highlight}; color: {on-highlight}; }}
QLabel[faint="true"] {{ color: {faint}; }}
QLabel[heading="true"] {{ font-weight: bold; }}
QLabel[error="true"] {{ color: {error}; }}
QLabel[money="true"] {{ color: {copper}; font-weight: bold; }}
#rail {{ background: {panel}; border-right: 1px solid {rule}; }}
#rail QToolButton {{ border: 0; border-radius: 0; padding: 6px 4px; background: transparent; color: {text}; }}
#rail QToolButton:checked {{ background: {base}; border-left: 4px solid {copper}; font-weight: bold; }}
#rail QToolButton:focus {{ border: 2px solid {focus}; }}
#notice {{ background: {alternate}; border: 1px solid {edge}; border-left: 5px solid {copper}; }}
#notice[bad="true"] {{ border-left: 5px solid {error}; }}
"""


def wear(app: QApplication, name: str) -> None:
    """Dress the application in a theme."""
    theme = theme_named(name)
    app.setProperty(PROPERTY, name)
    app.setStyle("Fusion")
    app.setPalette(palette_of(theme))
    app.setPalette(_boxes(theme), "QCheckBox")  # type: ignore[arg-type]  # the stub asks for bytes, which it refuses
    app.setPalette(_boxes(theme), "QRadioButton")  # type: ignore[arg-type]
    # Layouts squeeze a field down to what the style sheet says, so that has to grow with the letters.
    line = QFontMetrics(app.font()).height()
    sheet = SHEET.replace("{{", "\x00").replace("}}", "\x01")
    for role, colour in theme.ui.items():
        sheet = sheet.replace("{" + role + "}", colour)
    for part, least in (("field-tall", max(20, line + 2)), ("button-tall", max(22, line)), ("box-tall", max(24, line))):
        sheet = sheet.replace("{" + part + "}", str(least))
    app.setStyleSheet(sheet.replace("\x00", "{").replace("\x01", "}"))


def theme_now() -> Theme:
    """The theme that is worn."""
    app = QApplication.instance()
    name = app.property(PROPERTY) if app is not None else None
    return theme_named(name or "light")


def is_dark() -> bool:
    """Whether the dark one is."""
    return theme_now().name == "dark"


def role_colour(role: str) -> QColor:
    """The colour of a role of the window, in the theme that is worn."""
    return QColor(theme_now().ui[role])


def palette_of(theme: Theme) -> QPalette:
    """The Qt palette of a theme."""
    palette, ui = QPalette(), theme.ui
    roles = {
        QPalette.ColorRole.Window: "window",
        QPalette.ColorRole.WindowText: "text",
        QPalette.ColorRole.Base: "base",
        QPalette.ColorRole.AlternateBase: "alternate",
        QPalette.ColorRole.Text: "text",
        QPalette.ColorRole.Button: "panel",
        QPalette.ColorRole.ButtonText: "text",
        QPalette.ColorRole.BrightText: "error",
        QPalette.ColorRole.Highlight: "highlight",
        QPalette.ColorRole.HighlightedText: "on-highlight",
        QPalette.ColorRole.ToolTipBase: "panel",
        QPalette.ColorRole.ToolTipText: "text",
        QPalette.ColorRole.PlaceholderText: "faint",
        QPalette.ColorRole.Link: "link",
        QPalette.ColorRole.LinkVisited: "link",
        QPalette.ColorRole.Light: "base",
        QPalette.ColorRole.Midlight: "alternate",
        QPalette.ColorRole.Mid: "rule",
        QPalette.ColorRole.Dark: "edge",
        QPalette.ColorRole.Shadow: "edge",
        QPalette.ColorRole.Accent: "copper",
    }
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive, QPalette.ColorGroup.Disabled):
        for role, name in roles.items():
            palette.setColor(group, role, QColor(ui[name]))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(ui["faint"]))
    palette.setColor(QPalette.ColorGroup.Inactive, QPalette.ColorRole.Highlight, QColor(ui["selection-inactive"]))
    palette.setColor(QPalette.ColorGroup.Inactive, QPalette.ColorRole.HighlightedText, QColor(ui["text"]))
    return palette


def _boxes(theme: Theme) -> QPalette:
    """For boxes to tick: Fusion frames them in the window's colour made darker, which is seen on neither theme. With
    another window colour, which is used for nothing else in them, the frame comes out as the edge."""
    edge, palette = QColor(theme.ui["edge"]), palette_of(theme)
    lighter = (edge.lighter(part) for part in range(100, 260, 2))
    ground = min(lighter, key=lambda colour: _apart(colour.darker(140).lighter(110), edge))
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive, QPalette.ColorGroup.Disabled):
        palette.setColor(group, QPalette.ColorRole.Window, ground)
    return palette


def _apart(one: QColor, other: QColor) -> int:
    return abs(one.red() - other.red()) + abs(one.green() - other.green()) + abs(one.blue() - other.blue())


@lru_cache(maxsize=128)
def _drawn(name: str, colour: str) -> QIcon:
    try:
        svg = resource("icons", f"{name}.svg").decode("utf-8").replace("currentColor", colour)
    except OSError:
        return QIcon()  # every icon has its word beside it, so the window works without
    renderer = QSvgRenderer(QByteArray(svg.encode("utf-8")))
    picture = QPixmap(ICON, ICON)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    renderer.render(painter, QRectF(0, 0, ICON, ICON))
    painter.end()
    return QIcon(picture)


def icon(name: str, role: str = "text") -> QIcon:
    """An icon of ``resources/icons`` in a role's colour."""
    return _drawn(name, theme_now().ui[role])
