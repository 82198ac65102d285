"""Which faces of a model are planes of its roof, how they are fitted and told of: every figure by hand.

Limits (takeoff/basics/model_limits.py) are common practice, no source.
"""

from __future__ import annotations

from math import cos, degrees, radians, sin
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely
from drawn_faces import Point3, Quad, net_of, patch
from made_roofs import box

from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported import choose_planes as choosing
from takeoff.shape.imported.level_lines import _across, levelled
from takeoff.shape.imported.planes import Moments, Patch, Tables, _turn_allowed, grow, widths
from takeoff.shape.imported.sky import Sky, _clipped, _where_over, look_up

UP: Point3 = (0.0, 0.0, 1.0)


def level(x0: float, y0: float, x1: float, y1: float, z: float = 0.0) -> Quad:
    return tuple((x, y, z) for x, y in box(x0, y0, x1, y1))


def test_facets_that_lie_and_facets_that_stand() -> None:
    """Steeper than 75 degrees stands: by 3.72 and by 3.74 in 1."""
    quads = [
        ((0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (9.0, 10.0, 10.0 * k), (0.0, 10.0, 10.0 * k)) for k in (0.0, 3.72, 3.74)
    ]
    lies, stands = choosing._sorted_by_pitch(
        net_of(*[tuple((x, y + 50.0 * n, z) for x, y, z in quad) for n, quad in enumerate(quads)]), 75.0
    )
    assert (lies.tolist(), stands.tolist()) == ([0, 1, 2, 3], [4, 5])


@pytest.mark.parametrize(("tilt", "leans"), [(85.1, False), (84.9, True), (90.0, False)])
def test_a_steep_face_is_stood_up(tilt: float, leans: bool) -> None:
    found = choosing._stood_up(
        Patch((3,), (0.6 * sin(radians(tilt)), 0.8 * sin(radians(tilt)), cos(radians(tilt))), (1.0, 2.0, 3.0), 2.0)
    )
    assert found == Patch((3,), found.normal, (1.0, 2.0, 3.0), 2.0, leans=leans)
    assert found.normal == pytest.approx((0.6, 0.8, 0.0))


@pytest.mark.parametrize(("up", "left"), [(5.0, [2, 3]), (5.1, [0, 1, 2, 3])])
def test_what_lies_at_the_very_bottom_is_ground(up: float, left: list[int]) -> None:
    """By its highest corner: 5 mm over the lowest of the model."""
    ground: Quad = ((0.0, 0.0, 100.0), (9000.0, 0.0, 100.0), (9000.0, 9000.0, 100.0 + up), (0.0, 9000.0, 100.0 + up))
    net = net_of(ground, level(0.0, 0.0, 9000.0, 9000.0, 3000.0))
    assert choosing._without_ground(net, np.arange(4)).tolist() == left
    assert choosing._without_ground(net, np.arange(2)).tolist() == [0, 1]  # nothing above: the roof itself
    empty: Any = SimpleNamespace(sides=np.zeros((0, 3), dtype=int))
    assert choosing._without_ground(empty, np.arange(2)).tolist() == [0, 1]


@pytest.mark.parametrize(("wide", "sorted_in"), [(150.1, ([0, 1], [])), (149.9, ([0], [1])), (0.09, ([0], []))])
def test_patches_by_their_width(wide: float, sorted_in: tuple[list[int], list[int]]) -> None:
    """A strip of a metre; under 100 mm2 in all it is neither."""
    short = 1000.0 if wide > 1.0 else 900.0
    net = net_of(level(0.0, 0.0, 5000.0, 4000.0), level(9000.0, 0.0, 9000.0 + short, wide if wide > 3.0 else 3.0))
    found = grow(net, np.arange(len(net.corners)))
    if wide < 1.0:
        net.areas[list(found[1].facets)] = 50.0
    assert choosing._by_width(net, found, 150.0) == sorted_in
    if wide > 1.0:
        assert widths(net, found) == pytest.approx([4000.0, wide])


def test_planes_that_cover_their_plan_once() -> None:
    """Of those that overlap by more than a fiftieth the greatest stays."""
    shapes = (
        shapely.box(0.0, 0.0, 100.0, 100.0),
        shapely.box(98.1, 0.0, 198.0, 90.0),
        shapely.box(90.0, 0.0, 160.0, 90.0),
        shapely.box(300.0, 0.0, 310.0, 10.0),
    )
    assert choosing._once([0, 1, 2, 3], Sky(shapes, (0.0,) * 4)) == [0, 1, 3]
    assert choosing._once([2, 3], Sky(shapes, (0.0,) * 4)) == [2, 3]
    closer = (shapes[0], shapely.box(97.9, 0.0, 198.0, 90.0))
    assert choosing._once([0, 1], Sky(closer, (0.0,) * 2)) == [0]


def slab(down: float, turn_deg: float = 0.0, shift: float = 0.0, covered: float = 1.0) -> dict[int, int]:
    """A slope of 3 in 4 over 4 x 4 m and one so far under it, square to it, turned and shifted along x."""
    over = patch((0.0, -0.6, 0.8), (1.0, 2.0, 3.0))
    x, z = sin(radians(turn_deg)), cos(radians(turn_deg))
    under = patch((x, -0.6 * z, 0.8 * z), (1.0, 2.0 + 0.6 * down, 3.0 - 0.8 * down))
    shapes = (shapely.box(0.0, 0.0, 4000.0, 4000.0), shapely.box(shift, 0.0, 4000.0 + shift, 4000.0))
    return choosing._undersides([over, under], Sky(shapes, (0.0, covered)), [0], [0, 1])


@pytest.mark.parametrize(
    ("given", "found"),
    [
        ({"down": 15.1}, True), ({"down": 14.9}, False), ({"down": 599.9}, True), ({"down": 600.1}, False), ({"down": -200.0}, False),
        ({"down": 200.0, "turn_deg": 1.39}, True), ({"down": 200.0, "turn_deg": 1.41}, False),
        ({"down": 200.0, "shift": 1199.0}, True), ({"down": 200.0, "shift": 1201.0}, False),
        ({"down": 200.0, "covered": 0.51}, True), ({"down": 200.0, "covered": 0.5}, False),
    ],
)  # fmt: skip
def test_the_underside_of_a_slab(given: dict[str, float], found: bool) -> None:
    """15 to 600 mm under it, alongside (0.9997 is 1.40 degrees), under more than 0.7 of it."""
    assert slab(**given) == ({0: 1} if found else {})
    assert choosing._thick(patch(UP, (0.0, 0.0, 9.0)), patch(UP, (5.0, 5.0, 2.0))) == 7.0


@pytest.mark.parametrize(
    ("wide", "tilt", "end"), [(209.0, 0.0, True), (211.0, 0.0, False), (200.0, 2.8, True), (200.0, 2.9, False)]
)
def test_where_a_slab_was_cut_square(wide: float, tilt: float, end: bool) -> None:
    """As wide as it is thick, 200 and a twentieth, and square to it: a cosine under 0.05 is 2.87 degrees."""
    net = net_of(
        level(0.0, 0.0, 4000.0, 4000.0, 3000.0),
        level(0.0, 0.0, 4000.0, 4000.0, 2800.0),
        level(5000.0, 0.0, 9000.0, wide),
    )
    normal = (cos(radians(tilt)), 0.0, sin(radians(tilt)))
    found = [
        patch(UP, (0.0, 0.0, 3000.0), 0, 1),
        patch(UP, (0.0, 0.0, 2800.0), 2, 3),
        patch(normal, (0.0, 0.0, 0.0), 4, 5),
    ]
    assert choosing._is_cut_end(net, found, {0: 1}, 2) is end


@pytest.mark.parametrize(("underside", "longer"), [(False, True), (True, True), (False, False)])
def test_what_is_said_of_slabs(underside: bool, longer: bool) -> None:
    """A slope of 3 in 4, 4 m in plan and 5 m on the slope; its underside 200 under it is 5.3 or 4.7 m long. Straight down: 250."""
    run = 4000.0 + (240.0 if longer else -240.0)
    top: Quad = ((0.0, 0.0, 3000.0), (4000.0, 0.0, 3000.0), (4000.0, 4000.0, 6000.0), (0.0, 4000.0, 6000.0))
    foot: Quad = (
        (0.0, 0.0, 2750.0),
        (4000.0, 0.0, 2750.0),
        (4000.0, run, 2750.0 + 0.75 * run),
        (0.0, run, 2750.0 + 0.75 * run),
    )
    net = net_of(top, foot)
    found = [patch((0.0, -0.6, 0.8), (0.0, 0.0, 3000.0), 0, 1), patch((0.0, -0.6, 0.8), (0.0, 0.0, 2750.0), 2, 3)]
    assert [choosing._slope_length(net, one) for one in found] == pytest.approx([5000.0, run * 1.25])
    assert choosing._slope_length(net, patch(UP, UP, 0, 1)) == 0.0
    taken, others, way, word = (
        ("undersides", "tops", "higher", "top") if underside else ("tops", "undersides", "lower", "underside")
    )
    size = "longer" if longer is not underside else "shorter"
    text = f"roof main: its planes are slabs up to 200 mm thick; their {taken} were taken. Their {others} lie 250 mm {way} and are up to 300 mm {size} up the slope"
    due = Finding("model-has-thickness", Severity.WARN, text, f"say face: {word} in the job's shape if those are meant")
    assert choosing._thickness("main", net, found, {0: 1}, underside) == due


def test_sloping_faces_under_others_are_told() -> None:
    """Of three faces under others, the level one is a ceiling, the underside is known; the sloping one, 4 x 5 m, is told."""
    slope: Quad = ((0.0, 0.0, 1000.4), (4000.0, 0.0, 1000.4), (4000.0, 4000.0, 4000.4), (0.0, 4000.0, 4000.4))
    net = net_of(slope, level(0.0, 0.0, 4000.0, 4000.0, 5000.0), level(0.0, 0.0, 4000.0, 4000.0, 500.0))
    found = [
        patch((0.0, -0.6, 0.8), (2000.4, 2000.0, 2500.6), 0, 1),
        patch(UP, (0.0, 0.0, 5000.0), 2, 3),
        patch(UP, (0.0, 0.0, 500.0), 4, 5),
    ]
    shapes = (shapely.box(0.0, 0.0, 4000.0, 4000.0),) * 3

    def told(covered: tuple[float, ...], slabs: dict[int, int], patches: list[Patch] = found) -> list[Finding]:
        return choosing._covered_findings("main", net, patches, Sky(shapes, covered), [0, 1, 2], slabs)

    text = "roof main: sloping faces of 20.00 m2 that lie under others were left out of the roof; the first is at (2000, 2000) at height 2501"
    due = Finding("model-face-covered", Severity.WARN, text, "mend the model if the roof is there")
    assert told((0.51, 0.0, 1.0), {}) == [due]
    assert told((0.5, 0.0, 1.0), {}) == []
    assert told((0.51, 0.0, 1.0), {1: 0}) == []
    # a face alongside another is one skin of it, and no loss
    assert told((0.51, 0.0, 1.0), {}, [found[0], patch((0.0, -0.6, 0.8), (0.0, 0.0, 9000.0), 2, 3), found[2]]) == []


def test_faces_that_are_folded_steep_or_narrow_are_told() -> None:
    net = net_of(level(0.0, 0.0, 4000.0, 1000.0), level(0.0, 2000.0, 4000.0, 3000.0), level(0.0, 5000.0, 100.0, 6000.0))
    net.polygon_of[:] = [0, 0, 0, 1, 2, 2]
    chosen = [patch(UP, (1.4, 2.6, 3.5), 0, 1), patch(UP, (9.0, 9.0, 9.0), 2, 3), patch(UP, (7.0, 7.0, 7.0), 4, 5)]
    text = "roof main: 1 face is drawn as one but folded, and taken as several planes; one is at (1, 3) at height 4"
    due = Finding("model-face-folded", Severity.WARN, text, "check there on site, or mend the model")
    assert choosing._folded_findings("main", net, chosen) == [due]
    assert choosing._folded_findings("main", net, [chosen[0], chosen[2]]) == []
    net.polygon_of[:] = [0, 0, 0, 1, 1, 2]
    assert choosing._folded_findings("main", net, chosen)[0].text.startswith(
        "roof main: 2 faces are drawn as one but folded"
    )
    shape = ShapeJob(file="house.obj")
    leaning = [patch(UP, (0.0, 0.0, 0.0), 0, 1), Patch((4, 5), UP, (1.4, 2.6, 3.5), leans=True)]
    text = "roof main: 0.10 m2 of steep faces were taken as walls; the first is at (1, 3) at height 4"
    (steep,) = choosing._steep_findings("main", net, leaning, shape)
    assert (steep.code, steep.severity, steep.text) == ("model-steep-faces", Severity.WARN, text)
    assert steep.advice == "if sheets lie on them, say so: `shape: {file: house.obj, steep: roof}`"
    assert choosing._steep_findings("main", net, leaning, None) == []
    net.areas[4] = 49000.0
    assert choosing._steep_findings("main", net, leaning, shape) == []
    for count, words in ((1, "1 face"), (2, "2 faces")):
        text = f"roof main: {words} narrower than 150 mm, {4.0 * count:.2f} m2 together, were left out of the roof; the first is at (1, 3) at height 4"
        due = Finding(
            "model-narrow-face", Severity.NOTE, text, "edges of slabs, boards and rims of gutters are no roof"
        )
        assert choosing._narrow_findings("main", net, chosen[:count], 150.0) == [due]
    assert choosing._narrow_findings("main", net, [], 150.0) == []


def test_heights_of_a_plane_and_how_far_facets_may_be_turned() -> None:
    assert patch((-0.3, -0.4, 1.0), (10.0, 20.0, 5.0)).height_at(14.0, 27.0) == pytest.approx(5.0 + 1.2 + 2.8)
    # 8 mm on the width, a degree at least, anything under 30 mm
    turns = [degrees(turn) for turn in _turn_allowed(np.array([29.9, 30.0, 100.0, 458.0, 9000.0])).tolist()]
    assert turns == pytest.approx([90.0, 14.9314, 4.5739, 1.0007, 1.0], abs=1e-4)


def test_moments_of_facets_about_their_own_middle() -> None:
    """A rectangle of 60 x 20 about (1030, 2010, 7): squares over its area are a twelfth of its sides' squares."""
    net = net_of(level(1000.0, 2000.0, 1060.0, 2020.0, 7.0))
    tables = Tables(net)
    moments = tables.moments([0, 1])
    middle = moments.first / moments.area + tables.origin
    assert (moments.area, middle.tolist()) == (1200.0, pytest.approx([1030.0, 2010.0, 7.0]))
    spread = moments.second / moments.area - np.outer(moments.first, moments.first) / moments.area**2
    assert spread == pytest.approx(np.diag([300.0, 100.0 / 3.0, 0.0]))
    assert (tables.size([0]), tables.size([0, 1])) == (600.0, 1200.0)
    assert [sorted(tables.nodes_of(rows).tolist()) for rows in ([0, 1],)] == [[0, 1, 2, 3]]
    assert tables.own_plane(0)[0] == UP
    both = moments + Moments(2.0, np.ones(3), np.ones((3, 3)))
    assert both.second[2, 1] == moments.second[2, 1] + 1.0


@pytest.mark.parametrize(("up", "one"), [(24.0, True), (26.0, False)])
def test_a_facet_lies_in_a_plane_within_25_mm(up: float, one: bool) -> None:
    net = net_of(
        level(0.0, 0.0, 3000.0, 3000.0),
        ((3000.0, 0.0, 0.0), (6000.0, 0.0, up), (6000.0, 3000.0, up), (3000.0, 3000.0, 0.0)),
    )
    tables = Tables(net)
    origin: Point3 = tuple((-tables.origin).tolist())  # type: ignore[assignment]
    assert tables.fits(2, UP, origin) is one
    assert tables.off_mm([2, 3], UP, origin) == pytest.approx(up)
    assert tables.fits(0, UP, origin)
    steep = net_of(
        ((0.0, 0.0, 0.0), (1000.0, 0.0, 17.4), (1000.0, 3000.0, 17.4), (0.0, 3000.0, 0.0)),
        ((0.0, 5000.0, 0.0), (1000.0, 5000.0, 17.6), (1000.0, 9000.0, 17.6), (0.0, 9000.0, 0.0)),
    )
    turned = Tables(steep)
    assert [turned.fits(k, UP, (0.0, 0.0, -float(turned.origin[2]))) for k in (0, 2)] == [
        True,
        False,
    ]  # a degree is 17.46 in 1000


def test_a_twisted_face_is_fitted_to_the_sum_of_its_areas() -> None:
    """4 x 2 m whose last corner is 40 up: whichever diagonal it is cut along, its areas sum to a rise of 20 by 10 in 4 by 2 m."""
    corners: Quad = ((0.0, 0.0, 0.0), (4000.0, 0.0, 0.0), (4000.0, 2000.0, 40.0), (0.0, 2000.0, 0.0))
    for quad in (corners, (*corners[1:], corners[0])):
        net = net_of(quad)
        found = Tables(net).patch([1, 0], 2.5)
        x, y, z = found.normal
        assert (-x / z, -y / z) == pytest.approx((20.0 / 4000.0, 20.0 / 2000.0))
        assert (found.facets, found.fold_deg) == ((0, 1), 2.5)
    flat = net_of(((0.0, 0.0, 0.0), (4000.0, 0.0, 0.0), (4000.0, 2000.0, 4.0), (0.0, 2000.0, 0.0)))
    assert Tables(flat).patch([0, 1], 0.0).off_mm <= 5.0


def test_where_one_plane_comes_out_over_another() -> None:
    """Level at 0 under one that rises by 3 in 4 along (0.6, 0.8) and crosses it where 0.6 x + 0.8 y = 100: over a box away from
    the origin, the part beyond; from 10 mm over on where it is the lesser."""
    low, high = patch(UP, (0.0, 0.0, 0.0)), patch((-0.45, -0.6, 1.0), (60.0, 80.0, 0.0))
    area = shapely.box(50.0, 20.0, 150.0, 160.0)
    for least in (0.0, 10.0, -10.0):
        far = 100.0 + least / 0.75
        beyond = shapely.Polygon(
            [
                (0.6 * far - 0.8 * s + 0.6 * t, 0.8 * far + 0.6 * s + 0.8 * t)
                for s, t in ((-999.0, 0.0), (-999.0, 999.0), (999.0, 999.0), (999.0, 0.0))
            ]
        )
        (cut,) = _clipped(low, high, area, least)
        assert cut.symmetric_difference(area.intersection(beyond)).area < 1e-3
    assert _clipped(low, high, shapely.box(0.0, 0.0, 5.0, 5.0), 0.0) == []
    assert _where_over(low, high, shapely.MultiPolygon([area, shapely.box(500.0, 500.0, 501.0, 501.0)]), False)[1:] == [
        shapely.box(500.0, 500.0, 501.0, 501.0)
    ]
    assert (
        _where_over(low, high, shapely.GeometryCollection([shapely.LineString([(0.0, 0.0), (900.0, 900.0)])]), True)
        == []
    )


@pytest.mark.parametrize(
    ("apart", "covered"), [(9.9, (0.0, 1.0)), (10.1, (0.25, 0.0)), (-9.9, (0.0, 1.0)), (-10.1, (0.0, 1.0))]
)
def test_of_planes_in_one_place_the_greater_stays(apart: float, covered: tuple[float, float]) -> None:
    """One of 4 x 4 and one of 2 x 2 m: within 10 mm the lesser is a double."""
    shapes = [shapely.box(0.0, 0.0, 4000.0, 4000.0), shapely.box(1000.0, 1000.0, 3000.0, 3000.0)]
    assert look_up([patch(UP, (0.0, 0.0, 0.0)), patch(UP, (0.0, 0.0, apart))], shapes).covered == pytest.approx(covered)
    twins = [shapes[1], shapes[1]]
    assert look_up([patch(UP, UP), patch(UP, UP)], twins).covered == pytest.approx((0.0, 1.0))  # of twins the first


def test_the_best_plane_that_holds_a_level_line() -> None:
    """A rectangle 60 long along (0.6, 0.8), 20 wide, tilted by 3 in 4 across it; asked for its own direction and seen from below."""
    along, across = np.array((0.6, 0.8, 0.0)), np.array((-0.8 * 0.8, 0.6 * 0.8, 0.6))
    second = (np.outer(along, along) * 60.0**2 + np.outer(across, across) * 20.0**2) / 12.0
    middle = np.array((7.0, -3.0, 5.0))
    moments = Moments(2.0, 2.0 * middle, 2.0 * (second + np.outer(middle, middle)))
    normal = np.cross(along, across)
    strike = float(np.arctan2(0.8, 0.6))
    assert _across(moments, strike, (0.0, 0.0, 1.0)) == pytest.approx(tuple(normal))
    assert _across(moments, strike, (0.0, 0.0, -1.0)) == pytest.approx(tuple(-normal))


@pytest.mark.parametrize(
    ("fall", "out", "kept"),
    [
        (0.0199, 40.0, True), (0.0201, 40.0, False),  # planes that fall less than a fiftieth keep their direction
        (0.5, 150.0, False), (0.5, 230.0, True),  # 2 degrees of turn are 209 in 6000
    ],
)  # fmt: skip
def test_which_planes_are_turned_by_their_eaves(fall: float, out: float, kept: bool) -> None:
    """6 x 4 m, fitted as turned in plan by `out` in 6000; its eave is level."""
    net = net_of(((0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 4000.0, 4000.0 * fall), (0.0, 4000.0, 4000.0 * fall)))
    turn = out / 6000.0
    askew = patch((-fall * sin(turn), -fall * cos(turn), 1.0), (3000.0, 2000.0, 2000.0 * fall), 0, 1)
    (found,) = levelled(net, [askew])
    assert (found == askew) is kept
    if not kept:
        assert found.normal[0] == pytest.approx(0.0, abs=1e-9)
        assert found.off_mm == pytest.approx(0.0, abs=1e-6)
    twisted = Patch((0, 1), askew.normal, askew.through, 5.1)
    assert levelled(net, [twisted]) == (twisted,)
