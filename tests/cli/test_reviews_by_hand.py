"""What each review is made of, by hand: which file is read, what is held against what, and what is told where it cannot be."""

from __future__ import annotations

import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff import review
from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.manifest import MANIFEST
from takeoff.model.order_folder import FolderState
from takeoff.write.explain.explanation import Explanation

# ------------------------------------------------------------ reviews

DATE = datetime.date(2026, 3, 4)


def house(order: Any = "order", **more: Any) -> Any:
    job = SimpleNamespace(
        job="House",
        revision="B",
        date=DATE,
        model_copy=lambda update: SimpleNamespace(job="House", date=DATE, **update),
    )
    roofing = SimpleNamespace(sheets="sheets")
    given = {
        "job": job,
        "order": order,
        "stops": ("stop",),
        "roofing": roofing,
        "settings": "settings",
        "items": {},
        "roofs": (),
    }
    return SimpleNamespace(**{**given, **more})


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """What was asked of whom; every part of a review answers with what it was given."""
    calls: list[Any] = []

    def told(name: str, answer: Any = None) -> None:
        def ask(*given: Any, **named: Any) -> Any:
            calls.append((name, *given, *named.items()))
            return given if answer is None else answer(*given)

        monkeypatch.setattr(review, name, ask)

    told("read_cut_list")
    told("read_quotation")
    told("run_file", lambda job, *_: house(None) if job == "held" else house())
    told("check_list", lambda *given: SimpleNamespace(differences=given if given[0][1] else (), of=given))
    told("check_quotation", lambda *given: SimpleNamespace(differences=(), of=given))
    told("trade_words", lambda takeoff: str.upper)
    told("check_tables", lambda check: ("tables", check.of))
    told("quotation_tables", lambda check: ("quoted", check.of))
    told("in_trade_words", lambda tables, said: (tables, said("word")))
    return calls


def test_a_list_held_against_an_order(asked: list[Any]) -> None:
    steps: list[str] = []
    found = review.check_file("job", "list.csv", "S", steps.append, "office")  # type: ignore[arg-type]
    given = (("list.csv", "S"), "order", "sheets", "settings")
    assert found == review.Review("House, revision B", (("tables", given), "WORD"), True, date=DATE)  # type: ignore[arg-type]
    assert (steps, asked[1][:2], ("office", "office") in asked[1]) == (
        ["reading the list", "matching the lists"],
        ("run_file", "job"),
        True,
    )
    assert not review.check_file("job", "list.csv").differs  # type: ignore[arg-type]
    held = review.check_file("held", "list.csv")  # type: ignore[arg-type]
    assert held == review.Review("House, revision B", (), False, ("stop",))  # type: ignore[arg-type]


def test_a_quotation_held_against_an_order(asked: list[Any]) -> None:
    found = review.quotation_file("job", "q.csv", "S", "roof", office="office")  # type: ignore[arg-type]
    given = (("q.csv", "S"), "order", {}, "roof")
    assert found == review.Review("House, revision B", ("quoted", given), False, date=DATE)  # type: ignore[arg-type]
    assert review.quotation_file("held", "q.csv").stops == ("stop",)  # type: ignore[arg-type]


def test_two_results_compared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = SimpleNamespace(old="A", new="B", matched_planes=4, matched_sheets=31, changes=("x",))
    monkeypatch.setattr(
        review, "read_result", lambda path: SimpleNamespace(path=path, word=f"word of {path.name}", own=(path.name,))
    )
    monkeypatch.setattr(review, "compare", lambda *given: (calls.append(given), found)[1])
    monkeypatch.setattr(review, "totals_table", lambda before, after: (before.path.name, after.path.name))
    monkeypatch.setattr(review, "comparison_tables", lambda one: ("compared",) if one is found else ())
    monkeypatch.setattr(review, "one_word", lambda word, own: (word, own))
    monkeypatch.setattr(review, "in_trade_words", lambda tables, said: (tables, said))
    calls: list[Any] = []
    steps: list[str] = []
    old, new = tmp_path / "old.json", tmp_path / "new.JSON"
    got = review.compare_files(old, new, steps.append)
    assert got.title == f"{old} (A) -> {new} (B): 4 planes and 31 sheets matched"
    assert got.tables == (("old.json", "new.JSON", "compared"), ("word of new.JSON", ("old.json", "new.JSON")))  # type: ignore[comparison-overlap]
    assert (got.differs, [one.path for one in calls[0]]) == (True, [old, new])
    assert steps == [f"reading {old}", f"reading {new}", "comparing"]


