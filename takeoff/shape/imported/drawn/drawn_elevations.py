"""Walls from drawings of elevations: a ring on one layer is the wall, rings in it on others its windows and doors.

A wall is drawn as it is seen from outside. What is a window and what a door the job says by layer; nothing is guessed
from names or shapes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from takeoff.basics.errors import Fault, JobError, ShapeError, UndecidedError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.polygons import signed_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.drawings import RawDrawing
from takeoff.model.faces import Unit
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import DrawnElevationJob, ElevationJob, OpeningJob, WallsJob
from takeoff.shape.imported.drawn.drawn_rings import DrawnRing, layer_names, lies_in, rings_of
from takeoff.shape.imported.drawn.paste_lines import flow
from takeoff.shape.imported.drawn.ring_findings import open_words
from takeoff.shape.imported.drawn.ring_units import size_words

_LEAST_OPENING_MM = MODEL_LIMITS.least_opening_mm
_SQUARE_SHARE = 0.98  # of its box: a ring that fills less is no rectangle
_MOST_WAYS = 8


@dataclass(slots=True)
class _Taken:
    """Walls and openings made so far, and which rings of opening layers no wall has claimed."""

    elevations: list[ElevationJob]
    openings: list[OpeningJob]
    findings: list[Finding] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=lambda: {"window": 0, "door": 0})
    claimed: set[tuple[str, str, int]] = field(default_factory=set)
    seen: dict[tuple[str, str, int], str] = field(default_factory=dict)


def drawn_walls(walls: WallsJob, read: Callable[[str], RawDrawing]) -> tuple[WallsJob, tuple[Finding, ...]]:
    """The walls of a job with those of its `drawn_elevations` as if they had been typed; `read` gives a file's lines.

    Raises UndecidedError, with a line for each way, where unit or ring leave doubt; JobError for layers and parts that
    a drawing has not and openings that lie across a wall's outline; ShapeError for rings that are no wall.
    """
    taken = _Taken([*walls.elevations], [*walls.openings])
    for i, job in enumerate(walls.drawn_elevations):
        _wall(i, job, read(job.file), taken)
    loose = sorted({(file, layer) for file, layer, number in taken.seen if (file, layer, number) not in taken.claimed})
    for file, layer in loose:
        count = sum(1 for key in taken.seen if key[:2] == (file, layer) and key not in taken.claimed)
        text = f"{count} ring{'s' if count > 1 else ''} on layer {layer} of {file} lie in no wall that is taken from it"
        taken.findings.append(Finding("drawing-openings-left", Severity.WARN, text, "is a wall left out?"))
    update = {"elevations": taken.elevations, "openings": taken.openings, "drawn_elevations": []}
    return walls.model_copy(update=update), tuple(taken.findings)


def _at(i: int, text: str, *keys: str) -> Fault:
    return Fault(text, "walls", "drawn_elevations", i, *keys)


def _wall(i: int, job: DrawnElevationJob, raw: RawDrawing, taken: _Taken) -> None:
    _check_layers(i, job, raw)
    name = job.name or job.layer[:60]
    unit = _unit(i, job, raw)
    ring = _chosen(i, job, raw, unit)
    floor_mm = job.floor_above_foot_mm or 0.0
    left, foot, elevation = _elevation(i, job, name, ring, floor_mm)
    taken.elevations.append(elevation)
    number = len(taken.elevations)
    made = {
        kind: _openings(i, job, raw, unit, ring, (left, foot + floor_mm), kind, number, taken)
        for kind in ("window", "door")
    }
    counts = ", ".join(f"{count} {kind}{'' if count == 1 else 's'}" for kind, count in made.items())
    text = (
        f"wall {number} {name}: {elevation.width_mm / 1000:.2f} m wide, {elevation.height_mm / 1000:.2f} m high at its "
        f"ends, with {counts}, from layer {job.layer} of {raw.came_from}"
    )
    taken.findings.append(Finding("drawing-wall-taken", Severity.NOTE, text, refs=(f"wall {number}",)))
    if job.floor_above_foot_mm is None:
        text = f"wall {number} {name}: the finished floor was taken at the foot of the drawn wall"
        advice = "say `floor_above_foot_mm: 0`, or how far the floor lies above it"
        taken.findings.append(Finding("drawing-floor-taken", Severity.WARN, text, advice, (f"wall {number}",)))


def _check_layers(i: int, job: DrawnElevationJob, raw: RawDrawing) -> None:
    layers = layer_names(raw)
    known = {layer.casefold() for layer in layers}
    faults = []
    for key in ("layer", "windows", "doors"):
        layer = getattr(job, key)
        if layer is not None and layer.casefold() not in known:
            hint = did_you_mean(layer, layers, "; it has " + ", ".join(one for one in layers[:12] if one))
            faults.append(_at(i, f"{raw.came_from} has no lines on a layer {layer}{hint}", key))
    if job.windows is not None and job.doors is not None and job.windows.casefold() == job.doors.casefold():
        faults.append(_at(i, f"layer {job.doors} cannot hold windows and doors both; draw doors on their own", "doors"))
    if faults:
        raise JobError(*faults)


def _unit(i: int, job: DrawnElevationJob, raw: RawDrawing) -> Unit:
    """The unit of the wall's layer; of the whole drawing where the wall is too small to tell."""
    own = rings_of(raw, (job.layer,), job.unit)
    found = own.unit.unit or rings_of(raw).unit.unit
    if found is not None:
        return found
    text = f"the unit of {raw.came_from} is not known: {own.unit.why}; say which in the job:"
    ways = [
        f"{_line(job, unit=unit)} makes its largest shape {size_words(own.long, own.narrow, unit)}"
        for unit in own.unit.could_be
    ]
    raise UndecidedError(*(_at(i, words) for words in (text, *ways)))


