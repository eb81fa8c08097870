"""Light and dark: the same roles with other colours, from ``resources/themes``."""

from ui.theme.roles import NAMES, Theme, theme_named
from ui.theme.wear import icon, is_dark, role_colour, theme_now, wear

__all__ = ["NAMES", "Theme", "icon", "is_dark", "role_colour", "theme_named", "theme_now", "wear"]
