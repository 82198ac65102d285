"""Wall edges of a lower roof that no wall is near, and planes that do not add up to their outline: every message whole."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.findings import Finding, Severity
from takeoff.shape.faces.closure import _area_faults, input_rounding_mm, perimeter
from takeoff.shape.together import far_walls

SQUARE = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0))
COURT = ((2000.0, 2000.0), (2000.0, 3000.0), (4000.0, 3000.0), (4000.0, 2000.0))


@pytest.fixture(autouse=True)
def _one_origin(monkeypatch: pytest.MonkeyPatch) -> None:
    """Both roofs are counted from one origin here."""
    monkeypatch.setattr(far_walls, "moved", lambda roof, _: roof)


def lower(walls: set[int], numbers: Any = ()) -> Any:
    names = tuple("wall" if number in walls else "eave" for number in range(1, 9))
    return SimpleNamespace(
        name="low", origin_mm=(0.0, 0.0, 0.0), outline_mm=(SQUARE, COURT), edge_numbers=numbers, edge_names=names
    )


def higher(gap: float) -> Any:
    """A house whose wall stands `gap` east of the lower roof; its overhang reaches over it."""
    x = 9000.0 + gap
    line = ((x, 0.0), (x + 5000.0, 0.0), (x + 5000.0, 6000.0), (x, 6000.0))
    return SimpleNamespace(name="high", wall_line_mm=(line,), outline_mm=(SQUARE,))


def finding(number: int, at: tuple[float, float]) -> Finding:
    return Finding(
        "wall-edge-without-wall",
        Severity.WARN,
        f"edge {number} of low is a wall edge, but no wall of high is within 1 m of it",
        "move the roof to the wall, say another kind for the edge, or leave out below",
        refs=("low", "high"),
        at_mm=(*at, 0.0),
    )


def test_wall_edges_over_a_metre_from_every_wall_are_warned_of() -> None:
    assert far_walls.far_wall_edges(lower({2}), higher(1000.0)) == []
    assert far_walls.far_wall_edges(lower({2}), higher(1001.0)) == [finding(2, (9000.0, 3000.0))]
    assert far_walls.far_wall_edges(lower({4}), higher(0.0)) == [finding(4, (0.0, 3000.0))]
    assert far_walls.far_wall_edges(lower({5, 8}), higher(0.0)) == [
        finding(5, (2000.0, 2500.0)),
        finding(8, (3000.0, 2000.0)),
    ]
    numbers = ((8, 7, 6, 5), (4, 3, 2, 99))
    assert far_walls.far_wall_edges(lower({7, 4, 99}, numbers), higher(5000.0)) == [
        finding(7, (9000.0, 3000.0)),
        finding(4, (2000.0, 2500.0)),
    ]
    bare = higher(5000.0)
    bare.wall_line_mm = ()
    assert far_walls.far_wall_edges(lower({2}), bare) == []  # without a wall line its outline counts


def test_planes_that_do_not_cover_their_outline() -> None:
    """54 m2 less 2 of the court, 1 cut away; a billionth of it is 0.052 mm2, and four roundings along 36 m of sides."""

    def faults(area: float, rounding: float = 0.0) -> tuple[str, ...]:
        planes = (SimpleNamespace(plan_area_mm2=30e6), SimpleNamespace(plan_area_mm2=area))
        return _area_faults(
            SimpleNamespace(name="main", outline_mm=(SQUARE, COURT), planes=planes, cut_away_mm2=1e6), rounding
        )  # type: ignore[arg-type]

    assert perimeter((SQUARE, COURT)) == 36000.0
    assert [faults(21e6 + off) == () for off in (0.0, 0.05, -0.05, 0.054, -0.054)] == [True, True, True, False, False]
    # 4 x 1e-6 x 36000 is 0.144
    assert [faults(21e6 + off, 1e-6) == () for off in (0.19, -0.19, 0.2, -0.2)] == [True, True, False, False]
    assert faults(20.5e6) == (
        "roof main: its planes cover 51.500000 m2 in plan, 0.500000 m2 less than the outline's 52.000000 m2",
    )
    assert faults(21.25e6) == (
        "roof main: its planes cover 52.250000 m2 in plan, 0.250000 m2 more than the outline's 52.000000 m2",
    )
    assert input_rounding_mm(((1.0, -8.0),), ((3.0, 4.0),)) == 8.0 * input_rounding_mm(((1.0, 0.5),))
    assert input_rounding_mm() == 0.0
