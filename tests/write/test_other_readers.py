"""Drawings as readers other than a browser see them."""

from __future__ import annotations

import re
import shutil
import subprocess
from io import StringIO
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf.colors import aci2rgb
from ezdxf.document import Drawing as DxfDocument

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.drawings.drawing import Drawing, Sketch
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.layers import LAYERS
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.svg import svg_text
from takeoff.write.files import drawings

HOMESTEAD = Path(__file__).resolve().parents[2] / "geometry_samples" / "homestead" / "job.yaml"
SVG = "{http://www.w3.org/2000/svg}"
LEAST_CONTRAST = 3.0  # for lines and large letters: Web Content Accessibility Guidelines 2.1, 1.4.11 (from memory)


@pytest.fixture(scope="module")
def homestead() -> Takeoff:
    return run_file(HOMESTEAD)


@pytest.fixture(scope="module")
def plan(homestead: Takeoff) -> Drawing:
    drawing = roof_plan(homestead)
    assert drawing is not None
    return drawing


def read(drawing: Drawing) -> DxfDocument:
    return ezdxf.read(StringIO(dxf_text(drawing)))


def test_rims_lie_below_all_words_and_need_no_paint_order(homestead: Takeoff) -> None:
    for drawing in drawings(homestead):
        text = svg_text(drawing)
        assert "paint-order" not in text
        groups = ElementTree.fromstring(text).findall(f"{SVG}g")
        names = [group.get("data-layer") for group in groups]
        rim = names.index("RIM")
        after = groups[rim + 1 :]
        assert all(group.find(f"{SVG}text") is None for group in groups[:rim])
        words = [element.text for group in after for element in group]
        assert sorted(words) == sorted(element.text for element in groups[rim])
        assert all(element.tag == f"{SVG}text" for group in after for element in group)
        assert all(group.get("stroke") == "none" for group in after)


def test_no_plane_is_filled_in_dxf(plan: Drawing) -> None:
    space = read(plan).modelspace()
    assert not space.query("HATCH")
    assert not space.query('*[layer=="ROOF-PLANE"]')
    # heads of arrows alone are full
    assert all(solid.dxf.layer in ("FALL-ARROW", "LAY-ARROW", "TEXT") for solid in space.query("SOLID"))


def test_figures_of_dimensions_are_plain_texts(plan: Drawing) -> None:
    doc = read(plan)
    found = []
    for dimension in doc.modelspace().query("DIMENSION"):
        block = doc.blocks.get(dimension.dxf.geometry)
        assert block is not None
        assert not block.query("MTEXT")
        found += [(text.dxf.text, text.dxf.height) for text in block.query("TEXT")]
    # the big sample's sides, 4200 + 8400 + 7200 = 19800 and 5250 + 9600 = 14850
    assert sorted(words for words, _ in found) == sorted(["4200", "8400", "7200", "19800", "5250", "9600", "14850"])
    assert {height for _, height in found} == {2.5 * plan.scale}
    assert doc.header["$DIMSCALE"] == plan.scale
    assert doc.header["$DIMTXT"] == 2.5


def test_extents_and_saved_view_are_the_paper(plan: Drawing) -> None:
    doc = read(plan)
    width, height = (side * plan.scale for side in plan.paper_mm)
    least, most = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    assert (most[0] - least[0], most[1] - least[1]) == pytest.approx((width, height))
    view = doc.views.get("DRAWING")
    assert view.dxf.height == pytest.approx(1.05 * height)
    middle = (plan.corner_mm[0] + width / 2.0, plan.corner_mm[1] + height / 2.0)
    assert tuple(view.dxf.center)[:2] == pytest.approx(middle)
    ports = doc.viewports.get("*Active")
    assert ports[0].dxf.aspect_ratio == pytest.approx(width / height)


def test_layers_are_read_on_dark_and_on_white() -> None:
    for layer in LAYERS.values():
        if layer.index != 7:  # black on white, white on dark, by every reader
            light = _luminance(aci2rgb(layer.index))
            assert 1.05 / (light + 0.05) >= LEAST_CONTRAST, layer.name
            assert (light + 0.05) / (_luminance((33, 40, 48)) + 0.05) >= LEAST_CONTRAST, layer.name


def _luminance(rgb: tuple[int, int, int]) -> float:
    """Relative luminance of a colour of sRGB: same guidelines."""
    parts = [value / 255.0 for value in rgb]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def named() -> Drawing:
    sketch = Sketch(50)
    sketch.text("TEXT", (0.0, 0.0), "Ngāmotu café", 3.5)
    sketch.dimension((0.0, 0.0), (4321.0, 0.0), (0.0, -600.0), 0.0)
    sketch.dimension((0.0, 0.0), (0.0, 1234.0), (-600.0, 0.0), 90.0)
    return Drawing("named", "Ngāmotu café", 50, (210.0, 148.0), (-2000.0, -2000.0), tuple(sketch.items))


def test_macrons_and_accents_stay(tmp_path: Path) -> None:
    path = tmp_path / "named.dxf"
    path.write_text(dxf_text(named()), encoding="utf-8")
    doc = ezdxf.readfile(path)
    assert [text.dxf.text for text in doc.modelspace().query("TEXT")] == ["Ngāmotu café"]
    assert "Ngāmotu café" in svg_text(named())


@pytest.mark.skipif(
    shutil.which("soffice") is None or shutil.which("pdftotext") is None, reason="LibreOffice Draw is not here"
)
def test_a_drawing_program_shows_names_and_figures(tmp_path: Path) -> None:
    path = tmp_path / "named.dxf"
    path.write_text(dxf_text(named()), encoding="utf-8")
    profile = f"-env:UserInstallation=file://{tmp_path / 'profile'}"
    command = ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    pdf = tmp_path / "named.pdf"
    if not pdf.exists():
        pytest.skip("LibreOffice has no Draw here")
    shown = subprocess.run(["pdftotext", str(pdf), "-"], check=True, capture_output=True, timeout=60).stdout
    words = re.sub(r"\s+", "", shown.decode("utf-8"))
    for wanted in ("Ngāmotucafé", "4321"):
        assert wanted in words
    assert "1234" in words or "4321" in words[::-1]
