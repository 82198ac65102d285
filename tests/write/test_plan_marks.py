"""The roof plan's signs: numbers, downpipes, spouting, fall and lay arrows, lee end; none over another."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import dist
from pathlib import Path

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.drawings.drawing import Circle, Drawing, Line, Sketch, Text
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_drawing import roof_plan

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@cache
def takeoff(sample: str) -> Takeoff:
    return run_file(SAMPLES / sample / "job.yaml")


@cache
def plan(sample: str) -> Drawing:
    drawing = roof_plan(takeoff(sample))
    assert drawing is not None
    return drawing


def said(drawing: Drawing, layer: str) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Text) and item.layer == layer]


@pytest.mark.parametrize("sample", ["hip_12x8", "homestead", "l_house", "courtyard"])
def test_signs_and_numbers_lie_apart(sample: str) -> None:
    drawing = plan(sample)
    room = Room(Sketch(drawing.scale))
    for item in drawing.items:
        if isinstance(item, Circle) and item.layer == "EDGE-NUMBER":
            box = room.square(item.at_mm, item.radius_mm / drawing.scale)
            assert room.clear(box)
            room.boxes.append(box)
    for item in drawing.items:
        if isinstance(item, Text) and item.layer in ("DOWNPIPE", "GUTTER", "FALL-ARROW") and item.middle:
            label = Label(item.layer, item.at_mm, item.text, item.height_mm / drawing.scale, item.angle_deg, item.align)
            assert room.free([label]), item.text
            room.keep([label])


def test_the_length_of_the_spouting_stands_clear_of_the_dimensions() -> None:
    """The chain of dimensions under the homestead has a line at 12600."""
    (text,) = (item for item in plan("homestead").items if isinstance(item, Text) and item.text == "SP1: 60900")
    half = 10 * text.height_mm * 0.78 / 2.0
    assert not text.at_mm[0] - half < 12600.0 < text.at_mm[0] + half


def test_every_sheeted_plane_shows_fall_and_lay() -> None:
    drawing = plan("homestead")
    assert said(drawing, "FALL-ARROW").count("fall") == 6
    assert said(drawing, "LAY-ARROW").count("lay") >= 5  # beside H1 the word has no room, the bar stands
    # a bar a plane and one in the key
    assert sum(1 for item in drawing.items if isinstance(item, Line) and item.layer == "START-LINE") == 7


def test_the_lee_end_is_shown_and_the_signs_are_told() -> None:
    drawing = plan("homestead")
    assert "lee end: east" in said(drawing, "LAY-ARROW")
    assert {"edge as numbered in the job", "fall: the way water runs"} <= set(said(drawing, "TEXT"))


def test_the_wind_blows_towards_the_lee_end() -> None:
    """Plan up bears east (90): north is to the left, so a lee end in the east lies up the paper."""
    made = takeoff("homestead")
    turned = roof_plan(replace(made, job=made.job.model_copy(update={"north_deg": 90.0})))
    assert turned is not None
    for drawing, way in ((plan("homestead"), (1.0, 0.0)), (turned, (0.0, 1.0))):
        place = next(item.at_mm for item in drawing.items if isinstance(item, Text) and item.text == "wind")
        shafts = [item for item in drawing.items if isinstance(item, Line) and item.layer == "LAY-ARROW"]
        shaft = min(shafts, key=lambda line: abs(line.a_mm[0] - place[0]) + abs(line.a_mm[1] - place[1]))
        run = (shaft.b_mm[0] - shaft.a_mm[0], shaft.b_mm[1] - shaft.a_mm[1])
        assert (run[0] > 1.0, run[1] > 1.0) == (way[0] > 0.0, way[1] > 0.0)


@pytest.mark.parametrize("sample", ["dormer", "loft_house", "verandah", "courtyard", "homestead", "wing"])
def test_every_downpipe_is_named_beside_its_sign(sample: str) -> None:
    """A pipe without a name cannot be found by whoever reads the list: it is led out where it has no room beside it."""
    pipes = [pipe.id for one in takeoff(sample).rainwater.downpipes for pipe in one.pipes]
    assert sorted(said(plan(sample), "DOWNPIPE")) == sorted(pipes)


def test_clear_sheets_are_named_where_they_lie() -> None:
    assert said(plan("loft_house"), "SHEET-CLEAR") == ["clear"]


def test_a_lower_roof_is_dashed_under_the_eave_of_the_higher_one() -> None:
    """two_storeys: the eave of the quarters stands 600 past the wall that the washhouse leans on, so 600 of both verges
    (3000 - 2400 of wall line + 300 eave = 2700 in plan, 2100 seen) and the whole apron of 6000 lie under it."""
    lines = [item for item in plan("two_storeys").items if isinstance(item, Line)]
    long = {
        layer: sorted(round(dist(line.a_mm, line.b_mm)) for line in lines if line.layer == layer)
        for layer in ("ROOF-HIDDEN", "ROOF-VERGE", "ROOF-APRON")
    }
    assert long["ROOF-HIDDEN"] == pytest.approx([600, 600, 6000], abs=1)
    assert long["ROOF-VERGE"][:2] == pytest.approx([2100, 2100], abs=1)
    assert long["ROOF-APRON"] == []
    assert "thin and dashed: lies under another roof" in said(plan("two_storeys"), "TEXT")
    assert not [item for item in plan("l_house").items if item.layer == "ROOF-HIDDEN"]
    assert "thin and dashed: lies under another roof" not in said(plan("l_house"), "TEXT")
