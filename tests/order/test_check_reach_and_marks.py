"""A supplied list against ours: a sheet that will not reach told from one under our allowance; marks used where they
are ours; a list without headings read where its columns are plain. Common practice, no source."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.differences import ListCheck, ListFault
from takeoff.model.order import Takeoff
from takeoff.model.supplied import SuppliedLine, SuppliedList
from takeoff.order.comparing.check_list import check_list
from takeoff.pipeline import run_file
from takeoff.read.lists.cut_list import read_cut_list

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@cache
def hip() -> Takeoff:
    return run_file(SAMPLES / "hip_12x8" / "job.yaml")


def checked(*changed: tuple[str, float], marks: bool = True) -> ListCheck:
    """Our own list with some lengths changed, by mark."""
    takeoff, other = hip(), dict(changed)
    assert takeoff.order is not None
    lines = [
        SuppliedLine(row, 1, other.get(mark, blank.length_mm), mark.split(".")[0], "", mark if marks else "")
        for row, blank in enumerate(takeoff.order.blanks, start=2)
        for mark in (blank.pieces[0].mark,)
    ]
    supplied = SuppliedList("list.csv", "", tuple(lines))
    return check_list(supplied, takeoff.order, takeoff.roofing.sheets, takeoff.settings)


def test_our_own_list_agrees() -> None:
    assert checked().differences == ()


def test_a_sheet_under_our_allowance_reaches() -> None:
    """P2.02 from the left reaches (762 + 845) / cos 25 = 1773.1 and is bought 1773.1 + 50 up to 10 = 1830: one of 1780
    reaches, one of 1770 does not."""
    (under,) = checked(("P2.02", 1780.0)).differences
    assert (under.fault, under.ours_mm, under.theirs_mm) == (ListFault.UNDER, 1830.0, 1780.0)
    assert under.reach_mm == pytest.approx(1773.1, abs=0.1)
    (short,) = checked(("P2.02", 1770.0)).differences
    assert short.fault is ListFault.SHORT


def test_marks_lead_to_the_sheet_that_differs() -> None:
    by_marks = checked(("P2.02", 1700.0))
    assert [difference.marks for difference in by_marks.differences] == [("P2.02",)]
    assert "list-by-marks" in {finding.code for finding in by_marks.findings}


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_plain_columns_need_no_headings(tmp_path: Path) -> None:
    found = read_cut_list(write(tmp_path, "Kitchen roof\n12,4380\n4,4560\n1,990\n"))
    assert [(line.count, line.length_mm) for line in found.lines] == [(12, 4380.0), (4, 4560.0), (1, 990.0)]
    assert "list-columns-taken" in {finding.code for finding in found.findings}
    marked = read_cut_list(write(tmp_path, "P1.05,1,4380\nP1.06,1,4.56 m\n"))
    assert [(line.mark, line.plane, line.length_mm) for line in marked.lines] == [
        ("P1.05", "P1", 4380.0),
        ("P1.06", "P1", 4560.0),
    ]


@pytest.mark.parametrize("text", ["4380,4560\n990,1200\n", "3,4\n5,6\n", "4380\n4560\n"])
def test_columns_that_could_be_several_things_are_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(UnreadableFileError, match="no heading row"):
        read_cut_list(write(tmp_path, text))
