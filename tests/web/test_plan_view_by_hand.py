"""What the plan is given to draw, whole: a hipped house of 12 x 8 m, 600 over its wall line, 25 degrees, all worked out by
hand: 4600 in from each eave the slopes meet, 4000 from each end of the wall line."""

from __future__ import annotations

from math import cos, radians
from pathlib import Path
from typing import Any

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run_text
from takeoff.web import plan_view as module
from takeoff.web.plan_view import lit_in_plan, north_of, part_touched, plan_view, roof_touched

JOB = """\
job: Store
roofs:
  - {name: main, wall_line: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], eave_overhang_mm: 600, fascia_height_mm: 2700, pitch_deg: 25}
  - {name: shed, outline: [[20000, 0], [23000, 0], [23000, 2000], [20000, 2000]], fascia_height_mm: 2200, pitch_deg: 15}
"""  # fmt: skip


@pytest.fixture(scope="module")
def shaped(tmp_path_factory: pytest.TempPathFactory) -> Takeoff:
    return run_text(JOB, tmp_path_factory.mktemp("x") / "job.yaml", Stage.SHAPE)


def test_planes_with_their_fall_and_their_middle(shaped: Takeoff) -> None:
    """The middle of a trapezium of 13200 and 4000, 4600 deep, lies 4600 / 3 * (13200 + 8000) / 17200 = 1889.9 from its
    long side; of a triangle a third: 1533.3. An arrow of a slope is as long as the slope, 4600 / cos 25, at most."""
    planes = {plane["turn"]: plane for plane in plan_view({}, shaped, True)["planes"][:4]}
    up = round(4600 / cos(radians(25)), 1)
    due = {
        90: ([[-600, -600], [12600, -600], [8000, 4000], [4000, 4000]], [6000, 1289.9]),
        0: ([[12600, -600], [12600, 8600], [8000, 4000]], [11066.7, 4000]),
        -90: ([[12600, 8600], [-600, 8600], [4000, 4000], [8000, 4000]], [6000, 6710.1]),
        180: ([[-600, 8600], [-600, -600], [4000, 4000]], [-933.3 + 1866.6, 4000]),
    }
    for turn, (ring, middle) in due.items():
        plane = planes[turn] if turn in planes else planes[-180]
        (found,) = plane["rings"]
        assert sorted(found) == sorted(ring)
        assert plane["at"] == pytest.approx(middle, abs=0.11)
        assert plane["px"] == up
        assert plane["words"] == f"{plane['id']}  25°"


def test_lines_of_the_shape(shaped: Takeoff) -> None:
    lines = plan_view({}, shaped, True)["lines"]
    (ridge, _) = [line for line in lines if line["kind"] == "ridge"]
    assert sorted((ridge["a"], ridge["b"])) == [[4000, 4000], [8000, 4000]]
    hips = [sorted((line["a"], line["b"])) for line in lines if line["kind"] == "hip"]
    assert [[-600, -600], [4000, 4000]] in hips
    assert len(hips) == 8
    shed = [line for line in lines if line["kind"] == "eave"][4:]
    assert [20000, 0] in [line["a"] for line in shed] + [line["b"] for line in shed]


def test_roofs_as_they_are_typed() -> None:
    edges = {
        1: {"kind": "gable", "verge_overhang_mm": 250},
        2: {"pitch_deg": 30.5},
        3: {"kind": "wall"},
        4: {"eave_overhang_mm": 0},
    }
    line = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
    tree: Any = {
        "north_deg": 390,
        "roofs": [
            {"wall_line": line, "eave_overhang_mm": 600, "verge_overhang_mm": 450, "pitch_deg": 25, "edges": edges},
            {"name": "bare", "outline": line, "eave_overhang_mm": 600, "edges": "odd"},
            {"name": "file", "mesh": {"file": "a.obj"}},
        ],
    }
    view = plan_view(tree, None, False)
    rings = [[[float(x), float(y)] for x, y in line]]
    assert view == {
        "roofs": [
            {
                "name": "main", "line": "wall_line", "rings": rings,
                "sides": [
                    {"kind": "gable", "word": "gable", "over": 250.0}, {"kind": "eave", "word": "30.5°", "over": 600.0},
                    {"kind": "wall", "word": "against a wall", "over": 0.0}, {"kind": "eave", "word": "25°", "over": 0.0},
                ],
            },
            {"name": "bare", "line": "outline", "rings": rings, "sides": [{"kind": "eave", "word": "eave", "over": 0.0}] * 4},
            {"name": "file", "rings": [], "sides": []},
        ],
        "planes": [], "lines": [], "north": 30.0, "current": False,
    }  # fmt: skip


