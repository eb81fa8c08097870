"""Money and liquid as a stream: from what is bought, through preparations and their stages, into one glass or batch.

Widths are money of materials. A stage loses no money; what was spent on what is lost there is told on the way into it.
Hours and energy do not flow with the liquid and are left out.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from costing.ledger.lines import Ledger, Line
from costing.ledger.reckon import Reckoning
from costing.ledger.rows import Carried, Row
from costing.report.words import series

Kind = Literal["good", "others", "before", "stage", "made", "end"]
TRIVIAL = 0.003
"""A stage into which nothing costly goes, and which loses less than this share of its key, is not drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """Something the stream passes. ``amount`` in ``base`` units of what is bought, made or in the glass.

    kind: a "good" bought; "others", several small goods; "before", what a mother batch takes of the batch before;
    "stage" of a preparation; "made", a preparation, or its last stage; "end", the glass or the batch.
    """

    id: str
    kind: Kind
    name: str
    amount: float = 0.0
    base: str = ""
    stage: str = ""
    """The stage kind where it is a stage."""
    key: str = ""
    share_lost: float = 0.0
    kept: float = 0.0
    """Money that leaves with by-products here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """Money on the way from one node into another; ``lost`` of it was spent on what is lost there."""

    source: str
    target: str
    money: float
    lost: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stream:
    """Nodes, inputs first, and links. ``money`` reaches the end; ``lost`` is the part of it that was spent on what
    does not (a memo: it is inside)."""

    nodes: tuple[Node, ...]
    links: tuple[Link, ...]
    end: str
    money: float
    lost: float
    complete: bool = True
    batch: bool = False
    """True where it ends in a batch, not in a drink."""

    def depths(self) -> dict[str, int]:
        """How many steps each node is from the end, by its longest way."""
        found = {self.end: 0}
        for node in reversed(self.nodes):
            for link in self.links:
                if link.target == node.id and node.id in found:
                    found[link.source] = max(found.get(link.source, 0), found[node.id] + 1)
        return found


@dataclass(slots=True)
class _Net:
    """A stream being built, from the end backwards."""

    reckoning: Reckoning
    names: Mapping[str, str]
    need: dict[str, float] = field(default_factory=dict)
    nodes: dict[str, Node] = field(default_factory=dict)
    links: dict[tuple[str, str], tuple[float, float]] = field(default_factory=dict)

    def money(self, row: Row) -> float:
        return self.reckoning.money(row).materials

    def link(self, source: str, target: str, money: float, lost: float = 0.0) -> None:
        a, b = self.links.get((source, target), (0.0, 0.0))
        self.links[source, target] = a + money, b + lost

    def take(self, source: str, target: str, amount: float, lost: float) -> None:
        """So much of a source into a target."""
        good = self.reckoning.view.goods.get(source)
        if source not in self.reckoning.costs or (good is not None and good.layer != "materials"):
            return
        self.need[source] = self.need.get(source, 0.0) + amount
        self.link(source, target, self.money({source: amount}), self.money({source: lost}))


def serve_stream(reckoning: Reckoning, serve: str, names: Mapping[str, str], most: int) -> Stream | None:
    """Into one drink, through the stages of what is made for it where that takes at most ``most`` columns, else
    through the preparations alone. None for a serve that cannot be read."""
    line = reckoning.serves.get(serve)
    if line is None:
        return None
    litres = line.on.matter.volume()
    end = Node(id="end", kind="end", name=names.get(serve, serve), amount=litres or 0.0, base="l" if litres else "")
    drawn = _from(reckoning, line.carried, end, names, stages=True)
    if max(drawn.depths().values()) >= most:
        drawn = _from(reckoning, line.carried, end, names, stages=False)
    return drawn


def batch_stream(reckoning: Reckoning, preparation: str, names: Mapping[str, str]) -> Stream | None:
    """Into one batch of a preparation, stage by stage; what it is made of comes in ready. None where it is refused."""
    ledger = reckoning.ledgers.get(preparation)
    output = ledger.outputs.get(preparation) if ledger else None
    if ledger is None or output is None:
        return None
    net = _Net(reckoning, names)
    end = Node(id="end", kind="end", name=names[preparation], amount=output.made, base=output.unit.base)
    last = _stages(net, ledger, preparation, 1.0, output.made, end_name="")
    whole = ledger.lines[-1].carried
    money = net.money(whole.row)
    net.link(last, "end", money)
    net.nodes["end"] = end
    _bought(net)
    lost = reckoning.lost_money(whole)
    return replace(_stream(net, "end", money, lost, reckoning.money(whole.row).complete), batch=True)


def _from(reckoning: Reckoning, carried: Carried, end: Node, names: Mapping[str, str], *, stages: bool) -> Stream:
    net = _Net(reckoning, names)
    net.nodes[end.id] = end
    for source, amount in carried.row.items():
        net.take(source, end.id, amount, carried.lost.get(source, 0.0))
    for made in reversed(list(reckoning.direct)):
        amount = net.need.get(made, 0.0)
        if amount <= 0.0:
            continue
        ledger = reckoning.ledgers.get(made)
        if stages and ledger is not None and made in ledger.outputs:
            output = ledger.outputs[made]
            last = _stages(net, ledger, made, amount / output.made, amount, end_name=names.get(made, made))
            for source, target in list(net.links):
                if source == made:
                    net.link(last, target, *net.links.pop((source, target)))
            continue
        direct, unit = reckoning.direct[made], reckoning.units[made]
        net.nodes[made] = Node(id=made, kind="made", name=names.get(made, made), amount=amount, base=unit.base)
        for source, each in direct.row.items():
            net.take(source, made, amount * each, amount * direct.lost.get(source, 0.0))
    _bought(net)
    cost = reckoning.money(carried.row)
    return _stream(net, end.id, cost.materials, reckoning.lost_money(carried), cost.complete)


def _bought(net: _Net) -> None:
    """Nodes of the goods that something is needed of, and of what stands ready."""
    for source, amount in net.need.items():
        if source not in net.nodes and any(s == source for s, _ in net.links):
            unit = net.reckoning.units.get(source)
            kind: Kind = "good" if source in net.reckoning.view.goods else "made"
            name = net.names.get(source, source)
            net.nodes[source] = Node(id=source, kind=kind, name=name, amount=amount, base=unit.base if unit else "")


def _stages(net: _Net, ledger: Ledger, made: str, share: float, amount: float, *, end_name: str) -> str:
    """The stages of a preparation as nodes, for a share of its batch; the id of the last."""
    before, last = "", len(ledger.lines) - 1
    for n, line in enumerate(ledger.lines):
        named = n == last and end_name != ""
        if before and not named and _trivial(net, line):
            continue
        ident = f"{made}#{line.stage}"
        for stream in line.ins:
            if stream.runs_on:
                if before:
                    net.link(
                        before,
                        ident,
                        share * net.money(stream.row),
                        share * net.reckoning.lost_of(line, stream.row, {}),
                    )
                continue
            for source, each in stream.row.items():
                one = {source: each}
                spilled = {s: a for s, a in line.spilled.items() if s == source}
                lost = share * net.reckoning.lost_of(line, one, spilled)
                if source == made:
                    _from_before(net, made, ident, share * each, share * net.money(one), lost)
                else:
                    price = net.money({source: 1.0})
                    net.take(source, ident, share * each, lost / price if price else 0.0)
        kept = sum(net.money(s.row) for s in line.outs if s.fate == "kept")
        name = end_name if named else ""
        net.nodes[ident] = Node(
            id=ident, kind="made" if named else "stage", name=name, stage=line.kind, key=line.key,
            share_lost=line.share_lost, kept=share * kept, amount=amount if named else 0.0,
            base=net.reckoning.units[made].base if named else "",
        )  # fmt: skip
        before = ident
    return before


def _trivial(net: _Net, line: Line) -> bool:
    """Whether a stage adds no money and loses next to nothing."""
    goods = net.reckoning.view.goods
    brought = [s for stream in line.ins if not stream.runs_on for s in stream.row]
    adds = any(s not in goods or goods[s].layer == "materials" for s in brought)
    return not adds and line.share_lost < TRIVIAL and not any(s.fate == "kept" for s in line.outs)


def _from_before(net: _Net, made: str, target: str, amount: float, money: float, lost: float) -> None:
    ident = f"{made}#before"
    old = net.nodes.get(ident)
    net.nodes[ident] = Node(
        id=ident, kind="before", name=net.names.get(made, made), amount=amount + (old.amount if old else 0.0),
        base=net.reckoning.units[made].base,
    )  # fmt: skip
    net.link(ident, target, money, lost)


def _stream(net: _Net, end: str, money: float, lost: float, complete: bool) -> Stream:
    """Nodes in order, inputs first; only those that lead to the end."""
    order: list[str] = []

    def visit(ident: str) -> None:
        if ident not in order:
            for source, target in net.links:
                if target == ident:
                    visit(source)
            order.append(ident)

    visit(end)
    links = tuple(
        Link(source=s, target=t, money=m, lost=min(lost_here, m)) for (s, t), (m, lost_here) in net.links.items()
        if s in order and t in order
    )  # fmt: skip
    nodes = tuple(net.nodes[i] for i in order)
    return Stream(nodes=nodes, links=links, end=end, money=money, lost=lost, complete=complete)


def merged(stream: Stream, least: float, kinds: frozenset[Kind] = frozenset({"good"})) -> Stream:
    """With small goods, of at most this share of the whole money, as one node for each thing they go into. With other
    ``kinds`` too, what is made is folded with all that went into it."""
    goes: dict[str, list[Link]] = {}
    for link in stream.links:
        goes.setdefault(link.source, []).append(link)
    small: dict[str, list[Node]] = {}
    for node in stream.nodes:
        mine = goes.get(node.id, [])
        if node.kind in kinds and len(mine) == 1 and mine[0].money <= least * stream.money:
            small.setdefault(mine[0].target, []).append(node)
    nodes, links = list(stream.nodes), list(stream.links)
    for target, some in small.items():
        if len(some) < 2 or target in {n.id for others in small.values() if len(others) > 1 for n in others}:
            continue
        gone, ident = {n.id for n in some}, f"{target}#others"
        mine = [link for link in links if link.source in gone]
        names = series(n.name for n in some)
        nodes[nodes.index(some[-1])] = Node(id=ident, kind="others", name=names, amount=float(len(some)))
        nodes = [n for n in nodes if n.id not in gone]
        links = [link for link in links if link not in mine]
        money, lost = sum(m.money for m in mine), sum(m.lost for m in mine)
        links.append(Link(source=ident, target=target, money=money, lost=lost))
    return _reaching(replace(stream, nodes=tuple(nodes), links=tuple(links)), goes)


def _reaching(stream: Stream, before: Mapping[str, list[Link]]) -> Stream:
    """Without what no longer leads to the end; of a good that leads there by fewer ways, the part that does."""
    reach = {stream.end}
    for node in reversed(stream.nodes):
        if any(link.source == node.id and link.target in reach for link in stream.links):
            reach.add(node.id)
    links = tuple(link for link in stream.links if link.source in reach and link.target in reach)
    nodes = []
    for node in stream.nodes:
        whole = sum(link.money for link in before.get(node.id, ()))
        left = sum(link.money for link in links if link.source == node.id)
        if node.id in reach:
            share = left / whole if whole > 0.0 and node.kind == "good" else 1.0
            nodes.append(node if share == 1.0 else replace(node, amount=node.amount * share))
    return replace(stream, nodes=tuple(nodes), links=links)
