"""Rain on a plane of 3 in 4 and water that falls on it, and timbers beside an edge: figures by hand.

The plane's ring, in its own axes, is (0, 0), (10000, 0), (8000, 6000), (2000, 4000): over its eave it is cut into three cells
at 2000 and 8000; plan areas are 4/5 of true ones.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from flat_planes import edge, plane

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame
from takeoff.shape.strips.plane_lines import _on_plane, lines_beside
from takeoff.shape.water.fall_lines import Curtain, FallLines
from takeoff.shape.water.falling import breaks, fall_on, roof_over, roof_under

RING = ((0.0, 0.0), (10000.0, 0.0), (8000.0, 6000.0), (2000.0, 4000.0))
NAMES = (("eave", EdgeKind.EAVE), ("east", EdgeKind.VERGE), ("top", EdgeKind.RIDGE), ("west", EdgeKind.VERGE))


def roof(
    name: str = "main", low: float = 2400.0, origin: tuple[float, float, float] = (0.0, 0.0, 0.0), covered: Any = ()
) -> Any:
    frame = Frame((0.0, 0.0, low), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), (0.0, -0.6, 0.8))
    own = SimpleNamespace(id="P1", frame=frame, rings_uv=(RING,), pitch_deg=36.8699, covered_uv=covered)
    edges = []
    for (who, kind), a, b in zip(NAMES, RING, (*RING[1:], RING[0]), strict=True):
        (pa, pb) = (frame.to_space(a), frame.to_space(b))
        edges.append(
            SimpleNamespace(id=who, kind=kind, a_mm=pa, b_mm=pb, low=f"{a}", high=f"{b}", faces=("P1",), slope_deg=0.0)
        )
    return SimpleNamespace(name=name, origin_mm=origin, planes=(own,), edges=edges, edges_of=lambda _: edges)


def rows(landings: Any) -> list[tuple[float, ...]]:
    return sorted((c.a[0], c.b[0], c.at_a_mm2, c.at_b_mm2) for c in landings)


def test_rain_on_a_plane_comes_down_to_its_eave() -> None:
    found = FallLines(roof(), frozenset({"eave"})).landings()
    assert {landing.edge for landing in found} == {"eave"}
    expected = [(0.0, 2000.0, 0.0, 6.4e6), (2000.0, 8000.0, 19.2e6, 28.8e6), (8000.0, 10000.0, 9.6e6, 0.0)]
    assert [pytest.approx(row) for row in expected] == rows(landing.curtain for landing in found)
    assert {(c.a[1:], c.b[1:], c.pitch_deg, c.plane, c.rain_deg, c.via) for c in (one.curtain for one in found)} == {
        ((0.0, 2400.0), (0.0, 2400.0), 36.8699, "P1", 36.8699, "")
    }


def test_no_rain_falls_where_a_plane_is_covered() -> None:
    """A cover of 2000 x 1000 within the middle cell: 1.6e6 of plan less, all of it between 3000 and 5000."""
    cover = (((3000.0, 1000.0), (5000.0, 1000.0), (5000.0, 2000.0), (3000.0, 2000.0)),)
    found = FallLines(roof(covered=(cover,)), frozenset({"eave"})).landings()
    under = [row for row in rows(one.curtain for one in found) if row[0] == 3000.0]
    top = (4000.0 + 1000.0 / 3.0, 5000.0)
    assert [pytest.approx((3000.0, 5000.0, (top[0] - 1000.0) * 1600.0, (top[1] - 1000.0) * 1600.0))] == under
    assert sum(one.curtain.area_mm2 for one in found) == pytest.approx(0.8 * 40e6 - 1.6e6)
    whole = (((-1.0, -1.0), (11000.0, -1.0), (11000.0, 7000.0), (-1.0, 7000.0)),)
    assert FallLines(roof(covered=(whole,)), frozenset({"eave"})).landings() == ()


def curtain(
    a: tuple[float, float, float], b: tuple[float, float, float], at_a: float = 100.0, at_b: float = 300.0
) -> Curtain:
    return Curtain(a, b, at_a, at_b, 12.0, "V1", "P9", 12.0)


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("origin", [(0.0, 0.0, 0.0), (500.0, -300.0, 0.0)])
def test_water_that_falls_on_a_plane_runs_down_each_of_its_cells(
    back: bool, origin: tuple[float, float, float]
) -> None:
    """From 1000 to 9000 across, over 800 to 1600 of plan: cut at 2000 and 8000, an eighth and seven eighths of the way."""
    ox, oy, _ = origin
    a, b = (1000.0 + ox, 800.0 + oy, 9000.0), (9000.0 + ox, 1600.0 + oy, 9000.0)
    water = curtain(b, a, 300.0, 100.0) if back else curtain(a, b)
    lines = FallLines(roof(origin=origin), frozenset({"eave"}))
    found = list(fall_on(water, [lines]))
    assert {(owner is lines, own.id, who) for owner, own, who, _ in found} == {(True, "P1", "eave")}
    expected = [(1000.0, 2000.0, 12.5, 15.625), (2000.0, 8000.0, 93.75, 206.25), (8000.0, 9000.0, 34.375, 37.5)]
    assert [pytest.approx(row) for row in expected] == rows(one[3] for one in found)
    for *_, one in found:
        assert (one.a[1:], one.b[1:], one.pitch_deg, one.via, one.plane) == (
            pytest.approx((0.0, 2400.0)),
            pytest.approx((0.0, 2400.0)),
            36.8699,
            "",
            "P9",
        )


def test_water_beside_a_plane_falls_to_the_ground() -> None:
    """From 1000 west of it to 1000 within: half is caught; breaks lie where it passes over a border."""
    lines = FallLines(roof(), frozenset({"eave"}))
    water = curtain((-200.0, 1600.0, 9000.0), (2200.0, 1600.0, 9000.0))  # the western side stands at 1000 there
    assert breaks(water, [lines.roof]) == pytest.approx([0.0, 0.5, 1.0])
    found = list(fall_on(water, [lines]))
    assert [
        pytest.approx(row) for row in ((1000.0, 2000.0, 83.3333, 118.0556), (2000.0, 2200.0, 23.6111, 25.0))
    ] == rows(one[3] for one in found)
    assert list(fall_on(curtain((-200.0, 1600.0, 9000.0), (900.0, 1600.0, 9000.0)), [lines])) == []
    point = curtain((5000.0, 1600.0, 9000.0), (5000.0, 1600.0, 9000.0), 60.0, 60.0)
    assert breaks(point, [lines.roof]) == [0.0, 1.0]
    assert [row[:2] for row in rows(one[3] for one in fall_on(point, [lines]))] == [(5000.0, 5000.0)]


def test_the_nearest_roof_under_and_over_a_point() -> None:
    """At y = 1600 the planes are 1200 higher than their eaves: 3600 and, moved north by 400, 900 over 1200 up: 2100."""
    high, low = roof("high", 2400.0), roof("low", 1200.0, (0.0, 400.0, 0.0))
    assert [one and (one.roof.name, pytest.approx(one.fall_mm)) for one in (roof_under((5000.0, 1600.0, z), [low, high]) for z in (9000.0, 3601.1, 3600.9, 2101.1, 2100.9))] == [
        ("high", 5400.0), ("high", 1.1), ("low", 1500.9), ("low", 1.1), None,
    ]  # fmt: skip
    point = (5000.0, 1600.0, 0.0)
    over = roof_over(point, [high, low])
    assert over is not None
    assert (over.roof.name, over.rise_mm(point)) == ("low", pytest.approx(2100.0))
    assert [
        one and one.roof.name
        for one in (roof_over((5000.0, 1600.0, z), [high, low]) for z in (2098.9, 2099.1, 3598.9, 3599.1))
    ] == ["low", "high", "high", None]
    assert roof_over((5000.0, 300.0, 0.0), [low]) is None  # south of its eave


def test_water_that_crosses_an_edge_runs_on_in_the_cells_below() -> None:
    """Let down from the top edge between 3000 and 7000 of its 2000 to 8000: all of it comes to the eave under it."""
    lines = FallLines(roof(), frozenset({"eave"}))
    frame = lines.planes["P1"].frame
    a, b = (frame.to_space((u, 4000.0 + (u - 2000.0) / 3.0)) for u in (3000.0, 7000.0))
    (landing,) = lines.follow([("top", curtain(a, b))])
    assert (landing.edge, landing.curtain.a, landing.curtain.b) == (
        "eave",
        pytest.approx((3000.0, 0.0, 2400.0)),
        pytest.approx((7000.0, 0.0, 2400.0)),
    )
    assert (landing.curtain.at_a_mm2, landing.curtain.at_b_mm2, landing.curtain.pitch_deg, landing.curtain.via) == (
        100.0,
        300.0,
        36.8699,
        "",
    )
    ends = [frame.to_space((u, 0.0)) for u in (1000.0, 9000.0)]
    cut = rows(one.curtain for one in lines.follow([("top", curtain(ends[0], ends[1]))]))
    assert [pytest.approx((2000.0, 8000.0, 93.75, 206.25))] == cut  # the middle six eighths lie over the top's cell
    at = frame.to_space((5000.0, 5000.0))
    (point,) = lines.follow([("top", curtain(at, at, 60.0, 60.0))])
    assert (point.curtain.a, point.curtain.area_mm2) == (pytest.approx((5000.0, 0.0, 2400.0)), 60.0)


def test_timbers_beside_an_edge() -> None:
    """A triangle of 8 x 6 m with its long side along (4, 3, 5): a timber 100 wide, a metre inside it, from (600, -800) on: its
    long points lie on the line 950 inside: from 760 / 0.6 to (8000 - 570) / 0.8 along."""
    triangle = plane(((0.0, 0.0), (8000.0, 0.0), (8000.0, 6000.0)))
    on = _on_plane(triangle, edge("E1", (8000.0, 6000.0), (0.0, 0.0)))
    ((a, b),) = lines_beside(triangle, on, 1000.0, 100.0)
    for found, s in ((a, 760.0 / 0.6), (b, 7430.0 / 0.8)):
        assert found == pytest.approx((600.0 + 0.8 * s, -800.0 + 0.6 * s), abs=1e-3)
    foot = _on_plane(triangle, edge("E2", (2000.0, 0.0), (7000.0, 0.0)))
    assert lines_beside(triangle, foot, 300.0, 100.0) == (
        (pytest.approx((2000.0, 300.0)), pytest.approx((7000.0, 300.0))),
    )
    # its long point lies where the slope is 50 mm lower: 5180 / 0.75 leaves 93 mm beside the edge, 5170 / 0.75 leaves 107
    assert lines_beside(triangle, foot, 5230.0, 100.0) == ()
    assert len(lines_beside(triangle, foot, 5220.0, 100.0)) == 1
