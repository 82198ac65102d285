"""What the command for many houses prints: made-up summaries, for the words alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.estate.many import Wanted, _check
from takeoff.model.estate import EstateSummary, OddHouse
from takeoff.screen_estate import show_estate


def test_the_first_line_names_the_map_and_counts_its_houses(capsys: pytest.CaptureFixture[str]) -> None:
    odd = OddHouse(3, "Block 3", "roof_m2", 812.5, 140.25, 9.1)
    show_estate(EstateSummary("map.geojson", "houses.csv", False, 0, (), (), {"done": 7}, odd=(odd,)), Path("out"))
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "map.geojson: 7 houses"
    heading = next(line for line in lines if line.startswith("house"))
    assert heading.split("  ")[:2] == ["house", ""]
    assert any(line.split()[:4] == ["Block", "3", "roof", "m2"] and line.split()[-1] == "9.1" for line in lines)


def test_no_limit_of_time_is_asked_by_0(tmp_path: Path) -> None:
    wanted = Wanted(tmp_path, tmp_path, "m", None, False, "csv", 0.0, 1, "")
    assert _check(wanted) is None
