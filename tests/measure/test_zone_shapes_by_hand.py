"""Zones that take a part of a wall, region by region: a wall of 6 x 2.4 m whose face reaches 38 past its framing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.zone_shapes import ZonePart, zone_parts
from takeoff.measure.cladding.zones import Zone
from takeoff.model.job.walls import ZoneJob
from takeoff.model.products import Catalogue
from takeoff.model.walls import Corner, Elevation

LEFT, RIGHT, FOOT, TOP = -38.0, 6038.0, -50.0, 2350.0
FACE = Face(1, LEFT, RIGHT, FOOT, TOP, ((LEFT, TOP), (RIGHT, TOP)), ())
OUTLINE = ((0.0, FOOT), (6000.0, FOOT), (6000.0, TOP), (0.0, TOP))
WALL = Elevation(
    "wall 1", 1, 6000.0, TOP, OUTLINE, FOOT, (), Corner("external", 90.0), Corner("external", 90.0), (-450.0, -450.0), False, 0.0, (0.0, 0.0), (6000.0, 0.0)
)  # fmt: skip
WINDOW = Hole("W1", 2000.0, 3200.0, 900.0, 2100.0)


@pytest.fixture
def own(catalogue: Catalogue) -> Zone:
    return Zone("zone 1", frozenset({1}), "horizontal", catalogue.boards["bevel_187"], True)


def parts(
    own: Zone, *given: dict[str, object], face: Face = FACE, wall: Elevation = WALL
) -> tuple[tuple[ZonePart, ...], list[str]]:
    """The parts by zone, and the faults."""
    faults: list[str] = []
    shaped = []
    for n, one in enumerate(given, start=2):
        job = ZoneJob.model_validate({"board": "bevel_187", **one})
        direction = str(one.get("direction", "vertical"))
        shaped.append((replace(own, name=f"zone {n}", direction=direction), job, f"walls.zones[{n}]"))
    return zone_parts(face, wall, own, shaped, faults), faults


def ring(left: float, low: float, right: float, high: float) -> tuple[tuple[float, float], ...]:
    return ((left, low), (right, low), (right, high), (left, high))


def test_a_wall_without_shapes_is_its_own_zones(own: Zone) -> None:
    assert parts(own) == ((ZonePart(own, FACE),), [])
    assert parts(replace(own, direction="none")) == ((), [])


def shown(found: tuple[ZonePart, ...]) -> list[tuple[str, tuple[tuple[float, float], ...]]]:
    """Zone and outer ring of each part, one ring each."""
    return [(part.zone.name, part.face.rings[0][0]) for part in found if len(part.face.rings) == 1]


def test_a_band_a_strip_and_what_is_left(own: Zone) -> None:
    """Open sides and those on the wall's ends go on to the ends of the face; the wall's own zone comes first."""
    found, faults = parts(own, {"from_mm": 1500})
    assert faults == []
    low, high = ring(LEFT, FOOT, RIGHT, 1500.0), ring(LEFT, 1500.0, RIGHT, TOP)
    assert shown(found) == [("zone 1", low), ("zone 2", high)]
    line = ((LEFT, 1500.0), (RIGHT, 1500.0))
    first, second = (part.face for part in found)
    assert (first.part, first.base, first.peak, first.joins, first.flashed, first.beyond) == (
        1,
        FOOT,
        1500.0,
        (line,),
        (),
        (),
    )
    assert (second.part, second.base, second.peak, second.joins, second.flashed, second.beyond) == (
        2, 1500.0, TOP, (line,), (line,), ("horizontal",),
    )  # fmt: skip
    rows = [
        ({"to_mm": 900}, ring(LEFT, FOOT, RIGHT, 900.0)),
        ({"from_mm": 300, "to_mm": 900}, ring(LEFT, 300.0, RIGHT, 900.0)),
        ({"width_mm": 1500}, ring(LEFT, FOOT, 1500.0, TOP)),
        ({"from_left_mm": 4000}, ring(4000.0, FOOT, RIGHT, TOP)),
        ({"from_left_mm": 4000, "width_mm": 500}, ring(4000.0, FOOT, 4500.0, TOP)),
        ({"from_left_mm": 0.5, "width_mm": 5999}, ring(LEFT, FOOT, RIGHT, TOP)),
        ({"from_left_mm": 0.6, "width_mm": 5998.8}, ring(0.6, FOOT, 5999.4, TOP)),
    ]
    for given, wanted in rows:
        found, faults = parts(own, given)
        assert (shown(found)[-1], faults) == (("zone 2", wanted), [])


def test_a_face_that_stops_short_of_its_framing(own: Zone) -> None:
    """At inside corners the face is 38 narrower at either end: a zone from the framing's end goes as far as the face."""
    short = replace(FACE, left=38.0, right=5962.0, top=((38.0, TOP), (5962.0, TOP)))
    found, faults = parts(own, {"width_mm": 1500}, {"from_left_mm": 4000}, face=short)
    assert (shown(found)[1:], faults) == (
        [("zone 2", ring(38.0, FOOT, 1500.0, TOP)), ("zone 3", ring(4000.0, FOOT, 5962.0, TOP))], [],
    )  # fmt: skip


