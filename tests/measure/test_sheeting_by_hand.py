"""Ends, laps, short sheets, last sheets and lee ends, by hand and at their limits. Settings of the catalogue unless said."""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees, radians, tan

import pytest

from takeoff.measure.sheeting.cut_corners import with_corners
from takeoff.measure.sheeting.end_laps import LapLines, Part, _within, end_lap, lap_lines, lap_row, split_run
from takeoff.measure.sheeting.last_sheet import whole_ribs
from takeoff.measure.sheeting.lee_end import no_lee_end, wall_start
from takeoff.measure.sheeting.sheet_ends import (
    bought_length,
    end_cut,
    end_points,
    ends_of,
    is_notched,
    long_point,
    sides_mm,
    square_within,
    without_slanting_sides,
)  # fmt: skip
from takeoff.measure.sheeting.short_sheets import cut_from_longer
from takeoff.model.basis import SET_IN_JOB, Basis, Status, Term, Working
from takeoff.model.code_rules import LapRow, RuleSet
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.shape.strips.slabs import Slab
from takeoff.shape.strips.strips import StripRun, Widths

SEEN = Basis(Status.SEEN, "a table")


def with_values(settings: Settings, **values: float | str) -> Settings:
    changed = {name: replace(settings.values[name], value=value, basis=SET_IN_JOB) for name, value in values.items()}
    return Settings({**settings.values, **changed}, rules=settings.rules)


def flat(u0: float, u1: float, foot: float, top: float) -> Slab:
    return Slab(u0, u1, foot, foot, top, top, "E1", "E2")


# --- ends ---------------------------------------------------------------------------------------------------------------


def test_how_each_end_of_a_sheet_is_cut() -> None:
    """Left to right, 400 mm a slab. Top rising 1 in 4 (14.036 degrees) or 1 in 2 (26.565)."""
    four, two = degrees(atan(0.25)), degrees(atan(0.5))
    square = (flat(0, 400, 0, 2000), flat(400, 800, 0, 2000))
    rising = (Slab(0, 400, 0, 0, 1000, 1100, "F", "T"), Slab(400, 800, 0, 0, 1100, 1200, "F", "T"))
    apex = (Slab(0, 400, 0, 0, 1000, 1200, "F", "T"), Slab(400, 800, 0, 0, 1200, 1100, "F", "R"))
    valley = (Slab(0, 400, 0, 0, 1200, 1000, "F", "T"), Slab(400, 800, 0, 0, 1000, 1100, "F", "R"))
    level = (Slab(0, 400, 0, 0, 1000, 1200, "F", "T"), flat(400, 800, 0, 1200))
    step = (flat(0, 400, 0, 1000), flat(400, 800, 0, 1200))
    assert end_cut(square, True) == EndCut(CutShape.SQUARE, ("E2",))
    assert end_cut(square, False) == EndCut(CutShape.SQUARE, ("E1",))
    assert end_cut(rising, True) == EndCut(CutShape.RAKED, ("T",), pytest.approx(four), "right")
    assert end_cut(apex, True) == EndCut(CutShape.APEX, ("T", "R"), pytest.approx(two))
    assert end_cut(valley, True) == EndCut(CutShape.BROKEN, ("T", "R"), pytest.approx(two))
    assert end_cut(level, True) == EndCut(CutShape.BROKEN, ("T", "E2"), pytest.approx(two))
    assert end_cut(step, True) == EndCut(CutShape.NOTCHED, ("E2",), 0.0)
    # a foot that rises to the right makes the sheet longer at its left, and falling at its right
    up = (Slab(0, 800, 0, 200, 2000, 2000, "F", "T"),)
    down = (Slab(0, 800, 200, 0, 2000, 2000, "F", "T"),)
    assert end_cut(up, False) == EndCut(CutShape.RAKED, ("F",), pytest.approx(four), "left")
    assert end_cut(down, False) == EndCut(CutShape.RAKED, ("F",), pytest.approx(four), "right")
    assert end_cut((Slab(0, 800, 0, 0, 2000, 1800, "F", "T"),), True).hand == "left"
    assert end_cut((Slab(0, 800, 0, 0, 2000, 2007, "F", "T"),), True).hand == "right"  # half a degree


