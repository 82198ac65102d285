"""Walls taken from drawn elevations, record by record, with every message whole; figures by hand.

The drawing's unit is mm unless said; its origin is nowhere near the wall's.
"""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box

from takeoff.basics.errors import JobError, ShapeError, TakeoffError, UndecidedError
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import DrawnElevationJob, ElevationJob, OpeningJob, WallsJob
from takeoff.shape.imported.drawn import drawn_elevations as drawing
from takeoff.shape.imported.drawn.drawn_elevations import drawn_walls
from takeoff.shape.imported.drawn.drawn_rings import DrawnRing

Point = tuple[float, float]
# 6 m wide, 2.4 m at its left, 2.7 m at its right end, its gable 3.6 m high in the middle
GABLE = ((1000.0, 500.0), (7000.0, 500.0), (7000.0, 3200.0), (4000.0, 4100.0), (1000.0, 2900.0))


def path(layer: str, points: Any, closed: bool = True) -> RawPath:
    return RawPath(layer, tuple(points), closed)


def raw(*paths: RawPath, **more: Any) -> RawDrawing:
    return RawDrawing("east.dxf", "dxf", paths, **more)


def asked(**more: Any) -> DrawnElevationJob:
    return DrawnElevationJob.model_validate({"file": "east.dxf", "layer": "WALL", "unit": "mm", **more})


def walls_of(*given: DrawnElevationJob, drawn: RawDrawing, **more: Any) -> tuple[WallsJob, tuple[Finding, ...]]:
    plain: Any = {"zones": [{"board": "bevel_187"}], **more}
    return drawn_walls(
        WallsJob(drawn_elevations=list(given), **plain), lambda file: drawn if file == "east.dxf" else None
    )  # type: ignore[arg-type, return-value]


def test_a_wall_with_its_openings_and_what_is_said_of_it() -> None:
    """A door from the foot up, two windows, one with a corner cut off; a ring of the windows' layer that lies in no wall."""
    cut = [(5000.0, 1500.0), (6000.0, 1500.0), (6000.0, 2500.0), (5200.0, 2500.0), (5000.0, 2300.0)]  # 0.98 of its box
    more = [(3000.0, 1500.0), (4000.0, 1500.0), (4000.0, 2500.0), (3220.0, 2500.0), (3000.0, 2300.0)]  # 0.978
    drawn = raw(
        path("WALL", GABLE), path("Glass", cut), path("Glass", more), path("Glass", box(20000.0, 0.0, 21000.0, 900.0)), path("doors", box(2000.0, 500.0, 2900.0, 2500.0)),
        path("Glass", box(6200.0, 1500.0, 6299.0, 2500.0)),
    )  # fmt: skip
    typed = ElevationJob(name="first", width_mm=3000, height_mm=2400)
    job = asked(windows="GLASS", doors="doors", name="east", left="internal", floor_above_foot_mm=150)
    walls, found = walls_of(job, drawn=drawn, elevations=[typed])
    assert walls.drawn_elevations == []
    assert walls.elevations == [
        typed,
        ElevationJob(
            name="east",
            width_mm=6000,
            height_mm=2250,
            top=[(0, 2250), (3000, 3450), (6000, 2550)],
            left="internal",
            right="external",
        ),
    ]
    assert walls.openings == [
        OpeningJob(wall=2, from_left_mm=2000, sill_mm=850, width_mm=1000, height_mm=1000, name="Window 1"),
        OpeningJob(wall=2, from_left_mm=4000, sill_mm=850, width_mm=1000, height_mm=1000, name="Window 2"),
        OpeningJob(wall=2, from_left_mm=1000, sill_mm=-150, width_mm=900, height_mm=2000, name="Door 1"),
    ]
    assert found == (
        Finding(
            "drawing-opening-boxed",
            Severity.WARN,
            "wall 2: Window 1 is no rectangle in east.dxf; the box round it was taken",
            refs=("wall 2",),
        ),
        Finding(
            "drawing-wall-taken",
            Severity.NOTE,
            "wall 2 east: 6.00 m wide, 2.25 m high at its ends, with 2 windows, 1 door, from layer WALL of east.dxf",
            refs=("wall 2",),
        ),
        Finding(
            "drawing-openings-left",
            Severity.WARN,
            "1 ring on layer GLASS of east.dxf lie in no wall that is taken from it",
            "is a wall left out?",
        ),
    )


