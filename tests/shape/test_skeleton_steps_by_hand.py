"""The run of the front step by step: profile steps, flat tops, events and what settles after them, by hand.

Lengths and times are scaled: 32 mm are 1.
"""

from __future__ import annotations

from decimal import Decimal
from math import sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from moving_fronts import EPS, lines, made, points

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton import breaks, events, ladder, setup
from takeoff.shape.skeleton.front import ACTIVE, COLLAPSE, HIT, SIDES, STRIP, TIE
from takeoff.shape.skeleton.prepare import prepare
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep
from takeoff.shape.skeleton.windows import ON, YES

LOW = EdgeProfile(64.0, (RiseStep(None, 45.0),))
HOUSE = [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]
COURT = [(3.0, 2.0), (3.0, 4.0), (5.0, 4.0), (5.0, 2.0)]
A, B = 10.0 / 32.0, 6.0 / 32.0


def front(rings: list[list[tuple[float, float]]], **other: EdgeProfile) -> Any:
    """A front at its start; edges rise by 45 degrees but for those given (e1 is the first)."""
    count = sum(len(ring) for ring in rings)
    profiles = [other.get(f"e{k + 1}", LOW) for k in range(count)]
    return setup.set_up(prepare(rings, profiles), float, sqrt, 1e-11, 80).front


def sides(F: Any) -> list[tuple[int, int, int]]:
    return list(zip(F.side_from, F.side_to, F.side_face, strict=True))[: F.tally[SIDES]]


def test_chains_of_a_front_with_twice_their_areas() -> None:
    """At t = 1/64: the outline 9 x 5 mm, the court 3 x 3 clockwise; the least of the flat faces due in each."""
    F = front([HOUSE, COURT])
    t = 1.0 / 64.0
    F.swap = [-1, 9, 8, -1, -1, -1, -1, 7]
    F.flat = [0] * 7 + [1, 1, 1]
    chains, areas, faces = breaks.chains_at(F, t)
    assert chains == [0, 4]
    assert areas == pytest.approx([2.0 * 45.0 / 1024.0, -2.0 * 9.0 / 1024.0])
    assert faces == [8, 7]
    F.flat[8] = 0
    assert breaks.chains_at(F, t)[2] == [9, 7]
    F.swap = [0] * 8
    assert breaks.chains_at(F, t)[2] == [-1, -1]  # what begins is no flat top


@pytest.mark.parametrize(
    ("at", "within"),
    [
        ((4.0, 3.0), True),
        ((1.1, 1.1), True),
        ((0.9, 3.0), False),
        ((9.1, 3.0), False),
        ((4.0, 0.9), False),
        ((4.0, 5.1), False),
        ((-4.0, 3.0), False),
        ((8.9, 4.9), True),
    ],
)
def test_a_corner_inside_a_moving_chain(at: tuple[float, float], within: bool) -> None:
    """The outline at t = 1/32, from (1, 1) to (9, 5); the corner stands there then, moving by (0.5, -0.25)."""
    F = front([HOUSE, COURT])
    t = 1.0 / 32.0
    F.px[4], F.py[4], F.pt[4], F.vx[4], F.vy[4] = at[0] / 32.0 - 0.5 * t, at[1] / 32.0 + 0.25 * t, 0.0, 0.5, -0.25
    assert breaks.inside(F, 4, 0, t) is within
    turned = front([[(0.6 * x - 0.8 * y, 0.8 * x + 0.6 * y) for x, y in HOUSE]])
    x, y = (0.6 * at[0] - 0.8 * at[1]) / 16.0, (0.8 * at[0] + 0.6 * at[1]) / 16.0  # its scale is 16: 6 + 8 at most
    turned.px[9], turned.py[9], turned.pt[9] = x, y, 2.0 * t
    assert breaks.inside(turned, 9, 0, 2.0 * t) is within


