"""Buying better: suppliers compared as landed, substitutes, price indices."""