def test_an_end_within_a_tenth_of_a_degree_of_square_is_square() -> None:
    """Over 800 mm a tenth of a degree is 1.396 mm; half a degree, of a frame as measured, 6.98."""

    def top(rise: float) -> tuple[Slab, ...]:
        return (Slab(0, 800, 0, 0, 1000, 1000 + rise),)

    assert [end_cut(top(rise), True).shape for rise in (1.39, -1.39, 1.40, -1.40)] == [
        CutShape.SQUARE, CutShape.SQUARE, CutShape.RAKED, CutShape.RAKED
    ]  # fmt: skip
    assert [end_cut(top(rise), True, 0.5).shape for rise in (6.98, 6.99)] == [CutShape.SQUARE, CutShape.RAKED]
    # two lines that go on within as much are one: 1 in 4 and then a tenth of a degree less
    bent = 200.0 + 800 * tan(radians(degrees(atan(0.25)) - 0.099))
    assert (
        end_cut((Slab(0, 800, 0, 0, 1000, 1200), Slab(800, 1600, 0, 0, 1200, 1000 + bent)), True).shape
        is CutShape.RAKED
    )
    more = 200.0 + 800 * tan(radians(degrees(atan(0.25)) - 0.101))
    assert (
        end_cut((Slab(0, 800, 0, 0, 1000, 1200), Slab(800, 1600, 0, 0, 1200, 1000 + more)), True).shape
        is CutShape.BROKEN
    )


def test_ends_that_jump_by_a_millimetre_still_meet() -> None:
    assert not is_notched((flat(0, 400, 0, 1000), flat(400, 800, 0, 1001)))
    assert is_notched((flat(0, 400, 0, 1000), flat(400, 800, 0, 1001.1)))
    assert is_notched((flat(0, 400, 0, 1000), flat(400, 800, -1.1, 1000)))


def test_a_sheet_of_more_than_six_corners_is_notched() -> None:
    """Both ends together take four lines: three above and one below do, three above and two below do not; nor does a
    sheet with a hole in it. An end of four lines is notched by itself."""
    tops = [1000, 1100, 1150, 1160, 1161]
    three = [Slab(u, u + 200, 0, 0, tops[n], tops[n + 1]) for n, u in enumerate((0, 200, 400))]
    assert not is_notched(three)
    assert end_cut(three, True).shape is CutShape.BROKEN
    folded = [
        replace(slab, foot0=foot0, foot1=foot1)
        for slab, foot0, foot1 in zip(three, (0, -50, -50), (-50, -50, -50), strict=True)
    ]
    assert is_notched(folded)
    four = [*three, Slab(600, 800, 0, 0, 1160, 1161)]
    assert end_cut(four, True).shape is CutShape.NOTCHED
    holed = (flat(0, 200, 0, 1000), flat(200, 400, 0, 300), flat(200, 400, 600, 1000), flat(400, 600, 0, 1000))
    assert is_notched(holed)
    assert end_cut(holed, True).shape is CutShape.SQUARE


def test_corners_sides_and_the_long_point() -> None:
    """The outer line of each column counts; both heights where it jumps; sides at the real edges."""
    slabs = (flat(0, 200, 100, 400), flat(0, 200, 500, 1000), Slab(200, 500, 50, 80, 1000, 1300))
    assert end_points(slabs, top=True) == ((0, 1000), (200, 1000), (500, 1300))
    assert end_points(slabs, top=False) == ((0, 100), (200, 100), (200, 50), (500, 80))
    assert sides_mm(slabs) == (900, 1220)
    assert sides_mm((Slab(0, 300, 0, 0, 0, 500), Slab(300, 600, 0, 0, 500, 700))) == (0, 700)
    square = EndCut(CutShape.SQUARE, points_mm=((0, 1200), (800, 1200)))
    foot = EndCut(CutShape.SQUARE, points_mm=((0, 0), (800, 0)))
    assert long_point(foot, square) == (0.0, 0.0)
    raked = EndCut(CutShape.RAKED, points_mm=((0, 1200), (800, 1000)))
    assert long_point(foot, raked) == (0, 1200)
    level = EndCut(CutShape.BROKEN, points_mm=((0, 1000), (300, 1200.0), (800, 1199.5)))
    assert long_point(foot, level) == (300, 1200)
    assert long_point(foot, replace(level, points_mm=((0, 1000), (300, 1199.4), (800, 1200.0)))) == (800, 1200)
    hanging = EndCut(CutShape.RAKED, points_mm=((0, 150), (800, 0)))
    assert long_point(hanging, square) == (800, 1200)
    assert long_point(hanging, raked) == (0, 1200)


