"""How roofs of one job stand to each other, which of them hang together, and what they are called: figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
import shapely
from made_roofs import box, edge, node, rising, roof, standing

from takeoff.basics.errors import ShapeError
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import UprightKind
from takeoff.shape.faces.parts import Plan
from takeoff.shape.together import combine, covered, crossing

EAVE, HEAD, VALLEY = EdgeKind.EAVE, EdgeKind.HEAD, EdgeKind.VALLEY


def at(x: float, y: float, wide: float = 100.0, deep: float = 50.0, name: str = "main", **parts: Any) -> Any:
    """A roof whose outline is so wide and deep, counted from (x, y)."""
    return roof(name, origin_mm=(x, y, 0.0), outline_mm=(box(1.0, 2.0, 1.0 + wide, 2.0 + deep),), **parts)


def test_the_box_of_a_roof_in_the_jobs_own_coordinates() -> None:
    assert combine._box(at(3000.0, -500.0)) == (3001.0, -498.0, 3101.0, -448.0)


@pytest.mark.parametrize(
    ("dx", "dy", "meets", "nearly"),
    [
        (98.9, 0.0, True, True), (99.0, 0.0, False, True), (100.9, 0.0, False, True), (101.0, 0.0, False, False),
        (-98.9, 0.0, True, True), (-99.0, 0.0, False, True), (-101.0, 0.0, False, False),
        (0.0, 48.9, True, True), (0.0, 49.0, False, True), (0.0, 51.0, False, False), (0.0, -48.9, True, True), (0.0, -49.0, False, True),
        (98.9, 49.0, False, True), (98.9, 48.9, True, True),
    ],
)  # fmt: skip
def test_boxes_meet_that_share_more_than_a_millimetre(dx: float, dy: float, meets: bool, nearly: bool) -> None:
    one, other = at(3000.0, -500.0), at(3000.0 + dx, -500.0 + dy)
    assert (combine._boxes_meet(one, other), combine._boxes_meet(one, other, -1.0)) == (meets, nearly)


@pytest.mark.parametrize(
    ("gaps", "stands"),
    [
        ([], "APART"), ([-9.0, 1.0], "APART"), ([1.0, 1.1], "BELOW"), ([-1.0, 1.1], "BELOW"), ([-1.1, 1.1], "CROSSING"), ([-1.1, -2.0], "APART"),
    ],
)  # fmt: skip
def test_how_roofs_stand_to_each_other(monkeypatch: pytest.MonkeyPatch, gaps: list[float], stands: str) -> None:
    """By how far the other lies above at the corners of what both cover; a millimetre is nothing."""
    given: list[Any] = []
    monkeypatch.setattr(combine, "overlaps", lambda *args: given.append(args) or [(gap, (0.0, 0.0)) for gap in gaps])
    low, high = (
        rising("P1", 0.0, 0.0, 0.1, box(0.0, 0.0, 9.0, 9.0)),
        rising("P2", 9.0, 0.0, 0.0, box(0.0, 0.0, 9.0, 9.0)),
    )
    one, other = roof(planes=(low,)), roof("other", planes=(high,))
    assert combine._standing(one, other).name == stands
    assert given == [((low,), (high,), None, 1.0)]


def in_line(off: float, from_x: float, to_x: float, kind: EdgeKind = EAVE) -> bool:
    """An eave along x from 0 to 4 m at 2.4 m, and a level edge of another roof that is counted from (500, 300)."""
    mine = roof(edges=(edge("E1", EAVE, (0.0, 0.0, 2400.0), (4000.0, 0.0, 2400.0)),))
    theirs = edge("E2", kind, (from_x - 500.0, off - 300.0, 2400.0), (to_x - 500.0, off - 300.0, 2400.0))
    return combine._meet_in_line(mine, roof("other", origin_mm=(500.0, 300.0, 0.0), edges=(theirs,)))


@pytest.mark.parametrize(
    ("off", "from_x", "to_x", "meet"),
    [
        (0.0, 1000.0, 3000.0, True), (0.0, 3000.0, 1000.0, True), (0.049, 1000.0, 3000.0, True), (0.051, 1000.0, 3000.0, False),
        (0.0, 3998.9, 9000.0, True), (0.0, 3999.1, 9000.0, False), (0.0, -9000.0, 1.1, True), (0.0, -9000.0, 0.9, False), (0.0, -50.0, 9000.0, True),
    ],
)  # fmt: skip
def test_level_edges_of_two_roofs_meet_in_line(off: float, from_x: float, to_x: float, meet: bool) -> None:
    assert in_line(off, from_x, to_x) is meet
    assert in_line(off, from_x, to_x, HEAD) is meet
    assert not in_line(off, from_x, to_x, EdgeKind.VERGE)


def test_roofs_that_hang_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of five roofs in a row, one meets the next in line, two cross, the last says that it stands below the one before."""
    roofs = [at(99.0 * k, 0.0, name=f"r{k}") for k in range(6)]
    monkeypatch.setattr(combine, "_meet_in_line", lambda a, b: {a.name, b.name} == {"r0", "r1"})
    crossing_pairs = [("r1", "r2"), ("r3", "r4"), ("r4", "r5"), ("r0", "r2")]
    monkeypatch.setattr(
        combine, "_standing", lambda a, b: combine._Standing.CROSSING if (a.name, b.name) in crossing_pairs else combine._Standing.BELOW
    )  # fmt: skip
    jobs: Any = [SimpleNamespace(below={5: "r4"}.get(k)) for k in range(6)]
    assert combine._crossing_groups(roofs, jobs) == [[0, 1, 2], [3, 4]]
    jobs[2].below, jobs[3].below = "r1", "r4"  # whichever of the two says so
    assert combine._crossing_groups(roofs, jobs) == [[0, 1]]


