"""Downpipes that come down over a lower roof, and eaves without spouting above one: worked by hand on rectangles.

A valley that takes the run-off of a spreader is at least 250 mm wide, and no spreader ends in one: a building research
magazine, no. 153, p. 38-39. Lengths and counts are arithmetic on the drawing.
"""

from __future__ import annotations

import json
from math import radians, tan
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.basics.polygons import inside_rings
from takeoff.model.drainage import Downpipe, GutterRun
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
T8, T40 = tan(radians(8)), tan(radians(40))


def run_job(*roofs: dict[str, object], **more: object) -> Takeoff:
    return pipeline.run(parse_job(json.dumps({"job": "by hand", "roofs": roofs, **more})))


def pipes(takeoff: Takeoff) -> dict[str, Downpipe]:
    return {pipe.id: pipe for plan in takeoff.rainwater.downpipes for pipe in plan.pipes}


def runs(takeoff: Takeoff) -> dict[str, list[GutterRun]]:
    return {roof.name: [run for run in takeoff.gutters if run.roof == roof.name] for roof in takeoff.roofs}


def figures(takeoff: Takeoff) -> dict[str, float]:
    return {q.id: q.figure for need in takeoff.rainwater.needs for q in need.quantities}


def codes(takeoff: Takeoff) -> list[str]:
    return [finding.code for finding in takeoff.findings]


@pytest.fixture(scope="module")
def verandah() -> Takeoff:
    return pipeline.run_file(SAMPLES / "verandah" / "job.yaml")


def test_pipes_over_a_verandah_are_short(verandah: Takeoff) -> None:
    """Two of the house's four pipes stand at its front corners, over the verandah. The outlet is half a 125 gutter out
    from the fascia at -600: 1737.5 up from the verandah's fascia at -2400, which stands at 2200."""
    found = pipes(verandah)
    over = [pipe for pipe in found.values() if pipe.onto]
    assert [pipe.id for pipe in over] == ["DP1", "DP2"]
    assert {pipe.onto for pipe in over} == {"P5"}
    assert [pipe.height_mm for pipe in over] == pytest.approx([2750 - (2200 + 1737.5 * T8)] * 2)
    demands = {demand.id: demand.length_mm for need in verandah.rainwater.needs for demand in need.demands}
    # the outlet's underside is 130 below the sheets
    assert demands["DP1 drop"] == pytest.approx(2750 - (2200 + 1737.5 * T8) - 130)
    assert "DP1 offset" not in demands
    assert found["DP3"].height_mm == pytest.approx(2750 + 300)


def test_fittings_of_a_house_over_a_verandah(verandah: Takeoff) -> None:
    """Eight pipes: two on to the verandah (one bend and a spreader each), six to the ground (two bends, a shoe)."""
    found = figures(verandah)
    assert found["downpipe spreaders"] == 2
    assert found["downpipe bends"] == 6 * 2 + 2
    assert found["downpipe shoes"] == 6
    assert found["gutter outlets"] == 8
    assert found["downpipe clips"] == 6 * 2


def test_the_verandahs_gutter_takes_the_water_of_the_house_once(verandah: Takeoff) -> None:
    """Each of the house's pipes drains a quarter of 121.44 m2; two run on over the verandah, whose own is 50.4 m2."""
    (run,) = runs(verandah)["verandah"]
    assert run.plan_catchment_mm2 == pytest.approx(50.4e6 + 60.72e6)
    assert run.own_catchment_mm2 == pytest.approx(50.4e6)
    assert [(water.pipe, water.plane) for water in run.received] == [("DP1", "P5"), ("DP2", "P5")]
    # in front, 7.4 m along from the end of the left side, and out to the house's corners at 150 and 11850
    assert [water.along_mm for water in run.received] == pytest.approx([7400 + 2550, 7400 + 14250])
    assert sum(pipes(verandah)[f"DP{n}"].catchment_mm2 for n in (5, 6, 7, 8)) == pytest.approx(111.12e6)
    total = next(q for q in verandah.measures if q.id == "catchment")
    assert total.figure == pytest.approx(171.84)
    assert total.working.terms[-1].value == pytest.approx(60.72)
    (warning,) = (finding for finding in verandah.findings if finding.code == "downpipe-onto-roof")
    assert "DP1, DP2 end over roof verandah" in warning.text
    assert "60.72 m2" in warning.text
    assert warning.severity.name == "WARN"
    assert "roof-not-in-catchment" not in codes(verandah)


def test_a_dormers_pipes_stand_where_there_is_room_over_the_roof() -> None:
    """The house's plane meets the dormer's eave at its upper end, so both pipes stand at the front, 150 in from it:
    1550 on the plan, 2150 up from the house's fascia at 2400 (the outlet's 62.5 lies along the slope's contour)."""
    takeoff = pipeline.run_file(SAMPLES / "dormer" / "job.yaml")
    over = [pipe for pipe in pipes(takeoff).values() if pipe.onto]
    assert [pipe.at_mm[1] for pipe in over] == pytest.approx([1550, 1550])
    assert [pipe.height_mm for pipe in over] == pytest.approx([5000 - (2400 + 2150 * T40)] * 2)
    front = runs(takeoff)["house"][0]
    assert front.plan_catchment_mm2 == pytest.approx(54e6)
    assert front.own_catchment_mm2 == pytest.approx(49e6)
    assert next(q.figure for q in takeoff.measures if q.id == "catchment") == pytest.approx(108.0)
    assert "no-room-for-spreader" not in codes(takeoff)


HOUSE = {"name": "house", "wall_line": [[0, 0], [10000, 0], [10000, 6000], [0, 6000]], "eave_overhang_mm": 500,
         "pitch_deg": 20, "fascia_height_mm": 5400, "edges": {"2": {"kind": "gable"}, "4": {"kind": "gable"}}}  # fmt: skip
