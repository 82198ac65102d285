"""Points level with corners, parts that only touch, figures that are equal: where a rule must say which side counts."""

from __future__ import annotations

from math import pi
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from takeoff.shape.imported import net
from takeoff.shape.imported.house_walls import outer_line, wall_sides
from takeoff.shape.imported.mesh_borders import outline_rings
from takeoff.shape.outline.outline_checks import inside
from takeoff.shape.outline_order.directions import off_axis
from takeoff.shape.skeleton import breaks, crossings, faces
from takeoff.shape.strips import slabs
from takeoff.shape.strips.plane_lines import _grown, band_spans, spans_at
from takeoff.shape.strips.sheeted_area import _winding
from takeoff.shape.walls.wall_tops import _step_height, raised, tidy
from takeoff.shape.water import drainage, spreading
from takeoff.shape.water.fall_lines import Curtain

Point = tuple[float, float]
STAR = ((0.0, -4.0), (4.0, 0.0), (0.0, 4.0), (-4.0, 0.0))
"""A square on its corner."""
PLACES = (
    ((0.0, 0.0), True),
    ((-5.0, 0.0), False),
    ((5.0, 0.0), False),
    ((-5.0, 4.0), False),
    ((-5.0, -4.0), False),
    ((-1.0, 2.0), True),
    ((-3.0, -2.0), False),
    ((3.0, 2.0), False),
)


def by_rings(at: Point, ring: tuple[Point, ...]) -> bool:
    return inside(ring, at)


def by_faces(at: Point, ring: tuple[Point, ...]) -> bool:
    corners = list(range(len(ring)))
    return faces.within([len(ring)], corners, [(x, y, 9.0) for x, y in (*ring, at)])


def by_edges(at: Point, ring: tuple[Point, ...]) -> bool:
    ends = zip((at, *ring), (at, *ring[1:], ring[0]), strict=True)
    edges: list[Any] = [SimpleNamespace(ax=a[0], ay=a[1], bx=b[0], by=b[1]) for a, b in ends]
    return crossings.within(edges, 0, range(1, len(edges)))


def by_chain(at: Point, ring: tuple[Point, ...]) -> bool:
    """All of it moves by (2, -1) a unit of time, known at a time of its own."""
    points, count = (*ring, at), len(ring)
    pt = [0.5 * v for v in range(count + 1)]
    front: Any = SimpleNamespace(
        px=[x - 2.0 * (3.0 - t) for (x, _), t in zip(points, pt, strict=True)],
        py=[y + 1.0 * (3.0 - t) for (_, y), t in zip(points, pt, strict=True)],
        vx=[2.0] * (count + 1),
        vy=[-1.0] * (count + 1),
        pt=pt,
        nxt=[*range(1, count), 0, -1],
    )
    return breaks.inside(front, count, 1, 3.0)


@pytest.mark.parametrize("way", [by_rings, by_faces, by_edges, by_chain])
@pytest.mark.parametrize("turned", [False, True])
def test_a_ray_through_corners_counts_them_once(way: Any, turned: bool) -> None:
    ring = STAR[::-1] if turned else STAR
    assert [way(at, ring) for at, _ in PLACES] == [found for _, found in PLACES]
    # level with a side, and with a corner where the outline goes on up
    step = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (3.0, 2.0), (3.0, 5.0), (0.0, 5.0))
    ring = step[::-1] if turned else step
    assert [way(at, ring) for at in ((1.0, 2.0), (-1.0, 2.0), (4.0, 2.5), (-1.0, 5.0), (-1.0, 0.0))] == [
        True, False, False, False, False,
    ]  # fmt: skip


def test_a_level_line_through_corners() -> None:
    assert spans_at([STAR], 0.0) == ((-4.0, 4.0),)
    step = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (3.0, 4.0), (3.0, 5.0), (0.0, 5.0))
    assert spans_at([step], 2.0) == ((0.0, 6.0),)
    assert spans_at([step], 4.0) == ((0.0, 3.0),)
    assert spans_at([STAR], 4.0) in ((), ((0.0, 0.0),))


def test_spans_that_touch_in_a_point() -> None:
    """A timber does not grow into what only touches it; parts of a band that touch are one."""
    assert _grown((2.0, 10.0), [((10.0, 20.0), (-5.0, 2.0))]) == (2.0, 10.0)
    assert _grown((2.0, 10.0), [((9.0, 20.0),), ((-5.0, 9.5), (25.0, 30.0)), ((-9.0, -5.0),)]) == (-5.0, 20.0)
    left, right = (((x, 0.0), (x + 10.0, 0.0), (x + 10.0, 8.0), (x, 8.0)) for x in (5.0, 15.0))
    assert band_spans([left, right], 0.0, 8.0) == ((5.0, 25.0),)