def test_which_roofs_a_roof_is_cut_by(monkeypatch: pytest.MonkeyPatch) -> None:
    """By those it names and those that lie over it, but by none that stands below it; a wall far from the named one is told."""
    done: list[str] = []
    monkeypatch.setattr(
        combine, "cut_at_wall", lambda found, other: done.append(f"{found.name} at {other.name}") or found
    )
    far = Finding("far", Severity.NOTE, "")
    monkeypatch.setattr(
        combine, "far_wall_edges", lambda own, other: done.append(f"{own.name} far from {other.name}") or [far]
    )
    over = {("porch", "house")}
    monkeypatch.setattr(
        combine,
        "_standing",
        lambda a, b: combine._Standing.BELOW if (a.name, b.name) in over else combine._Standing.APART,
    )
    roofs = (
        at(0.0, 0.0, name="house"),
        at(0.0, 0.0, name="porch"),
        at(0.0, 0.0, name="shed"),
        at(9e5, 0.0, name="barn"),
    )

    def cut(number: int, *below: str | None) -> tuple[list[str], Any]:
        done.clear()
        jobs: Any = [SimpleNamespace(below=name) for name in below]
        return done[:], combine._cut_below(number, roofs, jobs)

    _, found = cut(1, None, None, None, None)
    assert (done, found.findings) == (["porch at house"], ())
    _, found = cut(2, None, None, "house", None)
    assert (done, found.findings) == (["shed at house", "shed far from house"], (far,))
    _, found = cut(1, "porch", None, None, None)
    assert done == []
    _, found = cut(1, None, None, None, "porch")
    assert done == ["porch at house"]
    _, found = cut(3, None, None, None, "house")  # far away: nothing to cut, and told
    assert (done, found.findings) == (["barn far from house"], (far,))


@pytest.mark.parametrize(
    ("gap", "said", "severity"),
    [
        (150.0, "", None), (149.9, "comes within 150 mm of", Severity.WARN), (1.1, "comes within 1 mm of", Severity.WARN),
        (1.0, "comes within 1 mm of", Severity.STOP), (0.0, "runs -0 mm into", Severity.STOP), (-30.4, "runs 30 mm into", Severity.STOP),
    ],
)  # fmt: skip
def test_a_lower_roof_near_to_the_eave_over_it(
    monkeypatch: pytest.MonkeyPatch, gap: float, said: str, severity: Severity
) -> None:
    monkeypatch.setattr(
        combine, "overlaps", lambda *_: [(gap + 5.0, (1.0, 1.0)), (gap, (1000.4, 2000.6)), (gap + 1.0, (0.0, 0.0))]
    )
    found = combine._too_near(roof("porch"), roof("house"), shapely.Point(0.0, 0.0))  # type: ignore[arg-type]
    text = f"roof porch {said} the eave of roof house at (1000, 2001)"
    due = Finding(
        "eave-in-the-way",
        severity,
        text,
        "lower its fascia, flatten its pitch, or raise the higher roof's",
        ("porch", "house"),
        (1000.4, 2000.6, 0.0),
    )
    assert found == ([due] if said else [])
    monkeypatch.setattr(combine, "overlaps", lambda *_: [])
    assert combine._too_near(roof("porch"), roof("house"), shapely.Point(0.0, 0.0)) == []  # type: ignore[arg-type]


