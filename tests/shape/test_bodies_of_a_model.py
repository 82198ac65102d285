"""Which bodies of a model are its roof: each rule of their sorting with sizes at and just beyond its limit.

The limits are common practice, no source (takeoff/basics/model_limits.py): a body narrower than 350 mm on average is a
strip, one of less than 0.5 m2 no roof, one of up to 4 m2 on a roof a chimney, panels lie up to 400 mm over it, roofs up to
450 mm apart are one.
"""

from __future__ import annotations

import numpy as np
import pytest

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.model.faces import RawPart, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.bodies import Sorted, find_bodies, sort_bodies
from takeoff.shape.imported.net import Net, make_net

JOB = ShapeJob(file="house.obj")
STEEPEST = 75.0
Quad = tuple[tuple[float, float, float], ...]


def sheet(x: float, y: float, long: float, wide: float, z: float, rise: float = 0.0) -> list[Quad]:
    """A rectangle in plan from (x, y), its southern side at z, its northern one `rise` higher."""
    return [((x, y, z), (x + long, y, z), (x + long, y + wide, z + rise), (x, y + wide, z + rise))]


def box(x: float, y: float, long: float, wide: float, z: float, high: float) -> list[Quad]:
    """A closed box: floor, top and four sides."""
    a, b = sheet(x, y, long, wide, z)[0], sheet(x, y, long, wide, z + high)[0]
    return [a, b, *((a[k], a[(k + 1) % 4], b[(k + 1) % 4], b[k]) for k in range(4))]


def gable(x: float, y: float, long: float, wide: float, z: float, rise: float) -> list[Quad]:
    """A gable roof, its ridge along x."""
    south, north = sheet(x, y, long, wide / 2.0, z, rise), sheet(x, y + wide / 2.0, long, wide / 2.0, z + rise, -rise)
    return [*south, *north]


def net_of(*bodies: list[Quad]) -> Net:
    """Each body a part of the file."""
    points, triangles, part_of = [], [], []
    for part, quads in enumerate(bodies):
        for quad in quads:
            first = len(points)
            points += quad
            triangles += [(first, first + 1, first + 2), (first, first + 2, first + 3)]
            part_of += [part, part]
    return make_net(np.array(points, dtype=float), np.array(triangles), np.arange(len(triangles)), np.array(part_of))


def parts(*stated: StatedPart) -> tuple[RawPart, ...]:
    return tuple(RawPart(f"p{number}", f"part {number}", what) for number, what in enumerate(stated))


def named(count: int) -> tuple[RawPart, ...]:
    return parts(*[StatedPart.UNKNOWN] * count)


def sort(*bodies: list[Quad], given: tuple[RawPart, ...] = (), job: ShapeJob = JOB) -> Sorted:
    return sort_bodies(net_of(*bodies), given or named(len(bodies)), "house.obj", job, STEEPEST)


def aside(found: Sorted) -> list[str]:
    """What the bodies set aside likely are."""
    words = []
    for finding in found.findings:
        before, _, after = finding.text.partition(", likely ")
        words.append(after.partition(",")[0] if after else before)
    return words


ROOF = gable(0.0, 0.0, 10000.0, 8000.0, 3000.0, 2000.0)


def test_bodies_are_told_with_their_sizes() -> None:
    """10 x 8 m in plan, the box 1.5 x 0.5 m lies level: no roof, sorted behind."""
    found = find_bodies(net_of(box(20000.0, 1000.0, 1500.0, 500.0, -250.0, 750.0), ROOF), named(2), STEEPEST)
    roof, chest = found
    assert (roof.number, roof.name, roof.part, roof.low, roof.high) == (
        1, "part 1", 1, (0.0, 0.0, 3000.0), (10000.0, 8000.0, 5000.0)
    )  # fmt: skip
    assert (chest.number, chest.name, chest.part) == (2, "part 0", 0)
    assert roof.slopes_mm2 == pytest.approx(80e6)
    assert chest.slopes_mm2 == 0.0
    assert roof.shape.area == pytest.approx(80e6)
    assert chest.shape.area == pytest.approx(0.75e6)
    assert roof.width_mm == pytest.approx(2.0 * 80e6 / 36000.0)  # twice the area over the way round
    assert roof.words == "body 1 (part 1), 10.00 x 8.00 m and 2.00 m high, from 3.00 m up at (0, 0)"
    assert chest.words == "body 2 (part 0), 1.50 x 0.50 m and 0.75 m high, from -0.25 m up at (20000, 1000)"
    assert (roof.sheet, chest.sheet) == (True, False)
    assert (roof.likely, chest.likely) == ("", "")


