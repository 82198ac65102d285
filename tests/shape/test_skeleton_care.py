"""The engine's several ways to one roof agree (windowed and not, floats and more digits), and its own check sees faults."""

from __future__ import annotations

from math import cos, pi, sin, sqrt
from random import Random

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton import check, ladder, setup
from takeoff.shape.skeleton.prepare import prepare
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep, Skeleton
from takeoff.shape.skeleton.solve import solve

Ring = list[tuple[float, float]]


def comb(teeth: int) -> Ring:
    """A comb: every tooth closes at the same instant."""
    ring = [(0.0, 0.0), (2000.0 * teeth, 0.0)]
    for k in range(teeth, 0, -1):
        x = 2000.0 * k
        ring += [(x, 6000.0), (x - 1000.0, 6000.0), (x - 1000.0, 3000.0), (x - 2000.0, 3000.0)]
    return ring


def wheel(corners: int, seed: int) -> Ring:
    """A ragged wheel of many reflex corners."""
    rng = Random(seed)
    turns = [2.0 * pi * (k + 0.3 * rng.random()) / corners for k in range(corners)]
    return [(r * cos(a), r * sin(a)) for a in turns for r in (rng.uniform(20e3, 40e3),)]


def mixed(count: int, seed: int) -> list[EdgeProfile]:
    """Rises of several kinds."""
    rng = Random(seed)
    out = []
    for _ in range(count):
        pitch = rng.choice((20.0, 30.0, 45.0, 90.0))
        knee = (RiseStep(900.0, 60.0), RiseStep(None, 20.0))
        out.append(EdgeProfile(rng.choice((0.0, 0.0, 500.0)), knee if rng.random() < 0.2 else (RiseStep(None, pitch),)))
    return out


CASES = [
    ([comb(4)], [EdgeProfile(0.0, (RiseStep(None, 30.0),))] * 18),
    ([wheel(40, 1)], mixed(40, 2)),
    ([wheel(260, 3)], mixed(260, 4)),
    ([comb(60)], mixed(242, 5)),
]


def by_edge(roof: Skeleton) -> dict[int, float]:
    """Plan areas [m2]."""
    out: dict[int, float] = {}
    for face in roof.faces:
        out[face.edge] = out.get(face.edge, 0.0) + face.plan_area / 1e6
    return out


def test_windows_of_cells_miss_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    for rings, profiles in CASES:
        monkeypatch.setattr(setup, "LARGE", 1)
        windowed = by_edge(solve(rings, profiles))
        monkeypatch.setattr(setup, "LARGE", 10**6)
        assert windowed == pytest.approx(by_edge(solve(rings, profiles)), abs=1e-6)


def test_a_full_grid_is_opened_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    rings, profiles = CASES[2]
    due = by_edge(solve(rings, profiles))
    for room in (1, 12, 30):
        monkeypatch.setattr(setup, "ENTRIES_A_VERTEX", room)
        assert by_edge(solve(rings, profiles)) == pytest.approx(due, abs=1e-6)


@pytest.mark.parametrize("rung", range(1, len(ladder.RUNGS)))
def test_every_rung_of_the_ladder_gives_the_same_roof(rung: int, monkeypatch: pytest.MonkeyPatch) -> None:
    rings, profiles = CASES[1]
    due = by_edge(solve(rings, profiles))
    monkeypatch.setattr(ladder, "RUNGS", ladder.RUNGS[rung : rung + 1])
    assert by_edge(solve(rings, profiles)) == pytest.approx(due, abs=1e-6)


def test_too_little_room_is_asked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    rings, profiles = CASES[1]
    due = by_edge(solve(rings, profiles))
    given: list[int] = []
    set_up = ladder.set_up

    def tight(*args: object) -> setup.Setup:
        room = args[4]
        assert isinstance(room, int)
        given.append(room)
        return set_up(*args[:4], room // 5 if len(given) == 1 else room, *args[5:])  # type: ignore[arg-type]

    monkeypatch.setattr(ladder, "set_up", tight)
    assert by_edge(solve(rings, profiles)) == due
    assert len(given) == 2


def test_no_roof_leaves_that_fails_its_check(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ladder, "check", lambda *_: "made to fail")
    with pytest.raises(ShapeError, match=r"No sound roof was found over edges 1 to 18 \(made to fail\)"):
        solve(*CASES[0])


def solution() -> tuple[object, ladder.Solution]:
    """A sound run to spoil."""
    plan = prepare([[(0.0, 0.0), (9e3, 0.0), (9e3, 6e3), (0.0, 6e3)]], [EdgeProfile(0.0, (RiseStep(None, 40.0),))] * 4)
    outcome = ladder.attempt(plan, float, sqrt, 1e-11)
    assert isinstance(outcome, ladder.Solution)
    assert check.check(plan, outcome) == ""
    return plan, outcome


def test_the_check_sees_a_node_moved_in_plan_or_height() -> None:
    for axis in range(3):
        plan, run = solution()
        top = max(range(len(run.nodes)), key=lambda i: run.nodes[i][2])
        spoilt = list(run.nodes[top])
        spoilt[axis] += 1e-6
        run.nodes[top] = (spoilt[0], spoilt[1], spoilt[2])
        assert check.check(plan, run) == "a node out of its plane"


def test_the_check_sees_faces_missing_turned_and_folded() -> None:
    plan, run = solution()
    run.faces.pop()
    assert check.check(plan, run) == "faces that do not add up to the outline"
    plan, run = solution()
    run.faces[0].outer.reverse()
    run.faces[0].area *= -1.0
    assert check.check(plan, run) == "a face turned inside out"
    plan, run = solution()
    run.faces[0].outer[0], run.faces[0].outer[1] = run.faces[0].outer[1], run.faces[0].outer[0]
    assert check.check(plan, run) == "a face that crosses itself"
    plan, run = solution()
    run.faces.append(run.faces[0])
    assert check.check(plan, run) == "faces that do not add up to the outline"


def test_the_check_sees_faces_that_lie_on_each_other() -> None:
    """The two ends of a hip are as large as each other: with one of them twice and the other put in its place the area
    is right and every ring is sound, but round the corners of the doubled one the faces fill more than one turn."""
    plan, run = solution()
    ends = sorted(range(len(run.faces)), key=lambda i: run.faces[i].area)[:2]
    assert run.faces[ends[0]].area == pytest.approx(run.faces[ends[1]].area)
    run.faces[ends[1]] = run.faces[ends[0]]
    assert check.check(plan, run) == "faces that lie on each other"
