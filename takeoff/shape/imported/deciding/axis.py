"""Which way is up in a model: as the job says, as its format fixes, else where the faces leave no doubt.

Seen along the right axis walls stand upright, floors lie level, and what slopes lies under open sky, but for
undersides, which run alongside one that does. Turned on its side a house has sloping faces under others, or none that
slope at all. Of two opposite axes the right one has the roof above the walls; a roof without walls falls to its edge.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import UndecidedError
from takeoff.basics.records import record
from takeoff.model.faces import AXES, Axis, RawFaces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.lines import shape_line

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takeoff.model.faces import Numbers, Points

    Floats = NDArray[np.float64]

_PAIRS: tuple[Axis, ...] = ("z", "y", "x")
_UPRIGHT = 0.05  # a face whose normal rises by less than this share is a wall
_SLOPING = (0.26, 0.9998)  # rise of the normals of what is neither wall nor level: 75 down to 1 degree of pitch
_SAMPLES = 300  # places looked up from, at most
_MOST_PAIRS = 2_000_000  # of places and faces looked at in one go
_SLOPES = 0.02  # least share of all area that slopes under open sky
_PLAIN = 0.1  # share of all area by which an axis must look more right than the next best
_WALLS = 0.2  # share of all area from which on the upright faces are walls
_LIFT = 0.05  # of a model's height by which the roof lies over the walls, or over its own edge
_PLAIN_LIFT = 0.2  # the same, where the model would stand on its head: a house with walls reaches 0.25 and more
_ON_SIDE = 1e-9  # share of a face's area by which a place may lie beside it by rounding
_PARALLEL = 0.999  # cosine of 2.5 degrees: an underside runs so nearly alongside its top


@record
class _View:
    """How a model looks along an axis, in shares of all its area: what lies or stands as in a house less what does not
    (`right`), and what slopes under open sky. `lift`: how far what slopes lies over walls or edge, of the height."""

    right: float
    slopes: float
    lift: float
    has_walls: bool


def _best(views: dict[Axis, _View]) -> Axis | None:
    """The axis that leaves no doubt; None where there is any.

    A house with gables lying on one of them looks as right as it does standing, but then nothing slopes: a reading with
    a roof in it goes before one without. Files have y or z up, hardly ever x.
    """
    right: dict[Axis, float] = {axis: max(views[axis].right, views[opposite(axis)].right) for axis in _PAIRS}
    top = [axis for axis in _PAIRS if right[axis] >= max(right.values()) - _PLAIN]
    slopes = {axis: max(views[axis].slopes, views[opposite(axis)].slopes) for axis in top}
    sloping = [axis for axis in top if slopes[axis] >= _SLOPES] or top
    if len(sloping) != 1 or slopes[sloping[0]] <= 0.0 or (sloping[0] == "x" and len(top) > 1):
        return None
    up = max((sloping[0], opposite(sloping[0])), key=lambda axis: views[axis].lift)
    lift = (views[up].lift - views[opposite(up)].lift) / 2.0
    turned_over = up.startswith("-")
    if lift < (_PLAIN_LIFT if turned_over else _LIFT) or (turned_over and not views[up].has_walls):
        return None
    return up


def decide_axis(raw: RawFaces, job: ShapeJob) -> tuple[Axis, list[Finding]]:
    """The axis that points up and what is to be said of it.

    Raises UndecidedError where neither says it and the faces leave doubt.
    """
    stated = raw.stated_up
    if stated is not None and job.up in (None, stated):
        return stated, []
    best = _best(_views(raw.points, raw.triangles))
    if job.up is not None:
        return job.up, _against(raw.came_from, job, best, stated)
    if best is None:
        raise UndecidedError(*_questions(raw, job))
    text = f"{raw.came_from}: no up axis given; {best} was taken: {_sizes(raw.points, best)}"
    return best, [Finding("mesh-up-taken", Severity.WARN, text, f"say so in the job: {shape_line(job, 'up', best)}")]


def opposite(axis: Axis) -> Axis:
    """The axis the other way."""
    return next(other for other in AXES if other != axis and other.strip("-") == axis.strip("-"))


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


def _questions(raw: RawFaces, job: ShapeJob) -> list[str]:
    """What to ask where nobody knows what is up, with what each answer makes of the model."""
    asked = f"{raw.came_from}: which axis points up is not said, and its faces leave it open; say so in the job:"
    return [asked, *(f"{shape_line(job, 'up', axis)} makes it {_sizes(raw.points, axis)}" for axis in _PAIRS)]


def _sizes(points: Points, up: Axis) -> str:
    size = np.ptp(turned(points, up), axis=0)
    long, wide, high = (f"{one:.0f}" if one >= 1000.0 else f"{one:.4g}" for one in size)
    return f"{long} x {wide} in plan and {high} high, in the file's unit"


def _against(name: str, job: ShapeJob, best: Axis | None, stated: Axis | None) -> list[Finding]:
    """A warning where the faces or the format speak against the axis that a job says."""
    found = best if best is not None else stated
    if found in (None, job.up):
        return []
    why = f"the faces look built with {best} up" if best is not None else f"files of its kind have {stated} up"
    text = f"{name}: up: {job.up} is stated, but {why}"
    advice = f"is it right? If not, say {shape_line(job, 'up', found)}"
    return [Finding("mesh-up-contradicted", Severity.WARN, text, advice)]


def _views(points: Points, triangles: Numbers) -> dict[Axis, _View]:
    corners = points[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(normals, axis=1)
    keep = areas > 1e-12 * max(float(areas.max(initial=0.0)), 1e-300)
    corners, areas = corners[keep], areas[keep]
    units = normals[keep] / areas[:, None]
    found = {}
    for axis in AXES:
        along = turned(units, axis)
        placed = turned(corners.reshape(-1, 3), axis).reshape(-1, 3, 3)
        found[axis] = _view(placed, along, areas)
    return found


def _view(corners: Floats, normals: Floats, areas: Floats) -> _View:
    rise = np.abs(normals[:, 2])
    sloping = np.flatnonzero((rise > _SLOPING[0]) & (rise < _SLOPING[1]))
    straight = float(areas[(rise <= _UPRIGHT) | (rise >= _SLOPING[1])].sum())
    lift, has_walls = _lift(corners, normals, areas)
    if not len(sloping):
        return _View(straight / float(areas.sum()), 0.0, lift, has_walls)
    steps = np.cumsum(areas[sloping])
    picks = sloping[np.searchsorted(steps, (np.arange(_SAMPLES) + 0.5) * steps[-1] / _SAMPLES)]
    hidden = _covered(corners, corners[picks].mean(axis=1))
    bright, dark = normals[np.unique(picks[~hidden])], normals[picks[hidden]]
    alone = len(dark)
    if len(bright) and len(dark):
        alone = int((np.abs(dark @ bright.T).max(axis=1) < _PARALLEL).sum())
    each = float(steps[-1]) / _SAMPLES
    open_area = each * float((~hidden).sum())
    total = float(areas.sum())
    return _View((straight + open_area - each * alone) / total, open_area / total, lift, has_walls)


def _covered(corners: Floats, places: Floats) -> NDArray[np.bool_]:
    """Whether a face lies over each place, by more than a crumb of the model's height."""
    crumb = 1e-3 * float(np.ptp(corners[:, :, 2])) + 1e-12
    at, over = _boxed(corners, places)
    a, b, c = (corners[over, k] for k in range(3))
    p = places[at]
    over_c, over_a, over_b = _turn(a, b, p), _turn(b, c, p), _turn(c, a, p)
    total = over_a + over_b + over_c
    # a place on the very side of two faces, as on the diagonal of a rectangle, lies under both
    edge = -_ON_SIDE * total * total
    inside = (total != 0.0) & (over_a * total >= edge) & (over_b * total >= edge) & (over_c * total >= edge)
    z = (over_a * a[:, 2] + over_b * b[:, 2] + over_c * c[:, 2]) / np.where(inside, total, 1.0)
    found = np.zeros(len(places), dtype=bool)
    found[at[inside & (z > p[:, 2] + crumb)]] = True
    return found


