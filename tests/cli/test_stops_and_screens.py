"""Told to stop, killed, run twice at once, printed where nothing can be printed: the exit and the folder tell the truth."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

HOUSE = """\
job: {name}
roofs:
  - wall_line: [[0, 0], [{long}, 0], [{long}, 6000], [0, 6000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2450
    pitch_deg: 25
"""


def job(folder: Path, name: str = "Test house", long: int = 9000) -> Path:
    path = folder / f"job_{long}.yaml"
    path.write_text(HOUSE.format(name=name, long=long), encoding="utf-8")
    return path


def command(*arguments: str | Path) -> list[str]:
    return [sys.executable, "-m", "takeoff", *map(str, arguments)]


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} if folder.exists() else set()


def is_whole(folder: Path) -> bool:
    done = subprocess.run(command("verify", folder), capture_output=True, text=True, check=False)
    assert done.returncode in (0, 4), done.stderr
    return done.returncode == 0


def wait_until_caught(pid: int, number: int) -> None:
    """Until the process has its own way with that signal: before that it is the system's."""
    until = time.monotonic() + 60
    while time.monotonic() < until:
        caught = Path(f"/proc/{pid}/status").read_text(encoding="ascii").split("SigCgt:")[1].split()[0]
        if int(caught, 16) >> (number - 1) & 1 and (
            number != signal.SIGINT or int(caught, 16) >> (signal.SIGTERM - 1) & 1
        ):
            return
        time.sleep(0.01)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
def test_told_to_stop_while_it_works(tmp_path: Path, number: int) -> None:
    long_house = job(tmp_path, long=60_000)
    running = subprocess.Popen(
        command("run", long_house, "--out", tmp_path / "out"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(
            number, signal.SIG_DFL
        ),  # heard, also where whoever started the tests ignores it
    )
    wait_until_caught(running.pid, number)
    running.send_signal(number)
    _, said = running.communicate(timeout=30)
    assert running.returncode == 128 + number
    assert "stopped; nothing was written" in said
    assert "Traceback" not in said
    assert names(tmp_path / "out") == set()


def test_a_signal_during_the_exchange_comes_after_it(tmp_path: Path) -> None:
    """The process tells itself to stop in the middle of the exchange: the set is written, and the message says so."""
    code = (
        "import os, signal, sys; from takeoff.write.folder import swap; from takeoff.write import atomic\n"
        "real = atomic.exchange\n"
        "def told(disk, out, plan):\n"
        "    os.kill(os.getpid(), signal.SIGTERM); real(disk, out, plan)\n"
        "atomic.exchange = told\n"
        f"sys.argv = ['takeoff', 'run', {str(job(tmp_path))!r}, '--out', {str(tmp_path / 'out')!r}]\n"
        "from takeoff.cli import main; main()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 128 + signal.SIGTERM
    assert "were written before that and are whole" in done.stderr
    assert is_whole(tmp_path / "out")


def test_killed_for_good_while_it_writes(tmp_path: Path) -> None:
    out = tmp_path / "out"
    jobs = [job(tmp_path, long=9000), job(tmp_path, long=15_000)]
    subprocess.run(command("run", jobs[0], "--out", out), check=True, capture_output=True)
    chance = random.Random(5)
    for turn in range(6):
        running = subprocess.Popen(command("run", jobs[turn % 2], "--out", out), stdout=subprocess.DEVNULL)
        deadline = time.monotonic() + 20
        while not (out / ".takeoff-work").exists() and running.poll() is None and time.monotonic() < deadline:
            time.sleep(0.001)
        time.sleep(chance.random() * 0.05)
        running.kill()
        running.wait()
    subprocess.run(command("run", jobs[0], "--out", out), check=True, capture_output=True)
    assert is_whole(out)
    assert not [name for name in names(out) if name.startswith(".") or "kept" in name]


def test_two_runs_into_one_folder_end_in_one_whole_set(tmp_path: Path) -> None:
    jobs = [job(tmp_path, long=9000), job(tmp_path, long=15_000)]
    for turn in range(3):
        out = tmp_path / f"out{turn}"
        running = [subprocess.Popen(command("run", path, "--out", out), stdout=subprocess.DEVNULL) for path in jobs]
        assert {process.wait(timeout=60) for process in running} <= {0, 2}
        assert is_whole(out)
        assert not [name for name in names(out) if name.startswith(".") or "kept" in name]


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_a_name_that_the_screen_cannot_show_is_written_all_the_same(tmp_path: Path, encoding: str) -> None:
    done = subprocess.run(
        command("run", job(tmp_path, "Te Whare Wānanga 楼 🏠"), "--out", tmp_path / "out"),
        env={**os.environ, "PYTHONIOENCODING": encoding, "LC_ALL": "C"},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert b"files in" in done.stdout
    assert is_whole(tmp_path / "out")


def test_a_screen_that_is_full_changes_neither_exit_nor_files(tmp_path: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            command("run", job(tmp_path), "--out", tmp_path / "out"),
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 0, done.stderr
    assert "the screen cannot be written to" in done.stderr
    assert "are written and whole" in done.stderr
    assert is_whole(tmp_path / "out")


@pytest.mark.parametrize(
    "arguments", [("run", "{job}", "--out", "{out}"), ("explain", "{job}", "P1"), ("new", "{out}")]
)
def test_a_reader_that_goes_away_is_let_go(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    places = {"job": job(tmp_path), "out": tmp_path / "out"}
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        command(*(part.format(**places) for part in arguments)),
        stdout=write,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, "")


def test_closed_streams(tmp_path: Path) -> None:
    path, out = job(tmp_path), tmp_path / "out"
    line = f'"{sys.executable}" -m takeoff run "{path}" --out "{out}" >&- 2>&- <&-'
    assert subprocess.run(["sh", "-c", line], check=False).returncode == 0
    assert is_whole(out)


def test_what_people_wrote_is_told_and_kept(tmp_path: Path) -> None:
    path, out = job(tmp_path), tmp_path / "out"
    subprocess.run(command("run", path, "--out", out), check=True, capture_output=True)
    filled = (out / "site_measure.csv").read_bytes().replace(b",,", b",4321,")
    (out / "site_measure.csv").write_bytes(filled)
    done = subprocess.run(command("run", path, "--out", out), capture_output=True, text=True, check=False)
    assert done.returncode == 0
    told = " ".join(done.stdout.split())  # a sentence is wrapped to the width of the screen
    assert (
        "site_measure.csv had been changed since it was written: what was in it is now site_measure.csv.kept-1" in told
    )
    assert (out / "site_measure.csv.kept-1").read_bytes() == filled
    assert (out / "site_measure.csv").read_bytes() != filled
