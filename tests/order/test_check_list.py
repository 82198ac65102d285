"""A supplied list against ours: hand-worked cases, most sheets paired (against a general matching library), and our own
list in other hands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from takeoff.model.differences import ListCheck
from takeoff.model.order import Order, Takeoff
from takeoff.model.sheets import BlankPart, SheetBlank
from takeoff.model.supplied import SuppliedLine, SuppliedList
from takeoff.order.comparing.check_list import _match, _Sheet, check_list
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules
from takeoff.read.lists.cut_list import read_cut_list

JOB = """\
job: Hut
site: {wind_zone: high}
roofs:
  - wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    pitch_deg: 25
    edges: {2: {kind: gable}}
"""


@pytest.fixture(scope="module")
def hut() -> Takeoff:
    return run(parse_job(JOB))


def lines(*parts: tuple[str, int, float]) -> SuppliedList:
    made = [SuppliedLine(row, count, length, plane) for row, (plane, count, length) in enumerate(parts, start=2)]
    return SuppliedList("list.csv", "", tuple(made))


def order_of(*lengths: float) -> Order:
    blanks = tuple(
        SheetBlank(f"b{n}", "corrugated", length, (BlankPart(f"P1.{n:02d}", 0.0, False),))
        for n, length in enumerate(lengths, start=1)
    )
    return Order((), blanks, (), 0.0, 0.0, 0.0, 0.0)


def by_totals(supplied: SuppliedList, *lengths: float) -> list[tuple[str, int, float, float]]:
    found = check_list(supplied, order_of(*lengths), (), default_rules())
    return told(found)


def told(check: ListCheck) -> list[tuple[str, int, float, float]]:
    return [(d.fault.value, d.count, d.ours_mm, d.theirs_mm) for d in check.differences]


def own_list(takeoff: Takeoff) -> SuppliedList:
    assert takeoff.order is not None
    planes = {piece.mark: sheets.plane for sheets in takeoff.roofing.sheets for piece in sheets.pieces}
    return lines(*((planes[b.pieces[0].mark], 1, b.length_mm) for b in takeoff.order.blanks))


def check(takeoff: Takeoff, supplied: SuppliedList) -> ListCheck:
    assert takeoff.order is not None
    return check_list(supplied, takeoff.order, takeoff.roofing.sheets, takeoff.settings)


def test_the_four_faults() -> None:
    # ours 5000, 5000, 4000, 2000; theirs 5004 (the same within 5), 4994 (6 short), 4010 (10 long), 700 (extra)
    supplied = lines(("", 1, 5004), ("", 1, 4994), ("", 1, 4010), ("", 1, 700))
    assert by_totals(supplied, 5000, 5000, 4000, 2000) == [
        ("missing", 1, 2000, 0),
        ("will not reach", 1, 5000, 4994),
        ("long", 1, 4000, 4010),
        ("extra", 1, 0, 700),
    ]


def test_the_tolerance_is_at_most_five() -> None:
    assert by_totals(lines(("", 1, 5005)), 5000) == []
    assert by_totals(lines(("", 1, 5005.1)), 5000) == [("long", 1, 5000, 5005.1)]
    assert by_totals(lines(("", 1, 4994.9)), 5000) == [("will not reach", 1, 5000, 4994.9)]


def test_a_sheet_far_off_is_another_sheet() -> None:
    assert by_totals(lines(("", 1, 4700)), 5000) == [("will not reach", 1, 5000, 4700)]
    assert by_totals(lines(("", 1, 4699)), 5000) == [("missing", 1, 5000, 0), ("extra", 1, 0, 4699)]


def test_alike_differences_stand_on_one_line() -> None:
    assert by_totals(lines(("", 1, 5000)), 5000, 5000, 5000) == [("missing", 2, 5000, 0)]


def test_of_two_near_sheets_the_equal_one_is_taken() -> None:
    assert by_totals(lines(("", 1, 4996)), 5000, 4996) == [("missing", 1, 5000, 0)]
    # but not where that would pair fewer: 5000-5004 and 4996-5000
    assert by_totals(lines(("", 1, 5004), ("", 1, 5000)), 5000, 4996) == []


def test_spare_sheets_may_stand_in_the_list(hut: Takeoff) -> None:
    assert hut.order is not None
    (spare,) = [line for line in hut.order.lines if line.item.startswith("spare sheet ")]
    own = [(line.plane, line.count, line.length_mm) for line in own_list(hut).lines]
    for plane in ("P1", "P3"):
        found = check(hut, lines(*own, (plane, 1, spare.each_mm)))
        assert found.differences == ()
        (finding,) = found.findings
        assert finding.code == "list-with-spares"
        assert f"{spare.each_mm:.0f} mm" in finding.text
        assert sum(tally.theirs - tally.ours for tally in found.tallies) == 1
    twice = check(hut, lines(*own, ("P1", 2, spare.each_mm)))
    assert told(twice) == [("extra", 1, 0, spare.each_mm)]
    assert [finding.code for finding in check(hut, own_list(hut)).findings] == ["list-without-spares"]


def test_lists_that_do_not_tell_profiles_apart(hut: Takeoff) -> None:
    own = own_list(hut)
    for name in ("", "roofing iron"):
        named = replace(own, lines=tuple(replace(line, profile=name) for line in own.lines))
        assert check(hut, named).differences == ()
    two = order_of(5000, 4000)
    blanks = (two.blanks[0], replace(two.blanks[1], profile="tray"))
    mixed = replace(two, blanks=blanks)
    settings = default_rules()
    assert told(check_list(lines(("", 1, 5000), ("", 1, 4000)), mixed, (), settings)) == []
    swapped = tuple(
        SuppliedLine(row, 1, mm, "", name)
        for row, (mm, name) in enumerate(((5000.0, "Tray"), (4000.0, "corrugated 0.55")))
    )
    found = check_list(SuppliedList("list.csv", "", swapped), mixed, (), settings)
    assert [(d.profile, d.fault.value, d.ours_mm or d.theirs_mm) for d in found.differences] == [
        ("corrugated", "missing", 5000), ("corrugated", "extra", 4000), ("tray", "missing", 4000), ("tray", "extra", 5000),
    ]  # fmt: skip


@given(st.lists(st.integers(990, 1020), max_size=9), st.lists(st.integers(990, 1020), max_size=9), st.integers(0, 8))
def test_no_other_way_pairs_more(ours: list[int], theirs: list[int], tolerance: int) -> None:
    graph: networkx.Graph[tuple[str, int]] = networkx.Graph()
    graph.add_nodes_from(("a", i) for i in range(len(ours)))
    graph.add_edges_from(
        (("a", i), ("b", j)) for i, a in enumerate(ours) for j, b in enumerate(theirs) if abs(a - b) <= tolerance
    )
    most = len(networkx.max_weight_matching(graph, maxcardinality=True))
    found = _match([_Sheet(a, "") for a in ours], [_Sheet(b, "") for b in theirs], float(tolerance))
    assert len(found.pairs) == most
    assert all(abs(a.length_mm - b.length_mm) <= tolerance for a, b in found.pairs)
    assert len(found.pairs) + len(found.ours) == len(ours)
    assert len(found.pairs) + len(found.theirs) == len(theirs)


def test_our_own_list_agrees(hut: Takeoff) -> None:
    found = check(hut, own_list(hut))
    assert found.differences == ()
    assert found.by_plane
    assert [tally.plane for tally in found.tallies] == ["P1", "P2", "P3"]
    assert all(tally.ours == tally.theirs == tally.agree for tally in found.tallies)


@pytest.mark.parametrize("off", [6.0, -6.0, 250.0])
def test_one_sheet_off_is_found_on_its_plane(hut: Takeoff, off: float) -> None:
    own = own_list(hut)
    for n in range(0, len(own.lines), 7):
        changed = [
            (line.plane, line.count, line.length_mm + (off if i == n else 0)) for i, line in enumerate(own.lines)
        ]
        found = check(hut, lines(*changed))
        assert len(found.differences) >= 1
        assert {d.plane for d in found.differences} == {own.lines[n].plane}
        assert n + 2 in {row for d in found.differences for row in d.rows}


def test_a_sheet_on_the_wrong_plane_is_missing_and_extra(hut: Takeoff) -> None:
    own = own_list(hut)
    first = own.lines[-1]  # the shortest, which is no spare
    other = "P2" if first.plane != "P2" else "P1"
    changed = [(other if line is first else line.plane, line.count, line.length_mm) for line in own.lines]
    faults = {(d.plane, d.fault.value) for d in check(hut, lines(*changed)).differences}
    assert any(plane == first.plane for plane, _ in faults)
    assert any(plane == other for plane, _ in faults)


def test_planes_that_are_not_ours_are_checked_by_totals(hut: Takeoff) -> None:
    own = [("front", line.count, line.length_mm) for line in own_list(hut).lines]
    found = check(hut, lines(*own))
    assert found.differences == ()
    assert not found.by_plane
    assert [finding.code for finding in found.findings] == ["list-planes-unknown", "list-without-spares"]


@pytest.mark.parametrize("unit", ["mm", "m", ""])
@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_our_own_list_written_and_read_back(hut: Takeoff, tmp_path: Path, kind: str, unit: str) -> None:
    assert hut.order is not None
    scale = 1000 if unit == "m" else 1
    heading = ("plane", "qty", f"length {unit}".strip())
    rows = [(line.plane, line.count, line.length_mm / scale) for line in own_list(hut).lines]
    path = tmp_path / f"list.{kind}"
    if kind == "csv":
        path.write_text("\n".join(",".join(map(str, row)) for row in (heading, *rows)), encoding="utf-8")
    else:
        book = Workbook()
        assert book.active is not None
        for row in (heading, *rows):
            book.active.append(list(row))
        book.save(path)
    found = check(hut, read_cut_list(path))
    assert found.differences == ()
    assert sum(tally.agree for tally in found.tallies) == len(hut.order.blanks)
