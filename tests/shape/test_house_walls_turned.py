"""Walls of a model that stand any way round, and a job filled with them: figures by hand.

Limits (takeoff/basics/model_limits.py) are common practice, no source.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from drawn_walls import corners, face, room, same, under
from made_roofs import box, roof

from takeoff.basics.errors import JobError
from takeoff.model.faces import RawFaces, RawPart, StatedPart, raw_faces
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.walls import OpeningJob
from takeoff.shape.imported.house_walls.fill_walls import fill_walls
from takeoff.shape.imported.house_walls.outer_line import _cornered, _face_line, _lines, _meeting, _on_faces, outer_line
from takeoff.shape.imported.house_walls.upright_faces import UprightFaces, _high
from takeoff.shape.imported.house_walls.wall_sides import DrawnOpening, DrawnSide, drawn_side

Point = tuple[float, float]
TURNS = [(1.0, 0.0), (0.6, 0.8), (-0.8, 0.6), (-0.28, -0.96)]


def mover(way: Point, to: Point = (100.0, -700.0)) -> Any:
    """Turned so that what ran along x runs along a way, then moved."""
    return lambda p: (to[0] + way[0] * p[0] - way[1] * p[1], to[1] + way[1] * p[0] + way[0] * p[1])


def pieces(at: Any, *given: tuple[Point, Point, float, float]) -> np.ndarray:
    return corners(*(face(at(a), at(b), low, high) for a, b, low, high in given))


WINDOWED = [
    ((0.0, 0.0), (1000.0, 0.0), 0.0, 2400.0), ((1000.0, 0.0), (2500.0, 0.0), 0.0, 900.0), ((1000.0, 0.0), (2500.0, 0.0), 2100.0, 2400.0),
    ((2500.0, 0.0), (4000.0, 0.0), 0.0, 2400.0), ((4000.0, 0.0), (4900.0, 0.0), 2000.0, 2400.0), ((4900.0, 0.0), (6000.0, 0.0), 0.0, 2400.0),
]  # fmt: skip


def close(found: DrawnSide | None, due: DrawnSide) -> bool:
    if found is None or len(found.openings) != len(due.openings):
        return False
    figures = (*found.tops_mm, found.foot_mm, *(v for one in found.openings for v in one.box_mm))
    wanted = (*due.tops_mm, due.foot_mm, *(v for one in due.openings for v in one.box_mm))
    words = [(one.name, one.square, one.fits) for one in found.openings] == [
        (one.name, one.square, one.fits) for one in due.openings
    ]
    return (
        words
        and abs(found.covered - due.covered) < 1e-5
        and max(abs(a - b) for a, b in zip(figures, wanted, strict=True)) < 0.05
    )


@pytest.mark.parametrize("way", TURNS)
def test_a_side_is_the_same_wherever_it_stands(way: Point) -> None:
    """A wall with a window and a door; one with a gap from 2 to 3.5 m whose top rises from 2400 by 1 in 5."""
    at = mover(way)
    ends = at((0.0, 0.0)), at((6000.0, 0.0))
    window = DrawnOpening((1000.0, 900.0, 1500.0, 1200.0), "", True, True)
    door = DrawnOpening((4000.0, 0.0, 900.0, 2000.0), "", True, True)
    faces = pieces(
        at, *WINDOWED, ((1000.0, 26.0), (2500.0, 26.0), 0.0, 2400.0), ((1000.0, -26.0), (2500.0, -26.0), 0.0, 2400.0)
    )
    assert close(drawn_side(*ends, UprightFaces(faces, ())), DrawnSide((2400.0, 2400.0), 0.0, 1.0, (window, door)))
    raked = [
        [(*at((a, 0.0)), -100.0), (*at((b, 0.0)), -100.0), (*at((b, 0.0)), 2400.0 + b / 5.0)]
        for a, b in ((0.0, 2000.0), (3500.0, 6000.0))
    ]
    raked += [
        [(*at((a, 0.0)), -100.0), (*at((b, 0.0)), 2400.0 + b / 5.0), (*at((a, 0.0)), 2400.0 + a / 5.0)]
        for a, b in ((0.0, 2000.0), (3500.0, 6000.0))
    ]
    assert close(drawn_side(*ends, UprightFaces(np.array(raked), ())), DrawnSide((2400.0, 3600.0), -100.0, 0.75, ()))
    # a pane in a dormer above: the highest of two faces counts, whichever is drawn first
    tower = pieces(at, ((0.0, 0.0), (6000.0, 0.0), 0.0, 2400.0), ((2000.0, 0.0), (3000.0, 0.0), 2400.0, 3000.0))
    assert close(drawn_side(*ends, UprightFaces(tower[::-1], ())), DrawnSide((2400.0, 2400.0), 0.0, 1.0, ()))


@pytest.mark.parametrize("way", TURNS)
@pytest.mark.parametrize(
    ("points", "meet"),
    [
        (((0, 0), (1000, 0), (1100, 0), (3000, 0)), (1050, 0)), (((0, 0), (1000, 0), (1000, 24), (3000, 24)), (1000, 12)), (((0, 0), (1000, 0), (1000, 26), (3000, 26)), None),
        (((0, 0), (2000, 0), (2100, 6), (3100, 66)), (2000, 0)), (((0, 0), (1000, 0), (1100, 90), (1100, 2000)), (1100, 0)),
        (((0, 0), (1000, 0), (1200, 200), (4200, 1200)), None),
    ],
)  # fmt: skip
def test_where_sides_by_a_short_one_meet_wherever_they_run(
    way: Point, points: tuple[Point, ...], meet: Point | None
) -> None:
    at = mover(way)
    found = _meeting(*(at(point) for point in points))
    assert found == (None if meet is None else pytest.approx(at(meet)))


HOUSE: list[Point] = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (2000.0, 4000.0), (2000.0, 3000.0), (0.0, 3000.0)]
ROOF: list[Point] = [
    (-500.0, -500.0),
    (6500.0, -500.0),
    (6500.0, 4500.0),
    (1500.0, 4500.0),
    (1500.0, 3500.0),
    (-500.0, 3500.0),
]


@pytest.mark.parametrize("way", TURNS)
def test_the_line_of_a_house_is_the_same_wherever_it_stands(way: Point) -> None:
    """With walls inside, walls drawn twice and turned over; its corners lie where the outer faces cross, 20 mm further out on
    one side."""
    at = mover(way, (2000.0, -9000.0))
    walls = [(a, b, 0.0, 2400.0) for a, b in zip(HOUSE, [*HOUSE[1:], HOUSE[0]], strict=True)]
    faces = pieces(at, *walls, ((2000.0, 0.0), (2000.0, 3000.0), 0.0, 2400.0))
    again = np.concatenate([faces, faces[:, ::-1], faces[:2]])
    under = roof(outline_mm=(tuple(at(point) for point in ROOF),))
    assert same(outer_line(again, under), [at(point) for point in HOUSE])
    ring = [at(point) for point in HOUSE]
    shifted = pieces(at, ((0.0, -20.0), (6000.0, -20.0), 0.0, 2400.0))
    assert same(_on_faces(ring, shifted), [at(point) for point in ((0.0, -20.0), (6000.0, -20.0), *HOUSE[2:])])
    nx, ny, off = _face_line(ring[0], ring[1], shifted)
    assert (nx, ny) == pytest.approx((way[1], -way[0]))
    assert off == pytest.approx(nx * at((9.0, -20.0))[0] + ny * at((9.0, -20.0))[1])
    cut = [*HOUSE[:1], (5900.0, 0.0), (6000.0, 100.0), *HOUSE[2:]]
    assert same(_cornered([at(point) for point in cut]), [at(point) for point in HOUSE])


@pytest.mark.parametrize("way", TURNS)
def test_each_stretch_of_wall_is_drawn_once_and_a_little_longer(way: Point) -> None:
    at = mover(way)
    faces = pieces(
        at,
        ((0.0, 0.0), (3000.0, 0.0), 0.0, 2400.0),
        ((3000.0, 0.0), (0.0, 0.0), 0.0, 900.0),
        ((0.0, 500.0), (0.0, 900.0), 0.0, 2400.0),
    )
    found = _lines(faces[:, :, :2])
    assert len(found) == 2
    assert same(sorted(found[0].coords), sorted((at((-3.0, 0.0)), at((3003.0, 0.0)))))
    assert same(sorted(found[1].coords), sorted((at((0.0, 497.0)), at((0.0, 903.0)))))
    near = pieces(at, ((0.0, 0.0), (3000.0, 0.0), 0.0, 2400.0), ((0.0, 0.0), (3000.0, 0.2), 0.0, 2400.0))
    assert len(_lines(near[:, :, :2])) == 2  # two tenths of a millimetre off are another


@pytest.mark.parametrize("way", TURNS)
def test_low_strips_are_no_walls_whichever_way_they_run(way: Point) -> None:
    at = mover(way, (3.0, 4.0))

    def tall(*given: tuple[Point, Point, float, float]) -> list[bool]:
        every = pieces(at, *given)
        crossed = np.cross(every[:, 1] - every[:, 0], every[:, 2] - every[:, 0])
        return [bool(v) for v in _high(every, crossed, np.linalg.norm(crossed, axis=1))][::2]

    assert tall(((0.0, 5.0), (6000.0, 5.0), 0.0, 350.0), ((6000.0, 5.0), (0.0, 5.0), 350.0, 600.5)) == [True, True]
    assert tall(
        ((0.0, 5.0), (6000.0, 5.0), 0.0, 599.0),
        ((0.0, 60.0), (6000.0, 60.0), 0.0, 601.0),
        ((5.0, 0.0), (5.0, 900.0), 0.0, 601.0),
    ) == [False, True, True]


def model() -> RawFaces:
    """A house of 6 x 4 m, 2.4 m high but for its last wall, 2.7 m, with a stated window that goes through the first."""
    ring = box(0.0, 0.0, 6000.0, 4000.0)
    walls = [
        face(a, b, 0.0, 2700.0 if k == 3 else 2400.0)
        for k, (a, b) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True))
    ]
    openings = [
        [*face((1000.0, out), (2500.0, out), 900.0, head), *face((1000.0, deep), (2500.0, deep), 900.0, head), *sill]
        for out, deep, head in ((-50.0, 200.0, 2100.0), (4050.0, 3800.0, 2600.0))
        for sill in ([[(1000.0, out, 900.0), (2500.0, out, 900.0), (2500.0, deep, 900.0)]],)
    ]
    every = corners(*walls, *openings).reshape(-1, 3) + np.array([0.0, 0.0, 150.0])
    points, number = np.unique(every, axis=0, return_inverse=True)  # what hangs together shares its corners
    part_of = [0] * 8 + [1] * 5 + [2] * 5
    parts = tuple(
        RawPart(f"p{k}", name, what)
        for k, (name, what) in enumerate(
            (("walls", StatedPart.WALL), ("W1", StatedPart.OPENING), ("W2", StatedPart.OPENING))
        )
    )
    return raw_faces(points, number.reshape(-1, 3), "house.ifc", part_of=part_of, parts=parts)


def job(**walls: Any) -> Job:
    shape = {"file": "house.ifc", "unit": "mm", "up": "z"}
    return Job.model_validate(
        {
            "job": "check",
            "roofs": [{"name": "main", "shape": shape}],
            "walls": {"zones": [{"board": "bevel_187"}], **walls},
        }
    )


MAIN = roof("main", origin_mm=(0.0, 0.0, 150.0), outline_mm=(box(-600.0, -600.0, 6600.0, 4600.0),))


def test_a_job_is_filled_with_the_walls_of_its_model() -> None:
    """The floor lies 150 up in the file; the second window reaches over its wall and ends with it."""
    other = roof("porch")
    filled, (main, porch) = fill_walls(job(), [MAIN, other], {"main": model(), "porch": model()})
    assert filled.walls is not None
    assert filled.walls.height_mm == 2400.0
    assert filled.walls.openings == [
        OpeningJob(wall=1, from_left_mm=1000, sill_mm=900, width_mm=1500, height_mm=1200, name="W1"),
        OpeningJob(wall=3, from_left_mm=3500, sill_mm=900, width_mm=1500, height_mm=1500, name="W2"),
    ]
    assert (main.wall_line_mm, porch) == ((box(0.0, 0.0, 6000.0, 4000.0),), other)
    assert [(f.code, f.severity, f.text) for f in main.findings] == [
        (
            "walls-drawn",
            Severity.NOTE,
            (
                "house.ifc: the walls are the model's: 4, in order of their numbers 6.00, 4.00, 6.00, 4.00 m long, frame height 2400 mm, "
                "2 openings, 0 of them down to the floor."
            ),
        ),
        (
            "wall-heights-differ",
            Severity.WARN,
            "The model's walls are not of one height: 2400 mm over the floor was taken for all, but wall 4 2700 mm.",
        ),
        (
            "other-walls-not-taken",
            Severity.WARN,
            "Walls are taken from the model of one roof; what porch draws of walls is clad by nothing here.",
        ),
    ]


def test_what_a_job_says_of_its_walls_stays() -> None:
    typed = [{"wall": 2, "from_left_mm": 100, "sill_mm": 0, "width_mm": 900, "height_mm": 2000}]
    filled, (main,) = fill_walls(job(height_mm=2500, openings=typed), [MAIN], {"main": model()})
    assert filled.walls is not None
    assert (filled.walls.height_mm, [one.wall for one in filled.walls.openings]) == (2500.0, [2])
    assert main.findings[0].text.endswith("4.00 m long; the openings are those of the job (1), the model draws 2.")
    lined = roof("typed", wall_line_mm=(box(0.0, 0.0, 1.0, 1.0),))
    for given, roofs in (
        (Job(job="check"), [MAIN]), (job(elevations=[{"name": "a", "width_mm": 3000, "height_mm": 2400}]), [MAIN]), (job(roof="porch"), [MAIN]), (job(), [MAIN, lined]),
        (job(roof="typed"), [MAIN, lined]),
    ):  # fmt: skip
        same_job, found = fill_walls(given, roofs, {"main": model()})
        assert (same_job, found) == (given, tuple(roofs))
    assert fill_walls(job(), [MAIN], {}) == (job(), (MAIN,))
    named, _ = fill_walls(job(roof="main"), [MAIN, lined], {"main": model()})
    assert named.walls is not None
    assert named.walls.height_mm == 2400.0


@pytest.mark.parametrize(
    ("origin", "outline", "said"),
    [
        ((0.0, 0.0, 150.0), box(-600.0, -600.0, 5980.0, 4600.0), "house.ifc draws walls outside the outline of roof main, at its spouting or its sheets' ends; give each wall under elevations"),
        ((90000.0, 0.0, 150.0), box(-600.0, -600.0, 6600.0, 4600.0), "house.ifc draws no walls that close in a house under roof main; give each wall under elevations"),
        ((0.0, 0.0, -1351.0), box(-600.0, -600.0, 6600.0, 4600.0),
         "house.ifc draws walls from 1.50 m up, but 0 is the finished floor; give each wall under elevations, or a model whose floor lies at 0"),
        ((0.0, 0.0, 4151.0), box(-600.0, -600.0, 6600.0, 4600.0),
         "house.ifc draws walls from -4.00 m up, but 0 is the finished floor; give each wall under elevations, or a model whose floor lies at 0"),
    ],
)  # fmt: skip
def test_models_whose_walls_cannot_be_taken(origin: tuple[float, float, float], outline: Any, said: str) -> None:
    """50,000 mm2 of the walls may lie outside: 20 mm of 4 m are 80,000, less the 30 mm that the outline may be off; so 5980 passes
    and is warned of only where more is left over."""
    one = roof("main", origin_mm=origin, outline_mm=(outline,))
    if "outside" in said:
        one = roof("main", origin_mm=origin, outline_mm=(box(-600.0, -600.0, 5950.0, 4600.0),))
        assert (
            fill_walls(job(), [roof("main", origin_mm=origin, outline_mm=(outline,))], {"main": model()})[0].walls
            is not None
        )
    with pytest.raises(JobError) as refused:
        fill_walls(job(), [one], {"main": model()})
    assert refused.value.faults == (f"walls: {said}",)
    assert refused.value.faults[0].path == ("walls",)  # type: ignore[attr-defined]


def test_a_side_lies_where_its_greatest_face_does_whichever_way_it_runs() -> None:
    """Up along x = 0 with the house on its left: the greater face lies 5 mm out, a lower one, drawn first, 20 mm."""
    faces = corners(face((20.0, 0.0), (20.0, 4000.0), 0.0, 300.0), face((5.0, 0.0), (5.0, 4000.0), 0.0, 2400.0))
    assert _face_line((0.0, 0.0), (0.0, 4000.0), faces) == pytest.approx((1.0, 0.0, 5.0))
    # a face that is turned by 3 in 500 still looks outwards, drawn from either side
    askew = corners(face((0.0, 0.0), (24.0, 4000.0), 0.0, 2400.0))
    for one in (askew, askew[:, ::-1]):
        nx, ny, _ = _face_line((0.0, 0.0), (0.0, 4000.0), one)
        assert (nx, ny) == pytest.approx((1.0, -0.006), abs=1e-4)


@pytest.mark.parametrize(("past", "on"), [(0.5, True), (0.0, False)])
def test_a_face_is_on_a_side_from_its_very_end(past: float, on: bool) -> None:
    before = corners(face((-3000.0, -20.0), (past, -20.0), 0.0, 2400.0))
    beyond = corners(face((4000.0 - past, -20.0), (9000.0, -20.0), 0.0, 2400.0))
    for faces in (before, beyond):
        assert _face_line((0.0, 0.0), (4000.0, 0.0), faces)[2] == pytest.approx(20.0 if on else 0.0)


def test_a_ring_of_four_corners_keeps_them() -> None:
    ring = [(0.0, 0.0), (5000.0, 0.0), (5000.0, 100.0), (0.0, 3000.0)]
    assert _cornered(ring) == ring


def test_a_corner_that_was_none_beside_one_that_went_goes_too() -> None:
    """The third lies 0.49 mm off the line of its neighbours and goes; then the second lies 0.49 mm off, which it did not."""
    ring = [(0.0, 0.0), (1000.0, 1.0), (1500.0, 0.74), (10000.0, 5.1), (10000.0, 6000.0), (0.0, 6000.0)]
    assert _cornered(ring) == [ring[0], *ring[3:]]


def test_what_stands_in_a_court_of_the_roof_is_no_house() -> None:
    around = [(0.0, 0.0), (20000.0, 0.0), (20000.0, 20000.0), (0.0, 20000.0)]
    court = [(5000.0, 5000.0), (5000.0, 15000.0), (15000.0, 15000.0), (15000.0, 5000.0)]
    hut = [(6000.0, 6000.0), (14000.0, 6000.0), (14000.0, 14000.0), (6000.0, 14000.0)]
    assert outer_line(room(hut), under(around, court)) == ()
    assert len(outer_line(room(hut), under(around))) == 4
