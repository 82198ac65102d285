"""What the skeleton engine refuses before a run and what it finds wrong after one: a hip roof over a square of 1 x 1, all
planes at 45 degrees, spoilt in one thing at a time by just enough and just too little."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton.check import check
from takeoff.shape.skeleton.crossings import refuse_crossings

Point = tuple[float, float]


def plan_of(*loops: list[Point], jogs: tuple[int, ...] = ()) -> Any:
    edges, rings = [], []
    for loop in loops:
        rings.append(list(range(len(edges), len(edges) + len(loop))))
        for (ax, ay), (bx, by) in zip(loop, [*loop[1:], loop[0]], strict=True):
            edges.append(SimpleNamespace(ax=ax, ay=ay, bx=bx, by=by, number=len(edges), jog=len(edges) in jogs))
    return SimpleNamespace(edges=edges, loops=rings, area=1.0, rounding=0.0)


SQUARE: list[Point] = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]


def hip() -> tuple[Any, Any]:
    """The plan and the run's end: faces 0 to 3 by their edges, all to the apex, node 4."""
    nodes = [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (0.0, 1.0, 0.0), (0.5, 0.5, 0.5)]
    lines = SimpleNamespace(
        nx=[0.0, -1.0, 0.0, 1.0],
        ny=[1.0, 0.0, -1.0, 0.0],
        c=[0.0, -1.0, -1.0, 0.0],
        s=[1.0] * 4,
        flat=[0] * 4,
        edge=[0, 1, 2, 3],
    )
    faces = [SimpleNamespace(face=k, outer=[k, (k + 1) % 4, 4], holes=[], area=0.25) for k in range(4)]
    return plan_of(SQUARE), SimpleNamespace(lines=lines, nodes=nodes, faces=faces)


def test_a_sound_roof_passes() -> None:
    assert check(*hip()) == ""


@pytest.mark.parametrize(("area", "said"), [(-2e-10, "a face turned inside out"), (-0.5e-10, ""), (0.5e-10, "")])
def test_a_face_turned_inside_out(area: float, said: str) -> None:
    plan, solution = hip()
    solution.faces.append(SimpleNamespace(face=0, outer=[0, 1, 4], holes=[], area=area))
    assert check(plan, solution) == (said or "faces that lie on each other")


@pytest.mark.parametrize(
    ("rounding", "up", "said"),
    [
        (0.0, 9.9e-9, ""),
        (0.0, 1.01e-8, "a node out of its plane"),
        (1e-9, 7.3e-8, ""),
        (1e-9, 7.5e-8, "a node out of its plane"),
    ],
)
def test_a_node_out_of_its_plane(rounding: float, up: float, said: str) -> None:
    """5e-9 and 32 roundings, times one and the cotangent of the pitch, which is 1."""
    plan, solution = hip()
    plan.rounding = rounding
    solution.nodes[4] = (0.5, 0.5, 0.5 + up)
    assert check(plan, solution) == said


@pytest.mark.parametrize(
    ("rounding", "off", "said"),
    [
        (0.0, 0.9e-10, ""), (0.0, 1.1e-10, "faces that do not add up to the outline"), (0.0, -0.9e-10, ""),
        (0.0, -1.1e-10, "faces that do not add up to the outline"), (1e-11, 2.5e-10, ""), (1e-11, 2.7e-10, "faces that do not add up to the outline"),
    ],
)  # fmt: skip
def test_faces_that_do_not_add_up(rounding: float, off: float, said: str) -> None:
    plan, solution = hip()
    plan.rounding = rounding
    solution.faces[1].area += off
    assert check(plan, solution) == said


def test_what_snapping_moved_may_be_missing() -> None:
    """Edge 1, 1 long, lies 1e-9 off its line: so much area may be gone, but no more."""
    plan, solution = hip()
    plan.edges[0].ay = plan.edges[0].by = -1e-9
    solution.faces[1].area += 0.9e-9
    assert check(plan, solution) == ""
    solution.faces[1].area += 0.2e-9
    assert check(plan, solution) == "faces that do not add up to the outline"


def test_a_large_outline_may_be_off_by_its_share() -> None:
    plan, solution = hip()
    plan.area = 0.25
    for part in solution.faces:
        part.area = 0.0625
    solution.faces[0].area += 0.3e-10
    assert check(plan, solution) == "faces that do not add up to the outline"


def test_faces_that_cross_themselves_or_lie_on_each_other() -> None:
    plan, solution = hip()
    solution.faces[2].outer.reverse()
    assert check(plan, solution) == "a face that crosses itself"
    plan, solution = hip()
    solution.faces.append(solution.faces[0])
    plan.area = 1.25
    assert check(plan, solution) == "faces that lie on each other"


def test_every_edge_has_a_face_unless_it_is_a_jog() -> None:
    plan, solution = hip()
    solution.faces.pop(2)
    plan.area = 0.75
    assert check(plan, solution) == "an edge without a face"
    plan.edges[2].jog = True
    assert check(plan, solution) == ""


