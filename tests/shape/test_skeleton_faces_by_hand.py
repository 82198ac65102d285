"""Faces traced from the sides that a front leaves, and upright ones lifted to what meets them: figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.shape.skeleton import bases, faces
from takeoff.shape.skeleton.record import FASCIA_STEP

NODES_OF: list[faces.Node] = [
    (0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 8.0, 0.0), (0.0, 8.0, 0.0),  # 0-3 outer
    (2.0, 2.0, 0.0), (2.0, 4.0, 0.0), (4.0, 4.0, 0.0), (4.0, 2.0, 0.0),  # 4-7 hole
    (20.0, 0.0, 0.0), (23.0, 0.0, 0.0), (23.0, 3.0, 0.0),  # 8-10 apart
    (7.0, 0.0, 0.0), (6.0, 3.0, 0.0), (8.0, 3.0, 0.0),  # 11-13 a hole that touches the foot in 11
    (0.0, 0.0, 5.0), (10.0, 0.0, 5.0),  # 14, 15 over 0 and 1
]  # fmt: skip


def walked(*rings: tuple[int, ...], face: int = 0) -> list[tuple[int, int, int]]:
    return [(a, b, face) for ring in rings for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]


def traced(sides: list[tuple[int, int, int]], **planes: list[float]) -> list[faces.FaceRings]:
    count = max(face for *_, face in sides) + 1
    given: Any = SimpleNamespace(
        **{"nx": [0.0] * count, "ny": [1.0] * count, "s": [1.0] * count, "flat": [0] * count, **planes}
    )
    rows = [list(column) for column in zip(*sides, strict=True)]
    return faces.trace(NODES_OF, given, rows[0], rows[1], rows[2], len(sides))


def test_faces_are_traced_from_their_sides() -> None:
    """80 less a hole of 4, and a triangle of 4.5 apart; what walks there and back has no area."""
    hole = (4, 5, 6, 7)
    assert traced(walked((0, 1, 2, 3))) == [faces.FaceRings(0, [0, 1, 2, 3], 80.0, [])]
    assert traced([*walked((0, 1, 2, 3), hole, (8, 9, 10)), *walked((0, 1), face=2)]) == [
        faces.FaceRings(0, [0, 1, 2, 3], 76.0, [[4, 5, 6, 7]]), faces.FaceRings(0, [8, 9, 10], 4.5, [])
    ]  # fmt: skip
    # a hole that no ring lies round, and a chain with an open end, are parts by themselves
    assert traced(walked((8, 9, 10), hole)) == [
        faces.FaceRings(0, [8, 9, 10], 4.5, []),
        faces.FaceRings(0, [4, 5, 6, 7], -4.0, []),
    ]
    assert traced(walked((0, 1, 2, 3))[:3]) == [faces.FaceRings(0, [-1, -1, -1], -1.0, [])]
    # only the first of the sides given count
    given: Any = SimpleNamespace(nx=[0.0], ny=[1.0], s=[1.0], flat=[0])
    assert faces.trace(NODES_OF, given, [0, 1, 2, 9], [1, 2, 0, 9], [0, 0, 0, 0], 3)[0].area == 40.0


def test_a_hole_that_touches_its_ring_is_a_ring_of_its_own() -> None:
    """The hole 11, 12, 13 of 3 touches the foot: walked in one go, or in two, the node is passed twice."""
    due = [faces.FaceRings(0, [1, 2, 3, 0, 11], 77.0, [[11, 12, 13]])]
    for sides in (
        walked((0, 11, 12, 13, 11, 1, 2, 3)),
        walked((11, 1, 2, 3, 0), (11, 12, 13)),
        walked((11, 12, 13), (11, 1, 2, 3, 0)),
    ):
        (found,) = traced(sides)
        assert found.area == 77.0
        assert [sorted(found.outer), [sorted(hole) for hole in found.holes]] == [sorted(due[0].outer), [[11, 12, 13]]]
    # two triangles that touch in a corner stay two
    apart = traced(walked((0, 11, 13), (11, 1, 2)))
    assert sorted((part.area, sorted(part.outer)) for part in apart) == [(10.5, [0, 11, 13]), (12.0, [1, 2, 11])]
    assert traced(walked((0, 11, 12, 13, 11, 1, 2, 3))[:-1]) == [faces.FaceRings(0, [-1, -1, -1], -1.0, [])]


def test_upright_faces_are_seen_from_outside() -> None:
    """The wall 0 to 1, 10 x 5, whose front looks up (0, 1): 50. The same with its sides in the line of (0, -1) is inside out;
    a level top is no upright face."""
    wall = walked((0, 1, 15, 14))
    assert traced(wall, s=[0.0]) == [faces.FaceRings(0, [0, 1, 15, 14], 50.0, [])]
    assert traced(wall, s=[0.0], ny=[-1.0])[0].area == -50.0
    assert traced(walked((0, 1, 2, 3)), s=[0.0], flat=[1])[0].area == 80.0
    assert faces.seen_square([(3.0, 4.0, 7.0), (1.0, 2.0, 9.0)], {0: 1}, 0.6, 0.8) == {0: (5.0, 7.0)}


def test_a_hole_lies_in_the_least_ring_round_it() -> None:
    """Rings of 80 and of 12 (8 x 8 less ...): the hole of 4 lies in both; one as large as its ring lies in none."""
    place = [
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 8.0),
        (0.0, 8.0),
        (1.0, 1.0),
        (5.0, 1.0),
        (5.0, 5.0),
        (1.0, 5.0),
        (2.0, 2.0),
        (2.0, 4.0),
        (4.0, 4.0),
        (4.0, 2.0),
    ]
    outer, inner, hole = [0, 1, 2, 3], [4, 5, 6, 7], [8, 9, 10, 11]
    assert faces.nest(3, [hole, inner, outer], place) == [
        faces.FaceRings(3, outer, 80.0, []), faces.FaceRings(3, inner, 12.0, [hole])
    ]  # fmt: skip
    assert faces.nest(3, [inner[::-1], outer], place) == [faces.FaceRings(3, outer, 64.0, [inner[::-1]])]
    assert faces.nest(3, [hole, outer[::-1]], place) == [
        faces.FaceRings(3, hole, -4.0, []),
        faces.FaceRings(3, outer[::-1], -80.0, []),
    ]
    assert faces.nest(3, [inner, inner[::-1]], place)[1].holes == []
    for at, within in (
        ((2.0, 2.0), True),
        ((6.0, 2.0), False),
        ((-1.0, 2.0), False),
        ((3.0, 4.9), True),
        ((3.0, 5.1), False),
    ):
        assert faces.within([12], inner, [*place, at]) is within
    assert faces.within([4, 9], inner, place)  # its own corner does not count


def standing(
    nodes: list[tuple[float, float, float]], outer: list[list[int]], *, start: float = 0.0, step: int = FASCIA_STEP
) -> Any:
    """Edge 0 from (0, 0) to (10, 0) whose upright face has the first ring; the other rings are a roof's."""
    edges = [SimpleNamespace(rise=((0.0, 0.0, step), (1.0, 1.0, 0)), start=start, jog=False), *[
        SimpleNamespace(rise=((0.0, 1.0, 0),), start=0.0, jog=False) for _ in range(3)
    ]]  # fmt: skip
    lines = SimpleNamespace(
        edge=[0, 1, 2], step=[step, 0, 0], s=[0.0, 1.0, 1.0], flat=[0, 0, 0], nx=[0.0] * 3, ny=[1.0] * 3
    )
    parts = [faces.FaceRings(k, list(ring), 1.0, []) for k, ring in enumerate(outer)]
    plan = SimpleNamespace(edges=edges, loops=[[0, 1, 2, 3]])
    return plan, SimpleNamespace(nodes=list(nodes), lines=lines, faces=parts, outline_nodes=[0, 1, 2, 3])


