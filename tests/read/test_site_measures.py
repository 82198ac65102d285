"""The form for taping the frame: written blank, filled in, read back; faults told with their rows."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.lists.site_measures import read_site_measures
from takeoff.write.data.measure_form import measure_form

JOB = """\
job: Barn
site: {wind_zone: high}
roofs: [{outline: [[0, 0], [9000, 0], [9000, 7200], [0, 7200]], pitch_deg: 25}]
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "site_measure.csv"
    path.write_text(text, encoding="utf-8")
    return path


def faults(path: Path, *planes: str) -> list[str]:
    with pytest.raises(UnreadableFileError) as caught:
        read_site_measures(path, planes or None)
    return list(caught.value.faults)


def test_the_form_is_blank_with_the_drawing_beside(tmp_path: Path) -> None:
    form = measure_form(run(parse_job(JOB))).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(form)))
    assert {row["mm"] for row in rows} == {""}
    # hips of a 9 000 x 7 200 roof at 25 degrees: sqrt(2 x 3600^2 + (3600 tan 25)^2) = 5 361; ridge 9 000 - 7 200
    first = [(row["item"], row["drawn mm"]) for row in rows if row["plane"] == "P1"]
    assert first[:4] == [("rafter left", "5361"), ("rafter right", "5361"), ("eave", "9000"), ("ridge", "1800")]
    assert [item for item, _ in first[4:]] == ["diagonal 1", "diagonal 2"]
    # an end plane has no ridge, and its diagonals are its rafters
    assert [row["item"] for row in rows if row["plane"] == "P2"] == ["rafter left", "rafter right", "eave"]
    (tmp_path / "form.csv").write_bytes(measure_form(run(parse_job(JOB))))
    assert "no size is filled in under mm" in faults(tmp_path / "form.csv")[0]


def test_what_is_filled_in_is_read(tmp_path: Path) -> None:
    form = measure_form(run(parse_job(JOB))).decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(form)))
    rows[1][2], rows[3][2] = "5364", "9.004 m"
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    found = read_site_measures(written(tmp_path, text.getvalue()), ("P1", "P2"))
    assert [(m.plane, m.item, m.mm, m.row) for m in found] == [
        ("P1", "rafter left", 5364.0, 2),
        ("P1", "eave", 9004.0, 4),
    ]


def test_the_names_on_the_cutting_list_are_known(tmp_path: Path) -> None:
    path = written(tmp_path, 'plane,item,mm\n1,"diagonal, rising left",9000\n')
    assert [(m.plane, m.item) for m in read_site_measures(path)] == [("P1", "diagonal 2")]


def test_every_fault_is_told_with_its_row(tmp_path: Path) -> None:
    text = "plane,item,mm\nP9,eave,9000\nP1,eve,9000\nP1,eave,nine\nP1,eave,9000\nP1,eave,9001\n,eave,1\nP1,ridge,7.2\n"
    told = faults(written(tmp_path, text), "P1", "P2")
    assert [fault.split(":")[0] for fault in told] == [f"site_measure.csv, row {row}" for row in (2, 3, 4, 6, 7, 8)]
    assert "P9 is no plane of this job; it has P1, P2" in told[0]
    assert "did you mean eave?" in told[1]
    assert "stands in row 5 already" in told[3]


def test_a_file_without_the_headings(tmp_path: Path) -> None:
    assert "plane, item, mm" in faults(written(tmp_path, "a,b\n1,2\n"))[0]
