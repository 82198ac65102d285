"""Where a sheet ends at each kind of edge: signed trims, square to the edge on the slope, outwards positive [mm].

eave, internal gutter     + past the fascia face, past the gutter's edge
ridge, hip, apron head    - short of the line
valley                    - half the clear gap
pitch change              + the upper plane's foot, - the lower plane's head
verge, apron side, head     0: to the barge face, to the wall, to the outer face
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from takeoff.model.basis import Term
from takeoff.model.roof import EdgeKind, RoofEdge, RoofPlane
from takeoff.model.settings import Settings


@dataclass(frozen=True, slots=True)
class Trim:
    """How far the sheets of one plane go past one edge (negative: stop short of it), and why."""

    edge: str
    mm: float
    terms: tuple[Term, ...]


# kind -> (setting, factor)
_PLAIN: Mapping[EdgeKind, tuple[str, float]] = {
    EdgeKind.RIDGE: ("ridge_gap_mm", -0.5),
    EdgeKind.HIP: ("hip_trim_mm", -1.0),
    EdgeKind.VALLEY: ("valley_gap_mm", -0.5),
    EdgeKind.APRON_HEAD: ("apron_head_trim_mm", -1.0),
    EdgeKind.APRON_SIDE: ("apron_side_trim_mm", -1.0),
    EdgeKind.VERGE: ("verge_trim_mm", -1.0),
    EdgeKind.HEAD: ("head_trim_mm", -1.0),
}


def edge_trim(edge: RoofEdge, plane: RoofPlane, settings: Settings, bare_edges: Collection[int] = ()) -> Trim:
    """The trim of one edge for one of its planes.

    `bare_edges`: outline edges that carry no spouting; sheets go further past these.
    """
    if edge.kind is EdgeKind.EAVE:
        bare = bool(edge.outline_edges) and all(number in bare_edges for number in edge.outline_edges)
        return _trim(edge, settings, "sheet_over_bare_eave_mm" if bare else "sheet_over_eave_mm", 1.0)
    if edge.kind is EdgeKind.PITCH_CHANGE:
        if _at_foot(edge, plane):
            return _trim(edge, settings, "pitch_change_over_mm", 1.0)
        return _trim(edge, settings, "pitch_change_under_mm", -1.0)
    if edge.kind is EdgeKind.INTERNAL_GUTTER:
        over, width = settings.term("internal_gutter_over_mm"), settings.term("internal_gutter_width_mm")
        past = settings.number("internal_gutter_over_mm") - settings.number("internal_gutter_width_mm") / 2.0
        return Trim(edge.id, past, (over, width))
    return _trim(edge, settings, *_PLAIN[edge.kind])


def _trim(edge: RoofEdge, settings: Settings, name: str, factor: float) -> Trim:
    return Trim(edge.id, factor * settings.number(name), (settings.term(name),))


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
