"""What a model file leaves open is decided here, once for every kind of file, each decision with a finding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from takeoff.model.faces import RawFaces, RawPart, StatedPart
from takeoff.model.findings import Finding
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.axis import decide_axis, turned
from takeoff.shape.imported.deciding.stated_roof import stated_roof
from takeoff.shape.imported.deciding.unit import decide_unit

if TYPE_CHECKING:
    from takeoff.model.faces import Numbers, Points


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """A model in mm, z up: points (n, 3), triangles into them, the polygon and part of each, and what was decided.
    `thick`: the file's roof are bodies with thickness, of which one face was taken."""

    points_mm: Points
    triangles: Numbers
    polygon_of: Numbers
    part_of: Numbers
    parts: tuple[RawPart, ...]
    came_from: str
    thick: bool
    findings: tuple[Finding, ...]

    @property
    def roof_alone(self) -> bool:
        """Whether the file says which of its parts are roof: then the triangles are theirs alone."""
        return any(part.stated is StatedPart.ROOF for part in self.parts)


def settle(raw: RawFaces, job: ShapeJob) -> Settled:
    """Decide axis and unit of a model. Raises UndecidedError where they are open, ShapeError where the unit makes it no
    house's size."""
    up, findings = decide_axis(raw, job)
    points = turned(raw.points, up)
    factor, said = decide_unit(raw, points, job)
    points = points * factor
    roof = stated_roof(raw, points, job.face)
    return Settled(
        points_mm=points,
        triangles=roof.triangles,
        polygon_of=raw.polygon_of[roof.numbers],
        part_of=raw.part_of[roof.numbers],
        parts=raw.parts,
        came_from=raw.came_from,
        thick=bool(roof.findings),
        findings=(*raw.findings, *findings, *said, *roof.findings),
    )
