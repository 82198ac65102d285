"""The hip and valley factor table of a public roofing reference ("Hip and valley factor table").

Status: seen. The factor times the run of the common rafter is the true length of a hip or valley; the table's last digit
is off by one in three rows, hence 1.5e-4.
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

FACTORS = {
    1: 1.4167, 2: 1.4240, 3: 1.4362, 4: 1.4529, 5: 1.4743, 6: 1.5000, 7: 1.5298, 8: 1.5635, 9: 1.6008, 10: 1.6415,
    11: 1.6853, 12: 1.7321, 13: 1.7815, 14: 1.8333, 15: 1.8874, 16: 1.9437, 17: 2.0017, 18: 2.0616, 19: 2.1230,
    20: 2.1858,
}  # fmt: skip

RUN_MM = 4000.0


def _ell(rise_in_12: float) -> Roof:
    """Two wings of equal width: hips and a valley over the same common run."""
    w = 2 * RUN_MM
    job = RoofJob(
        outline=[(0.0, 0.0), (3 * w, 0.0), (3 * w, w), (w, w), (w, 3 * w), (0.0, 3 * w)],
        pitch_deg=degrees(atan(rise_in_12 / 12)),
    )
    return roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))


@pytest.mark.parametrize(("rise", "factor"), FACTORS.items())
def test_hips_and_valleys_are_the_factor_times_the_common_run(rise: int, factor: float) -> None:
    edges = [e for e in _ell(rise).edges if e.kind in (EdgeKind.HIP, EdgeKind.VALLEY)]
    assert {e.kind for e in edges} == {EdgeKind.HIP, EdgeKind.VALLEY}
    for edge in edges:
        assert edge.length_mm / RUN_MM == pytest.approx(factor, abs=1.5e-4)


def test_a_6_in_12_roof_has_hips_of_19_47_degrees() -> None:
    """The same reference: 6 in 16.97 is 19.47 degrees."""
    for edge in _ell(6).edges:
        if edge.kind in (EdgeKind.HIP, EdgeKind.VALLEY):
            assert edge.slope_deg == pytest.approx(19.47, abs=0.01)


@pytest.mark.parametrize("rise", [4, 6, 12])
def test_the_factor_belongs_to_the_common_run_not_to_the_rafter(rise: int) -> None:
    """The reference warns that the factor multiplies the run: with the rafter's length the hip comes out too long."""
    roof = _ell(rise)
    hip = next(e for e in roof.edges if e.kind is EdgeKind.HIP)
    rafter = max(v for _, v in roof.planes[0].rings_uv[0])
    assert hip.length_mm < FACTORS[rise] * rafter - 1.0
    assert hip.length_mm < FACTORS[rise] * hip.plan_length_mm - 1.0
