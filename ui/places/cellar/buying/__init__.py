"""Buying better: suppliers compared, one ingredient instead of another, and how prices move."""
