"""A warm session: only what an edit changed is worked out again, and nothing else of the result differs from a run."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

import takeoff
from takeoff.model.memory import Memory, recalled, recalled_plain
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import resolve_settings
from takeoff.session import Session, changed_job
from takeoff.session_worker import Answer, Reply, Worker
from takeoff.write.data.result_json import result_json

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
HIP = SAMPLES / "hip_12x8" / "job.yaml"
WALLED = SAMPLES / "l_house" / "job.yaml"


def worked(session: Session, change: dict[str, object]) -> Counter[str]:
    """What a change made the session work out, by kind."""
    before = Counter(session.memory.worked)
    session.change(change)
    return Counter(session.memory.worked) - before


@pytest.fixture(scope="module")
def walled() -> Session:
    return Session.of_file(WALLED)


def test_an_edit_of_what_is_only_printed_works_nothing_out(walled: Session) -> None:
    assert worked(walled, {"revision": "K"}) == Counter()
    assert walled.takeoff is not None
    assert walled.takeoff.job.revision == "K"


def test_an_opening_measures_its_wall_alone_and_cuts_what_lies_on_it(walled: Session) -> None:
    before = walled.takeoff
    found = worked(walled, {"walls.openings[1].width_mm": 1500.0})
    assert found["one wall"] == 1
    assert found["one roof"] == found["sheets at the mill"] == found["roof"] == 0
    assert walled.takeoff is not None
    assert before is not None
    assert before.order is not None
    assert 0 < found["cut"] < len(before.order.plans) / 2
    assert walled.takeoff.roofing.sheets[0] is before.roofing.sheets[0]


def test_what_lies_on_the_site_makes_the_order_anew_and_nothing_that_is_measured(walled: Session) -> None:
    assert walled.takeoff is not None
    assert walled.takeoff.order is not None
    item = walled.takeoff.order.plans[0].item
    found = worked(walled, {"on_hand": [{"item": item, "length_mm": 5400, "count": 1}]})
    assert found["order"] == found["bounds"] == 1
    assert found["roofing"] == found["rainwater"] == found["cladding"] == found["items"] == 0
    assert sum(bar.stock_mm for bar in walled.takeoff.order.plans[0].site_bars) == 5400
    assert worked(walled, {"on_hand": None}) == Counter()


def test_what_changed_is_named(walled: Session) -> None:
    changes = walled.change({"walls.openings[1].width_mm": 1600.0}).changes
    assert (changes.roofs, changes.planes, changes.walls, changes.gutters) == ((), (), (1,), ())
    assert {line.item for line in changes.lines} & {"bevel_187"}
    assert all(line.before != line.now for line in changes.lines)


def test_an_edit_taken_back_is_remembered_whole(walled: Session) -> None:
    walled.change({"roofs[1].pitch_deg": 25.0})
    first = result_json(walled.change({"revision": "L"}).takeoff)
    walled.change({"roofs[1].pitch_deg": 31.0})
    assert worked(walled, {"roofs[1].pitch_deg": 25.0}) == Counter()
    assert walled.takeoff is not None
    assert result_json(walled.takeoff) == first


def test_settings_that_were_read_are_noted_where_the_work_is_remembered(walled: Session) -> None:
    again = walled.change({"revision": "M"}).takeoff
    assert walled.job is not None
    assert again.used == takeoff.run(walled.job, WALLED.parent).used


def test_a_setting_that_a_stage_did_not_read_leaves_it_remembered(walled: Session) -> None:
    found = worked(walled, {"settings": {"nail_spare_pct": 17.0}})
    assert found["cladding"] == 1
    assert found["roofing"] == found["rainwater"] == found["one wall"] == 0


def test_a_refused_edit_leaves_the_session_as_it_was() -> None:
    session = Session.of_file(HIP)
    before = session.takeoff
    with pytest.raises(takeoff.JobError):
        session.change({"roofs[1].covering": {"profile": "no_such_profile"}})
    assert session.takeoff is before
    assert session.change({"revision": "B"}).takeoff.order is not None


def test_an_edit_is_given_up_for_a_newer_one_and_what_was_worked_out_stays() -> None:
    session = Session.of_file(HIP)
    before, asked = session.takeoff, []

    def newer() -> bool:
        asked.append(1)
        return len(asked) > 12

    assert session.job is not None
    job = changed_job(session.job, {"roofs[1].pitch_deg": 33.0})
    with pytest.raises(takeoff.Superseded):
        session.edit(job, newer)
    assert session.takeoff is before
    kept = Counter(session.memory.worked)
    assert result_json(session.edit(job).takeoff) == result_json(takeoff.run(job, HIP.parent))
    again = Counter(session.memory.worked) - kept
    assert again["roof"] == 0
    assert again["cut"] > 0


def test_memory_is_bounded_and_forgets_the_longest_unused() -> None:
    session = Session(HIP.parent, kept=10)
    job = takeoff.read_job(HIP)
    for pitch in (20.0, 30.0, 20.0):
        done = session.edit(changed_job(job, {"roofs[1].pitch_deg": pitch})).takeoff
        assert len(session.memory) <= 10
    assert session.job is not None
    assert result_json(done) == result_json(takeoff.run(session.job, HIP.parent))


def test_work_under_other_settings_is_other_work() -> None:
    job = takeoff.read_job(HIP)
    settings = resolve_settings(job)
    other = resolve_settings(changed_job(job, {"settings": {"spare_sheets": 3}}))
    memory = Memory()
    with memory.used():
        counts = [recalled("spares", (), s, lambda asked: asked.number("spare_sheets")) for s in (settings, other) * 2]
        watched = other.watched()
        recalled("spares", (), watched, lambda asked: asked.number("spare_sheets"))
    assert counts == [settings.number("spare_sheets"), 3.0] * 2
    assert memory.worked == {"spares": 2}
    assert watched.used == ("spare_sheets",)


def test_nothing_is_remembered_where_no_memory_is_in_use() -> None:
    done: list[int] = []
    for _ in range(2):
        recalled_plain("count", (1,), lambda: done.append(1))
    assert done == [1, 1]


def test_lists_mappings_and_parts_of_a_job_are_inputs_by_what_they_hold() -> None:
    memory = Memory()
    job = takeoff.read_job(HIP)
    board = next(iter(load_catalogue().boards.values()))
    with memory.used():
        for inputs in (
            (job, [1.0], {"a": (1.0, [2.0])}, board),
            (takeoff.read_job(HIP), [1.0], {"a": (1.0, [2.0])}, board),
        ):
            recalled_plain("x", inputs, lambda: 1)
        recalled_plain("x", (changed_job(job, {"revision": "Z"}), [1.0], {"a": (1.0, [2.0])}, board), lambda: 2)
    assert memory.worked == {"x": 2}


@pytest.mark.parametrize(
    "change",
    [
        {"roofs[9].pitch_deg": 25.0},
        {"roofs[0].pitch_deg": 25.0},
        {"roofs[2]": None},
        {"roofs[0]": None},
        {"roofs[1].pitsch": 25.0},
        {"roofs[1].pitch_deg": "steep"},
        {"roofs..": 1},
        {"": 1},
        {"job.name": "x"},
    ],
)
def test_a_change_that_cannot_be_is_refused_with_its_place(change: dict[str, object]) -> None:
    with pytest.raises(takeoff.UsageError):
        changed_job(takeoff.read_job(HIP), change)


def test_places_that_the_job_leaves_out_can_be_given_and_taken_out_again() -> None:
    job = takeoff.read_job(HIP)
    gable = changed_job(job, {"roofs[1].edges[2].kind": "gable"})
    assert gable.roofs[0].edges[2].kind == "gable"
    assert changed_job(gable, {"roofs[1].edges": None}) == job


def test_what_stands_in_a_list_is_put_in_its_place_or_taken_out() -> None:
    job = takeoff.read_job(HIP)
    first, _, *others = job.roofs[0].wall_line or job.roofs[0].outline
    key = "wall_line" if job.roofs[0].wall_line else "outline"
    moved = changed_job(job, {f"roofs[1].{key}[2]": [12500.0, 0.0]}).roofs[0]
    assert [tuple(point) for point in getattr(moved, key)] == [tuple(first), (12500.0, 0.0), *map(tuple, others)]
    short = changed_job(job, {f"roofs[1].{key}[2]": None}).roofs[0]
    assert [tuple(point) for point in getattr(short, key)] == [tuple(first), *map(tuple, others)]


def answers(worker: Worker, number: int) -> list[Answer]:
    """Answers up to the last one to a number."""
    found: list[Answer] = []
    while not found or found[-1].number < number or found[-1].reply is Reply.MEASURED:
        answer = worker.answer(60.0)
        assert answer is not None
        found.append(answer)
    return found


def test_a_worker_answers_gives_up_refuses_and_writes(tmp_path: Path) -> None:
    job = takeoff.read_job(WALLED)
    with Worker(job, WALLED.parent) as worker:
        measured, ordered = answers(worker, 1)
        assert (measured.reply, ordered.reply) == (Reply.MEASURED, Reply.ORDERED)
        assert measured.figures == takeoff.quantities(job, WALLED.parent)
        full = takeoff.run(job, WALLED.parent)
        assert full.order is not None
        assert ordered.lines == full.order.lines
        for pitch in (21.0, 22.0, 23.0):
            last = worker.change({"roofs[1].pitch_deg": pitch})
        told = answers(worker, last)
        assert [answer.reply for answer in told if answer.number < last and answer.reply is not Reply.MEASURED] == [
            Reply.SUPERSEDED
        ] * 2
        assert told[-1].reply is Reply.ORDERED
        assert told[-1].changes is not None
        assert told[-1].changes.roofs == ("quarters",)
        refused = answers(worker, worker.change({"roofs[1].covering": {"profile": "no_such_profile"}}))[-1]
        assert refused.reply is Reply.REFUSED
        assert "no_such_profile" in refused.faults[0]
        written = answers(worker, worker.write(tmp_path / "out"))[-1]
        assert written.reply is Reply.WRITTEN
        assert (tmp_path / "out" / "order_sheet.xlsx").is_file()
        whole = answers(worker, worker.whole())[-1].takeoff
        assert whole is not None
        assert whole.order is not None
        assert whole.order.lines == told[-1].lines
        process = worker._process
    assert process.exitcode == 0
    with pytest.raises(takeoff.TakeoffError, match="has ended"):
        worker.edit(job)
