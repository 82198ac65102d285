"""Outlines put in order: what a drawing, turned and rounded, taped or surveyed, means as one line is one line.

Expected shapes are those of the same houses drawn square to the axes, worked by hand; roundings are those of drawings
(1 to 0.0001 mm) and of a tape (2 mm).
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from math import cos, hypot, pi, radians, sin
from typing import Any

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.outline_order.means import gathered, least_change, settled_mean
from takeoff.shape.outline_order.put_in_order import OrderedRings, order_outlines
from takeoff.shape.outline_order.values import even_values
from takeoff.shape.together.combine import combine_roofs

Point = tuple[float, float]
SETTINGS = resolve_settings(Job(job="check"))
SURVEY = (1_758_000_123.0, 5_423_000_456.0)
RECT: list[Point] = [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
# eaves 3 and 7 in one line on either side of a wing
TEE: list[Point] = [
    (0, 0), (18600, 0), (18600, 8400), (11400, 8400), (11400, 13800), (4200, 13800), (4200, 8400), (0, 8400),
]  # fmt: skip
# two wings of 5 m: their ridges are as high as each other
YEW: list[Point] = [
    (0, 0), (16000, 0), (16000, 11000), (11000, 11000), (11000, 6000), (5000, 6000), (5000, 11000), (0, 11000),
]  # fmt: skip
# as wide as it is deep: hip, valley and ridge of the main part meet those of the wing in one point
ELL: list[Point] = [(0, 0), (13000, 0), (13000, 7000), (7000, 7000), (7000, 12000), (0, 12000)]
ZED: list[Point] = [
    (0, 0),
    (9000, 0),
    (9000, 3000),
    (13000, 3000),
    (13000, 11000),
    (4000, 11000),
    (4000, 8000),
    (0, 8000),
]
BAY: list[Point] = [(0, 0), (4000, 0), (5200, -1200), (7400, -1200), (8600, 0), (12000, 0), (12000, 8000), (0, 8000)]
HOUSES = {"tee": TEE, "yew": YEW, "ell": ELL, "zed": ZED, "bay": BAY, "rect": RECT}
ROUNDED = [(37.3, 3), (25.7, 1), (-61.9, 0), (11.25, 4), (90.0, 0), (154.321, 2)]


def _turned(ring: Sequence[Point], deg: float, places: int, start: int = 0, noise: float = 0.0) -> list[Point]:
    """A ring turned, shifted to survey coordinates, its points off by up to `noise` at random, rounded, begun later."""
    c, s = cos(radians(deg)), sin(radians(deg))
    chance = random.Random(f"{deg} {places} {noise}")
    found = []
    for x, y in ring:
        far, way = noise * chance.random(), 2 * pi * chance.random()
        px, py = x + far * cos(way), y + far * sin(way)
        found.append((round(c * px - s * py + SURVEY[0], places), round(s * px + c * py + SURVEY[1], places)))
    return [*found[start:], *found[:start]]


def _job(ring: Sequence[Point], **keys: Any) -> RoofJob:
    return RoofJob(**{"wall_line": list(ring), "pitch_deg": 25.0, "eave_overhang_mm": 600.0} | keys)


def _roof(ring: Sequence[Point], **keys: Any) -> Roof:
    return roof_from_outline(_job(ring, **keys), 0.0, SETTINGS)


def _shape(roof: Roof) -> tuple[Any, ...]:
    """What must not change: planes, edges by kind, nodes by how many edges meet."""
    return (len(roof.planes), Counter(e.kind for e in roof.edges), Counter(len(n.edges) for n in roof.nodes))


def _ordered(ring: Sequence[Point], **keys: Any) -> OrderedRings:
    (found,) = order_outlines((_job(ring, **keys),))
    assert found is not None
    return found


def _said(findings: Sequence[Finding]) -> list[str]:
    return [finding.text for finding in findings if finding.code == "corner-put-in-order"]


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize(("deg", "places"), ROUNDED)
def test_a_house_turned_and_rounded_is_the_square_house(name: str, deg: float, places: int) -> None:
    square, drawn = _roof(HOUSES[name]), _roof(_turned(HOUSES[name], deg, places))
    assert _shape(drawn) == _shape(square)
    off = 2.0 * 10.0**-places
    for kind in {edge.kind for edge in square.edges}:
        one = sorted(edge.length_mm for edge in square.edges if edge.kind is kind)
        assert sorted(e.length_mm for e in drawn.edges if e.kind is kind) == pytest.approx(one, abs=2.0 * off)
    areas = sorted(plane.area_mm2 for plane in square.planes)
    assert sorted(plane.area_mm2 for plane in drawn.planes) == pytest.approx(areas, abs=40_000 * off)
    assert _said(drawn.findings) == []


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize("deg", [0.0, 17.0, 37.3, -61.9])
def test_a_taped_house_has_the_planes_edges_and_nodes_of_the_square_one(name: str, deg: float) -> None:
    """Corners off by up to 2 mm: none is moved by more than 3."""
    typed = _turned(HOUSES[name], deg, 1, noise=2.0)
    drawn = _roof(typed)
    assert _shape(drawn) == _shape(_roof(HOUSES[name]))
    found = _ordered(typed)
    for (x, y), (px, py) in zip(found.rings[0], typed, strict=True):
        assert hypot(x + found.origin_mm[0] - px, y + found.origin_mm[1] - py) <= 3.0


def test_a_house_drawn_square_keeps_its_figures() -> None:
    for ring in HOUSES.values():
        assert _ordered(ring).rings == (tuple(ring),)
    odd = [(0.25, 0.0), (9000.37, 0.0), (9000.37, 7011.11), (0.25, 7011.11)]
    assert _ordered(odd).rings == (tuple(odd),)


@pytest.mark.parametrize("start", range(1, 8))
def test_order_does_not_depend_on_the_corner_typed_first(start: int) -> None:
    first = _ordered(_turned(TEE, 37.3, 0)).rings[0]
    other = _ordered(_turned(TEE, 37.3, 0, start)).rings[0]
    for one, two in zip((*first[start:], *first[:start]), other, strict=True):
        assert two == pytest.approx(one, abs=1e-6)
    back = _ordered(list(reversed(_turned(TEE, 37.3, 0)))).rings[0]
    for one, two in zip(reversed(first), back, strict=True):
        assert two == pytest.approx(one, abs=1e-6)


def test_lines_come_out_parallel_square_and_in_one_line() -> None:
    """Sides 3 and 7 of the tee in one line, side 1 parallel to them, side 2 square, to a thousandth of a micrometre."""
    ring = _ordered(_turned(TEE, 37.3, 0)).rings[0]
    (ax, ay), (bx, by) = ring[0], ring[1]
    x, y = (bx - ax) / hypot(bx - ax, by - ay), (by - ay) / hypot(bx - ax, by - ay)
    offs = [-(px - ax) * y + (py - ay) * x for px, py in ring]
    assert [offs[i] for i in (2, 3, 6)] == pytest.approx([offs[7]] * 3, abs=1e-6)
    assert (ring[2][0] - bx) * x + (ring[2][1] - by) * y == pytest.approx(0.0, abs=1e-6)


def test_a_finding_names_the_corner_and_the_millimetres() -> None:
    """One corner of four is 3.2 mm out along the long side: it is put on the short side's line with the other end of
    that side, half the way each."""
    found = _ordered([(0, 0), (12003.2, 0), (12000, 8000), (0, 8000)])
    assert found.rings[0] == ((0, 0), (12001.6, 0), (12001.6, 8000), (0, 8000))
    said = _said(found.findings)
    assert len(said) == 2
    assert "wall line: point 2 was moved by 1.6 mm: edges 1 and 2" in said[0]
    assert "point 3 was moved by 1.6 mm" in said[1]


def test_up_to_a_millimetre_is_put_in_order_without_a_word() -> None:
    found = _ordered([(0, 0), (12001.8, 0), (12000, 8000), (0, 8000)])
    assert found.rings[0][1] == (12000.9, 0)
    assert found.findings == ()


def test_what_is_out_by_more_stays_as_typed() -> None:
    """8 mm out of square over 8 m: putting it square would move corners by 4 mm."""
    typed = ((0.0, 0.0), (12008.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0))
    assert _ordered(typed).rings == (typed,)
    splayed = ((0.0, 0.0), (12000.0, 300.0), (12000.0, 8000.0), (0.0, 8000.0))
    assert _ordered(splayed).rings == (splayed,)


def test_jogs_stay() -> None:
    for jog in (10.0, 4.0, 2.0, 1.0):
        typed = ((0.0, 0.0), (6000.0, 0.0), (6000.0, -jog), (12000.0, -jog), (12000.0, 8000.0), (0.0, 8000.0))
        assert _ordered(typed).rings == (typed,)


def test_an_arc_of_short_sides_is_no_staircase() -> None:
    """A round end of 3 m radius in steps of 5 degrees, sides of 262 mm."""
    arc = [(12000 + 3000 * cos(radians(d)), 3000 + 3000 * sin(radians(d))) for d in range(-90, 91, 5)]
    typed = ((0.0, 0.0), *arc, (0.0, 6000.0))
    for (x, y), (px, py) in zip(_ordered(typed).rings[0], typed, strict=True):
        assert hypot(x - px, y - py) < 1e-3


def test_the_same_points_are_refused_from_whichever_corner() -> None:
    """0.42 mm between two points: by name, not by luck."""
    ring = [(0, 0), (12000, 0), (12000, 8000), (6000.3, 8000), (6000, 8000.3), (0, 8000)]
    for start in range(6):
        with pytest.raises(ShapeError, match=r"are the same; leave one out"):
            _roof([*ring[start:], *ring[:start]])


@pytest.mark.parametrize("deg", [25.7, -61.9])
@pytest.mark.parametrize("places", [0, 1, 3])
def test_a_verandah_comes_to_the_corner_of_the_wall(deg: float, places: int) -> None:
    """2.4 m wide round three sides of a house of 12 x 8: its hips end at the wall's corners, so no side of it is a
    stump. Four planes of the house, three of the verandah, three aprons of 5, 12 and 5 m."""
    house = _job(_turned(RECT, deg, places), name="house", fascia_height_mm=2750.0)
    ring = _turned([(-2400, -2400), (14400, -2400), (14400, 5000), (-2400, 5000)], deg, places)
    verandah = RoofJob(
        name="verandah",
        outline=ring,
        below="house",
        fascia_height_mm=2200.0,
        pitch_deg=8.0,
        edges={3: {"kind": "gable"}},
    )
    jobs = (house, verandah)
    roofs = [roof_from_outline(j, 0.0, SETTINGS, ordered=o) for j, o in zip(jobs, order_outlines(jobs), strict=True)]
    _, cut = combine_roofs(tuple(roofs), jobs)
    assert len(cut.planes) == 3
    assert sorted(e.length_mm for e in cut.edges if "apron" in e.kind) == pytest.approx([5000, 5000, 12000], abs=3.0)
    assert min(e.length_mm for e in cut.edges) > 2000.0


@pytest.mark.parametrize(("deg", "places"), ROUNDED)
def test_two_roofs_share_the_line_they_meet_in(deg: float, places: int) -> None:
    """Leaves of 6 and 4 m, each typed with its own points on the gutter between them."""
    west = _job(_turned([(0, 0), (6000, 0), (6000, 9000), (0, 9000)], deg, places), name="west")
    east = _job(_turned([(6000, 0), (10000, 0), (10000, 9000), (6000, 9000)], deg, places, 2, 0.3), name="east")
    one, two = order_outlines((west, east))
    assert one is not None
    assert two is not None
    assert one.origin_mm == two.origin_mm
    for mine, theirs in ((1, 2), (2, 1)):
        assert one.rings[0][mine] == pytest.approx(two.rings[0][theirs], abs=1e-6)


def test_an_outline_typed_at_the_fascia_of_a_wall_line_lies_on_it() -> None:
    """The house's wall with 600 of eave, and a carport typed by its outline along that fascia."""
    house = _job(_turned(RECT, 25.7, 0), name="house")
    port = RoofJob(
        name="port",
        pitch_deg=5.0,
        outline=_turned([(12600, 1000), (16000, 1000), (16000, 7000), (12600, 7000)], 25.7, 0),
    )
    one, two = order_outlines((house, port))
    assert one is not None
    assert two is not None
    fascia = roof_from_outline(house, 0.0, SETTINGS, ordered=one).outline_mm[0]
    (ax, ay), (bx, by) = fascia[1], fascia[2]
    for x, y in (two.rings[0][0], two.rings[0][3]):
        assert ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / hypot(bx - ax, by - ay) == pytest.approx(0.0, abs=1e-6)