def _boxed(corners: Floats, places: Floats) -> tuple[Numbers, Numbers]:
    """Pairs of a place and a face in whose box it lies, in plan. Faces of a fine model span few of the places along x,
    which are found by order; only those are looked at along y."""
    flat = [corners[:, k, :2] for k in range(3)]
    low = np.minimum(np.minimum(flat[0], flat[1]), flat[2])
    high = np.maximum(np.maximum(flat[0], flat[1]), flat[2])
    order = np.argsort(places[:, 0], kind="stable")
    along = places[order, 0]
    first = np.searchsorted(along, low[:, 0], side="left")
    count = np.searchsorted(along, high[:, 0], side="right") - first
    half = len(corners) // 2
    if half and int(count.sum()) > _MOST_PAIRS:  # long slivers by the hundred thousand
        (at, over), (at2, over2) = _boxed(corners[:half], places), _boxed(corners[half:], places)
        return np.concatenate([at, at2]), np.concatenate([over, over2 + half])
    over = np.repeat(np.arange(len(corners)), count)
    step = np.arange(len(over)) - np.repeat(np.cumsum(count) - count, count)
    at = order[np.repeat(first, count) + step]
    y = places[at, 1]
    within = (low[over, 1] <= y) & (y <= high[over, 1])
    return at[within], over[within]


