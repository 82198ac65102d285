"""Joints, supply and short pieces of boards, wrap and small items of walls: whole records by hand, on a wall of 6 m from 50
under the floor to 2350 over it."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import radians, tan
from pathlib import Path

import pytest

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.running_joints import _Places, _places, _strip_at, board_runs
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.measure.cladding.small_items import not_counted, small_items
from takeoff.measure.cladding.soffits import Soffit
from takeoff.measure.cladding.supply import (
    longest_piece,
    own_boards,
    random_metres,
    scarf_mm,
    sealed_ends,
    sold_at_random,
    stock_choices,
    stock_lengths,
)
from takeoff.measure.cladding.wrap import wrap_laps, wrap_metres, wrap_rolls
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.walls import WallsJob
from takeoff.model.products import Catalogue, Roll, basis_of
from takeoff.model.runs import AtCutEnds, AtJoints, RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import SEEN, with_values

FOOT, TOP = -50.0, 2350.0
WINDOW = Hole("W1", 2000.0, 3200.0, 900.0, 2100.0)


def wall(*holes: Hole, width: float = 6000.0, top: float = TOP) -> Face:
    return Face(1, 0.0, width, FOOT, top, ((0.0, top), (width, top)), holes)


ROLL = Roll("wrap", "Wrap", "wall", 1370.0, 50_000.0, {"*": SEEN})


# --- wrap -----------------------------------------------------------------------------------------------------------------


@pytest.fixture
def lapped(settings: Settings) -> Settings:
    """Level laps of 150, upright ones of 100: strips of 1370 rise by 1220."""
    return with_values(settings, wrap_lap_level_mm=150, wrap_lap_upright_mm=100)


def test_strips_of_wrap(lapped: Settings) -> None:
    """2400 less a lap are 2250: two strips of 6.1 m; to 2590.5 high two, above three. Up a gable the third is as long as
    the wall is at its foot. Laps: along the second strip, and at both ends of strips 1370 and 1180 high."""
    assert wrap_metres(wall(), ROLL, lapped) == 12.2
    assert [wrap_metres(wall(top=FOOT + high), ROLL, lapped) for high in (2590.5, 2590.6, 100.0)] == pytest.approx(
        [12.2, 18.3, 6.1]
    )
    assert wrap_laps(wall(), ROLL, lapped) == pytest.approx(6.0 + 1.37 + 1.18)
    assert wrap_laps(wall(top=FOOT + 100.0), ROLL, lapped) == pytest.approx(0.1)
    gable = replace(wall(), top=((0.0, TOP), (3000.0, 3850.0), (6000.0, TOP)))
    # strips begin at -50, 1170, 2390, 3610: 6 m, 6 m, 6 - 0.16 m, 0.96 m
    assert wrap_metres(gable, ROLL, lapped) == pytest.approx(6.1 * 2 + 5.84 + 0.1 + 0.96 + 0.1)
    assert wrap_laps(gable, ROLL, lapped) == pytest.approx(6 + 5.84 + 0.96 + 1.37 * 3 + 0.24)


def test_rolls_of_wrap(lapped: Settings) -> None:
    """Four walls of 12.2 m are one roll of 50 m, of 12.5 m just one, five two."""
    rule = (
        "rolls = ceil(metres of strips / roll length); strips = ceil((height - lap) / (roll width - lap)), openings wrapped"
        " over"
    )
    terms = (
        Term("metres of strips", 48.8, "m"), Term("roll width", 1370.0, "mm", SEEN, "wrap"),
        Term("roll length", 50_000.0, "mm", SEEN, "wrap"), lapped.term("wrap_lap_level_mm"), lapped.term("wrap_lap_upright_mm"),
    )  # fmt: skip
    walls = [replace(wall(), wall=n) for n in (1, 2, 3, 4)]
    refs = ("wall 1", "wall 2", "wall 3", "wall 4")
    assert wrap_rolls(walls, ROLL, lapped) == (
        Quantity("cladding.wrap", "wrap", 1, "roll", refs, Working(rule, terms)),
    )
    assert wrap_rolls([wall(width=12_400.0)] * 2, ROLL, lapped)[0].figure == 1
    assert wrap_rolls([*walls, wall()], ROLL, lapped)[0].figure == 2
    assert wrap_rolls([], ROLL, lapped) == ()


# --- small items ------------------------------------------------------------------------------------------------------------


def test_small_items_of_walls(lapped: Settings) -> None:
    """Tape of a window 1200 wide: 1.2 + 2 x (0.3 + 0.1), of one only 200 high 0.5 + 2 x 0.3. Staples: 14.4 m2 over studs at
    600 and 300 up them are 80, with 5 % 84. Battens of 2400 and 2400.6 at 300: 9 + 10 nails, 19.95; a foot of 6 m 21,
    22.05. A soffit of 2 m in two rows: four edges of eleven at 200, 46.2."""
    own = with_values(
        lapped, opening_tape_up_mm=300, opening_tape_corner_mm=100, wrap_staple_mm=300, nail_spare_pct=5, batten_nail_mm=300,
        closer_nail_mm=300, soffit_nail_mm=200,
    )  # fmt: skip
    face = wall(WINDOW, Hole("W2", 4000.0, 4500.0, 900.0, 1100.0))
    battens = [RunDemand("K1", "b", 2400.0), RunDemand("K2", "b", 2400.6)]
    soffit = Soffit("E1", False, 1300.0, 2000.0)
    found, made = small_items([face], [6000.0], battens, [soffit], ROLL, 600.0, own)
    figures = {each.id: (each.item, each.figure, each.unit, each.refs) for each in found}
    assert figures == {
        "cladding.opening_tape": ("flashing tape for sills and jambs", pytest.approx(2.0 + 1.1), "m", ("wall 1",)),
        "cladding.wrap_tape": ("wall wrap tape", pytest.approx(8.55), "m", ("wall 1",)),
        "cladding.wrap_staples": ("wall wrap staple", 84, "each", ("wall 1",)),
        "cladding.batten_nail": ("batten nail 50 x 2.8", 20, "each", ("wall 1",)),
        "cladding.base_closer_nail": ("base closer nail 30 x 2.5", 23, "each", ("wall 1",)),
        "cladding.soffit_nail": ("soffit nail 40 x 2.5", 47, "each", ("E1",)),
    }
    assert [item.id for item in made] == ["batten nail 50 x 2.8", "base closer nail 30 x 2.5", "soffit nail 40 x 2.5"]
    tape, wrap, staples, nails = found[:4]
    assert tape.working == Working(
        "tape = width of each opening + 2 x (up the jamb from its sill + a corner of its head)",
        (Term("openings", 2, "each"), Term("widths of the openings", 1.7, "m"), own.term("opening_tape_up_mm"), own.term("opening_tape_corner_mm")),
    )  # fmt: skip
    assert wrap.working == Working(
        "tape = level laps of the wrap + the upright lap at the end of each strip", (Term("roll width", 1370.0, "mm", SEEN, "wrap"),)
    )  # fmt: skip
    assert staples.working == Working(
        "staples = area of the walls / (stud spacing x spacing up a stud) x (1 + spare)",
        (
            Term("area of the walls, openings wrapped over", 14.4, "m2"), Term("stud spacing", 600.0, "mm"),
            own.term("wrap_staple_mm"), own.term("nail_spare_pct"),
        ),
    )  # fmt: skip
    assert nails.working.rule == "nails = (ceil(length / spacing) + 1) for each piece, x (1 + spare)"
    assert nails.working.terms[:2] == (Term("pieces", 2, "each"), Term("their lengths", 4.801, "m"))
    assert nails.working.terms[-2:] == (own.term("batten_nail_mm"), own.term("nail_spare_pct"))
    # widths are told to a millimetre; 75 staples of 36 m2 over 600 x 800 and 12 % are 84 and a crumb; one nail is told
    odd = replace(face, holes=(Hole("W", 2000.0, 3200.0004, 900.0, 2100.0),))
    assert small_items([odd], [], [], [], ROLL, 600.0, own)[0][0].working.terms[1].value == 1.2
    # ten staples on 1.8 m2, ten nails on 2700, and a tenth: eleven, not a crumb of floating point more
    tenth = with_values(own, nail_spare_pct=10)
    small = wall(width=750.0)
    staples, nails = small_items([small], [], [RunDemand("K1", "b", 2700.0)], [], ROLL, 600.0, tenth)[0][1:]
    assert (staples.figure, nails.figure) == (11, 11)
    assert small_items([wall(width=750.05)], [], [], [], ROLL, 600.0, tenth)[0][1].working.terms[0].value == 1.8
    few = with_values(own, wrap_staple_mm=1e6, nail_spare_pct=0)
    assert [each.figure for each in small_items([face], [], [], [], ROLL, 600.0, few)[0]][-1] == 1
    none, _ = small_items([], [], [], [], ROLL, 600.0, own)
    assert none == ()


def test_what_is_not_counted() -> None:
    one, two = not_counted()
    assert one == Finding(
        "cladding-not-counted", Severity.NOTE,
        "Walls: facings and jamb liners of windows and doors, sealant, air seals and paint are not counted.",
        "Order them with the joinery.",
    )  # fmt: skip
    assert two == Finding(
        "cladding-no-spare", Severity.NOTE,
        "Walls: the figures hold no allowance for faulty, split or damaged boards and trims.",
        "Add to the job what is usual, added once and shown apart: `rates: {extra_percent: {walls: 5}}`.",
    )  # fmt: skip


# --- supply -----------------------------------------------------------------------------------------------------------------


def test_lengths_that_boards_are_sold_in(catalogue: Catalogue, settings: Settings) -> None:
    """Those of the job before the catalogue's; 20.5 docked is 21."""
    board = catalogue.boards["bevel_187"]
    job, plain = (
        WallsJob.model_validate({"height_mm": 2400, "stock_mm": [4800, 3600]}),
        WallsJob.model_validate({"height_mm": 2400}),
    )
    assert (stock_lengths(board, job), stock_lengths(board, plain)[-1]) == ((3600, 4800), 6000)
    assert longest_piece(board, job, with_values(settings, board_docking_mm=20.5)) == 4779
    assert longest_piece(board, plain, with_values(settings, board_docking_mm=0)) == 6000
    assert scarf_mm(18.0, with_values(settings, board_scarf_deg=45)) == 18.0
    assert scarf_mm(18.0, with_values(settings, board_scarf_deg=60)) == round(18.0 / tan(radians(60)), 3)
    assert [sold_at_random(with_values(settings, board_supply=word)) for word in ("random", "fixed")] == [True, False]


