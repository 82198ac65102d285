"""A hole in a model's roof is a kerb to its order: flashed on four sides, with no gutter, barge or cap of its own.

The house is a gable 12 x 8 m of 30 degrees; the hole 0.9 m wide and 1.2 m up the slope in plan (derived by hand).
"""

from __future__ import annotations

from math import cos, radians, tan
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Takeoff

P = radians(30.0)
X, Y = (5.0, 5.9), (1.5, 2.7)
JOB = """
job: hut
site: {wind_zone: medium, rain_mm_per_h: 100}
roofs: [{name: main, shape: {file: hut.obj, unit: m, up: z}}]
rainwater: {gutter: quad_125, downpipe: round_80, method: e1_as1, ground_mm: -150}
"""


def _model(hole: bool) -> str:
    ring = [(0, 0), (12, 0), (12, 4), (0, 4), (0, 8), (12, 8)]
    points = [(x, y, 2.4 + (y if y <= 4 else 8 - y) * tan(P)) for x, y in ring]
    points += [(x, y, 0.0) for x, y in ((0, 0), (12, 0), (12, 8), (0, 8))]
    faces = [[4, 3, 6, 5], [1, 7, 8, 2], [6, 9, 10, 5], [2, 8, 9, 6, 3], [10, 7, 1, 4, 5]]
    if hole:
        points += [(x, y, 2.4 + y * tan(P)) for x, y in ((X[0], Y[0]), (X[1], Y[0]), (X[1], Y[1]), (X[0], Y[1]))]
        faces += [[1, 2, 12, 11], [2, 3, 13, 12], [3, 4, 14, 13], [4, 1, 11, 14]]
    else:
        faces += [[1, 2, 3, 4]]
    rows = [f"v {x} {y} {z}" for x, y, z in points] + ["f " + " ".join(map(str, face)) for face in faces]
    return "\n".join(rows) + "\n"


def _order(tmp_path: Path, hole: bool) -> Takeoff:
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    (tmp_path / "hut.obj").write_text(_model(hole), encoding="utf-8")
    return pipeline.run_file(tmp_path / "job.yaml")


def test_a_hole_is_a_kerb(tmp_path: Path) -> None:
    bare, holed = _order(tmp_path, False), _order(tmp_path, True)
    (roof,) = holed.roofs
    kerbs = [edge for edge in roof.edges if edge.kind is EdgeKind.KERB]
    around = 2 * 900.0 + 2 * 1200.0 / cos(P)
    assert sum(edge.length_mm for edge in kerbs) == pytest.approx(around)
    others = [(e.kind, round(e.length_mm, 3)) for e in roof.edges if e.kind is not EdgeKind.KERB]
    assert others == [(edge.kind, round(edge.length_mm, 3)) for edge in bare.roofs[0].edges]
    assert holed.stops == ()
    assert holed.order is not None
    assert bare.order is not None
    (kerb,) = [line for line in holed.order.lines if line.item.startswith("kerb_")]
    assert kerb.total * 1000.0 >= around
    for start in ("gutter", "barge", "ridge", "head", "downpipe", "Gutter"):
        one, other = (
            [(line.item, line.total) for line in order.lines if line.item.startswith(start)]
            for order in (bare.order, holed.order)
        )
        assert one == other
    assert "roof-opening" in [finding.code for finding in holed.findings]
