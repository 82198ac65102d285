"""Edges without spouting and windows below it on a later roof of a job, alone or joined with another; by hand on
rectangles. The overhang of sheets not baffled by spouting, 70 mm against 50: code of practice, eave overhang."""

from __future__ import annotations

import json

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

HOUSE = {"name": "house", "outline": [[0, 0], [14000, 0], [14000, 9000], [0, 9000]], "fascia_height_mm": 2400,
         "pitch_deg": 25}  # fmt: skip
GABLED = {"1": {"kind": "gable"}, "3": {"kind": "gable"}}
WING = {"name": "wing", "outline": [[4000, -4000], [9000, -4000], [9000, 4200], [4000, 4200]],
        "fascia_height_mm": 2400, "pitch_deg": 35, "edges": GABLED}  # fmt: skip
SHED = {"name": "shed", "outline": [[20000, 0], [26000, 0], [26000, 3000], [20000, 3000]], "fascia_height_mm": 2400,
        "pitch_deg": 10, "edges": {str(n): {"kind": "gable"} for n in (2, 3, 4)}}  # fmt: skip


def run_job(*roofs: dict[str, object], **more: object) -> Takeoff:
    return pipeline.run(parse_job(json.dumps({"job": "by hand", "roofs": roofs, **more})))


def caught_m2(takeoff: Takeoff) -> float:
    return sum(run.plan_catchment_mm2 for run in takeoff.gutters) / 1e6


def sheet_lengths(takeoff: Takeoff, plane: str) -> set[float]:
    (sheets,) = (sheets for sheets in takeoff.roofing.sheets if sheets.plane == plane)
    return {round(piece.reach_mm, 3) for piece in sheets.pieces}


def test_a_later_roof_without_spouting_has_no_gutter_and_longer_sheets() -> None:
    plain, bare = run_job(HOUSE, SHED), run_job(HOUSE, {**SHED, "no_spouting_on": [1]})
    assert [run.roof for run in plain.gutters] == ["house", "shed"]
    assert [run.roof for run in bare.gutters] == ["house"]
    shed = next(roof.planes[0].id for roof in bare.roofs if roof.name == "shed")
    (short,), (long,) = sheet_lengths(plain, shed), sheet_lengths(bare, shed)
    assert long - short == pytest.approx(20.0)
    assert sheet_lengths(plain, "P1") == sheet_lengths(bare, "P1")
    (told,) = (finding for finding in bare.findings if finding.code == "roof-not-in-catchment")
    assert told.text.startswith("18.00 m2 of roof shed")


def test_an_edge_of_a_joined_roof_without_spouting() -> None:
    """The wing's eastern eave drains 4.0 x 2.5 m straight; its valley still ends in the house's gutter. Edge 2 of the
    house is not meant."""
    assert caught_m2(run_job(HOUSE, WING)) == pytest.approx(146.0)
    bare = run_job(HOUSE, {**WING, "no_spouting_on": [2]})
    assert caught_m2(bare) == pytest.approx(146.0 - 10.0)
    assert sum(run.length_mm for run in bare.gutters) == pytest.approx(2 * (14e3 + 9e3) - 5e3 + 4e3)


def test_part_of_an_eave_of_a_joined_roof_without_spouting() -> None:
    """The eastern eave typed in two edges, the outer 2.0 m bare: 2.0 x 2.5 m is lost."""
    outline = [[4000, -4000], [9000, -4000], [9000, -2000], [9000, 4200], [4000, 4200]]
    wing = {**WING, "outline": outline, "edges": {"1": {"kind": "gable"}, "4": {"kind": "gable"}}}
    bare = run_job(HOUSE, {**wing, "no_spouting_on": [2]})
    assert caught_m2(bare) == pytest.approx(146.0 - 5.0)


def test_the_first_roof_by_either_key() -> None:
    by_roof = run_job({**HOUSE, "no_spouting_on": [2]})
    by_rain = run_job(HOUSE, rainwater={"none_on": [2]})
    # a hip end of equal pitch: 9 / 2 x 9 / 2 m
    assert caught_m2(by_roof) == caught_m2(by_rain) == pytest.approx(14 * 9 - 4.5 * 4.5)


def test_edges_that_do_not_exist_are_told() -> None:
    text = json.dumps(
        {"job": "x", "roofs": [HOUSE, {**SHED, "no_spouting_on": [0, 7]}], "rainwater": {"none_on": [5]}}, indent=1
    )
    with pytest.raises(JobError) as caught:
        parse_job(text)
    faults = [fault.split(": ", 1)[1] for fault in caught.value.faults]
    assert sorted(faults) == [
        "rainwater.none_on: there is no edge 5; the outline of roof house has edges 1 to 4",
        "roofs[2].no_spouting_on: there is no edge 0; the outline of roof shed has edges 1 to 4",
        "roofs[2].no_spouting_on: there is no edge 7; the outline of roof shed has edges 1 to 4",
    ]


def test_pipes_keep_off_windows_of_a_joined_later_roof() -> None:
    """A pipe would stand 150 in from the southern end of the wing's eastern wall; a window goes from there to 1200, and
    150 is kept clear beside it."""
    wing = {"name": "wing", "wall_line": [[4600, -3400], [8400, -3400], [8400, 4200], [4600, 4200]],
            "eave_overhang_mm": 600, "verge_overhang_mm": 600, "fascia_height_mm": 2400, "pitch_deg": 35,
            "edges": GABLED}  # fmt: skip
    window = {"wall": 2, "from_left_mm": 0, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200}
    walls = {"roof": "wing", "height_mm": 2200, "zones": [{"board": "bevel_187"}], "openings": [window]}

    def south_of(takeoff: Takeoff, y_mm: float) -> list[str]:
        pipes = [pipe for plan in takeoff.rainwater.downpipes for pipe in plan.pipes]
        return [pipe.id for pipe in pipes if pipe.at_mm[0] == pytest.approx(9000.0) and pipe.at_mm[1] < y_mm]

    assert len(south_of(run_job(HOUSE, wing), -3400 + 1349)) == 1
    takeoff = run_job(HOUSE, wing, walls=walls)
    assert {run.roof for run in takeoff.gutters} == {"house"}
    assert south_of(takeoff, -3400 + 1349) == []
