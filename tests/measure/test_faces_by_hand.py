"""The clad face of a wall and what lies where on it, by hand: a wall of 6 x 2.4 m, a gable of 1.5 m on it, a part of it
that a lower roof covers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import MultiPolygon, box

from takeoff.measure.cladding.face import (
    Face,
    Hole,
    _drawn_out,
    face_of,
    straights,
    stretches_above,
    with_rings,
    without,
)
from takeoff.measure.cladding.face_parts import (
    columns_at,
    foot_lines,
    highest,
    joined,
    net_mm2,
    one_ring,
    over,
    seen_parts,
    stretches_at,
    top_lines,
    whole_parts,
)
from takeoff.measure.cladding.face_rings import clean_ring, rings_of
from takeoff.model.walls import Corner, Elevation, Opening

FOOT, TOP, PEAK = -50.0, 2350.0, 3850.0
LEVEL = Face(1, 0.0, 6000.0, FOOT, TOP, ((0.0, TOP), (6000.0, TOP)), ())
GABLE = replace(LEVEL, top=((0.0, TOP), (3000.0, PEAK), (6000.0, TOP)))
WINDOW = Hole("W1", 2000.0, 3200.0, 900.0, 2100.0)
OUTLINE = ((0.0, FOOT), (6000.0, FOOT), (6000.0, TOP), (3000.0, PEAK), (0.0, TOP))
# all but a corner of 2 x 1 m at the lower right, and a hole of 0.6 x 0.4 m
CORNER = ((0.0, FOOT), (4000.0, FOOT), (4000.0, 950.0), (6000.0, 950.0), (6000.0, TOP), (0.0, TOP))
GAP = ((1000.0, 500.0), (1000.0, 900.0), (1600.0, 900.0), (1600.0, 500.0))
CUT = replace(LEVEL, rings=((CORNER, GAP),))
ELEVATION = Elevation(
    "wall 3", 3, 6000.0, TOP, OUTLINE, FOOT, (), Corner("external", 90.0), Corner("external", 90.0), (0.0, 0.0), False, 0.0,
    (0.0, 0.0), (6000.0, 0.0), floors_mm=(0.0, 2700.0),
)  # fmt: skip


def test_a_face_reaches_past_its_framing() -> None:
    """38 and 20 past: the top goes on level there. An opening from 200 before the end to 100 past it is cut to the face,
    one with its sill under the cladding begins at its foot, one over the peak ends there, one of a crumb is none."""
    openings = (
        Opening("D1", 1000.0, -200.0, 900.0, 2200.0, "door"),
        Opening("W2", 5950.0, 900.0, 200.0, 300.0),
        Opening("W3", 2900.0, 3000.0, 200.0, 2000.0),
        Opening("W4", -600.0, 900.0, 562.5, 300.0),
    )
    found = face_of(replace(ELEVATION, openings=openings), 38.0, 20.0)
    holes = (
        Hole("D1", 1000.0, 1900.0, FOOT, 2000.0, "door"),
        Hole("W2", 5950.0, 6020.0, 900.0, 1200.0),
        Hole("W3", 2900.0, 3100.0, 3000.0, PEAK),
    )
    top = ((-38.0, TOP), (0.0, TOP), (3000.0, PEAK), (6000.0, TOP), (6020.0, TOP))
    assert found == Face(3, -38.0, 6020.0, FOOT, TOP, top, holes, levels=(2700.0,))
    assert (found.tag, found.group, found.width) == ("3", "wall 3", 6058.0)
    assert (replace(found, part=2).tag, replace(found, part=2).group) == ("3-2", "wall 3 part 2")


def test_a_face_that_stops_short_of_its_framing() -> None:
    """40 short at the left and 30 at the right under slopes of 1 in 2: cut where it ends."""
    found = face_of(ELEVATION, -40.0, -30.0)
    assert (found.left, found.right) == (40.0, 5970.0)
    assert found.top == ((40.0, TOP + 20.0), (3000.0, PEAK), (5970.0, TOP + 15.0))


def test_a_face_less_what_a_lower_roof_covers() -> None:
    """From 4 m to the end up to 950: it covers the 20 past the framing too; a ring that ends before it does not."""
    covered = ((4000.0, FOOT), (6000.0, FOOT), (6000.0, 950.0), (4000.0, 950.0))
    flat = replace(ELEVATION, outline_xy=((0.0, FOOT), (6000.0, FOOT), (6000.0, TOP), (0.0, TOP)))
    found = face_of(replace(flat, covered_xy=(covered,)), 38.0, 20.0)
    left = ((-38.0, FOOT), (4000.0, FOOT), (4000.0, 950.0), (6020.0, 950.0), (6020.0, TOP), (-38.0, TOP))
    assert found.rings == ((left,),)
    at_left = tuple((6000.0 - x, y) for x, y in reversed(covered))
    found = face_of(replace(flat, covered_xy=(at_left,)), 38.0, 20.0)
    assert found.rings == (
        (((2000.0, FOOT), (6020.0, FOOT), (6020.0, TOP), (-38.0, TOP), (-38.0, 950.0), (2000.0, 950.0)),),
    )
    middle = tuple((x - 1000.0, y) for x, y in covered)
    (ring,) = face_of(replace(flat, covered_xy=(middle,)), 38.0, 20.0).rings[0]
    assert (5000.0, FOOT) in ring
    assert (6020.0, FOOT) in ring


def test_areas_of_a_face() -> None:
    """6 x 2.4, a triangle of 6 x 1.5 / 2, less a window of 1.2 x 1.2; cut 2 x 1 and a gap of 0.6 x 0.4."""
    assert (LEVEL.gross_mm2, GABLE.gross_mm2, CUT.gross_mm2) == (14.4e6, 18.9e6, 14.4e6 - 2e6 - 0.24e6)
    assert (LEVEL.peak, GABLE.peak, CUT.peak) == (TOP, PEAK, TOP)
    assert replace(GABLE, rings=((CORNER,),)).peak == TOP
    assert net_mm2(replace(GABLE, holes=(WINDOW,))) == pytest.approx(18.9e6 - 1.44e6)
    assert net_mm2(replace(CUT, holes=(WINDOW, replace(WINDOW, foot=2100.0)))) == pytest.approx(12.16e6 - 1.44e6)
    assert GABLE.whole == ((((0.0, FOOT), (6000.0, FOOT), (6000.0, TOP), (3000.0, PEAK), (0.0, TOP)),),)
    assert CUT.whole == CUT.rings


def test_a_face_of_which_parts_are_left() -> None:
    """Its foot, sides and height with them; openings where something of them lies in it, cut at its sides and foot."""
    door = Hole("D1", 3500.0, 4500.0, FOOT, 2000.0, "door")
    far = Hole("W9", 5000.0, 5500.0, 1000.0, 2000.0)
    band = ((0.0, 300.0), (4000.0, 300.0), (4000.0, 1500.0), (0.0, 1500.0))
    found = with_rings(replace(LEVEL, holes=(WINDOW, door, far)), ((band,),))
    assert (found.left, found.right, found.base, found.frame_top) == (0.0, 4000.0, 300.0, 1500.0)
    assert found.holes == (WINDOW, replace(door, right=4000.0, foot=300.0))
    high = ((0.0, 2350.0), (6000.0, 2350.0), (3000.0, 3850.0))
    triangle = with_rings(GABLE, ((high,),))
    assert (triangle.base, triangle.frame_top, triangle.peak) == (TOP, PEAK, PEAK)
    # under the frame's height by a crumb it is none; the foot is never below that of the wall
    low = ((0.0, -300.0), (6000.0, -300.0), (6000.0, TOP + 900.0), (0.0, TOP + 900.0))
    whole = with_rings(LEVEL, ((low,),))
    assert (whole.base, whole.frame_top) == (FOOT, TOP)
    for base, top in ((TOP - 0.5, PEAK), (TOP - 0.6, TOP)):
        ring = ((0.0, base), (6000.0, base), (3000.0, PEAK))
        assert with_rings(GABLE, ((ring,),)).frame_top == top
    # what lies in a gap of what is left is in none of it
    gap = Hole("W7", 1100.0, 1500.0, 550.0, 850.0)
    assert with_rings(replace(LEVEL, holes=(gap, WINDOW)), ((CORNER, GAP),)).holes == (WINDOW,)
    # 100 mm2 of an opening are none
    for right, held in ((2000.1, 0), (2000.2, 1)):
        strip = ((0.0, FOOT), (right, FOOT), (right, TOP), (0.0, TOP))
        shallow = replace(WINDOW, foot=900.0, head=1900.0)
        assert len(with_rings(replace(LEVEL, holes=(shallow,)), ((strip,),)).holes) == held


def test_straights_of_a_top() -> None:
    """Points in one line are one straight; half a millimetre off is in line, more is not."""
    top = ((0.0, 0.0), (1000.0, 500.0), (2000.0, 1000.0), (3000.0, 1000.0))
    assert straights(top) == [((0.0, 0.0), (2000.0, 1000.0)), ((2000.0, 1000.0), (3000.0, 1000.0))]
    for off, count in ((0.5, 1), (0.51, 2)):
        assert len(straights(((0.0, 0.0), (1000.0, 500.0 + off), (2000.0, 1000.0)))) == count
    moved = [(x - 38.0, y + 200.0) for x, y in top]
    assert straights(tuple(moved)) == [(moved[0], moved[2]), (moved[2], moved[3])]
    for off, count in ((0.5, 1), (0.51, 2)):
        assert len(straights(((500.0, 200.0), (1500.0, 700.0 + off), (2500.0, 1200.0)))) == count
    assert straights(((0.0, 5.0),)) == []


def test_stretches_above_a_level() -> None:
    """A top that rises to 1000, has a step down, and rises again at its end."""
    top = ((0.0, 0.0), (1000.0, 1000.0), (1000.0, 400.0), (2000.0, 400.0), (3000.0, 1400.0))
    assert stretches_above(top, 700.0) == ((700.0, 1000.0), (2300.0, 3000.0))
    assert stretches_above(top, 200.0) == ((200.0, 3000.0),)
    assert stretches_above(top, 400.0) == ((400.0, 1000.0), (2000.0, 3000.0))
    assert stretches_above(top, 1400.0) == ()


def test_what_is_left_of_a_stretch() -> None:
    rows = [
        ([], [(0.0, 100.0)]), ([(20.0, 30.0)], [(0.0, 20.0), (30.0, 100.0)]), ([(-5.0, 30.0)], [(30.0, 100.0)]),
        ([(70.0, 150.0)], [(0.0, 70.0)]), ([(120.0, 130.0)], [(0.0, 100.0)]), ([(0.5, 99.4)], [(99.4, 100.0)]), ([(0.6, 99.5)], [(0.0, 0.6)]),
        ([(50.0, 60.0), (20.0, 55.0), (52.0, 54.0)], [(0.0, 20.0), (60.0, 100.0)]), ([(-9.0, 0.0), (100.0, 109.0)], [(0.0, 100.0)]),
    ]  # fmt: skip
    for cuts, kept in rows:
        assert without((0.0, 100.0), cuts) == kept


# --- what lies where ----------------------------------------------------------------------------------------------------


def test_stretches_along_a_level() -> None:
    """Without rings by the top, none under the foot; with them by what lies right over the level."""
    assert stretches_at(LEVEL, FOOT - 0.5) == ((0.0, 6000.0),)
    assert stretches_at(LEVEL, FOOT - 0.6) == ()
    assert stretches_at(GABLE, 3100.0) == ((1500.0, 4500.0),)
    assert [len(stretches_at(GABLE, y)) for y in (PEAK - 0.2, PEAK - 0.1)] == [1, 0]  # 0.8 and 0.4 wide
    assert stretches_at(CUT, 0.0) == ((0.0, 4000.0),)
    assert stretches_at(CUT, 500.0) == stretches_at(CUT, 899.9) == ((0.0, 1000.0), (1600.0, 4000.0))
    assert stretches_at(CUT, 900.0) == ((0.0, 4000.0),)
    assert stretches_at(CUT, 950.0) == ((0.0, 6000.0),)
    assert stretches_at(CUT, TOP) == ()


def test_columns_at_a_place() -> None:
    """At its ends it is as high as just inside."""
    assert columns_at(GABLE, 1500.0) == ((FOOT, 3100.0),)
    assert columns_at(CUT, 0.0) == columns_at(CUT, -5.0) == ((FOOT, TOP),)
    assert columns_at(CUT, 1300.0) == ((FOOT, 500.0), (900.0, TOP))
    assert columns_at(CUT, 5000.0) == columns_at(CUT, 6000.0) == columns_at(CUT, 6005.0) == ((950.0, TOP),)
    peaked = replace(GABLE, rings=GABLE.whole)
    assert columns_at(peaked, 1000.0 / 3.0) == ((FOOT, 2516.666667),)  # 2350 and a sixth of 1000
    # where it is no higher than half a millimetre it is nowhere
    low = replace(LEVEL, rings=((((0.0, 100.0), (6000.0, 100.0), (0.0, 106.0)),),))
    assert [len(columns_at(low, x)) for x in (5490.0, 5510.0)] == [1, 0]


def test_the_highest_point_over_a_stretch() -> None:
    """One that reaches past the face counts as far as the face."""
    assert highest(GABLE, -500.0, 1000.0) == TOP + 500.0
    assert highest(GABLE, 5000.0, 9000.0) == TOP + 500.0
    assert highest(GABLE, 2000.0, 4000.0) == PEAK
    lower = replace(LEVEL, rings=((((0.0, FOOT), (3000.0, FOOT), (3000.0, 400.0), (0.0, 400.0)),),))
    higher = (((0.0, FOOT), (3000.0, FOOT), (3000.0, 900.0), (0.0, 900.0)),)
    down = replace(lower, rings=(higher, (((3000.0, FOOT), (6000.0, FOOT), (6000.0, 400.0), (3000.0, 400.0)),)))
    assert [highest(down, x, 3500.0) for x in (3000.4, 3000.6)] == [900.0, 400.0]
    assert highest(CUT, 1200.0, 1400.0) == TOP
    stepped = replace(
        lower, rings=(*lower.rings, (((3000.0, FOOT), (6000.0, FOOT), (6000.0, 900.0), (3000.0, 900.0)),))
    )
    assert [highest(stepped, *reach) for reach in ((0.0, 2999.0), (0.0, 2999.6), (4000.0, 9000.0), (3000.6, 3500.0))] == [
        400.0, 900.0, 900.0, 900.0,
    ]  # fmt: skip


def test_edges_above_and_below() -> None:
    """Left to right; a gap has its own: what lies over it begins at its top, what lies under it ends at its foot."""
    assert top_lines(GABLE) == (((0.0, TOP), (3000.0, PEAK)), ((3000.0, PEAK), (6000.0, TOP)))
    assert foot_lines(GABLE) == (((0.0, FOOT), (6000.0, FOOT)),)
    assert top_lines(CUT) == (((0.0, TOP), (6000.0, TOP)), ((1000.0, 500.0), (1600.0, 500.0)))
    assert foot_lines(CUT) == (
        ((0.0, FOOT), (4000.0, FOOT)), ((1000.0, 900.0), (1600.0, 900.0)), ((4000.0, 950.0), (6000.0, 950.0)),
    )  # fmt: skip
    turned = replace(CUT, rings=((tuple(reversed(CORNER)), tuple(reversed(GAP))),))
    assert (top_lines(turned), foot_lines(turned)) == (top_lines(CUT), foot_lines(CUT))


def test_what_is_clad_over_an_opening() -> None:
    """Up to a millimetre under the top there is nothing over it."""
    for head, clad in ((2100.0, True), (TOP - 1.1, True), (TOP - 1.0, False), (TOP, False)):
        assert over(replace(WINDOW, head=head), CUT) is clad
        assert over(replace(WINDOW, head=head), LEVEL) is clad
    in_the_gap = Hole("W", 1100.0, 1500.0, 500.0, 899.5)
    assert over(in_the_gap, CUT) is True
    assert over(replace(in_the_gap, head=800.0), CUT) is False


def test_parts_within_lines() -> None:
    """A window that takes all of a strip parts it; one that misses a line by half a millimetre ends at it."""
    holed = replace(CUT, holes=(WINDOW,))
    assert seen_parts(holed, 2500.0, 3000.0, FOOT, TOP) == (
        (((2500.0, FOOT), (3000.0, FOOT), (3000.0, 900.0), (2500.0, 900.0)),),
        (((2500.0, 2100.0), (3000.0, 2100.0), (3000.0, TOP), (2500.0, TOP)),),
    )
    assert whole_parts(holed, 2500.0, 3000.0, FOOT, TOP) == (
        (((2500.0, FOOT), (3000.0, FOOT), (3000.0, TOP), (2500.0, TOP)),),
    )
    for miss, count in ((0.5, 2), (0.6, 1)):
        strip = seen_parts(replace(CUT, holes=(replace(WINDOW, right=3000.0 - miss),)), 2500.0, 3000.0, FOOT, TOP)
        assert len(strip) == count
    for side, line, count in (("left", 2500.5, 2), ("left", 2500.6, 1)):
        strip = seen_parts(replace(CUT, holes=(replace(WINDOW, **{side: line}),)), 2500.0, 3000.0, FOOT, TOP)  # type: ignore[arg-type]
        assert len(strip) == count
    for side, line, count in (("foot", 300.5, 2), ("foot", 300.6, 1), ("head", 1499.5, 2), ("head", 1499.4, 1)):
        tall = replace(WINDOW, **{"foot": 200.0, "head": 1600.0, side: line})  # type: ignore[arg-type]
        band = seen_parts(replace(CUT, holes=(tall,)), 1800.0, 3400.0, 300.0, 1500.0)
        assert len(band) == count
    assert whole_parts(CUT, 900.0, 100.0, 0.0, 900.0) == whole_parts(CUT, 0.0, 900.0, 900.0, 100.0) == ()
    assert len(whole_parts(CUT, 100.0, 100.9, 0.0, 900.0)) == len(whole_parts(CUT, 0.0, 900.0, 100.0, 100.9)) == 1
    assert seen_parts(CUT, 1000.0, 1600.0, 400.0, 1000.0) == (
        (((1000.0, 400.0), (1600.0, 400.0), (1600.0, 500.0), (1000.0, 500.0)),),
        (((1000.0, 900.0), (1600.0, 900.0), (1600.0, 1000.0), (1000.0, 1000.0)),),
    )
    assert whole_parts(CUT, 1000.0, 1000.0, 0.0, 900.0) == whole_parts(CUT, 0.0, 900.0, 5.0, 5.0) == ()


def test_a_part_with_a_hole_as_one_ring() -> None:
    """Joined by the shortest way, there and back: 100 up from the middle of nowhere, so from the corner at 0, 0."""
    outer = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0))
    hole = ((100.0, 200.0), (400.0, 200.0), (400.0, 400.0), (100.0, 400.0))
    wanted = (
        (0.0, 0.0), (100.0, 200.0), (100.0, 400.0), (400.0, 400.0), (400.0, 200.0), (100.0, 200.0), (0.0, 0.0),
        (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0),
    )  # fmt: skip
    assert one_ring((outer, hole)) == one_ring((outer, (hole[0], *reversed(hole[1:])))) == wanted
    assert one_ring((outer,)) == outer
    # 200 across and 300 down from the corner at 300, 100
    a, b, c, d = ring = ((-700.0, -900.0), (300.0, -900.0), (300.0, 100.0), (-700.0, 100.0))
    e, f, g, h = inner = ((100.0, -400.0), (-200.0, -400.0), (-200.0, -200.0), (100.0, -200.0))
    assert one_ring((ring, inner)) == (a, b, c, h, e, f, g, h, c, d)
    # near its top, far up the wall
    a, b, c, d = ring = ((0.0, 1000.0), (1000.0, 1000.0), (1000.0, 2000.0), (0.0, 2000.0))
    e, f, g, h = inner = ((400.0, 1700.0), (400.0, 1900.0), (600.0, 1900.0), (600.0, 1700.0))
    assert one_ring((ring, inner)) == (a, b, c, g, h, e, f, g, c, d)


def test_parts_as_one_face() -> None:
    low = with_rings(LEVEL, ((((0.0, FOOT), (6000.0, FOOT), (6000.0, 900.0), (0.0, 900.0)),),))
    high = with_rings(LEVEL, ((((0.0, 900.0), (3000.0, 900.0), (3000.0, TOP), (0.0, TOP)),),))
    assert joined(LEVEL, (low, high)).rings == (
        (((0.0, FOOT), (6000.0, FOOT), (6000.0, 900.0), (3000.0, 900.0), (3000.0, TOP), (0.0, TOP)),),
    )


def test_parts_of_a_region() -> None:
    """From the left and the foot; none of 100 mm2 or less, none as thin as a hundredth of a millimetre."""
    first, second, third = box(0.0, 500.0, 20.0, 900.0), box(0.0, 0.0, 20.0, 400.0), box(100.0, 0.0, 900.0, 50.0)
    assert [rings[0][0] for rings in rings_of(MultiPolygon([third, first, second]))] == [
        (0.0, 0.0),
        (0.0, 500.0),
        (100.0, 0.0),
    ]
    for wide, count in ((0.009, 0), (0.011, 1)):
        assert len(rings_of(box(1000.0, 0.0, 1000.0 + wide, 30_000.0))) == count
        assert len(rings_of(box(0.0, 1000.0, 30_000.0, 1000.0 + wide))) == count
    for wide, count in ((9.99, 0), (10.01, 1)):
        assert len(rings_of(box(0.0, 0.0, 10.0, wide))) == count


def test_rings_without_points_in_a_straight() -> None:
    """It begins at the lowest point, the left one of equals; one a hair off stays."""
    ring = ((9.0, 1.0), (9.0, 5.0), (1.0, 5.0), (1.0, 1.0), (3.0, 1.0))
    assert clean_ring(ring) == ((1.0, 1.0), (9.0, 1.0), (9.0, 5.0), (1.0, 5.0))
    assert clean_ring(((0.0000004, -0.0000001), (5.0, 0.0), (5.0, 5.0))) == ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0))
    # twice the triangle's area: 2 x 0.0049 and 2 x 0.0051 beside 0.01
    for off, count in ((0.0049, 3), (0.0051, 4)):
        assert len(clean_ring(((0.0, 0.0), (1.0, -off), (2.0, 0.0), (1.0, 9.0)))) == count
    # straights of any direction, in both coordinates
    ring = (
        (100.0, 200.0),
        (340.0, 320.0),
        (500.0, 400.0),
        (500.0, 600.0),
        (500.0, 900.0),
        (100.0, 900.0),
        (100.0, 500.0),
    )
    assert clean_ring(ring) == (ring[0], ring[2], ring[4], ring[5])
    assert "-0.0" not in repr(clean_ring(((-1e-9, -1e-9), (5.0, -1e-9), (5.0, 5.0), (-1e-9, 5.0))))
    assert clean_ring(((0.1234564, 0.6543216), (5.0, 0.7), (5.0, 5.0)))[0] == (0.123456, 0.654322)
    # a spike out and back is no straight
    assert len(clean_ring(((0.0, 0.0), (5.0, 0.0), (3.0, 0.0), (3.0, 5.0)))) == 4
    assert clean_ring(()) == ()


def test_what_is_covered_is_drawn_out_to_the_ends_of_the_face() -> None:
    """A wall of 6 m whose face reaches 38 past its left end and stops 20 short of its right: a side that lies on an end of
    the framing is drawn out to that of the face, on an end that the face does not reach it stays."""
    wide = Face(1, -38.0, 5980.0, FOOT, TOP, ((-38.0, TOP), (5980.0, TOP)), ())
    left = ((0.4, 0.0), (2000.0, 0.0), (2000.0, 900.0), (0.0, 900.0))
    assert _drawn_out(left, wide, 6000.0) == [*left, (-38.0, 900.0), (-38.0, 0.0)]
    right = ((4000.0, 0.0), (6000.0, 0.0), (6000.0, 900.0), (4000.0, 900.0))
    assert _drawn_out(right, wide, 6000.0) == [*right[:2], (6000.0, 0.0), (6000.0, 900.0), *right[2:]]
    short = replace(wide, left=20.0, right=6040.0)
    assert _drawn_out(left, short, 6000.0) == [*left, (0.0, 900.0), (0.0, 0.0)]
    assert _drawn_out(right, short, 6000.0) == [*right[:2], (6040.0, 0.0), (6040.0, 900.0), *right[2:]]
    beside = ((0.6, 0.0), (2000.0, 0.0), (2000.0, 900.0), (0.6, 900.0))
    assert _drawn_out(beside, wide, 6000.0) == list(beside)


def test_heights_of_a_face_in_rings() -> None:
    """Over a gap in a face its top counts; heights are worked out to a millionth of a millimetre."""
    assert highest(CUT, 1100.0, 1500.0) == TOP
    raked = replace(LEVEL, rings=((((0.0, 0.0), (3000.0, 0.0), (3000.0, 1000.0), (0.0, 2000.0)),),))
    assert columns_at(raked, 1000.1) == ((0.0, 1666.633333),)
    assert stretches_at(raked, 1666.633333 - 0.01) == ((0.0, pytest.approx(1000.1, abs=2e-6)),)
