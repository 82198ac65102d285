"""What gutters and pipes are sized by: each plane by its own pitch, and half of the walls above a roof, by hand."""

from __future__ import annotations

import json
from itertools import pairwise
from math import hypot, radians, tan
from pathlib import Path

import pytest
import yaml

from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run, run_file
from takeoff.read.job.job_file import parse_job

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def taken(roofs: list[dict[str, object]], settings: dict[str, object] | None = None, **more: object) -> Takeoff:
    whole = {"job": "by hand", "roofs": roofs, "settings": settings or {}, **more}
    return run(parse_job(json.dumps(whole)), until=Stage.MEASURE)


def figures(takeoff: Takeoff) -> dict[str, float]:
    return {quantity.id: quantity.figure for quantity in takeoff.rainwater.catchment}


def two_pitches(**more: object) -> Takeoff:
    """A gutter round two sides: 10 m at 10 degrees and 30 degrees round a corner. All by fall lines."""
    edges = {1: {"pitch_deg": 10}, 2: {"pitch_deg": 30}, 3: {"kind": "gable"}, 4: {"kind": "gable"}}
    roof = {"outline": [[0, 0], [9000, 0], [9000, 7000], [0, 7000]], "fascia_height_mm": 2400, "edges": edges}
    return taken([roof], **more)


def test_wind_driven_area_is_taken_plane_by_plane() -> None:
    """31.5 m2 at 10 degrees and 33.6 m2 at 30 degrees count 31.5 x (1 + tan 10 / 2) + 33.6 x (1 + tan 30 / 2); with the
    steeper pitch for both it would be 65.1 x (1 + tan 30 / 2). F is AS/NZS 3500.3 restated; the sum is by hand."""
    found = two_pitches(rainwater={"gutter": "half_round_150"})
    (run_,) = found.gutters
    areas = {round(share.pitch_deg): share.area_mm2 / 1e6 for share in run_.shares}
    assert sum(areas.values()) == pytest.approx(63.0)
    by_hand = sum(area * (1.0 + tan(radians(pitch)) / 2.0) for pitch, area in areas.items())
    assert figures(found)["catchment SP1 effective"] == pytest.approx(by_hand)
    assert by_hand < 63.0 * (1.0 + tan(radians(30)) / 2.0) - 1.0
    pipes = [pipe for plan in found.rainwater.downpipes for pipe in plan.pipes]
    assert sum(pipe.wind_mm2 for pipe in pipes) / 1e6 == pytest.approx(by_hand)
    assert sum(pipe.catchment_mm2 for pipe in pipes) / 1e6 == pytest.approx(63.0)


LEAN_TO = {"name": "lean-to", "outline": [[0, 0], [6000, 0], [6000, 3000], [0, 3000]], "fascia_height_mm": 2300,
           "edges": {1: {"pitch_deg": 10}, 2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}}  # fmt: skip


def test_half_of_a_wall_of_known_height_joins_what_sizes_the_gutter() -> None:
    """A wall 6 m long and 4 m high above a lean-to of 18 m2: 12 m2 more (code of practice v25.12, 5.3.1: half a wall)."""
    plain, walled = taken([LEAN_TO]), taken([LEAN_TO], {"wall_above_if_not_shaped_mm": 4000})
    assert figures(plain)["catchment SP1 plan"] == pytest.approx(18.0)
    wind = 18.0 * (1.0 + tan(radians(10)) / 2.0)
    assert figures(plain)["catchment SP1 effective"] == pytest.approx(wind)
    assert figures(walled)["catchment SP1 effective"] == pytest.approx(wind + 12.0)
    # never what a tank is fed
    assert figures(walled)["catchment SP1 plan"] == figures(walled)["catchment"] == pytest.approx(18.0)


