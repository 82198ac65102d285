"""What two roofs share is counted once in every total; expected lengths are worked out by hand on rectangles (derived).

Butterfly: leaves of 6 and 4 m by 9 m at 10 degrees fall to one gutter. Wing: 5 m wide at 35 degrees, 4 m out from a hip
house 14 x 9 m at 25. Dormer: 2 m wide at 30 degrees on a gable house 12 x 9 m at 40.
"""

from __future__ import annotations

import re
from math import cos, hypot, radians, tan
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.measure.roofing.underlay import valley_strips
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Takeoff
from takeoff.model.order_folder import Written
from takeoff.screen import show_takeoff
from takeoff.write.drawings.drawing import Text
from takeoff.write.drawings.plan_drawing import roof_plan

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def _tan(degrees: float) -> float:
    return tan(radians(degrees))


# a crossing ridge is as high as half its width rises, and goes that far into the slope that it meets
WING_RISE, DORMER_RISE = 2.5 * _tan(35), 1.0 * _tan(30)
WING_VALLEY = hypot(2.5, WING_RISE / _tan(25), WING_RISE)
DORMER_VALLEY = hypot(1.0, DORMER_RISE / _tan(40), DORMER_RISE)
# the dormer's eave, 5000 high, runs from its front at 1.4 m to where the main slope (2400 at -0.6 m) is as high
DORMER_EAVE = 2.6 / _tan(40) - 0.6 - 1.4
TOTALS = {
    "butterfly": {
        "internal gutter": 9.0,
        "head": 18.0,
        "verge": 2 * (6 + 4) / cos(radians(10)),
    },
    "wing": {
        "valley": 2 * WING_VALLEY,
        "ridge": (14 - 9) + 4 + WING_RISE / _tan(25),
        "hip": 4 * hypot(4.5, 4.5, 4.5 * _tan(25)),
        "verge": 2 * 2.5 / cos(radians(35)),
        "eave": 2 * (14 + 9) - 5 + 2 * 4,
    },
    "dormer": {
        "valley": 2 * DORMER_VALLEY,
        "ridge": 12 + DORMER_EAVE + DORMER_RISE / _tan(40),
        "eave": 2 * 12 + 2 * DORMER_EAVE,
        "apron head": 2.0,
        "apron side": 2 * DORMER_EAVE / cos(radians(40)),
    },
}


@pytest.fixture(scope="module", params=sorted(TOTALS))
def case(request: pytest.FixtureRequest) -> tuple[str, Takeoff]:
    return request.param, pipeline.run_file(SAMPLES / request.param / "job.yaml")


def test_measures_and_screen_add_up_to_the_hand_arithmetic(
    case: tuple[str, Takeoff], capsys: pytest.CaptureFixture[str]
) -> None:
    sample, takeoff = case
    show_takeoff(takeoff, Written(Path("out"), ()))
    lines = [line for line in capsys.readouterr().out.splitlines() if line.startswith("  ")]
    shown = [(kind.strip(), float(metres)) for kind, metres in re.findall(r"([a-z ]+) ([\d.]+) m\b", " ".join(lines))]
    for kind, metres in TOTALS[sample].items():
        slug = kind.replace(" ", "_")
        figures = [q.figure for q in takeoff.measures if q.id.startswith("length.") and q.id.endswith(f".{slug}")]
        assert sum(figures) == pytest.approx(metres, abs=1e-6), kind
        assert sum(m for name, m in shown if name == kind) == pytest.approx(metres, abs=0.011), kind


def test_every_total_by_edges_counts_each_edge_once(case: tuple[str, Takeoff]) -> None:
    """Flashings, measures and the schedule of edges on the plan name every edge once and leave none out."""
    _, takeoff = case
    every = sorted({edge.id for roof in takeoff.roofs for edge in roof.edges})
    lengths = [q for q in takeoff.measures if q.id.startswith("length.")]
    assert sorted(ref for q in lengths for ref in q.refs) == every
    eaves = {edge.id for roof in takeoff.roofs for edge in roof.edges if edge.kind is EdgeKind.EAVE}
    assert sorted(run.edge for run in takeoff.roofing.flashings) == sorted(set(every) - eaves)
    drawing = roof_plan(takeoff)
    assert drawing is not None
    texts = [item for item in drawing.items if isinstance(item, Text) and item.layer == "TEXT"]
    # below the heads "edge" of the schedule: an edge too short for its length has its id alone beside it on the plan too
    columns = {item.at_mm[0] for item in texts if item.text == "edge"}
    schedule = [item.text for item in texts if item.at_mm[0] in columns and not item.middle]
    assert sorted(word for word in schedule if word in every) == every


def test_junction_pieces_are_riveted_once(case: tuple[str, Takeoff]) -> None:
    sample, takeoff = case
    pieces = [q for need in takeoff.roofing.needs for q in need.quantities if q.item.startswith("junction_")]
    (rivets,) = (q for need in takeoff.roofing.needs for q in need.quantities if q.item == "rivet")
    (counted,) = (term.value for term in rivets.working.terms if term.name == "junction pieces")
    # wing: two 3-way and four hip ends of the house, valley head, two valley feet, ridge end of the gable; dormer:
    # three ridge ends, valley head and feet, two corners of aprons at its front; butterfly: a left and a right corner of
    # head cap and barge on each leaf, both ends of the gutter's lining
    assert counted == {"dormer": 8, "wing": 10, "butterfly": 6}[sample] == sum(q.figure for q in pieces)


def test_valleys_get_one_strip_of_underlay_and_boards_on_both_sides(case: tuple[str, Takeoff]) -> None:
    sample, takeoff = case
    strips = [strip.length_mm for roof in takeoff.roofs for strip in valley_strips(roof, takeoff.settings)]
    valley_mm = TOTALS[sample].get("valley", 0.0) * 500
    # 150 over the head, 20 into the gutter
    assert strips == pytest.approx([valley_mm + 170.0] * (2 if valley_mm else 0))
    boards = [line.plane for line in takeoff.roofing.purlins if line.role == "valley board"]
    crossing = {"dormer": ("P3", "P4"), "wing": ("P5", "P6"), "butterfly": ()}[sample]
    assert sorted(boards) == (["P1"] * 4 if crossing else []) + [plane for plane in crossing for _ in range(2)]


def test_catchments_of_all_runs_add_up_to_the_plan(case: tuple[str, Takeoff]) -> None:
    """Rain on the plan of all roofs reaches a gutter; where a roof stands over another the plan counts once."""
    sample, takeoff = case
    plan_m2 = {"dormer": 12 * 9, "wing": 14 * 9 + 5 * 4, "butterfly": (6 + 4) * 9}[sample]
    assert sum(run.own_catchment_mm2 for run in takeoff.gutters) == pytest.approx(plan_m2 * 1e6)
    assert sum(1 for run in takeoff.gutters if run.internal) == (1 if sample == "butterfly" else 0)


def test_planes_are_painted_with_their_own_roof(case: tuple[str, Takeoff]) -> None:
    _, takeoff = case
    (paint,) = (q for need in takeoff.roofing.needs for q in need.quantities if q.item == "touch_up")
    area_m2 = sum(plane.area_mm2 for roof in takeoff.roofs for plane in roof.planes) / 1e6
    assert paint.working.terms[0].value == pytest.approx(area_m2, abs=1e-3)
    assert sorted(paint.refs) == sorted(plane.id for roof in takeoff.roofs for plane in roof.planes)
