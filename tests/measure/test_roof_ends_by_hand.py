"""Gutters that stop before a roof that rises at their end, by hand: a dormer's eave of 1.5 m up a roof of 1 in 2, on a plan
that is turned by 30 degrees. The sole hangs 130 below the eave: 130 / 0.5 = 260 mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import cos, radians, sin

import pytest

from takeoff.measure.rainwater import roof_ends
from takeoff.measure.rainwater.roof_ends import hung_stretches, outside_roofs, rises_at_end
from takeoff.measure.rainwater.stretches import End, Stretch, stretches
from takeoff.model.drainage import GutterLeg, GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof

Build = Callable[..., Roof]
Point = tuple[float, float, float]
STOP, OUT = End("stop end"), End("external", 90.0)
C30, S30 = cos(radians(30)), sin(radians(30))


def turned(x: float, y: float, z: float) -> Point:
    return (C30 * x - S30 * y, S30 * x + C30 * y, z)


def roof_of(build_roof: Build, long: float = 1500.0, rise: float = 0.5, aside: float = 0.0, both: bool = False) -> Roof:
    """The dormer's eave runs back along y at x = 5000; west of it, its outer side, a roof rises by `rise` along y and by
    `aside` towards the west; with `both` another rises towards the eave's front end."""

    def on(x: float, y: float) -> Point:
        return turned(x, y, 1000.0 + rise * (y - 2000.0) + aside * (5000.0 - x))

    back, front = turned(5000.0, 2000.0, 1000.0), turned(5000.0, 2000.0 - long, 1000.0)
    planes = {
        "D": (back, front, turned(8000.0, 2000.0 - long, 2500.0), turned(8000.0, 2000.0, 2500.0)),
        "M": (on(4000.0, 0.0), on(5000.0, 0.0), on(5000.0, 2000.0), on(5000.0, 3000.0), on(4000.0, 3000.0)),
    }
    if both:
        y = 2000.0 - long
        ring = (
            (4000.0, y - 800.0, 800.0),
            (5000.0, y - 800.0, 800.0),
            (5000.0, y, 0.0),
            (5000.0, y + 100.0, -100.0),
            (4000.0, y + 100.0, -100.0),
        )
        planes["N"] = tuple(turned(px, py, 1000.0 + dz) for px, py, dz in ring)  # type: ignore[assignment]
    return build_roof(planes, [(EdgeKind.EAVE, back, front, ("D",), 1)])


def part_of(roof: Roof, left: End = STOP, right: End = STOP, start: float = 700.0) -> Stretch:
    """The eave as a stretch, left to right seen from outside: from its back to its front."""
    (edge,) = roof.edges
    return Stretch("G1.1", start, edge.length_mm, edge.a_mm, edge.b_mm, left, right, ("E1",), (1,))


def test_a_gutter_stops_before_the_roof_at_its_end(build_roof: Build) -> None:
    roof = roof_of(build_roof)
    part = part_of(roof)
    ((short,), (told,)) = outside_roofs((part,), (roof,), 130.0, 125.0)
    assert (short.start_mm, short.length_mm) == pytest.approx((960.0, 1240.0))
    assert short.a_mm == pytest.approx(turned(5000.0, 1740.0, 1000.0))
    assert short.b_mm == pytest.approx(part.b_mm)
    assert (short.id, short.left, short.right, short.edges) == ("G1.1", STOP, STOP, ("E1",))
    text = "G1.1 stops short of the valley by 260 mm at its left end: further on it would lie in the roof that rises there."
    advice = "Its stop end stands clear of that roof; the valley's foot is dressed on to the sheets below it."
    assert told == Finding("gutter-stops-at-roof", Severity.NOTE, text, advice, ("G1.1", "E1"), part.a_mm)


def test_a_gutter_whose_front_meets_the_roof_first(build_roof: Build) -> None:
    """It rises 0.2 towards the gutter's front too: (130 + 0.2 x 125) / 0.5 = 310; falling that way it changes nothing."""
    for aside, off in ((0.2, 310.0), (-0.2, 260.0)):
        roof = roof_of(build_roof, aside=aside)
        ((short,), _) = outside_roofs((part_of(roof),), (roof,), 130.0, 125.0)
        assert short.length_mm == pytest.approx(1500.0 - off)