def test_a_part_without_name_is_told_by_its_id_where_there_are_several() -> None:
    own = (RawPart("a"), RawPart("b"))
    assert [body.name for body in find_bodies(net_of(ROOF, box(0, 0, 900, 900, 0, 900)), own, STEEPEST)] == ["a", "b"]
    alone = find_bodies(net_of(ROOF), (RawPart("a"),), STEEPEST)[0]
    assert alone.words == "body 1, 10.00 x 8.00 m and 2.00 m high, from 3.00 m up at (0, 0)"


def test_one_body_is_taken_whatever_it_is() -> None:
    net = net_of(box(0.0, 0.0, 100.0, 100.0, 0.0, 100.0))
    found = sort_bodies(net, named(1), "house.obj", JOB, STEEPEST)
    assert (found.net, found.taken, found.findings) == (net, frozenset({1}), ())


def test_bodies_come_by_slope_then_by_plan_then_by_place() -> None:
    """Slopes 9, 8 and none; of those without, 6 m2 before 4 m2, and of two alike the one further west."""
    bodies = [
        box(3000.0, 0.0, 2000.0, 2000.0, 0.0, 500.0),
        box(0.0, 0.0, 2000.0, 2000.0, 0.0, 500.0),
        sheet(50000.0, 0.0, 4000.0, 2000.0, 0.0, 1000.0),
        box(9000.0, 0.0, 3000.0, 2000.0, 0.0, 500.0),
        sheet(70000.0, 0.0, 4500.0, 2000.0, 0.0, 1000.0),
    ]
    assert [body.part for body in find_bodies(net_of(*bodies), named(5), STEEPEST)] == [4, 2, 3, 1, 0]


def test_facets_of_two_parts_that_touch_are_two_bodies() -> None:
    south, north = [ROOF[0]], [ROOF[1]]
    assert len(find_bodies(net_of(south, north), named(2), STEEPEST)) == 2
    assert len(find_bodies(net_of(ROOF), named(1), STEEPEST)) == 1


def test_three_faces_at_one_side_do_not_hang_together_by_it() -> None:
    fin = [((0.0, 4000.0, 5000.0), (10000.0, 4000.0, 5000.0), (10000.0, 4000.0, 6000.0), (0.0, 4000.0, 6000.0))]
    assert len(find_bodies(net_of([*ROOF, *fin]), named(1), STEEPEST)) == 3