def test_how_often_a_ring_goes_round_a_point_level_with_its_corners() -> None:
    for ring, turns in ((STAR, 1), (STAR[::-1], -1)):
        assert [_winding(ring, at) for at, _ in PLACES] == [turns * found for _, found in PLACES]


@pytest.mark.parametrize(
    ("came", "next_to"),
    [((1.0, 0.0), 2), ((-1.0, 0.2), 3), ((-0.3, 1.0), 3), ((0.0, -1.0), 1), (None, 1)],
)
def test_the_side_that_turns_most_to_the_left(came: Point | None, next_to: int) -> None:
    """From (50, 20), sides lead east (1), north-west (2) and south (3)."""
    choices: Any = [((60.0, 20.0), 1), ((45.0, 25.0), 2), ((50.0, 3.0), 3)]
    assert slabs._leftmost((50.0, 20.0), choices, came) == next_to
    assert slabs._leftmost((50.0, 20.0), choices[1:2], (7.0, 1.0)) == 2


def test_triangles_without_area_have_no_normal() -> None:
    nodes = np.array([(5.0, 1.0, 2.0), (9.0, 1.0, 2.0), (5.0, 7.0, 2.0), (7.0, 1.0, 2.0)])
    corners = np.array([(0, 1, 2), (0, 1, 3), (1, 1, 1), (2, 1, 0)])
    with np.errstate(all="raise"):
        normals, areas, heights = net._measured(nodes, corners)
    assert normals.tolist() == [[0.0, 0.0, 1.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, -1.0]]
    assert areas.tolist() == [12.0, 0.0, 0.0, 12.0]
    assert heights.tolist() == pytest.approx([24.0 / 52.0**0.5, 0.0, 0.0, 24.0 / 52.0**0.5])


def test_the_height_at_a_place_of_a_top() -> None:
    """At a step the higher side; past an end the height of that end."""
    top = ((2.0, 4.0), (10.0, 8.0), (10.0, 20.0), (20.0, 50.0), (30.0, 40.0))
    for x, height in ((2.0, 4.0), (6.0, 6.0), (10.0, 8.0), (15.0, 35.0), (28.0, 42.0), (1.0, 4.0), (31.0, 40.0)):
        assert _step_height(top, x) == pytest.approx(height)
    assert _step_height(((5.0, 3.0), (5.0, 9.0), (8.0, 1.0)), 5.0) == 9.0


def test_tops_lose_what_lies_on_a_straight_away_from_their_start() -> None:
    top = ((0.0, 0.0), (10.0, 5.0), (20.0, 15.0), (30.0, 25.0), (40.0, 40.0))
    assert tidy(top, 40.0) == ((0.0, 0.0), (10.0, 5.0), (30.0, 25.0), (40.0, 40.0))
    assert tidy(((3.0, 7.0),), 40.0) == ((0.0, 7.0), (40.0, 7.0))
    assert raised(((0.0, 10.0), (5.0, 10.0), (9.0, 14.0)), 10.0) == ((0.0, 10.0), (5.0, 10.0), (9.0, 14.0))
    assert raised(((0.0, 6.0), (8.0, 14.0)), 10.0) == ((0.0, 10.0), (4.0, 10.0), (8.0, 14.0))


def test_half_way_to_the_next_of_an_axis_directions() -> None:
    assert off_axis(pi / 4.0, 0.0) == pi / 4.0
    assert off_axis(pi / 4.0 + 0.01, 0.0) == pytest.approx(0.01 - pi / 4.0)
    assert off_axis(1.0, 1.2) == pytest.approx(-0.2)


def loop(*points: Point) -> list[Any]:
    start = len(LAID)
    LAID.extend(points)
    count = len(points)
    return [SimpleNamespace(plan=(start + k, start + (k + 1) % count)) for k in range(count)]


LAID: list[Point] = []


