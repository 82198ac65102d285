"""The commands that look back at an order: how they leave, what they say, what they write."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.basics.errors import JobError
from takeoff.pipeline import run_file
from takeoff.screen_differences import show_tables
from takeoff.write.differences.tables import Table

SAMPLES = Path(__file__).parents[2] / "geometry_samples"
JOB = """\
job: Hut
revision: B
date: 2026-03-02
site: {wind_zone: high}
roofs:
  - wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    pitch_deg: 25
    edges: {2: {kind: gable}}
    covering: {lay_from: east}
"""


def takeoff(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "takeoff", *map(str, arguments)], capture_output=True, text=True, check=False
    )


@pytest.fixture(scope="module")
def hut(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with job.yaml and its order in order/."""
    folder = tmp_path_factory.mktemp("hut")
    (folder / "job.yaml").write_text(JOB, encoding="utf-8")
    done = takeoff("run", folder / "job.yaml", "--out", folder / "order")
    assert done.returncode == 0, done.stderr
    return folder


def cut_list(hut: Path, target: Path, add_mm: float = 0.0) -> Path:
    """The sheets of the hut as CSV, the first off by `add_mm`."""
    blanks = json.loads((hut / "order" / "takeoff.json").read_text(encoding="utf-8"))["order"]["blanks"]
    lengths = [blank["length_mm"] + (add_mm if n == 0 else 0) for n, blank in enumerate(blanks)]
    target.write_text("length mm,qty\n" + "".join(f"{length:g},1\n" for length in lengths), encoding="utf-8")
    return target


def test_our_own_order_sheet_agrees(hut: Path) -> None:
    done = takeoff("check", hut / "job.yaml", hut / "order" / "order_sheet.xlsx")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "the lists agree" in done.stdout
    done = takeoff("check", hut / "job.yaml", hut / "order" / "order_sheet.xlsx", "--sheet", "Cutting list")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "plane by plane" in done.stdout


def test_six_mm_on_one_line_is_found_and_written(hut: Path, tmp_path: Path) -> None:
    assert takeoff("check", hut / "job.yaml", cut_list(hut, tmp_path / "list.csv")).returncode == 0
    supplied = cut_list(hut, tmp_path / "long.csv", 6)
    done = takeoff("check", hut / "job.yaml", supplied, "--out", tmp_path / "differences.xlsx")
    assert done.returncode == 7, done.stdout + done.stderr
    assert "long" in done.stdout
    sheet = load_workbook(tmp_path / "differences.xlsx")["Differences"]
    rows = [row for row in sheet.iter_rows(min_row=6, values_only=True) if row[0]]
    assert [(row[0], row[7], row[9]) for row in rows] == [("long", 6, "2")]


