"""The five places of the house."""