def test_outlines_and_holes_by_their_size() -> None:
    """Each from its lowest left corner, greatest first; a line there and back is neither."""
    LAID.clear()
    outline = [
        *loop((90.0, 5.0), (99.0, 5.0), (99.0, 9.0), (90.0, 9.0)),
        *loop((5.0, 2.0), (5.0, 3.0), (6.0, 3.0), (6.0, 2.0)),
        *loop((20.0, 20.0), (0.0, 20.0), (0.0, 0.0), (10.0, 0.0), (20.0, 0.0)),
        *loop((9.0, 8.0), (9.0, 12.0), (15.0, 12.0), (15.0, 8.0)),
    ]
    borders: Any = SimpleNamespace(points=tuple(LAID), outline=outline)
    outer, holes = outline_rings(borders, 0.5)
    assert outer == (
        ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)),
        ((90.0, 5.0), (99.0, 5.0), (99.0, 9.0), (90.0, 9.0)),
    )
    assert holes == (
        ((9.0, 8.0), (9.0, 12.0), (15.0, 12.0), (15.0, 8.0)),
        ((5.0, 2.0), (5.0, 3.0), (6.0, 3.0), (6.0, 2.0)),
    )


@pytest.mark.parametrize(
    ("along", "number", "on_leg", "on_run"),
    [(-0.005, 0, 0.0, 0.0), (0.0, 0, 0.0, 0.0), (3.0, 0, 3.0, 3.0), (10.005, 0, 10.0, 10.0), (16.0, 1, 6.0, 16.0)],
)
def test_where_water_lands_in_a_run(
    monkeypatch: pytest.MonkeyPatch, along: float, number: int, on_leg: float, on_run: float
) -> None:
    legs = [
        SimpleNamespace(edge=f"E{k}", length_mm=10.0, a_mm=(10.0 * k, 5.0, 1.0), b_mm=(10.0 * k + 10.0, 5.0, 1.0))
        for k in (0, 1)
    ]
    run: Any = SimpleNamespace(roof="A", legs=legs)
    landing: Any = SimpleNamespace(edge=f"E{number}", curtain=SimpleNamespace(a=(along, 5.0, 1.0)))
    monkeypatch.setattr(spreading, "_given", lambda *given: given[1:4])
    assert spreading._with(run, "A", "a spout", landing) == (number, on_leg, on_run)  # type: ignore[arg-type, comparison-overlap]
    assert spreading._with(run, "B", "a spout", landing) is run  # type: ignore[arg-type]


def test_water_past_the_end_of_a_gutter_keeps_its_order() -> None:
    piece: Any = SimpleNamespace(along=lambda at: at[0], length=10.0)
    for a, b, found in ((12.0, 15.0, (10.0, 10.0, 3.0, 4.0)), (2.0, 5.0, (2.0, 5.0, 3.0, 4.0)), (8.0, -1.0, (0.0, 8.0, 4.0, 3.0))):  # fmt: skip
        water = Curtain((a, 0.0, 0.0), (b, 0.0, 0.0), 3.0, 4.0, 30.0, plane="P2", rain_deg=25.0)
        flow = drainage._inflow(piece, water)
        assert flow == type(flow)(*found, "P2", 25.0)


def test_the_top_of_a_drawn_face_left_of_and_past_a_corner() -> None:
    import shapely

    house = shapely.Polygon([(0.0, 10.0), (20.0, 10.0), (20.0, 11.0), (10.0, 20.0), (0.0, 20.0)])
    assert wall_sides._tops(house, 20.0) == [((0.0, 20.0), (10.0, 20.0), (10.0, 20.0), (20.0, 11.0))]
    # a gap no wider than the grid ends no stretch, a wider one does
    for gap, count in ((0.5 * wall_sides._GRID_MM, 1), (3.0 * wall_sides._GRID_MM, 2)):
        both = shapely.MultiPolygon([shapely.box(0.0, 0.0, 8.0, 5.0), shapely.box(8.0 + gap, 0.0, 20.0, 6.0)])
        assert len(wall_sides._tops(both, 20.0)) == count


@pytest.mark.parametrize("first", [0, 1, 2])
@pytest.mark.parametrize("corner", [(3.0, 1.0), (33.0, 41.0), (18.0, 21.0)])
def test_an_upright_triangle_stands_on_its_longest_stretch(first: int, corner: Point) -> None:
    """From (3, 1) to (33, 41), which is 50 long: its third corner stands over an end or between them."""
    corners = [(3.0, 1.0), (33.0, 41.0), corner]
    plan = np.array([corners[first:] + corners[:first]])
    (line,) = outer_line._lines(plan)
    past = outer_line._CLOSES_MM
    low, high = (3.0 - 0.6 * past, 1.0 - 0.8 * past), (33.0 + 0.6 * past, 41.0 + 0.8 * past)
    ends = sorted(line.coords)
    assert ends[0] == pytest.approx(low)
    assert ends[1] == pytest.approx(high)
    assert outer_line._lines(np.array([plan[0], plan[0][::-1]])) == [line]
