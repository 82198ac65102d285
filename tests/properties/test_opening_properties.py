"""What is true of any hole: the sheets named for it carry all of it, and nothing but its own timber and rows changes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from shapely import Polygon, box, unary_union

from takeoff.basics.errors import JobError
from takeoff.measure.roofing.roofing import measure_roofing
from takeoff.model.job.job import Job
from takeoff.model.measured import RoofingMeasured
from takeoff.model.roof import Roof
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline


def measured(holes: list[dict[str, object]], clear: list[dict[str, object]]) -> tuple[Roof, RoofingMeasured]:
    corners = ((0, 0), (13, 0), (13, 8), (9, 8), (9, 12), (3, 12), (3, 8), (0, 8))
    roof_job = {
        "outline": [(1000.0 * x, 1000.0 * y) for x, y in corners],
        "pitch_deg": 22.0,
        "fascia_height_mm": 2450.0,
        "edges": {5: {"kind": "gable"}},
        "covering": {"lay_from": "east"},
        "penetrations": holes,
        "rooflight_sheets": clear,
    }
    job = Job.model_validate({"job": "any", "roofs": [roof_job]})
    settings = resolve_settings(job)
    roof = roof_from_outline(job.roofs[0], 0.0, settings)
    return roof, measure_roofing((roof,), job, settings, load_catalogue())


PLAIN = measured([], [])[1]
across = st.integers(1, 129).map(lambda n: 100.0 * n)
size = st.integers(1, 18).map(lambda n: 100.0 * n)


@hypothesis_settings(derandomize=True, max_examples=60, deadline=None)
@given(x=across, y=st.integers(1, 119).map(lambda n: 100.0 * n), width=size, length=size)
def test_the_sheets_named_carry_the_whole_hole(x: float, y: float, width: float, length: float) -> None:
    hole = {"kind": "rooflight", "at": (x, y), "width_mm": width, "length_mm": length}
    try:
        _, roofing = measured([hole], [])
    except JobError:
        return
    (found,) = roofing.holes
    sheets = next(s for s in roofing.sheets if s.plane == found.plane)
    pieces = {piece.mark: piece for piece in sheets.pieces}
    parts = []
    for inside in found.sheets:
        piece = pieces[inside.mark]
        left = min(u for u, _ in piece.outline_uv)
        part = box(
            left + inside.left_mm,
            piece.foot_v_mm + inside.low_mm,
            left + inside.right_mm,
            piece.foot_v_mm + inside.high_mm,
        )
        assert Polygon(piece.outline_uv).buffer(0.01).intersection(part).area > 0.0
        parts.append(part.intersection(Polygon(piece.outline_uv)))
    sheeted = unary_union([Polygon(piece.outline_uv) for piece in sheets.pieces]).intersection(Polygon(found.ring_uv))
    assert unary_union(parts).area == pytest.approx(sheeted.area, rel=1e-6)
    assert all(a.pieces == b.pieces for a, b in zip(roofing.sheets, PLAIN.sheets, strict=True))
    # no purlin, the trimmers round the hole apart, lies in a hole that is framed
    if found.trimmed:
        for line in roofing.purlins:
            if line.plane == found.plane and line.role in ("purlin", "eave", "ridge", "head"):
                timber = box(line.a_uv[0], line.a_uv[1] - 35.0, line.b_uv[0], line.b_uv[1] + 35.0)
                assert timber.intersection(Polygon(found.ring_uv)).area < 1.0


@hypothesis_settings(derandomize=True, max_examples=40, deadline=None)
@given(
    along=st.integers(0, 130).map(lambda n: 100.0 * n),
    up=st.one_of(st.none(), st.integers(0, 40).map(lambda n: 100.0 * n)),
    length=st.one_of(st.none(), st.integers(5, 40).map(lambda n: 100.0 * n)),
)
def test_clear_sheets_cover_what_the_metal_did(along: float, up: float | None, length: float | None) -> None:
    light: dict[str, object] = {"edge": 1, "from_left_mm": along, "up_mm": up, "length_mm": length}
    try:
        _, roofing = measured([], [light])
    except JobError:
        return
    assert any(piece.clear for sheets in roofing.sheets for piece in sheets.pieces)
    for new, old in zip(roofing.sheets, PLAIN.sheets, strict=True):
        before = unary_union([Polygon(ring) for piece in old.pieces for ring in piece.cover_uv])
        covers = [Polygon(ring) for piece in new.pieces for ring in piece.cover_uv]
        assert unary_union(covers).symmetric_difference(before).area == pytest.approx(0.0, abs=100.0)
        assert sum(cover.area for cover in covers) == pytest.approx(before.area, rel=1e-6)
        assert len({piece.mark for piece in new.pieces}) == len(new.pieces)
