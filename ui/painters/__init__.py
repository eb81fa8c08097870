"""Painters of pictures on the screen; the same shapes that the pages print."""

from ui.painters.painter_qt import measure_qt, paint

__all__ = ["measure_qt", "paint"]
