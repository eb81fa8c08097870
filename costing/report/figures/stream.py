"""The stream: money and liquid from bought packs through stages into one glass, hatched where it is lost."""

from collections.abc import Callable, Mapping

from costing.report.figures.columns import GAP, HEAD, LABEL, LINE, THIN, Layout, laid_out, place_all, scale, through
from costing.report.figures.shapes import SERIES, Area, Box, Figure, Measure, Role, Shape, Text, fitted, label, wrapped
from costing.report.phrases import amount_words
from costing.report.streams import Kind, Node, Stream, merged
from costing.report.words import key_word, layer_word, stage_word
from costing.tongue import capital, numeral, say

BAR, FOOT, END = 9.0, 24.0, 96.0
"""Width of a node's bar, room under the picture, and after the last bar."""
LEAST, SMALL = 0.012, 0.08
"""Goods of less than the first share of the money are drawn as one for each thing they go into. Where there would be no
room, more of them, the smallest first, up to the second; then whatever is smallest."""
ROOM = 44.0
"""Points that the bars of the fullest column must have together, or small goods are drawn as one."""
Cash = Callable[[float], str]


def stream_figure(stream: Stream, wide: float, tall: float, measure: Measure, cash: Cash) -> Figure:
    """The picture of a stream, ``wide`` by at most ``tall`` points: where that is too little for all, the smallest are
    drawn as one. ValueError for a room too small to draw in."""
    if wide < 3 * END or tall < 4 * LABEL + FOOT:
        raise ValueError(f"a room of {wide:.0f} by {tall:.0f} points is too small: at least {3 * END:.0f} by 104")
    for least, kinds in _leasts(stream):
        drawn = merged(stream, least, kinds)
        layout = laid_out(drawn)
        pitch = (wide - END - BAR) / max(1, len(layout.columns) - 1)
        _write(layout, drawn, pitch - 7.0, measure, cash)
        fixed = max(sum(p.over + GAP for p in column) for column in layout.columns)
        if fixed + ROOM <= tall - FOOT - HEAD:
            break
    height = min(tall - FOOT - HEAD, max(110.0, fixed + 130.0))
    scale(layout, height)
    place_all(layout, height)
    hues = _hues(drawn)
    shapes: list[Shape] = []
    at = {id(p): n * pitch for n, column in enumerate(layout.columns) for p in column}
    shapes += _ribbons(layout, drawn, at, hues)
    shapes += _nodes(layout, drawn, at, hues, measure, cash)
    bottom = HEAD + height + 2.0
    shapes += _foot(drawn, bottom, wide, measure, cash)
    said = say(
        "Money of materials flowing into {name}: {money}, of which {lost} was spent on what does not reach the end.",
        name=drawn.nodes[-1].name,
        money=cash(drawn.money),
        lost=cash(drawn.lost),
    )
    return Figure(wide=wide, tall=bottom + FOOT - 4.0, shapes=tuple(shapes), said=said)


def _leasts(stream: Stream) -> list[tuple[float, frozenset[Kind]]]:
    """(share to draw things below as one, which kinds of things), the least first."""
    whole, goods = stream.money or 1.0, frozenset[Kind]({"good"})
    of = {n.id: n.kind for n in stream.nodes}
    each = sorted((link.money / whole * (1 + 1e-9), of[link.source]) for link in stream.links)
    every = frozenset[Kind]({"good", "before", "made", "stage", "others"})
    out = [(LEAST, goods), *((share, goods) for share, kind in each if LEAST < share <= SMALL and kind == "good")]
    return [*out, *((share, every) for share, _ in each)]


def _hues(stream: Stream) -> dict[str, Role]:
    """A hue for each thing bought, the dearest first; what is made takes that of the dearest part of it."""
    money = through(stream)
    bought = [n for n in stream.nodes if n.kind in ("good", "others", "before")]
    bought += [n for n in stream.nodes if n not in bought and not any(k.target == n.id for k in stream.links)]
    hues: dict[str, Role] = {}
    for n, node in enumerate(sorted(bought, key=lambda b: (-money[b.id], b.id))):
        hues[node.id] = SERIES[n % len(SERIES)]
    for node in stream.nodes:
        mine = [k for k in stream.links if k.target == node.id]
        if mine and node.id not in hues:
            hues[node.id] = hues[max(mine, key=lambda k: k.money).source]
    return hues


