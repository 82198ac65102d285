"""The unit and the floor of a model of others: every limit at and just beyond it, every message whole.

The limits are common practice, no source: what a house may measure (takeoff/basics/model_limits.py). Sizes in words are
worked by hand: 1 inch is 25.4 mm and 1 foot 304.8 mm (international yard and pound agreement of 1959).
"""

from __future__ import annotations

import numpy as np
import pytest

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.model.faces import RawFaces, raw_faces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.floor import floor_of
from takeoff.shape.imported.deciding.lines import shape_line
from takeoff.shape.imported.deciding.unit import _check_size, _Size, _size, _unit_words, decide_unit
from takeoff.shape.imported.net import Net, make_net

JOB = ShapeJob(file="house.obj")
Triangles = list[tuple[int, int, int]]


def _house(long: float, wide: float, eaves: float, ridge: float, z: float = 0.0) -> RawFaces:
    """A gable house with a floor, its ridge along x in the middle, standing at z."""
    foot = [(0.0, 0.0, z), (long, 0.0, z), (long, wide, z), (0.0, wide, z)]
    head = [(x, y, z + eaves) for x, y, _ in foot]
    points = [*foot, *head, (0.0, wide / 2.0, z + ridge), (long, wide / 2.0, z + ridge)]
    walls: Triangles = [t for k in range(4) for t in ((k, (k + 1) % 4, (k + 1) % 4 + 4), (k, (k + 1) % 4 + 4, k + 4))]
    roof: Triangles = [(4, 5, 9), (4, 9, 8), (6, 7, 8), (6, 8, 9)]
    return raw_faces(points, [*walls, (5, 6, 9), (7, 4, 8), *roof, (0, 2, 1), (0, 3, 2)], "house.obj")


def _roof(long: float, wide: float, rise: float, z: float) -> RawFaces:
    """A gable roof alone, its eaves at z."""
    points = [
        (0.0, 0.0, z), (long, 0.0, z), (long, wide, z), (0.0, wide, z),
        (0.0, wide / 2.0, z + rise), (long, wide / 2.0, z + rise),
    ]  # fmt: skip
    return raw_faces(points, [(0, 1, 5), (0, 5, 4), (2, 3, 4), (2, 4, 5)], "roof.obj")


@pytest.mark.parametrize(
    ("across", "eaves", "fits"),
    [
        ((10000.0, 8000.0, 6000.0), 2400.0, True),
        ((3500.0, 1800.0, 6000.0), 2400.0, True),  # the least length and width, either way round
        ((1800.0, 3500.0, 6000.0), 2400.0, True),
        ((3499.9, 1800.0, 6000.0), 2400.0, False),
        ((1800.0, 3499.9, 6000.0), 2400.0, False),
        ((3500.0, 1799.9, 6000.0), 2400.0, False),
        ((120000.0, 100000.0, 6000.0), 2400.0, True),  # and the greatest
        ((120000.1, 100000.0, 6000.0), 2400.0, False),
        ((100000.1, 120000.0, 6000.0), 2400.0, False),
        ((10000.0, 8000.0, 50.0), 1800.0, True),  # with walls the eaves count, not the whole height
        ((10000.0, 8000.0, 6000.0), 1799.9, False),
        ((10000.0, 8000.0, 90000.0), 30000.0, True),
        ((10000.0, 8000.0, 90000.0), 30000.1, False),
        ((10000.0, 8000.0, 100.0), 0.0, True),  # a roof without walls: its whole height
        ((10000.0, 8000.0, 99.9), 0.0, False),
        ((10000.0, 8000.0, 15000.0), 0.0, True),
        ((10000.0, 8000.0, 15000.1), 0.0, False),
    ],
)
def test_what_may_be_a_building(across: tuple[float, float, float], eaves: float, fits: bool) -> None:
    size = _Size(across, eaves)
    assert size.fits(1.0) is fits
    part = _Size((across[0] / 16.0, across[1] / 16.0, across[2] / 16.0), eaves / 16.0)
    assert part.fits(16.0) is fits  # sixteenths are exact


