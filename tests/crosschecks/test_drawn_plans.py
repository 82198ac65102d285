"""Plans that others drew: areas of every outline against those worked out by other programs (set TAKEOFF_DATA)."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest

from takeoff.basics.errors import UndecidedError
from takeoff.pipeline import Stage, run_file
from takeoff.read.outlines.drawing_files import read_drawing
from takeoff.shape.imported.drawn.drawn_rings import rings_of

DATA = Path(os.environ.get("TAKEOFF_DATA", "/nowhere")) / "dxf"
pytestmark = pytest.mark.skipif(not (DATA / "expected.json").is_file(), reason="TAKEOFF_DATA names no folder with dxf")


def expected(name: str) -> dict[str, object]:
    cases = json.loads((DATA / "expected.json").read_text(encoding="utf-8"))
    return next(case for case in cases if case["file"] == name)


def test_every_footprint_of_the_plan_of_24() -> None:
    """Closed polylines, repeated first points, shuffled loose lines and old polylines, a layer each.

    The drawing is rounded to whole mm and the areas are of what it was made from: each corner lies within 0.71 mm.
    """
    name = "nz_24_footprints_mm.dxf"
    raw = read_drawing(DATA / name)
    for case in expected(name)["footprints"]:
        drawn = rings_of(raw, (case["layer"],))
        assert drawn.unit.unit == "mm"
        (ring,) = drawn.rings
        assert ring.area_mm2 / 1e6 == pytest.approx(case["area_m2"], abs=case["perimeter_m"] * 0.71e-3), case
        around = [
            ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
            for a, b in zip(ring.points_mm, (*ring.points_mm[1:], ring.points_mm[0]), strict=True)
        ]
        assert sum(around) / 1000 == pytest.approx(case["perimeter_m"], abs=case["vertices"] * 1.42e-3), case
        assert len(ring.points_mm) + ring.joined == case["vertices"], case


@pytest.mark.parametrize("said", [None, "mm"])
def test_the_house_plan_in_mm(said: str | None) -> None:
    name = "house_plan_mm.dxf"
    drawn = rings_of(read_drawing(DATA / name), ("A-FOOTPRINT",), said)
    areas = [round(ring.area_mm2 / 1e6, 4) for ring in drawn.rings]
    assert areas == [ring["area_m2"] for ring in expected(name)["closed_footprints"]["A-FOOTPRINT"]]


def test_the_plan_in_inches_whose_header_says_mm_is_asked_about_and_then_the_same(tmp_path: Path) -> None:
    for name in ("house_plan_inches_header_says_mm.dxf", "house_plan_mm.dxf"):
        (tmp_path / name).write_bytes((DATA / name).read_bytes())
    path = tmp_path / "job.yaml"
    text = "job: x\nroofs:\n  - {pitch_deg: 25, fascia_height_mm: 2400,\n     SHAPE}\n"
    line = "shape: {file: house_plan_inches_header_says_mm.dxf, layer: A-FOOTPRINT, part: 1, edge_is: outline}"
    path.write_text(text.replace("SHAPE", line))
    with pytest.raises(UndecidedError) as stop:
        run_file(path)
    line = next(line for line in re.findall(r"`([^`]*)`", str(stop.value)) if "unit: in" in line)
    areas = []
    for shape in (line, line.replace("inches_header_says_mm", "mm").replace(", unit: in", "")):
        path.write_text(text.replace("SHAPE", shape))
        takeoff = run_file(path, until=Stage.SHAPE)
        areas.append([round(plane.area_mm2, 3) for plane in takeoff.roofs[0].planes])
    assert areas[0] == pytest.approx(areas[1], rel=1e-6)
    assert sum(plane.plan_area_mm2 for plane in takeoff.roofs[0].planes) / 1e6 == pytest.approx(152.1649, abs=1e-3)
