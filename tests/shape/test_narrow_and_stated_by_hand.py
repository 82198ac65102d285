"""Narrow faces that become part of a plane, and areas that a file states beside ours: every rule from both sides.

Limits are common practice, no source: within 50 mm and 30 degrees a strip belongs to a plane; half a hundredth is the same area.
"""

from __future__ import annotations

from math import cos, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_faces import Quad, net_of, patch

from takeoff.model.faces import RawPart, StatedArea, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.shape.imported.narrow import absorbed
from takeoff.shape.imported.planes import Patch
from takeoff.shape.imported.stated_areas import area_findings

UP = (0.0, 0.0, 1.0)


def level(x0: float, y0: float, x1: float, y1: float, z: float = 0.0) -> Quad:
    return ((x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z))


def test_a_strip_goes_to_the_plane_that_it_shares_most_with() -> None:
    """Between planes on its left over 1000 and on its right over 600; the left one too far off, it goes to the right; both
    too far, it stays."""
    net = net_of(
        level(0.0, 0.0, 1000.0, 1000.0),
        level(1000.0, 0.0, 1100.0, 1000.0),
        level(1100.0, 0.0, 2100.0, 600.0),
    )
    strip = patch(UP, (1000.0, 0.0, 0.0), 2, 3)

    def taken(left: float, right: float) -> tuple[dict[int, Patch], set[int]]:
        found = [patch(UP, (0.0, 0.0, left), 0, 1), strip, patch(UP, (0.0, 0.0, right), 4, 5)]
        return absorbed(net, found, [1])

    assert taken(50.0, 0.0) == ({0: Patch((0, 1, 2, 3), UP, (0.0, 0.0, 50.0), strip_mm=50.0)}, {1})
    assert taken(50.1, -7.0) == ({2: Patch((2, 3, 4, 5), UP, (0.0, 0.0, -7.0), strip_mm=7.0)}, {1})
    assert taken(-50.1, 50.1) == ({}, set())


@pytest.mark.parametrize(("turn", "gone"), [(29.9, True), (30.1, False), (-29.9, True), (-30.1, False)])
def test_a_strip_is_turned_by_thirty_degrees_at_most(turn: float, gone: bool) -> None:
    """90 mm on its slope: 45 mm up or down at its far side."""
    run, rise = 90.0 * cos(radians(turn)), 90.0 * sin(radians(turn))
    side: Quad = ((1000.0, 0.0, 0.0), (1000.0 + run, 0.0, rise), (1000.0 + run, 1000.0, rise), (1000.0, 1000.0, 0.0))
    net = net_of(level(0.0, 0.0, 1000.0, 1000.0), side)
    found = [patch(UP, (0.0, 0.0, 0.0), 0, 1), patch((-rise, 0.0, run), (1000.0, 0.0, 0.0), 2, 3)]
    grown, taken = absorbed(net, found, {1})
    assert taken == ({1} if gone else set())
    assert [one.strip_mm for one in grown.values()] == ([pytest.approx(abs(rise))] if gone else [])


def test_strips_on_both_sides_are_taken_and_one_behind_another_is_not() -> None:
    """30 mm over on the left, 20 under on the right: the plane is out by the greater; a strip beside a strip has no plane."""
    net = net_of(
        level(100.0, 0.0, 1000.0, 1000.0),
        level(0.0, 0.0, 100.0, 1000.0),
        level(1000.0, 0.0, 1100.0, 1000.0),
        level(1100.0, 0.0, 1200.0, 1000.0),
        level(5000.0, 0.0, 5100.0, 1000.0),
    )
    patches = [patch(UP, (0.0, 0.0, 0.0), 0, 1), *(patch(UP, (0.0, 0.0, 0.0), 2 * k, 2 * k + 1) for k in range(1, 5))]
    net.nodes[net.nodes[:, 0] < 50.0, 2] = 30.0
    net.nodes[abs(net.nodes[:, 0] - 1100.0) < 1.0, 2] = -20.0
    grown, gone = absorbed(net, patches, [4, 3, 2, 1])
    assert gone == {1, 2}
    assert grown == {0: Patch((0, 1, 2, 3, 4, 5), UP, (0.0, 0.0, 0.0), strip_mm=30.0)}
    assert absorbed(net, patches, []) == ({}, set())


# ------------------------------------------------------------ areas that a file states

ADVICE = "Look whether a part of the roof is missing, or whether the file's areas are those in plan."