def test_two_walls_of_one_drawing_count_their_openings_on() -> None:
    far = [(x + 10000.0, y) for x, y in box(1000.0, 500.0, 5000.0, 2900.0)]
    panes = [path("G", box(x, 1500.0, x + 500.0, 2000.0)) for x in (12000.0, 2000.0, 30000.0, 40000.0)]
    drawn = raw(path("WALL", GABLE), path("SIDE", far), *panes)
    walls, found = walls_of(asked(windows="G"), asked(layer="SIDE", windows="G"), drawn=drawn)
    assert [(one.name, one.width_mm, one.height_mm, one.top) for one in walls.elevations] == [
        ("WALL", 6000.0, 2400.0, [(0.0, 2400.0), (3000.0, 3600.0), (6000.0, 2700.0)]),
        ("SIDE", 4000.0, 2400.0, []),
    ]
    assert [(one.wall, one.from_left_mm, one.name) for one in walls.openings] == [
        (1, 1000.0, "Window 1"),
        (2, 1000.0, "Window 2"),
    ]
    assert [(f.code, f.text) for f in found] == [
        (
            "drawing-wall-taken",
            "wall 1 WALL: 6.00 m wide, 2.40 m high at its ends, with 1 window, 0 doors, from layer WALL of east.dxf",
        ),
        ("drawing-floor-taken", "wall 1 WALL: the finished floor was taken at the foot of the drawn wall"),
        (
            "drawing-wall-taken",
            "wall 2 SIDE: 4.00 m wide, 2.40 m high at its ends, with 1 window, 0 doors, from layer SIDE of east.dxf",
        ),
        ("drawing-floor-taken", "wall 2 SIDE: the finished floor was taken at the foot of the drawn wall"),
        ("drawing-openings-left", "2 rings on layer G of east.dxf lie in no wall that is taken from it"),
    ]
    assert (found[1].severity, found[1].advice, found[1].refs) == (
        Severity.WARN,
        "say `floor_above_foot_mm: 0`, or how far the floor lies above it",
        ("wall 1",),
    )


