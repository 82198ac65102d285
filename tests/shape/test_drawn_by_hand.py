"""Lines of drawings joined, arcs cut into sides, rings told apart: figures by hand; an arc's corners lie on its circle."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, hypot, pi, sin

import numpy as np
import pytest

from takeoff.model.drawings import RawPath
from takeoff.shape.imported.drawn.drawn_rings import _equal_once, _nested, _ring, lies_in
from takeoff.shape.imported.drawn.join_lines import Chain, _middle, extent, faceted, join_lines
from takeoff.shape.imported.drawn.ring_units import UnitFound, find_unit, size_words, units_that_fit

Point = tuple[float, float]


def path(*points: Point, closed: bool = False, bulges: tuple[float, ...] = (), layer: str = "walls") -> RawPath:
    return RawPath(layer=layer, points=points, bulges=bulges, closed=closed)


@pytest.mark.parametrize("bulge", [0.2, -0.2, 1.0, -1.0, 0.6, 1.7, -2.3])
@pytest.mark.parametrize("off", [3.0, 40.0])
def test_the_corners_of_an_arc_lie_on_its_circle(bulge: float, off: float) -> None:
    """A bulge is the tangent of a quarter of the turn (DXF reference, group code 42): the sagitta is |bulge| x chord / 2, the
    radius chord x (1 + bulge2) / (4 |bulge|); no side lies further off than asked, and one corner fewer would be too few."""
    a, b = (100.0, 200.0), (400.0, 600.0)  # a chord of 500
    found = faceted(a, b, bulge, off)
    radius = 500.0 * (1.0 + bulge**2) / (4.0 * abs(bulge))
    left = np.array([-0.8, 0.6])
    centre = np.array([250.0, 400.0]) + left * 500.0 * (1.0 - bulge**2) / (4.0 * bulge)
    ring = [a, *found, b]
    for point in ring:
        assert hypot(*(np.array(point) - centre)) == pytest.approx(radius)
    turn = 4.0 * atan(bulge)
    count = len(found) + 1
    start = np.array(a) - centre
    for k, point in enumerate(ring):
        angle = turn * k / count
        turned = np.array(
            [start[0] * cos(angle) - start[1] * sin(angle), start[0] * sin(angle) + start[1] * cos(angle)]
        )
        assert point == pytest.approx(tuple(centre + turned))
    assert radius * (1.0 - cos(abs(turn) / count / 2.0)) <= off + 1e-9
    assert count == 1 or radius * (1.0 - cos(abs(turn) / (count - 1) / 2.0)) > off
    middle = np.array(_middle(a, b, bulge))
    assert middle == pytest.approx(np.array([250.0, 400.0]) - left * bulge * 250.0)
    assert hypot(*(middle - centre)) == pytest.approx(radius)


def test_a_straight_side_and_one_without_length_have_no_arc() -> None:
    assert faceted((0.0, 0.0), (9.0, 0.0), 0.0, 1.0) == []
    assert faceted((5.0, 0.0), (5.0, 0.0), 1.0, 1.0) == []


def test_the_box_of_a_chain_takes_arcs_at_their_middles() -> None:
    """A half circle below a side of 2000 adds 1000."""
    ring = Chain(
        "walls",
        ((0.0, 0.0), (2000.0, 0.0), (2000.0, 500.0), (0.0, 500.0)),
        (1.0, 0.0, 0.0, 0.0),
        True,
        path((0.0, 0.0)),
        0,
        1,
    )
    assert extent(ring) == (2000.0, 1500.0)
    last = Chain("walls", ring.points, (0.0, 0.0, 0.0, 1.0), True, ring.path, 0, 1)
    assert extent(last) == (2250.0, 500.0)
    opened = Chain("walls", ring.points, (0.0, 0.0, 0.0, 1.0), False, ring.path, 0, 1)
    assert extent(opened) == (2000.0, 500.0)
    begun = Chain("walls", ring.points, (1.0, 0.0, 0.0, 0.0), False, ring.path, 0, 1)
    assert extent(begun) == (2000.0, 1500.0)
    upright = Chain("walls", ((0.0, 0.0), (300.0, 0.0), (300.0, 900.0)), (), False, ring.path, 0, 1)
    assert extent(upright) == (900.0, 300.0)


def test_lines_are_joined_through_the_points_where_two_end() -> None:
    """Four sides in any order and direction, ends up to 3 apart; the ring begins with the first line as it was drawn."""
    lines = [
        path((100.0, 0.0), (0.0, 0.0)), path((100.0, 80.0), (102.0, 1.0)), path((0.0, 80.0), (0.0, 2.9)),
        path((0.0, 80.0), (99.0, 80.0), bulges=(0.25,)), path((500.0, 0.0), (600.0, 0.0), layer="other"),
    ]  # fmt: skip
    ring, alone = join_lines(lines, 3.0)
    assert (ring.closed, ring.lines, ring.first, ring.layer) == (True, 4, 0, "walls")
    assert ring.points == ((100.0, 0.0), (0.0, 2.9), (0.0, 80.0), (100.0, 80.0))
    assert ring.bulges == (0.0, 0.0, 0.25, 0.0)
    assert ring.gap == pytest.approx(2.9)
    assert (alone.closed, alone.points, alone.lines, alone.first, alone.gap) == (
        False,
        ((500.0, 0.0), (600.0, 0.0)),
        1,
        4,
        100.0,
    )
    apart = join_lines(lines[:4], 2.5)
    assert [(chain.closed, chain.lines) for chain in apart] == [(False, 4)]
    assert apart[0].gap == pytest.approx(2.9)
    turned = join_lines([lines[3], lines[0], lines[2], lines[1]], 3.0)[0]
    assert turned.bulges[0] == 0.25
    back = join_lines([lines[0], lines[1], path((99.0, 80.0), (0.0, 80.0), bulges=(-0.25,)), lines[2]], 3.0)[0]
    assert back.bulges == (0.0, 0.0, 0.25, 0.0)


def test_a_fork_is_told_with_its_place() -> None:
    lines = [path((0.0, 0.0), (9.0, 0.0)), path((9.0, 0.0), (9.0, 9.0)), path((9.0, 0.0), (20.0, 0.0))]
    (found,) = join_lines(lines, 0.1)
    assert (found.fork, found.closed, found.lines) == ((9.0, 0.0), False, 3)


def test_a_path_that_comes_back_is_a_ring() -> None:
    square = ((0.0, 0.0), (90.0, 0.0), (90.0, 80.0), (0.0, 80.0))
    (again,) = join_lines([path(*square, (0.5, 0.0))], 1.0)
    assert (again.closed, again.points, again.gap) == (True, square, 0.5)
    (marked,) = join_lines([path(*square, closed=True, bulges=(0.0, 0.0, 0.0, 0.5))], 1.0)
    assert (marked.points, marked.bulges) == (square, (0.0, 0.0, 0.0, 0.5))
    (bowed,) = join_lines([path(*square, (0.5, 0.0), closed=True, bulges=(0.0,) * 4 + (0.5,))], 1.0)
    assert len(bowed.points) == 5  # an arc between the last and the first keeps both
    assert [chain.closed for chain in join_lines([path(*square, (1.5, 0.0))], 1.0)] == [False]
    assert join_lines([path((5.0, 5.0), (5.0, 5.0)), path((7.0, 7.0))], 0.1) == ()


def test_a_line_drawn_twice_is_one() -> None:
    once = path((0.0, 0.0), (90.0, 0.0))
    twice = join_lines([once, path((90.0, 0.0), (0.0, 0.0)), path((90.0, 0.0), (90.0, 50.0))], 0.1)
    assert [(chain.lines, chain.fork) for chain in twice] == [(2, None)]
    arc = [path((0.0, 0.0), (90.0, 0.0), bulges=(0.5,)), path((90.0, 0.0), (0.0, 0.0), bulges=(-0.5,))]
    assert [chain.lines for chain in join_lines(arc, 0.1)] == [1]
    lens = [path((0.0, 0.0), (90.0, 0.0), bulges=(0.5,)), path((90.0, 0.0), (0.0, 0.0), bulges=(0.5,))]
    assert [(chain.lines, chain.closed) for chain in join_lines(lens, 0.1)] == [(2, True)]


def ring_of(*points: Point, mm: float = 1.0, number: int = 1, layer: str = "walls"):  # type: ignore[no-untyped-def]
    made = _ring(Chain(layer, points, (), True, path(*points, layer=layer), 0, 1), mm)
    return replace(made, number=number)


def test_a_ring_in_millimetres() -> None:
    """In metres: 9 x 6 with a corner drawn twice, half a millimetre apart; a half circle cut to within 10 mm of its arc."""
    found = ring_of((0.0, 0.0), (9.0, 0.0), (9.0, 0.0005), (9.0, 6.0), (0.0, 6.0), mm=1000.0)
    assert found.points_mm == ((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0))
    assert (found.length_mm, found.width_mm, found.joined, found.arcs) == (9000.0, 6000.0, 1, 0)
    assert len(ring_of((0.0, 0.0), (9.0, 0.0), (9.0, 0.0006), (9.0, 6.0), (0.0, 6.0), mm=1000.0).points_mm) == 5
    assert len(ring_of((0.0, 0.0), (9.0, 0.0), (9.0, 6.0), (0.0, 0.0004), mm=1000.0).points_mm) == 3
    bowed = _ring(
        Chain(
            "walls",
            ((0.0, 0.0), (2.0, 0.0), (2.0, 5.0), (0.0, 5.0)),
            (1.0, 0.0, 0.0, 0.0),
            True,
            path((0.0, 0.0)),
            0,
            1,
        ),
        1000.0,
    )
    steps = 1
    while 1000.0 * (1.0 - cos(pi / steps / 2.0)) > 10.0:
        steps += 1
    assert (bowed.arcs, len(bowed.points_mm)) == (1, 4 + steps - 1)


def test_rings_that_lie_in_each_other() -> None:
    outer = ring_of((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0), number=1)
    inner = ring_of((1000.0, 1000.0), (3000.0, 1000.0), (3000.0, 3000.0), (1000.0, 3000.0), number=2)
    least = ring_of((1500.0, 1500.0), (2500.0, 1500.0), (2500.0, 2500.0), (1500.0, 2500.0), number=3)
    beside = ring_of((8000.0, 1000.0), (9001.0, 1000.0), (9001.0, 3000.0), (8000.0, 3000.0), number=4)
    other = ring_of((1500.0, 1500.0), (2500.0, 1500.0), (2500.0, 2500.0), (1500.0, 2500.0), number=1, layer="roof")
    assert [(one.number, one.inside) for one in _nested([least, outer, beside, inner, other])] == [
        (3, 2),
        (1, 0),
        (4, 0),
        (2, 1),
        (1, 0),
    ]
    for off, held in ((0.5, True), (0.6, False)):
        for ring in (
            [(-off, 9.0), (100.0, 9.0), (100.0, 100.0)], [(9.0, -off), (100.0, 9.0), (100.0, 100.0)],
            [(9000.0 + off, 9.0), (8000.0, 9.0), (8000.0, 100.0)], [(9.0, 6000.0 + off), (100.0, 5000.0), (9.0, 5000.0)],
        ):  # fmt: skip
            assert lies_in(tuple(ring), outer.points_mm) is held
    ell = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 3000.0), (3000.0, 3000.0), (3000.0, 6000.0), (0.0, 6000.0))
    assert not lies_in(((4000.0, 4000.0), (8000.0, 4000.0), (8000.0, 5000.0), (4000.0, 5000.0)), ell)


def test_a_ring_drawn_again_is_told_once() -> None:
    square = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0))
    first = ring_of(*square)
    again = ring_of(*square[2:], *square[:2], number=2)
    roof, late = ring_of(*square, number=1, layer="roof"), ring_of(*square, number=1, layer="late")
    near = ring_of((0.0, 0.5), *square[1:], number=3)
    off = ring_of((0.0, 0.6), *square[1:], number=4)
    found = _equal_once([first, again, roof, late, near, off])
    assert [(one.number, one.layer, one.also_on) for one in found] == [(1, "walls", ("roof", "late")), (4, "walls", ())]


@pytest.mark.parametrize(
    ("long", "narrow", "units"),
    [
        (3000.0, 2000.0, ("mm", "cm")), (2999.0, 2000.0, ("cm",)), (3000.0, 1999.0, ("cm",)), (60000.0, 50000.0, ("mm",)), (60001.0, 2000.0, ()),
        (3.0, 2.0, ("m",)), (60.0, 50.0, ("m", "ft")), (300.0, 200.0, ("cm", "in")), (20.0, 10.0, ("m", "ft")), (196.0, 190.0, ("in", "ft")),
    ],
)  # fmt: skip
def test_units_that_make_a_house(long: float, narrow: float, units: tuple[str, ...]) -> None:
    assert units_that_fit(long, narrow) == units


def test_the_unit_of_a_drawing() -> None:
    assert find_unit(12.0, 9.0, "mm", "", "") == UnitFound("mm", "the job says so", True, ("m", "ft"))
    assert find_unit(12000.0, 9000.0, "mm", "m", "its header says m") == UnitFound(
        "mm", "the job says so", False, ("mm",)
    )
    assert find_unit(12.0, 9.0, None, "m", "its header says m") == UnitFound(
        "m", "its header says m, and its size is a house's"
    )
    assert find_unit(12.0, 9.0, None, "mm", "its header says mm") == UnitFound(
        None, "its header says mm, which makes it no house", False, ("m", "ft", "mm")
    )
    assert find_unit(12000.0, 9000.0, None, "", "") == UnitFound("mm", "no other makes a house of it", True)
    assert find_unit(12.0, 9.0, None, "", "") == UnitFound(None, "the file states none", False, ("m", "ft"))
    assert find_unit(0.5, 0.5, None, "", "") == UnitFound(
        None, "the file states none", False, ("mm", "cm", "m", "in", "ft")
    )
    assert [UnitFound(unit, "").mm for unit in ("ft", None)] == [304.8, 1.0]  # type: ignore[arg-type]
    assert size_words(40.0, 25.0, "ft") == "12.19 x 7.62 m"


# ------------------------------------------------------------ ends that are one


@pytest.mark.parametrize("shift", [(0.0, 0.0), (1.5, -7.25), (-1000.75, 2999.5)])
@pytest.mark.parametrize(
    "way", [(2.9, 0.0), (-2.9, 0.0), (0.0, 2.9), (0.0, -2.9), (2.0, 2.0), (-2.0, 2.0), (2.0, -2.0), (-2.0, -2.0)]
)
def test_ends_within_a_distance_are_one_wherever_they_lie(shift: Point, way: Point) -> None:
    """3 at most: 2.9 along an axis, or 2.83 aslant; in cells of 3 they may lie in another."""
    x, y = shift
    for k in range(4):  # the meeting point in four places of its cell
        mx, my = x + 0.8 * k, y + 0.8 * k
        one = path((mx - 500.0, my), (mx, my))
        other = path((mx + way[0], my + way[1]), (mx + 400.0, my + 300.0))
        (joined,) = join_lines([one, other], 3.0)
        assert (joined.lines, joined.closed) == (2, False)
        assert joined.points == ((mx - 500.0, my), (mx + way[0], my + way[1]), (mx + 400.0, my + 300.0))
        far = path((mx + way[0] * 1.1, my + way[1] * 1.1), (mx + 400.0, my + 300.0))
        assert [chain.lines for chain in join_lines([one, far], 3.0)] == [1, 1]


def test_crumbs_of_a_survey_grid_part_no_ends() -> None:
    """On a grid of 5 million the last figure of a float is worth a thousand millionth: within a billionth of the figure it is one."""
    at = (1.7e6, 5.4e6)
    crumb = 5.4e6 * 0.9e-12
    lines = [path(at, (at[0] + 9.0, at[1])), path((at[0] + 9.0 + crumb, at[1]), (at[0] + 9.0, at[1] + 5.0))]
    assert [chain.lines for chain in join_lines(lines, 0.0)] == [2]
    wide = [lines[0], path((at[0] + 9.0 + 3.0 * crumb, at[1]), (at[0] + 9.0, at[1] + 5.0))]
    assert [chain.lines for chain in join_lines(wide, 0.0)] == [1, 1]
    ring = path(at, (at[0] + 9.0, at[1]), (at[0] + 9.0, at[1] + 5.0), (at[0] + crumb, at[1]))
    assert join_lines([ring], 0.0)[0].closed


def test_a_line_drawn_again_nearly_is_one_and_a_longer_path_is_not() -> None:
    """Within twice the distance its ends are rounded alike; an arc is another than its chord; a path of three corners
    goes another way than the line between its ends."""
    once = path((0.0, 0.0), (90.0, 0.0))
    assert [chain.lines for chain in join_lines([once, path((0.9, 0.0), (90.0, 0.9))], 1.0)] == [1]
    chord = [once, path((0.0, 0.0), (90.0, 0.0), bulges=(0.5,))]
    assert [(chain.lines, chain.closed) for chain in join_lines(chord, 0.1)] == [(2, True)]
    arcs = [path((0.0, 0.0), (90.0, 0.0), bulges=(0.5,)), path((0.0, 0.0), (90.0, 0.0), bulges=(0.5000001,))]
    assert [chain.lines for chain in join_lines(arcs, 0.1)] == [1]
    unlike = [arcs[0], path((0.0, 0.0), (90.0, 0.0), bulges=(0.50001,))]
    assert [chain.lines for chain in join_lines(unlike, 0.1)] == [2]
    around = path((0.0, 0.0), (45.0, 30.0), (90.0, 0.0))
    assert [(chain.lines, chain.closed) for chain in join_lines([once, around], 0.1)] == [(2, True)]
    assert [(chain.lines, chain.closed) for chain in join_lines([around, once], 0.1)] == [(2, True)]


def test_chains_of_several_layers_come_in_the_order_of_their_first_lines() -> None:
    """Letters large and small are one layer; a row begins at its first open end in the file, whichever way lines were drawn."""
    lines = [
        path((500.0, 0.0), (600.0, 0.0), layer="B"), path((30.0, 0.0), (20.0, 0.0), layer="A"), path((10.0, 0.0), (0.0, 0.0), layer="a"),
        path((20.0, 0.0), (10.0, 0.0), layer="A"), path((7.0, 7.0), (9.0, 7.0), (9.0, 9.0), closed=True, layer="A"),
    ]  # fmt: skip
    found = join_lines(lines, 0.1)
    assert [(chain.first, chain.layer, chain.lines, chain.closed) for chain in found] == [
        (0, "B", 1, False), (1, "A", 3, False), (4, "A", 1, True),
    ]  # fmt: skip
    assert found[1].points == ((30.0, 0.0), (20.0, 0.0), (10.0, 0.0), (0.0, 0.0))
    assert found[1].gap == 30.0
    back = join_lines([lines[3], lines[2], path((20.0, 0.0), (30.0, 5.0))], 0.1)
    assert sorted(chain.points for chain in back) == [
        ((20.0, 0.0), (10.0, 0.0), (0.0, 0.0)),
        ((20.0, 0.0), (30.0, 5.0)),
    ]


def test_the_first_of_several_forks_is_told_and_other_rows_are_not_touched() -> None:
    lines = [
        path((0.0, 0.0), (9.0, 0.0)), path((9.0, 0.0), (9.0, 9.0)), path((9.0, 0.0), (20.0, 0.0)),
        path((20.0, 0.0), (30.0, 0.0)), path((20.0, 0.0), (20.0, 9.0)), path((50.0, 0.0), (60.0, 0.0)),
    ]  # fmt: skip
    forked, alone = join_lines(lines, 0.1)
    assert (forked.fork, forked.lines, forked.first) == ((9.0, 0.0), 5, 0)
    assert (alone.fork, alone.lines, alone.first) == (None, 1, 5)


def test_two_lines_there_and_back_are_a_ring_and_one_alone_is_none() -> None:
    lens = join_lines([path((0.0, 0.0), (9.0, 0.0), (9.0, 5.0)), path((9.0, 5.0), (0.0, 0.0))], 0.1)
    assert [(chain.closed, chain.points) for chain in lens] == [(True, ((0.0, 0.0), (9.0, 0.0), (9.0, 5.0)))]
    (loop,) = join_lines([path((0.0, 0.0), (9.0, 0.0), (0.5, 0.2))], 1.0)
    assert (loop.closed, loop.lines) == (False, 1)


def test_an_arc_is_cut_into_a_hundred_and_eighty_sides_at_most() -> None:
    """A half circle of 2 km, to a millimetre: 2 acos(1 - 1e-6) turns each of them, which would be 1111; 40 m take 158."""
    assert len(faceted((0.0, 0.0), (2e6, 0.0), 1.0, 1.0)) == 179
    sides = int(np.ceil(pi / (2.0 * np.arccos(1.0 - 1.0 / 20000.0))))
    assert len(faceted((0.0, 0.0), (40000.0, 0.0), 1.0, 1.0)) == sides - 1 == 157
    # exactly as many as the turn asks for: a half circle cut in three lies r (1 - cos 30) off
    assert len(faceted((0.0, 0.0), (2000.0, 0.0), 1.0, 1000.0 * (1.0 - cos(pi / 6.0)))) == 2
    assert faceted((0.0, 0.0), (2000.0, 0.0), 1.0, 9000.0) == []


def test_a_half_circle_bulges_square_to_its_chord() -> None:
    (top,) = faceted((300.0, 100.0), (300.0, 500.0), 1.0, 150.0)
    assert top == pytest.approx((500.0, 300.0))
    (under,) = faceted((300.0, 100.0), (300.0, 500.0), -1.0, 150.0)
    assert under == pytest.approx((100.0, 300.0))