def test_the_eaves_count_in_any_unit() -> None:
    assert _Size((1.0, 0.8, 0.001), 0.2).fits(10000.0)  # 10 x 8 m with eaves at 2 m, in units of ten metres


@pytest.mark.parametrize(
    ("across", "eaves", "fits"),
    [
        ((60000.0, 50000.0, 6000.0), 15000.0, True),
        ((60000.1, 50000.0, 6000.0), 15000.0, False),
        ((60000.0, 50000.1, 6000.0), 15000.0, False),
        ((60000.0, 50000.0, 6000.0), 15000.1, False),
        ((60000.0, 50000.0, 7500.0), 0.0, True),
        ((60000.0, 50000.0, 7500.1), 0.0, False),
        ((3500.0, 1800.0, 6000.0), 1800.0, True),  # the least sizes are not halved
        ((3499.9, 1800.0, 6000.0), 1800.0, False),
    ],
)
def test_half_of_the_greatest_sizes(across: tuple[float, float, float], eaves: float, fits: bool) -> None:
    assert _Size(across, eaves).fits(1.0, 0.5) is fits


def test_a_size_is_told_in_metres() -> None:
    assert _Size((12.0, 8.5, 5.25), 0.0).words(1000.0) == "12.00 x 8.50 m and 5.25 m high"
    assert _Size((400.0, 300.0, 200.0), 0.0).words(25.4) == "10.16 x 7.62 m and 5.08 m high"


def test_the_size_of_a_house_is_read_off_its_faces() -> None:
    house = _house(12.0, 8.0, 2.5, 4.5, z=-1.0)
    assert _size(house.points, house.triangles) == _Size((12.0, 8.0, 4.5), pytest.approx(2.5))  # type: ignore[arg-type]
    roof = _roof(12.0, 8.0, 2.0, z=2.5)
    assert _size(roof.points, roof.triangles) == _Size((12.0, 8.0, 2.0), 0.0)
    points = np.vstack([roof.points, [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)]])
    ground = np.vstack([roof.triangles, [(6, 7, 8)]])
    assert _size(points, ground) == _Size((12.0, 8.0, 4.5), 0.0)  # nothing stands between the ground and the roof


@pytest.mark.parametrize(
    ("terrace", "eaves"),
    [
        (0.04, 2.5),  # up to a hundredth of the height, 45 mm of 4.5 m, is the floor
        (0.05, 0.05),  # what lies higher is taken for the lowest roof
    ],
)
def test_what_lies_at_the_very_bottom_is_no_roof(terrace: float, eaves: float) -> None:
    house = _house(12.0, 8.0, 2.5, 4.5)
    points = np.vstack([house.points, [(1.0, -2.0, terrace), (3.0, -2.0, terrace), (3.0, -1.0, terrace)]])
    triangles = np.vstack([house.triangles, [(10, 11, 12)]])
    assert _size(points, triangles).eaves == pytest.approx(eaves)


def test_what_lies_a_hundredth_up_is_still_the_floor() -> None:
    house = _house(300.0, 200.0, 60.0, 100.0)
    points = np.vstack([house.points, [(1.0, -2.0, 1.0), (3.0, -2.0, 1.0), (3.0, -1.0, 1.0)]])
    assert _size(points, np.vstack([house.triangles, [(10, 11, 12)]])).eaves == 60.0


@pytest.mark.parametrize(("run", "eaves"), [(1.0, 1.0), (1.16, 0.0)])  # normals rise by 0.243 and 0.279, limit 0.26
def test_what_is_steeper_than_seventy_five_degrees_is_wall(run: float, eaves: float) -> None:
    """A roof from 1 m up over nothing but one face 4 m high that leans by `run`: a wall or a roof of its own."""
    points = [(0, 0, 0), (4, 0, 0), (4, run, 4), (0, 2, 1), (4, 2, 1), (4, 6, 3)]
    assert _size(np.array(points, dtype=float), np.array([(0, 1, 2), (3, 4, 5)])).eaves == pytest.approx(eaves)


