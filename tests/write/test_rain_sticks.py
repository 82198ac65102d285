"""Spouting and downpipes of the house page as sticks in space, by hand [mm]: where they hang, and the wall they go back
to."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.basis import Working
from takeoff.model.drainage import Downpipe, GutterLeg, GutterRun
from takeoff.model.order import Takeoff
from takeoff.write.house_view.rain_parts import _leg, _off, _outward, _pipe, _wall_behind, rain_sticks

EAST = GutterLeg("eave 1", (1,), (1000.0, 500.0, 2400.0), (7000.0, 500.0, 2400.0), 6000.0, 12e6)
UP = GutterLeg("eave 2", (2,), (7000.0, 500.0, 2400.0), (7000.0, 4500.0, 2400.0), 4000.0, 9e6)
WORKING = Working("rule")


def walls(*lines: tuple[tuple[float, float], tuple[float, float]]) -> Any:
    return SimpleNamespace(elevations=tuple(SimpleNamespace(a_mm=a, b_mm=b) for a, b in lines))


@pytest.fixture
def run(sample: Takeoff) -> GutterRun:
    return replace(sample.gutters[0], id="SP7", legs=(EAST, UP), internal=False, plan_catchment_mm2=20.5e6)


def test_outside_lies_at_the_right_hand() -> None:
    assert _outward(EAST) == (0.0, -1.0)
    assert _outward(UP) == (1.0, 0.0)
    assert _outward(replace(EAST, b_mm=EAST.a_mm)) == (0.0, 0.0)
    assert _outward(replace(EAST, b_mm=(4000.0, 4500.0, 0.0))) == pytest.approx((0.8, -0.6))


def test_a_leg_hangs_half_its_width_outside_its_eave_and_a_third_below(run: GutterRun) -> None:
    """A gutter of 120: 60 out, 40 down, 72 deep; the roof's origin is (10, 20, 30)."""
    stick = _leg(run, EAST, 1, (10.0, 20.0, 30.0), 120.0)
    assert stick.line == ((1010.0, 460.0, 2390.0), (7010.0, 460.0, 2390.0))
    assert (stick.mark, stick.kind, stick.run, stick.wide_mm, stick.deep_mm, stick.length_mm) == (
        "SP7.1", "gutter", "SP7", 120.0, 72.0, 6000.0,
    )  # fmt: skip
    assert stick.facts[0] == "gutter SP7, leg 1 of 2 along eave 1: 6000 mm"
    assert stick.facts[1] == "20.5 m2 of roof in plan drain to SP7"
    assert stick.names == ("SP7",)
    between = _leg(replace(run, internal=True), UP, 2, (0.0, 0.0, 0.0), 120.0)
    assert between.line == ((7000.0, 500.0, 2360.0), (7000.0, 4500.0, 2360.0))
    assert between.facts[0] == "gutter between two planes SP7, leg 2 of 2 along eave 2: 4000 mm"


@pytest.mark.parametrize(
    ("at", "off"),
    [
        ((3000.0, 500.0, 0.0), 0.0),
        ((3000.0, 900.0, 0.0), 400.0),
        ((700.0, 900.0, 0.0), 500.0),  # 300 before its start, 400 aside
        ((7300.0, 100.0, 0.0), 500.0),
        ((1000.0, 0.0, 0.0), 500.0),
    ],
)
def test_how_far_a_point_is_off_a_leg(at: tuple[float, float, float], off: float) -> None:
    assert _off(at, EAST) == pytest.approx(off)
    point = replace(EAST, b_mm=EAST.a_mm)
    assert _off((1300.0, 900.0, 0.0), point) == 500.0


def test_the_distance_to_a_leg_that_runs_aslant() -> None:
    """Along (0.6, 0.8): the foot of the point lies 250 along, the point 250 aside."""
    leg = replace(EAST, a_mm=(100.0, 200.0, 0.0), b_mm=(700.0, 1000.0, 0.0))
    assert _off((100.0 + 150.0 - 200.0, 200.0 + 200.0 + 150.0, 0.0), leg) == pytest.approx(250.0)