def test_a_gutter_with_a_roof_at_both_ends(build_roof: Build) -> None:
    """At the front one rises 1 in 1 against it: 130 off there."""
    roof = roof_of(build_roof, both=True)
    part = part_of(roof)
    ((short,), (told,)) = outside_roofs((part,), (roof,), 130.0, 125.0)
    assert (short.start_mm, short.length_mm) == pytest.approx((960.0, 1500.0 - 390.0))
    assert short.b_mm == pytest.approx(turned(5000.0, 630.0, 1000.0))
    assert "by 260 mm at its left end and 130 mm at its right end:" in told.text
    assert told.at_mm == part.a_mm
    # only stop ends stop; a corner goes on
    ((right,), (told,)) = outside_roofs((replace(part, left=OUT),), (roof,), 130.0, 125.0)
    assert (right.start_mm, right.length_mm, told.at_mm) == (700.0, pytest.approx(1370.0), part.b_mm)
    ((left,), _) = outside_roofs((replace(part, right=OUT),), (roof,), 130.0, 125.0)
    assert left.length_mm == pytest.approx(1240.0)
    assert outside_roofs((replace(part, left=OUT, right=OUT),), (roof,), 130.0, 125.0) == (
        (replace(part, left=OUT, right=OUT),), (),
    )  # fmt: skip


def test_a_gutter_without_room_stays_as_the_eave_is(build_roof: Build) -> None:
    """260 off an eave of 384 leave less than the gutter is wide, 125; of 386 more."""
    for long, cut in ((384.0, False), (386.0, True)):
        roof = roof_of(build_roof, long)
        ((found,), told) = outside_roofs((part_of(roof),), (roof,), 130.0, 125.0)
        assert (found.length_mm == pytest.approx(long - 260.0 if cut else long), len(told)) == (True, int(cut))


def test_roofs_that_a_line_ends_against(build_roof: Build) -> None:
    """One with a corner half a millimetre from the end in plan or height, that rises by more than 1 in 50 along the line;
    `hung`: on its outer side. The eave's own plane is none."""
    roof = roof_of(build_roof)
    (edge,) = roof.edges
    out = (-C30, -S30)  # west, turned

    def rises(
        end: Point,
        by: Roof = roof,
        outwards: tuple[float, float] = out,
        hung: bool = True,
        edges: tuple[str, ...] = ("E1",),
    ) -> list[float]:
        return [round(rise, 6) for rise, _ in rises_at_end(edge.b_mm, end, edges, (by,), outwards, hung)]

    x, y, z = edge.a_mm
    assert rises(edge.a_mm) == [0.5]
    for off, found in ((0.49, [0.5]), (0.52, [])):
        assert rises((x - S30 * off, y + C30 * off, z)) == found
        assert rises((x, y, z + off)) == rises((x, y, z - off)) == found
    assert rises(edge.a_mm, outwards=(C30, S30)) == []
    assert (
        rises(edge.a_mm, outwards=(C30, S30), hung=False) == rises(edge.a_mm, outwards=(0.0, 0.0), hung=False) == [0.5]
    )
    assert rises(edge.a_mm, edges=("E9",)) == []
    for rise, found in ((0.0199, []), (0.0201, [0.0201])):
        assert rises(roof_of(build_roof, rise=rise).edges[0].a_mm, roof_of(build_roof, rise=rise)) == found
    ((rise, across),) = rises_at_end(edge.b_mm, edge.a_mm, ("E1",), (roof_of(build_roof, aside=0.2),), out)
    assert (rise, across) == pytest.approx((0.5, 0.2))


def test_an_internal_gutter_is_whole(build_roof: Build) -> None:
    roof = roof_of(build_roof)
    (edge,) = roof.edges
    leg = GutterLeg("E1", (1,), edge.a_mm, edge.b_mm, edge.length_mm, 0.0)
    run = GutterRun("G1", "main", (leg,), (), False, 0.0, 25.0)
    (hung,) = hung_stretches(run, (roof,), 130.0, 125.0)
    assert hung.length_mm == pytest.approx(1240.0)
    assert hung_stretches(replace(run, internal=True), (roof,), 130.0, 125.0) == stretches(run)


@pytest.mark.parametrize("out", [(-1.0, 0.0), (0.0, -1.0), (0.6, 0.8)])
def test_what_hangs_is_looked_for_a_millimetre_out(
    out: tuple[float, float], build_roof: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    roof = roof_of(build_roof)
    (edge,) = roof.edges
    looked: list[tuple[float, float]] = []
    monkeypatch.setattr(roof_ends, "_is_under", lambda plane, place: bool(looked.append(place)))
    assert rises_at_end(edge.b_mm, edge.a_mm, ("E1",), (roof,), out, hung=True) == []
    x, y, _ = edge.a_mm
    assert looked == [pytest.approx((x + out[0], y + out[1]))]
