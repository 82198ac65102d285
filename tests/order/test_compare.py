"""Two results compared: the same house in other coordinates is the same, and each change is told where it is."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import pytest
import yaml

from takeoff.model.differences import Comparison
from takeoff.model.snapshot import Snapshot
from takeoff.order.comparing.compare import compare
from takeoff.order.comparing.lay_over import lay_over
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.results.result_file import parse_result
from takeoff.write.data.result_json import result_json

RING = [[0, 0], [14200, 0], [14200, 8400], [9000, 8400], [9000, 12600], [0, 12600]]
JOB: dict[str, Any] = {
    "job": "House",
    "revision": "A",
    "site": {"wind_zone": "high", "rain_mm_per_h": 100},
    "roofs": [
        {
            "wall_line": RING,
            "eave_overhang_mm": 600,
            "fascia_height_mm": 2450,
            "pitch_deg": 25,
            "edges": {5: {"kind": "gable", "verge_overhang_mm": 450}, 2: {"pitch_deg": 20}},
            "covering": {"lay_from": "east"},
        }
    ],
    "rainwater": {"ground_mm": -300},
    "walls": {
        "height_mm": 2450,
        "ground_mm": -300,
        "zones": [{"board": "bevel_187"}],
        "openings": [
            {"wall": 1, "name": "W1", "from_left_mm": 1000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200}
        ],
    },
}


def job(**changes: Any) -> dict[str, Any]:
    """The house with keys of its roof changed; "job." and "walls." reach the others."""
    made: dict[str, Any] = yaml.safe_load(yaml.safe_dump(JOB))
    for key, value in changes.items():
        made["roofs"][0][key] = value
    return made


def snapshot(made: dict[str, Any]) -> Snapshot:
    return parse_result(result_json(run(parse_job(yaml.safe_dump(made)))), "takeoff.json")


@pytest.fixture(scope="module")
def house() -> Snapshot:
    return snapshot(JOB)


def kinds(found: Comparison) -> set[str]:
    return {change.kind for change in found.changes}


def metres(seen: Snapshot) -> dict[str, float]:
    """Total of every item of the order."""
    totals: dict[str, float] = {}
    for line in seen.lines:
        totals[line.item] = round(totals.get(line.item, 0.0) + line.total, 3)
    return totals


def moved(ring: list[list[float]], turn_deg: float, x: float, y: float) -> list[list[float]]:
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    return [[px * c - py * s + x, px * s + py * c + y] for px, py in ring]


def test_a_result_is_equal_to_itself(house: Snapshot) -> None:
    found = compare(house, house)
    assert found.changes == ()
    assert found.matched_planes == len(house.planes) == 5
    assert found.matched_sheets == sum(len(plane.sheets) for plane in house.planes) > 50
    assert found.moved == ""


def test_names_revisions_and_dates_are_no_changes(house: Snapshot) -> None:
    assert compare(house, snapshot(job() | {"job": "Other", "revision": "B", "date": "2026-03-02"})).changes == ()


@pytest.mark.parametrize(("x", "y"), [(1000, -250), (0, 12600), (1.5e6, 5.4e6)])
def test_a_shifted_house_is_the_same(house: Snapshot, x: float, y: float) -> None:
    found = compare(house, snapshot(job(wall_line=moved(RING, 0, x, y))))
    assert found.changes == ()
    assert "shifted" in found.moved


@pytest.mark.parametrize("turn_deg", [90, 180, 33.5])
def test_a_house_turned_with_its_north_is_the_same(house: Snapshot, turn_deg: float) -> None:
    # turned anticlockwise by t, plan up bears t more to the west: north_deg = t brings bearings back
    turned = job(wall_line=moved(RING, turn_deg, 500, 700)) | {"north_deg": turn_deg}
    found = compare(house, snapshot(turned))
    assert found.changes == ()
    assert found.matched_sheets == sum(len(plane.sheets) for plane in house.planes)


def test_a_house_turned_against_north_is_told(house: Snapshot) -> None:
    found = compare(house, snapshot(job(wall_line=moved(RING, 10, 0, 0))))
    assert any(change.what == "house against north" and "10.0" in change.new for change in found.changes)
    assert found.matched_planes == 5
    # the end plane's eave is no longer square to the wind: it is laid the other way, its sheets numbered from there
    assert [(c.what, c.old, c.new) for c in found.changes if c.kind == "plane"] == [
        ("laid from", "right", "left"),
        ("laid from", "left", "right"),
    ]
    assert ("P5.18", "P5.01") in {(change.old_name, change.new_name) for change in found.changes}


@pytest.mark.parametrize("start", [1, 3, 5])
def test_a_renumbered_house_is_the_same_by_place(house: Snapshot, start: int) -> None:
    edges = {(n - 1 - start) % 6 + 1: value for n, value in JOB["roofs"][0]["edges"].items()}
    made = job(wall_line=RING[start:] + RING[:start], edges=edges)
    made["walls"]["openings"][0]["wall"] = (0 - start) % 6 + 1
    again = snapshot(made)
    assert [plane.id for plane in again.planes] == [plane.id for plane in house.planes]
    found = compare(house, again)
    assert [change for change in found.changes if change.kind != "order line"] == []
    assert metres(again) == pytest.approx(metres(house), abs=1e-6)
    assert found.matched_sheets == sum(len(plane.sheets) for plane in house.planes)


def test_a_pitch_changes_planes_hips_and_sheets(house: Snapshot) -> None:
    found = compare(house, snapshot(job(pitch_deg=27)))
    terms = {(change.what, change.old, change.new) for change in found.changes if change.kind == "term"}
    assert terms == {("roofs[main].pitch_deg", "25", "27")}
    pitched = {change.new_name for change in found.changes if change.what == "pitch"}
    kept = {plane.id for plane in house.planes if abs(plane.pitch_deg - 20) < 0.1}
    assert pitched == {plane.id for plane in house.planes} - kept
    assert {"plane", "edge", "sheet", "order line"} <= kinds(found)


def test_the_pitch_of_one_edge(house: Snapshot) -> None:
    edges = JOB["roofs"][0]["edges"] | {2: {"pitch_deg": 22}}
    found = compare(house, snapshot(job(edges=edges)))
    terms = [(c.what, c.old_name, c.old, c.new) for c in found.changes if c.kind == "term"]
    assert terms == [("pitch_deg", "edge 2", "20", "22")]


def test_a_profile_setting_and_colour(house: Snapshot) -> None:
    made = job(covering={"lay_from": "east", "colour": "grey"}) | {"settings": {"raked_allowance_mm": 60}}
    found = compare(house, snapshot(made))
    terms = {(change.what, change.old, change.new) for change in found.changes if change.kind == "term"}
    assert ("setting raked_allowance_mm", "50 mm", "60 mm") in terms
    assert any("colour" in what and new == "grey" for what, _, new in terms)
    assert {change.by for change in found.changes if change.kind == "sheet"} == {"+10 mm", "+20 mm"}
    assert "plane" not in kinds(found)
    assert "edge" not in kinds(found)


def test_a_longer_house_matches_what_stayed(house: Snapshot) -> None:
    longer = [[0, 0], [14962, 0], [14962, 8400], [9000, 8400], [9000, 12600], [0, 12600]]
    found = compare(house, snapshot(job(wall_line=longer)))
    # one cover more along two planes: two sheets more, and no sheet of the wing is new
    new = [change for change in found.changes if change.kind == "sheet" and not change.old_name]
    gone = [change for change in found.changes if change.kind == "sheet" and not change.new_name]
    assert len(new) - len(gone) == 2
    assert {change.what for change in found.changes if change.kind == "wall"} >= {"width"}
    ridge = [change for change in found.changes if change.what == "ridge, length"]
    assert "+762 mm" in {change.by for change in ridge}


def test_a_hip_that_becomes_a_gable(house: Snapshot) -> None:
    edges = JOB["roofs"][0]["edges"] | {2: {"kind": "gable"}}
    found = compare(house, snapshot(job(edges=edges)))
    assert any(change.kind == "term" and (change.old, change.new) == ("eave", "gable") for change in found.changes)
    assert [change.new for change in found.changes if change.kind == "plane" and not change.new_name] == ["gone"]
    assert sum(1 for change in found.changes if change.kind == "edge" and change.what == "hip") == 2
    assert next(change.new for change in found.changes if (change.kind, change.what) == ("edge", "verge"))[:3] == "new"


def test_openings_and_downpipes(house: Snapshot) -> None:
    made = job()
    made["walls"]["openings"][0]["width_mm"] = 1500
    found = compare(house, snapshot(made))
    wall = [(change.old_name, change.what) for change in found.changes if change.kind == "wall"]
    assert ("wall 1", "opening W1") in wall
    assert "sheet" not in kinds(found)
    made = job()
    made["rainwater"]["ground_mm"] = -500
    found = compare(house, snapshot(made))
    assert {change.by for change in found.changes if change.what == "height"} == {"+200 mm"}


def test_an_order_that_is_withheld_is_told(house: Snapshot) -> None:
    found = compare(house, snapshot(job(pitch_deg=3, edges={5: {"kind": "gable", "verge_overhang_mm": 450}})))
    assert found.changes[0].what == "the order"
    assert found.changes[0].new == "withheld by a stop finding"


def test_both_ways_tell_the_same(house: Snapshot) -> None:
    other = snapshot(job(pitch_deg=27, eave_overhang_mm=700))
    there, back = compare(house, other), compare(other, house)
    assert len(there.changes) == len(back.changes)
    kept = [[c for c in one.changes if c.old_name and c.new_name and c.new != "moved"] for one in (there, back)]
    figures = [(c.kind, c.what, c.old_name, c.old, c.new_name, c.new) for c in kept[0]]
    assert sorted(figures) == sorted((c.kind, c.what, c.new_name, c.new, c.old_name, c.old) for c in kept[1])
    assert len(figures) > 100


def test_another_house_elsewhere_is_laid_over_middle_on_middle() -> None:
    """No edge of one is like an edge of the other, and they lie apart: 12 x 8 m about (6000, 4000), 9.5 x 5.5 m about
    (204 750, 102 750): shifted by the difference of their middles, not turned."""
    near = job(wall_line=[[0, 0], [12000, 0], [12000, 8000], [0, 8000]], edges={})
    far = job(wall_line=[[200_000, 100_000], [209_500, 100_000], [209_500, 105_500], [200_000, 105_500]], edges={})
    for made in (near, far):
        del made["walls"]
    motion = lay_over(snapshot(near), snapshot(far))
    assert motion.turn_deg == 0.0
    assert motion.shift == pytest.approx((204_750.0 - 6_000.0, 102_750.0 - 4_000.0))
