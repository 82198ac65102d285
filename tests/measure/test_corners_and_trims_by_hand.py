"""How far up corners which claddings meet, flashings round sheets, areas by wall, zone and facing: by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import hypot
from pathlib import Path

import pytest

from takeoff.measure.cladding.corner_stretches import Column, PartClad, Stretch, columns, stretches
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.wall_areas import Clad, wall_areas
from takeoff.measure.cladding.wall_sheet_trims import _lies_on, rib_closers, sheet_trim_runs
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.products import Catalogue
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import WallBoards

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP = -50.0, 2350.0
WALL = Face(1, 0.0, 6000.0, FOOT, TOP, ((0.0, TOP), (6000.0, TOP)), ())
GABLE = replace(WALL, top=((0.0, TOP), (3000.0, 3850.0), (6000.0, TOP)))


def zone(catalogue: Catalogue, direction: str = "horizontal", name: str = "zone 1") -> Zone:
    return Zone(name, frozenset({1}), direction, catalogue.boards["bevel_187"], True)


def part(
    face: Face = WALL, direction: str = "horizontal", marks: tuple[float, ...] = (), cover: float = 150.0
) -> PartClad:
    boards = WallBoards(face.wall, "zone 1", direction, "b", cover, 187.0, len(marks), 0.0, 0.0, (), marks, Working(""))
    return PartClad(face, direction, boards)


# --- corners --------------------------------------------------------------------------------------------------------------


def test_what_a_wall_is_clad_with_at_a_place() -> None:
    """A band up to 900 in one cladding, from 1500 on in another, between them nothing; a part that ends before the place
    by more than half a millimetre is not there."""
    low = replace(WALL, rings=((((0.0, FOOT), (6000.0, FOOT), (6000.0, 900.0), (0.0, 900.0)),),), base=FOOT)
    high = replace(WALL, rings=((((0.0, 1500.0), (6000.0, 1500.0), (6000.0, TOP), (0.0, TOP)),),), base=1500.0)
    one, two = part(high, "vertical"), part(low)
    assert columns(WALL, (one, two), 0.0) == (Column(FOOT, 900.0, two), Column(900.0, 1500.0), Column(1500.0, TOP, one))
    assert [column.direction for column in columns(WALL, (one, two), 0.0)] == ["horizontal", "none", "vertical"]
    short = part(replace(high, left=0.5))
    assert columns(WALL, (short,), 0.0)[-1] == Column(1500.0, TOP, short)
    for right, there in ((5999.5, True), (5999.4, False)):
        found = columns(WALL, (part(replace(high, right=right)),), 6000.0)
        assert any(column.part for column in found) is there
    for left, right in ((0.6, 6000.0), (-600.0, -0.6)):
        assert columns(WALL, (part(replace(high, left=left, right=right)),), 0.0) == (Column(FOOT, TOP),)


A, B, C = (
    Column(0.0, 2400.0, part()),
    Column(0.0, 900.0, part(direction="vertical")),
    Column(900.0, 2400.0, part(GABLE)),
)


def test_claddings_that_meet_up_a_corner() -> None:
    """One wall in one cladding, the other changes at 900; one higher than the other by 600, that begins 300 later."""
    assert stretches((A,), (B, C)) == (Stretch(0.0, 900.0, A, B), Stretch(900.0, 2400.0, A, C))
    assert stretches((B, C), (A,)) == (Stretch(0.0, 900.0, B, A), Stretch(900.0, 2400.0, C, A))
    high = Column(300.0, 3000.0, part())
    assert stretches((A,), (high,)) == (Stretch(300.0, 3000.0, A, high),)
    assert stretches((high,), (A,)) == (Stretch(300.0, 3000.0, high, A),)
    tall = replace(high, low=0.0)
    assert stretches((B, C), (tall,)) == (Stretch(0.0, 900.0, B, tall), Stretch(900.0, 3000.0, C, tall))
    # a column of a third of a millimetre on top of one side is none
    crumbs = (replace(A, high=2399.7), Column(2399.7, 2400.0, A.part))
    assert stretches((tall,), crumbs) == (Stretch(0.0, 3000.0, tall, crumbs[0]),)
    # what begins again over a gap where the other wall has ended is no corner
    assert stretches((replace(A, high=900.0), replace(A, low=1200.0)), (B,)) == (
        Stretch(0.0, 900.0, replace(A, high=900.0), B),
    )
    assert stretches((A,), (high,), to_higher=False) == (Stretch(300.0, 2400.0, A, high),)
    # a gap between two columns of one side is no corner, and what goes on past it is its own
    gap = (B, replace(C, low=1200.0))
    assert stretches((A,), gap) == (Stretch(0.0, 900.0, A, B), Stretch(1200.0, 2400.0, A, gap[1]))
    assert stretches((), (A,)) == stretches((A,), ()) == ()
    # two heights within half a millimetre are one; the same two claddings are one stretch
    near = (B, replace(C, low=900.4))
    assert stretches((A,), near) == (Stretch(0.0, 900.0, A, B), Stretch(900.0, 2400.0, A, near[1]))
    tiers = (replace(A, high=1000.0), replace(A, low=1000.0))
    assert stretches((A,), tiers) == (Stretch(0.0, 1000.0, A, tiers[0]), Stretch(1000.0, 2400.0, A, tiers[1]))


def test_what_stands_along_a_stretch_of_a_corner() -> None:
    """From 300 to 3000: of a side from 0 to 2400 it is 2100, of one above it nothing."""
    one, other = Column(0.0, 2400.0, part()), Column(3100.0, 4000.0, part())
    found = Stretch(300.0, 3000.0, one, other)
    assert (found.length_mm, found.along_mm(one), found.along_mm(other)) == (2700.0, 2100.0, 0.0)
    assert found.along_mm(Column(500.0, 3500.0)) == 2500.0


def test_courses_up_a_corner() -> None:
    """Lines of courses of 150 from 0 to 1200: from 300 to 900 four, those that reach in by half a millimetre none; upright
    boards have none; the side with more counts."""
    marks = tuple(150.0 * n for n in range(9))
    level, upright = (
        Column(0.0, 1350.0, part(marks=marks)),
        Column(0.0, 1350.0, part(direction="vertical", marks=marks)),
    )
    fewer = Column(0.0, 600.0, part(marks=marks))

    def courses(low: float, high: float, one: Column = level, other: Column = upright) -> int:
        return Stretch(low, high, one, other).courses()

    assert (courses(300.0, 900.0), courses(300.0, 900.0, upright, level)) == (4, 4)
    assert [courses(300.0, high) for high in (900.5, 900.6)] == [4, 5]
    assert [courses(low, 900.0) for low in (299.5, 299.4)] == [4, 5]
    assert courses(300.0, 900.0, fewer, level) == courses(300.0, 900.0, level, fewer) == 4
    assert courses(300.0, 900.0, fewer) == 2
    assert courses(300.0, 900.0, upright) == courses(300.0, 900.0, Column(0.0, 1350.0)) == 0
    assert courses(0.0, 2000.0) == 9


# --- sheets ---------------------------------------------------------------------------------------------------------------


def trims(face: Face, settings: Settings, catalogue: Catalogue, direction: str = "sheets") -> list[tuple[str, float]]:
    runs = sheet_trim_runs(face, zone(catalogue, direction), settings)
    return [(run.item, round(run.length_mm, 6)) for run in runs]


def test_flashings_of_openings_in_sheets(settings: Settings, catalogue: Catalogue) -> None:
    """Jambs of all openings but vents; 30 past each jamb at a head and 10 at a sill, as the settings of this test say; no
    sill under doors, meter boxes and what goes down to the floor; no head where nothing is clad over it."""
    own = with_values(settings, jamb_flashing="sheets", head_past_jamb_mm=30, sill_past_jamb_mm=10)
    top = ("sheet_top_flashing", 6000.0)

    def around(kind: str, foot: float, head: float = 2100.0, by: Settings = own) -> list[tuple[str, float]]:
        holed = replace(WALL, holes=(Hole("W", 2000.0, 3200.0, foot, head, kind),))
        return [row for row in trims(holed, by, catalogue) if row[0] != "sheet_top_flashing"]

    jambs, head, sill = (
        [("jamb_flashing", 1200.0)] * 2,
        ("sheet_head_flashing", 1260.0),
        ("sheet_sill_flashing", 1220.0),
    )
    assert around("window", 900.0) == [*jambs, head, sill]
    assert around("meter_box", 900.0) == around("door", 900.0) == [*jambs, head]
    assert around("vent", 900.0) == []
    assert around("window", 0.5) == [("jamb_flashing", 2099.5)] * 2 + [head]
    assert around("window", 0.6)[-1] == sill
    assert around("window", 900.0, TOP) == [("jamb_flashing", 1450.0)] * 2 + [sill]
    assert around("window", 900.0, by=with_values(own, jamb_flashing="all")) == [*jambs, head, sill]
    for kept in ("none", "boards"):
        assert around("window", 900.0, by=with_values(own, jamb_flashing=kept)) == [head, sill]
    assert trims(WALL, own, catalogue) == [top]
    assert trims(WALL, own, catalogue, "horizontal") == []
    low = replace(WALL, base=400.0, holes=(Hole("W", 2000.0, 3200.0, 400.4, 2100.0),))
    assert ("sheet_sill_flashing", 1220.0) not in trims(low, own, catalogue)


def test_flashings_of_tops_of_sheets(settings: Settings, catalogue: Catalogue) -> None:
    """A raked top along its slope; an opening up to the top parts it; a line that another zone stands on has none, whichever
    way it is given, and one beside it changes nothing."""
    rake = round(hypot(3000.0, 1500.0), 6)
    raked = [("sheet_raked_top_flashing", rake)] * 2
    assert trims(GABLE, settings, catalogue) == raked
    for rise, item in ((0.5, "sheet_top_flashing"), (0.6, "sheet_raked_top_flashing")):
        ((found, _),) = trims(replace(WALL, top=((0.0, TOP), (6000.0, TOP + rise))), settings, catalogue)
        assert found == item
    for head, lengths in ((TOP - 0.5, [2000.0, 2800.0]), (TOP - 0.6, [6000.0])):
        holed = replace(WALL, holes=(Hole("W", 2000.0, 3200.0, 900.0, head, "vent"),))
        assert trims(holed, settings, catalogue) == [("sheet_top_flashing", length) for length in lengths]
    for line in (((1000.0, TOP), (2500.0, TOP + 0.5)), ((2500.0, TOP), (1000.0, TOP - 0.5))):
        assert trims(replace(WALL, joins=(line,)), settings, catalogue) == [
            ("sheet_top_flashing", 1000.0), ("sheet_top_flashing", 3500.0),
        ]  # fmt: skip
    for line in (
        ((1000.0, TOP), (2500.0, TOP + 0.6)),
        ((1000.0, TOP - 0.6), (2500.0, TOP)),
        ((-0.6, TOP), (900.0, TOP)),
        ((5000.0, TOP), (6000.6, TOP)),
    ):
        assert trims(replace(WALL, joins=(line,)), settings, catalogue) == [("sheet_top_flashing", 6000.0)]
    half = (600.0, TOP + 300.0), (1800.0, TOP + 900.0)
    left = [round(hypot(x, x / 2), 6) for x in (600.0, 1200.0)]
    assert trims(replace(GABLE, joins=(half,)), settings, catalogue) == [
        *(("sheet_raked_top_flashing", length) for length in left), raked[1],
    ]  # fmt: skip
    # on the other slope, which begins at 3000
    right = (4200.0, TOP + 900.0), (5400.0, TOP + 300.0)
    assert trims(replace(GABLE, joins=(right,)), settings, catalogue) == [
        raked[0], *(("sheet_raked_top_flashing", length) for length in reversed(left)),
    ]  # fmt: skip


def test_a_flashing_of_sheets_with_its_working(settings: Settings, catalogue: Catalogue) -> None:
    own = with_values(settings, jamb_flashing="none", head_past_jamb_mm=30, wall_flashing_lap_mm=70)
    holed = replace(WALL, part=2, holes=(Hole("W", 2000.0, 3200.0, 0.0, 2100.0, "door"),))
    rule = "as long as what it lies on, past it at both ends where it is told so"
    lap = own.term("wall_flashing_lap_mm")
    length = [Term("length", mm, "mm", ref="wall 1") for mm in (1260.0, 6000.0)]
    assert sheet_trim_runs(holed, zone(catalogue, "sheets"), own) == (
        RunDemand(
            "T1-2.1", "sheet_head_flashing", 1260.0, None, 70.0, refs=("wall 1",),
            working=Working(rule, (length[0], lap, own.term("head_past_jamb_mm"))),
        ),
        RunDemand("T1-2.2", "sheet_top_flashing", 6000.0, None, 70.0, refs=("wall 1",), working=Working(rule, (length[1], lap))),
    )  # fmt: skip


def test_rib_closers(catalogue: Catalogue) -> None:
    """6 m of foot less a door of 900, 6 m of another, and 900 + 1200 over openings that sheets stand over: 13.2 m, whole
    metres; boards have none; a vent takes none. Just 12 m are 12."""
    door, window = Hole("D", 500.0, 1400.0, FOOT, 2100.0, "door"), Hole("W", 2000.0, 3200.0, 900.0, 2100.0)
    holes = (door, window, Hole("V", 4000.0, 4500.0, 900.0, 1200.0, "vent"), Hole("X", 5000.0, 5500.0, 900.0, TOP))
    sheets, boards = zone(catalogue, "sheets"), zone(catalogue)
    second = replace(WALL, wall=2)
    rule = "rib closer = feet of the sheets, openings down to them off + widths of openings under sheets; whole metres"
    assert rib_closers(((replace(WALL, holes=holes), sheets), (second, sheets), (second, sheets), (WALL, boards))) == (
        Quantity(
            "cladding.rib_closer", "wall_rib_closer", 20.0, "m", ("wall 1", "wall 2"),
            Working(rule, (Term("feet", 17.1, "m"), Term("over openings", 2.1, "m"))),
        ),
    )  # fmt: skip
    assert rib_closers(((WALL, sheets), (second, sheets)))[0].figure == 12.0
    # told to a millimetre; no metre more for a crumb of floating point
    odd = replace(WALL, right=6000.1234, holes=(Hole("W", 2000.0, 2905.5678, 900.0, 2100.0),))
    assert [term.value for term in rib_closers(((odd, sheets),))[0].working.terms] == [6.0, 0.906]
    assert rib_closers(((replace(WALL, right=6000.0000000001), sheets),))[0].figure == 6.0
    assert rib_closers(((WALL, boards),)) == ()


# --- areas ----------------------------------------------------------------------------------------------------------------


def test_areas_by_wall_zone_and_facing(catalogue: Catalogue) -> None:
    """Wall 1 in two zones, 6 x 0.95 below with a window of 1.2 x 0.5 m in it and 4 x 1.45 above (2 x 1.45 left out); wall 2
    whole; wall 3 clad by nobody. Walls 1 and 2 face 100 and 80 degrees: east; nobody knows of a third part."""
    low = replace(WALL, frame_top=900.0, rings=((((0.0, FOOT), (6000.0, FOOT), (6000.0, 900.0), (0.0, 900.0)),),))
    low = replace(low, holes=(Hole("W", 2000.0, 3200.0, 300.0, 800.0),))
    high = replace(WALL, base=900.0, right=4000.0, part=2)
    high = replace(high, rings=((((0.0, 900.0), (4000.0, 900.0), (4000.0, TOP), (0.0, TOP)),),))
    one, two = zone(catalogue), zone(catalogue, name="zone 2")
    second, third = replace(WALL, wall=2), replace(WALL, wall=3)
    clad = (Clad(low, one, 100.0), Clad(high, two, None), Clad(second, one, 80.0))
    found = {each.id: each for each in wall_areas(clad, (WALL, second, third))}
    assert {name: round(each.figure, 6) for name, each in found.items()} == {
        "wall 1.net": 10.9, "wall 1.openings": 0.6, "wall 1.gross": 11.5, "wall 1.left_out": 2.9,
        "wall 2.net": 14.4, "wall 2.openings": 0.0, "wall 2.gross": 14.4, "wall 3.left_out": 14.4,
        "zone 1.net": 19.5, "zone 1.openings": 0.6, "zone 1.gross": 20.1,
        "zone 2.net": 5.8, "zone 2.openings": 0.0, "zone 2.gross": 5.8,
        "facing east.net": 19.5, "facing east.openings": 0.6, "facing east.gross": 20.1,
    }  # fmt: skip
    left = found["wall 1.left_out"]
    rule = Working("face of the wall less what its zones clad", (Term("face", 14.4, "m2"),))
    assert left == Quantity("wall 1.left_out", "wall area, left out", pytest.approx(2.9), "m2", ("wall 1",), rule)  # type: ignore[arg-type]
    rows = (("wall 1", 6000.0, 950.0), ("wall 1 part 2", 4000.0, 1450.0))
    terms = tuple(
        term
        for group, wide, high_ in rows
        for term in (
            Term("width of the face", wide, "mm", None, group),
            Term("height to the frame", high_, "mm", None, group),
        )
    )
    rule = Working(
        "area of the cladding face, up to its raked top; net of openings",
        (*terms, Term("openings", 0.6, "m2", None, "wall 1"), one.term("thickness_mm"), two.term("thickness_mm")),
    )
    net = found["wall 1.net"]
    assert net == Quantity("wall 1.net", "wall area, net", pytest.approx(10.9), "m2", ("wall 1",), rule)  # type: ignore[arg-type]
    assert found["facing east.gross"].refs == ("wall 1", "wall 2")
    # 100 x 100 mm left out are nothing
    for short, told in ((4.1, False), (4.2, True)):
        cut = Clad(replace(WALL, right=6000.0 - short, top=((0.0, TOP), (6000.0 - short, TOP))), one, None)
        assert any(each.id == "wall 1.left_out" for each in wall_areas((cut,), (WALL,))) is told


def test_areas_are_told_to_a_square_millimetre(catalogue: Catalogue) -> None:
    """A face of 6000.1236 x 2400.1238 with a window of 1200.0004 x 500: sizes to a thousandth, areas to a millionth."""
    wide, high = 6000.1236, 2400.1238
    odd = replace(WALL, right=wide, frame_top=FOOT + high, top=((0.0, FOOT + high), (wide, FOOT + high)))
    odd = replace(odd, holes=(Hole("W", 2000.0, 3200.0004, 300.0, 800.1237),))
    found = {each.id: each for each in wall_areas((Clad(odd, zone(catalogue), None),), (odd, replace(odd, wall=2)))}
    assert [term.value for term in found["wall 1.net"].working.terms[:3]] == [
        6000.124, 2400.124, round(1200.0004 * 500.1237 / 1e6, 6),
    ]  # fmt: skip
    assert found["wall 2.left_out"].working.terms[0].value == round(wide * high / 1e6, 6)


@pytest.mark.parametrize(
    ("a", "b", "there"),
    [
        ((99.5, 0.0), (900.0, 0.0), True), ((99.4, 0.0), (900.0, 0.0), False), ((900.0, 0.0), (99.4, 0.0), False),
        ((5000.0, 0.0), (6100.5, 0.0), True), ((5000.0, 0.0), (6100.6, 0.0), False),
        ((1000.0, 0.5), (2000.0, -0.5), True), ((1000.0, 0.6), (2000.0, 0.0), False), ((1000.0, 0.0), (2000.0, -0.6), False),
    ],
)  # fmt: skip
def test_whether_a_line_lies_on_a_top(a: tuple[float, float], b: tuple[float, float], there: bool) -> None:
    """Both its ends, give or take half a millimetre, on a top from 100 to 6100 that rises 1 in 4 from 2350; heights over it."""
    line = tuple((x, TOP + (x - 100.0) / 4.0 + over) for x, over in (a, b))
    assert _lies_on(line, ((100.0, TOP), (6100.0, TOP + 1500.0))) is there


def test_a_line_with_a_corner_in_it_takes_its_ends_off_a_top(settings: Settings, catalogue: Catalogue) -> None:
    """From 1000 to 2500 by way of 1800, 300 lower there: what is left of 6 m is 1 m and 3.5 m."""
    line = ((1000.0, TOP), (1800.0, TOP - 300.0), (2500.0, TOP))
    for given in (line, tuple(reversed(line))):
        assert trims(replace(WALL, joins=(given,)), settings, catalogue) == [
            ("sheet_top_flashing", 1000.0), ("sheet_top_flashing", 3500.0),
        ]  # fmt: skip
