"""Open the window on a book, wait until it is painted, and leave: ``python -m tests.ui.once BOOK [PLACE ...]``.

Used to count starts and exits, and to measure a cold start; settings are kept in a folder that is thrown away.
"""

import sys
import tempfile
from datetime import date
from pathlib import Path


def main(arguments: list[str]) -> int:
    """The exit code of the application."""
    from PySide6.QtCore import QTimer

    from ui.starting import run

    book, *places = arguments
    with tempfile.TemporaryDirectory() as folder:

        def shown(window: object) -> None:
            for name in places:
                window.show_place(name)  # type: ignore[attr-defined]
            QTimer.singleShot(0, window.close)  # type: ignore[attr-defined]

        return run(Path(book), date(2026, 11, 1), settings=Path(folder) / "settings.ini", shown=shown)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