FLOOR = [(0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 8.0, 0.0), (0.0, 8.0, 0.0)]


def test_the_base_of_a_standing_face_is_lifted_to_what_first_meets_it() -> None:
    """Both ends go straight up to 5; a roof meets it at 2 in the middle of its top's way: nothing is shown below 2."""
    plan, found = standing([*FLOOR, (10.0, 0.0, 5.0), (6.0, 0.0, 2.0), (0.0, 0.0, 4.0)], [[0, 1, 4, 5, 6]])
    bases.lift_bases(plan, found)
    assert found.nodes[7:] == [(10.0, 0.0, 2.0), (0.0, 0.0, 2.0)]
    # from the right foot at 2 up to 5, to (6, 2), to the left at 4, down to 2: triangles 4 x 3 / 2 and 6 x 2 / 2
    assert found.faces == [faces.FaceRings(0, [7, 4, 5, 6, 8], 12.0, [])]


@pytest.mark.parametrize(
    ("start", "step", "lowest"),
    [(1.0, 0, 1.0), (3.0, 0, 2.0), (1.0, FASCIA_STEP, 2.0)],
)
def test_a_gable_stands_on_its_own_fascia(start: float, step: int, lowest: float) -> None:
    """Or lower where something meets it lower; what is below its own fascia goes by that alone."""
    plan, found = standing(
        [*FLOOR, (10.0, 0.0, 5.0), (6.0, 0.0, 2.0), (0.0, 0.0, 4.0)], [[0, 1, 4, 5, 6]], start=start, step=step
    )
    bases.lift_bases(plan, found)
    assert [found.nodes[k] for k in (found.faces[0].outer[0], found.faces[0].outer[-1])] == [
        (10.0, 0.0, lowest),
        (0.0, 0.0, lowest),
    ]


