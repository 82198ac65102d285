"""Which way is up in a model: as the job says, as its format fixes, else as the faces show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takeoff.model.faces import AXES, Axis
from takeoff.model.findings import Finding, Severity

if TYPE_CHECKING:
    from takeoff.model.faces import Numbers, Points

_UPRIGHT = 0.05  # a face whose normal rises by less than this share is a wall
_PLAIN_LIFT = 0.2  # a house with walls reaches 0.25 and more the right way up
_LIFT_MARGIN = 0.05  # z is taken unless another axis is better by more than this share of the height


def decide_axis(
    name: str, points: Points, triangles: Numbers, said: Axis | None, stated: Axis | None
) -> tuple[Axis, list[Finding]]:
    """The axis that points up and what is to be said of it. `said`: by the job, `stated`: by the file's format."""
    lifts = _lifts(points, triangles)
    if said is not None:
        return said, _against(name, said, lifts)
    if stated is not None:
        return stated, []
    best = _best_up(lifts)
    text = f"{name}: no up axis given; {best} was taken"
    return best, [Finding("mesh-up-taken", Severity.WARN, text, "say so with up: in the job's shape")]


def turned(points: Points, up: Axis) -> Points:
    """Points turned so that the axis `up` is +z; a proper rotation, so nothing is mirrored."""
    x, y, z = points[:, 0], points[:, 1], points[:, 2]
    columns = {
        "z": (x, y, z),
        "-z": (x, -y, -z),
        "y": (x, -z, y),
        "-y": (x, z, -y),
        "x": (y, z, x),
        "-x": (y, -z, -x),
    }
    return np.stack(columns[up], axis=1)


def _lifts(points: Points, triangles: Numbers) -> dict[Axis, float]:
    """How plainly each axis points up: how much further the roof lies over the walls than turned upside down.

    The end of a closed house counts as roof whichever way it lies; set against the opposite axis that falls out. 0
    where there is nothing to compare.
    """
    over = {axis: _roof_over_walls(turned(points, axis), triangles) for axis in AXES}
    return {axis: (lift - over[_opposite(axis)]) / 2.0 for axis, lift in over.items()}


def _opposite(axis: Axis) -> Axis:
    return next(other for other in AXES if other != axis and other.strip("-") == axis.strip("-"))


def _best_up(lifts: dict[Axis, float]) -> Axis:
    best = max(lifts, key=lambda axis: lifts[axis])
    return "z" if lifts["z"] >= lifts[best] - _LIFT_MARGIN else best


def _against(name: str, up: Axis, lifts: dict[Axis, float]) -> list[Finding]:
    """What the faces say against a stated up axis: a warning, a stop where they say so plainly."""
    best = _best_up(lifts)
    if lifts[best] - lifts[up] <= _LIFT_MARGIN:
        return []
    plain = lifts[best] >= _PLAIN_LIFT and lifts[up] <= _LIFT_MARGIN
    return [
        Finding(
            "mesh-up-contradicted",
            Severity.STOP if plain else Severity.WARN,
            f"{name}: up: {up} is stated, but the faces look built with {best} up",
            f"is up right? say up: {best} in the job's shape, or turn the model",
        )
    ]


def _roof_over_walls(points: Points, triangles: Numbers) -> float:
    """How far, in shares of the model's height, sloping and level faces lie above the upright ones on average.

    Level faces at the very bottom, a floor or the ground, are left out. -1 where there is nothing to compare.
    """
    a, b, c = (points[triangles[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    areas = np.linalg.norm(normals, axis=1)
    low, high = float(points[:, 2].min()), float(points[:, 2].max())
    if high <= low or not areas.any():
        return -1.0
    steep = np.abs(normals[:, 2]) <= _UPRIGHT * areas
    top = np.maximum(np.maximum(a[:, 2], b[:, 2]), c[:, 2])
    roof = ~steep & (top > low + 0.01 * (high - low))
    if not areas[steep].any() or not areas[roof].any():
        return -1.0
    middle = (a[:, 2] + b[:, 2] + c[:, 2]) / 3.0
    over = np.average(middle[roof], weights=areas[roof]) - np.average(middle[steep], weights=areas[steep])
    return float(over) / (high - low)