def test_courtyards_are_ordered_with_the_house() -> None:
    court: list[Point] = [(4000, 4000), (9000, 4000), (9000, 9000), (4000, 9000)]
    ring: list[Point] = [(0, 0), (13000, 0), (13000, 13000), (0, 13000)]
    square = _roof(ring, courtyards=[court])
    drawn = _roof(_turned(ring, 37.3, 0), courtyards=[_turned(court, 37.3, 0)])
    assert _shape(drawn) == _shape(square)


def test_means_leave_strays_out_and_least_change_keeps_conditions() -> None:
    """By hand: 1, 2, 6 with second - first = 3 = third - second: the least change of equal weights is 0, 3, 6."""
    assert settled_mean((5.0, 5.0, 5.0, 6.5), (1, 1, 1, 1)) == 5.0
    assert sorted(map(sorted, gathered((0.0, 10.0, 1.0, 11.5), (3, 1, 1, 1), 1.2))) == [[0, 2], [1], [3]]
    found = least_change((1.0, 2.0, 6.0), (1, 1, 1), [({1: 1.0, 0: -1.0}, 3.0), ({2: 1.0, 1: -1.0}, 3.0)])
    assert found == pytest.approx([0.0, 3.0, 6.0])
    again = least_change((1.0, 2.0, 6.0), (1, 1, 1), [({1: 1.0, 0: -1.0}, 3.0), ({1: 2.0, 0: -2.0}, 9.0)])
    assert again == pytest.approx([0.0, 3.0, 6.0])


