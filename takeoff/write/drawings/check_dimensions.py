"""What the roofer tapes before a plane's sheets are made: four corners of the frame, six lengths between them.

The corners are the ends of the plane's lowest line and of its ridge or highest line, so they are found on any plane: on
a gable the rafters are rafters, on a hip plane they are its hips and are named so. What the frame has besides stands
beside them: common rafters under the ends of the ridge, hips, each stretch of the eave.
"""

from __future__ import annotations

from takeoff.basics.polygons import foot_and_head
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, distance2
from takeoff.model.edge_kinds import EdgeKind, End
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.write.drawings.label_places import inside
from takeoff.write.words.words import plain, whole

_TOPS = (End.TOP, End.BREAK)
_FEET = (End.FOOT, End.BREAK)
_Placed = tuple[RoofEdge, Point2, Point2]


@record
class CheckDimensions:
    """Lengths on the plane [mm]. The ridge is 0 where the plane ends in a point."""

    rafter_left_mm: float
    rafter_right_mm: float
    eave_mm: float
    ridge_mm: float
    rising_right_mm: float  # diagonal, foot at the left, head at the right
    rising_left_mm: float  # diagonal, foot at the right, head at the left

    def rows(self) -> tuple[tuple[str, float], ...]:
        """Names and lengths, in the order they are taped."""
        return (
            ("rafter left", self.rafter_left_mm),
            ("rafter right", self.rafter_right_mm),
            ("eave", self.eave_mm),
            ("ridge", self.ridge_mm),
            ("diagonal, rising right", self.rising_right_mm),
            ("diagonal, rising left", self.rising_left_mm),
        )


def check_dimensions(plane: RoofPlane) -> CheckDimensions:
    """The check dimensions of a plane, from its polygon."""
    left, right, top_left, top_right = foot_and_head(plane.rings_uv[0])
    return CheckDimensions(
        _tape(left, top_left),
        _tape(right, top_right),
        _tape(left, right),
        _tape(top_left, top_right),
        _tape(left, top_right),
        _tape(right, top_left),
    )


def tape_rows(plane: RoofPlane, edges: tuple[RoofEdge, ...]) -> tuple[tuple[str, float | None], ...]:
    """The six check dimensions as they are printed: what each runs along; None for one that is no length of its own, as
    the diagonals of a triangle are."""
    left, right, top_left, top_right = foot_and_head(plane.rings_uv[0])
    pointed = min(distance2(left, right), distance2(top_left, top_right)) < TOLERANCES.tape_point_mm
    feet = [edge for edge, a, b in _placed(plane, edges) if edge.kind is EdgeKind.EAVE and _at(a, b, 1, left[1])]
    lines = (
        ("rafter left", left, top_left),
        ("rafter right", right, top_right),
        ("eave, corner to corner" if len(feet) > 1 else "eave", left, right),
        ("ridge", top_left, top_right),
        ("diagonal, rising right", left, top_right),
        ("diagonal, rising left", right, top_left),
    )
    rows: list[tuple[str, float | None]] = []
    for name, a, b in lines:
        length = distance2(a, b)
        if length < TOLERANCES.tape_point_mm or (pointed and name.startswith("diagonal")):
            rows.append(("", None))
            continue
        edge = next((e for e, p, q in _placed(plane, edges) if _same((p, q), (a, b)) or _same((q, p), (a, b))), None)
        if edge is not None and edge.kind.row.end is End.CORNER:
            name += f" = {edge.kind.value} {plain(edge.id)}"
        elif name.startswith("diagonal") and not _within(plane, a, b):
            name += ", runs off this slope: sight it"
        rows.append((name, length))
    return tuple(rows)


def frame_words(plane: RoofPlane, edges: tuple[RoofEdge, ...]) -> str:
    """What else the tape finds on the frame: common rafters, hips left and right, each stretch of the eave."""
    placed = _placed(plane, edges)
    point_mm = TOLERANCES.tape_point_mm
    eaves = [(edge, a, b) for edge, a, b in placed if edge.kind.row.end in _FEET and abs(a[1] - b[1]) <= point_mm]
    parts = []
    for point, where in _heads(plane, placed):
        drops = [point[1] - a[1] for _, a, b in eaves if a[0] - 1.0 <= point[0] <= b[0] + 1.0 and a[1] < point[1] - 1.0]
        if drops:
            parts.append(f"common rafter {whole(max(drops))} under {where}")
    for side, rising in (("left", True), ("right", False)):
        hips = [e for e, a, b in placed if e.kind is EdgeKind.HIP and (b[1] > a[1]) is rising]
        if hips:
            parts.append(f"hip {side} " + ", ".join(f"{plain(e.id)} {whole(e.length_mm)}" for e in hips))
    stretches = [edge for edge, _, _ in eaves if edge.kind is EdgeKind.EAVE]
    if len(stretches) > 1:
        parts.append("eave " + ", ".join(f"{plain(edge.id)} {whole(edge.length_mm)}" for edge in stretches))
    return f"FRAME: {'; '.join(parts)}." if parts else ""


def _heads(plane: RoofPlane, placed: list[_Placed]) -> list[tuple[Point2, str]]:
    """The points that a common rafter may reach: the ends of a ridge, else the plane's highest point."""
    ring = plane.rings_uv[0]
    middle = (min(v for _, v in ring) + max(v for _, v in ring)) / 2.0
    for edge, a, b in placed:
        if edge.kind.row.end in _TOPS and abs(a[1] - b[1]) <= TOLERANCES.tape_point_mm and a[1] > middle:
            return [(a, f"the left end of {plain(edge.id)}"), (b, f"the right end of {plain(edge.id)}")]
    return [(max(ring, key=lambda point: (point[1], -point[0])), "the peak")]


def _placed(plane: RoofPlane, edges: tuple[RoofEdge, ...]) -> list[_Placed]:
    """Edges in the plane's axes, left end first."""
    found = []
    for edge in edges:
        a, b = sorted((plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)))
        found.append((edge, a, b))
    return found


def _same(one: tuple[Point2, Point2], other: tuple[Point2, Point2]) -> bool:
    return all(distance2(p, q) <= TOLERANCES.tape_on_mm for p, q in zip(one, other, strict=True))


def _at(a: Point2, b: Point2, axis: int, value: float) -> bool:
    return abs(a[axis] - value) <= TOLERANCES.tape_point_mm and abs(b[axis] - value) <= TOLERANCES.tape_point_mm


def _within(plane: RoofPlane, a: Point2, b: Point2) -> bool:
    """Whether a straight tape from a to b stays on the plane, looked at in a hundred places."""
    steps = [(i + 0.5) / 100.0 for i in range(100)]
    return all(inside(plane.rings_uv, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))) for t in steps)


def _tape(a: Point2, b: Point2) -> float:
    return distance2(a, b)
