"""Hips of a millimetre, left by drawings rounded to whole mm, become corners; the roof still tiles.

The house is a cross of equal wings turned by 17 degrees and rounded to 1 mm (derived: unrounded, its ridges meet in one
point).
"""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from takeoff.basics.polygons import rings_area
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

CROSS = [(4, 0), (8, 0), (8, 4), (12, 4), (12, 8), (8, 8), (8, 12), (4, 12), (4, 8), (0, 8), (0, 4), (4, 4)]


def _roof(turn_deg: float, places: int | None) -> Roof:
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    points = [(1000 * (c * x - s * y), 1000 * (s * x + c * y)) for x, y in CROSS]
    if places is not None:
        points = [(round(x, places), round(y, places)) for x, y in points]
    return roof_from_outline(RoofJob(outline=points, pitch_deg=30.0), 0.0, resolve_settings(Job(job="check")))


@pytest.mark.parametrize("turn_deg", [7.0, 17.0, 29.0, 41.0])
def test_ridges_of_a_cross_meet_in_one_corner(turn_deg: float) -> None:
    roof = _roof(turn_deg, 0)
    assert min(edge.length_mm for edge in roof.edges) > 1000.0
    exact = _roof(turn_deg, None)
    for kind in EdgeKind:
        found = [edge.length_mm for edge in roof.edges if edge.kind is kind]
        expected = [edge.length_mm for edge in exact.edges if edge.kind is kind]
        assert len(found) == len(expected), kind
        assert sum(found) == pytest.approx(sum(expected), abs=2.0 * len(found))
    assert sum(p.plan_area_mm2 for p in roof.planes) == pytest.approx(rings_area(roof.outline_mm), rel=1e-9)
    assert len(roof.planes) == 12


@pytest.mark.parametrize("more_mm", [1.0, 2.0, 4.0])
def test_wings_drawn_square_but_unequal_by_a_little_meet_in_one_corner(more_mm: float) -> None:
    """One wing wider by 1 to 4 mm, as typed: its ridge is higher by less than 3 mm. Areas are those of one shape: on the
    slope, in plan and the outline's."""
    width = {4: 4000.0, 8: 8000.0 + more_mm}
    points = [(width.get(x, 1000.0 * x), 1000.0 * y) for x, y in CROSS]
    roof = roof_from_outline(RoofJob(outline=points, pitch_deg=30.0), 0.0, resolve_settings(Job(job="check")))
    assert "corners-joined" in [finding.code for finding in roof.findings]
    assert min(edge.length_mm for edge in roof.edges) > 1000.0
    assert sum(p.plan_area_mm2 for p in roof.planes) == pytest.approx(rings_area(roof.outline_mm), rel=1e-9)
    for plane in roof.planes:
        assert plane.area_mm2 * cos(radians(30.0)) == pytest.approx(plane.plan_area_mm2, rel=1e-9)


def test_joining_is_said_only_where_corners_were_joined() -> None:
    assert "corners-joined" not in [finding.code for finding in _roof(17.0, None).findings]
    assert "corners-joined" not in [finding.code for finding in _roof(17.0, 0).findings]
