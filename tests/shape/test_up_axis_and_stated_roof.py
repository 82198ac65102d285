"""Which way is up in a model and which face of a stated roof body the sheets lie on: shares and limits by hand.

A view along an axis is told in shares of all area. The gable of these tests is 12 x 8 m, 3 m to the eaves and a rise of 3 m,
so that a slope is 5 m (3, 4, 5): slopes 2 x 12 x 5 = 120 m2, walls 2 x 12 x 3 + 2 x (8 x 3 + 12) = 144 m2, floor 96 m2, in all
360 m2.
"""

from __future__ import annotations

import numpy as np
import pytest

from takeoff.basics.errors import UndecidedError
from takeoff.model.faces import AXES, Axis, RawFaces, RawPart, StatedPart, raw_faces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding import axis as axes
from takeoff.shape.imported.deciding.axis import _best, _View, _views, decide_axis, opposite, turned
from takeoff.shape.imported.deciding.stated_roof import stated_roof

JOB = ShapeJob(file="house.obj")
Quad = tuple[tuple[float, float, float], ...]


def gable(floor: bool = True) -> list[Quad]:
    """Quads of the house, the last two its gables' triangles (a corner twice)."""
    foot = [(0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 8.0, 0.0), (0.0, 8.0, 0.0)]
    head = [(x, y, 3.0) for x, y, _ in foot]
    west, east = (0.0, 4.0, 6.0), (12.0, 4.0, 6.0)
    walls = [(foot[k], foot[(k + 1) % 4], head[(k + 1) % 4], head[k]) for k in range(4)]
    slopes = [(head[0], head[1], east, west), (head[2], head[3], west, east)]
    ends = [(head[1], head[2], east, east), (head[3], head[0], west, west)]
    return [*walls, *slopes, *ends, *([tuple(foot[::-1])] if floor else [])]


def raw_of(quads: list[Quad], **stated: object) -> RawFaces:
    points, triangles = [], []
    for quad in quads:
        first = len(points)
        points += quad
        triangles.append((first, first + 1, first + 2))
        if quad[2] != quad[3]:
            triangles.append((first, first + 2, first + 3))
    return raw_faces(points, triangles, "house.obj", **stated)


def view_of(quads: list[Quad], up: Axis = "z") -> _View:
    raw = raw_of(quads)
    return _views(raw.points, raw.triangles)[up]


def near(right: float, slopes: float, lift: float, walls: bool) -> _View:
    def about(value: float) -> float:
        return pytest.approx(value, abs=1e-9)  # type: ignore[return-value]

    return _View(about(right), about(slopes), about(lift), walls)


def test_a_house_seen_the_right_way_up() -> None:
    """All is right. Roof: 120 m2 on average 4.5 m up, the floor at the bottom not counted; walls 72 m2 at 1.5, gables 48 m2 of
    wall at 1.5 and 24 m2 of triangles at 4 m: (120 x 1.5 + 24 x 4) / 144 = 1.91667; lift (4.5 - 1.91667) / 6."""
    assert view_of(gable()) == near(1.0, 120.0 / 360.0, (4.5 - 276.0 / 144.0) / 6.0, True)


def test_a_house_seen_upside_down() -> None:
    """Its slopes lie under its floor, 0 of them open: (144 + 96 - 120) / 360 is right. Roof: the floor at 6 m and slopes at
    1.5 m but for none at the very bottom (they reach 3 m): (96 x 6 + 120 x 1.5) / 216 = 3.5; walls 6 - 1.91667."""
    assert view_of(gable(), "-z") == near(120.0 / 360.0, 0.0, (3.5 - (6.0 - 276.0 / 144.0)) / 6.0, True)


def test_a_house_seen_along_its_ridge() -> None:
    """Lying on a gable: slopes, long walls and floor stand, the gables lie level; nothing slopes. Up is east: roof is the
    upper gable, 36 m2 at 12 m of 12 m height; walls are at 6 m."""
    assert view_of(gable(), "x") == near(1.0, 0.0, 0.5, True)


def test_a_house_lying_on_its_long_wall() -> None:
    """Up is north: gables stand, walls and floor stand or lie, the northern slope is open at 4/5 of 1 in 0.75; the southern
    looks down and lies under it: not alone, but not alongside: 180 - 2 x 53 degrees."""
    found = view_of(gable(), "y")
    assert (found.right, found.slopes) == (pytest.approx(240.0 / 360.0), pytest.approx(60.0 / 360.0))