@pytest.mark.parametrize(
    ("mm", "words"),
    [(1.0, "mm"), (10.0, "cm"), (1000.0, "m"), (25.4, "in"), (304.8, "ft"), (1000.0009, "m"), (1000.0011, "of 1000 mm"),
     (2.5, "of 2.5 mm")],
)  # fmt: skip
def test_a_unit_is_told_by_its_name(mm: float, words: str) -> None:
    assert _unit_words(mm) == words


@pytest.mark.parametrize(
    ("across", "unit_mm", "unit", "said"),
    [
        ((12.0, 8.0), 1.0, "mm", ("with unit mm the whole shape is 12 mm across, no house's size; was this drawn in "
         "metres? unit: m makes it 12.00 m, unit: ft makes it 3.66 m")),
        ((8.0, 12.0), 1.0, "mm", ("with unit mm the whole shape is 12 mm across, no house's size; was this drawn in "
         "metres? unit: m makes it 12.00 m, unit: ft makes it 3.66 m")),
        ((12000.0, 8000.0), 1000.0, "m", ("with unit m the whole shape is 12 km across, no house's size; unit: mm makes "
         "it 12.00 m")),
        ((3.0, 2.0), 1.0, "mm", ("with unit mm the whole shape is 3 mm across, no house's size; was this drawn in "
         "metres? unit: m makes it 3.00 m")),
        ((2.9, 2.0), 1.0, "mm", ("with unit mm the whole shape is 2.9 mm across, no house's size; was this drawn in "
         "metres? scale the model to a house")),
        ((100.0, 80.0), 1.0, "mm", ("with unit mm the whole shape is 100 mm across, no house's size; was this drawn in "
         "metres? unit: m makes it 100.00 m, unit: ft makes it 30.48 m")),
        ((101.0, 80.0), 1.0, "mm", ("with unit mm the whole shape is 101 mm across, no house's size; unit: ft makes it "
         "30.78 m")),
        ((0.1, 0.05), 1000.0, "m", ("with unit m the whole shape is 100 mm across, no house's size; scale the model to "
         "a house")),
        ((1250.0, 80.0), 1000.0, "m", ("with unit m the whole shape is 1.25 km across, no house's size; unit: cm makes "
         "it 12.50 m, unit: in makes it 31.75 m")),
    ],
)  # fmt: skip
def test_a_unit_that_makes_no_house_is_refused(
    across: tuple[float, float], unit_mm: float, unit: str, said: str
) -> None:
    with pytest.raises(ShapeError) as refused:
        _check_size("house.obj", _Size((*across, 3000.0), 0.0), unit_mm, unit)
    assert refused.value.faults == (f"house.obj: {said}",)


@pytest.mark.parametrize(("mm", "passes"), [(500.0, True), (499.9, False), (1000000.0, True), (1000000.1, False)])
def test_half_a_metre_to_a_kilometre_passes(mm: float, passes: bool) -> None:
    size = _Size((mm, 10.0, 9e9), 0.0)  # heights count not
    if passes:
        _check_size("house.obj", size, 1.0, "mm")
    else:
        with pytest.raises(ShapeError):
            _check_size("house.obj", size, 1.0, "mm")


def test_the_jobs_unit_goes_before_all() -> None:
    raw = _house(400.0, 300.0, 100.0, 180.0)
    assert decide_unit(raw, raw.points, JOB.model_copy(update={"unit": "in"})) == (25.4, [])
    with pytest.raises(ShapeError):
        decide_unit(raw, raw.points, JOB.model_copy(update={"unit": "mm"}))  # 400 mm


