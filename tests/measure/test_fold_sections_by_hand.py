"""Sections of folded flashings drawn leg by leg, and what is said of valley trays: by hand."""

from __future__ import annotations

from math import cos, dist, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.flashings import fold_sections as fold
from takeoff.measure.roofing.flashings.fold_sections import Bent, Edging, Leg, section, walk
from takeoff.measure.roofing.flashings.valleys import _flat, _large, _tray, tray_width_mm, valley_findings
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import FoldSection
from takeoff.model.roof import RoofEdge

# edges of 20, hems of 10, kicks of 15, returns of 25
EDGING = Edging(20.0, 10.0, 15.0, 25.0)


def path(*steps: tuple[float, float]) -> Ring2:
    """Points along steps of (length, direction: 0 right, 90 up), least x and y 0."""
    points: list[Point2] = [(0.0, 0.0)]
    for mm, way in steps:
        x, y = points[-1]
        points.append((x + mm * cos(radians(way)), y + mm * sin(radians(way))))
    left, low = min(x for x, _ in points), min(y for _, y in points)
    return tuple((x - left, y - low) for x, y in points)


def legs(bent: Bent) -> list[tuple[str, int]]:
    return [(leg.name, leg.whole_mm) for leg in bent.legs]


NAMES = (
    "cap",
    "tray",
    "barge",
    "head cap",
    "apron",
    "plain apron",
    "change",
    "lining",
    "turned",
    "open fold",
    "two hems",
)


def shapes() -> dict[str, tuple[Bent, list[tuple[int, int]]]]:
    """Sections by name, each with its legs as (length, direction) by hand."""
    # hems are folded flat, a turn of 180, and drawn opened by 14
    return {
        # a ridge of 120: 30 up, 30 down; edges turn down 45 more, hems back under them
        "cap": (fold.cap(100.2, 120.0, EDGING), [(10, 241), (20, 75), (101, 30), (101, -30), (20, -75), (10, 119)]),
        # a valley of 140: 20 down, 20 up, returns turned in by 120
        "tray": (fold.tray(80.0, 140.0, EDGING), [(25, -140), (80, -20), (80, 20), (25, 140)]),
        "barge": (fold.barge(150.0, 200.0, EDGING), [(10, 211), (20, 45), (150, 0), (200, -90), (15, -45)]),
        # on a slope of 20: the top rises with it, the face hangs plumb
        "head cap": (fold.head_cap(130.0, 60.0, 20.0, EDGING), [(10, 231), (20, 65), (130, 20), (60, -90), (15, -45)]),
        # 115 between wall and roof: down the wall, 25 down the slope
        "apron": (fold.apron(75.0, 12.0, 130.0, 115.0, EDGING), [(12, 104), (75, -90), (130, -25), (20, -70), (10, 124)]),
        "plain apron": (fold.apron(75.0, 0.0, 130.0, 115.0, EDGING), [(75, -90), (130, -25), (20, -70), (10, 124)]),
        # from 40 down to 20: it flattens by 20
        "change": (fold.pitch_change(100.0, 130.0, 40.0, 20.0, EDGING), [(100, -40), (130, -20), (20, -65), (10, 129)]),
        "lining": (fold.lining(300.0, 110.0, 60.0), [(60, 0), (110, -90), (300, 0), (110, 90), (60, 0)]),
        # the barge from its other end: what goes down on the right comes up on the left
        "turned": (
            fold.barge(150.0, 200.0, EDGING).mirrored(),
            [(15, 45), (200, 90), (150, 0), (20, -45), (10, 149)],
        ),
        "open fold": (Bent((Leg("a", 10.0), Leg("b", 20.0, 90.0)), 30.0), [(10, 30), (20, 120)]),
        "two hems": (Bent((Leg("a", 10.0), Leg("b", 20.0, 180.0), Leg("c", 9.0, 180.0)), 0.0), [(10, 14), (20, 180), (9, 346)]),
    }  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_section_is_drawn_as_it_is_folded(name: str) -> None:
    bent, steps = shapes()[name]
    assert [mm for _, mm in legs(bent)] == [mm for mm, _ in steps]
    found = walk(bent)
    assert [x for point in found for x in point] == pytest.approx(
        [x for point in path(*steps) for x in point], abs=6e-4
    )
    assert all(x == round(x, 3) for point in found for x in point)


@pytest.mark.parametrize("name", NAMES)
def test_seen_from_the_other_end_left_and_right_change_places(name: str) -> None:
    bent, _ = shapes()[name]
    once, back = walk(bent), walk(bent.mirrored())[::-1]
    wide = max(x for x, _ in once)
    assert [x for point in back for x in point] == pytest.approx(
        [x for a, b in once for x in (wide - a, b)], abs=2e-3
    )  # fmt: skip


def test_every_section_is_checked() -> None:
    assert tuple(shapes()) == NAMES


