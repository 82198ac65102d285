"""Rings and rows of lines in metres and in no known unit, drawn again, or too many: figures by hand."""

from __future__ import annotations

from itertools import pairwise
from math import atan, cos, hypot
from typing import Any

import pytest
from made_roofs import box

from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.shape.imported.drawn import drawn_rings as rings_in
from takeoff.shape.imported.drawn.drawn_rings import (
    DrawnRing,
    OpenChain,
    _equal,
    _equal_once,
    _largest,
    _open,
    _ring,
    lies_in,
    rings_of,
)
from takeoff.shape.imported.drawn.join_lines import Chain, _crumb, _Ends, _once, faceted, join_lines

Point = tuple[float, float]


def path(*points: Point, closed: bool = False, **more: Any) -> RawPath:
    return RawPath(more.pop("layer", "A"), points, closed, **more)


def raw(*paths: RawPath, **more: Any) -> RawDrawing:
    return RawDrawing("plan.dxf", "dxf", paths, **more)


def chain(*points: Point, closed: bool = True, **more: Any) -> Chain:
    return Chain("A", points, (), closed, path(*points), 0, 1, **more)


def test_the_largest_shape_is_the_ring_that_covers_most() -> None:
    """9 x 9 before 50 x 1; without a ring the longest row of lines; a row is nothing beside a ring."""
    row = chain((0.0, 0.0), (70.0, 2.0), closed=False)
    assert _largest([chain(*box(0.0, 0.0, 50.0, 1.0)), row, chain(*box(1.0, 1.0, 10.0, 10.0))]) == (9.0, 9.0)
    assert _largest([chain((0.0, 0.0), (9.0, 9.0), closed=False), row, chain((5.0, 5.0))]) == (70.0, 2.0)
    assert _largest([]) == (0.0, 0.0)


@pytest.mark.parametrize(("gap", "closes"), [(0.0019, True), (0.0021, False)])
def test_lines_in_metres_meet_within_two_millimetres(gap: float, closes: bool) -> None:
    """Four lines round 9 x 6 m whose last ends short of the first; the figures of an open row are those of the file but in mm."""
    house = box(0.0, 0.0, 9.0, 6.0)
    lines = [path(house[0], house[1]), path(house[1], house[2]), path(house[2], house[3]), path(house[3], (0.0, gap))]
    found = rings_of(raw(*lines, unit="m", unit_words="its header says m"))
    assert (found.unit.unit, found.long, found.narrow) == ("m", 9.0, 6.0)
    if closes:
        (one,) = found.rings
        assert (one.points_mm, one.length_mm, one.width_mm) == (
            tuple((1000.0 * x, 1000.0 * y) for x, y in house),
            9000.0,
            6000.0,
        )
        assert (one.gap_mm, found.open_chains) == (pytest.approx(1.9), ())
    else:
        (row,) = found.open_chains
        points = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0), (0.0, 2.1))
        assert [pytest.approx(point) for point in points] == list(row.points_mm)
        assert (row.lines, row.length_mm, row.gap_mm, row.ends, row.fork) == (
            4,
            9000.0,
            pytest.approx(2.1),
            ((0.0, 0.0), (0.0, gap)),
            None,
        )
        assert found.rings == ()


def test_an_open_row_in_metres() -> None:
    row = chain((1.0, 2.0), (4.0, 6.0), (9.0, 6.0), closed=False, gap=0.25, fork=(4.0, 6.0))
    assert _open(row, 1000.0) == OpenChain(
        "A",
        1,
        8000.0,
        250.0,
        ((1.0, 2.0), (9.0, 6.0)),
        (4.0, 6.0),
        ((1000.0, 2000.0), (4000.0, 6000.0), (9000.0, 6000.0)),
    )
    assert (_ring(chain((0.0, 0.0), (9.0, 0.0), (9.0, 6.0), gap=0.0015), 1000.0).gap_mm) == 1.5


@pytest.mark.parametrize(("wide", "kept"), [(3.9, 1), (4.1, 2)])
def test_what_is_small_beside_the_largest_is_furniture_where_the_unit_is_not_known(wide: float, kept: int) -> None:
    """Of 30 x 20, metres or feet: under 1.2. With the unit, 600 mm; numbers count what is left out."""
    both = raw(path(*box(0.0, 0.0, 9.0, 0.3 * wide), closed=True), path(*box(0.0, 20.0, 30.0, 40.0), closed=True))
    assert [ring.number for ring in rings_of(both).rings] == ([2] if kept == 1 else [1, 2])
    sized = raw(
        path(*box(0.0, 0.0, 900.0, 150.0 * wide), closed=True), path(*box(0.0, 2000.0, 9000.0, 8000.0), closed=True)
    )
    assert len(rings_of(sized, said="mm").rings) == kept
    assert len(rings_of(sized, said="mm", least_side_mm=100.0).rings) == 2
    assert len(rings_of(sized, ("b",), "mm").rings) == 0


