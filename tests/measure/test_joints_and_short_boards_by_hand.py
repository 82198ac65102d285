"""Where level boards are joined along their run, and pieces too short to be boards, by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.running_joints import _Places, _places, _strip_at, board_runs
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Catalogue
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP = -50.0, 2350.0

FOOT, TOP = -50.0, 2350.0
WINDOW = Hole("W1", 2000.0, 3200.0, 900.0, 2100.0)


def wall(*holes: Hole, width: float = 6000.0, top: float = TOP) -> Face:
    return Face(1, 0.0, width, FOOT, top, ((0.0, top), (width, top)), holes)


def course(length: float = 6000.0, row: int = 1, start: float = 0.0, past: float = 0.0) -> BoardPiece:
    ring = ((start, 0.0), (start + length, 0.0), (start + length, 150.0), (start, 150.0))
    return BoardPiece(f"B1.{row:02d}", 1, "zone 1", row, ring, length, past_mm=past)


MARKS = tuple(FOOT + 150.0 * n for n in range(16))


def boards(*pieces: BoardPiece) -> WallBoards:
    return WallBoards(1, "zone 1", "horizontal", "b", 150.0, 187.0, 16, 0.0, 0.0, pieces, MARKS, Working(""))


def test_studs_that_a_board_may_be_joined_on(settings: Settings) -> None:
    """Studs at 600, 1000 from either end at least, every third from the course's own: of a board from 100 to 6100."""
    own = with_values(settings, joint_repeat_courses=3, board_least_piece_mm=1000, joint_strip_least_mm=100)
    every = tuple(600.0 * n for n in range(2, 9))
    found = _places(boards(course()), course(), wall(), own, 600.0)
    assert (found.start, found.length, found.studs, found.sound) == (0.0, 6000.0, every, every)
    assert found.own == found.course == (2400.0, 4200.0)
    second = _places(boards(course(row=2)), course(row=2), wall(), own, 600.0)
    assert second.course == (1200.0, 3000.0, 4800.0)
    third = _places(boards(course(row=3)), course(row=3), wall(), own, 600.0)
    assert third.course == (1800.0, 3600.0)
    moved = course(5000.0, 1, 300.0, 100.0)
    assert _places(boards(moved), moved, wall(), own, 600.0).studs == tuple(600.0 * n - 200.0 for n in range(2, 8))
    for least, studs in ((1200.0, every), (1200.1, every[1:-1])):
        assert (
            _places(boards(course()), course(), wall(), with_values(own, board_least_piece_mm=least), 600.0).studs
            == studs
        )
    # a face that ends at a stud has none there
    assert _places(boards(course(6000.0)), course(6000.0), wall(width=4800.0), own, 600.0).studs == every[:-1]
    # beside a window 100 of the board must show: course 7, from 850 to 1000, has 50 under it, course 16 all over it
    seventh = _places(boards(course(row=7)), course(row=7), wall(WINDOW), own, 600.0)
    assert (seventh.own, seventh.course) == ((4200.0,), (2400.0, 4200.0))
    assert seventh.sound == (1200.0, 1800.0, 3600.0, 4200.0, 4800.0)
    # the window's sill 99.5 over the foot of course 7, and a hair less
    for sill, sound in ((949.5, every), (949.4, seventh.sound)):
        holed = wall(replace(WINDOW, foot=sill))
        assert _places(boards(course(row=7)), course(row=7), holed, own, 600.0).sound == sound
    # a setting of less than one course is one: joints on any stud
    none = with_values(own, joint_repeat_courses=0)
    assert _places(boards(course()), course(), wall(), none, 600.0).course == every


