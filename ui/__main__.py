"""Start the window: python -m ui [BOOK]."""

import argparse
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path


def parser() -> argparse.ArgumentParser:
    """The command line of the window."""
    made = argparse.ArgumentParser(
        prog="python -m ui",
        description="Stillroom Ledger: true cost, price and loss ledger for a bar that makes its own ingredients.",
        epilog="Exit: 0 closed in order, 2 a bad call or a book that cannot be opened (one line says why).",
    )
    made.add_argument("book", nargs="?", type=Path, help="the book to open; without it, the last one")
    made.add_argument("--sample", action="store_true", help="open the invented sample bar (a fresh copy of it)")
    made.add_argument("--day", type=date.fromisoformat, help="look at the figures of this day (2026-11-01)")
    made.add_argument("--theme", choices=("light", "dark", "system"), help="for this start only")
    made.add_argument("--language", metavar="TAG", help="for this start only: en, de, ar; en-XA and ar-XB for testing")
    made.add_argument("--pictures", type=Path, metavar="DIR", help="render every place of the sample to DIR and leave")
    return made


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the window; the exit code."""
    given = parser().parse_args(arguments)
    # Qt and the window are read only now, so that --help answers at once and without a screen.
    from ui.starting import start  # noqa: PLC0415

    return start(given)


if __name__ == "__main__":
    sys.exit(main())