def test_the_outer_line_of_a_column_counts_in_whatever_order_its_parts_come() -> None:
    """A hole splits the left column: its upper part is the top, its lower part the foot. A column of 0.4 mm is a crumb; of
    two lines that go on straight one is cut, whatever stands before them."""
    low, high = Slab(0, 200, 100, 90, 400, 410), Slab(0, 200, 500, 520, 1000, 990)
    for slabs in ((low, high), (high, low)):
        assert end_points(slabs, top=True) == ((0, 1000), (200, 990))
        assert end_points(slabs, top=False) == ((0, 100), (200, 90))
    assert end_cut((flat(0, 800, 0, 1000), Slab(800, 800.4, 0, 0, 1000, 1300)), True).shape is CutShape.SQUARE
    bent = (Slab(0, 200, 0, 0, 900, 1000), Slab(200, 400, 0, 0, 1000, 1050), Slab(400, 600, 0, 0, 1050, 1100))
    assert end_points(bent, top=True) == ((0, 900), (200, 1000), (600, 1100))
    dip = EndCut(CutShape.BROKEN, points_mm=((0, 1200), (400, 1000), (800, 1200)))
    assert long_point(EndCut(CutShape.SQUARE, points_mm=((0, 0), (800, 0))), dip) == (0, 1200)


def test_lines_that_are_nearly_upright_are_sides() -> None:
    """85 degrees: 11.43 mm of rise a mm; at either side they go, in the middle they stay, and alone too."""
    rise = tan(radians(85.0))
    upright = Slab(0, 10, 0, 0, 900, 900 + 10 * rise + 0.1)
    leaning = Slab(0, 10, 0, 0, 900, 900 + 10 * rise - 0.1)
    body, end = flat(10, 400, 0, 1000), Slab(400, 405, 60, 0, 1000, 1000)
    assert without_slanting_sides((upright, body, end)) == (body,)
    assert without_slanting_sides((leaning, body)) == (leaning, body)
    assert without_slanting_sides((flat(-50, 0, 0, 900), upright, body)) == (flat(-50, 0, 0, 900), upright, body)
    assert without_slanting_sides((upright,)) == (upright,)


def test_lengths_are_bought_up_to_a_step_with_what_a_rake_takes(settings: Settings) -> None:
    """2000.01 + 30 of foot turn is 2030 within a hundredth; raked: 2000.5 + 30 + 50, up to 10: 2090; 1980 + 70: 2050."""
    assert bought_length(2000.01, False, 30.0, settings).mm == 2030.0
    assert bought_length(2000.02, False, 30.0, settings).mm == 2031.0
    raked = bought_length(2000.5, True, 30.0, settings)
    assert raked.mm == 2090.0
    assert raked.terms == (settings.term("raked_allowance_mm"), settings.term("raked_step_mm"))
    assert bought_length(2000.0, False, 0.0, settings).terms == (settings.term("square_step_mm"),)
    assert square_within(settings, measured=False) == 0.1
    assert square_within(settings, measured=True) == 0.5
    assert square_within(with_values(settings, square_within_deg=0.8), measured=True) == 0.8


