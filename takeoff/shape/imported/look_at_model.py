"""A look at a model: its parts as the file names them, else its bodies, each with its size, and how a job names it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from takeoff.basics.errors import UndecidedError
from takeoff.model.faces import MM_PER_UNIT, RawFaces, StatedPart
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked, LookedBody
from takeoff.shape.imported.deciding.axis import decide_axis, turned
from takeoff.shape.imported.deciding.bodies import find_bodies
from takeoff.shape.imported.deciding.unit import decide_unit
from takeoff.shape.imported.drawn.paste_lines import shape_line
from takeoff.shape.imported.net import make_net

if TYPE_CHECKING:
    from takeoff.model.faces import Points

_MOST_BODIES = 1_000
_WALL_FROM_DEG = 75.0  # as settings/model.yaml has it where a job says nothing


def look_at_model(raw: RawFaces, kind: str, job: ShapeJob) -> Looked:
    """Parts or bodies of a model, the largest first; `job`: what was asked of the file. Raises ShapeError where the
    unit makes it no house's size."""
    asks = "up axis"
    try:
        up, on_axis = decide_axis(raw, job)
        points = turned(raw.points, up)
        asks = "unit"
        mm, on_unit = decide_unit(raw, points, job)
    except UndecidedError as err:
        head, *ways = err.faults
        return Looked(raw.came_from, kind, "", head, notes=tuple(ways), open=asks)
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
    """Bodies by the numbers that a job names them by, with the names of their parts where the file has some."""
    origin = points_mm.min(axis=0)
    net = make_net(points_mm - origin, raw.triangles, raw.polygon_of, raw.part_of)
    found = []
    for body in find_bodies(net, raw.parts, _WALL_FROM_DEG):
        part = raw.parts[body.part]
        spans = [high - low for low, high in zip(body.low, body.high, strict=True)]
        stated = "" if part.stated is StatedPart.UNKNOWN else part.stated.value
        name = (part.name or part.id) if len(raw.parts) > 1 else ""
        size = (max(spans[:2]), min(spans[:2]), spans[2])
        found.append(LookedBody(body.number, name, stated, size, body.low[2] + float(origin[2]), len(body.facets)))
    return tuple(found)
