"""Heights and overhangs that nearly agree made equal: a model exports 599.9998 beside 600, and a step of a tenth of a
millimetre between two fascias is none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob
from takeoff.shape.outline_order.means import gathered, settled_mean

_SAME_MM = TOLERANCES.same_depth_mm
_OVERHANGS = ("eave_overhang_mm", "verge_overhang_mm")
_HEIGHTS = ("fascia_height_mm",)

_Given = TypeVar("_Given", RoofJob, EdgeJob)


def even_values(jobs: Sequence[RoofJob]) -> tuple[RoofJob, ...]:
    """The roofs of a job with overhangs, and fascia heights, that differ by less than 0.75 mm made equal over the job.

    They move by less than rounding to whole millimetres explains, so nothing is said.
    """
    even = tuple(jobs)
    for names in (_OVERHANGS, _HEIGHTS):
        values = [value for job in even for value in _given(job, names)]
        new = _evened(values)
        if any(new[value] != value for value in values):
            even = tuple(_with(job, names, new) for job in even)
    return even


def _given(job: RoofJob, names: Sequence[str]) -> Iterable[float]:
    for part in (job, *job.edges.values()):
        for name in names:
            value = getattr(part, name)
            if value is not None:
                yield value


def _evened(values: Sequence[float]) -> dict[float, float]:
    """The value that stands for each: of those that nearly agree, what most of them agree on."""
    different = sorted(set(values))
    weights = [float(values.count(value)) for value in different]
    new: dict[float, float] = {}
    for group in gathered(different, weights, _SAME_MM):
        mean = settled_mean([different[n] for n in group], [weights[n] for n in group])
        new |= {different[n]: mean for n in group}
    return new


def _with(job: RoofJob, names: Sequence[str], new: dict[float, float]) -> RoofJob:
    edges = {number: _replaced(edge, names, new) for number, edge in job.edges.items()}
    return _replaced(job, names, new).model_copy(update={"edges": edges})


def _replaced(part: _Given, names: Sequence[str], new: dict[float, float]) -> _Given:
    given = {name: getattr(part, name) for name in names}
    return part.model_copy(update={name: new[value] for name, value in given.items() if value is not None})
