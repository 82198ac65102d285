"""Where a start line lies on the site, by hand on samples: common practice, no source.

It is an edge of a sheet that lies on the plane, taped from a corner of that plane.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.measure.roofing.sheets.start_place import _runs
from takeoff.model.order import Takeoff
from takeoff.model.sheets import PlaneSheets
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.drawing import Line
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.sheet_drawing import sheet_layouts

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@cache
def measured(sample: str) -> Takeoff:
    return pipeline.run_file(SAMPLES / sample / "job.yaml", pipeline.Stage.MEASURE)


def sheets(sample: str, plane: str) -> PlaneSheets:
    found = measured(sample).sheets_of(plane)
    assert found is not None
    return found


@cache
def from_the_valley() -> Takeoff:
    """The homestead with P4 set to start at its valley, whose foot is 4200 along its plane."""
    text = (SAMPLES / "homestead" / "job.yaml").read_text(encoding="utf-8")
    return pipeline.run(parse_job(text.replace("    edges:\n", "    edges:\n      4: {start_side: left}\n")))


@pytest.mark.parametrize(
    ("sample", "plane", "place"),
    [
        # the trimmed hip reaches the trimmed foot (50 - 37.2) / k = 11.6 outside the corner of the fascia: the far edge
        # of the first sheet lies 845 - 11.6 inside it
        ("homestead", "P1", "left edge of P1.01, 833 inside the fascia corner"),
        # moved out by one rib of 76 so that the last sheet keeps its crests: 845 - 87.6
        ("l_house", "P1", "left edge of P1.01, 757 inside the fascia corner"),
        # its one square end, not the valley's head
        ("homestead", "P4", "at the barge"),
        ("homestead", "P5", "at the barge"),
    ],
)
def test_the_start_is_taped_from_what_stands_there(sample: str, plane: str, place: str) -> None:
    start = sheets(sample, plane).start_edge
    assert start.startswith(f"{place}, square off the eave at the ")
    assert "shows" not in start


def test_a_start_beside_a_valley_is_an_edge_on_the_plane() -> None:
    """The first strip begins at the valley's head, 1.2 along the plane (4199 from the foot, in the air over the next
    roof). The sixth sheet is the first whose far edge lies past the foot: 1.2 + 5 x 762 + 845 = 4656.2, 456 inside."""
    found = from_the_valley().sheets_of("P4")
    assert found is not None
    assert round(4200.0 - found.start_u_mm) == 4199
    assert found.start_edge.startswith("right edge of P4.06, 456 inside the valley foot, square off the eave")
    assert found.snap_u_mm == pytest.approx(4656.2, abs=0.1)


def test_every_start_line_lies_on_its_plane() -> None:
    for takeoff in (measured("homestead"), measured("l_house"), measured("hip_12x8"), from_the_valley()):
        for roof in takeoff.roofs:
            for plane in roof.planes:
                found = takeoff.sheets_of(plane.id)
                assert found is not None
                us = [u for u, _ in plane.rings_uv[0]]
                assert min(us) - 0.5 <= found.snap_u_mm <= max(us) + 0.5
                edges = {round(u, 1) for piece in found.pieces for u, _ in piece.outline_uv}
                assert any(abs(found.snap_u_mm - u) < 0.2 for u in edges)


def test_the_drawings_draw_it_there() -> None:
    takeoff = from_the_valley()
    layout = next(drawing for drawing in sheet_layouts(takeoff) if drawing.name == "sheets_P4")
    starts = [item for item in layout.items if isinstance(item, Line) and item.layer == "START-LINE"]
    found = takeoff.sheets_of("P4")
    assert found is not None
    assert [(line.a_mm[0], line.b_mm[0]) for line in starts] == [(found.snap_u_mm, found.snap_u_mm)]
    plan = roof_plan(takeoff)
    assert plan is not None
    plane = next(p for roof in takeoff.roofs for p in roof.planes if p.id == "P4")
    bars = [item for item in plan.items if isinstance(item, Line) and item.layer == "START-LINE"]
    # the bar lies on the line up the plane at the snapped place; a roof alone is drawn from its own origin
    (x, y, _), (ux, uy, _) = plane.frame.to_space((found.snap_u_mm, 0.0)), plane.frame.u
    offs = [abs((bar.a_mm[0] - x) * ux + (bar.a_mm[1] - y) * uy) for bar in bars]
    assert min(offs) < 1.0


def test_the_distance_is_that_of_the_start_line() -> None:
    assert round(sheets("l_house", "P1").start_u_mm - 15400.0) == 88
    assert round(15400.0 - sheets("l_house", "P1").snap_u_mm) == 757


def test_a_narrow_last_sheet_is_said() -> None:
    """P4 from the valley: 9450 from 1.2, twelve covers of 762 before it: 9450 - 1.2 - 9144 = 304.8."""
    found = from_the_valley().sheets_of("P4")
    assert found is not None
    assert found.last_wide_mm == pytest.approx(304.8, abs=0.1)
    # a last sheet that runs out in a hip is cut, not ripped
    assert sheets("homestead", "P1").last_wide_mm == 0.0


def test_a_square_end_before_a_raked_valley_head_needs_no_note() -> None:
    for plane in ("P1", "P2", "P4", "P5"):
        assert all(finding.code != "start-at-rake" for finding in sheets("homestead", plane).findings)


def test_a_ridge_square_to_the_wind_has_no_lee_end() -> None:
    """Laid from the east: R2 runs east-west, R1 north-south: its flashings lap from where its first plane starts."""
    laps = {run.edge: run.lap_from for run in measured("homestead").roofing.flashings if run.kind == "ridge"}
    assert set(laps) == {"R1", "R2"}
    assert laps["R1"].endswith("(square to the wind: no lee end)")
    assert laps["R2"] == "the lee end (east)"


@pytest.mark.parametrize(("high", "runs"), [(599.9, False), (600.0, True), (4000.0, True)])
def test_a_line_shorter_than_600_mm_guides_no_sheet(high: float, runs: bool) -> None:
    """Common practice, no source: a line is snapped where it is 600 mm long at least."""
    rectangle = (((0.0, 0.0), (3000.0, 0.0), (3000.0, high), (0.0, high)),)
    assert _runs(rectangle, 1000.0, None, 1.0) is runs
    assert not _runs(rectangle, 3500.0, None, 1.0)
    assert not _runs(rectangle, 1000.0, 1001.0, 1.0)
