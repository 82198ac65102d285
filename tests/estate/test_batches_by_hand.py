"""Batches of an estate by hand: rows on the disk, batches handed out again, what is asked wrongly, folders of other estates."""

from __future__ import annotations

import errno
import json
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor, Future
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.interrupts import Stopped
from takeoff.estate import batch_rows, crews, many, running
from takeoff.estate.batch_rows import Batch, BatchDone, part_path, read_rows, row_line, run_batch
from takeoff.estate.house_job import Like
from takeoff.model.estate import EstateHouse, EstateSummary, HouseResult, HouseState, SummedLine

RING = [[0.0, 0.0], [9.0, 0.0], [9.0, 6.0], [0.0, 6.0]]
POLYGON = {"type": "Polygon", "coordinates": [RING]}


# ------------------------------------------------------------ batches on the disk


def result(number: int, state: HouseState = HouseState.DONE) -> HouseResult:
    line = SummedLine("roof", "i", "n\u00e4me", 1.0, "each", 2.0, "m", 3.0)
    return HouseResult(number, f"h{number}", state, "why", {"planes": 4.0}, {"a": ("note", 2)}, (line,), ((0.5, 1.0),))


def batch(folder: Path, *numbers: int) -> Batch:
    return Batch(
        3, str(folder), tuple(EstateHouse(n, f"h{n}") for n in numbers), Like("m", "outline", {}, {}), True, 9.0
    )


def test_rows_come_back_as_they_were_written(tmp_path: Path) -> None:
    path = part_path(tmp_path, 12)
    assert path.name == "part-0000012.jsonl"
    path.write_text(row_line(result(1)) + row_line(result(2)) + '{"number": 3', encoding="utf-8")
    assert list(read_rows(path)) == [result(1), result(2)]
    assert row_line(result(1)).startswith(
        '{"number":1,"name":"h1","state":"done","why":"why","figures":{"planes":4.0},'
    )
    assert "n\u00e4me" in row_line(result(1))
    assert list(read_rows(tmp_path / "none")) == []