def test_a_roof_without_walls_is_lifted_over_its_edge() -> None:
    """Both slopes alone: on average 1.5 m over their lower sides; the sides that only one face has are the eaves, 12 m each at 0,
    and the verges, 4 x 5 m at 1.5: 30 / 44 m. Height 3 m."""
    assert view_of(gable()[4:6]) == near(1.0, 1.0, (1.5 - 30.0 / 44.0) / 3.0, False)


@pytest.mark.parametrize(
    ("steeper", "right"),
    [
        (0.0, 120.0 / 240.0),  # the underside counts neither way
        (0.05, 120.0 / 242.94),  # 0.8 in 1, slopes of 5.1225 m: 1.79 degrees apart from 3 in 4
        (
            0.1,
            (120.0 - 126.0) / 246.0,
        ),  # 0.85 in 1, slopes of 5.2498 m: 3.5 degrees apart, over 2.56: all of it is wrong
    ],
)
def test_an_underside_alongside_counts_not_against_a_roof(steeper: float, right: float) -> None:
    top = gable()[4:6]
    under: list[Quad] = [tuple((x, y, z - 0.3 - steeper * abs(y - 4.0)) for x, y, z in quad)[::-1] for quad in top]
    assert view_of([*top, *under]).right == pytest.approx(right, abs=1.0 / 300.0)  # 300 places are looked at


def test_a_level_sheet_has_neither_slopes_nor_lift() -> None:
    floor = [gable()[-1]]
    assert view_of(floor) == near(1.0, 0.0, 0.0, False)
    assert view_of([*floor, ((0.0, 0.0, 2.0), (12.0, 0.0, 2.0), (12.0, 8.0, 2.0), (0.0, 8.0, 2.0))]).slopes == 0.0


def test_walls_alone_have_no_lift() -> None:
    assert view_of(gable()[:4]) == near(1.0, 0.0, 0.0, True)


def test_faces_without_area_count_not() -> None:
    point = (1.0, 1.0, 1.0)
    assert view_of([*gable(), (point, point, (2.0, 2.0, 2.0), (3.0, 3.0, 3.0))]) == view_of(gable())


@pytest.mark.parametrize(("rise", "slopes"), [(0.1, 0.0), (0.2, 1.0)])  # 0.95 and 1.9 degrees on 6 m; 1 degree is level
def test_what_falls_by_less_than_a_degree_is_level(rise: float, slopes: float) -> None:
    sheet: Quad = ((0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 6.0, rise), (0.0, 6.0, rise))
    assert view_of([sheet]).slopes == pytest.approx(slopes)


@pytest.mark.parametrize(("rise", "right"), [(3.7, 1.0), (3.8, 0.0)])  # 74.9 and 75.3 degrees over 1 m
def test_what_is_steeper_than_seventy_five_degrees_and_no_wall_speaks_against_an_axis(
    rise: float, right: float
) -> None:
    sheet: Quad = ((0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 1.0, rise), (0.0, 1.0, rise))
    assert view_of([sheet]).right == pytest.approx(right)


@pytest.mark.parametrize(("run", "right"), [(0.05, 1.0), (0.051, 0.0)])  # a normal that rises by run / sqrt(1 + run2)
def test_what_leans_by_three_degrees_is_wall(run: float, right: float) -> None:
    sheet: Quad = ((0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, run, 1.0), (0.0, run, 1.0))
    assert view_of([sheet]).right == pytest.approx(right)


@pytest.mark.parametrize(("high", "walls"), [(1.0, False), (1.1, True)])  # 12 h of 48 + 12 h: a fifth at h = 1
def test_walls_are_more_than_a_fifth_of_all(high: float, walls: bool) -> None:
    level: Quad = ((0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 4.0, 0.0), (0.0, 4.0, 0.0))
    wall: Quad = ((0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 0.0, high), (0.0, 0.0, high))
    assert view_of([level, wall]).has_walls is walls


@pytest.mark.parametrize(("up", "lift"), [(0.03, -0.5), (0.05, 0.0)])
def test_what_lies_at_the_very_bottom_is_no_roof_over_the_walls(up: float, lift: float) -> None:
    """A wall 4 m high and a plate over a hundredth of that, 40 mm: with nothing over it there is no roof at all."""
    wall: Quad = ((0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 0.0, 4.0), (0.0, 0.0, 4.0))
    plate: Quad = ((0.0, 0.0, up), (12.0, 0.0, up), (12.0, 4.0, up), (0.0, 4.0, up))
    expected = 0.0 if lift else (up - 2.0) / 4.0
    assert view_of([wall, plate]).lift == pytest.approx(expected)


