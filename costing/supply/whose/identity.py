"""What identifies a line before its words do: the supplier's code, the GTIN, a text that somebody confirmed."""

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.whose.fold import plain
from costing.supply.whose.record import Asked, How, Known, Remembered

_JOINTS = str.maketrans("", "", "-\u2010\u2011\u2012\u2013\u2014\u2212./\\")
"""Hyphens, dashes, dots and slashes, which one writes into a code and another does not."""
_DECIMAL = re.compile(r"[0-9]+\.0+")
"""A number that a sheet wrote with decimals: "417.0" is not the code 4170."""
_Key = tuple[str, str]
"""A supplier and one of its codes."""
_Index = Mapping[tuple[str, str], tuple[Known, ...]]


@dataclass(frozen=True, slots=True)
class Claim:
    """``known`` are the things that one of the three means. ``good`` is "" where they are several goods'."""

    how: How
    known: tuple[Known, ...]

    @property
    def goods(self) -> tuple[str, ...]:
        """Ids, sorted."""
        return tuple(sorted({item.good for item in self.known}))


@dataclass(frozen=True, slots=True)
class Found:
    """``claim`` counts; None where nothing identifies the line or several goods bear its identity, which are then
    ``among``. ``doubts`` say where identities contradict one another. ``confirmed`` where somebody confirmed the
    line's very text for that good."""

    claim: Claim | None = None
    among: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    confirmed: bool = False


def restricted(gtin: str) -> bool:
    """Whether a GTIN-14 text holds a number that a company or region gives out for itself, so that two suppliers may
    use it for two things: GS1 prefixes 020-029, 040-049 and 200-299, GTIN-8 prefixes 0 and 2 (GS1, list of prefixes).
    """
    if gtin.startswith("000000"):
        return gtin[6:7] in ("0", "2")
    return gtin[1:3] in ("02", "04") or gtin[1:2] == "2"


NOTHING = Found()


class Identities:
    """Codes, GTINs and aliases of everything known. An alias of a good that is not known is passed over."""

    def __init__(self, known: tuple[Known, ...], aliases: Iterable[Remembered]) -> None:
        self.names = {item.good: item.name for item in known}
        of_good: defaultdict[str, list[Known]] = defaultdict(list)
        for item in known:
            of_good[item.good].append(item)
        self.of_good = {good: tuple(items) for good, items in of_good.items()}
        self._codes = _index(((i.supplier, code_key(i.code)), i) for i in known if i.supplier)
        self._bare = _index(((i.supplier, code_key(i.code).lstrip("0")), i) for i in known if i.supplier)
        self._joined = _of_one_spelling(known)
        self._gtins = _index((_gtin_key(i.supplier, i.gtin), i) for i in known)
        self._texts = _index(
            ((alias.supplier, plain(alias.text)), item)
            for alias in aliases
            for item in self.of_good.get(alias.good, ())
        )

    def spelled_twice(self, asked: Iterable[Asked]) -> frozenset[_Key]:
        """Suppliers' joined codes that the lines of a file spell in two ways: they may be two things."""
        spelled: defaultdict[_Key, set[str]] = defaultdict(set)
        for line in asked:
            if line.code and self._joined:
                code = code_key(line.code)
                key = line.supplier, joined_key(code)
                if key in self._joined:
                    spelled[key].add(code)
        return frozenset(key for key, codes in spelled.items() if len(codes) > 1)

    def find(self, asked: Asked, apart: Collection[_Key] = ()) -> Found:
        """Code, then GTIN, then alias; the first that means one good counts, if it is among what those before it mean.
        An alias settles what a code or GTIN leaves open, and a GTIN what a code does.
        Joined codes of ``apart`` are found only as they stand."""
        by_code = self._by_code(asked.supplier, code_key(asked.code), apart) if asked.code else ()
        by_gtin = self._gtins.get(_gtin_key(asked.supplier, asked.gtin), ()) if asked.gtin else ()
        by_text = self._texts.get((asked.supplier, plain(asked.name)), ()) if self._texts else ()
        if not by_code and not by_gtin and not by_text:
            return NOTHING
        claims = (Claim("code", by_code), Claim("gtin", by_gtin), Claim("alias", by_text))
        return self._weigh([claim for claim in claims if claim.known])

    def _by_code(self, supplier: str, code: str, apart: Collection[_Key]) -> tuple[Known, ...]:
        """What bears a code: as it stands, with other zeros before it, with other hyphens in it."""
        found = self._codes.get((supplier, code)) or self._bare.get((supplier, code.lstrip("0")))
        if found:
            return found
        key = supplier, joined_key(code)
        return () if key in apart else self._joined.get(key, ())

    def _weigh(self, claims: list[Claim]) -> Found:
        among: set[str] = set()
        doubts: list[Doubt] = []
        for claim in claims:
            goods = set(claim.goods)
            left = goods & among if among else goods
            if not left:
                one, other = (self.names[min(found)] for found in (among, goods))
                doubts.append(doubt("two-goods", claim.how, one=one, other=other))
                continue
            among = left
            if len(among) == 1:
                kept = Claim(claim.how, tuple(item for item in claim.known if item.good in among))
                confirmed = any(c.how == "alias" and c.goods == kept.goods for c in claims)
                return Found(kept, (), self._against(kept, claims), confirmed)
            doubts.append(doubt(_TWICE[claim.how], claim.how, count=len(among)))
        return Found(None, tuple(sorted(among)), tuple(doubts))

    def _against(self, kept: Claim, claims: list[Claim]) -> tuple[Doubt, ...]:
        """Identities that mean something else altogether."""
        (good,) = kept.goods
        return tuple(
            doubt("two-goods", claim.how, one=self.names[good], other=self.names[claim.goods[0]])
            for claim in claims
            if good not in claim.goods
        )


_TWICE: Mapping[How, str] = {"code": "code-twice", "gtin": "gtin-shared", "alias": "alias-twice"}


def code_key(code: str) -> str:
    """A supplier's code as it is compared: without case and spaces, "" where it has no letter or digit but 0."""
    key = "".join(code.casefold().split())
    return key if any(ch.isalnum() and ch != "0" for ch in key) else ""


def joined_key(code: str) -> str:
    """A code as ``code_key`` gives it, without hyphens, dots and slashes; "" where they may mean something."""
    return "" if _DECIMAL.fullmatch(code) else code.translate(_JOINTS)


def _of_one_spelling(known: Iterable[Known]) -> _Index:
    """By joined code, but for those that become equal only so."""
    found = _index(((i.supplier, joined_key(code_key(i.code))), i) for i in known if i.supplier)
    return {key: items for key, items in found.items() if len({code_key(item.code) for item in items}) == 1}


def _gtin_key(supplier: str, gtin: str) -> tuple[str, str]:
    if not gtin.strip("0"):
        return "", ""
    return (supplier if restricted(gtin) else ""), gtin


def _index(pairs: Iterable[tuple[tuple[str, str], Known]]) -> _Index:
    out: defaultdict[tuple[str, str], list[Known]] = defaultdict(list)
    for key, item in pairs:
        if key[1]:
            out[key].append(item)
    return {key: tuple(items) for key, items in out.items()}