def test_a_batch_is_taken_off_house_by_house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows of an earlier try are kept; a house that was begun twice without an end is given up, once is not."""
    asked: list[tuple[int, bool, float]] = []

    def take(house: EstateHouse, like: Like, lines: bool, seconds: float) -> HouseResult:
        asked.append((house.number, lines, seconds))
        return result(house.number, HouseState.LATE if house.number == 4 else HouseState.DONE)

    monkeypatch.setattr(batch_rows, "take_house", take)
    monkeypatch.setattr(batch_rows, "lost_house", lambda house: result(house.number, HouseState.LOST))
    tried = tmp_path / "part-0000003.jsonl.aa.open"
    tried.write_text(row_line(result(1)) + '{"begun": 2}\n{"begun": 2}\n{"begun": 5}\n', encoding="utf-8")
    done = run_batch(batch(tmp_path, 1, 2, 4, 5))
    assert done == BatchDone(3, (("done", 2), ("late", 1), ("lost", 1)))
    assert asked == [(4, True, 9.0), (5, True, 9.0)]
    assert [path.name for path in tmp_path.iterdir()] == ["part-0000003.jsonl"]
    assert [row.number for row in read_rows(part_path(tmp_path, 3))] == [1, 2, 4, 5]
    assert run_batch(batch(tmp_path, 1, 2, 4, 5)) == done
    assert len(asked) == 2
    running.tell_to_stop(tmp_path)
    other = Batch(4, str(tmp_path), (EstateHouse(1, "a"),), Like("m", "outline", {}, {}), False, 0.0)
    assert run_batch(other) == BatchDone(4, (), whole=False)
    assert batch_rows._MOST_TRIES == 2


# ------------------------------------------------------------ handing out


class Crew:
    """Workers that do at once what they are told to; `fails`: what batches end with, first try first."""

    def __init__(self, size: int = 2, mends: bool = True, **fails: list[Exception]) -> None:
        self.size, self.mends, self.fails = size, mends, fails
        self.given: list[int] = []
        self.dismissed = False

    def hand_out(self, batch: Batch) -> Any:
        self.given.append(batch.number)
        pending: Future[BatchDone] = Future()
        failing = self.fails.get(f"b{batch.number}", [])
        if failing:
            pending.set_exception(failing.pop(0))
        else:
            pending.set_result(BatchDone(batch.number, (("done", 2),)))
        return pending

    def mend(self, err: BaseException) -> bool:
        return self.mends

    def dismiss(self) -> None:
        self.dismissed = True


def handed(crew: Crew, *numbers: int) -> list[int]:
    done: list[int] = []
    batches = (Batch(n, "/parts", (), Like("m", "outline", {}, {}), False, 0.0) for n in numbers)
    running.run_batches(batches, crew, lambda one: done.append(one.number))
    return done


def test_batches_are_handed_out_again_where_a_worker_died() -> None:
    assert sorted(handed(Crew(), 1, 2, 3, 4, 5, 6, 7)) == [1, 2, 3, 4, 5, 6, 7]
    crew = Crew(b2=[BrokenExecutor()] * 5)
    assert sorted(handed(crew, 1, 2, 3)) == [1, 2, 3]
    assert crew.given.count(2) == 6
    with pytest.raises(BrokenExecutor):
        handed(Crew(b2=[BrokenExecutor()] * 6), 1, 2, 3)
    with pytest.raises(BrokenExecutor):
        handed(Crew(mends=False, b1=[BrokenExecutor()]), 1)
    assert (running._AHEAD, running._MOST_TRIES) == (2, 6)


def test_no_more_than_two_batches_a_worker_are_out() -> None:
    out: list[int] = []

    class Slow(Crew):
        def hand_out(self, batch: Batch) -> Any:
            out.append(batch.number)
            assert len(out) <= 4
            pending: Future[BatchDone] = super().hand_out(batch)
            return pending

    def numbers() -> Iterator[Batch]:
        for n in range(1, 9):
            yield Batch(n, "/parts", (), Like("m", "outline", {}, {}), False, 0.0)

    running.run_batches(numbers(), Slow(), lambda one: out.remove(one.number))
    assert out == []


@pytest.mark.parametrize(
    ("err", "what"),
    [
        (OSError(errno.ENOSPC, "No space"), "the disk is full"), (OSError(errno.EDQUOT, "Quota"), "the disk is full"), (OSError(errno.EFBIG, "Big"), "the disk is full"),
        (OSError(errno.EACCES, "Permission denied"), "cannot be written (Permission denied)"), (OSError("odd"), "cannot be written (odd)"),
    ],
)  # fmt: skip
def test_what_the_disk_says(err: OSError, what: str) -> None:
    with pytest.raises(UsageError) as caught:
        handed(Crew(b1=[err]), 1)
    assert caught.value.faults == (
        f"/parts: {what}; every house that is done stays: make room, then type the same command again",
    )


def test_processes_and_clusters(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Any] = []

    class Pool:
        def __init__(self, size: int, context: Any, initializer: Any) -> None:
            self.size, self.shut, self.broken = size, [], not made
            made.append(self)

        def submit(self, work: Any, given: Any) -> Any:
            if self.broken:
                raise BrokenExecutor
            return (work, given, self)

        def shutdown(self, **how: bool) -> None:
            self.shut.append(how)

    monkeypatch.setattr(crews, "ProcessPoolExecutor", Pool)
    crew: Any = crews.crew_of(3, "")
    assert (crew.size, made[0].size) == (3, 3)
    assert crew.hand_out("b") == (run_batch, "b", made[1])
    assert made[0].shut == [{"wait": False, "cancel_futures": True}]
    assert (crew.mend(BrokenExecutor()), crew.mend(ValueError())) == (True, False)
    crew.dismiss()
    assert made[1].shut == [{"wait": True, "cancel_futures": True}]
    assert crews._WAIT_S == 20


# ------------------------------------------------------------ many


def wanted(folder: Path, **more: Any) -> many.Wanted:
    source = folder / "m.jsonl"
    features = [{"type": "Feature", "id": n, "geometry": POLYGON, "properties": {"pitch": 25}} for n in range(1, 51)]
    source.write_text("".join(json.dumps(one) + "\n" for one in features), encoding="utf-8")
    return many.Wanted(source, folder / "out", **more)


def test_what_is_asked_wrongly(tmp_path: Path) -> None:
    for more, says in (
        ({"table": "xls"}, ("--table xls: csv or parquet",)), ({"workers": -1}, ("--workers -1: 1 to 1000, 0 for all cores",)), ({"workers": 1001}, ("--workers 1001: 1 to 1000, 0 for all cores",)),
        ({"seconds": -0.5}, ("--seconds -0.5: 0 for no limit, or less than 1e+06",)), ({"seconds": 1e6, "table": "x"}, ("--table x: csv or parquet", "--seconds 1e+06: 0 for no limit, or less than 1e+06")),
    ):  # fmt: skip
        with pytest.raises(UsageError) as caught:
            many._check(wanted(tmp_path, **more))
        assert caught.value.faults == says
    for more in ({"workers": 0}, {"workers": 1000}, {"seconds": 0.0}, {"seconds": 999_999.0}, {"table": "parquet"}):
        many._check(wanted(tmp_path, **more))
    assert (
        many.BATCH,
        many.MOST_WORKERS,
        many.MOST_SECONDS,
        many.Wanted(tmp_path, tmp_path).seconds,
        many.Wanted(tmp_path, tmp_path).workers,
    ) == (24, 1000, 1e6, 60.0, 1)


def test_houses_are_worked_off_in_batches(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Fifty houses are batches of 24, 24 and 2; a part that is there already is counted and not handed out."""
    asked = wanted(tmp_path, lines=True, seconds=7.0)
    parts = tmp_path / "parts"
    parts.mkdir()
    part_path(parts, 2).write_text("", encoding="utf-8")
    crew, told, batches = Crew(), [], []
    monkeypatch.setattr(many, "crew_of", lambda workers, cluster: crew)
    hand_out = crew.hand_out
    monkeypatch.setattr(crew, "hand_out", lambda one: (batches.append(one), hand_out(one))[1])
    unread: set[str] = set()
    assert many._work(asked, Like("m", "outline", {}, {}), parts, unread, told.append) == (3, 24)
    assert [(one.number, len(one.houses), one.folder, one.lines, one.seconds) for one in batches] == [
        (1, 24, str(parts), True, 7.0),
        (3, 2, str(parts), True, 7.0),
    ]
    assert (sorted(told), unread, crew.dismissed) == ([2, 2, 24], {"pitch"}, True)
    facts = many._facts(asked, {"b", "pitch"}, 24)
    assert facts == EstateSummary("m.jsonl", "csv", True, 24, ("b", "pitch"), (("pitch", "pitch_deg"),), {})
    part_path(parts, 1).write_text(row_line(result(1)), encoding="utf-8")
    part_path(parts, 3).write_text(row_line(result(3)), encoding="utf-8")
    rows = many._rows(parts, 3)
    assert [[row.number for row in rows()] for _ in range(2)] == [[1, 3], [1, 3]]
    monkeypatch.setattr(many, "crew_of", lambda workers, cluster: Crew(b1=[Stopped(2, "x")], mends=False))  # type: ignore[list-item]
    part_path(parts, 1).unlink()
    with pytest.raises(Stopped, match="every house that was done stays; type the same command again to go on"):
        many._work(asked, Like("m", "outline", {}, {}), parts, set(), told.append)
    assert (parts / "stop").exists()