def test_places_are_looked_up_from_in_halves_where_there_are_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = raw_of([*gable(), *(tuple((x, y, z + 0.5) for x, y, z in quad) for quad in gable()[4:6])])
    whole = _views(raw.points, raw.triangles)
    monkeypatch.setattr(axes, "_MOST_PAIRS", 40)
    assert _views(raw.points, raw.triangles) == whole


def _seen(**views: _View) -> dict[Axis, _View]:
    none = _View(0.0, 0.0, 0.0, False)
    return {axis: views.get(axis.replace("-", "minus_"), none) for axis in AXES}


def _v(right: float, slopes: float, lift: float, walls: bool = True) -> _View:
    return _View(right, slopes, lift, walls)


@pytest.mark.parametrize(
    ("views", "up"),
    [
        ({"z": _v(1.0, 0.3, 0.4), "minus_z": _v(0.2, 0.0, -0.4)}, "z"),
        ({"y": _v(1.0, 0.3, 0.4), "minus_y": _v(0.2, 0.0, -0.4)}, "y"),
        ({"x": _v(1.0, 0.3, 0.4)}, "x"),
        ({"minus_z": _v(1.0, 0.3, 0.4), "z": _v(0.2, 0.0, -0.4)}, "-z"),
        # half of what one lies over the other: 0.05 at least the right way up, 0.2 and walls to stand on the head
        ({"z": _v(1.0, 0.3, 0.0625), "minus_z": _v(1.0, 0.3, -0.0625)}, "z"),
        ({"z": _v(1.0, 0.3, 0.046875), "minus_z": _v(1.0, 0.3, -0.046875)}, None),
        ({"z": _v(1.0, 0.3, 0.05)}, None),  # half of it is 0.025
        ({"minus_z": _v(1.0, 0.3, 0.203125), "z": _v(1.0, 0.3, -0.203125)}, "-z"),
        ({"minus_z": _v(1.0, 0.3, 0.1875), "z": _v(1.0, 0.3, -0.1875)}, None),
        ({"minus_z": _v(1.0, 0.3, 0.4, False), "z": _v(1.0, 0.3, -0.4, False)}, None),
        ({"z": _v(1.0, 0.3, 0.4, False)}, "z"),
        # another axis within 0.1 of the best leaves doubt, unless it has less than 0.02 of slopes
        ({"z": _v(1.0, 0.3, 0.4), "y": _v(0.91, 0.3, 0.4)}, None),
        ({"z": _v(1.0, 0.3, 0.4), "y": _v(0.89, 0.3, 0.4)}, "z"),
        ({"z": _v(1.0, 0.3, 0.4), "y": _v(1.0, 0.019, 0.4)}, "z"),
        ({"z": _v(1.0, 0.3, 0.4), "y": _v(1.0, 0.02, 0.4)}, None),
        ({"z": _v(1.0, 0.3, 0.4), "minus_y": _v(1.0, 0.3, 0.4)}, None),  # seen from either end
        ({"minus_z": _v(1.0, 0.3, -0.3), "z": _v(0.0, 0.0, 0.4)}, "z"),  # shares of either end, up by the lift
        # none slopes enough: taken where it slopes at all and is alone
        ({"z": _v(1.0, 0.01, 0.4)}, "z"),
        ({"z": _v(1.0, 0.0, 0.4)}, None),
        ({"z": _v(1.0, 0.01, 0.4), "y": _v(1.0, 0.01, 0.4)}, None),
        # hardly any file has x up: not beside another that looks as right
        ({"x": _v(1.0, 0.3, 0.4), "z": _v(0.95, 0.0, 0.0)}, None),
        ({"x": _v(1.0, 0.3, 0.4), "z": _v(0.8, 0.0, 0.0)}, "x"),
        ({"z": _v(1.0, 0.3, 0.4), "x": _v(0.95, 0.0, 0.0)}, "z"),
    ],
)  # fmt: skip
def test_the_axis_that_leaves_no_doubt(views: dict[str, _View], up: Axis | None) -> None:
    assert _best(_seen(**views)) == up


