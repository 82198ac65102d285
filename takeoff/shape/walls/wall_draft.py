"""A wall before its openings, and the walls that the job gives by themselves."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.findings import Finding
from takeoff.model.job.walls import ElevationJob
from takeoff.model.walls import Corner
from takeoff.shape.walls.wall_tops import Top, tidy


@record
class Draft:
    """A wall before its openings: everything but those."""

    id: str
    wall: int
    width_mm: float
    height_mm: float
    top: Top
    left: Corner
    right: Corner
    bearing_deg: float
    a_mm: Point2
    b_mm: Point2
    base_mm: float
    findings: tuple[Finding, ...] = ()
    roof: str = ""
    floors_mm: tuple[float, ...] = (0.0,)
    covered: tuple[Ring2, ...] = ()

    @property
    def outline(self) -> Ring2:
        """Its outline in wall axes, counter-clockwise from the foot of its left end."""
        return ((0.0, self.base_mm), (self.width_mm, self.base_mm), *reversed(self.top))


def given_wall(number: int, job: ElevationJob, place: int, base: float, faults: list[str]) -> Draft:
    """The wall of that number, in that place of the job's `elevations`. Its raked top starts and ends at the frame
    height unless a point says else."""
    points: list[Point2] = [(float(x), float(y)) for x, y in job.top]
    where = f"walls.elevations[{place}].top"
    for i, (x, y) in enumerate(points, start=1):
        if not -TOLERANCES.same_point_mm <= x <= job.width_mm + TOLERANCES.same_point_mm:
            over = -x if x < 0 else x - job.width_mm
            faults.append(
                f"{where}[{i}]: x = {x:g} lies {over:.0f} mm outside {job.name}, which is {job.width_mm:g} wide; "
                f"give x from the left, 0 to {job.width_mm:g}."
            )
        if y <= base:
            faults.append(f"{where}[{i}]: y = {y:g} is below the foot of the cladding ({base:g}); raise the point.")
        if i > 1 and x < points[i - 2][0]:
            faults.append(f"{where}[{i}]: x = {x:g} goes back behind {points[i - 2][0]:g}; give points left to right.")
    if points and points[0][0] > TOLERANCES.same_point_mm:
        points.insert(0, (0.0, job.height_mm))
    if points and points[-1][0] < job.width_mm - TOLERANCES.same_point_mm:
        points.append((job.width_mm, job.height_mm))
    top = tidy(points or [(0.0, job.height_mm), (job.width_mm, job.height_mm)], job.width_mm)
    left, right = (Corner(kind, 180.0 if kind == "none" else 90.0) for kind in (job.left, job.right))
    return Draft(
        job.name, number, job.width_mm, job.height_mm, top, left, right, 0.0, (0.0, 0.0), (job.width_mm, 0.0), base
    )
