"""Many houses in one go: nothing is lost and nothing is done twice, whatever is killed, full or typed again."""

from __future__ import annotations

import csv
import json
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from houses_of_a_map import USUAL, feature, row_of_houses, write_map, write_sequence

from takeoff.basics.errors import UsageError
from takeoff.estate import take_house
from takeoff.estate.batch_rows import Batch, part_path, read_rows, run_batch
from takeoff.estate.house_job import house_job, like_job
from takeoff.estate.many import BATCH, PARTS, Wanted, take_many
from takeoff.estate.time_limit import OutOfTime, TimeLimit
from takeoff.model.estate import FIGURES, EstateHouse, HouseResult, HouseState
from takeoff.pipeline import Stage, run
from takeoff.read.estates.estate_files import read_estate

COUNT = 2 * BATCH + 5


def table(out: Path) -> list[dict[str, str]]:
    with open(out / "houses.csv", encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "takeoff", "many", *map(str, arguments)]


@pytest.fixture(scope="module")
def estate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three batches of houses, a bad one in the middle."""
    houses: list[Any] = row_of_houses(COUNT)
    houses[COUNT // 2] = feature([[0, 0], [10, 0], [0, 8], [10, 8], [0, 0]], {**USUAL, "id": "crossed"})
    return write_sequence(tmp_path_factory.mktemp("estate") / "lots.geojsonl", houses)


@pytest.fixture(scope="module")
def done(estate: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The estate taken off undisturbed by one process."""
    out = tmp_path_factory.mktemp("done") / "out"
    summary = take_many(Wanted(estate, out))
    assert summary.states == {"done": COUNT - 1, "refused": 1}
    assert not summary.whole
    return out


