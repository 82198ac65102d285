"""Marks over several issues: every sheet is accounted for, by what is written on it and by what it is called now.

The hipped shed grows by exactly one cover width, so by hand: sheets up to the ridge keep mark and length, one more full
sheet is made a long side, and every sheet of the far hip is the one that lay one place before it.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from takeoff.book.issuing import issue_file
from takeoff.model.issues import IssueBook, IssuedSheets, MarkedSheet
from takeoff.model.order import Order, Takeoff
from takeoff.order.issued import against_book
from takeoff.order.moved_marks import _plane, marked_sheets, sheet_marks
from takeoff.pipeline import run, run_file
from takeoff.read.issues.book_file import ISSUES, read_book
from takeoff.read.job.job_file import parse_job
from takeoff.write.papers.blocks import Bar, Kind, Paper, Table, Words
from takeoff.write.papers.mill_paper import mill_paper
from takeoff.write.papers.order_papers import order_papers
from takeoff.write.papers.site_paper import site_paper
from takeoff.write.papers.start_paper import start_paper
from takeoff.write.words.mark_words import NOT_KNOWN, sheet_words
from takeoff.write.workbook.workbook import workbook_bytes

COVER = 762  # cover width of the profile that a job without one gets [mm]
JOB = """job: Hipped shed
revision: {revision}
roofs: [{{outline: [[0, 0], [{long}, 0], [{long}, 4000], [0, 4000]], pitch_deg: 20}}]
"""


def job_text(revision: str, long: int) -> str:
    return JOB.format(revision=revision, long=long)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Issued at 7000 long, then drawn one cover longer under the same letter."""
    folder = tmp_path_factory.mktemp("moved")
    (folder / "job.yaml").write_text(job_text("A", 7000), encoding="utf-8")
    issue_file(folder, "first", date="2026-03-02")
    (folder / "job.yaml").write_text(job_text("A", 7000 + COVER), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def longer(house: Path) -> Takeoff:
    """The longer shed before it is issued."""
    return run_file(house)


@pytest.fixture(scope="module")
def issued(house: Path, longer: Takeoff) -> Path:
    """The longer shed issued as revision B."""
    (house / "job.yaml").write_text(job_text("B", 7000 + COVER), encoding="utf-8")
    return issue_file(house, "longer", date="2026-03-20").folder


def order_of(takeoff: Takeoff) -> Order:
    assert takeoff.order is not None
    return takeoff.order


def lengths(takeoff: Takeoff) -> dict[str, tuple[str, float]]:
    return {mark: (one.item, one.each_mm) for one in marked_sheets(order_of(takeoff)) for mark in one.marks}


def cells(paper: Paper) -> list[tuple[str, ...]]:
    return [row.cells for block in paper.blocks if isinstance(block, Table) for row in block.rows]


def words(paper: Paper) -> str:
    return "\n".join(block.text for block in paper.blocks if isinstance(block, Bar | Words))


def test_a_house_one_cover_longer_moves_the_marks_of_the_far_hip_by_one(longer: Takeoff) -> None:
    before, now = lengths(run(parse_job(job_text("A", 7000)))), lengths(longer)
    assert longer.issued is not None
    marks = longer.issued.marks
    assert marks is not None
    made = [sheet for line in marks.make for sheet in line.sheets]
    assert len(marked_sheets(order_of(longer))) == len({sheet.marks for sheet in marked_sheets(order_of(longer))})
    assert len(made) == 2  # one more a long side
    assert marks.back == ()
    assert marks.moved
    for one in marks.moved:
        assert one.issue == 1
        assert before[one.written[0]] == now[one.now[0]] == (one.item, one.each_mm)
        (plane, old), (other, new) = (mark[0].split(".") for mark in (one.written, one.now))
        assert plane == other
        assert int(new) == int(old) + 1
    assert marks.other_lengths == sum(now[mark] != length for mark, length in before.items()) > 0


SHEETS = st.dictionaries(st.sampled_from([f"P{p}.{n:02d}" for p in (1, 2) for n in range(1, 6)]), st.integers(1, 3))


@given(st.lists(SHEETS, min_size=1, max_size=3), SHEETS)
@settings(max_examples=60, deadline=None)
def test_every_sheet_is_kept_made_or_taken_back_once(before: list[dict[str, int]], last: dict[str, int]) -> None:
    orders = [[MarkedSheet("sheet", 1000.0 * n, (mark,)) for mark, n in one.items()] for one in (*before, last)]
    told = IssueBook((), sheets=tuple(IssuedSheets(n, 1, tuple(one)) for n, one in enumerate(orders[:-1], start=1)))
    marks = sheet_marks(_order(orders[-1]), told)
    assert marks is not None
    for each in (1000.0, 2000.0, 3000.0):
        wanted = sorted(one.marks for one in orders[-1] if one.each_mm == each)
        ordered = [one.marks for one in orders[-2] if one.each_mm == each]
        made = [sheet for line in marks.make if line.each_mm == each for sheet in line.sheets]
        back = [sheet for line in marks.back if line.each_mm == each for sheet in line.sheets]
        assert len(made) - len(back) == len(wanted) - len(ordered)
        assert not (made and back)  # nothing is made while the same is taken back
        moved = [one.now for one in marks.moved if one.each_mm == each]
        assert len({*made, *moved}) == len(made) + len(moved)
        assert {*made, *moved} <= set(wanted)
    if len(before) == 1 and before[0] == last:
        assert (marks.moved, marks.make, marks.back, marks.other_lengths) == ((), (), (), 0)


_ORDERS: list[Order] = []


@pytest.fixture(autouse=True, scope="module")
def _an_order() -> None:
    _ORDERS.append(order_of(run(parse_job(job_text("A", 7000)))))


def _order(sheets: list[MarkedSheet]) -> Order:
    """An order with these sheets alone."""
    line, blank = next(line for line in _ORDERS[0].lines if line.each_mm), _ORDERS[0].blanks[0]
    lines = [
        replace(line, of=replace(line.of, id=one.item), each_mm=one.each_mm, refs=one.marks, count=1.0)
        for one in sheets
    ]
    blanks = [replace(blank, pieces=tuple(replace(blank.pieces[0], mark=mark) for mark in one.marks)) for one in sheets]
    return replace(_ORDERS[0], lines=tuple(lines), blanks=tuple(blanks))


def test_the_mill_reads_marks_only_of_what_it_makes_and_two_sums(longer: Takeoff) -> None:
    mill = mill_paper(longer, order_of(longer), str)
    assert mill is not None
    assert longer.issued is not None
    marks = longer.issued.marks
    assert marks is not None
    rows = [row for row in cells(mill) if len(row) == 7]
    sum_row = next(row for row in rows if row[0] == "to make")
    assert sum_row[1] == "2"
    made = [sheet[0] for line in marks.make for sheet in line.sheets]
    row = next(row for row in rows if row[1] == "2" and row[0].isdigit())
    assert row[5] == ", ".join(made)
    packed = [row for row in rows if row[0].startswith("K")]
    assert sum(int(row[2]) for row in packed) == 2
    assert [row[5] for row in packed] == made
    assert "MARKS HAVE MOVED" in words(mill)
    moved = [(sheet_words(one.written), sheet_words(one.now)) for one in marks.moved]
    assert [(row[1], row[3]) for row in cells(mill) if len(row) == 4 and row[0] == "1"] == moved


def test_a_shorter_house_takes_sheets_back_by_the_marks_written_on_them(house: Path, longer: Takeoff) -> None:
    book = read_book(house / ISSUES, marks=True)
    assert book is not None
    short = run(parse_job(job_text("C", 7000 - COVER - 300)))
    short = against_book(short, IssueBook(book.issues[:1], sheets=book.sheets[:1]))
    mill = mill_paper(short, order_of(short), str)
    assert mill is not None
    rows = [row for row in cells(mill) if len(row) == 7]
    back = [row for row in rows if row[1].startswith("-") and row[0] != "taken back"]
    assert back
    before = lengths(run(parse_job(job_text("A", 7000))))
    gone = [row for row in back if row[5].endswith("no longer wanted") and "spare" not in row[5]]
    assert gone
    for row in gone:
        assert row[0] == ""
        named = re.findall(r"P\d+\.\d+", row[5])
        assert all(f"{before[mark][1]:.0f}" == row[2] for mark in named)
    sums = {row[0]: float(row[3].replace(",", "")) for row in rows if row[0] in ("to make", "taken back")}
    assert sums["taken back"] < 0.0 < sums["to make"]
    mixed = 0
    for paper in order_papers(short, order_of(short), str):
        for table in (block for block in paper.blocks if isinstance(block, Table)):
            signs = {row.cells[2].startswith("-") for row in table.rows if row.kind is Kind.LINE and len(row.cells) > 8}
            totals = [row.cells[1].split(":")[0] for row in table.rows if row.kind is Kind.TOTAL]
            if signs == {True, False}:
                assert {"to send", "taken back"} <= set(totals)
                mixed += 1
    assert mixed


def test_roofer_and_office_have_the_table_too(longer: Takeoff) -> None:
    assert longer.issued is not None
    assert longer.issued.marks is not None
    moved = longer.issued.marks.moved
    site = site_paper(longer, order_of(longer), (), str)
    assert [(row[1], row[3]) for row in cells(site) if len(row) == 4 and row[0] == "1"] == [
        (sheet_words(one.written), sheet_words(one.now)) for one in moved
    ]
    rows = list(load_workbook(BytesIO(workbook_bytes(longer)))["Issued"].iter_rows(values_only=True))
    start = next(i for i, row in enumerate(rows) if row[0] == "mark on the sheet")
    assert [(row[0], row[6]) for row in rows[start + 1 : start + 1 + len(moved)]] == [
        (sheet_words(one.written), sheet_words(one.now)) for one in moved
    ]


def test_the_screen_says_what_changed_what_is_not_wanted_and_that_the_letter_is_taken(longer: Takeoff) -> None:
    assert longer.issued is not None
    told = {finding.code: finding.text for finding in longer.findings}
    states = [line.state.value for line in longer.issued.lines]
    assert f"{states.count('changed since')} changed since" in told["ordered-lines-changed"]
    if gone := states.count("no longer wanted"):
        assert f"{gone} no longer wanted" in told["ordered-lines-changed"]
    assert told["revision-taken"] == "Revision A is taken by issue 1, which had other contents."
    assert f"{len(longer.issued.marks.moved if longer.issued.marks else ())} sheets" in told["marks-moved"]


def test_an_issue_does_not_ask_for_itself_and_bears_its_day(issued: Path) -> None:
    data = json.loads((issued / "takeoff.json").read_text(encoding="utf-8"))
    codes = {finding["code"] for finding in data["findings"]}
    assert "marks-moved" in codes
    assert not codes & {"ordered-lines-changed", "revision-taken"}
    assert data["job"]["date"] == "2026-03-20"


def test_the_first_page_of_an_issue_holds_that_issue_alone(longer: Takeoff) -> None:
    assert longer.issued is not None
    one = replace(longer.issued, issuing=2, issuing_of=("roof sheets",), issuing_on="2026-03-20")
    paper = start_paper(replace(longer, issued=one), None, (), str)
    assert "What issue 2 brings" in words(paper)
    assert [row[0] for row in cells(paper) if len(row) == 8] == ["roof sheets"]
    sheets = [line for line in one.lines if line.delivery == "roof sheets" and line.to_order > 0.0]
    assert next(row for row in cells(paper) if len(row) == 8)[1] == str(len(sheets))


def test_what_is_written_on_sheets_is_told_in_every_later_set(issued: Path, house: Path, longer: Takeoff) -> None:
    after = run_file(house)
    assert after.issued is not None
    assert after.issued.marks is not None
    assert longer.issued is not None
    assert longer.issued.marks is not None
    assert after.issued.marks.moved == longer.issued.marks.moved
    assert (after.issued.marks.make, after.issued.marks.back) == ((), ())


def test_where_an_issue_does_not_tell_its_marks_a_warning_stands(issued: Path, house: Path) -> None:
    path = house / ISSUES / "issue_0001" / "takeoff.json"
    whole = path.read_bytes()
    path.write_bytes(whole.replace(b"P1.01", b"P1.99"))
    try:
        after = run_file(house)
    finally:
        path.write_bytes(whole)
    assert after.issued is not None
    assert after.issued.marks is None
    assert NOT_KNOWN in words(site_paper(after, order_of(after), (), str))


def test_a_line_lies_on_the_plane_of_its_first_mark() -> None:
    assert [_plane(marks) for marks in (("P1.03", "P2.01"), ("main.P12.1",))] == ["P1", "main.P12"]
