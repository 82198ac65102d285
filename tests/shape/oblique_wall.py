"""A wall of 5 m whose way is (3, 4, 5), and planes over the plan, for tests with figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.roof import Frame
from takeoff.model.walls import Corner
from takeoff.shape.walls.wall_edges import WallEdge

OUT = Corner("external", 90.0)
Point = tuple[float, float]


def wall(
    left: Point = (1000.0, 2000.0), right: Point = (4000.0, 6000.0), number: int = 1, named: str = "eave"
) -> WallEdge:
    """A wall of 5 m; its way is (0.6, 0.8), outside lies to the right of it: (0.8, -0.6)."""
    return WallEdge(number, left, right, OUT, OUT, number, 600.0, named, named == "gable")


def at(along: float, out: float) -> Point:
    """A place by how far along the wall and outside of it."""
    return (1000.0 + 0.6 * along + 0.8 * out, 2000.0 + 0.8 * along - 0.6 * out)


def plane(*ring: Point, low: float = 2400.0, fall: float = 0.0) -> Any:
    """A plane over a ring of the plan (axes of the plan): z = low + fall x y."""
    square = (1.0 + fall * fall) ** 0.5
    frame = Frame(
        (0.0, 0.0, low), (1.0, 0.0, 0.0), (0.0, 1.0 / square, fall / square), (0.0, -fall / square, 1.0 / square)
    )
    return SimpleNamespace(id="P1", frame=frame, rings_uv=(tuple((x, y * square) for x, y in ring),))


def near(found: Any, expected: Any) -> bool:
    """Whether rows of figures are alike to a thousandth."""
    rows, wanted = list(found), list(expected)
    return len(rows) == len(wanted) and all(
        one == pytest.approx(other, abs=1e-3) for one, other in zip(rows, wanted, strict=True)
    )
