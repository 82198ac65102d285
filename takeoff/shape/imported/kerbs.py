"""Small holes in an imported roof: rooflights and chimneys stand in them, no gutter hangs there and no barge."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.polygons import rings_area
from takeoff.basics.vectors import sub3, unit3
from takeoff.model.roof import UprightKind
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.imported.eaves import rises_in
from takeoff.shape.imported.mesh_borders import Border
from takeoff.shape.imported.planes import Patch

LARGEST_MM2 = MODEL_LIMITS.kerb_most_mm2
_HEIGHT_MM = MODEL_LIMITS.kerb_height_mm


def kerb_borders(plan: Plan, outline: Sequence[Border], patches: Sequence[Patch], sides: OutlineSides) -> list[Border]:
    """The borders of small holes. A hole that its planes fall to from all round is a courtyard."""
    found: list[Border] = []
    for ring, numbers in zip(plan.outline_mm[1:], plan.edge_numbers[1:], strict=True):
        if rings_area([ring]) > LARGEST_MM2:
            continue
        own = set(numbers)
        round_it = [border for border in outline if own & set(sides.under([border.ends], own, single=False))]
        if round_it and all(rises_in(patches[border.patch], border) for border in round_it):
            continue
        found += round_it
    return found


def kerb_faces(borders: Sequence[Border]) -> list[Face]:
    """Upright faces on the borders of small holes."""
    found = []
    for a, b in (border.ends for border in borders):
        along = sub3(b, a)
        if along[0] or along[1]:
            up = [(x, y, z + _HEIGHT_MM) for x, y, z in (a, b)]
            normal = unit3((-along[1], along[0], 0.0))
            found.append(Face(((b, a, up[0], up[1]),), normal, upright=UprightKind.KERB))
    return found
