"""house.html without a browser: one file, nothing fetched, the same bytes, texts of the job safe, every line in it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
import zipfile
from pathlib import Path
from typing import Any

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.write.data.measure_form import measure_form
from takeoff.write.house_view.house_page import house_page, safe_json
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.house_view.viewer_script import cut_script, viewer_archive, viewer_script

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=y()>"


def data_of(page: bytes) -> dict[str, Any]:
    text = page.decode("utf-8").partition('id="data">')[2].partition("</script>")[0]
    data: dict[str, Any] = json.loads(text)
    return data


@pytest.fixture(scope="module")
def homestead() -> Takeoff:
    return run_file(SAMPLES / "homestead")


def test_the_library_is_cut_behind_its_core_and_keeps_its_licence() -> None:
    """Its own globals are made by the last statement of the core; the controls, loaders and the viewer's start are not
    in it."""
    script = viewer_script(viewer_archive())
    assert script is not None
    assert script.startswith("/**\n * @license\n * Copyright 2010-")
    assert "SPDX-License-Identifier: MIT" in script[:200]
    assert script.endswith("}));")
    for foreign in (
        "class TrackballControls",
        "class GLTFLoader",
        "function init()",
        "B64GLTF",
        "</script",
        "http-equiv",
    ):
        assert foreign not in script
    assert "trimesh" not in script


def test_a_viewer_laid_out_otherwise_is_left_alone(tmp_path: Path) -> None:
    licence = "/** @license SPDX-License-Identifier: MIT */"
    good = f"<script>{licence}(function(){{}}));\n(function(){{const _changeEvent"
    assert cut_script(good) is not None
    assert cut_script(good.replace("MIT", "other")) is None
    assert cut_script(good.replace("_changeEvent", "_other")) is None
    assert cut_script(good.replace("(){}", "(){'</script>'}")) is None
    bad = tmp_path / "viewer.zip"
    assert viewer_script(bad) is None
    bad.write_bytes(b"no archive")
    assert viewer_script(tmp_path) is None
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as archive:
        archive.writestr("something else", "x")
    assert viewer_script(tmp_path / "other.zip") is None


def test_without_the_library_a_view_stands_in_and_the_page_says_so(sample: Takeoff, tmp_path: Path) -> None:
    page = house_page(sample, tmp_path / "none.zip").decode("utf-8")
    assert '<svg xmlns="http://www.w3.org/2000/svg"' in page
    assert "three.js (MIT" not in page
    assert "cannot be turned" in page
    assert "WebGLRenderer=" not in page


def test_one_file_that_asks_for_nothing(homestead: Takeoff) -> None:
    page = house_page(homestead)
    assert page == house_page(run_file(SAMPLES / "homestead")), "the same bytes every run"
    text = page.decode("utf-8")
    assert re.findall(r"<(?:link|img|iframe|script)[^>]*\b(?:src|href)=", text) == []
    assert "url(http" not in text
    assert "default-src 'none'" in text
    assert len(page) < 1_200_000


def test_texts_of_a_job_cannot_leave_the_data() -> None:
    roof = f"{{name: '{HOSTILE}', outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], pitch_deg: 20}}"
    page = house_page(run(parse_job(f"job: '{HOSTILE}'\nroofs:\n  - {roof}\n"))).decode("utf-8")
    assert page.count("</script>") == 3, "the page's own elements: data, library, scripts"
    assert "<img" not in page
    assert "alert(1)" in page
    assert json.loads(safe_json({"x": "</script>\u2028<!--&"})) == {"x": "</script>\u2028<!--&"}
    assert not set("<>&") & set(safe_json("</script><!--&"))


def test_every_order_line_finds_its_place_or_has_none(homestead: Takeoff) -> None:
    """What a line names by mark is on the page; lines that name nothing are for the whole house."""
    data = data_of(house_page(homestead))
    assert homestead.order is not None
    assert [line["i"] for line in data["lines"]] == [line.id for line in homestead.order.lines]
    lost = {
        line["i"]: line["r"] for line in data["lines"] if line["r"] and not any(r in data["names"] for r in line["r"])
    }
    # sums over both zones and over corners and nodes have no part of their own
    assert {name for refs in lost.values() for name in refs} <= {"zone 1", "zone 2"}
    sheet = next(place for place, part in enumerate(data["parts"]) if part["m"] == "P1.04")
    (line,) = (
        line for line in data["lines"] if line["d"] == "roof sheets" and "P1.04" in line["r"] and "mm" in line["c"]
    )
    assert data["names"]["P1.04"] == [sheet]
    assert line["c"].endswith("x 3510 mm")


def test_every_mark_of_the_house_is_a_part(homestead: Takeoff) -> None:
    marks = {part.mark for part in house_parts(homestead)}
    wanted = {piece.mark for sheets in homestead.roofing.sheets for piece in sheets.pieces}
    wanted |= {edge.id for roof in homestead.roofs for edge in roof.own_edges}
    wanted |= {plane.id for roof in homestead.roofs for plane in roof.planes}
    wanted |= {line.run for line in homestead.roofing.purlins} | {line.run for line in homestead.cladding.battens}
    wanted |= {piece.id for boards in homestead.cladding.boards for piece in boards.pieces}
    wanted |= {opening.name for wall in homestead.elevations for opening in wall.openings}
    wanted |= {pipe.id for plan in homestead.rainwater.downpipes for pipe in plan.pipes}
    assert wanted - marks == set()


def test_shapes_have_the_areas_of_the_takeoff(homestead: Takeoff) -> None:
    """Sheets lie within their plane's sheeted area and fill it; rings are whole mm, so to 1 in 1000."""
    parts = house_parts(homestead)
    for sheets in homestead.roofing.sheets:
        laid = sum(part.area_mm2 for part in parts if part.kind == "sheet" and part.on == sheets.plane)
        assert laid == pytest.approx(sheets.net_mm2, rel=1e-3)


