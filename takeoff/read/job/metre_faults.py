"""Heights and sizes of a job that only make sense in metres: lengths are millimetres everywhere."""

from __future__ import annotations

from takeoff.model.job.job import Job
from takeoff.read.job.rise_references import Fault, Path

LEAST_HEIGHT_MM = 20.0  # a fascia or a wall lower than this was given in metres; 0 is the floor itself
LEAST_OPENING_MM = 50.0  # no window is smaller


def metre_faults(job: Job) -> list[Fault]:
    """Fascia heights, wall heights and opening sizes too small for millimetres. (path, sentence) each."""
    small: list[tuple[Path, float | None, float]] = []
    for i, roof in enumerate(job.roofs):
        small.append((("roofs", i, "fascia_height_mm"), roof.fascia_height_mm, LEAST_HEIGHT_MM))
        small += [
            (("roofs", i, "edges", n, "fascia_height_mm"), edge.fascia_height_mm, LEAST_HEIGHT_MM)
            for n, edge in roof.edges.items()
        ]
    if job.walls is not None:
        small.append((("walls", "height_mm"), job.walls.height_mm, LEAST_HEIGHT_MM))
        for i, wall in enumerate(job.walls.elevations):
            small.append((("walls", "elevations", i, "height_mm"), wall.height_mm, LEAST_HEIGHT_MM))
        for i, opening in enumerate(job.walls.openings):
            at: Path = ("walls", "openings", i)
            small.append(((*at, "width_mm"), opening.width_mm, LEAST_OPENING_MM))
            small.append(((*at, "height_mm"), opening.height_mm, LEAST_OPENING_MM))
    return [
        (path, f"is {mm:g} mm: lengths are millimetres, was this given in metres?")
        for path, mm, least in small
        if mm is not None and 0.0 < abs(mm) < least
    ]
