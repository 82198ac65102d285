"""The book of issues: issue + issue + rest is the order, nothing issued is ever changed, and damage is told."""

from __future__ import annotations

import json
import os
import shutil
import stat
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, replace
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.manifest import seal_of
from takeoff.book.issuing import issue_file, issues_of
from takeoff.cli import main
from takeoff.model.issues import Issue, IssueBook, IssueWanted, LineState
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.order.issued import next_issue, standing_of
from takeoff.pipeline import run, run_file
from takeoff.read.issues.book_file import book_line, read_book
from takeoff.read.job.job_file import parse_job
from takeoff.write.folder.disk import RealDisk
from takeoff.write.papers.blocks import Bar, Paper, Table, Words
from takeoff.write.papers.mill_paper import mill_paper
from takeoff.write.papers.order_papers import order_papers
from takeoff.write.workbook.workbook import workbook_bytes

JOB = """job: Shed by the river
revision: {revision}
date: 2026-03-02
roofs: [{{outline: [[0, 0], [{long}, 0], [{long}, 3000], [0, 3000]], pitch_deg: 10, edges: {edges}}}]
"""
EDGES = "{1: {kind: gable}, 2: {kind: gable}, 3: {kind: gable}}"


def job_text(revision: str = "A", long: int = 4000) -> str:
    return JOB.format(revision=revision, long=long, edges=EDGES)


@pytest.fixture(scope="module")
def shed() -> Takeoff:
    return run(parse_job(job_text()))


def made(shed: Takeoff, counts: dict[int, int], revision: str) -> Takeoff:
    """The shed with so many of each of its lines; none of those that are left out."""
    assert shed.order is not None
    lines = []
    for i, line in enumerate(bought(shed.order)):
        if counts.get(i):
            each = line.each_mm / 1000.0 if line.each_mm else 1.0
            lines.append(replace(line, count=float(counts[i]), total=round(counts[i] * each, 3)))
    job = shed.job.model_copy(update={"revision": revision})
    return replace(shed, job=job, order=replace(shed.order, lines=tuple(lines)))


def bought(order: Order) -> list[OrderLine]:
    return [line for line in order.lines if not line.labour]


WANTED = st.dictionaries(st.integers(0, 9), st.integers(0, 6), max_size=8)
STEPS = st.lists(st.tuples(WANTED, st.sampled_from(["", "", "purlins", "roof sheets", "flashings"])), max_size=6)


@given(STEPS, WANTED)
@settings(max_examples=60, deadline=None)
def test_issues_and_the_rest_are_the_order(steps: list[tuple[dict[int, int], str]], last: dict[int, int]) -> None:
    shed = _SHED[0]
    issues: list[Issue] = []
    for n, (counts, delivery) in enumerate(steps):
        takeoff = made(shed, counts, f"R{n}")
        book = IssueBook(tuple(issues))
        try:
            issue = next_issue(takeoff, book, IssueWanted("edit", "2026-03-02", delivery), {})
        except UsageError:  # nothing is left to order, or nothing comes with that delivery
            continue
        assert issue.number == len(issues) + 1
        assert all(line.count for line in issue.lines)
        assert all(line.delivery == delivery for line in issue.lines) or not delivery
        issues.append(issue)
    today = made(shed, last, "last")
    assert today.order is not None
    standing = standing_of(today.order, IssueBook(tuple(issues)))
    sums: dict[tuple[str, str, float, str], float] = {}
    totals: dict[tuple[str, str, float, str], float] = {}
    for line in (line for issue in issues for line in issue.lines):
        sums[line.key] = sums.get(line.key, 0.0) + line.count
        totals[line.key] = totals.get(line.key, 0.0) + line.total
    for rest in standing.lines:
        key = (rest.delivery, rest.item, rest.each_mm, rest.unit)
        sums[key] = sums.get(key, 0.0) + rest.to_order
        totals[key] = totals.get(key, 0.0) + rest.total_to_order
    wanted = {(one.delivery, one.item, one.each_mm, one.unit): one for one in today.order.lines}
    assert {key for key, count in sums.items() if round(count, 6)} == set(wanted)
    for key, line in wanted.items():
        assert sums[key] == pytest.approx(line.count)
        assert totals[key] == pytest.approx(line.total, abs=1e-6)


_SHED: list[Takeoff] = []


@pytest.fixture(autouse=True, scope="module")
def _the_shed(shed: Takeoff) -> Iterator[None]:
    _SHED.append(shed)
    yield
    _SHED.clear()


