"""Small rules of reading that whole files seldom reach: by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.read.catalogue import default_settings
from takeoff.read.cityjson.vertices import Vertices
from takeoff.read.job.field_words import _short
from takeoff.read.job.job_bounds import _holes
from takeoff.read.job.metre_faults import metre_faults
from takeoff.read.text_meshes import _Names
from takeoff.read.three_mf import _placed

OUTLINE = [(0, 0), (9000, 0), (9000, 6000), (0, 6000)]


def job(**roof: object) -> Job:
    given = {"outline": OUTLINE, "pitch_deg": 25, "fascia_height_mm": 2400, **roof}
    return Job.model_validate({"job": "by hand", "roofs": [given]})


def test_a_long_value_is_shown_in_forty_letters_at_most() -> None:
    assert _short("x" * 60) == "'" + "x" * 36 + "..."
    assert len(_short("x" * 60)) == 40
    assert _short("x" * 38) == "'" + "x" * 38 + "'"


def test_a_height_of_nought_is_no_slip_of_metres() -> None:
    assert metre_faults(job(fascia_height_mm=0)) == []
    assert [path for path, _ in metre_faults(job(fascia_height_mm=2.4))] == [("roofs", 0, "fascia_height_mm")]


def test_openings_and_clear_sheets_are_counted_together() -> None:
    hole = {"kind": "pipe", "diameter_mm": 80.0}
    holes = [{"at": (1000.0 * n, 1000.0), **hole} for n in (1, 2, 3)]
    lights = [
        {"edge": 1, "from_left_mm": 3000.0, "length_mm": 1200.0},
        {"edge": 3, "from_left_mm": 3000.0, "length_mm": 900.0},
    ]
    assert _holes(job(penetrations=holes, rooflight_sheets=lights)) == 5


def test_a_group_without_a_name_is_called_so() -> None:
    names = _Names()
    names.take("roof")
    names.take("")
    assert names.all() == ["(no name)", "roof", "(no name)"]


def test_a_placing_turns_and_then_moves() -> None:
    """3MF core specification 3.3: a point is a row times the matrix, whose fourth row moves it; here a quarter turn about
    z and (10, 20, 30)."""
    quarter = (0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0, 10.0, 20.0, 30.0)
    assert _placed((1.0, 2.0, 3.0), [quarter]) == (8.0, 21.0, 33.0)
    assert _placed((1.0, 2.0, 3.0), [quarter, quarter]) == (-11.0, 28.0, 63.0)


def test_vertices_without_a_transform_are_metres_as_they_stand() -> None:
    # CityJSON 1.1: a document of its first version may leave the transform out
    assert Vertices(Path("x"), {"vertices": [[1.5, 2.5, 3.5]]})[0] == (1.5, 2.5, 3.5)
    moved = {"scale": [0.001, 0.01, 0.1], "translate": [10, 20, 30]}
    assert Vertices(Path("x"), {"vertices": [[100, 200, 300]], "transform": moved})[0] == pytest.approx(
        (10.1, 22.0, 60.0)
    )


def test_sheets_stop_before_what_they_meet_and_pass_what_they_hang_over() -> None:
    """How far sheets go past an edge of each kind: over an eave and an internal gutter's edge, short of all else; half a
    ridge's or a valley's gap lies on either side of its line."""
    halves = {EdgeKind.RIDGE: ("ridge_gap_mm", -0.5), EdgeKind.VALLEY: ("valley_gap_mm", -0.5)}
    short = {
        EdgeKind.VERGE: "verge_trim_mm", EdgeKind.HIP: "hip_trim_mm", EdgeKind.HEAD: "head_trim_mm",
        EdgeKind.APRON_HEAD: "apron_head_trim_mm", EdgeKind.APRON_SIDE: "apron_side_trim_mm",
        EdgeKind.KERB: "apron_side_trim_mm", EdgeKind.PITCH_CHANGE: "pitch_change_under_mm",
    }  # fmt: skip
    told = {kind: ((name, -1.0),) for kind, name in short.items()} | {kind: (row,) for kind, row in halves.items()}
    told[EdgeKind.EAVE] = (("sheet_over_eave_mm", 1.0),)
    told[EdgeKind.INTERNAL_GUTTER] = (("internal_gutter_over_mm", 1.0), ("internal_gutter_width_mm", -0.5))
    assert {kind: kind.row.trim for kind in EdgeKind} == told
    assert {name for rows in told.values() for name, _ in rows} <= set(default_settings())