def test_corners_joined_at_a_cut_are_told_once() -> None:
    text = "roof porch: corners within 3 mm of where the walls of roof house cut it were made one with them"
    due = Finding("corners-joined", Severity.FIXED, text, "the drawing is rounded; set it out to whole figures")
    assert combine._joined_finding(roof("porch"), roof("house"), True) == [due]
    assert combine._joined_finding(roof("porch"), roof("house"), False) == []


def test_the_bearing_of_plan_up_is_read_from_the_first_plane_that_slopes() -> None:
    """Falling west (270 from plan up) and told to fall to 300: plan up is 30; told 10, it is 100."""
    level = rising("P1", 0.0, 0.0, 0.0, box(0.0, 0.0, 9.0, 9.0), bearing_deg=77.0)
    for told, north in ((300.0, 30.0), (10.0, 100.0)):
        west = rising("P2", 0.0, 0.2, 0.0, box(0.0, 0.0, 9.0, 9.0), bearing_deg=told)
        assert combine._north_deg(roof(planes=(level, west))) == pytest.approx(north)
    assert combine._north_deg(roof(planes=(level,))) == 0.0


def test_where_an_overhang_ends_on_another_roofs_plane_is_a_valley() -> None:
    """A plane that rises by 1 in 2 along x, over 10 x 10 m; an edge on it of a level plane: 26.565 degrees between."""
    under = rising("P7", 100.0, 0.5, 0.0, box(0.0, 0.0, 10000.0, 10000.0), roof="main")
    own = rising("P1", 1100.0, 0.0, 0.0, box(0.0, 0.0, 2000.0, 2000.0))
    free = edge("E1", EAVE, (2000.0, 1000.0, 1100.0), (2000.0, 3000.0, 1100.0))
    found = crossing._dying(free, [rising("P2", 0.0, 0.0, 0.0, box(0.0, 0.0, 9.0, 9.0)), own], [own, under])
    assert (found.kind, found.faces, found.convex) == (
        VALLEY,
        ("P1", "P1"),
        False,
    )  # on the level plane itself, the first
    found = crossing._dying(free, [own], [under])
    assert (found.kind, found.faces, found.convex) == (VALLEY, ("P1", "P7"), False)
    assert found.between_deg == pytest.approx(180.0 - 26.5650512)
    outer = edge("E1", EAVE, free.a_mm, free.b_mm, outline_edges=(3,))
    both = edge("E1", EAVE, free.a_mm, free.b_mm, faces=("P1", "P2"))
    assert [crossing._dying(one, [own], [under]) for one in (outer, both)] == [outer, both]


@pytest.mark.parametrize(
    ("up", "x", "lies"),
    [
        (0.0, 5000.0, True),
        (0.99, 5000.0, True),
        (1.01, 5000.0, False),
        (-1.01, 5000.0, False),
        (0.0, 10000.9, True),
        (0.0, 10001.1, False),
    ],
)
def test_an_edge_lies_on_a_plane_within_a_millimetre(up: float, x: float, lies: bool) -> None:
    plane = rising("P7", 100.0, 0.5, 0.0, box(0.0, 0.0, 10000.0, 10000.0))
    foot = (x, 1000.0, 100.0 + x / 2.0)
    top = (x, 3000.0, 100.0 + x / 2.0 + up)
    assert (crossing._lies_on(plane, foot, top), crossing._lies_on(plane, top, foot)) == (lies, lies)


