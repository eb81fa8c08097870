"""Bar: drinks as they are served, what they cost and what they should be sold at."""

from ui.places.bar.place import BarPlace

__all__ = ["BarPlace"]