@pytest.mark.parametrize(("share", "open_sheet"), [(0.09, True), (0.11, False)])
def test_a_sheet_has_nearly_nothing_upright(share: float, open_sheet: bool) -> None:
    """A level square of 1 m2 with an upright flap of up to a tenth of all: h / (1 + h)."""
    high = 1000.0 * share / (1.0 - share)
    flap: list[Quad] = [((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (1000.0, 0.0, high), (0.0, 0.0, high))]
    body = find_bodies(net_of([*sheet(0.0, 0.0, 1000.0, 1000.0, 0.0), *flap], ROOF), named(2), STEEPEST)[1]
    assert body.sheet is open_sheet


@pytest.mark.parametrize(
    ("body", "likely"),
    [
        # a strip of 10 m x w: mean width 2 x 10 w / (2 (10 + w)); of w = 362.6 it is 349.9, of w = 362.8 350.1
        (sheet(0.0, -1000.0, 10000.0, 362.6, 2600.0), "gutter or fascia"),
        (sheet(0.0, -1000.0, 10000.0, 362.6, 2600.0, 401.0), "barge or hip cap"),
        (sheet(0.0, -1000.0, 10000.0, 362.6, 2600.0, 400.0), "gutter or fascia"),
        # over the roof: at least 300 mm under its highest point is at the ridge
        (sheet(0.0, 3850.0, 10000.0, 300.0, 4700.0), "ridge cap"),
        (sheet(0.0, 3850.0, 10000.0, 300.0, 4699.0), "gutter or fascia"),
        # a box of 2 x 2 m on the roof and one of little more
        (box(4000.0, 1000.0, 2000.0, 2000.0, 4500.0, 1500.0), "chimney or rooflight"),
        # upright alone: covers nothing
        ([((0.0, 0.0, 2800.0), (10000.0, 0.0, 2800.0), (10000.0, 0.0, 3000.0), (0.0, 0.0, 3000.0))], "board or fascia"),
        # low and wide, to 500 mm over the eaves, else beside the roof
        (box(20000.0, 0.0, 1900.0, 1900.0, 0.0, 3500.0), "slab or ground"),
        (box(20000.0, 0.0, 1900.0, 1900.0, 0.0, 3501.0), "fence or other thing"),
        (box(9500.0, 0.0, 1900.0, 1900.0, 0.0, 3501.0), "chimney or rooflight"),  # stands through the roof
        # narrow, from 1.5 m under the eaves, to 500 mm under them
        (box(0.0, 0.0, 10000.0, 100.0, 1500.0, 1001.0), "walls"),
        (box(0.0, 0.0, 10000.0, 100.0, 1500.0, 1000.0), "gutter or fascia"),
        (box(0.0, 0.0, 10000.0, 100.0, 1501.0, 1001.0), "gutter or fascia"),
    ],
)  # fmt: skip
def test_what_a_body_beside_the_roof_likely_is(body: list[Quad], likely: str) -> None:
    found = sort(ROOF, body)
    assert found.taken == frozenset({1})
    if likely == "walls":  # they stay, for where the roof meets them
        assert found.findings == ()
        assert len(found.net.corners) == 4 + 8
    else:
        assert aside(found) == [likely]
        assert len(found.net.corners) == 4


@pytest.mark.parametrize(
    ("side", "part"), [(2000.0, False), (2010.0, True)]
)  # 4 m2 and 4.04 m2, 1.8 m and more over the lowest
def test_what_is_larger_than_a_chimney_is_part_of_the_roof(side: float, part: bool) -> None:
    found = sort(ROOF, box(4000.0, 1000.0, side, side, 4500.0, 1500.0))
    assert found.taken == (frozenset({1, 2}) if part else frozenset({1}))


@pytest.mark.parametrize(("high", "part"), [(1801.0, True), (1800.0, False)])
def test_what_lies_level_is_roof_from_some_height_on(high: float, part: bool) -> None:
    """A slab of 9 m2 beside the roof; all stand on 0 by a third body."""
    post = box(30000.0, 0.0, 800.0, 800.0, 0.0, 300.0)
    found = sort(
        gable(0.0, 0.0, 10000.0, 8000.0, 1500.0, 2000.0), box(10000.0, 0.0, 3000.0, 3000.0, high - 200.0, 200.0), post
    )
    assert (2 in found.taken) is part


@pytest.mark.parametrize(("side", "part"), [(707.0, False), (708.0, True)])  # 0.49985 and 0.50126 m2 in plan
def test_a_sloping_body_is_roof_from_half_a_square_metre_on(side: float, part: bool) -> None:
    found = sort(ROOF, sheet(10000.0, 0.0, side, side, 3000.0, 250.0))
    assert (2 in found.taken) is part


def test_a_level_body_under_the_roof_is_its_underside() -> None:
    post = box(30000.0, 0.0, 800.0, 800.0, 0.0, 300.0)
    found = sort(ROOF, sheet(1000.0, 1000.0, 8000.0, 6000.0, 2500.0), post)
    assert (found.taken, aside(found)) == (frozenset({1}), ["underside or ceiling", "slab or ground"])


@pytest.mark.parametrize(("share", "under"), [(0.79, False), (0.81, True)])
def test_a_body_lies_on_another_with_four_fifths_of_its_plan(share: float, under: bool) -> None:
    """A canopy of 5 x 4 m, 1 in 5, whose eastern part reaches beyond the roof's end at 10 m; far below it."""
    post = box(30000.0, 0.0, 800.0, 800.0, 0.0, 300.0)
    found = sort(ROOF, sheet(10000.0 - 5000.0 * share, 1000.0, 5000.0, 4000.0, 1000.0, 800.0), post)
    assert found.taken == (frozenset({1}) if under else frozenset({1, 2}))


@pytest.mark.parametrize(("apart", "one"), [(450.0, True), (451.0, False)])
def test_roofs_a_little_apart_are_one(apart: float, one: bool) -> None:
    found = sort(ROOF, gable(10000.0 + apart, 0.0, 4000.0, 4000.0, 3000.0, 1000.0))
    assert found.taken == (frozenset({1, 2}) if one else frozenset({1}))
    assert aside(found) == ([] if one else ["another building"])


def test_roofs_that_hang_together_by_a_third_are_one() -> None:
    apart = gable(14400.0, 0.0, 4000.0, 6000.0, 3000.0, 1000.0)
    between = gable(10400.0, 0.0, 3600.0, 4000.0, 3000.0, 1000.0)
    assert sort(ROOF, apart, between).taken == frozenset({1, 2, 3})


@pytest.mark.parametrize(("long", "asked"), [(5000.0, False), (5010.0, True)])  # half of 10 m, both 8 m wide
def test_a_second_roof_of_more_than_half_is_asked_about(long: float, asked: bool) -> None:
    other = gable(20000.0, 0.0, long, 8000.0, 3000.0, 2000.0)
    if not asked:
        assert sort(ROOF, other).taken == frozenset({1})
        return
    with pytest.raises(UndecidedError) as open_:
        sort(ROOF, other)
    assert open_.value.faults == (
        "house.obj: holds several roofs apart from each other; say in the job which is meant:",
        "`shape: {file: house.obj, use: [1]}` takes body 1 (part 0), 10.00 x 8.00 m and 2.00 m high, from 3.00 m up at (0, 0)",
        "`shape: {file: house.obj, use: [2]}` takes body 2 (part 1), 5.01 x 8.00 m and 2.00 m high, from 3.00 m up at (20000, 0)",
    )


@pytest.mark.parametrize(
    ("over", "turn", "likely"),
    [
        (400.0, 0.0, "panels"),
        (401.0, 0.0, ""),  # a roof over the roof
        (0.0, 0.0, "panels"),
        (-1.0, 0.0, "underside or ceiling"),
        (200.0, 150.0, ""),  # 1150 on 2000 is 29.90 degrees, 3.3 from the 26.57 of 1000 on 2000
        (200.0, 130.0, "panels"),  # 1130 on 2000 is 29.47 degrees, 2.9 from it
    ],
)
def test_panels_run_alongside_the_roof(over: float, turn: float, likely: str) -> None:
    """On the southern plane, 1 in 2: panels of 4 x 2 m whose middle is `over` above it, and parallel to 3 degrees."""
    low = 3000.0 + 500.0 + over - turn / 2.0
    found = sort(ROOF, sheet(1000.0, 1000.0, 4000.0, 2000.0, low, 1000.0 + turn))
    assert aside(found) == ([likely] if likely else [])


def test_ground_under_a_house_is_no_roof() -> None:
    """An open sheet that falls by 1 in 25 below the house, larger than its roof."""
    ground = sheet(-9000.0, -9000.0, 30000.0, 30000.0, 0.0, 1200.0)
    found = sort(ground, ROOF)
    assert (found.taken, aside(found)) == (frozenset({2}), ["terrain"])


@pytest.mark.parametrize(
    ("ground", "likely"),
    [
        (sheet(0.0, 0.0, 10000.0, 8000.0, 1499.0), "terrain"),  # the roof, from 3 to 3.24 m up, is over 1.5 m over it
        (sheet(0.0, 0.0, 10000.0, 8000.0, 1741.0), "slab or ground"),
        (sheet(1.0, 0.0, 9999.0, 8000.0, 1000.0), "slab or ground"),  # the roof reaches over its edge
        (sheet(0.0, 0.0, 9999.0, 8000.0, 1000.0), "slab or ground"),
        (sheet(0.0, 1.0, 10000.0, 7999.0, 1000.0), "slab or ground"),
        (sheet(0.0, 0.0, 10000.0, 7999.0, 1000.0), "slab or ground"),
        (box(-100.0, -100.0, 11000.0, 9000.0, 0.0, 1000.0), "slab or ground"),  # no open sheet
    ],
)
def test_ground_lies_well_under_a_roof_that_stands_on_it(ground: list[Quad], likely: str) -> None:
    found = sort(sheet(0.0, 0.0, 10000.0, 8000.0, 3000.0, 240.0), ground)
    assert (found.taken, aside(found)) == (frozenset({1}), [likely])


def test_a_job_says_which_bodies_are_meant() -> None:
    porch = gable(20000.0, 0.0, 9000.0, 8000.0, 3000.0, 2000.0)
    chest = box(40000.0, 0.0, 1000.0, 1000.0, 0.0, 1000.0)
    told = named(3)
    for word in (2, "part 1", "p1"):
        found = sort(ROOF, porch, chest, given=told, job=JOB.model_copy(update={"use": [word]}))
        assert found.taken == frozenset({2})
        assert [finding.severity for finding in found.findings] == [Severity.NOTE, Severity.NOTE]
        assert len(found.net.corners) == 4
    found = sort(ROOF, porch, chest, given=told, job=JOB.model_copy(update={"leave_out": [1]}))
    assert found.taken == frozenset({2})
    both = JOB.model_copy(update={"use": [1, 2], "leave_out": ["part 1"]})
    assert sort(ROOF, porch, chest, given=told, job=both).taken == frozenset({1})
    with pytest.raises(ShapeError) as refused:
        sort(ROOF, chest, job=JOB.model_copy(update={"use": [3]}))
    assert refused.value.faults == (
        (
            "house.obj: there is no body 3; it has 2: body 1 (part 0), 10.00 x 8.00 m and 2.00 m high, from 3.00 m up at "
            "(0, 0); body 2 (part 1), 1.00 x 1.00 m and 1.00 m high, from 0.00 m up at (40000, 0)"
        ),
    )


def test_a_model_without_a_roof_is_refused() -> None:
    chest, other = box(0.0, 0.0, 900.0, 900.0, 0.0, 900.0), box(2000.0, 0.0, 800.0, 800.0, 0.0, 800.0)
    with pytest.raises(ShapeError) as refused:
        sort(chest, other)
    assert refused.value.faults == (
        (
            "house.obj: holds no roof among 2 bodies: body 1 (part 0), 0.90 x 0.90 m and 0.90 m high, from 0.00 m up at "
            "(0, 0); body 2 (part 1), 0.80 x 0.80 m and 0.80 m high, from 0.00 m up at (2000, 0)"
        ),
    )


def test_walls_that_a_file_states_stay_as_far_as_they_stand() -> None:
    """Of a stated wall, 200 mm thick, its four upright sides are kept, its top and foot are not: 8 triangles."""
    wall = box(0.0, 0.0, 10000.0, 2000.0, 0.0, 3000.0)
    found = sort(ROOF, wall, given=parts(StatedPart.UNKNOWN, StatedPart.WALL))
    assert (found.taken, found.findings) == (frozenset({1}), ())
    assert len(found.net.corners) == 4 + 8
    out = JOB.model_copy(update={"leave_out": [2]})
    left = sort(ROOF, wall, given=parts(StatedPart.UNKNOWN, StatedPart.WALL), job=out)
    assert len(left.net.corners) == 4


@pytest.mark.parametrize("what", [StatedPart.GROUND, StatedPart.OPENING, StatedPart.FLOOR, StatedPart.OTHER])
def test_what_a_file_states_to_be_no_roof_is_set_aside(what: StatedPart) -> None:
    side = gable(10000.0, 0.0, 4000.0, 4000.0, 3000.0, 1000.0)
    found = sort(ROOF, side, given=parts(StatedPart.UNKNOWN, what))
    assert (found.taken, aside(found)) == (frozenset({1}), [str(what)])


def test_where_a_file_states_a_roof_nothing_unstated_is_one() -> None:
    side = gable(10000.0, 0.0, 4000.0, 4000.0, 3000.0, 1000.0)
    small = sheet(10000.0, 5000.0, 400.0, 400.0, 3000.0, 100.0)  # less than any roof, but stated to be one
    found = sort(ROOF, side, small, given=parts(StatedPart.ROOF, StatedPart.UNKNOWN, StatedPart.ROOF))
    assert (found.taken, aside(found)) == (frozenset({1, 3}), ["unknown"])


def test_what_is_set_aside_is_said_with_the_way_back() -> None:
    """Another building and what covers more than 4 m2 are warned of, small things noted."""
    found = sort(
        ROOF, gable(20000.0, 0.0, 3000.0, 3000.0, 3000.0, 1000.0), box(4000.0, 1000.0, 1500.0, 900.0, 4500.0, 900.0)
    )
    assert found.findings == (
        Finding(
            "model-body-set-aside",
            Severity.WARN,
            "house.obj: body 2 (part 1), 3.00 x 3.00 m and 1.00 m high, from 3.00 m up at (20000, 0), likely another "
            "building, was set aside",
            "if it is part of the roof: `shape: {file: house.obj, use: [1, 2]}`",
        ),
        Finding(
            "model-body-set-aside",
            Severity.NOTE,
            "house.obj: body 3 (part 2), 1.50 x 0.90 m and 0.90 m high, from 4.50 m up at (4000, 1000), likely chimney "
            "or rooflight, was set aside",
            "if it is part of the roof: `shape: {file: house.obj, use: [1, 3]}`",
        ),
    )
    large = sort(ROOF, box(20000.0, 0.0, 2010.0, 2000.0, 0.0, 300.0))
    assert [finding.severity for finding in large.findings] == [Severity.WARN]
    level = sort(ROOF, box(20000.0, 0.0, 2000.0, 2000.0, 0.0, 300.0))
    assert [finding.severity for finding in level.findings] == [Severity.NOTE]


def test_thirty_bodies_are_told_one_by_one() -> None:
    chests = [box(20000.0 + 1000.0 * k, 0.0, 500.0, 500.0, 0.0, 500.0) for k in range(32)]
    found = sort(ROOF, *chests)
    assert len(found.findings) == 31
    assert found.findings[-1] == Finding(
        "model-body-set-aside", Severity.NOTE, "house.obj: 2 more bodies, all smaller, were set aside"
    )
    assert len(sort(ROOF, *chests[:30]).findings) == 30
    with pytest.raises(ShapeError, match=r"; and 3 smaller ones$"):
        sort(ROOF, *chests, job=JOB.model_copy(update={"use": [99]}))
    with pytest.raises(ShapeError, match=r"at \(48000, 0\)$"):  # thirty of thirty, the last 500 mm box at 48 m
        sort(ROOF, *chests[:29], job=JOB.model_copy(update={"use": [99]}))