def said(planes: dict[str, tuple[float, float]], *given: tuple[str, str, float], parts: int = 15) -> Finding:
    """What is said of areas (part, word, m2) of roof parts r0, r1 ... beside planes (true m2, plan m2)."""
    roof: Any = SimpleNamespace(
        planes=[SimpleNamespace(id=name, area_mm2=a * 1e6, plan_area_mm2=b * 1e6) for name, (a, b) in planes.items()]
    )
    raw: Any = SimpleNamespace(
        came_from="h.json",
        parts=[RawPart(f"r{k}", "", StatedPart.ROOF) for k in range(parts)],
        stated_areas=[StatedArea(*one) for one in given],
    )
    (found,) = area_findings(raw, roof)
    assert found.text.startswith("h.json states areas of its own. ")
    return found


def test_a_level_plane_is_told_by_its_true_area() -> None:
    found = said({"P1": (48.0, 48.0)}, ("r0", "area", 48.0))
    text = "h.json states areas of its own. area: r0 48.00 m2: our true area of P1."
    assert found == Finding("file-areas", Severity.NOTE, text, "")
    both = said({"P1": (48.0, 48.0), "P2": (30.0, 30.0)}, ("r0", "area", 78.0))
    assert both.text.endswith("area: r0 78.00 m2: our true area of the whole roof.")


def test_the_nearest_area_is_told_with_four_planes_at_most() -> None:
    """Five planes of 20 m2; 20.05 is nearer to one of 20.06 in plan than to theirs."""
    five = {f"P{k}": (20.0, 15.0) for k in range(1, 6)}
    found = said(five, ("r0", "area", 20.0))
    assert found.text.endswith("area: r0 20.00 m2: our true area of P1 or P2 or P3 or P4.")
    other = said({**five, "P6": (29.0, 20.06)}, ("r0", "area", 20.05))
    assert (other.severity, other.advice) == (Severity.WARN, ADVICE)
    assert other.text.endswith("area: r0 20.05 m2: our plan area of P6.")
    whole = said({"P1": (20.0, 15.0), "P2": (0.05, 0.04)}, ("r0", "area", 20.04))
    assert whole.text.endswith("our true area of the whole roof.")
    first = said({"P1": (20.0, 15.0), "P2": (0.05, 0.04)}, ("r0", "area", 20.01))
    assert first.text.endswith("our true area of P1.")


def test_twelve_areas_of_a_word_and_twelve_words_are_told() -> None:
    planes = {f"P{k}": (20.0 + k, 15.0) for k in range(1, 15)}
    found = said(planes, *((f"r{k}", "area", 20.0 + k) for k in range(1, 15)))
    listed = found.text.partition("area: ")[2]
    assert listed.count("m2") == 12
    assert listed.count("our true area of") == 12
    assert "r12 32.00 m2: our" in listed
    words = said({"P1": (20.0, 15.0)}, *(("r0", f"w{k}", 20.0) for k in range(14)))
    assert words.text.count("our true area of P1") == 12
    none = said({"P1": (20.0, 15.0)}, *(("r0", f"w{k}", 3.0) for k in range(14)))
    assert none.text.endswith(f"None of them is one of ours. No area of ours: {', '.join(f'w{k}' for k in range(12))}.")


def test_true_areas_are_told_before_those_in_plan_and_parts_of_a_word_together() -> None:
    planes = {"P1": (50.0, 40.0), "P2": (30.0, 24.0)}
    found = said(
        planes,
        ("r0", "flat", 40.0),
        ("r1", "flat", 24.0),
        ("r0", "steep", 50.0),
        ("r1", "steep", 30.0),
        ("r0", "x", 1.0),
        ("r1", "x", 2.0),
    )
    assert found == Finding(
        "file-areas",
        Severity.NOTE,
        "h.json states areas of its own. steep: r0 50.00 m2, r1 30.00 m2: our true area of P1, our true area of P2; flat: "
        "r0 40.00 m2, r1 24.00 m2: our plan area of P1, our plan area of P2. No area of ours: x.",
        "",
    )
    mixed = said(planes, ("r0", "area", 50.0), ("r1", "area", 14.0))
    assert mixed.text.endswith("area: together 64.00 m2: our plan area of the whole roof.")
    wall: Any = SimpleNamespace(
        came_from="h", parts=[RawPart("w", "", StatedPart.WALL)], stated_areas=[StatedArea("w", "area", 50.0)]
    )
    assert area_findings(wall, SimpleNamespace(planes=[])) == ()  # type: ignore[arg-type]
