"""What a model file leaves open is decided here, once for every kind of file, each decision with a finding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from takeoff.model.faces import RawFaces
from takeoff.model.findings import Finding
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.axis import decide_axis, turned
from takeoff.shape.imported.deciding.stated_roof import stated_roof
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


def settle(raw: RawFaces, job: ShapeJob) -> Settled:
    """Decide axis and unit of a model. Raises UndecidedError where they are open, ShapeError where the unit makes it no
    house's size."""
    up, findings = decide_axis(raw, job)
    points = turned(raw.points, up)
    factor, said = decide_unit(raw, points, job)
    points = points * factor
    roof = stated_roof(raw, points, job.face)
    said_of_all = (*raw.findings, *findings, *said, *roof.findings)
    return Settled(points, roof.triangles, raw.polygon_of[roof.numbers], raw.came_from, said_of_all)
