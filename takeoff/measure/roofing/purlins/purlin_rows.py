"""Rows of purlins on one plane: a gauge from the eave up, and a row where each level edge needs one.

ridge     ------------------------------   v of the ridge
ridge row ==============================   v - flashing row (the flashing's screws go in here)
...       ------------------------------   first + 2 gauge
          ------------------------------   first + gauge
eave row  ------------------------------   first (50 mm up the rake from the outline)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import FOOT_KINDS, EdgeKind, End
from takeoff.model.roof import RoofPlane
from takeoff.shape.strips.plane_lines import EdgeOnPlane, Span, long_spans, spans_at, subtract

# a plane that goes on beside the end of a level edge reaches further than this past it, close to the edge [mm]
_GOES_ON_MM = 5.0


@dataclass(frozen=True, slots=True)
class RowRules:
    """What sets the rows out [mm]: first row, gauge, timber width, nearness at which two rows become one, shortest
    row; `even` shares the rest of the gauge over the plane; `gutter_mm` is half the width of an internal gutter,
    `edge_mm` the most of the first and the last bay (0: as the gauge); `move` keeps a gauge row that is too near a top
    row, beside it instead of leaving it out."""

    first_mm: float
    gauge_mm: float
    width_mm: float
    close_mm: float
    least_mm: float
    even: bool = False
    gutter_mm: float = 0.0
    edge_mm: float = 0.0
    move: bool = False

    @property
    def edge_bay_mm(self) -> float:
        """The first and last bay: the gauge, or less."""
        return min(self.gauge_mm, self.edge_mm) if self.edge_mm > 0.0 else self.gauge_mm


@dataclass(frozen=True, slots=True)
class Row:
    """One row of purlin: its height v up the slope, its span in u to the long points [mm], and why it is there."""

    v_mm: float
    span: Span
    role: str  # eave, purlin, ridge, head
    edge: str = ""


@dataclass(frozen=True, slots=True)
class _Claim:
    """A row that must lie where it lies, and the heights over its span in which no gauge row is laid."""

    rows: tuple[Row, ...]
    low_mm: float
    high_mm: float


def rows_of(
    plane: RoofPlane,
    edges: Sequence[EdgeOnPlane],
    rules: RowRules,
    top_mm: Mapping[str, float],
    laps_v_mm: Sequence[float] = (),
) -> tuple[Row, ...]:
    """Rows of a plane by rising v, then u.

    top_mm: by edge id, distance of the row below each level top edge [mm]; laps_v_mm: heights of sheet end laps, each
    of which gets a row of its own. A gauge row nearer than `close_mm` to a row at an edge or a lap is left out; a row
    shorter than `least_mm` is left to the trimmers.
    """
    claims = [_foot(plane, on, rules) for on in edges if _has_own_row(on)]
    for on in edges:
        if on.edge.id in top_mm and on.is_top and on.v_mm - top_mm[on.edge.id] > rules.first_mm + rules.close_mm:
            claims += _top(plane, on, rules, top_mm[on.edge.id])
    for v in laps_v_mm:
        if not any(abs(row.v_mm - v) < rules.width_mm / 2.0 for claim in claims for row in claim.rows):
            claims.append(_claim(v, long_spans(plane.rings_uv, v, rules.width_mm), "purlin", "", rules, v))
    low_foot = next((on.edge.id for on in edges if _is_foot(on) and on.v_mm <= TOLERANCES.same_point_mm), "")
    gauge = _gauge(plane, rules, claims)
    if rules.move:
        claims += [_moved(plane, claim, rules) for claim in claims if _is_crowded(claim, gauge, rules)]
    rows = [row for claim in claims for row in claim.rows]
    for number, v in enumerate(gauge):
        gaps = [row.span for claim in claims if claim.low_mm < v <= claim.high_mm for row in claim.rows]
        role, edge = ("eave", low_foot) if not number and low_foot else ("purlin", "")
        for span in long_spans(plane.rings_uv, v, rules.width_mm):
            rows += [Row(v, part, role, edge) for part in subtract(span, gaps)]
    kept = [row for row in rows if row.span[1] - row.span[0] >= rules.least_mm]
    return tuple(sorted(kept, key=lambda row: (row.v_mm, row.span)))


def _is_crowded(claim: _Claim, gauge: Sequence[float], rules: RowRules) -> bool:
    """Whether a gauge row lies just below the top row of a claim, so that leaving it out widens a bay."""
    tops = [row.v_mm for row in claim.rows if row.role in ("ridge", "head")]
    return any(v - rules.close_mm < below < v for v in tops for below in gauge)


def _moved(plane: RoofPlane, claim: _Claim, rules: RowRules) -> _Claim:
    """A gauge row below the top row of a claim, moved down until it lies clear of it."""
    v = claim.rows[0].v_mm - rules.close_mm
    low, high = min(row.span[0] for row in claim.rows), max(row.span[1] for row in claim.rows)
    spans = [(a, b) for a, b in long_spans(plane.rings_uv, v, rules.width_mm) if a < high and b > low]
    return _Claim(tuple(Row(v, span, "purlin") for span in spans), v, v)


def _is_foot(on: EdgeOnPlane) -> bool:
    return on.edge.kind in FOOT_KINDS or (on.edge.kind.row.end is End.BREAK and not on.is_top)


def _has_own_row(on: EdgeOnPlane) -> bool:
    """Whether the gauge's first row does not serve a foot: it lies higher, or the sheets stop at a gutter's edge."""
    return _is_foot(on) and (on.v_mm > TOLERANCES.same_point_mm or on.edge.kind is EdgeKind.INTERNAL_GUTTER)


def _gauge(plane: RoofPlane, rules: RowRules, claims: Sequence[_Claim]) -> tuple[float, ...]:
    """Heights of the gauge rows: from the first row up to the top, the gauge evened to the top row on request."""
    top = max(y for _, y in plane.rings_uv[0])
    gauge = rules.gauge_mm
    tops = [row.v_mm for claim in claims for row in claim.rows if row.role in ("ridge", "head")]
    if rules.even and tops and max(tops) > rules.first_mm:
        rise = max(tops) - rules.first_mm
        gauge = rise / ceil((rise - TOLERANCES.same_length_mm) / gauge)
    second = rules.first_mm + min(gauge, rules.edge_bay_mm)
    last = floor((top - second - TOLERANCES.same_length_mm) / gauge)
    return (rules.first_mm, *(second + k * gauge for k in range(max(-1, last) + 1)))


def _claim(v: float, spans: Sequence[Span], role: str, edge: str, rules: RowRules, high: float) -> _Claim:
    rows = tuple(Row(v, span, role, edge) for span in spans)
    return _Claim(rows, v - rules.close_mm, max(high, v + rules.close_mm if role == "purlin" else high))


def _top(plane: RoofPlane, on: EdgeOnPlane, rules: RowRules, distance_mm: float) -> list[_Claim]:
    """The row below a ridge, head or pitch change, and one that keeps the last bay short where that is asked.

    Gauge rows between the top row and its edge are left out.
    """
    v = on.v_mm - distance_mm
    spans = _beside(plane, on, v, rules)
    claims = [_claim(v, spans, on.edge.kind.row.purlin_row, on.edge.id, rules, on.v_mm)]
    before = v - rules.edge_bay_mm
    if rules.edge_bay_mm < rules.gauge_mm and before > rules.first_mm + rules.close_mm:
        spans = _beside(plane, on, before, rules)
        claims.append(_claim(before, spans, "purlin", on.edge.id, rules, before))
    return claims


def _foot(plane: RoofPlane, on: EdgeOnPlane, rules: RowRules) -> _Claim:
    """The first row above a foot that the gauge does not serve, clear of an internal gutter."""
    v = on.v_mm + rules.first_mm + (rules.gutter_mm if on.edge.kind is EdgeKind.INTERNAL_GUTTER else 0.0)
    rows = tuple(Row(v, s, "eave", on.edge.id) for s in _beside(plane, on, v, rules))
    return _Claim(rows, on.v_mm, v + rules.close_mm)


def _beside(plane: RoofPlane, on: EdgeOnPlane, v: float, rules: RowRules) -> tuple[Span, ...]:
    """Spans at height v that belong to a level edge: not beyond its ends where the plane goes on beside it."""
    (u0, v0), (u1, v1) = on.a, on.b
    probe = min(v0, v1) - TOLERANCES.same_point_mm if on.is_top else max(v0, v1) + TOLERANCES.same_point_mm
    close = [s for s in spans_at(plane.rings_uv, probe) if s[0] < u1 and s[1] > u0]
    least = u0 if close and min(s[0] for s in close) < u0 - _GOES_ON_MM - 4.0 * abs(v0 - probe) else float("-inf")
    most = u1 if close and max(s[1] for s in close) > u1 + _GOES_ON_MM + 4.0 * abs(v1 - probe) else float("inf")
    spans = long_spans(plane.rings_uv, v, rules.width_mm)
    return tuple((max(a, least), min(b, most)) for a, b in spans if a < u1 and b > u0)


def widest_bay_mm(plane: RoofPlane, rows: Sequence[Row], over_mm: float) -> float:
    """The widest distance up the slope between two rows that the plane has over at least `over_mm` of its width [mm].

    Measured up the plane, column by column between the ends of rows and the plane's corners; 0 for a single row.
    """
    upright = tuple(tuple((v, u) for u, v in ring) for ring in plane.rings_uv)
    stations = {u for ring in plane.rings_uv for u, _ in ring} | {u for row in rows for u in row.span}
    bays: list[tuple[float, float]] = []
    for u0, u1 in pairwise(sorted(stations)):
        middle = (u0 + u1) / 2.0
        here = [row.v_mm for row in rows if row.span[0] < middle < row.span[1]]
        for low, high in spans_at(upright, middle):
            stops = sorted(v for v in here if low < v < high)
            bays += [(b - a, u1 - u0) for a, b in pairwise(stops)]
    width = 0.0
    for bay, over in sorted(bays, reverse=True):
        width += over
        if width >= over_mm:
            return bay
    return 0.0


def row_numbers(rows: Sequence[Row]) -> tuple[int, ...]:
    """The number of each row's height, 1 for the lowest; parts of one row share it."""
    heights = sorted({row.v_mm for row in rows})
    merged: list[float] = []
    for v in heights:
        if not merged or v - merged[-1] > TOLERANCES.same_point_mm:
            merged.append(v)
    bounds = [*pairwise([*merged, float("inf")])]
    return tuple(next(n for n, (a, b) in enumerate(bounds, start=1) if a <= row.v_mm < b) for row in rows)
