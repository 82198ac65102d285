"""Elevations and course lists: heights from the floor, lengths that do not meet, nothing under an opening's words."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.drawing import Dimension, Drawing, Text, text_width
from takeoff.write.drawings.wall_drawing import wall_drawings
from takeoff.write.drawings.wall_key_plan import wall_key_plan
from takeoff.write.workbook.workbook_boards import course_lines

HUT = """
job: Hut
roofs:
  - {name: main, wall_line: [[0, 0], [8400, 0], [8400, 6000], [0, 6000]], eave_overhang_mm: 600, fascia_height_mm: 2450,
     pitch_deg: 25, edges: {2: {kind: gable, verge_overhang_mm: 450}, 4: {kind: gable, verge_overhang_mm: 450}},
     covering: {profile: corrugated, bmt_mm: 0.40}}
walls:
  height_mm: 2450
  ground_mm: -450
  zones:
    - {walls: [1, 3], direction: horizontal, board: bevel_187}
    - {direction: vertical, board: {width_mm: 150, cover_mm: 135}}
  openings:
    - {wall: 1, name: D1, from_left_mm: 600, sill_mm: 0, width_mm: 900, height_mm: 2100}
    - {wall: 1, name: W1, from_left_mm: 4000, sill_mm: 900, width_mm: 1800, height_mm: 1200}
    - {wall: 2, name: W2, from_left_mm: 2000, sill_mm: 900, width_mm: 1800, height_mm: 1200}
"""


@pytest.fixture(scope="module")
def hut() -> Takeoff:
    return run(parse_job(HUT, "hut"))


def words(drawing: Drawing, layer: str) -> list[Text]:
    return [item for item in drawing.items if isinstance(item, Text) and item.layer == layer]


def test_the_storey_rod_counts_from_the_floor(hut: Takeoff) -> None:
    rod = [text.text for text in words(wall_drawings(hut)[0], "WALL-MARK")]
    # foot 50 under the floor, cover (2100 + 50) / 14 = 153.57: course 15 stands on the heads at 2100
    assert rod[0] == "course: over floor"
    assert rod[1] == "1: -50"
    assert rod[-1] == "15: 2100"
    heights = [(int(n), int(mm)) for n, mm in (line.split(": ") for line in rod[1:])]
    assert all(mm == round(-50 + (n - 1) * 2150 / 14) for n, mm in heights)


def test_a_narrow_door_shows_its_size(hut: Takeoff) -> None:
    shown = {text.text for text in words(wall_drawings(hut)[0], "WALL-OPENING")}
    assert {"D1", "900 x 2100", "W1", "1800 x 1200", "sill 0", "sill 900"} <= shown or {"900 x", "2100"} <= shown


def test_boards_and_covers_are_named_once(hut: Takeoff) -> None:
    level, upright = (words(drawing, "TEXT")[1].text for drawing in wall_drawings(hut)[:2])
    assert level.startswith("bevel-back weatherboard 187 x 18, horizontal, cover 153.6; 15 courses")
    assert re.match(r"vertical board 150 wide, cover 135; \d+ boards, net", upright)


def boxes(texts: list[Text]) -> list[tuple[float, float, float, float]]:
    """Where words lie, level or upright, roughly [mm]."""
    found = []
    for text in texts:
        long, high = text_width(text.text, text.height_mm) * 0.72, text.height_mm
        along = -long / 2.0 if text.align == "centre" else 0.0
        x, y = text.at_mm
        if text.angle_deg == 90.0:
            found.append((x - high / 2.0, y + along, x + high / 2.0, y + along + long))
        else:
            found.append((x + along, y - high / 2.0, x + along + long, y + high / 2.0))
    return found


def meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])


def test_no_lengths_run_into_each_other_or_into_an_opening(hut: Takeoff) -> None:
    whole = [drawing for drawing in wall_drawings(hut) if re.fullmatch(r"wall_\d+", drawing.name)]
    for drawing, wall in zip(whole, hut.elevations, strict=True):
        placed = boxes(words(drawing, "WALL-BOARD"))
        assert len(placed) > 3
        assert not [(a, b) for i, a in enumerate(placed) for b in placed[:i] if meet(a, b)]
        holes = [(o.from_left_mm, o.sill_mm, o.from_left_mm + o.width_mm, o.head_mm) for o in wall.openings]
        assert not [(box, hole) for box in placed for hole in holes if meet(box, hole)]


def test_equal_upright_neighbours_share_a_label_and_rips_are_said(hut: Takeoff) -> None:
    labels = [text.text for text in words(wall_drawings(hut)[1], "WALL-BOARD")]
    # 13 covers of 135 lie within 2000 to 3800 at most; those under the sill are all 950 long
    assert [label for label in labels if re.fullmatch(r"1[0-3] x 950", label)]
    rips = {piece.ripped_mm for zone in hut.cladding.boards if zone.wall == 2 for piece in zone.pieces} - {0.0}
    # what is seen of it: a shiplap board of 150 that covers 135 keeps 15 beside it where the next one laps over it
    assert sum(f"ripped to {round(max(rips))} seen" in label for label in labels) == 2
    assert hut.order is not None
    upright = [line for line in course_lines(hut, hut.order) if line.startswith("wall 2, board") and "ripped" in line]
    assert upright
    assert all(" seen" in line for line in upright)


def test_course_lists_name_wall_and_course_of_every_piece(hut: Takeoff) -> None:
    assert hut.order is not None
    lines = course_lines(hut, hut.order)
    listed: list[int] = []
    for line in lines:
        if "set out from" in line:
            continue
        head, cuts = line.split(": ")
        first, _, last = re.search(r"(\d+)( to )?(\d+)?$", head).groups()  # type: ignore[union-attr]
        times = int(last or first) - int(first) + 1
        cuts = re.sub(r" (ripped to|raked) [\d.]+", "", cuts)
        listed += [int(cut) for cut in re.findall(r"\b\d+", cuts)] * times
    boards = {piece.id for zone in hut.cladding.boards for piece in zone.pieces}
    bought = [p.length_mm for plan in hut.order.plans for bar in plan.bars for p in bar.pieces if p.run in boards]
    assert sorted(listed) == sorted(bought)
    # course 15 over the heads runs through; course 5 is split by the door only: two lists
    assert any(line.startswith("wall 1, course 15: ") or "to 15: " in line for line in lines)
    assert all(a != b for a, b in pairwise(lines))


LONG = """
job: Shed and lean-to
roofs:
  - {name: shed, wall_line: [[0, 0], [24000, 0], [24000, 8000], [0, 8000]], eave_overhang_mm: 600,
     fascia_height_mm: 5300, pitch_deg: 15, edges: {2: {kind: gable, verge_overhang_mm: 450}}}
  - {name: lean, below: shed, wall_line: [[3000, -3000], [9000, -3000], [9000, 0], [3000, 0]], fascia_height_mm: 2300,
     pitch_deg: 8, edges: {2: {kind: gable}, 3: {kind: wall}, 4: {kind: gable}}}