def test_the_table_has_a_row_a_house_with_the_figures_of_the_hand(done: Path) -> None:
    rows = table(done)
    assert [int(row["number"]) for row in rows] == list(range(1, COUNT + 1))
    for n, row in enumerate(rows):
        if row["state"] == "done":
            assert float(row["roof_plan_m2"]) == pytest.approx((12.0 + 0.1 * n) * 8.0, abs=1e-3)
            assert float(row["ridge_m"]) == pytest.approx(4.0 + 0.1 * n, abs=1e-3)
    bad = rows[COUNT // 2]
    assert (bad["house"], bad["state"], bad["roof_m2"]) == ("crossed", "refused", "")
    assert "cross" in bad["why"]
    with open(done / "not_taken_off.csv", encoding="utf-8") as stream:
        assert [row["house"] for row in csv.DictReader(stream)] == ["crossed"]


def test_two_processes_give_the_same_bytes(estate: Path, done: Path, tmp_path: Path) -> None:
    take_many(Wanted(estate, tmp_path / "out", workers=2))
    for name in ("houses.csv", "not_taken_off.csv", "findings.csv", "spread.svg", "map.svg"):
        assert (tmp_path / "out" / name).read_bytes() == (done / name).read_bytes(), name


def test_typed_again_nothing_is_done_again(estate: Path, done: Path) -> None:
    parts = {path: path.stat().st_mtime_ns for path in (done / PARTS).iterdir()}
    before = (done / "houses.csv").read_bytes()
    assert take_many(Wanted(estate, done)).already == COUNT
    assert {path: path.stat().st_mtime_ns for path in (done / PARTS).iterdir()} == parts
    assert (done / "houses.csv").read_bytes() == before


def test_a_folder_of_another_estate_is_refused(estate: Path, done: Path, tmp_path: Path) -> None:
    other = write_sequence(tmp_path / "other.geojsonl", row_of_houses(2))
    with pytest.raises(UsageError, match="houses of another source"):
        take_many(Wanted(other, done))
    with pytest.raises(UsageError, match="asked for otherwise"):
        take_many(Wanted(estate, done, unit="mm"))
    assert len(table(done)) == COUNT


def children_of(pid: int) -> list[int]:
    """Processes that work for one, by the system's own table."""
    found = []
    for path in Path("/proc").iterdir():
        if path.name.isdecimal():
            try:
                fields = (path / "stat").read_text().rsplit(")", 1)[1].split()
                words = (path / "cmdline").read_bytes()
            except OSError:
                continue
            if int(fields[1]) == pid and b"spawn_main" in words:
                found.append(int(path.name))
    return found


def wait_for(what: Any, seconds: float = 60.0) -> Any:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if found := what():
            return found
        time.sleep(0.02)
    raise AssertionError("waited for nothing")


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="finds workers in the system's table of processes")
def test_a_worker_killed_loses_nothing_and_doubles_nothing(estate: Path, done: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    with subprocess.Popen(command(estate, "--out", out, "--workers", 2), stdout=subprocess.DEVNULL) as run:
        wait_for(lambda: list((out / PARTS).glob("*.open")) if (out / PARTS).exists() else [])
        os.kill(wait_for(lambda: children_of(run.pid))[0], signal.SIGKILL)
        assert run.wait(120) == 6
    assert (out / "houses.csv").read_bytes() == (done / "houses.csv").read_bytes()


def heard() -> None:
    """The keyboard's signal is heard, also where whoever started the tests had it ignored."""
    signal.signal(signal.SIGINT, signal.default_int_handler)


def test_an_interrupted_run_goes_on_where_it_was(estate: Path, done: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    run = subprocess.Popen(
        command(estate, "--out", out, "--workers", 1), stderr=subprocess.PIPE, text=True, preexec_fn=heard
    )
    wait_for(lambda: part_path(out / PARTS, 1).exists())
    run.send_signal(signal.SIGINT)
    _, said = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "every house that was done stays" in said
    assert not (out / "houses.csv").exists()
    stood = part_path(out / PARTS, 1).stat().st_mtime_ns
    summary = take_many(Wanted(estate, out))
    assert BATCH <= summary.already < COUNT
    assert part_path(out / PARTS, 1).stat().st_mtime_ns == stood
    assert (out / "houses.csv").read_bytes() == (done / "houses.csv").read_bytes()


def test_a_full_disk_is_told_and_what_is_done_stays(estate: Path, done: Path, tmp_path: Path) -> None:
    """The system's limit on the size of a file stands for the disk: it fails a write in the same way."""
    out = tmp_path / "out"
    least = max(path.stat().st_size for path in (done / PARTS).iterdir()) // 3

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (least, least))

    run = subprocess.run(
        command(estate, "--out", out, "--workers", 1), preexec_fn=small, capture_output=True, text=True, check=False
    )
    assert run.returncode == 2, run.stderr
    assert "the disk is full" in run.stderr
    assert "type the same command again" in run.stderr
    assert "Traceback" not in run.stderr
    take_many(Wanted(estate, out))
    assert (out / "houses.csv").read_bytes() == (done / "houses.csv").read_bytes()


def batch_of(path: Path, folder: Path, seconds: float = 0.0) -> Batch:
    return Batch(1, str(folder), tuple(read_estate(path)), like_job(None, "m"), False, seconds)


def test_a_house_that_its_process_dies_of_is_given_up_and_the_others_are_not(tmp_path: Path) -> None:
    """Two tries that began the second house and wrote no row of it; the second left half a line."""
    path = write_map(tmp_path / "a.geojson", row_of_houses(3))
    whole = part_path(tmp_path, 1)
    for n, torn in enumerate(("", '{"number": 3, "na')):
        (tmp_path / f"{whole.name}.{n}.open").write_text(json.dumps({"begun": 2}) + "\n" + torn)
    assert run_batch(batch_of(path, tmp_path)).states == (("done", 2), ("lost", 1))
    assert [row.state for row in read_rows(whole)] == [HouseState.DONE, HouseState.LOST, HouseState.DONE]
    assert not list(tmp_path.glob("*.open"))


def test_rows_of_a_try_that_was_cut_are_taken_over(tmp_path: Path) -> None:
    path = write_map(tmp_path / "a.geojson", row_of_houses(2))
    whole = part_path(tmp_path, 1)
    run_batch(batch_of(path, tmp_path))
    first, _ = whole.read_text().splitlines()
    whole.unlink()
    marked = first.replace('"why":""', '"why":"from the try before"')
    (tmp_path / f"{whole.name}.0.open").write_text(marked + "\n")
    run_batch(batch_of(path, tmp_path))
    assert [row.why for row in read_rows(whole)] == ["from the try before", ""]


def test_told_to_stop_no_further_house_is_begun(tmp_path: Path) -> None:
    path = write_map(tmp_path / "a.geojson", row_of_houses(2))
    (tmp_path / "stop").touch()
    assert not run_batch(batch_of(path, tmp_path)).whole
    assert not part_path(tmp_path, 1).exists()


def test_a_slow_house_is_late_and_the_rest_is_not(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def slow(house: EstateHouse, *_: object) -> HouseResult:
        while house.number == 2:
            pass
        return HouseResult(house.number, house.name, HouseState.DONE)

    monkeypatch.setattr(take_house, "_taken", slow)
    run_batch(batch_of(write_map(tmp_path / "a.geojson", row_of_houses(3)), tmp_path, seconds=0.3))
    rows = list(read_rows(part_path(tmp_path, 1)))
    assert [row.state for row in rows] == [HouseState.DONE, HouseState.LATE, HouseState.DONE]
    assert "longer than the 0.3 s" in rows[1].why
    assert rows[1].ring_m  # it still stands on the map


def test_a_fault_of_the_programs_own_is_a_row(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(house: EstateHouse, *_: object) -> HouseResult:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(take_house, "_taken", broken)
    run_batch(batch_of(write_map(tmp_path / "a.geojson", row_of_houses(1)), tmp_path))
    (row,) = read_rows(part_path(tmp_path, 1))
    assert (row.state, row.why) == (HouseState.FAULT, "ZeroDivisionError: by nothing")


def _spin(seconds: float) -> None:
    until = time.perf_counter() + seconds
    while time.perf_counter() < until:
        pass


def test_a_limit_is_never_felt_after_what_it_holds() -> None:
    late = 0
    for n in range(300):
        try:
            with TimeLimit(0.001):
                _spin(0.0002 * (n % 100))  # up to 20 ms: a thread that spins is left for another after 5
        except OutOfTime:
            late += 1
        _spin(0.0005)
    assert 0 < late < 300


def test_lines_of_all_houses_add_up_to_those_of_each(tmp_path: Path) -> None:
    path = write_map(tmp_path / "a.geojson", row_of_houses(2))
    take_many(Wanted(path, tmp_path / "out", lines=True))
    with open(tmp_path / "out" / "lines.csv", encoding="utf-8") as stream:
        summed = {(row["delivery"], row["item"], row["unit"]): float(row["total"]) for row in csv.DictReader(stream)}
    wanted: dict[tuple[str, str, str], float] = {}
    for house in read_estate(path):
        takeoff = run(house_job(house, like_job(None, "m"))[0], until=Stage.ORDER)
        assert takeoff.order is not None
        for line in takeoff.order.lines:
            if not line.labour:
                key = (line.delivery, line.item, line.unit)
                wanted[key] = wanted.get(key, 0.0) + line.total
    assert summed == pytest.approx(wanted)


def test_parquet_holds_what_csv_holds(estate: Path, done: Path, tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    take_many(Wanted(estate, tmp_path / "out", table="parquet"))
    rows = parquet.read_table(tmp_path / "out" / "houses.parquet").to_pylist()
    for row, text in zip(rows, table(done), strict=True):
        assert (row["house"], row["state"]) == (text["house"], text["state"])
        for name, decimals, _ in FIGURES:
            assert text[name] == ("" if row[name] is None else f"{row[name]:.{decimals}f}")


@pytest.mark.parametrize(
    ("wanted", "words"),
    [({"table": "xls"}, "csv or parquet"), ({"workers": -1}, "--workers -1"), ({"unit": "yd"}, "coordinates are in")],
)
def test_what_is_typed_wrongly_is_told(tmp_path: Path, estate: Path, wanted: dict[str, Any], words: str) -> None:
    with pytest.raises(UsageError, match=words):
        take_many(Wanted(estate, tmp_path / "out", **wanted))
    assert not (tmp_path / "out").exists()


def scheduler(address_file: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [
            sys.executable,
            "-m",
            "distributed.cli.dask_scheduler",
            "--host",
            "127.0.0.1",
            "--port",
            "0",
            "--no-dashboard",
            "--no-jupyter",
            "--scheduler-file",
            str(address_file),
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def worker(address_file: Path, folder: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [
            sys.executable,
            "-m",
            "distributed.cli.dask_worker",
            "--scheduler-file",
            str(address_file),
            "--nthreads",
            "1",
            "--no-nanny",
            "--no-dashboard",
            "--death-timeout",
            "20",
            "--local-directory",
            str(folder),
            "--memory-limit",
            "0",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers, each a process of its own, gone when the test is done."""
    pytest.importorskip("distributed")
    address_file = tmp_path / "scheduler.json"
    processes = [scheduler(address_file)]
    try:
        wait_for(address_file.exists)
        processes += [worker(address_file, tmp_path / f"worker{n}") for n in (1, 2)]
        yield json.loads(address_file.read_text())["address"], processes[1:]
    finally:
        for process in processes:
            process.kill()
            process.wait()


def test_a_cluster_with_a_worker_killed_gives_the_same_rows(
    cluster: tuple[str, list[subprocess.Popen[bytes]]], estate: Path, done: Path, tmp_path: Path
) -> None:
    address, workers = cluster
    out = tmp_path / "out"
    with subprocess.Popen(command(estate, "--out", out, "--cluster", address), stdout=subprocess.DEVNULL) as run:
        wait_for(lambda: list((out / PARTS).glob("*.open")) if (out / PARTS).exists() else [])
        workers[0].kill()
        assert run.wait(120) == 6
    assert (out / "houses.csv").read_bytes() == (done / "houses.csv").read_bytes()


def test_a_cluster_that_is_not_there_is_told(estate: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("takeoff.estate.crews._WAIT_S", 1)
    with pytest.raises(UsageError, match="no scheduler answers"):
        take_many(Wanted(estate, tmp_path / "out", cluster="tcp://127.0.0.1:9"))
