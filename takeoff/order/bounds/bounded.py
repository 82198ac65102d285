"""What a bound is: a figure of the order, and what the shape of the house allows it to be."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from takeoff.basics.records import record
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.model.roof import RoofEdge
from takeoff.order.bounds.ground import Place, PlaneGround, places_of, sheeted_edges, sheeted_planes


@record
class Bounded:
    """One figure and its bounds, all in `unit`.

    `of`: what the figure is of, "" where the rule says it all; `from_what`: the geometry that the bounds were worked
    out from, with its own figures; `refs`: ids of what it stands on.
    """

    figure: float
    low: float
    high: float
    unit: str
    from_what: str
    of: str = ""
    refs: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether the figure lies within its bounds; a crumb of floating point is no fault."""
        slack = 1e-6 * max(1.0, abs(self.figure))
        return self.low - slack <= self.figure <= self.high + slack


@record
class Case:
    """What the rules look at: the takeoff, whose own `order` is not set yet, the order made from it, its sheeted planes
    by their corners, the edges that bound them, one that several roofs share once, the places where these end, and the
    order's lines by item."""

    takeoff: Takeoff
    order: Order
    planes: tuple[PlaneGround, ...]
    edges: tuple[RoofEdge, ...]
    places: tuple[Place, ...]
    lines: Mapping[str, Sequence[OrderLine]]

    def edges_of(self, *kinds: EdgeKind) -> tuple[RoofEdge, ...]:
        """The edges of these kinds that bound a sheeted plane."""
        return tuple(edge for edge in self.edges if edge.kind in kinds)


def case_of(takeoff: Takeoff, order: Order) -> Case:
    """The case of a takeoff and its order, geometry read off once for all rules."""
    edges = sheeted_edges(takeoff)
    lines: dict[str, list[OrderLine]] = {}
    for line in order.lines:
        lines.setdefault(line.item, []).append(line)
    return Case(takeoff, order, sheeted_planes(takeoff), edges, places_of(edges), lines)


@record
class Rule:
    """One rule: short name, the figure it is about, what bounds it in words, and why its margin is what it is."""

    name: str
    figure: str
    bound: str
    margin: str
    check: Callable[[Case], Iterable[Bounded]]
