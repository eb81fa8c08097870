"""Published examples of menu engineering, as they are printed; what was recomputed or is from memory says so.

Dittmer and Keefe: Principles of Food, Beverage, and Labor Cost Controls, 9th ed., Wiley 2009. Columns: name, sold (B),
cost (D), net price (E).
"""

from costing.menu.figures import ItemRow

_SOLD = (100, 50, 60, 110, 25, 35, 75, 90, 140, 25, 120, 95)
_COST = (1.25, 1.50, 1.60, 0.95, 2.00, 1.60, 1.10, 2.25, 1.95, 1.95, 2.30, 2.00)
_PRICE = (4.50, 5.00, 6.00, 5.00, 4.50, 5.00, 4.00, 7.00, 6.50, 6.75, 7.50, 6.50)
TWELVE: tuple[ItemRow, ...] = tuple(
    (str(i), sold, cost, price) for i, (sold, cost, price) in enumerate(zip(_SOLD, _COST, _PRICE, strict=True), 1)
)
"""A published worksheet of twelve items, judged at 80 % of an equal share (example A)."""
TWELVE_CLASSES = [
    "plowhorse", "dog", "puzzle", "plowhorse", "dog", "dog", "plowhorse", "star", "star", "puzzle", "star", "star",
]  # fmt: skip

GEORGE: tuple[ItemRow, ...] = (
    ("strip steak", 73, 6.50, 18.90),
    ("fried chicken", 90, 3.90, 12.75),
    ("lamb chops", 55, 7.00, 20.35),
    ("scallops", 92, 5.90, 18.50),
    ("haddock", 85, 4.50, 15.65),
    ("turkey", 92, 3.00, 12.00),
    ("stuffed shrimp", 77, 6.70, 18.50),
    ("veal", 65, 6.50, 18.75),
)
"""The textbook's exercise of one week, eight items (Dittmer and Keefe, problems of chapter 11; example B)."""
GEORGE_CLASSES = [
    "star", "plowhorse", "puzzle", "star", "plowhorse", "plowhorse", "star", "star",
]  # fmt: skip

TEN: tuple[ItemRow, ...] = (
    ("shrimp", 210, 4.85, 7.95),
    ("chicken", 420, 2.21, 4.95),
    ("chopped sirloin", 90, 1.95, 4.50),
    ("prime rib", 600, 4.95, 7.95),
    ("king rib", 60, 5.65, 9.95),
    ("strip", 360, 4.50, 8.50),
    ("top sirloin", 510, 4.30, 7.95),
    ("snapper", 240, 3.95, 6.95),
    ("lobster", 150, 4.95, 9.50),
    ("tips", 360, 4.00, 6.45),
)
"""The ten items of Kasavana and Smith, Menu Engineering, 1982: from memory, consistent in itself (example C)."""
TEN_CLASSES = [
    "plowhorse", "plowhorse", "dog", "plowhorse", "puzzle", "star", "star", "plowhorse", "puzzle", "plowhorse",
]  # fmt: skip
