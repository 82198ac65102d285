"""Files of the page: what is laid under the plan, line ends, saves and working copies; whole results by hand, limits met
exactly and just passed."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.web import under_plan, whole_file, working_copy
from takeoff.web.text_lines import with_ends_of
from takeoff.web.working_copy import WorkingCopy


def drawn(monkeypatch: pytest.MonkeyPatch, *paths: RawPath, unit: str = "mm") -> under_plan.UnderPlan:
    monkeypatch.setattr(under_plan, "read_drawing", lambda path: RawDrawing(path.name, "DXF", paths, unit))
    return under_plan.read_under("plan.dxf", b"")


def test_the_top_of_an_arc_lies_square_off_its_chord(monkeypatch: pytest.MonkeyPatch) -> None:
    """From (0, 0) up to (0, 8), bulge 1: half a circle of radius 4 to the right, its top at (4, 4); -0.5 from (2, 0): two
    to the left, at (0, 4)."""
    for bulge, x, wide in ((1.0, 2.0, 4.0), (-0.5, 2.0, 2.0)):
        arc = RawPath("0", ((x, 0.0), (x, 8.0)), False, (bulge,))
        assert under_plan._tops(arc) == [pytest.approx((x + 4.0 * bulge, 4.0))]
        laid = drawn(monkeypatch, arc)
        assert (laid.wide, laid.high) == pytest.approx((wide + 0.16, 8.16))
        assert laid.x == pytest.approx(min(x, x + 4.0 * bulge) - 0.08)
    assert under_plan._tops(RawPath("0", ((1.0, 2.0), (5.0, 2.0), (5.0, 6.0)), True, (0.0, 0.0, 0.0))) == []


def test_a_side_is_an_arc_from_a_millionth_of_bulge_on() -> None:
    for bulge, letter in ((0.9e-6, "L"), (1e-6, "A"), (1.5e-6, "A"), (-0.9e-6, "L"), (-1.5e-6, "A")):
        path = RawPath("0", ((0.0, 0.0), (8.0, 0.0)), False, (bulge,))
        assert under_plan._path(path, (0.0, 0.0), 10.0, 1.0).split("M0.00 10.00")[1][0] == letter


def test_how_far_off_a_drawing_in_metres_lies_is_measured_in_millimetres(monkeypatch: pytest.MonkeyPatch) -> None:
    """1100 m off is more than a kilometre, 900 m is not; 10 m long, with a margin of 0.1."""
    for off, x in ((1100.0, 0.0), (900.0, 899_900.0)):
        assert drawn(monkeypatch, RawPath("0", ((off, 0.0), (off + 10.0, 1.0)), False), unit="m").x == pytest.approx(x)


def test_a_pdf_is_laid_by_its_first_page_where_no_other_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def page(name: str, data: bytes, number: int) -> tuple[bytes, int, float]:
        asked.append((name, data, number))
        return b"png", 3, 0.25

    laid = under_plan.UnderPlan("a.pdf", "image/png", b"png", 40.0, 20.0, 500.0)
    monkeypatch.setattr(under_plan, "page_of_pdf", page)
    monkeypatch.setattr(under_plan, "_picture", lambda name, data: replace(laid, name=name, data=data))
    first = under_plan.read_under("a.pdf", b"pdf")
    assert first == replace(laid, pages=3, page=1, paper_mm=0.25, source=b"pdf")
    assert under_plan.read_under("a.pdf", b"pdf", 2) == replace(first, page=2)
    assert asked == [("a.pdf", b"pdf", 1), ("a.pdf", b"pdf", 2)]


@pytest.mark.parametrize(
    ("text", "model", "with_ends"),
    [
        ("a\nb\nc", "x\r\ny", "a\r\nb\r\nc"), ("a\nb\nc", "x\ny\n", "a\nb\nc"), ("a\nb\nc", "x", "a\nb\nc"),
        # a and c stand there with ends of their own, b is new and gets what most have
        ("a\nb\nc\nd", "a\nc\r\nd\r\n", "a\nb\r\nc\r\nd"), ("b\na\n", "a\r\nb\n", "b\na\r\n"),
        ("a\nb\n", "a\rc\rb\n", "a\rb\n"),
    ],
)  # fmt: skip
def test_lines_keep_their_ends_and_new_ones_get_the_usual(text: str, model: str, with_ends: str) -> None:
    assert with_ends_of(text, model) == with_ends


def test_why_a_file_cannot_be_written_is_told_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder, file = tmp_path / "folder", tmp_path / "job.yaml"
    folder.mkdir()
    file.write_bytes(b"old")
    with pytest.raises(UsageError) as told:
        whole_file.write_whole(folder, b"new")
    assert told.value.faults == (
        f"{folder} cannot be written: it is a folder, a device or the like, not a file; it is as it was.",
    )
    monkeypatch.setattr(os, "access", lambda path, mode: (path, mode) != (file, os.W_OK))
    with pytest.raises(UsageError) as told:
        whole_file.write_whole(file, b"new")
    assert told.value.faults == (f"{file} cannot be written: the file is read-only; it is as it was.",)
    assert (file.read_bytes(), sorted(path.name for path in tmp_path.iterdir())) == (b"old", ["folder", "job.yaml"])


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_what_was_saved_is_no_news(tmp_path: Path, mark: bytes) -> None:
    path = tmp_path / "job.yaml"
    path.write_bytes(mark + b"job: One\n")
    copy = WorkingCopy.opened(path, "")
    copy.put("job: Two\n", "typed")
    copy.save()
    assert path.read_bytes() == mark + b"job: Two\n"
    assert not copy.look_at_disk()


def test_a_working_copy_may_be_eight_times_as_large_as_a_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each letter of it may be written as an escape of six; of our own choosing."""
    asked = []

    def read(path: Path, most: int, kind: str) -> bytes:
        asked.append((path.name, most, kind))
        return b'{"text": "job: Two\\n", "of": ""}' if kind == "working copy" else b"job: One\n"

    monkeypatch.setattr(working_copy, "read_bounded", read)
    path = tmp_path / "job.yaml"
    path.write_bytes(b"job: One\n")
    assert WorkingCopy.opened(path, "").text == "job: Two\n"
    most = working_copy.MOST_BYTES
    assert [one for one in asked if one[2] == "working copy"] == [(".job.yaml.working", 8 * most, "working copy")]
