"""A metric hip roof worked on a public page of basic carpentry techniques, "Framing Hip Roofs".

Span 6400 mm, slope 150 in 250. Status of every value: seen. Printed to the mm after rounding on the way, so 1 mm.
"""

from __future__ import annotations

from math import atan, degrees

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

PITCH_DEG = degrees(atan(150 / 250))


def _roof(overhang_mm: float) -> Roof:
    job = RoofJob(
        wall_line=[(0.0, 0.0), (9600.0, 0.0), (9600.0, 6400.0), (0.0, 6400.0)],
        eave_overhang_mm=overhang_mm,
        pitch_deg=PITCH_DEG,
    )
    return roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))


def _hip_mm(roof: Roof) -> float:
    return next(edge.length_mm for edge in roof.edges if edge.kind is EdgeKind.HIP)


def test_common_rafter_is_3731_mm() -> None:
    """12.8 units of 291.5 mm."""
    assert max(v for _, v in _roof(0.0).planes[0].rings_uv[0]) == pytest.approx(3731, abs=1)


def test_hip_rafter_is_4916_mm() -> None:
    """12.8 units of 384.1 mm."""
    assert _hip_mm(_roof(0.0)) == pytest.approx(4916, abs=1)


def test_hip_tail_for_800_mm_of_overhang_is_1229_mm() -> None:
    """What the hip grows by when the wall line is moved out by 800 mm in plan."""
    assert _hip_mm(_roof(800.0)) - _hip_mm(_roof(0.0)) == pytest.approx(1229, abs=1)
