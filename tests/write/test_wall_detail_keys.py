"""Keys of details and laps of sheets on elevations: every line where claddings meet has its mark, and the marks are
those of the order."""

from __future__ import annotations

import re
import sys
from functools import cache
from math import dist
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from paper_boxes import clashes

from takeoff.model.order import Takeoff
from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.drawing import Dimension, Drawing, Polyline, Text
from takeoff.write.drawings.wall_drawing import wall_drawings
from takeoff.write.drawings.wall_key_plan import wall_key_plan

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
TALL = """
job: Tall shed
site: {longest_piece_mm: 4500}
roofs:
  - {name: main, wall_line: [[0, 0], [8400, 0], [8400, 6000], [0, 6000]], eave_overhang_mm: 600, fascia_height_mm: 6000,
     pitch_deg: 25, edges: {2: {kind: gable, verge_overhang_mm: 450}, 4: {kind: gable, verge_overhang_mm: 450}}}
walls: {height_mm: 6000, ground_mm: -300, zones: [{direction: sheets, profile: corrugated}]}
"""


@cache
def takeoff(sample: str) -> Takeoff:
    return run_file(SAMPLES / sample / "job.yaml")


@cache
def tall() -> Takeoff:
    return run(parse_job(TALL, "tall"))


def whole_walls(found: Takeoff) -> dict[int, Drawing]:
    return {int(d.name[5:]): d for d in wall_drawings(found) if re.fullmatch(r"wall_\d+", d.name)}


def keys(drawing: Drawing) -> list[Text]:
    """The boxed marks: those of the legend stand at its left, unboxed."""
    marks = (item for item in drawing.items if isinstance(item, Text) and item.layer == "WALL-DETAIL")
    return [item for item in marks if item.align == "centre"]


@pytest.mark.parametrize("sample", ["two_storeys", "homestead"])
def test_every_detail_of_a_wall_is_keyed_beside_a_line_of_it_or_led_out_from_one(sample: str) -> None:
    found = takeoff(sample)
    drawings = whole_walls(found)
    assert drawings
    for number, drawing in drawings.items():
        lines = [(j.detail, line) for j in found.cladding.junctions for wall, line in j.lines if wall == number]
        assert {text.text for text in keys(drawing)} == {mark for mark, _ in lines}
        boxes = [item for item in drawing.items if isinstance(item, Polyline) and item.layer == "WALL-DETAIL"]
        assert len(boxes) == len(keys(drawing))
        # every line longer than 6 mm on paper has a key of its own
        for mark in {mark for mark, _ in lines}:
            long = [line for m, line in lines if m == mark and dist(line[0], line[-1]) >= 6.0 * drawing.scale]
            assert len([text for text in keys(drawing) if text.text == mark]) == max(1, len(long))
        for text in keys(drawing):
            near = min(_off(text.at_mm, line) for mark, line in lines if mark == text.text)
            assert near <= 40.0 * drawing.scale


def _off(point: tuple[float, float], line: tuple[tuple[float, float], ...]) -> float:
    (ax, ay), (bx, by) = line[0], line[-1]
    square = (bx - ax) ** 2 + (by - ay) ** 2
    t = min(1.0, max(0.0, ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / square))
    return dist(point, (ax + t * (bx - ax), ay + t * (by - ay)))


def test_marks_of_two_storeys_by_hand() -> None:
    """Wall 1, south: boards round both its corners (E.HH), the washhouse's sheets against it at either side (I.HS), its
    top under the eave (S.H) and its foot over the washhouse's roof (R.H). Wall 2, east: boards under a gable of upright
    ones (L.VH), whose two rakes run under the verge (S.V)."""
    drawings = whole_walls(takeoff("two_storeys"))
    assert sorted(text.text for text in keys(drawings[1])) == ["E.HH", "E.HH", "I.HS", "I.HS", "R.H", "S.H"]
    assert sorted(text.text for text in keys(drawings[2])) == ["E.HH", "E.HH", "L.VH", "S.V", "S.V"]
    said = [item.text for item in drawings[1].items if isinstance(item, Text)]
    assert "inside corner, level boards to sheets" in said
    plan = wall_key_plan(takeoff("two_storeys"))
    assert plan is not None
    listed = [item.text for item in plan.items if isinstance(item, Text)]
    marks = {junction.detail for junction in takeoff("two_storeys").cladding.junctions}
    assert {text.split(":")[0] for text in listed if re.match(r"[A-Z]\.[A-Z]+: ", text)} == marks