def test_the_wall_straight_behind_an_eave() -> None:
    """The eave looks down the plan, (0, -1); the wall lies 600 behind it."""
    front = ((0.0, 1100.0), (8000.0, 1100.0))
    at, out = (3000.0, 500.0), (0.0, -1.0)
    assert _wall_behind(walls(front), at, out) == (3000.0, 1100.0)
    assert _wall_behind(walls(tuple(reversed(front))), at, out) == (3000.0, 1100.0)  # type: ignore[arg-type]
    assert _wall_behind(walls(), at, out) is None
    # the nearest of several; none before the eave, none beside the wall but for a fiftieth of it, none square to the eave
    assert _wall_behind(
        walls(((0.0, 1500.0), (8000.0, 1500.0)), front, ((0.0, 1300.0), (8000.0, 1300.0))), at, out
    ) == (3000.0, 1100.0)
    assert _wall_behind(walls(((0.0, 400.0), (8000.0, 400.0))), at, out) is None
    assert _wall_behind(walls(((0.0, 500.0), (8000.0, 500.0))), at, out) == (3000.0, 500.0)
    assert _wall_behind(walls(((3000.0, 0.0), (3000.0, 9000.0))), at, out) is None
    for left, right, found in (
        (3019.0, 4019.0, True),
        (3021.0, 4021.0, False),
        (1981.0, 2981.0, True),
        (1979.0, 2979.0, False),
    ):
        assert (_wall_behind(walls(((left, 1100.0), (right, 1100.0))), at, out) is not None) is found
    # a wall that stands at 60 degrees to the way back is as good as one may be; 1 : sqrt(3)
    assert _wall_behind(walls(((2000.0, 100.0), (4000.0, 3000.0))), at, out) == pytest.approx((3000.0, 1550.0))
    assert _wall_behind(walls(((2500.0, 100.0), (3500.0, 3000.0))), at, out) is None
    # how far back a wall may stand
    for far, found in ((1500.0, True), (1500.1, False)):
        assert (_wall_behind(walls(((0.0, 500.0 + far), (8000.0, 500.0 + far))), at, out) is not None) is found


def test_the_wall_behind_an_eave_that_looks_along_the_plan() -> None:
    """The eave looks along x; the wall lies 600 behind it and begins or ends beside the pipe: a fiftieth of it counts."""
    at, out = (500.0, 3000.0), (1.0, 0.0)
    for low, high, found in (
        (3019.0, 4019.0, True), (3021.0, 4021.0, False), (1981.0, 2981.0, True), (1979.0, 2979.0, False),
    ):  # fmt: skip
        for ends in ((low, high), (high, low)):
            wall = ((-100.0, ends[0]), (-100.0, ends[1]))
            assert _wall_behind(walls(wall), at, out) == ((-100.0, 3000.0) if found else None)


def test_a_low_pipe_goes_straight_down(run: GutterRun) -> None:
    """Of 1500 and less, from a low roof: no way back to the wall. Its wall and pipe stand away from the origin."""
    behind = walls(((0.0, 1100.0), (8000.0, 1100.0)))
    for high, corners in ((1500.0, 2), (1500.1, 3)):
        stick = _pipe(behind, run, pipe(height_mm=high), (0.0, 0.0, 0.0), (120.0, 80.0), None)
        assert len(stick.line) == corners
        assert stick.line[-1][2] == 2400.0 - high


def test_widths_are_those_of_the_catalogue_else_125_and_80(sample: Takeoff) -> None:
    """A gutter of 125 hangs 62.5 outside its eave and 41.667 under it; a pipe of 80. Runs of a roof that is not there lie
    at the origin."""
    sticks = list(rain_sticks(sample))
    assert {(one.wide_mm, one.deep_mm) for one in sticks if one.kind == "gutter"} == {(125.0, 75.0)}
    assert {one.wide_mm for one in sticks if one.kind == "downpipe"} == {80.0}
    moved = replace(sample, roofs=(replace(sample.roofs[0], origin_mm=(10.0, 20.0, 30.0)),))
    first, other = (next(iter(rain_sticks(house))) for house in (sample, moved))
    assert [b - a for a, b in zip(first.line[0], other.line[0], strict=True)] == pytest.approx([10.0, 20.0, 30.0])
    named = replace(sample, roofs=(replace(sample.roofs[0], name="other", origin_mm=(10.0, 20.0, 30.0)),))
    assert next(iter(rain_sticks(named))).line == first.line


def pipe(**more: Any) -> Downpipe:
    made = {
        "id": "DP9",
        "at_mm": (3000.0, 500.0, 2400.0),
        "along_mm": 2000.0,
        "catchment_mm2": 21e6,
        "height_mm": 2300.0,
    }
    return SimpleNamespace(**{**made, "onto": "", **more})  # type: ignore[return-value]


