"""Widgets that every place uses."""
