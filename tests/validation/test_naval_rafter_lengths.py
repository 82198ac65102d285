"""Rafters of the US Navy's course NAVEDTRA 14044, Builder 3 & 2, Vol. 2, chapter 2, Roof framing (public domain).

Status of every value: seen. The course works in feet and inches; roofs are raised in mm.
"""

from __future__ import annotations

from math import atan, degrees

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

INCH = 25.4
FOOT = 12 * INCH


def _roof(length_ft: float, width_ft: float, rise_in_12: float, *gables: int) -> Roof:
    x, y = length_ft * FOOT, width_ft * FOOT
    job = RoofJob(
        outline=[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)],
        pitch_deg=degrees(atan(rise_in_12 / 12)),
        edges={n: EdgeJob(kind="gable") for n in gables},
    )
    return roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))


def _rise_along_rake(roof: Roof, plane: int = 0) -> float:
    return max(v for _, v in roof.planes[plane].rings_uv[0])


def test_common_rafter_of_a_16_ft_span_at_7_in_12_is_111_12_in() -> None:
    """Figure 2-17, page 64: 13.89 in per foot of run x 8."""
    assert _rise_along_rake(_roof(30, 16, 7, 2, 4)) / INCH == pytest.approx(111.12, abs=0.05)


def test_hip_rafter_over_a_common_run_of_15_ft_and_a_rise_of_10_ft_is_23_45_ft() -> None:
    """Hip rafters, page 73: bridge measure 18.76 to 16.97 (the run of 15 ft follows from the printed 21.21 ft)."""
    hips = [edge for edge in _roof(40, 30, 8).edges if edge.kind is EdgeKind.HIP]
    assert len(hips) == 4
    for hip in hips:
        assert hip.length_mm / FOOT == pytest.approx(23.45, abs=0.01)
        assert (hip.b_mm[2] - hip.a_mm[2]) / FOOT == pytest.approx(10.0, abs=1e-9)


def test_hip_run_over_a_common_run_of_15_ft_is_21_21_ft() -> None:
    """The same page: total run of the hip, 16.97 in per foot of common run."""
    hip = next(edge for edge in _roof(40, 30, 8).edges if edge.kind is EdgeKind.HIP)
    assert hip.plan_length_mm / FOOT == pytest.approx(21.21, abs=0.01)


@pytest.mark.parametrize("jack", [1, 2, 3])
def test_jack_rafters_16_in_apart_at_8_in_12_differ_by_19_23_in(jack: int) -> None:
    """Figures 2-51 and 2-52, page 83: 12 to 14.42 as 16 to 19.23; "the next jack is 2 x 19.23"."""
    end = _roof(40, 30, 8).planes[1]
    (_, foot), _, (u, v) = end.rings_uv[0]
    assert foot == 0.0
    assert v / u * 16 * jack == pytest.approx(19.23 * jack, abs=0.01 * jack)


@pytest.mark.parametrize(("rise", "unit"), [(7, 13.89), (8, 14.42)])
def test_common_unit_lengths(rise: float, unit: float) -> None:
    """Unit length of the common rafter, inches per foot of run, pages 64 and 83."""
    assert _rise_along_rake(_roof(30, 16, rise, 2, 4)) / INCH / 8 == pytest.approx(unit, abs=0.005)


def test_hip_unit_length_at_8_in_12() -> None:
    """Page 73: 18.76 in of hip per foot of common run."""
    hip = next(edge for edge in _roof(40, 24, 8).edges if edge.kind is EdgeKind.HIP)
    assert hip.length_mm / INCH / 12 == pytest.approx(18.76, abs=0.005)