def test_laps_of_sheets_are_dimensioned_from_the_foot() -> None:
    """Clad height over the foot 5900, longest 4500: two sheets, 150 lapped. On every wall the upper one begins where the
    lower ends less the lap, over the same foot, and the heading says both."""
    found = tall()
    for number, drawing in whole_walls(found).items():
        (boards,) = (zone for zone in found.cladding.boards if zone.wall == number)
        low = next(piece for piece in boards.pieces if piece.lap_mm)
        up = next(piece for piece in boards.pieces if piece.row == low.row and piece.id != low.id)
        foot = min(y for _, y in low.outline_xy)
        begins = min(y for _, y in up.outline_xy) - foot
        assert max(y for _, y in low.outline_xy) - min(y for _, y in up.outline_xy) == pytest.approx(150.0)
        upright = [item for item in drawing.items if isinstance(item, Dimension) and item.angle_deg == 90.0]
        assert any(
            item.a_mm[1] == pytest.approx(foot) and item.measured_mm == pytest.approx(begins, abs=0.5)
            for item in upright
        )
        said = [item.text for item in drawing.items if isinstance(item, Text)]
        assert f"Upper sheets lap 150 over the lower and begin {begins:.0f} over the foot of these" in said
        assert clashes(drawing) == []


def test_walls_without_laps_say_nothing_of_them() -> None:
    for drawing in whole_walls(takeoff("two_storeys")).values():
        assert not [item for item in drawing.items if isinstance(item, Text) and "Upper sheets lap" in item.text]


def test_a_deck_is_named_with_its_level() -> None:
    """two_storeys: the deck under the back door of wall 3, 150 under the floor, inside its own 3000 to 6000."""
    ground = [item for item in whole_walls(takeoff("two_storeys"))[3].items if isinstance(item, Text)]
    (deck,) = (item for item in ground if item.layer == "GROUND" and item.text == "deck -150")
    assert 3000.0 < deck.at_mm[0] < 6000.0
    assert -300.0 < deck.at_mm[1] < 0.0


def test_a_wall_says_what_its_marks_are_or_where_that_stands() -> None:
    """Homestead: wall 7 fills its paper and sends the reader to the key plan; wall 1 has room for its own two marks."""
    drawings = whole_walls(takeoff("homestead"))
    for drawing in drawings.values():
        said = [item.text for item in drawing.items if isinstance(item, Text) and item.layer in ("WALL-DETAIL", "TEXT")]
        marks = {text.text for text in keys(drawing)}
        assert said.count("Details") == 1
        told = {mark for mark in marks if said.count(mark) > sum(text.text == mark for text in keys(drawing))}
        assert told == marks or (not told and "Walls, key plan; parts: Walls of the order" in said)
    assert "outside corner, level boards to level boards" in {
        item.text for item in drawings[1].items if isinstance(item, Text)
    }


def test_short_boards_carry_their_marks_on_the_parts_of_a_long_wall() -> None:
    """Homestead, wall 1 in two parts of some 9400: at 1:30 that takes 313 of 342 mm of paper, and 1200 beside the door
    40, where a mark and a length take some 25; at 1:50 they did not stand on 24."""
    parts = [d for d in wall_drawings(takeoff("homestead")) if d.name in ("wall_1a", "wall_1b")]
    assert [drawing.scale for drawing in parts] == [30, 30]
    said = {item.text for item in parts[0].items if isinstance(item, Text)}
    assert {f"B1.{course:02d}c: 1200" for course in range(8, 15)} <= said