def test_both_ends_of_a_sheet_and_its_reach(settings: Settings) -> None:
    """From 100 to 2300: 2200 and 50 for the rake, 2250; 0.2 degrees is raked on a drawn frame, not within 0.5."""
    slabs = (Slab(0, 800, 100, 100, 2000, 2300, "F", "T"),)
    ends = ends_of(slabs, 0.0, settings)
    assert (ends.reach_mm, ends.bought.mm, ends.raked, ends.notched) == (2200, 2250, True, False)
    assert (ends.foot.shape, ends.top.shape) == (CutShape.SQUARE, CutShape.RAKED)
    foot = ends_of((Slab(0, 800, 100, 300, 2000, 2000),), 0.0, settings)
    assert (foot.foot.shape, foot.top.shape, foot.raked) == (CutShape.RAKED, CutShape.SQUARE, True)
    slight = (Slab(0, 800, 0, 0, 2000, 2002.8),)
    assert ends_of(slight, 0.0, settings).raked
    assert not ends_of(slight, 0.0, settings, 0.5).raked


def piece(mark: str, order: float, **more: object) -> SheetPiece:
    square = EndCut(CutShape.SQUARE)
    bare = SheetPiece(
        mark, "P1", 1, 1, 0, "x", "left", "right", (), (), order, order, order, order, 0.0, square, square, 0.0, Working("")
    )  # fmt: skip
    return replace(bare, **more)  # type: ignore[arg-type]


def test_a_sheets_corners_are_taped_from_its_left_edge_and_its_lowest_point(settings: Settings) -> None:
    slabs = (Slab(100, 500, 40, 50, 1000, 1200, "F", "T"),)
    made = with_corners(piece("P1.01", 1.0), slabs, ends_of(slabs, 0.0, settings), 80.0)
    assert sorted(made.corners_mm) == [(20, 0), (20, 960), (420, 10), (420, 1160)]
    assert sorted(made.outline_uv) == [(100, 40), (100, 1000), (500, 50), (500, 1200)]
    assert made.foot.points_mm == ((20, 0), (420, 10))
    assert made.top.points_mm == ((20, 960), (420, 1160))
    assert (made.long_point_mm, made.notched) == ((420, 1160), False)


# --- end laps -----------------------------------------------------------------------------------------------------------

ROWS = (LapRow(250.0, SEEN, below_deg=8.0, from_deg=3.0), LapRow(200.0, SEEN, up_to_deg=15.0), LapRow(150.0, SEEN))


def _rules(*rows: LapRow, silent: RuleSet | None = None) -> RuleSet:
    return RuleSet("x", "X", "s", "v", "d", (), end_laps=rows, silent=silent)


def test_end_laps_by_pitch() -> None:
    """Below 8 degrees the first row, up to and on 15 the second, then the third; within a millionth a limit is met."""
    pitches = (2.0, 7.99999, 7.9999995, 8.0, 15.0, 15.0000005, 15.00001, 40.0)
    assert [lap_row(pitch, _rules(*ROWS)).lap_mm for pitch in pitches] == [250, 250, 200, 200, 200, 200, 150, 150]  # type: ignore[union-attr]
    assert lap_row(20.0, _rules(*ROWS[:2])) is None
    assert lap_row(20.0, _rules(*ROWS[:2], silent=_rules(ROWS[2]))) is ROWS[2]
    assert lap_row(7.0, _rules(silent=_rules(*ROWS))) is ROWS[0]


def test_an_end_lap_of_the_job_is_taken_before_the_codes(settings: Settings) -> None:
    """NZ code of practice v25, 7.4: 150 mm, 200 below 10 degrees."""
    own = with_values(settings, end_lap_mm=320.0)
    assert end_lap(9.0, own) == (320.0, (own.term("end_lap_mm"),))
    basis = settings.rules.end_laps[0].basis
    assert end_lap(9.12345, settings) == (200.0, (Term("pitch", 9.123, "deg"), Term("end lap", 200.0, "mm", basis)))
    assert end_lap(10.0, settings)[0] == 150.0
    with pytest.raises(KeyError) as caught:
        end_lap(9.0, Settings(settings.values, rules=_rules()))
    assert caught.value.args == ("no code has a table of end laps",)


def run_of(low: float, high: float) -> StripRun:
    slabs = (flat(0, 762, low, high),)
    return StripRun(1, 1, slabs, (flat(0, 851, low, high),))