def test_corners_of_a_polygon_on_the_ends_of_the_wall(own: Zone) -> None:
    """Those at 0 and 6000 go on to the ends of the face, half a millimetre off them too."""
    found, faults = parts(own, {"polygon": [(0.5, 900), (3000, 900), (3000, 2350), (0, 2350)]})
    assert (shown(found)[1], faults) == (("zone 2", ring(LEFT, 900.0, 3000.0, TOP)), [])
    found, faults = parts(own, {"polygon": [(3000, 900), (5999.5, 900), (6000, 2350), (3000, 2350)]})
    assert (shown(found)[1], faults) == (("zone 2", ring(3000.0, 900.0, RIGHT, TOP)), [])


OUT = [
    ({"polygon": [(0, 0), (900, 900), (900, 0), (0, 900)]}, [
        "walls.zones[2].polygon: its sides cross each other; give its points in order round the zone."]),
    ({"polygon": [(1000, 900), (3000, 900), (3000, 2450), (1000, 2450)]}, [
        "walls.zones[2].polygon: 2000 mm across and 99 mm up of it lie outside wall 1; keep it on the wall."]),
    ({"polygon": [(1000, 900), (3000, 900), (3000, 2351), (1000, 2351)]}, []),
    ({"walls": [1], "from_left_mm": 5000, "width_mm": 1012}, [
        "walls.zones[2]: it ends 12 mm past the right end of wall 1; make it narrower."]),
    ({"walls": [1], "from_left_mm": 5000, "width_mm": 1000.5}, []),
    ({"from_left_mm": 5000, "width_mm": 1012}, []),
    ({"walls": [1], "to_mm": 2351}, ["walls.zones[2].to_mm: it ends 1 mm over wall 1; leave it out to go up to the top."]),
    ({"walls": [1], "to_mm": 2350.5}, []),
    ({"to_mm": 9000}, []),
    ({"from_mm": 900, "to_mm": 900.5}, ["walls.zones[2].to_mm: it must be over from_mm (900)."]),
    ({"from_mm": 900, "to_mm": 900.6}, []),
    ({"walls": [1], "from_mm": 2349, "to_mm": 2349.4}, ["walls.zones[2].to_mm: it must be over from_mm (2349)."]),
    ({"walls": [1], "from_mm": 2400}, ["walls.zones[2]: nothing of wall 1 lies in it; give its place on the wall, or other walls."]),
    ({"from_mm": 2400}, []),
    ({"from_left_mm": 6000}, []),
]  # fmt: skip


@pytest.mark.parametrize(("given", "faults"), OUT)
def test_zones_that_are_not_on_the_wall(given: dict[str, object], faults: list[str], own: Zone) -> None:
    assert parts(own, given)[1] == faults


def test_zones_over_each_other(own: Zone) -> None:
    """One from 1000 to 3000, the other from 2900: 100 mm wide and 2400 high; the first at its edge is none."""
    first, second = {"from_left_mm": 1000, "width_mm": 2000}, {"from_left_mm": 2900, "width_mm": 900}
    assert parts(own, first, second)[1] == [
        "walls.zones[3]: it overlaps zone 2 on wall 1 by 100 mm across and 2400 mm up; let one end where the other begins."
    ]
    assert parts(own, first, {"from_left_mm": 3000})[1] == []
    # a crumb of 100 mm2 is none
    assert parts(own, first, {"from_left_mm": 2999.96})[1] == []
    assert len(parts(own, first, {"from_left_mm": 2999.95})[1]) == 1


