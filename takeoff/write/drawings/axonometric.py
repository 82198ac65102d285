"""The roof as it stands, seen from above the lower right corner of the plan: a parallel view, planes named and shaded.

Farther faces are drawn first. Of two faces that cover each other on paper the one is farther whose plane lies farther
from the eye at a point that both cover; faces of a roof do not pass through each other, so one point decides.

               up      eye, 35 degrees over the plan
                |    /
        plan    |  /
       ---------+------ right
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

from takeoff.basics.polygons import clip_half_plane, signed_area
from takeoff.basics.records import record
from takeoff.basics.triangles import triangulate
from takeoff.basics.vectors import Point2, Point3, Ring2, Ring3, dot3, sub3, unit3
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof, RoofPlane, UprightFace
from takeoff.write.drawings.drawing import NORMAL_MM, SMALL_MM, Drawing, Sketch, bounds, text_width
from takeoff.write.drawings.frame import choose_scale
from takeoff.write.drawings.label_places import roomiest
from takeoff.write.words.words import plain

_TURN, _OVER = radians(28.0), radians(35.0)
_RIGHT: Point3 = (cos(_TURN), sin(_TURN), 0.0)
_UP: Point3 = (-sin(_OVER) * sin(_TURN), sin(_OVER) * cos(_TURN), cos(_OVER))
_EYE: Point3 = (cos(_OVER) * sin(_TURN), -cos(_OVER) * cos(_TURN), sin(_OVER))
_LIGHT: Point3 = unit3((-0.55, -0.75, 1.0))
_ROOM = (190.0, 130.0)  # for the roof [paper mm]
_EDGE, _FOOT = 6.0, 10.0  # margin, and the strip for words [paper mm]
_LAYER = "ROOF-VIEW"
_PEN = 0.3  # width of lines [paper mm]: lines are fills here, so that nearer faces cover them
_EDGE_ON = 1e-6


@record
class _Seen:
    """A face on paper: its rings, its triangles, its plane (normal, distance), and the name it carries."""

    name: str
    normal: Point3
    offset: float
    rings: tuple[Ring2, ...]
    triangles: tuple[Ring2, ...]
    box: tuple[float, float, float, float]

    def depth(self, point: Point2) -> float:
        """How near to the eye the face's plane is at a point of the paper."""
        foot = tuple(_RIGHT[k] * point[0] + _UP[k] * point[1] for k in range(3))
        return (self.offset - dot3(self.normal, (foot[0], foot[1], foot[2]))) / dot3(self.normal, _EYE)


def roof_view(takeoff: Takeoff) -> Drawing | None:
    """The view of all roofs of a takeoff with the walls they stand on; None for a job without a roof."""
    seen = [face for roof in takeoff.roofs for face in _faces(roof, takeoff.roofs[0])]
    if not seen:
        return None
    low_x, low_y, high_x, high_y = bounds(point for face in seen for point in face.rings[0])
    sketch = Sketch(choose_scale((high_x - low_x, high_y - low_y), _ROOM))
    ordered = _farthest_first(seen)
    for face in ordered:
        _draw(sketch, face)
    for number, face in enumerate(ordered):
        _name(sketch, face, ordered[number + 1 :])
    margin = sketch.paper(_EDGE)
    corner = (low_x - margin, low_y - margin - sketch.paper(_FOOT))
    paper = ((high_x - low_x) / sketch.scale + 2 * _EDGE, (high_y - low_y) / sketch.scale + 2 * _EDGE + _FOOT)
    title = f"{plain(takeoff.job.job)}: the roof from the lower right of the plan"
    sketch.text("TEXT", (corner[0] + margin, corner[1] + margin), title, SMALL_MM)
    wide = max(paper[0], text_width(title, SMALL_MM) + 2 * _EDGE)
    return Drawing("roof_3d", title, sketch.scale, (wide, paper[1]), corner, tuple(sketch.items))


def _faces(roof: Roof, first: Roof) -> list[_Seen]:
    """Planes, upright faces and walls of a roof that are turned to the eye."""
    shift = sub3(roof.origin_mm, first.origin_mm)
    found = []
    solid: list[RoofPlane | UprightFace] = [*roof.planes, *roof.uprights]
    for face in solid:
        rings = [[face.frame.to_space(point) for point in ring] for ring in face.rings_uv]
        name = face.id if isinstance(face, RoofPlane) else ""
        found.append(_seen(name, face.frame.n, rings, shift))
    found += [_seen("", normal, [ring], shift) for normal, ring in _walls(roof)]
    return [face for face in found if dot3(face.normal, _EYE) > _EDGE_ON]