def test_states_of_a_line_by_hand(shed: Takeoff) -> None:
    """Two of one line, then three of it and none of another: one more, and two taken back."""
    first = next_issue(made(shed, {0: 2, 1: 2, 2: 1}, "A"), IssueBook(()), IssueWanted("all", "2026-03-02"), {})
    assert not first.variation
    after = made(shed, {0: 3, 2: 1, 3: 5}, "B")
    assert after.order is not None
    standing = standing_of(after.order, IssueBook((first,)))
    by_state = {line.state: line for line in standing.lines}
    assert (by_state[LineState.CHANGED].wanted, by_state[LineState.CHANGED].to_order) == (3.0, 1.0)
    assert (by_state[LineState.GONE].wanted, by_state[LineState.GONE].to_order) == (0.0, -2.0)
    assert by_state[LineState.ORDERED].to_order == 0.0
    assert by_state[LineState.TO_ORDER].to_order == 5.0
    second = next_issue(after, IssueBook((first,)), IssueWanted("longer", "2026-03-09"), {})
    assert sorted(line.count for line in second.lines) == [-2.0, 1.0, 5.0]
    assert second.supersedes == (1,)
    third = IssueBook((first, second))
    assert all(line.state is LineState.ORDERED for line in standing_of(after.order, third).lines)
    with pytest.raises(UsageError, match=r"nothing is left to order.*issue 1, 2"):
        next_issue(after, third, IssueWanted("again", "2026-03-10"), {})


def test_one_letter_stands_for_one_order(shed: Takeoff) -> None:
    first = next_issue(made(shed, {0: 2}, "A"), IssueBook(()), IssueWanted("all", "2026-03-02"), {})
    with pytest.raises(UsageError, match=r"was revision A with other contents.*new revision"):
        next_issue(made(shed, {0: 3}, "A"), IssueBook((first,)), IssueWanted("more", "2026-03-03"), {})