def test_the_side_of_a_crossing_line_on_which_a_plane_is_above() -> None:
    """Level at 3000 over 0.3 x + 0.4 y: on the line 0.6 x + 0.8 y is 6000, in the middle of 10 x 15 m 11200, so the line passes
    5200 back from there. A rectangle of four times 25 m each way, on the lower side."""
    low, high = (
        rising("P1", 0.0, 0.3, 0.4, box(0.0, 0.0, 1.0, 1.0)),
        rising("P2", 3000.0, 0.0, 0.0, box(0.0, 0.0, 1.0, 1.0)),
    )
    foot, size = (6000.0 - 0.6 * 5200.0, 9500.0 - 0.8 * 5200.0), 100_000.0
    left, right = (foot[0] - 0.8 * size, foot[1] + 0.6 * size), (foot[0] + 0.8 * size, foot[1] - 0.6 * size)
    found = crossing._half_plane(low, high, (1000.0, 2000.0, 11000.0, 17000.0))
    due = [right, left, (left[0] - 0.6 * size, left[1] - 0.8 * size), (right[0] - 0.6 * size, right[1] - 0.8 * size)]
    assert [pytest.approx(point) for point in due] == found


def test_edges_of_roofs_put_together_are_numbered_apart() -> None:
    one = roof("a", outline_mm=(box(0.0, 0.0, 9.0, 9.0),), edge_numbers=((1, 2, 3, 4),), origin_mm=(5.0, 6.0, 0.0))
    two = roof(
        "b", outline_mm=(box(2.0, 2.0, 4.0, 4.0), box(3.0, 3.0, 3.5, 3.5)), edge_numbers=((4, 3, 2, 1), (5, 6, 7, 8))
    )
    assert [crossing._shift([one, two], each) for each in (one, two)] == [0, 100_000]
    assert crossing._joint_plan([one, two]) == Plan(
        "a", (5.0, 6.0, 0.0), (*one.outline_mm, *two.outline_mm),
        edge_numbers=((1, 2, 3, 4), (100_004, 100_003, 100_002, 100_001), (100_005, 100_006, 100_007, 100_008)),
    )  # fmt: skip


def test_a_roof_wholly_inside_others_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crossing, "pieces_outside", lambda *_: [])
    with pytest.raises(ShapeError) as refused:
        crossing.cross_roofs([roof("a"), roof("b")], 0.0)
    assert refused.value.faults == ("roof a lies wholly inside other roofs; nothing of it is left",)
    assert refused.value.faults[0].path == ("roofs", "a")  # type: ignore[attr-defined]


def hidden(over: Any, **parts: Any) -> float:
    """Area [m2] where a dormer hides a plane that rises by 1 in 2 along y over 8 x 8 m."""
    own = roof(planes=(rising("P1", 0.0, 0.0, 0.5, box(0.0, 0.0, 8000.0, 8000.0)),))
    other = roof("dormer", planes=(over,), outline_mm=(box(2000.0, 1000.0, 5000.0, 7000.0),), **parts)
    return float(crossing._cut_by(own, other).area) / 1e6


def test_where_one_roof_hides_another() -> None:
    """A level plane at 2 m over 3 x 6 m is above the slope up to y = 4 m. Inside its walls, 2.4 m wide and from y = 1.5 m on, all
    of that is hidden; of its overhang, what ends over the slope leaves it whole."""
    dormer = rising("P5", 2000.0, 0.0, 0.0, box(2000.0, 1000.0, 5000.0, 7000.0), roof="dormer")
    assert hidden(dormer) == pytest.approx(3.0 * 3.0)
    assert hidden(dormer, wall_line_mm=(box(2300.0, 1500.0, 4700.0, 7000.0),)) == pytest.approx(2.4 * 2.5)
    low = rising("P5", -100.0, 0.0, 0.0, box(2000.0, 1000.0, 5000.0, 7000.0), roof="dormer")
    assert hidden(low) == 0.0
    # an overhang that dies into the slope is hidden with the rest: walls of no more than a strip at the back
    falls = rising("P5", 4000.0, 0.0, -0.25, box(2300.0, 1000.0, 4700.0, 7000.0), roof="dormer")
    assert hidden(falls, wall_line_mm=(box(2300.0, 1000.0, 4700.0, 5000.0),)) == pytest.approx(2.4 * (16.0 / 3.0 - 1.0))