def test_upright_faces_have_no_area_in_plan_and_flat_ones_no_slope() -> None:
    plan, solution = hip()
    lines = solution.lines
    for name, upright, flat in (
        ("nx", 0.0, 0.0),
        ("ny", 1.0, 0.0),
        ("c", 0.0, 9.0),
        ("s", 0.0, 0.0),
        ("flat", 0, 1),
        ("edge", 0, 0),
    ):
        getattr(lines, name).extend([upright, flat])
    solution.nodes += [(0.5, 0.0, 3.0)]
    solution.faces.append(SimpleNamespace(face=4, outer=[0, 1, 5], holes=[], area=0.4))
    assert check(plan, solution) == ""
    solution.nodes[5] = (0.5, 1e-8, 3.0)
    assert check(plan, solution) == "a node out of its plane"
    solution.nodes[5] = (0.5, 4e-9, 3.0)
    assert check(plan, solution) == ""
    solution.faces[4] = SimpleNamespace(face=5, outer=[0, 1, 4], holes=[], area=0.25)
    plan.area = 1.25
    assert check(plan, solution) == "faces that lie on each other"
    solution.faces.pop(0)
    plan.area = 1.0
    assert check(plan, solution) == ""  # the flat one in place of the slope: nothing is asked of its nodes


def test_a_hole_that_touches_its_ring_is_counted_once() -> None:
    """A square with a hole that hangs at one of its corners, and the hole filled by a face of its own."""
    nodes = [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (0.0, 1.0, 0.0), (0.5, 0.1, 0.0), (0.1, 0.5, 0.0)]
    lines = SimpleNamespace(nx=[0.0] * 5, ny=[0.0] * 5, c=[0.0] * 5, s=[0.0] * 5, flat=[1] * 5, edge=[0, 1, 2, 3, 0])
    inner = 0.5 * 0.5 / 2.0 - 0.1 * 0.1 / 2.0
    faces = [SimpleNamespace(face=k, outer=[0, 4, 5], holes=[], area=inner if k == 1 else 0.0) for k in (1,)]
    faces += [SimpleNamespace(face=0, outer=[0, 1, 2, 3], holes=[[0, 5, 4]], area=1.0 - inner)]
    plan = plan_of(SQUARE, jogs=(2, 3))
    assert check(plan, SimpleNamespace(lines=lines, nodes=nodes, faces=faces)) == ""  # type: ignore[arg-type]
    faces[1].holes[0].reverse()
    assert check(plan, SimpleNamespace(lines=lines, nodes=nodes, faces=faces)) == "a face that crosses itself"  # type: ignore[arg-type]


# before a run


def refused(*loops: list[Point], jogs: tuple[int, ...] = ()) -> tuple[str, tuple[object, ...]] | None:
    try:
        refuse_crossings(plan_of(*loops, jogs=jogs))
    except ShapeError as error:
        (fault,) = error.faults
        return str(fault), fault.path  # type: ignore[attr-defined]
    return None


def crossing(one: int, other: int) -> tuple[str, tuple[object, ...]]:
    return f"Edges {one} and {other} cross or touch: move their corners apart.", ("edge", one)


COURT: list[Point] = [(0.2, 0.2), (0.4, 0.2), (0.4, 0.4)]


def test_edges_that_cross_or_touch_are_refused() -> None:
    assert refused(SQUARE) is None
    assert refused(SQUARE, COURT) is None
    assert refused([SQUARE[0], SQUARE[1], SQUARE[3], SQUARE[2]]) == crossing(2, 4)
    assert refused([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]) == crossing(1, 3)
    # a corner of a court on each side in turn: the first or the last of its edges touches it
    for side, (first, *rest) in (
        (4, [(0.0, 0.3), (0.4, 0.2), (0.4, 0.4)]),
        (1, [(0.3, 0.0), (0.4, 0.2), (0.2, 0.4)]),
        (2, [(1.0, 0.3), (0.4, 0.4), (0.4, 0.2)]),
        (3, [(0.3, 1.0), (0.4, 0.8), (0.5, 0.9)]),
    ):
        assert refused(SQUARE, [first, *rest]) in (crossing(side, 5), crossing(side, 7))
    assert refused(SQUARE, [(1e-8, 0.3), (0.4, 0.2), (0.4, 0.4)]) is None
    # a deep notch past the other side, and one that stops short
    notched = [*SQUARE[:2], (1.0, 0.5), (-0.1, 0.55), (1.0, 0.6), *SQUARE[2:]]
    assert refused(notched) == crossing(3, 7)
    assert refused([*SQUARE[:2], (1.0, 0.5), (0.1, 0.55), (1.0, 0.6), *SQUARE[2:]]) is None


def test_a_jog_of_no_length_is_no_edge() -> None:
    """Between edges 1 and 3 stands one of no length: the two are neighbours."""
    loop = [SQUARE[0], (0.5, 0.0), (0.5, 0.0), *SQUARE[1:]]
    assert refused(loop, jogs=(1,)) is None
    assert refused(loop) is not None


def test_courtyards_lie_inside_the_outline_and_not_in_each_other() -> None:
    outside = [(x + 3.0, y) for x, y in COURT]
    text = "The courtyard with edges 5 to 7 lies outside the outline: move it or leave it out."
    assert refused(SQUARE, outside) == (text, ("edge", 5))
    inner = [(0.33, 0.25), (0.36, 0.25), (0.36, 0.28)]
    text = "The courtyard with edges 8 to 10 lies inside another courtyard: move it or leave it out."
    assert refused(SQUARE, COURT, inner) == (text, ("edge", 8))
    assert refused(SQUARE, COURT, [(x + 0.4, y) for x, y in COURT]) is None
