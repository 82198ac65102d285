"""How much one job may ask for: bounds far above any house or row of houses, told before time is spent on them."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.model.job.job import Job
from takeoff.read.job.rise_references import Fault

MOST_CORNERS = 1_000  # of all outlines and courtyards of a job
MOST_OPENINGS = 500  # windows and doors
MOST_HOLES = 500  # penetrations and clear sheets of all roofs
MOST_WALLS = 500  # given by themselves
MOST_ZONES = 200
MOST_PIPES = 500
MOST_ACROSS_MM = 500_000.0  # of one roof, and of one wall


def bound_faults(job: Job) -> list[Fault]:
    """What a job asks for beyond the bounds, each with its figure. (path, sentence) each; none for a sound job."""
    faults: list[Fault] = []
    walls = job.walls
    counted: list[tuple[tuple[str | int, ...], str, int, int]] = [
        (("roofs",), "corners of outlines", sum(_corners(job)), MOST_CORNERS),
        (("roofs",), "holes and clear sheets", _holes(job), MOST_HOLES),
        (("rainwater", "downpipes_at"), "downpipes", len(job.rainwater.downpipes_at), MOST_PIPES),
        (("walls", "openings"), "openings", len(walls.openings) if walls else 0, MOST_OPENINGS),
        (("walls", "elevations"), "walls", len(walls.elevations) if walls else 0, MOST_WALLS),
        (("walls", "zones"), "zones", len(walls.zones) if walls else 0, MOST_ZONES),
    ]
    for path, what, count, most in counted:
        if count > most:
            faults.append((path, f"{count:,} {what}, more than the {most:,} of one job; split it into several"))
    for i, roof in enumerate(job.roofs):
        ring = roof.wall_line or roof.outline
        if ring is not None and (across := _across(ring)) > MOST_ACROSS_MM:
            key = "wall_line" if roof.wall_line else "outline"
            faults.append((("roofs", i, key), _too_long(across)))
    for i, wall in enumerate(walls.elevations if walls else ()):
        if wall.width_mm > MOST_ACROSS_MM:
            faults.append((("walls", "elevations", i, "width_mm"), _too_long(wall.width_mm)))
    return faults


def _corners(job: Job) -> list[int]:
    rings = [ring for roof in job.roofs for ring in (roof.wall_line or roof.outline, *roof.courtyards)]
    return [len(ring) for ring in rings if ring is not None]


def _holes(job: Job) -> int:
    return sum(len(roof.penetrations) + len(roof.rooflight_sheets) for roof in job.roofs)


def _across(ring: Sequence[tuple[float, float]]) -> float:
    return max(max(point[k] for point in ring) - min(point[k] for point in ring) for k in (0, 1))


def _too_long(across_mm: float) -> str:
    return (
        f"is {across_mm / 1000:,.1f} m across, more than the {MOST_ACROSS_MM / 1000:,.0f} m of one job; is a "
        "figure mistyped?"
    )
