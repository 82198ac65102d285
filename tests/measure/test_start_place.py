"""Where a start line lies on the site, by hand on samples: common practice, no source."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.model.sheets import PlaneSheets

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@cache
def measured(sample: str) -> Takeoff:
    return pipeline.run_file(SAMPLES / sample / "job.yaml", pipeline.Stage.MEASURE)


def sheets(sample: str, plane: str) -> PlaneSheets:
    found = measured(sample).sheets_of(plane)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("sample", "plane", "place"),
    [
        # (50 - 37.2) / k: the trimmed hip reaches the trimmed foot 11.6 outside the corner of the fascia
        ("homestead", "P1", "12 outside the fascia corner"),
        # moved out by one rib of 76 so that the last sheet keeps its crests
        ("l_house", "P1", "88 outside the fascia corner"),
        # the valley's foot is 4200 along, its head at the plane's end; trimmed by a 25 gap's h / k, moved by 55 a rib
        ("homestead", "P4", "4199 past the valley foot"),
        ("homestead", "P5", "at the barge"),
    ],
)
def test_the_start_is_taped_from_what_stands_there(sample: str, plane: str, place: str) -> None:
    start = sheets(sample, plane).start_edge
    assert start.startswith(f"{place}, square off the eave at the ")
    assert "shows" not in start


def test_the_distance_is_that_of_the_start_line() -> None:
    """The eave of P4 runs from 4200 to 9450 along its plane; its valley's foot is at 4200."""
    assert round(4200.0 - sheets("homestead", "P4").start_u_mm) == 4199
    assert round(sheets("l_house", "P1").start_u_mm - 15400.0) == 88


def test_a_narrow_last_sheet_is_said() -> None:
    """9450 from 1.2, twelve covers of 762 before it: 9450 - 1.2 - 9144 = 304.8."""
    assert sheets("homestead", "P4").last_wide_mm == pytest.approx(304.8, abs=0.1)
    # a last sheet that runs out in a hip is cut, not ripped
    assert sheets("homestead", "P1").last_wide_mm == 0.0


def test_a_start_at_a_rake_by_rule_is_noted() -> None:
    (note,) = [finding for finding in sheets("homestead", "P4").findings if finding.code == "start-at-rake"]
    assert "edges: 4: start_side: right" in note.advice
    for plane in ("P1", "P2", "P5"):
        assert all(finding.code != "start-at-rake" for finding in sheets("homestead", plane).findings)


def test_a_ridge_square_to_the_wind_has_no_lee_end() -> None:
    """Laid from the east: R2 runs east-west, R1 north-south; the first plane at R1 starts at its left end, south."""
    laps = {run.edge: run.lap_from for run in measured("homestead").roofing.flashings if run.kind == "ridge"}
    assert laps == {"R1": "the south end (square to the wind: no lee end)", "R2": "the lee end (east)"}
