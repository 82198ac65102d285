"""Roofs added by their form: each is taken off to an order that nothing stops, on a house of 12 x 8 m."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
import yaml

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import edited_value
from takeoff.pipeline import run_text
from takeoff.web import plan_edits, roof_forms

FORMS = {form.name: form for form in roof_forms.ROOF_FORMS}
SIZE_OF_HOUSE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]


def house(line: str = "wall_line", ring: Any = None) -> dict[str, Any]:
    roof: dict[str, Any] = {
        "name": "main",
        line: ring or copy.deepcopy(SIZE_OF_HOUSE),
        "fascia_height_mm": 2400,
        "pitch_deg": 25,
    }
    if line == "wall_line":
        roof |= {"eave_overhang_mm": 600, "verge_overhang_mm": 450}
    return {"job": "Store", "site": {"wind_zone": "high"}, "roofs": [roof]}


def with_form(tree: dict[str, Any], name: str, edge: int, **sizes: float) -> dict[str, Any]:
    form = FORMS[name]
    host = roof_forms.host_of(tree, 0, edge)
    asked = {size.key: size.begins(host) for size in form.sizes} | sizes
    roof = roof_forms.roof_made(tree, 0, edge, form, None, asked)
    now: Any = edited_value(tree, plan_edits.roof_added(tree, roof))
    return dict(now)


def stops(tree: dict[str, Any], tmp_path: Path) -> list[str]:
    taken = run_text(yaml.safe_dump(tree), tmp_path / "job.yaml")
    assert taken.order is not None or taken.stopped
    return [finding.text for finding in taken.stops]


@pytest.mark.parametrize(("name", "line"), [*((name, "wall_line") for name in FORMS), ("verandah", "outline")])
def test_each_form_is_taken_off_on_a_hipped_house(name: str, line: str, tmp_path: Path) -> None:
    assert stops(with_form(house(line), name, 1), tmp_path) == []


def test_a_lean_to_stands_at_a_gable_end(tmp_path: Path) -> None:
    tree = house()
    tree["roofs"][0]["edges"] = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
    assert stops(with_form(tree, "lean-to", 2), tmp_path) == []


def test_each_asks_three_sizes() -> None:
    assert all(len(form.sizes) == 3 for form in FORMS.values())


def test_a_verandah_lies_along_the_whole_edge_outside_the_wall() -> None:
    """South wall from (0, 0) to (12000, 0), 2.4 m out."""
    roof = with_form(house(), "verandah", 1)["roofs"][1]
    assert roof["outline"] == [[0, -2400], [12000, -2400], [12000, 0], [0, 0]]
    assert roof["edges"][3] == {"kind": "wall"}
    assert roof["below"] == "main"


def test_left_and_right_are_those_of_one_who_looks_at_the_wall() -> None:
    """The north wall, middle 2 m from its left end as seen from the north: at x = 12000 - 2000; however the ring runs."""
    for ring, edge in ((SIZE_OF_HOUSE, 3), (SIZE_OF_HOUSE[::-1], 1)):
        tree = house(ring=ring)
        roof = roof_forms.roof_made(
            tree, 0, edge, FORMS["lean-to"], 2000, {"width_mm": 3000, "out_mm": 2000, "fascia_mm": 2000}
        )
        assert roof["outline"] == [[11500, 10000], [8500, 10000], [8500, 8000], [11500, 8000]]


def test_a_wing_keeps_the_fascia_and_runs_in_past_where_it_meets_the_slope() -> None:
    """4 m wide at the pitch of the house: its ridge meets the slope 2 m in from the outline (equal pitches), and 0.4 m on;
    the outline is 600 outside the wall."""
    roof = with_form(house(), "wing", 1, width_mm=4000.0)["roofs"][1]
    assert roof["outline"] == [[4000, -3600], [8000, -3600], [8000, 1800], [4000, 1800]]
    assert roof["fascia_height_mm"] == 2400


def test_what_cannot_be_is_said() -> None:
    with pytest.raises(UsageError, match="narrower"):
        with_form(house(), "wing", 1, width_mm=20000.0)
    with pytest.raises(UsageError, match="over 0"):
        with_form(house(), "verandah", 1, out_mm=0.0)
    tree = house()
    tree["roofs"][0]["edges"] = {2: {"kind": "gable"}}
    with pytest.raises(UsageError, match="eaves"):
        with_form(tree, "dormer", 2)
    with pytest.raises(UsageError, match="from a file"):
        roof_forms.host_of({"roofs": [{"mesh": {"file": "a.obj"}}]}, 0, 1)


def test_a_second_verandah_has_a_name_of_its_own() -> None:
    tree = with_form(with_form(house(), "verandah", 1), "verandah", 3)
    assert [roof["name"] for roof in tree["roofs"]] == ["main", "verandah", "verandah 2"]
