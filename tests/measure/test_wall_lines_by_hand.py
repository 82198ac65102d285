"""Lines where claddings of walls meet or end, and what is ordered for them: by hand, on a wall of 6 m from 50 under the floor
to 2350 over it, with rows of a table of our own."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import hypot
from pathlib import Path

import pytest

from takeoff.measure.cladding.corner_stretches import Column, PartClad, Stretch
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.neighbours import Beside, beside, in_line
from takeoff.measure.cladding.wall_details import (
    _alone,
    _between,
    _clear_of,
    _corner,
    _ends,
    _going_on,
    _junction,
    _lies_on,
    _Met,
    _runs,
    _soakers,
    _stands_on,
    _unknown,
    detail_of,
)
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Catalogue, WallDetail
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, Elevation, WallBoards, WallJunction

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import OTHER, SEEN, with_values

FOOT, TOP = -50.0, 2350.0
WALL = Face(1, 0.0, 6000.0, FOOT, TOP, ((0.0, TOP), (6000.0, TOP)), ())


def part(face: Face = WALL, direction: str = "horizontal", marks: tuple[float, ...] = ()) -> PartClad:
    boards = WallBoards(face.wall, "zone 1", direction, "b", 150.0, 187.0, len(marks), 0.0, 0.0, (), marks, Working(""))
    return PartClad(face, direction, boards)


def row(name: str, place: str, one: str, other: str, *parts: str, **more: object) -> WallDetail:
    return WallDetail(name, f"words of {name}", place, one, other, parts, {"*": SEEN, "mitred": OTHER}, **more)  # type: ignore[arg-type]


# --- lines ----------------------------------------------------------------------------------------------------------------


def test_lines_to_other_zones() -> None:
    """A level line from 0 to 6000 at 900 with a door through it, an upright one of 1450 and a raked one."""
    door = Hole("D1", 1000.0, 1900.0, FOOT, 2100.0)
    low, up, rake = ((0.0, 900.0), (6000.0, 900.0)), ((4000.0, 900.0), (4000.0, TOP)), ((0.0, 900.0), (3000.0, 4900.0))
    upper = replace(WALL, base=900.0, holes=(door,), flashed=(low, up, rake), beyond=("vertical", "horizontal", "none"))
    assert list(_between(part(upper))) == [
        _Met("level", ("horizontal", "vertical"), 1000.0, (1,), ((1, ((0.0, 900.0), (1000.0, 900.0))),)),
        _Met("level", ("horizontal", "vertical"), 4100.0, (1,), ((1, ((1900.0, 900.0), (6000.0, 900.0))),)),
        _Met("upright", ("horizontal", "horizontal"), 1450.0, (1,), ((1, up),), (1450.0, 1450.0)),
        _Met("upright", ("horizontal", "none"), 5000.0, (1,), ((1, rake),), (5000.0,)),
    ]
    # the part below is the lower one of the pair
    lower = replace(WALL, frame_top=900.0, top=((0.0, 900.0), (6000.0, 900.0)), flashed=(low,), beyond=("vertical",))
    assert [met.pair for met in _between(part(lower, "sheets"))] == [("vertical", "sheets")]
    for rise, place in ((0.5, "level"), (0.6, "upright")):
        slight = ((0.0, 900.0), (6000.0, 900.0 + rise))
        (met, *_) = _between(part(replace(upper, holes=(), flashed=(slight,), beyond=("vertical",))))
        assert met.place == place
    for foot, head, pieces in ((900.5, 2100.0, 2), (900.6, 2100.0, 1), (FOOT, 900.5, 1), (FOOT, 900.6, 2)):
        cut = replace(upper, holes=(replace(door, foot=foot, head=head),), flashed=(low,), beyond=("vertical",))
        assert len(list(_between(part(cut)))) == pieces, (foot, head)


def test_whether_a_part_stands_on_a_line() -> None:
    upper = replace(WALL, base=900.0)
    for y, stands in ((900.0, True), (900.5, True), (900.6, False), (899.5, True), (899.4, False), (TOP, False)):
        assert _stands_on(upper, (1000.0, y), (3000.0, y)) is stands
    stepped = replace(
        WALL, rings=((((0.0, 0.0), (2000.0, 0.0), (2000.0, 900.0), (6000.0, 900.0), (6000.0, TOP), (0.0, TOP)),),)
    )
    assert _stands_on(stepped, (2000.0, 900.0), (6000.0, 900.0)) is True
    assert _stands_on(stepped, (0.0, 900.0), (2000.0, 900.0)) is False
    assert _stands_on(stepped, (2000.0, 900.0), (2400.0, 900.0)) is True


def test_tops_and_feet_over_lower_roofs() -> None:
    """A gable's two rakes; a foot that is the wall's own is none, one higher is; what another zone stands on is none."""
    gable = replace(WALL, top=((0.0, TOP), (3000.0, 3850.0), (6000.0, TOP)))
    rake = hypot(3000.0, 1500.0)
    assert [(met.place, met.length_mm, met.pair, met.walls) for met in _ends(part(gable), gable)] == [
        ("soffit", rake, ("horizontal", "horizontal"), (1,)), ("soffit", rake, ("horizontal", "horizontal"), (1,)),
    ]  # fmt: skip
    ring = ((0.0, FOOT), (2000.0, FOOT), (2000.0, 900.0), (6000.0, 900.0), (6000.0, TOP), (0.0, TOP))
    stepped = replace(WALL, rings=((ring,),))
    found = list(_ends(part(stepped), WALL))
    assert found == [
        _Met("soffit", ("horizontal", "horizontal"), 6000.0, (1,), ((1, ((0.0, TOP), (6000.0, TOP))),)),
        _Met("roof", ("horizontal", "horizontal"), 4000.0, (1,), ((1, ((2000.0, 900.0), (6000.0, 900.0))),)),
    ]
    line = ((2000.0, 900.0), (6000.0, 900.0))
    for more in ({"joins": (line,)}, {"flashed": (line,)}):
        assert [met.place for met in _ends(part(replace(stepped, **more)), WALL)] == ["soffit"]  # type: ignore[arg-type]
    for base, count in ((899.5, 1), (899.4, 2)):
        assert len(list(_ends(part(stepped), replace(WALL, base=base)))) == count
    assert len(list(_ends(part(replace(gable, joins=(((0.0, TOP), (3000.0, 3850.0)),))), gable))) == 1


@pytest.mark.parametrize(
    ("line", "lies"),
    [
        (((1000.0, 900.0), (2000.0, 900.0)), True), (((1000.0, 900.5), (2000.0, 900.5)), True),
        (((1000.0, 900.6), (2000.0, 900.6)), False), (((1000.0, 899.4), (2000.0, 899.4)), False),
        (((-900.0, 900.0), (1900.0, 900.0)), True), (((-900.0, 900.0), (1898.0, 900.0)), False),
        (((2000.0, 900.0), (5000.0, 900.0)), True), (((2002.0, 900.0), (5000.0, 900.0)), False),
    ],
)  # fmt: skip
def test_whether_the_middle_of_a_line_lies_on_another(
    line: tuple[tuple[float, float], tuple[float, float]], lies: bool
) -> None:
    """On one from 500 to 3500 at 900, either way; and turned through 3 : 4."""
    other = ((500.0, 900.0), (3500.0, 900.0))
    assert _lies_on(line, other) is _lies_on(line, other[::-1]) is lies

    def turned(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y) for x, y in points)

    if abs(abs(line[0][1] - 900.0) - 0.5) > 0.01:
        assert _lies_on(turned(line), turned(other)) is lies  # type: ignore[arg-type]


def test_a_corner_of_two_walls() -> None:
    """From 300 to 3000, this wall to 2400 in level boards, the other to 3000 in upright ones: shown on each as far as it is
    clad; courses 150 apart from -50 on: fifteen from 250 to 2350."""
    marks = tuple(FOOT + 150.0 * n for n in range(17))
    one, other = Column(0.0, 2400.0, part(marks=marks)), Column(300.0, 3000.0, part(replace(WALL, wall=2), "vertical"))
    stretch = Stretch(300.0, 3000.0, one, other)
    found = _corner(stretch, "external", (WALL, 0.0), (replace(WALL, wall=2), 5000.0))
    lines = ((1, ((0.0, 300.0), (0.0, 2400.0))), (2, ((5000.0, 300.0), (5000.0, 3000.0))))
    assert found == _Met("external", ("horizontal", "vertical"), 2700.0, (1, 2), lines, (2100.0,), 15)
    both = _corner(replace(stretch, other=replace(other, part=one.part)), "internal", (WALL, 0.0), (WALL, 5000.0))
    assert both.level_mm == (2100.0, 2700.0)


def test_a_corner_round_which_no_wall_is_known() -> None:
    """As if it were clad alike; its own half is the narrow board at its left end, the wide one at its right."""
    column = Column(FOOT, TOP, part(marks=(FOOT, 100.0, 250.0)))
    wall = Elevation("w", 7, 6000.0, TOP, (), FOOT, (), Corner("external", 90.0), Corner("external", 90.0), (0.0, 0.0), False, 0.0, (0.0, 0.0), (6000.0, 0.0))  # fmt: skip
    pair = ("horizontal", "horizontal")
    assert _alone(wall, column, "external", WALL, True) == _Met(
        "external", pair, 2400.0, (7,), ((7, ((0.0, FOOT), (0.0, TOP))),), (2400.0,), 3, "corner_narrow",
    )  # fmt: skip
    right = _alone(wall, replace(column, part=part(direction="sheets")), "internal", WALL, False)
    assert right == _Met(
        "internal", ("sheets", "sheets"), 2400.0, (7,), ((7, ((6000.0, FOOT), (6000.0, TOP))),), (), 0, "corner_wide"
    )


def test_where_cladding_begins_beside_a_wall_that_stands_against_it() -> None:
    """40 further along the wall where that goes the way that the other faces, 40 back where it comes."""

    def wall(number: int, a: tuple[float, float], b: tuple[float, float]) -> Elevation:
        return Elevation("w", number, 1.0, TOP, (), FOOT, (), Corner("external", 90.0), Corner("external", 90.0), (0.0, 0.0), False, 0.0, a, b)  # fmt: skip

    stands = wall(1, (100.0, 50.0), (2100.0, 1050.0))  # it faces 1000, -2000
    for ahead, at in (
        ((0.0, -5000.0), 1240.0),
        ((0.0, 5000.0), 1160.0),
        ((5000.0, 0.0), 1240.0),
        ((-5000.0, 0.0), 1160.0),
        ((3000.0, 1000.0), 1240.0),
    ):
        other = wall(2, (7000.0, 9000.0), (7000.0 + ahead[0], 9000.0 + ahead[1]))
        assert _clear_of(stands, Beside(2, at_mm=1200.0), (stands, other), 40.0) == at, ahead


def plan(number: int, roof: str, a: tuple[float, float], b: tuple[float, float]) -> Elevation:
    """A wall on a plan that is turned through 3 : 4."""
    ends = [(0.8 * x - 0.6 * y + 7000.0, 0.6 * x + 0.8 * y - 3000.0) for x, y in (a, b)]
    long = hypot(b[0] - a[0], b[1] - a[1])
    corner = Corner("external", 90.0)
    return Elevation(
        "w", number, long, TOP, (), FOOT, (), corner, corner, (0.0, 0.0), False, 0.0, ends[0], ends[1], roof=roof
    )


def test_the_wall_round_a_corner() -> None:
    """The next of its own line; else that of another line which it stands against, up to 5 mm off and within its ends; a wall
    given by itself has none."""
    south, east = plan(1, "house", (0.0, 0.0), (6000.0, 0.0)), plan(2, "house", (6000.0, 0.0), (6000.0, 4000.0))
    assert beside(south, (south, east), False) == Beside(2, shared=True)
    assert beside(east, (south, east), True) == Beside(1, shared=True)
    assert beside(south, (south, east), True) == Beside(None)
    for off, long, found in (
        (0.0, 4000.0, True),
        (4.9, 4000.0, True),
        (5.1, 4000.0, False),
        (-4.9, 4000.0, True),
        (-5.1, 4000.0, False),
        (0.0, 1500.0, False),
    ):
        against = plan(3, "wing", (6000.0 + off, -1600.0), (6000.0 + off, -1600.0 + long))
        near = beside(south, (south, against), False)
        assert near.wall == (3 if found else None), (off, long)
        if found:
            assert (near.shared, near.at_mm) == (False, pytest.approx(1600.0))
    assert beside(replace(south, roof=""), (south, east), False) == Beside(None)
    alone = plan(4, "", (6000.0, -1600.0), (6000.0, 4000.0))
    assert beside(south, (south, alone), False) == Beside(None)


def test_walls_that_go_on_in_line() -> None:
    """Of another line, met within 5 mm, and as far in line at this wall's other end."""
    south = plan(1, "house", (0.0, 0.0), (6000.0, 0.0))
    for a, b, found in (
        ((6000.0, 0.0), (9000.0, 0.0), True), ((6004.9, 0.0), (9000.0, 0.0), True), ((6005.1, 0.0), (9000.0, 0.0), False),
        ((6000.0, 4.0), (9000.0, 4.0), True), ((6000.0, 0.0), (9000.0, 2.4), True), ((6000.0, 0.0), (9000.0, 2.6), False),
        ((6000.0, 0.0), (6000.0, 3000.0), False),
    ):  # fmt: skip
        other = plan(2, "wing", a, b)
        assert in_line(south, (south, other), False) is (other if found else None), (a, b)
        assert in_line(south, (south, other), True) is None
    left = plan(3, "wing", (-3000.0, 0.0), (0.0, 0.0))
    assert in_line(south, (south, left), True) is left
    for roofs in (("house", "house"), ("", "wing"), ("house", "")):
        own, other = replace(south, roof=roofs[0]), replace(left, roof=roofs[1])
        assert in_line(own, (own, other), True) is None