def _stating(raw: RawFaces, unit_mm: float) -> RawFaces:
    return raw_faces(raw.points, raw.triangles, raw.came_from, stated_unit_mm=unit_mm)


def test_a_stated_unit_is_believed_where_it_may_be_a_shape() -> None:
    raw = _stating(_house(12.0, 8.0, 2.5, 4.5), 1000.0)
    assert decide_unit(raw, raw.points, JOB) == (1000.0, [])
    shed = _stating(_house(600.0, 300.0, 100.0, 150.0), 1.0)  # 600 mm, though centimetres would make a house
    assert decide_unit(shed, shed.points, JOB) == (1.0, [])
    least = _stating(_house(500.0, 300.0, 200.0, 300.0), 1.0)
    assert decide_unit(least, least.points, JOB) == (1.0, [])
    less = _stating(_house(400.0, 300.0, 200.0, 300.0), 1.0)
    with pytest.raises(UndecidedError):
        decide_unit(less, less.points, JOB)
    mast = _stating(_house(400.0, 300.0, 200.0, 500.0), 1.0)  # upright counts for the doubt, not for the refusal
    with pytest.raises(ShapeError):
        decide_unit(mast, mast.points, JOB)


def test_a_stated_unit_that_makes_no_house_is_asked_about() -> None:
    raw = _stating(_house(12.0, 8.0, 2.5, 4.5), 1.0)
    with pytest.raises(UndecidedError) as asked:
        decide_unit(raw, raw.points, JOB)
    assert asked.value.faults == (
        "house.obj: it states mm, which makes it no house; say it in the job:",
        "`shape: {file: house.obj, unit: m}` makes it 12.00 x 8.00 m and 4.50 m high",
    )
    large = _stating(_house(12000.0, 8000.0, 2500.0, 4500.0), 1000.0)
    with pytest.raises(UndecidedError, match="it states m, which makes it no house"):
        decide_unit(large, large.points, JOB)


def test_a_stated_unit_is_refused_where_none_makes_a_house() -> None:
    raw = _stating(_house(12.0, 8.0, 0.1, 0.2), 1.0)  # too low in metres
    with pytest.raises(ShapeError) as refused:
        decide_unit(raw, raw.points, JOB)
    assert not isinstance(refused.value, UndecidedError)


def test_the_one_unit_that_makes_a_house_is_taken() -> None:
    raw = _house(12.0, 8.0, 2.5, 4.5)
    text = "house.obj: no unit given; m was taken, so the model is 12.00 x 8.00 m and 4.50 m high"
    advice = "say so in the job: `shape: {file: house.obj, unit: m}`"
    assert decide_unit(raw, raw.points, JOB) == (1000.0, [Finding("mesh-unit-taken", Severity.WARN, text, advice)])
    # 59 m in centimetres; 61 m in centimetres is more than half of the greatest
    near = _house(5900.0, 3000.0, 500.0, 800.0)
    assert decide_unit(near, near.points, JOB)[0] == 10.0
    far = _house(6100.0, 3000.0, 500.0, 800.0)
    with pytest.raises(UndecidedError):
        decide_unit(far, far.points, JOB)


def test_units_are_asked_for_where_several_make_a_house_or_none() -> None:
    several = _house(30.0, 20.0, 7.0, 10.0)
    with pytest.raises(UndecidedError) as asked:
        decide_unit(several, several.points, JOB)
    assert asked.value.faults == (
        "house.obj: its unit is not said; say it in the job:",
        "`shape: {file: house.obj, unit: m}` makes it 30.00 x 20.00 m and 10.00 m high",
        "`shape: {file: house.obj, unit: ft}` makes it 9.14 x 6.10 m and 3.05 m high",
    )
    none = _house(12.0, 8.0, 0.1, 0.2)
    with pytest.raises(UndecidedError) as asked:
        decide_unit(none, none.points, JOB)
    units = ["mm", "cm", "m", "in", "ft"]
    assert [line.split(" makes it ")[0] for line in asked.value.faults[1:]] == [
        f"`shape: {{file: house.obj, unit: {unit}}}`" for unit in units
    ]


