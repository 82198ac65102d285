"""What the plan shows, and what is lit in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run_text
from takeoff.web.plan_facts import shape_words
from takeoff.web.plan_view import lit_in_plan, part_touched, plan_view, roof_touched

JOB = """\
job: Store
north_deg: 30
roofs:
  - name: main
    wall_line: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2700
    pitch_deg: 25
    edges: {2: {kind: gable}}
"""
TREE: Any = {
    "job": "Store",
    "north_deg": 30,
    "roofs": [
        {
            "name": "main",
            "wall_line": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]],
            "eave_overhang_mm": 600,
            "pitch_deg": 25,
            "edges": {2: {"kind": "gable"}},
        }
    ],
    "walls": {"height_mm": 2400},
}


@pytest.fixture(scope="module")
def shaped(tmp_path_factory: pytest.TempPathFactory) -> Takeoff:
    return run_text(JOB, tmp_path_factory.mktemp("x") / "job.yaml", Stage.SHAPE)


def test_outlines_as_typed_and_the_shape_found(shaped: Takeoff) -> None:
    view = plan_view(TREE, shaped, True)
    assert view["roofs"][0]["rings"] == [[[0, 0], [12000, 0], [12000, 8000], [0, 8000]]]
    assert [side["kind"] for side in view["roofs"][0]["sides"]] == ["eave", "gable", "eave", "eave"]
    assert [side["over"] for side in view["roofs"][0]["sides"]] == [600, 0, 600, 600]
    assert view["north"] == 30
    kinds = [line["kind"] for line in view["lines"]]
    assert (kinds.count("hip"), kinds.count("ridge"), kinds.count("verge")) == (2, 1, 2)
    south = next(
        plane for plane in view["planes"] if plane["turn"] == 90
    )  # falls down the paper: a quarter turn clockwise
    assert min(y for _, y in south["rings"][0]) == -600


def test_what_cannot_be_drawn_is_left_out_without_a_word() -> None:
    for tree in ({}, {"roofs": "x"}, {"roofs": [None, {"outline": [[0]]}, {"shape": {"file": "a"}, "name": 3}]}, []):
        assert plan_view(tree, None, False)["planes"] == []


def test_what_is_touched_is_lit_with_what_belongs_to_it(shaped: Takeoff) -> None:
    plane = shaped.roofs[0].planes[0]
    assert plane.id in lit_in_plan(f"{plane.id}.04", TREE, shaped)
    eave = next(edge for edge in shaped.roofs[0].edges if edge.outline_edges == (1,))
    assert lit_in_plan(eave.id, TREE, shaped) == (eave.id, "roof 1 edge 1")
    assert "roof 1 edge 3" in lit_in_plan("wall 3", TREE, shaped)
    assert lit_in_plan("roof 1", TREE, shaped) == ("roof 1", *(f"roof 1 edge {n}" for n in range(1, 5)))
    assert lit_in_plan("", TREE, None) == ()


def test_a_gutter_lights_its_eaves(tmp_path: Path) -> None:
    """A hipped end and two sides: one run on three eaves, none at the gable."""
    taken = run_text(JOB, tmp_path / "job.yaml", Stage.MEASURE)
    (run,) = taken.gutters
    eaves = {edge.id for edge in taken.roofs[0].edges if edge.kind == "eave"}
    assert set(lit_in_plan(run.id, TREE, taken)) == {run.id, *eaves}


def test_marks() -> None:
    assert roof_touched("roof 2 edge 5") == 1
    assert part_touched("roof 2 edge 5", "edge") == 5
    assert part_touched("roof 2 edge 5", "corner") is None
    assert roof_touched("P1") is None
    assert roof_touched("roof 0") is None
    assert part_touched("roof x edge y", "edge") is None


def test_figures_of_the_shape_in_words(shaped: Takeoff) -> None:
    """The ridge from the hip end: 12000 + 600 - (8000 + 1200) / 2 = 8000 long, to the gable's outline."""
    ridge = next(edge for edge in shaped.roofs[0].edges if edge.kind == "ridge")
    assert "8000 mm" in shape_words(ridge.id, shaped)
    assert "degrees" in shape_words("P1", shaped)
    assert shape_words("nothing", shaped) == ""
