"""Backing angle and side cut at a corner of any angle, from a public page on square fascia wedges of dormers.

Status: seen. A plane of pitch 39.80557 degrees whose hip stands 30.25644 degrees from the eave in plan: backing
asin(sin 39.80557 x cos 30.25644) = 33.57154, side cut atan(cos 39.80557 / tan 30.25644) = 52.78951 degrees.
"""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

PITCH_DEG = 39.80557
PLAN_DEG = 30.25644


def _rhombus() -> Roof:
    """Four equal eaves; the hip halves each corner, so it stands 30.25644 degrees from the eaves at the sharp ones."""
    side, angle = 9000.0, radians(2 * PLAN_DEG)
    x, y = side * cos(angle), side * sin(angle)
    job = RoofJob(outline=[(0.0, 0.0), (side, 0.0), (side + x, y), (x, y)], pitch_deg=PITCH_DEG)
    return roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))


def test_backing_angle() -> None:
    roof = _rhombus()
    hip = next(edge for edge in roof.edges if edge.kind is EdgeKind.HIP and edge.a_mm[:2] == (0.0, 0.0))
    assert (180.0 - hip.between_deg) / 2 == pytest.approx(33.57154, abs=1e-4)


def test_side_cut_on_the_roof_face() -> None:
    """Angle between the hip and the line up the slope, in the plane."""
    roof = _rhombus()
    hip = next(edge for edge in roof.edges if edge.kind is EdgeKind.HIP and edge.a_mm[:2] == (0.0, 0.0))
    frame = roof.planes[0].frame
    (u0, v0), (u1, v1) = frame.to_plane(hip.a_mm), frame.to_plane(hip.b_mm)
    assert degrees(atan2(u1 - u0, v1 - v0)) == pytest.approx(52.78951, abs=1e-4)
