"""What a plane laid from the lee end would buy less from its other end is told, with the line that chooses it.

The figure is held against the order itself: the same house with the line pasted in.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from takeoff import pipeline
from takeoff.model.findings import Finding
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

SAMPLES = Path("geometry_samples")


def house(**roof: Any) -> Takeoff:
    """The L-shaped house in a wind from the east: its lee end is west."""
    told = json.loads(pipeline.run_file(SAMPLES / "l_house").job.model_dump_json(exclude_unset=True))
    told.setdefault("settings", {})["lay_from"] = "west"
    told.pop("walls", None)
    told["roofs"][0].get("covering", {}).pop("lay_from", None)
    edges = told["roofs"][0].setdefault("edges", {})
    for number, edge in roof.get("edges", {}).items():
        edges[str(number)] = {**edges.get(str(number), {}), **edge}
    return pipeline.run(parse_job(json.dumps(told)))


def told(takeoff: Takeoff) -> list[Finding]:
    return [finding for finding in takeoff.findings if finding.code == "other-end-buys-less"]


def bought_m(takeoff: Takeoff) -> float:
    assert takeoff.order is not None
    return takeoff.order.sheets_bought_m


def test_what_the_line_saves_is_what_is_told() -> None:
    before = house()
    (finding,) = told(before)
    (line,) = re.findall(r"`([^`]+)`", finding.advice)
    after = house(**yaml.safe_load(line))
    said = [float(figure) for figure in re.findall(r"(\d+\.\d\d) m", finding.text)]
    assert bought_m(before) - bought_m(after) == pytest.approx(said[-1], abs=0.006)
    assert told(after) == []


def test_the_lee_end_is_kept_all_the_same() -> None:
    """Each plane that is told of starts at its lee end until the job says otherwise."""
    before = house()
    (finding,) = told(before)
    for plane in finding.refs:
        sheets = before.sheets_of(plane)
        assert sheets is not None
        assert f"{plane} " in finding.text
        assert f"from its {sheets.start_side}" not in finding.text.split(f"{plane} ")[1].split(",")[0]


def test_a_roof_that_saves_nothing_is_not_told_of() -> None:
    assert told(pipeline.run_file(SAMPLES / "two_gables")) == []
    assert told(pipeline.run_file(SAMPLES / "l_house")) == []