def test_overhangs_that_are_no_figure_and_of_gables() -> None:
    roof = {"wall_line": [], "eave_overhang_mm": True, "verge_overhang_mm": 450}
    assert module._overhang(roof, None) == 0
    assert module._overhang(roof, {"kind": "gable"}) == 450
    assert module._overhang(roof, {"eave_overhang_mm": "x"}) == 0
    assert module._overhang({**roof, "wall_line": None}, {"kind": "gable"}) == 0


def test_north_is_a_bearing_below_a_whole_turn() -> None:
    said = [({"north_deg": value} if value is not None else {}) for value in (None, -30, 360, 359.5, True, "x")]
    assert [north_of(tree) for tree in said] == [0, 330, 0, 359.5, 0, 0]
    assert north_of([]) == 0


def test_what_is_lit_of_the_second_roof_and_of_walls(shaped: Takeoff) -> None:
    tree: Any = {
        "roofs": [
            {"name": "main", "wall_line": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]},
            {"name": "shed", "outline": [[20000, 0], [23000, 0], [23000, 2000]]},
        ],
        "walls": {"height_mm": 1},
    }
    eave = next(edge for edge in shaped.roofs[1].own_edges if edge.outline_edges == (2,))
    assert lit_in_plan(eave.id, tree, shaped) == (eave.id, "roof 2 edge 2")
    assert lit_in_plan(eave.id, {}, shaped) == (eave.id, "roof 2 edge 2")  # as the shape counts it
    assert lit_in_plan("wall 4", tree, shaped) == ("wall 4", "roof 1 edge 4")
    for mark in ("wall 5", "wall x", "roof 3", "roof 2 edge 1"):
        assert lit_in_plan(mark, tree, shaped) == (mark,)
    assert lit_in_plan("roof 2", tree, shaped) == ("roof 2", "roof 2 edge 1", "roof 2 edge 2", "roof 2 edge 3")


def test_marks_of_roofs_and_their_parts() -> None:
    marks = ("roof 1", "roof 12 edge 3", "roof 0", "roof 1 edge", "roof 1 edge 2 3", "roofs 1", "roof -1", "")
    assert [roof_touched(mark) for mark in marks] == [0, 11, None, None, None, None, None, None]
    parts = ("roof 2 edge 13", "roof 2 corner 4", "roof 0 edge 1", "roof 2 edge x", "roof 2")
    assert [part_touched(mark, "edge") for mark in parts] == [13, None, None, None, None]
    assert part_touched("roof 2 corner 4", "corner") == 4


def test_how_an_arrow_is_turned_and_the_middle_of_a_ring() -> None:
    """Turned clockwise, as a screen does: to the right 0, up -90, up and right by 3 to 4 -36.87."""
    assert [module._screen_angle(x, y) for x, y in ((1, 0), (0, 1), (4, 3), (0, -1))] == [0, -90, -36.87, 90]
    ell = ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0))
    # 4 x 1 with its middle at (2, 0.5) and 1 x 2 at (0.5, 2): (8 + 1) / 6, (2 + 4) / 6
    assert module._middle(ell) == pytest.approx((1.5, 1.0))
    assert module._middle(tuple((x + 10, y - 5) for x, y in ell)) == pytest.approx((11.5, -4.0))
    assert module._middle(((7.0, 8.0), (9.0, 8.0), (11.0, 8.0))) == (7, 8)


def test_the_walls_of_roofs_that_come_from_files(shaped: Takeoff) -> None:
    assert module.walls_drawn(shaped) == {"main": 4, "shed": 0}
    assert module.walls_drawn(None) == {}


def test_the_figures_of_a_plane_in_words(shaped: Takeoff, tmp_path: Path) -> None:
    """17200 / 2 * 4600 / cos 25 = 43.65 m2; 4600 * 4600 / cos 25 = 23.35 m2; a hip of a 45 degree line and its rise:
    sqrt(2 * 4600^2 + (4600 * tan 25)^2) = 6850.3."""
    from takeoff.web.plan_facts import shape_words

    said = [shape_words(plane.id, shaped) for plane in shaped.roofs[0].planes]
    assert sorted(words.partition(": ")[2] for words in said) == [
        "25 degrees, 23.35 m² on the slope.", "25 degrees, 23.35 m² on the slope.",
        "25 degrees, 43.65 m² on the slope.", "25 degrees, 43.65 m² on the slope.",
    ]  # fmt: skip
    first = shaped.roofs[0].planes[0]
    assert shape_words(f"{first.id}.04", shaped) == shape_words(first.id, shaped)
    hip = next(edge for edge in shaped.roofs[0].own_edges if edge.kind == "hip")
    assert shape_words(hip.id, shaped) == f"Hip {hip.id} of roof main: 6850 mm long."
