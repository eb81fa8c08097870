"""Theme, language and size of letters of one run: as asked for on the command line, as kept, or as the machine has."""

from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from costing.tongue import languages
from ui.app import dress
from ui.settings import Settings


class Dressing:
    """What the application wears. What was asked for holds until something else is chosen in the settings."""

    def __init__(self, app: QApplication, settings: Settings, theme: str | None, language: str | None) -> None:
        self.app, self.settings = app, settings
        self._theme, self._language = theme, language
        self._worn = "", 0.0

    @property
    def language(self) -> str:
        """The language of this run: as asked for, as kept, or the machine's where there is a catalogue of it."""
        wanted = self._language or self.settings.language
        if wanted:
            return wanted
        machine = QLocale.system().name().partition("_")[0]
        return machine if machine in languages() else "en"

    @property
    def as_the_system(self) -> bool:
        """Whether the theme follows the machine's."""
        return (self._theme or self.settings.theme) == "system"

    @property
    def theme(self) -> str:
        """light or dark."""
        if not self.as_the_system:
            return self._theme or self.settings.theme
        dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
        return "dark" if dark else "light"

    def choose(self) -> None:
        """From now on as the settings say."""
        self._theme = self._language = None

    @property
    def fits(self) -> bool:
        """Whether the window that stands speaks and writes as it should, so that a theme alone has to be put on."""
        return (self.language, self.settings.points) == self._worn

    def put_on(self) -> None:
        """Put on theme, language and letters."""
        try:
            dress(self.app, theme=self.theme, language=self.language, points=self.settings.points)
        except ValueError:  # a language that was kept and is not there any more
            self._language = "en"
            dress(self.app, theme=self.theme, language="en", points=self.settings.points)
        self._worn = self.language, self.settings.points