def test_folders_to_compare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(review, "read_result", lambda path: ("result", path))
    monkeypatch.setattr(review, "run_file", lambda path, step: ("run", path))
    monkeypatch.setattr(review, "result_data", lambda run: ("data", run))
    monkeypatch.setattr(review, "snapshot_of", lambda data, name: (data, name))
    step = [].append
    with pytest.raises(UnreadableFileError, match=r": neither takeoff.json nor job.yaml is in this folder$"):
        review._snapshot(tmp_path, step)
    (tmp_path / "job.yaml").write_text("x", encoding="utf-8")
    assert review._snapshot(tmp_path, step) == (("data", ("run", tmp_path / "job.yaml")), str(tmp_path / "job.yaml"))
    (tmp_path / "takeoff.json").write_text("x", encoding="utf-8")
    assert review._snapshot(tmp_path, step) == ("result", tmp_path / "takeoff.json")
    (tmp_path / review.WORK).mkdir()
    with pytest.raises(
        UnreadableFileError, match=r": a run was stopped while it wrote there; run it again to put that right$"
    ):
        review._snapshot(tmp_path, step)
    (tmp_path / MANIFEST).write_text("x", encoding="utf-8")
    assert review._snapshot(tmp_path, step) == ("result", tmp_path / "takeoff.json")


def test_explanations_in_the_trades_words(monkeypatch: pytest.MonkeyPatch) -> None:
    one = Explanation(title="gutter", facts=("gutter a",), working=("gutter b",), came_from=("gutter c",))
    near: list[str] = []
    monkeypatch.setattr(review, "run_file", lambda job, step, office: (job, office))
    monkeypatch.setattr(
        review, "explain", lambda takeoff, mark: [one] if (takeoff, mark) == (("job", "o"), "G1") else []
    )
    monkeypatch.setattr(review, "near_names", lambda takeoff, mark: near)
    monkeypatch.setattr(review, "trade_words", lambda takeoff: lambda text: text.replace("gutter", "spouting"))
    (found,) = review.explain_file("job", "G1", office="o")  # type: ignore[arg-type]
    assert (found.title, found.facts, found.working, found.came_from) == (
        "spouting",
        ("spouting a",),
        ("spouting b",),
        ("spouting c",),
    )
    for names, hint in (
        ([], "; ask for a sheet, plane, edge, order line, run, piece or quantity"),
        (["G1", "G2"], "; did you mean G1, G2?"),
    ):
        near[:] = names
        with pytest.raises(UsageError) as caught:
            review.explain_file("job", "G9", office="o")  # type: ignore[arg-type]
        assert caught.value.faults == (f"job: nothing is called 'G9'{hint}",)


def test_folders_and_workbooks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    state = FolderState(tmp_path, fingerprint="f")
    monkeypatch.setattr(review, "writer_of", lambda folder: "")
    monkeypatch.setattr(review, "read_folder_state", lambda folder: state)
    monkeypatch.setattr(review, "find_office", lambda folder, office: (folder, office))
    monkeypatch.setattr(review, "parse_job", lambda text, name, held: (text, name, held))
    marks: list[Any] = []
    monkeypatch.setattr(review, "is_of_job", lambda *given: (marks.append(given), len(marks) > 1)[1])
    job = tmp_path / "job.yaml"
    job.write_text("job: a\n", encoding="utf-8")
    assert review.verify_folder(tmp_path) == state
    assert review.verify_folder(tmp_path, job, Path("o")).job_changed
    assert not review.verify_folder(tmp_path, job, Path("o")).job_changed
    held = (tmp_path, Path("o"))
    assert marks[0] == ("f", ("job: a\n", "job.yaml", held), tmp_path, "job: a\n", held)
    monkeypatch.setattr(review, "read_folder_state", lambda folder: FolderState(tmp_path, faults=("x",)))
    assert review.verify_folder(tmp_path, job).faults == ("x",)
    monkeypatch.setattr(review, "writer_of", lambda folder: "process 7")
    assert review.verify_folder(tmp_path) == FolderState(tmp_path, faults=("it is being written by process 7",))
    one = review.Review("t", (), True, date=DATE)
    with pytest.raises(
        UsageError, match=r"a.csv: differences are written as a workbook; name it with .xlsx at its end$"
    ):
        review.write_review(one, tmp_path / "a.csv")
    monkeypatch.setattr(review, "differences_workbook", lambda *given: given)
    monkeypatch.setattr(review, "write_one", lambda *given: given)
    assert review.write_review(one, tmp_path / "a.XLSX") == (tmp_path / "a.XLSX", ("t", (), DATE))


