"""What this computer remembers: theme, language, size of letters, how the window stands, recent books. Never a figure
of the house: those are in its book, and undone with it."""

import json
from pathlib import Path

from PySide6.QtCore import QSettings

RECENT, MOST_RECENT = "recent", 8
THEMES = ("system", "light", "dark")
SMALLEST, LARGEST, USUAL = 7.0, 22.0, 9.0
"""Size of letters in points; at the largest everything is more than twice its usual size."""


class Settings:
    """Plain values by key in one settings file."""

    def __init__(self, path: Path | None = None) -> None:
        """``path`` is the file (a test's own); None is where this system keeps a user's settings."""
        self._kept = QSettings() if path is None else QSettings(str(path), QSettings.Format.IniFormat)

    @property
    def file(self) -> Path:
        """Where they are kept."""
        return Path(self._kept.fileName())

    def get(self, key: str, default: object = None) -> object:
        """What was kept under ``key``; the default where nothing was, or where it cannot be read."""
        text = self._kept.value(key)
        if not isinstance(text, str):
            return default
        try:
            return json.loads(text)
        except ValueError:
            return default

    def put(self, key: str, value: object) -> None:
        """Keep a plain value. ValueError for one that JSON cannot hold."""
        self._kept.setValue(key, json.dumps(value, ensure_ascii=True))

    def forget(self, key: str) -> None:
        """Keep nothing under ``key`` any more."""
        self._kept.remove(key)

    def save(self) -> None:
        """Write what is kept to the disk now."""
        self._kept.sync()

    @property
    def theme(self) -> str:
        """system, light or dark."""
        found = self.get("theme", "system")
        return found if isinstance(found, str) and found in THEMES else "system"

    @theme.setter
    def theme(self, name: str) -> None:
        if name not in THEMES:
            raise ValueError(f"{name!r} is not a theme: one of {', '.join(THEMES)}")
        self.put("theme", name)

    @property
    def language(self) -> str:
        """The language of the window; "" for that of the machine."""
        found = self.get("language", "")
        return found if isinstance(found, str) else ""

    @language.setter
    def language(self, tag: str) -> None:
        self.put("language", tag)

    @property
    def points(self) -> float:
        """Size of letters in points."""
        found = self.get("points", USUAL)
        return min(LARGEST, max(SMALLEST, float(found))) if isinstance(found, int | float) else USUAL

    @points.setter
    def points(self, value: float) -> None:
        self.put("points", min(LARGEST, max(SMALLEST, value)))

    @property
    def recent(self) -> tuple[Path, ...]:
        """Books opened lately that are still there, the last one first."""
        found = self.get(RECENT, [])
        paths = [Path(text) for text in found if isinstance(text, str)] if isinstance(found, list) else []
        return tuple(path for path in paths if path.is_file())

    def opened(self, path: Path) -> None:
        """Put a book first among the recent ones."""
        full = path.absolute()
        self.put(RECENT, [str(p) for p in (full, *(q for q in self.recent if q != full))][:MOST_RECENT])
