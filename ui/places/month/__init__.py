"""Month: reports to look at, save, send and print."""

from ui.places.month.place import MonthPlace

__all__ = ["MonthPlace"]