def _ribbons(layout: Layout, stream: Stream, at: Mapping[int, float], hues: Mapping[str, Role]) -> list[Shape]:
    """Each link as a ribbon over the places it passes, and the part of it that is lost where it ends."""
    by_key = {(k.source, k.target): k for k in stream.links}
    leaving: dict[int, float] = {}
    coming: dict[int, float] = {}
    order = {id(p): n for column in layout.columns for n, p in enumerate(column)}
    plain: list[Shape] = []
    hatched: list[Shape] = []
    starts: dict[tuple[str, str], float] = {}
    for key, way in sorted(layout.ways.items(), key=lambda item: order[id(item[1][1])]):
        starts[key] = way[0].y + leaving.get(id(way[0]), 0.0)
        leaving[id(way[0])] = leaving.get(id(way[0]), 0.0) + max(0.0, by_key[key].money) * layout.scale
    for key, way in sorted(layout.ways.items(), key=lambda item: order[id(item[1][-2])]):
        link, size = by_key[key], max(THIN, by_key[key].money * layout.scale)
        end = way[-1].y + coming.get(id(way[-1]), 0.0)
        coming[id(way[-1])] = coming.get(id(way[-1]), 0.0) + max(0.0, link.money) * layout.scale
        tops = [starts[key], *(p.y for p in way[1:-1]), end]
        lefts = [at[id(p)] for p in way]
        plain.append(_ribbon(lefts, tops, size, hues[link.source], hatch=False))
        lost = link.lost * layout.scale
        if lost >= THIN:
            low = [top + size - lost for top in tops[-2:]]
            hatched.append(_ribbon(lefts[-2:], low, lost, hues[link.source], hatch=True))
    return plain + hatched


def _ribbon(lefts: list[float], tops: list[float], size: float, hue: Role, *, hatch: bool) -> Area:
    there: list[tuple[tuple[float, float], ...]] = []
    back: list[tuple[tuple[float, float], ...]] = []
    for n in range(len(lefts) - 1):
        a, b, top, to = lefts[n] + BAR, lefts[n + 1], tops[n], tops[n + 1]
        middle = (a + b) / 2
        if n:
            there.append(((a, top),))
        there.append(((middle, top), (middle, to), (b, to)))
        back.append(((middle, to + size), (middle, top + size), (a, top + size)))
        if n:
            back.append(((lefts[n], top + size),))
    down = ((lefts[-1], tops[-1] + size),)
    backwards = [step for n in range(len(lefts) - 2, -1, -1) for step in _of(back, n)]
    steps = (*there, down, *backwards)
    return Area(start=(lefts[0] + BAR, tops[0]), steps=steps, fill=None if hatch else hue, tint=0.34, hatch=hatch)


def _of(back: list[tuple[tuple[float, float], ...]], n: int) -> list[tuple[tuple[float, float], ...]]:
    """The steps back over one span: its curve, and the straight line under the place before it."""
    return back[:1] if n == 0 else back[2 * n - 1 : 2 * n + 1]


def _nodes(
    layout: Layout,
    stream: Stream,
    at: Mapping[int, float],
    hues: Mapping[str, Role],
    measure: Measure,
    cash: Cash,
) -> list[Shape]:
    out: list[Shape] = []
    for column in layout.columns:
        for place in column:
            node, x = place.node, at[id(place)]
            if node is None:
                continue
            ended = node.id == stream.end
            fill: Role = "ink" if ended else hues[node.id]
            out.append(Box(x=x, y=place.y, wide=BAR, tall=place.tall, fill=fill))
            if ended:
                out += _ended(node, x + BAR + 5.0, place.y + place.tall / 2, stream, measure, cash)
                continue
            *names, second = place.lines
            for n, text in enumerate(reversed(names)):
                y = place.y - 11.2 - n * LINE
                out.append(label(x, y, text, measure, bold=node.kind == "made", backed=True))
            out.append(label(x, place.y - 2.8, second, measure, size=6.5, role="faint", backed=True))
    return out


