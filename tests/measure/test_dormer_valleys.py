"""A dormer's valleys end on the roof it stands in: dressed on to it, never into spouting, and its gutters stop before.

By hand, the sample dormer: house at 40 degrees (tan 0.83910), dormer's eaves 1098.56 mm long, level, up the slope of
the house. The gutter's sole hangs 130 mm below the eave (common practice, no source): it meets the house's sheets
130 / 0.83910 = 154.93 mm before the valley's foot, so 943.63 mm are hung a side. A valley of 1344.17 mm is dressed
150 mm on to the roof at its foot as at its head: 1644.17 mm.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

DORMER = Path("geometry_samples/dormer")


def gutters(takeoff: Takeoff) -> list[float]:
    demands = [d for need in takeoff.rainwater.needs for d in need.demands if d.item.startswith("gutter ")]
    return [round(demand.length_mm, 1) for demand in demands]


def items(takeoff: Takeoff) -> dict[str, float]:
    assert takeoff.order is not None
    return {line.item: line.count for line in takeoff.order.lines}


def test_the_foot_is_dressed_on_to_the_roof() -> None:
    takeoff = pipeline.run_file(DORMER)
    found = items(takeoff)
    assert found["junction_valley_foot_on_roof"] == 2.0
    assert "junction_valley_foot" not in found
    valleys = [run for run in takeoff.roofing.flashings if run.flashing == "valley"]
    assert [run.net_mm + run.dress_a_mm + run.dress_b_mm for run in valleys] == pytest.approx([1644.17] * 2, abs=0.05)


def test_its_gutters_stop_before_the_house_roof() -> None:
    takeoff = pipeline.run_file(DORMER)
    assert gutters(takeoff) == [12000.0, 12000.0, 943.6, 943.6]
    said = [finding.text for finding in takeoff.findings if finding.code == "gutter-stops-at-roof"]
    assert len(said) == 2
    assert "155 mm at its right end" in said[0]
    assert "155 mm at its left end" in said[1]


def test_valleys_of_an_inside_corner_of_eaves_still_run_into_the_spouting() -> None:
    """The wing's valleys come down to corners of the gutter, which runs on whole."""
    takeoff = pipeline.run_file(Path("geometry_samples/wing"))
    assert items(takeoff)["junction_valley_foot"] == 2.0
    assert "gutter-stops-at-roof" not in {finding.code for finding in takeoff.findings}


def test_a_dormer_with_its_own_hip_front_lands_its_valleys_on_the_roof_too() -> None:
    """A hipped dormer: the same two valley feet, whatever its front."""
    house: dict[str, Any] = {
        "name": "house",
        "outline": [[0, 0], [12000, 0], [12000, 9000], [0, 9000]],
        "fascia_height_mm": 2400,
        "pitch_deg": 40,
        "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
    }
    dormer = {
        "name": "dormer",
        "outline": [[5000, 2000], [7000, 2000], [7000, 4200], [5000, 4200]],
        "fascia_height_mm": 5000,
        "pitch_deg": 30,
        "edges": {3: {"kind": "gable"}},
    }
    job = {"job": "dormer", "rainwater": {"ground_mm": -300}, "roofs": [house, dormer]}
    takeoff = pipeline.run(parse_job(json.dumps(job)))
    found = items(takeoff)
    assert found["junction_valley_foot_on_roof"] == 2.0
    assert found["junction_hip_end"] == 2.0
    # one run round the front: 943.6 up each cheek with a mitre of 125, 2000 across the front with two
    assert sorted(gutters(takeoff))[:3] == [1068.6, 1068.6, 2250.0]


def with_pipes(*places: tuple[float, float]) -> Takeoff:
    told = json.loads(pipeline.run_file(DORMER).job.model_dump_json(exclude_unset=True))
    told["rainwater"]["downpipes_at"] = places
    return pipeline.run(parse_job(json.dumps(told)))


def test_an_outlet_is_in_the_gutter_that_hangs_there() -> None:
    """A place by hand at the valley's foot, where the eave has no gutter any more, goes to the gutter's end: 154.93 mm
    up the left eave seen from outside, whose left end is the valley's."""
    takeoff = with_pipes((4400, 2490), (6400, 1500))
    (pipe,) = (p for plan in takeoff.rainwater.downpipes if plan.run == "SP4" for p in plan.pipes)
    assert pipe.along_mm == pytest.approx(154.93, abs=0.01)


def test_its_fascia_stops_clear_of_the_house_roof() -> None:
    """50 mm over the underside of the sheets at 40 degrees are 50 / 0.83910 = 59.59 mm along the eave: 1098.56 - 59.59.
    Its lower edge, 180 mm below, is 214.52 shorter: the end is cut to the slope."""
    takeoff = pipeline.run_file(DORMER)
    demands = [d for need in takeoff.rainwater.needs for d in need.demands if d.item == "fascia board"]
    assert [round(d.length_mm, 1) for d in demands] == [12000.0, 12000.0, 1039.0, 1039.0]
    assert all(d.working is not None for d in demands)
    terms = {term.name: term.value for d in demands[2:] if d.working for term in d.working.terms}
    assert terms["lower edge shorter, cut to the roof's slope"] == pytest.approx(214.52, abs=0.01)


def test_fascia_of_an_inside_corner_is_whole() -> None:
    takeoff = pipeline.run_file(Path("geometry_samples/l_house"))
    demands = [d for need in takeoff.rainwater.needs for d in need.demands if d.item == "fascia board"]
    assert not any("cut to the roof's slope" in str(d.working) for d in demands)


def test_a_gutter_is_not_cut_before_a_roof_on_the_inner_side_of_its_line() -> None:
    """Two leaves that fall to a gutter between them, the west one with an eave in the north as well: the east leaf rises
    beyond the end of that eave, at tan 10, but lies south of it, and the gutter and the fascia hang north. Both are
    whole: 6 m of gutter, 6 m of board."""
    gable = {"kind": "gable"}
    west = {"name": "west", "outline": [[0, 0], [6000, 0], [6000, 9000], [0, 9000]], "edges": {1: gable, 4: gable}}
    east = {"name": "east", "outline": [[6000, 0], [10000, 0], [10000, 9000], [6000, 9000]]}
    east["edges"] = {1: gable, 2: gable, 3: gable}
    roofs = [{**roof, "fascia_height_mm": 2700, "pitch_deg": 10} for roof in (west, east)]
    job = {"job": "leaves", "rainwater": {"ground_mm": -300}, "roofs": roofs}
    takeoff = pipeline.run(parse_job(json.dumps(job)))
    assert [stop.text for stop in takeoff.stops] == []
    assert gutters(takeoff) == [6000.0]
    boards = {d.id: d.length_mm for need in takeoff.rainwater.needs for d in need.demands}
    assert boards["F1"] == pytest.approx(6000.0)
    assert "gutter-stops-at-roof" not in {finding.code for finding in takeoff.findings}
