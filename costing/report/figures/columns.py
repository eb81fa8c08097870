"""A stream in columns: which node stands where, and by which ways the ribbons run, before anything is drawn."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from costing.report.streams import Node, Stream

GAP, LABEL, LINE, THIN, HEAD = 6.0, 20.0, 8.6, 0.7, 2.0
"""Room between slots, over a bar for two lines and for one more, the least width of a ribbon, the room on top."""
NOTHING = 1e-12
"""Money too small to have a width."""


@dataclass(slots=True)
class Place:
    """A node in its column, or a ribbon passing through it."""

    key: str
    money: float
    node: Node | None = None
    y: float = 0.0
    tall: float = 0.0
    lines: tuple[str, ...] = ()
    """What is written over it: its name, on two lines where it is long, and how much."""

    @property
    def over(self) -> float:
        return LABEL + LINE * (len(self.lines) - 2) if self.node and self.lines else 0.0


@dataclass(slots=True)
class Layout:
    columns: list[list[Place]]
    ways: dict[tuple[str, str], list[Place]] = field(default_factory=dict)
    """By link: the places it passes, from its source to its target."""
    scale: float = 1.0


def laid_out(stream: Stream) -> Layout:
    """Nodes in columns by how far they are from the end, and a place in every column that a link only passes."""
    depths, money = stream.depths(), through(stream)
    most = max(depths.values())
    layout = Layout([[] for _ in range(most + 1)])
    places: dict[str, Place] = {}
    for node in _reading_order(stream):
        places[node.id] = Place(node.id, money[node.id], node)
        layout.columns[most - depths[node.id]].append(places[node.id])
    for link in stream.links:
        key = link.source, link.target
        way = [places[link.source]]
        for depth in range(depths[link.source] - 1, depths[link.target], -1):
            passing = Place(f"{link.source}>{link.target}", link.money)
            layout.columns[most - depth].append(passing)
            way.append(passing)
        layout.ways[key] = [*way, places[link.target]]
    _sort(layout)
    return layout


def through(stream: Stream) -> dict[str, float]:
    """Money through each node: what comes in, or for what is bought, what goes on."""
    come: dict[str, float] = {}
    goes: dict[str, float] = {}
    for link in stream.links:
        come[link.target] = come.get(link.target, 0.0) + link.money
        goes[link.source] = goes.get(link.source, 0.0) + link.money
    return {n.id: come[n.id] if n.id in come else goes.get(n.id, 0.0) for n in stream.nodes}


def _reading_order(stream: Stream) -> list[Node]:
    """From the end back, each thing's inputs in the order they go in."""
    by_id, out, seen = {n.id: n for n in stream.nodes}, [], set[str]()
    stack = [stream.end]
    while stack:
        ident = stack.pop()
        if ident in seen:
            continue
        seen.add(ident)
        out.append(by_id[ident])
        stack += reversed([link.source for link in stream.links if link.target == ident])
    return out


def _sort(layout: Layout) -> None:
    """Each column in the order of where its ribbons go, so that few of them cross."""
    for n in range(len(layout.columns) - 2, -1, -1):
        order = {id(p): i for i, p in enumerate(layout.columns[n + 1])}
        aims: dict[int, list[int]] = {}
        for way in layout.ways.values():
            for here, there in pairwise(way):
                if id(there) in order:
                    aims.setdefault(id(here), []).append(order[id(there)])
        first = {id(p): i for i, p in enumerate(layout.columns[n])}
        layout.columns[n].sort(key=lambda p: (sum(aims[id(p)]) / len(aims[id(p)]), first[id(p)]))


def scale(layout: Layout, height: float) -> None:
    room = [
        (height - sum(p.over + GAP + THIN for p in column)) / whole
        for column in layout.columns
        if (whole := sum(max(0.0, p.money) for p in column)) > NOTHING
    ]
    layout.scale = max(0.0, min(room, default=0.0))
    for column in layout.columns:
        for place in column:
            place.tall = max(THIN, place.money * layout.scale)


def place_all(layout: Layout, height: float) -> None:
    """From the end back: each node beside where it goes, pushed apart until nothing overlaps."""
    for n in range(len(layout.columns) - 1, -1, -1):
        column = layout.columns[n]
        for place in column:
            aims = [
                there.y + there.tall / 2
                for way in layout.ways.values()
                for here, there in pairwise(way)
                if here is place
            ]
            middle = sum(aims) / len(aims) if aims else HEAD + (height + LABEL) / 2
            place.y = middle - place.tall / 2
        _spread(column, aims_top=_stacked(column, layout), height=height)


def _stacked(column: list[Place], layout: Layout) -> dict[int, float]:
    """Where each place would lie if its ribbon ran level into its target's stack of ribbons."""
    used: dict[int, float] = {}
    out: dict[int, float] = {}
    for place in column:
        for way in layout.ways.values():
            for here, there in pairwise(way):
                if here is place and id(place) not in out:
                    start = used.get(id(there), 0.0)
                    used[id(there)] = start + place.tall
                    out[id(place)] = there.y + start
    return out


def _spread(column: list[Place], aims_top: Mapping[int, float], height: float) -> None:
    total = sum(p.tall + p.over + GAP for p in column)
    slack, floor = max(0.0, height - total), HEAD
    for place in column:
        place.y = max(floor + place.over, min(aims_top.get(id(place), place.y), floor + place.over + slack))
        slack -= place.y - place.over - floor
        floor = place.y + place.tall + GAP
