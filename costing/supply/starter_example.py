"""The rows marked "example" in an empty starter workbook: one small invented bar that is a sound book by itself."""

from functools import cache

from costing.book.book import Book
from costing.book.plain import Plain, record_from_plain

_DAY = "2026-01-01"
_RECORDS: tuple[tuple[str, Plain], ...] = (
    ("house", {"id": "house", "name": "The Copper Gull", "currency": "EUR", "labour": "hour-of-hands",
               "standard_drink": "10 g", "measures": {"dash": "~0.8 ml"},
               "terms": [{"since": _DAY, "levies": [{"name": "Service", "rate": "0.10"},
                                                    {"name": "VAT", "rate": "0.19", "on": "running"}],
                          "points": {"step": "0.50"}, "policy": {"kind": "pour_cost", "value": "0.18"}}]}),
    ("supplier", {"id": "quayside-fruit", "name": "Quayside Fruit", "note": "Mornings, six days a week"}),
    ("supplier", {"id": "tar-lane-spirits", "name": "Tar Lane Spirits"}),
    ("supplier", {"id": "house-rates", "name": "House rates", "note": "What an hour costs this house"}),
    ("good", {"id": "lemon", "name": "Lemon", "kind": "fruit", "base": "kg",
              "makeup": {"water": "~89 %", "solubles": "~8 %"},
              "piece": "~110 g", "preferred": "quayside-fruit"}),
    ("good", {"id": "white-rum", "name": "White rum", "kind": "spirit", "base": "l",
              "makeup": {"abv": {"text": "40 % vol", "value": "40", "unit": "% vol", "how": "label"}},
              "allergens": [{"name": "milk", "state": "free", "who": "Tar Lane Spirits", "since": _DAY,
                             "label": "product sheet"}]}),
    ("good", {"id": "sugar", "name": "Sugar", "kind": "sugar", "base": "kg", "makeup": {"solubles": "100 %"}}),
    ("good", {"id": "water", "name": "Water", "kind": "water", "base": "kg"}),
    ("good", {"id": "ice-for-one", "name": "Ice for one", "kind": "ice", "base": "each"}),
    ("good", {"id": "hour-of-hands", "name": "Hour of hands", "kind": "labour", "base": "h", "layer": "labour"}),
    *(("quote", {"id": f"{good}-{by}-{_DAY}", "good": good, "supplier": by, "content": content, "price": price,
                 "currency": "EUR", "since": _DAY, **more})
      for good, by, content, price, more in (
          ("lemon", "quayside-fruit", "10 kg", "24.60", {}),
          ("white-rum", "tar-lane-spirits", "0.7 l", "84.00", {"levels": [6], "code": "TL-204"}),
          ("sugar", "quayside-fruit", "1 kg", "13.00", {"levels": [10]}),
          ("water", "house-rates", "1000 kg", "4.00", {}),
          ("ice-for-one", "house-rates", "100 each", "12.00", {}),
          ("hour-of-hands", "house-rates", "1 h", "21.00", {}))),
    ("technique", {"id": "shaken", "name": "Shaken", "like": "shaken"}),
    ("glass", {"id": "coupe", "name": "Coupe", "capacity": "180 ml"}),
    ("preparation", {"id": "lemon-juice", "name": "Lemon juice", "shelf_days": 1, "versions": [{
        "since": _DAY, "density": {"text": "1.031 kg/l", "value": "1.031", "unit": "kg/l", "how": "scales"},
        "stages": [{"id": "juice", "kind": "juice", "adds": [{"source": "lemon", "amount": "2.33 kg"}],
                    "readings": {"out.mass": {"text": "1.00 kg", "value": "1.00", "unit": "kg",
                                              "how": "scales, jug tared"}}, "active": "8 min"}]}]}),
    ("preparation", {"id": "sugar-syrup", "name": "Sugar syrup", "versions": [{
        "since": _DAY, "stages": [{"id": "dissolve", "kind": "dissolve", "active": "5 min", "adds": [
            {"source": "sugar", "amount": "1.00 kg"}, {"source": "water", "amount": "1.00 kg"}]}]}]}),
    ("serve", {"id": "gull-sour", "name": "Gull Sour", "versions": [{
        "since": _DAY, "technique": "shaken", "glass": "coupe", "seconds": "90 s",
        "build": {"id": "build", "kind": "build", "adds": [
            {"source": "white-rum", "amount": "50 ml", "spill": "~3 %"}, {"source": "lemon-juice", "amount": "25 ml"},
            {"source": "sugar-syrup", "amount": "20 ml"}, {"source": "ice-for-one", "amount": "1"}]}}]}),
    ("menu", {"id": "evening", "name": "Evening", "sections": [{"name": "Sours", "lines": [
        {"serve": "gull-sour", "prices": [{"since": _DAY, "price": "12.50"}]}]}]}),
)  # fmt: skip


@cache
def example_book() -> Book:
    """The invented bar."""
    return Book.of(record_from_plain(kind, data) for kind, data in _RECORDS)
