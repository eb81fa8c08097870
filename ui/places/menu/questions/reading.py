"""What is typed into the fields of a question, read. What has two readings is refused, with both of them."""

import re
from collections.abc import Callable, Iterable, Sequence

from costing.supply.packs.numbers import parse_number
from costing.tongue import say
from ui.folding import fold, holds

Names = Sequence[tuple[str, str]]
"""(id, name) of what may be named."""
BETWEEN = ";"
"""Between drinks that are listed in one line: names have commas in them."""
MOST = 1e7
_FIGURE = re.compile(r"^(?P<name>.*[^\s:=])[\s:=]+(?P<figure>[0-9][0-9.,']*\s*%?)$")
_STAFF = re.compile(r"(?P<people>[0-9.,]+)\s*[x×*]\s*(?P<hours>[0-9.,]+)\s*h?\s*@\s*(?P<rate>[0-9.,]+)", re.IGNORECASE)


def read_number(text: str, least: float = 0.0, most: float = MOST) -> float:
    """A number from ``least`` to ``most``. ValueError for any other, and for what is none."""
    value = float(parse_number(text.strip()))
    if not least <= value <= most:
        raise ValueError(say("{text} must lie from {least} to {most}", text=text.strip(), least=f"{least:g}",
                             most=f"{most:,.0f}"))  # fmt: skip
    return value


def read_above(text: str, most: float = MOST) -> float:
    """A number above 0. ValueError for any other."""
    value = read_number(text, 0.0, most)
    if value == 0:
        raise ValueError(say("{text} must be above 0", text=text.strip()))
    return value


def read_whole(text: str, least: int, most: int) -> int:
    """A whole number from ``least`` to ``most``. ValueError for any other."""
    value = read_number(text, least, most)
    if value != int(value):
        raise ValueError(say("{text} must be a whole number", text=text.strip()))
    return int(value)


def read_share(text: str, most: float = 1.0) -> float:
    """A share: "40 %" and "40" are 0.4. ValueError for a bare number above 0 and up to 1, which may be a share or per
    cent, and outside 0 to ``most``."""
    work = text.strip()
    bare = work.removesuffix("%").strip()
    value = float(parse_number(bare))
    if bare == work and 0 < value <= 1:
        raise ValueError(say("“{text}” may be {text} % or {share} %: write it with the sign %", text=work,
                             share=f"{100 * value:g}"))  # fmt: skip
    if not 0 <= value <= 100 * most:
        raise ValueError(say("“{text}” must lie from 0 % to {most} %", text=work, most=f"{100 * most:g}"))
    return value / 100


def find_name(text: str, names: Names) -> str:
    """The id of what is called so, case and accents aside. ValueError where nothing is, or more than one thing."""
    wanted = fold(text)
    found = list(dict.fromkeys(ident for ident, name in names if fold(name) == wanted))
    if len(found) == 1:
        return found[0]
    if found:
        raise ValueError(say("more than one is called “{name}”: give them names of their own", name=text.strip()))
    near = [name for _, name in names if holds(fold(name), wanted.split())] if wanted else []
    if near:
        raise ValueError(say("there is no “{text}” here: did you mean {name}?", text=text.strip(), name=near[0]))
    raise ValueError(say("there is no “{text}” here: Alt+Down or typing lists what there is", text=text.strip()))


def read_list(
    text: str, names: Names, figure: Callable[[str], float], *, bare: bool = False
) -> tuple[tuple[str, float | None], ...]:
    """Things with a figure behind each, in one line: "Quay Walnut 40 %; Night Ferry 20 %". ``bare`` ones may stand
    without a figure, which is None then. ValueError for one that cannot be read, and for one that is named twice."""
    out: dict[str, float | None] = {}
    for part in filter(None, (part.strip() for part in text.split(BETWEEN))):
        ident, value = _part(part, names, figure)
        if value is None and not bare:
            raise ValueError(say("write how much behind “{name}”", name=part))
        if ident in out:
            raise ValueError(say("“{name}” is named twice: name it once, with all of it", name=part))
        out[ident] = value
    return tuple(out.items())


def _part(part: str, names: Names, figure: Callable[[str], float]) -> tuple[str, float | None]:
    wanted, found = fold(part), _FIGURE.match(part)
    if any(fold(name) == wanted for _, name in names) or found is None:
        return find_name(part, names), None  # a name may end with a figure itself
    return find_name(found["name"], names), figure(found["figure"])


def offered(text: str, names: Iterable[str]) -> list[str]:
    """Whole lines that go on from a line of things: its last name carried on to each that holds what was typed."""
    head, sign, tail = text.rpartition(BETWEEN)
    words, known = fold(tail).split(), list(names)
    if not words or any(fold(name) == fold(tail) for name in known):
        return []
    before = f"{head}{sign} " if sign else ""
    return [before + name for name in known if holds(fold(name), words)]


def read_staff(text: str) -> tuple[tuple[float, float, float], ...]:
    """(people, hours each, money an hour) of "3 x 5 h @ 22; 1 x 8 @ 18"."""
    out = []
    for part in filter(None, (part.strip() for part in text.split(BETWEEN))):
        found = _STAFF.fullmatch(part)
        if found is None:
            raise ValueError(say("“{text}” is not staff: write people x hours @ money an hour, like 3 x 5 @ 22",
                                 text=part))  # fmt: skip
        out.append((read_number(found["people"]), read_number(found["hours"]), read_number(found["rate"])))
    return tuple(out)
