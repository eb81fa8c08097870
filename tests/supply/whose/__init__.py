"""Whose price is it: pairs, laws, and figures measured on invented catalogues."""