@pytest.mark.parametrize(
    ("areas", "faces", "inside", "closed"),
    [
        # hole 11 lies in 10 and in the lesser 12, hole 13 in 10: the lowest face of a part closes all of it
        ([100.0, -5.0, 40.0, -7.0], [-1, 3, 7, -1], {(11, 10), (11, 12), (13, 10)}, [(11, 3), (12, 3)]),
        (
            [100.0, -5.0, 40.0, -7.0],
            [5, -1, 7, 2],
            {(11, 10), (11, 12), (13, 10)},
            [(10, 2), (11, 7), (12, 7), (13, 2)],
        ),
        (
            [40.0, -5.0, 100.0, -7.0],
            [5, -1, 7, -1],
            {(11, 10), (11, 12), (13, 12)},
            [(10, 5), (11, 5), (12, 7), (13, 7)],
        ),
        (
            [-5.0, 9.0, -3.0, -3.0],
            [4, -1, -1, 0],
            set(),
            [(10, 4), (13, 0)],
        ),  # holes in no ring stand alone; face 0 is one
    ],
)
def test_flat_tops_close_every_part_they_are_due_in(
    monkeypatch: pytest.MonkeyPatch,
    areas: list[float],
    faces: list[int],
    inside: set[tuple[int, int]],
    closed: list[tuple[int, int]],
) -> None:
    done: list[tuple[int, int]] = []
    monkeypatch.setattr(breaks, "chains_at", lambda *_: ([10, 11, 12, 13], areas, list(faces)))
    monkeypatch.setattr(breaks, "inside", lambda _, v, first, t: t == 2.5 and (v, first) in inside)
    monkeypatch.setattr(breaks, "close_chain", lambda _, first, face, t: done.append((first, face)))
    breaks.close_flat_tops(None, 2.5)  # type: ignore[arg-type]
    assert done == closed


def test_a_chain_closed_under_a_level_face() -> None:
    """The outline at t = 1/32: every piece ends in the top, every corner in its node; nothing of it is left."""
    F = front([HOUSE])
    breaks.close_chain(F, 1, 9, 1.0 / 32.0)
    nodes = list(zip(F.nodx, F.nody, F.nodt, strict=True))[4:8]
    due = [(9.0, 1.0), (9.0, 5.0), (1.0, 5.0), (1.0, 1.0)]
    assert nodes == [pytest.approx((x / 32.0, y / 32.0, 1.0 / 32.0)) for x, y in due]
    pieces = [side for k in range(4) for side in ((4 + (k + 1) % 4, 4 + k, (k + 1) % 4), (4 + k, 4 + (k + 1) % 4, 9))]
    paths = [side for k in range(4) for side in (((k + 1) % 4, 4 + k, k), (4 + k, (k + 1) % 4, (k + 1) % 4))]
    assert sides(F)[4:] == pieces + paths
    assert (F.tally[ACTIVE], F.alive[:4]) == (0, [0] * 4)


def test_a_profile_step_passes_its_piece_on() -> None:
    """The right end starts 2 up: until t = 1/16 it stands. Its two corners then get nodes and go on with the face that slopes."""
    F = front([HOUSE], e2=EdgeProfile(66.0, (RiseStep(None, 45.0),)))
    assert (F.break_t, F.break_old, F.break_new) == ([0.0625], [1], [2])
    assert breaks.profile_break(F, [], 0) == (1, [4, 5])
    t = 0.0625
    assert list(zip(F.nodx, F.nody, F.nodt, strict=True))[4:6] == [(A, t, t), (A, B - t, t)]
    assert sides(F)[4:] == [(5, 4, 1), (4, 5, 2), (1, 4, 0), (4, 1, 1), (2, 5, 1), (5, 2, 3)]
    assert [(F.fin[v], F.own[v], F.prv[v], F.nxt[v]) for v in (4, 5)] == [(0, 2, 0, 5), (2, 3, 4, 3)]
    assert (F.nxt[0], F.prv[3], F.alive[:6], set(F.swap)) == (4, 5, [1, 0, 0, 1, 1, 1], {-1})


@pytest.mark.parametrize(("which", "gone"), [("e1", [0, 1, 2]), ("e2", [1, 2, 3])])
def test_both_ends_of_a_step_of_no_length_get_their_nodes_together(which: str, gone: list[int]) -> None:
    """Of two edges in one line that rise alike up to 2, one goes on by 30 degrees: the step between them stands from there."""
    ring = [(0.0, 0.0), (6.0, 0.0), (16.0, 0.0), (16.0, 8.0), (0.0, 8.0)]
    F = front([ring], **{which: EdgeProfile(64.0, (RiseStep(66.0, 45.0), RiseStep(None, 30.0)))})
    breaks.profile_break(F, [], 0)
    assert [v for v in range(6) if not F.alive[v]] == gone