def test_strips_of_a_board_that_are_seen(settings: Settings) -> None:
    """All of it beside an opening; under its sill 50 of 150; over its head, at 2100 in the course from 2050, 100; the last
    course is as high as its board or the wall; half a millimetre beside a jamb is beside it."""
    holed = wall(WINDOW)
    rows = [(7, 1900.0, 150.0), (7, 2400.0, 50.0), (15, 2400.0, 100.0), (8, 2400.0, 0.0), (7, 1999.5, 150.0), (7, 1999.6, 50.0),
            (7, 3200.4, 50.0), (7, 3200.5, 150.0), (16, 2400.0, 150.0)]  # fmt: skip
    for row, x, strip in rows:
        assert _strip_at(boards(), course(row=row), holed, x) == strip, (row, x)
    high = wall(replace(WINDOW, head=2300.0))
    assert _strip_at(boards(), course(row=16), high, 2400.0) == 50.0  # from 2200: 100 taken, up to the wall's 2350
    higher = replace(high, frame_top=9000.0, top=((0.0, 9000.0), (6000.0, 9000.0)))
    assert _strip_at(boards(), course(row=16), higher, 2400.0) == 87.0  # up to the board's own 2387
    # an opening that ends at the foot of the last course, or begins at the top of its board, takes nothing of it
    for foot, head in ((900.0, 2100.0), (900.0, 2200.0), (2387.0, 3000.0)):
        beside = replace(higher, holes=(replace(WINDOW, foot=foot, head=head),))
        assert _strip_at(boards(), course(row=16), beside, 2400.0) == 150.0


def test_the_fewest_joints() -> None:
    """Nine metres in pieces of 4 m: two joints where studs lie well, three on those of the course."""
    place = _Places(
        0.0, 9000.0, (2000.0, 4500.0, 7000.0), (2000.0, 3900.0, 4500.0, 7000.0, 7800.0), (4500.0,), (3000.0, 6000.0)
    )
    assert (place._joints(place.own, 4000.0), place._joints(place.sound, 4000.0)) == (3, 2)
    assert place._joints((3000.0, 6000.0), 6000.0) == 1  # a piece that goes just as far as a board
    assert place.fewest(4000.0) == place.sound
    assert place.fewest(5000.0) == place.own  # two each
    assert (place._joints(place.own, 9000.0), place._joints(place.own, 8999.9)) == (0, 1)
    assert [place.spans((4500.0,), reach) for reach in (4500.0, 4499.9, 9000.0)] == [True, False, True]
    assert place.first_that_spans(4000.0) == place.sound
    assert replace(place, sound=(2000.0,)).first_that_spans(4500.0) == (4500.0,)
    assert replace(place, sound=(2000.0,)).first_that_spans(4000.0) == (3000.0, 6000.0)
    assert replace(place, sound=(2000.0,)).first_that_spans(100.0) == (3000.0, 6000.0)


def test_level_boards_as_runs(catalogue: Catalogue, settings: Settings) -> None:
    """Scarfed over 18, joints of a course apart from those of the next; of a wall whose courses span any sound stud."""
    own = with_values(
        settings, board_scarf_deg=45, joint_repeat_courses=3, board_least_piece_mm=1000, joint_strip_least_mm=100
    )
    zone = Zone("zone 1", frozenset({1}), "horizontal", catalogue.boards["bevel_187"], True)
    names = ("board_scarf_deg", "joint_repeat_courses", "board_least_piece_mm", "joint_strip_least_mm")
    terms = (Term("length", 6000.0, "mm", ref="B1.01"), *(own.term(name) for name in names))
    (run,) = board_runs(boards(course()), wall(), zone, own, 600.0, 4200)
    assert run == RunDemand(
        "B1.01", "bevel_187", 6000.0, (2400.0, 4200.0), 18.0, row=1, stagger_mm=600.0, group="wall 1", refs=("wall 1",),
        working=Working("length of the board; running joints on studs", terms), rows_apart=2, joint_on="stud", spare_joints=1,
        tell=True,
    )  # fmt: skip
    # a reach of 1800 spans 0, 2400, 4200, 6000 not: any sound stud
    every = tuple(600.0 * n for n in range(2, 9))
    assert board_runs(boards(course()), wall(), zone, own, 600.0, 1818)[0].splits_mm == every
    for longest, splits in ((2418, (2400.0, 4200.0)), (2417, every)):
        assert board_runs(boards(course()), wall(), zone, own, 600.0, longest)[0].splits_mm == splits
    assert (
        board_runs(boards(course()), wall(), zone, with_values(own, joint_repeat_courses=1), 600.0, 4200)[0].rows_apart
        == 1
    )


