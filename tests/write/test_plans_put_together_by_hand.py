"""How the key plan of the walls, faults and looks are put on their paper, and what title blocks say, by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same

from takeoff.model.job.job import Job
from takeoff.model.order import Takeoff
from takeoff.write.drawings import look_picture, wall_key_plan
from takeoff.write.drawings.drawing import Line, Shows, Text, text_width
from takeoff.write.drawings.fault_drawing import fault_drawing
from takeoff.write.drawings.frame import A1, A2, A3, A4, TitleBlock, title_block
from takeoff.write.drawings.overlaps import axes_of

# ---- the key plan of the walls


@pytest.fixture
def key_plan(monkeypatch: pytest.MonkeyPatch) -> Any:
    """The parts that the plan of some walls, of some that nothing clads and of a table of so many lines is finished with."""

    def of(walls: Any, bare: Any, lines: list[str]) -> dict[str, Any] | None:
        found: dict[str, Any] = {}

        def finish(sketch: Any, name: str, block: Any, paper: Any, middle: Any, room: Any, of: Any) -> str:
            found.update(sketch=sketch, name=name, block=block, paper=paper, middle=middle, room=room, of=of)
            return "drawn"

        monkeypatch.setattr(wall_key_plan, "finish", finish)
        monkeypatch.setattr(
            wall_key_plan, "title_block", lambda takeoff, title, number, document: (title, number, document)
        )
        monkeypatch.setattr(wall_key_plan, "_table", lambda _: lines)
        monkeypatch.setattr(wall_key_plan, "_bare", lambda _: iter(bare))
        takeoff: Any = SimpleNamespace(elevations=tuple(walls))
        return found if wall_key_plan.wall_key_plan(takeoff) == "drawn" else None

    return of


def wall(number: int, a: Any, b: Any, roof: str = "main") -> Any:
    return SimpleNamespace(wall=number, a_mm=a, b_mm=b, roof=roof)


def test_walls_are_drawn_beside_their_table(key_plan: Any) -> None:
    """From (500, -200) to (4500, 2800): the middle at (2500, 1300). The table is as wide as its widest line and 6 mm; the
    plan stands in the middle of what it leaves of 267 x 160. 4 mm down, 5 for its title and 2, then 4.4 a line."""
    bare = wall_key_plan._Bare(3, (4500.0, 2800.0), (500.0, 2800.0))
    walls = [
        wall(1, (500.0, -200.0), (4500.0, -200.0)),
        wall(2, (4500.0, -200.0), (4500.0, 2800.0)),
        wall(9, (-9e9, 0.0), (9e9, 0.0), roof=""),
    ]
    lines = ["Walls", "1: 4000 wide", "2: 3000 wide, faces east"]
    put = key_plan(walls, [bare], lines)
    table = text_width(lines[2], 2.5) + 6
    assert (put["name"], put["block"], put["paper"], put["of"]) == (
        "wall_key_plan",
        ("Walls, key plan", "W-0", None),
        A4,
        Shows.WALLS,
    )
    scale = put["sketch"].scale
    assert scale == 25
    same((put["middle"], put["room"]), ((2500, 1300), ((267 - table) / 2, 80)))
    drawn = [(item.layer, item.a_mm, item.b_mm) for item in put["sketch"].items if isinstance(item, Line)]
    assert drawn == [
        ("WALL-OUTLINE", (500, -200), (4500, -200)), ("WALL-OUTLINE", (4500, -200), (4500, 2800)),
        ("WALL-LINE", (4500, 2800 - 30), (500, 2800 - 30)),  # 1.2 mm of paper inside its line
    ]  # fmt: skip
    said = [(item.text, *item.at_mm, item.height_mm) for item in put["sketch"].items if isinstance(item, Text)]
    left, top = 2500 + 25 * (267 - table) / 2, 1300 + 25 * 80
    rows = [("Walls", top - 225, 125), ("1: 4000 wide", top - 385, 62.5), ("2: 3000 wide, faces east", top - 495, 62.5)]
    assert said[3:] == [(text, pytest.approx(left), pytest.approx(y), high) for text, y, high in rows]
    assert [row[0] for row in said[:3]] == ["1", "2", "3: not clad"]


def test_the_title_of_the_table_may_be_its_widest_line_and_sixty_are_shown(key_plan: Any) -> None:
    """The title's letters are 3.5 mm there."""
    put = key_plan([wall(1, (0.0, 0.0), (4000.0, 0.0))], [], ["Walls", *"a" * 70])
    same(put["room"][0], (put["paper"][0] - 30 - text_width("Walls", 3.5) - 6) / 2)
    assert len([item for item in put["sketch"].items if isinstance(item, Text)]) == 61  # and the wall's number
    # walls given by themselves have no place: a metre of nothing
    put = key_plan([wall(1, (0.0, 0.0), (4000.0, 0.0), roof="")], [], ["Walls"])
    assert (put["middle"], put["sketch"].scale) == ((500, 500), 10)
    assert key_plan([], [], ["Walls"]) is None


