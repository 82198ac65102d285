"""Upright boards across a wall: end boards, lines beside jambs, rips of one board; what goes round boards, with its nails
and primer: by hand. Boards of 150 at a cover of 135."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.vertical_boards import (
    Lines,
    board_lines,
    end_rips,
    from_one_board,
    lay_vertical,
    vertical_runs,
)
from takeoff.measure.cladding.wall_trims import (
    all_round_primer,
    crossings,
    flashing_runs,
    joint_nails,
    nails,
    nails_per_crossing,
    packer_runs,
    primer,
    scriber_runs,
)
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Catalogue
from takeoff.model.runs import AtJoints, RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP = -50.0, 2350.0


def wall(width: float = 2000.0, *holes: Hole, left: float = 0.0) -> Face:
    right = left + width
    return Face(1, left, right, FOOT, TOP, ((left, TOP), (right, TOP)), holes)


@pytest.fixture
def up(catalogue: Catalogue) -> Zone:
    board = replace(
        catalogue.boards["bevel_187"], id="up", name="Upright 150", kind="shiplap", width_mm=150, cover_mm=135
    )
    return Zone("zone 1", frozenset({1}), "vertical", board, False)


@pytest.fixture
def bevel(catalogue: Catalogue) -> Zone:
    return Zone("zone 2", frozenset({1}), "horizontal", catalogue.boards["bevel_187"], True)


# --- lines ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "share", "whole", "rip"),
    [
        (1350.0, 0.5, 10, 0.0), (1350.5, 0.5, 10, 0.0), (1349.5, 0.5, 10, 0.0), (1350.6, 0.5, 9, 67.8), (1349.4, 0.5, 8, 134.7),
        (2000.0, 0.5, 13, 122.5), (2000.0, 0.25, 14, 55.0), (1485.0 - 67.5, 0.25, 10, 33.75), (1485.0 - 67.6, 0.25, 9, 101.2),
        (200.0, 0.5, 0, 100.0), (100.0, 0.5, 0, 50.0), (135.0, 0.5, 1, 0.0),
    ],
)  # fmt: skip
def test_end_boards(width: float, share: float, whole: int, rip: float) -> None:
    """Whole covers within half a millimetre have none; else as many whole boards as leave two rips of the share of a
    cover."""
    assert end_rips(width, 135.0, share) == (whole, pytest.approx(rip))


def test_lines_of_a_wall_without_openings(up: Zone, settings: Settings) -> None:
    """122.5, thirteen covers, 122.5; whole covers; one board; two half ones."""
    marks = (-38.0, *(84.5 + 135.0 * n for n in range(14)), 1962.0)
    assert board_lines(wall(left=-38.0), up, settings) == Lines(marks, 0.0, ())
    assert board_lines(wall(405.0), up, settings) == Lines((0.0, 135.0, 270.0, 405.0), 0.0, ())
    assert board_lines(wall(135.4), up, settings).marks_mm == (0.0, 135.4)
    assert board_lines(wall(120.0), up, settings).marks_mm == (0.0, 120.0)
    assert board_lines(wall(200.0), up, settings).marks_mm == (0.0, 100.0, 200.0)
    # a share over a half counts as a half
    assert board_lines(wall(), up, with_values(settings, end_rip_least_share=0.9)).marks_mm[1] == 122.5


def test_lines_moved_for_full_boards_beside_an_opening(up: Zone, settings: Settings) -> None:
    """Lines at 122.5 + 135 n; they may move 12.5 to the right and 55 to the left. An opening of two covers from 400 on: the
    line at 392.5 moves 7.5; from 380 on 12.5 back. From 410 on 17.5 would be too far, 117.5 back too."""

    def of(left: float, covers: float = 2.0, *more: Hole) -> Lines:
        return board_lines(wall(2000.0, Hole("W1", left, left + 135.0 * covers, 900.0, 2100.0), *more), up, settings)

    even = tuple(122.5 + 135.0 * n for n in range(14))
    for left, moved in ((400.0, 7.5), (380.0, -12.5), (405.0, 12.5)):
        assert of(left) == Lines((0.0, *(x + moved for x in even), 2000.0), pytest.approx(moved), ())
    assert of(392.5) == Lines((0.0, *even, 2000.0), 0.0, ())
    assert of(392.8) == Lines((0.0, *(pytest.approx(x + 0.3) for x in even), 2000.0), 0.0, ())  # type: ignore[arg-type]
    # 17.5 is too far: a strip of 17.5 to the left of the jamb is told of at 30 or so, and moved in steps of 5
    assert of(410.0).moved_mm != pytest.approx(17.5)
    # of two openings that ask for other moves the lesser move, or the one that serves more of them
    free = with_values(settings, jamb_strip_least_mm=0)
    first, other = Hole("W1", 400.0, 670.0, 900.0, 2100.0), Hole("W2", 1207.5, 1342.5, 900.0, 2100.0)
    assert board_lines(wall(2000.0, first, other), up, free).moved_mm == pytest.approx(5.0)
    # where either move leaves a sliver beside the other neither is taken
    assert board_lines(wall(2000.0, first, other), up, settings).moved_mm not in (5.0, 7.5)
    third = Hole("W3", 1480.0, 1615.0, 900.0, 2100.0)
    assert board_lines(wall(2000.0, first, other, third), up, free).moved_mm == pytest.approx(7.5)


def test_lines_move_no_further_than_the_narrower_of_two_rips_allows(up: Zone, settings: Settings) -> None:
    """Rips of 80 on 1915: half a cover is 67.5, so that lines may move 12.5 either way."""
    for off, moved in ((12.0, 12.0), (-12.0, -12.0), (12.6, None), (-12.6, None)):
        hole = Hole("W1", 350.0 + off, 620.0 + off, 900.0, 2100.0)
        found = board_lines(wall(1915.0, hole), up, with_values(settings, jamb_strip_least_mm=0)).moved_mm
        assert found == pytest.approx(0.0 if moved is None else moved), off


def test_no_sliver_is_moved_away_further_than_end_boards_allow(up: Zone, settings: Settings) -> None:
    """Strips of 5 at both jambs: 15 to the right or left would clear them, 12.5 may be moved."""
    own = with_values(settings, jamb_strip_least_mm=20)
    found = board_lines(wall(2000.0, Hole("W1", 397.5, 657.5, 900.0, 2100.0)), up, own)
    assert (found.moved_mm, found.slivers) == (0.0, ("W1 left (5 mm)", "W1 right (5 mm)"))


def test_slivers_beside_jambs(up: Zone, settings: Settings) -> None:
    """An opening of one and a third cover: a strip of 10 left of it goes when the lines move 10 to the left; where 20 are
    asked for on both sides lines move till both have as much; where nothing serves it is told."""
    own = with_values(settings, jamb_strip_least_mm=20)

    def of(left: float, right: float, by: Settings = own) -> Lines:
        return board_lines(wall(2000.0, Hole("W1", left, right, 900.0, 2100.0)), up, by)

    even = tuple(122.5 + 135.0 * n for n in range(14))
    moved = of(402.5, 592.5)  # 10 beside the line at 392.5, 70 up to that at 662.5
    assert (moved.moved_mm, moved.slivers) == (10.0, ())
    assert moved.marks_mm == (0.0, *(x + 10.0 for x in even), 2000.0)
    assert of(392.5 + 19.5, 592.5) == Lines((0.0, *even, 2000.0), 0.0, ())
    assert of(392.5 + 19.4, 592.5).moved_mm == -5.0
    assert of(392.5 + 0.5, 592.5) == Lines((0.0, *even, 2000.0), 0.0, ())
    assert of(392.5 + 0.6, 592.5).moved_mm == 5.0
    right = of(330.0, 662.5 - 10.0)
    assert right.moved_mm == 10.0  # 20 are then left; 10 back would serve as well
    # two openings that no move serves
    holes = tuple(Hole(f"W{n}", 392.5 + 270.0 * n + off, 392.5 + 270.0 * n + off + 70.0, 900.0, 2100.0)
                  for n, off in enumerate((10.0, 25.0, 40.0, 55.0)))  # fmt: skip
    stuck = board_lines(wall(2000.0, *holes), up, own)
    assert (stuck.moved_mm, stuck.slivers) == (0.0, ("W0 left (10 mm)", "W3 right (10 mm)"))
    # whole covers are not moved
    whole = board_lines(wall(1350.0, Hole("W1", 145.0, 300.0, 900.0, 2100.0)), up, own)
    assert whole == Lines(tuple(135.0 * n for n in range(11)), 0.0, ("W1 left (10 mm)",))


def test_what_is_said_of_moved_lines_and_slivers(up: Zone, settings: Settings) -> None:
    own = with_values(settings, jamb_strip_least_mm=20)
    words = "Wall 1: boards are moved {} so that no sliver or a full board is beside jambs; the end boards differ."
    for hole, way in (((402.5, 592.5), "10 mm to the right"), ((407.5, 592.5), "5 mm to the left")):
        found = lay_vertical(wall(2000.0, Hole("W1", *hole, 900.0, 2100.0)), up, own).findings
        assert found == (Finding("boards-moved-off-centre", Severity.NOTE, words.format(way), refs=("wall 1",)),)
    boards = lay_vertical(wall(1350.0, Hole("W1", 145.0, 300.0, 900.0, 2100.0)), up, own)
    text = "Wall 1: narrow strips of board are left beside W1 left (10 mm)."
    advice = "Move the opening a few mm, or cover the strip with a wider facing."
    assert boards.findings == (Finding("sliver-beside-jamb", Severity.NOTE, text, advice, ("wall 1",)),)


def test_boards_laid_upright(up: Zone, settings: Settings) -> None:
    """Three of 405 mm with a window in the middle one: under it and over it; one of 135 is whole, ends of 122.5 are
    ripped, the second from the first where both and a lap and the saw go into 150."""
    boards = lay_vertical(wall(405.0, Hole("W1", 135.0, 270.0, 900.0, 2100.0)), up, settings)
    shown = [(p.id, p.row, p.length_mm, p.ripped_mm, p.notched, p.rest_of) for p in boards.pieces]
    assert shown == [
        ("B1.01", 1, 2400.0, 0.0, False, ""), ("B1.02a", 2, 950.0, 0.0, False, ""), ("B1.02b", 2, 250.0, 0.0, False, ""),
        ("B1.03", 3, 2400.0, 0.0, False, ""),
    ]  # fmt: skip
    width = Term("width of the face", 405.0, "mm", None, "wall 1")
    ends = Term("end boards", 135.0, "mm", None, "wall 1")
    rule = "whole boards inwards from both ends; end boards equal and at least half a cover"
    more = (settings.term("end_rip_least_share"), settings.term("jamb_strip_least_mm"))
    assert boards.working == Working(rule, (width, up.term("cover_mm"), ends, *more))
    assert (boards.courses, boards.net_mm2, boards.gross_mm2) == (3, 405.0 * 2400 - 135 * 1200, 405.0 * 2400)
    assert (boards.cover_mm, boards.board_width_mm, boards.direction, boards.breaks_mm) == (135, 150, "vertical", ())
    runs = vertical_runs(boards, wall(405.0), up)
    assert runs[2] == RunDemand(
        "B1.02b", "up", 250.0, row=2, group="wall 1", refs=("wall 1",), offset_mm=2100.0,
        working=Working("length of the board, its raked end to the long point", (Term("length", 250.0, "mm", ref="B1.02b"),)),
    )  # fmt: skip


def test_end_boards_of_a_face_past_its_framing(up: Zone, settings: Settings) -> None:
    """From -38 to 1962.124: rips of 122.562, thirteen whole boards between."""
    boards = lay_vertical(wall(2000.124, left=-38.0), up, settings)
    assert [(p.id, round(p.ripped_mm, 6)) for p in (boards.pieces[0], boards.pieces[1], boards.pieces[-1])] == [
        ("B1.01", 122.562), ("B1.02", 0.0), ("B1.15", 122.562),
    ]  # fmt: skip
    terms = boards.working.terms
    assert (terms[0].value, terms[2].value) == (2000.124, 122.562)
    rising = replace(wall(2000.0), top=((0.0, TOP), (2000.0, TOP + 1000.0)))
    first, second, *_ = lay_vertical(rising, up, settings).pieces
    # each as high as at its right side and a lap of 15 beyond it, rising 1 in 2
    assert (first.length_mm, second.length_mm) == pytest.approx((2400 + 137.5 / 2, 2400 + 272.5 / 2))


def piece(name: str, row: int, ripped: float, long: float = 2400.0) -> BoardPiece:
    return BoardPiece(name, 1, "zone 1", row, ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), long, ripped)


def test_two_rips_of_one_board(up: Zone) -> None:
    """65 and 65 seen, a lap of 15 and 4 of saw are 149; half a millimetre over 150 too. The shorter comes of the longer."""

    def rests(*pieces: BoardPiece, kerf: float = 4.0) -> list[str]:
        return [one.rest_of for one in from_one_board(pieces, up.board, kerf)]

    first, middle, last = piece("a", 1, 65.0), piece("m", 2, 0.0), piece("z", 3, 65.0)
    assert rests(first, middle, last) == ["", "", "a"]
    assert rests(first, middle, replace(last, length_mm=2500.0)) == ["z", "", ""]
    assert [rests(first, middle, replace(last, ripped_mm=rip))[2] for rip in (66.5, 66.6)] == ["a", ""]
    assert rests(first, middle, last, kerf=5.6) == ["", "", ""]
    assert rests(first, middle, replace(last, ripped_mm=0.0)) == ["", "", ""]
    assert rests(first, middle, last, replace(last, id="y", length_mm=100.0)) == [""] * 4
    assert rests(replace(first, row=1), replace(last, row=1)) == ["", ""]
    assert rests(first, replace(last, row=2)) == ["", "a"]
    assert rests() == []


# --- round the boards -----------------------------------------------------------------------------------------------------


WINDOW, DOOR = Hole("W1", 500.0, 1700.0, 900.0, 2100.0), Hole("D1", 1800.0, 2700.0, FOOT, 2050.0, "door")
VENT, METER = Hole("V1", 100.0, 300.0, 900.0, 1100.0, "vent"), Hole("M1", 100.0, 400.0, 900.0, 1500.0, "meter_box")


def items(runs: tuple[RunDemand, ...]) -> list[tuple[str, float]]:
    return [(run.item, run.length_mm) for run in runs]


def test_scribers_and_packers(bevel: Zone, up: Zone, settings: Settings) -> None:
    """Two heights of each opening but vents beside level boards; a packer along the foot behind bevel-back boards."""
    face = wall(3000.0, WINDOW, VENT, DOOR)
    timber = settings.word("scriber_timber")
    assert items(scriber_runs(face, bevel, settings)) == [(timber, 1200.0)] * 2 + [(timber, 2100.0)] * 2
    assert [run.id for run in scriber_runs(face, bevel, settings)] == ["S1.1", "S1.2", "S1.3", "S1.4"]
    assert scriber_runs(face, up, settings) == packer_runs(face, up, settings) == ()
    packer = settings.word("starter_packer")
    assert items(packer_runs(face, bevel, settings)) == [(packer, 1800.0), (packer, pytest.approx(300.0))]
    terms = (Term("length", 1800.0, "mm", ref="wall 1"), settings.term("starter_packer"))
    rule = "as long as it is seen on the wall, past what it covers at both ends"
    assert packer_runs(face, bevel, settings)[0] == RunDemand(
        "Y1.1", packer, 1800.0, None, refs=("wall 1",), working=Working(rule, terms)
    )
    other = replace(bevel, board=replace(bevel.board, kind="rusticated"))
    assert packer_runs(face, other, settings) == ()


def test_flashings_round_openings_in_boards(bevel: Zone, up: Zone, settings: Settings) -> None:
    """30 past each jamb at a head, 10 at a sill, in this test; a break at 1200 is flashed beside the window."""
    own = with_values(
        settings, jamb_flashing="vertical", head_past_jamb_mm=30, sill_past_jamb_mm=10, wall_flashing_lap_mm=70
    )
    face = replace(wall(3000.0, WINDOW, VENT, DOOR, METER), breaks=(1200.0,))
    head, tray = ("head_flashing", 1260.0), ("sill_tray", 1220.0)
    jambs = [("jamb_flashing", 1200.0)] * 2
    rest = [("head_flashing", 960.0), ("head_flashing", 360.0)]
    breaks = [("level_break_flashing", length) for length in (100.0, 100.0, 100.0, 300.0)]
    assert items(flashing_runs(replace(face, breaks=()), bevel, own)) == [head, tray, *rest]
    found = items(flashing_runs(face, up, own))
    assert found[:10] == [
        *jambs,
        head,
        tray,
        ("jamb_flashing", 2100.0),
        ("jamb_flashing", 2100.0),
        rest[0],
        *([("jamb_flashing", 600.0)] * 2),
        rest[1],
    ]
    assert found[10:] == breaks
    every = with_values(own, jamb_flashing="all")
    assert items(flashing_runs(wall(3000.0, WINDOW), bevel, every)) == [*jambs, head, tray]
    sheets = replace(up, direction="sheets")
    assert items(flashing_runs(face, sheets, own)) == breaks
    for foot, count in ((0.5, 0), (0.6, 1)):
        low = items(flashing_runs(wall(3000.0, replace(WINDOW, foot=foot)), bevel, own))
        assert low.count(tray) == count
    raised = replace(wall(3000.0, replace(WINDOW, foot=400.4)), base=400.0)
    assert tray not in items(flashing_runs(raised, bevel, own))
    up_to_top = items(flashing_runs(wall(3000.0, replace(WINDOW, head=TOP)), bevel, own))
    assert up_to_top == [tray]
    first = flashing_runs(wall(3000.0, WINDOW), bevel, own)[0]
    terms = (
        Term("length", 1260.0, "mm", ref="wall 1"),
        own.term("wall_flashing_lap_mm"),
        own.term("head_past_jamb_mm"),
    )
    rule = "as long as it is seen on the wall, past what it covers at both ends"
    assert first == RunDemand(
        "F1.1", "head_flashing", 1260.0, None, 70.0, refs=("wall 1",), working=Working(rule, terms)
    )


def laid(direction: str, *pieces: tuple[float, float, float]) -> WallBoards:
    """Pieces that begin at x, y and are so long."""
    made = tuple(
        BoardPiece(f"B{n}", 1, "z", n, ((x, y), (x + 9000.0, y), (x + 9000.0, y + 9000.0)), long)
        for n, (x, y, long) in enumerate(pieces)
    )
    return WallBoards(1, "z", direction, "b", 135.0, 150.0, 1, 0.0, 0.0, made, (), Working(""))


def test_crossings_of_boards_and_battens() -> None:
    """Half a millimetre short of a batten is on it."""
    lines = (0.0, 600.0, 1200.0)
    for start, end, count in (
        (0.5, 1199.5, 3),
        (0.6, 1199.5, 2),
        (0.5, 1199.4, 2),
        (-50.0, 1300.0, 3),
        (100.0, 500.0, 0),
    ):
        assert crossings(laid("horizontal", (start, 77.0, end - start)), lines) == count
        assert crossings(laid("vertical", (77.0, start, end - start)), lines) == count
    assert crossings(laid("horizontal", (0.0, 0.0, 600.0), (600.0, 0.0, 600.0)), lines) == 4


def test_nails_a_crossing(bevel: Zone, up: Zone, settings: Settings) -> None:
    """Two in boards over 130 that are not bevel-back (HP22 7.5.2(4), a building research magazine, no. 150)."""
    rows = [(replace(up, board=replace(up.board, width_mm=width)), count) for width, count in ((130.0, 1), (131.0, 2))]
    for zone, count in (*rows, (bevel, 1)):
        assert nails_per_crossing(zone, settings) == count


def test_nails_of_boards_by_size(bevel: Zone, up: Zone, settings: Settings) -> None:
    """18 thick and 20 of cavity need 38 + 30: nails of 75. Bevel-back 100 + 20 crossings of one, upright boards 50 of two:
    220 and 5 % are 231. Boards of 40 take longer ones."""
    quantities, made = nails(((bevel, 100), (up, 50), (bevel, 20)), 20.0, settings)
    (line,) = quantities
    assert (line.id, line.figure, line.unit, line.refs) == (
        "cladding.board nail 75 x 2.8",
        231,
        "each",
        ("zone 2", "zone 1"),
    )
    assert [item.id for item in made] == ["board nail 75 x 2.8"]
    names = [(term.name, term.value, term.ref) for term in line.working.terms[:5]]
    assert names == [
        (f"crossings of {bevel.board.name}", 120, "zone 2"), ("crossings of Upright 150", 50, "zone 1"),
        (f"nails a crossing of {bevel.board.name}", 1, "zone 2"), ("nails a crossing of Upright 150", 2, "zone 1"),
        (f"nail over the lower edge of {bevel.board.name}", 187 - 155 + 10.0, "zone 2"),
    ]  # fmt: skip
    thick = replace(up, name="zone 3", board=replace(up.board, thickness_mm=40))
    both, _ = nails(((bevel, 100), (thick, 3), (up, 0)), 20.0, settings)
    assert [(each.figure, each.refs) for each in both] == [(105, ("zone 2", "zone 1")), (7, ("zone 3",))]
    assert nails(((up, 0),), 20.0, settings) == ((), ())


def test_nails_at_running_joints(bevel: Zone, up: Zone, settings: Settings) -> None:
    """One more for each nail of a crossing, with 5 %."""
    terms = (settings.term("nail_joint_extra"), settings.term("nail_spare_pct"))
    assert joint_nails((bevel, up), 20.0, settings) == {
        "bevel_187": AtJoints("board nail 75 x 2.8", pytest.approx(1.05), terms),  # type: ignore[arg-type]
        "up": AtJoints("board nail 75 x 2.8", pytest.approx(2.1), terms),  # type: ignore[arg-type]
    }


def test_primer_for_cut_ends(settings: Settings) -> None:
    """A board of 2400 has two ends, one of 6000.6 is two pieces of 6 m: six ends of 2 mL; no pieces need none."""
    own = with_values(settings, primer_ml_per_end=2)
    boards = laid("vertical", (0.0, 0.0, 2400.0), (0.0, 0.0, 6000.5), (0.0, 0.0, 6000.6))
    rule = Working("primer = cut ends x primer for one", (Term("cut ends", 8, "each"), own.term("primer_ml_per_end")))
    assert primer((boards,), 6000, own) == (Quantity("cladding.primer", "primer for cut ends", 0.016, "L", (), rule),)
    assert primer((laid("vertical"),), 6000, own) == ()


def test_primer_for_bare_boards(up: Zone, settings: Settings) -> None:
    """3.5 m of 150 x 18, all round 0.336 m: 1.176 m2, over 8 m2 a litre."""
    own = with_values(settings, board_primer_m2_per_l=8)
    boards = laid("vertical", (0.0, 0.0, 2400.0), (0.0, 0.0, 1100.0))
    rule = "primer = lengths of boards x 2 x (width + thickness) / what a litre covers"
    terms = (Term("area of boards all round", 1.176, "m2"), own.term("board_primer_m2_per_l"))
    (found,) = all_round_primer(((boards, up),), own)
    assert found == Quantity(
        "cladding.board_primer", "primer for boards", pytest.approx(0.147), "L", (), Working(rule, terms)
    )  # type: ignore[arg-type]
    assert all_round_primer(((boards, up), (boards, up)), own)[0].figure == pytest.approx(0.294)
    assert (
        all_round_primer(((laid("vertical"), up),), own)
        == all_round_primer(((boards, up),), with_values(own, board_primer_m2_per_l=0))
        == ()
    )