def test_lap_lines_stand_in_even_tiers_or_on_purlin_rows(settings: Settings) -> None:
    """Longest 6000, lap 150, 60 and 20 of foot turn kept for rakes: 5920. 100 to 13 100: (13 000 - 150) / 5770 is 3
    tiers of (13 000 + 300) / 3 = 4433.33; feet at 100 + 4283.33 and 100 + 8566.67. On rows 75 lower than the row."""
    runs = [run_of(100.0, 13_100.0), run_of(4000.0, 6000.0)]
    plain = lap_lines(runs, 25.0, 6000.0, 20.0, settings)
    assert plain is not None
    assert plain.foot_v_mm == pytest.approx((100 + 4283.3333, 100 + 8566.6667))
    assert (plain.lap_mm, plain.possible, plain.from_deg) == (150.0, True, 0.0)
    assert lap_lines([run_of(0.0, 5979.0)], 25.0, 6000.0, 20.0, settings) is None
    assert lap_lines([run_of(0.0, 5980.0)], 25.0, 6000.0, 20.0, settings) is None  # just 6000
    assert lap_lines([run_of(0.0, 5981.0)], 25.0, 6000.0, 20.0, settings) is not None
    rows = lap_lines(runs, 25.0, 6000.0, 20.0, settings, (1000.0, 4000.0, 4500.0, 8600.0, 9000.0))
    assert rows is not None
    assert rows.foot_v_mm == (4425.0, 8525.0)
    # rows that leave a part longer than 5920: four tiers, (13 000 + 450) / 4 = 3362.5, feet near 3312.5, 6525, 9737.5
    far = lap_lines(runs, 25.0, 6000.0, 20.0, settings, (3000.0, 6500.0, 9800.0))
    assert far is not None
    assert far.foot_v_mm == (2925.0, 6425.0, 9725.0)
    # one row alone is no good: even tiers
    alone = lap_lines(runs, 25.0, 6000.0, 20.0, settings, (4500.0,))
    assert alone is not None
    assert alone.foot_v_mm == plain.foot_v_mm
    # below the pitches of the table of laps the row says from where it holds
    low = lap_lines(runs, 2.0, 6000.0, 20.0, Settings(settings.values, rules=_rules(*ROWS)))
    assert low is not None
    assert (low.lap_mm, low.from_deg) == (250.0, 3.0)


def test_no_lap_is_possible_where_a_part_is_as_short_as_the_shortest_run(settings: Settings) -> None:
    """Lap 150 + 600 + 60 for rakes = 810: not possible up to there, possible a millimetre above."""
    short = lap_lines([run_of(0.0, 2000.0)], 25.0, 810.0, 0.0, settings)
    assert short is not None
    assert short == LapLines((), 150.0, short.terms, possible=False)
    longer = lap_lines([run_of(0.0, 2000.0)], 25.0, 811.0, 0.0, settings)
    assert longer is not None
    assert longer.possible
    # 751 a part, 601 without its lap: (2000 - 150) / 601 is 4 tiers of (2000 + 450) / 4
    assert longer.foot_v_mm == pytest.approx((462.5, 925.0, 1387.5))


def test_a_run_is_cut_at_as_few_lap_lines_as_will_do(settings: Settings) -> None:
    """Lines at 3000, 6000, 9000, longest 6200, lap 150: 0 to 12 000 is cut at 6000 (6150 long) alone."""
    laps = LapLines((3000.0, 6000.0, 9000.0), 150.0, ())
    run = run_of(0.0, 12_000.0)
    first, second = split_run(run, laps, 6200.0, 0.0, settings)
    assert first == Part((flat(0, 762, 0, 6000),), (flat(0, 851, 0, 6150),), 150.0) or (
        (first.lap_mm, first.sheet[0].top0, first.cover[0].top0) == (150.0, 6150.0, 6000.0)
    )
    assert (second.lap_mm, second.sheet[0].foot0, second.sheet[0].top0, second.cover[0].foot0) == (
        0.0,
        6000,
        12_000,
        6000,
    )
    assert split_run(run, laps, 12_000.0, 0.0, settings) == [Part(run.cover, run.sheet)]
    assert split_run(run, None, 6200.0, 0.0, settings) == [Part(run.cover, run.sheet)]
    assert split_run(run, replace(laps, possible=False), 6200.0, 0.0, settings) == [Part(run.cover, run.sheet)]
    feet = [part.sheet[0].foot0 for part in split_run(run_of(0.0, 12_002.0), laps, 6001.0, 0.0, settings)]
    assert feet == [0, 3000, 6000, 9000]  # 6150 and 6002 are too long
    # the last line would leave 500, less than a mill runs: the one before it
    assert [part.sheet[0].foot0 for part in split_run(run_of(0.0, 6500.0), laps, 6200.0, 0.0, settings)] == [0, 3000]
    assert [part.sheet[0].foot0 for part in split_run(run_of(0.0, 6600.0), laps, 6200.0, 0.0, settings)] == [0, 6000]


