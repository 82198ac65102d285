"""The roof plan on one sheet: planes, edges with id and true length, spouting, downpipes, an edge schedule.

Drawn in plan, in mm from the first roof's origin, plan up is up. A label that does not fit its edge is left to the
schedule beside the plan, where every edge stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, radians, sin

from takeoff.basics.vectors import Point2, Point3
from takeoff.model.drainage import GutterRun
from takeoff.model.order import Takeoff
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.write.drawing import (
    LARGE_MM,
    NORMAL_MM,
    SMALL_MM,
    Drawing,
    Sketch,
    bounds,
    readable_angle,
    text_width,
)
from takeoff.write.frame import A1, A2, A3, SCALES, choose_scale, finish, free_area, title_block
from takeoff.write.label_places import roomiest, segment_distance
from takeoff.write.layers import EDGE_LAYER
from takeoff.write.opening_drawing import draw_clear, draw_holes
from takeoff.write.words import whole

_ROW = 4.5  # line spacing of the schedule [paper mm]
_TABLE = 92.0  # width of one column of the schedule [paper mm]
_ROOM = 27.0  # for numbers and dimensions round the plan [paper mm]
_OFF_EDGE, _OFF_NUMBER, _OFF_CHAIN, _OFF_WHOLE = 2.2, 7.5, 16.0, 24.0  # off the outline [paper mm]


@dataclass(frozen=True, slots=True)
class Place:
    """Moves a roof's own coordinates into the drawing's: several roofs share one drawing."""

    base_mm: Point3

    def at(self, roof: Roof, point: Sequence[float]) -> Point2:
        """Plan point of a point of that roof [mm]."""
        return (
            point[0] + (roof.origin_mm[0] - self.base_mm[0]),
            point[1] + (roof.origin_mm[1] - self.base_mm[1]),
        )


def roof_plan(takeoff: Takeoff) -> Drawing | None:
    """The roof plan, None for a job without a roof."""
    if not takeoff.roofs:
        return None
    place = Place(takeoff.roofs[0].origin_mm)
    extent = bounds(place.at(roof, point) for roof in takeoff.roofs for ring in roof.outline_mm for point in ring)
    edges = [edge for roof in takeoff.roofs for edge in roof.own_edges]
    paper, columns, scale = _paper((extent[2] - extent[0], extent[3] - extent[1]), len(edges))
    width, height = free_area(paper)
    room = (width - columns * _TABLE, height)
    sketch = Sketch(scale)
    for roof in takeoff.roofs:
        draw_roof(sketch, place, roof)
        _openings(sketch, place, roof, takeoff)
    _gutters(sketch, place, takeoff)
    _overall(sketch, extent, place, takeoff.roofs)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    corner = (middle[0] - sketch.paper(room[0] / 2.0), middle[1] - sketch.paper(height / 2.0))
    _north(sketch, (corner[0] + sketch.paper(12.0), corner[1] + sketch.paper(height - 18.0)), takeoff.job.north_deg)
    table = (corner[0] + sketch.paper(room[0]), corner[1] + sketch.paper(height - 8.0))
    _schedule(sketch, table, edges, int((height - 16.0) / _ROW))
    block = title_block(takeoff, "Roof plan", "R1")
    return finish(sketch, "roof_plan", block, paper, middle, (room[0] / 2.0, height / 2.0))


def _paper(size_mm: Point2, edges: int) -> tuple[tuple[float, float], int, int]:
    """Paper, columns of the schedule and scale: the smallest paper that holds both without shrinking past 1:200."""
    found = (A1, 4, SCALES[-1])
    for paper, columns in ((A3, 1), (A3, 2), (A2, 2), (A1, 3)):
        width, height = free_area(paper)
        if edges > columns * (int((height - 16.0) / _ROW) - 2):
            continue
        scale = choose_scale(size_mm, (width - columns * _TABLE - 2 * _ROOM, height - 2 * _ROOM))
        if scale < found[2]:
            found = (paper, columns, scale)
        if scale <= 200:
            break
    return found


def draw_roof(sketch: Sketch, place: Place, roof: Roof) -> None:
    """Planes, edges, wall line and edge numbers of one roof."""
    for plane in roof.planes:
        rings = tuple(tuple(place.at(roof, plane.frame.to_space(p)) for p in ring) for ring in plane.rings_uv)
        sketch.fill("ROOF-PLANE", rings, 0.18)
        _plane_label(sketch, plane, rings)
    for ring in roof.wall_line_mm:
        sketch.ring("WALL-LINE", [place.at(roof, point) for point in ring])
    for edge in roof.own_edges:
        a, b = place.at(roof, edge.a_mm), place.at(roof, edge.b_mm)
        sketch.line(EDGE_LAYER[edge.kind], a, b)
        _edge_label(sketch, edge, a, b, _inner_side(place, roof, edge, a, b))
    _edge_numbers(sketch, place, roof)


def _openings(sketch: Sketch, place: Place, roof: Roof, takeoff: Takeoff) -> None:
    for plane in roof.planes:
        frame = plane.frame

        def on_plan(point: Point2, frame: Frame = frame) -> Point2:
            return place.at(roof, frame.to_space(point))

        sheets = takeoff.sheets_of(plane.id)
        if sheets is not None:
            draw_clear(sketch, sheets, on_plan)
        draw_holes(sketch, [hole for hole in takeoff.roofing.holes if hole.plane == plane.id], on_plan, named=True)


def _inner_side(place: Place, roof: Roof, edge: RoofEdge, a: Point2, b: Point2) -> float:
    """+1 where the label of an edge with one plane goes left of a to b so as to lie on it, -1 right; +1 between two."""
    planes = [plane for plane in roof.planes if plane.id in edge.faces]
    if len(planes) != 1:
        return 1.0
    ring = [place.at(roof, planes[0].frame.to_space(p)) for p in planes[0].rings_uv[0]]
    middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
    return 1.0 if (b[0] - a[0]) * (middle[1] - a[1]) - (b[1] - a[1]) * (middle[0] - a[0]) > 0 else -1.0


def _edge_label(sketch: Sketch, edge: RoofEdge, a: Point2, b: Point2, side: float) -> None:
    length = hypot(b[0] - a[0], b[1] - a[1])
    if length == 0.0:
        return
    full = f"{edge.id}: {whole(edge.length_mm)}"
    for text, height in ((full, NORMAL_MM), (full, SMALL_MM), (edge.id, SMALL_MM)):
        if text_width(text, sketch.paper(height)) <= 0.92 * length:
            break
    else:
        return
    off = sketch.paper(_OFF_EDGE + height / 2.0) * side / length
    at = ((a[0] + b[0]) / 2.0 - (b[1] - a[1]) * off, (a[1] + b[1]) / 2.0 + (b[0] - a[0]) * off)
    sketch.text("TEXT", at, text, height, readable_angle(a, b), "centre", True)


def _plane_label(sketch: Sketch, plane: RoofPlane, rings: tuple[tuple[Point2, ...], ...]) -> None:
    at, room = roomiest(rings)
    room_paper = room / sketch.scale
    down = plane.frame.v
    reach = hypot(down[0], down[1])
    if room_paper < 4.0:
        sketch.text("TEXT", at, plane.id, SMALL_MM, 0.0, "centre", True)
        return
    small = room_paper < 13.0
    lines = [(plane.id, NORMAL_MM if small else LARGE_MM)]
    if room_paper >= 9.0:
        lines += [(f"{plane.pitch_deg:.1f}°", SMALL_MM if small else NORMAL_MM)]
        lines += [(f"{plane.area_mm2 / 1e6:.2f} m²", SMALL_MM)]
    y = at[1] + sketch.paper(5.0 if len(lines) > 1 else 0.0)
    for text, height in lines:
        sketch.text("TEXT", (at[0], y), text, height, 0.0, "centre", True)
        y -= sketch.paper(height + 1.8)
    if reach > 0.0 and room_paper >= 9.0:
        # the arrow stands beside the words, on the side where it does not cross them
        ux, uy = -down[0] / reach, -down[1] / reach
        aside = sketch.paper(11.0)
        start = (at[0] + aside * abs(uy), at[1] - sketch.paper(12.5) * abs(ux))
        half = sketch.paper(min(7.0, room_paper / 2.0))
        sketch.arrow(
            "FALL-ARROW",
            (start[0] - ux * half, start[1] - uy * half),
            (start[0] + ux * half, start[1] + uy * half),
        )


def _edge_numbers(sketch: Sketch, place: Place, roof: Roof) -> None:
    typed = 0
    for ring in roof.outline_mm:
        points = [place.at(roof, point) for point in ring]
        area2 = sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True))
        # the outer ring may be typed either way round, and a courtyard's outside is its inside
        turn = (1.0 if area2 > 0 else -1.0) * (1.0 if ring is roof.outline_mm[0] else -1.0)
        for a, b in zip(points, (*points[1:], points[0]), strict=True):
            typed += 1
            length = hypot(b[0] - a[0], b[1] - a[1])
            if length < sketch.paper(6.0):
                continue
            off = sketch.paper(_OFF_NUMBER) * turn / length
            # off the middle, where dimensions and downpipes do not stand
            at = (a[0] + 0.38 * (b[0] - a[0]) + (b[1] - a[1]) * off, a[1] + 0.38 * (b[1] - a[1]) - (b[0] - a[0]) * off)
            sketch.circle("EDGE-NUMBER", at, 3.0)
            sketch.text("EDGE-NUMBER", at, str(typed), SMALL_MM, 0.0, "centre", True)


def _gutters(sketch: Sketch, place: Place, takeoff: Takeoff) -> None:
    roofs = {roof.name: roof for roof in takeoff.roofs}
    for run in takeoff.gutters:
        roof = roofs.get(run.roof, takeoff.roofs[0])
        _gutter(sketch, place, roof, run)
        plan = takeoff.gutter_plan(run.id)
        for pipe in plan.pipes if plan is not None else ():
            at = place.at(roof, pipe.at_mm)
            out = _outward(place, roof, run, at)
            sketch.circle("DOWNPIPE", at, 1.6)
            # upright eaves have the room for a name beside them, level ones below or above
            off = sketch.paper(5.0 + 4.0 * abs(out[0]))
            words = (at[0] + out[0] * off, at[1] + out[1] * off)
            sketch.text("DOWNPIPE", words, pipe.id, NORMAL_MM, 0.0, "centre", True)


def _outward(place: Place, roof: Roof, run: GutterRun, at: Point2) -> Point2:
    """Unit vector away from the roof, square to the leg that a point stands on."""
    legs = [(place.at(roof, leg.a_mm), place.at(roof, leg.b_mm)) for leg in run.legs]
    a, b = min(legs, key=lambda leg: segment_distance(at, *leg))
    length = hypot(b[0] - a[0], b[1] - a[1])
    # a to b runs left to right seen from outside, so outside is on the right hand
    return ((b[1] - a[1]) / length, -(b[0] - a[0]) / length) if length > 0.0 else (0.0, -1.0)


def _gutter(sketch: Sketch, place: Place, roof: Roof, run: GutterRun) -> None:
    longest = max(run.legs, key=lambda leg: leg.length_mm, default=None)
    for leg in run.legs:
        a, b = place.at(roof, leg.a_mm), place.at(roof, leg.b_mm)
        length = hypot(b[0] - a[0], b[1] - a[1])
        if length == 0.0:
            continue
        # a to b runs left to right seen from outside, so outside is on the right hand
        out = ((b[1] - a[1]) / length, -(b[0] - a[0]) / length)
        off = sketch.paper(1.4)
        shifted = [(p[0] + out[0] * off, p[1] + out[1] * off) for p in (a, b)]
        sketch.line("GUTTER", shifted[0], shifted[1])
        if leg is longest:
            gap = sketch.paper(4.6)
            at = (a[0] + 0.62 * (b[0] - a[0]) + out[0] * gap, a[1] + 0.62 * (b[1] - a[1]) + out[1] * gap)
            text = f"{run.id}: {whole(run.length_mm)}"
            sketch.text("GUTTER", at, text, SMALL_MM, readable_angle(a, b), "centre", True)


def _overall(sketch: Sketch, extent: tuple[float, float, float, float], place: Place, roofs: Iterable[Roof]) -> None:
    points = [place.at(roof, point) for roof in roofs for ring in roof.outline_mm for point in ring]
    low_x, low_y, high_x, high_y = extent
    whole, chain = sketch.paper(_OFF_WHOLE), sketch.paper(_OFF_CHAIN)
    sketch.dimension((low_x, low_y), (high_x, low_y), (low_x, low_y - whole), 0.0)
    sketch.dimension((low_x, low_y), (low_x, high_y), (low_x - whole, low_y), 90.0)
    least = sketch.paper(11.0)
    xs, ys = _steps([x for x, _ in points], least), _steps([y for _, y in points], least)
    if len(xs) > 2:
        for a, b in pairwise(xs):
            sketch.dimension((a, low_y), (b, low_y), (a, low_y - chain), 0.0)
    if len(ys) > 2:
        for a, b in pairwise(ys):
            sketch.dimension((low_x, a), (low_x, b), (low_x - chain, a), 90.0)


def _steps(values: list[float], least: float) -> list[float]:
    """Distinct positions in order; none where some lie too close to be told apart on paper."""
    ordered = sorted(values)
    kept = [ordered[0]]
    for value in ordered[1:]:
        if value - kept[-1] > 0.5:
            kept.append(value)
    return kept if all(b - a >= least for a, b in pairwise(kept)) else []


def _north(sketch: Sketch, at: Point2, north_deg: float) -> None:
    # plan up has the bearing north_deg, so north lies that far to the left of up
    turn = radians(90.0 + north_deg)
    half = sketch.paper(8.0)
    tip, tail = (
        (at[0] + half * cos(turn), at[1] + half * sin(turn)),
        (at[0] - half * cos(turn), at[1] - half * sin(turn)),
    )
    sketch.arrow("TEXT", tail, tip, 5.0)
    far = sketch.paper(11.5)
    sketch.text("TEXT", (at[0] + far * cos(turn), at[1] + far * sin(turn)), "N", LARGE_MM, 0.0, "centre", True)


def _schedule(sketch: Sketch, top_left: Point2, edges: list[RoofEdge], rows: int) -> None:
    columns = ((0.0, "left"), (18.0, "left"), (58.0, "right"), (76.0, "right"))
    per_column = max(1, rows - 2)
    for i, edge in enumerate(edges):
        column, row = divmod(i, per_column)
        left = top_left[0] + sketch.paper(column * _TABLE)
        if row == 0:
            _table_row(sketch, left, top_left[1], columns, ("edge", "kind", "true mm", "plan mm"), NORMAL_MM - 0.5)
        y = top_left[1] - sketch.paper(_ROW * (row + 1) + 1.5)
        cells = (edge.id, edge.kind.value, whole(edge.length_mm), whole(edge.plan_length_mm))
        _table_row(sketch, left, y, columns, cells, SMALL_MM)


def _table_row(
    sketch: Sketch,
    left: float,
    y: float,
    columns: Sequence[tuple[float, str]],
    cells: Sequence[str],
    height: float,
) -> None:
    for (x, align), cell in zip(columns, cells, strict=True):
        sketch.text("TEXT", (left + sketch.paper(x), y), cell, height, 0.0, align)