def test_opposites_and_turns_are_proper() -> None:
    assert {axis: opposite(axis) for axis in AXES} == {"z": "-z", "-z": "z", "y": "-y", "-y": "y", "x": "-x", "-x": "x"}
    ends: dict[Axis, tuple[float, float, float]] = {
        "x": (1, 0, 0), "-x": (-1, 0, 0), "y": (0, 1, 0), "-y": (0, -1, 0), "z": (0, 0, 1), "-z": (0, 0, -1)
    }  # fmt: skip
    for axis, end in ends.items():
        assert turned(np.array([end]), axis).tolist() == [[0.0, 0.0, 1.0]]  # it points up then
        assert np.linalg.det(turned(np.eye(3), axis)) == pytest.approx(1.0)  # and nothing is mirrored


def test_what_is_said_of_an_axis() -> None:
    house = raw_of(gable())
    shape = "`shape: {file: house.obj, up: %s}`"
    assert decide_axis(house, JOB) == (
        "z",
        [Finding(
            "mesh-up-taken", Severity.WARN,
            "house.obj: no up axis given; z was taken: 12 x 8 in plan and 6 high, in the file's unit",
            f"say so in the job: {shape % 'z'}",
        )],
    )  # fmt: skip
    stated = raw_of(gable(), stated_up="y")
    assert decide_axis(stated, JOB) == ("y", [])
    assert decide_axis(stated, JOB.model_copy(update={"up": "y"})) == ("y", [])
    assert decide_axis(house, JOB.model_copy(update={"up": "z"})) == ("z", [])
    assert decide_axis(house, JOB.model_copy(update={"up": "y"})) == (
        "y",
        [Finding(
            "mesh-up-contradicted", Severity.WARN,
            "house.obj: up: y is stated, but the faces look built with z up",
            f"is it right? If not, say {shape % 'z'}",
        )],
    )  # fmt: skip
    level = raw_of([gable()[-1]], stated_up="y")
    assert decide_axis(level, JOB.model_copy(update={"up": "z"})) == (
        "z",
        [Finding(
            "mesh-up-contradicted", Severity.WARN,
            "house.obj: up: z is stated, but files of its kind have y up",
            f"is it right? If not, say {shape % 'y'}",
        )],
    )  # fmt: skip


def test_an_open_axis_is_asked_for_with_what_each_makes() -> None:
    slab: Quad = ((0.0, 0.0, 0.0), (1234.5, 0.0, 0.0), (1234.5, 999.9, 0.0), (0.0, 999.9, 0.0))
    with pytest.raises(UndecidedError) as asked:
        decide_axis(raw_of([slab]), JOB)
    assert asked.value.faults == (
        "house.obj: which axis points up is not said, and its faces leave it open; say so in the job:",
        "`shape: {file: house.obj, up: z}` makes it 1234 x 999.9 in plan and 0 high, in the file's unit",
        "`shape: {file: house.obj, up: y}` makes it 1234 x 0 in plan and 999.9 high, in the file's unit",
        "`shape: {file: house.obj, up: x}` makes it 999.9 x 0 in plan and 1234 high, in the file's unit",
    )


def prism(thick: float, over: list[tuple[float, float]], length: float = 4000.0) -> list[Quad]:
    """A body of a section (y, z), its top from left to right, `thick` deep upright, drawn out along x."""
    section = [*reversed(over), *((y, z - thick) for y, z in over)]
    at = [[(x, y, z) for y, z in section] for x in (0.0, length)]
    n = len(section)
    sides = [(at[0][k], at[1][k], at[1][(k + 1) % n], at[0][(k + 1) % n]) for k in range(n)]
    tops = [(k, k + 1, n - 2 - k, n - 1 - k) for k in range(len(over) - 1)]
    ends = [tuple(at[0][i] for i in four) for four in tops] + [tuple(at[1][i] for i in four)[::-1] for four in tops]
    return [*(tuple(side[::-1]) for side in sides), *(end[::-1] for end in ends)]


def _welded(*bodies: list[Quad]) -> RawFaces:
    """Bodies as parts, corners shared."""
    numbers: dict[tuple[float, float, float], int] = {}
    triangles, part_of = [], []
    for part, quads in enumerate(bodies):
        for quad in quads:
            a, b, c, d = (numbers.setdefault((*map(float, point), float(part)), len(numbers)) for point in quad)  # type: ignore[arg-type]
            triangles += [(a, b, c), (a, c, d)]
            part_of += [part, part]
    named = tuple(RawPart(f"p{k}", "", StatedPart.ROOF) for k in range(len(bodies)))
    return raw_faces([point[:3] for point in numbers], triangles, "house.obj", part_of=part_of, parts=named)