def _net(*shapes: RawFaces) -> Net:
    points, triangles, first = [], [], 0
    for raw in shapes:
        points.append(raw.points)
        triangles.append(raw.triangles + first)
        first += len(raw.points)
    every = np.concatenate(triangles)
    return make_net(np.concatenate(points), every, np.arange(len(every)), np.zeros(len(every), dtype=np.int64))


@pytest.mark.parametrize(
    ("foot", "floor"),
    [(-3000.0, 0.0), (-3000.1, -3000.1), (1500.0, 0.0), (1500.1, 1500.1)],
)
def test_a_house_near_zero_stands_on_its_own_floor(foot: float, floor: float) -> None:
    net = _net(_house(12000.0, 8000.0, 2500.0, 4500.0, z=foot))
    assert floor_of(net, "house.obj", JOB, foot)[0] == pytest.approx(floor)


@pytest.mark.parametrize(("eaves", "near"), [(-500.0, True), (-500.1, False), (15000.0, True), (15000.1, False)])
def test_a_roof_without_walls_has_its_eaves_near_the_floor(eaves: float, near: bool) -> None:
    net = _net(_roof(12000.0, 8000.0, 2000.0, z=eaves))
    if near:
        assert floor_of(net, "roof.obj", JOB, eaves) == (0.0, [])
    else:
        with pytest.raises(UndecidedError):
            floor_of(net, "roof.obj", JOB, eaves)


def test_the_floor_that_a_job_gives_goes_before_all() -> None:
    net = _net(_roof(12000.0, 8000.0, 2000.0, z=345678.0))
    assert floor_of(net, "roof.obj", JOB.model_copy(update={"floor_at_mm": 12.5}), 0.0) == (12.5, [])


def test_a_roof_at_survey_heights_asks_for_its_floor() -> None:
    net = _net(_roof(12000.0, 8000.0, 2000.0, z=345678.4))
    with pytest.raises(UndecidedError) as asked:
        floor_of(net, "roof.obj", JOB, 345678.4)
    assert asked.value.faults == (
        "roof.obj: the roof lies 345.68 m up and has no walls under it; say where the floor is:",
        "`shape: {file: house.obj, floor_at_mm: 343278}` has eaves at 2.4 m",  # 345678.4 less 2400
    )


def test_a_house_at_survey_heights_stands_on_its_lowest_point() -> None:
    net = _net(_house(12000.0, 8000.0, 2500.0, 4500.0, z=45678.4))
    text = (
        "house.obj: the house stands 45.68 m up, at survey heights; its lowest point was taken as the finished floor, "
        "and all heights, downpipes too, are over it"
    )
    advice = "if the floor is elsewhere: `shape: {file: house.obj, floor_at_mm: 45678}`"
    assert floor_of(net, "house.obj", JOB, 45678.4) == (
        pytest.approx(45678.4),
        [Finding("model-floor-taken", Severity.WARN, text, advice)],
    )


@pytest.mark.parametrize(
    ("lower", "floor"),
    [
        (1500.0, None),  # what the file calls the house reaches as far below its roof as the edge of a slab
        (1500.1, 20000.0 - 1500.1),  # and a little further: then it stands there
    ],
)
def test_parts_below_a_roof_are_what_it_stands_on(lower: float, floor: float | None) -> None:
    net = _net(_roof(12000.0, 8000.0, 2000.0, z=20000.0))
    if floor is None:
        with pytest.raises(UndecidedError):
            floor_of(net, "roof.obj", JOB, 20000.0 - lower)
    else:
        assert floor_of(net, "roof.obj", JOB, 20000.0 - lower)[0] == pytest.approx(floor)


