"""Units and packages by their UN/ECE codes (Recommendation 20 and 21), typed by hand: the published column of factors
has decimal commas, spaced digits and a wrong power.

Factors are exact by definition: international pound and US gallon by NIST SP 811, imperial gallon by the UK Units of
Measurement Regulations 1995, the US bushel as 2150.42 cubic inches.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

Dim = Literal["ml", "g", "each", "package", "alcohol", "ratio"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCode:
    """What a code measures: ``factor`` base units of ``dim`` (ml, g, pieces; ml of pure alcohol).

    A "package" says what it comes in (``package``, a word such as "case") and never how much: its factor is 1.
    ``note`` is the code of a doubt: "unit-deprecated" (deleted from the list, still met), "unit-unlisted" (never in
    it), "unit-barrel" (the oil barrel), "unit-pen" (a pen by the list, a pallet as it is used), "unit-keg" (KG).
    """

    code: str
    dim: Dim
    factor: Decimal = Decimal(1)
    package: str = ""
    note: str = ""


_INCH = Decimal("16.387064")  # ml in a cubic inch
_US_GALLON, _UK_GALLON = 231 * _INCH, Decimal("4546.09")
_BUSHEL = Decimal("2150.42") * _INCH
_POUND = Decimal("453.59237")
_ML: Mapping[str, Decimal] = {
    "MLT": Decimal(1), "CMQ": Decimal(1), "CLT": Decimal(10), "DLT": Decimal(100), "LTR": Decimal(1000),
    "DMQ": Decimal(1000), "A44": Decimal(10_000), "HLT": Decimal(100_000), "MTQ": Decimal(1_000_000),
    "GLL": _US_GALLON, "QTL": _US_GALLON / 4, "PTL": _US_GALLON / 8, "GIA": _US_GALLON / 32, "OZA": _US_GALLON / 128,
    "GLI": _UK_GALLON, "QTI": _UK_GALLON / 4, "PTI": _UK_GALLON / 8, "GII": _UK_GALLON / 32, "OZI": _UK_GALLON / 160,
    "BUA": _BUSHEL, "QTD": _BUSHEL / 32, "PTD": _BUSHEL / 64, "BUI": _UK_GALLON * 8, "BLL": _US_GALLON * 42,
}  # fmt: skip
_G: Mapping[str, Decimal] = {
    "MGM": Decimal("0.001"), "GRM": Decimal(1), "DJ": Decimal(10), "HGM": Decimal(100), "KGM": Decimal(1000),
    "DTN": Decimal(100_000), "TNE": Decimal(1_000_000), "M86": Decimal(500), "ONZ": _POUND / 16, "LBR": _POUND,
    "STI": _POUND * 14, "CWA": _POUND * 100, "CWI": _POUND * 112, "STN": _POUND * 2000, "LTN": _POUND * 2240,
    "APZ": Decimal("31.1034768"),
}  # fmt: skip
_EACH = {"C62": 1, "H87": 1, "EA": 1, "NAR": 1, "PTN": 1, "PR": 2, "NPR": 2, "DZN": 12, "GRO": 144, "CEN": 100,
         "MIL": 1000}  # fmt: skip
_BOX: Mapping[str, str] = {
    "XAE": "aerosol", "XBA": "barrel", "XBC": "bottle crate", "XBE": "bundle", "XBG": "bag", "XBH": "bunch",
    "XBI": "bin", "XBJ": "bucket", "XBK": "basket", "XBO": "bottle", "XBQ": "bottle", "XBR": "bar", "XBS": "bottle",
    "XBV": "bottle", "XBW": "box for liquids", "XBX": "box", "XCA": "can", "XCB": "beer crate", "XCI": "canister",
    "XCK": "cask", "XCO": "carboy", "XCP": "carboy", "XCR": "crate", "XCS": "case", "XCT": "carton", "XCU": "cup",
    "XCX": "can", "XCY": "cylinder", "XDJ": "demijohn", "XDP": "demijohn", "XDR": "drum", "XEC": "plastic bag",
    "XFC": "fruit crate", "XFI": "firkin", "XFL": "flask", "XGB": "gas bottle", "XGR": "glass", "XHG": "hogshead",
    "XIH": "plastic drum",
    "XJC": "jerrican", "XJG": "jug", "XJR": "jar", "XJY": "jerrican", "XKG": "keg", "XLU": "lug", "XMC": "milk crate",
    "XNT": "net", "XOU": "outer", "XPA": "packet", "XPC": "parcel", "XPG": "plate", "XPJ": "punnet", "XPK": "package",
    "XPL": "pail", "XPO": "pouch", "XPP": "piece", "XPT": "pot", "XPU": "tray", "XPX": "pallet", "XRO": "roll",
    "XSA": "sack", "XSC": "shallow crate", "XSH": "sachet", "XSW": "shrinkwrap", "XSY": "sleeve", "XTB": "tub",
    "XTN": "tin", "XTU": "tube", "XUN": "unit", "XVI": "vial", "XVP": "vacuum pack", "SET": "set", "NMP": "pack",
    "DZP": "dozen packs", "XPF": "pen",
}  # fmt: skip
_BARE = "BE BG BJ BK BO BX CA CR CS CT CX DR JR PA PC PG PK PL PX RO SA TB TN TU VI"
_DELETED: Mapping[str, str] = {**{bare: f"X{bare}" for bare in _BARE.split()}, "PT": "PTL", "QT": "QTL", "PF": "XPX"}
_UNLISTED: Mapping[str, str] = {
    "L": "LTR", "LT": "LTR", "ML": "MLT", "CL": "CLT", "DL": "DLT", "HL": "HLT", "G": "GRM", "GR": "GRM", "KGS": "KGM",
    "LB": "LBR", "LBS": "LBR", "PCE": "H87", "PCS": "H87", "PC.": "H87", "STK": "H87", "ST": "H87", "EACH": "EA",
}  # fmt: skip
"""What documents write for a code and the list never had; common practice, no source."""


def _table() -> Mapping[str, UnitCode]:
    rows: dict[str, UnitCode] = {}
    for code, factor in _ML.items():
        rows[code] = UnitCode(code=code, dim="ml", factor=factor, note="unit-barrel" if code == "BLL" else "")
    for code, factor in _G.items():
        rows[code] = UnitCode(code=code, dim="g", factor=factor)
    for code, many in _EACH.items():
        rows[code] = UnitCode(code=code, dim="each", factor=Decimal(many))
    for code, package in _BOX.items():
        rows[code] = UnitCode(code=code, dim="package", package=package, note="unit-pen" if code == "XPF" else "")
    rows["LPA"] = UnitCode(code="LPA", dim="alcohol", factor=Decimal(1000))
    for code in ("ASU", "ASM", "P1"):
        rows[code] = UnitCode(code=code, dim="ratio", factor=Decimal("0.01"))
    for alias, code in _DELETED.items():
        note = "unit-pen" if alias == "PF" else "unit-deprecated"
        rows[alias] = _as(rows[code], alias, note)
    for alias, code in _UNLISTED.items():
        rows[alias] = _as(rows[code], alias, "unit-unlisted")
    rows["KG"] = _as(rows["KGM"], "KG", "unit-keg")
    return MappingProxyType(rows)


def _as(known: UnitCode, alias: str, note: str) -> UnitCode:
    return UnitCode(code=alias, dim=known.dim, factor=known.factor, package=known.package, note=note)


_UNITS = _table()


def unit_of_code(code: str) -> UnitCode | None:
    """What a unit or package code of UN/ECE Rec 20 or 21 stands for, in any case; None for one that is not known here.

    C62, H87, EA and NAR all mean one piece. Codes that were deleted and others that are only usage carry a ``note``.
    """
    return _UNITS.get(code.strip().upper())
