"""The skeleton engine against roofs worked out by hand: every figure here follows from similar triangles alone."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, radians, sin, sqrt, tan

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.basics.polygons import clip_half_plane, signed_area
from takeoff.shape.skeleton.record import FASCIA_STEP, JOG_STEP, EdgeProfile, RiseStep, Skeleton
from takeoff.shape.skeleton.solve import solve

RECTANGLE = [(0.0, 0.0), (10000.0, 0.0), (10000.0, 6000.0), (0.0, 6000.0)]
ELL = [(0.0, 0.0), (12000.0, 0.0), (12000.0, 5000.0), (5000.0, 5000.0), (5000.0, 11000.0), (0.0, 11000.0)]


def eave(pitch_deg: float, start_z: float = 0.0) -> EdgeProfile:
    """One plane for the whole rise."""
    return EdgeProfile(start_z, (RiseStep(None, pitch_deg),))


GABLE = eave(90.0)


def steps(*given: tuple[float | None, float], start_z: float = 0.0) -> EdgeProfile:
    """A rise in several steps."""
    return EdgeProfile(start_z, tuple(RiseStep(z, pitch) for z, pitch in given))


def areas(roof: Skeleton) -> dict[tuple[int, int], float]:
    """Plan area [m2] by edge and step."""
    out: dict[tuple[int, int], float] = {}
    for face in roof.faces:
        if not face.upright:
            out[face.edge, face.step] = out.get((face.edge, face.step), 0.0) + face.plan_area / 1e6
    return out


def heights(roof: Skeleton) -> list[float]:
    """All heights of nodes, each once, to a thousandth."""
    return sorted({round(z, 3) for face in roof.faces for ring in face.rings for _, _, z in ring})


def upright_area(roof: Skeleton, edge: int, step: int) -> float:
    """Area [m2] of the upright faces of an edge's step."""
    total = 0.0
    for face in roof.faces:
        if face.upright and (face.edge, face.step) == (edge, step):
            x0, y0, _ = face.rings[0][0]
            far = max(face.rings[0], key=lambda p: hypot(p[0] - x0, p[1] - y0))
            run = hypot(far[0] - x0, far[1] - y0)
            dx, dy = (far[0] - x0) / run, (far[1] - y0) / run
            total += abs(signed_area([((x - x0) * dx + (y - y0) * dy, z) for x, y, z in face.rings[0]])) / 1e6
    return total


def open_sides(roof: Skeleton) -> list[tuple[tuple[float, ...], tuple[float, ...]]]:
    """Sides that no other face walks the other way, bit for bit."""
    sides = {(a, b) for f in roof.faces for r in f.rings for a, b in zip(r, (*r[1:], r[0]), strict=True)}
    return sorted((a, b) for a, b in sides if (b, a) not in sides)


def test_a_hip_roof_at_45_degrees() -> None:
    roof = solve([RECTANGLE], [eave(45.0)] * 4)
    assert areas(roof) == pytest.approx({(0, 0): 21.0, (1, 0): 9.0, (2, 0): 21.0, (3, 0): 9.0}, rel=1e-12)
    assert heights(roof) == [0.0, 3000.0]
    assert len(open_sides(roof)) == 4
    assert not roof.notes


def test_a_gable_roof_has_upright_triangles() -> None:
    roof = solve([RECTANGLE], [eave(30.0), GABLE, eave(30.0), GABLE])
    assert areas(roof) == pytest.approx({(0, 0): 30.0, (2, 0): 30.0}, rel=1e-12)
    rise = 3000.0 * tan(radians(30.0))
    assert heights(roof) == [0.0, round(rise, 3)]
    assert upright_area(roof, 1, 0) == pytest.approx(6000.0 * rise / 2e6, rel=1e-12)
    assert len(open_sides(roof)) == 4


