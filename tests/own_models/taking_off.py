"""A model file to its roof, and a roof held against what its house measures."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest
from own_houses import House

from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.read.shape_files import read_shape
from takeoff.shape.imported.roof_from_faces import roof_from_faces

SETTINGS = resolve_settings(Job(job="check"))


def raised(path: Path, **shape: object) -> Roof:
    """The roof of a model file."""
    job = RoofJob.model_validate({"shape": {"file": path.name, **shape}})
    assert job.shape is not None
    return roof_from_faces(read_shape(path, job.shape), job, 0.0, SETTINGS)


def check(roof: Roof, house: House, within_mm: float) -> None:
    """Counts are the house's; areas and lengths within a tolerance a metre or an edge."""
    lengths: dict[str, list[float]] = defaultdict(list)
    for edge in roof.edges:
        lengths[edge.kind.value].append(edge.length_mm / 1000.0)
    assert {kind: len(found) for kind, found in lengths.items()} == {k: n for k, (n, _) in house.edges_m.items()}
    for kind, (count, metres) in house.edges_m.items():
        assert sum(lengths[kind]) == pytest.approx(metres, abs=count * within_mm / 1000.0), kind
    assert len(roof.planes) == house.planes
    assert sum(plane.area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(house.roof_m2, abs=within_mm * 0.05)
    assert roof.closed