walls:
  ground_mm: -450
  storeys:
    - {roof: shed, floor_mm: 0, height_mm: 2400}
    - {roof: shed, floor_mm: 2700, height_mm: 2400}
    - {roof: lean, floor_mm: 0, height_mm: 2300}
  zones:
    - {board: bevel_142}
    - {walls: [2], from_mm: 2700, direction: vertical, board: {width_mm: 150, cover_mm: 135}}
    - {walls: [4], direction: vertical, board: {width_mm: 150, cover_mm: 135}}
    - {walls: [3], from_left_mm: 2000, width_mm: 3000, direction: sheets, profile: corrugated}
  grounds: [{wall: 5, from_left_mm: 1000, width_mm: 2000, level_mm: -200, kind: deck}]
  openings:
    - {wall: 1, from_left_mm: 12000, sill_mm: 900, width_mm: 1800, height_mm: 1200}
    - {wall: 1, from_left_mm: 5000, sill_mm: 900, width_mm: 600, height_mm: 600, storey: 2}
"""


@pytest.fixture(scope="module")
def long() -> Takeoff:
    return run(parse_job(LONG, "long"))


def paper_boxes(drawing: Drawing) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Boxes of all words on paper: 0.62 x the height of capitals a letter."""
    found = []
    for text in drawing.items:
        if not isinstance(text, Text) or text.layer == "TITLE":
            continue
        high = text.height_mm / drawing.scale
        long, x, y = 0.62 * high * len(text.text), text.at_mm[0] / drawing.scale, text.at_mm[1] / drawing.scale
        before = {"left": 0.0, "centre": long / 2.0, "right": long}[text.align]
        under = high / 2.0 if text.middle else 0.0
        if text.angle_deg == 0.0:
            box = (x - before, y - under, x - before + long, y - under + high)
        else:
            box = (x - high + under, y - before, x + under, y - before + long)
        found.append((text.text, box))
    return found


def over(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    return min(min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1]))


def test_no_text_lies_over_another(hut: Takeoff, long: Takeoff) -> None:
    for takeoff in (hut, long):
        for drawing in (*wall_drawings(takeoff), wall_key_plan(takeoff)):
            assert drawing is not None
            placed = paper_boxes(drawing)
            met = [(a, b) for i, (a, one) in enumerate(placed) for b, two in placed[:i] if over(one, two) > 0.2]
            assert met == [], drawing.name