# --- short sheets -------------------------------------------------------------------------------------------------------


def plane(name: str, *pieces: SheetPiece) -> PlaneSheets:
    return PlaneSheets(name, "x", "left", 0.0, "", "", 762.0, 851.0, 762.0, (), 0.0, pieces, 0.0)


def _hosts(planes: tuple[PlaneSheets, ...]) -> dict[str, str]:
    return {one.mark: one.cut_from for sheets in planes for one in sheets.pieces if one.cut_from}


def test_short_sheets_come_out_of_the_nearest_longer_one(settings: Settings) -> None:
    """Under 600. On P1 strip 3 is nearer to strip 5 than strip 1; what does not fit on the truck of 4900 goes further."""
    first = plane(
        "P1", piece("P1.01", 4000.0), piece("P1.03", 4500.0, strip=3), piece("P1.04", 599.0, strip=4), piece("P1.05", 300.0, strip=5),
    )  # fmt: skip
    other = plane("P2", piece("P2.01", 2000.0, plane="P2"), piece("P2.02", 600.0, plane="P2", strip=2))
    site = Site(longest_piece_mm=4900.0)
    # 599 does not fit with 4500 (5099), it goes to P1.01 (4599); then 300 fits both (4800, 4899): strip 3 is nearer
    assert _hosts(cut_from_longer((first, other), site, settings)) == {"P1.04": "P1.01", "P1.05": "P1.03"}
    # on a truck of 4800 just P1.03 takes the 300; a millimetre less and it goes to P1.01 no more: another plane, strip 1
    assert _hosts(cut_from_longer((first, other), Site(longest_piece_mm=4800.0), settings))["P1.05"] == "P1.03"
    assert _hosts(cut_from_longer((first, other), Site(longest_piece_mm=4799.0), settings))["P1.05"] == "P2.02"
    # ordinary truck, 12 m
    assert _hosts(cut_from_longer((first, other), Site(), settings)) == {"P1.04": "P1.03", "P1.05": "P1.03"}


def test_a_longer_sheet_gives_short_ones_as_far_as_the_truck_goes(settings: Settings) -> None:
    """4500 and 300 are 4800 of 4900: the second of two goes to the next sheet, though that is further."""
    long = [piece(mark, 4500.0, strip=strip) for mark, strip in (("a", 1), ("d", 8))]
    both = plane("P1", *long, piece("b", 300.0, strip=2), piece("c", 300.0, strip=3))
    for truck, second in ((4900.0, "d"), (5100.0, "a")):
        assert _hosts(cut_from_longer((both,), Site(longest_piece_mm=truck), settings)) == {"b": "a", "c": second}


def test_short_sheets_without_a_long_one_come_out_of_each_other(settings: Settings) -> None:
    """500 and 400 find none: the longest stays; 100 fits it up to the 600 of a least run, on the smallest truck too."""
    alone = plane("P1", piece("a", 400.0, strip=2), piece("b", 500.0), piece("c", 100.0), piece("d", 90.0, profile="y"))
    found = cut_from_longer((alone,), Site(longest_piece_mm=300.0), settings)
    assert _hosts(found) == {"c": "b"}
    assert [one.mark for one in found[0].pieces] == ["a", "b", "c", "d"]
    # strips alike: the lower strip, then the lower part, then the shorter
    tied = plane("P1", piece("a", 700.0), piece("b", 700.0, strip=3), piece("c", 100.0, strip=2))
    assert _hosts(cut_from_longer((tied,), Site(), settings)) == {"c": "a"}
    parts = plane("P1", piece("a", 700.0, part=1), piece("b", 800.0), piece("c", 100.0))
    assert _hosts(cut_from_longer((parts,), Site(), settings)) == {"c": "b"}
    lengths = plane("P1", piece("a", 900.0), piece("b", 800.0), piece("c", 100.0))
    assert _hosts(cut_from_longer((lengths,), Site(), settings)) == {"c": "b"}


