"""Planes of a whole small model chosen and brought together, borders of patches in plan: every figure by hand.

Limits (takeoff/basics/model_limits.py, takeoff/catalogue/settings/model.yaml) are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from drawn_faces import Point3, Quad, net_of, patch
from made_roofs import box

from takeoff.basics.errors import ShapeError
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.imported import choose_planes as choosing
from takeoff.shape.imported import gaps
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.patch_borders import borders, owners, plan_shapes

UP: Point3 = (0.0, 0.0, 1.0)
SETTINGS = resolve_settings(Job(job="check"))


def level(x0: float, y0: float, x1: float, y1: float, z: float = 0.0) -> Quad:
    return tuple((x, y, z) for x, y in box(x0, y0, x1, y1))


def slope(x0: float, x1: float, foot: float, head: float, low: float, high: float) -> Quad:
    """A plane along x that rises from y = foot to y = head, which may lie on either side of it."""
    quad = ((x0, foot, low), (x1, foot, low), (x1, head, high), (x0, head, high))
    return quad if head > foot else quad[::-1]


def house(gap: float = 100.0) -> list[Quad]:
    """A gable of 3 in 4 over 6 x 8 m whose planes stop `gap` short of its ridge at y = 4000 on either side."""
    top = 3000.0 + 0.75 * (4000.0 - gap)
    return [slope(0.0, 6000.0, 0.0, 4000.0 - gap, 3000.0, top), slope(0.0, 6000.0, 8000.0, 4000.0 + gap, 3000.0, top)]


def chosen(quads: list[Quad], *flags: bool, **job: Any) -> choosing.Chosen:
    made = RoofJob.model_validate({"name": "main", "shape": {"file": "house.obj", **job.pop("shape", {})}, **job})
    return choosing.choose_planes(net_of(*quads), "house.obj", made, SETTINGS, *flags)


GAP_CLOSED = "roof main: planes that gape by up to 200 mm in house.obj were brought together"


def test_planes_of_skins_that_gape_at_a_ridge_are_brought_together() -> None:
    found = chosen(house(), True)
    assert found.findings == (
        Finding("model-gap-closed", Severity.WARN, GAP_CLOSED, "check the height of the ridge on site"),
    )
    assert [one.facets for one in found.patches] == [(0, 1), (2, 3)]
    assert found.walls == ()
    assert len(found.bridged) == 2
    ends = sorted(found.net.nodes[sorted(found.bridged)].tolist())
    assert ends == [[0.0, 4000.0, 5925.0], [6000.0, 4000.0, 5925.0]]


def test_planes_that_are_no_skins_are_left_as_they_lie() -> None:
    found = chosen(house())
    assert (found.findings, found.bridged, len(found.patches)) == ((), frozenset(), 2)


def test_a_gap_wider_than_the_setting_stays() -> None:
    """450 mm: by 225.0 on either side, and 225.5."""
    assert len(chosen(house(224.9), True).bridged) == 2
    assert chosen(house(225.5), True).bridged == frozenset()


def test_the_tops_of_slabs_are_taken_or_their_undersides() -> None:
    """Slabs of 200 mm, 250 straight down, cut square at the eaves: ends of 200 x 6000 at the front and back.

    Square from the eave into the slab is (0.6, -0.8) of 200: 120 in and 160 down."""
    tops = house(0.0)
    down = [tuple((x, y, z - 250.0) for x, y, z in quad) for quad in tops]
    ends: list[Quad] = [
        ((0.0, 0.0, 3000.0), (0.0, 120.0, 2840.0), (6000.0, 120.0, 2840.0), (6000.0, 0.0, 3000.0)),
        ((6000.0, 8000.0, 3000.0), (6000.0, 7880.0, 2840.0), (0.0, 7880.0, 2840.0), (0.0, 8000.0, 3000.0)),
    ]
    text = (
        "roof main: its planes are slabs up to 200 mm thick; their tops were taken. Their undersides lie 250 mm lower and "
        "are up to 0 mm shorter up the slope"
    )
    due = Finding(
        "model-has-thickness", Severity.WARN, text, "say face: underside in the job's shape if those are meant"
    )
    quads = [*tops, *down, *ends]
    found = chosen(quads)
    assert found.findings == (due,)
    assert [one.facets for one in found.patches] == [(0, 1), (2, 3)]
    under = chosen(quads, shape={"face": "underside"})
    assert [one.facets for one in under.patches] == [(4, 5), (6, 7)]
    assert [finding.code for finding in under.findings] == ["model-has-thickness"]
    assert "their undersides were taken. Their tops lie 250 mm higher" in under.findings[0].text


def test_a_model_without_a_face_in_the_open_holds_no_roof() -> None:
    wall: Quad = ((0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 0.0, 3000.0), (0.0, 0.0, 3000.0))
    steep = slope(0.0, 6000.0, 0.0, 100.0, 0.0, 1000.0)  # 84.3 degrees
    for quad, said, degrees_ in ((wall, {}, 75), (wall, {"shape": {"steep": "roof"}}, 85), (steep, {}, 75)):
        with pytest.raises(ShapeError) as caught:
            chosen([quad], **said)
        assert caught.value.faults == (
            f"roof main: house.obj holds no roof: no face in the open lies flatter than {degrees_} degrees",
        )
    found = chosen([steep], shape={"steep": "roof"})
    assert ([one.facets for one in found.patches], found.walls) == ([(0, 1)], ())
    assert len(chosen([*house(0.0), tuple((x, y + 20000.0, z + 99.0) for x, y, z in steep)]).walls) == 1


def test_what_lies_lowest_is_ground_unless_the_file_says_it_is_roof() -> None:
    quads = [*house(0.0), level(-9000.0, -9000.0, -5000.0, -5000.0)]
    assert len(chosen(quads).patches) == 2
    assert len(chosen(quads, False, True).patches) == 3


def test_a_narrow_face_in_the_open_is_left_out_and_told() -> None:
    """A level strip of 140 x 3000 apart from the house; one of its own under the roof is left out without a word."""
    strip, hidden = level(0.0, 9000.0, 3000.0, 9140.0, 2000.0), level(1000.0, 1000.0, 4000.0, 1140.0, 2000.0)
    text = "roof main: 1 face narrower than 150 mm, 0.42 m2 together, were left out of the roof; the first is at (1500, 9070) at height 2000"
    floor = level(0.0, 0.0, 10.0, 10.0, -500.0)
    found = chosen([*house(0.0), hidden, strip, floor])
    assert found.findings == (
        Finding("model-narrow-face", Severity.NOTE, text, "edges of slabs, boards and rims of gutters are no roof"),
    )
    assert len(found.patches) == 2


def test_of_planes_that_lie_over_each_other_one_is_taken_where_only_what_closes_is() -> None:
    """A level plane of 4 x 4 m and one of 5 x 4 m 300 over it that covers less than half of it."""
    quads = [
        level(0.0, 0.0, 4000.0, 4000.0, 3000.0),
        level(2100.0, 0.0, 7100.0, 4000.0, 3300.0),
        level(0.0, 0.0, 10.0, 10.0),
    ]
    assert len(chosen(quads).patches) == 2
    assert [one.facets for one in chosen(quads, allow_partial=True).patches] == [(2, 3)]


def test_of_several_slabs_the_thickest_and_the_longest_are_told() -> None:
    """Level slabs of 100, 300 and 200 mm have no slope; the first underside that fits is taken."""
    quads = [
        level(0.0, 5000.0 * k, 4000.0, 5000.0 * k + 4000.0, 3000.0 - d)
        for k in range(3)
        for d in (0.0, (100.0, 300.0, 200.0)[k])
    ]
    net = net_of(*quads)
    found = [patch(UP, quads[i][0], 2 * i, 2 * i + 1) for i in range(6)]
    said = choosing._thickness("main", net, found, {0: 1, 2: 3, 4: 5}, False)
    assert said.text == (
        "roof main: its planes are slabs up to 300 mm thick; their tops were taken. Their undersides lie 300 mm lower and "
        "are up to 0 mm shorter up the slope"
    )
    shapes = tuple(shapely.box(0.0, 0.0, 4000.0, 4000.0) for _ in range(4))
    stack = [patch(UP, (0.0, 0.0, z)) for z in (3000.0, 2700.0, 2800.0, 2000.0)]
    sky = choosing.Sky(shapes, (0.0, 1.0, 1.0, 1.0))
    assert choosing._undersides(stack, sky, [0], [0, 1, 2, 3]) == {0: 1}
    assert choosing._undersides(stack, sky, [0], [0, 3, 2]) == {0: 2}  # the first hidden one is too far down


def test_sloping_faces_of_several_planes_under_others_are_added() -> None:
    """Two of 4 x 5 m that fall to the front and to the side; the first's middle is named."""
    net = net_of(slope(0.0, 4000.0, 0.0, 4000.0, 0.0, 3000.0), slope(0.0, 4000.0, 9000.0, 5000.0, 0.0, 3000.0))
    found = [patch((0.0, -0.6, 0.8), (7.0, 8.0, 9.0), 0, 1), patch((0.0, 0.6, 0.8), (70.0, 80.0, 90.0), 2, 3)]
    sky = choosing.Sky((shapely.box(0.0, 0.0, 1.0, 1.0),) * 2, (1.0, 1.0))
    (said,) = choosing._covered_findings("main", net, found, sky, [0, 1], {})
    assert said.text.startswith("roof main: sloping faces of 40.00 m2 that lie under others")
    assert said.text.endswith("the first is at (7, 8) at height 9")