def _turn(a: Floats, b: Floats, p: Floats) -> Floats:
    found: Floats = (b[:, 0] - a[:, 0]) * (p[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (p[:, 0] - a[:, 0])
    return found


def _lift(corners: Floats, normals: Floats, areas: Floats) -> tuple[float, bool]:
    """How far the roof, all that slopes or lies level but at the very bottom, is above the walls on average, in shares
    of the height; where there are no walls, how far what slopes is above its own edge. And whether there are walls."""
    low, high = float(corners[:, :, 2].min()), float(corners[:, :, 2].max())
    if high <= low:
        return 0.0, False
    rise = np.abs(normals[:, 2])
    walls = rise <= _UPRIGHT
    middle = corners[:, :, 2].mean(axis=1)
    if areas[walls].sum() > _WALLS * areas.sum():
        roof = ~walls & (corners[:, :, 2].max(axis=1) > low + 0.01 * (high - low))
        if not roof.any():
            return 0.0, True
        over = np.average(middle[roof], weights=areas[roof]) - np.average(middle[walls], weights=areas[walls])
        return float(over) / (high - low), True
    sloping = ~walls & (rise < _SLOPING[1])
    if not sloping.any():
        return 0.0, False
    over = np.average(middle[sloping], weights=areas[sloping]) - _edge_height(corners[~walls])
    return float(over) / (high - low), False


def _edge_height(corners: Floats) -> float:
    """Mean height of the sides that only one face has: the edge of a roof without walls."""
    ends = np.stack([corners, np.roll(corners, -1, axis=1)], axis=2).reshape(-1, 2, 3)
    middles = ends.mean(axis=1)
    span = float(np.ptp(corners.reshape(-1, 3), axis=0).max())
    cells = np.rint((middles - middles.min(axis=0)) / (1e-6 * span)).astype(np.int64)
    key = (cells[:, 0] * 1_000_003 + cells[:, 1]) * 1_000_003 + cells[:, 2]  # each at most a million
    _, first, count = np.unique(key, return_index=True, return_counts=True)
    once = first[count == 1]
    if not len(once):
        return float(middles[:, 2].mean())
    lengths = np.linalg.norm(ends[once, 1] - ends[once, 0], axis=1)
    return float(np.average(middles[once, 2], weights=np.maximum(lengths, 1e-300)))