@pytest.fixture(scope="module")
def issued_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job with its purlins and then its sheets issued."""
    folder = tmp_path_factory.mktemp("issued")
    (folder / "job.yaml").write_text(job_text(), encoding="utf-8")
    issue_file(folder, "first trip", delivery="purlins", to="Timber yard")
    issue_file(folder, "second trip", delivery="roof sheets", date="2026-03-09")
    return folder


@pytest.fixture
def book(issued_once: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(issued_once, tmp_path / "house"))


def test_a_book_holds_what_was_ordered_with_its_files(book: Path) -> None:
    found = issues_of(book)
    assert (found.faults, found.edited) == ((), ())
    assert [(one.number, one.date, one.deliveries, one.to) for one in found.issues] == [
        (1, "2026-03-02", ("purlins",), "Timber yard"),
        (2, "2026-03-09", ("roof sheets",), ""),
    ]
    takeoff = run_file(book)
    assert takeoff.issued is not None
    states = {line.delivery: line.state for line in takeoff.issued.lines}
    assert states["purlins"] is states["roof sheets"] is LineState.ORDERED
    assert states["flashings"] is LineState.TO_ORDER
    assert {one.delivery for one in takeoff.issued.variations} >= {"flashings"}
    sheet = load_workbook(BytesIO(workbook_bytes(takeoff)))["Issued"]
    told = {str(row[6].value) for row in sheet.iter_rows(min_row=6)}
    assert {"ordered", "to order"} <= told
    for issue in found.issues:
        assert "order_sheet.xlsx" in issue.files
        orders = sorted(name for name in issue.files if name.startswith("order_") and name.endswith(".pdf"))
        assert orders == [f"order_{issue.deliveries[0].replace(' ', '_')}.pdf"]
        assert all((book / "issues" / issue.folder / name).is_file() for name in issue.files)


def test_a_changed_house_orders_the_difference_only(book: Path) -> None:
    (book / "job.yaml").write_text(job_text("B", 4800), encoding="utf-8")
    done = issue_file(book, "longer", date="2026-03-20", delivery="roof sheets")
    assert done.issue is not None
    assert done.issue.supersedes == (2,)
    plain = run(parse_job(job_text("B", 4800))).order
    before = run(parse_job(job_text())).order
    assert plain is not None
    assert before is not None
    metres = [
        sum(line.total for line in bought(order) if line.delivery == "roof sheets" and line.each_mm)
        for order in (before, plain)
    ]
    assert sum(line.total for line in done.issue.lines if line.each_mm) == pytest.approx(metres[1] - metres[0])
    assert metres[1] > metres[0]
    data = json.loads((book / "issues" / "issue_0003" / "takeoff.json").read_text(encoding="utf-8"))
    assert data["issued"]["issuing"] == 3


def test_the_papers_of_a_variation_hold_the_difference_and_say_what_it_varies(book: Path) -> None:
    before = run_file(book)
    assert before.order is not None
    names = [paper.name for paper in order_papers(before, before.order, str)]
    assert "order_flashings" in names
    assert "order_purlins" not in names  # all of it was ordered
    assert mill_paper(before, before.order, str) is None
    (book / "job.yaml").write_text(job_text("B", 6400), encoding="utf-8")
    after = run_file(book)
    assert after.order is not None
    assert after.issued is not None
    mill = mill_paper(after, after.order, str)
    assert mill is not None
    texts = [block.text for block in mill.blocks if isinstance(block, Bar | Words)]
    assert "VARIATION of issue 2, revision A" in texts
    sheets = [line for line in after.issued.lines if line.delivery == "roof sheets" and line.each_mm and line.to_order]
    assert {line.to_order < 0.0 for line in sheets} == {True, False}
    assert {f"{line.to_order:g}" for line in sheets} <= {row[1] for row in _rows(mill) if len(row) == 7}
    pages = {paper.name: paper for paper in order_papers(after, after.order, str)}
    assert pages["order_purlins"].title == "Variation: purlins"
    assert pages["order_flashings"].title == "Order: flashings"
    lines = [line for line in after.issued.lines if line.delivery == "purlins" and line.to_order]
    assert len([row for row in _rows(pages["order_purlins"]) if len(row) > 8]) == len(lines) + 1


def _rows(paper: Paper) -> list[tuple[str, ...]]:
    return [row.cells for block in paper.blocks if isinstance(block, Table) for row in block.rows]


DAMAGES = {
    "cut in the middle of a line": (lambda data: data[:-40], "cut off in the middle"),
    "a line taken out": (lambda data: data.split(b"\n", 1)[1], "does not follow the line before it"),
    "the last line taken out": (lambda data: data.split(b"\n", 1)[0] + b"\n", "the book was cut"),
    "a figure edited": (lambda data: data.replace(b"Timber yard", b"Timber year"), "was edited"),
    "rubbish": (lambda data: b"{}\n" + data, "no line of a book"),
    "nothing": (lambda data: b"", "the book was cut"),
}


@pytest.mark.parametrize("name", DAMAGES)
def test_a_damaged_book_is_told_and_left_as_it_is(book: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    damage, said = DAMAGES[name]
    path = book / "issues" / "book.jsonl"
    data = damage(path.read_bytes())
    path.write_bytes(data)
    found = issues_of(book)
    assert any(said in fault for fault in found.faults), found.faults
    with pytest.raises(UnreadableFileError, match="the book is damaged and nothing was done to it"):
        issue_file(book, "third", delivery="flashings")
    assert path.read_bytes() == data
    assert not (book / "issues" / "issue_0003").exists()
    takeoff = run_file(book)
    assert "issues-damaged" in {finding.code for finding in takeoff.findings}
    assert takeoff.issued is not None
    assert takeoff.issued.lines == ()


def test_files_of_issues_that_are_gone_or_changed_are_told(book: Path) -> None:
    sheet = book / "issues" / "issue_0001" / "site_measure.csv"
    sheet.write_text("other", encoding="utf-8")
    assert issues_of(book).edited == ("issue 1: its file site_measure.csv was changed since",)
    assert issues_of(book).faults == ()
    sheet.unlink()
    assert issues_of(book).faults == ("issue 1: its file site_measure.csv is gone",)
    shutil.rmtree(book / "issues" / "issue_0002")
    assert any("issue 2" in fault for fault in issues_of(book).faults)
    (book / "issues" / "book.jsonl").unlink()
    assert "is gone, but issue_0001" in issues_of(book).faults[0]


def test_files_without_a_line_are_an_issue_that_was_stopped_or_a_book_that_was_cut(book: Path) -> None:
    (book / "issues" / "issue_0003").mkdir()
    assert any("issue_0003 holds files of an issue that the book has no line of" in f for f in issues_of(book).faults)
    with pytest.raises(UnreadableFileError, match="nothing was done to it"):
        issue_file(book, "third", delivery="flashings")


def test_a_line_forged_with_a_seal_of_its_own_does_not_follow(book: Path) -> None:
    path = book / "issues" / "book.jsonl"
    first, second = path.read_bytes().splitlines(keepends=True)
    body = json.loads(first)
    body.pop("seal")
    body["to"] = "somebody else"
    path.write_bytes((json.dumps({**body, "seal": seal_of(body)}) + "\n").encode() + second)
    assert any("does not follow" in fault for fault in issues_of(book).faults)


def test_a_book_read_back_is_the_book_written(tmp_path: Path, shed: Takeoff) -> None:
    first = next_issue(made(shed, {0: 2, 1: 2}, "A"), IssueBook(()), IssueWanted("ämne", "2026-03-02"), {})
    second = next_issue(made(shed, {0: 5}, "B"), IssueBook((first,)), IssueWanted("b", "2026-03-03"), {})
    lines = [book_line(asdict(first), "")]
    (tmp_path / "book.jsonl").write_bytes(lines[0])
    half = read_book(tmp_path)
    assert half is not None
    (tmp_path / "book.jsonl").write_bytes(lines[0] + book_line(asdict(second), half.last_seal))
    whole = read_book(tmp_path)
    assert whole is not None
    assert (whole.issues, whole.faults) == ((first, second), ())
    assert read_book(tmp_path / "nowhere") is None


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"note": " "}, "--note"),
        ({"note": "a", "delivery": "purlin"}, "there is no purlin; did you mean purlins?"),
        ({"note": "a", "date": "2.3.2026"}, "--date: needs a day as 2026-03-02"),
        ({"note": "a", "to": "x" * 200}, "--to"),
        ({"note": "a", "delivery": "walls"}, "the order has no delivery walls"),
        ({"note": "a", "delivery": "purlins"}, "nothing of purlins is left to order"),
    ],
)
def test_what_cannot_be_issued_is_told(book: Path, more: dict[str, str], said: str) -> None:
    with pytest.raises(UsageError, match=said.replace("?", r"\?")):
        issue_file(book, **more)
    assert len(issues_of(book).issues) == 2


class _Full(RealDisk):
    """A disk that has no room for the book."""

    def write(self, path: Path, data: bytes) -> None:
        raise OSError(28, "no space left", str(path))


def test_a_book_that_cannot_take_its_line_is_as_it_was(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = (book / "issues" / "book.jsonl").read_bytes()
    monkeypatch.setattr("takeoff.book.issuing.RealDisk", _Full)
    with pytest.raises(UsageError, match="no space left; nothing stands in the book of it"):
        issue_file(book, "third", delivery="flashings")
    assert (book / "issues" / "book.jsonl").read_bytes() == before
    assert (len(issues_of(book).issues), issues_of(book).faults) == (2, ())


def test_of_two_at_once_one_waits(book: Path) -> None:
    with ThreadPoolExecutor(2) as both:
        one, other = both.submit(issue_file, book, "a", "flashings"), both.submit(issue_file, book, "b", "underlay")
        numbers = {done.issue.number for done in (one.result(), other.result()) if done.issue is not None}
    assert numbers == {3, 4}
    assert issues_of(book).faults == ()


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="the rights of a folder do not bind this user")
def test_a_folder_that_cannot_be_written_is_told(book: Path) -> None:
    folder = book / "issues"
    folder.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        with pytest.raises(UsageError, match="cannot be written"):
            issue_file(book, "third", delivery="flashings")
    finally:
        folder.chmod(stat.S_IRWXU)


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(job_text(), encoding="utf-8")
    (tmp_path / "issues").write_text("mine", encoding="utf-8")
    with pytest.raises(UsageError, match="cannot be written to"):
        issue_file(tmp_path, "first")
    assert (tmp_path / "issues").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(("edit", "code"), [("", 0), ("edited", 7), ("cut", 4)])
def test_issues_leaves_with_a_code_by_kind(
    book: Path, edit: str, code: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = book / "issues" / ("book.jsonl" if edit == "cut" else "issue_0001/takeoff.json")
    path.write_bytes(path.read_bytes()[: -9 if edit else None])
    monkeypatch.setattr("sys.argv", ["takeoff", "issues", str(book)])
    with pytest.raises(SystemExit) as left:
        main()
    assert left.value.code == code
    assert "first trip" in capsys.readouterr().out