def test_a_long_wall_is_drawn_again_in_parts_that_carry_every_mark(long: Takeoff) -> None:
    assert long.order is not None
    parts = [drawing for drawing in wall_drawings(long) if re.fullmatch(r"wall_1[a-z]", drawing.name)]
    assert [drawing.name for drawing in parts] == ["wall_1a", "wall_1b", "wall_1c"]
    (boards,) = (found for found in long.cladding.boards if found.wall == 1)
    cut = {piece.id: 0 for piece in boards.pieces}
    for plan in long.order.plans:
        for bar in plan.bars:
            for piece in bar.pieces:
                cut[piece.run] = cut.get(piece.run, 0) + 1
    shown = {text.text.split(":")[0] for drawing in parts for text in words(drawing, "WALL-BOARD")}
    marks = {f"{name}.{n}" if cut[name] > 1 else name for name in (p.id for p in boards.pieces)
             for n in range(1, cut[name] + 1)}  # fmt: skip
    assert marks <= shown


def test_the_cut_behind_a_lower_roof_is_dimensioned(long: Takeoff) -> None:
    """The lean-to's walls are 6000 wide, and stand 38 before the shed's framing at either side: cavity 20, board 18.
    The cut is 65 over its sheets: 30 for sheets and apron, 35 clear (E2/AS1, as restated)."""
    front = wall_drawings(long)[0]
    wall = long.elevations[0]
    (ring,) = wall.covered_xy
    low, high = min(y for _, y in ring), max(y for _, y in ring)
    said = [round(item.measured_mm) for item in front.items if isinstance(item, Dimension)]
    assert 6076 in said
    assert said.count(round(high - low)) == 2
    texts = [text.text for text in words(front, "TEXT")]
    said_all = " ".join(texts)
    assert "cut 65 over the underside of its sheets" in said_all
    assert "2962 to 9038 from the left end" in said_all


def test_sheets_say_which_end_they_are_laid_from(long: Takeoff) -> None:
    # wall 3 faces north: its left end, seen from outside, is in the east, where the lee end is
    back = next(found for found in wall_drawings(long) if found.name == "wall_3")
    assert any(text.text.startswith("Sheets are laid from the left end") for text in words(back, "TEXT"))


def test_every_upright_board_carries_its_mark_on_the_wall_or_on_a_part_of_it(hut: Takeoff, long: Takeoff) -> None:
    for takeoff in (hut, long):
        sheets = wall_drawings(takeoff)
        for zone in takeoff.cladding.boards:
            own = [drawing for drawing in sheets if re.fullmatch(rf"wall_{zone.wall}[a-z]?", drawing.name)]
            shown = {text.text.split(":")[0] for drawing in own for text in words(drawing, "WALL-BOARD")}
            if zone.direction != "horizontal":
                assert {piece.id for piece in zone.pieces} <= shown


def test_board_lines_say_where_they_begin_and_stand_apart(hut: Takeoff) -> None:
    # cavity 20 and board 18: the face begins 38 left of the framing; the first board is ripped to 68 seen or so
    drawing = next(found for found in wall_drawings(hut) if found.name == "wall_2")
    lines = words(drawing, "WALL-MARK")
    assert "0 is at -38" in [text.text for text in lines]
    assert any("first line 38 left of the left end of the framing" in text.text for text in words(drawing, "TEXT"))
    under = sorted(text.at_mm[0] for text in lines if text.angle_deg == 90.0)
    assert all(b - a >= 2.8 * drawing.scale for a, b in pairwise(under))


def test_joints_are_told_from_the_left_end_and_levels_and_flashings_are_drawn(long: Takeoff) -> None:
    assert long.order is not None
    front, gable = wall_drawings(long)[0], next(d for d in wall_drawings(long) if d.name == "wall_2")
    (boards,) = (found for found in long.cladding.boards if found.wall == 1)
    starts = {piece.id: min(x for x, _ in piece.outline_xy) for piece in boards.pieces}
    joints = {
        round(joint.at_mm + starts[joint.run])
        for plan in long.order.plans
        for joint in plan.joints
        if joint.run in starts
    }
    told = {int(text.text) for text in words(front, "WALL-BOARD-JOINT") if text.text.isdigit()}
    assert told == joints
    assert {"floor 0", "floor 2700", "ground -450"} <= {text.text for text in words(front, "GROUND")}
    assert any(not isinstance(item, Text) and item.layer == "WALL-FLASHING" for item in gable.items)


def test_the_key_plan_names_every_wall(long: Takeoff) -> None:
    plan = wall_key_plan(long)
    assert plan is not None
    texts = [text.text for text in words(plan, "TEXT")]
    assert {str(wall.wall) for wall in long.elevations} <= set(texts)
    assert any(text.startswith("2: 8000 wide, faces east: bevel-back weatherboard 142 x 18; ") for text in texts)
    # the lean-to's third wall is the shed's: it is on the plan and says why no drawing shows it
    assert "7: not clad" in texts
    assert "7: 6000 wide: not clad, nothing of it stands outside" in texts
    assert [text.split(":")[0] for text in texts if "wide" in text] == [str(n) for n in range(1, 9)]
