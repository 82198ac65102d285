"""The roof plan on one sheet: planes, edges with id and true length, gutters, downpipes, an edge schedule.

Drawn in plan, in mm from the first roof's origin, plan up is up. A label that finds no place along its edge becomes
smaller, then its id alone, then is led out by a line; wall lines are kept free of words where another place serves. The
schedule beside the plan holds every edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

from takeoff.basics.vectors import Point2
from takeoff.model.order import Takeoff
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.write.drawings.drawing import (
    LARGE_MM,
    NORMAL_MM,
    SMALL_MM,
    Dimension,
    Drawing,
    Sketch,
    bounds,
    readable_angle,
    text_width,
)
from takeoff.write.drawings.frame import A1, A2, A3, SCALES, choose_scale, finish, free_area, title_block
from takeoff.write.drawings.label_places import grid_inside, roomiest
from takeoff.write.drawings.label_room import Label, Room, ring_lines, slid
from takeoff.write.drawings.opening_drawing import draw_clear, draw_holes, name_clear
from takeoff.write.drawings.plan_marks import (
    draw_edge_numbers,
    draw_fall,
    draw_gutters,
    draw_lay,
    draw_pipes,
    lay_arrow,
    name_gutters,
    name_pipes,
)
from takeoff.write.drawings.plan_place import Place, draw_edges
from takeoff.write.words.words import WINDS, plain, whole

_ROW = 4.5  # line spacing of the schedule [paper mm]
_TABLE = 92.0  # width of one column of the schedule [paper mm]
_KEY_ROWS = 6  # rows of the schedule that the key takes, with the one over it
_ROOM = 27.0  # for numbers and dimensions round the plan [paper mm]
_OFF_EDGE, _OFF_CHAIN, _OFF_WHOLE = 2.2, 16.0, 24.0  # off the outline [paper mm]
_Place = tuple[Point2, list[Label]]  # a place on a plane and the labels there


def roof_plan(takeoff: Takeoff) -> Drawing | None:
    """The roof plan, None for a job without a roof."""
    if not takeoff.roofs:
        return None
    place = Place(takeoff.roofs[0].origin_mm)
    extent = bounds(place.at(roof, point) for roof in takeoff.roofs for ring in roof.outline_mm for point in ring)
    edges = [edge for roof in takeoff.roofs for edge in roof.own_edges]
    rows_wanted = len(edges) + 2 * _KEY_ROWS + len(_more(takeoff.roofs))
    paper, columns, scale = _paper((extent[2] - extent[0], extent[3] - extent[1]), rows_wanted)
    width, height = free_area(paper)
    room = (width - columns * _TABLE, height)
    sketch = Sketch(scale)
    taken = Room(sketch)
    _overall(taken, extent, place, takeoff.roofs)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    corner = (middle[0] - sketch.paper(room[0] / 2.0), middle[1] - sketch.paper(height / 2.0))
    far = (corner[0] + sketch.paper(room[0] - 2.0), corner[1] + sketch.paper(height - 28.0))
    taken.within = (corner[0], corner[1], *far)
    draw_lines(taken, place, takeoff.roofs)
    draw_gutters(taken, place, takeoff)
    draw_pipes(taken, place, takeoff)
    for roof in takeoff.roofs:
        draw_edge_numbers(taken, place, roof, letter(takeoff.roofs, roof))
        _openings(taken, place, roof, takeoff)
    # names slide along what they name, arrows have few places
    for roof in takeoff.roofs:
        draw_lay(taken, place, roof, takeoff)
    draw_names(taken, place, takeoff.roofs)
    name_gutters(taken, place, takeoff)
    name_pipes(taken, place, takeoff)
    top = corner[1] + sketch.paper(height - 18.0)
    _north(sketch, (corner[0] + sketch.paper(12.0), top), takeoff.job.north_deg)
    _wind(sketch, (corner[0] + sketch.paper(34.0), top), takeoff)
    table = (corner[0] + sketch.paper(room[0]), corner[1] + sketch.paper(height - 8.0))
    rows = int((height - 16.0) / _ROW)
    _schedule(sketch, table, edges, rows)
    _key(sketch, table, len(edges), rows, takeoff.roofs)
    block = title_block(takeoff, "Roof plan", "R1")
    return finish(sketch, "roof_plan", block, paper, middle, (room[0] / 2.0, height / 2.0))


def _paper(size_mm: Point2, wanted: int) -> tuple[tuple[float, float], int, int]:
    """Paper, columns of the schedule and scale: the smallest paper that holds the plan and the rows `wanted` without
    shrinking past 1:200."""
    found = (A1, 4, SCALES[-1])
    for paper, columns in ((A3, 1), (A3, 2), (A2, 2), (A1, 3)):
        width, height = free_area(paper)
        if wanted > columns * (int((height - 16.0) / _ROW) - 2):
            continue
        scale = choose_scale(size_mm, (width - columns * _TABLE - 2 * _ROOM, height - 2 * _ROOM))
        if scale < found[2]:
            found = (paper, columns, scale)
        if scale <= 200:
            break
    return found


def letter(roofs: Sequence[Roof], roof: Roof) -> str:
    """What stands before the edge numbers of a roof: nothing for the first, then b, c ..."""
    return "" if roof is roofs[0] else "abcdefghijklmnopqrstuvwxyz"[roofs.index(roof) % 26]


def draw_lines(taken: Room, place: Place, roofs: Sequence[Roof]) -> None:
    """Planes, edges and wall lines of all roofs, before any word: words keep off every edge that is seen."""
    sketch = taken.sketch
    for roof in roofs:
        for plane in roof.planes:
            sketch.fill("ROOF-PLANE", _on_plan(place, roof, plane), 0.18)
        for ring in roof.wall_line_mm:
            walls = [place.at(roof, point) for point in ring]
            sketch.ring("WALL-LINE", walls)
            taken.soft += ring_lines(walls)
        draw_edges(taken, place, roof)


def draw_names(taken: Room, place: Place, roofs: Sequence[Roof]) -> None:
    """Planes with pitch, area and fall, then edges with their lengths."""
    for roof in roofs:
        for plane in roof.planes:
            _plane_label(taken, plane, _on_plan(place, roof, plane))
    for roof in roofs:
        for edge in roof.own_edges:
            a, b = place.at(roof, edge.a_mm), place.at(roof, edge.b_mm)
            _edge_label(taken, edge, a, b, _inner_side(place, roof, edge, a, b))


def _on_plan(place: Place, roof: Roof, plane: RoofPlane) -> tuple[tuple[Point2, ...], ...]:
    return tuple(tuple(place.at(roof, plane.frame.to_space(p)) for p in ring) for ring in plane.rings_uv)


def _openings(taken: Room, place: Place, roof: Roof, takeoff: Takeoff) -> None:
    for plane in roof.planes:
        frame = plane.frame

        def on_plan(point: Point2, frame: Frame = frame) -> Point2:
            return place.at(roof, frame.to_space(point))

        sheets = takeoff.sheets_of(plane.id)
        if sheets is not None:
            draw_clear(taken.sketch, sheets, on_plan)
            name_clear(taken, sheets, on_plan)
        draw_holes(taken, [hole for hole in takeoff.roofing.holes if hole.plane == plane.id], on_plan, named=True)


def _inner_side(place: Place, roof: Roof, edge: RoofEdge, a: Point2, b: Point2) -> float:
    """+1 where the label of an edge with one plane goes left of a to b so as to lie on it, -1 right; +1 between two."""
    planes = [plane for plane in roof.planes if plane.id in edge.faces]
    if len(planes) != 1:
        return 1.0
    ring = [place.at(roof, planes[0].frame.to_space(p)) for p in planes[0].rings_uv[0]]
    middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
    return 1.0 if (b[0] - a[0]) * (middle[1] - a[1]) - (b[1] - a[1]) * (middle[0] - a[0]) > 0 else -1.0


def _edge_label(taken: Room, edge: RoofEdge, a: Point2, b: Point2, side: float) -> None:
    """Id and length beside an edge, slid along it to a free place, else smaller, else the id alone, else led out."""
    if a != b:
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        taken.place(_edge_places(taken.sketch, edge, a, b, side), middle)


def _edge_places(sketch: Sketch, edge: RoofEdge, a: Point2, b: Point2, side: float) -> Iterator[Label]:
    length = hypot(b[0] - a[0], b[1] - a[1])
    full = f"{edge.id}: {whole(edge.length_mm)}"
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    sides = (side, -side) if len(edge.faces) > 1 else (side,)
    for text, height in ((full, NORMAL_MM), (full, SMALL_MM), (edge.id, SMALL_MM)):
        long = text_width(text, sketch.paper(height))
        if long > 0.92 * length:
            continue
        for way in sides:
            for off in (_OFF_EDGE, _OFF_EDGE + 2.0, _OFF_EDGE + 4.0):
                aside = sketch.paper(off + height / 2.0) * way / length
                at = (middle[0] - (b[1] - a[1]) * aside, middle[1] + (b[0] - a[0]) * aside)
                label = Label("TEXT", at, text, height, readable_angle(a, b))
                yield from slid(label, (0.98 * length - long) / 2.0, sketch.paper(2.0))


def _plane_label(taken: Room, plane: RoofPlane, rings: tuple[tuple[Point2, ...], ...]) -> None:
    """Id, pitch and area where the plane has most room, else elsewhere on it, else the id alone, else led out."""
    down = plane.frame.v
    reach = hypot(down[0], down[1])
    best, room = roomiest(rings)
    room_paper = room / taken.sketch.scale
    places = (best, *grid_inside(rings))
    for lines in _plane_lines(plane, room_paper):
        for at, labels in _off_soft_first(taken, [(at, _stacked(taken.sketch, lines, at)) for at in places]):
            if taken.free(labels):
                taken.put(labels)
                if reach > 0.0 and room_paper >= 9.0:
                    draw_fall(taken, at, (-down[0] / reach, -down[1] / reach), min(7.0, room_paper / 2.0), rings)
                return
    taken.lead_out(Label("TEXT", best, plane.id, SMALL_MM), best)


def _off_soft_first(taken: Room, places: Sequence[_Place]) -> Iterator[_Place]:
    """Places off the lines that words keep off where they can, then those over them: of many the first will do."""
    over: list[_Place] = []
    for place in places:
        if taken.over_soft(place[1]):
            over.append(place)
        else:
            yield place
    yield from over


def _plane_lines(plane: RoofPlane, room_paper: float) -> list[list[tuple[str, float]]]:
    """What is said of a plane and how high, from the most that its room allows down to the id alone."""
    pitch, area = f"{plane.pitch_deg:.1f}°", f"{plane.area_mm2 / 1e6:.2f} m²"
    found = []
    if room_paper >= 13.0:
        found.append([(plane.id, LARGE_MM), (pitch, NORMAL_MM), (area, SMALL_MM)])
    if room_paper >= 9.0:
        found.append([(plane.id, NORMAL_MM), (pitch, SMALL_MM), (area, SMALL_MM)])
    return [*found, [(plane.id, NORMAL_MM)], [(plane.id, SMALL_MM)]]


def _stacked(sketch: Sketch, lines: Sequence[tuple[str, float]], at: Point2) -> list[Label]:
    y = at[1] + sketch.paper(5.0 if len(lines) > 1 else 0.0)
    labels = []
    for text, height in lines:
        labels.append(Label("TEXT", (at[0], y), text, height))
        y -= sketch.paper(height + 1.8)
    return labels


def _overall(taken: Room, extent: tuple[float, float, float, float], place: Place, roofs: Iterable[Roof]) -> None:
    sketch = taken.sketch
    points = [place.at(roof, point) for roof in roofs for ring in roof.outline_mm for point in ring]
    low_x, low_y, high_x, high_y = extent
    far, chain = sketch.paper(_OFF_WHOLE), sketch.paper(_OFF_CHAIN)
    least = sketch.paper(11.0)
    xs, ys = _steps([x for x, _ in points], least), _steps([y for _, y in points], least)
    level = [((low_x, high_x), far), *((pair, chain) for pair in pairwise(xs) if len(xs) > 2)]
    upright = [((low_y, high_y), far), *((pair, chain) for pair in pairwise(ys) if len(ys) > 2)]
    for (a, b), off in level:
        _dimension(taken, (a, low_y), (b, low_y), (0.0, -off), 0.0)
    for (a, b), off in upright:
        _dimension(taken, (low_x, a), (low_x, b), (-off, 0.0), 90.0)


def _dimension(taken: Room, a: Point2, b: Point2, off: Point2, angle: float) -> None:
    """A dimension, its lines and its figure kept clear of other words."""
    feet = [(point[0] + off[0], point[1] + off[1]) for point in (a, b)]
    taken.sketch.dimension(a, b, feet[0], angle)
    gap = taken.sketch.paper(3.0)
    x, y = (-gap, 0.0) if angle else (0.0, -gap)  # dimensions stand at the left and under the plan
    taken.lines += [((point[0] + x, point[1] + y), foot) for point, foot in zip((a, b), feet, strict=True)]
    taken.lines.append((feet[0], feet[1]))
    taken.keep_figure(Dimension("DIM", a, b, feet[0], angle))


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


def _wind(sketch: Sketch, at: Point2, takeoff: Takeoff) -> None:
    """The end that sheets are laid from, with an arrow along the wind, which blows towards it."""
    if not any(sheets.pieces for sheets in takeoff.roofing.sheets):
        return
    ends = {roof.name: roof.covering.lay_from or takeoff.settings.word("lay_from") for roof in takeoff.job.roofs}
    if len(set(ends.values())) > 1:
        words = "lee ends: " + ", ".join(f"{end} ({plain(name)})" for name, end in ends.items())
        sketch.text("LAY-ARROW", at, words, SMALL_MM, 0.0, "left", True)
        return
    (end,) = set(ends.values())
    # plan up has the bearing north_deg
    turn = radians(90.0 + takeoff.job.north_deg - 45.0 * WINDS.index(end))
    half = sketch.paper(8.0)
    tail, tip = (
        (at[0] - half * cos(turn), at[1] - half * sin(turn)),
        (at[0] + half * cos(turn), at[1] + half * sin(turn)),
    )
    sketch.arrow("LAY-ARROW", tail, tip, 4.0)
    beside = (at[0] + sketch.paper(11.0), at[1] + sketch.paper(2.5))
    sketch.text("LAY-ARROW", beside, "wind", SMALL_MM, 0.0, "left", True)
    sketch.text("LAY-ARROW", (beside[0], at[1] - sketch.paper(2.5)), f"lee end: {end}", NORMAL_MM, 0.0, "left", True)


def _key(sketch: Sketch, top_left: Point2, edges: int, rows: int, roofs: Sequence[Roof]) -> None:
    """What the signs of the plan mean, under the schedule."""
    per_column = max(1, rows - 2)
    column, row = divmod(edges + 1, per_column)
    more = _more(roofs)
    if row + _KEY_ROWS + len(more) > per_column:
        column, row = column + 1, 0
    x = top_left[0] + sketch.paper(column * _TABLE)
    said = (
        "edge as numbered in the job",
        "fall: the way water runs",
        "lay: from the bar along the arrow",
    )
    for i, words in enumerate(said):
        y = top_left[1] - sketch.paper(_ROW * (row + 2) + 6.0 * i)
        start, end = (x, y), (x + sketch.paper(11.0), y)
        if i == 0:
            sketch.circle("EDGE-NUMBER", (x + sketch.paper(5.5), y), 3.0)
            sketch.text("TEXT", (x + sketch.paper(5.5), y), "n", SMALL_MM, 0.0, "centre", True)
        elif i == 1:
            sketch.arrow("FALL-ARROW", start, end)
        else:
            lay_arrow(sketch, start, end)
        sketch.text("TEXT", (x + sketch.paper(14.0), y), words, SMALL_MM, 0.0, "left", True)
    for i, words in enumerate(more):
        y = top_left[1] - sketch.paper(_ROW * (row + 2) + 6.0 * len(said) + _ROW * i)
        sketch.text("TEXT", (x, y), words, SMALL_MM, 0.0, "left", True)


def _more(roofs: Sequence[Roof]) -> list[str]:
    """What else the key says of several roofs."""
    found = [
        f"{letter(roofs, roof)}1, {letter(roofs, roof)}2 ...: edges of roof {plain(roof.name)}" for roof in roofs[1:]
    ]
    if any(plane.covered_uv for roof in roofs for plane in roof.planes):
        found.append("thin and dashed: lies under another roof")
    return found


def _schedule(sketch: Sketch, top_left: Point2, edges: list[RoofEdge], rows: int) -> None:
    columns = ((0.0, "left"), (18.0, "left"), (66.0, "right"), (88.0, "right"))
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