def gable_net(gap: float = 100.0) -> tuple[Net, list[Any]]:
    net = net_of(*house(gap))
    return net, [patch((0.0, -0.6, 0.8), (0.0, 0.0, 3000.0), 0, 1), patch((0.0, 0.6, 0.8), (0.0, 8000.0, 3000.0), 2, 3)]


def test_only_slabs_gape() -> None:
    net, patches = gable_net()
    closed = gaps.close_gaps(net, patches, [True, True], 450.0)
    assert (closed.pairs, closed.widest_mm, len(closed.nodes)) == (2, 200.0, 2)
    for thick in ([True, False], [False, True], [False, False]):
        assert gaps.close_gaps(net, patches, thick, 450.0) == gaps.Closed(net, 0, 0.0, frozenset())
    assert gaps.close_gaps(net, patches, [True, True], 199.0) == gaps.Closed(net, 0, 0.0, frozenset())
    assert gaps.close_gaps(net, patches, [True, True], 200.0).pairs == 2


def test_the_widest_gap_is_told_and_both_ends_of_each_are_in_their_middle() -> None:
    """The right end of the back plane's top lies 60 mm nearer, and 45 lower than it would: drawn so, its plane is the same."""
    net, patches = gable_net()
    nodes = net.nodes.copy()
    (right,) = np.flatnonzero((np.abs(nodes - (6000.0, 4100.0, 5925.0)) < 1e-6).all(axis=1))
    nodes[right] = (6000.0, 4160.0, 5880.0)
    closed = gaps.close_gaps(replace(net, nodes=nodes), patches, [True, True], 450.0)
    assert closed.pairs == 2
    assert closed.widest_mm == pytest.approx((260.0**2 + 45.0**2) ** 0.5)
    ends = sorted(closed.net.nodes[sorted(closed.nodes)].tolist())
    assert ends == [pytest.approx([0.0, 4000.0, 5925.0]), pytest.approx([6000.0, 4030.0, 5902.5])]


