"""The small rules of imported planes, with figures by hand: their fit, what lies under the sky, crossings, gaps, stated areas."""

from __future__ import annotations

from math import cos, hypot, radians, sin
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely
from drawn_faces import Point3, Quad, border, net_of, patch

from takeoff.model.faces import RawPart, StatedArea, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Frame, UprightKind
from takeoff.shape.imported import gaps
from takeoff.shape.imported.eaves import rises_in
from takeoff.shape.imported.kerbs import kerb_faces
from takeoff.shape.imported.level_lines import levelled
from takeoff.shape.imported.narrow import absorbed
from takeoff.shape.imported.planes import Moments, Patch, _angle_deg, _slack_deg, _width, grow
from takeoff.shape.imported.sky import _slope, look_up
from takeoff.shape.imported.stated_areas import area_findings
from takeoff.shape.together.crossing import _half_plane, above


def test_a_plane_is_fitted_to_moments() -> None:
    """Of a rectangle 60 x 20 in a plane of 3 in 4: its normal, its middle, its least width."""
    rise = 0.75
    quad: Quad = ((0.0, 0.0, 5.0), (60.0, 0.0, 5.0), (60.0, 16.0, 5.0 + 16.0 * rise), (0.0, 16.0, 5.0 + 16.0 * rise))
    net = net_of(quad)
    (found,) = grow(net, np.arange(2))
    assert found.normal == pytest.approx((0.0, -0.6, 0.8))
    assert found.through == pytest.approx((30.0, 8.0, 11.0))
    assert found.height_at(7.0, 12.0) == pytest.approx(14.0)
    assert (found.facets, found.off_mm) == ((0, 1), pytest.approx(0.0, abs=1e-9))
    area = 60.0 * 20.0
    second = np.diag([60.0**2, 16.0**2, 12.0**2]) / 12.0
    second[1, 2] = second[2, 1] = 16.0 * 12.0 / 12.0
    moments = Moments(area, np.zeros(3), second * area)
    assert _width(moments) == pytest.approx(20.0)
    both = moments + Moments(2.0, np.ones(3), np.ones((3, 3)))
    assert (both.area, both.first.tolist(), both.second[0, 0]) == (
        area + 2.0,
        [1.0, 1.0, 1.0],
        pytest.approx(300.0 * area + 1.0),
    )


def test_angles_between_planes_and_what_width_allows() -> None:
    for turn in (0.0001, 0.5, 0.99, 1.01, 30.0, 89.0):
        other = (0.0, -sin(radians(turn)), cos(radians(turn)))
        assert _angle_deg((0.0, 0.0, 1.0), other) == pytest.approx(turn, rel=1e-4)
        assert _angle_deg((0.0, 0.0, -1.0), other) == pytest.approx(turn, rel=1e-4)
    # 8 mm on the width, from 30 mm on; one degree at least
    assert [_slack_deg(width) for width in (29.9, 30.0, 100.0, 1000.0)] == pytest.approx(
        [90.0, 14.9314, 4.5739, 1.0], abs=1e-4
    )