def _walls(roof: Roof) -> list[tuple[Point3, Ring3]]:
    """The walls on a roof's wall line, from the floor to its lowest fascia: outward normal and corners."""
    top = min(plane.fascia_height_mm for plane in roof.planes)
    found: list[tuple[Point3, Ring3]] = []
    for hole, ring in enumerate(roof.wall_line_mm):
        walked = ring if (signed_area(ring) > 0) != (hole > 0) else tuple(reversed(ring))
        for a, b in zip(walked, (*walked[1:], walked[0]), strict=True):
            normal = unit3((b[1] - a[1], a[0] - b[0], 0.0))
            found.append((normal, ((*a, 0.0), (*b, 0.0), (*b, top), (*a, top))))
    return found


def _seen(name: str, normal: Point3, rings: Sequence[Sequence[Point3]], shift: Point3) -> _Seen:
    moved = [[(x + shift[0], y + shift[1], z + shift[2]) for x, y, z in ring] for ring in rings]
    flat = tuple(tuple((dot3(point, _RIGHT), dot3(point, _UP)) for point in ring) for ring in moved)
    points = [point for ring in flat for point in ring]
    triangles = [tuple(points[i] for i in corners) for corners in triangulate(flat)]
    return _Seen(name, normal, dot3(normal, moved[0][0]), flat, tuple(triangles), bounds(points))


def _farthest_first(faces: Sequence[_Seen]) -> list[_Seen]:
    """The order of drawing. Ties, and circles that no true roof has, go by the depth of the first corner."""
    behind: list[set[int]] = [set() for _ in faces]
    for i, one in enumerate(faces):
        for j in range(i):
            point = _common(one, faces[j])
            if point is None:
                continue
            near, far = (i, j) if one.depth(point) > faces[j].depth(point) else (j, i)
            behind[near].add(far)
    waiting = set(range(len(faces)))
    ordered = []
    while waiting:
        free = [i for i in waiting if not behind[i] & waiting] or list(waiting)
        chosen = min(free, key=lambda i: (faces[i].depth(faces[i].rings[0][0]), i))
        waiting.remove(chosen)
        ordered.append(faces[chosen])
    return ordered


def _common(one: _Seen, other: _Seen) -> Point2 | None:
    """The middle of the largest patch of paper that both faces cover; None where they cover none together."""
    if not _boxes_meet(one.box, other.box):
        return None
    best: Point2 | None = None
    largest = 1.0  # mm2 of the building: less is rounding along a shared edge
    for a in one.triangles:
        for b in other.triangles:
            patch = a
            for (px, py), (qx, qy) in zip(b, (*b[1:], b[0]), strict=True):
                # the left of p to q is inside
                patch = clip_half_plane(patch, qy - py, px - qx, (qy - py) * px + (px - qx) * py)
            size = abs(signed_area(patch)) if len(patch) > 2 else 0.0
            if size > largest:
                largest = size
                best = (sum(x for x, _ in patch) / len(patch), sum(y for _, y in patch) / len(patch))
    return best


def _boxes_meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _draw(sketch: Sketch, face: _Seen) -> None:
    lit = max(0.0, dot3(face.normal, _LIGHT))
    sketch.fill(_LAYER, face.rings, round(0.08 + 0.34 * (1.0 - lit), 3))
    half = sketch.paper(_PEN / 2.0)
    for ring in face.rings:
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
            if length > 0.0:
                x, y = (bx - ax) / length * half, (by - ay) / length * half
                # half a pen past both ends: corners are full
                pen = (
                    (ax - x + y, ay - y - x),
                    (bx + x + y, by + y - x),
                    (bx + x - y, by + y + x),
                    (ax - x - y, ay - y + x),
                )
                sketch.fill(_LAYER, (pen,), 1.0)


def _name(sketch: Sketch, face: _Seen, nearer: Sequence[_Seen]) -> None:
    """The name of a plane at its roomiest place in sight, where it fits."""
    if not face.name:
        return
    over = [other.rings for other in nearer if _boxes_meet(face.box, other.box)]
    at, room = roomiest(face.rings, over)
    height = NORMAL_MM if room / sketch.scale >= 5.0 else SMALL_MM
    if room / sketch.scale >= 2.0:
        sketch.text("TEXT", at, face.name, height, 0.0, "centre", True)
