"""No words over words, nor over lines that matter: boxes of every drawing of every sample and of fifty made-up houses.

The fifty houses are long; five of the smallest run every time. An overlap of over 0.2 mm on paper counts; widths are those of the widest of the usual sans serif faces (see paper_boxes).
"""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1] / "order"))

from houses_of_all_sorts import house
from paper_boxes import Clash, clashes, width

from takeoff.basics.errors import TakeoffError
from takeoff.model.job.job import Job
from takeoff.model.order import Takeoff
from takeoff.pipeline import run, run_file
from takeoff.write.drawings import label_room
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.drawing import Drawing, Line, Sketch, Text, text_width
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.files import drawings

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
EVERY_TIME = (2, 12, 23, 36, 40)
JOBS = sorted(SAMPLES.glob("*/job.yaml"))


def all_clashes(takeoff: Takeoff) -> list[Clash]:
    view = roof_view(takeoff)
    every = (*drawings(takeoff), *((view,) if view is not None else ()))
    return [clash for drawing in every for clash in clashes(drawing)]


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.parent.name)
def test_no_words_of_a_sample_meet(job: Path) -> None:
    """Nor does the dashed wall line run through the length of an edge, which has other places along it."""
    takeoff = run_file(job)
    assert all_clashes(takeoff) == []
    plan = roof_plan(takeoff)
    assert plan is not None
    assert [c.words for c in clashes(plan, {"WALL-LINE"}) if re.fullmatch(r"[A-Z]+[0-9]+: [0-9]+", c.words)] == []


@pytest.mark.parametrize(
    "number", [pytest.param(n, marks=() if n in EVERY_TIME else pytest.mark.long) for n in range(50)]
)
def test_no_words_of_a_made_up_house_meet(number: int) -> None:
    try:
        takeoff = run(Job.model_validate(house(number), strict=False))
    except TakeoffError as err:
        pytest.skip(f"no roof: {err}")
    assert all_clashes(takeoff) == []


def test_a_planted_overlap_is_seen() -> None:
    # two texts 2.5 mm high and 10 mm apart, of some 22 mm each in the widest face; a line through the first
    items = (
        Text("TEXT", (0.0, 0.0), "PU1.07 5602", 2.5),
        Text("TEXT", (10.0, 0.0), "PU1.08 5602", 2.5),
        Line("ROOF-HIP", (2.0, -5.0), (2.0, 5.0)),
        Line("WALL-LINE", (3.0, -5.0), (3.0, 5.0)),
    )
    found = clashes(Drawing("x", "x", 1, (100.0, 100.0), (0.0, 0.0), items))
    assert sorted(clash.what for clash in found) == ["PU1.08 5602", "line"]
    apart = (items[0], Text("TEXT", (25.0, 0.0), "PU1.08 5602", 2.5))
    assert clashes(Drawing("x", "x", 1, (100.0, 100.0), (0.0, 0.0), apart)) == []


@pytest.mark.parametrize("words", ["P3.07", "E1: 19800", "START", "2658, ripped to 83", "MWM", "WALL", "mm", "25.0°"])
def test_the_room_kept_for_words_is_no_less_than_they_take(words: str) -> None:
    assert text_width(words, 2.5) >= width(words, 2.5)


def test_edge_numbers_of_a_second_roof_are_told_from_the_first() -> None:
    plan = roof_plan(run_file(SAMPLES / "verandah" / "job.yaml"))
    assert plan is not None
    numbers = [item.text for item in plan.items if isinstance(item, Text) and item.layer == "EDGE-NUMBER"]
    assert len(numbers) == len(set(numbers))
    assert "1" in numbers
    assert "b1" in numbers
    assert any(item.text.startswith("b1, b2 ...: edges of roof ") for item in plan.items if isinstance(item, Text))


def test_a_drawing_that_is_too_full_stops_looking_for_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a place costs is bounded: beyond that a word that may be left out is, and nothing is drawn over another."""
    sketch = Sketch(1)
    room = Room(sketch)
    label = Label("TEXT", (0.0, 0.0), "one", 2.5)
    assert room.place([label], (0.0, 0.0))
    drawn = len(sketch.items)
    monkeypatch.setattr(label_room, "MOST_LOOKED", 0)
    assert not room.crowded
    assert not room.place([label], (0.0, 0.0))  # looked at the word that stands there, and that was enough
    assert room.crowded
    assert not room.lead_out(label, (0.0, 0.0))
    assert room.keep_first([[replace(label, at=(900.0, 0.0))]]) == ()
    assert len(sketch.items) == drawn