def test_an_order_made_again_from_what_was_taped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The letter of this issue before the job's own, what lies in the folder refused or superseded, a table of old and new."""
    roofs = (SimpleNamespace(planes=(SimpleNamespace(id="P1"),)), SimpleNamespace(planes=(SimpleNamespace(id="P2"),)))
    orders: list[Any] = ["order"]
    calls: list[Any] = []

    def run_file(job: str, step: Any, office: Any, taped: Any = None) -> Any:
        calls.append((job, office, taped))
        return Made(house(orders[0] if taped else "drawn", roofs=roofs))

    class Made:
        def __init__(self, of: Any, **more: Any) -> None:
            self.__dict__.update(vars(of), **more)

    monkeypatch.setattr(review, "run_file", run_file)
    monkeypatch.setattr(review, "replace", lambda one, **more: Made(one, **more))
    monkeypatch.setattr(review, "read_site_measures", lambda taped, planes: (taped, tuple(planes)))
    monkeypatch.setattr(review, "released", lambda takeoff: Made(takeoff, released=True))
    monkeypatch.setattr(review, "superseded", lambda letter, old, issued: (letter, old, issued))
    monkeypatch.setattr(review, "result_data", lambda takeoff: takeoff.job.revision)
    monkeypatch.setattr(review, "snapshot_of", lambda data, name: (data, name))
    monkeypatch.setattr(review, "refuse_other_lengths", lambda *given: calls.append(given))
    monkeypatch.setattr(review, "mark_changes", lambda old, new: (old.order, new.order))
    monkeypatch.setattr(review, "measured_tables", lambda changes: ("tables", changes))
    monkeypatch.setattr(review, "typed_before", lambda path: path.name)
    monkeypatch.setattr(review, "revision_words", lambda revision, before: f"revision {revision} after {before[1]}")
    monkeypatch.setattr(review, "differences_workbook", lambda *given: given)
    monkeypatch.setattr(
        review, "write_all", lambda takeoff, out, more=None, only=None, typed=None: (out, more, only, typed)
    )
    steps: list[str] = []
    done = review.measured_file("job", "taped.csv", tmp_path, True, "C", steps.append, "order", "office")  # type: ignore[arg-type]
    taped = ("taped.csv", ("P1", "P2"))
    assert calls[:2] == [("job", "office", None), ("job", "office", taped)]
    assert calls[2] == (("C", str(tmp_path)), None, str(tmp_path))
    assert (done.takeoff.released, done.takeoff.supersedes, done.tables) == (
        True,
        ("C", "B", None),
        ("tables", ("drawn", "order")),
    )  # type: ignore[attr-defined, comparison-overlap]
    book = ("House, revision C after B, measured on site", done.tables, DATE)
    assert done.written == (tmp_path, {"measured_changes.xlsx": book}, "order", "order_sheet.xlsx")  # type: ignore[comparison-overlap]
    assert steps == ["writing the files"]
    (tmp_path / "takeoff.json").write_text("x", encoding="utf-8")
    monkeypatch.setattr(review, "read_result", lambda path: f"issued {path.name}")
    orders[0] = None
    held = review.measured_file("job", "taped.csv", tmp_path)  # type: ignore[arg-type]
    assert (held.tables, held.written) == ((), (tmp_path, None, None, "order_sheet.xlsx"))  # type: ignore[comparison-overlap]
    assert (hasattr(held.takeoff, "released"), held.takeoff.supersedes) == (False, ("B", "B", "issued takeoff.json"))  # type: ignore[comparison-overlap]
