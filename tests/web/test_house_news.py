"""The house of a page tells what its worker said of the newest text alone, and outlives the worker."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from queue import SimpleQueue
from typing import Any

import pytest

from takeoff.basics.errors import TakeoffError
from takeoff.model.job_edits import Edit
from takeoff.session_worker import Answer, Reply
from takeoff.web import house as module
from takeoff.web.house import House, News


class Worker:
    """Stands for the process: takes edits, and says what the test puts in; None ends it."""

    made: list[Worker] = []  # noqa: RUF012

    def __init__(self, job: Any, base: Path) -> None:
        self.number, self.jobs, self.says = 1, [job], SimpleQueue[Answer | None]()
        Worker.made.append(self)

    def edit(self, job: Any) -> int:
        self.number += 1
        self.jobs.append(job)
        return self.number

    def write(self, out: Path, only: str | None) -> int:
        self.number += 1
        return self.number

    def answer(self) -> Answer:
        said = self.says.get()
        if said is None:
            raise TakeoffError("ended")
        return said

    def close(self) -> None:
        self.says.put(None)


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> House:
    Worker.made.clear()
    monkeypatch.setattr(module, "Worker", Worker)
    (tmp_path / "job.yaml").write_text("job: Hut\nroofs: []\n")
    return House(tmp_path / "job.yaml", "")


def heard(house: House, do: Callable[[list[News]], Any]) -> list[News]:
    """All news while `do` is done and the answers put in come through."""
    news: list[News] = []

    async def live() -> None:
        house.start(asyncio.get_running_loop())
        house.hear(news.append)
        do(news)
        for _ in range(200):
            await asyncio.sleep(0.005)
            if all(worker.says.empty() for worker in Worker.made):
                break
        await asyncio.sleep(0.05)
        house.close()

    asyncio.run(live())
    return news


def test_an_answer_to_an_older_text_is_never_shown(house: House) -> None:
    def do(_news: Any) -> None:
        house.edit(Edit(("job",), "Shed"), said="named")
        for number in (1, 1, 2):
            Worker.made[0].says.put(Answer(number, Reply.REFUSED, faults=(f"of {number}",)))

    assert heard(house, do) == [News.TEXT, News.REFUSED]
    assert house.faults == ("of 2",)
    assert house.tree["job"] == "Shed"


def test_what_was_right_stays_until_there_is_newer(house: House) -> None:
    def do(_news: Any) -> None:
        Worker.made[0].says.put(Answer(1, Reply.ORDERED))

    heard(house, do)
    assert house.current(News.ORDERED)
    house.edit(Edit(("job",), "Shed"), said="named")
    assert not house.current(News.ORDERED)
    house.undo()
    assert not house.current(News.ORDERED), "the same text again is asked for again"


def test_a_fault_of_the_program_is_called_one(house: House) -> None:
    heard(house, lambda _: Worker.made[0].says.put(Answer(1, Reply.FAILED, faults=("KeyError: 'x'",))))
    assert house.faults == ("a fault of the program itself, not of the job: KeyError: 'x'",)


def test_a_worker_that_ends_is_started_again_with_the_newest_text(house: House) -> None:
    def do(_news: Any) -> None:
        house.edit(Edit(("job",), "Shed"), said="named")
        Worker.made[0].says.put(None)

    assert heard(house, do) == [News.TEXT, News.TROUBLE]
    assert len(Worker.made) == 2
    assert "job: Shed" in Worker.made[1].jobs[0].text
    assert "started again" in house.trouble


def test_one_that_ends_at_every_start_is_left_until_the_text_is_another(house: House) -> None:
    async def live() -> None:
        house.start(asyncio.get_running_loop())
        for n in range(3):
            Worker.made[n].says.put(None)
            for _ in range(200):
                await asyncio.sleep(0.005)
                if len(Worker.made) > n + 1:
                    break
        assert house.stuck
        assert "step back" in house.trouble
        house.edit(Edit(("job",), "Shed"), said="named")
        assert not house.stuck
        Worker.made[-1].says.put(Answer(Worker.made[-1].number, Reply.REFUSED, faults=("x",)))
        for _ in range(200):
            await asyncio.sleep(0.005)
            if house.current(News.REFUSED):
                break
        assert house.faults == ("x",)
        house.close()

    asyncio.run(live())


def test_whoever_waits_for_files_is_told_when_the_worker_ends(house: House, tmp_path: Path) -> None:
    async def live() -> None:
        house.start(asyncio.get_running_loop())
        Worker.made[0].says.put(Answer(1, Reply.ORDERED))
        while not house.current(News.ORDERED):
            await asyncio.sleep(0.005)
        wished = asyncio.ensure_future(house.written(tmp_path / "out"))
        await asyncio.sleep(0.02)
        Worker.made[0].says.put(None)
        with pytest.raises(TakeoffError, match="ended by itself"):
            await wished
        house.close()

    asyncio.run(live())
