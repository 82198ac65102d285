"""IFC files of others against the areas that they themselves, or their makers, state for them. Skips without TAKEOFF_DATA.

Sources: the KIT house (quantities of its own BaseQuantities: 82.561088 m2 a slab, 71.5 in plan; eleven windows and five doors,
of which two lead outside), buildingSMART's simple scene (22.401143 and 31.211693 m2), the ifcopenhouse (41.83244 m2 a plane,
by its own mesh), and open houses written as IFC, whose planes and edges were worked out from their polygons.
"""

from __future__ import annotations

import json
import os
from collections import defaultdict
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.read.shape_files import read_shape
from takeoff.shape.imported.roof_from_faces import roof_from_faces

DATA = Path(os.environ.get("TAKEOFF_DATA", "/nowhere")) / "ifc"
pytestmark = pytest.mark.skipif(not DATA.is_dir(), reason="TAKEOFF_DATA is not set")
SETTINGS = resolve_settings(Job(job="check"))
OWN = {
    "own_dh-1932_ifc4_m": 0.02,
    "own_dh-1739_ifc4_m": 0.02,
    "own_nrwB-0050_ifc4_mm": 0.05,
    "own_nrwB-0082_ifc4_mm": 0.02,
}


def _roof(name: str) -> Roof:
    path = DATA / f"{name}.ifc"
    job = RoofJob.model_validate({"shape": {"file": path.name}})
    assert job.shape is not None
    return roof_from_faces(read_shape(path, job.shape), job, 0.0, SETTINGS)


def _lengths(roof: Roof) -> dict[str, float]:
    found: dict[str, float] = defaultdict(float)
    for edge in roof.edges:
        found[edge.kind.value] += edge.length_mm / 1000.0
    return found


@pytest.mark.parametrize(
    ("name", "areas"),
    [
        ("bsi_simple_scene_architecture_ifc4", [22.401143, 31.211693]),
        ("ifcopenhouse_ifc4_mm", [41.83244, 41.83244]),
    ],
)
def test_the_greatest_upward_plane_of_each_slab_is_the_roof(name: str, areas: list[float]) -> None:
    roof = _roof(name)
    assert sorted(plane.area_mm2 / 1e6 for plane in roof.planes) == pytest.approx(areas, abs=1e-4)
    assert [plane.pitch_deg for plane in roof.planes] == pytest.approx([45.0, 45.0], abs=1e-4)


def test_the_kit_house_from_its_file_to_its_walls() -> None:
    name = "kit_fzk_haus_ifc4.ifc"
    job = {
        "job": "check",
        "roofs": [{"name": "house", "shape": {"file": name}}],
        "walls": {"zones": [{"board": "bevel_187"}]},
        "site": {"wind_zone": "medium", "rain_mm_per_h": 100},
    }
    found = pipeline.run(parse_job(json.dumps(job)), base=DATA, until=pipeline.Stage.SHAPE)
    (roof,) = found.roofs
    assert [plane.area_mm2 / 1e6 for plane in roof.planes] == pytest.approx([82.561088, 82.561088], abs=1e-5)
    assert [plane.plan_area_mm2 / 1e6 for plane in roof.planes] == pytest.approx([71.5, 71.5], abs=1e-5)
    # its own areas are told apart: 82.56 are true, 71.50 in plan
    (said,) = [finding.text for finding in found.findings if finding.code == "file-areas"]
    assert "BaseQuantities.NetArea: Dach-1 82.56 m2, Dach-2 82.56 m2: our true area of P" in said
    assert "Fläche: Dach-1 71.50 m2, Dach-2 71.50 m2: our plan area of P" in said
    # walls 12 x 10 m outside; of 11 windows all are in outer walls, of 5 doors the front and the terrace door
    assert [wall.width_mm for wall in found.elevations] == pytest.approx([12000.0, 10000.0, 12000.0, 10000.0], abs=0.1)
    openings = [opening for wall in found.elevations for opening in wall.openings]
    assert sum(opening.sill_mm > 0.0 for opening in openings) == 11
    assert [opening.name for opening in openings if opening.sill_mm <= 0.0] == ["Terrassentuer", "Haustuer"]


@pytest.mark.parametrize(("name", "within"), OWN.items())
def test_open_houses_written_as_ifc_have_their_planes_and_edges(name: str, within: float) -> None:
    wanted = {entry["file"]: entry for entry in json.loads((DATA / "own_houses.expected.json").read_text("utf-8"))}
    want = wanted[f"{name}.ifc"]
    roof = _roof(name)
    # their points are rounded to mm: planes of one edge miss each other by as much
    assert sum(plane.area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(want["roof_true_m2"], rel=1e-3)
    assert sorted(plane.area_mm2 / 1e6 for plane in roof.planes) == pytest.approx(
        sorted(plane["area"] for plane in want["planes"]), rel=3e-3
    )
    lengths = _lengths(roof)
    for kind in ("ridge", "hip", "valley", "verge"):
        assert lengths.get(kind, 0.0) == pytest.approx(want["edges"].get(kind, 0.0), abs=within), kind
