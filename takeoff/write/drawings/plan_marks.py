"""Signs on the roof plan that find their own places: edge numbers, downpipes, spouting, fall, start and way of laying.

Each is tried in several places and stands in the first that is clear of words and lines, else it is led out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from math import hypot

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.drainage import GutterLeg, GutterRun
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof, RoofPlane
from takeoff.model.sheets import PlaneSheets
from takeoff.write.drawings.drawing import NORMAL_MM, SMALL_MM, Sketch, readable_angle
from takeoff.write.drawings.label_places import grid_inside, segment_distance
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place, draw_seen
from takeoff.write.words.words import whole

_OFF_NUMBER = 7.5  # off the outline [paper mm]
_NUMBER, _NUMBER_LONG, _PIPE = (
    3.0,
    4.2,
    1.6,
)  # radius of an edge number, of one of three signs, of a downpipe [paper mm]
_ALONG = (0.38, 0.3, 0.46, 0.22, 0.54, 0.62, 0.7, 0.78, 0.86, 0.14)  # places along an edge
_LAY, _LAY_SHORT, _LAY_IN = 16.0, 9.0, 3.0  # lay arrow, short one, and its tail from the plane's edge [paper mm]
_LAY_UP = (4.0, 2.2, 7.0, 10.0, 14.0, 18.0, 23.0, 29.0, 36.0)  # tried up the plane [paper mm]


def draw_edge_numbers(taken: Room, place: Place, roof: Roof, letter: str = "") -> None:
    """A ringed number outside each edge as typed, after the letter of its roof."""
    sketch = taken.sketch
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
            places = [
                (
                    a[0] + t * (b[0] - a[0]) + (b[1] - a[1]) * off * far,
                    a[1] + t * (b[1] - a[1]) - (b[0] - a[0]) * off * far,
                )
                for far in (1.0, 1.4, -1.0, 1.8, -1.4, 2.4)
                for t in _ALONG
            ]
            words = f"{letter}{typed}"
            radius = _NUMBER if len(words) < 3 else _NUMBER_LONG
            at = next((p for p in places if taken.clear(taken.square(p, radius + 0.4))), None)
            if at is not None:
                taken.boxes.append(taken.square(at, radius))
                sketch.circle("EDGE-NUMBER", at, radius)
                sketch.text("EDGE-NUMBER", at, words, SMALL_MM, 0.0, "centre", True)


def draw_pipes(taken: Room, place: Place, takeoff: Takeoff) -> None:
    """Downpipes."""
    roofs = {roof.name: roof for roof in takeoff.roofs}
    for run in takeoff.gutters:
        roof = roofs.get(run.roof, takeoff.roofs[0])
        plan = takeoff.gutter_plan(run.id)
        for pipe in plan.pipes if plan is not None else ():
            at = place.at(roof, pipe.at_mm)
            taken.sketch.circle("DOWNPIPE", at, _PIPE)
            taken.boxes.append(taken.square(at, _PIPE))


def name_pipes(taken: Room, place: Place, takeoff: Takeoff) -> None:
    """Ids of downpipes beside them, outside the roof."""
    sketch = taken.sketch
    roofs = {roof.name: roof for roof in takeoff.roofs}
    for run in takeoff.gutters:
        roof = roofs.get(run.roof, takeoff.roofs[0])
        plan = takeoff.gutter_plan(run.id)
        for pipe in plan.pipes if plan is not None else ():
            at = place.at(roof, pipe.at_mm)
            out = _outward(place, roof, run, at)
            # upright eaves have the room for a name beside them, level ones below or above
            off = sketch.paper(5.0 + 4.0 * abs(out[0]))
            choices = [
                Label(
                    "DOWNPIPE",
                    (
                        at[0] + out[0] * off - out[1] * sketch.paper(aside),
                        at[1] + out[1] * off + out[0] * sketch.paper(aside),
                    ),
                    pipe.id,
                    NORMAL_MM,
                )
                for aside in (0.0, 4.0, -4.0, 8.0, -8.0)
            ]
            free = next((label for label in choices if taken.free([label])), None)
            if free is not None:
                taken.put([free])
            else:
                _lead_pipe(taken, choices[0], at, out)


def _lead_pipe(taken: Room, label: Label, at: Point2, out: Point2) -> None:
    """The name of a pipe led out from beside its sign: a line from its middle would run through the sign itself."""
    far = taken.sketch.paper(_PIPE + 0.6)
    for small in (label, replace(label, height_mm=SMALL_MM)):
        for x, y in (out, (-out[1], out[0]), (out[1], -out[0]), (-out[0], -out[1])):
            if taken.lead_out(small, (at[0] + x * far, at[1] + y * far)):
                return


def draw_gutters(taken: Room, place: Place, takeoff: Takeoff) -> None:
    """Lines of spouting outside its eaves, dashed under another roof."""
    roofs = {roof.name: roof for roof in takeoff.roofs}
    for run in takeoff.gutters:
        roof = roofs.get(run.roof, takeoff.roofs[0])
        under = place.under(roof)
        for leg in run.legs:
            a, b, out = _leg(place, roof, leg)
            off = taken.sketch.paper(1.4)
            line = ((a[0] + out[0] * off, a[1] + out[1] * off), (b[0] + out[0] * off, b[1] + out[1] * off))
            draw_seen(taken, "GUTTER", line, under)


def name_gutters(taken: Room, place: Place, takeoff: Takeoff) -> None:
    """The length of each run of spouting along its longest leg."""
    roofs = {roof.name: roof for roof in takeoff.roofs}
    for run in takeoff.gutters:
        longest = max(run.legs, key=lambda leg: leg.length_mm, default=None)
        if longest is not None:
            a, b, out = _leg(place, roofs.get(run.roof, takeoff.roofs[0]), longest)
            _gutter_name(taken, run, a, b, out)


def _leg(place: Place, roof: Roof, leg: GutterLeg) -> tuple[Point2, Point2, Point2]:
    """Both ends of a leg, and the way out from the roof: a to b runs left to right seen from outside."""
    a, b = place.at(roof, leg.a_mm), place.at(roof, leg.b_mm)
    length = hypot(b[0] - a[0], b[1] - a[1])
    return a, b, ((b[1] - a[1]) / length, -(b[0] - a[0]) / length) if length > 0.0 else (0.0, 0.0)


def _gutter_name(taken: Room, run: GutterRun, a: Point2, b: Point2, out: Point2) -> None:
    text = f"{run.id}: {whole(run.length_mm)}"
    choices = []
    for gap in (taken.sketch.paper(one) for one in (4.6, 6.5, 9.0)):
        for t in (0.62, 0.55, 0.5, 0.7, 0.75, 0.8, 0.3, 0.25, 0.2, 0.85):
            at = (a[0] + t * (b[0] - a[0]) + out[0] * gap, a[1] + t * (b[1] - a[1]) + out[1] * gap)
            choices.append(Label("GUTTER", at, text, SMALL_MM, readable_angle(a, b)))
    off = taken.sketch.paper(1.4)
    taken.place(choices, ((a[0] + b[0]) / 2.0 + out[0] * off, (a[1] + b[1]) / 2.0 + out[1] * off))


def _outward(place: Place, roof: Roof, run: GutterRun, at: Point2) -> Point2:
    """Unit vector away from the roof, square to the leg that a point stands on."""
    legs = [(place.at(roof, leg.a_mm), place.at(roof, leg.b_mm)) for leg in run.legs]
    a, b = min(legs, key=lambda leg: segment_distance(at, *leg))
    length = hypot(b[0] - a[0], b[1] - a[1])
    # a to b runs left to right seen from outside, so outside is on the right hand
    return ((b[1] - a[1]) / length, -(b[0] - a[0]) / length) if length > 0.0 else (0.0, -1.0)


def draw_fall(taken: Room, at: Point2, down: Point2, half_paper_mm: float, rings: Sequence[Ring2]) -> None:
    """An arrow down the fall beside a plane's words, which stand at a point, else anywhere on the plane that is free;
    `down` is the unit vector in plan."""
    paper = taken.sketch.paper
    ux, uy = down
    half, off = paper(half_paper_mm), paper(2.6)
    choices = []
    beside = ((11.0, -12.5), (-11.0, 9.5), (15.0, -16.5), (-15.0, 13.5))
    middles = [(at[0] + paper(x) * abs(uy), at[1] + paper(y) * abs(ux)) for x, y in beside]
    for middle in (*middles, *grid_inside(rings)):
        tail, tip = (middle[0] - ux * half, middle[1] - uy * half), (middle[0] + ux * half, middle[1] + uy * half)
        for side in (1.0, -1.0):
            words = (middle[0] - side * off * uy, middle[1] + side * off * ux)
            label = Label("FALL-ARROW", words, "fall", SMALL_MM, readable_angle(tail, tip))
            choices.append((tail, tip, label))
    clear = (c for c in choices if taken.clear(_strip(c[0], c[1], paper(1.2))) and taken.free([c[2]]))
    found = next(clear, None)
    if found is None:
        return
    tail, tip, label = found
    taken.sketch.arrow("FALL-ARROW", tail, tip)
    taken.boxes.append(_strip(tail, tip, paper(1.2)))
    taken.put([label])


def draw_lay(taken: Room, place: Place, roof: Roof, takeoff: Takeoff) -> None:
    """On each sheeted plane an arrow along its eave from the line that laying starts from, where it has room."""
    for plane in roof.planes:
        sheets = takeoff.sheets_of(plane.id)
        if sheets is not None and sheets.pieces and plane.roof == roof.name:
            _lay(taken, place, roof, plane, sheets)


def _lay(taken: Room, place: Place, roof: Roof, plane: RoofPlane, sheets: PlaneSheets) -> None:
    """The bar lies on the start line itself, the arrow begins beside it: with its word where both have room, else
    without; where words leave it no room the bar stands alone."""
    paper = taken.sketch.paper
    fitting = [
        tuple(
            place.at(roof, plane.frame.to_space((u, v)))
            for u in (sheets.snap_u_mm, sheets.snap_u_mm + way * paper(_LAY_IN), sheets.snap_u_mm + way * long)
        )
        for v, long, way in _lay_places(plane, sheets, paper)
    ]
    clear = [one for one in fitting if not taken.over_words(_lay_strip(one[0], one[2], paper))]
    for bar, beside, tip in clear:
        label = Label("LAY-ARROW", _beside(beside, tip, paper(2.4)), "lay", SMALL_MM, readable_angle(beside, tip))
        if taken.clear(_strip(beside, tip, paper(1.8))) and taken.free([label]):
            lay_arrow(taken.sketch, bar, tip)
            taken.boxes.append(_lay_strip(bar, tip, paper))
            taken.put([label])
            return
    for bar, _, tip in clear[-1:]:
        lay_arrow(taken.sketch, bar, tip)
        taken.boxes.append(_lay_strip(bar, tip, paper))
    for bar, _, tip in fitting[:1] if not clear else ():
        _lay_bar(taken.sketch, bar, tip)


def _lay_places(
    plane: RoofPlane, sheets: PlaneSheets, paper: Callable[[float], float]
) -> Iterator[tuple[float, float, float]]:
    """Heights at which an arrow fits on the plane from its start line, its length and its way along the eave [mm]."""
    low = min(v for _, v in plane.rings_uv[0])
    flat = hypot(plane.frame.v[0], plane.frame.v[1]) or 1.0
    way = 1.0 if sheets.start_side == "left" else -1.0
    for long in (paper(_LAY), paper(_LAY_SHORT)):
        for up in _LAY_UP:
            v = low + paper(up) / flat
            ends = (sheets.snap_u_mm, sheets.snap_u_mm + way * (long + paper(_LAY_IN)))
            if any(a <= min(ends) + 1.0 and max(ends) <= b for a, b in _spans(plane, v)):
                yield v, long, way


def _lay_strip(bar: Point2, tip: Point2, paper: Callable[[float], float]) -> tuple[Point2, ...]:
    return _strip(_beyond(tip, bar, paper(0.4)), _beyond(bar, tip, paper(0.2)), paper(2.0))


def _beyond(a: Point2, b: Point2, far: float) -> Point2:
    """The point that far past b, coming from a."""
    reach = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] + (b[0] - a[0]) * far / reach, b[1] + (b[1] - a[1]) * far / reach)


def lay_arrow(sketch: Sketch, tail: Point2, tip: Point2) -> None:
    """An arrow with a bar at its tail, where sheets start."""
    _lay_bar(sketch, tail, tip)
    sketch.arrow("LAY-ARROW", tail, tip, 3.5)


def _lay_bar(sketch: Sketch, tail: Point2, tip: Point2) -> None:
    reach = hypot(tip[0] - tail[0], tip[1] - tail[1])
    half = sketch.paper(1.8) / reach
    x, y = (tip[1] - tail[1]) * half, (tail[0] - tip[0]) * half
    sketch.line("START-LINE", (tail[0] - x, tail[1] - y), (tail[0] + x, tail[1] + y))


def _spans(plane: RoofPlane, v: float) -> list[tuple[float, float]]:
    """Where a plane's outline is cut by a level line, left to right."""
    cuts = sorted(
        a[0] + (b[0] - a[0]) * (v - a[1]) / (b[1] - a[1])
        for ring in plane.rings_uv
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if (a[1] > v) != (b[1] > v)
    )
    return list(zip(cuts[::2], cuts[1::2], strict=True))


def _beside(a: Point2, b: Point2, off: float) -> Point2:
    """Beside the middle of a line, above it as it is read."""
    reach = hypot(b[0] - a[0], b[1] - a[1])
    nx, ny = -(b[1] - a[1]) / reach, (b[0] - a[0]) / reach
    sign = -1.0 if ny < -1e-9 or (abs(ny) <= 1e-9 and nx > 0.0) else 1.0
    return ((a[0] + b[0]) / 2.0 + sign * nx * off, (a[1] + b[1]) / 2.0 + sign * ny * off)


def _strip(a: Point2, b: Point2, half: float) -> tuple[Point2, ...]:
    """The rectangle round a line."""
    reach = hypot(b[0] - a[0], b[1] - a[1])
    x, y = -(b[1] - a[1]) / reach * half, (b[0] - a[0]) / reach * half
    return ((a[0] - x, a[1] - y), (b[0] - x, b[1] - y), (b[0] + x, b[1] + y), (a[0] + x, a[1] + y))