def test_a_unit_is_that_in_which_the_longer_side_makes_a_house() -> None:
    """4 x 2.5 m."""
    assert (
        rings_of(
            raw(path(*box(0.0, 0.0, 2500.0, 4000.0), closed=True), unit="mm", unit_words="its header says mm")
        ).unit.unit
        == "mm"
    )


def test_too_many_rings_are_not_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rings_in, "MOST_RINGS", 2)
    many = [path(*box(10000.0 * k, 0.0, 10000.0 * k + 9000.0, 6000.0), closed=True) for k in range(3)]
    found = rings_of(raw(*many), said="mm")
    assert (found.came_from, found.long, found.narrow, found.rings, found.open_chains, found.too_many) == (
        "plan.dxf",
        9000.0,
        6000.0,
        (),
        (),
        True,
    )
    assert len(rings_of(raw(*many[:2]), said="mm").rings) == 2


def ring(*points: Point, number: int = 1, layer: str = "A") -> DrawnRing:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    size = sorted((max(xs) - min(xs), max(ys) - min(ys)))
    return DrawnRing(layer, number, points, size[1], size[0])


@pytest.mark.parametrize(("off", "same"), [(0.5, True), (0.51, False)])
def test_a_ring_is_another_again_within_half_a_millimetre(off: float, same: bool) -> None:
    square = box(0.0, 0.0, 9002.0, 6002.0)
    moved = tuple((x + off, y) for x, y in square)
    assert _equal(ring(*square), ring(*moved[1:], moved[0])) is same
    assert not _equal(ring(*square), ring(*square[:3]))
    assert len(_equal_once([ring(*square), ring(*moved, number=2)])) == (1 if same else 2)
    # across the border of two cells of size, 9005 and 6005; and rounded so that other corners come first along x
    grown = ((0.0, 0.0), (square[1][0] + 3.15, 0.0), (square[2][0] + 3.15, 6005.15), (0.0, 6005.15))
    less = ((0.0, 0.0), (square[1][0] + 2.85, 0.0), (square[2][0] + 2.85, 6004.85), (0.0, 6004.85))
    assert len(_equal_once([ring(*less), ring(*grown, number=2)])) == 1
    leant = ((0.2, 0.0), *square[1:])
    assert len(_equal_once([ring(*square), ring(*leant, number=2)])) == 1
    # corners alike, joined otherwise: a bow of another area
    bow = (square[0], square[2], square[1], square[3])
    assert not _equal(ring(*square), ring(*bow))


def test_a_ring_lies_in_another_by_more_than_half_of_its_sides() -> None:
    around = ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (45.0, 20.0), (0.0, 90.0))  # notched from above to y = 20
    assert lies_in(box(10.0, 1.0, 80.0, 9.0), around)
    assert not lies_in(box(30.0, 50.0, 60.0, 80.0), around)
    assert not lies_in(
        ((2.0, 5.0), (88.0, 5.0), (88.0, 80.0), (2.0, 80.0)),
        ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (45.0, 2.0), (0.0, 90.0)),
    )


@pytest.mark.parametrize("bulge", [0.3, -0.3, 1.0, -1.0, 2.0, -2.0])
def test_corners_on_an_arc(bulge: float) -> None:
    """From (1, 2) to (7, 10), chord 10: all on the circle, evenly; its height is half the bulge times the chord, so the radius is
    2.5 (b + 1 / b)."""
    a, b = (1.0, 2.0), (7.0, 10.0)
    radius = 2.5 * (abs(bulge) + 1.0 / abs(bulge))
    found = [a, *faceted(a, b, bulge, 0.01), b]
    turn = 4.0 * atan(bulge)
    up = radius * cos(turn / 2.0) * (1.0 if bulge > 0.0 else -1.0)
    centre = (4.0 - 0.8 * up, 6.0 + 0.6 * up)
    assert [hypot(x - centre[0], y - centre[1]) for x, y in found] == pytest.approx([radius] * len(found))
    steps = [hypot(q[0] - p[0], q[1] - p[1]) for p, q in pairwise(found)]
    assert steps == pytest.approx([steps[0]] * len(steps))
    assert (
        radius * (1.0 - cos(abs(turn) / len(steps) / 2.0))
        <= 0.01
        < radius * (1.0 - cos(abs(turn) / (len(steps) - 1) / 2.0))
    )
    assert faceted(a, b, 0.0, 0.01) == []
    assert faceted(a, a, bulge, 0.01) == []
    assert len(faceted(a, b, bulge, 1e-9)) == 179  # 180 sides at most


def test_crumbs_of_figures() -> None:
    """A millionth of a millionth of the largest coordinate; ends of lines that differ by no more are one."""
    assert _crumb([(3.0, -4.0), (-5e9, 2.0), (7.0, 8.0)]) == pytest.approx(5e-3)
    far = 4e9
    lines = [
        path((far, far), (far + 9.0, far)),
        path((far + 9.0, far), (far + 9.0, far + 6.0)),
        path((far + 9.0, far + 6.0), (far, far + 0.003)),
    ]
    assert [(one.closed, one.lines) for one in join_lines(lines, 0.0)] == [(True, 3)]
    assert [one.closed for one in join_lines([*lines[:2], path((far + 9.0, far + 6.0), (far, far + 0.005))], 0.0)] == [
        False
    ]
    assert [
        one.closed for one in join_lines([path((0.0, 0.0), (9.0, 0.0)), path((9.0, 0.0), (0.0, 0.0), (0.0, 3.0))], 0.0)
    ] == [False]