def test_a_folder_belongs_to_one_estate(tmp_path: Path) -> None:
    asked = wanted(tmp_path)
    mark = many._mark(asked)
    like = tmp_path / "like.yaml"
    like.write_text("job: a\n", encoding="utf-8")
    others = [
        many._mark(wanted(tmp_path, **more))
        for more in ({"unit": "mm"}, {"lines": True}, {"seconds": 1.0}, {"like": like})
    ]
    assert all(other != mark for other in others)
    assert many._mark(wanted(tmp_path, workers=9, table="parquet", cluster="x")) == mark
    assert (mark["unit"], mark["lines"], mark["seconds"], mark["batch"], mark["like"]) == ("m", False, 60.0, 24, "")
    out = tmp_path / "out"
    out.mkdir()
    many._claim(out, mark)
    assert json.loads((out / "estate.json").read_text(encoding="utf-8")) == mark
    many._claim(out, mark)
    with pytest.raises(
        UsageError, match=r"out holds houses of another source or asked for otherwise; name another folder$"
    ):
        many._claim(out, others[0])
    other = tmp_path / "other"
    (other / "parts").mkdir(parents=True)
    with pytest.raises(UsageError, match=r"parts was not written by this program; move it, or name another folder$"):
        many._claim(other, mark)
    file = tmp_path / "file"
    file.write_text("x", encoding="utf-8")
    with (
        pytest.raises(UsageError, match=r"file is a file, not a folder; name another with --out$"),
        many._writable(file),
    ):
        pass
    with pytest.raises(UsageError, match=r"out: cannot be written: Denied$"), many._writable(out):
        raise OSError(errno.EACCES, "Denied")
    with pytest.raises(UsageError, match=r"out: cannot be written: odd$"), many._writable(out):
        raise OSError("odd")
    with pytest.raises(UnreadableFileError, match=r"^told$"), many._writable(out):
        raise UnreadableFileError("told")
