"""What is taken away from the page: the same bytes as the command line writes of the saved job file, by kind."""

from __future__ import annotations

import asyncio
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

import pytest

from takeoff.basics.errors import UsageError
from takeoff.pipeline import run_file, write_files
from takeoff.web.downloads import DOWNLOADS, Download, packed, taken_away, why_not
from takeoff.web.house import House, News
from takeoff.write.files import KINDS, kinds_of

SHED = """
job: Shed
date: 2026-03-02
roofs:
  - {name: main, outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], fascia_height_mm: 2400, pitch_deg: 20}
"""


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A house whose order is there, and its job file saved."""
    path = tmp_path_factory.mktemp("shed") / "job.yaml"
    path.write_text(SHED, encoding="utf-8")
    house = House(path, "")
    yield house
    house.close()


async def ordered(house: House) -> None:
    """Wait until the order of the newest text is there."""
    house.start(asyncio.get_running_loop())
    for _ in range(1200):
        if house.current(News.ORDERED) or house.current(News.REFUSED):
            return
        await asyncio.sleep(0.05)
    raise AssertionError("no order came")


def test_each_download_has_the_bytes_of_the_command_line(shed: House, tmp_path: Path) -> None:
    """Those that this shed has, each against a fresh run of the saved file with the same word of --only."""

    async def taken() -> dict[str, tuple[str, bytes]]:
        assert why_not(shed) == "The order of the newest edit is not there yet."
        with pytest.raises(UsageError, match="not there yet"):
            await taken_away(shed, "workbook")
        await ordered(shed)
        assert why_not(shed) == ""
        return {key: await taken_away(shed, key) for key in ("workbook", "orders", "json")}

    found = asyncio.run(taken())
    takeoff = run_file(shed.copy.path)
    for key, (name, content) in found.items():
        only = next(each.only for each in DOWNLOADS if each.key == key)
        write_files(takeoff, tmp_path / key, only=only)
        if not name.endswith(".zip"):
            assert content == (tmp_path / key / name).read_bytes(), key
            continue
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            assert archive.namelist() == sorted(path.name for path in (tmp_path / key).glob("*.pdf"))
            for inside in archive.namelist():
                assert archive.read(inside) == (tmp_path / key / inside).read_bytes(), inside


def test_every_kind_of_output_can_be_taken_away() -> None:
    """Each row of the index of outputs is in a download of its own or with its like."""
    for kind in KINDS:
        name = kind.name.replace("*", "x")
        own = [
            each for each in DOWNLOADS if each.key != "all" and any(PurePosixPath(name).match(p) for p in each.names)
        ]
        assert own, kind.name
    assert "all" in [each.key for each in DOWNLOADS]


@pytest.mark.parametrize("wanted", DOWNLOADS, ids=lambda each: each.key)
def test_what_a_download_asks_for_is_a_word_of_the_command_line(wanted: Download) -> None:
    if not wanted.lacks:
        assert kinds_of(wanted.only)


def test_a_download_that_is_none_is_refused(shed: House) -> None:
    with pytest.raises(UsageError, match="there is no download"):
        asyncio.run(taken_away(shed, "../job.yaml"))


def test_a_house_without_walls_has_no_paper_of_walls(tmp_path: Path) -> None:
    (tmp_path / "takeoff.json").write_text("{}")
    walls = next(each for each in DOWNLOADS if each.key == "walls")
    with pytest.raises(UsageError, match="this house has none"):
        packed(tmp_path, walls)


def test_the_same_files_give_the_same_zip(tmp_path: Path) -> None:
    for name in ("b.dxf", "a.dxf", "c.svg"):
        (tmp_path / name).write_text(name)
    dxf = next(each for each in DOWNLOADS if each.key == "dxf")
    name, first = packed(tmp_path, dxf)
    (tmp_path / "a.dxf").touch()
    assert (name, first) == packed(tmp_path, dxf)
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert archive.namelist() == ["a.dxf", "b.dxf"]