def test_free_ends_look_out_of_their_patch() -> None:
    """Of two squares side by side at 1000, 2000 the three outer sides of each are free: six ends each."""
    net = net_of(level(1000.0, 2000.0, 1900.0, 2900.0), level(1900.0, 2000.0, 2900.0, 2900.0))
    found = gaps._free_ends(net, [patch(UP, UP, 0, 1), patch(UP, UP, 2, 3)])
    south, east, north, west = (0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)
    assert sorted((end.patch, end.at, end.out) for end in found) == sorted(
        [
            *((0, (x, 2000.0, 0.0), south) for x in (1000.0, 1900.0)), *((0, (x, 2900.0, 0.0), north) for x in (1000.0, 1900.0)),
            *((0, (1000.0, y, 0.0), west) for y in (2000.0, 2900.0)), *((1, (x, 2000.0, 0.0), south) for x in (1900.0, 2900.0)),
            *((1, (x, 2900.0, 0.0), north) for x in (1900.0, 2900.0)), *((1, (2900.0, y, 0.0), east) for y in (2000.0, 2900.0)),
        ]
    )  # fmt: skip
    assert all(net.nodes[end.node].tolist() == list(end.at) for end in found)


def end(number: int, at: Point3, out: tuple[float, float]) -> gaps._End:
    return gaps._End(number, number, at, out)


SKEW = (0.6, 0.8)


