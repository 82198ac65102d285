"""Small rules of sheets and their holes that whole houses seldom reach: by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.openings.hole_places import find_holes
from takeoff.measure.roofing.sheets.clear_laps import _whole
from takeoff.measure.roofing.sheets.lay_direction import SetOut
from takeoff.measure.roofing.sheets.site_fit import built_place
from takeoff.measure.roofing.sheets.start_place import start_line
from takeoff.measure.sheeting.sheet_ends import end_cut
from takeoff.model.job.job import Job
from takeoff.model.sheets import CutShape
from takeoff.model.supplied import PlaneFit
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.strips.slabs import Slab
from takeoff.shape.strips.strips import Widths

WIDTHS = Widths(762.0, 851.0)


@pytest.mark.parametrize(
    ("size", "flashing"),
    [
        ({"kind": "flue", "width_mm": 300.0, "length_mm": 300.0}, "kerb"),  # square: no boot is
        ({"kind": "flue", "diameter_mm": 2000.0}, "kerb"),  # larger than any boot
        ({"kind": "pipe", "diameter_mm": 80.0}, "boot"),
    ],
)
def test_how_a_hole_is_flashed(size: dict[str, object], flashing: str) -> None:
    hole = {"at": (6000.0, 3000.0), **size}
    outline = [(0, 0), (12000, 0), (12000, 12000), (0, 12000)]
    edges = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
    roof = {"outline": outline, "pitch_deg": 25, "fascia_height_mm": 2400, "edges": edges, "penetrations": [hole]}
    job = Job.model_validate({"job": "by hand", "roofs": [roof]})
    settings = resolve_settings(job)
    found = find_holes(roof_from_outline(job.roofs[0], 0.0, settings), job.roofs[0], settings)
    assert [one.flashing for one in found.holes] == [flashing]


def test_a_foot_that_falls_to_a_point_is_an_apex_and_one_that_rises_to_one_is_not() -> None:
    """Two slabs of 400 mm: the foot falls by 200 to the middle and rises again, atan(1 / 2) either way; turned over, and
    falling throughout, it is no apex."""
    falls = (Slab(0, 400, 200, 0, 3000, 3000, "E1", "E3"), Slab(400, 800, 0, 200, 3000, 3000, "E2", "E3"))
    rises = (Slab(0, 400, 0, 200, 3000, 3000, "E1", "E3"), Slab(400, 800, 200, 0, 3000, 3000, "E2", "E3"))
    found = end_cut(falls, top=False)
    assert (found.shape, found.rake_deg) == (CutShape.APEX, pytest.approx(26.565, abs=1e-3))
    assert end_cut(rises, top=False).shape is CutShape.BROKEN
    through = (Slab(0, 400, 600, 400, 3000, 3000, "E1", "E3"), Slab(400, 800, 400, 0, 3000, 3000, "E2", "E3"))
    assert end_cut(through, top=False).shape is CutShape.BROKEN


def test_a_plane_narrower_than_its_first_sheet_starts_as_it_is_set_out() -> None:
    """300 wide, the first cover begins 50 outside it and its far edge, 851 on, lies beyond the other side."""
    outline = [(0, 0), (300, 0), (300, 4000), (0, 4000)]
    edges = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
    job = Job.model_validate(
        {"job": "x", "roofs": [{"outline": outline, "pitch_deg": 25, "fascia_height_mm": 2400, "edges": edges}]}
    )
    plane = roof_from_outline(job.roofs[0], 0.0, resolve_settings(job)).planes[0]
    low = min(u for u, _ in plane.rings_uv[0])
    found = start_line(plane, (), SetOut("left", low - 50.0, 50.0, "", ""), WIDTHS)
    assert found.u_mm == pytest.approx(low - 50.0)
    assert "edge of" not in found.words


def test_a_plane_built_wider_to_the_right_moves_a_point_by_its_share() -> None:
    """Drawn from u = 1000 to 5000 and 3000 high, leaning: its head stands 400 further right. Built 40 wider, foot and
    head: what lies half way across moves by 20, wherever up the plane."""
    drawn = ((1000.0, 0.0), (5000.0, 0.0), (1400.0, 3000.0), (5400.0, 3000.0))
    built = ((1000.0, 0.0), (5040.0, 0.0), (1400.0, 3000.0), (5440.0, 3000.0))
    fit = PlaneFit("P1", drawn, built)
    for up in (0.0, 1500.0, 3000.0):
        middle = 3000.0 + 400.0 * up / 3000.0
        assert built_place(fit, (middle, up)) == pytest.approx((middle + 20.0, up), abs=1e-9)


def test_a_sheet_a_crumb_short_of_a_lap_still_covers_it() -> None:
    low = Slab(0, 762, 0, 0, 2000, 2000)
    over = replace(low, foot0=1900, foot1=1900, top0=3999.999, top1=3999.999)
    assert _whole((over,), (low,), 4000.0)
    assert not _whole((replace(over, u1=400),), (low,), 4000.0)
    assert not _whole((replace(over, top1=3900),), (low,), 4000.0)
