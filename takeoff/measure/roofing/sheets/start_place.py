"""Where laying starts: a line that can be snapped on the plane, an edge of a sheet taped from a real corner.

The corner is the end of the eave at the side laying starts from: a corner of the fascia, a valley's foot, a barge or a
wall, by the edge that meets the eave there. The line is the first edge of a sheet that lies on the plane from there on:
the start edge of the first sheet, else the far edge of the first that reaches past the corner. Beside a hip the first
sheet's start edge lies outside the fascia, beside a valley over the next roof: neither can be snapped.

              valley .'|      |
                   .'  | P4.06|   right edge of P4.06, 456 inside the valley foot
                 .'    |      |
    valley foot +------+------+---- eave
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.sheets.lay_direction import SetOut, raked_start, square_to_wind
from takeoff.measure.roofing.sheets.sheet_pieces import Ground, Laying
from takeoff.model.edge_kinds import FOOT_KINDS, EdgeKind, End
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import RoofPlane
from takeoff.shape.strips.plane_lines import EdgeOnPlane, spans_at
from takeoff.shape.strips.strips import Widths

_LEVEL_MM = TOLERANCES.row_mm
_LEAST_LINE_MM = TOLERANCES.start_line_mm
_BESIDE_MM = TOLERANCES.row_mm  # a line on the plane's upright end is looked at on both its sides
# what a start line is taped along, the likeliest first: feet of planes, then the foot above a break
_FEET = (*(kind for kind in EdgeKind if kind in FOOT_KINDS), *(kind for kind in EdgeKind if kind.row.end is End.BREAK))


@record
class StartLine:
    """A line to snap square off the eave at `u_mm`, and the words for it."""

    u_mm: float
    words: str


def _as_drawn(point: Point2) -> Point2:
    return point


def start_line(
    plane: RoofPlane,
    edges: Sequence[EdgeOnPlane],
    out: SetOut,
    widths: Widths,
    built: Callable[[Point2], Point2] = _as_drawn,
) -> StartLine:
    """The start line of a plane whose edges are given as drawn; `built` leads a point of it to the frame as measured.

    "at the barge", "76 inside the barge", "left edge of P1.01, 833 inside the fascia corner"; of a plane that stands on
    a point "right edge of P2.02, 410 right of its lowest corner". A plane that no edge of a sheet lies on is started as
    it is set out.
    """
    rings = tuple(tuple(built(point) for point in ring) for ring in plane.rings_uv)
    feet = [on for on in edges if not on.is_top and abs(on.a[1] - on.b[1]) <= _LEVEL_MM]
    feet = next((own for kind in _FEET if (own := [on for on in feet if on.edge.kind is kind])), feet)
    way = 1.0 if out.side == "left" else -1.0
    if not feet:
        corner, name = min(rings[0], key=lambda point: (round(point[1], 1), way * point[0]))[0], ""
    else:
        ends = [point for on in feet for point in (on.a, on.b)]
        spot = min(ends) if way > 0.0 else max(ends)
        corner, name = built(spot)[0], _corner_name(edges, feet, spot)
    lines = [(0, out.start_u_mm)]
    low, high = min(u for u, _ in rings[0]), max(u for u, _ in rings[0])
    count = ceil((high - low + abs(out.shift_mm)) / widths.cover_mm) + 1
    lines += [(k + 1, out.start_u_mm + way * (k * widths.cover_mm + widths.overall_mm)) for k in range(count)]
    strip, u = next((line for line in lines if _runs(rings, line[1], corner if name else None, way)), lines[0])
    far = "right" if way > 0.0 else "left"
    edge = f"{far} edge of {plane.id}.{strip:02d}, " if strip else ""
    return StartLine(u, f"{edge}{_off_words((u - corner) * way, u - corner, name)}")


def _corner_name(edges: Sequence[EdgeOnPlane], feet: Sequence[EdgeOnPlane], spot: Point2) -> str:
    beside = [on for on in edges if on not in feet and _ends_at(on, spot)]
    kind = next((on.edge.kind for on in beside if on.edge.kind.row.corner), None)
    return kind.row.corner if kind is not None else "end of the eave"


def _off_words(inside_mm: float, right_mm: float, name: str) -> str:
    if not name:
        return f"{abs(right_mm):.0f} {'right' if right_mm > 0.0 else 'left'} of its lowest corner"
    if abs(inside_mm) < 0.5:
        return f"at the {name}"
    return f"{abs(inside_mm):.0f} {'inside' if inside_mm > 0.0 else 'outside'} the {name}"


def _runs(rings: Sequence[Ring2], u_mm: float, corner_mm: float | None, way: float) -> bool:
    """Whether a line up the plane lies on it, not outside the corner, and over enough height to be snapped."""
    if corner_mm is not None and (u_mm - corner_mm) * way < -0.5:
        return False
    turned = tuple(tuple((v, u) for u, v in ring) for ring in rings)
    beside = (u_mm - _BESIDE_MM, u_mm + _BESIDE_MM)
    return any(sum(b - a for a, b in spans_at(turned, u)) >= _LEAST_LINE_MM for u in beside)


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
    number = plane.outline_edges[0] if plane.outline_edges else 0
    line = f"`edges: {{{number}: {{start_side: {other}}}}}`"
    return (
        Finding(
            "start-at-rake",
            Severity.NOTE,
            f"{plane.id} starts at its raked {side} end though its {other} end is square: {ground.why}.",
            f"Where it should start from the square end, add under the roof: {line}." if number else "",
            refs=(plane.id,),
        ),
    )