def test_steps_of_one_time_are_taken_together(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[Any] = []
    F: Any = SimpleNamespace(
        break_t=[1.0, 1.0, 2.0], break_old=[0, 1, 2], break_new=[3, 4, 5], swap=[-1] * 6, flat=[0, 0, 0, 0, 1, 0]
    )
    monkeypatch.setattr(breaks, "close_flat_tops", lambda _, t: seen.append(("flat", t)))
    monkeypatch.setattr(breaks, "change_faces", lambda F, heap, t: seen.append((heap, t, list(F.swap))) or [7])
    assert breaks.profile_break(F, [1], 0) == (2, [7])  # type: ignore[list-item]
    assert seen == [("flat", 1.0), ([1], 1.0, [3, 4, -1, -1, -1, -1])]
    assert F.swap == [-1] * 6
    seen.clear()
    assert breaks.profile_break(F, [], 2) == (3, [7])
    assert seen == [([], 2.0, [-1, -1, 5, -1, -1, -1])]


@pytest.mark.parametrize(
    ("event", "done"),
    [
        ((5.0, COLLAPSE, 0, 1), ("meet", [0, 1], 0, 5.0)), ((5.0, COLLAPSE, 1, 2), ("meet", [1, 2], 2, 5.0)), ((5.0, COLLAPSE, 0, 2), None), ((5.0, COLLAPSE, 3, 0), None),
        ((5.0, HIT, 0, 1), ("meet", [0], 0, 5.0)), ((5.0, HIT, 0, 2), ("look", 0, 5.0)), ((5.0, HIT, 0, 3), ("look", 0, 5.0)), ((5.0, HIT, 3, 1), None),
        ((5.0, STRIP, 0, 0), ("strip", 0, 5.0)), ((5.0, TIE, 1, 0), ("pitch", 1, 2.0)),
    ],
)  # fmt: skip
def test_events_that_still_hold_are_worked(monkeypatch: pytest.MonkeyPatch, event: Any, done: Any) -> None:
    """Vertices 0, 1, 2 in a row at speeds 1, 2, 1; 3 is no more. A hit is of the place where its vertex is then: (2, 1) + 3 x (1, 2)."""
    told: list[Any] = []
    F: Any = SimpleNamespace(
        alive=[1, 1, 1, 0],
        nxt=[1, 2, 0, 0],
        speed=[1.0, 2.0, 1.0, 0.0],
        pt=[2.0] * 4,
        px=[2.0] * 4,
        py=[1.0] * 4,
        vx=[1.0] * 4,
        vy=[2.0] * 4,
    )
    monkeypatch.setattr(events, "meet", lambda _, __, members, where, t: told.append(("meet", members, where, t)))
    monkeypatch.setattr(events, "look_ahead", lambda _, __, v, t: told.append(("look", v, t)))
    monkeypatch.setattr(events, "close_strip", lambda _, __, v, t: told.append(("strip", v, t)))
    monkeypatch.setattr(events, "change_pitch", lambda _, __, v, t: told.append(("pitch", v, t)))
    monkeypatch.setattr(events, "spans", lambda _, b, x, y, t: (b, x, y, t) in ((1, 5.0, 7.0, 5.0), (3, 5.0, 7.0, 5.0)))
    heap = [event]
    events.take_event(F, heap)
    assert (told, heap) == ([done] if done else [], [])


def test_all_that_meets_is_dissolved_at_the_slowest() -> None:
    """Of three that are there, the one at speed 1 gives the place, 0.004 off; one without a motion, and one not there, do not."""
    seen: list[Any] = []
    F = made(
        lines((0.0, 1.0, 0.0, 0.0)),
        points((1.0, 2.0, 1.0, 2.0, 0.0), (5.004, 2.0, 3.0, 1.0, 0.0), (5.0, 2.0, 3.0, 0.0, 0.0), (9.0, 9.0, 3.0, 0.5, 0.0)),
        mark=[0] * 4, nodx=[0.0] * 9, nody=[0.0] * 9, nodt=[0.0] * 9,
    )  # fmt: skip
    F.speed = [2.0, 1.0, -1.0, 0.5]
    patch = pytest.MonkeyPatch()
    patch.setattr(
        events,
        "gather",
        lambda F, members, x, y, t, stamp: seen.append((list(members), x, y, t, stamp, list(F.mark))) or [7],
    )
    patch.setattr(
        events,
        "dissolve",
        lambda F, heap, members, crossed, node, t, stamp: seen.append((heap, members, crossed, node, t, stamp)),
    )
    events.meet(F, [], [0, 1, 2, 3], 0, 3.0)
    patch.undo()
    assert seen == [([0, 1, 2, 3], 5.0, 2.0, 3.0, 1, [1, 1, 1, 1]), ([], [0, 1, 2, 3], [7], 0, 3.0, 1)]
    assert (F.nodx[0], F.nody[0], F.nodt[0]) == (5.004, 2.0, 3.0)


def test_the_pieces_round_a_point() -> None:
    """1 and 2 follow each other: what leads in to 1 and out of 2; 4 alone; and the piece after 5, which is run through."""
    F: Any = SimpleNamespace(
        prv=[2, 0, 1, 9, 3, 9, 5],
        nxt=[1, 2, 0, 4, 6, 6, 9],
        own=[10, 11, 12, 13, 14, 15, 16],
        mark=[0, 8, 8, 0, 8, 0, 0],
    )
    assert events.rays_of(F, [1, 2, 4], [5], 8) == ([0, 0, 3, 6, 5, 6], [10, 12, 13, 14, 15, 15], [1, 0, 1, 0, 1, 0])
    assert events.rays_of(F, [], [], 8) == ([], [], [])


@pytest.mark.parametrize(
    ("v", "more", "done"),
    [
        (-1, {}, [("piece", 0)]), (-3, {}, [("piece", 2)]), (-4, {}, []), (-1, {"nxt": [0, 2, 0, 0]}, [("end", 0, 20)]),
        (1, {}, [("piece", 0), ("piece", 1)]), (3, {}, []), (1, {"reflex": [0, 1, 0, 0]}, [("piece", 0), ("piece", 1), ("look", 1)]),
        (1, {"nxt": [1, 0, 0, 0]}, [("end", 0, 21), ("end", 1, 21)]), (1, {"nxt": [1, 0, 0, 0], "speed": [1.0, -1.0, 1.0, 1.0]}, [("piece", 0), ("piece", 1)]),
    ],
)  # fmt: skip
def test_what_can_happen_next_is_queued(
    monkeypatch: pytest.MonkeyPatch, v: int, more: dict[str, Any], done: list[Any]
) -> None:
    """Next to a new corner; after a joined piece (numbers below 0); where two fronts are left both end."""
    told: list[Any] = []
    rest: dict[str, Any] = {
        "alive": [1, 1, 1, 0],
        "nxt": [1, 2, 0, 0],
        "prv": [2, 0, 1, 0],
        "speed": [1.0] * 4,
        "reflex": [0] * 4,
        "start": [20, 21, 22, 23],
    }
    F: Any = SimpleNamespace(**{**rest, **more})
    monkeypatch.setattr(events, "watch_piece", lambda _, __, a, t: told.append(("piece", a)) if t == 5.0 else None)
    monkeypatch.setattr(events, "look_ahead", lambda _, __, a, t: told.append(("look", a)) if t == 5.0 else None)
    monkeypatch.setattr(events, "finish", lambda _, a, node: told.append(("end", a, node)))
    events.settle(F, [], v, 5.0)
    assert told == done


@pytest.mark.parametrize(
    ("grid", "speeds", "done"),
    [
        (YES, (1.0, 1.0), ["cells"]),
        (YES, (-1.0, 1.0), ["cells"]),
        (0, (0.0, 0.0), ["piece"]),
        (0, (-1.0, 1.0), []),
        (0, (1.0, -1.0), []),
    ],
)
def test_a_changed_piece_is_watched(
    monkeypatch: pytest.MonkeyPatch, grid: int, speeds: tuple[float, float], done: list[str]
) -> None:
    told: list[str] = []
    F: Any = SimpleNamespace(grid=[0] * 5, speed=list(speeds), nxt=[1, 0])
    F.grid[ON] = grid
    monkeypatch.setattr(events, "watch_collapse", lambda _, __, a, t: told.append(f"collapse {a} {t}"))
    monkeypatch.setattr(
        events, "aim_at_piece_in_cells", lambda _, __, a, t: told.append("cells") if (a, t) == (0, 5.0) else None
    )
    monkeypatch.setattr(
        events, "aim_at_piece", lambda _, __, a, t: told.append("piece") if (a, t) == (0, 5.0) else None
    )
    events.watch_piece(F, [], 0, 5.0)
    assert told == ["collapse 0 5.0", *done]


def test_vertices_at_one_place_are_gathered() -> None:
    """0 and its neighbours 1 and 3 stand there, 2 does not; 5, near a reflex one, does though it is in another chain, and the piece
    after 4 runs through it."""
    moving = points(
        (5.0, 5.0, 2.0, 1.0, 0.0),
        (5.01, 5.0, 2.0, 0.0, 0.0),
        (9.0, 5.0, 2.0, 0.0, 0.0),
        (4.0, 5.0, 1.0, 1.0, 0.0),
        (3.0, 5.0, 2.0, 0.0, 0.0),
        (5.0, 4.99, 2.0, 0.0, 0.0),
    )
    F = made(
        lines((0.0, 1.0, 9.0, 0.0), (0.0, 1.0, 5.0, 0.0)),
        moving,
        nxt=[1, 2, 3, 0, 2, 5],
        prv=[3, 0, 1, 2, 2, 5],
        own=[0, 0, 0, 0, 1, 0],
        mark=[7, 0, 0, 0, 0, 0],
    )
    patch = pytest.MonkeyPatch()
    patch.setattr(events, "pieces_at", lambda _, x, y: [4, 5, 2] if (x, y) == (5.0, 5.0) else [])
    members = [0]
    assert events.gather(F, members, 5.0, 5.0, 2.0, 7) == []
    assert (members, F.mark) == ([0, 3, 1], [7, 7, 0, 7, 0, 0])
    F.reflex[3] = 1
    F.mark, members = [7, 0, 0, 0, 0, 0], [0]
    assert events.gather(F, members, 5.0, 5.0, 2.0, 7) == [4]
    assert (members, F.mark) == ([0, 3, 1, 5], [7, 7, 0, 7, 0, 7])
    F.c[1] = 5.0 + EPS * 3.1  # its line passes further off than its reach of 0.01 x (2 + 1)
    F.mark, members = [7, 0, 0, 0, 0, 0], [0]
    assert events.gather(F, members, 5.0, 5.0, 2.0, 7) == []
    F.c[1] = 5.0 - EPS * 2.9
    F.mark, members = [7, 0, 0, 0, 0, 0], [0]
    assert events.gather(F, members, 5.0, 5.0, 2.0, 7) == [4]
    patch.undo()


def test_the_ladder_is_climbed_with_coarser_snaps_and_more_digits(monkeypatch: pytest.MonkeyPatch) -> None:
    """In floats the input's own rounding counts 16 times; the reason of the last attempt is told."""
    tried: list[Any] = []

    def attempt(_: Any, number: Any, root: Any, eps: float) -> str:
        tried.append((number, root(number(4)), eps))
        return f"reason {len(tried)}"

    monkeypatch.setattr(ladder, "attempt", attempt)
    plan: Any = SimpleNamespace(rounding=1e-12, edges=[SimpleNamespace(number=n) for n in (6, 3, 9)])
    with pytest.raises(ShapeError) as refused:
        ladder.climb(plan)
    assert refused.value.faults == (
        "No sound roof was found over edges 4 to 10 (reason 6): move a corner by a few millimetres.",
    )
    assert tried == [
        (float, 2.0, pytest.approx(2.6e-11)), (float, 2.0, pytest.approx(1.016e-9)), (float, 2.0, pytest.approx(1.61e-11)), (Decimal, Decimal(2), 1e-30), (Decimal, Decimal(2), 1e-15),
        (Decimal, Decimal(2), 1e-10),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("status", "said"), [(1, "out of room"), (2, "a tangled front"), (3, "no end of events"), (4, "an open front")]
)
def test_why_a_run_gives_no_roof(monkeypatch: pytest.MonkeyPatch, status: int, said: str) -> None:
    """Six corners of which one has two steps: room for 42 + 32 vertices and 520 events; out of room, tenfold."""
    asked: list[Any] = []
    profiles = [LOW] * 5 + [EdgeProfile(64.0, (RiseStep(70.0, 45.0), RiseStep(None, 30.0)))]
    ring = [(0.0, 0.0), (9.0, 0.0), (9.0, 4.0), (5.0, 4.0), (5.0, 9.0), (0.0, 9.0)]
    plan = prepare([ring], profiles)
    real = ladder.set_up
    monkeypatch.setattr(ladder, "set_up", lambda *args: asked.append(args[4]) or real(*args))

    def run(F: Any, heap: Any, most: int) -> None:
        asked.append((heap, most))
        F.tally[5] = status

    monkeypatch.setattr(ladder, "run", run)
    assert ladder.attempt(plan, float, sqrt, 1e-11) == said
    assert asked == [74, ([], 520), *([740, ([], 520)] if status == 1 else [])]
