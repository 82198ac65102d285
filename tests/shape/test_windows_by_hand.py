"""The cells of the skeleton engine's windows and its own checks, each against figures by hand or a second way (shapely)."""

from __future__ import annotations

from math import atan2, pi
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely
from moving_fronts import BIG, EPS, FAST, GOOD, NORTH_EAST, TINY, WHEN, along, hitting, lines, made, points

from takeoff.shape.skeleton import windows
from takeoff.shape.skeleton.check import discount_touching, snapped_area, turns_once
from takeoff.shape.skeleton.crossings import apart, within


def test_the_time_of_one_hit() -> None:
    F = hitting()
    assert windows.hit_time(F, 2, 3, 2.0, 99.0) == pytest.approx(WHEN)
    assert windows.hit_time(F, 2, 3, WHEN + 0.001, 99.0) == BIG
    assert windows.hit_time(F, 2, 3, 2.0, WHEN - 0.001) == BIG
    assert windows.hit_time(F, 2, 0, 2.0, 99.0) == BIG  # not so far
    assert windows.hit_time(F, 2, 2, 2.0, 99.0) == BIG
    F.nxt[3] = 2
    assert windows.hit_time(F, 2, 3, 2.0, 99.0) == BIG


@pytest.mark.parametrize(("offset", "found"), [(-1.0, 0), (0.0, 0), (1.9, 0), (2.0, 1), (7.99, 3), (8.0, 3), (99.0, 3)])
def test_the_row_of_an_offset(offset: float, found: int) -> None:
    assert windows.place(offset, 2.0, 4) == found


@pytest.mark.parametrize(
    ("line", "reach"),
    [
        ((0.0, 0.0, 8.0, 4.0), (2.0, 6.0)),  # from height 1 to 3
        ((8.0, 4.0, 0.0, 0.0), (2.0, 6.0)),
        ((5.0, 2.0, 7.0, 2.0), (5.0, 7.0)),
        ((5.0, 0.0, 7.0, 2.0), (6.0, 7.0)),
        ((5.0, 4.0, 7.0, 2.0), (6.0, 7.0)),
        ((5.0, 0.5, 7.0, 0.9), (99.0, -99.0)),
        ((5.0, 3.1, 7.0, 9.0), (99.0, -99.0)),
        ((5.0, 1.0, 7.0, 1.0), (5.0, 7.0)),
        ((5.0, 3.0, 7.0, 3.0), (5.0, 7.0)),
    ],
)
def test_the_range_of_a_line_between_two_heights(
    line: tuple[float, float, float, float], reach: tuple[float, float]
) -> None:
    assert windows.widen((99.0, -99.0), *line, 1.0, 3.0) == pytest.approx(reach)
    assert windows.widen((3.0, 3.5), *line, 1.0, 3.0) == pytest.approx((min(3.0, reach[0]), max(3.5, reach[1])))


