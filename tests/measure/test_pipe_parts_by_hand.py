"""What every downpipe is cut and made of, from the outlet to the shoe: pieces, fittings, joiners and sentences by hand.

The sole hangs 130 below the eave, offsets fall at 20 degrees, 50 stay clear of the ground, clips stand 3 m apart at most.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import cos, radians, tan
from pathlib import Path

import pytest

from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.pipe_parts import PipeLengths, _demands, _lengths, _out_mm, downpipe_need
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.drainage import Downpipe
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import chosen, pipe, plan, run

Build = Callable[..., Roof]
T20, C20 = tan(radians(20)), cos(radians(20))
ROUND = (Mark(MarkKind.FITS, "round 80"),)
KINDS = ("bend", "clip", "shoe", "joiner", "spreader")
FITTINGS = tuple(Made(f"Downpipe {kind}, round 80", f"downpipe_{kind}", ROUND, "p") for kind in KINDS)


@pytest.fixture
def made(settings: Settings) -> Chosen:
    return chosen(settings)


def walled(hip_roof: Build, overhang: float) -> Roof:
    """The roof of the run, 24 m by 8 m, with a wall line in from its eaves."""
    inset = ((overhang, overhang), (24_000.0 - overhang, overhang), (24_000.0 - overhang, 8000.0), (overhang, 8000.0))
    return replace(hip_roof(24_000.0, 8000.0), wall_line_mm=(inset,))


def test_from_the_outlet_back_to_the_wall(made: Chosen, hip_roof: Build) -> None:
    """600 of eave less 40 of cladding, half a gutter of 125 further out, 20 and half a pipe of 80 back: 562.5. With an eave
    of 30 the pipe would stand out of the gutter: straight down. No wall line, no roof: to be measured."""
    rows = [(600.0, 600.0 - 40.0 + 62.5 - 20.0 - 40.0), (30.0, 0.0)]
    for overhang, wanted in rows:
        assert _out_mm(pipe(), run(), [walled(hip_roof, overhang)], made) == wanted
    assert _out_mm(pipe(), run(), [hip_roof(24_000.0, 8000.0)], made) is None
    assert _out_mm(pipe(), run(roof="other"), [walled(hip_roof, 600.0)], made) is None


def test_lengths_to_the_ground_and_to_a_roof(made: Chosen) -> None:
    """Eave 2700 over the ground at 2400, soffit at 2200: 70 below the sole, 30 of it in the upper drop... 200 - 130 = 70.
    Over a roof nothing is kept clear; a short drop hangs straight from the outlet."""
    drop = 2700.0 - 130.0 - 70.0 - 500.0 * T20 - 50.0
    assert _lengths(pipe(), 500.0, 2200.0, made) == PipeLengths(70.0, pytest.approx(500.0 / C20), pytest.approx(drop))
    bare = _lengths(pipe(), None, None, made)
    assert bare == PipeLengths(0.0, None, 2700.0 - 130.0 - 50.0)
    assert _lengths(pipe(), 500.0, 2300.0, made).upper_mm == 0.0  # a soffit above the sole
    onto = pipe(onto="L1", height_mm=2700.0)
    assert _lengths(onto, 500.0, None, made).drop_mm == pytest.approx(2700.0 - 130.0 - 500.0 * T20)
    short = pipe(onto="L1", height_mm=1330.0)
    assert _lengths(short, 500.0, 2200.0, made) == PipeLengths(0.0, 0.0, 1200.0)
    assert _lengths(replace(short, height_mm=100.0), 500.0, None, made) == PipeLengths(0.0, 0.0, 0.0)
    assert _lengths(pipe(height_mm=150.0), 500.0, None, made).drop_mm == 0.0


def demand(made: Chosen, name: str, length: float, words: str, splits: tuple[float, ...] | None = ()) -> RunDemand:
    sizes = ("gutter_sole_below_eave_mm", "downpipe_offset_fall_deg", "downpipe_ground_clearance_mm")
    terms = (Term("ground_mm", -300.0, "mm", SET_IN_JOB), *(made.settings.term(size) for size in sizes))
    one = name.split()[0]
    working = Working(words, (Term("length", length, "mm", ref=one), *terms))
    return RunDemand(name, "downpipe p", length, splits, refs=(one, "G1"), working=working)


UPPER = "from the outlet down to its first bend"
OFFSET = "from bend to bend, gutter to wall"
DROP = "down the wall to the shoe, clear of the ground"


def test_pieces_too_short_are_in_the_bends_and_long_drops_are_joined(made: Chosen) -> None:
    """Of 50 mm at least; up to the longest stock in one piece."""
    for upper, offset, drop, names in (
        (50.0, 49.9, 3000.0, ("upper", "drop")),
        (49.9, 50.0, 3000.1, ("offset", "drop")),
        (0.0, None, 20.0, ()),
    ):
        found = _demands(pipe(), PipeLengths(upper, offset, drop), "downpipe p", 3000.0, 50.0, ())
        assert [each.id for each in found] == [f"DP1 {name}" for name in names]
        assert [each.splits_mm for each in found] == [None if each.length_mm > 3000.0 else () for each in found]


def test_three_pipes_with_everything_they_take(settings: Settings, hip_roof: Build) -> None:
    """DP1 to the ground 7 m below: an offset of 562.5 / cos 20 and a drop joined twice from 3 m. DP2 on to a roof 1330
    below: straight down, one bend and a spreader. DP3 on to one 4000 below: to the wall, three bends, a spreader. Clips:
    DP1 ceil(6615 / 3000) + 1 = 4 and DP3 ceil(3665 / 3000) + 1 = 3, two screws each with a tenth more."""
    made = chosen(settings)
    pipes = (pipe(height_mm=7000.0), pipe("DP2", onto="L1", height_mm=1330.0), pipe("DP3", onto="L1", height_mm=4000.0))
    need = downpipe_need((run(),), (plan(*pipes),), (walled(hip_roof, 600.0),), None, None, made)
    offset = 562.5 / C20
    first, third = 7000.0 - 180.0 - 562.5 * T20, 4000.0 - 130.0 - 562.5 * T20
    wanted = [
        ("DP1 offset", offset, OFFSET, ()), ("DP1 drop", first, DROP, None), ("DP2 drop", 1200.0, DROP, ()),
        ("DP3 offset", offset, OFFSET, ()), ("DP3 drop", third, DROP, None),
    ]  # fmt: skip
    assert need.demands == tuple(
        demand(made, name, pytest.approx(length), words, splits)  # type: ignore[arg-type]
        for name, length, words, splits in wanted
    )
    assert need.stock == (StockChoice("downpipe p", (3000,)),)
    marks = (Mark(MarkKind.CALLED, "Pipe P"), Mark(MarkKind.PIPES, 3.0))
    assert need.items == (Made("downpipe p", "downpipe", marks, "p"), *FITTINGS)
    assert need.findings == ()
    refs, count = ("DP1", "DP2", "DP3"), Term("downpipes", 3, "each")
    clips = (Term("DP1", 4, "each", ref="DP1"), Term("DP3", 3, "each", ref="DP3"))
    bends = "two a downpipe, at both ends of its offset; one more into a spreader, that one alone where the pipe drops straight"
    rule = "near both ends of each drop and between where it is longer than the span: ceil(drop / span) + 1"
    shoes = "one a downpipe, clear of the ground; none where it ends on a lower roof"
    joints = (Term("DP1 drop", 2, "each", ref="DP1 drop"), Term("DP3 drop", 1, "each", ref="DP3 drop"))
    over = Working("one a downpipe that ends over a lower roof", (Term("downpipes over a lower roof", 2, "each"),))
    clear, span = (made.settings.term(name) for name in ("downpipe_ground_clearance_mm", "downpipe_clip_span_mm"))
    assert need.quantities[:5] == (
        Quantity("downpipe bends", "Downpipe bend, round 80", 6.0, "each", refs, Working(bends, (count,))),
        Quantity("downpipe clips", "Downpipe clip, round 80", 7.0, "each", refs, Working(rule, (count, span, *clips))),
        Quantity("downpipe shoes", "Downpipe shoe, round 80", 1.0, "each", refs, Working(shoes, (count, clear))),
        Quantity("downpipe spreaders", "Downpipe spreader, round 80", 2.0, "each", ("DP2", "DP3"), over),
        Quantity(
            "downpipe joiners", "Downpipe joiner, round 80", 3.0, "each", ("DP1 drop", "DP3 drop"),
            Working("drops longer than the longest stock: ceil(drop / stock) - 1", joints),
        ),
    )  # fmt: skip
    assert [(each.id, each.figure) for each in need.quantities[5:]] == [("downpipe clip screw", 16.0)]  # 15.4


def test_pipes_to_the_ground_alone(settings: Settings, hip_roof: Build) -> None:
    """Stock of 6 and 4 m where the pipe is sold so and 5 m can be brought: 4 m, and no drop of 2.3 m is joined."""
    base = chosen(settings)
    made = replace(base, pipe=replace(base.pipe, lengths_mm=(4000, 6000)))
    need = downpipe_need((run(),), (plan(pipe(), pipe("DP2")),), (walled(hip_roof, 600.0),), None, 5000.0, made)
    assert need.stock == (StockChoice("downpipe p", (4000,)),)
    assert {each.id: each.figure for each in need.quantities} == {
        "downpipe bends": 4.0, "downpipe clips": 4.0, "downpipe shoes": 2.0, "downpipe clip screw": 9.0,
    }  # fmt: skip
    rules = [each.working.rule for each in need.quantities]
    assert rules[0] == "two a downpipe, at both ends of its offset"
    assert rules[2] == "one a downpipe, clear of the ground"
    assert [each.splits_mm for each in need.demands] == [()] * 4


def test_pipes_over_a_roof_that_hang_free_take_no_clips_and_no_shoes(made: Chosen) -> None:
    need = downpipe_need((run(),), (plan(pipe(onto="L1", height_mm=1330.0)),), (), None, None, made)
    assert {each.id: each.figure for each in need.quantities} == {"downpipe bends": 1.0, "downpipe spreaders": 1.0}


def test_no_pipe_needs_nothing(made: Chosen) -> None:
    assert downpipe_need((run(),), (plan(),), (), None, None, made) == Need("rainwater")


def test_what_is_said_of_pipes(settings: Settings) -> None:
    """Ground that was taken; a drop of nothing; an offset without a wall; over a roof no height is asked for."""
    base = chosen(settings)
    taken = replace(base, ground=replace(base.ground, name="ground_if_not_given_mm"))
    pipes: tuple[Downpipe, ...] = (
        pipe(height_mm=180.0),
        pipe("DP2", height_mm=180.1),
        pipe("DP3", onto="L1", height_mm=90.0),
    )
    need = downpipe_need((run(),), (plan(*pipes),), (), None, None, taken)
    assert need.findings == (
        Finding(
            "ground-not-given", Severity.NOTE, "The job gives no ground at the downpipes: -300 mm was taken.",
            "Add to the job, with the ground of your site: `rainwater: {ground_mm: -300}`.",
        ),
        Finding(
            "downpipe-without-height", Severity.WARN,
            "There is no height for a drop at DP1: the ground is at or above the offset.",
            "Check rainwater: ground_mm and the fascia height.", ("DP1",),
        ),
        Finding(
            "downpipe-offset-to-measure", Severity.NOTE,
            "Offset to be measured at DP1, DP2: the job gives no wall line below the spouting, so the order holds no pipe"
            " from the gutter back to the wall.",
            "Give the roof by its wall line and overhangs, or measure on site and add the pipe.", ("DP1", "DP2"),
        ),
    )  # fmt: skip
    assert downpipe_need((run(),), (plan(pipe(height_mm=181.0)),), (), None, None, base).findings[0].code == (
        "downpipe-offset-to-measure"
    )