@pytest.mark.parametrize(("deep", "walls"), [(1500.0, False), (1501.0, True)])
def test_what_stands_little_under_the_roof_is_the_edge_of_a_slab(deep: float, walls: bool) -> None:
    """Upright faces from 20 m less `deep` on: with walls the lowest point becomes the floor, without it is asked for."""
    net = _net(_house(12000.0, 8000.0, deep, deep + 2000.0, z=20000.0 - deep))
    if walls:
        assert floor_of(net, "house.obj", JOB, 20000.0)[0] == pytest.approx(20000.0 - deep)
    else:
        with pytest.raises(UndecidedError):
            floor_of(net, "house.obj", JOB, 20000.0)


@pytest.mark.parametrize(("up", "walls"), [(100.0, True), (101.0, False)])
def test_what_lies_little_over_the_lowest_point_is_its_floor(up: float, walls: bool) -> None:
    """A plate at the foot of a house is no roof that it stands under; one a little higher is taken for one."""
    z = 20000.0 + up
    plate = raw_faces([(1000.0, -2000.0, z), (3000.0, -2000.0, z), (3000.0, -1000.0, z)], [(0, 1, 2)], "plate")
    net = _net(_house(12000.0, 8000.0, 2500.0, 4500.0, z=20000.0), plate)
    if walls:
        assert floor_of(net, "house.obj", JOB, 20000.0)[0] == 20000.0
    else:
        with pytest.raises(UndecidedError):
            floor_of(net, "house.obj", JOB, 20000.0)


@pytest.mark.parametrize(("run", "walls"), [(1000.0, True), (1160.0, False)])  # normals rise by 0.243 and 0.279
def test_a_wall_of_a_house_may_lean_by_fifteen_degrees(run: float, walls: bool) -> None:
    points = [
        (0, 0, 20000),
        (4000, 0, 20000),
        (4000, run, 24000),
        (0, 2000, 23000),
        (4000, 2000, 23000),
        (4000, 6000, 25000),
    ]
    net = _net(raw_faces(points, [(0, 1, 2), (3, 4, 5)], "house.obj"))
    if walls:
        assert floor_of(net, "house.obj", JOB, 20000.0)[0] == 20000.0
    else:
        with pytest.raises(UndecidedError):
            floor_of(net, "house.obj", JOB, 20000.0)


@pytest.mark.parametrize(
    ("given", "key", "value", "line"),
    [
        ({"unit": "ft", "up": "z"}, "unit", "m", "`shape: {file: house.obj, up: z, unit: m}`"),
        ({}, "up", "-y", '`shape: {file: house.obj, up: "-y"}`'),
        ({"unit": "ft"}, "unit", "m", "`shape: {file: house.obj, unit: m}`"),
        ({"unit": "ft"}, "use", [1, 3], "`shape: {file: house.obj, unit: ft, use: [1, 3]}`"),
        ({"floor_at_mm": 2.5}, "use", ["a b", "dach-1"], '`shape: {file: house.obj, floor_at_mm: 2.5, use: ["a b", dach-1]}`'),
        ({"file": 'a "b".obj'}, "unit", "mm", '`shape: {file: "a \\"b\\".obj", unit: mm}`'),
        ({"file": "a\\b.obj"}, "unit", "mm", '`shape: {file: "a\\\\b.obj", unit: mm}`'),
        ({"file": "in/a_b-2.obj"}, "unit", "mm", "`shape: {file: in/a_b-2.obj, unit: mm}`"),
        ({"file": "2.obj"}, "unit", "mm", '`shape: {file: "2.obj", unit: mm}`'),
        ({"layer": None}, "floor_at_mm", 1234567.25, "`shape: {file: house.obj, floor_at_mm: 1234567.25}`"),
    ],
)  # fmt: skip
def test_the_line_to_paste_is_yaml(given: dict[str, object], key: str, value: object, line: str) -> None:
    assert shape_line(ShapeJob(**{"file": "house.obj", **given}), key, value) == line  # type: ignore[arg-type]