def test_unequal_pitches_put_the_ridge_off_centre() -> None:
    # from the eaves z = y tan 20 and z = (6000 - y) tan 40 meet at y = 6000 tan 40 / (tan 20 + tan 40)
    roof = solve([RECTANGLE], [eave(20.0), GABLE, eave(40.0), GABLE])
    y = 6.0 * tan(radians(40.0)) / (tan(radians(20.0)) + tan(radians(40.0)))
    assert areas(roof) == pytest.approx({(0, 0): 10.0 * y, (2, 0): 10.0 * (6.0 - y)}, rel=1e-12)


def test_an_ell_has_a_valley_at_its_inside_corner() -> None:
    roof = solve([ELL], [eave(25.0)] * 6)
    assert sum(areas(roof).values()) == pytest.approx(12 * 5 + 5 * 6, rel=1e-12)
    # both ridges at half of 5 m; the valley runs from the inside corner to where they meet, at 2.5, 2.5
    valley = ((2500.0, 2500.0), (5000.0, 5000.0))
    ends = {tuple(sorted((a[:2], b[:2]))) for f in roof.faces for r in f.rings for a, b in pairwise(r)}
    assert any(max(hypot(p[0] - q[0], p[1] - q[1]) for p, q in zip(e, valley, strict=True)) < 1e-6 for e in ends)
    assert max(heights(roof)) == round(2500.0 * tan(radians(25.0)), 3)


def test_a_single_pitch_roof_leans_on_its_high_wall() -> None:
    roof = solve([RECTANGLE], [eave(5.0), GABLE, GABLE, GABLE])
    assert areas(roof) == pytest.approx({(0, 0): 60.0}, rel=1e-12)
    assert upright_area(roof, 2, 0) == pytest.approx(10.0 * 6.0 * tan(radians(5.0)), rel=1e-12)
    assert upright_area(roof, 1, 0) == pytest.approx(6.0 * 6.0 * tan(radians(5.0)) / 2, rel=1e-12)


def test_a_mansard_changes_pitch_on_a_level_line() -> None:
    # 60 degrees up to 1732.05 takes 1000 in plan, then 30 degrees to the ridge
    knee = 1000.0 * tan(radians(60.0))
    roof = solve([RECTANGLE], [steps((knee, 60.0), (None, 30.0))] * 4)
    assert areas(roof)[0, 0] == pytest.approx((10.0 + 8.0) / 2.0, rel=1e-9)
    assert areas(roof)[0, 1] == pytest.approx((8.0 + 4.0) / 2.0 * 2.0, rel=1e-9)
    assert max(heights(roof)) == pytest.approx(knee + 2000.0 * tan(radians(30.0)), abs=2e-3)
    assert len(open_sides(roof)) == 4


def test_a_half_hip_is_a_gable_that_turns_over() -> None:
    roof = solve([RECTANGLE], [eave(45.0), steps((2000.0, 90.0), (None, 45.0)), eave(45.0), GABLE])
    # above 2000 the front is 2000 wide; the small hip is a triangle of base 2000 and depth 1000
    assert areas(roof)[1, 1] == pytest.approx(1.0, rel=1e-12)
    assert upright_area(roof, 1, 0) == pytest.approx((6.0 + 2.0) / 2.0 * 2.0, rel=1e-12)
    assert sum(areas(roof).values()) == pytest.approx(60.0, rel=1e-12)
    assert len(open_sides(roof)) == 4


def test_a_flat_top_closes_the_roof_at_its_height() -> None:
    roof = solve([RECTANGLE], [steps((2000.0, 45.0), (None, 0.0)), *[eave(45.0)] * 3])
    assert areas(roof)[0, 1] == pytest.approx(6.0 * 2.0, rel=1e-12)
    assert areas(roof)[0, 0] == pytest.approx((10.0 + 6.0) / 2.0 * 2.0, rel=1e-12)
    assert heights(roof) == [0.0, 2000.0]


