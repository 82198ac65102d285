"""The sides of a model's walls with their openings, and what is said of them, with figures by hand.

Limits (takeoff/basics/model_limits.py) are common practice, no source.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from drawn_walls import Point, corners, face, under

from takeoff.basics.errors import JobError
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import OpeningJob, WallsJob
from takeoff.shape.imported.house_walls import fill_walls as filling
from takeoff.shape.imported.house_walls.fill_walls import _Walls
from takeoff.shape.imported.house_walls.upright_faces import OpeningBody, UprightFaces
from takeoff.shape.imported.house_walls.wall_sides import DrawnOpening, DrawnSide, drawn_side


def side_of(*faces: list[list[tuple[float, float, float]]], openings: tuple[OpeningBody, ...] = ()) -> DrawnSide | None:
    return drawn_side((0.0, 0.0), (6000.0, 0.0), UprightFaces(corners(*faces), openings))


def test_a_whole_wall_and_one_with_a_window_and_a_door() -> None:
    whole = side_of(face((0.0, 0.0), (6000.0, 0.0), -300.0, 2400.0))
    assert whole == DrawnSide((2400.0, 2400.0), -300.0, 1.0, ())
    parts = [
        face((0.0, 0.0), (1000.0, 0.0), 0.0, 2400.0),
        face((1000.0, 0.0), (2500.0, 0.0), 0.0, 900.0),
        face((1000.0, 0.0), (2500.0, 0.0), 2100.0, 2400.0),
        face((2500.0, 0.0), (4000.0, 0.0), 0.0, 2400.0),
        face((4000.0, 0.0), (4900.0, 0.0), 2000.0, 2400.0),
        face((4900.0, 0.0), (6000.0, 0.0), 0.0, 2400.0),
    ]
    window = DrawnOpening((1000.0, 900.0, 1500.0, 1200.0), "", True, True)
    door = DrawnOpening((4000.0, 0.0, 900.0, 2000.0), "", True, True)
    assert side_of(*parts) == DrawnSide((2400.0, 2400.0), 0.0, 1.0, (window, door))


def test_a_raking_wall_with_a_gap() -> None:
    """Top from 2400 to 3600 over 6 m; nothing from 2 to 3.5 m: three quarters are covered."""
    left = [
        [(0.0, 0.0, 0.0), (2000.0, 0.0, 0.0), (2000.0, 0.0, 2800.0)],
        [(0.0, 0.0, 0.0), (2000.0, 0.0, 2800.0), (0.0, 0.0, 2400.0)],
    ]
    right = [
        [(3500.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 0.0, 3600.0)],
        [(3500.0, 0.0, 0.0), (6000.0, 0.0, 3600.0), (3500.0, 0.0, 3100.0)],
    ]
    assert side_of(left, right) == DrawnSide(
        (pytest.approx(2400.0), pytest.approx(3600.0)), 0.0, pytest.approx(0.75), ()
    )  # type: ignore[arg-type]


@pytest.mark.parametrize(("off", "on"), [(25.0, True), (-25.0, True), (25.1, False), (-25.1, False)])
def test_a_face_lies_on_its_wall_within_25_mm(off: float, on: bool) -> None:
    found = side_of(face((0.0, off), (6000.0, off), 0.0, 2400.0))
    assert (found is not None) is on


def test_only_what_stands_between_the_ends_is_the_wall() -> None:
    found = side_of(face((-1000.0, 0.0), (7000.0, 0.0), 0.0, 2400.0))
    assert found == DrawnSide((2400.0, 2400.0), 0.0, 1.0, ())
    assert side_of(face((7000.0, 0.0), (9000.0, 0.0), 0.0, 2400.0)) is None


def _with_hole(left: float, low: float, right: float, high: float, top: float = 2400.0) -> DrawnSide:
    """A wall with a hole, drawn as faces round it."""
    parts = []
    if low > 0.0:
        parts.append(face((0.0, 0.0), (6000.0, 0.0), 0.0, low))
    if left > 0.0:
        parts.append(face((0.0, 0.0), (left, 0.0), low, high))
    if right < 6000.0:
        parts.append(face((right, 0.0), (6000.0, 0.0), low, high))
    parts.append(face((0.0, 0.0), (6000.0, 0.0), high, top))
    found = side_of(*parts)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("hole", "opening"),
    [
        ((1000.0, 1000.0, 1200.0, 1200.0), True),  # 200 x 200 mm
        ((1000.0, 1000.0, 1199.0, 1200.0), False),
        ((1000.0, 1000.0, 1041.0, 2000.0), True),  # 41 mm wide: no sliver
        ((1000.0, 1000.0, 1040.0, 2100.0), False),
        ((0.0, 1000.0, 6000.0, 1600.0), False),  # from end to end and 600 mm high: a floor between two storeys
        ((0.0, 1000.0, 5700.0, 1600.0), False),  # over 95 % of the width
        ((0.0, 1000.0, 5699.0, 1600.0), True),
        ((0.0, 1000.0, 6000.0, 1601.0), True),
    ],
)
def test_which_holes_are_openings(hole: tuple[float, float, float, float], opening: bool) -> None:
    left, low, right, high = hole
    expected = (DrawnOpening((left, low, right - left, high - low), "", True, True),) if opening else ()
    assert _with_hole(*hole).openings == expected


def body(left: float, low: float, right: float, high: float, out: float, deep: float, name: str = "") -> OpeningBody:
    """The front and back of an opening's body, `out` and `deep` from the wall's line outwards (south)."""
    return OpeningBody(
        corners(face((left, -out), (right, -out), low, high), face((left, -deep), (right, -deep), low, high)), name
    )


WALL = face((0.0, 0.0), (6000.0, 0.0), 0.0, 2400.0)


@pytest.mark.parametrize(
    ("out", "deep", "taken"),
    [
        (100.0, -200.0, True),
        (-25.0, -40.0, True),  # begins within 25 mm of the face and goes 40 mm in
        (-25.1, -40.0, False),
        (-25.0, -39.9, False),
        (25.0, -25.0, True),  # a surface in the face
        (25.1, -25.0, False),
        (100.0, 50.0, False),
    ],
)
def test_openings_that_a_file_states(out: float, deep: float, taken: bool) -> None:
    found = side_of(WALL, openings=(body(1000.0, 900.0, 2500.0, 2100.0, out, deep, "W1"),))
    assert found is not None
    assert found.openings == ((DrawnOpening((1000.0, 900.0, 1500.0, 1200.0), "W1", True, True),) if taken else ())


def test_stated_openings_that_overlap_are_one() -> None:
    """By more than 0.3 of the lesser: its name is the first that there is; a hole under a stated opening is none beside it."""
    one = body(1000.0, 900.0, 2000.0, 2100.0, 100.0, -200.0)
    other = body(1600.0, 900.0, 2500.0, 2100.0, 100.0, -200.0, "W2")  # 400 of 900 mm
    found = side_of(WALL, openings=(one, other))
    assert found is not None
    assert found.openings == (DrawnOpening((1000.0, 900.0, 1500.0, 1200.0), "W2", True, True),)
    named = side_of(WALL, openings=(body(1000.0, 900.0, 2000.0, 2100.0, 100.0, -200.0, "W1"), other))
    assert named is not None
    assert [opening.name for opening in named.openings] == ["W1"]
    apart = side_of(WALL, openings=(one, body(1800.0, 900.0, 2500.0, 2100.0, 100.0, -200.0, "W2")))  # 200 of 700 mm
    assert apart is not None
    assert [opening.box_mm[0] for opening in apart.openings] == [1000.0, 1800.0]
    small = side_of(WALL, openings=(body(1000.0, 900.0, 1199.0, 1100.0, 100.0, -200.0),))
    assert small is not None
    assert small.openings == ()


def test_an_opening_that_fills_its_box_by_97_parts_is_square_and_one_beyond_its_wall_does_not_fit() -> None:
    """A window 1000 x 1000 mm with a corner of 250 x 240 mm cut off has 0.97 of its box; of 250 x 244 mm 0.9695."""
    for cut, square in ((240.0, True), (244.0, False)):
        ring = [(1000.0, 1000.0), (2000.0, 1000.0), (2000.0, 2000.0 - cut), (1750.0, 2000.0), (1000.0, 2000.0)]
        fan = [[(*ring[0], 0.0), (*ring[k], 0.0), (*ring[k + 1], 0.0)] for k in range(1, 4)]
        pane = np.array([[(x, 0.0, z) for x, z, _ in triangle] for triangle in fan])
        found = side_of(WALL, openings=(OpeningBody(pane, "W"),))
        assert found is not None
        assert found.openings == (DrawnOpening((1000.0, 1000.0, 1000.0, 1000.0), "W", square, True),)
    raking = [[(0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 0.0, 2400.0)]]  # 0 to 2400 over 6 m
    out = side_of(raking, openings=(body(3000.0, 500.0, 4000.0, 1500.0, 100.0, -200.0),))
    assert out is not None
    (opening,) = out.openings
    assert (opening.box_mm, opening.fits) == ((3000.0, 500.0, 1000.0, 1000.0), False)


RAW: Any = SimpleNamespace(came_from="house.obj")
RING: list[Point] = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0)]


def walls_of(*tops: float, covered: float = 1.0, openings: tuple[DrawnOpening, ...] = ()) -> _Walls:
    sides = {
        k: DrawnSide((top, top + 500.0), 0.0, covered, openings if k == 1 else ())
        for k, top in enumerate(tops, start=1)
    }
    return _Walls(tuple(RING), sides)


def test_the_frame_height_is_that_of_most_walls_by_length() -> None:
    """6 and 4 m: of 2400 there are 10 m, of 2700 10 m: the lower; walls alike to 20 mm are of one height."""
    assert filling._frame_height(walls_of(2400.004, 2420.0, 2400.0, 2410.0)) == (2400.0, [])
    text = "The model's walls are not of one height: 2400 mm over the floor was taken for all, but wall 2 2700, wall 3 2700 mm."
    advice = "Give those walls by themselves under elevations, or one height for all."
    warned = Finding("wall-heights-differ", Severity.WARN, text, advice, ("wall 2", "wall 3"))
    assert filling._frame_height(walls_of(2400.0, 2700.0, 2700.0, 2400.0)) == (2400.0, [warned])
    assert filling._frame_height(walls_of(2700.0, 2400.0, 2700.0, 2400.0))[0] == 2700.0  # 12 of 20 m
    assert filling._frame_height(walls_of(2400.0, 2421.0, 2400.0, 2400.0))[1][0].refs == ("wall 2",)
    falling = _Walls(tuple(RING), {1: DrawnSide((3000.0, 2500.0), 0.0, 1.0, ())})
    assert filling._frame_height(falling) == (2500.0, [])  # the lower end


def test_the_walls_taken_are_told() -> None:
    drawn = walls_of(2400.0, 2400.0, 2400.0, 2400.0)
    openings = [
        OpeningJob(wall=1, from_left_mm=0, sill_mm=sill, width_mm=900, height_mm=900) for sill in (0.0, 900.0, -10.0)
    ]
    zones: Any = [{"board": "bevel_187"}]
    empty = WallsJob(zones=zones)
    filled = empty.model_copy(update={"height_mm": 2400.0})
    advice = "Check the elevations; a height or openings that the job gives go before the model's."
    start = "house.obj: the walls are the model's: 4, in order of their numbers 6.00, 4.00, 6.00, 4.00 m long"

    def said(walls: WallsJob, those: list[OpeningJob]) -> Finding:
        return filling._taken(RAW, drawn, walls, filled, those)

    assert said(empty, openings) == Finding(
        "walls-drawn", Severity.NOTE, f"{start}, frame height 2400 mm, 3 openings, 2 of them down to the floor.", advice
    )
    given = empty.model_copy(update={"height_mm": 2500.0, "openings": openings[:2]})
    assert said(given, openings[:1]).text == f"{start}; the openings are those of the job (2), the model draws 1."
    assert said(given, []).text == f"{start}."


def test_openings_get_their_marks_where_each_has_its_own() -> None:
    def drawn(name: str) -> DrawnOpening:
        return DrawnOpening((1.0, 2.0, 300.0, 400.0), name, True, True)

    long = "w" * 61
    found = filling._opening_jobs([(1, drawn("A")), (2, drawn("B")), (3, drawn("B")), (4, drawn("")), (2, drawn(long))])
    assert [(one.wall, one.name) for one in found] == [(1, "A"), (2, None), (3, None), (4, None), (2, "w" * 60)]
    first = found[0]
    assert (first.from_left_mm, first.sill_mm, first.width_mm, first.height_mm) == (1.0, 2.0, 300.0, 400.0)


def test_zones_of_walls_that_there_are_not_are_refused() -> None:
    zones: Any = [{"board": "bevel_187", "walls": [1, 4]}, {"board": "bevel_187", "walls": [5, 2, 7]}]
    walls = WallsJob(zones=zones)
    filling._check_numbers(walls, 7, "house.obj")
    with pytest.raises(JobError) as refused:
        filling._check_numbers(walls, 4, "house.obj")
    assert refused.value.faults == (
        "walls.zones[2].walls: there is no wall 5 in house.obj; its walls go from 1 to 4",
        "walls.zones[2].walls: there is no wall 7 in house.obj; its walls go from 1 to 4",
    )
    assert refused.value.faults[0].path == ("walls", "zones", 1, "walls")  # type: ignore[attr-defined]


def grown(by: float) -> list[Point]:
    return [(-by, -by), (6000.0 + by, -by), (6000.0 + by, 4000.0 + by), (-by, 4000.0 + by)]


@pytest.mark.parametrize(
    ("by", "edge"), [(0.0, True), (29.8, True), (30.1, False), (600.0, False), (-29.9, True), (-30.2, False)]
)
def test_walls_right_under_the_edge_are_warned_of(by: float, edge: bool) -> None:
    """A strip of 30 mm along 20 m of walls is 0.6 m2 (and 4 corners of 900 mm2 more, less inwards)."""
    text = "house.obj: its walls stand under the very edge of roof main: no eave hangs over them."
    advice = (
        "If the house has eaves: is the roof's edge drawn to the wall line? `edge_is: wall_line`, with the overhangs."
    )
    expected = [Finding("walls-at-roof-edge", Severity.WARN, text, advice)] if edge else []
    assert filling._at_edge(RAW, walls_of(2400.0), under(grown(by))) == expected
    assert filling._at_edge(RAW, walls_of(2400.0), under(grown(by)[::-1])) == expected


@pytest.mark.parametrize(
    ("outline", "share_m2"),
    [
        ([(0.0, 0.0), (6600.0, 0.0), (6600.0, 4000.0), (0.0, 4000.0)], None),  # touches: 24 of 26.4 m2 are over 0.9
        ([(0.0, 0.0), (6700.0, 0.0), (6700.0, 4000.0), (0.0, 4000.0)], "26.80"),  # 0.896
        ([(-900.0, -900.0), (6900.0, -900.0), (6900.0, 5200.0), (-900.0, 5200.0)], None),  # 47.58 m2, over half
        ([(-900.0, -900.0), (6900.0, -900.0), (6900.0, 5300.0), (-900.0, 5300.0)], "48.36"),
    ],
)
def test_walls_that_close_in_a_part_only_are_warned_of(outline: list[Point], share_m2: str | None) -> None:
    text = (
        f"house.obj: its walls close in 24.00 m2 of the {share_m2} m2 under roof main; what stands under the rest is not "
        "clad here."
    )
    advice = "Give the other walls by themselves under elevations."
    expected = [Finding("walls-of-a-part", Severity.WARN, text, advice)] if share_m2 else []
    assert filling._little(RAW, walls_of(2400.0), under(outline)) == expected


def test_a_court_is_not_under_the_roof() -> None:
    outline = [(-900.0, -900.0), (6900.0, -900.0), (6900.0, 5300.0), (-900.0, 5300.0)]
    court = [(1000.0, 1000.0), (1000.0, 2000.0), (2000.0, 2000.0), (2000.0, 1000.0)]
    assert filling._little(RAW, walls_of(2400.0), under(outline, court)) == []  # 47.36 m2


def test_other_models_draw_walls_that_are_not_taken() -> None:
    text = "Walls are taken from the model of one roof; what garage, shed draws of walls is clad by nothing here."
    advice = "Give those walls by themselves, or in a job of their own."
    expected = [Finding("other-walls-not-taken", Severity.WARN, text, advice, ("garage", "shed"))]
    assert filling._other_models(["garage", "shed"]) == expected
    assert filling._other_models([]) == []


def test_doubts_of_walls_and_openings() -> None:
    out = DrawnOpening((1000.0, 900.0, 1500.0, 1200.0), "W1", False, False)
    skew = DrawnOpening((500.4, 0.0, 900.0, 2000.0), "", False, True)
    fine = DrawnOpening((10.0, 0.0, 900.0, 2000.0), "D", True, True)
    drawn = _Walls(tuple(RING), {1: DrawnSide((1.0, 1.0), 0.0, 0.95, ()), 3: DrawnSide((1.0, 1.0), 0.0, 0.949, ())})
    assert filling._doubts(RAW, drawn, [(1, out), (3, skew), (4, fine)]) == [
        Finding(
            "wall-part-missing", Severity.WARN, "house.obj: walls 2, 3, 4 are not drawn over their whole length.",
            "Openings in what is missing are not known: give them by hand, or mend the model.", ("wall 2", "wall 3", "wall 4"),
        ),
        Finding(
            "opening-out-of-wall", Severity.WARN,
            "house.obj: W1 on wall 1, 1000 from the left, 1500 x 1200 mm, sill 900, reaches out of its wall and was left out.",
            "Give it by hand.", ("wall 1",),
        ),
        Finding(
            "opening-not-square", Severity.WARN,
            "house.obj: an opening on wall 3, 500 from the left, 900 x 2000 mm, has no square shape: its boxed size was taken.",
            "Order its trims by its own shape.", ("wall 3",),
        ),
    ]  # fmt: skip
    assert filling._doubts(RAW, walls_of(1.0, 1.0, 1.0, 1.0), []) == []


def test_the_frame_height_is_taken_to_a_hundredth_beside_others_too() -> None:
    assert filling._frame_height(walls_of(2400.006, 2700.0, 2700.0, 2400.006))[0] == 2400.01
    assert filling._frame_height(walls_of(2400.006, 2400.006, 2400.006, 2400.006)) == (2400.01, [])


@pytest.mark.parametrize("missing", [1, 4])
def test_a_wall_that_is_not_drawn_at_all_is_doubted(missing: int) -> None:
    whole = walls_of(2400.0, 2400.0, 2400.0, 2400.0)
    drawn = _Walls(whole.ring, {wall: side for wall, side in whole.sides.items() if wall != missing})
    (found,) = filling._doubts(RAW, drawn, [])
    assert (found.code, found.refs) == ("wall-part-missing", (f"wall {missing}",))
    assert found.text.endswith(f": walls {missing} are not drawn over their whole length.")
