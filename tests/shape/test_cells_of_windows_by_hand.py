"""Who looks at whom in a window of cells: pieces, paths and the entries in a point's cell, by hand."""

from __future__ import annotations

from typing import Any

import pytest
from moving_fronts import BIG, EPS, WHEN, hitting, lines, made, points

from takeoff.shape.skeleton import windows
from takeoff.shape.skeleton.front import HIT
from takeoff.shape.skeleton.windows import ACROSS, BOTTOM, CELL, END, LEFT, MARGIN, ON, SEEN, SIZE, USED, YES


def gridded(F: Any, across: int = 4, size: float = 16.0, end: float = 20.0) -> Any:
    """The front with an open window of cells from (-2, -3) on, nothing entered yet."""
    F.grid = [0] * 5
    F.grid[ON], F.grid[ACROSS] = YES, across
    F.window = [0.0] * 6
    for place, value in (
        (LEFT, -2.0),
        (BOTTOM, -3.0),
        (SIZE, size),
        (CELL, size / across),
        (MARGIN, size / across / 64.0),
        (END, end),
    ):
        F.window[place] = value
    F.piece_head, F.path_head = [-1] * across**2, [-1] * across**2
    F.entry_who, F.entry_next = [0] * 50, [0] * 50
    F.seen = [0] * len(F.px)
    return F


def test_a_piece_sweeps_from_now_to_the_windows_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """At 3 its ends are where they were at 1 and 2 and so much of their ways on; at 5 two times their ways further."""
    F = gridded(made(lines(), points((2.0, 3.0, 1.0, 0.5, 1.0), (6.0, 3.5, 2.0, -0.25, 0.75))), end=5.0)
    monkeypatch.setattr(windows, "cells", lambda _, *corners: [corners])
    assert windows.piece_cells(F, 0, 3.0) == [(3.0, 5.0, 5.75, 4.25, 5.25, 5.75, 4.0, 7.0)]


def entered(F: Any, which: str, **where: list[int]) -> Any:
    for who, cells in where.items():
        windows.enter(F, int(who[1:]), getattr(F, which), cells)
    return F


def test_a_reflex_corner_looks_in_the_cells_of_its_path(monkeypatch: pytest.MonkeyPatch) -> None:
    """It runs from (4.5, 2) at 2 to the window's end; the first piece it hits of those alive in its cells; then its path is entered."""
    asked: list[Any] = []
    F = gridded(hitting(), end=8.0)
    monkeypatch.setattr(windows, "cells", lambda _, *corners: asked.append(corners) or [5, 6])
    entered(F, "piece_head", v3=[5, 6], v0=[6], v1=[9])
    windows.aim_in_cells(F, heap := [], 2, 2.0, False)
    assert asked == [(4.5, 2.0, 4.5, 2.0, 7.5, 8.0, 7.5, 8.0)]
    assert heap == [(pytest.approx(WHEN), HIT, 2, 3)]
    assert (F.hit_t[2], F.grid[SEEN], F.seen) == (pytest.approx(WHEN), 1, [1, 0, 0, 1, 0])
    assert [F.entry_who[F.path_head[k]] for k in (5, 6)] == [2, 2]
    assert F.grid[USED] == 6
    # beyond the window's end it hits nothing yet, but for the snap; nor what is no more
    for end, hits in ((WHEN - EPS * 0.9, 1), (WHEN - EPS * 1.1, 0)):
        F.window[END] = end
        windows.aim_in_cells(F, heap := [], 2, 2.0, False)
        assert len(heap) == hits
        assert (F.hit_t[2] == BIG) is (hits == 0)
    F.window[END], F.alive[3] = 8.0, 0
    windows.aim_in_cells(F, heap := [], 2, 2.0, False)
    assert heap == []
    F.alive[3] = 1
    # what met at its point cannot be hit now by one made now; a hit just past is taken now
    for now, fresh, hits in (
        (WHEN - EPS * 0.9, True, []),
        (WHEN - EPS * 1.1, True, [WHEN]),
        (WHEN + EPS * 0.9, False, [WHEN + EPS * 0.9]),
        (WHEN + EPS * 1.1, False, []),
    ):
        windows.aim_in_cells(F, heap := [], 2, now, fresh)
        assert [row[0] for row in heap] == [pytest.approx(t) for t in hits]


def test_reflex_corners_whose_paths_a_new_piece_sweeps_are_aimed_at_it(monkeypatch: pytest.MonkeyPatch) -> None:
    F = gridded(hitting(), end=8.0)
    monkeypatch.setattr(windows, "piece_cells", lambda _, a, now: [5, 6] if (a, now) == (3, 2.0) else [7])
    entered(F, "path_head", v2=[5, 6], v4=[5], v1=[9])
    windows.aim_at_piece_in_cells(F, heap := [], 3, 2.0)
    assert heap == [(pytest.approx(WHEN), HIT, 2, 3)]
    assert (F.hit_t[2], F.grid[SEEN], F.seen) == (pytest.approx(WHEN), 1, [0, 0, 1, 0, 1])
    assert [F.entry_who[F.piece_head[k]] for k in (5, 6)] == [3, 3]
    windows.aim_at_piece_in_cells(F, heap := [], 3, 2.0)  # known already
    assert heap == []
    F.hit_t[2] = BIG
    for speed, which in ((-1.0, 3), (-1.0, 4)):  # an end without a motion of its own: entered, but aimed at by none
        old, F.speed[which] = F.speed[which], speed
        used = F.grid[USED]
        windows.aim_at_piece_in_cells(F, heap := [], 3, 2.0)
        assert (heap, F.grid[USED]) == ([], used + 2)
        F.speed[which] = old
    F.alive[2] = 0
    windows.aim_at_piece_in_cells(F, heap := [], 3, 2.0)
    assert heap == []
    F.alive[2] = 1
    for end, hits in ((WHEN - EPS * 0.9, 1), (WHEN - EPS * 1.1, 0)):
        F.window[END], F.hit_t[2] = end, BIG
        windows.aim_at_piece_in_cells(F, heap := [], 3, 2.0)
        assert len(heap) == hits