def test_openings_that_the_line_of_a_zone_crosses(own: Zone) -> None:
    """A level line may cross one; an upright or raked one may not, nor one that turns beside it."""
    windowed = replace(FACE, holes=(WINDOW,))
    crossed = ["walls.zones[2]: its line crosses W1 on wall 1; let it end at a jamb, or go round it."]
    rows: list[tuple[dict[str, object], list[str]]] = [
        ({"from_mm": 1500}, []),
        ({"from_left_mm": 2500}, crossed),
        ({"from_left_mm": 2000, "width_mm": 1200}, []),
        ({"from_left_mm": 3200}, []),
        ({"polygon": [(0, 900), (6000, 2100), (6000, 2350), (0, 2350)]}, crossed),
        ({"from_mm": 1500, "from_left_mm": 2000, "width_mm": 1199.4}, crossed),
        ({"from_mm": 1500, "from_left_mm": 2000, "width_mm": 1199.6}, []),
        ({"polygon": [(2500, 1500), (6000, 1500), (6000, 2350), (0, 2350), (0, 1800), (2500, 1800)]}, crossed),
        ({"from_left_mm": 3199.95}, []),
    ]
    for given, faults in rows:
        assert parts(own, given, face=windowed)[1] == faults, given


def test_openings_belong_to_the_parts_they_lie_in(own: Zone) -> None:
    """A window from 900 to 2100 across a line at 1500: its lower half in the lower part, the upper in the upper."""
    found, _ = parts(own, {"from_mm": 1500}, face=replace(FACE, holes=(WINDOW,)))
    (low,), (high,) = (part.face.holes for part in found)
    assert (low, high) == (replace(WINDOW, head=1500.0), replace(WINDOW, foot=1500.0))


def test_lines_between_three_zones_and_one_left_out(own: Zone) -> None:
    """Left out from 4 m; upright boards from 2 to 4 m: their lines are flashed once each, by the later zone or the clad
    one, and tell what lies beyond."""
    found, faults = parts(
        own, {"from_left_mm": 2000, "width_mm": 2000}, {"from_left_mm": 4000, "direction": "none", "board": None}
    )
    assert faults == []
    assert shown(found) == [("zone 1", ring(LEFT, FOOT, 2000.0, TOP)), ("zone 2", ring(2000.0, FOOT, 4000.0, TOP))]
    at_2, at_4 = (((x, FOOT), (x, TOP)) for x in (2000.0, 4000.0))
    first, second = (part.face for part in found)
    assert (first.joins, first.flashed, first.beyond) == ((at_2,), (), ())
    assert (second.joins, second.flashed, second.beyond) == ((at_2,), (at_2, at_4), ("horizontal", "none"))


def test_the_line_round_a_zone_in_the_middle(own: Zone) -> None:
    """Four straight lines, each from its left or its lower end."""
    found, _ = parts(own, {"from_left_mm": 1000, "width_mm": 2000, "from_mm": 500, "to_mm": 1500})
    a, b, c, d = (1000.0, 500.0), (3000.0, 500.0), (3000.0, 1500.0), (1000.0, 1500.0)
    assert sorted(found[1].face.flashed) == sorted([(a, b), (b, c), (d, c), (a, d)])
    assert len(found[0].face.rings[0]) == 2  # what is left has a hole


def test_a_wall_of_which_nothing_is_left(own: Zone) -> None:
    """Its own zone has no part; a zone of crumbs has none either."""
    found, faults = parts(own, {"from_mm": -100})
    assert ([part.zone.name for part in found], [part.face.part for part in found], faults) == (["zone 2"], [1], [])
    gable = replace(FACE, top=((LEFT, TOP), (3000.0, 3850.0), (RIGHT, TOP)))
    peak = replace(WALL, outline_xy=((0.0, FOOT), (6000.0, FOOT), (6000.0, TOP), (3000.0, 3850.0), (0.0, TOP)))
    found, faults = parts(own, {"from_mm": TOP}, face=gable, wall=peak)
    assert [(part.zone.name, part.face.frame_top, part.face.peak) for part in found] == [
        ("zone 1", TOP, TOP), ("zone 2", 3850.0, 3850.0),
    ]  # fmt: skip
