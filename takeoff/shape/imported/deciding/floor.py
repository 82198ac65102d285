"""Where the finished floor of a model is: as the job says, at 0 where a house stands there, else its lowest floor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from takeoff.basics.errors import UndecidedError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.lines import shape_line

if TYPE_CHECKING:
    from takeoff.shape.imported.net import Net

_STANDS_MM = (MODEL_LIMITS.own_floor_foot_least_mm, MODEL_LIMITS.own_floor_foot_most_mm)
_EAVES_MM = (MODEL_LIMITS.own_floor_eaves_least_mm, MODEL_LIMITS.own_floor_eaves_most_mm)
_WALL = 0.26  # faces whose normals rise by less stand
_TALL_MM = MODEL_LIMITS.slab_edge_mm


def _has_walls(net: Net, lowest: float) -> bool:
    """Whether something stands from well under the roof."""
    height = net.nodes[net.corners, 2]
    steep = net.normals[:, 2] < _WALL
    lying = ~steep & (height.max(axis=1) > lowest + 100.0)
    return bool(steep.any() and lying.any() and height[steep].min() < height[lying].min() - _TALL_MM)


def floor_of(net: Net, name: str, job: ShapeJob, lowest_mm: float) -> tuple[float, list[Finding]]:
    """Height of the floor in the model [mm], and what is to be said of it.

    `net`: what of the model is roof and wall; `lowest_mm`: the lowest point of what the file calls parts of the house,
    where it says which of them are roof, else no lower than the net's. Raises UndecidedError for a roof without walls
    at survey heights.
    """
    if job.floor_at_mm is not None:
        return job.floor_at_mm, []
    lowest = float(net.nodes[net.corners, 2].min())
    walls = _has_walls(net, lowest) or lowest_mm < lowest - _TALL_MM
    lowest = min(lowest, lowest_mm)
    low, high = _STANDS_MM if walls else _EAVES_MM
    if low <= lowest <= high:
        return 0.0, []
    if not walls:
        asked = f"{name}: the roof lies {lowest / 1000.0:.2f} m up and has no walls under it; say where the floor is:"
        raise UndecidedError(asked, f"{shape_line(job, 'floor_at_mm', round(lowest - 2400.0))} has eaves at 2.4 m")
    text = (
        f"{name}: the house stands {lowest / 1000.0:.2f} m up, at survey heights; its lowest point was taken as the "
        "finished floor, and all heights, downpipes too, are over it"
    )
    advice = f"if the floor is elsewhere: {shape_line(job, 'floor_at_mm', round(lowest))}"
    return lowest, [Finding("model-floor-taken", Severity.WARN, text, advice)]
