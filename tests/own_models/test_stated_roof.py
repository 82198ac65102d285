"""Of a slab's faces one is roof: its greatest plane that looks up, not the end that a square cut makes look up too.

The gable's southern plane as a slab 600 mm thick, cut square: top 12 x 5 m, its end at the ridge 12 x 0.6 m.
"""

from __future__ import annotations

import numpy as np
import pytest
from own_houses import Point, gable
from write_ifc import prism

from takeoff.model.faces import RawPart, StatedPart, raw_faces
from takeoff.shape.imported.deciding.stated_roof import stated_roof

# down square to a slope of 3 in 4 that falls to the south: 600 mm
SQUARE: Point = (0.0, 0.36, -0.48)


def _area_m2(points: np.ndarray, triangles: np.ndarray) -> float:
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2e6


@pytest.mark.parametrize(("face", "high_mm"), [("top", 5400.0), ("underside", 5400.0 - 480.0)])
def test_the_greatest_plane_of_a_square_slab_is_taken_alone(face: str, high_mm: float) -> None:
    rings = prism(list(gable().faces[0].rings[0]), SQUARE)
    points = [tuple(1000.0 * v for v in point) for ring in rings for point in ring]
    numbers: dict[tuple[float, ...], int] = {}
    corners = [numbers.setdefault(point, len(numbers)) for point in points]
    triangles = [
        t for k in range(0, len(corners), 4) for t in (corners[k : k + 3], [corners[k], *corners[k + 2 : k + 4]])
    ]
    raw = raw_faces(list(numbers), triangles, "slab", parts=(RawPart("1", "slab", StatedPart.ROOF),))
    found = stated_roof(raw, raw.points, face)  # type: ignore[arg-type]
    assert _area_m2(raw.points, found.triangles) == pytest.approx(60.0)
    assert float(raw.points[found.triangles][:, :, 2].max()) == pytest.approx(high_mm)
    a, b, c = (raw.points[found.triangles[:, k]] for k in range(3))
    assert (np.cross(b - a, c - a)[:, 2] > 0.0).all()
    assert "600 mm thick" in found.findings[0].text
