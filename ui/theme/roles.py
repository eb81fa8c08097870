"""A theme as data: colours by role, read from a role file."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from costing.paths import resource

ThemeName = Literal["light", "dark"]
NAMES: tuple[ThemeName, ...] = ("light", "dark")


@dataclass(frozen=True, slots=True)
class Theme:
    """One theme: ``ui`` roles of the window, ``figure`` roles of pictures, as #RRGGBB."""

    name: str
    ui: Mapping[str, str]
    figure: Mapping[str, str]


@lru_cache(maxsize=4)
def theme_named(name: str) -> Theme:
    """A theme by name. OSError or KeyError where the installation lacks it or a part of it."""
    data = tomllib.loads(resource("themes", f"{name}.toml").decode("utf-8"))
    return Theme(name, data["ui"], data["figure"])
