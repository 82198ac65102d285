"""A site measure releases the sheets and nothing else; a revision letter stands for one set of lengths.

Common practice, no source: what is made from paper goes by its letter, so a letter that means two lists sends the wrong
one to the mill; purlins, flashings and timber are not what was taped.
"""

from __future__ import annotations

import csv
import json
import re
import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner, Result

from takeoff.cli import app

HUT = """
job: Hut
revision: B
date: 2026-03-02
roofs:
  - name: main
    outline: [[0, 0], [8000, 0], [8000, 5000], [0, 5000]]
    fascia_height_mm: 2400
    pitch_deg: 20
    edges: {2: {kind: gable}, 4: {kind: gable}}
site: {wind_zone: high, rain_mm_per_h: 110}
"""
HOLD = "HOLD: SITE MEASURE BEFORE MANUFACTURE"


@pytest.fixture(scope="module")
def hut(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hut")
    (folder / "job.yaml").write_text(HUT, encoding="utf-8")
    assert call("run", folder).exit_code == 0
    return folder


def call(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def taped(hut: Path, target: Path, longer_mm: float = 0.0) -> Path:
    """The form filled in as drawn, every rafter longer by so much; diagonals left blank."""
    with open(hut / "order" / "site_measure.csv", encoding="utf-8-sig", newline="") as stream:
        rows = [row for row in csv.reader(stream) if not row[1].startswith("diagonal")]
    for row in rows[1:]:
        row[2] = f"{float(row[3]) + (longer_mm if row[1].startswith('rafter') else 0.0):g}"
    with open(target, "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(rows)
    return target


def measured(hut: Path, out: Path, longer_mm: float, *more: str) -> Result:
    form = taped(hut, out.with_suffix(".csv"), longer_mm)
    return call("measured", hut / "job.yaml", form, "--out", out, "--only", "all", *more)


def words_of(svg: str) -> str:
    """The words on a drawing, in the order they stand in the file, rims left out."""
    letters = svg.split('data-layer="RIM"')[-1].split("</g>", 1)[-1]
    return " ".join(re.findall(r">([^<>]+)</text>", letters))


def test_only_sheets_are_released(hut: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    done = measured(hut, out, 10.0, "--release", "--revision", "C")
    assert done.exit_code == 0, done.output
    drawn = {path.name: path.read_text(encoding="utf-8") for path in out.glob("*.svg")}
    # the banner stands on two lines of an A4 sheet
    assert "RELEASED FOR" in drawn["sheets_P1.svg"]
    assert "HOLD" not in words_of(drawn["sheets_P1.svg"])
    for name in ("purlin_plan.svg", "flashings_1.svg"):
        assert "RELEASED" not in words_of(drawn[name])
        assert HOLD in words_of(drawn[name])
    assert f"SHEETS RELEASED. ALL ELSE ON {HOLD}" in words_of(drawn["roof_plan.svg"])
    book = load_workbook(out / "order_sheet.xlsx")
    states = {title: str(book[title]["A3"].value) for title in book.sheetnames}
    assert {states[title] for title in ("Mill order", "Pack list", "Cutting list")} == {"RELEASED FOR MANUFACTURE"}
    assert {states[title] for title in ("Purlins", "Purlin rows", "Flashings")} == {HOLD}
    assert states["Order"].startswith("SHEETS RELEASED")


def test_a_reissue_says_what_it_supersedes(hut: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    done = measured(hut, out, 10.0, "--revision", "C")
    assert "revision C, supersedes B" in done.output
    assert "Revision C, supersedes B, 2 March 2026" in (out / "sheets_P1.svg").read_text(encoding="utf-8")
    assert "revision C, supersedes B" in str(load_workbook(out / "order_sheet.xlsx")["Mill order"]["A2"].value)
    data = json.loads((out / "takeoff.json").read_text(encoding="utf-8"))
    assert (data["job"]["revision"], data["supersedes"]) == ("C", "B")
    again = measured(hut, out, 25.0, "--revision", "D")
    assert again.exit_code == 0
    assert "revision D, supersedes C" in again.output


def test_one_letter_is_one_set_of_lengths(hut: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert measured(hut, out, 10.0, "--revision", "C").exit_code == 0
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    refused = measured(hut, out, 25.0, "--revision", "C")
    assert refused.exit_code == 2 or "holds revision C with other lengths" in str(refused.exception)
    assert "P1.01" in str(refused.exception)
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before
    # the same lengths under the same letter are no new issue: they may be released
    assert measured(hut, out, 10.0, "--revision", "C", "--release").exit_code == 0
    # nor is the order that the job itself wrote any other's: its letter stands for the drawn lengths
    copy = tmp_path / "drawn"
    shutil.copytree(hut / "order", copy)
    assert "holds revision B with other lengths" in str(measured(hut, copy, 10.0).exception)


def test_open_warnings_stand_on_the_released_page(hut: Path, tmp_path: Path) -> None:
    job = tmp_path / "job.yaml"
    # rafters of about 2.7 m are longer than this truck brings: a warning that stands
    job.write_text(HUT + "settings: {ordinary_truck_mm: 2500}\n", encoding="utf-8")
    assert call("run", tmp_path).exit_code == 0
    out = tmp_path / "out"
    done = measured(tmp_path, out, 5.0, "--release", "--revision", "C")
    assert done.exit_code == 0, done.output
    data = json.loads((out / "takeoff.json").read_text(encoding="utf-8"))
    open_ones = [finding["text"] for finding in data["findings"] if finding["severity"] == "warn"]
    page = load_workbook(out / "order_sheet.xlsx")["Mill order"]
    said = " ".join(str(cell.value) for row in page.iter_rows() for cell in row if cell.value)
    assert open_ones, "the job was meant to have a warning"
    assert "Released with these warnings open" in said
    assert said.count("WARNING") == len(open_ones)
    held = " ".join(
        str(cell.value)
        for row in load_workbook(tmp_path / "order" / "order_sheet.xlsx")["Mill order"].iter_rows()
        for cell in row
    )
    assert "warnings open" not in held
