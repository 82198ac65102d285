"""Where a sheet ends at each kind of edge: signed trims, square to the edge on the slope, outwards positive [mm].

eave, internal gutter     + past the fascia face, past the gutter's edge
ridge, hip, apron head    - short of the line
valley                    - half the clear gap
pitch change              + the upper plane's foot, - the lower plane's head
verge, apron side, head     0: to the barge face, to the wall, to the outer face
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from takeoff.basics.records import record
from takeoff.model.basis import Term
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.model.settings import Settings


@record
class Trim:
    """How far the sheets of one plane go past one edge (negative: stop short of it), and why."""

    edge: str
    mm: float
    terms: tuple[Term, ...]


def edge_trim(edge: RoofEdge, plane: RoofPlane, settings: Settings, bare_edges: Collection[int] = ()) -> Trim:
    """The trim of one edge for one of its planes, as the row of its kind says.

    `bare_edges`: outline edges that carry no spouting; sheets go further past these.
    """
    row = edge.kind.row
    trims = row.trim
    if row.bare_trim and edge.outline_edges and all(number in bare_edges for number in edge.outline_edges):
        trims = row.bare_trim
    elif row.foot_trim and _at_foot(edge, plane):
        trims = row.foot_trim
    past = sum(factor * settings.number(name) for name, factor in trims)
    return Trim(edge.id, past, tuple(settings.term(name) for name, _ in trims))


def _at_foot(edge: RoofEdge, plane: RoofPlane) -> bool:
    """True where a level edge is the low end of the plane: the plane's middle lies above it."""
    level = (plane.frame.to_plane(edge.a_mm)[1] + plane.frame.to_plane(edge.b_mm)[1]) / 2.0
    heights = [v for _, v in plane.rings_uv[0]]
    return level < (min(heights) + max(heights)) / 2.0


def plane_trims(
    plane: RoofPlane, edges: Collection[RoofEdge], settings: Settings, bare_edges: Collection[int] = ()
) -> Mapping[str, Trim]:
    """The trims of all edges of a plane, by edge id."""
    return {edge.id: edge_trim(edge, plane, settings, bare_edges) for edge in edges}