@pytest.mark.parametrize(
    "quad",
    [
        [(-3.0, 8.0), (12.0, 21.0), (9.0, 47.0), (-6.0, 30.0)],
        [(61.0, 70.0), (65.0, 70.0), (65.0, 84.0), (61.0, 84.0)],
        [(-40.0, -20.0), (20.0, 9.0), (10.0, 33.0), (-33.0, 12.0)],  # reaches out of the square
        [(19.9, 24.9), (30.1, 24.9), (30.1, 35.1), (19.9, 35.1)],  # within a hundredth of a cell of four lines
        [(20.5, 25.5), (29.5, 25.5), (29.5, 34.5), (20.5, 34.5)],  # one cell
    ],
)
def test_cells_that_a_quadrilateral_touches(quad: list[tuple[float, float]]) -> None:
    """A second way: each row with its margin cut out of the quadrilateral, its bounds with theirs counted in columns."""
    F: Any = SimpleNamespace(grid=[0] * 5, window=[0.0] * 6, tol=[EPS, TINY, BIG, FAST, GOOD])
    F.grid[windows.ACROSS] = 8
    for name, value in (("LEFT", -10.0), ("BOTTOM", 5.0), ("SIZE", 80.0), ("CELL", 10.0), ("MARGIN", 10.0 / 64.0)):
        F.window[getattr(windows, name)] = value
    margin, expected = 10.0 / 64.0, []
    area = shapely.Polygon(quad)
    _, least, _, most = area.bounds
    rows = [min(max(int((y - 5.0) // 10.0), 0), 7) for y in (least - margin, most + margin)]
    for row in range(rows[0], rows[1] + 1):
        band = shapely.box(-1e3, 5.0 + 10.0 * row - margin, 1e3, 15.0 + 10.0 * row + margin)
        part = area.intersection(band)
        if part.is_empty:
            continue
        low, high = part.bounds[0] - margin, part.bounds[2] + margin
        columns = [min(max(int((x + 10.0) // 10.0), 0), 7) for x in (low, high)]
        expected += [row * 8 + column for column in range(columns[0], columns[1] + 1)]
    flat = [value for point in quad for value in point]
    assert windows.cells(F, *flat) == expected


def test_a_window_covers_so_many_cells_for_so_long() -> None:
    """Five pieces: three cells across (3 x 3 holds 5), or two where no more are allowed; as long as fronts of that pace take to
    sweep half the cells: 0 + 30 x 5 x 2 / (2 x (3 x 0.5 + 2 x 0.25))."""
    moving = points(*[(k * 10.0, 0.0, 0.0, 0.0, 0.1) for k in range(5)])
    for most, across, cell in ((9, 3, 30.0), (2, 2, 45.0)):
        F = made(
            lines((0.0, 1.0, 0.0, 0.5), (0.0, 1.0, 0.0, 0.25)),
            moving,
            own=[0, 0, 0, 1, 1],
            grid=[0] * 5,
            window=[0.0] * 6,
        )
        F.grid[windows.MOST] = most
        F.window[windows.SIZE] = 90.0
        F.piece_head, F.path_head = [7] * most**2, [7] * most**2
        F.entry_who, F.entry_next = [0] * 400, [0] * 400
        windows.open_window(F, [], 1.0, 2)
        assert (F.grid[windows.ACROSS], F.window[windows.CELL], F.window[windows.MARGIN]) == (across, cell, cell / 64.0)
        assert F.window[windows.END] == pytest.approx(1.0 + cell * 5.0 * 2.0 / (2.0 * 2.0))
        assert F.grid[windows.ON] == windows.YES
        assert set(F.path_head[: across**2]) == {-1}
        found = set()
        for head in F.piece_head[: across**2]:
            while head >= 0:
                found.add(F.entry_who[head])
                head = F.entry_next[head]
        assert found == {0, 1, 2, 3, 4}
        tight = made(
            lines((0.0, 1.0, 0.0, 0.5)),
            moving,
            grid=[0] * 5,
            window=list(F.window),
            piece_head=[0] * 81,
            path_head=[0] * 81,
        )
        tight.grid[windows.MOST] = most
        used = F.grid[windows.USED]
        for room, on in ((2 * used, windows.YES), (2 * used - 1, windows.NO)):
            tight.entry_who, tight.entry_next = [0] * room, [0] * room
            windows.open_window(tight, [], 1.0, 8)
            assert tight.grid[windows.ON] == on


def test_entries_in_cells_are_chained_while_there_is_room() -> None:
    F: Any = SimpleNamespace(grid=[0] * 5, entry_who=[0] * 3, entry_next=[9] * 3)
    head = [-1, -1, -1]
    windows.enter(F, 5, head, [0, 2])
    windows.enter(F, 6, head, [2])
    assert (head, F.entry_who, F.entry_next, F.grid[windows.USED]) == ([0, -1, 2], [5, 5, 6], [-1, -1, 1], 3)
    windows.enter(F, 7, head, [1])
    assert (head, F.grid[windows.ON], F.grid[windows.USED]) == ([0, -1, 2], windows.FULL, 3)


# checks


def edge(ax: float, ay: float, bx: float, by: float) -> Any:
    return SimpleNamespace(ax=ax, ay=ay, bx=bx, by=by)


def test_edges_that_lie_clear_of_each_other() -> None:
    one = edge(1.0, 2.0, 4.0, 6.0)  # 3, 4, 5

    def other(s0: float, up0: float, s1: float, up1: float) -> Any:
        return edge(*along(NORTH_EAST, s0, up0), *along(NORTH_EAST, s1, up1))

    assert apart(one, other(-3.0, 0.1, 9.0, 0.2))
    assert apart(one, other(-3.0, -0.1, 9.0, -0.2))
    assert not apart(one, other(1.0, 0.1, 2.0, -0.2))
    assert not apart(one, other(1.0, -0.1, 2.0, 0.2))
    assert not apart(one, other(1.0, 0.0, 2.0, 0.2))
    assert not apart(one, other(1.0, 0.2, 2.0, 0.0))
    assert not apart(one, other(1.0, -0.2, 2.0, 0.0))


def test_corners_inside_a_ring() -> None:
    ring = [
        edge(0.0, 0.0, 6.0, 1.0),
        edge(6.0, 1.0, 7.0, 5.0),
        edge(7.0, 5.0, 3.0, 2.0),
        edge(3.0, 2.0, 0.0, 4.0),
        edge(0.0, 4.0, 0.0, 0.0),
    ]
    area = shapely.Polygon([(one.ax, one.ay) for one in ring])
    for x in np.arange(-0.73, 8.0, 0.9):
        for y in np.arange(-0.41, 6.0, 0.7):
            edges = [*ring, edge(x, y, 0.0, 0.0)]
            assert within(edges, 5, range(5)) is area.contains(shapely.Point(x, y))


def test_a_ring_turns_once() -> None:
    nodes = [(0.0, 0.0, 0.0), (6.0, 1.0, 0.0), (7.0, 5.0, 0.0), (3.0, 2.0, 0.0), (0.0, 4.0, 0.0)]
    turn = [0.5] * 5
    assert turns_once([0, 1, 2, 3, 4], 1, nodes, turn)
    ring = np.array([node[:2] for node in nodes])
    for k in range(5):
        a, b = ring[(k + 1) % 5] - ring[k], ring[k - 1] - ring[k]
        inner = (atan2(b[1], b[0]) - atan2(a[1], a[0])) % (2.0 * pi)
        assert turn[k] == pytest.approx(0.5 + inner)
    assert not turns_once([4, 3, 2, 1, 0], 1, nodes, [0.0] * 5)
    assert turns_once([4, 3, 2, 1, 0], -1, nodes, [0.0] * 5)
    assert not turns_once([0, 2, 1, 3, 4], 1, nodes, [0.0] * 5)


def test_holes_that_touch_are_counted_once() -> None:
    part: Any = SimpleNamespace(outer=[0, 1, 2], holes=[[2, 3, 4], [4, 5, 6]])
    turn = [7.0] * 7
    discount_touching(part, turn)
    assert turn == pytest.approx([7.0, 7.0, 7.0 - 2.0 * pi, 7.0, 7.0 - 2.0 * pi, 7.0, 7.0])


def test_area_that_snapping_moved() -> None:
    """Edges of |dx| + |dy| = 7 and 4 whose ends lie 0.25 at most and 0.5 off their lines; the first line of an edge counts."""
    plan: Any = SimpleNamespace(edges=[edge(0.0, 0.1, 7.0, -0.25), edge(1.0, 2.0, 1.5, -1.5)])
    solution: Any = SimpleNamespace(
        lines=SimpleNamespace(edge=[0, 0, 1], nx=[0.0, 9.0, 1.0], ny=[1.0, 9.0, 0.0], c=[0.0, 9.0, 1.0])
    )
    assert snapped_area(plan, solution) == pytest.approx((7.0 + 0.35) * 0.25 + (0.5 + 3.5) * 0.5)
