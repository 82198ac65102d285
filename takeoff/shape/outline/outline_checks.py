"""Whether rings of points can be the outline of a roof: every fault named by its 1-based edges and points."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.errors import Fault, faults_at
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, cross2, distance2
from takeoff.model.findings import Finding, Severity

_NEAR_MM = TOLERANCES.same_point_mm
CLOSING_MM = TOLERANCES.crumb_mm


@record
class CheckedRings:
    """Rings ready to be solved, in typed order, with what was mended. Side i of ring r is edge `first[r] + i`."""

    rings: tuple[Ring2, ...]
    first: tuple[int, ...]
    findings: tuple[Finding, ...]

    def numbers(self) -> tuple[tuple[int, ...], ...]:
        """1-based edge number of every side of every ring."""
        return tuple(tuple(range(a, a + len(ring))) for a, ring in zip(self.first, self.rings, strict=True))


def check_rings(name: str, what: str, typed: Sequence[Sequence[Point2]]) -> tuple[CheckedRings, tuple[str, ...]]:
    """Check an outer ring and its courtyards. Returns the rings mended and all faults found.

    `what`: what the rings are called in messages ("outline", "wall line"). A repeated closing point is
    dropped, with a finding. Repeated points elsewhere, crossings, touches and points in fewer than three places are
    faults.
    """
    rings: list[Ring2] = []
    faults: list[str] = []
    findings: list[Finding] = []
    first: list[int] = []
    number = 1
    for ring_no, points in enumerate(typed):
        label = f"roof {name}: {what}" if ring_no == 0 else f"roof {name}: courtyard {ring_no}"
        ring, fixed = _open_ring(points, label)
        findings += fixed
        found = [Fault(text, "roofs", name, "edge", edge) for edge, text in _ring_faults(ring, label, number)]
        faults += found
        rings.append(ring)
        first.append(number)
        number += len(ring)
    checked = CheckedRings(tuple(rings), tuple(first), tuple(findings))
    if not faults:
        crossed = _crossings(checked, f"roof {name}: {what}")
        faults += [Fault(text, "roofs", name, "edge", edge) for edge, text in crossed]
    if not faults:
        faults += faults_at(_misplaced(checked, name, what), "roofs", name)
    return checked, tuple(faults)


def _open_ring(points: Sequence[Point2], label: str) -> tuple[Ring2, list[Finding]]:
    ring = tuple((float(x), float(y)) for x, y in points)
    if len(ring) > 1 and distance2(ring[0], ring[-1]) <= CLOSING_MM:
        text = f"{label}: the last point repeats the first and was left out"
        return ring[:-1], [Finding("point-repeated", Severity.FIXED, text)]
    return ring, []


def _ring_faults(ring: Ring2, label: str, first: int) -> list[tuple[int, str]]:
    """Faults of one ring, each with the edge it is found at."""
    count = len(ring)
    if count < 3:
        text = f"{label} has {count} point{'s' if count != 1 else ''}; give at least 3 that enclose the roof"
        return [(first, text)]
    faults = []
    for i in range(count):
        a, b, c = ring[i - 1], ring[i], ring[(i + 1) % count]
        if distance2(b, c) <= _NEAR_MM:
            text = f"{label}: edge {first + i} has no length: points {i + 1} and {(i + 1) % count + 1} are the same; "
            faults.append((first + i, f"{text}leave one out"))
        elif distance2(a, b) > _NEAR_MM and _runs_back(a, b, c):
            text = f"{label}: edge {first + i} runs back over edge {first + (i - 1) % count} at point {i + 1}; "
            faults.append((first + i, f"{text}take the point out or move it"))
    return faults


def _runs_back(a: Point2, b: Point2, c: Point2) -> bool:
    one, other = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    if one[0] * other[0] + one[1] * other[1] >= 0:
        return False
    return abs(cross2(one, other)) <= _NEAR_MM * max(distance2(a, b), distance2(b, c))


def _gap(a: Point2, b: Point2, p: Point2) -> float:
    """Distance of a point from a segment."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    t = min(1.0, max(0.0, t))
    return distance2(p, (a[0] + t * dx, a[1] + t * dy))


def _meeting(a: Point2, b: Point2, c: Point2, d: Point2) -> Point2 | None:
    """Where two segments cross, or come within 0.5 mm of each other; None where they stay apart."""
    r, s = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    det = cross2(r, s)
    if det:
        t = cross2((c[0] - a[0], c[1] - a[1]), s) / det
        q = cross2((c[0] - a[0], c[1] - a[1]), r) / det
        if 0 <= t <= 1 and 0 <= q <= 1:
            return (a[0] + t * r[0], a[1] + t * r[1])
    for point, (p, q2) in ((a, (c, d)), (b, (c, d)), (c, (a, b)), (d, (a, b))):
        if _gap(p, q2, point) <= _NEAR_MM:
            return point
    return None


def _crossings(checked: CheckedRings, label: str) -> list[tuple[int, str]]:
    """Edges that cross or touch, by a sweep over x. Neighbours share their corner and are left out."""
    sides: list[tuple[float, float, int, int, int, Point2, Point2]] = []
    for r, ring in enumerate(checked.rings):
        for i, a in enumerate(ring):
            b = ring[(i + 1) % len(ring)]
            sides.append((min(a[0], b[0]), max(a[0], b[0]), r, i, checked.first[r] + i, a, b))
    sides.sort()
    faults = []
    active: list[tuple[float, float, int, int, int, Point2, Point2]] = []
    for side in sides:
        active = [other for other in active if other[1] >= side[0] - _NEAR_MM]
        for other in active:
            count = len(checked.rings[side[2]])
            if side[2] == other[2] and abs(side[3] - other[3]) in (0, 1, count - 1):
                continue
            at = _meeting(*side[5:], *other[5:])
            if at is not None:
                low, high = sorted((side[4], other[4]))
                faults.append((low, high, at))
        active.append(side)
    words = "cross or touch at"
    remedy = "give the points in order round the roof"
    return [
        (low, f"{label}: edges {low} and {high} {words} ({round(x)}, {round(y)}); {remedy}")
        for low, high, (x, y) in sorted(faults)
    ]


def inside(ring: Sequence[Point2], point: Point2) -> bool:
    """Whether a point lies in a ring (even-odd rule)."""
    x, y = point
    found = False
    for i, (bx, by) in enumerate(ring):
        ax, ay = ring[i - 1]
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            found = not found
    return found


def _misplaced(checked: CheckedRings, name: str, what: str) -> list[str]:
    outer, *courts = checked.rings
    faults = []
    for number, court in enumerate(courts, start=1):
        if not inside(outer, court[0]):
            faults.append(f"roof {name}: courtyard {number} lies outside the {what}; it must be inside")
        for other, ring in enumerate(courts, start=1):
            if other != number and inside(ring, court[0]):
                faults.append(f"roof {name}: courtyard {number} lies inside courtyard {other}; leave one out")
    if abs(signed_area(outer)) < TOLERANCES.least_area_mm2:
        faults.append(f"roof {name}: the {what} encloses no area")
    return faults