def test_boards_in_random_lengths(catalogue: Catalogue, settings: Settings) -> None:
    """2.5 + 7.1 + 4.2 m and 10 % are 15.18: 15.3 in steps of 0.3. Of those without a joint two are over 3.9 m: 7.2 m or
    longer. Bundles that cover 1 m2: 15.3 x 0.155 = 2.3715, three, 0.63 too much."""
    board = catalogue.boards["bevel_187"]
    own = with_values(settings, board_supply="random", random_extra_pct=10, random_step_mm=300, random_common_mm=3900)
    runs = (
        RunDemand("a", board.id, 2500.0, (), refs=("wall 1",)), RunDemand("b", board.id, 7100.0, (), refs=("wall 2",)),
        RunDemand("c", board.id, 4200.0, None, refs=("wall 1",)),
    )  # fmt: skip
    names = ("board_supply", "random_extra_pct", "random_step_mm")
    terms = (Term("lengths of all boards", 13.8, "m", None, "3 boards"), *(own.term(name) for name in names))
    long = (*terms, Term("long boards", 2, "each"), Term("least length", 7200.0, "mm"))
    rule = "metres = lengths of all boards, openings deducted, x (1 + extra), rounded up to the step"
    more = "; of these so many boards of the least length or longer"
    wanted = Quantity(
        f"cladding.{board.id}", board.id, pytest.approx(15.3), "m", ("wall 1", "wall 2"), Working(rule + more, long)
    )  # type: ignore[arg-type]
    note = Finding(
        "random-lengths-least", Severity.NOTE, f"{board.name}: not less than 2 of 7.2 m or longer.",
        "Write it on the order: these boards have no place for a joint.",
    )  # fmt: skip
    assert random_metres(runs, board, own) == ((wanted,), (note,))
    jointed = [replace(run, splits_mm=(900.0,)) for run in runs]
    assert random_metres(jointed, board, own) == ((replace(wanted, working=Working(rule, terms)),), ())
    for length, count in ((3900.0, 0), (3900.1, 1)):
        assert len(random_metres([RunDemand("a", board.id, length)], board, own)[1]) == count
    (bundles,), (_, spare) = random_metres(runs, board, own, 1.0)
    asked = (
        Term("measured", 15.3, "m"), Term("board cover_mm", 155, "mm", basis_of(board, "cover_mm"), board.id),
        Term("pack_m2", 1.0, "m2", SET_IN_JOB),
    )  # fmt: skip
    words = f"{rule}{more}; bundles = metres x cover / what a bundle covers, whole ones"
    assert bundles == replace(wanted, figure=3.0, unit="bundle", working=Working(words, (*asked, *long)))
    text = f"{board.name}: whole bundles cover 3.00 m2, 0.63 m2 more than is asked for."
    assert spare == Finding("spare-boards-in-bundles", Severity.NOTE, text, "Ask whether a bundle may be split.")
    for bundle, told in ((2.3715, 0), (2.3764, 0), (2.3766, 1)):
        assert len(random_metres(runs, board, own, bundle)[1]) == 1 + told


