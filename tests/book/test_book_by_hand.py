"""Books of issues typed by hand: every line that is read, every damage whole, the marks that were frozen with an issue."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.manifest import MANIFEST, digest_of
from takeoff.book import issuing
from takeoff.model.issues import Issue, IssueBook, IssuedLine, IssuedSheets, IssueWanted, MarkedSheet
from takeoff.read.issues import book_file
from takeoff.read.issues.book_file import book_line, read_book
from takeoff.read.issues.frozen_marks import frozen_sheets

LINE = {
    "delivery": "walls",
    "item": "i",
    "name": "n",
    "each_mm": 900.0,
    "unit": "each",
    "count": 2.0,
    "total": 1.8,
    "total_unit": "m",
    "kg": 3.0,
}


def record(number: int, **more: Any) -> dict[str, Any]:
    given = {"number": number, "date": "2026-03-02", "job": "j", "revision": "A", "job_hash": "h", "contents": "c", "deliveries": ["walls"], "to": "t",
             "note": "n", "supersedes": [], "lines": [LINE], "files": {}}  # fmt: skip
    return {**given, **more}


def book(folder: Path, *records: dict[str, Any]) -> list[bytes]:
    """A book of these records, each line sealed after the one before; gives its lines."""
    lines: list[bytes] = []
    before = ""
    for one in records:
        lines.append(book_line(one, before))
        before = json.loads(lines[-1])["seal"]
    (folder / "book.jsonl").write_bytes(b"".join(lines))
    return lines


def read(folder: Path, **how: bool) -> IssueBook:
    found = read_book(folder, **how)
    assert found is not None
    return found


def test_a_book_as_it_is_read(tmp_path: Path) -> None:
    assert read_book(tmp_path) is None
    lines = book(tmp_path, record(1), record(2, supersedes=[1], note="\u00e4"))
    found = read(tmp_path)
    line = IssuedLine("walls", "i", "n", 900.0, "each", 2.0, 1.8, "m", 3.0)
    issue = Issue(1, "2026-03-02", "j", "A", "h", "c", ("walls",), "t", "n", (), (line,), {})
    assert found.issues[0] == issue
    assert (found.issues[1].number, found.issues[1].supersedes, found.issues[1].note) == (2, (1,), "\u00e4")
    assert (found.faults, found.edited, found.last_seal, found.sheets) == ((), (), json.loads(lines[1])["seal"], ())
    assert lines[0].startswith(b'{"format": "takeoff-issue", "version": 1, "before": "first", "number": 1, ')
    assert json.loads(lines[1])["before"] == json.loads(lines[0])["seal"]
    assert (book_file.MOST_BYTES, book_file.MOST_FILE_BYTES, book_file.BOOK_VERSION) == (200_000_000, 1_000_000_000, 1)


def damaged(folder: Path, data: bytes) -> tuple[int, tuple[str, ...]]:
    (folder / "book.jsonl").write_bytes(data)
    found = read(folder)
    return len(found.issues), found.faults


def test_damage_is_told_at_its_line_and_what_follows_is_not_read(tmp_path: Path) -> None:
    first, second, third = book(tmp_path, record(1), record(2), record(3))
    body = json.loads(second)

    def forged(**more: Any) -> bytes:
        return (json.dumps({**body, **more}) + "\n").encode()

    sealed = book_line({**record(2), "number": "2"}, json.loads(first)["seal"])
    for data, count, fault in (
        (first + b"{\n" + third, 1, "book.jsonl, line 2: is no line of a book: it was cut or overwritten"),
        (first + b"\xff\n", 1, "book.jsonl, line 2: is no line of a book: it was cut or overwritten"),
        (first + b"[]\n", 1, "book.jsonl, line 2: is no line of a book of issues"),
        (first + forged(format="other"), 1, "book.jsonl, line 2: is no line of a book of issues"),
        (first + forged(version=2), 1, "book.jsonl, line 2: is of version 2, which this program does not read"),
        (first + forged(note="else"), 1, "book.jsonl, line 2: was edited: its seal is not that of what it says"),
        (first + forged(extra=1), 1, "book.jsonl, line 2: does not hold what an issue holds: it was edited"),
        (first + sealed, 1, "book.jsonl, line 2: does not hold what an issue holds: it was edited"),
        (
            second + third,
            0,
            "book.jsonl, line 1: does not follow the line before it: a line was taken out, put in or moved",
        ),
        (
            first + third,
            1,
            "book.jsonl, line 2: does not follow the line before it: a line was taken out, put in or moved",
        ),
        (
            first + book_line(record(3), json.loads(first)["seal"]),
            1,
            "book.jsonl, line 2: is issue 3 where issue 2 belongs",
        ),
    ):
        assert damaged(tmp_path, data) == (count, (fault,)), fault
    assert damaged(tmp_path, first + second[:-1]) == (1, ("book.jsonl, line 2: is cut off in the middle",))
    cut = damaged(tmp_path, first + b"{\n" + third[:-9])
    assert cut == (
        1,
        (
            "book.jsonl, line 3: is cut off in the middle",
            "book.jsonl, line 2: is no line of a book: it was cut or overwritten",
        ),
    )
    (tmp_path / "book.jsonl").write_bytes(b"")
    assert read(tmp_path) == IssueBook(())


def test_folders_and_files_of_issues(tmp_path: Path) -> None:
    for name in ("issue_0002", "issue_0003", "issue_0001", "issue_x", "issue_12b"):
        (tmp_path / name).mkdir()
    (tmp_path / "issue_0009").write_text("a file", encoding="utf-8")
    gone = f"{tmp_path / 'book.jsonl'} is gone, but issue_0001, issue_0002, issue_0003 of its issues is there"
    assert read(tmp_path) == IssueBook((), (gone,))
    held = tmp_path / "issue_0001"
    (held / "a.txt").write_bytes(b"a")
    files = {"a.txt": digest_of(b"a"), "b.txt": digest_of(b"b"), "../c": "x"}
    book(tmp_path, record(1, files=files), record(2))
    loose = "issue_0003 holds files of an issue that the book has no line of: the book was cut, or an issue was stopped"
    assert read(tmp_path).faults == (loose, "issue 1: its file b.txt is gone", "issue 1: its file ../c is gone")
    (tmp_path / "issue_0003").rmdir()
    del files["../c"]
    (held / "b.txt").write_bytes(b"other")
    book(tmp_path, record(1, files=files), record(2))
    assert read(tmp_path).faults == (f"issue 1: its {MANIFEST} is gone",)
    (held / MANIFEST).write_bytes(b"m")
    assert (read(tmp_path).faults, read(tmp_path).edited) == ((), ())
    assert read(tmp_path, whole=True).edited == ("issue 1: its file b.txt was changed since",)


def order(**more: Any) -> dict[str, Any]:
    def line(item: str, each: float, *refs: str, labour: bool = False) -> dict[str, Any]:
        return {"item": item, "each_mm": each, "refs": list(refs), "labour": labour}

    blanks = [{"pieces": [{"mark": "S1"}, {"mark": "S2"}]}, {"pieces": [{"mark": "S3"}]}]
    lines = [
        line("i", 900.0, "S1", "S9"),
        line("j", 700.0, "S3"),
        line("k", 0.0, "S1"),
        line("l", 5.0, "S1", labour=True),
    ]
    return {"blanks": blanks, "lines": lines, **more}


def test_marks_that_were_frozen_with_issues(tmp_path: Path) -> None:
    """Of issues that ordered roof sheets: by the first mark of each blank; none where the result is gone, edited or of less."""

    def issue(number: int, held: Any, deliveries: tuple[str, ...] = ("roof sheets",), digest: str = "") -> Issue:
        folder = tmp_path / f"issue_{number:04d}"
        folder.mkdir(exist_ok=True)
        data = held if isinstance(held, bytes) else json.dumps(held).encode()
        (folder / "takeoff.json").write_bytes(data)
        return Issue(
            number, "", "", "", "", "", deliveries, "", "", (), (), {"takeoff.json": digest or digest_of(data)}
        )

    issues = (
        issue(1, {"order": order()}), issue(2, {"order": order(houses={"count": 3})}), issue(3, {"order": order()}, ("walls",)),
        issue(4, {"order": order()}, digest="x"), issue(5, b"{"), issue(6, {"order": None}), issue(7, {"order": {"blanks": []}}), issue(8, {"order": order(houses=None)}),
    )  # fmt: skip
    sheets = (MarkedSheet("i", 900.0, ("S1", "S2")), MarkedSheet("j", 700.0, ("S3",)))
    assert frozen_sheets(tmp_path, issues) == (
        IssuedSheets(1, 1, sheets), IssuedSheets(2, 3, sheets), None, None, None, None, IssuedSheets(8, 1, sheets),
    )  # fmt: skip
    (tmp_path / "issue_0001" / "takeoff.json").unlink()
    assert frozen_sheets(tmp_path, issues[:1]) == (None,)


# ------------------------------------------------------------ what is wanted of an issue


def test_what_is_wanted_as_typed() -> None:
    assert issuing._wanted(" why ", "walls", " to ", "2026-03-02") == IssueWanted("why", "2026-03-02", "walls", "to")
    assert issuing._wanted("n" * 500, "", "t" * 120, "20260302") == IssueWanted("n" * 500, "2026-03-02", "", "t" * 120)
    note = "--note: say in 1 to 500 characters why this is ordered"
    for given, says in (
        ((" ", "", "", ""), note), (("n" * 501, "", "", ""), note), (("n", "", "t" * 121, ""), "--to: has at most 120 characters"),
        (("n", "wall", "", ""), "--delivery: there is no wall; did you mean walls?"), (("n", "", "", "x" * 50), f"--date: needs a day as 2026-03-02, got {'x' * 40!r}"),
    ):  # fmt: skip
        with pytest.raises(UsageError) as caught:
            issuing._wanted(*given)
        assert caught.value.faults == (says,)
    assert issuing.WAIT_FOR_ISSUE_S == 120.0


def test_an_issue_bears_a_day_and_a_withheld_order_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The day that is typed, else the job's, else today."""
    job = tmp_path / "job.yaml"
    job.write_text("job: a\n", encoding="utf-8")
    dated = SimpleNamespace(order="order", job=SimpleNamespace(date=datetime.date(2026, 5, 6)))
    made: list[Any] = [dated]
    asked: list[Any] = []
    monkeypatch.setattr(issuing, "run_file", lambda path, step, office: (asked.append((path, office)), made[0])[1])
    monkeypatch.setattr(issuing, "_frozen", lambda takeoff, wanted, folder: (takeoff, wanted, folder))
    steps: list[str] = []
    found = issuing.issue_file(job, "why", "walls", "to", "2026-01-02", Path("o"), steps.append)
    assert found == (dated, IssueWanted("why", "2026-01-02", "walls", "to"), tmp_path / "issues")  # type: ignore[comparison-overlap]
    assert (asked, steps) == ([(job, Path("o"))], ["writing the book of issues"])
    assert issuing.issue_file(job, "why")[1].date == "2026-05-06"  # type: ignore[index]
    made[0] = SimpleNamespace(order="order", job=SimpleNamespace(date=None))
    days = {datetime.date.today().isoformat()}
    found = issuing.issue_file(job, "why")
    assert found[1].date in days | {datetime.date.today().isoformat()}  # type: ignore[index]
    made[0] = SimpleNamespace(order=None)
    assert issuing.issue_file(job, "why") == issuing.Issued(None, made[0], tmp_path / "issues")


