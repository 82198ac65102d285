"""The steps of laying one plan over another, each by hand on a few edges. Lengths in mm."""

from __future__ import annotations

import sys
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest

from takeoff.model.snapshot import SeenEdge
from takeoff.order.comparing import lay_over as laying
from takeoff.order.comparing.lay_over import Motion, lay_over

sys.path.insert(0, str(Path(__file__).parent))

from seen_plans import edge, seen


def ray(name: str, deg: float, long: float, at: tuple[float, float] = (0.0, 0.0), kind: str = "eave") -> SeenEdge:
    """An edge from a place in a direction, anticlockwise from east."""
    end = (at[0] + long * cos(radians(deg)), at[1] + long * sin(radians(deg)))
    return edge(name, kind, at, end)


def test_edges_that_may_be_one() -> None:
    """Of one kind, and of lengths that differ by no more than 2."""
    one = edge("E1", "eave", (100.0, 200.0), (5100.0, 200.0))
    rows = {5002.0: True, 5002.1: False, 4998.0: True, 4997.9: False}
    assert {long: laying._alike(one, edge("E2", "eave", (7.0, 7.0), (7.0, 7.0 + long))) for long in rows} == rows
    assert not laying._alike(one, edge("H1", "hip", (100.0, 200.0), (5100.0, 200.0)))


@pytest.mark.parametrize(
    ("old", "new", "turn"),
    [(30.0, 100.0, 70.0), (100.0, 30.0, -70.0), (170.0, -170.0, 20.0), (-170.0, 170.0, -20.0), (0.0, 180.0, -180.0)],
)
def test_the_turn_of_one_edge(old: float, new: float, turn: float) -> None:
    assert laying._turns([ray("E1", old, 5000.0)], [ray("E2", new, 5000.0, (300.0, 400.0))]) == [pytest.approx(turn)]


def test_the_turns_that_most_length_of_edge_speaks_for() -> None:
    """Within a twentieth of a degree they are one, by their lengths; four are looked into, of as much length the least turn."""
    old = [
        ray("a", 0.0, 1000.0),
        ray("b", 0.0, 3000.0),
        ray("c", 0.0, 5000.0),
        ray("d", 0.0, 6000.0),
        ray("e", 0.0, 500.0),
        ray("f", 0.0, 5000.0, kind="hip"),
    ]
    new = [
        ray("a", 10.0, 1000.0),
        ray("b", 10.016, 3000.0),
        ray("c", -40.0, 5000.0),
        ray("d", 90.0, 6000.0),
        ray("e", 70.0, 500.0),
        ray("f", 33.0, 5000.0, kind="hip"),
    ]
    assert laying._turns(old, new) == [pytest.approx(deg) for deg in (90.0, 33.0, -40.0, 10.012)]
    assert laying._turns(old[:1], [ray("a", 5e-7, 1000.0)]) == [0.0]
    assert laying._turns(old[:1], [ray("a", 2e-6, 1000.0)]) == [pytest.approx(2e-6)]
    assert laying._turns(old[:1], new[1:]) == []


def test_the_shifts_that_most_length_of_edge_speaks_for() -> None:
    """Turned by 90 degrees an edge from (1000, 0) to (3000, 0) runs from (0, 1000) to (0, 3000). Shifts within 5 are one, their
    middle; an edge that runs another way speaks for none."""
    old = [edge("a", "eave", (1000.0, 0.0), (3000.0, 0.0)), edge("b", "eave", (0.0, 0.0), (0.0, 500.0))]
    new = [edge("c", "eave", (700.0, 1400.0), (700.0, 3400.0)), edge("d", "eave", (700.0, 400.0), (702.0, 2400.0)),
           edge("e", "eave", (698.0, 1402.0), (698.0, 3402.0)), edge("f", "eave", (9.0, 9.0), (2009.0, 9.0)), edge("g", "eave", (200.0, 400.0), (-300.0, 400.0))]  # fmt: skip
    assert laying._shifts(old, new, 90.0) == [
        pytest.approx((699.0, 401.0)), pytest.approx((700.0, -600.0)), pytest.approx((200.0, 400.0))
    ]  # fmt: skip
    assert laying._shifts(old[:1], [edge("d", "eave", (700.0, 400.0), (702.1, 2400.0))], 90.0) == []
    many = [edge(f"e{n}", "eave", (100.0 * n, 0.0), (100.0 * n + 2000.0, 0.0)) for n in (9, 7, 5, 3, 2)]
    assert laying._shifts(old[:1], many, 0.0) == [(-800.0, 0.0), (-700.0, 0.0), (-500.0, 0.0), (-300.0, 0.0)]


def test_edges_by_where_they_begin() -> None:
    own = [
        edge("a", "eave", (-50.0, 250.0), (900.0, 0.0)),
        edge("b", "eave", (99.9, 100.0), (900.0, 0.0)),
        edge("c", "hip", (-1.0, 299.0), (5.0, 5.0)),
    ]
    cells = laying._by_cell(own)
    assert {cell: [one.id for one in edges] for cell, edges in cells.items()} == {(-1, 2): ["a", "c"], (0, 1): ["b"]}


