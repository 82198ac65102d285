"""From which end a flashing is lapped, what closes ribbed sheets under it, and where its section has hems: by hand.

Common practice, no source: level flashings are lapped from the lee end, what runs up the slope from the eave up.
"""

from __future__ import annotations

import json
from math import cos, radians, sin

import pytest

from takeoff import pipeline
from takeoff.model.measured import FlashingRun
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

BEARINGS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
RECTANGLE = [[0, 0], [10000, 0], [10000, 6000], [0, 6000]]
GABLES = {2: {"kind": "gable"}, 4: {"kind": "gable"}}


def take_off(until: pipeline.Stage = pipeline.Stage.MEASURE, north_deg: float = 0.0, **roof: object) -> Takeoff:
    whole = {"outline": RECTANGLE, "pitch_deg": 25, "fascia_height_mm": 2400, **roof}
    job = parse_job(json.dumps({"job": "by hand", "north_deg": north_deg, "roofs": [whole]}))
    return pipeline.run(job, until)


def runs(takeoff: Takeoff, kind: str) -> list[FlashingRun]:
    return [run for run in takeoff.roofing.flashings if run.kind == kind]


def lap_end(lee: str, north_deg: float = 0.0) -> str:
    """Where the ridge of a gable along x is lapped from."""
    takeoff = take_off(north_deg=north_deg, edges=GABLES, covering={"lay_from": lee})
    return runs(takeoff, "ridge")[0].lap_from


@pytest.mark.parametrize(
    ("lee", "end"),
    [
        ("east", "the lee end (east)"),
        ("north-east", "the lee end (east)"),  # 45 degrees off either end: the nearer one is east
        ("south-east", "the lee end (east)"),
        ("west", "the lee end (west)"),
        ("north-west", "the lee end (west)"),
        ("south-west", "the lee end (west)"),
    ],
)
def test_a_ridge_is_lapped_from_the_end_nearer_the_lee(lee: str, end: str) -> None:
    """A ridge that runs east and west: cos 45 degrees is above 0, cos 135 degrees below."""
    assert lap_end(lee) == end


@pytest.mark.parametrize("lee", ["north", "south"])
def test_a_ridge_square_to_the_wind_has_no_lee_end(lee: str) -> None:
    assert lap_end(lee) == "the west end (square to the wind: no lee end)"


@pytest.mark.parametrize("lee", BEARINGS)
@pytest.mark.parametrize("north_deg", [30.0, 100.0, 200.0, 290.0])
def test_the_lee_end_turns_with_the_house(lee: str, north_deg: float) -> None:
    """Plan right bears north_deg + 90: of the ridge's two ends the one in whose direction the lee lies."""
    right = radians(north_deg + 90.0)
    to_lee = radians(45.0 * BEARINGS.index(lee))
    along = sin(right) * sin(to_lee) + cos(right) * cos(to_lee)  # the two directions as arrows on a compass
    end = (north_deg + (90.0 if along > 0.0 else 270.0)) % 360.0
    assert lap_end(lee, north_deg) == f"the lee end ({BEARINGS[round(end / 45.0) % 8]})"


def test_hips_valleys_barges_and_side_aprons_are_lapped_from_the_eave_up() -> None:
    hipped = take_off()
    assert {run.lap_from for run in runs(hipped, "hip")} == {"the eave up"}
    assert {run.lap_from for run in runs(take_off(edges=GABLES), "verge")} == {"the eave up"}
    walled = take_off(edges={2: {"kind": "wall"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}})
    assert {run.lap_from for run in runs(walled, "apron side")} == {"the eave up"}
    assert {run.lap_from for run in runs(walled, "apron head")} == {"the lee end (east)"}


RIBBED = {"covering": {"profile": "trapezoidal_5_rib"}}


def closures(takeoff: Takeoff) -> float:
    figures = [q.figure for need in takeoff.roofing.needs for q in need.quantities if q.item == "profile_closure"]
    return sum(figures)


def test_closures_are_one_edge_of_a_head_an_apron_or_a_pitch_change_and_two_of_a_ridge_or_hip() -> None:
    """10 x 6 m. Single pitch with a free high edge: its 10 m once. Against a wall at its head: 10 m once. Gabled: the
    ridge of 10 m twice. A sprocket to 100 mm over the fascia on both sides of a gable: two breaks of 10 m, once each,
    and the ridge twice."""
    single = {"edges": {2: {"kind": "gable"}, 3: {"kind": "gable"}, 4: {"kind": "gable"}}, "pitch_deg": 10}
    assert closures(take_off(**RIBBED, **single)) == pytest.approx(10.0)
    walled = {"edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}, "pitch_deg": 10}
    assert closures(take_off(**RIBBED, **walled)) == pytest.approx(10.0)
    assert closures(take_off(**RIBBED, edges=GABLES)) == pytest.approx(20.0)
    swept = {"edges": GABLES, "sprocket": {"pitch_deg": 12, "to_mm": 100}}
    assert closures(take_off(**RIBBED, **swept)) == pytest.approx(2 * 10.0 + 20.0)


def test_closures_of_a_hip_are_both_edges_of_hips_and_ridge() -> None:
    """10 x 6 m at 25 degrees: ridge 4 m, hips sqrt(3^2 + 3^2 + (3 tan 25)^2) = 4.468 m each."""
    hip = (9.0 + 9.0 + (3.0 * sin(radians(25.0)) / cos(radians(25.0))) ** 2) ** 0.5
    assert closures(take_off(**RIBBED)) == pytest.approx(2 * (4.0 + 4 * hip))


def test_sections_have_hems_at_their_free_edges() -> None:
    """A cap has a hem at each of its two edges, a barge one in the pan, an apron one on the sheets and one up the wall
    where its cover asks for it, a tray none."""
    hipped = take_off()
    gabled = take_off(edges=GABLES)
    walled = take_off(edges={2: {"kind": "wall"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}})
    ell = [[0, 0], [12000, 0], [12000, 6000], [6000, 6000], [6000, 12000], [0, 12000]]
    valley = take_off(outline=ell)
    hems = {
        run.kind: (run.section.hems, run.folds)
        for takeoff in (hipped, gabled, walled, valley)
        for run in takeoff.roofing.flashings
        if run.section is not None
    }
    assert hems == {
        "ridge": (2, 5),
        "hip": (2, 5),
        "verge": (1, 4),
        "apron head": (2, 4),
        "apron side": (2, 4),
        "valley": (0, 3),
    }
