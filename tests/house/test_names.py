"""No id of the program reaches a person: every text of the homestead's workbook, drawings and screen is in words.

An id is any id of the catalogue with an underscore, any setting's name, or any word built like one. The settings' own
names stand on the sheet Basis, since a job sets them by name, and in advice that says which setting to set.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from takeoff.cli import app
from takeoff.read.catalogue import default_settings, load_catalogue

SAMPLE = Path(__file__).parents[2] / "geometry_samples" / "homestead" / "job.yaml"
_ID = re.compile(r"[A-Za-z0-9]+(?:_[A-Za-z0-9]+)+")
# words of the job file that advice gives to a person who is to write them there
SETTING_COLUMN = 1  # of the sheet Basis: names of settings, as a job writes them
JOB_WORDS = frozenset(
    {
        "wall_line",
        "eave_overhang_mm",
        "downpipes_at",
        "rain_mm_per_h",
        "ground_mm",
        "soffit_mm",
        "start_side",
        "downpipe_scale_by_intensity",
    }
)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    out = tmp_path_factory.mktemp("homestead")
    shown = CliRunner().invoke(app, ["run", str(SAMPLE), "--out", str(out), "--only", "all"])
    assert shown.exit_code == 0
    return out, shown.output.replace(str(out), "")


def ids_in(text: str) -> list[str]:
    """Words built like an id, but those a person may type in a job file and the names of files we write."""
    # what stands between backquotes is a line to paste into the job file
    return [word for word in _ID.findall(re.sub(r"`[^`]*`", "", text)) if word not in JOB_WORDS]


def workbook_texts(path: Path) -> Iterator[tuple[str, str]]:
    for sheet in load_workbook(path):
        for row in sheet.iter_rows():
            for cell in row:
                named = sheet.title == "Basis" and cell.column == SETTING_COLUMN
                if isinstance(cell.value, str) and cell.data_type == "s" and not named:
                    yield f"{sheet.title} {cell.coordinate}", cell.value


def drawing_texts(out: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(out.glob("*.dxf")):
        for text in ezdxf.readfile(path).modelspace().query("TEXT MTEXT"):
            yield path.name, text.dxf.text if text.dxftype() == "TEXT" else text.text
    for path in sorted(out.glob("*.svg")):
        for element in ElementTree.parse(path).iter():
            if element.tag.endswith("}text") or element.tag.endswith("}title"):
                yield path.name, "".join(element.itertext())


def test_the_scan_sees_ids() -> None:
    known = {product for group in ("profiles", "boards", "gutters") for product in getattr(load_catalogue(), group)}
    assert ids_in("by e1_as1 with quad_125") == ["e1_as1", "quad_125"]
    assert all(
        ids_in(name) == [name] for name in (*known, *default_settings()) if "_" in name and name not in JOB_WORDS
    )


def test_no_id_in_the_workbook(written: tuple[Path, str]) -> None:
    texts = list(workbook_texts(written[0] / "order_sheet.xlsx"))
    assert len(texts) > 500
    assert {place: ids for place, text in texts if (ids := ids_in(text))} == {}


def test_no_id_on_a_drawing(written: tuple[Path, str]) -> None:
    texts = list(drawing_texts(written[0]))
    assert len(texts) > 500
    assert {f"{place}: {text}" for place, text in texts if ids_in(text)} == set()


def test_no_id_on_the_screen(written: tuple[Path, str]) -> None:
    assert ids_in(written[1]) == []


@pytest.mark.parametrize(
    "fault", [r"\b1 hems\b", r"\b1 downpipes\b", r"\b1 folds\b", r"\b1 lines\b", r"\btype [a-e]\b"]
)
def test_one_of_a_thing_is_said_as_one(written: tuple[Path, str], fault: str) -> None:
    texts = [*workbook_texts(written[0] / "order_sheet.xlsx"), *drawing_texts(written[0]), ("screen", written[1])]
    assert [(place, text) for place, text in texts if re.search(fault, text)] == []