@pytest.mark.parametrize(
    ("job", "drawn", "error", "said", "key"),
    [
        ({"layer": "WALLS"}, raw(path("WALL", GABLE)), JobError, "east.dxf has no lines on a layer WALLS; did you mean WALL?", ("layer",)),
        ({"windows": "panes"}, raw(path("WALL", GABLE)), JobError, "east.dxf has no lines on a layer panes; it has WALL", ("windows",)),
        ({"windows": "wall", "doors": "WALL"}, raw(path("WALL", GABLE)), JobError, "layer WALL cannot hold windows and doors both; draw doors on their own", ("doors",)),
        ({"part": "7"}, raw(path("WALL", GABLE)), JobError, "layer WALL of east.dxf has no ring 7; it has ring 1: 6.00 x 3.60 m", ("part",)),
        ({}, raw(path("WALL", GABLE, False)), ShapeError,
         "no ring on layer WALL of east.dxf closes round a wall; 1 line on WALL stay open by 2400 mm between (1000, 500) and (1000, 2900)", ("layer",)),
        ({}, raw(path("WALL", box(0.0, 0.0, 500.0, 500.0))), ShapeError, "no ring on layer WALL of east.dxf closes round a wall; it holds no lines that do", ("layer",)),
        ({"windows": "G"}, raw(path("WALL", GABLE), path("G", box(500.4, 1500.6, 1500.0, 2500.0))), JobError,
         "the window at (500, 1501) on layer G lies across the outline of the wall; draw it inside", ("windows",)),
        ({"doors": "D"}, raw(path("WALL", GABLE), path("D", box(2000.0, 400.0, 2900.0, 2500.0))), JobError,
         "the door at (2000, 400) on layer D lies across the outline of the wall; draw it inside", ("doors",)),
        ({}, raw(path("WALL", [(0.0, 0.0), (3000.0, 0.0), (3000.0, 5.1), (6000.0, 5.1), (6000.0, 2400.0), (0.0, 2400.0)])), ShapeError,
         "the foot of wall WALL is out of level by 5 mm; draw a wall for each level of its foot", ("layer",)),
        ({}, raw(path("WALL", [(0.0, 0.0), (6000.0, 0.0), (6000.0, 2400.0), (2000.0, 2400.0), (2000.6, 3000.0), (0.0, 3000.0)])), ShapeError,
         "the top of wall WALL goes back over itself; draw the outline of the wall alone", ("layer",)),
        ({}, raw(path("WALL", [(0.0, 0.0), (6000.0, 0.0), (3000.0, 2400.0)])), ShapeError,
         "wall WALL has no height at its ends over the finished floor; draw it with the wall below a gable", ("layer",)),
        ({"floor_above_foot_mm": 2395}, raw(path("WALL", box(0.0, 0.0, 6000.0, 2400.0))), ShapeError,
         "wall WALL has no height at its ends over the finished floor; draw it with the wall below a gable", ("layer",)),
    ],
)  # fmt: skip
def test_drawings_that_show_no_wall(
    job: dict[str, Any], drawn: RawDrawing, error: type[TakeoffError], said: str, key: tuple[str, ...]
) -> None:
    """The second of two drawings is meant."""
    with pytest.raises(error) as refused:
        drawing._wall(1, asked(**job), drawn, drawing._Taken([], []))
    assert refused.value.faults == (said,)
    assert refused.value.faults[0].path == ("walls", "drawn_elevations", 1, *key)  # type: ignore[attr-defined]


def test_what_is_hardly_out_of_level_is_a_wall() -> None:
    """A foot out by 5 mm, a top that steps back by half a millimetre, 5.1 mm high."""
    for points in (
        [(0.0, 0.0), (3000.0, 0.0), (3000.0, 4.9), (6000.0, 4.9), (6000.0, 2400.0), (0.0, 2400.0)],
        [(0.0, 0.0), (6000.0, 0.0), (6000.0, 2400.0), (2000.0, 2400.0), (2000.4, 3000.0), (0.0, 3000.0)],
    ):
        walls, _ = walls_of(asked(), drawn=raw(path("WALL", points)))
        assert walls.elevations[0].width_mm == 6000.0
    low, _ = walls_of(asked(floor_above_foot_mm=2394.9), drawn=raw(path("WALL", box(0.0, 0.0, 6000.0, 2400.0))))
    assert low.elevations[0].height_mm == pytest.approx(5.1)
    # half a millimetre out of level is level
    for up, top in ((0.5, []), (0.6, [(0.0, 2400.0), (6000.0, 2400.6)])):
        walls, _ = walls_of(
            asked(), drawn=raw(path("WALL", [(0.0, 0.0), (6000.0, 0.0), (6000.0, 2400.0 + up), (0.0, 2400.0)]))
        )
        assert [(x, pytest.approx(y)) for x, y in top] == walls.elevations[0].top


def test_of_several_rings_the_job_says_which_is_the_wall() -> None:
    side = [(x + 10000.0, y) for x, y in box(1000.0, 500.0, 5000.0, 2900.0)]
    inner = box(2000.0, 1000.0, 3000.0, 2000.0)
    drawn = raw(path("WALL", GABLE), path("WALL", side), path("WALL", inner))
    with pytest.raises(UndecidedError) as undecided:
        walls_of(asked(), drawn=drawn)
    assert undecided.value.faults == (
        "layer WALL of east.dxf holds 2 rings; say which is the wall:",
        "`- {file: east.dxf, layer: WALL, unit: mm, part: 1}` is ring 1: 6.00 x 3.60 m",
        "`- {file: east.dxf, layer: WALL, unit: mm, part: 2}` is ring 2: 4.00 x 2.40 m",
    )
    assert walls_of(asked(part=2), drawn=drawn)[0].elevations[0].width_mm == 4000.0
    assert walls_of(asked(part="3"), drawn=drawn)[0].elevations[0].width_mm == 1000.0  # whatever it lies in