def test_a_narrow_face_becomes_part_of_the_plane_it_runs_on_from() -> None:
    """A strip of 100 x 1000 beside a level plane, tilted up by 50 mm at its far side, and one by 51."""
    for up, taken in ((49.9, True), (50.1, False)):
        level: Quad = ((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (1000.0, 1000.0, 0.0), (0.0, 1000.0, 0.0))
        strip: Quad = ((1000.0, 0.0, 0.0), (1100.0, 0.0, up), (1100.0, 1000.0, up), (1000.0, 1000.0, 0.0))
        net = net_of(level, strip)
        found = [patch((0.0, 0.0, 1.0), (0.0, 0.0, 0.0), 0, 1), patch((-up, 0.0, 100.0), (1000.0, 0.0, 0.0), 2, 3)]
        grown, gone = absorbed(net, found, {1})
        assert gone == ({1} if taken else set())
        if taken:
            assert (grown[0].facets, grown[0].strip_mm) == ((0, 1, 2, 3), pytest.approx(up))


def test_planes_are_levelled_by_their_eaves() -> None:
    """A plane of 1 in 2 whose eave is true while a far corner is 4 mm too high: fitted it falls askew, levelled it rises to the mean
    of both, 1002 on 2000."""
    quad: Quad = ((0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 2000.0, 1004.0), (0.0, 2000.0, 1000.0))
    net = net_of(quad)
    (fitted,) = grow(net, np.arange(2))
    (found,) = levelled(net, [fitted])
    assert abs(fitted.normal[0]) > 1e-4
    assert found.normal[0] == pytest.approx(0.0, abs=1e-9)
    assert found.normal[1] / -found.normal[2] == pytest.approx(0.501, abs=2e-5)
    level = grow(
        net_of(((0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 2000.0, 39.0), (0.0, 2000.0, 37.0))), np.arange(2)
    )[0]
    assert (
        levelled(net_of(quad), [Patch((0, 1), level.normal, level.through)])[0].normal == level.normal
    )  # under 2 %: left as it is


@pytest.mark.parametrize(
    ("normal", "eave"),
    [((0.0, -0.3, 1.0), True), ((0.0, 0.3, 1.0), False), ((0.29, -0.3, 1.0), True), ((0.31, -0.3, 1.0), False), ((-0.31, -0.3, 1.0), False),
     ((0.0, -0.011, 1.0), True), ((0.0, -0.009, 1.0), False)],
)  # fmt: skip
def test_a_plane_rises_from_its_eave(normal: Point3, eave: bool) -> None:
    """Along x with the plane on its left; and the same turned by (3, 4, 5)."""
    x, y, z = normal
    along = border(0, (1.0, 2.0, 0.0), (10.0, 2.0, 0.0), (0, 1))
    assert rises_in(patch(normal, (0.0, 0.0, 0.0)), along) is eave
    turned = border(0, (1.0, 2.0, 0.0), (1.0 + 5.4, 2.0 + 7.2, 0.0), (0, 1))
    assert rises_in(patch((0.6 * x - 0.8 * y, 0.8 * x + 0.6 * y, z), (0.0, 0.0, 0.0)), turned) is eave


def test_kerbs_stand_on_the_borders_of_holes() -> None:
    (found,) = kerb_faces(
        [border(0, (0.0, 0.0, 1.0), (3.0, 4.0, 2.0), (0, 1)), border(0, (0.0, 0.0, 1.0), (0.0, 0.0, 9.0), (0, 0))]
    )
    assert found.rings_mm == (((3.0, 4.0, 2.0), (0.0, 0.0, 1.0), (0.0, 0.0, 151.0), (3.0, 4.0, 152.0)),)
    assert (found.normal, found.upright) == (pytest.approx((-0.8, 0.6, 0.0)), UprightKind.KERB)


def test_what_lies_under_others() -> None:
    """A level plane of 10 x 10 m at 0 and one of 4 x 10 m that rises by 1 in 2 from -1 m: they cross at 2 m. What is no more than
    10 mm over another lies in one place with it, and the greater stays: so the small one covers from 2.02 m on, and is covered up
    to there."""
    low, high = patch((0.0, 0.0, 1.0), (0.0, 0.0, 0.0)), patch((-0.5, 0.0, 1.0), (0.0, 0.0, -1000.0))
    shapes = [shapely.box(0.0, 0.0, 10000.0, 10000.0), shapely.box(0.0, 0.0, 4000.0, 10000.0)]
    found = look_up([low, high], shapes)
    assert found.covered == pytest.approx((0.198, 0.505))
    assert _slope(high) == (0.5, 0.0)
    same = look_up([low, patch((0.0, 0.0, 1.0), (0.0, 0.0, 9.0))], shapes)
    assert same.covered == (0.0, 1.0)
    over = look_up([low, patch((0.0, 0.0, 1.0), (0.0, 0.0, 11.0))], shapes)
    assert over.covered == (pytest.approx(0.4), 0.0)
    apart = look_up([low, high], [shapes[0], shapely.box(10000.0, 0.0, 14000.0, 10000.0)])
    assert apart.covered == (0.0, 0.0)


def plane(name: str, low: float, gx: float, gy: float, ring: tuple[tuple[float, float], ...]) -> Any:
    """A plane z = low + gx x + gy y over a ring of the plan."""
    size = hypot(gx, gy, 1.0)
    n = (-gx / size, -gy / size, 1.0 / size)
    u = (1.0, 0.0, gx) if gx or gy else (1.0, 0.0, 0.0)
    length = hypot(*u)
    u = (u[0] / length, u[1] / length, u[2] / length)
    v = tuple(float(x) for x in np.cross(n, u))
    frame = Frame((0.0, 0.0, low), u, v, n)  # type: ignore[arg-type]
    rings = tuple(frame.to_plane((x, y, low + gx * x + gy * y)) for x, y in ring)
    return SimpleNamespace(id=name, roof="main", frame=frame, rings_uv=(rings,))


BOX = ((0.0, 0.0), (8000.0, 0.0), (8000.0, 6000.0), (0.0, 6000.0))


def test_where_one_plane_lies_above_another() -> None:
    """Level at 3000 over 1000 + 0.3 x + 0.5 y: below it where 0.3 x + 0.5 y < 2000, a triangle of 6667 x 4000 within the box."""
    level, askew = plane("P1", 3000.0, 0.0, 0.0, BOX), plane("P2", 1000.0, 0.3, 0.5, BOX)
    corner = shapely.Polygon([(0.0, 0.0), (2000.0 / 0.3, 0.0), (0.0, 4000.0)])
    (found,) = above(askew, level)
    assert found.symmetric_difference(corner).area < 1.0
    (rest,) = above(level, askew)
    assert rest.symmetric_difference(shapely.Polygon(BOX).difference(corner)).area < 1.0
    half = shapely.Polygon(_half_plane(askew, level, (0.0, 0.0, 8000.0, 6000.0)))
    assert half.intersection(shapely.Polygon(BOX)).symmetric_difference(corner).area < 1.0
    for x in np.arange(-7900.0, 16000.0, 2900.0):  # all round the bounds as well
        for y in np.arange(-5900.0, 12000.0, 2300.0):
            assert half.contains(shapely.Point(x, y)) is bool(0.3 * x + 0.5 * y < 2000.0)
    higher = plane("P3", 4000.0, 0.0, 0.0, BOX)
    assert [part.area for part in above(level, higher)] == [pytest.approx(48e6)]
    assert above(higher, level) == []
    twin = plane("P0", 3000.0, 0.0, 0.0, BOX)
    assert [len(above(level, twin)), len(above(twin, level))] == [
        1,
        0,
    ]  # one plane: the first by its id counts as above


def test_ends_that_gape_across_a_fold() -> None:
    """Two planes of 3 in 4 that would meet in a ridge along x at y = 0, each 100 mm short of it; at one height."""
    one, other = patch((0.0, -0.75, 1.0), (0.0, -100.0, 0.0)), patch((0.0, 0.75, 1.0), (0.0, 100.0, 0.0))

    def end(number: int, node: int, at: Point3, out: tuple[float, float]) -> gaps._End:
        return gaps._End(node, number, at, out)

    a, b = end(0, 1, (0.0, -100.0, 0.0), (0.0, 1.0)), end(1, 2, (0.0, 100.0, 0.0), (0.0, -1.0))
    assert gaps._face(a, b, [one, other], 200.0)
    assert not gaps._face(a, b, [one, other], 199.9)
    assert not gaps._face(a, end(0, 2, b.at, b.out), [one, other], 200.0)  # of one patch
    assert not gaps._face(a, b, [one, one], 200.0)  # planes alongside
    step = patch((0.0, 0.75, 1.0), (0.0, 100.0, 126.0))
    assert not gaps._face(a, end(1, 2, (0.0, 100.0, 126.0), (0.0, -1.0)), [one, step], 300.0)  # over 0.6 x 200 + 5
    assert gaps._face(
        a, end(1, 2, (0.0, 100.0, 124.0), (0.0, -1.0)), [one, patch((0.0, 0.75, 1.0), (0.0, 100.0, 124.0))], 300.0
    )
    assert not gaps._face(a, end(1, 2, b.at, (0.0, 1.0)), [one, other], 200.0)  # both look one way
    assert not gaps._face(a, end(1, 2, b.at, (0.3, -0.954)), [one, other], 200.0)  # its border runs aslant to the ridge
    assert gaps._apart(a, b) == 200.0


def test_nodes_brought_together_lie_in_their_middle() -> None:
    quads: list[Quad] = [
        ((0.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 900.0, 0.0), (0.0, 900.0, 0.0)),
        ((1000.0, 0.0, 30.0), (1900.0, 0.0, 0.0), (1900.0, 900.0, 0.0), (1000.0, 900.0, 60.0)),
    ]
    net = net_of(*quads)

    def node(at: Point3) -> int:
        return int(np.flatnonzero((net.nodes == at).all(axis=1))[0])

    pair = sorted((node((900.0, 0.0, 0.0)), node((1000.0, 0.0, 30.0))))
    joined, kept = gaps._merged(net, [(pair[0], pair[1]), (pair[0], pair[1])])
    assert kept == frozenset({pair[0]})
    assert joined.nodes[pair[0]].tolist() == [950.0, 0.0, 15.0]
    assert pair[1] not in joined.corners
    assert pair[1] not in joined.sides[:, 1:]
    assert gaps._right(net, node((0.0, 0.0, 0.0)), node((900.0, 900.0, 0.0))) == pytest.approx((0.5**0.5, -(0.5**0.5)))


def stated(*given: tuple[str, str, float], names: tuple[str, ...] = ("", "")) -> tuple[Finding, ...]:
    parts = (
        *tuple(RawPart(f"r{k}", name, StatedPart.ROOF) for k, name in enumerate(names)),
        RawPart("w", "", StatedPart.WALL),
    )
    raw: Any = SimpleNamespace(
        came_from="house.json", parts=parts, stated_areas=tuple(StatedArea(*one) for one in given)
    )
    planes = tuple(
        SimpleNamespace(id=name, area_mm2=a * 1e6, plan_area_mm2=b * 1e6)
        for name, a, b in (("P1", 50.0, 40.0), ("P2", 30.0, 24.0))
    )
    return area_findings(raw, SimpleNamespace(planes=planes))  # type: ignore[arg-type]


def test_areas_that_a_file_states_are_told_by_what_they_are() -> None:
    start = "house.json states areas of its own. "
    advice = "Look whether a part of the roof is missing, or whether the file's areas are those in plan."
    assert stated(("w", "area", 50.0)) == ()
    assert stated(("r0", "area", 50.2), ("r1", "area", 30.0), names=("south", "")) == (
        Finding(
            "file-areas",
            Severity.NOTE,
            f"{start}area: south 50.20 m2, r1 30.00 m2: our true area of P1, our true area of P2.",
            "",
        ),
    )
    assert stated(("r0", "area", 40.0)) == (
        Finding("file-areas", Severity.WARN, f"{start}area: r0 40.00 m2: our plan area of P1.", advice),
    )
    assert stated(("r0", "area", 80.3))[0].text == f"{start}area: r0 80.30 m2: our true area of the whole roof."
    assert (
        stated(("r0", "area", 60.0), ("r1", "area", 20.0))[0].text
        == f"{start}area: together 80.00 m2: our true area of the whole roof."
    )
    assert (
        stated(("r0", "area", 64.0), ("r0", "other", 7.0))[0].text
        == f"{start}area: r0 64.00 m2: our plan area of the whole roof. No area of ours: other."
    )
    assert stated(("r0", "area", 7.0)) == (
        Finding("file-areas", Severity.WARN, f"{start}None of them is one of ours. No area of ours: area.", advice),
    )
    # half a hundredth: 50.25 is within 0.25125 of 50, 50.26 is not
    assert [bool(stated(("r0", "area", m2))[0].severity is Severity.NOTE) for m2 in (50.25, 50.26, 49.76, 49.74)] == [
        True,
        False,
        True,
        False,
    ]
