"""What lower roofs cover of walls, walls that a job gives and their openings: figures by hand and every message whole."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
import shapely
from oblique_wall import OUT, Point, at, near, plane, wall

from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import ElevationJob, GroundJob, OpeningJob
from takeoff.model.walls import Corner, Opening
from takeoff.shape.walls.covered_parts import CoverRule, _block, _rings, area_left, covered_parts
from takeoff.shape.walls.line_walls import _between_walls, _heads_over, _in_place, _turned
from takeoff.shape.walls.lower_roofs import (
    RoofBeside,
    _inside_line,
    _less,
    _moved,
    _shared,
    roofs_beside,
    shift_between,
)
from takeoff.shape.walls.wall_draft import Draft, given_wall
from takeoff.shape.walls.wall_openings import openings_of
from takeoff.shape.walls.walls import _ground_faults, _grounds, _unbuildable, _unknown_grounds

GABLE = ((0.0, 2400.0), (3000.0, 3600.0), (6000.0, 2700.0))

RING = (at(1000.0, 900.0), at(3500.0, 900.0), at(3500.0, -800.0), at(1000.0, -800.0))


def test_where_a_wall_lies_within_another_wall_line() -> None:
    court = (at(2000.0, 300.0), at(2600.0, 300.0), at(2600.0, -300.0), at(2000.0, -300.0))
    assert near(_inside_line(wall(), (RING,)), [(1000.0, 3500.0)])
    assert near(_inside_line(wall(), (RING, court)), [(1000.0, 2000.0), (2600.0, 3500.0)])
    past = (at(-1000.0, 900.0), at(7000.0, 900.0), at(7000.0, -800.0), at(-1000.0, -800.0))
    assert near(_inside_line(wall(), (past,)), [(0.0, 5000.0)])
    behind = (at(1000.0, 0.0), at(3500.0, 0.0), at(3500.0, -800.0), at(1000.0, -800.0))
    assert list(_inside_line(wall(), (behind,))) == []  # right outside the wall is not within it
    before = (at(1000.0, 900.0), at(3500.0, 900.0), at(3500.0, 0.0), at(1000.0, 0.0))
    assert near(_inside_line(wall(), (before,)), [(1000.0, 3500.0)])
    aslant = (at(1000.0, 1000.0), at(3000.0, -1000.0), at(1000.0, -1000.0))
    assert near(_inside_line(wall(), (aslant,)), [(1000.0, 1999.5)])  # looked at half a millimetre outside


def test_stretches_shared_and_left() -> None:
    assert _shared([(0.0, 10.0), (20.0, 30.0)], [(5.0, 25.0), (29.6, 40.0)]) == [(5.0, 10.0), (20.0, 25.0)]
    assert _shared([(0.0, 10.0)], [(9.4, 40.0)]) == [(9.4, 10.0)]
    assert _less([(0.0, 10.0), (20.0, 30.0)], [(5.0, 22.0), (26.0, 27.0)]) == [(0.0, 5.0), (22.0, 26.0), (27.0, 30.0)]
    assert _less([(0.0, 10.0)], [(0.4, 12.0)]) == []
    assert _less([(0.0, 10.0)], [(20.0, 30.0)]) == [(0.0, 10.0)]


def test_roofs_beside_a_wall_are_told_with_their_heights() -> None:
    """A roof whose origin lies 2 m further along x: its plane from 1 to 3.5 m, its walls from 2 m; nothing over 3.5 to 4.2 m."""
    own: Any = SimpleNamespace(name="main", origin_mm=(5000.0, 700.0, 0.0))
    moved = [(x - 2000.0, y + 300.0) for x, y in RING]
    inner = [at(2000.0, 900.0), at(4200.0, 900.0), at(4200.0, -800.0), at(2000.0, -800.0)]
    line = tuple((x - 2000.0, y + 300.0) for x, y in inner)
    low: Any = SimpleNamespace(
        name="low", origin_mm=(7000.0, 400.0, 0.0), planes=(plane(*moved, low=1800.0, fall=0.1),), wall_line_mm=(line,)
    )
    assert shift_between(own, low) == (-2000.0, 300.0)
    shifted = _moved(wall(), own, low)
    assert (shifted.left_mm, shifted.right_mm) == ((-1000.0, 2300.0), (2000.0, 6300.0))
    found = roofs_beside(wall(), own, (own, low))
    # y of the wall at 1000, 2000 and 3500 is 2800, 3600, 4800, by 300 more there
    expected = [("low", 1000.0, 2000.0, 2110.0, 2190.0, False), ("low", 2000.0, 3500.0, 2190.0, 2310.0, True),
                ("low", 3500.0, 4200.0, float("inf"), float("inf"), True)]  # fmt: skip
    assert [(one.roof, one.closed) for one in found] == [(row[0], row[5]) for row in expected]
    assert near([(one.x0, one.x1, one.z0, one.z1) for one in found], [row[1:5] for row in expected])


RULE = CoverRule(over=60.0, under=300.0, past=38.0, floors={"low": 150.0}, soffits={"open": 1900.0})


@pytest.mark.parametrize(
    ("part", "block"),
    [
        # closed, inside the wall: 38 mm more at either end by the fall, 100 on 1000; from its floor up to 60 over the sheets
        (RoofBeside("low", 1000.0, 2000.0, 2000.0, 2100.0, True), ((962.0, 150.0), (2038.0, 150.0), (2038.0, 2163.8), (962.0, 2056.2))),
        # to the wall's ends nothing is added
        (RoofBeside("low", 0.5, 4999.5, 2000.0, 2000.0, True), ((0.5, 150.0), (4999.5, 150.0), (4999.5, 2060.0), (0.5, 2060.0))),
        (RoofBeside("low", 0.6, 4999.4, 2000.0, 2000.0, True), ((-37.4, 150.0), (5037.4, 150.0), (5037.4, 2060.0), (-37.4, 2060.0))),
        (RoofBeside("other", 0.0, 5000.0, 2000.0, 2000.0, True), ((0.0, -1e6), (5000.0, -1e6), (5000.0, 2060.0), (0.0, 2060.0))),
        # its floor lies over the roof: nothing is covered there
        (RoofBeside("low", 0.0, 5000.0, 50.0, 80.0, True), ((0.0, 110.0), (5000.0, 140.0), (5000.0, 140.0), (0.0, 110.0))),
        # no plane overhead
        (RoofBeside("low", 1000.0, 2000.0, float("inf"), float("inf"), True), ((962.0, 150.0), (2038.0, 150.0), (2038.0, 1e6 + 60.0), (962.0, 1e6 + 60.0))),
        # open: down to 300 under the sheets, or to its soffit
        (RoofBeside("low", 1000.0, 2000.0, 2000.0, 2100.0, False), ((1000.0, 1700.0), (2000.0, 1800.0), (2000.0, 2160.0), (1000.0, 2060.0))),
        (RoofBeside("open", 1000.0, 2000.0, 2300.0, 2100.0, False), ((1000.0, 1900.0), (2000.0, 1800.0), (2000.0, 2160.0), (1000.0, 2360.0))),
    ],
)  # fmt: skip
def test_what_a_lower_roof_covers(part: RoofBeside, block: tuple[Point, ...]) -> None:
    assert near(_block(part, 5000.0, RULE), block)


WHOLE = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 2400.0), (0.0, 2400.0))


def test_what_is_covered_of_a_wall_and_what_is_left() -> None:
    part = RoofBeside("other", 3000.0, 5000.0, 1000.0, 1000.0, True)
    (ring,) = covered_parts(WHOLE, [part], RULE)
    assert near(sorted(ring), [(2962.0, 0.0), (2962.0, 1060.0), (5000.0, 0.0), (5000.0, 1060.0)])
    assert covered_parts(WHOLE, [], RULE) == ()
    assert covered_parts(WHOLE, [RoofBeside("low", 0.0, 5000.0, 50.0, 50.0, True)], RULE) == ()
    assert area_left(WHOLE, ()) == 12e6
    assert area_left(WHOLE, [ring]) == pytest.approx(12e6 - 2038.0 * 1060.0)
    assert area_left(WHOLE, [ring, ring]) == pytest.approx(12e6 - 2038.0 * 1060.0)


def test_a_covered_part_with_a_hole_is_cut_in_two() -> None:
    around = shapely.Polygon(WHOLE, [[(1000.0, 1000.0), (1000.0, 1500.0), (2000.0, 1500.0), (2000.0, 1000.0)]])
    found = sorted(_rings(around))
    assert [(min(x for x, _ in ring), max(x for x, _ in ring)) for ring in found] == [(0.0, 1500.0), (1500.0, 5000.0)]
    areas = [shapely.Polygon(ring).area for ring in found]
    assert areas == [1500.0 * 2400.0 - 250e3, 3500.0 * 2400.0 - 250e3]
    assert list(_rings(shapely.box(0.0, 0.0, 9.9, 10.0))) == []
    assert len(list(_rings(shapely.box(0.0, 0.0, 10.0, 10.0)))) == 1


# walls of a line


def test_a_wall_beside_another_buildings_goes_on_into_its_corner() -> None:
    named = wall((4000.0, 6000.0), (9000.0, 6000.0), 2, "wall")
    before = wall()
    found = _between_walls(before, [before, named])
    assert (found.left_corner, found.right_corner) == (OUT, Corner("internal", 90.0))
    after = wall((9000.0, 6000.0), (9000.0, 0.0), 3)
    found = _between_walls(after, [before, named, after])
    assert (found.left_corner, found.right_corner) == (Corner("internal", 90.0), OUT)
    assert _between_walls(before, [before, after]) == before
    assert _turned(Corner("external", 120.0)) == Corner("internal", 60.0)
    assert _turned(Corner("internal", 120.0)) == Corner("internal", 120.0)


def draft(number: int = 1, width: float = 5000.0, base: float = -50.0, **more: Any) -> Draft:
    top = ((0.0, 2400.0), (width, 2400.0))
    return Draft(f"wall {number}", number, width, 2400.0, top, OUT, OUT, 0.0, (10.0, 20.0), (30.0, 50.0), base, **more)


def test_walls_of_another_roof_lie_in_the_coordinates_of_the_first() -> None:
    first: Any = SimpleNamespace(origin_mm=(1000.0, 500.0, 0.0))
    other: Any = SimpleNamespace(origin_mm=(4000.0, 300.0, 0.0))
    moved = _in_place(draft(), first, other)
    assert (moved.a_mm, moved.b_mm) == ((3010.0, -180.0), (3030.0, -150.0))
    assert _in_place(draft(), first, first) == draft()


def test_a_wall_with_an_opening_over_its_soffit_keeps_its_height() -> None:
    line: Any = SimpleNamespace(floors_mm=(0.0, 2700.0), frame_mm=5000.0)

    def opening(wall_: int, sill: float, high: float, storey: int | None = None) -> OpeningJob:
        return OpeningJob(wall=wall_, from_left_mm=0, sill_mm=sill, width_mm=900, height_mm=high, storey=storey)

    text = (
        "Wall 1: the head of W1 at 2101 mm is over the soffit line at 2100 mm: boards are counted to the frame height."
    )
    advice = "Lower the opening, or give the true height of the soffit over the floor."
    expected = {1: (Finding("head-over-soffit-line", Severity.WARN, text, advice, ("wall 1",)),)}
    assert _heads_over([opening(1, 900.0, 1201.0)], {1: 2100.0}, line) == expected
    assert _heads_over([opening(1, 900.0, 1201.0), opening(1, 900.0, 1400.0)], {1: 2100.0}, line) == expected
    assert _heads_over([opening(1, 900.0, 1200.5)], {1: 2100.0}, line) == {}
    assert _heads_over([opening(1, 900.0, 4900.0)], {1: 5000.0}, line) == {}  # no lower than the frame
    assert _heads_over([opening(1, 900.0, 1201.0), opening(2, 900.0, 1201.0)], {1: None}, line) == {}
    assert list(_heads_over([opening(1, 900.0, 1201.0, 2)], {1: 4800.0}, line)) == [1]  # 4801 from its own floor
    assert _heads_over([opening(1, 900.0, 1200.0, 2)], {1: 4800.0}, line) == {}
    assert list(_heads_over([opening(1, 900.0, 1201.0, 3)], {1: 4800.0}, line)) == [1]  # the highest there is


def test_a_wall_that_a_job_gives() -> None:
    faults: list[str] = []
    job = ElevationJob(name="lean-to", width_mm=4000, height_mm=2400, top=[(1000, 3000)], left="internal", right="none")
    found = given_wall(7, job, 3, -50.0, faults)
    top = ((0.0, 2400.0), (1000.0, 3000.0), (4000.0, 2400.0))
    assert found == Draft(
        "lean-to",
        7,
        4000.0,
        2400.0,
        top,
        Corner("internal", 90.0),
        Corner("none", 180.0),
        0.0,
        (0.0, 0.0),
        (4000.0, 0.0),
        -50.0,
    )
    assert found.outline == ((0.0, -50.0), (4000.0, -50.0), (4000.0, 2400.0), (1000.0, 3000.0), (0.0, 2400.0))
    assert faults == []
    ends = given_wall(7, job.model_copy(update={"top": [(-0.5, 2500.0), (4000.5, 2800.0)]}), 3, -50.0, faults)
    assert (ends.top, faults) == (((0.0, 2500.0), (4000.0, 2800.0)), [])
    near_ends = given_wall(7, job.model_copy(update={"top": [(0.6, 2500.0), (3999.4, 2500.0)]}), 3, -50.0, faults)
    assert near_ends.top == ((0.0, 2400.0), (0.6, 2500.0), (3999.4, 2500.0), (4000.0, 2400.0))
    level = given_wall(7, job.model_copy(update={"top": []}), 3, -50.0, faults)
    assert level.top == ((0.0, 2400.0), (4000.0, 2400.0))


def test_a_raked_top_that_cannot_be() -> None:
    faults: list[str] = []
    points = [(-12.0, 2500.0), (3000.0, -50.0), (2000.0, 2500.0), (4031.0, 2500.0)]
    given_wall(
        7,
        ElevationJob(name="end", width_mm=4000, height_mm=2400, top=[(1, 2)]).model_copy(update={"top": points}),
        3,
        -50.0,
        faults,
    )
    assert faults == [
        "walls.elevations[3].top[1]: x = -12 lies 12 mm outside end, which is 4000 wide; give x from the left, 0 to 4000.",
        "walls.elevations[3].top[2]: y = -50 is below the foot of the cladding (-50); raise the point.",
        "walls.elevations[3].top[3]: x = 2000 goes back behind 3000; give points left to right.",
        "walls.elevations[3].top[4]: x = 4031 lies 31 mm outside end, which is 4000 wide; give x from the left, 0 to 4000.",
    ]


def test_walls_that_cannot_be_built_and_grounds_of_none() -> None:
    long, low = draft(1, 1_000_001.0), draft(2, base=2400.0)
    assert list(_unbuildable([long, low, draft(3, 1_000_000.0)])) == [
        "wall 1 is 1000 m long; walls are 1000 m at most.",
        "wall 2 ends at or below the foot of its cladding (2400); give a greater height.",
    ]
    walls: Any = SimpleNamespace(
        ground_by_wall={1: 0, 9: 0},
        grounds=[
            GroundJob(wall=1, from_left_mm=4000, width_mm=1000.5, level_mm=-100, kind="deck"),
            GroundJob(wall=1, from_left_mm=4000, width_mm=1001, level_mm=-100, kind="deck"),
            GroundJob(wall=8, level_mm=-100, kind="paved"),
            GroundJob(wall=1, from_left_mm=5002, level_mm=-200, kind="unpaved"),
            GroundJob(wall=2, from_left_mm=700, level_mm=-200, kind="unpaved"),
        ],
    )
    assert _unknown_grounds(walls, [draft(1), draft(2)]) == [
        "walls.ground_by_wall[9]: there is no clad wall 9; walls are 1, 2."
    ]
    assert _unknown_grounds(walls, []) == []
    assert list(_ground_faults(walls, [draft(1), draft(2)])) == [
        "walls.grounds[2]: it ends 1 mm past the right end of wall 1; make it narrower.",
        "walls.grounds[3].wall: there is no clad wall 8; walls are 1, 2.",
        "walls.grounds[4]: it ends 2 mm past the right end of wall 1; make it narrower.",
    ]
    assert list(_ground_faults(walls, [])) == []
    parts = [(one.left_mm, one.right_mm, one.level_mm, one.kind) for one in _grounds(walls, draft(2))]
    assert parts == [(700.0, 5000.0, -200.0, "unpaved")]
    assert next((one.left_mm, one.right_mm) for one in _grounds(walls, draft(1))) == (4000.0, 5000.5)


def test_openings_in_the_way() -> None:
    def job(**fields: Any) -> OpeningJob:
        return OpeningJob(
            **{"wall": 1, "from_left_mm": 0, "sill_mm": 900, "width_mm": 1000, "height_mm": 1200, **fields}
        )

    raked = Draft(
        "wall 2",
        2,
        5000.0,
        2400.0,
        (*GABLE[:2], (5000.0, 2400.0)),
        OUT,
        OUT,
        0.0,
        (0, 0),
        (0, 0),
        -50.0,
        floors_mm=(0.0, 1000.0),
    )
    jobs = [
        job(name="A", from_left_mm=4001), job(from_left_mm=4000.5, sill_mm=-1000, height_mm=950),
        job(wall=2, from_left_mm=0, height_mm=1501, name="C"), job(wall=2, storey=2, from_left_mm=2000, sill_mm=0),
        job(wall=2, storey=3, from_left_mm=2400, sill_mm=1700, name="E"), job(wall=5, name="F"),
        job(from_left_mm=1000, name="G"), job(from_left_mm=1999, sill_mm=2090, height_mm=311, name="H"),
        job(from_left_mm=2998.5, sill_mm=900, name="I"), job(from_left_mm=5001, name="J"),
    ]  # fmt: skip
    faults: list[str] = []
    found = openings_of(jobs, [draft(1), raked], faults)
    assert faults == [
        "walls.openings[5].storey: wall 2 has 2 storeys; give one of these.",
        "walls.openings[6]: F is on wall 5, which is not clad; walls are 1, 2.",
        "walls.openings[1]: A ends 1 mm past the right end of wall 1, which is 5000 wide; move it left or make it narrower.",
        "walls.openings[2]: D2 lies below the foot of the cladding of wall 1 (-50); raise its sill.",
        "walls.openings[8]: H goes 1 mm through the top of wall 1, which is 2400 high there; lower its head or move it.",
        "walls.openings[10]: J ends 1001 mm past the right end of wall 1, which is 5000 wide; move it left or make it narrower.",
        "walls.openings[8]: H overlaps G on wall 1 by 1 mm across and 10 mm up; move one or make it smaller.",
        "walls.openings[3]: C goes 1 mm through the raked top of wall 2, which is 2400 high there; lower its head or move it.",
        "walls.openings[5]: E goes 540 mm through the raked top of wall 2, which is 3360 high there; lower its head or move it.",
    ]
    assert [one.name for one in found[1]] == ["G", "H", "I", "D2", "A", "J"]
    assert found[2][1] == Opening("D4", 2000.0, 1000.0, 1000.0, 1200.0, "")