def test_the_boxes_are_those_of_the_form(homestead: Takeoff) -> None:
    data = data_of(house_page(homestead))
    form = measure_form(homestead).decode("utf-8-sig").splitlines()
    rows = [(plane["m"], row[0], row[1]) for plane in data["planes"] for row in plane["x"]]
    assert data["form"] == ["plane", "item", "mm", "drawn mm", "from, to"]
    assert [(line.split(",")[0], line.split(",")[1], line.split(",")[3]) for line in form[1:]] == rows


def test_words_stand_out_from_their_paper() -> None:
    """Contrast of small letters, Web Content Accessibility Guidelines 2.1, 1.4.3: at least 4.5 to 1; its formula of
    relative luminance (from memory)."""
    style = house_page_style()
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", style))
    papers = [colours["paper"], colours["wash"], "#e7e3d8"]
    assert "#e7e3d8" in style, "the row that is chosen"
    for words in ("ink", "soft", "mark"):
        for paper in papers:
            assert contrast(colours[words], paper) >= 4.5, (words, paper)
    assert set(re.findall(r"(?<![-\w])color: ([^;]+);", style)) <= {
        "inherit",
        "var(--ink)",
        "var(--soft)",
        "var(--mark)",
        "var(--paper)",
    }


def house_page_style() -> str:
    folder = Path(sys.modules[house_page.__module__].__file__ or "").parent
    return (folder / "page" / "page.css").read_text(encoding="utf-8")


def contrast(one: str, other: str) -> float:
    """Of two colours, written #rrggbb."""

    def luminance(colour: str) -> float:
        shares = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
        red, green, blue = (s / 12.92 if s <= 0.03928 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_our_own_scripts_and_style_are_short() -> None:
    folder = Path(sys.modules[house_page.__module__].__file__ or "").parent / "page"
    assert {
        path.name for path in folder.iterdir() if len(path.read_text(encoding="utf-8").splitlines()) >= 400
    } == set()


def test_no_id_is_shown(homestead: Takeoff) -> None:
    data = data_of(house_page(homestead))
    told = [*(part["f"] for part in data["parts"]), [line["t"] for line in data["lines"]], [data["bases"]]]
    told += [[rule, *(name for name, _, _ in terms)] for rule, terms in data["workings"]]
    texts = [str(text) for group in told for text in group]
    assert [text for text in texts if re.search(r"[a-z0-9]+_[a-z0-9]+", text)] == []


@pytest.mark.parametrize("name", ["dormer", "verandah", "mesh_house", "butterfly", "station_hut", "cottage_with_flue"])
def test_other_houses_have_a_page(name: str) -> None:
    data = data_of(house_page(run_file(SAMPLES / name)))
    assert data["parts"]
    assert data["planes"]


def test_sheets_on_walls_are_no_boards() -> None:
    """Wall 5 of the two storeys is clad with corrugated sheets, wall 1 with weatherboards."""
    parts = {part.mark: part for part in house_parts(run_file(SAMPLES / "two_storeys"))}
    assert {part.kind for part in parts.values() if part.on == "wall 5"} >= {"wall sheet"}
    assert {part.kind for part in parts.values() if part.on == "wall 1"} == {"wall", "opening", "board", "batten"}
    assert parts["B5.01"].facts[0].startswith("2150 mm, sheet 1 of wall 5")


def test_a_withheld_order_has_a_page_that_says_so(stopped: Takeoff) -> None:
    data = data_of(house_page(stopped))
    assert data["head"]["state"].startswith("NOT AN ORDER")
    assert data["lines"] == []
    assert data["open"][0].startswith("STOP")


def test_the_page_costs_little_of_the_time_of_the_libraries(homestead: Takeoff) -> None:
    """A seventh of the processor time that importing the four core libraries takes, in the same run; least of five."""
    code = (
        "import time; a = time.process_time(); import numpy, shapely, ezdxf, openpyxl; print(time.process_time() - a)"
    )
    imports = min(
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout)
        for _ in range(3)
    )
    spent = []
    for _ in range(5):
        begun = time.process_time()
        house_page(homestead)
        spent.append(time.process_time() - begun)
    assert min(spent) < 0.15 * imports
