"""What a model file leaves open is decided here, once for every kind of file, each decision with a finding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from takeoff.model.faces import RawFaces
from takeoff.model.findings import Finding
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.axis import decide_axis, turned
from takeoff.shape.imported.deciding.unit import decide_unit

if TYPE_CHECKING:
    from takeoff.model.faces import Numbers, Points


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """A model in mm, z up: points (n, 3), triangles into them, the polygon each was cut from, and what was decided."""

    points_mm: Points
    triangles: Numbers
    polygon_of: Numbers
    came_from: str
    findings: tuple[Finding, ...]


def settle(raw: RawFaces, shape_job: ShapeJob | None) -> Settled:
    """Decide axis and unit of a model. Raises ShapeError where the unit makes it no house's size."""
    name = raw.came_from
    said_up, said_unit = (shape_job.up, shape_job.unit) if shape_job is not None else (None, None)
    up, findings = decide_axis(name, raw.points, raw.triangles, said_up, raw.stated_up)
    points = turned(raw.points, up)
    factor, said = decide_unit(name, points, said_unit, raw.stated_unit_mm)
    return Settled(points * factor, raw.triangles, raw.polygon_of, name, (*raw.findings, *findings, *said))
