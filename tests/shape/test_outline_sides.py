"""Sides of an outline looked up by cell: the same answers as looking at every side."""

from __future__ import annotations

import random

from takeoff.shape.faces import outline_sides
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Plan


class _Plan:
    """What is asked of a plan here."""

    def __init__(self, ring: tuple[tuple[float, float], ...]) -> None:
        self.outline_mm, self.edge_numbers, self.near_mm = (ring,), (tuple(range(1, len(ring) + 1)),), 0.5


def comb(teeth: int) -> Plan:
    """A rectangle whose south side steps in and out, one side of it a hundred times as long as the others."""
    ring = [(0.0, 9000.0), (0.0, 0.0)]
    for tooth in range(teeth):
        x = 700.0 * tooth
        ring += [(x + 350.0, 0.0), (x + 350.0, -900.0 - tooth), (x + 700.0, -900.0 - tooth), (x + 700.0, 0.0)]
    ring += [(700.0 * teeth + 200.0, 0.0), (700.0 * teeth + 200.0, 9000.0)]
    return _Plan(tuple(ring))  # type: ignore[return-value]


def test_cells_change_no_answer() -> None:
    plan = comb(60)
    by_cell = OutlineSides(plan)
    before = outline_sides._FEW
    outline_sides._FEW = 10_000
    try:
        one_by_one = OutlineSides(plan)
    finally:
        outline_sides._FEW = before
    drawn, ring = random.Random(7), plan.outline_mm[0]
    seen = 0
    for _ in range(400):
        i = drawn.randrange(len(ring))
        (ax, ay), (bx, by) = ring[i - 1], ring[i]
        s, t = drawn.choice(((0.0, 1.0), (0.2, 0.7), (-0.5, 0.5), (-3.0, 9.0), (0.5, 0.5)))
        off = drawn.choice((0.0, 0.4, 0.6, 300.0))
        points = tuple((ax + (bx - ax) * part + off, ay + (by - ay) * part - off, 5.0) for part in (s, t))
        assert by_cell.through(points[0]) == one_by_one.through(points[0])
        assert by_cell.starting_at(points[0]) == one_by_one.starting_at(points[0])
        found = by_cell.under([points], (), single=True)
        assert found == one_by_one.under([points], (), single=True)
        seen += bool(found)
    assert seen > 100