def test_overhangs_and_heights_that_nearly_agree_are_equal() -> None:
    """Five eaves of 600 and one of 599.7; fascias of 2400 and 2400.4 in two roofs: 2400.2. 1 mm stays."""
    house = _job(RECT, fascia_height_mm=2400.0, edges={1: {"eave_overhang_mm": 599.7}, 2: {"eave_overhang_mm": 601.0}})
    lower = RoofJob(name="lower", outline=RECT, fascia_height_mm=2400.4, pitch_deg=5.0, eave_overhang_mm=600.0)
    one, two = even_values((house, lower))
    assert (one.eave_overhang_mm, one.edges[1].eave_overhang_mm, one.edges[2].eave_overhang_mm) == (600.0, 600.0, 601.0)
    assert (one.fascia_height_mm, two.fascia_height_mm) == (2400.2, 2400.2)
    assert len(_roof(ZED, edges={1: {"eave_overhang_mm": 599.7}}).planes) == len(_roof(ZED).planes)


def test_short_sides_go_with_the_walls_they_fit_best() -> None:
    """A house of 12 x 8 with steps of 500 mm, beside a boundary wall of 14 m that is 0.2 degrees (49 mm) askew on
    purpose: the steps are square to the house, as typed."""
    ring = ((0.0, 0.0), (14000.0, 49.0), (14000.0, 8000.0), (12000.0, 8000.0), (12000.0, 8500.0), (11500.0, 8500.0),
            (11500.0, 8000.0), (0.0, 8000.0))  # fmt: skip
    assert _ordered(ring).rings == (ring,)