# --- last sheets and lee ends -------------------------------------------------------------------------------------------


def test_whole_ribs_that_the_start_moves_out(settings: Settings, catalogue: Catalogue) -> None:
    """Corrugate of 762 on 76.2: least 3 x 76.2 = 228.6. 1524 + 100 wide (cover alone): 100 shows, 128.6 lack, 2 ribs;
    228.2 shows, within half a millimetre of enough; one sheet moves nothing. Of 230 where four crests are asked."""
    profile = replace(catalogue.profiles["corrugated"], cover_mm=762.0, rib_pitch_mm=76.2)
    widths = Widths(762.0, 851.0, by_overall=False)
    ribs = [
        whole_ribs(width, widths, profile, settings)
        for width in (1624.0, 1524.0 + 228.2, 1524.0 + 228.0, 762.0, 870.0, 1524.0)
    ]
    assert ribs == [2, 0, 1, 0, 2, 0]
    assert whole_ribs(100.0, widths, profile, settings) == 0  # one sheet, whatever it shows
    four = with_values(settings, last_sheet_crests=4.0)
    assert [whole_ribs(1524.0 + shows, widths, profile, four) for shows in (229.4, 229.5)] == [1, 0]
    # ribs further apart than half a cover are moved by no rib
    assert whole_ribs(1624.0, widths, replace(profile, rib_pitch_mm=381.0), settings) == 1
    assert whole_ribs(1624.0, widths, replace(profile, rib_pitch_mm=381.1), settings) == 0


def test_walls_are_sheeted_from_their_lee_end(settings: Settings) -> None:
    """Lee end east: a wall that faces south has its right end in the east, one that faces north its left; one that faces
    east or west lies square to the wind, within a degree."""
    assert wall_start(None, settings) == ("left", "from its left end")
    assert wall_start(180.0, settings) == ("right", "from the lee end, east")
    assert wall_start(0.0, settings) == ("left", "from the lee end, east")
    across = ("left", "square to the wind, so from its left end (lee end east)")
    assert [wall_start(faces, settings) for faces in (90.0, 270.0, 90.99, 269.01)] == [across] * 4
    assert [wall_start(faces, settings)[0] for faces in (91.01, 268.99)] == ["right", "right"]
    assert wall_start(225.0, with_values(settings, lay_from="south-east")) == ("right", "from the lee end, south-east")
    assert wall_start(45.0, with_values(settings, lay_from="south-east"))[0] == "left"
    assert wall_start(100.0, with_values(settings, lay_from="north"))[0] == "right"
    assert no_lee_end(30.0, 120.0, settings)
    assert not no_lee_end(30.0, 90.0, settings)


def test_tiers_leave_room_for_rakes_and_a_turned_foot(settings: Settings) -> None:
    """6000 less 60 for rakes and 20 for the foot are 5920: 9000 are two tiers, 11 700 three where 5940 would do with two."""
    one = lap_lines([run_of(0.0, 9000.0)], 25.0, 6000.0, 20.0, settings)
    assert one is not None
    assert one.foot_v_mm == (4425.0,)
    for turn, lines in ((20.0, 2), (0.0, 1)):
        found = lap_lines([run_of(0.0, 11_700.0)], 25.0, 6000.0, turn, settings)
        assert found is not None
        assert len(found.foot_v_mm) == lines


