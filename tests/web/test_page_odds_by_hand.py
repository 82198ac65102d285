"""What else the page decides: choices of a file, counted walls, new houses, news of a worker that ends, hooks of the
guard; whole results by hand."""

from __future__ import annotations

import asyncio
import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

pytest.importorskip("nicegui")

from takeoff.basics.errors import TakeoffError, UnreadableFileError
from takeoff.model.drawings import RawPath
from takeoff.model.job_edits import Edit
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.session import TextJob
from takeoff.web import guard, house, opened_files, plan_edits, under_plan, wall_edits
from takeoff.web.new_house import job_file
from takeoff.web.opened_files import ShapeChoice, choices_of
from takeoff.web.text_lines import DiffLine, changed_lines

# ---- choices of a file


def body(number: int, line: str = "", name: str = "", part: str = "") -> Any:
    return SimpleNamespace(number=number, line=line, name=name, part=part, size_mm=(12000.0, 8000.0, 4321.0))


def ring(number: int, line: str = "") -> Any:
    return SimpleNamespace(
        number=number, line=line, layer="WALLS", name="a", length_mm=12340.0, width_mm=5678.0, points_mm=(0,) * 5
    )


def looked(**more: Any) -> Any:
    return SimpleNamespace(**{"file": "plan.dxf", "rings": (), "bodies": (), "lines": ()} | more)


def test_a_ring_or_a_body_that_has_a_line_is_a_choice() -> None:
    found = looked(
        rings=(ring(1, "shape: {ring: 1}"), ring(2)), bodies=(body(1, "shape: {part: x}"),), lines=("shape: {a: 1}",)
    )
    assert choices_of(found) == (ShapeChoice("WALLS 1 a: 12.34 x 5.68 m, 5 corners", {"ring": 1}, True),)
    found = looked(bodies=(body(1, "mesh: {part: x}", "hall", "left"), body(2, "shape: {part: y}"), body(3)))
    assert choices_of(found) == (
        ShapeChoice("hall left: 12.00 x 8.00 m, 4.32 m high", {"part": "x"}, False),
        ShapeChoice("body 2: 12.00 x 8.00 m, 4.32 m high", {"part": "y"}, False),
    )


def test_a_file_of_one_line_is_one_choice_and_of_several_bodies_all_together() -> None:
    for bodies, words in (((), "plan.dxf"), ((body(1),), "plan.dxf"), ((body(1), body(2)), "all bodies together")):
        assert choices_of(looked(bodies=bodies, lines=("shape: {a: 1}",))) == (ShapeChoice(words, {"a": 1}, False),)
    assert choices_of(looked(rings=(ring(1),), lines=("shape: {a: 1}", "shape: none", "b: 2"))) == (
        ShapeChoice("plan.dxf", {"a": 1}, True),
    )


def test_two_hundred_choices_are_shown() -> None:
    """Of our own choosing."""
    assert opened_files.MOST_CHOICES == 200
    assert len(choices_of(looked(rings=tuple(ring(n, f"shape: {{ring: {n}}}") for n in range(201))))) == 200


# ---- walls counted