def test_the_unit_is_the_walls_the_drawings_or_asked_for() -> None:
    """6 units wide: metres where the drawing's other shapes say so; alone nobody can tell."""
    small = [(x / 1000.0, y / 1000.0) for x, y in GABLE]
    walls, _ = walls_of(asked(unit=None), drawn=raw(path("WALL", small), path("PLAN", box(0.0, 0.0, 14.0, 9.0))))
    assert walls.elevations[0].width_mm == pytest.approx(6000.0)
    tiny = [(x / 100.0, y / 100.0) for x, y in GABLE]
    with pytest.raises(UndecidedError) as undecided:
        walls_of(asked(unit=None), drawn=raw(path("WALL", tiny), unit="mm", unit_words="its header says mm"))
    first, *ways = undecided.value.faults
    assert (
        first == "the unit of east.dxf is not known: its header says mm, which makes it no house; say which in the job:"
    )
    assert len(ways) >= 2
    assert ways[-1] == "`- {file: east.dxf, layer: WALL, unit: mm}` makes its largest shape 0.06 x 0.04 m"


def profile(*points: Point) -> tuple[Any, Any]:
    return drawing._profile(0, asked(), DrawnRing("WALL", 3, points, 0.0, 0.0))


def test_the_foot_and_the_top_of_a_ring() -> None:
    """Whichever way round it is drawn, whatever corner comes first; with a point at its left end, a foot that is higher there."""
    foot, top = GABLE[:2], (GABLE[4], GABLE[3], GABLE[2])
    for k in range(5):
        assert profile(*GABLE[k:], *GABLE[:k]) == (foot, top)
        assert profile(*(*GABLE[k:], *GABLE[:k])[::-1]) == (foot, top)
    assert profile((0.0, 0.0), (9.0, 0.0), (9.0, 5.0)) == (((0.0, 0.0), (9.0, 0.0)), ((0.0, 0.0), (9.0, 5.0)))
    # corners within 2 mm of an end are at it: the lowest and the highest count
    assert profile((0.0, 10.0), (1.9, 0.0), (90.0, 0.0), (88.1, 50.0), (0.0, 60.0)) == (
        ((1.9, 0.0), (90.0, 0.0)),
        ((0.0, 60.0), (88.1, 50.0)),
    )
    with pytest.raises(ShapeError) as refused:
        profile((0.0, 0.0), (90.0, 100.0), (90.0, 0.0), (0.0, 60.0))  # it crosses itself
    assert refused.value.faults == (
        "ring 3 of layer WALL is no wall seen from outside: its foot does not lie below its top",
    )


@pytest.mark.parametrize(
    ("other", "meet"),
    [
        ((0.0, 0.0, 10.0, 10.0), True), ((10.0, 0.0, 20.0, 10.0), False), ((9.9, 0.0, 20.0, 10.0), True), ((0.0, 10.0, 10.0, 20.0), False), ((0.0, 9.9, 10.0, 20.0), True),
        ((-9.0, 0.0, 0.0, 10.0), False), ((-9.0, 0.0, 0.1, 10.0), True), ((0.0, -9.0, 10.0, 0.0), False), ((0.0, -9.0, 10.0, 0.1), True),
    ],
)  # fmt: skip
def test_boxes_overlap(other: tuple[float, float, float, float], meet: bool) -> None:
    assert (drawing._overlap((0.0, 0.0, 10.0, 10.0), other), drawing._overlap(other, (0.0, 0.0, 10.0, 10.0))) == (
        meet,
        meet,
    )
    assert drawing._box([(3.0, 9.0), (-1.0, 4.0), (2.0, -5.0)]) == (-1.0, -5.0, 3.0, 9.0)


