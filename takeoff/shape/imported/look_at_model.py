"""A look at a model: its bodies, each with its size, and how a job names it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import UndecidedError
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.faces import MM_PER_UNIT, RawFaces, Unit
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked, LookedBody
from takeoff.shape.imported.deciding.settle import Settled, settle
from takeoff.shape.imported.drawn.paste_lines import shape_line

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[np.int64]


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
    owners = hanging_together(settled.points_mm, settled.triangles)
    found: list[tuple[float, LookedBody]] = []
    for owner in dict.fromkeys(owners.tolist()):
        mine = owners == owner
        corners = settled.points_mm[settled.triangles[mine]]
        low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
        size = high - low
        part = raw.parts[int(raw.part_of[mine][0])]
        area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum() / 2
        spans = (float(max(size[:2])), float(min(size[:2])), float(size[2]))
        body = LookedBody(0, part.name or part.id, part.stated.value, spans, float(low[2]), int(mine.sum()))
        found.append((float(area), body))
    found.sort(key=lambda one: -one[0])
    return tuple(
        LookedBody(number, body.name, body.part, body.size_mm, body.low_mm, body.faces)
        for number, (_, body) in enumerate(found, start=1)
    )


def hanging_together(points_mm: NDArray[np.float64], triangles: Numbers) -> Numbers:
    """For each triangle the number of the body it belongs to: triangles are of one body where they share a corner,
    corners within the weld distance being one."""
    cells = np.round(points_mm / TOLERANCES.weld_mm).astype(np.int64)
    _, same = np.unique(cells, axis=0, return_inverse=True)
    corners = same.reshape(-1)[triangles]
    label = np.arange(int(corners.max()) + 1 if len(corners) else 0)
    while len(corners):
        least = label[corners].min(axis=1)
        before = label.copy()
        for k in range(3):
            np.minimum.at(label, corners[:, k], least)
        label = label[label]
        if np.array_equal(label, before):
            break
    return label[corners[:, 0]] if len(corners) else np.zeros(0, dtype=np.int64)