@pytest.mark.parametrize(
    ("now", "made_at", "hits"), [(0.009, None, 1), (0.011, None, 0), (-0.009, -0.005, 0), (-0.02, -0.005, 1)]
)
def test_a_corner_made_now_hits_nothing_now(
    monkeypatch: pytest.MonkeyPatch, now: float, made_at: float | None, hits: int
) -> None:
    """By how long before or after the hit it is now, and when the corner was made."""
    F = gridded(hitting(), end=8.0)
    monkeypatch.setattr(windows, "piece_cells", lambda *_: [5])
    entered(F, "path_head", v2=[5])
    if made_at is not None:
        t0 = WHEN + made_at
        F.px[2], F.py[2], F.pt[2] = 4.0 + 0.5 * (t0 - 1.0), 1.0 + (t0 - 1.0), t0
    windows.aim_at_piece_in_cells(F, heap := [], 3, WHEN + now)
    assert [row[0] for row in heap] == [pytest.approx(max(WHEN, WHEN + now))] * hits


@pytest.mark.parametrize(
    ("at", "cell"),
    [
        ((-2.0, -3.0), 0),
        ((1.9, 0.9), 0),
        ((2.1, 0.9), 1),
        ((1.9, 1.1), 4),
        ((13.9, 12.9), 15),
        ((99.0, 99.0), 15),
        ((-9.0, 5.5), 8),
        ((5.5, -9.0), 1),
    ],
)
def test_pieces_at_a_point_are_those_of_its_cell(at: tuple[float, float], cell: int) -> None:
    """Each once, the last entered first, and only while alive; without a grid all there are."""
    F = gridded(made(lines(), points(*[(0.0,) * 5] * 6)))
    entered(F, "piece_head", v1=[cell, cell], v2=[cell], v3=[(cell + 1) % 16], v4=[cell])
    F.alive[2] = 0
    assert windows.pieces_at(F, *at) == [4, 1]
    assert F.grid[SEEN] == 1
    assert windows.pieces_at(F, *at) == [4, 1]
    F.grid[ON] = 0
    F.act, F.tally[3] = [5, 3, 0], 2
    assert windows.pieces_at(F, *at) == [5, 3]


@pytest.mark.parametrize(("made_at", "fresh"), [(5.0, True), (4.991, True), (4.989, False)])
def test_one_made_now_looks_as_one_made_now(monkeypatch: pytest.MonkeyPatch, made_at: float, fresh: bool) -> None:
    told: list[Any] = []
    monkeypatch.setattr(
        windows, "aim_in_cells", lambda _, heap, v, now, fresh: told.append(("cells", heap, v, now, fresh))
    )
    monkeypatch.setattr(windows, "aim", lambda _, heap, v, now, fresh: told.append(("all", heap, v, now, fresh)))
    F = gridded(made(lines(), points((0.0, 0.0, made_at, 0.0, 0.0))))
    windows.look_ahead(F, [1], 0, 5.0)  # type: ignore[list-item]
    F.grid[ON] = 2
    windows.look_ahead(F, [1], 0, 5.0)  # type: ignore[list-item]
    assert told == [("cells", [1], 0, 5.0, fresh), ("all", [1], 0, 5.0, fresh)]


@pytest.mark.parametrize(
    ("p", "q", "found"),
    [
        ((0.0, 2.0), (8.0, 6.0), (2.0, 4.0)), ((8.0, 6.0), (0.0, 2.0), (2.0, 4.0)), ((0.0, 3.5), (8.0, 3.5), (0.0, 8.0)), ((0.0, 2.9), (8.0, 2.9), (99.0, -99.0)),
        ((0.0, 4.1), (8.0, 4.1), (99.0, -99.0)), ((5.0, 0.0), (5.0, 9.0), (5.0, 5.0)), ((1.0, 3.0), (7.0, 4.0), (1.0, 7.0)), ((0.0, 3.5), (8.0, 5.5), (0.0, 2.0)),
        ((0.0, 5.5), (8.0, 3.5), (6.0, 8.0)),
    ],
)  # fmt: skip
def test_the_part_of_a_line_between_two_heights(
    p: tuple[float, float], q: tuple[float, float], found: tuple[float, float]
) -> None:
    assert windows.widen((99.0, -99.0), *p, *q, 3.0, 4.0) == pytest.approx(found)
