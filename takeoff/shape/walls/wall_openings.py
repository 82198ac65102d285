"""Openings on the walls they are given for: where each lies, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import OpeningJob
from takeoff.model.walls import Opening
from takeoff.shape.walls.covered_parts import area_left
from takeoff.shape.walls.wall_draft import Draft
from takeoff.shape.walls.wall_tops import lowest_between


def openings_of(jobs: list[OpeningJob], drafts: list[Draft], faults: list[str]) -> dict[int, tuple[Opening, ...]]:
    """Openings by wall, left to right, all faults of all walls collected."""
    floors = {draft.wall: draft.floors_mm for draft in drafts}
    by_wall: dict[int, list[tuple[str, Opening]]] = {draft.wall: [] for draft in drafts}
    for i, job in enumerate(jobs, start=1):
        name = opening_name(job, i)
        where = f"walls.openings[{i}]: {name}"
        storeys = floors.get(job.wall, (0.0,))
        if job.storey is not None and job.storey > len(storeys):
            faults.append(f"walls.openings[{i}].storey: wall {job.wall} has {len(storeys)} storeys; give one of these.")
        sill = job.sill_mm + (storeys[min(job.storey, len(storeys)) - 1] if job.storey else 0.0)
        opening = Opening(name, job.from_left_mm, sill, job.width_mm, job.height_mm, job.kind or "")
        if job.wall in by_wall:
            by_wall[job.wall].append((where, opening))
        elif drafts:
            faults.append(f"{where} is on wall {job.wall}, which is not clad; walls are {wall_list(set(by_wall))}.")
    for draft in drafts:
        placed = by_wall[draft.wall]
        for where, opening in placed:
            faults += _outside(where, opening, draft)
        for i, (where, opening) in enumerate(placed):
            for _, other in placed[:i]:
                faults += _overlap(where, opening, other, draft.id)
    return {
        wall: tuple(sorted((opening for _, opening in placed), key=lambda o: (o.from_left_mm, o.sill_mm, o.name)))
        for wall, placed in by_wall.items()
    }


def opening_name(job: OpeningJob, number: int) -> str:
    """The mark of an opening, by its place in the job where it has none."""
    return job.name or f"{'D' if job.sill_mm <= 0.0 else 'W'}{number}"


def _outside(where: str, opening: Opening, draft: Draft) -> Iterator[str]:
    left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
    slack, base = TOLERANCES.same_point_mm, draft.base_mm
    if right > draft.width_mm + slack:
        yield (
            f"{where} ends {right - draft.width_mm:.0f} mm past the right end of {draft.id}, which is "
            f"{draft.width_mm:.0f} wide; move it left or make it narrower."
        )
    if opening.head_mm <= base:
        yield f"{where} lies below the foot of the cladding of {draft.id} ({base:.0f}); raise its sill."
    if left >= draft.width_mm:
        return
    low = lowest_between(draft.top, left, min(right, draft.width_mm))
    if opening.head_mm > low + slack:
        raked = any(abs(y - draft.height_mm) > slack for _, y in draft.top)
        yield (
            f"{where} goes {opening.head_mm - low:.0f} mm through {'the raked top' if raked else 'the top'} of "
            f"{draft.id}, which is {low:.0f} high there; lower its head or move it."
        )


def _overlap(where: str, one: Opening, other: Opening, wall: str) -> Iterator[str]:
    across = min(one.from_left_mm + one.width_mm, other.from_left_mm + other.width_mm) - max(
        one.from_left_mm, other.from_left_mm
    )
    up = min(one.head_mm, other.head_mm) - max(one.sill_mm, other.sill_mm)
    if min(across, up) > TOLERANCES.same_point_mm:
        yield (
            f"{where} overlaps {other.name} on {wall} by {across:.0f} mm across and {up:.0f} mm up; "
            f"move one or make it smaller."
        )


def opening_findings(openings: tuple[Opening, ...], draft: Draft) -> Iterator[Finding]:
    """A warning for every opening that begins below the cladding or stands behind a lower roof."""
    base = draft.base_mm
    for opening in openings:
        if _behind(opening, draft):
            yield Finding(
                code="opening-behind-roof",
                severity=Severity.WARN,
                text=f"{opening.name} on {draft.id} stands behind a lower roof or within another part of the building.",
                advice="Check its wall, its place and its sill_mm.",
                refs=(draft.id, opening.name),
            )
        if opening.sill_mm < base - TOLERANCES.same_point_mm:
            yield Finding(
                code="sill-below-cladding",
                severity=Severity.WARN,
                text=f"{opening.name} on {draft.id} begins at {opening.sill_mm:g} mm, {base - opening.sill_mm:.0f} mm "
                f"below the foot of the cladding ({base:g}).",
                advice="Check its sill_mm, which is counted from the finished floor.",
                refs=(draft.id, opening.name),
            )


def _behind(opening: Opening, draft: Draft) -> bool:
    """Whether what is covered of a wall takes a part of an opening."""
    if not draft.covered:
        return False
    left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
    ring = ((left, opening.sill_mm), (right, opening.sill_mm), (right, opening.head_mm), (left, opening.head_mm))
    whole = area_left(ring, ())
    return area_left(ring, draft.covered) < whole - TOLERANCES.least_area_mm2


def wall_list(numbers: set[int]) -> str:
    """Numbers of walls in words."""
    return ", ".join(str(n) for n in sorted(numbers))