def test_ends_are_one_across_the_cells_they_lie_in() -> None:
    """Cells of 2: from whichever side, up to 2 away; how far the furthest was is kept."""
    for first in ((3.9, 3.9), (4.1, 4.1), (-0.1, -0.1), (0.1, -0.1)):
        for off in ((1.4, 1.4), (-1.4, 1.4), (1.4, -1.4), (-1.4, -1.4), (1.99, 0.0), (0.0, -1.99)):
            ends = _Ends(2.0)
            assert (ends.number(first), ends.number((first[0] + off[0], first[1] + off[1]))) == (0, 0)
            assert ends.widest == [pytest.approx(hypot(*off))]
            assert ends.number((first[0] + 2.1, first[1])) in (0, 1)
    ends = _Ends(2.0)
    assert [ends.number((x, 0.0)) for x in (0.0, 1.9, 3.95, 0.5)] == [0, 0, 1, 0]
    assert (ends.at, ends.widest) == ([(0.0, 0.0), (3.95, 0.0)], [1.9, 0.0])


def test_lines_on_each_other_and_arcs_that_go_back() -> None:
    one, back = path((0.0, 0.0), (90.0, 0.0), bulges=(0.5,)), path((90.0, 0.0), (0.0, 0.0), bulges=(-0.5,))
    other, long = path((0.0, 0.0), (90.0, 0.0), bulges=(-0.5,)), path((0.0, 0.0), (45.0, 9.0), (90.0, 0.0))
    assert _once([(0, one), (1, back), (2, other), (3, long), (4, long)], 0.1) == [
        (0, one),
        (2, other),
        (3, long),
        (4, long),
    ]
    near = path((0.15, 0.0), (90.15, 0.0), bulges=(0.5,))
    assert _once([(0, one), (1, near)], 0.5) == [(0, one)]
    assert _once([(0, one), (1, near)], 0.05) == [(0, one), (1, near)]
    # a row of three, its middle run backwards with its arcs: the corners and bulges of each turned round
    row = [
        path((0.0, 0.0), (10.0, 0.0)),
        path((30.0, 9.0), (20.0, 5.0), (10.0, 0.0), bulges=(0.2, -0.7)),
        path((30.0, 9.0), (50.0, 9.0), (60.0, 0.0)),
    ]
    (found,) = join_lines(row, 0.1)
    assert found.points == ((0.0, 0.0), (10.0, 0.0), (20.0, 5.0), (30.0, 9.0), (50.0, 9.0), (60.0, 0.0))
    assert (found.bulges, found.closed, found.lines, found.gap) == ((0.0, 0.7, -0.2, 0.0, 0.0), False, 3, 60.0)
    # begun at its only open end; of two, at that of the line that comes first in the file
    (turned,) = join_lines([row[1], row[0]], 0.1)
    assert turned.points == ((30.0, 9.0), (20.0, 5.0), (10.0, 0.0), (0.0, 0.0))
    (last,) = join_lines([path((10.0, 0.0), (0.0, 0.0)), path((10.0, 0.0), (20.0, 5.0))], 0.1)
    assert last.points == ((0.0, 0.0), (10.0, 0.0), (20.0, 5.0))
    # two lines there and back are one row; two arcs round a lens a ring
    (lens,) = join_lines([one, path((90.0, 0.0), (0.0, 0.0), bulges=(0.5,))], 0.1)
    assert (lens.closed, lens.points, lens.bulges) == (True, ((0.0, 0.0), (90.0, 0.0)), (0.5, 0.5))


def test_closed_paths_whose_last_corner_is_the_first_again() -> None:
    square = box(0.0, 0.0, 90.0, 80.0)
    (again,) = join_lines([path(*square, (0.4, 0.3), closed=True, bulges=(0.1, 0.2, 0.3, 0.4, 0.0))], 0.5)
    assert (again.points, again.bulges, again.gap) == (square, (0.1, 0.2, 0.3, 0.4), 0.5)
    (short,) = join_lines([path(*square, (0.0, 0.0), closed=True, bulges=(0.1, 0.2, 0.3, 0.4))], 0.5)
    assert (short.points, short.bulges) == (square, (0.1, 0.2, 0.3, 0.4))
    (apart,) = join_lines([path(*square, (0.4, 0.4), closed=True)], 0.5)
    assert len(apart.points) == 5
    (one,) = join_lines([path((5.0, 5.0), closed=True)], 0.5)
    assert (one.points, one.gap) == (((5.0, 5.0),), 0.0)
