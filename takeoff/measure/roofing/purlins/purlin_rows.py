"""Rows of purlins on one plane: a gauge from the eave up, and a row where each level edge needs one.

ridge     ------------------------------   v of the ridge
ridge row ==============================   v - flashing row (the flashing's screws go in here)
          ------------------------------   so that the last bay is an end bay at most
...       ------------------------------   first + end bay + gauge
          ------------------------------   first + end bay
eave row  ------------------------------   first (50 mm up the rake from the outline)

Bays at the ends of sheets are shorter than those between, as the job's code says.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import ceil, floor

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import FOOT_KINDS, EdgeKind, End
from takeoff.model.measured import PurlinLine
from takeoff.model.roof import RoofPlane
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import EdgeOnPlane, Span, long_spans, spans_at, subtract

Bays = tuple[float, float]
# roles of lines that run level across a plane, so that a sheet's end lap can lie over them
LEVEL_ROLES = frozenset({"purlin", "eave", "ridge", "head"})
_SAME_MM = TOLERANCES.same_point_mm
# a plane that goes on beside the end of a level edge reaches further than this past it, close to the edge [mm]
_GOES_ON_MM = TOLERANCES.goes_on_mm


@record
class RowRules:
    """What sets the rows out [mm]: first row, gauge, timber width, nearness at which two rows become one, shortest
    row; `even` shares the rest of the gauge over the plane; `gutter_mm` is half the width of an internal gutter,
    `edge_mm` the most of a bay at the end of sheets (0: as the gauge), `useless_mm` the least that one is worth its
    row; `lap_is_end`: sheets end at their laps too."""

    first_mm: float
    gauge_mm: float
    width_mm: float
    close_mm: float
    least_mm: float
    even: bool = False
    gutter_mm: float = 0.0
    edge_mm: float = 0.0
    useless_mm: float = 0.0
    lap_is_end: bool = False

    @property
    def edge_bay_mm(self) -> float:
        """A bay at the end of sheets: the gauge, or less."""
        return min(self.gauge_mm, self.edge_mm) if self.edge_mm > 0.0 else self.gauge_mm


@record
class Row:
    """One row of purlin: its height v up the slope, its span in u to the long points [mm], and why it is there."""

    v_mm: float
    span: Span
    role: str  # eave, purlin, ridge, head
    edge: str = ""


@record
class _Claim:
    """A row that must lie where it lies, and the heights in which no gauge row is laid: beside its edge, across the
    plane where it has none; not below the lower tops of others."""

    rows: tuple[Row, ...]
    low_mm: float
    high_mm: float
    on: EdgeOnPlane | None = None
    others: tuple[EdgeOnPlane, ...] = ()

    def gaps(self, plane: RoofPlane, v: float, rules: RowRules) -> tuple[Span, ...]:
        """Where no gauge row is laid at a height."""
        if not self.low_mm < v <= self.high_mm:
            return ()
        if self.on is None:
            return tuple(long_spans(plane.rings_uv, v, rules.width_mm))
        return _beside(plane, self.on, v, rules, self.others)


def rows_of(
    plane: RoofPlane,
    edges: Sequence[EdgeOnPlane],
    rules: RowRules,
    top_mm: Mapping[str, float],
    laps_v_mm: Sequence[float] = (),
) -> tuple[Row, ...]:
    """Rows of a plane by rising v, then u.

    top_mm: by edge id, distance of the row below each level top edge [mm]; laps_v_mm: heights of sheet end laps, each
    of which gets a row of its own. Gauge rows next to a row at an edge or a lap are moved where a bay would be longer
    than it may be, or so short that its row is useless; a row shorter than `least_mm` is left to the trimmers.
    """
    tops = [
        (on, on.v_mm - top_mm[on.edge.id])
        for on in edges
        if on.edge.id in top_mm and on.is_top and on.v_mm - top_mm[on.edge.id] > rules.first_mm + rules.close_mm
    ]
    gauge = _gauge(plane, rules, [v for _, v in tops])
    known = sorted({*gauge, *laps_v_mm})
    claims = [claim for on in edges if _has_own_row(on) for claim in _foot(plane, on, rules, known)]
    for on, v in tops:
        others = tuple(other for other, _ in tops if other is not on)
        claims += _top(plane, on, others, v, rules, known)
    for v in laps_v_mm:
        if not any(abs(row.v_mm - v) < rules.width_mm / 2.0 for claim in claims for row in claim.rows):
            claims += _lap(plane, v, rules, known)
    low_foot = next((on.edge.id for on in edges if _is_foot(on) and on.v_mm <= TOLERANCES.same_point_mm), "")
    rows = [row for claim in claims for row in claim.rows]
    for number, v in enumerate(gauge):
        gaps = [span for claim in claims for span in claim.gaps(plane, v, rules)]
        role, edge = ("eave", low_foot) if not number and low_foot else ("purlin", "")
        for span in long_spans(plane.rings_uv, v, rules.width_mm):
            rows += [Row(v, part, role, edge) for part in subtract(span, gaps)]
    kept = [row for row in rows if row.span[1] - row.span[0] >= rules.least_mm]
    return tuple(sorted(kept, key=lambda row: (row.v_mm, row.span)))


def _is_foot(on: EdgeOnPlane) -> bool:
    return on.edge.kind in FOOT_KINDS or (on.edge.kind.row.end is End.BREAK and not on.is_top)


def _has_own_row(on: EdgeOnPlane) -> bool:
    """Whether the gauge's first row does not serve a foot: it lies higher, or the sheets stop at a gutter's edge."""
    return _is_foot(on) and (on.v_mm > TOLERANCES.same_point_mm or on.edge.kind is EdgeKind.INTERNAL_GUTTER)


def _gauge(plane: RoofPlane, rules: RowRules, tops: Sequence[float]) -> tuple[float, ...]:
    """Heights of the gauge rows: the first row, an end bay, then the gauge up to the top; evened to the top row on
    request."""
    top = max(y for _, y in plane.rings_uv[0])
    gauge, edge = rules.gauge_mm, rules.edge_bay_mm
    if rules.even and tops and max(tops) > rules.first_mm:
        gauge, edge = _evened(max(tops) - rules.first_mm, gauge, edge)
    second = rules.first_mm + edge
    last = floor((top - second - TOLERANCES.same_length_mm) / gauge)
    return (rules.first_mm, *(second + k * gauge for k in range(max(-1, last) + 1)))


def _evened(rise: float, gauge: float, edge: float) -> Bays:
    """Gauge and end bays shrunk alike so that the fewest rows come out even over a rise [mm]."""
    share = edge / gauge
    between = max(0, ceil((rise - 2.0 * edge - TOLERANCES.same_length_mm) / gauge))
    if not between and rise <= edge + TOLERANCES.same_length_mm:
        return gauge, rise
    even = rise / (between + 2.0 * share)
    return even, even * share


def _row_below(
    v: float, end_mm: float, least_mm: float, rules: RowRules, gauge: Sequence[float]
) -> tuple[float, float | None]:
    """Between a row at the top of sheets and the gauge rows under it, a bay of `least_mm` to `end_mm`: the height down
    to which gauge rows are taken away, and that of the row laid instead, None where none is needed."""
    under = [row for row in gauge if row < v - TOLERANCES.same_point_mm]
    if not under:
        return v, None
    if min(least_mm, end_mm) - TOLERANCES.same_length_mm <= v - under[-1] <= end_mm + TOLERANCES.same_length_mm:
        return v, None
    near = v - under[-1] <= end_mm
    if near and len(under) == 1:
        return v, None  # nothing but the eave row is left to share with
    base = under[-2] if near else under[-1]
    rise = v - base
    if rise <= end_mm + TOLERANCES.same_length_mm:
        return base, None
    # from the eave row both bays are end bays
    low = end_mm if base == gauge[0] else rules.gauge_mm
    return base, v - rise * end_mm / (end_mm + low)


def _row_above(
    v: float, end_mm: float, least_mm: float, rules: RowRules, gauge: Sequence[float]
) -> tuple[float, float | None]:
    """The same above a row at the foot of sheets: up to where gauge rows are taken away, and the row laid instead."""
    over = [row for row in gauge if row > v + TOLERANCES.same_point_mm]
    least = min(least_mm, end_mm) - TOLERANCES.same_length_mm
    if not over or least <= over[0] - v <= end_mm + TOLERANCES.same_length_mm:
        return v, None
    near = over[0] - v <= end_mm
    if near and len(over) == 1:
        return v, None
    base = over[1] if near else over[0]
    rise = base - v
    if rise <= end_mm + TOLERANCES.same_length_mm:
        return base, None
    return base, v + rise * end_mm / (end_mm + rules.gauge_mm)


def _top(
    plane: RoofPlane,
    on: EdgeOnPlane,
    others: tuple[EdgeOnPlane, ...],
    v: float,
    rules: RowRules,
    gauge: Sequence[float],
) -> list[_Claim]:
    """The row below a ridge, head or pitch change, and the one below that where the last bay needs it.

    Gauge rows between the top row and its edge are left out, and beside the edge one half of which lies above it.
    What lies straight below a lower one of the `others` has the rows of that one.
    """
    low, extra = _row_below(v, rules.edge_bay_mm, rules.useless_mm, rules, gauge)
    rows = tuple(Row(v, span, on.edge.kind.row.purlin_row, on.edge.id) for span in _beside(plane, on, v, rules, others))
    claims = [_Claim(rows, min(low, v - _SAME_MM), on.v_mm + rules.width_mm / 2.0, on, others)]
    if extra is not None:
        spans = _beside(plane, on, extra, rules, others)
        claims.append(_Claim(tuple(Row(extra, span, "purlin", on.edge.id) for span in spans), extra, extra))
    return claims


def _foot(plane: RoofPlane, on: EdgeOnPlane, rules: RowRules, gauge: Sequence[float]) -> list[_Claim]:
    """The first row above a foot that the gauge does not serve, clear of an internal gutter, and the one above that
    where its bay needs it. Beside the foot a gauge row half of which lies above it is left out."""
    v = on.v_mm + rules.first_mm + (rules.gutter_mm if on.edge.kind is EdgeKind.INTERNAL_GUTTER else 0.0)
    high, extra = _row_above(v, rules.edge_bay_mm, rules.useless_mm, rules, gauge)
    rows = tuple(Row(v, s, "eave", on.edge.id) for s in _beside(plane, on, v, rules))
    claims = [_Claim(rows, on.v_mm - rules.width_mm / 2.0, v if high == v else high - _SAME_MM, on)]
    if extra is not None:
        between = tuple(Row(extra, s, "purlin", on.edge.id) for s in _beside(plane, on, extra, rules))
        claims.append(_Claim(between, extra, extra))
    return claims


def _lap(plane: RoofPlane, v: float, rules: RowRules, gauge: Sequence[float]) -> list[_Claim]:
    """The row under an end lap and, where its bays would be longer than they may be, one on either side of it."""
    end = rules.edge_bay_mm if rules.lap_is_end else rules.gauge_mm
    low, below = _row_below(v, end, rules.close_mm, rules, gauge)
    high, above = _row_above(v, end, rules.close_mm, rules, gauge)
    stop = v + _SAME_MM if high == v else high - _SAME_MM
    claims = [_Claim(_spans(plane, v, rules), min(low, v - _SAME_MM), stop)]
    return claims + [_Claim(_spans(plane, other, rules), other, other) for other in (below, above) if other is not None]


def _spans(plane: RoofPlane, v: float, rules: RowRules) -> tuple[Row, ...]:
    return tuple(Row(v, span, "purlin") for span in long_spans(plane.rings_uv, v, rules.width_mm))


def _beside(
    plane: RoofPlane, on: EdgeOnPlane, v: float, rules: RowRules, others: Sequence[EdgeOnPlane] = ()
) -> tuple[Span, ...]:
    """Spans at height v that belong to a level edge: not beyond its ends where the plane goes on beside it, and not
    straight below the lower tops of others."""
    (u0, v0), (u1, v1) = on.a, on.b
    probe = min(v0, v1) - TOLERANCES.same_point_mm if on.is_top else max(v0, v1) + TOLERANCES.same_point_mm
    close = [s for s in spans_at(plane.rings_uv, probe) if s[0] < u1 and s[1] > u0]
    least = u0 if close and min(s[0] for s in close) < u0 - _GOES_ON_MM - 4.0 * abs(v0 - probe) else float("-inf")
    most = u1 if close and max(s[1] for s in close) > u1 + _GOES_ON_MM + 4.0 * abs(v1 - probe) else float("inf")
    spans = long_spans(plane.rings_uv, v, rules.width_mm)
    own = [(max(a, least), min(b, most)) for a, b in spans if a < u1 and b > u0]
    taken = [(other.a[0], other.b[0]) for other in others if v < other.v_mm < on.v_mm]
    return tuple((a, b) for span in own for a, b in subtract(span, taken) if a < u1 and b > u0)


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


def widest_bay_of(plane: RoofPlane, lines: Sequence[PurlinLine], settings: Settings) -> float:
    """The widest bay between the laid rows of a plane [mm]; a row that a hole cuts is one row there."""
    spans: dict[int, Row] = {}
    for line in lines:
        if line.plane == plane.id and line.role in LEVEL_ROLES:
            held = spans.get(line.row)
            low = min(line.a_uv[0], held.span[0]) if held else line.a_uv[0]
            high = max(line.b_uv[0], held.span[1]) if held else line.b_uv[0]
            spans[line.row] = Row(line.a_uv[1], (low, high), line.role)
    return widest_bay_mm(plane, tuple(spans.values()), settings.number("purlin_least_row_mm"))


def row_numbers(rows: Sequence[Row]) -> tuple[int, ...]:
    """The number of each row's height, 1 for the lowest; parts of one row share it."""
    heights = sorted({row.v_mm for row in rows})
    merged: list[float] = []
    for v in heights:
        if not merged or v - merged[-1] > TOLERANCES.same_point_mm:
            merged.append(v)
    bounds = [*pairwise([*merged, float("inf")])]
    return tuple(next(n for n, (a, b) in enumerate(bounds, start=1) if a <= row.v_mm < b) for row in rows)
