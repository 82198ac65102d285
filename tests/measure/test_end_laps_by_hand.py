"""End laps of sheets: where upper sheets begin, and the lines that each run is cut at, by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.sheeting.end_laps import LapLines, Part, _within, end_lap, lap_lines, lap_row, split_run
from takeoff.model.basis import Term
from takeoff.model.code_rules import LapRow, RuleSet
from takeoff.model.settings import Settings
from takeoff.shape.strips.slabs import Slab
from takeoff.shape.strips.strips import StripRun

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import SEEN, with_values
from sheets_by_hand import flat

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
