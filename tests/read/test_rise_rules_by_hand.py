"""The rise of edges and roofs of a job: every fault whole, with its place, and what is no fault."""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.model.job.edges import EdgeJob, SprocketJob, TwoSlopes
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.rise_references import edge_rise_faults, has_slope, roof_rise_faults

AT = ("roofs", 0, "edges", 2)
STEEP = {"lower_pitch_deg": 60.0, "to_mm": 900.0, "upper_pitch_deg": 20.0}
FLAT = {"lower_pitch_deg": 20.0, "to_mm": 900.0, "upper_pitch_deg": 60.0}


def edge(**given: Any) -> EdgeJob:
    return EdgeJob.model_validate(given)


def roof(**given: Any) -> RoofJob:
    return RoofJob.model_validate({"name": "main", **given})


@pytest.mark.parametrize(
    ("of_roof", "of_edge", "faults"),
    [
        ({}, {}, []),
        ({"pitch_deg": 25}, {"half_hip_from_mm": 900, "gablet_from_mm": 99},
         [((), "give one of half_hip_from_mm and gablet_from_mm; what no word says is written as a rise in steps")]),
        ({}, {"rise": [{"pitch_deg": 9}], "mansard": STEEP, "gambrel": STEEP},
         [((), "give one of rise and mansard and gambrel; what no word says is written as a rise in steps")]),
        ({}, {"half_hip_from_mm": 900}, []),
        ({}, {"half_hip_from_mm": 900, "kind": "gable"}, []),
        ({}, {"half_hip_from_mm": 900, "kind": "eave"}, [(("kind",), "a half hip starts as a gable, not as an eave; leave out kind")]),
        ({}, {"half_hip_from_mm": 900, "kind": "wall"}, [(("kind",), "a half hip starts as a gable, not as a wall; leave out kind")]),
        ({}, {"gablet_from_mm": 900, "kind": "eave"}, []),
        ({}, {"gablet_from_mm": 900, "kind": "gable"},
         [(("kind",), "a gablet stands on a hip end, which is an eave, not as a gable; leave out kind")]),
        ({}, {"mansard": STEEP, "kind": "wall"}, [(("kind",), "a mansard starts at an eave, not as a wall; leave out kind")]),
        ({}, {"gambrel": STEEP, "kind": "gable"}, [(("kind",), "a gambrel starts at an eave, not as a gable; leave out kind")]),
        ({}, {"sprocket": {"pitch_deg": 9, "to_mm": 9}, "kind": "gable"},
         [(("kind",), "a sprocket starts at an eave, not as a gable; leave out kind")]),
        ({}, {"mansard": STEEP}, []),
        ({}, {"mansard": STEEP, "pitch_deg": 30}, [(("pitch_deg",), "the mansard gives both pitches; leave out pitch_deg")]),
        ({"pitch_deg": 30}, {"gambrel": STEEP}, []),
        ({}, {"gambrel": FLAT}, [(("gambrel",), "is steeper below than above, not 20 below 60 degrees; a flatter foot is a sprocket")]),
        ({}, {"mansard": {**STEEP, "lower_pitch_deg": 20.5, "upper_pitch_deg": 20.5}},
         [(("mansard",), "is steeper below than above, not 20.5 below 20.5 degrees; a flatter foot is a sprocket")]),
        ({}, {"sprocket": {"pitch_deg": 30, "to_mm": 300}}, []),
        ({"pitch_deg": 31}, {"sprocket": {"pitch_deg": 30, "to_mm": 300}}, []),
        ({"pitch_deg": 30}, {"sprocket": {"pitch_deg": 30, "to_mm": 300}},
         [(("sprocket", "pitch_deg"), "is flatter than the slope above it, not 30 below 30 degrees")]),
        ({"pitch_deg": 40}, {"pitch_deg": 25.5, "sprocket": {"pitch_deg": 30, "to_mm": 300}},
         [(("sprocket", "pitch_deg"), "is flatter than the slope above it, not 30 below 25.5 degrees")]),
        ({}, {"rise": [{"pitch_deg": 9}]}, []),
        ({}, {"rise": [{"pitch_deg": 9}], "kind": "eave"}, []),
        ({}, {"rise": [{"pitch_deg": 9}], "kind": "wall"}, [(("rise",), "a wall edge is upright; leave out kind to give a rise")]),
        ({}, {"rise": [{"pitch_deg": 9}], "kind": "gable", "pitch_deg": 25},
         [(("rise",), "a gable edge is upright; leave out kind to give a rise"), (("pitch_deg",), "give a pitch or a rise, not both")]),
        ({"flat_top_at_mm": 900}, {"rise": [{"pitch_deg": 9}]}, []),
        ({"flat_top_at_mm": 900}, {"rise": [{"pitch_deg": 9, "up_to_mm": 90}, {"flat": True}]},
         [(("rise",), "ends in a flat top, and so does the whole roof by flat_top_at_mm; give one")]),
        ({}, {"rise": [{"pitch_deg": 9, "up_to_mm": 90}, {"flat": True}]}, []),
        ({}, {"rise": [{"pitch_deg": 9, "up_to_mm": 0.5}, {"pitch_deg": 8}]}, []),
        ({}, {"rise": [{}]}, [(("rise", 0), "needs one of pitch_deg, vertical: true, flat: true")]),
        ({}, {"rise": [{"pitch_deg": 9, "vertical": True}]}, [(("rise", 0), "needs one of pitch_deg, vertical: true, flat: true")]),
        ({}, {"rise": [{"flat": True, "vertical": True}]}, [(("rise", 0), "needs one of pitch_deg, vertical: true, flat: true")]),
        ({}, {"rise": [{"pitch_deg": 9}, {"vertical": True, "up_to_mm": 90}, {"pitch_deg": 5}]},
         [(("rise", 0), "needs up_to_mm: only the last step goes to the top")]),
        ({}, {"rise": [{"pitch_deg": 9, "up_to_mm": 90}, {"vertical": True, "up_to_mm": 95}]},
         [(("rise", 1), "the last step goes to the top: leave out up_to_mm")]),
        ({}, {"rise": [{"flat": True, "up_to_mm": 90}, {"pitch_deg": 9}]}, [(("rise", 0), "flat can only be the last step")]),
        ({}, {"rise": [{"pitch_deg": 9, "up_to_mm": 90}, {"pitch_deg": 8, "up_to_mm": 90}, {"pitch_deg": 7, "up_to_mm": 89.5},
                       {"pitch_deg": 6, "up_to_mm": 90}, {"pitch_deg": 5}]},
         [(("rise", 1, "up_to_mm"), "must be above the step before it, which ends at 90"),
          (("rise", 2, "up_to_mm"), "must be above the step before it, which ends at 90")]),
    ],
)  # fmt: skip
def test_the_rise_of_an_edge(of_roof: dict[str, Any], of_edge: dict[str, Any], faults: list[Any]) -> None:
    found = edge_rise_faults(roof(**of_roof), edge(**of_edge), AT)
    assert found == [((*AT, *at), text) for at, text in faults]