def test_the_book_takes_a_line_more_in_one_step(tmp_path: Path) -> None:
    path = tmp_path / "book.jsonl"
    fresh = tmp_path / ".book.jsonl.takeoff-new"
    fresh.write_bytes(b"of a run that was killed")
    issuing._append(issuing.RealDisk(), path, b"one\n")
    issuing._append(issuing.RealDisk(), path, b"two\n")
    assert (path.read_bytes(), fresh.exists()) == (b"one\ntwo\n", False)
    with pytest.raises(UnreadableFileError) as caught:
        issuing.refuse_damaged(IssueBook((), ("a", "b")), tmp_path)
    assert caught.value.faults == (
        f"{tmp_path}: a",
        f"{tmp_path}: b",
        f"{tmp_path}: the book is damaged and nothing was done to it; put it back from a copy",
    )
    issuing.refuse_damaged(IssueBook(()), tmp_path)
    for err, says in (
        (OSError(28, "Full", "f"), "f cannot be written to: Full; nothing stands in the book of it"),
        (OSError("odd"), f"{tmp_path} cannot be written to: odd; nothing stands in the book of it"),
    ):
        with pytest.raises(UsageError) as told, issuing._told(tmp_path):
            raise err
        assert told.value.faults == (says,)
    with pytest.raises(UnreadableFileError, match=r"^as it is$"), issuing._told(tmp_path):
        raise UnreadableFileError("as it is")