def test_a_flat_top_reaches_round_a_courtyard() -> None:
    court = [(4000.0, 2500.0), (4000.0, 3500.0), (6000.0, 3500.0), (6000.0, 2500.0)]
    roof = solve([RECTANGLE, court], [*[steps((500.0, 45.0), (None, 0.0))] * 4, *[eave(45.0)] * 4])
    [top] = [f for f in roof.faces if f.step == 1]
    assert top.plan_area / 1e6 == pytest.approx(9.0 * 5.0 - 3.0 * 2.0, rel=1e-12)
    assert len(top.rings) == 2
    assert signed_area([p[:2] for p in top.rings[0]]) > 0 > signed_area([p[:2] for p in top.rings[1]])


def test_a_higher_fascia_stands_on_an_upright_part() -> None:
    # edge 2 (the right end) starts 1000 higher: until then its front stands and the long planes lean on it
    roof = solve([RECTANGLE], [eave(45.0), eave(45.0, 1000.0), eave(45.0), GABLE])
    assert areas(roof)[1, 0] == pytest.approx(4.0 * 2.0 / 2.0, rel=1e-12)
    assert upright_area(roof, 1, FASCIA_STEP) == pytest.approx((6.0 + 4.0) / 2.0, rel=1e-12)
    assert len(open_sides(roof)) == 4


def test_level_fascias_above_the_lowest_leave_nothing_upright_below() -> None:
    # only edge 1 is low; the end of edge 3 is free of it, so nothing upright is shown below the others' fascias there
    roof = solve([RECTANGLE], [eave(45.0), eave(45.0, 1000.0), eave(45.0, 1000.0), eave(45.0, 1000.0)])
    uprights = [(f.edge, min(z for _, _, z in f.rings[0])) for f in roof.faces if f.upright]
    assert sorted(uprights) == [(1, 0.0), (3, 0.0)]
    assert sum(areas(roof).values()) == pytest.approx(60.0, rel=1e-12)


def test_a_courtyard_drains_inwards() -> None:
    court = [(4000.0, 2000.0), (4000.0, 4000.0), (6000.0, 4000.0), (6000.0, 2000.0)]
    roof = solve([RECTANGLE, court], [eave(45.0)] * 8)
    assert sum(areas(roof).values()) == pytest.approx(60.0 - 4.0, rel=1e-12)
    # between long side and courtyard 2 m: the ridge half way
    assert areas(roof)[4, 0] + areas(roof)[6, 0] > 0
    assert {edge for edge, _ in areas(roof)} == set(range(8))
    assert len(open_sides(roof)) == 8


def test_collinear_neighbours_of_different_pitch_get_a_step() -> None:
    split = [(0.0, 0.0), (5000.0, 0.0), (10000.0, 0.0), (10000.0, 6000.0), (0.0, 6000.0)]
    roof = solve([split], [eave(45.0), eave(30.0), GABLE, eave(45.0), GABLE])
    [note] = roof.notes
    assert note.kind == "step_at_collinear_edges"
    assert note.edges == (0, 1)
    assert "Edges 1 and 2" in note.text
    assert upright_area(roof, 0, JOG_STEP) > 0
    assert areas(roof)[0, 0] == pytest.approx(15.0, rel=1e-12)
    assert sum(areas(roof).values()) == pytest.approx(60.0, rel=1e-12)


def test_same_pitch_collinear_neighbours_get_none() -> None:
    split = [(0.0, 0.0), (5000.0, 0.0), (10000.0, 0.0), (10000.0, 6000.0), (0.0, 6000.0)]
    roof = solve([split], [eave(45.0)] * 5)
    assert not roof.notes
    assert areas(roof)[0, 0] == pytest.approx(10.5, rel=1e-12)
    assert len(open_sides(roof)) == 5