@pytest.mark.parametrize(
    ("low", "high", "most", "faces"),
    [
        # a ridge along (-0.8, 0.6) through (500, 700): 60 on one side, 40 on the other
        ((-60.0, -45.0), (40.0, -30.0), 450.0, True),
        ((-60.0, -45.0), (40.0, -30.0), 99.0, False),
        ((-60.0, -45.0), (40.0, -30.0), 101.0, True),
        # one lies 64.9 (of 0.6 x 100 + 5) over the other, and 65.1: its plane lies so much higher
        ((-60.0, -45.0), (40.0, 19.9), 450.0, True),
        ((-60.0, -45.0), (40.0, 20.1), 450.0, False),
        # close by, a crack of 25 in height is none
        ((-5.0, -3.75), (5.0, 21.24), 450.0, True),
        ((-5.0, -3.75), (5.0, 21.26), 450.0, False),
    ],
)
def test_corners_that_face_each_other_over_a_ridge_that_runs_askew(
    low: tuple[float, float], high: tuple[float, float], most: float, faces: bool
) -> None:
    at = [(500.0 + SKEW[0] * s, 700.0 + SKEW[1] * s, 5000.0 + z) for s, z in (low, high)]
    one = patch((-0.6 * 0.6, -0.6 * 0.8, 0.8), at[0])
    other = patch((0.6 * 0.6, 0.6 * 0.8, 0.8), at[1])
    a, b = end(0, at[0], SKEW), end(1, at[1], (-0.6, -0.8))
    assert gaps._face(a, b, [one, other], most) is faces
    assert gaps._face(b, a, [one, other], most) is faces


def test_planes_whose_meeting_lies_far_off_do_not_face() -> None:
    """Planes of 0.1 and 0.2 under level ends 100 apart: the line where they meet lies 333 mm beyond the second end, 383 from
    their middle and 30 to 40 up or down."""
    one, other = patch((0.0, -0.1, 1.0), (0.0, 0.0, 0.0)), patch((0.0, 0.2, 1.0), (0.0, 100.0, 90.0))
    # 0.1 y = 90 - 0.2 (y - 100): y = 366.7, z = 36.7; from the middle (50, 45): 316.7 level
    a, b = end(0, (0.0, 0.0, 0.0), (0.0, 1.0)), end(1, (0.0, 100.0, 60.0), (0.0, -1.0))
    far = ((366.667 - 50.0) ** 2 + (36.667 - 30.0) ** 2) ** 0.5
    assert gaps._face(a, b, [one, other], far + 0.5)
    assert not gaps._face(a, b, [one, other], far - 0.5)


def test_ends_that_look_aside_face_over_a_line_that_falls_only() -> None:
    """Planes that rise to the front and to the side meet in a hip; over a level line they must look at each other."""
    level_line = [patch((0.0, -0.75, 1.0), UP), patch((0.0, 0.75, 1.0), UP)]
    looks = [end(0, (0.0, -50.0, 0.0), (0.0, 1.0)), end(1, (0.0, 50.0, 0.0), (0.0, -1.0))]
    aside = replace(looks[1], out=(0.5, -0.85))
    assert gaps._face(looks[0], looks[1], level_line, 450.0)
    assert not gaps._face(looks[0], aside, level_line, 450.0)
    # a hip along (1, 1): the ends lie either side of it and look square to it
    hip = [patch((0.0, -0.75, 1.0), UP), patch((-0.75, 0.0, 1.0), UP)]
    over = [end(0, (40.0, -40.0, 0.0), (-(0.5**0.5), 0.5**0.5)), end(1, (-40.0, 40.0, 0.0), (0.5**0.5, -(0.5**0.5)))]
    assert gaps._face(over[0], over[1], hip, 450.0)
    assert gaps._face(over[0], replace(over[1], out=over[0].out), hip, 450.0)  # one overlaps the other
    assert not gaps._face(over[0], replace(over[1], out=(1.0, 0.0)), hip, 450.0)


def test_borders_of_patches_have_them_on_their_left() -> None:
    """Two squares of two triangles: their diagonal is inside, the side between two patches is on both ways."""
    net = net_of(level(0.0, 0.0, 900.0, 900.0), level(900.0, 0.0, 1900.0, 900.0), level(5000.0, 0.0, 5900.0, 900.0))
    places = [tuple(place[:2]) for place in net.nodes.tolist()]

    def ways(*groups: tuple[int, ...]) -> list[list[Any]]:
        return [
            sorted((places[a], places[b]) for a, b in each)
            for each in borders(net, [patch(UP, UP, *group) for group in groups])
        ]

    first = [
        ((0.0, 0.0), (900.0, 0.0)),
        ((0.0, 900.0), (0.0, 0.0)),
        ((900.0, 0.0), (900.0, 900.0)),
        ((900.0, 900.0), (0.0, 900.0)),
    ]
    second = [
        ((900.0, 0.0), (1900.0, 0.0)),
        ((900.0, 900.0), (900.0, 0.0)),
        ((1900.0, 0.0), (1900.0, 900.0)),
        ((1900.0, 900.0), (900.0, 900.0)),
    ]
    assert ways((0, 1), (2, 3)) == [first, second]
    assert ways((2, 3), (), (0, 1)) == [second, [], first]
    both = sorted([*(first[i] for i in (0, 1, 3)), *(second[i] for i in (0, 2, 3))])
    assert ways((0, 1, 2, 3)) == [both]
    assert owners(net, [patch(UP, UP, 2, 3), patch(UP, UP, 4)]).tolist() == [-1, -1, 0, 0, 1, -1]
    twice = replace(net, sides=np.concatenate([net.sides, net.sides[:6]]))
    assert [len(each) for each in borders(twice, [patch(UP, UP, 0, 1)])] == [8]
    assert borders(replace(net, sides=net.sides[:0]), [patch(UP, UP, 0)]) == [[]]