LEAN_TO = {"name": "lean-to", "outline": [[-200, -3000], [10200, -3000], [10200, 1000], [-200, 1000]],
           "below": "house", "fascia_height_mm": 2200, "pitch_deg": 8,
           "edges": {"2": {"kind": "gable"}, "3": {"kind": "gable"}, "4": {"kind": "gable"}}}  # fmt: skip


def test_a_long_pipe_on_to_a_roof_goes_back_to_the_wall() -> None:
    """Two storeys: 5400 to a plane at 2200 + (3000 - 562.5) tan 8 is 2857, more than 1200 below its outlet."""
    takeoff = run_job(HOUSE, LEAN_TO)
    (pipe,) = (pipe for pipe in pipes(takeoff).values() if pipe.onto)
    assert pipe.height_mm == pytest.approx(5400 - (2200 + 2437.5 * T8))
    demands = {demand.id: demand.length_mm for need in takeoff.rainwater.needs for demand in need.demands}
    # back by 500 - 40 + 62.5 - 20 - 40 = 462.5 at 20 degrees, down to the sheets, nothing kept clear
    assert demands[f"{pipe.id} drop"] == pytest.approx(pipe.height_mm - 130 - 462.5 * tan(radians(20)))
    # three pipes: 3 x 2 bends and one into the spreader
    assert figures(takeoff)["downpipe bends"] == 2 * len(pipes(takeoff)) + 1
    assert figures(takeoff)["downpipe shoes"] == len(pipes(takeoff)) - 1


def test_an_eave_without_spouting_drips_on_the_roof_below() -> None:
    """The house's front slope, 10 x 3.5 in plan, falls on the lean-to, which has 10.4 x 2.5 of its own in the open
    (3.0 out, less the overhang of 500) and what stands out beside the house: 0.2 x 1.5 twice."""
    takeoff = run_job(HOUSE, LEAN_TO, rainwater={"none_on": [1]})
    (lower,) = runs(takeoff)["lean-to"]
    own = 10.4e3 * 2.5e3 + 2 * 200 * 1500
    assert lower.plan_catchment_mm2 == pytest.approx(10e3 * 3.5e3 + own)
    (water,) = lower.received
    assert (water.roof, water.pipe, water.plan_catchment_mm2) == ("house", "", pytest.approx(35e6))
    assert next(q.figure for q in takeoff.measures if q.id == "catchment") == pytest.approx(35 + 35 + own / 1e6)
    assert "roof-not-in-catchment" not in codes(takeoff)
    assert "downpipe spreaders" not in figures(takeoff)


def test_what_drips_beside_the_lower_roof_is_told() -> None:
    """A lean-to along half of the front only: the other half of the house's front slope, 5 x 3.5, reaches no gutter."""
    half = {**LEAN_TO, "outline": [[0, -3000], [5000, -3000], [5000, 1000], [0, 1000]]}
    takeoff = run_job(HOUSE, half, rainwater={"none_on": [1]})
    (lower,) = runs(takeoff)["lean-to"]
    assert lower.plan_catchment_mm2 == pytest.approx(5e3 * 3.5e3 + 5e3 * 2.5e3)
    (missing,) = (finding for finding in takeoff.findings if finding.code == "roof-not-in-catchment")
    assert missing.text.startswith("17.50 m2 of roof house")


def test_a_spreaders_water_that_comes_to_a_valley_is_told() -> None:
    """A tower on one leg of an L, 6 m wide, whose valley goes from (6, 6) to (3, 3): an outlet at (5.1625, 3.35), north
    of the ridge at 3, drips on the slope that falls to the valley at (5.1625, 5.1625), and on to its foot at (6, 6)."""
    tower = {"name": "tower", "wall_line": [[3600, 1500], [4800, 1500], [4800, 3500], [3600, 3500]],
             "eave_overhang_mm": 300, "pitch_deg": 15, "fascia_height_mm": 6000,
             "edges": {"1": {"kind": "gable"}, "3": {"kind": "gable"}}}  # fmt: skip
    ell = {"name": "ell", "outline": [[0, 0], [12000, 0], [12000, 6000], [6000, 6000], [6000, 12000], [0, 12000]],
           "below": "tower", "fascia_height_mm": 2400, "pitch_deg": 20}  # fmt: skip
    takeoff = run_job(tower, ell, rainwater={"downpipes_at": [[5100, 3350]]})
    east = next(pipe.id for pipe in pipes(takeoff).values() if pipe.at_mm[:2] == pytest.approx((5100, 3350)))
    taken = [water for run in takeoff.gutters for water in run.received if water.pipe == east]
    (valley,) = (edge for roof in takeoff.roofs for edge in roof.edges if edge.kind == "valley")
    # half of the tower's outline, 1.8 x 2.0 m, shared by the two gutters that meet at the valley's foot
    assert [(water.via, water.plan_catchment_mm2) for water in taken] == [(valley.id, pytest.approx(0.9e6))] * 2
    (warning,) = (finding for finding in takeoff.findings if finding.code == "valley-takes-spreader")
    assert "at least 250 mm wide" in warning.text
    assert warning.refs[0] == valley.id
    assert east in warning.refs
    assert "no. 153" in warning.source


def test_inside_rings_by_hand() -> None:
    rings = (((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)), ((2.0, 2.0), (3.0, 2.0), (3.0, 3.0), (2.0, 3.0)))
    assert inside_rings((1.0, 3.9), rings)
    assert not inside_rings((2.5, 2.5), rings)
    assert not inside_rings((4.1, 2.0), rings)
    assert not inside_rings((-1.0, 2.5), rings)
