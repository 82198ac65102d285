"""Planes, sheets and sides of two plans paired by where they lie, and one plan laid over another, by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest

from takeoff.model.snapshot import SeenSheet, Snapshot
from takeoff.order.comparing.lay_over import Motion, lay_over
from takeoff.order.comparing.match_places import pair_best, pair_planes, pair_sheets, pair_sides

sys.path.insert(0, str(Path(__file__).parent))

from seen_plans import box, edge, plane, seen, sheet, side


def test_pairs_of_the_highest_score_first() -> None:
    scores = {("a", "x"): 1.0, ("a", "y"): 3.0, ("b", "y"): 5.0, ("b", "z"): 4.0, ("c", "z"): -2.0}
    found = pair_best("abcd", "xyzw", lambda one, two: scores.get((one, two)))
    assert (found.both, found.gone, found.new) == ((("a", "x"), ("b", "y"), ("c", "z")), ("d",), ("w",))
    # of a score alike to a millionth those nearest in their order
    assert pair_best("ab", "xy", lambda one, two: 1.0 + 1e-8 * (one == "a" and two == "y")).both == (
        ("a", "x"),
        ("b", "y"),
    )
    assert pair_best("ab", "xy", lambda one, two: 1.0 + 1e-4 * (one == "a" and two == "y")).both == (
        ("b", "x"),
        ("a", "y"),
    )


@pytest.mark.parametrize(("shift", "paired"), [(8100.0, True), (8300.0, False), (10000.0, False), (12000.0, False)])
def test_planes_are_one_where_a_tenth_of_both_is_common(shift: float, paired: bool) -> None:
    # of two squares of 100 m2, 8.1 m apart, 19 of 181 are common; 8.3 m apart, 17 of 183
    old, new = plane("P1", box(0.0, 0.0, 10000.0, 10000.0)), plane("Q1", box(shift, 0.0, 10000.0, 10000.0))
    assert pair_planes([old], [new], Motion()).both == (((old, new),) if paired else ())


@pytest.mark.parametrize(
    ("one", "two", "turn", "pitch", "paired"),
    [
        (90.0, 149.0, 0.0, 30.0, True),
        (90.0, 151.0, 0.0, 30.0, False),
        (90.0, 31.0, 0.0, 30.0, True),
        (90.0, 29.0, 0.0, 30.0, False),
        (350.0, 20.0, 0.0, 30.0, True),  # through north
        (20.0, 350.0, 0.0, 30.0, True),
        (90.0, 0.0, 90.0, 30.0, True),  # the plan turned by 90 degrees anticlockwise
        (90.0, 180.0, 90.0, 30.0, False),
        (90.0, 270.0, 0.0, 1.5, True),  # so flat that it faces nowhere
        (90.0, 270.0, 0.0, 1.6, False),
    ],
)
def test_planes_that_face_further_apart_are_not_one(
    one: float, two: float, turn: float, pitch: float, paired: bool
) -> None:
    ring = box(-5000.0, -5000.0, 10000.0, 10000.0)
    old = plane("P1", ring, bearing_deg=one, pitch_deg=45.0)
    new = plane("Q1", ring, bearing_deg=two, pitch_deg=pitch)
    assert pair_planes([old], [new], Motion(turn)).both == (((old, new),) if paired else ())
    swapped = replace(old, pitch_deg=pitch), replace(new, pitch_deg=45.0)
    assert pair_planes([swapped[0]], [swapped[1]], Motion(turn)).both == ((swapped,) if paired else ())


def test_planes_that_have_exactly_a_tenth_in_common() -> None:
    """Of two of 1.1 m2, 0.9 m apart, 0.2 of 2 m2."""
    old, new = plane("P1", box(0.0, 0.0, 1100.0, 1000.0)), plane("Q1", box(900.0, 0.0, 1100.0, 1000.0))
    assert pair_planes([old], [new], Motion()).both == ((old, new),)


def test_sheets_far_from_where_their_plane_begins() -> None:
    """Of 1 m at 10 m, what covers 0.6 of it and no more shares more than what covers all of it and 0.9 beside it."""
    for across in (True, False):

        def made(mark: str, low: float, high: float, across: bool = across) -> SeenSheet:
            return sheet(mark, low, high, 10000.0, 11000.0) if across else sheet(mark, 10000.0, 11000.0, low, high)

        old = plane("P1", (), made("P1.01", 10000.0, 11000.0))
        new = plane("Q1", (), made("Q1.01", 9100.0, 11000.0), made("Q1.02", 10400.0, 11000.0))
        assert [two.mark for _, two in pair_sheets(old, new, Motion()).both] == ["Q1.02"]


def test_half_of_a_sheet_all_the_way_up_is_more_than_a_third_across_it() -> None:
    """Of 1 x 4 m: 2 of 4 m2 against 1.5 of 4."""
    old = plane("P1", (), sheet("P1.01", 0.0, 1000.0, 0.0, 4000.0))
    new = plane("Q1", (), sheet("Q1.01", 0.0, 1000.0, 0.0, 1500.0), sheet("Q1.02", 0.0, 500.0, 0.0, 4000.0))
    assert [two.mark for _, two in pair_sheets(old, new, Motion()).both] == ["Q1.02"]


def test_planes_are_laid_over_before_they_are_paired() -> None:
    old = plane("P1", box(0.0, 0.0, 10000.0, 5000.0))
    new = plane("Q1", box(27000.0, 1000.0, 5000.0, 10000.0), bearing_deg=0.0)
    # (x, y) to (-y, x), and 32 m east and 1 m north of that
    assert pair_planes([old], [new], Motion(90.0, (32000.0, 1000.0))).both == ((old, new),)


def test_sheets_of_a_plane_by_what_they_cover() -> None:
    """The old plane begins 1 m east and 0.5 m north of the new one, whose level axis runs (0.6, 0.8) and which rises at 60
    degrees: 1 m along it, and (-0.8 + 0.3) / cos 60 = -1 m up. The old sheet so covers 1 to 2 m by -1 to 2 m. Of 4 m2 and
    3 m2 in all it has 1 with the first: a quarter; of 3.5 m2 it has 1 with the second."""
    old_sheet = sheet("P1.01", 0.0, 1000.0, 0.0, 3000.0)
    first, second = sheet("Q1.01", 1500.0, 2500.0, 0.0, 2000.0), sheet("Q1.02", 1000.0, 2000.0, 1000.0, 2500.0)
    old = plane("P1", (), old_sheet, origin=(1000.0, 500.0), level=(0.6, 0.8), pitch_deg=60.0)

    def paired(*new_sheets: SeenSheet) -> list[str]:
        new = plane("Q1", (), *new_sheets, level=(0.6, 0.8), pitch_deg=60.0)
        return [two.mark for _, two in pair_sheets(old, new, Motion()).both]

    assert paired(first, second) == ["Q1.02"]
    assert paired(first) == ["Q1.01"]
    # beside it, above it, left of it and below it
    assert paired(sheet("a", 2000.0, 3000.0, 0.0, 1000.0), sheet("b", 1000.0, 2000.0, 2001.0, 3000.0)) == []
    assert paired(sheet("c", 0.0, 1000.0, 0.0, 1000.0), sheet("d", 1000.0, 2000.0, -2000.0, -1001.0)) == []
    assert [paired(sheet("e", 1999.0, 3000.0, 0.0, 1000.0)), paired(sheet("f", 0.0, 1001.0, 1999.0, 3000.0))] == [
        ["e"],
        ["f"],
    ]
    # half common of 0.9 m2 is more than 0.45 of 1.2
    near, wide = sheet("n", 1000.0, 2000.0, -1000.0, 1000.0), sheet("w", 1000.0, 2000.0, -1000.0, 6000.0)
    assert paired(wide, near) == ["n"]


def test_of_two_sheets_the_one_with_the_greater_share() -> None:
    """Of 1 x 4 m: 1 x 2 of it and nothing else has a half, 0.9 x 3.9 of it in 2 x 6 m has 3.51 of 12.49, though more of it;
    half a millimetre is common too."""
    old = plane("P1", (), sheet("P1.01", 0.0, 1000.0, 0.0, 4000.0))
    within, round_it = sheet("Q1.01", 0.0, 1000.0, 0.0, 2000.0), sheet("Q1.02", 100.0, 2100.0, 100.0, 6100.0)
    for order in ((within, round_it), (round_it, within)):
        (pair,) = pair_sheets(old, plane("Q1", (), *order), Motion()).both
        assert pair[1].mark == "Q1.01"
    # 3 of 4 and 4 m2 are 3 of 5; 2.9 of 4 and 2.9 are 2.9 of 4
    long, short = sheet("Q1.03", 0.0, 1000.0, 1000.0, 5000.0), sheet("Q1.04", 0.0, 1000.0, 0.0, 2900.0)
    (pair,) = pair_sheets(old, plane("Q1", (), long, short), Motion()).both
    assert pair[1].mark == "Q1.04"
    for crumb in (sheet("a", 999.5, 1000.0, 0.0, 4000.0), sheet("b", 0.0, 1000.0, 3999.5, 4000.0)):
        assert len(pair_sheets(old, plane("Q1", (), crumb), Motion()).both) == 1


def test_sheets_of_a_plane_that_hardly_rises() -> None:
    # at 89.9 degrees cos is 0.0017, of which no more than 0.01 is believed: 10 mm up are a metre, not 5.7
    old = plane("P1", (), sheet("P1.01", 0.0, 1000.0, 0.0, 1000.0), origin=(0.0, 10.0), pitch_deg=89.9)
    new = plane("Q1", (), sheet("Q1.01", 0.0, 1000.0, 1500.0, 2000.0), pitch_deg=89.9)
    assert len(pair_sheets(old, new, Motion()).both) == 1
    assert pair_sheets(replace(old, pitch_deg=0.0), replace(new, pitch_deg=0.0), Motion()).both == ()
    # what only touches is not common
    for touching in (sheet("a", 1000.0, 2000.0, 0.0, 1000.0), sheet("b", 0.0, 1000.0, 1000.0, 2000.0)):
        level = replace(old, origin=(0.0, 0.0), pitch_deg=0.0)
        assert pair_sheets(level, replace(new, sheets=(touching,), pitch_deg=0.0), Motion()).both == ()


@pytest.mark.parametrize(
    ("a", "b", "paired"),
    [
        ((0.0, 3000.0), (10000.0, 3000.0), True),
        ((0.0, 3001.0), (10000.0, 3001.0), False),
        # 2 m shorter: as much further off
        ((1000.0, 5000.0), (9000.0, 5000.0), True),
        ((1000.0, 5001.0), (9000.0, 5001.0), False),
        ((-1000.0, 5000.0), (11000.0, 5000.0), True),
        # the other way, and turned by 11 and 12 degrees: the cosine is 0.9816 and 0.9781
        ((10000.0, 0.0), (0.0, 0.0), False),
        ((0.0, 0.0), (10000.0 * cos(radians(11.0)), 10000.0 * sin(radians(11.0))), True),
        ((0.0, 0.0), (10000.0 * cos(radians(12.0)), 10000.0 * sin(radians(12.0))), False),
        ((0.0, 0.0), (10000.0 * cos(radians(11.0)), -10000.0 * sin(radians(11.0))), True),
    ],
)
def test_sides_that_run_the_same_way_and_lie_near(a: Any, b: Any, paired: bool) -> None:
    old, new = side("S1", (0.0, 0.0), (10000.0, 0.0)), side("T1", a, b)
    assert pair_sides([old], [new], Motion()).both == (((old, new),) if paired else ())


def test_sides_on_a_slant() -> None:
    """(6, 8) m; turned by 16 degrees, to (8, 6), the cosine is 0.96; to (6.5, 7.6), 0.998."""
    old = side("S1", (0.0, 0.0), (6000.0, 8000.0))
    ends = ((6500.0, 7600.0), (8000.0, 6000.0), (-6000.0, 8000.0), (6000.0, -8000.0))
    found = [pair_sides([old], [side("T1", (0.0, 0.0), end)], Motion()).both for end in ends]
    assert [len(both) for both in found] == [1, 0, 0, 0]


def test_the_nearest_side_is_taken() -> None:
    """Old ones 1 m and 2 m from new ones; laid over, they lie on each other."""
    old = [side("S1", (0.0, 0.0), (10000.0, 0.0)), side("S2", (0.0, 2000.0), (10000.0, 2000.0))]
    new = [side("T1", (0.0, 2900.0), (10000.0, 2900.0)), side("T2", (0.0, 900.0), (10000.0, 900.0))]
    assert [(one.id, two.id) for one, two in pair_sides(old, new, Motion()).both] == [("S2", "T1"), ("S1", "T2")]
    assert [(one.id, two.id) for one, two in pair_sides(old[:1], new, Motion(shift=(0.0, 2800.0))).both] == [
        ("S1", "T1")
    ]


# a hipped outline, no side as long as another
OUTLINE = [((0.0, 0.0), (9000.0, 0.0)), ((9000.0, 0.0), (11000.0, 7000.0)), ((11000.0, 7000.0), (500.0, 6000.0)),
           ((500.0, 6000.0), (0.0, 0.0))]  # fmt: skip


def _outline(motion: Motion) -> Snapshot:
    return seen(
        edges=tuple(edge(f"E{at}", "eave", motion.place(a), motion.place(b)) for at, (a, b) in enumerate(OUTLINE))
    )


@pytest.mark.parametrize(
    ("turn", "shift", "words"),
    [
        (0.0, (0.0, 0.0), ""),
        (0.0, (700.0, -1300.0), "old plan shifted by 700 mm east and -1300 mm north"),
        (40.0, (0.0, 0.0), "old plan turned by 40.0 degrees"),
        (-130.0, (-2500.0, 800.0), "old plan turned by -130.0 degrees and shifted by -2500 mm east and 800 mm north"),
        (180.0, (100.0, 100.0), "old plan turned by -180.0 degrees and shifted by 100 mm east and 100 mm north"),
    ],
)
def test_a_plan_is_laid_over_as_it_was_moved(turn: float, shift: Any, words: str) -> None:
    found = lay_over(_outline(Motion()), _outline(Motion(turn, shift)))
    assert (found.turn_deg - turn) % 360.0 == pytest.approx(0.0, abs=1e-6) or (turn - found.turn_deg) % 360.0 < 1e-6
    assert found.shift == pytest.approx(shift, abs=1e-3)
    assert found.words == words


def test_a_motion_of_a_place_by_hand() -> None:
    motion = Motion(90.0, (10.0, 20.0))
    assert motion.place((3.0, 4.0)) == pytest.approx((6.0, 23.0))
    assert motion.turn((3.0, 4.0)) == pytest.approx((-4.0, 3.0))
