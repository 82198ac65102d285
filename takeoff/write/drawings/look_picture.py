"""The picture of a look at a file: every ring with its number, every edge with its number and length, and in red the
rows of lines that do not close."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.looked import Looked, LookedRing
from takeoff.write.drawings.drawing import NORMAL_MM, SMALL_MM, Drawing, Sketch, bounds, readable_angle, text_width
from takeoff.write.drawings.frame import A1, A2, A3, choose_scale
from takeoff.write.drawings.label_places import grid_inside
from takeoff.write.drawings.label_room import Label, Room, slid
from takeoff.write.words.words import plain, whole

_EDGE, _FOOT = 12.0, 10.0  # margin, and the strip for words [paper mm]
_OFF = 2.4  # from an edge to the middle of its figures [paper mm]
_MOST_LABELLED = 600  # edges with figures on one picture
_PAPERS = ((40, A3), (100, A2))  # for so many edges


def look_picture(looked: Looked) -> Drawing | None:
    """The picture; None where there is nothing to draw."""
    rings = [ring.points_mm for ring in looked.rings]
    rows = [row.points_mm for row in looked.open_rows]
    points = [point for ring in (*rings, *rows) for point in ring]
    if not points:
        return None
    low_x, low_y, high_x, high_y = bounds(points)
    edges = sum(len(ring.points_mm) for ring in looked.rings)
    paper = next((size for most, size in _PAPERS if edges <= most), A1)
    room = (paper[0] - 2 * _EDGE, paper[1] - 2 * _EDGE - _FOOT)
    sketch = Sketch(choose_scale((high_x - low_x, high_y - low_y), room))
    taken = Room(sketch)
    for row in rows:
        _row(sketch, taken, row)
    for ring in looked.rings:
        layer = "WALL-LINE" if ring.court_of else "ROOF-EAVE"
        sketch.ring(layer, ring.points_mm)
        taken.add_ring(ring.points_mm)
        sketch.circle("EDGE-NUMBER", ring.points_mm[0], 1.0)
    for ring in looked.rings:
        _number(taken, ring)
    for ring in looked.rings if edges <= _MOST_LABELLED else ():
        _edges(taken, ring, known=bool(looked.unit))
    return _on_paper(looked, sketch, taken)


def _row(sketch: Sketch, taken: Room, row: Ring2) -> None:
    sketch.ring("HOLD", row, closed=False)
    taken.lines += list(pairwise(row))
    for end in (row[0], row[-1]):
        sketch.circle("HOLD", end, 2.0)


def _number(taken: Room, ring: LookedRing) -> None:
    """The ring's layer and number at the roomiest place inside it."""
    text = f"{ring.layer} {ring.number}".strip()
    if ring.court_of:
        text = f"{text}, courtyard of {ring.court_of}"
    places = grid_inside([ring.points_mm]) or [ring.points_mm[0]]
    labels = [Label("TEXT", at, plain(text), height) for height in (NORMAL_MM, SMALL_MM) for at in places[:12]]
    taken.place(labels, places[0])


def _edges(taken: Room, ring: LookedRing, known: bool) -> None:
    """Number and length of every edge, inside it where that is free, else outside."""
    points = ring.points_mm
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True))
    out = 1.0 if area > 0 else -1.0
    for i, length in enumerate(ring.edges_mm):
        a, b = points[i], points[(i + 1) % len(points)]
        if length <= 0.0:
            continue
        normal = (out * (b[1] - a[1]) / length, -out * (b[0] - a[0]) / length)
        figure = whole(length) if known else f"{length:.6g}"
        text = f"{ring.first_edge + i}: {figure}"
        _edge(taken, text, a, b, normal)


def _edge(taken: Room, text: str, a: Point2, b: Point2, normal: Point2) -> None:
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    angle = readable_angle(a, b)
    off = taken.sketch.paper(_OFF)
    reach = (abs(cos(radians(angle)) * (b[0] - a[0]) + sin(radians(angle)) * (b[1] - a[1]))) / 2.0
    labels: list[Label] = []
    for side in (-1.0, 1.0):
        at = (middle[0] + side * off * normal[0], middle[1] + side * off * normal[1])
        labels += slid(Label("EDGE-NUMBER", at, text, SMALL_MM, angle), reach * 0.6, taken.sketch.paper(4.0))
    taken.place(labels, middle)


def _on_paper(looked: Looked, sketch: Sketch, taken: Room) -> Drawing:
    low_x, low_y, high_x, high_y = taken.extent()
    margin = sketch.paper(_EDGE)
    corner = (low_x - margin, low_y - margin - sketch.paper(_FOOT))
    unit = f"lengths in mm, the file is in {looked.unit}" if looked.unit else "lengths in the file's own figures"
    title = plain(f"{looked.file}: rings with their numbers, edges as numbered in a job from the dot on; {unit}")
    sketch.text("TEXT", (corner[0] + margin, corner[1] + margin), title, SMALL_MM)
    wide = max((high_x - low_x) / sketch.scale + 2 * _EDGE, text_width(title, SMALL_MM) + 2 * _EDGE)
    tall = (high_y - low_y) / sketch.scale + 2 * _EDGE + _FOOT
    return Drawing("look", title, sketch.scale, (wide, tall), corner, tuple(sketch.items))