@pytest.mark.parametrize(
    ("a", "b", "kind", "falls"),
    [
        ((0.0, 0.0), (0.0, 0.0), "eave", True),
        ((2.0, 0.0), (0.0, -2.0), "eave", True),
        ((-2.0, 0.0), (0.0, 2.0), "eave", True),
        ((0.0, -2.0), (2.0, 0.0), "eave", True),
        ((0.0, 2.0), (-2.0, 0.0), "eave", True),
        ((-1.4, -1.4), (0.0, 0.0), "eave", True),
        ((2.1, 0.0), (0.0, 0.0), "eave", False),
        ((0.0, 0.0), (0.0, 2.1), "eave", False),
        ((0.0, -2.1), (0.0, 0.0), "eave", False),
        ((0.0, 0.0), (-2.1, 0.0), "eave", False),
        ((1.9, 1.9), (0.0, 0.0), "eave", False),
        ((0.0, 0.0), (0.0, 0.0), "verge", False),
    ],
)
@pytest.mark.parametrize("start", [(300.0, 500.0), (299.5, 499.5), (-0.5, 0.5), (199.0, 700.5)])
def test_length_of_the_edges_that_fall_on_one(a: Any, b: Any, kind: str, falls: bool, start: Any) -> None:
    """Two edges of 1300 and 500, the longer one's ends off by so much, wherever the grid's lines run; laid over by a shift."""
    x, y = start
    new = [
        edge("n1", kind, (x + a[0], y + a[1]), (x + 500.0 + b[0], y + 1200.0 + b[1])),
        edge("n2", "hip", (x, y), (x + 300.0, y + 400.0)),
    ]
    old = [
        edge("o1", "eave", (0.0, 0.0), (500.0, 1200.0)),
        edge("o2", "hip", (0.0, 0.0), (300.0, 400.0)),
        edge("o3", "hip", (9.0, 9.0), (309.0, 9.0)),
    ]
    found = laying._score(old, laying._by_cell(new), Motion(0.0, start))
    assert found == pytest.approx(1800.0 if falls else 500.0)


def test_the_longest_edges_that_tell_a_direction(monkeypatch: pytest.MonkeyPatch) -> None:
    """A ridge's ends come in any order; of as long ones the first by name."""
    own = [
        ray("c", 0.0, 500.0),
        ray("b", 50.0, 900.0001),
        ray("a", 10.0, 900.0),
        ray("r", 0.0, 9000.0, kind="ridge"),
        ray("d", 0.0, 600.0, (50.0, 70.0), "hip"),
    ]
    assert [one.id for one in laying._longest(own)] == ["a", "b", "d", "c"]
    monkeypatch.setattr(laying, "_MOST_EDGES", 3)
    assert [one.id for one in laying._longest(own)] == ["a", "b", "d"]
    assert laying._extent([ray("a", 0.0, 500.0, (-30.0, 70.0)), edge("b", "hip", (20.0, -90.0), (10.0, 400.0))]) == (
        -30.0,
        -90.0,
        470.0,
        400.0,
    )


@pytest.mark.parametrize(
    ("at", "shift"),
    [
        # nothing is alike: as it is where the extents touch, from (-300, 200) to (700, 1200)
        ((700.0, 1200.0), (0.0, 0.0)),
        ((-700.0, -200.0), (0.0, 0.0)),
        ((-700.0, 1200.0), (0.0, 0.0)),
        # else middle on middle: (200, 700) on (at + 200, at + 200)
        ((700.1, 1200.0), (700.1, 700.0)),
        ((700.0, 1200.1), (700.0, 700.1)),
        ((-700.1, -200.0), (-700.1, -700.0)),
        ((-700.0, -200.1), (-700.0, -700.1)),
    ],
)
def test_plans_on_which_no_edge_falls(at: tuple[float, float], shift: tuple[float, float]) -> None:
    old = seen(edges=(edge("a", "eave", (-300.0, 200.0), (700.0, 1200.0)),))
    x, y = at
    new = seen(edges=(edge("b", "hip", (x, y), (x + 400.0, y)), edge("c", "hip", (x, y), (x, y + 400.0))))
    found = lay_over(old, new)
    assert (found.turn_deg, found.shift) == (0.0, pytest.approx(shift))
    assert lay_over(old, seen()) == lay_over(seen(), new) == Motion()


def test_of_motions_that_lay_as_much_over_the_least() -> None:
    """A square falls on itself turned by 0, 90 and 180; a pair of alike eaves is shifted as little as may be."""
    corners = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 5000.0), (0.0, 5000.0))
    ring = tuple(
        edge(f"E{n}", "eave", a, b) for n, (a, b) in enumerate(zip(corners, (*corners[1:], corners[0]), strict=True))
    )
    assert lay_over(seen(edges=ring), seen(edges=ring)) == Motion()
    near, far = (edge(name, "eave", (x, 0.0), (x + 5000.0, 0.0)) for name, x in (("a", 300.0), ("b", 900.0)))
    found = lay_over(seen(edges=(edge("E1", "eave", (0.0, 0.0), (5000.0, 0.0)),)), seen(edges=(far, near)))
    assert (found.turn_deg, found.shift) == (0.0, (300.0, 0.0))


@pytest.mark.parametrize(
    ("turn", "shift", "words"),
    [
        (0.05, (2.0, 0.0), ""),
        (0.06, (0.0, 0.0), "old plan turned by 0.1 degrees"),
        (-0.06, (1.6, 1.3), "old plan turned by -0.1 degrees and shifted by 2 mm east and 1 mm north"),
    ],
)
def test_what_is_too_little_to_be_said(turn: float, shift: tuple[float, float], words: str) -> None:
    assert Motion(turn, shift).words == words
