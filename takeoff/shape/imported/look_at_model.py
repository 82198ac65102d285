"""A look at a model: its bodies, each with its size, and how a job names it."""

from __future__ import annotations

import numpy as np

from takeoff.basics.errors import UndecidedError
from takeoff.model.faces import MM_PER_UNIT, RawFaces, Unit
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked, LookedBody
from takeoff.shape.imported.deciding.bodies import find_bodies
from takeoff.shape.imported.deciding.settle import Settled, settle
from takeoff.shape.imported.drawn.paste_lines import shape_line
from takeoff.shape.imported.net import make_net

_WALL_FROM_DEG = 75.0  # as settings/model.yaml has it where a job says nothing


def look_at_model(raw: RawFaces, kind: str, unit: Unit | None = None) -> Looked:
    """Bodies of a model, faces that hang together, the largest first. Raises ShapeError where the unit makes it no
    house's size."""
    try:
        settled = settle(raw, ShapeJob(file=raw.came_from, unit=unit))
    except UndecidedError as err:
        head, *ways = err.faults
        return Looked(raw.came_from, kind, "", head, notes=tuple(ways))
    bodies = _bodies(raw, settled)
    spread = [float(np.ptp(points, axis=0).max()) if len(points) else 0.0 for points in (raw.points, settled.points_mm)]
    mm = spread[1] / spread[0] if spread[0] else 1.0
    known = next((one for one, factor in MM_PER_UNIT.items() if abs(factor - mm) <= 1e-6 * mm), f"of {mm:g} mm")
    notes = tuple(f"{finding.text}; {finding.advice}".rstrip("; ") for finding in settled.findings)
    line = shape_line(raw.came_from, unit=unit or "", edge_is="outline")
    return Looked(
        raw.came_from,
        kind,
        known,
        "said, or the only one that makes a building of it",
        bodies=bodies,
        lines=(line,),
        notes=notes,
    )


def _bodies(raw: RawFaces, settled: Settled) -> tuple[LookedBody, ...]:
    """Bodies by the numbers that a job names them by."""
    origin = settled.points_mm.min(axis=0)
    net = make_net(settled.points_mm - origin, settled.triangles, settled.polygon_of, settled.part_of)
    found = []
    for body in find_bodies(net, raw.parts, _WALL_FROM_DEG):
        part = raw.parts[body.part]
        spans = [high - low for low, high in zip(body.low, body.high, strict=True)]
        size = (max(spans[:2]), min(spans[:2]), spans[2])
        low = body.low[2] + float(origin[2])
        found.append(LookedBody(body.number, part.name or part.id, part.stated.value, size, low, len(body.facets)))
    return tuple(found)