@pytest.mark.parametrize("steps", [24, 180, 360])
def test_a_round_house_stays_round(steps: int) -> None:
    ring = tuple((6000 * cos(2 * pi * i / steps + 0.1), 6000 * sin(2 * pi * i / steps + 0.1)) for i in range(steps))
    assert _ordered(ring).rings == (ring,)


def test_a_shape_with_no_two_sides_alike_keeps_its_corners() -> None:
    """64 corners about a circle of 20 m, each up to 3 m off it at random: chance neighbours move by 1 mm at most."""
    chance = random.Random(1)
    ring = []
    for i in range(64):
        far = 20000 + chance.uniform(-3000, 3000)
        ring.append((far * cos(2 * pi * i / 64), far * sin(2 * pi * i / 64)))
    found = _ordered(ring)
    assert max(hypot(x - px, y - py) for (x, y), (px, py) in zip(found.rings[0], ring, strict=True)) <= 1.5


def test_two_eaves_both_off_alike_are_one_line_in_a_taped_plan() -> None:
    """Sides 3 and 7 of the tee off by 1.9 mm at both ends, one out, one in; the other corners by less. 3.8 mm apart they
    are one line still; in a plan true to its last figure they are two."""
    off = {2: (0.3, 1.9), 3: (0.0, 1.9), 6: (0.2, -1.9), 7: (0.0, -1.9)}
    taped = [(x + off.get(i, (0, 0))[0], y + off.get(i, (0, 0))[1]) for i, (x, y) in enumerate(TEE)]
    assert _shape(_roof(taped)) == _shape(_roof(TEE))
    true = [(x, y + off.get(i, (0, 0))[1]) for i, (x, y) in enumerate(TEE)]
    assert _ordered(true).rings == (tuple(true),)


@pytest.mark.parametrize("seed", [46, 152])
def test_sides_far_apart_on_one_line_say_how_it_runs(seed: int) -> None:
    """Taped houses, turned, whose axis found side by side would move a corner by more than 3 mm."""
    chance = random.Random(seed)
    deg = chance.uniform(-180, 180)
    c, s = cos(radians(deg)), sin(radians(deg))
    taped = []
    for x, y in ZED:
        far, way = 2.0 * chance.random() ** 0.5, 2 * pi * chance.random()
        px, py = x + far * cos(way), y + far * sin(way)
        taped.append((round(c * px - s * py, 1), round(s * px + c * py, 1)))
    assert _shape(_roof(taped)) == _shape(_roof(ZED))