# ---- faults and looks


@pytest.mark.parametrize(("low", "left"), [(0.0, 0.0), (7000.0, 3000.0), (-9000.0, -50000.0)])
def test_faults_are_drawn_as_large_as_their_paper_holds_them(low: float, left: float, stopped: Takeoff) -> None:
    """A3 has 390 x 247 free, less 130 for words and 15 all round: 230 x 217. 23000 x 21700 are 1:100; typed from their upper
    right corner, the least is left of and below that."""
    for wide, high, scale in ((23000.0, 21700.0, 100), (23001.0, 21700.0, 125), (23000.0, 21701.0, 125)):
        ring = [(left + wide, low + high), (left, low + high), (left, low), (left + wide, low)]
        job = Job.model_validate(
            {"job": "Shed", "roofs": [{"outline": ring, "pitch_deg": 20.0, "fascia_height_mm": 2400.0}]}
        )
        drawing = fault_drawing(replace(stopped, job=job, roofs=(), findings=()))
        assert drawing.scale == scale
        same(drawing.corner_mm, (-wide / 2 - scale * (20 + 130), -high / 2 - scale * (40 + 123.5)))


@pytest.mark.parametrize(("edges", "paper"), [(40, A3), (41, A2), (100, A2), (101, A1)])
def test_a_look_is_drawn_on_larger_paper_the_more_edges_it_has(edges: int, paper: Any) -> None:
    """12 mm stay clear all round and 10 more under it."""
    wide, high = (paper[0] - 24) * 50, (paper[1] - 34) * 50
    for more, scale in ((0.0, 50), (1.0, 75)):
        for x, y in ((more, 0.0), (0.0, more)):
            corners = ((-300.0, 200.0), (-300.0 + wide + x, 200.0), (-300.0 + wide + x, 200.0 + high + y))
            points = (*corners, *(corners[0] for _ in range(edges - 3)))
            ring: Any = SimpleNamespace(
                points_mm=points, edges_mm=(0.0,) * edges, layer="0", number=1, first_edge=1, court_of=0
            )
            looked: Any = SimpleNamespace(rings=(ring,), open_rows=(), unit="mm", file="plan.dxf")
            drawing = look_picture.look_picture(looked)
            assert drawing is not None
            assert drawing.scale == scale


# ---- small


def test_what_a_title_block_says_in_its_place(sample: Takeoff) -> None:
    job = sample.job.model_copy(update={"job": "Hut", "revision": "B"})
    block = title_block(replace(sample, job=job, supersedes=""), "Roof plan", "R1", None)
    assert block == TitleBlock("Hut", block.revision, block.date, "Roof plan", "R1", "")
    assert "B" in block.revision
    assert any(letter.isdigit() for letter in block.date)


def test_a_triangle_has_an_axis_square_to_each_side() -> None:
    """Of (0, 0), (4, 0), (0, 3): by (0, -4) along, from -12 to 0; (3, 4) from 0 to 12; (-3, 0) from -12 to 0."""
    found = axes_of(((0.0, 0.0), (4.0, 0.0), (0.0, 3.0)))
    assert sorted(found) == [(-3.0, 0.0, -12.0, 0.0), (0.0, -4.0, -12.0, 0.0), (3.0, 4.0, 0.0, 12.0)]