def test_the_steeper_of_two_collinear_fronts_goes_on_above() -> None:
    # a lean-to of 15 degrees set out by 1000 reaches the main wall line at 268; the main roof of 45 degrees goes on
    outline = [(0.0, 0.0), (6000.0, 0.0), (6000.0, -1000.0), (12000.0, -1000.0), (12000.0, 8000.0), (0.0, 8000.0)]
    main = steps((1000.0 * tan(radians(15.0)), 90.0), (None, 45.0))
    roof = solve([outline], [main, GABLE, eave(15.0), GABLE, eave(45.0), GABLE])
    assert areas(roof)[2, 0] == pytest.approx(6.0, rel=1e-9)
    assert {(f.edge, f.step) for f in roof.faces if not f.upright} == {(0, 1), (2, 0), (4, 0)}


def test_a_gable_never_overruns_a_moving_plane() -> None:
    outline = [(0.0, 0.0), (6000.0, 0.0), (6000.0, -1000.0), (12000.0, -1000.0), (12000.0, 8000.0), (0.0, 8000.0)]
    roof = solve([outline], [GABLE, GABLE, eave(15.0), GABLE, GABLE, GABLE])
    # the plane passes the wall line of edge 1 and sweeps the whole roof behind it
    assert areas(roof) == pytest.approx({(2, 0): 12.0 * 8.0 + 6.0}, rel=1e-12)


@pytest.mark.parametrize("pitches", [(0.5, 88.0, 0.5, 88.0), (30.0, 90.0, 60.0, 45.0), (88.0, 88.0, 0.5, 0.5)])
@pytest.mark.parametrize("corners", [4, 5, 9])
def test_convex_outlines_are_the_lower_envelope_of_their_planes(pitches: tuple[float, ...], corners: int) -> None:
    """Slow and obviously right: on a convex outline of one fascia height the lowest plane is the roof."""
    turns = [2.0 * pi * (k + 0.2 * (k % 3)) / corners for k in range(corners)]
    outline = [(9000.0 * cos(a), 6000.0 * sin(a)) for a in turns]
    profiles = [eave(pitches[k % 4]) for k in range(len(outline))]
    got = areas(solve([outline], profiles))
    for (edge, _), area in envelope(outline, [pitches[k % 4] for k in range(len(outline))]).items():
        assert got.get((edge, 0), 0.0) == pytest.approx(area, rel=1e-8, abs=1e-9)


def envelope(outline: list[tuple[float, float]], pitches: list[float]) -> dict[tuple[int, int], float]:
    """Plan area [m2] of each plane where it is lowest: the outline cut by every z_i <= z_j."""
    planes = []
    for k, (ax, ay) in enumerate(outline):
        bx, by = outline[(k + 1) % len(outline)]
        run = hypot(bx - ax, by - ay)
        nx, ny = -(by - ay) / run, (bx - ax) / run
        rise = tan(radians(pitches[k])) if pitches[k] < 90.0 else None
        planes.append((nx, ny, nx * ax + ny * ay, rise))
    out = {}
    for k, (nx, ny, c, rise) in enumerate(planes):
        if rise is None:
            continue
        ring: tuple[tuple[float, float], ...] = tuple(outline)
        for m, (mx, my, d, other) in enumerate(planes):
            if m != k and other is not None and len(ring) > 2:
                ring = clip_half_plane(ring, nx * rise - mx * other, ny * rise - my * other, c * rise - d * other)
        out[k, 0] = abs(signed_area(ring)) / 1e6 if len(ring) > 2 else 0.0
    return out


def test_survey_coordinates_give_the_same_roof() -> None:
    far = [(x + 1_750_000_000.0, y + 5_430_000_000.0) for x, y in ELL]
    near, moved = solve([ELL], [eave(25.0)] * 6), solve([far], [eave(25.0)] * 6)
    assert areas(moved) == pytest.approx(areas(near), rel=1e-9)
    assert heights(moved) == pytest.approx(heights(near), abs=1e-3)


