"""The models of the samples are what make_samples.py writes, and their jobs give the figures of their READMEs."""

from __future__ import annotations

from pathlib import Path

import pytest
from make_samples import SAMPLES, files

from takeoff import pipeline

PATHS = list(files())


@pytest.mark.parametrize("path", PATHS, ids=[path.name for path in PATHS])
def test_the_models_are_what_the_script_writes(path: Path) -> None:
    assert path.read_text("utf-8") == files()[path]


def test_the_ifc_house_has_the_figures_worked_by_hand() -> None:
    found = pipeline.run_file(SAMPLES / "ifc_house" / "job.yaml", pipeline.Stage.MEASURE)
    (roof,) = found.roofs
    assert [plane.area_mm2 / 1e6 for plane in roof.planes] == pytest.approx([60.0, 60.0], abs=1e-6)
    assert [wall.width_mm for wall in found.elevations] == pytest.approx([10800.0, 6800.0, 10800.0, 6800.0], abs=0.05)
    assert [len(wall.openings) for wall in found.elevations] == [3, 1, 2, 0]
    # 2400 + 600 x 3/4 - 120 = 2730
    assert found.job.walls is not None
    assert found.job.walls.height_mm == pytest.approx(2730.0, abs=0.05)


def test_the_cityjson_house_has_the_figures_worked_by_hand() -> None:
    found = pipeline.run_file(SAMPLES / "cityjson_house" / "job.yaml", pipeline.Stage.SHAPE)
    (roof,) = found.roofs
    assert sum(plane.area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(135.0, abs=1e-6)
