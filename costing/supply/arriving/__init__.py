"""What arrives from a supplier, as data: cells of a table, lines with prices, and every doubt about them by name."""