@pytest.mark.parametrize("at", [(0.0, 1000.0), (7000.0, 1000.0), (2000.0, 4100.0), (2000.0, -500.0)])
def test_a_ring_that_only_touches_a_wall_lies_beside_it(at: Point) -> None:
    """1 m square, at each side of the gable's box."""
    pane = box(at[0], at[1], at[0] + 1000.0, at[1] + 1000.0)
    walls, found = walls_of(asked(windows="G"), drawn=raw(path("WALL", GABLE), path("G", pane)))
    assert walls.openings == []
    assert found[-1].text == "1 ring on layer G of east.dxf lie in no wall that is taken from it"


def test_an_opening_may_begin_at_the_very_end_of_a_wall() -> None:
    walls, _ = walls_of(asked(doors="D"), drawn=raw(path("WALL", GABLE), path("D", box(1000.0, 500.0, 1900.0, 2500.0))))
    assert walls.openings == [
        OpeningJob(wall=1, from_left_mm=0, sill_mm=0, width_mm=900, height_mm=2000, name="Door 1")
    ]
    assert drawing._opening(3, "x", (999.9999, 1.0, 1005.0, 9.0), (1000.0, 0.0)).from_left_mm == 0.0


def test_sizes_are_kept_to_a_millionth_of_a_millimetre() -> None:
    """What turning inches into mm leaves behind is rounded off, corner by corner: 6000.234567 less 0.123457."""
    ring = box(0.1234567, 0.0, 6000.2345674, 2400.1234564)
    walls, _ = walls_of(
        asked(windows="G"), drawn=raw(path("WALL", ring), path("G", box(1000.1234561, 900.0, 2000.2345672, 1500.1)))
    )
    (wall,), (pane,) = walls.elevations, walls.openings
    assert (wall.width_mm, wall.height_mm) == (6000.11111, 2400.123456)
    assert (pane.from_left_mm, pane.width_mm, pane.sill_mm, pane.height_mm) == (999.999999, 1000.111111, 900.0, 600.1)


def test_long_names_and_many_layers_are_cut() -> None:
    """Sixty letters of a layer name a wall; twelve layers are listed, and eight rings."""
    long = "W" * 70
    walls, _ = walls_of(asked(layer=long), drawn=raw(path(long, GABLE)))
    assert walls.elevations[0].name == "W" * 60
    many = raw(*(path(f"L{k:02}", GABLE) for k in range(14)))
    with pytest.raises(JobError) as refused:
        walls_of(asked(layer="zzzz"), drawn=many)
    assert refused.value.faults[0].endswith(f"; it has {', '.join(f'L{k:02}' for k in range(12))}")
    rings = raw(*(path("WALL", box(9000.0 * k, 0.0, 9000.0 * k + 5000.0, 2400.0)) for k in range(10)))
    with pytest.raises(UndecidedError) as undecided:
        walls_of(asked(), drawn=rings)
    assert len(undecided.value.faults) == 9
    assert undecided.value.faults[-1] == "`- {file: east.dxf, layer: WALL, unit: mm, part: 8}` is ring 8: 5.00 x 2.40 m"
    with pytest.raises(JobError) as none:
        walls_of(asked(part="77"), drawn=rings)
    assert none.value.faults[0].count("ring ") == 1 + 8


def test_openings_on_one_layer_are_counted_from_left_to_right_and_only_the_outer_ones() -> None:
    """A pane in a frame is part of its window; two in one line go by their foot."""
    frame, pane = box(2000.0, 1000.0, 3000.0, 2000.0), box(2100.0, 1100.0, 2900.0, 1900.0)
    over = box(2000.0, 2200.0, 2500.0, 2700.0)
    walls, found = walls_of(
        asked(windows="G"), drawn=raw(path("WALL", GABLE), path("G", over), path("G", pane), path("G", frame))
    )
    assert [(one.sill_mm, one.name) for one in walls.openings] == [(500.0, "Window 1"), (1700.0, "Window 2")]
    assert [finding.code for finding in found] == ["drawing-wall-taken", "drawing-floor-taken"]
