"""Areas that a file states are told by which of ours they are; the gable house: 60 m2 a plane on the slope, 48 in plan."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from own_houses import gable
from taking_off import SETTINGS
from write_meshes import obj_polygons

from takeoff.model.faces import RawFaces, RawPart, StatedArea, StatedPart
from takeoff.model.findings import Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.read.shape_files import read_shape
from takeoff.shape.imported.roof_from_faces import roof_from_faces
from takeoff.shape.imported.stated_areas import area_findings


def _said(folder: Path, *areas: tuple[str, float]) -> tuple[Severity, str]:
    path = folder / "house.obj"
    path.write_bytes(obj_polygons(gable()))
    job = RoofJob.model_validate_json(json.dumps({"shape": {"file": path.name, "up": "z", "unit": "m"}}))
    assert job.shape is not None
    raw: RawFaces = read_shape(path, job.shape)
    roof = roof_from_faces(raw, job, 0.0, SETTINGS)
    part = RawPart("1", "slab", StatedPart.ROOF)
    stated = tuple(StatedArea("1", word, m2) for word, m2 in areas)
    (finding,) = area_findings(replace(raw, parts=(part,), stated_areas=stated), roof)
    return finding.severity, finding.text


def test_true_and_plan_areas_are_told_apart_whatever_they_are_called(tmp_path: Path) -> None:
    severity, text = _said(tmp_path, ("Q.GrossArea", 48.0), ("Q.NetArea", 60.1), ("Q.Edge", 8.5))
    assert severity is Severity.NOTE
    assert "Q.NetArea: slab 60.10 m2: our true area of P" in text
    assert "Q.GrossArea: slab 48.00 m2: our plan area of P" in text
    assert text.endswith("No area of ours: Q.Edge.")


def test_the_whole_roof_in_one_figure_is_known(tmp_path: Path) -> None:
    assert "Q.Total: slab 120.00 m2: our true area of the whole roof" in _said(tmp_path, ("Q.Total", 120.0))[1]


def test_a_file_of_plan_areas_alone_or_of_others_is_a_warning(tmp_path: Path) -> None:
    assert _said(tmp_path, ("Q.GrossArea", 48.0))[0] is Severity.WARN
    severity, text = _said(tmp_path, ("Q.NetArea", 55.0))
    assert severity is Severity.WARN
    assert "None of them is one of ours. No area of ours: Q.NetArea." in text