def test_what_nothing_meets_goes_and_what_a_plane_leans_on_stays() -> None:
    """A face that something meets at its very foot, by an end that runs aslant, stays; level at its top it goes."""
    plan, found = standing([*FLOOR, (10.0, 0.0, 5.0), (0.0, 0.0, 5.0)], [[0, 1, 4, 5], [0, 1, 2]])
    bases.lift_bases(plan, found)
    assert [part.face for part in found.faces] == [1]
    plan, aslant = standing([*FLOOR, (10.0, 0.0, 5.0)], [[0, 1, 4]])
    bases.lift_bases(plan, aslant)
    assert (aslant.faces, len(aslant.nodes)) == ([faces.FaceRings(0, [1, 4, 0], 25.0, [])], 5)
    # nothing to lift where no edge stands below a further step
    plan.edges[0] = plan.edges[1]
    kept, again = standing([*FLOOR, (10.0, 0.0, 5.0), (0.0, 0.0, 5.0)], [[0, 1, 4, 5]])
    bases.lift_bases(plan, again)
    assert again.faces[0].outer == [0, 1, 4, 5]
    assert kept.edges[0].rise[0][1] == 0.0


def test_the_way_on_turns_left_most_sharply() -> None:
    """At (5, 5), coming from the west: of ways to the south, the east and the north the north is the sharpest to the left;
    from the south the west."""
    place = [(5.0, 5.0), (1.0, 5.0), (5.0, 1.0), (9.0, 5.0), (5.0, 9.0), (7.0, 9.0)]
    assert [round(faces.heading(place[0], place[k]) / 0.7853981634) for k in (1, 2, 3, 4)] == [4, -2, 0, 2]
    assert faces.heading(place[0], place[5]) == pytest.approx(1.1071487)  # 2 in 1
    for before, ahead, due in (
        (1, [2, 3, 4], 4),
        (2, [1, 3, 4], 1),
        (3, [5, 2, 1], 2),
        (4, [5, 1, 2], 5),
        (0, [3, 4], 3),
        (1, [2], 2),
    ):
        ways = {0: list(ahead)}
        assert faces.take(ways, before, 0, place) == due
        assert ways == ({0: [k for k in ahead if k != due]} if len(ahead) > 1 else {})
    assert faces.ring_area([0, 3, 4], place) == 8.0
