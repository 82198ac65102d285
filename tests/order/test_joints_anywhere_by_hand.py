"""Runs that may be joined anywhere, at the limits of their pieces: by hand. Lengths in mm, stock of 6 m."""

from __future__ import annotations

import pytest

from takeoff.model.runs import RunDemand
from takeoff.order.cut_stock.joints import ways_to_cut


@pytest.mark.parametrize(
    ("length", "more", "pieces"),
    [
        # a first piece of no more than the least is none
        (6250.0, {"lap_mm": 150.0, "stagger_mm": 2750.0, "least_mm": 500.0}, [(3200, 3200), (3250, 3150)]),
        # a piece is a millimetre longer than its lap
        (6000.5, {"lap_mm": 150.0}, [(3076, 3075), (4500, 1651), (3000, 3151), (1500, 4651)]),
        (6001.0, {"lap_mm": 150.0}, [(6000, 151), (151, 6000), (3076, 3075), (4500, 1651), (3000, 3151), (1500, 4651)]),
    ],
)
def test_pieces_at_their_limits(length: float, more: dict[str, float], pieces: list[tuple[int, ...]]) -> None:
    run = RunDemand("R1", "rail", length, splits_mm=None, **more)  # type: ignore[arg-type]
    assert [way.pieces_mm for way in ways_to_cut(run, (6000,))] == pieces
