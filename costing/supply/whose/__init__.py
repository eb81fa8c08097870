"""Whose price is it: which good of the book a supplier's line means, and what it may mean."""
