"""A house is ordered the same however it lies: turned, shifted, rounded, typed from another corner, clockwise, taped.

A part of what `python tests/properties/same_house.py --all` runs; that prints the counts of all. Whatever differs must
be what the square house with those very sides has too (see same_house.py).
"""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import same_house
from same_house import Outcome, check, named, ways
from same_house_houses import KINDS, sample_names
from same_house_mesh import mesh_outcomes
from same_house_moves import SURVEY_MM, Move, moved_house

from takeoff.basics.errors import TakeoffError

SOUND = ("same", "explained")
SAMPLES = [f"sample {name}" for name in sample_names()]


def _told(outcomes: list[Outcome]) -> list[Outcome]:
    return [outcome for outcome in outcomes if outcome.kind not in SOUND]


def _one_way(number: int, name: str) -> list[Outcome]:
    some = ways(name, every=False)
    return _told([check(name, named(name), some[number % len(some)])])


@pytest.mark.parametrize(("number", "name"), list(enumerate(SAMPLES)), ids=str)
def test_one_way_of_every_sample(number: int, name: str) -> None:
    assert _one_way(number, name) == []


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_one_way_of_every_kind_of_generated_house(number: int) -> None:
    """The first house of the kind whose square house is sound."""
    names = (f"generated {n}" for n in count(number, len(KINDS)))
    name = next(name for name in names if same_house.sound(named(name)))
    assert _one_way(number, name) == []


@pytest.mark.parametrize("step", [1.0, 0.1, 0.01, 0.001, 0.0001])
def test_the_homestead_at_every_rounding(step: float) -> None:
    """The house that was found ordered with 4881 rolls of underlay for 8 when turned by 37.3 degrees."""
    move = Move(37.3, SURVEY_MM, step, start=3)
    assert _told([check("sample homestead", named("sample homestead"), move)]) == []


def test_a_mesh_turned() -> None:
    assert _told(mesh_outcomes(every=False)) == []


@pytest.mark.long
@pytest.mark.parametrize("name", SAMPLES)
def test_every_way_of_every_sample(name: str) -> None:
    assert _told(same_house.run_house(name, every=True)) == []


@pytest.mark.long
def test_some_ways_of_generated_houses() -> None:
    outcomes = [same_house.run_sound(f"generated {number}", every=False) for number in range(300)]
    assert [told for found in outcomes for told in _told(found)] == []
    assert sum(map(bool, outcomes)) > 200


def test_a_fault_of_a_house_is_told_with_the_house(monkeypatch: pytest.MonkeyPatch) -> None:
    """Seen to fail: a takeoff that loses a line of its order, one that is refused and one that breaks."""
    house, move = named("sample hip_12x8"), Move(37.3, SURVEY_MM, 0.001)
    whole = same_house.take_off
    true = whole(moved_house(house, move))
    assert true.order is not None
    fewer = replace(true, order=replace(true.order, lines=true.order.lines[:-1]))

    def drawn(other: object) -> object:
        def take_off(job: same_house.House) -> object:
            if job.get("north_deg") == 37.3:
                if isinstance(other, Exception):
                    raise other
                return other
            return whole(job)

        return take_off

    for other, kind in ((fewer, "unexplained"), (TakeoffError("no roof"), "refusal"), (KeyError("P1"), "crash")):
        monkeypatch.setattr(same_house, "take_off", drawn(other))
        assert check("a house", house, move).kind == kind


def test_what_names_a_side_goes_with_it() -> None:
    """A rectangle typed clockwise from the second point of its list turned about: its edges 1, 2, 3, 4 become 2, 1, 4,
    3."""
    house = {
        "roofs": [
            {"name": "a", "wall_line": [[0, 0], [9, 0], [9, 6], [0, 6]], "edges": {2: {}}, "no_spouting_on": [4]}
        ],
        "walls": {"openings": [{"wall": 1}], "zones": [{"walls": [3, 4]}]},
        "rainwater": {"none_on": [1]},
    }
    moved = moved_house(house, Move(start=1, clockwise=True))
    roof = moved["roofs"][0]
    assert roof["wall_line"] == [[9, 6], [9, 0], [0, 0], [0, 6]]
    assert (roof["edges"], roof["no_spouting_on"]) == ({1: {}}, [3])
    assert moved["walls"] == {"openings": [{"wall": 2}], "zones": [{"walls": [4, 3]}]}
    assert moved["rainwater"]["none_on"] == [2]