def test_legs_by_name() -> None:
    edge_in, edge_out = [("hem", 10), ("edge", 20)], [("edge", 20), ("hem", 10)]
    assert {
        name: [leg for leg, _ in legs(bent)] for name, (bent, _) in shapes().items() if name in ("barge", "apron")
    } == {
        "barge": ["hem", "edge", "top", "face", "kick"],
        "apron": ["hem", "upstand", "foot", "edge", "hem"],
    }
    assert legs(fold.cap(100.0, 120.0, EDGING)) == [*edge_in, ("wing", 100), ("wing", 100), *edge_out]
    assert legs(fold.pitch_change(1.0, 2.0, 3.0, 4.0, EDGING)) == [
        ("under upper sheets", 1), ("over lower sheets", 2), *edge_out
    ]  # fmt: skip
    assert [leg for leg, _ in legs(fold.lining(3.0, 2.0, 1.0))] == ["flange", "side", "base", "side", "flange"]
    assert [leg for leg, _ in legs(fold.head_cap(1.0, 2.0, 3.0, EDGING))] == ["hem", "edge", "top", "face", "kick"]
    assert [leg for leg, _ in legs(fold.tray(1.0, 90.0, EDGING))] == ["return", "wing", "wing", "return"]
    # whole millimetres, up; crumbs of floating point take none
    assert [Leg("a", mm).whole_mm for mm in (10.0, 10.009, 10.02, 9.5)] == [10, 10, 11, 10]


def test_the_record_of_a_section() -> None:
    bent = fold.apron(75.3, 12.0, 130.0, 115.04, EDGING)
    assert section("an item", "Apron", bent, 1) == FoldSection(
        item="an item",
        name="Apron",
        points_mm=walk(bent),
        legs=(("hem", 12), ("upstand", 76), ("foot", 130), ("edge", 20), ("hem", 10)),
        angles_deg=(0.0, 115.0, 135.0, 0.0),
        girth_mm=12 + 76 + 130 + 20 + 10,
        folds=4,
        hems=2,
        colour_side="top",
        soft_edges=1,
    )
    assert section("an item", "Lining", fold.lining(300.0, 110.0, 60.0), 0, "inside").colour_side == "inside"
    assert section("an item", "Lining", fold.lining(300.0, 110.0, 60.0), 0).hems == 0


A, B = (1.0, 2.0, 3.0), (4000.0, 2.0, 3.0)


def valley(slope: float = 15.0) -> RoofEdge:
    return RoofEdge(
        "V1", "main", EdgeKind.VALLEY, "N1", "N2", A, B, ("P1", "P2"), dist(A, B), dist(A, B), slope, 150.0, False
    )


def tray(*wings: int) -> Any:
    legs = tuple(("wing" if wide else "return", mm) for mm, wide in ((25, 0), *((w, 1) for w in wings), (25, 0)))
    return SimpleNamespace(edge="V1", section=SimpleNamespace(legs=legs))


VALUES = {
    "valley_least_slope_deg": 8.0,
    "valley_least_width_mm": 250.0,
    "valley_depth_up_to_deg": 12.0,
    "valley_depth_mm": 50.0,
    "valley_needs_downpipe_m2": 25.0,
}
SETTINGS: Any = SimpleNamespace(
    number=VALUES.__getitem__, basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}")
)


def told(code: str, severity: Severity, text: str, advice: str, basis: str) -> Finding:
    return Finding(code, severity, f"Valley V1: {text}.", advice, ("V1",), A, f"source of {basis}")


def test_width_of_a_tray() -> None:
    assert (tray_width_mm(tray(120, 131)), tray_width_mm(SimpleNamespace(section=None))) == (251.0, 0.0)  # type: ignore[arg-type]


def test_what_is_said_of_a_tray() -> None:
    steep = told("valley-slope-below-least", Severity.WARN, "slopes 7.9 degrees; the least is 8",
                 "Raise the pitch, or have the valley designed.", "valley_least_slope_deg")  # fmt: skip
    narrow = told("valley-too-narrow", Severity.WARN, "the tray is 249 mm wide between its returns; the least is 250",
                  "Widen the gap between the sheets or their cover over the tray.", "valley_least_width_mm")  # fmt: skip
    assert _tray(tray(125, 125), valley(8.0), SETTINGS) == []
    assert _tray(tray(125, 124), valley(7.9), SETTINGS) == [steep, narrow]
    least: Any = SimpleNamespace(number={**VALUES, "valley_least_width_mm": 250.005}.__getitem__, basis=SETTINGS.basis)
    assert _tray(tray(125, 125), valley(), least) == []


@pytest.mark.parametrize(
    ("pitch", "more"),
    [(12.1, None), (12.0000001, ""), (12.0, ""), (11.9, " and in one piece, or seal its joints")],
)
def test_what_a_flat_valley_asks_for(pitch: float, more: str | None) -> None:
    text = f"at a pitch of {pitch:.1f} degrees make the tray at least 50 mm deep{more}"
    wanted = told("valley-flat", Severity.NOTE, text, "Fix it at the upper end only.", "valley_depth_up_to_deg")
    assert _flat(tray(), valley(), pitch, SETTINGS) == ([] if more is None else [wanted])


def test_what_a_large_catchment_asks_for() -> None:
    assert _large(valley(), 25.0, SETTINGS) == _large(valley(), 25.0 + 5e-10, SETTINGS) == []
    assert _large(valley(), 25.1, SETTINGS) == [
        told("valley-large-catchment", Severity.NOTE, "25.1 m2 of roof drain into it, more than 25",
             "A downpipe stands within 2 m of its foot.", "valley_needs_downpipe_m2")
    ]  # fmt: skip


def test_nothing_is_said_where_no_valley_has_a_tray() -> None:
    roof: Any = SimpleNamespace(edges=(valley(),))
    assert valley_findings(roof, (), SETTINGS) == ()
    assert valley_findings(roof, (SimpleNamespace(edge="R1"),), SETTINGS) == ()  # type: ignore[arg-type]
