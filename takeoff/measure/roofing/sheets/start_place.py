"""Where a start line lies, taped from what stands on the site: the end of the eave at the side laying starts from.

That end is a corner of the fascia, a valley's foot, a barge or a wall, by the edge that meets the eave there. A start
line beside a valley lies beyond its foot, up in the roof: the distance is taped along the eave's line.
"""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.measure.roofing.sheets.lay_direction import raked_start, square_to_wind
from takeoff.measure.roofing.sheets.sheet_pieces import Ground, Laying
from takeoff.model.edge_kinds import FOOT_KINDS, EdgeKind, End
from takeoff.model.findings import Finding, Severity
from takeoff.shape.strips.plane_lines import EdgeOnPlane

_LEVEL_MM = 1.0
# what a start line is taped along, the likeliest first: feet of planes, then the foot above a break
_FEET = (*(kind for kind in EdgeKind if kind in FOOT_KINDS), *(kind for kind in EdgeKind if kind.row.end is End.BREAK))


def start_place(edges: Sequence[EdgeOnPlane], side: str, start_u_mm: float) -> str:
    """The start line from the nearest end of the plane's lowest lines: "12 outside the fascia corner", "4199 past the
    valley foot"; "" for a plane that stands on a point."""
    feet = [on for on in edges if not on.is_top and abs(on.a[1] - on.b[1]) <= _LEVEL_MM]
    feet = next((own for kind in _FEET if (own := [on for on in feet if on.edge.kind is kind])), feet)
    if not feet:
        return ""
    ends = [point for on in feet for point in (on.a, on.b)]
    spot = min(ends) if side == "left" else max(ends)
    beside = [on for on in edges if on not in feet and _ends_at(on, spot)]
    kind = next((on.edge.kind for on in beside if on.edge.kind.row.corner), None)
    name = kind.row.corner if kind is not None else "end of the eave"
    out = spot[0] - start_u_mm if side == "left" else start_u_mm - spot[0]
    if abs(out) < 0.5:
        return f"at the {name}"
    word = "inside" if out < 0.0 else "past" if kind is EdgeKind.VALLEY else "outside"
    return f"{abs(out):.0f} {word} the {name}"


def _ends_at(on: EdgeOnPlane, spot: tuple[float, float]) -> bool:
    return any(abs(end[0] - spot[0]) <= _LEVEL_MM and abs(end[1] - spot[1]) <= _LEVEL_MM for end in (on.a, on.b))


def start_findings(ground: Ground, laying: Laying) -> tuple[Finding, ...]:
    """A note where the rule starts a plane at a raked end though its other end is square: the rule is kept, the job can
    say otherwise."""
    plane, side = ground.plane, ground.side
    other = "left" if side == "right" else "right"
    given = [laying.job.edges[number] for number in plane.outline_edges if number in laying.job.edges]
    by_rule = all(edge.start_side is None for edge in given)
    if not (by_rule and square_to_wind(plane, laying.job, laying.north_deg, laying.settings)):
        return ()
    if not raked_start(ground.area, side) or raked_start(ground.area, other):
        return ()
    where = f"edges: {plane.outline_edges[0]}: start_side: {other}" if plane.outline_edges else f"start_side: {other}"
    return (
        Finding(
            "start-at-rake",
            Severity.NOTE,
            f"{plane.id} starts at its raked {side} end, as every plane does whose eave is square to the wind; its "
            f"{other} end is square.",
            f"Where it should start from the square end, give {where}.",
            refs=(plane.id,),
        ),
    )
