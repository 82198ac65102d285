"""The view of the roof: what is nearer is drawn later, names stand on their own plane in sight."""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely.geometry import Point, Polygon

from takeoff import pipeline
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.drawing import Drawing, Fill, Text

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def _view(name: str) -> Drawing:
    view = roof_view(pipeline.run_file(SAMPLES / name / "job.yaml", pipeline.Stage.SHAPE))
    assert view is not None
    return view


def _faces(view: Drawing) -> list[Polygon]:
    fills = [item for item in view.items if isinstance(item, Fill) and item.shade < 1.0]
    return [Polygon(fill.rings_mm[0], fill.rings_mm[1:]) for fill in fills]


@pytest.mark.parametrize("name", ["hip_12x8", "courtyard", "gablet", "verandah", "dormer", "wing", "mansard"])
def test_every_name_lies_on_paper_and_none_twice(name: str) -> None:
    view = _view(name)
    names = [item for item in view.items if isinstance(item, Text) and item.text.startswith("P")]
    assert len({item.text for item in names}) == len(names) > 0
    faces = _faces(view)
    for item in names:
        assert any(face.contains(Point(item.at_mm)) for face in faces)


def test_the_front_of_a_hip_is_drawn_after_its_back() -> None:
    """By hand: P1 and P2 face the eye, P3 and P4 lie behind their ridge and hips; 25 degrees is flatter than the view,
    so that all four planes are seen."""
    view = _view("hip_12x8")
    names = [item.text for item in view.items if isinstance(item, Text)]
    assert {"P1", "P2", "P3", "P4"} <= set(names)


def test_steep_planes_that_face_away_are_not_drawn() -> None:
    """60 degrees down to the upper left of the plan: its normal has a negative part along the eye, -0.05 by hand."""
    names = [item.text for item in _view("unequal_pitches").items if isinstance(item, Text)]
    assert "P4" not in names
    assert {"P1", "P2", "P3"} <= set(names)


def test_a_verandah_is_drawn_before_the_roof_over_it() -> None:
    """Where the house's eave covers the verandah on paper the house is drawn last."""
    view = _view("verandah")
    fills = [item for item in view.items if isinstance(item, Fill)]
    names = {item.text: item.at_mm for item in view.items if isinstance(item, Text)}
    order = {}
    for name in ("P1", "P5"):
        inside = [
            i
            for i, fill in enumerate(fills)
            if fill.shade < 1.0 and Polygon(fill.rings_mm[0]).contains(Point(names[name]))
        ]
        order[name] = inside[-1]
    assert order["P5"] < order["P1"]


def test_a_job_without_a_roof_has_no_view() -> None:
    job = parse_job(
        "job: Wall\nwalls: {elevations: [{name: north, width_mm: 4000, height_mm: 2400}],"
        " zones: [{direction: horizontal, board: bevel_187}]}"
    )
    assert roof_view(pipeline.run(job, until=pipeline.Stage.SHAPE)) is None