def test_either_direction_and_repeated_points() -> None:
    there = areas(solve([ELL], [eave(20.0 + k) for k in range(6)]))
    back = areas(solve([ELL[::-1]], [eave(20.0 + k) for k in (4, 3, 2, 1, 0, 5)]))
    for edge in range(6):
        assert back[(4 - edge) % 6, 0] == pytest.approx(there[edge, 0], rel=1e-12)
    doubled = [ELL[0], ELL[0], *ELL[1:], ELL[0]]
    again = areas(solve([doubled], [eave(1.0), *(eave(20.0 + k) for k in range(6)), eave(1.0)]))
    assert again == pytest.approx({(edge + 1, 0): area for (edge, _), area in there.items()}, rel=1e-12)


def test_a_regular_outline_closes_in_one_point() -> None:
    ring = [(5000.0, 0.0), (2500.0, 2500.0 * sqrt(3.0)), (-2500.0, 2500.0 * sqrt(3.0))]
    ring += [(-x, -y) for x, y in ring]
    roof = solve([ring], [eave(45.0)] * 6)
    tops = {p for f in roof.faces for r in f.rings for p in r if p[2] > 1.0}
    assert len(tops) == 1
    assert tops.pop()[2] == pytest.approx(2500.0 * sqrt(3.0), rel=1e-12)


@pytest.mark.parametrize(
    ("rings", "profiles", "words"),
    [
        ([RECTANGLE], [GABLE] * 4, "Edges 1, 2, 3, 4 enclose a part of the roof that no sloping plane reaches"),
        ([RECTANGLE], [eave(45.0)] * 3, "4 edges but 3 rise profiles"),
        ([RECTANGLE], [eave(45.0)] * 3 + [eave(95.0)], "Edge 4: pitch 95 degrees"),
        ([RECTANGLE], [eave(45.0)] * 3 + [steps((None, 0.0), (None, 45.0))], "Edge 4: nothing can follow a flat top"),
        ([RECTANGLE], [eave(45.0)] * 3 + [steps((500.0, 20.0), (400.0, 45.0), (None, 9.0))], "Edge 4: the heights"),
        ([[(0.0, 0.0), (9000.0, 6000.0), (9000.0, 0.0), (0.0, 4000.0)]], [eave(45.0)] * 4, "cross or touch"),
        ([RECTANGLE[:2]], [eave(45.0)] * 2, "it encloses nothing"),
        ([[*RECTANGLE, (5000.0, 6000.0)]], [eave(45.0)] * 5, "lie back on each other"),
        ([RECTANGLE, [(x + 20000.0, y) for x, y in RECTANGLE]], [eave(45.0)] * 8, "outside the outline"),
        ([[*RECTANGLE[:3], (0.0, float("nan"))]], [eave(45.0)] * 4, "not a number"),
    ],
)
def test_refusals_name_the_edges(
    rings: list[list[tuple[float, float]]], profiles: list[EdgeProfile], words: str
) -> None:
    with pytest.raises(ShapeError, match=words):
        solve(rings, profiles)


def test_vertical_first_steps_stand_on_their_own_fascia() -> None:
    roof = solve([RECTANGLE], [steps((400.0, 90.0), (None, 30.0))] * 4)
    assert sum(upright_area(roof, edge, 0) for edge in range(4)) == pytest.approx(32.0 * 0.4, rel=1e-12)
    assert len(open_sides(roof)) == 4


def test_gables_at_one_corner_stand_on_their_own_fascia() -> None:
    # the lowest fascia is edge 1's; the gables start at 500, where nothing leans on their common corner
    roof = solve([RECTANGLE], [eave(30.0), eave(90.0, 500.0), eave(90.0, 500.0), eave(30.0)])
    lowest = {f.edge: min(z for _, _, z in f.rings[0]) for f in roof.faces if f.upright}
    assert lowest == {1: 0.0, 2: 0.0}
    roof = solve([RECTANGLE], [eave(30.0), eave(30.0, 500.0), eave(90.0, 500.0), eave(30.0, 500.0)])
    lowest = {f.edge: min(z for _, _, z in f.rings[0]) for f in roof.faces if f.upright and f.edge == 2}
    assert lowest == {2: 500.0}