@pytest.mark.parametrize(("height_mm", "wall_m2"), [(9_000, 27.0), (10_000, 30.0), (25_000, 30.0)])
def test_walls_count_up_to_10_m(height_mm: int, wall_m2: float) -> None:
    found = taken([LEAN_TO], {"wall_above_if_not_shaped_mm": height_mm})
    assert found.gutters[0].wall_mm2 / 1e6 == pytest.approx(wall_m2)


def test_walls_are_left_out_where_their_share_is_nought() -> None:
    found = taken([LEAN_TO], {"wall_above_if_not_shaped_mm": 4000, "walls_above_share": 0})
    assert found.gutters[0].wall_mm2 == 0.0
    said = {finding.code for need in found.rainwater.needs for finding in need.findings}
    assert "walls-above-left-out" in said


def test_a_house_brings_the_walls_that_stand_over_its_verandah() -> None:
    """The wall stands from the verandah's top, 2200 + 2400 x tan 8, to the house's soffit line, 2750 + 600 x tan 25, round
    12 + 5 + 5 m: 22 m x 0.4925 m / 2 = 5.417 m2."""
    found = run_file(SAMPLES / "verandah", until=Stage.MEASURE)
    high = (2750.0 + 600.0 * tan(radians(25))) - (2200.0 + 2400.0 * tan(radians(8)))
    by_roof = {run_.roof: run_.wall_mm2 / 1e6 for run_ in found.gutters}
    assert by_roof["verandah"] == pytest.approx(22.0 * high / 1e3 / 2.0, rel=1e-6)
    assert by_roof["house"] == 0.0
    assert "walls-above" in {finding.code for finding in found.findings}


def test_the_front_and_cheeks_of_a_dormer_run_off_on_the_roof_round_them() -> None:
    """Main roof at the front 2400 + 2000 x tan 40 = 4078, dormer's eave 5000 and ridge 5000 + 1000 x tan 30. Front 2.0 m
    wide: 2.0 x (0.922 + 1.499) / 2 = 2.421 m2; a cheek 0.922 high, 0.922 / tan 40 = 1.099 long: 0.506 m2. Half of all:
    1.717 m2."""
    found = run_file(SAMPLES / "dormer", until=Stage.MEASURE)
    low = 5.0 - (2.4 + 2.0 * tan(radians(40)))
    front = 2.0 * (low + low + 1.0 * tan(radians(30))) / 2.0
    cheek = low * (low / tan(radians(40))) / 2.0
    by_hand = (front + 2.0 * cheek) / 2.0
    assert by_hand == pytest.approx(1.717, abs=1e-3)
    assert sum(run_.wall_mm2 for run_ in found.gutters if run_.roof == "house") / 1e6 == pytest.approx(
        by_hand, rel=1e-3
    )