def _line(job: DrawnElevationJob, **more: object) -> str:
    said = {key: getattr(job, key) for key in DrawnElevationJob.model_fields if key in job.model_fields_set}
    return f"`- {{{flow({**said, **more})}}}`"


def _chosen(i: int, job: DrawnElevationJob, raw: RawDrawing, unit: Unit) -> DrawnRing:
    """The wall's ring: the one of its layer that lies in no other, or the one that the job names."""
    drawn = rings_of(raw, (job.layer,), unit)
    rings = [ring for ring in drawn.rings if not ring.inside]
    found = [ring for ring in drawn.rings if job.part in (ring.name, str(ring.number))] if job.part else rings
    if len(found) == 1:
        return found[0]
    words = [f"ring {ring.number}: {ring.length_mm / 1000:.2f} x {ring.width_mm / 1000:.2f} m" for ring in rings]
    if found:
        ways = [f"{_line(job, part=ring.number)} is {said}" for ring, said in zip(rings, words, strict=True)]
        text = f"layer {job.layer} of {raw.came_from} holds {len(rings)} rings; say which is the wall:"
        raise UndecidedError(*(_at(i, said) for said in (text, *ways[:_MOST_WAYS])))
    if rings:
        text = f"layer {job.layer} of {raw.came_from} has no ring {job.part}; it has {', '.join(words[:_MOST_WAYS])}"
        raise JobError(_at(i, text, "part"))
    opened = open_words(drawn) or "it holds no lines that do"
    raise ShapeError(_at(i, f"no ring on layer {job.layer} of {raw.came_from} closes round a wall; {opened}", "layer"))


def _elevation(
    i: int, job: DrawnElevationJob, name: str, ring: DrawnRing, floor_mm: float
) -> tuple[float, float, ElevationJob]:
    """The wall of a ring, with the x of its left end and the y of its foot in the drawing [mm]."""
    bottom, top = _profile(i, job, ring)
    left, foot = min(x for x, _ in ring.points_mm), min(y for _, y in ring.points_mm)
    steps = max(y for _, y in bottom) - foot
    if steps > TOLERANCES.same_plane_mm:
        text = f"the foot of wall {name} is out of level by {steps:.0f} mm; draw a wall for each level of its foot"
        raise ShapeError(_at(i, text, "layer"))
    above = [(round(x - left, 6), round(y - foot - floor_mm, 6)) for x, y in top]
    if any(b[0] < a[0] - TOLERANCES.same_point_mm for a, b in pairwise(above)):
        text = f"the top of wall {name} goes back over itself; draw the outline of the wall alone"
        raise ShapeError(_at(i, text, "layer"))
    width = max(x for x, _ in ring.points_mm) - left
    height = min(above[0][1], above[-1][1])
    if height <= TOLERANCES.same_plane_mm:
        text = f"wall {name} has no height at its ends over the finished floor; draw it with the wall below a gable"
        raise ShapeError(_at(i, text, "layer"))
    level = all(abs(y - height) <= TOLERANCES.same_point_mm for _, y in above)
    made = ElevationJob(
        name=name,
        width_mm=round(width, 6),
        height_mm=height,
        top=[] if level else above,
        left=job.left,
        right=job.right,
    )
    return left, foot, made


