"""house.glb and house.ifc, opened again by other programs: names, units, areas; and read back by our own reader.

Areas by hand: a hut of 6.0 x 4.5 m with 0.45 m eaves is a hip roof of 6.9 x 5.4 m in plan, 37.26 m2 / cos 25 on the
slope; its wall 1 is 6.0 x 2.5 m with a floor lap, less a window of 1.2 x 1.2 and a door of 0.9 x 2.0 m.
"""

from __future__ import annotations

import importlib.util
import io
import json
import struct
import subprocess
import sys
from math import cos, radians
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.write.files import kinds_of
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.models.house_glb import house_glb
from takeoff.write.models.house_ifc import OWN_SET, house_ifc

HUT = """
job: Māhia hut
north_deg: 30
roofs:
  - {name: hut, wall_line: [[0, 0], [6000, 0], [6000, 4500], [0, 4500]], eave_overhang_mm: 450, fascia_height_mm: 2450, pitch_deg: 25}
rainwater: {gutter: half_round_150}
walls:
  height_mm: 2450
  ground_mm: -300
  zones: [{board: bevel_187}]
  openings:
    - {wall: 1, name: W1, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1200}
    - {wall: 1, name: D1, from_left_mm: 4000, sill_mm: 0, width_mm: 900, height_mm: 2000}
    - {wall: 2, name: M1, from_left_mm: 500, sill_mm: 900, width_mm: 400, height_mm: 500, kind: meter_box}
"""
SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
SLOPE_M2 = 6.9 * 5.4 / cos(radians(25))


@pytest.fixture(scope="module")
def hut() -> Takeoff:
    return run(parse_job(HUT))


@pytest.fixture(scope="module")
def scene(hut: Takeoff) -> Any:
    import trimesh

    return trimesh.load(io.BytesIO(house_glb(hut)), file_type="glb")


def node_mesh(scene: Any, name: str) -> Any:
    placed, geometry = scene.graph[name]
    return scene.geometry[geometry].copy().apply_transform(placed)


def test_glb_has_a_node_a_part_in_metres_y_up(hut: Takeoff, scene: Any) -> None:
    marks = {part.mark for part in house_parts(hut)}
    assert marks <= set(scene.graph.nodes)
    low, high = scene.bounds
    # 6.9 m of roof, gutters 0.15 m outside on both sides; from the ground to the ridge, 2.7 x tan 25 over the fascia
    assert high[0] - low[0] == pytest.approx(6.9 + 2 * 0.15, abs=0.01)
    assert high[1] == pytest.approx(2.45 + 2.7 * 0.46631, abs=0.05)
    assert low[1] == pytest.approx(-0.3, abs=0.01)
    assert sum(node_mesh(scene, f"P{n}").area for n in (1, 2, 3, 4)) == pytest.approx(SLOPE_M2, rel=1e-4)
    south = node_mesh(scene, "wall 1")
    assert south.bounds[:, 2] == pytest.approx([0.0, 0.0], abs=1e-6), "the wall at y = 0 of the plan stands at z = 0"
    assert node_mesh(scene, "wall 3").bounds[0][2] == pytest.approx(-4.5, abs=1e-6)
    assert node_mesh(scene, "P1").face_normals[0][1] == pytest.approx(cos(radians(25)), abs=1e-4), "seen from above"


def test_glb_extras_say_what_a_part_is(hut: Takeoff, scene: Any) -> None:
    data = house_glb(hut)
    size = struct.unpack("<I", data[12:16])[0]
    model = json.loads(data[20 : 20 + size])
    assert data == house_glb(run(parse_job(HUT)))
    assert model["asset"]["version"] == "2.0"
    nodes = {node["name"]: node for node in model["nodes"]}
    sheet = nodes["P1.04"]["extras"]
    assert (sheet["mark"], sheet["kind"], sheet["on"]) == ("P1.04", "sheet", "P1")
    assert sheet["area_m2"] == pytest.approx(node_mesh(scene, "P1.04").area, rel=1e-4)
    assert model["nodes"][0]["extras"]["job_hash"] == hut.job_hash
    assert nodes["Māhia hut"]["children"] == list(range(1, len(model["nodes"])))


