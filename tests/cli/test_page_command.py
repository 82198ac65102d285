"""The command that opens the page: what it says where it does not start. That it starts, serves and ends is seen in
tests/web/browser."""

from __future__ import annotations

import os
import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.cli import app
from takeoff.web.new_house import job_file
from takeoff.web.serve import free_port, job_held


def page(*arguments: object) -> BaseException | None:
    return CliRunner().invoke(app, ["page", "--no-browser", *map(str, arguments)]).exception


@pytest.fixture
def taken() -> Iterator[int]:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen(1)
        yield held.getsockname()[1]


def test_the_help_fits() -> None:
    done = CliRunner().invoke(app, ["page", "--help"], env={"COLUMNS": "80"})
    assert max(map(len, done.output.splitlines())) <= 80
    for option in ("[JOB]", "--port", "--no-browser", "--office"):
        assert option in done.output


def test_a_port_that_is_taken(tmp_path: Path, taken: int) -> None:
    told = page(tmp_path, "--port", taken)
    assert isinstance(told, UsageError)
    assert told.exit_code == 2
    assert f"port {taken} cannot be used" in str(told)
    assert "--port" in str(told)
    assert os.listdir(tmp_path) == []


def test_any_free_port_for_nought(taken: int) -> None:
    assert free_port(0) not in (0, taken)


def test_where_the_page_is_not_installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "takeoff.web.serve", raising=False)
    monkeypatch.setitem(sys.modules, "nicegui", None)
    told = page(tmp_path)
    assert isinstance(told, UsageError)
    assert told.exit_code == 2
    assert "pip install 'takeoff[page]'" in str(told)


def test_a_second_page_on_one_job_says_who_has_it(tmp_path: Path) -> None:
    job, link = tmp_path / "house" / "job.yaml", tmp_path / "link.yaml"
    link.symlink_to(job)
    with job_held(job):
        for other in (job, job.parent, link):
            with (
                pytest.raises(UsageError, match=f"open in another page .process {os.getpid()}."),
                job_held(job_file(other)[0]),
            ):
                pass
    with job_held(link):
        pass
    assert not job.parent.exists(), "a folder that nothing was put into is taken away again"


def test_a_job_that_is_no_text(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_bytes(b"\xff\xfe")
    assert isinstance(page(tmp_path), UnreadableFileError)


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    told = page(tmp_path / "file" / "house")
    assert isinstance(told, UsageError)
    assert "cannot be made" in str(told)


@pytest.mark.parametrize(
    ("typed", "due"),
    [(".", "job.yaml"), ("house", "house/job.yaml"), ("house/other.yml", "house/other.yml"), ("a.b", "a.b/job.yaml")],
)
def test_what_a_job_may_be_called(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: str, due: str) -> None:
    monkeypatch.chdir(tmp_path)
    assert job_file(Path(typed))[0] == tmp_path / due
