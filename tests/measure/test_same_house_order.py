"""What is bought for a house does not change with how it lies on the plan.

The first three are drawings as they came in, each beside the same house drawn square; the figures of the square houses
were taken from them as they stand. The rest are sheets and underlay of planes that a coarse drawing split: nothing of
them lies far away (by hand: no side moves further than 20 times its trim).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest
import yaml

from takeoff import pipeline
from takeoff.basics.errors import TakeoffError
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.order import Takeoff
from takeoff.model.roof import RoofPlane
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.outline_order.put_in_order import OrderedRings
from takeoff.shape.strips import sheeted_area
from takeoff.shape.strips.sheeted_area import move_sides

SETTINGS = resolve_settings(Job(job="check"))
SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
EIGHT = [[0, 0], [3000, 0], [3000, -1500], [6000, -1500], [6000, 0], [9000, 0], [9000, 8000], [0, 8000]]
EIGHT_DRAWN = [
    [0, 0], [2702.907, 1301.651], [3353.732, -49.802], [6056.639, 1251.849], [5405.813, 2603.302], [8108.72, 3904.954],
    [4637.65, 11112.705], [-3471.07, 7207.751],
]  # fmt: skip
TEE = [[0, 0], [12900, 0], [12900, 9200], [9900, 9200], [9900, 15400], [5300, 15400], [5300, 9200], [0, 9200]]
TEE_DRAWN = [
    [0, 0], [11624, 5594], [7634, 13884], [4931, 12583], [2242, 18170], [-1903, 16175], [786, 10588], [-3990, 8290],
]  # fmt: skip


def _bought(takeoff: Takeoff) -> dict[str, float]:
    assert takeoff.order is not None
    found: dict[str, float] = defaultdict(float)
    for line in takeoff.order.lines:
        found[line.item] += line.total
    return {item: round(total, 2) for item, total in found.items()}


def _house(north_deg: float, **roof: Any) -> dict[str, Any]:
    covering = {"profile": "corrugated", "bmt_mm": 0.55, "lay_from": "west"}
    keys = {"pitch_deg": 25, "eave_overhang_mm": 450, "fascia_height_mm": 2400, "covering": covering}
    return {"job": "same house", "north_deg": north_deg, "roofs": [{**keys, **roof}]}


def _run(house: dict[str, Any]) -> Takeoff:
    return pipeline.run(parse_job(yaml.safe_dump(house), "job.yaml"))


def test_eight_corners_of_a_house_at_25_degrees() -> None:
    """Two eaves of 3 m in one line on either side of a bay: 140.30 m of sheets and 3 rolls of underlay.

    By hand: an eave square to the wind is laid from the end that buys less (common practice, no source). Both sides of
    the bay rise tan 47.814 deg = 1.10338 across the eave, over the 845 mm of a sheet 932.4, and 50 is 990. Strips three
    and four start 1524 and 2286 in, the valley's foot 1432.5 in and its eave 1680.1 below the ridge: 1579.2 and 738.4, so
    1630 and 790; strip two takes the whole rafter either way. From its other end one side bought 970, 1650 and 810, so
    140.32 m less 0.02.
    """
    drawn = _run(_house(25.7, outline=EIGHT_DRAWN))
    bought = _bought(drawn)
    assert bought == _bought(_run(_house(0.0, outline=EIGHT)))
    assert (bought["sheet corrugated"], bought["roof_underlay_1350"]) == (140.3, 3.0)


def test_a_tee_as_a_plan_in_whole_millimetres_gives_it() -> None:
    """293.87 m of sheets and 6 rolls, as the square house.

    By hand: both long sides of the wing are laid from the valley's head, the end that buys less (common practice, no
    source), where crests in line across the ridge once moved one of them 10.22 mm out: 10.22 x tan 47.814 deg = 11.28 mm
    of reach. Its first three sheets, at 845 mm (then 762 more each) x 1.10338: 932.4, 1773.1, 2613.9, so 990, 1830,
    2670 for 980, 1820, 2660; its last three 2258.8, 1418.0, 577.3, so 2310, 1470, 630 for 2330, 1480, 640: 293.88 m and
    0.03, less 0.04.
    """
    drawn = _run(_house(25.7, wall_line=TEE_DRAWN))
    bought = _bought(drawn)
    square = _bought(_run(_house(0.0, wall_line=TEE)))
    for item in ("sheet corrugated", "roof_underlay_1350", "underlay_tape", "junction_3_way", "junction_valley_head"):
        assert bought.get(item) == square.get(item), item
    assert (bought["sheet corrugated"], bought["roof_underlay_1350"]) == (293.87, 6.0)


def _drawn(house: dict[str, Any], deg: float, places: int) -> dict[str, Any]:
    """A sample turned, shifted to survey coordinates and rounded, north turned alike."""
    c, s = cos(radians(deg)), sin(radians(deg))

    def place(point: Sequence[float]) -> list[float]:
        x, y = point
        return [round(c * x - s * y + 1_758_000_123.0, places), round(s * x + c * y + 5_423_000_456.0, places)]

    for roof in house["roofs"]:
        for key in ("wall_line", "outline"):
            if key in roof:
                roof[key] = [place(point) for point in roof[key]]
    return house | {"north_deg": house.get("north_deg", 0.0) + deg}


@pytest.mark.parametrize(("name", "deg", "places"), [
    ("homestead", 37.3, 3), ("homestead", 25.7, 1), ("verandah", 11.25, 4), ("verandah", 25.7, 1), ("butterfly", 25.7, 1),
    ("single_pitch", -61.9, 1), ("lean_to", 37.3, 1), ("gambrel", 25.7, 1), ("dormer", -61.9, 1),
])  # fmt: skip
def test_samples_turned_and_rounded_buy_the_same(name: str, deg: float, places: int) -> None:
    """To a tenth of a millimetre and finer: the very same order."""
    house = yaml.safe_load((SAMPLES / name / "job.yaml").read_text("utf-8"))
    square = _bought(_run(house))
    assert _bought(_run(_drawn(house, deg, places))) == square


def _raw_planes(ring: Sequence[Sequence[float]]) -> list[tuple[RoofPlane, Any]]:
    """Planes of an outline that was not put in order, with their edges."""
    points = [(float(x), float(y)) for x, y in ring]
    raw = OrderedRings((0.0, 0.0, 0.0), (tuple(points),))
    job = RoofJob(wall_line=points, eave_overhang_mm=450.0, pitch_deg=25.0)
    roof = roof_from_outline(job, 0.0, SETTINGS, ordered=raw)
    return [(plane, roof.edges_of(plane.id)) for plane in roof.planes]


@pytest.mark.parametrize("places", range(6))
@pytest.mark.parametrize("deg", [37.3, 25.7, -61.9])
def test_no_moved_side_ends_far_away(deg: float, places: int) -> None:
    """Planes split by micrometres, as a shape that nobody ordered may have them: each kind of edge moved in turn."""
    c, s = cos(radians(deg)), sin(radians(deg))
    for plane, edges in _raw_planes([[round(c * x - s * y, places), round(s * x + c * y, places)] for x, y in TEE]):
        us, vs = ([point[axis] for ring in plane.rings_uv for point in ring] for axis in (0, 1))
        for kind in {edge.kind for edge in edges}:
            for trim in (150.0, -25.0):
                moved = move_sides(plane, edges, {edge.id: trim for edge in edges if edge.kind is kind})
                assert all(
                    min(us) - 3001.0 < u < max(us) + 3001.0 and min(vs) - 3001.0 < v < max(vs) + 3001.0
                    for ring in moved.rings
                    for u, v in ring
                )


def test_a_side_that_ends_far_away_stops_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    """Planted: mitres are let run."""
    near = sheeted_area._FAR_MITRE
    plane, edges = _raw_planes(TEE)[0]
    trims = {edge.id: 50.0 for edge in edges}
    monkeypatch.setattr(sheeted_area, "_FAR_MITRE", 0.5)
    with pytest.raises(TakeoffError, match="a fault of the program"):
        sheeted_area._stays_near(
            sheeted_area.SheetedArea((((0.0, 0.0), (9e5, 0.0), (0.0, 9e5)),), (("",) * 3,)), plane, 50.0
        )
    monkeypatch.setattr(sheeted_area, "_FAR_MITRE", near)
    assert move_sides(plane, edges, trims).area_mm2 > plane.area_mm2
