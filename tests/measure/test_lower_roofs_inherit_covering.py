"""A roof that says nothing of its covering has that of the roof it belongs to (common practice, no source)."""

from __future__ import annotations

import json
from typing import Any

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

HOUSE: dict[str, Any] = {
    "name": "house",
    "wall_line": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]],
    "eave_overhang_mm": 600,
    "fascia_height_mm": 3600,
    "pitch_deg": 25,
    "covering": {"profile": "corrugated", "bmt_mm": 0.55, "colour": "red", "lay_from": "east"},
}
LEAN_TO: dict[str, Any] = {
    "name": "lean-to",
    "below": "house",
    "outline": [[0, -2500], [12000, -2500], [12000, 0], [0, 0]],
    "fascia_height_mm": 2300,
    "pitch_deg": 10,
    "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}},
}


def taken(*roofs: dict[str, Any]) -> Takeoff:
    job = {"job": "coverings", "rainwater": {"ground_mm": -300}, "roofs": list(roofs)}
    return pipeline.run(parse_job(json.dumps(job)))


def groups(takeoff: Takeoff) -> list[tuple[str, float, str, list[str]]]:
    """Orders at the mill: profile, thickness, colour, roofs."""
    roof_of = {plane.id: roof.name for roof in takeoff.roofs for plane in roof.planes}
    return [
        (g.profile.id, g.bmt_mm, g.colour, sorted({roof_of[plane.plane] for plane in g.planes}))
        for g in takeoff.roofing.groups
    ]


def test_a_lower_roof_is_one_order_with_the_roof_it_lies_below() -> None:
    """By hand: one profile, thickness and colour is one order at the mill, not two, and no sheet lies against the lee:
    both roofs are laid from the east."""
    takeoff = taken(HOUSE, LEAN_TO)
    assert groups(takeoff) == [("corrugated", 0.55, "red", ["house", "lean-to"])]
    lower = next(roof for roof in takeoff.job.roofs if roof.name == "lean-to")
    assert lower.covering.lay_from == "east"
    assert [line.count for line in takeoff.order.lines if line.of.spare_of] == [1.0] if takeoff.order else False


def test_what_the_lower_roof_says_stands() -> None:
    takeoff = taken(HOUSE, {**LEAN_TO, "covering": {"colour": "grey"}})
    assert groups(takeoff) == [("corrugated", 0.55, "red", ["house"]), ("corrugated", 0.55, "grey", ["lean-to"])]


def test_a_thickness_goes_with_its_profile() -> None:
    """0.55 is the main roof's; a lower roof of wider sheets has the thickness of the settings."""
    takeoff = taken(HOUSE, {**LEAN_TO, "covering": {"profile": "corrugated_wide"}})
    (lower,) = (roof for roof in takeoff.job.roofs if roof.name == "lean-to")
    assert (lower.covering.colour, lower.covering.bmt_mm) == ("red", None)


def test_the_order_of_roofs_in_the_file_and_rings_of_belows_do_not_matter() -> None:
    one = groups(taken(HOUSE, LEAN_TO))
    other = groups(taken(LEAN_TO, HOUSE))
    assert one[0][:3] == other[0][:3]
    assert len(other) == 1


def test_a_first_strip_stays_on_its_own_roof() -> None:
    house = {**HOUSE, "covering": {**HOUSE["covering"], "first_cover_mm": 400}}
    takeoff = taken(house, LEAN_TO)
    assert [roof.covering.first_cover_mm for roof in takeoff.job.roofs] == [400.0, None]


def test_a_dormer_is_sheeted_as_the_first_roof() -> None:
    dormer = {
        "name": "dormer",
        "outline": [[5000, 1000], [7000, 1000], [7000, 3500], [5000, 3500]],
        "fascia_height_mm": 5000,
        "pitch_deg": 25,
        "edges": {1: {"kind": "gable"}, 3: {"kind": "gable"}},
    }
    assert groups(taken(HOUSE, dormer)) == [("corrugated", 0.55, "red", ["dormer", "house"])]
