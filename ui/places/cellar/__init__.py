"""Cellar: suppliers, ingredients, and what they cost from day to day."""

from ui.places.cellar.place import CellarPlace

__all__ = ["CellarPlace"]
