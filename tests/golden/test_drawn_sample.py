"""The sample that is drawn: its drawing is the script's, its figures are those of its README, worked by hand."""

from __future__ import annotations

import sys
from math import cos, radians, sqrt, tan
from pathlib import Path

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file

sys.path.insert(0, str(Path(__file__).parent))

from draw_sample_plan import PLAN, drawing

README = PLAN.with_name("README.md")


@pytest.fixture(scope="module")
def hut() -> Takeoff:
    return run_file(PLAN.parent)


def test_the_drawing_is_current() -> None:
    assert PLAN.read_text(encoding="ascii") == drawing(), "renew with: python tests/golden/draw_sample_plan.py"


def test_the_roof_has_the_figures_worked_by_hand(hut: Takeoff) -> None:
    (roof,) = hut.roofs
    text = README.read_text(encoding="utf-8")
    plan = 12.6 * 7.2 + 7.8 * 4.2
    slope = plan / cos(radians(25.0))
    over = sqrt(2.0 + tan(radians(25.0)) ** 2)
    assert sum(plane.plan_area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(plan, abs=1e-6)
    assert sum(plane.area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(slope, abs=1e-6)
    lengths: dict[str, list[float]] = {}
    for edge in roof.edges:
        lengths.setdefault(edge.kind.value, []).append(edge.length_mm / 1000)
    assert sum(lengths["eave"]) == pytest.approx(48.0)
    assert lengths["valley"] == pytest.approx([3.6 * over])
    # besides the ends' hips, that of the outer corner rises as far as the wing's ridge, and goes on down to the lower one
    assert sorted(lengths["hip"]) == pytest.approx([0.3 * over, *[3.6 * over] * 2, *[3.9 * over] * 3])
    figures = (plan, slope, 48.0, 3.6 * over, 3.9 * over)
    assert [figure for figure in figures if f"{figure:.3f}" not in text] == []


def test_the_walls_have_the_figures_worked_by_hand(hut: Takeoff) -> None:
    front, gable = hut.elevations
    # outlines begin a floor lap below the floor: net of that, and of openings
    nets = []
    for wall in (front, gable):
        xs = wall.outline_xy
        area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(xs, (*xs[1:], xs[0]), strict=True))) / 2
        holes = sum(opening.width_mm * opening.height_mm for opening in wall.openings)
        nets.append((area + wall.base_mm * wall.width_mm - holes) / 1e6)
    assert nets == pytest.approx([11.4 * 2.4 - 2 * 1.8 * 1.2 - 0.9 * 2.1, 6.0 * 2.4 + 6.0 * 1.4 / 2 - 1.2 * 1.0])
    text = README.read_text(encoding="utf-8")
    assert [net for net in nets if f"{net:.3f} m2" not in text] == []
    names = [opening.name for wall in (front, gable) for opening in wall.openings]
    assert names == ["Window 1", "Door 1", "Window 2", "Window 3"]


def test_the_nook_is_roofed_over_and_the_order_stands(hut: Takeoff) -> None:
    assert hut.order is not None
    assert [finding.refs for finding in hut.findings if finding.code == "recess-roofed-over"] == [
        ("edge 7", "edge 8", "edge 9")
    ]