def test_far_over_its_capacity_stops_the_order() -> None:
    """96 m2 to one 65 mm pipe that may drain 60: 1.6 times, over the 1.5 that are let pass with a warning."""
    hip = {"outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25, "fascia_height_mm": 2450}
    by_hand = {"downpipes_at": [[6000, 0]], "downpipes_at_are_all": True, "downpipe": "round_65"}
    found = taken([hip], rainwater=by_hand)
    (stop,) = (finding for finding in found.findings if finding.severity is Severity.STOP)
    assert stop.code == "downpipe-far-over-capacity"
    assert found.stopped
    assert not taken([hip], {"downpipe_stop_over": 2}, rainwater=by_hand).stopped


def test_what_stands_by_hand_stays_and_the_rest_is_searched_round_it() -> None:
    hip = {"outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25, "fascia_height_mm": 2450}
    found = taken([hip], rainwater={"downpipes_at": [[5030, 0]]})
    (plan,) = found.rainwater.downpipes
    assert any(pipe.at_mm[:2] == pytest.approx((5030, 0)) for pipe in plan.pipes)
    assert plan.count == 4  # 40 m, 12 m a pipe
    assert plan.findings == ()


def test_present_places_are_printed_ready_to_paste_and_give_the_same_pipes() -> None:
    """Windows all along the walls leave no place that keeps the length: the line gives the places as they are."""
    wall = [[0, 0], [10800, 0], [10800, 6800], [0, 6800]]
    roof = {"wall_line": wall, "eave_overhang_mm": 600, "pitch_deg": 25, "fascia_height_mm": 2450}
    windows = [{"wall": n, "from_left_mm": 250, "sill_mm": 300, "width_mm": wide, "height_mm": 1800}
               for n, wide in ((1, 10300), (3, 10300))]  # fmt: skip
    walls = {"height_mm": 2450, "zones": [{"board": "bevel_187"}], "openings": windows}
    settings = {"gutter_length_per_outlet_mm": 5000, "downpipe_spacing_mm": 5000}
    found = taken([roof], settings, walls=walls)
    (plan,) = found.rainwater.downpipes
    said = next(finding for finding in plan.findings if finding.code == "downpipes-too-far-apart")
    line = said.advice.split("`")[1]
    assert line.startswith("rainwater: {downpipes_at: [[")
    places = json.loads(line.split("downpipes_at: ")[1][:-1])
    again = taken([roof], settings, walls=walls, rainwater={"downpipes_at": places, "downpipes_at_are_all": True})
    placed = sorted(pipe.at_mm[:2] for pipe in again.rainwater.downpipes[0].pipes)
    for one, other in zip(placed, sorted(pipe.at_mm[:2] for pipe in plan.pipes), strict=True):
        assert one == pytest.approx(other, abs=0.1)
    # nobody is told to place by hand what is placed by hand
    assert all("by hand" not in finding.advice for finding in again.rainwater.downpipes[0].findings)


def test_no_spreader_ends_over_a_hole_or_near_a_verge() -> None:
    """The house's first pipe would drip at (150, -662) on the verandah: with a flue there it stands elsewhere."""
    job = yaml.safe_load((SAMPLES / "verandah" / "job.yaml").read_text(encoding="utf-8"))
    job["roofs"][1]["penetrations"] = [{"kind": "pipe", "at": [150, -700], "diameter_mm": 100}]
    found = run(parse_job(json.dumps(job, default=str)), until=Stage.MEASURE)
    onto = [pipe for plan in found.rainwater.downpipes for pipe in plan.pipes if pipe.onto]
    assert onto
    for pipe in onto:
        assert hypot(pipe.at_mm[0] - 150, pipe.at_mm[1] - 62.5 + 700) >= 300 + 50 - 1
        # verges of the verandah end its sides at y = 5000
        assert pipe.at_mm[1] <= 5000 - 300 or not -2400 <= pipe.at_mm[0] <= 14400


def test_a_roof_that_falls_towards_its_barge_is_told() -> None:
    """The right verge leans out by 2 m over 4 m: a triangle of 4 m2 runs along it."""
    roof = {"outline": [[0, 0], [8000, 0], [10000, 4000], [0, 4000]], "fascia_height_mm": 2400,
            "edges": {1: {"pitch_deg": 10}, 2: {"kind": "gable"}, 3: {"kind": "gable"}, 4: {"kind": "gable"}}}  # fmt: skip
    said = next(finding for finding in taken([roof]).findings if finding.code == "water-along-barge")
    assert "4.00 m2" in said.text


def test_neighbours_do_not_crowd_where_they_need_not() -> None:
    """Two eaves of 12 m round a corner, 12 m a pipe: not either side of the corner, but in the middle of each."""
    edges = {3: {"kind": "gable"}, 4: {"kind": "gable"}}
    roof = {"outline": [[0, 0], [12000, 0], [12000, 12000], [0, 12000]], "pitch_deg": 10, "fascia_height_mm": 2400,
            "edges": edges}  # fmt: skip
    found = taken([roof], {"area_rule_gutter_mm2_per_m2": 10}, rainwater={"downpipe": "round_150"})
    (plan,) = found.rainwater.downpipes
    places = [pipe.along_mm for pipe in plan.pipes]
    assert min(b - a for a, b in pairwise(places)) >= 3000