def _heights(raw: RawFaces, face: str | None) -> tuple[list[float], tuple[Finding, ...]]:
    found = stated_roof(raw, raw.points, face)  # type: ignore[arg-type]
    corners = raw.points[found.triangles]
    assert (np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[:, 2] > 0.0).all()
    return sorted({round(float(z), 1) for z in corners[:, :, 2].reshape(-1)}), found.findings


SLOPE = [(0.0, 3000.0), (4000.0, 6000.0)]  # 3 in 4: a depth upright of 250 mm is 200 mm square to it


@pytest.mark.parametrize(
    ("face", "heights", "other"),
    [(None, [3000.0, 6000.0], "underside"), ("top", [3000.0, 6000.0], "underside"), ("underside", [2750.0, 5750.0], "top")],
)  # fmt: skip
def test_the_face_of_a_thick_roof(face: str | None, heights: list[float], other: str) -> None:
    raw = _welded(prism(250.0, SLOPE))
    taken = "underside" if other == "top" else "top"
    finding = Finding(
        "roof-face-taken", Severity.NOTE,
        f"house.obj: its 1 roof bodies are 200 mm thick; the sheets are taken to lie on the {taken}",
        f"where the {other} is meant: `face: {other}` in the job's shape; heights change by the thickness upright, and lengths at "
        "hips, valleys and ridges with it",
    )  # fmt: skip
    assert _heights(raw, face) == (heights, (finding,))


def test_bodies_of_several_thicknesses_are_told_from_to() -> None:
    raw = _welded(prism(250.0, SLOPE), prism(375.0, SLOPE), prism(500.0, SLOPE))
    (finding,) = _heights(raw, None)[1]
    assert finding.text == (
        "house.obj: its 3 roof bodies are 200 to 400 mm thick; the sheets are taken to lie on the top"
    )


def test_a_whole_roof_in_one_body_keeps_both_its_slopes() -> None:
    raw = _welded(prism(250.0, [(0.0, 3000.0), (4000.0, 6000.0), (7000.0, 3750.0)]))
    assert _heights(raw, None)[0] == [3000.0, 3750.0, 6000.0]
    assert _heights(raw, "underside")[0] == [2750.0, 3500.0, 5750.0]


@pytest.mark.parametrize(("deep", "kept"), [(1.45, True), (1.55, False)])
def test_what_is_half_as_deep_again_is_no_roof_of_the_body(deep: float, kept: bool) -> None:
    """The second slope is `deep` times as thick as the greatest, which is 4 m on plan and 250 mm upright, both 3 in 4."""
    top = [(0.0, 3000.0), (4000.0, 6000.0), (7000.0, 3750.0)]
    # its underside meets that of the first further along: both 3 in 4, one 250 mm, the other 250 x deep under its top
    low = 250.0 * deep
    meet = 4000.0 - (low - 250.0) / 1.5  # 3000 - 250 + 0.75 y = 6000 - low - 0.75 (y - 4000)
    section = [*reversed(top), (0.0, 2750.0), (meet, 2750.0 + 0.75 * meet), (7000.0, 3750.0 - low)]
    at = [[(x, y, z) for y, z in section] for x in (0.0, 5000.0)]
    sides: list[Quad] = [(at[0][(k + 1) % 6], at[1][(k + 1) % 6], at[1][k], at[0][k]) for k in range(6)]
    ends: list[Quad] = [
        tuple(at[e][i] for i in four)[:: 1 - 2 * e] for e in (0, 1) for four in ((2, 1, 4, 3), (1, 0, 5, 4))
    ]  # type: ignore[misc]
    heights, _ = _heights(_welded([*sides, *ends]), None)
    assert heights == ([3000.0, 3750.0, 6000.0] if kept else [3000.0, 6000.0])


def test_open_sheets_stated_to_be_roof_are_taken_as_they_are() -> None:
    raw = _welded([prism(250.0, SLOPE)[0]])
    found = stated_roof(raw, raw.points, "underside")
    assert found.triangles.tolist() == raw.triangles.tolist()
    assert (found.numbers.tolist(), found.findings) == ([0, 1], ())


def test_where_no_roof_is_stated_all_is_taken() -> None:
    raw = raw_of(gable())
    found = stated_roof(raw, raw.points, None)
    assert found.numbers.tolist() == list(range(len(raw.triangles)))
    assert found.triangles is raw.triangles
    assert found.findings == ()
