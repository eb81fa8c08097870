"""Yield tests of the invented bar: what was weighed as purchased, and what of it could be used."""

from sample_data.forms import Plain, fact, kept

TARED = "scales, crate tared"
_TESTS: list[tuple[str, str, str, str, str, str, str]] = [
    ("pineapple", "2026-03-16", "6.20 kg", "3.28 kg", "flesh", "PH", "10 fruit"),
    ("pineapple", "2026-03-23", "5.80 kg", "3.07 kg", "flesh", "PH", "10 fruit"),
    ("pineapple", "2026-03-30", "6.40 kg", "3.40 kg", "flesh", "EH", "11 fruit"),
    ("pineapple", "2026-04-06", "6.10 kg", "3.22 kg", "flesh", "PH", "10 fruit"),
    ("lime", "2026-04-20", "3.00 kg", "1.352 kg", "juice", "EH", "cold from the crate"),
    ("lime", "2026-05-04", "3.00 kg", "1.349 kg", "juice", "EH", "cold from the crate"),
    ("lime", "2026-05-11", "3.00 kg", "1.455 kg", "juice", "SL", "warmed and rolled first"),
    ("ginger", "2026-02-09", "1.500 kg", "1.365 kg", "peeled", "PH", ""),
    ("cucumber", "2026-06-08", "4.20 kg", "4.07 kg", "ends off", "PH", ""),
]
YIELD_TESTS: list[Plain] = [
    {"id": f"{good}-{part.replace(' ', '-')}-{day}", "good": good, "day": day, "gross": fact(gross, TARED),
     "kept": fact(left, TARED), "part": part} | kept(initials=who, note=note)
    for good, day, gross, left, part, who, note in _TESTS
]  # fmt: skip
