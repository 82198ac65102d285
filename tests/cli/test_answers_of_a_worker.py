"""What a process that holds a session answers, by hand, in this process: a session that notes what it was asked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from takeoff import session_worker
from takeoff.basics.errors import JobError
from takeoff.basics.superseding import Superseded
from takeoff.model.job.job import Job
from takeoff.pipeline import Stage
from takeoff.session import Session, TextJob
from takeoff.session_worker import Answer, Reply, Worker, _answers, _Wish


def house(lines: tuple[str, ...] | None = ("a",), stopped: bool = False, name: str = "whole") -> Any:
    order = SimpleNamespace(lines=lines) if lines is not None else None
    return SimpleNamespace(order=order, findings=(f"of {name}",), stopped=stopped, name=name)


@dataclass(slots=True)
class Asked:
    """A session by hand. `looks`: asks at each step whether a newer edit has come, as the true one does."""

    takeoff: Any = None
    stops: Exception | None = None
    asked: list[object] = field(default_factory=list)

    def _note(self, what: object, newer: Callable[[], bool]) -> None:
        self.asked.append(what)
        if self.stops:
            raise self.stops
        if newer():
            raise Superseded

    def quantities(self, job: object, newer: Callable[[], bool]) -> object:
        self._note(("figures", job), newer)
        return "figures"

    def edit(self, job: object, newer: Callable[[], bool]) -> object:
        self._note(("order", job), newer)
        return SimpleNamespace(takeoff=house(), changes="changes")

    def text_until(self, job: object, stage: Stage, newer: Callable[[], bool]) -> object:
        self._note((stage, job), newer)
        return house(None, True, stage.name)

    def edit_text(self, job: object, newer: Callable[[], bool]) -> object:
        self._note(("text", job), newer)
        return SimpleNamespace(takeoff=house(None), changes="changes")


def answers(wish: _Wish, session: Asked, newest: int = 0) -> list[Answer]:
    return list(_answers(wish, cast(Any, SimpleNamespace(value=newest)), cast(Session, session)))


def test_a_job_is_answered_by_its_figures_and_its_order() -> None:
    job, session = Job(job="a"), Asked()
    wanted = [
        Answer(7, Reply.MEASURED, figures=cast(Any, "figures")),
        Answer(
            7, Reply.ORDERED, changes=cast(Any, "changes"), lines=cast(Any, ("a",)), findings=cast(Any, ("of whole",))
        ),
    ]
    assert answers(_Wish(7, job), session, 7) == wanted
    assert session.asked == [("figures", job), ("order", job)]
    # an edit that was sent after it: nothing is worked on, or given up where it next looks up
    assert answers(_Wish(7, job), Asked(), 8) == [Answer(7, Reply.SUPERSEDED)]
    assert answers(_Wish(7, job), Asked(stops=Superseded()), 7) == [Answer(7, Reply.SUPERSEDED)]


def test_a_text_is_answered_by_its_shape_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(session_worker, "quantities_of", lambda takeoff: f"figures of {takeoff.name}")
    job, session = TextJob("job: a\n", Path("job.yaml")), Asked()
    shaped, measured, ordered = answers(_Wish(3, job), session)
    assert session.asked == [(Stage.SHAPE, job), (Stage.MEASURE, job), ("text", job)]
    assert (shaped.number, shaped.reply, shaped.findings, shaped.stopped) == (3, Reply.SHAPED, ("of SHAPE",), True)
    assert cast(Any, shaped.takeoff).name == "SHAPE"
    assert measured == Answer(3, Reply.MEASURED, figures=cast(Any, "figures of MEASURE"))
    assert (ordered.number, ordered.reply, ordered.changes, ordered.lines, ordered.findings, ordered.stopped) == (
        3, Reply.ORDERED, "changes", (), ("of whole",), False,
    )  # fmt: skip
    assert cast(Any, ordered.takeoff).name == "whole"


def test_what_was_taken_off_is_handed_out_and_written(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether a newer edit has come is nothing to a wish; nothing can be handed out before there is anything."""
    written: list[object] = []

    def write(takeoff: object, out: Path, only: str | None = None) -> object:
        written.append((takeoff, out, only))
        return SimpleNamespace(paths=[out / "a"])

    monkeypatch.setattr(session_worker, "write_files", write)
    done = house()
    assert answers(_Wish(4), Asked(done), 9) == [Answer(4, Reply.WHOLE, takeoff=done)]
    assert answers(_Wish(5, out=Path("o"), only="json"), Asked(done), 9) == [
        Answer(5, Reply.WRITTEN, paths=(Path("o/a"),))
    ]
    assert written == [(done, Path("o"), "json")]
    assert answers(_Wish(6), Asked()) == [Answer(6, Reply.REFUSED, faults=("no edit has been taken off yet.",))]


def test_faults_are_answers() -> None:
    job = Job(job="a")
    assert answers(_Wish(2, job), Asked(stops=JobError("one", "two"))) == [
        Answer(2, Reply.REFUSED, faults=("one", "two"))
    ]
    assert answers(_Wish(2, job), Asked(stops=KeyError("x"))) == [Answer(2, Reply.FAILED, faults=("KeyError: 'x'",))]


def test_each_wish_has_the_next_number() -> None:
    sent: list[_Wish] = []
    worker: Any = SimpleNamespace(_number=4, _send=sent.append)
    Worker.write(worker, "out", only="order")
    Worker.whole(worker)
    assert sent == [_Wish(5, out=Path("out"), only="order"), _Wish(5)]
