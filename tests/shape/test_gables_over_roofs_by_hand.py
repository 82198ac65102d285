"""Walls and gables over roofs: where their water falls, and eaves of a degree; figures by hand."""

from __future__ import annotations

from math import radians, tan
from types import SimpleNamespace
from typing import Any

import pytest
from oblique_wall import at

from takeoff.model.roof import Frame, UprightKind
from takeoff.shape.outline.rises import EdgeRise, plate_heights
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep
from takeoff.shape.water import wall_water


def gable(ux: float, uy: float, *ring: tuple[float, float]) -> Any:
    frame = Frame((1300.0, -700.0, 2500.0), (ux, uy, 0.0), (0.0, 0.0, 1.0), (uy, -ux, 0.0))
    return SimpleNamespace(id="U1", frame=frame, rings_uv=(ring,), area_mm2=3e6)


@pytest.mark.parametrize(("ux", "uy"), [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (0.6, 0.8)])
def test_a_gables_foot_runs_between_its_ends_furthest_apart(ux: float, uy: float) -> None:
    """A ring begun within its foot: from 3000, 4000 lies 1000 off and 0 lies 3000 off. Counted from the plan's origin."""
    house: Any = SimpleNamespace(origin_mm=(110.0, 230.0, 0.0))
    face = gable(ux, uy, (3000.0, 0.0), (4000.0, 0.0), (2000.0, 1500.0), (0.0, 0.0))
    (found,) = wall_water._off_gable(house, face, wall_water.WallRule(0.5))
    assert found.a == pytest.approx((1410.0 + 3000.0 * ux, -470.0 + 3000.0 * uy, 2500.0))
    assert found.b == pytest.approx((1410.0, -470.0, 2500.0))
    assert found.area_mm2 == pytest.approx(1.5e6)


def test_a_wall_that_stands_over_a_part_of_an_edge_has_no_height_beside_it() -> None:
    """Over an edge of 4 m it stands from 1000 to 2000, 500 high; an edge of 0.6 mm is one too."""
    face: Any = SimpleNamespace(
        frame=Frame((1000.0, 2000.0, 2400.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0)),
        rings_uv=(((1000.0, 0.0), (2000.0, 0.0), (2000.0, 500.0), (1000.0, 500.0)),),
    )
    beside: Any = SimpleNamespace(a_mm=(*at(0.0, 0.0), 2400.0), b_mm=(*at(4000.0, 0.0), 2400.0))
    assert wall_water._tops(beside, face) == [
        (0.0, 0.0),
        (pytest.approx(0.25), pytest.approx(500.0)),
        (pytest.approx(0.5), pytest.approx(500.0)),
        (1.0, 0.0),
    ]
    short: Any = SimpleNamespace(a_mm=(*at(1500.0, 0.0), 2400.0), b_mm=(*at(1500.6, 0.0), 2400.0))
    assert wall_water._tops(short, face) == [(0.0, pytest.approx(500.0)), (1.0, pytest.approx(500.0))]


def test_without_a_share_no_wall_brings_water() -> None:
    house: Any = SimpleNamespace(
        origin_mm=(0.0, 0.0, 0.0),
        edges=(),
        uprights=(
            SimpleNamespace(
                **vars(gable(1.0, 0.0, (0.0, 0.0), (4000.0, 0.0), (2000.0, 1500.0))), kind=UprightKind.GABLE
            ),
        ),
        planes=(),
    )
    assert list(wall_water.walls_above(house, wall_water.WallRule(0.0))) == []
    assert len(list(wall_water.walls_above(house, wall_water.WallRule(0.1)))) == 1


def test_the_plate_of_an_eave_of_one_degree() -> None:
    """An overhang of 600 at a degree is 10.47 over its fascia; an upright edge has none, nor a gable."""

    def rise(name: str, pitch: float) -> EdgeRise:
        return EdgeRise(name, 2400.0, 600.0, EdgeProfile(2400.0, (RiseStep(None, pitch),)))

    found = plate_heights({1: rise("eave", 1.0), 2: rise("eave", 90.0), 3: rise("gable", 25.0), 4: rise("eave", 0.0)})
    assert found == {1: pytest.approx(2400.0 + 600.0 * tan(radians(1.0)))}