def test_a_bad_list_leaves_with_4_and_no_file(hut: Path, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("qty,length mm\n1,abc\n", encoding="utf-8")
    done = takeoff("check", hut / "job.yaml", tmp_path / "list.csv", "--out", tmp_path / "d.xlsx")
    assert done.returncode == 4
    assert done.stderr == "error: list.csv, row 2: 'abc' is not a length\n"
    assert not (tmp_path / "d.xlsx").exists()


def test_differences_go_into_a_workbook_only(hut: Path, tmp_path: Path) -> None:
    supplied = cut_list(hut, tmp_path / "list.csv")
    assert takeoff("check", hut / "job.yaml", supplied, "--out", tmp_path / "d.pdf").returncode == 2


def test_explain_says_why(hut: Path) -> None:
    done = takeoff("explain", hut / "job.yaml", "P1.01")
    assert done.returncode == 0, done.stderr
    assert "worked out:" in done.stdout
    assert "came from:" in done.stdout
    assert "edge 1 of the job" in done.stdout


def test_explain_of_an_unknown_mark_names_near_ones(hut: Path) -> None:
    done = takeoff("explain", hut / "job.yaml", "P1.99")
    assert done.returncode == 2
    assert "nothing is called 'P1.99'; did you mean P1.09" in done.stderr


def test_a_job_compared_with_its_own_order(hut: Path) -> None:
    for new in (hut / "order", hut / "order" / "takeoff.json", hut / "job.yaml"):
        done = takeoff("compare", hut / "job.yaml", new)
        assert done.returncode == 0, done.stdout + done.stderr
        assert "nothing changed" in done.stdout


def test_a_changed_job_leaves_with_7_and_a_workbook(hut: Path, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB.replace("pitch_deg: 25", "pitch_deg: 26"), encoding="utf-8")
    done = takeoff("compare", hut / "order", tmp_path / "job.yaml", "--out", tmp_path / "changes.xlsx")
    assert done.returncode == 7, done.stdout + done.stderr
    assert "roofs[main].pitch_deg" in done.stdout
    title, totals = " ".join(done.stdout.split("Totals.")[0].split()), done.stdout.split("What was set")[0]
    assert f"{hut / 'order'} (Hut, revision B) -> {tmp_path / 'job.yaml'} (Hut, revision B)" in title
    # plan 9.6 x 7.2 m over the cosine of 25 and of 26 degrees
    assert "Totals. What changed in all." in totals
    area = next(line for line in totals.splitlines() if line.startswith("roof area on the slope"))
    assert area.split()[5:] == ["76.27", "m2", "76.90", "m2", "+0.63", "m2"]
    book = load_workbook(tmp_path / "changes.xlsx")
    assert {"What was set", "Planes", "Edges", "Sheets", "Order lines"} <= set(book.sheetnames)
    rows = list(book["Planes"].iter_rows(min_row=6, values_only=True))
    assert ("P1", "pitch", 25, 26, 1) in rows
    assert book["Planes"]["E6"].number_format == '+#,##0.00" deg";-#,##0.00" deg";#,##0.00" deg"'
    totals = [row[1] for row in book["Order lines"].iter_rows(min_row=6, values_only=True)]
    assert any("all lengths" in str(what) for what in totals)


def test_a_long_table_names_where_the_rest_is(capsys: pytest.CaptureFixture[str]) -> None:
    table = Table("Sheets", "", ("which",), (False,), tuple((f"P1.{n}",) for n in range(120)))
    show_tables("x", [table], written=False)
    assert "and 80 more: give --out FILE.xlsx for all of them" in capsys.readouterr().out
    show_tables("x", [table], written=True)
    assert "and 80 more; the workbook has them all" in capsys.readouterr().out


def test_what_cannot_be_compared_leaves_with_4(hut: Path, tmp_path: Path) -> None:
    (tmp_path / "takeoff.json").write_text("{}", encoding="utf-8")
    done = takeoff("compare", hut / "job.yaml", tmp_path)
    assert done.returncode == 4
    assert "not a result of this program" in done.stderr
    (tmp_path / "takeoff.json").unlink()
    assert takeoff("compare", hut / "job.yaml", tmp_path).returncode == 4


def filled(hut: Path, target: Path, add_mm: float = 0.0) -> Path:
    """The hut's form filled in as drawn, the left rafter of P1 off by `add_mm`."""
    with open(hut / "order" / "site_measure.csv", encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.reader(stream))
    for row in rows[1:]:
        row[2] = row[3]
    rows[1][2] = f"{float(rows[1][3]) + add_mm:g}"
    with open(target, "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(row for row in rows if not row[1].startswith("diagonal"))
    return target


def test_a_measured_frame_makes_the_order_again(hut: Path, tmp_path: Path) -> None:
    form = filled(hut, tmp_path / "m.csv", 12)
    done = takeoff("measured", hut / "job.yaml", form, "--out", tmp_path / "out", "--only", "order,svg")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "MEASURED ON SITE: NOT YET RELEASED" in done.stdout
    book = load_workbook(tmp_path / "out" / "order_sheet.xlsx")
    assert book["Mill order"]["A3"].value == "MEASURED ON SITE: NOT YET RELEASED"
    texts = {str(cell.value) for row in book["Cutting list"].iter_rows() for cell in row}
    assert "MEASURED" in (tmp_path / "out" / "sheets_P1.svg").read_text(encoding="utf-8")
    first = json.loads((tmp_path / "out" / "takeoff.json").read_text(encoding="utf-8"))["site"]["measures"][0]
    assert f"{first['mm']:.0f}" in texts
    rows = list(
        load_workbook(tmp_path / "out" / "measured_changes.xlsx")["Changed sheets"].iter_rows(
            min_row=6, values_only=True
        )
    )
    assert rows
    assert {row[0] for row in rows} == {"P1"}


def test_a_release_needs_every_plane(hut: Path, tmp_path: Path) -> None:
    whole = filled(hut, tmp_path / "m.csv")
    done = takeoff("measured", hut / "job.yaml", whole, "--out", tmp_path / "out", "--release")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "RELEASED FOR MANUFACTURE" in done.stdout
    part = tmp_path / "part.csv"
    part.write_text("\n".join(whole.read_text(encoding="utf-8").splitlines()[:4]), encoding="utf-8")
    done = takeoff("measured", hut / "job.yaml", part, "--out", tmp_path / "part", "--release")
    assert done.returncode == 6
    assert "Not released" in done.stdout
    assert not (tmp_path / "part" / "measured_changes.xlsx").exists()


def test_sizes_that_disagree_stop_the_order(hut: Path, tmp_path: Path) -> None:
    done = takeoff("measured", hut / "job.yaml", filled(hut, tmp_path / "m.csv", 40), "--out", tmp_path / "out")
    assert done.returncode == 6
    assert "NOT AN ORDER" in done.stdout
    assert "rafter" in done.stdout
    done = takeoff("measured", hut / "job.yaml", hut / "order" / "site_measure.csv", "--out", tmp_path / "blank")
    assert done.returncode == 4
    assert "no size is filled in" in done.stderr
    assert not (tmp_path / "blank").exists()


def test_a_rate_of_no_item_is_told_with_its_place(tmp_path: Path) -> None:
    text = (SAMPLES / "cottage_with_flue" / "job.yaml").read_text(encoding="utf-8")
    job = tmp_path / "job.yaml"
    job.write_text(text.replace("purlin_70x45: 6.15", "purlin_70x54: 6.15"), encoding="utf-8")
    line = next(n for n, words in enumerate(text.splitlines(), 1) if "purlin_70x45: 6.15" in words)
    with pytest.raises(JobError) as caught:
        run_file(job)
    (fault,) = caught.value.faults
    assert fault.startswith(f"job.yaml:{line}:")
    assert fault.endswith("rates.prices.purlin_70x54: no item of the order has that id; did you mean purlin_70x45?")
