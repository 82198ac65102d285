"""Words that a roofer uses, one word for one thing, and advice that can be pasted into the job file as it stands."""

from __future__ import annotations

import ast
import json
import re
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import yaml
from openpyxl import load_workbook

import takeoff as package
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.order import Takeoff
from takeoff.pipeline import run, run_file
from takeoff.read.job.cures import cures_of
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.review import compare_files
from takeoff.write.drawings.drawing import Text
from takeoff.write.files import drawings, write_all
from takeoff.write.job_text.edits import edited_text
from takeoff.write.words.spoken import spoken
from takeoff.write.words.trade_words import texts_of, trade_words
from takeoff.write.workbook.workbook import workbook_bytes

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
HUT = """
job: Hut by the internal gutter
revision: B
roofs:
  - name: spouting shed
    wall_line: [[0, 0], [8000, 0], [8000, 5000], [0, 5000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2700
    pitch_deg: 20
walls: {height_mm: 2400, zones: [{direction: horizontal, board: bevel_187}]}
"""
_ADVICE = re.compile(r"`([a-z_]+: [^`]+)`")
# what stands for a figure or a word that is worked out
_STAND_INS = {
    "wind_zone": "high",
    "direction": "horizontal",
    "start_side": "left",
    "code": "nz",
    "kind": "bevel_back",
    "spacing_mm": "900",
    "unit": "mm",
    "face": "top",
    "up": "z",
}
_OF_ROOF = ("covering", "edges", "no_spouting_on", "fascia_height_mm")
_OF_ZONE = ("board", "even_coursing")
_OF_WALLS = ("storeys",)
_OF_DRAWN_WALLS = ("floor_above_foot_mm",)
_OF_SHAPE = ("edge_is", "face", "part", "unit", "up", "use", "leave_out", "layer", "steep", "floor_at_mm")


