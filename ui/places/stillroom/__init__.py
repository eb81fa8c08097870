"""Stillroom: what the house makes, stage by stage, and what is lost on the way."""

from ui.places.stillroom.place import StillroomPlace

__all__ = ["StillroomPlace"]
