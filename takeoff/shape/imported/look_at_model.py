"""A look at a model: its parts as the file names them, else its bodies, each with its size, and how a job names it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import UndecidedError
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.faces import MM_PER_UNIT, RawFaces, RawPart, StatedPart
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked, LookedBody
from takeoff.shape.imported.deciding.axis import decide_axis, turned
from takeoff.shape.imported.deciding.unit import decide_unit
from takeoff.shape.imported.drawn.paste_lines import shape_line

if TYPE_CHECKING:
    from takeoff.model.faces import Numbers, Points

_MOST_BODIES = 1_000


def look_at_model(raw: RawFaces, kind: str, job: ShapeJob) -> Looked:
    """Parts or bodies of a model, the largest first; `job`: what was asked of the file. Raises ShapeError where the
    unit makes it no house's size."""
    try:
        up, on_axis = decide_axis(raw, job)
        points = turned(raw.points, up)
        mm, on_unit = decide_unit(raw, points, job)
    except UndecidedError as err:
        head, *ways = err.faults
        return Looked(raw.came_from, kind, "", head, notes=tuple(ways))
    known = next((one for one, factor in MM_PER_UNIT.items() if abs(factor - mm) <= 1e-6 * mm), f"of {mm:g} mm")
    why = "as the file states" if raw.stated_unit_mm else "no other makes a building of it"
    said = (*raw.findings, *on_axis, *on_unit)
    bodies = _bodies(raw, points * mm)
    notes = [f"{finding.text}. {finding.advice}".rstrip(". ") for finding in said]
    if len(bodies) > _MOST_BODIES:
        notes.append(f"{len(bodies):,} bodies; the {_MOST_BODIES:,} largest are listed")
    unit = known if known in MM_PER_UNIT else ""
    line = shape_line(raw.came_from, part=job.part, unit=unit, up=up, edge_is="outline")
    return Looked(
        file=raw.came_from,
        kind=kind,
        unit=known,
        unit_why="as asked" if job.unit else why,
        bodies=bodies[:_MOST_BODIES],
        lines=(line,),
        notes=tuple(notes),
    )


def _bodies(raw: RawFaces, points_mm: Points) -> tuple[LookedBody, ...]:
    """The parts that a file names; of a file that names none the bodies whose faces hang together."""
    named = len(raw.parts) > 1
    owners = raw.part_of if named else hanging_together(points_mm, raw.triangles)
    corners = points_mm[raw.triangles]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2.0
    order = np.argsort(owners, kind="stable")
    _, starts = np.unique(owners[order], return_index=True)
    found: list[tuple[float, LookedBody]] = []
    for mine in np.split(order, starts[1:]) if len(order) else []:
        part = raw.parts[int(raw.part_of[mine[0]])]
        found.append((float(areas[mine].sum()), _body(part, corners[mine], named)))
    found.sort(key=lambda one: -one[0])
    return tuple(
        LookedBody(number, body.name, body.part, body.size_mm, body.low_mm, body.faces)
        for number, (_, body) in enumerate(found, start=1)
    )


def _body(part: RawPart, corners: Points, named: bool) -> LookedBody:
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    x, y, z = (float(span) for span in high - low)
    stated = "" if part.stated is StatedPart.UNKNOWN else part.stated.value
    name = (part.name or part.id) if named else ""
    return LookedBody(0, name, stated, (max(x, y), min(x, y), z), float(low[2]), len(corners))


def hanging_together(points_mm: Points, triangles: Numbers) -> Numbers:
    """For each triangle the number of the body it belongs to: triangles are of one body where they share a corner,
    corners within the weld distance being one."""
    if not len(triangles):
        return np.zeros(0, dtype=np.int64)
    cells = np.round(points_mm / TOLERANCES.weld_mm).astype(np.int64)
    _, same = np.unique(cells, axis=0, return_inverse=True)
    corners = same.reshape(-1)[triangles]
    label = np.arange(int(corners.max()) + 1)
    while True:
        least, before = label[corners].min(axis=1), label.copy()
        for k in range(3):
            np.minimum.at(label, corners[:, k], least)
        label = label[label]
        if np.array_equal(label, before):
            return label[corners[:, 0]]