def test_what_lies_under_a_higher_roof() -> None:
    """A level plane at 3 m over the half of a slope of 3 in 4 where it is above: 5 m along its own rise for 4 in plan."""
    low = rising("P1", 0.0, 0.75, 0.0, box(0.0, 0.0, 8000.0, 6000.0), at=(0.0, 6000.0))
    high = rising("P1", 3000.0, 0.0, 0.0, box(-100.0, -100.0, 7900.0, 5900.0), roof="high")
    one, other = roof(planes=(low,)), roof("high", planes=(high,), origin_mm=(100.0, 100.0, 0.0))
    found, same = covered.with_cover([one, other])
    ((ring,),) = found.planes[0].covered_uv
    assert {(round(u, 3) + 0.0, round(v, 3) + 0.0) for u, v in ring} == {
        (0.0, 0.0),
        (6000.0, 0.0),
        (6000.0, 5000.0),
        (0.0, 5000.0),
    }
    assert found.planes[0].covered_mm2 == pytest.approx(4000.0 * 6000.0)
    assert same.planes[0].covered_uv != ()  # the slope beyond lies over the level plane
    assert covered.with_cover([one]) == (one,)
    assert covered.with_cover([]) == ()
    assert covered.plan_box(low) == pytest.approx((0.0, 0.0, 8000.0, 6000.0))


@pytest.mark.parametrize("axis", [0, 1])
@pytest.mark.parametrize(("gap", "meets"), [(-5.0, True), (0.5, True), (0.51, False)])
def test_boxes_apart_by_more_than_a_crumb_do_not_meet(axis: int, gap: float, meets: bool) -> None:
    one = (10.0, 20.0, 30.0, 60.0)
    far = (30.0 + gap, 25.0, 90.0, 50.0) if axis == 0 else (15.0, 60.0 + gap, 25.0, 90.0)
    assert (covered.meet(one, far), covered.meet(far, one)) == (meets, meets)


def test_an_edge_stands_with_its_roofs_part_of_a_group() -> None:
    """What one roof is of a pair put together: its faces by name, its numbers without the shift, the nodes its edges use."""
    ring = box(0.0, 0.0, 3000.0, 2000.0)
    flat = rising("P1", 0.0, 0.0, 0.0, ring, roof="a", outline_edges=(1, 2, 100_003))
    ends = [(0.0, 0.0, 0.0), (3000.0, 0.0, 0.0), (3000.0, 2000.0, 0.0), (0.0, 2000.0, 0.0)]
    sides = tuple(
        edge(f"E{k + 1}", EAVE, ends[k], ends[(k + 1) % 4], low=f"N{k + 1}", high=f"N{(k + 1) % 4 + 1}", roof="a", outline_edges=(k + 1, 100_009))
        for k in range(4)
    )  # fmt: skip
    far = edge("E9", EAVE, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), faces=("P2",), low="N8", high="N9", roof="b")
    gable = standing(
        "U1", (0.0, 0.0, -500.0), (3000.0, 0.0, -500.0), box(0.0, 0.0, 1.0, 1.0), UprightKind.GABLE, edge=4, roof="a"
    )
    nodes = tuple(node(f"N{k}", (0.0, 0.0, 0.0)) for k in range(1, 10))
    both = roof(
        planes=(flat, rising("P2", 9.0, 0.0, 0.0, box(9.0, 9.0, 10.0, 10.0), roof="b")),
        uprights=(gable,),
        edges=(*sides, far),
        nodes=nodes,
    )
    a, b = roof("a", outline_mm=(ring,), cut_away_mm2=0.0), roof("b")
    found = crossing._own(both, a, [a, b], shapely.Polygon())
    assert [(p.id, p.outline_edges) for p in found.planes] == [("P1", (1, 2))]
    assert [(u.id, u.outline_edge) for u in found.uprights] == [("U1", 4)]
    assert [(e.id, e.outline_edges) for e in found.edges] == [(f"E{k}", (k,)) for k in (1, 2, 3, 4)]
    assert [n.id for n in found.nodes] == ["N1", "N2", "N3", "N4"]
    assert found.cut_away_mm2 == 0.0