def _write(layout: Layout, stream: Stream, room: float, measure: Measure, cash: Cash) -> None:
    """The lines over each node: a long name takes two, and of what is said under it only as much as there is room."""
    for column in layout.columns:
        for place in column:
            if place.node is None or place.node.id == stream.end:
                continue
            first, *parts = words_of(place.node, place.money, cash)
            said = ""
            for n in range(len(parts), 0, -1):
                said = "; ".join(parts[:n])
                if measure(said, 6.5, False) <= room:
                    break
            if measure(said, 6.5, False) > room and said == _loses(place.node):
                said = _loses(place.node, short=True)
            names = wrapped(first, room, 7.5, measure, bold=place.node.kind == "made", most=2)
            place.lines = (*names, fitted(said, room, 6.5, measure))


def words_of(node: Node, money: float, cash: Cash) -> tuple[str, ...]:
    """What is said over a node: its name, then how much for how much money, and what it loses, the first first."""
    stage, lost = stage_word(node.stage), _loses(node)
    kept = say("{money} to a by-product", money=cash(node.kept)) if node.kept > 0.0 else ""
    much = f"{amount_words(node.amount, node.base)}, {cash(money)}"
    said: tuple[str, ...]
    match node.kind:
        case "stage":
            said = (capital(stage), lost or cash(money), kept)
        case "made":
            said = (node.name, much, lost, kept)
        case "others":
            said = (say("{n} small: {names}", n=f"{node.amount:.0f}", names=node.name), cash(money))
        case "before":
            said = (say("{name}, batch before", name=node.name), much)
        case _:
            said = (node.name, much)
    return said[0] or "–", *(text for text in said[1:] if text)


def _loses(node: Node, *, short: bool = False) -> str:
    """What a stage loses, and of what; ``short`` leaves that out. "" where it loses next to nothing."""
    if node.share_lost < 0.0005:
        return ""
    share = numeral(f"{100 * node.share_lost:.3g}")
    if short:
        return say("loses {share} %", share=share)
    return say("loses {share} % {key}", share=share, key=key_word(node.key))


def _ended(node: Node, x: float, y: float, stream: Stream, measure: Measure, cash: Cash) -> list[Text]:
    room = END - BAR - 6.0
    amount = amount_words(node.amount, node.base) if node.base else ""
    whole = cash(stream.money) if stream.complete else say("at least {money}", money=cash(stream.money))
    lines = [(say("One batch") if stream.batch else say("One drink"), 7.5, True, "ink")]
    lines += [(amount, 7.0, False, "faint")] if amount else []
    lines += [(whole, 8.0, True, "money"), (layer_word("materials"), 6.5, False, "faint")]
    top = y - 5.0 * len(lines) + 5.0
    out = []
    for n, (text, size, bold, role) in enumerate(lines):
        hue: Role = "money" if role == "money" else "faint" if role == "faint" else "ink"
        out.append(label(x, top + 10.5 * n, text, measure, size=size, bold=bold, role=hue, room=room))
    return out


def _foot(stream: Stream, y: float, wide: float, measure: Measure, cash: Cash) -> list[Shape]:
    lost, whole = cash(stream.lost), cash(stream.money)
    if stream.money > 0.0:
        lost = say(
            "{lost} of {money} ({share} %)", lost=lost, money=whole, share=f"{100 * stream.lost / stream.money:.0f}"
        )
    else:
        lost = say("{lost} of {money}", lost=lost, money=whole)
    text = say("money spent on what does not reach the end: {lost}, inside it", lost=lost)
    return [
        Box(x=0.0, y=y + 4.0, wide=16.0, tall=9.0, edge="rule", hatch=True),
        label(21.0, y + 11.5, text, measure, size=7.0, role="faint", room=wide - 22.0),
    ]
