"""Several roofs of one job made one house: ids numbered on from roof to roof."""

from __future__ import annotations

from takeoff.model.job import RoofJob
from takeoff.model.roof import Roof
from takeoff.shape.numbering import renumber
from takeoff.shape.parts import Numbering


def combine_roofs(roofs: tuple[Roof, ...], jobs: tuple[RoofJob, ...]) -> tuple[Roof, ...]:
    """The roofs of a job in typed order, with ids that are unique over the job."""
    numbering = Numbering()
    combined = []
    for roof, _ in zip(roofs, jobs, strict=True):
        numbered = renumber(roof, numbering)
        combined.append(numbered)
        numbering = numbering.after(numbered)
    return tuple(combined)
