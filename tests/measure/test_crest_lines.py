"""Start lines asked for again with other sides are those of a roof asked for the first time."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.measure.roofing.sheets.crests import CrestLines, crest_shifts
from takeoff.measure.roofing.sheets.lay_direction import LayRules
from takeoff.measure.roofing.sheets.sheet_pieces import Ground
from takeoff.model.job.roofs import RoofJob
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.strips.sheeted_area import move_sides
from takeoff.shape.strips.strips import Widths

OUTLINE = [(0.0, 0.0), (14200.0, 0.0), (14200.0, 8400.0), (9000.0, 8400.0), (9000.0, 12600.0), (0.0, 12600.0)]
GABLES = {2: {"kind": "gable"}, 5: {"kind": "gable"}}
SETTINGS = default_rules()
PROFILE = load_catalogue().profiles["corrugated"]
JOB = RoofJob.model_validate({"outline": OUTLINE, "pitch_deg": 25.0, "fascia_height_mm": 2450.0, "edges": GABLES})
ROOF = roof_from_outline(JOB, 0.0, SETTINGS)
RULES = LayRules(Widths(PROFILE.cover_mm, PROFILE.overall_mm, False), PROFILE, JOB, SETTINGS, 0.0)
GROUNDS = [
    Ground(plane, move_sides(plane, ROOF.edges_of(plane.id), {}), {}, "left", "as it is") for plane in ROOF.planes
]
sides = st.lists(st.sampled_from(["left", "right"]), min_size=len(GROUNDS), max_size=len(GROUNDS))


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.lists(sides, min_size=2, max_size=6))
def test_lines_asked_for_again_are_those_of_a_roof_asked_for_once(asked: list[list[str]]) -> None:
    lines = CrestLines(ROOF, RULES)
    for choice in asked:
        grounds = [replace(ground, side=side) for ground, side in zip(GROUNDS, choice, strict=True)]
        again, once = lines.set_all(grounds), crest_shifts(ROOF, grounds, RULES)
        assert list(again.items()) == list(once.items())
    assert {out.side for out in lines.set_all(GROUNDS).values()} == {"left"}