def test_roofs_without_a_wall_line_have_no_walls() -> None:
    """An outline, one taken from a file, then a wall line: its walls are 1 to 4, with three drawn on that of the file 4 to
    7."""
    box = [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    tree = {
        "roofs": [
            {"name": "a", "outline": box},
            {"name": "b", "shape": {"file": "x.dxf"}},
            {"name": "c", "wall_line": box},
        ],
        "walls": {},
    }
    assert [plan_edits.wall_of(tree, roof, 1) for roof in range(4)] == [0, 0, 1, 0]
    assert [plan_edits.wall_of(tree, 2, edge) for edge in (0, 1, 4, 5)] == [0, 1, 4, 0]
    assert [plan_edits.edge_of_wall(tree, wall) for wall in (0, 1, 4, 5)] == [None, (2, 1), (2, 4), None]
    assert [plan_edits.edge_of_wall(tree, wall, {"b": 3}) for wall in (3, 4)] == [(1, 3), (2, 1)]
    tree["walls"] = {"on_concrete": [4, 5]}
    new = {"name": "d", "wall_line": box}
    for drawn, numbers in ((None, [4, 9]), ({"b": 3}, None)):
        edits = plan_edits.roof_added(tree, new, drawn)
        assert edits[0] == Edit(("roofs", 3), new)
        assert [edit.value for edit in edits[1:]] == ([numbers] if numbers else [])


def test_what_changed_is_shown_with_a_line_around() -> None:
    assert changed_lines("a\nb\nc\nd\ne", "a\nb\nX\nd\ne") == (
        DiffLine(" ", 2, "b"), DiffLine("-", 3, "c"), DiffLine("+", 3, "X"), DiffLine(" ", 4, "d"),
    )  # fmt: skip


# ---- new houses and workers


def test_a_folder_or_a_name_has_its_job_in_it(tmp_path: Path) -> None:
    (tmp_path / "made.yaml").mkdir()
    for given, path in (
        (tmp_path, "job.yaml"), (tmp_path / "hut", "hut/job.yaml"), (tmp_path / "hut.yaml", "hut.yaml"),
        (tmp_path / "hut.yml", "hut.yml"), (tmp_path / "made.yaml", "made.yaml/job.yaml"),
    ):  # fmt: skip
        found, text = job_file(given)
        assert found == tmp_path / path
        said = read_yaml(text).value
        assert (said["job"], str(said["date"])) == ("New house", datetime.date.today().isoformat())


class Worker:
    """Takes edits and says nothing."""

    made: list[Worker] = []  # noqa: RUF012

    def __init__(self, job: Any, base: Path) -> None:
        self.first, self.edits, self.wrote = job, 0, [base]
        Worker.made.append(self)

    def edit(self, job: Any) -> int:
        self.edits += 1
        if self.edits > 2:
            raise TakeoffError("ended")
        return 40 + self.edits

    def write(self, out: Path, only: str | None) -> int:
        self.wrote.append((out, only))  # type: ignore[arg-type]
        raise TakeoffError("ended")

    def close(self) -> None:
        pass


@pytest.fixture
def held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    Worker.made.clear()
    monkeypatch.setattr(house, "Worker", Worker)
    (tmp_path / "job.yaml").write_text("job: Hut\nroofs: []\n")
    return house.House(tmp_path / "job.yaml", "")


def test_each_edit_is_a_version_and_asked_for_by_its_number(held: Any) -> None:
    before = held.version
    for n, number in ((1, 41), (2, 42), (3, 0)):
        held.edit(Edit(("job",), f"Shed {n}"), said="named")
        assert (held.version, held._number) == (before + n, number)


def test_a_worker_that_ends_three_times_at_one_text_is_given_none(held: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(house.House, "start", lambda *_: None)
    held._loop = object()
    ended = (
        "The process that works the house out has ended by itself, a fault of the program; nothing you drew is lost."
    )
    for n in (1, 2, 3):
        held._died()
        last = Worker.made[-1].first
        if n < 3:
            assert (held.trouble, held._number) == (f"{ended} It was started again.", 1)
            assert last.text == "job: Hut\nroofs: []\n"
        else:
            assert (
                held.trouble == f"{ended} It ended so 3 times at this text: step back, or change what you typed last."
            )
            assert held._number == 0
            assert last == TextJob("job: none\n", Path("job.yaml"))
    held.edit(Edit(("job",), "Shed"), said="named")
    held._died()
    assert held.trouble == f"{ended} It was started again."
    assert Worker.made[-1].wrote == [held.copy.path.parent]


def test_files_are_asked_of_the_worker_with_what_is_wanted(held: Any, tmp_path: Path) -> None:
    held.current = lambda news: True
    with pytest.raises(TakeoffError, match="ended by itself"):
        asyncio.run(held.written(tmp_path / "out", "order"))
    assert Worker.made[-1].wrote[1:] == [(tmp_path / "out", "order")]


# ---- the guard


@pytest.mark.parametrize(
    ("sizes", "taken"), [((600, 500), True), ((600, 501), False), ((1100,), True), ((1101,), False)]
)
def test_what_comes_in_is_taken_up_to_its_bound(
    sizes: tuple[int, ...], taken: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """1000 bytes and room for 100."""
    monkeypatch.setattr(guard, "MOST_BYTES", 1000)
    monkeypatch.setattr(guard, "_ROOM", 100)

    async def all_of() -> int:
        parts = iter([*({"type": "http.request", "body": b"x" * size} for size in sizes), {"type": "http.request"}])

        async def receive() -> Any:
            return next(parts)

        received = guard._bounded({}, receive)
        return sum([len((await received()).get("body", b"")) for _ in (*sizes, 0)])

    if taken:
        assert asyncio.run(all_of()) == sum(sizes)
    else:
        with pytest.raises(guard.TooLargeError):
            asyncio.run(all_of())


@pytest.mark.parametrize("kind", ["http", "websocket"])
def test_a_refusal_is_said_in_words_or_by_its_code(kind: str) -> None:
    """1008: "policy violation" (RFC 6455, 7.4.1)."""
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    asyncio.run(guard._refuse({"type": kind}, send, 413, b"too large"))
    assert sent == [{"type": "websocket.close", "code": 1008}] if kind == "websocket" else sent == [
        {
            "type": "http.response.start", "status": 413,
            "headers": [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", b"9")],
        },
        {"type": "http.response.body", "body": b"too large"},
    ]  # fmt: skip


def test_an_answer_without_headers_gets_those_of_the_guard() -> None:
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    answer = guard._Answer(send, 1234)
    asyncio.run(answer({"type": "http.response.start", "status": 200}))
    (start,) = sent
    assert [name for name, _ in start["headers"]] == [
        b"content-security-policy", b"x-content-type-options", b"x-frame-options", b"referrer-policy",
        b"cross-origin-resource-policy", b"cross-origin-opener-policy",
    ]  # fmt: skip
    assert answer.begun


# ---- left over


def test_a_roof_taken_out_after_one_from_a_file() -> None:
    """Its walls are 1 to 4 where nothing is known of the file's."""
    box = [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    tree = {
        "roofs": [{"name": "b", "shape": {"file": "x.dxf"}}, {"name": "c", "wall_line": box}],
        "walls": {"on_concrete": [2, 5]},
    }
    edits = {edit.path: edit.value for edit in plan_edits.roof_gone(tree, 1)}
    assert edits[("walls", "on_concrete")] == [1]


def test_a_storey_is_as_high_as_the_walls_however_low_and_the_first_stands_on_the_floor() -> None:
    assert wall_edits.storey_added({"walls": {"height_mm": 0.5}}, "main") == Edit(
        ("walls", "storeys", 0), {"roof": "main", "floor_mm": 0, "height_mm": 0.5}
    )


def test_the_first_name_in_a_fault_of_a_drawing_is_the_files_own(monkeypatch: pytest.MonkeyPatch) -> None:
    def read(path: Path) -> Any:
        raise UnreadableFileError(f"{path.name}: {path.name} holds no line")

    monkeypatch.setattr(under_plan, "read_drawing", read)
    with pytest.raises(UnreadableFileError) as told:
        under_plan.read_under("north side.dxf", b"")
    assert told.value.faults == ("north side.dxf: plan.dxf holds no line",)


def test_the_top_of_an_arc_wherever_it_lies() -> None:
    """From (2, 3) to (6, 11), bulge 0.5: the middle (4, 7) and a quarter of (8, -4) to the right."""
    path = RawPath("0", ((2.0, 3.0), (6.0, 11.0)), False, (0.5,))
    assert under_plan._tops(path) == [(6.0, 6.0)]
