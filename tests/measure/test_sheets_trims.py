"""Where sheets end at each kind of edge: one named test a kind, so that a wrong sign in any trim is seen.

Values: 50 past a fascia on the rake, 70 where no spouting hangs (code of practice, overhang); 50 gap at a ridge (a
merchant's guide); 50 clear gap in a valley (E2/AS1 as restated); the rest common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.sheets import sheet_trims
from takeoff.measure.roofing.sheets.sheet_trims import plane_trims
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame, RoofEdge, RoofPlane
from takeoff.model.settings import Settings
from takeoff.shape.strips.sheeted_area import sheeted_area

WIDE, HIGH = 6000.0, 4000.0
CORNERS = ((0.0, 0.0), (WIDE, 0.0), (WIDE, HIGH), (0.0, HIGH))
SIDES = ("foot", "right", "head", "left")


def bounds(kinds: dict[str, EdgeKind], settings: Settings, bare: tuple[int, ...] = ()) -> dict[str, float]:
    """Where the sheets of a flat 6 x 4 m plane end when its sides are of these kinds."""
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    plane = RoofPlane("P1", "main", frame, (CORNERS,), (1,), 1, 20.0, 180.0, WIDE * HIGH, WIDE * HIGH)
    edges = []
    for number, side in enumerate(SIDES):
        a, b = (*CORNERS[number], 0.0), (*CORNERS[(number + 1) % 4], 0.0)
        kind = kinds.get(side, {"foot": EdgeKind.EAVE, "head": EdgeKind.HEAD}.get(side, EdgeKind.VERGE))
        outline = (number + 1,)
        edges.append(RoofEdge(side, "main", kind, "N1", "N2", a, b, ("P1",), 1.0, 1.0, 0.0, 180.0, True, outline))
    trims = plane_trims(plane, edges, settings, bare)
    ring = sheeted_area(plane, edges, {name: trim.mm for name, trim in trims.items()})[0]
    us, vs = [u for u, _ in ring], [v for _, v in ring]
    return {"foot": -min(vs), "right": max(us) - WIDE, "head": max(vs) - HIGH, "left": -min(us)}


@pytest.mark.parametrize(
    ("kind", "side", "past_mm"),
    [
        (EdgeKind.EAVE, "foot", 50.0),
        (EdgeKind.PITCH_CHANGE, "foot", 50.0),
        (EdgeKind.INTERNAL_GUTTER, "foot", 50.0 - 150.0),  # past the edge of a gutter 300 wide
        (EdgeKind.RIDGE, "head", -25.0),
        (EdgeKind.APRON_HEAD, "head", -25.0),
        (EdgeKind.HEAD, "head", 0.0),
        (EdgeKind.PITCH_CHANGE, "head", -25.0),
        (EdgeKind.HIP, "left", -25.0),
        (EdgeKind.HIP, "right", -25.0),
        (EdgeKind.VALLEY, "left", -25.0),
        (EdgeKind.VALLEY, "right", -25.0),
        (EdgeKind.VERGE, "left", 0.0),
        (EdgeKind.APRON_SIDE, "right", 0.0),
    ],
    ids=lambda value: str(value),
)
def test_sheets_end_at(kind: EdgeKind, side: str, past_mm: float, settings: Settings) -> None:
    assert bounds({side: kind}, settings)[side] == pytest.approx(past_mm)


def test_sheets_go_further_past_an_eave_without_spouting(settings: Settings) -> None:
    assert bounds({}, settings, bare=(1,))["foot"] == pytest.approx(70.0)
    assert bounds({}, settings, bare=(2,))["foot"] == pytest.approx(50.0)


def test_each_trim_moves_its_own_edge_only(settings: Settings) -> None:
    ends = bounds({"head": EdgeKind.RIDGE, "left": EdgeKind.HIP}, settings)
    assert ends == pytest.approx({"foot": 50.0, "right": 0.0, "head": -25.0, "left": -25.0})


@pytest.mark.parametrize(
    ("kind", "side", "name", "way"),
    [
        (EdgeKind.EAVE, "foot", "sheet_over_eave_mm", 1.0),
        (EdgeKind.PITCH_CHANGE, "foot", "pitch_change_over_mm", 1.0),
        (EdgeKind.PITCH_CHANGE, "head", "pitch_change_under_mm", -1.0),
        (EdgeKind.RIDGE, "head", "ridge_gap_mm", -0.5),
        (EdgeKind.HIP, "left", "hip_trim_mm", -1.0),
        (EdgeKind.VALLEY, "right", "valley_gap_mm", -0.5),
        (EdgeKind.APRON_HEAD, "head", "apron_head_trim_mm", -1.0),
        (EdgeKind.APRON_SIDE, "right", "apron_side_trim_mm", -1.0),
        (EdgeKind.APRON_SIDE, "left", "apron_side_trim_mm", -1.0),
        (EdgeKind.VERGE, "left", "verge_trim_mm", -1.0),
        (EdgeKind.VERGE, "right", "verge_trim_mm", -1.0),
        (EdgeKind.HEAD, "head", "head_trim_mm", -1.0),
        (EdgeKind.INTERNAL_GUTTER, "foot", "internal_gutter_over_mm", 1.0),
        (EdgeKind.INTERNAL_GUTTER, "foot", "internal_gutter_width_mm", -0.5),
    ],
    ids=lambda value: str(value),
)
def test_a_trim_of_the_job_goes_the_way_its_words_say(
    kind: EdgeKind, side: str, name: str, way: float, settings: Settings
) -> None:
    """Some defaults are 0, which has no sign: 12 mm more of each setting, "past" an edge outwards, "short" of it in."""
    more = replace(settings.values[name], value=settings.number(name) + 12.0)
    there = bounds({side: kind}, replace(settings, values={**settings.values, name: more}))[side]
    assert there - bounds({side: kind}, settings)[side] == pytest.approx(way * 12.0)


@pytest.mark.parametrize(
    ("low", "high", "foot"),
    [
        (2999.0, 2999.0, True),
        (3000.0, 3000.0, False),
        (3001.0, 3001.0, False),
        (1000.0, 4998.0, True),
        (1002.0, 5000.0, False),
        (1000.0, 1000.0, True),
    ],
)
def test_the_low_end_of_a_plane(low: float, high: float, foot: bool) -> None:
    """A plane from 1000 to 5000 up, its origin 700 off: its middle lies at 3000; of an edge its own middle counts."""
    frame = Frame((0.0, 700.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    ring = tuple((u, v + 1000.0) for u, v in CORNERS)
    plane = RoofPlane("P1", "main", frame, (ring,), (1,), 1, 20.0, 180.0, 1.0, 1.0)
    a, b = (0.0, low + 700.0, 0.0), (WIDE, high + 700.0, 0.0)
    edge = RoofEdge("C1", "main", EdgeKind.PITCH_CHANGE, "N1", "N2", a, b, ("P1",), 1.0, 1.0, 0.0, 180.0, True)
    assert sheet_trims._at_foot(edge, plane) is foot
