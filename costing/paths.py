"""The one place that finds what ships beside the code: fonts, tables and the sample bar."""

from importlib.resources import files
from pathlib import Path


def resource(*parts: str) -> bytes:
    """The bytes of one shipped file, for example ``resource("fonts", "DejaVuSans.ttf")``. OSError when missing."""
    return files("resources").joinpath(*parts).read_bytes()


def names_in(folder: str) -> tuple[str, ...]:
    """The names of the files in a shipped folder. OSError when it is missing."""
    return tuple(sorted(entry.name for entry in files("resources").joinpath(folder).iterdir()))


def sample_book() -> Path:
    """The sample bar in the plain JSON form. FileNotFoundError when the installation lacks it."""
    path = Path(str(files("sample_data"))) / "book.json"
    if not path.exists():
        raise FileNotFoundError(f"the sample is missing from the installation: {path}")
    return path