def _profile(i: int, job: DrawnElevationJob, ring: DrawnRing) -> tuple[Ring2, Ring2]:
    """The foot of a wall's ring from left to right, and its top from left to right."""
    points = ring.points_mm if signed_area(ring.points_mm) > 0 else ring.points_mm[::-1]
    near = TOLERANCES.in_line_mm
    ends = [min(x for x, _ in points), max(x for x, _ in points)]
    on_left, on_right = ([p for p in points if abs(p[0] - end) <= near] for end in ends)
    corners = [
        min(on_left, key=_height),
        min(on_right, key=_height),
        max(on_right, key=_height),
        max(on_left, key=_height),
    ]
    first = points.index(corners[0])
    turned = (*points[first:], *points[:first])
    places = [turned.index(corner) for corner in corners]
    if places[3] == 0:  # a point at the left: its top ends where its foot begins
        places[3] = len(turned)
        turned = (*turned, turned[0])
    if not places[1] <= places[2] <= places[3]:
        text = (
            f"ring {ring.number} of layer {job.layer} is no wall seen from outside: its foot does not lie below its top"
        )
        raise ShapeError(_at(i, text, "layer"))
    return turned[: places[1] + 1], tuple(reversed(turned[places[2] : places[3] + 1]))


def _height(point: Point2) -> float:
    return point[1]


def _openings(
    i: int,
    job: DrawnElevationJob,
    raw: RawDrawing,
    unit: Unit,
    wall: DrawnRing,
    origin: Point2,
    kind: str,
    number: int,
    taken: _Taken,
) -> int:
    """Openings of one kind in a wall, from left to right. `origin`: left end of the floor in the drawing."""
    layer = job.windows if kind == "window" else job.doors
    if layer is None:
        return 0
    rings = [ring for ring in rings_of(raw, (layer,), unit, _LEAST_OPENING_MM).rings if not ring.inside]
    made = 0
    for ring in sorted(rings, key=lambda ring: min(ring.points_mm)):
        key = (raw.came_from, layer, ring.number)
        taken.seen[key] = kind
        box = _box(ring.points_mm)
        if not _overlap(box, _box(wall.points_mm)):
            continue
        corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
        if not lies_in(corners, wall.points_mm):
            text = f"the {kind} at ({box[0]:.0f}, {box[1]:.0f}) on layer {layer} lies across the outline of the wall"
            raise JobError(_at(i, f"{text}; draw it inside", "windows" if kind == "window" else "doors"))
        taken.claimed.add(key)
        made += 1
        taken.counts[kind] += 1
        name = f"{kind.capitalize()} {taken.counts[kind]}"
        taken.openings.append(_opening(number, name, box, origin))
        if ring.area_mm2 < _SQUARE_SHARE * (box[2] - box[0]) * (box[3] - box[1]):
            text = f"wall {number}: {name} is no rectangle in {raw.came_from}; the box round it was taken"
            taken.findings.append(Finding("drawing-opening-boxed", Severity.WARN, text, refs=(f"wall {number}",)))
    return made


def _opening(wall: int, name: str, box: tuple[float, float, float, float], origin: Point2) -> OpeningJob:
    return OpeningJob(
        wall=wall,
        from_left_mm=round(max(box[0] - origin[0], 0.0), 6),
        sill_mm=round(box[1] - origin[1], 6),
        width_mm=round(box[2] - box[0], 6),
        height_mm=round(box[3] - box[1], 6),
        name=name,
    )


def _box(points: Sequence[Point2]) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _overlap(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
