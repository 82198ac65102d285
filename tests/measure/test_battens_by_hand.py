"""Battens, nogs, feet and vents behind cladding: every line and limit by hand, on a wall of 6 m from 50 under the floor to
2350 over it, and on one of which a corner and a gap are not clad."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import cos, radians
from pathlib import Path

import pytest

from takeoff.measure.cladding.battens import (
    Battens,
    battens_at_nogs,
    battens_on_studs,
    closer_runs,
    extra_nogs,
    foot_stretches,
    nog_levels,
    offcut_note,
    stud_lines,
    vent_check,
)
from takeoff.measure.cladding.face import Face, Hole
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import BattenLine
from takeoff.model.products import Catalogue, Timber
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP, PEAK = -50.0, 2350.0, 3850.0
WALL = Face(1, 0.0, 6000.0, FOOT, TOP, ((0.0, TOP), (6000.0, TOP)), ())
GABLE = replace(WALL, top=((0.0, TOP), (3000.0, PEAK), (6000.0, TOP)))
WINDOW = Hole("W1", 2000.0, 3200.0, 900.0, 2100.0)
Lines = list[tuple[tuple[float, float], tuple[float, float]]]


@pytest.fixture
def timber(catalogue: Catalogue) -> Timber:
    return catalogue.timbers["batten_40x20"]


def drawn(battens: Battens) -> Lines:
    return [(line.a_xy, line.b_xy) for line in battens.lines]


# --- on studs -------------------------------------------------------------------------------------------------------------


def test_studs_of_a_wall_with_openings() -> None:
    """Batten 40 wide, studs at 600: ends, jambs 20 off, and commons that are 44.5 or more from these. A wall that begins right of its framing's end keeps the framing's studs."""
    short = replace(WALL, right=2000.0)
    assert stud_lines(short, 600.0, 40.0) == (20.0, 600.0, 1200.0, 1800.0, 1980.0)
    holed = replace(short, holes=(Hole("W", 700.0, 1150.0, 900.0, 2100.0),))
    assert stud_lines(holed, 600.0, 40.0) == (20.0, 600.0, 680.0, 1170.0, 1800.0, 1980.0)
    for jamb, common in ((664.6, True), (664.5, False), (600.0, False), (575.5, False), (575.4, True)):
        holed = replace(short, holes=(Hole("W", jamb, 1100.0, 900.0, 2100.0),))
        assert (600.0 in stud_lines(holed, 600.0, 40.0)) is common, jamb
    # a jamb at the end of the face has its batten there alone, two that are one are one
    at_end = replace(short, holes=(Hole("W", 0.0, 1000.0, 900.0, 2100.0), Hole("X", 1000.0, 2000.0, 900.0, 2100.0)))
    assert stud_lines(at_end, 600.0, 40.0) == (20.0, 600.0, 980.0, 1020.0, 1200.0, 1800.0, 1980.0)
    for apart, lines in ((40.5, 1), (40.6, 2)):
        pair = (Hole("W", 500.0, 800.0, 0.0, 1.0), Hole("X", 800.0 + apart, 1300.0, 0.0, 1.0))
        inner = [x for x in stud_lines(replace(short, holes=pair), 9000.0, 40.0) if 790.0 < x < 850.0]
        assert len(inner) == lines
    assert stud_lines(replace(WALL, left=-38.0, right=1238.0), 600.0, 40.0) == (-18.0, 600.0, 1218.0)
    assert stud_lines(replace(WALL, left=700.0, right=2000.0), 600.0, 40.0) == (720.0, 1200.0, 1800.0, 1980.0)
    assert stud_lines(replace(WALL, left=-900.0, right=-100.0), 600.0, 40.0) == (-880.0, -120.0)
    # a jamb whose batten would stand half past the end of the face has none there; a face that reaches 100 past its framing
    # has the batten of that end alone, none on the framing's own end
    near = replace(short, holes=(Hole("W", 20.0, 900.0, 900.0, 2100.0), Hole("X", 1100.0, 1980.0, 900.0, 2100.0)))
    assert stud_lines(near, 600.0, 40.0) == (20.0, 600.0, 920.0, 1080.0, 1200.0, 1800.0, 1980.0)
    assert stud_lines(replace(short, left=-100.0), 600.0, 40.0) == (-80.0, 600.0, 1200.0, 1800.0, 1980.0)


def test_battens_on_studs_and_along_the_top(timber: Timber, settings: Settings) -> None:
    """Cut round an opening that the stud passes, not round one that it stands beside; a batten along the top."""
    short = replace(
        WALL, right=1500.0, top=((0.0, TOP), (1500.0, TOP)), holes=(Hole("W", 600.0, 1240.0, 900.0, 2100.0),)
    )
    found = battens_on_studs(short, timber, 600.0, settings)
    whole: Lines = [((x, FOOT), (x, TOP)) for x in (20.0, 580.0)]
    parted: Lines = [((1200.0, FOOT), (1200.0, 900.0)), ((1200.0, 2100.0), (1200.0, TOP))]
    rest: Lines = [((x, FOOT), (x, TOP)) for x in (1260.0, 1480.0)]
    assert drawn(found) == [*whole, *parted, *rest, ((0.0, TOP), (1500.0, TOP))]
    assert [line.run for line in found.lines] == [f"K1.{n:02d}" for n in range(1, 8)]
    terms = (
        Term("length", 250.0, "mm", ref="wall 1"),
        settings.term("batten_least_mm"),
        settings.term("batten_offcut_mm"),
    )
    assert found.runs[3] == RunDemand(
        "K1.04", "batten_40x20", 250.0, None, least_mm=125.0, group="wall 1", refs=("wall 1",),
        working=Working("length of the batten line less its gaps", terms),
    )  # fmt: skip
    assert found.runs[0].least_mm == 300.0
    assert found.lines[3] == BattenLine(1, (1200.0, 2100.0), (1200.0, TOP), "K1.04")
    assert found.left_out == 0


def test_battens_too_short_to_list(timber: Timber, settings: Settings) -> None:
    """Under 100 they come from offcuts, half a millimetre less is cut; under half a millimetre they are nothing."""
    for long, cut, left in ((100.0, 1, 0), (99.5, 1, 0), (99.4, 0, 1), (0.6, 0, 1), (0.5, 0, 0)):
        holed = replace(WALL, holes=(Hole("W", 0.0, 6000.0, FOOT, TOP - long),))
        found = battens_on_studs(holed, timber, 9000.0, settings)
        assert (len([run for run in found.runs if run.length_mm == pytest.approx(long)]), found.left_out) == (
            2 * cut,
            2 * left,
        )
    assert offcut_note(0, settings) == ()
    assert offcut_note(3, settings) == (
        Finding(
            "battens-from-offcuts", Severity.NOTE,
            "3 pieces of batten under 100 mm, beside openings, come out of offcuts and are in no cut list.",
        ),
    )  # fmt: skip


# --- at nogs --------------------------------------------------------------------------------------------------------------


def test_levels_of_nogs() -> None:
    """2400 in five bays of 480; 2400.5 too; up a gable of 1500 more rows at the same 480; a break has a row of its own,
    on one by half a millimetre none."""
    rows = tuple(FOOT + 480.0 * n for n in range(6))
    assert nog_levels(WALL, 480.0) == rows
    assert nog_levels(WALL, 479.9) == rows
    assert len(nog_levels(WALL, 479.8)) == 7
    assert nog_levels(GABLE, 480.0) == (*rows, TOP + 480.0, TOP + 960.0, TOP + 1440.0)
    for peak, more in ((TOP + 480.5, 0), (TOP + 480.6, 1), (TOP + 960.6, 2)):
        top = ((0.0, TOP), (3000.0, peak), (6000.0, TOP))
        assert len(nog_levels(replace(WALL, top=top), 480.0)) == 6 + more
    assert nog_levels(replace(WALL, breaks=(1000.0, 910.5)), 480.0) == (*rows[:3], 1000.0, *rows[3:])
    assert 910.6 in nog_levels(replace(WALL, breaks=(910.6,)), 480.0)
    assert nog_levels(replace(WALL, frame_top=FOOT + 100.0, top=((0.0, 50.0), (6000.0, 50.0))), 480.0) == (FOOT, 50.0)


def test_level_battens_round_openings_and_up_a_gable(timber: Timber, settings: Settings) -> None:
    """A window from 900 to 2100 parts the rows at 910, 1390 and 1870; one whose head is on a row does not part it. The
    rows over the frame are as long as the gable is wide there; battens along both rakes."""
    found = drawn(battens_at_nogs(replace(WALL, holes=(WINDOW,)), timber, settings))
    whole, parted = ((0.0, 6000.0),), ((0.0, 2000.0), (3200.0, 6000.0))
    rows = ((FOOT, whole), (430.0, whole), (910.0, parted), (1390.0, parted), (1870.0, parted), (TOP, whole))
    assert found == [((a, y), (b, y)) for y, runs in rows for a, b in runs]
    on = replace(WALL, holes=(replace(WINDOW, foot=910.0, head=1390.0),))
    assert len(battens_at_nogs(on, timber, settings).lines) == 6
    up = drawn(battens_at_nogs(GABLE, timber, settings))[6:]
    wide = [2.0 * (y - TOP) for y in (TOP + 480.0, TOP + 960.0, TOP + 1440.0)]
    crumb = 0.02 * 2.0  # looked at two hundredths lower
    wanted = [
        ((x - crumb, y), (6000.0 - x + crumb, y))
        for x, y in zip(wide, (TOP + 480.0, TOP + 960.0, TOP + 1440.0), strict=True)
    ]
    rakes = [((0.0, TOP), (3000.0, PEAK)), ((3000.0, PEAK), (6000.0, TOP))]
    assert [point for line in up for point in line] == [
        pytest.approx(point) for line in (*wanted, *rakes) for point in line
    ]
    # a level top over the frame has its own batten, one at the frame's height is a row already
    high = replace(WALL, top=((0.0, TOP + 0.6), (6000.0, TOP + 0.6)))
    assert len(battens_at_nogs(high, timber, settings).lines) == 7
    assert len(battens_at_nogs(replace(WALL, top=((0.0, TOP + 0.5), (6000.0, TOP + 0.5))), timber, settings).lines) == 6
    slight = replace(WALL, top=((0.0, TOP - 0.6), (6000.0, TOP)))
    assert len(battens_at_nogs(slight, timber, settings).lines) == 7
    # a top that steps up by 300 has no batten up the step
    stepped = replace(WALL, top=((0.0, TOP), (3000.0, TOP), (3000.0, TOP + 300.0), (6000.0, TOP + 300.0)))
    assert drawn(battens_at_nogs(stepped, timber, settings))[6:] == [((3000.0, TOP + 300.0), (6000.0, TOP + 300.0))]
    # a wall that begins 5 m right of its framing's end
    beyond = replace(WALL, left=5000.0, right=9000.0, top=((5000.0, TOP), (7000.0, PEAK), (9000.0, TOP)))
    assert drawn(battens_at_nogs(beyond, timber, settings))[-2:] == [
        ((5000.0, TOP), (7000.0, PEAK)), ((7000.0, PEAK), (9000.0, TOP)),
    ]  # fmt: skip


def test_sloped_battens_are_longer_and_stop_short(timber: Timber, settings: Settings) -> None:
    """At 5 degrees 6000 / cos 5 less 50 at either end."""
    sloped = with_values(settings, vertical_batten="sloped")
    found = battens_at_nogs(WALL, timber, sloped).runs[0]
    assert found.length_mm == pytest.approx(6000.0 / cos(radians(5)) - 100.0)
    names = ("batten_least_mm", "batten_offcut_mm", "batten_end_gap_mm", "batten_slope_deg")
    assert found.working.terms[1:] == tuple(sloped.term(name) for name in names)


def test_nogs_that_a_frame_lacks(catalogue: Catalogue, settings: Settings) -> None:
    """Rows at 430 to 1870 and a frame that has ceil(2400 / 800) - 1 = 2 of its own: two rows of ten bays of 600; a window
    takes two of one. 600 less a stud of 45."""
    nog = catalogue.timbers["nog_90x45"]
    found = extra_nogs(WALL, nog, 600.0, settings)
    names = ("stud_width_mm", "nog_most_mm", "frame_nogs_mm")
    working = Working(
        "stud spacing less a stud", (Term("length", 555.0, "mm", ref="wall 1"), *(settings.term(n) for n in names))
    )
    assert found == tuple(
        RunDemand(f"G1.{n:02d}", "nog_90x45", 555.0, refs=("wall 1",), working=working) for n in range(1, 21)
    )
    # rows left: 1390 and 1870; the window parts both into 2000 and 2800: 4 + 5 bays each
    assert len(extra_nogs(replace(WALL, holes=(WINDOW,)), nog, 600.0, settings)) == 18
    assert (
        len(extra_nogs(replace(WALL, holes=(replace(WINDOW, foot=1390.0, head=1870.0),)), nog, 600.0, settings)) == 20
    )
    # a frame with rows every 400 has five: more than are wanted; one every 2400 none of its own, one of 2399 one
    for most, count in ((400, 0), (2400, 40), (2399, 30)):
        assert len(extra_nogs(WALL, nog, 600.0, with_values(settings, frame_nogs_mm=most))) == count
    # up the gable 480, 960 and 1440 over the frame it is 4080, 2160 and 240 wide: 7, 4 and 1 bays
    gable = extra_nogs(GABLE, nog, 600.0, settings)
    assert len(gable) == 20 + 7 + 4 + 1


# --- feet -----------------------------------------------------------------------------------------------------------------


def test_where_the_foot_runs() -> None:
    """A door down to it, or half a millimetre over it, is off; one that is all under it is not, nor the line to a zone
    below unless it is asked for."""
    for low, off in ((FOOT, True), (FOOT + 0.5, True), (FOOT + 0.6, False)):
        holed = replace(WALL, holes=(Hole("D", 1000.0, 1900.0, low, 2000.0),))
        assert foot_stretches(holed) == (((0.0, 1000.0), (1900.0, 6000.0)) if off else ((0.0, 6000.0),))
    for head, off in ((FOOT - 200.0, False), (FOOT, False), (FOOT + 0.1, True)):
        holed = replace(WALL, holes=(Hole("D", 1000.0, 1900.0, FOOT, head),))
        assert (len(foot_stretches(holed)) == 2) is off
    upper = replace(WALL, base=900.0, joins=(((0.0, 900.0), (4000.0, 900.5)),))
    assert foot_stretches(upper) == ((4000.0, 6000.0),)
    assert foot_stretches(upper, at_zones=True) == ((0.0, 6000.0),)
    for line in (((0.0, 899.4), (4000.0, 900.0)), ((0.0, 900.0), (4000.0, 900.6))):
        assert foot_stretches(replace(upper, joins=(line,))) == ((0.0, 6000.0),)
    assert foot_stretches(replace(upper, joins=(((0.0, 899.5), (4000.0, 900.0)),))) == ((4000.0, 6000.0),)
    for line in (((0.0, 900.0), (300.0, 900.0)), ((5000.0, 900.0), (6000.0, 900.0))):
        (a, _), (b, _) = line
        assert foot_stretches(replace(upper, joins=(line,))) == (((b, 6000.0),) if a == 0.0 else ((0.0, a),))


def test_closers_along_the_foot() -> None:
    holed = replace(WALL, part=2, holes=(Hole("D", 1000.0, 1900.0, FOOT, 2000.0),))
    working = [
        Working("foot of the cladding, doors left out", (Term("length", mm, "mm", ref="wall 1"),))
        for mm in (1000.0, 4100.0)
    ]
    assert closer_runs(holed, "base_closer") == (
        RunDemand("V1-2.1", "base_closer", 1000.0, None, refs=("wall 1",), working=working[0]),
        RunDemand("V1-2.2", "base_closer", 4100.0, None, refs=("wall 1",), working=working[1]),
    )


def test_vents_at_the_foot(settings: Settings) -> None:
    """1000 mm2 a metre over 12.5 m; a closer of 900 is 1250 short."""

    def row(own: Settings) -> Quantity:
        terms = (
            Term("length of the foot", 12.5, "m"),
            own.term("base_vent_mm2_per_m"),
            own.term("closer_vent_mm2_per_m"),
        )
        working = Working("vent area = length of the foot x opening per metre", terms)
        return Quantity("cladding.vent", "vent area at the foot of the cavity", 12_500.0, "mm2", (), working)

    assert vent_check(12_500.0, settings) == (row(settings), ())
    less = with_values(settings, closer_vent_mm2_per_m=900)
    words = "The base closer opens 900 mm2 a metre; 1000 are wanted: 1250 mm2 short over 12.5 m."
    source = less.basis("base_vent_mm2_per_m").words()
    stop = Finding("vent-area-too-small", Severity.STOP, words, "Buy a closer with more opening.", source=source)
    assert vent_check(12_500.0, less) == (row(less), (stop,))
    assert vent_check(12_345.67, settings)[0].working.terms[0].value == 12.3457