def test_a_lap_that_the_job_gives_holds_at_any_pitch(settings: Settings) -> None:
    """One of a millimetre too: no row of the table is asked from where it holds."""
    own = with_values(Settings(settings.values, rules=_rules(*ROWS)), end_lap_mm=1.0)
    found = lap_lines([run_of(0.0, 9000.0)], 2.0, 6000.0, 20.0, own)
    assert found is not None
    assert (found.lap_mm, found.from_deg, found.terms) == (1.0, 0.0, (own.term("end_lap_mm"),))


def test_the_outline_of_a_sheet_with_a_hole_in_it(settings: Settings) -> None:
    """200 x 100 are cut out of the middle of 300 x 1000."""
    slabs = (flat(0, 100, 0, 1000), flat(100, 200, 0, 400), flat(100, 200, 600, 1000), flat(200, 300, 0, 1000))
    made = with_corners(piece("P1.01", 1.0), slabs, ends_of(slabs, 0.0, settings), 0.0)
    assert set(made.outline_uv) == {(0, 0), (300, 0), (300, 1000), (0, 1000)}


@pytest.mark.parametrize(
    ("low", "high", "rows", "feet"),
    [
        (3000.0, 12_000.0, (), (7425.0,)),  # 9000 long, wherever it lies
        (0.0, 11_690.0, (), (5770.0,)),  # two of 5920 lapped 150 are just so long
        (0.0, 9000.0, (5975.0,), (4425.0,)),  # a row from which the lower part would be 5900 and its lap
        (0.0, 9000.0, (3155.0,), (3080.0,)),  # one from which the upper part is just 5920
        (0.0, 9000.0, (3154.0,), (4425.0,)),
    ],
)
def test_where_upper_sheets_begin(
    low: float, high: float, rows: tuple[float, ...], feet: tuple[float, ...], settings: Settings
) -> None:
    found = lap_lines([run_of(low, high)], 25.0, 6000.0, 20.0, settings, rows)
    assert found is not None
    assert found.foot_v_mm == pytest.approx(feet)


@pytest.mark.parametrize(
    ("low", "high", "longest", "feet"),
    [
        (0.0, 9000.0, 6000.0, [0, 3000]),  # from 3000 up it is just as long as the longest piece
        (3000.0, 12_000.0, 3100.0, [3000, 6000, 9000]),  # the line at its own foot is none
        (0.0, 6100.0, 3050.0, [0, 3000]),  # nor one less than a lap under its top
        (0.0, 12_000.0, 6150.0, [0, 6000]),  # with its lap the lower part is just as long as the longest piece
    ],
)
def test_lines_that_a_run_is_cut_at(
    low: float, high: float, longest: float, feet: list[int], settings: Settings
) -> None:
    laps = LapLines((3000.0, 6000.0, 9000.0), 150.0, ())
    parts = split_run(run_of(low, high), laps, longest, 0.0, settings)
    assert [part.sheet[0].foot0 for part in parts] == feet


def test_a_line_that_leaves_a_mill_its_least_run(settings: Settings) -> None:
    """Of 3000 the line at 2700 would leave 300, the one at 2400 leaves just the 600 that a mill runs."""
    laps = LapLines((1000.0, 2400.0, 2700.0), 150.0, ())
    parts = split_run(run_of(0.0, 3000.0), laps, 2900.0, 0.0, settings)
    assert [part.sheet[0].foot0 for part in parts] == [0, 2400]


def test_a_cover_belongs_to_the_sheet_that_its_middle_lies_in() -> None:
    """From 100 to 300 and 500 to 900: its middle is 200, 700."""
    cover = flat(100, 300, 500, 900)
    for sheet, within in (
        (flat(150, 310, 600, 1000), True), (flat(200, 310, 700, 1000), True), (flat(90, 200, 400, 700), True),
        (flat(201, 310, 400, 1000), False), (flat(90, 199, 400, 1000), False), (flat(90, 310, 701, 1000), False),
        (flat(90, 310, 400, 699), False),
    ):  # fmt: skip
        assert _within(cover, sheet) is within
    raked = Slab(100, 300, 400, 600, 800, 1000, "E1", "E2")  # its middle is 200, 700 as well
    assert (_within(raked, flat(90, 310, 700, 700)), _within(flat(90, 310, 600, 800), raked)) == (True, True)