def test_a_pipe_goes_back_to_its_wall_and_down(run: GutterRun) -> None:
    """A gutter of 120: its outlet 60 out of the eave and 60 down. The wall stands 600 behind the eave, so 660 behind the
    outlet: the pipe of 80 falls half of that, 330, on its way to 80 before the wall, then to the ground 2300 under the
    eave."""
    behind = walls(((0.0, 1100.0), (8000.0, 1100.0)))
    stick = _pipe(behind, run, pipe(), (0.0, 0.0, 0.0), (120.0, 80.0), WORKING)
    assert stick.line == ((3000.0, 440.0, 2340.0), (3000.0, 1020.0, 2340.0 - 330.0), (3000.0, 1020.0, 100.0))
    assert (stick.mark, stick.kind, stick.run, stick.wide_mm, stick.deep_mm, stick.length_mm, stick.working) == (
        "DP9", "downpipe", "SP7", 80.0, 80.0, 2300.0, WORKING,
    )  # fmt: skip
    assert stick.facts == (
        "downpipe of SP7, 2000 mm from its start, 2300 mm down to the ground",
        "21 m2 of roof in plan drain to it",
    )
    moved = _pipe(walls(((10.0, 1120.0), (8010.0, 1120.0))), run, pipe(), (10.0, 20.0, 30.0), (120.0, 80.0), None)
    assert moved.line == ((3010.0, 460.0, 2370.0), (3010.0, 1040.0, 2040.0), (3010.0, 1040.0, 130.0))
    # onto a roof, or with no wall behind it: straight down
    for one, house in ((pipe(onto="P3"), behind), (pipe(), walls())):
        assert _pipe(house, run, one, (0.0, 0.0, 0.0), (120.0, 80.0), None).line == (
            (3000.0, 440.0, 2340.0),
            (3000.0, 440.0, 100.0),
        )
    onto = _pipe(behind, run, pipe(onto="P3"), (0.0, 0.0, 0.0), (120.0, 80.0), None)
    assert onto.facts[0] == "downpipe of SP7, 2000 mm from its start, 2300 mm down to plane P3, by a spreader"
    # the leg it hangs on is the nearest
    on_second = _pipe(walls(), run, pipe(at_mm=(7000.0, 3000.0, 2400.0)), (0.0, 0.0, 0.0), (120.0, 80.0), None)
    assert on_second.line[0] == (7060.0, 3000.0, 2340.0)
    inside = _pipe(walls(), replace(run, internal=True), pipe(), (0.0, 0.0, 0.0), (120.0, 80.0), None)
    assert inside.line == ((3000.0, 500.0, 2340.0), (3000.0, 500.0, 100.0))


def test_every_leg_and_pipe_of_the_house_made_by_hand(sample: Takeoff) -> None:
    sticks = list(rain_sticks(sample))
    legs = [f"{run.id}.{n}" for run in sample.gutters for n in range(1, len(run.legs) + 1)]
    assert [stick.mark for stick in sticks if stick.kind == "gutter"] == legs
    pipes = [
        pipe.id
        for run in sample.gutters
        for plan in (sample.gutter_plan(run.id),)
        if plan is not None
        for pipe in plan.pipes
    ]
    assert [stick.mark for stick in sticks if stick.kind == "downpipe"] == pipes


def test_sticks_of_an_eave_that_looks_along_the_plan(run: GutterRun) -> None:
    """Out is (1, 0): the gutter of 120 hangs 60 right of its eave; the pipe goes 660 back to its wall, 80 before it."""
    leg = _leg(run, UP, 2, (10.0, 20.0, 30.0), 120.0)
    assert leg.line == ((7070.0, 520.0, 2390.0), (7070.0, 4520.0, 2390.0))
    wall = walls(((6410.0, 0.0), (6410.0, 9000.0)))
    at = pipe(at_mm=(7000.0, 3000.0, 2400.0))
    stick = _pipe(wall, run, at, (10.0, 20.0, 30.0), (120.0, 80.0), None)
    assert stick.line == ((7070.0, 3020.0, 2370.0), (6490.0, 3020.0, 2040.0), (6490.0, 3020.0, 130.0))
    # aslant, out by (0.8, -0.6): 48 and -36
    aslant = replace(EAST, a_mm=(0.0, 0.0, 2400.0), b_mm=(300.0, 400.0, 2400.0))
    line = _leg(run, aslant, 1, (1.0, 2.0, 3.0), 120.0).line
    assert [*line[0], *line[1]] == pytest.approx([49.0, -34.0, 2363.0, 349.0, 366.0, 2363.0])


@pytest.mark.parametrize(
    ("gutter", "downpipe", "sizes"),
    [("own", "own", (150.0, 65.0)), (None, None, (115.0, 90.0)), ("none", "none", (125.0, 80.0))],
)
def test_sections_are_those_of_the_job_else_of_the_settings(
    gutter: str | None, downpipe: str | None, sizes: tuple[float, float], run: GutterRun
) -> None:
    house: Any = SimpleNamespace(
        roofs=(), gutters=(run,), elevations=(), gutter_plan=lambda _: SimpleNamespace(pipes=(pipe(),), working=WORKING),
        job=SimpleNamespace(rainwater=SimpleNamespace(gutter=gutter, downpipe=downpipe)),
        settings=SimpleNamespace(word={"rainwater_gutter": "usual", "rainwater_downpipe": "usual"}.__getitem__),
        catalogue=SimpleNamespace(
            gutters={"own": SimpleNamespace(width_mm=150.0), "usual": SimpleNamespace(width_mm=115.0)},
            downpipes={"own": SimpleNamespace(width_mm=65.0), "usual": SimpleNamespace(width_mm=90.0)},
        ),
    )  # fmt: skip
    first, second, down = rain_sticks(house)
    assert [(one.mark, one.wide_mm) for one in (first, second, down)] == [
        ("SP7.1", sizes[0]),
        ("SP7.2", sizes[0]),
        ("DP9", sizes[1]),
    ]
    assert first.line[0] == (1000.0, 500.0 - sizes[0] / 2.0, 2400.0 - sizes[0] / 3.0)
    assert down.line[0] == (3000.0, 500.0 - sizes[0] / 2.0, 2400.0 - sizes[0] / 2.0)
    assert down.working is WORKING