# --- what is ordered ------------------------------------------------------------------------------------------------------


def test_rows_of_the_table_by_place_and_claddings(catalogue: Catalogue) -> None:
    """Either cladding may be named first, but on a level line the upper one."""
    rows = {name: row(name, place, "horizontal", "vertical") for name, place in (("a", "level"), ("b", "upright"))}
    own = replace(catalogue, wall_details=rows)
    assert (
        detail_of(own, "upright", "vertical", "horizontal")
        is detail_of(own, "upright", "horizontal", "vertical")
        is rows["b"]
    )
    assert detail_of(own, "level", "horizontal", "vertical") is rows["a"]
    assert detail_of(own, "level", "vertical", "horizontal") is None
    assert detail_of(own, "upright", "horizontal", "horizontal") is None


MET = _Met("external", ("horizontal", "sheets"), 2400.0, (3, 4, 3), (), (2400.0, 0.5, 700.0), 16, "corner_narrow")


def test_runs_of_a_corner(settings: Settings) -> None:
    """Boxed: a flashing as long as the corner, a scriber beside each side in level boards that is longer than half a
    millimetre, the wide board; the narrow one is the other wall's. Mitred: soakers, which are counted."""
    detail = row(
        "d",
        "external",
        "horizontal",
        "sheets",
        "corner_back_flashing",
        "scriber_timber",
        boxed=("corner_wide", "corner_narrow"),
        mitred=("soaker",),
    )
    boxed = with_values(settings, corner_style="boxed", wall_flashing_lap_mm=70, board_least_piece_mm=1000)
    counts = {3: 4}
    found = list(_runs(MET, detail, boxed, counts))
    refs, words = ("wall 3", "wall 4"), "as long as the two claddings meet"
    basis = detail.basis["*"]

    def run(n: int, item: str, length: float, setting: str, lap: float, least: float) -> RunDemand:
        terms = (
            Term("length", length, "mm", ref="wall 3"),
            boxed.term(setting),
            Term("detail", "d", "", basis, "words of d"),
        )
        return RunDemand(f"X3.{n}", item, length, None, lap, least, refs=refs, working=Working(words, terms))

    scriber = boxed.word("scriber_timber")
    assert found == [
        run(5, "corner_back_flashing", 2400.0, "wall_flashing_lap_mm", 70, 0.0),
        run(6, scriber, 2400.0, "scriber_timber", 0.0, 1000), run(7, scriber, 700.0, "scriber_timber", 0.0, 350.0),
        run(8, boxed.word("corner_wide"), 2400.0, "corner_wide", 0.0, 1000),
    ]  # fmt: skip
    assert counts == {3: 8}
    mitred = with_values(boxed, corner_style="mitred")
    assert [each.item for each in _runs(replace(MET, level_mm=()), detail, mitred, {})] == ["corner_back_flashing"]
    (first, *_) = _runs(MET, detail, mitred, {})
    assert first.working.terms[-1] == Term("detail", "d", "", OTHER, "words of d")
    assert _junction(MET, detail, found, boxed) == WallJunction(
        "d", "words of d", (3, 4, 3), (), 2400.0, ("corner_back_flashing", scriber, boxed.word("corner_wide")), "", SEEN.words(),
    )  # fmt: skip
    assert _junction(MET, detail, [], mitred).parts == ("soaker",)
    assert _junction(replace(MET, courses=0), detail, [], mitred).parts == ()


