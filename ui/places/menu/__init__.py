"""Menu: what drinks are sold at, what that leaves, and what they should be sold at."""

from ui.places.menu.place import MenuPlace

__all__ = ["MenuPlace"]