@pytest.mark.parametrize(
    ("given", "faults"),
    [
        ({}, []),
        ({"pitch_deg": 25}, []),
        ({"mansard": STEEP, "sprocket": {"pitch_deg": 9, "to_mm": 9}},
         [((), "give one of mansard and sprocket; single edges may have their own")]),
        ({"mansard": STEEP}, []),
        ({"mansard": STEEP, "pitch_deg": 25},
         [(("pitch_deg",), "the mansard gives both pitches of every eave; give pitch_deg to single edges only")]),
        ({"gambrel": FLAT, "pitch_deg": 25},
         [(("gambrel",), "is steeper below than above, not 20 below 60 degrees; a flatter foot is a sprocket"),
          (("pitch_deg",), "the gambrel gives both pitches of every eave; give pitch_deg to single edges only")]),
        ({"sprocket": {"pitch_deg": 9, "to_mm": 9}, "pitch_deg": 10}, []),
        ({"sprocket": {"pitch_deg": 9, "to_mm": 9}, "pitch_deg": 8},
         [(("sprocket", "pitch_deg"), "is flatter than the slope above it, not 9 below 8 degrees")]),
        ({"flat_top_at_mm": 900}, []),
        ({"mesh": {"file": "a.obj"}}, []),
        ({"mesh": {"file": "a.obj"}, "flat_top_at_mm": 900},
         [(("flat_top_at_mm",), "belongs to an outline or a wall line, not to a mesh")]),
        ({"mesh": {"file": "a.obj"}, "gambrel": STEEP, "flat_top_at_mm": 900},
         [(("gambrel",), "belongs to an outline or a wall line, not to a mesh"),
          (("flat_top_at_mm",), "belongs to an outline or a wall line, not to a mesh")]),
    ],
)  # fmt: skip
def test_the_rise_of_a_roof(given: dict[str, Any], faults: list[Any]) -> None:
    assert roof_rise_faults(roof(**given), ("roofs", 3)) == [(("roofs", 3, *at), text) for at, text in faults]


@pytest.mark.parametrize(
    ("of_roof", "of_edge", "known"),
    [
        ({}, None, False),
        ({"pitch_deg": 25}, None, True),
        ({"mansard": STEEP}, None, True),
        ({"gambrel": STEEP}, None, True),
        ({"sprocket": {"pitch_deg": 9, "to_mm": 9}}, None, False),
        ({}, {}, False),
        ({"gambrel": STEEP}, {}, True),
        ({}, {"pitch_deg": 25}, True),
        ({}, {"rise": [{"pitch_deg": 9}]}, True),
        ({}, {"mansard": STEEP}, True),
        ({}, {"gambrel": STEEP}, True),
        ({}, {"kind": "gable"}, True),
        ({}, {"kind": "wall"}, True),
        ({}, {"kind": "eave"}, False),
        ({}, {"kind": "gable", "half_hip_from_mm": 900}, False),
        ({"mansard": STEEP}, {"half_hip_from_mm": 900}, False),  # its pitch is neither of the mansard's
        ({"pitch_deg": 25}, {"half_hip_from_mm": 900}, True),
        ({}, {"gablet_from_mm": 900, "pitch_deg": 25}, True),
        ({}, {"sprocket": {"pitch_deg": 9, "to_mm": 9}}, False),
    ],
)
def test_whether_the_slope_of_an_edge_is_known(
    of_roof: dict[str, Any], of_edge: dict[str, Any] | None, known: bool
) -> None:
    assert has_slope(roof(**of_roof), None if of_edge is None else edge(**of_edge)) is known


def test_two_slopes_and_a_sprocket_are_read() -> None:
    """What the tables above give, as the model holds it."""
    assert edge(mansard=STEEP).mansard == TwoSlopes(lower_pitch_deg=60.0, to_mm=900.0, upper_pitch_deg=20.0)
    assert edge(sprocket={"pitch_deg": 9, "to_mm": 8}).sprocket == SprocketJob(pitch_deg=9.0, to_mm=8.0)
