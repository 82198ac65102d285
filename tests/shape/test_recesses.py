"""Recesses narrower than the overhangs on both sides are roofed straight across. Figures by hand.

House 12 x 8 m, 600 mm overhangs: outline 13.2 x 9.2 m, 121.44 m2 in plan; a front that stands 1 m further out over the
right 7.2 m of the outline adds 7.2 m2.
"""

from __future__ import annotations

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.model.findings import Finding
from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run
from takeoff.read.job.job_file import parse_job

LEVEL = [(0, 0), (5000, 0), (5000, 1500), (6000, 1500), (6000, 0), (12000, 0), (12000, 8000), (0, 8000)]
STEPPED = [(0, 0), (5000, 0), (5000, 1500), (6000, 1500), (6000, -1000), (12000, -1000), (12000, 8000), (0, 8000)]
HEAD = "job: x\nroofs:\n  - {eave_overhang_mm: 600, fascia_height_mm: 2450, pitch_deg: 25, wall_line: "


def takeoff(points: list[tuple[float, float]], more: str = "", until: Stage = Stage.SHAPE) -> Takeoff:
    return run(parse_job(f"{HEAD}{[list(point) for point in points]}{more}}}\n"), until=until)


def plan_m2(found: Takeoff) -> float:
    return sum(plane.plan_area_mm2 for plane in found.roofs[0].planes) / 1e6


def said(found: Takeoff) -> list[Finding]:
    return [finding for finding in found.findings if finding.code == "recess-roofed-over"]


@pytest.mark.parametrize("start", range(8))
@pytest.mark.parametrize("backwards", [False, True])
def test_a_recess_between_fronts_in_line_is_not_there(start: int, backwards: bool) -> None:
    points = [*LEVEL[start:], *LEVEL[:start]]
    found = takeoff(points[::-1] if backwards else points)
    plain = takeoff([(0, 0), (12000, 0), (12000, 8000), (0, 8000)])
    assert plan_m2(found) == pytest.approx(121.44, abs=1e-9)
    assert len(found.roofs[0].planes) == 4
    assert sorted(edge.length_mm for edge in found.roofs[0].edges) == pytest.approx(
        sorted(edge.length_mm for edge in plain.roofs[0].edges)
    )
    (finding,) = said(found)
    assert (
        "1000 mm wide and 1500 mm deep, is no wider than the overhangs of its two sides together (1200 mm)"
        in finding.text
    )
    assert len(finding.refs) == 3


def test_the_edges_are_named_as_they_are_typed() -> None:
    (finding,) = said(takeoff(LEVEL))
    assert finding.refs == ("edge 2", "edge 3", "edge 4")


@pytest.mark.parametrize("mirrored", [False, True])
def test_between_fronts_of_unequal_depth_the_deeper_one_runs_on(mirrored: bool) -> None:
    points = [(-x, y) for x, y in STEPPED][::-1] if mirrored else STEPPED
    found = takeoff(points)
    assert plan_m2(found) == pytest.approx(128.64, abs=1e-9)
    assert len(said(found)) == 1


def test_a_recess_as_wide_as_the_overhangs_together_closes_and_a_wider_one_stays() -> None:
    wide = [(x if x != 6000 else 6200.0, y) for x, y in LEVEL]
    assert len(said(takeoff(wide))) == 1
    wider = [(x if x != 6000 else 6210.0, y) for x, y in LEVEL]
    found = takeoff(wider)
    assert said(found) == []
    # the gap of 10 mm goes in to where the back's eave ends: 1500 - 600 - (-600) mm
    assert plan_m2(found) == pytest.approx(121.44 - 0.010 * 1.5, abs=1e-9)


def test_a_recess_in_a_courtyard_is_closed_too() -> None:
    """A court of 6 x 6 m with a pocket of 1 m: 20 x 20 m and eaves 21.2 m outside, 4.8 m left of the court."""
    court = "[[[7000, 7000], [7000, 13000], [9500, 13000], [9500, 14500], [10500, 14500], [10500, 13000], [13000, 13000], [13000, 7000]]]"
    found = takeoff([(0, 0), (20000, 0), (20000, 20000), (0, 20000)], f", courtyards: {court}")
    assert plan_m2(found) == pytest.approx(21.2**2 - 4.8**2, abs=1e-9)
    assert len(said(found)) == 1


def test_what_is_no_recess_is_refused_as_before() -> None:
    """A funnel, 400 mm wide at its back and 4 m at its mouth: nobody roofs straight across that."""
    with pytest.raises(ShapeError, match=r"edge 3 .* swallowed"):
        takeoff([(0, 0), (4000, 0), (5800, 2000), (6200, 2000), (8000, 0), (12000, 0), (12000, 8000), (0, 8000)])


def test_the_whole_order_comes_out() -> None:
    found = takeoff(LEVEL, until=Stage.ORDER)
    assert found.order is not None
    assert not found.stopped
