"""How many downpipes, which limit decided, where they stand, and what each is made of: worked by hand on a 12 x 8 m hip.

Ring of 40 m, 96 m2 in plan. Where no other basis is given, capacities are those of the catalogue's products."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.rainwater.downpipes import limits_of, plan_downpipes, snap_places
from takeoff.measure.rainwater.limits import counts_by_limit
from takeoff.measure.rainwater.pipe_search import place_pipes
from takeoff.measure.rainwater.placing import PipeGround
from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.measure.rainwater.sizing import pipe_capacity, pitch_band
from takeoff.measure.rainwater.stretches import RunWater, stretches, wall_below
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job

sys.path.insert(0, str(Path(__file__).parent))

from downpipe_houses import ELL, GABLES, RECTANGLE, codes, job_of, plans, shaped, walled

CAPACITY, SECTION, LENGTH, SPACING, VALLEY = (
    "capacity",
    "the gutter's own section",
    "gutter length per outlet",
    "spacing between outlets",
    "downpipe near a valley",
)


def test_the_length_of_gutter_decides_on_a_small_hip() -> None:
    # 96 / 85 is 2 pipes, 40 m / 12 m is 4; the gutter's 6300 mm2 take 47.2 m2 at 25 degrees and 100 mm/h, 96 / 47.2 is 3
    (plan,) = plans(job_of(RECTANGLE))
    assert dict(plan.limits) == {CAPACITY: 2, SECTION: 3, LENGTH: 4, SPACING: 4, VALLEY: 0}
    assert plan.count == 4
    # either alone holds the other's 12 m; without both the gutter's section asks for 3
    assert plan.decided_by == f"{LENGTH} and {SPACING} (3 without them)"
    assert [pipe.catchment_mm2 / 1e6 for pipe in plan.pipes] == pytest.approx([24.0] * 4)
    assert plan.findings == ()


def test_capacity_decides_where_the_gutter_may_be_long() -> None:
    # a 65 mm pipe takes 60 m2 to 25 degrees (E1/AS1 Table 5): 96 / 60 is 2
    free = {"gutter_length_per_outlet_mm": 40000, "downpipe_spacing_mm": 40000}
    job = job_of(RECTANGLE, {"downpipe": "round_65", "gutter": "half_round_150"}, free)
    (plan,) = plans(job)
    assert dict(plan.limits)[CAPACITY] == 2
    assert plan.count == 2
    assert "capacity (1 without it)" in plan.decided_by or f"capacity and {SECTION} (1 without them)" in plan.decided_by


@pytest.mark.parametrize(
    ("length", "width", "pipes"), [(12_000, 5_000, 1), (12_100, 5_000, 2), (20_000, 6_000, 2), (20_400, 6_000, 3)]
)
def test_capacity_asks_for_the_catchment_over_the_tables_area(length: int, width: int, pipes: int) -> None:
    """A 65 mm pipe takes 60 m2: 60.0 m2 is one pipe, 60.5 two; 120.0 two, 122.4 three."""
    outline = [[0, 0], [length, 0], [length, width], [0, width]]
    free = {"gutter_length_per_outlet_mm": 60_000, "downpipe_spacing_mm": 60_000, "area_rule_gutter_mm2_per_m2": 1}
    (plan,) = plans(job_of(outline, {"downpipe": "round_65"}, free))
    assert (dict(plan.limits)[CAPACITY], plan.count) == (pipes, pipes)
    assert "downpipe-over-capacity" not in {finding.code for finding in plan.findings}


def test_spacing_decides_where_it_is_the_tighter() -> None:
    # 40 m / 8 m is 5
    (plan,) = plans(job_of(RECTANGLE, settings={"downpipe_spacing_mm": 8000}))
    assert dict(plan.limits)[SPACING] == 5
    assert plan.decided_by == f"{SPACING} (4 without it)"
    places = [pipe.along_mm for pipe in plan.pipes]
    gaps = [b - a for a, b in zip(places, [*places[1:], places[0] + 40000], strict=True)]
    assert max(gaps) <= 8000.5


def test_a_pitch_on_a_limit_takes_the_lower_band_and_says_so() -> None:
    (plan,) = plans(job_of(RECTANGLE))
    pitch = next(term for term in plan.working.terms if term.name == "steepest pitch")
    table = next(term for term in plan.working.terms if term.name == "table area")
    assert "on the limit, the lower band is taken" in pitch.ref
    assert table.value == 85.0
    (steeper,) = plans(job_of(RECTANGLE, roof={"pitch_deg": 25.1}))
    assert next(term for term in steeper.working.terms if term.name == "table area").value == 70.0


@pytest.mark.parametrize(
    ("pitch_deg", "index", "beyond"),
    [(3, 0, False), (25, 0, False), (25.01, 1, False), (35, 1, False), (45, 2, False), (55, 3, False), (60, 3, True)],
)
def test_bands(pitch_deg: float, index: int, beyond: bool) -> None:
    band = pitch_band(pitch_deg)
    assert (band.index, band.beyond) == (index, beyond)


def test_the_table_is_scaled_only_when_set() -> None:
    site = {"rain_mm_per_h": 150}
    (plain,) = plans(job_of(RECTANGLE, site=site))
    (scaled,) = plans(job_of(RECTANGLE, site=site, settings={"downpipe_scale_by_intensity": True}))
    area = "plan area one pipe may drain"
    assert next(term.value for term in plain.working.terms if term.name == area) == 85.0
    # 85 x 100 / 150
    assert next(term.value for term in scaled.working.terms if term.name == area) == pytest.approx(56.67)
    assert [finding.code for finding in plain.findings] == ["downpipe-table-not-scaled"]
    assert scaled.findings == ()


def test_capacity_by_area() -> None:
    # 7500 mm2 / 50 = 150 m2 of factored catchment; / (1.1 x 1.5 x 1.1) = 82.64 m2 sloping; x cos 24 = 75.50 in plan
    job = job_of(RECTANGLE, {"method": "area_per_m2", "downpipe": "rect_100x75"}, site={"rain_mm_per_h": 150})
    _, _, chosen = shaped(job)
    capacity = pipe_capacity("area_per_m2", chosen.pipe, 24.0, chosen.rain, chosen.settings)
    assert capacity.plan_m2 == pytest.approx(75.50, abs=0.005)


def test_pipes_stand_at_wall_ends() -> None:
    wall = [[0, 0], [10800, 0], [10800, 6800], [0, 6800]]
    roof = {"wall_line": wall, "eave_overhang_mm": 600}
    whole = {"job": "by hand", "roofs": [{**roof, "pitch_deg": 25, "fascia_height_mm": 2450}]}
    job = parse_job(json.dumps(whole))
    roofs, gutters, _ = shaped(job)
    for part in stretches(gutters[0]):
        below = wall_below(part, roofs[0])
        assert below is not None
        assert below.overhang_mm == pytest.approx(600)
        assert below.left_mm == pytest.approx(600)
        assert below.right_mm == pytest.approx(part.length_mm - 600)
    # the wall is 10800 x 6800: every pipe 150 from a wall end
    for pipe in plans(job)[0].pipes:
        x, y, _ = pipe.at_mm
        off = min(abs(x - 0), abs(x - 10800)) if y < 0 or y > 6800 else min(abs(y - 0), abs(y - 6800))
        assert off == pytest.approx(150)


def test_no_pipe_in_an_inside_corner_and_all_limits_kept() -> None:
    (plan,) = plans(job_of(ELL))
    assert plan.findings == ()
    for pipe in plan.pipes:
        x, y, _ = pipe.at_mm
        assert max(abs(x - 6000), abs(y - 6000)) >= 600 - 0.5


def test_a_heavy_valley_gets_a_pipe_near_its_foot() -> None:
    job = job_of(ELL, settings={"valley_needs_downpipe_m2": 8})
    (plan,) = plans(job)
    assert dict(plan.limits)[VALLEY] == 1
    _, gutters, _ = shaped(job)
    foot = gutters[0].valleys[0].along_mm
    assert min(abs(pipe.along_mm - foot) for pipe in plan.pipes) <= 2000.5
    assert plan.findings == ()


def test_a_gabled_house_has_pipes_on_each_run() -> None:
    # 48 m2 each: the gutter that is taken by default would ask for two
    south, north = plans(job_of(RECTANGLE, {"gutter": "half_round_150"}, roof={"edges": GABLES}))
    assert (south.count, north.count) == (1, 1)
    assert [pipe.id for plan in (south, north) for pipe in plan.pipes] == ["DP1", "DP2"]
    assert south.pipes[0].catchment_mm2 == pytest.approx(48e6)


def test_thirteen_metres_take_two_pipes() -> None:
    outline = [[0, 0], [13000, 0], [13000, 8000], [0, 8000]]
    south, _ = plans(job_of(outline, roof={"edges": GABLES}))
    assert south.count == 2
    assert sum(pipe.catchment_mm2 for pipe in south.pipes) == pytest.approx(52e6)
    a, b = (pipe.along_mm for pipe in south.pipes)
    assert b - a <= 12000.5
    # the slope is 4 m deep all along, and the water parts half way
    assert south.pipes[0].catchment_mm2 == pytest.approx(4000.0 * (a + b) / 2)


def test_places_by_hand_are_moved_to_the_gutter_and_checked() -> None:
    # both on the south side, 6 m apart: the way round the back is 34 m
    job = job_of(RECTANGLE, {"downpipes_at": [[3000, -200], [9000, 100]], "downpipes_at_are_all": True})
    (plan,) = plans(job)
    assert [pipe.at_mm[:2] for pipe in plan.pipes] == [(3000, 0), (9000, 0)]
    assert plan.decided_by == "placed by hand"
    assert [pipe.catchment_mm2 / 1e6 for pipe in plan.pipes] == pytest.approx([48.0, 48.0])
    found = [finding.code for finding in plan.findings]
    assert found.count("gutter-too-long-for-outlet") == 2  # 20 m each
    assert found.count("downpipes-too-far-apart") == 1


def test_by_hand_over_capacity_is_flagged() -> None:
    (plan,) = plans(
        job_of(RECTANGLE, {"downpipes_at": [[6000, 0]], "downpipe": "round_80", "downpipes_at_are_all": True})
    )
    over = next(finding for finding in plan.findings if finding.code == "downpipe-over-capacity")
    assert "96.0 m2" in over.text
    assert "85.0 m2" in over.text


def test_by_hand_in_an_inside_corner_is_flagged() -> None:
    assert "downpipe-in-inside-corner" in codes(job_of(ELL, {"downpipes_at": [[6000, 6100]]}))


def test_a_place_far_from_any_gutter_is_left_out() -> None:
    job = job_of(RECTANGLE, {"downpipes_at": [[6000, 4000]]})
    roofs, gutters, chosen = shaped(job)
    found, findings = snap_places(gutters, roofs, job.rainwater.downpipes_at, chosen)
    assert found == ()
    assert [finding.code for finding in findings] == ["downpipe-place-off-gutter"]
    assert "downpipes_at[1]" in findings[0].text
    assert plans(job)[0].count == 4  # placed by rule then


def test_runs_that_no_place_was_given_for_are_told() -> None:
    job = job_of(RECTANGLE, {"downpipes_at": [[6000, 0]]}, {"area_rule_gutter_mm2_per_m2": 50}, {"edges": GABLES})
    assert "downpipes-placed-for-some" in codes(job)
    assert [plan.decided_by == "placed by hand" for plan in plans(job)] == [True, False]


BY_AREA: dict[str, object] = {"method": "area_per_m2", "downpipes_at_are_all": True}


def test_a_small_gutter_is_flagged_by_area() -> None:
    # 96 m2 to one outlet: 96 / cos 25 x 1.1 x 2 x 1.1 x 100 = 25 634 mm2, and the gutter has 6 300
    job = job_of(RECTANGLE, {**BY_AREA, "downpipes_at": [[6000, 0]]}, site={"rain_mm_per_h": 200})
    assert "gutter-too-small" in codes(job)
    assert "gutter-too-small" not in codes(job_of(RECTANGLE))


def test_no_pipe_comes_down_over_a_window() -> None:
    window = {"wall": 1, "from_left_mm": 50, "sill_mm": 300, "width_mm": 3000, "height_mm": 1800}
    free, blocked = plans(walled([]))[0], plans(walled([window]))[0]
    assert any(pipe.at_mm[:2] == pytest.approx((150, -600)) for pipe in free.pipes)
    south = [pipe.at_mm[0] for pipe in blocked.pipes if pipe.at_mm[1] == pytest.approx(-600)]
    # the window goes from 50 to 3050, and a pipe keeps 150 clear of it
    assert all(x <= -100 or x >= 3200 - 1e-6 for x in south)
    assert blocked.findings == ()


def test_a_pipe_placed_by_hand_over_a_door_is_flagged() -> None:
    # wall 3 is the north one: seen from outside its left end is at x = 10800, so the door is from 8800 to 7900
    door = {"wall": 3, "from_left_mm": 2000, "sill_mm": 0, "width_mm": 900, "height_mm": 2100}
    over, beside = walled([door], {"downpipes_at": [[8300, 7400]]}), walled([door], {"downpipes_at": [[2500, 7400]]})
    assert "downpipe-over-opening" in codes(over)
    assert "downpipe-over-opening" not in codes(beside)


def test_water_between_outlets_on_a_ring_goes_round() -> None:
    _, gutters, _ = shaped(job_of(RECTANGLE))
    water = RunWater(gutters[0])
    assert water.upto(40000) - water.upto(0) == pytest.approx(96e6)
    assert water.upto(52000) - water.upto(40000) == pytest.approx(32e6)
    assert water.before(6000) == pytest.approx(16e6)
    assert water.before(4000) == pytest.approx(8e6)  # a triangle of 4 x 4
    assert water.upto(-8000) - water.upto(-40000) == pytest.approx(80e6)


def test_what_enters_at_the_very_point_counts_half() -> None:
    # 27 + 9 + 18 m2 before the inside corner of the L, of which half of the valley's 9 at its foot; the other half after
    _, gutters, _ = shaped(job_of(ELL))
    water = RunWater(gutters[0])
    assert water.before(24000) == pytest.approx(54e6)
    assert water.before(23999) == pytest.approx(54e6 - 4.5e6, rel=1e-3)
    assert water.before(24001) == pytest.approx(54e6 + 4.5e6, rel=1e-3)


def test_places_near_an_inside_corner_and_distances_round_a_ring() -> None:
    roofs, gutters, chosen = shaped(job_of(ELL))
    site = PipeGround(gutters[0], stretches(gutters[0]), roofs[0], chosen.settings, 4)
    assert {23400.0, 24600.0} <= set(site.other)
    assert site.apart(500.0, 47500.0) == pytest.approx(1000.0)
    assert site.apart(500.0, 10000.0) == pytest.approx(9500.0)


def test_a_pipe_just_as_near_a_heavy_valley_as_asked_keeps_the_limit() -> None:
    # the valley's foot is the inside corner of the L, 24 m along; 2 m from it are asked for
    roofs, gutters, chosen = shaped(job_of(ELL, settings={"valley_needs_downpipe_m2": 8}))
    site = PipeGround(gutters[0], stretches(gutters[0]), roofs[0], chosen.settings, 4)
    capacity = pipe_capacity(chosen.method, chosen.pipe, 25.0, chosen.rain, chosen.settings)
    limits = limits_of(capacity, chosen)
    for place, kept in ((22000.0, True), (26000.0, True), (26002.0, False)):
        assert (VALLEY not in {breach.limit for breach in site.breaches([place], limits)}) is kept


def test_pipes_more_for_wall_ends_are_taken_only_where_they_are_asked_for() -> None:
    # 47.9 m of gutter: 4 pipes do, standing anywhere; 6 keep to wall ends as far as they can
    wall = [[0, 0], [14200, 0], [14200, 8400], [9000, 8400], [9000, 12600], [0, 12600]]
    edges = {2: {"pitch_deg": 15}, 5: {"kind": "gable", "verge_overhang_mm": 450}}
    roof = {"wall_line": wall, "eave_overhang_mm": 600, "pitch_deg": 25, "fascia_height_mm": 2450, "edges": edges}
    roofs, gutters, chosen = shaped(parse_job(json.dumps({"job": "by hand", "roofs": [roof]})))
    limits = limits_of(pipe_capacity("e1_as1", chosen.pipe, 25.0, chosen.rain, chosen.settings), chosen)
    site = PipeGround(gutters[0], stretches(gutters[0]), roofs[0], chosen.settings, 4)
    anywhere, ends = place_pipes(site, limits).places, place_pipes(site, limits, more=2).places
    assert (len(anywhere), len(ends)) == (4, 6)
    assert sum(place in site.good for place in ends) > sum(place in site.good for place in anywhere)


def test_counts_of_a_run_with_ends() -> None:
    _, gutters, chosen = shaped(job_of(RECTANGLE, roof={"edges": GABLES}))
    limits = limits_of(pipe_capacity("e1_as1", chosen.pipe, 25.0, chosen.rain, chosen.settings), chosen)
    assert dict(counts_by_limit(gutters[0], limits)) == {CAPACITY: 1, LENGTH: 1, SPACING: 1, VALLEY: 0}
    tight = replace(limits, spacing_mm=4000.0)
    # outer pipes may stand 12 - 4 / 2 = 10 m in: 12 m never needs a second
    assert dict(counts_by_limit(gutters[0], tight))[SPACING] == 1
    short = replace(limits, length_mm=5000.0, spacing_mm=4000.0)
    # 3 m in at both ends, 6 m between at 4 m: 2 gaps, 3 pipes
    assert dict(counts_by_limit(gutters[0], short))[SPACING] == 3


def test_an_internal_gutter_is_measured_but_not_bought() -> None:
    roofs, gutters, chosen = shaped(job_of(RECTANGLE, roof={"edges": GABLES}))
    inner = (replace(gutters[0], internal=True), gutters[1])
    (first, _), _ = plan_downpipes(inner, roofs, (), chosen)
    assert "internal-gutter" in {finding.code for finding in first.findings}
    result = measure_rainwater(inner, roofs, job_of(RECTANGLE), chosen.settings, load_catalogue())
    gutter_runs = {d.id for need in result.needs for d in need.demands if d.item.startswith("gutter")}
    assert gutter_runs == {"SP2.1"}


def test_same_job_same_places() -> None:
    assert plans(job_of(ELL)) == plans(job_of(ELL))