# --- short pieces -----------------------------------------------------------------------------------------------------------


def test_pieces_too_short_beside_an_opening(settings: Settings) -> None:
    """Under 150 beside a door they are none; what is left is lettered anew; as short ones away from it stay."""
    own = with_values(settings, board_short_mm=150)
    door = Hole("D1", 1000.0, 1900.0, FOOT, 2100.0)

    def level(name: str, row: int, a: float, b: float, low: float = 0.0) -> BoardPiece:
        ring = ((a, low), (b, low), (b, low + 150.0), (a, low + 150.0))
        return BoardPiece(name, 1, "z", row, ring, b - a)

    pieces = (
        level("B1.01a", 1, 860.0, 1000.0), level("B1.01b", 1, 1900.0, 6000.0), level("B1.02a", 2, 0.0, 1000.0),
        level("B1.02b", 2, 1900.0, 2049.4), level("B1.03a", 3, 0.0, 100.0), level("B1.03b", 3, 1900.0, 2049.5),
        level("B1.04a", 4, 900.0, 1000.0, 2100.0),
    )  # fmt: skip
    kept, (note,) = without_short(wall(door), pieces, 0, own)
    assert [(piece.id, piece.length_mm) for piece in kept] == [
        ("B1.01", 4100.0), ("B1.02", 1000.0), ("B1.03a", 100.0), ("B1.03b", 149.5), ("B1.04", 100.0),
    ]  # fmt: skip
    text = "Wall 1: a strip of 140 to 149 mm beside D1 is too short for boards (2 pieces under 150 mm) and has none in this order."
    advice = "Close it with the threshold, sill or facing of the opening, or move the opening."
    assert note == Finding("strip-without-boards", Severity.NOTE, text, advice, ("wall 1",))
    upright = tuple(replace(piece, outline_xy=tuple((y, x) for x, y in piece.outline_xy)) for piece in pieces[:2])
    sill = Hole("W1", -10.0, 600.0, 1000.0, 1900.0)
    kept, (note,) = without_short(wall(sill), upright, 1, own)
    assert [piece.id for piece in kept] == ["B1.01"]
    assert "a strip of 140 mm beside W1" in note.text
    assert without_short(wall(), pieces, 0, own)[1] == ()


def test_a_short_piece_between_two_openings(settings: Settings) -> None:
    """It is told once, with the first of them; half a millimetre off an opening, or beside half a millimetre of it, it stays."""
    own = with_values(settings, board_short_mm=150)
    between = (Hole("D1", 1000.0, 1900.0, FOOT, 2100.0), Hole("D2", 2000.0, 2900.0, FOOT, 2100.0))

    def piece(a: float, b: float, low: float = 0.0) -> BoardPiece:
        ring = ((a, low), (b, low), (b, low + 150.0), (a, low + 150.0))
        return BoardPiece("B1.01", 1, "z", 1, ring, b - a)

    kept, (note,) = without_short(wall(*between), (piece(1900.0, 2000.0),), 0, own)
    assert (kept, "a strip of 100 mm beside D1 is" in note.text) == ((), True)
    one = wall(between[0])
    for row, stays in (
        (piece(1900.4, 2000.0), False), (piece(1900.5, 2000.0), True), (piece(1900.0, 2000.0, 2099.4), False),
        (piece(1900.0, 2000.0, 2099.5), True),
    ):  # fmt: skip
        assert bool(without_short(one, (row,), 0, own)[0]) is stays