def advised() -> list[str]:
    """Every line to paste that stands in a text of the program."""
    found: set[str] = set()
    for path in sorted(Path(package.__file__).parent.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if id(node) not in told and isinstance(node, ast.JoinedStr | ast.Constant):
                found |= {line for line in _ADVICE.findall(_text(node)) if not line.endswith("...")}
    return sorted(found)


def _text(node: ast.JoinedStr | ast.Constant) -> str:
    """A text as it is printed, with 75 for a figure that is worked out and a word of its sort for a word."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else ""
    words = ""
    for part in node.values:
        if isinstance(part, ast.Constant):
            words += str(part.value)
        elif isinstance(part, ast.FormattedValue) and ast.unparse(part.value) == "lines":
            words += "1: {start_side: left}"
        else:
            key = re.findall(r"(\w+): $", words)
            known = "bevel_187" if key == ["board"] else "75"
            words += _STAND_INS.get(key[0], known) if key else "1"
    return words


def pasted(line: str) -> str:
    """The hut's job file with a line pasted where it belongs: under the job, the roof or the zone of the walls."""
    (key, value), *_ = yaml.safe_load(line).items()
    job: dict[str, Any] = yaml.safe_load(HUT)
    if key in _OF_WALLS:
        job["walls"][key] = [{**storey, "roof": job["roofs"][0]["name"]} for storey in value]
        return yaml.safe_dump(job, allow_unicode=True)
    if key in _OF_DRAWN_WALLS:
        drawn = {"file": "walls.dxf", "layer": "NORTH", key: value}
        job["walls"] = {"zones": job["walls"]["zones"], "drawn_elevations": [drawn]}
        return yaml.safe_dump(job, allow_unicode=True)
    if key in _OF_SHAPE:
        job["roofs"][0]["shape"] = {"file": "house.obj", key: value}
        del job["roofs"][0]["wall_line"], job["roofs"][0]["fascia_height_mm"], job["walls"]
        return yaml.safe_dump(job, allow_unicode=True)
    if "front_slots" in line:  # ways of spilling stand in the tables of this code alone
        job["code"], job["site"] = "au", {"wind_zone": "N2"}
    where = job["roofs"][0] if key in _OF_ROOF else job["walls"]["zones"][0] if key in _OF_ZONE else job
    where[key] = {**where.get(key, {}), **value} if isinstance(value, dict) and key not in _OF_ZONE else value
    return yaml.safe_dump(job, allow_unicode=True)


def test_there_is_advice_to_paste() -> None:
    assert len(advised()) >= 12


@pytest.mark.parametrize("line", advised())
def test_advice_is_taken_as_it_stands(line: str) -> None:
    job = parse_job(pasted(line), "job.yaml")
    # what a line does to a model or drawing needs the file: tested where these are
    if job.roofs[0].shape is None and not (job.walls and job.walls.drawn_elevations):
        assert run(job).roofs


@pytest.mark.parametrize("line", advised())
def test_every_line_of_advice_is_a_cure(line: str) -> None:
    """What can be pasted can be written by a press: the same line, at its place in the job's own text."""
    line, text = line.replace("roof: 75", "roof: spouting shed"), HUT.replace("2700", "2600")
    if line.startswith("board: "):
        text = text.replace("board: bevel_187", "board: {width_mm: 187, cover_mm: 150}")
    if set(read_yaml(line).value) & {*_OF_SHAPE, "shape"}:
        text = text[: text.index("    wall_line")] + "    shape: {file: house.obj}   # drawn\n"
    elif "zones: [" in line:
        text = text.replace(", zones: [{direction: horizontal, board: bevel_187}]", "")
    elif set(read_yaml(line).value) & set(_OF_DRAWN_WALLS):
        text = text.replace("walls: {", "walls: {drawn_elevations: [{file: walls.dxf, layer: NORTH}], ")
    cures = cures_of(f"Write `{line}`.", read_yaml(text).value)
    assert len(cures) == 1
    made = edited_text(text, cures[0].edits)
    assert made.count("\n") >= text.count("\n")
    parse_job(made)
    assert cures_of(f"Write `{line}`.", read_yaml(made).value) == ()


def test_advice_is_shown_as_it_is_pasted() -> None:
    takeoff = run(parse_job(HUT, "job.yaml"))
    line = "`settings: {downpipe_scale_by_intensity: true}`"
    said = trade_words(takeoff)(spoken(f"To scale valley_gap_mm, add: {line}.", takeoff))
    assert line in said
    assert "valley_gap_mm" not in said


def test_advice_in_findings_names_no_setting_outside_a_line_to_paste() -> None:
    # a name said in words is refused by the file, a bare name says not where it goes
    for sample in ("homestead", "l_house", "courtyard"):
        takeoff = run_file(SAMPLES / sample / "job.yaml")
        for finding in takeoff.findings:
            bare = re.sub(r"`[^`]*`", "", finding.advice)
            names = [name for name in takeoff.settings.values if "_" in name]
            assert not any(name in bare for name in names), finding.advice


def printed(takeoff: Takeoff) -> str:
    """Every word of drawings and workbook."""
    words = [item.text for drawing in drawings(takeoff) for item in drawing.items if isinstance(item, Text)]
    book = load_workbook(BytesIO(workbook_bytes(takeoff)))
    words += [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    return "\n".join(words)


@pytest.fixture(scope="module")
def homestead() -> str:
    return printed(run_file(SAMPLES / "homestead" / "job.yaml"))


@pytest.mark.parametrize(
    "words",
    ["broken", "fly rafter", "the bound is met", "count by overall", "leaves the plane", "where pipes can stand"],
)
def test_words_of_the_program_are_not_printed(homestead: str, words: str) -> None:
    assert words not in homestead


def test_what_is_printed_instead(homestead: str) -> None:
    assert "proven: nothing shorter can be bought" in homestead
    assert "cut to two lines" in homestead
    assert "outline edge" not in homestead
    assert "(ringed on the roof plan)" in homestead


def test_a_plane_that_stands_alone_says_its_side(homestead: str) -> None:
    # P3 of the big sample falls to the top of the plan, which is north
    assert "P3, north side: 25.0°" in homestead
    assert "Sheets on P3, north side" in homestead
    assert "P3, north side: 25.0 degrees" in homestead


@pytest.mark.parametrize(("word", "other"), [("gutter", "spouting"), ("spouting", "gutter")])
def test_one_word_for_gutters(word: str, other: str) -> None:
    job = yaml.safe_load(HUT)
    job["settings"] = {"rainwater_word": word}
    takeoff = run(Job.model_validate(job, strict=False))
    text = printed(takeoff)
    # what the job calls its own things stays, and a gutter inside the roof is another thing
    for kept in ("Hut by the internal gutter", "spouting shed"):
        text = text.replace(kept, "")
    loose = re.findall(rf"(?<![\w.])(?<!internal )(?<!valley ){other}s?(?![\w:])", text, re.IGNORECASE)
    assert loose == []
    assert word in text.lower()


def test_a_name_of_the_jobs_own_stays() -> None:
    job = yaml.safe_load(HUT)
    job["settings"] = {"rainwater_word": "gutter"}
    said = trade_words(run(Job.model_validate(job, strict=False)))
    assert said("Spouting of the spouting shed: 3 m of spouting") == "Gutter of the spouting shed: 3 m of gutter"
    assert said("`rainwater: {no_spouting_on: [2]}` or spouting") == "`rainwater: {no_spouting_on: [2]}` or gutter"
    finding = Finding("x", Severity.NOTE, "spouting", "")
    assert said(finding.text) == "gutter"


@pytest.mark.parametrize(("word", "other"), [("gutter", "spouting"), ("spouting", "gutter")])
def test_one_word_in_comparisons_and_in_the_view_from_above(word: str, other: str, tmp_path: Path) -> None:
    """Two huts of which one is longer: the lines that differ are named as on the order; what was set keeps its keys."""
    paths = []
    for name, long in (("old", 8000), ("new", 9500)):
        job = yaml.safe_load(HUT)
        job["roofs"][0]["wall_line"] = [[0, 0], [long, 0], [long, 5000], [0, 5000]]
        job["settings"] = {"rainwater_word": word}
        path = tmp_path / f"{name}.yaml"
        path.write_text(yaml.safe_dump(job), encoding="utf-8")
        paths.append(path)
    review = compare_files(*paths)
    said = "\n".join(str(cell) for table in review.tables for row in table.rows for cell in row)
    assert word in said.lower()
    assert re.findall(rf"(?<!{other} shed)\b{other}s?\b", said.replace("spouting shed", ""), re.IGNORECASE) == []
    files = write_all(run_file(paths[0]), tmp_path / "order", only="svg,html")
    view = next(path for path in files.paths if path.name == "roof_3d.svg").read_text(encoding="utf-8")
    assert not re.search(rf"\b{other}s?\b", view.replace("spouting shed", "").replace("internal gutter", ""))
    page = next(path for path in files.paths if path.name == "house.html").read_text(encoding="utf-8")
    data = json.loads(page.partition('id="data">')[2].partition("</script>")[0])
    facts = [
        [part["f"] for part in data["parts"]],
        [line["t"] for line in data["lines"]],
        data["words"],
        data["layers"],
    ]
    shown = "\n".join(texts_of([*facts, data["workings"], data["bases"]]))
    assert word in shown.lower()
    told = shown.replace("spouting shed", "").replace("valley gutters", "")
    assert not re.search(rf"\b{other}s?\b", told, re.IGNORECASE)


def test_what_was_set_keeps_the_words_of_the_file(tmp_path: Path) -> None:
    paths = []
    for word in ("gutter", "spouting"):
        job = yaml.safe_load(HUT)
        job["settings"] = {"rainwater_word": word}
        paths.append(tmp_path / f"{word}.yaml")
        paths[-1].write_text(yaml.safe_dump(job), encoding="utf-8")
    rows = [row for table in compare_files(*paths).tables for row in table.rows]
    assert [row[2:4] for row in rows if "rainwater_word" in str(row[0]) + str(row[1])] == [("gutter", "spouting")]