def test_soakers_of_mitred_corners(settings: Settings) -> None:
    """Sixteen and nine courses of two corners of one sort: 25."""
    detail = row("d", "external", "horizontal", "horizontal", mitred=("soaker",))
    lines = [(MET, detail), (replace(MET, courses=9, walls=(4, 5)), detail)]
    rule = "soakers = courses x mitred outside corners"
    terms = (settings.term("corner_style"), Term("detail", "d", "", OTHER, "words of d"))
    refs = ("wall 3", "wall 4", "wall 5")
    assert _soakers(lines, settings) == (
        Quantity("cladding.soakers", "soaker", 25, "each", refs, Working(rule, terms)),
    )
    assert _soakers([(replace(MET, courses=0), detail)], settings) == ()


def test_lines_that_the_table_lacks() -> None:
    (found,) = _unknown({("upright", "sheets", "vertical"): [3, 4, 3]})
    assert found == Finding(
        "wall-detail-unknown", Severity.WARN,
        "The table of details has no row for sheets and vertical at a line of the sort upright: nothing is ordered for it on"
        " wall 3, wall 4.",
        "Order what closes it by hand.", ("wall 3", "wall 4"),
    )  # fmt: skip


@pytest.mark.parametrize("x", [9000.0, -9000.0])
@pytest.mark.parametrize("goes", [1.0, -1.0])
def test_a_wall_far_from_the_origin_stands_against_another(x: float, goes: float) -> None:
    """It runs from 5 m to 1 m along y and faces the low x; the other runs along x, past it one way or the other."""

    def wall(number: int, a: tuple[float, float], b: tuple[float, float]) -> Elevation:
        return Elevation("w", number, 1.0, TOP, (), FOOT, (), Corner("external", 90.0), Corner("external", 90.0), (0.0, 0.0), False, 0.0, a, b)  # fmt: skip

    stands = wall(1, (x, 5000.0), (x, 1000.0))
    other = wall(2, (7500.0 - 4500.0 * goes, 700.0), (7500.0 + 4500.0 * goes, 700.0))
    assert _clear_of(stands, Beside(2, at_mm=1200.0), (stands, other), 40.0) == 1200.0 - 40.0 * goes


def test_walls_in_line_that_are_clad_otherwise() -> None:
    """Boards to 2350 on this one, sheets to 1500 on the one that goes on at its left, or at its right: a line up to 1500,
    each side with its own wall; boards beyond run on."""
    face, further = replace(WALL, left=100.0, right=5900.0), replace(WALL, wall=4, left=30.0, right=4000.0)
    low = replace(further, frame_top=1500.0, top=((30.0, 1500.0), (4000.0, 1500.0)))
    own, sheets, alike = part(face), part(low, "sheets"), part(further)
    for left, at, there in ((True, 100.0, 4000.0), (False, 5900.0, 30.0)):
        (met,) = _going_on(face, low, (own, sheets), left)
        lines = ((face.wall, ((at, FOOT), (at, 1500.0))), (4, ((there, FOOT), (there, 1500.0))))
        assert (met.place, met.pair, met.walls, met.lines) == (
            "upright",
            ("horizontal", "sheets"),
            (face.wall, 4),
            lines,
        )
        assert list(_going_on(face, further, (own, alike), left)) == []