@pytest.fixture(scope="module")
def written(hut: Takeoff, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("ifc") / "house.ifc"
    path.write_bytes(house_ifc(hut))
    return path


@pytest.fixture(scope="module")
def model(written: Path) -> Any:
    return pytest.importorskip("ifcopenshell").open(written)


def test_ifc_is_valid_and_the_same_each_time(model: Any, written: Path) -> None:
    from ifcopenshell import validate

    log = validate.json_logger()
    validate.validate(model, log)
    assert log.statements == []
    assert written.read_bytes() == house_ifc(run(parse_job(HUT)))
    assert b"T00:00:00" in written.read_bytes()[:600]
    ids = [product.GlobalId for product in model.by_type("IfcRoot")]
    assert len(ids) == len(set(ids))


RULES = """
import sys
import ifcopenshell
from ifcopenshell import validate
log = validate.json_logger()
validate.validate(ifcopenshell.open(sys.argv[1]), log, express_rules=True)
print(log.statements)
"""


@pytest.mark.long
@pytest.mark.parametrize("name", ["two_storeys", "homestead", "dormer"])
def test_ifc_keeps_every_rule_of_the_schema(name: str, tmp_path: Path) -> None:
    """ISO 16739 in its EXPRESS form, as the validator of the reading library has it; in a process of its own, since it
    compiles the rules."""
    (tmp_path / "house.ifc").write_bytes(house_ifc(run_file(SAMPLES / name)))
    command = [sys.executable, "-c", RULES, str(tmp_path / "house.ifc")]
    assert subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip() == "[]"


def test_ids_follow_from_marks_not_from_places(model: Any) -> None:
    """A sheet keeps its id where the rest of the house changes."""
    import ifcopenshell

    other = house_ifc(
        run(parse_job(HUT.replace("rainwater: {gutter: half_round_150}", "rainwater: {gutter: quad_125}")))
    )
    again = ifcopenshell.file.from_string(other.decode("ascii"))
    for kind in ("IfcSlab", "IfcWall", "IfcCovering", "IfcWindow"):
        assert {p.Name: p.GlobalId for p in model.by_type(kind)} == {p.Name: p.GlobalId for p in again.by_type(kind)}


def test_ifc_has_the_house_in_order(model: Any) -> None:
    from ifcopenshell.util import element, placement

    counts = {
        kind: len(model.by_type(kind)) for kind in ("IfcSite", "IfcBuilding", "IfcBuildingStorey", "IfcRoof", "IfcSlab")
    }
    assert counts == {"IfcSite": 1, "IfcBuilding": 1, "IfcBuildingStorey": 1, "IfcRoof": 1, "IfcSlab": 4}
    assert {slab.PredefinedType for slab in model.by_type("IfcSlab")} == {"ROOF"}
    assert {one.PredefinedType for one in model.by_type("IfcCovering")} == {"ROOFING", "CLADDING", "USERDEFINED"}
    assert {one.PredefinedType for one in model.by_type("IfcPipeSegment")} == {"GUTTER", "RIGIDSEGMENT"}
    assert [one.Name for one in model.by_type("IfcWindow")] == ["W1"]
    assert [one.Name for one in model.by_type("IfcDoor")] == ["D1"]
    assert len(model.by_type("IfcOpeningElement")) == 3
    storey = model.by_type("IfcBuildingStorey")[0]
    for product in (*model.by_type("IfcWall"), *model.by_type("IfcCovering"), *model.by_type("IfcSlab")):
        assert element.get_container(product) == storey
        assert placement.get_local_placement(product.ObjectPlacement)[:3, 3].tolist() == [0, 0, 0]
    north = model.by_type("IfcGeometricRepresentationContext", include_subtypes=False)[0].TrueNorth.DirectionRatios
    # +y of the plan bears 30 degrees, so north lies 30 degrees anticlockwise of it
    assert north == pytest.approx((-0.5, cos(radians(30))), abs=1e-9)


def test_ifc_areas_are_true_by_another_kernel(model: Any) -> None:
    import ifcopenshell.geom
    from ifcopenshell.util import element, shape

    settings = ifcopenshell.geom.settings()

    def built(product: Any) -> Any:
        return ifcopenshell.geom.create_shape(settings, product).geometry

    def said(product: Any, group: str) -> dict[str, float]:
        found: dict[str, float] = element.get_psets(product, qtos_only=True)[group]
        return found

    for slab in model.by_type("IfcSlab"):
        sizes = said(slab, "Qto_SlabBaseQuantities")
        assert shape.get_area(built(slab)) == pytest.approx(sizes["NetArea"], rel=1e-3)
    roof = said(model.by_type("IfcRoof")[0], "Qto_RoofBaseQuantities")
    assert roof["NetArea"] == roof["GrossArea"] == pytest.approx(SLOPE_M2, rel=1e-6)
    assert roof["ProjectedArea"] == pytest.approx(6.9 * 5.4, rel=1e-6)
    walls = {wall.Name: wall for wall in model.by_type("IfcWall")}
    for wall in walls.values():
        sizes = said(wall, "Qto_WallBaseQuantities")
        assert shape.get_volume(built(wall)) / 0.09 == pytest.approx(sizes["NetSideArea"], rel=1e-3)
    first = said(walls["wall 1"], "Qto_WallBaseQuantities")
    assert first["GrossSideArea"] - first["NetSideArea"] == pytest.approx(1.2 * 1.2 + 0.9 * 2.0, rel=1e-6)
    for covering in [one for one in model.by_type("IfcCovering") if one.PredefinedType in ("ROOFING", "CLADDING")][::9]:
        sizes = said(covering, "Qto_CoveringBaseQuantities")
        assert shape.get_area(built(covering)) == pytest.approx(sizes["NetArea"], rel=1e-3)


def test_our_own_set_gives_marks_order_lines_and_basis(model: Any) -> None:
    from ifcopenshell.util import element

    sheet = next(one for one in model.by_type("IfcCovering") if one.Name == "P1.04")
    said = element.get_psets(sheet)[OWN_SET]
    assert (said["Mark"], said["Kind"], said["On"]) == ("P1.04", "sheet", "P1")
    assert said["OrderLines"].startswith("L")
    assert "reach" in said["Basis"]
    assert sheet.CoversElements[0].RelatingBuildingElement.Name == "P1"


def test_our_own_reader_gives_the_same_house_back(hut: Takeoff, written: Path, tmp_path: Path) -> None:
    job = "job: again\nroofs:\n  - {name: hut, shape: {file: %s}}\nwalls: {zones: [{board: bevel_187}]}\n"
    (tmp_path / "job.yaml").write_text(job.replace("%s", str(written)), encoding="utf-8")
    again = run_file(tmp_path, Stage.MEASURE)
    before, after = ({plane.bearing_deg // 1: plane for plane in one.roofs[0].planes} for one in (hut, again))
    assert len(after) == len(before) == 4
    areas = [sorted(plane.area_mm2 for plane in found.values()) for found in (before, after)]
    assert areas[1] == pytest.approx(areas[0], rel=1e-3)
    lengths = [sorted(edge.length_mm for edge in one.roofs[0].edges) for one in (hut, again)]
    assert lengths[1] == pytest.approx(lengths[0], rel=1e-3)
    assert [sorted(o.name for wall in one.elevations for o in wall.openings) for one in (hut, again)] == [
        ["D1", "M1", "W1"]
    ] * 2
    widths = [sorted(wall.width_mm for wall in one.elevations) for one in (hut, again)]
    assert widths[1] == pytest.approx(widths[0], rel=1e-3)


def test_without_the_extra_models_say_what_to_install_and_all_does_without(monkeypatch: pytest.MonkeyPatch) -> None:
    real = importlib.util.find_spec
    monkeypatch.setattr("takeoff.write.files.find_spec", lambda name: None if name == "ifcopenshell" else real(name))
    with pytest.raises(UsageError, match=r"house\.ifc needs ifcopenshell.*pip install"):
        kinds_of("models")
    names = {kind.name for kind in kinds_of("all")}
    assert "house.glb" in names
    assert "house.ifc" not in names