def test_what_each_item_may_be_cut_from(catalogue: Catalogue, settings: Settings) -> None:
    own = with_values(
        settings,
        board_kerf_mm=4,
        board_docking_mm=25,
        end_sealer_ml_per_end=3,
        closer_stock_mm=2990.6,
        wall_flashing_stock_mm=4000,
    )
    board = catalogue.boards["bevel_187"]
    job = WallsJob.model_validate({"height_mm": 2400, "stock_mm": [3600]})
    runs = [
        RunDemand(name, item, 9.0)
        for name, item in (
            ("a", "base_closer"),
            ("b", board.id),
            ("c", "nog_90x45"),
            ("d", "base_closer"),
            ("e", "sill_tray"),
        )
    ]
    sealer = AtCutEnds("end sealer", 3, own.term("end_sealer_ml_per_end"))
    joint = AtJoints("nail", 1.5, ())
    found = stock_choices(runs, {board.id: board}, job, own, catalogue, {board.id: 4}, {board.id: joint})
    assert found == (
        StockChoice("base_closer", (2991,)),
        StockChoice(board.id, (3600,), kerf_mm=4, trim_mm=25, pack=4, at_ends=(sealer,), at_joints=(joint,)),
        StockChoice("nog_90x45", catalogue.timbers["nog_90x45"].lengths_mm, kerf_mm=4, trim_mm=25),
        StockChoice("sill_tray", (4000,)),
    )
    assert stock_choices(runs[1:2], {board.id: board}, job, own, catalogue, {}, {})[0] == replace(
        found[1], pack=1, at_joints=()
    )
    assert sealed_ends(with_values(own, end_sealer_ml_per_end=0)) == ()
    mine = replace(board, id="mine", name="Mine")
    assert own_boards({"mine": mine, board.id: board}, catalogue) == (
        Made("mine", "board", (Mark(MarkKind.CALLED, "Mine"),), "mine"),
    )


# --- joints ---------------------------------------------------------------------------------------------------------------


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


def test_random_lengths_to_a_millimetre_and_no_bundle_for_a_crumb(catalogue: Catalogue, settings: Settings) -> None:
    """1234.5678 mm are told as 1.235 m; 14 m of a cover of 150 are 2.1 m2, just seven bundles of 0.3."""
    board = replace(catalogue.boards["bevel_187"], cover_mm=150.0)
    own = with_values(settings, random_extra_pct=0, random_step_mm=100, random_common_mm=99_000)
    odd = random_metres([RunDemand("a", board.id, 1234.5678)], board, own)[0][0]
    assert (odd.figure, odd.working.terms[0].value) == (1.3, 1.235)
    (bundles,), spare = random_metres([RunDemand("a", board.id, 14_000.0)], board, own, 0.3)
    assert (bundles.figure, bundles.unit, spare) == (7.0, "bundle", ())
