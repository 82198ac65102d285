"""A part of a wall laid in sheets, every record by hand. Corrugate covers 762 of 845, ribs 76.2 apart; the wall begins 100 mm right
of its framing's end, is 2200 wide and 2400 high from 50 under the floor; gables over it rise 1 in 2."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import atan, degrees, radians, tan
from pathlib import Path

import pytest

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.wall_sheets import Ground, WallLaid, lay_sheets, sheet_groups
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Term, Working
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.sheets import CutShape, SheetPiece
from takeoff.model.walls import Corner

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP, PEAK = -50.0, 2350.0, 2900.0
WALL = Face(3, 100.0, 2300.0, FOOT, TOP, ((100.0, TOP), (2300.0, TOP)), (), part=2)
GABLE = replace(WALL, top=((100.0, TOP), (1200.0, PEAK), (2300.0, TOP)))
FREE, OUT = Corner("none", 180.0), Corner("external", 90.0)
RAKE = degrees(atan(0.5))
RULE = (
    "sheets side by side = ceil((width - (overall - cover)) / cover); each as long as it reaches over its overall width,"
    " rounded up once"
)


@pytest.fixture
def own(settings: Settings) -> Settings:
    return with_values(
        settings, raked_allowance_mm=50, raked_step_mm=10, square_step_mm=10, lay_from="east", end_lap_mm=150,
        least_run_mm=500, wall_sheet_short_mm=20, count_by_overall=True,
    )  # fmt: skip


def zone(catalogue: Catalogue) -> Zone:
    board = replace(
        catalogue.boards["bevel_187"], id="corrugated", direction="sheets", cover_mm=762.0, width_mm=845.0, basis={}
    )
    return Zone("zone 1", frozenset({3}), "sheets", board, False)


def laid(
    face: Face, catalogue: Catalogue, settings: Settings, faces: float | None = None, longest: float | None = None,
    rows: tuple[float, ...] = (), ends: WallEnds | None = None,
) -> WallLaid:  # fmt: skip
    ground = Ground(catalogue.profiles["corrugated"], faces, Site(longest_piece_mm=longest), rows)
    return lay_sheets(face, ends or WallEnds(FREE, FREE), zone(catalogue), ground, settings)


def row(piece: SheetPiece) -> tuple[object, ...]:
    sides = (piece.left_mm, piece.right_mm)
    return (piece.mark, piece.strip, piece.part, piece.reach_mm, piece.order_mm, tuple(round(mm, 6) for mm in sides))


def rakes(found: WallLaid) -> list[float]:
    """Of foot and top of each sheet in turn."""
    return [angle for piece in found.boards.pieces for angle in piece.rakes_deg]


def test_a_plain_wall_from_its_left_end(catalogue: Catalogue, own: Settings) -> None:
    """(2200 - 83) / 762 is 2.78: three sheets, their lines at 862 and 1624."""
    found = laid(WALL, catalogue, own)
    boards, sheets = found.boards, found.sheets
    assert [row(piece) for piece in sheets.pieces] == [
        ("B3-2.01", 1, 0, 2400.0, 2400.0, (2400.0, 2400.0)), ("B3-2.02", 2, 0, 2400.0, 2400.0, (2400.0, 2400.0)),
        ("B3-2.03", 3, 0, 2400.0, 2400.0, (2400.0, 2400.0)),
    ]  # fmt: skip
    assert (boards.wall, boards.zone, boards.direction, boards.board) == (3, "zone 1", "sheets", "corrugated")
    assert (boards.cover_mm, boards.board_width_mm, boards.courses, boards.marks_mm) == (
        762.0, 845.0, 3, (100.0, 862.0, 1624.0, 2300.0),
    )  # fmt: skip
    assert (boards.net_mm2, boards.gross_mm2, boards.findings) == (2200.0 * 2400.0, 2200.0 * 2400.0, ())
    names = ("count_by_overall", "raked_allowance_mm", "raked_step_mm", "square_step_mm", "wall_sheet_short_mm")
    board = zone(catalogue)
    terms = (
        Term("width of the face", 2200.0, "mm", None, "wall 3 part 2"), board.term("cover_mm"), board.term("width_mm"),
        *(own.term(name) for name in names),
    )  # fmt: skip
    assert boards.working == Working(f"{RULE}; from its left end", terms)
    for n, (piece, (x0, x1)) in enumerate(
        zip(boards.pieces, ((100.0, 945.0), (862.0, 1707.0), (1624.0, 2300.0)), strict=True)
    ):
        assert (piece.id, piece.wall, piece.zone, piece.row) == (f"B3-2.0{n + 1}", 3, "zone 1", n + 1)
        assert set(piece.outline_xy) == {(x0, FOOT), (x1, FOOT), (x1, TOP), (x0, TOP)}
        assert (piece.length_mm, piece.rakes_deg, piece.sides_mm, piece.lap_mm, piece.notched) == (
            2400.0, (0.0, 0.0), (2400.0, 2400.0), 0.0, False,
        )  # fmt: skip
    assert (sheets.plane, sheets.profile, sheets.start_side, sheets.over_edge) == (
        "wall 3 part 2",
        "corrugated",
        "left",
        "left",
    )
    assert (sheets.start_u_mm, sheets.snap_u_mm, sheets.first_cover_mm, sheets.movement_mm) == (
        100.0,
        100.0,
        762.0,
        0.0,
    )
    assert sheets.start_edge == "100 mm right of the left end of the framing"
    assert (sheets.cover_mm, sheets.overall_mm, sheets.net_mm2) == (762.0, 845.0, 2200.0 * 2400.0)
    assert [set(ring) for ring in sheets.sheeted_uv] == [{(100.0, FOOT), (2300.0, FOOT), (2300.0, TOP), (100.0, TOP)}]
    past = replace(WALL, left=-40.0, top=((-40.0, TOP), (2300.0, TOP)))
    assert laid(past, catalogue, own).sheets.start_edge == "40 mm left of the left end of the framing"


def test_a_gable_from_either_end(catalogue: Catalogue, own: Settings) -> None:
    """Over its 845 the first sheet rises from 2400 to 2822.5, the second to 2950 at the peak and down to 2696.5, the last
    falls from 2738 to 2400; 50 more for a rake, in steps of 10. From the right end the same the other way round; rows count
    from the left all the same, corners are taped from the left edge of the whole sheet."""
    left = laid(GABLE, catalogue, own)
    assert [row(piece) for piece in left.sheets.pieces] == [
        ("B3-2.01", 1, 0, 2822.5, 2880.0, (2400.0, 2822.5)), ("B3-2.02", 2, 0, 2950.0, 3000.0, (2781.0, 2696.5)),
        ("B3-2.03", 3, 0, 2738.0, 2790.0, (2738.0, 2400.0)),
    ]  # fmt: skip
    assert [piece.top.shape for piece in left.sheets.pieces] == [CutShape.RAKED, CutShape.APEX, CutShape.RAKED]
    assert [(piece.start_side, piece.lap_side, piece.run, piece.plane, piece.profile) for piece in left.sheets.pieces] == [
        ("left", "right", 1, "wall 3 part 2", "corrugated"),
    ] * 3  # fmt: skip
    assert [piece.long_point_mm for piece in left.sheets.pieces] == [(845.0, 2822.5), (338.0, 2950.0), (0.0, 2738.0)]
    assert rakes(left) == pytest.approx([0.0, RAKE] * 3)
    assert [piece.sides_mm for piece in left.boards.pieces] == [(p.left_mm, p.right_mm) for p in left.sheets.pieces]
    right = laid(GABLE, catalogue, own, 180.0)
    assert [row(piece) for piece in right.sheets.pieces] == [
        ("B3-2.01", 3, 0, 2738.0, 2790.0, (2400.0, 2738.0)), ("B3-2.02", 2, 0, 2950.0, 3000.0, (2696.5, 2781.0)),
        ("B3-2.03", 1, 0, 2822.5, 2880.0, (2822.5, 2400.0)),
    ]  # fmt: skip
    assert {(piece.start_side, piece.lap_side) for piece in right.sheets.pieces} == {("right", "left")}
    assert [piece.row for piece in right.boards.pieces] == [1, 2, 3]
    assert right.boards.marks_mm == (100.0, 776.0, 1538.0, 2300.0)
    assert right.boards.working.rule == f"{RULE}; from the lee end, east"
    assert [piece.long_point_mm for piece in right.sheets.pieces] == [
        pytest.approx((100.0 + 69.0 + 676.0, 2738.0)), pytest.approx((1200.0 - 693.0, 2950.0)), (0.0, 2822.5),
    ]  # fmt: skip
    sheets = right.sheets
    assert (sheets.start_side, sheets.over_edge, sheets.start_u_mm, sheets.snap_u_mm) == (
        "right",
        "right",
        2300.0,
        2300.0,
    )
    assert (sheets.start_edge, sheets.first_cover_mm) == ("2300 mm right of the left end of the framing", 762.0)
    first = left.sheets.pieces[0]
    assert first.working == Working(
        "B3-2.01: bought alone = (reach + raked allowance) rounded up once to the step",
        (
            Term("reach", 2822.5, "mm", ref="B3-2.01"), own.term("raked_allowance_mm"), own.term("raked_step_mm"),
            Term("bought alone", 2880.0, "mm", ref="B3-2.01"),
        ),
    )  # fmt: skip


def test_sheets_in_two_lengths(catalogue: Catalogue, own: Settings) -> None:
    """Pieces of 1600 are lapped 150 with the middle of the lap on the batten at 1160: upper sheets start at 1085; 1285 and
    1265 long, in steps of 10 1290 and 1270. What is just as long as the longest piece comes in one."""
    found = laid(WALL, catalogue, own, longest=1600.0, rows=(FOOT, 1160.0, TOP))
    wanted = [
        (f"B3-2.0{n}{tier}", n, part, reach, bought, (reach, reach))
        for n in (1, 2, 3)
        for tier, part, reach, bought in (("a", 0, 1285.0, 1290.0), ("b", 1, 1265.0, 1270.0))
    ]
    assert [row(piece) for piece in found.sheets.pieces] == wanted
    assert [(piece.foot_v_mm, piece.lap_mm) for piece in found.sheets.pieces[:2]] == [(FOOT, 150.0), (1085.0, 0.0)]
    assert [piece.lap_mm for piece in found.boards.pieces] == [150.0, 0.0] * 3
    assert [piece.row for piece in found.boards.pieces] == [1, 1, 2, 2, 3, 3]
    lower = found.sheets.pieces[0].working
    assert (
        lower.rule
        == "B3-2.01a: bought alone = (reach) rounded up once to the step; lapped 150 mm under the sheet above"
    )
    assert found.boards.working.terms[-1] == own.term("end_lap_mm")
    assert [each.code for each in found.boards.findings] == ["wall-sheets-lapped"]
    for longest, count in ((2400.0, 3), (2399.0, 6)):
        by = laid(WALL, catalogue, own, longest=longest)
        assert (len(by.sheets.pieces), len(by.boards.findings)) == (count, count // 6)
    # the first sheet of this gable is bought in 2870, the second is longer
    rise = 1100.0 * 420.0 / 845.0
    gable = replace(WALL, top=((100.0, TOP), (1200.0, TOP + rise), (2300.0, TOP)))
    assert laid(gable, catalogue, own).sheets.pieces[0].order_mm == 2870.0
    pieces = laid(gable, catalogue, own, longest=2870.0).sheets.pieces
    assert [piece.mark for piece in pieces] == ["B3-2.01", "B3-2.02a", "B3-2.02b", "B3-2.03"]


def test_sheets_cut_short_and_moved_out(catalogue: Catalogue, own: Settings) -> None:
    """Of 2400 three sheets leave 31, which corner flashings hide, 15.5 at either end. Of 2430 the fourth would show 144 of
    three crests, 228.6: it starts two ribs further out, and the first shows 609.6."""
    corners = WallEnds(OUT, OUT)
    short = laid(replace(WALL, right=2500.0, top=((100.0, TOP), (2500.0, TOP))), catalogue, own, ends=corners)
    assert short.boards.marks_mm == (115.5, 877.5, 1639.5, 2484.5)
    assert short.boards.working.terms[:3] == (
        Term("width of the face", 2400.0, "mm", None, "wall 3 part 2"),
        Term("short of the end", 15.5, "mm", None, "wall 3 part 2"), Term("short of the end", 15.5, "mm", None, "wall 3 part 2"),
    )  # fmt: skip
    assert short.boards.working.rule.startswith(f"{RULE}; from its left end; a sheet fewer: 31 mm")
    # a hair short is told too
    hair = laid(replace(WALL, right=2470.0, top=((100.0, TOP), (2470.0, TOP))), catalogue, own, ends=corners)
    assert [term.value for term in hair.boards.working.terms[1:3]] == [0.5, 0.5]
    wide = replace(WALL, right=2530.0, top=((100.0, TOP), (2530.0, TOP)))
    sparing = with_values(own, last_sheet_crests=3, last_sheet_least_mm=300, wall_sheet_short_mm=0)
    for faces, start, lines in ((None, -52.4, (709.6, 1471.6, 2233.6)), (180.0, 2682.4, (396.4, 1158.4, 1920.4))):
        moved = laid(wide, catalogue, sparing, faces)
        assert moved.boards.marks_mm == pytest.approx((100.0, *lines, 2530.0))
        assert (moved.sheets.start_u_mm, moved.sheets.first_cover_mm) == pytest.approx((start, 609.6))


def test_an_opening_notches_a_sheet(catalogue: Catalogue, own: Settings) -> None:
    """A window of 200 x 800 in the first. What is a millimetre high is no sheet; what is higher is."""
    window = replace(WALL, holes=(Hole("W", 500.0, 700.0, 600.0, 1400.0),))
    found = laid(window, catalogue, own)
    assert [piece.notched for piece in found.boards.pieces] == [True, False, False]
    assert found.boards.net_mm2 == 2200.0 * 2400.0 - 200.0 * 800.0
    for height, count in ((1.0, 0), (1.5, 3)):
        low = replace(WALL, frame_top=FOOT + height, top=((100.0, FOOT + height), (2300.0, FOOT + height)))
        flat = laid(low, catalogue, own)
        assert (len(flat.sheets.pieces), flat.boards.courses) == (count, count)


def test_sheets_of_walls_as_orders(catalogue: Catalogue, own: Settings) -> None:
    """A group a profile, with the sheets of all its walls; nothing for a wall without sheets."""
    thick = with_values(own, sheet_bmt_mm=0.55)
    one, two = laid(WALL, catalogue, own).sheets, laid(replace(WALL, wall=4), catalogue, own).sheets
    bare = replace(one, pieces=(), profile="tray_300")
    groups, items = sheet_groups((one, bare, two), catalogue, Site(), thick)
    profile = catalogue.profiles["corrugated"]
    made = Made(
        "wall sheet corrugated", "wall_sheet", (Mark(MarkKind.MADE_AS, profile.name), Mark(MarkKind.THICK, 0.55))
    )
    (group,) = groups
    assert (group.profile, group.bmt_mm, group.planes, group.item, items) == (profile, 0.55, (one, two), made, (made,))


def test_what_is_told_of_sizes_is_told_to_a_thousandth(catalogue: Catalogue, own: Settings) -> None:
    """2400.1234 wide leave 31.1234, 15.5617 at either end, told to a tenth."""
    wide, tall = 2400.1234, TOP + 0.1234
    odd = replace(WALL, right=100.0 + wide, top=((100.0, tall), (100.0 + wide, tall)))
    found = laid(odd, catalogue, own, ends=WallEnds(OUT, OUT))
    assert [term.value for term in found.boards.working.terms[:3]] == [2400.123, 15.6, 15.6]
    assert found.sheets.pieces[0].working.terms[0].value == 2400.123


def test_a_slight_rake_and_a_part_left_out(catalogue: Catalogue, own: Settings) -> None:
    """A top, and a foot, that rakes by half a degree is cut so; the foot of a face with a part left out in it stays."""
    rise = 2200.0 * tan(radians(0.5))
    slight = replace(WALL, top=((100.0, TOP), (2300.0, TOP + rise)))
    assert rakes(laid(slight, catalogue, own)) == pytest.approx([0.0, 0.5] * 3)
    ring = ((100.0, FOOT), (2300.0, FOOT + rise), (2300.0, TOP), (100.0, TOP))
    below = replace(WALL, rings=((ring,),))
    assert rakes(laid(below, catalogue, own)) == pytest.approx([0.5, 0.0] * 3)
    whole = ((100.0, FOOT), (2300.0, FOOT), (2300.0, TOP), (100.0, TOP))
    hole = ((400.0, 900.0), (400.0, 1200.0), (600.0, 1200.0), (600.0, 900.0))
    parted = laid(replace(WALL, rings=((whole, hole),)), catalogue, own)
    assert [(piece.foot_v_mm, piece.reach_mm) for piece in parted.sheets.pieces] == [(FOOT, 2400.0)] * 3