def test_what_patches_cover_in_plan() -> None:
    """A frame of four boxes round a hole; a patch whose border is a bow tie is put together of its triangles."""
    ring = [
        level(0.0, 0.0, 900.0, 100.0),
        level(800.0, 100.0, 900.0, 800.0),
        level(0.0, 800.0, 900.0, 900.0),
        level(0.0, 100.0, 100.0, 800.0),
    ]
    net = net_of(*ring)
    (shape,) = plan_shapes(net, [patch(UP, UP, *range(8))])
    assert (
        shape.symmetric_difference(shapely.box(0, 0, 900, 900).difference(shapely.box(100, 100, 800, 800))).area < 1e-6
    )
    apart = net_of(
        level(0.0, 0.0, 900.0, 100.0), level(2000.0, 0.0, 2900.0, 100.0), level(2100.0, 20.0, 2200.0, 50.0, 500.0)
    )
    one, two = plan_shapes(apart, [patch(UP, UP, 0, 1, 2, 3), patch(UP, UP, 4, 5)])
    assert (one.area, two.area) == (180000.0, 3000.0)
    over = plan_shapes(apart, [patch(UP, UP, 2, 3, 4, 5)])[0]
    assert over.area == 90000.0
    flipped = replace(net, corners=net.corners[:, ::-1], sides=net.sides[:, [0, 2, 1]])
    assert plan_shapes(flipped, [patch(UP, UP, 0, 1)])[0].area == 0.0


def test_a_plane_with_just_half_of_it_under_others_is_in_the_open() -> None:
    quads = [
        level(0.0, 0.0, 4000.0, 4000.0, 3000.0),
        level(2000.0, 0.0, 6000.0, 4000.0, 3300.0),
        level(0.0, 0.0, 10.0, 10.0),
    ]
    assert len(chosen(quads).patches) == 2


def test_how_thick_and_how_long_a_slab_that_falls_askew_is() -> None:
    """Square to (2, 3, 6) / 7 from (1, 2, 3) to (11, -4, -20): (20 - 18 - 138) / 7. A plane 6 in 8 towards x over 4 m is 5 m."""
    normal = (2.0, 3.0, 6.0)
    assert choosing._thick(patch(normal, (1.0, 2.0, 3.0)), patch(normal, (11.0, -4.0, -20.0))) == pytest.approx(
        136.0 / 7.0
    )
    falls_to_x: Quad = ((0.0, 0.0, 0.0), (4000.0, 0.0, 3000.0), (4000.0, 900.0, 3000.0), (0.0, 900.0, 0.0))
    net = net_of(falls_to_x)
    assert choosing._slope_length(net, patch((-0.6, 0.0, 0.8), UP, 0, 1)) == pytest.approx(5000.0)
    # the same turned in plan by 3, 4, 5
    turned = net_of(tuple((0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y, z) for x, y, z in falls_to_x))
    assert choosing._slope_length(turned, patch((-0.48, -0.36, 0.8), UP, 0, 1)) == pytest.approx(5000.0)


def test_the_face_that_is_folded_is_named_by_its_first_plane() -> None:
    net = net_of(*(level(0.0, 5000.0 * k, 4000.0, 5000.0 * k + 1000.0) for k in range(3)))
    net.polygon_of[:] = [0, 0, 5, 5, 5, 5]
    found = [patch(UP, (float(k), 0.0, 0.0), 2 * k, 2 * k + 1) for k in range(3)]
    (said,) = choosing._folded_findings("main", net, found)
    assert said.text.endswith("one is at (1, 0) at height 0")
