"""Walls that a job does not type, taken from the model that its roof comes from: wall line, frame height, openings.

They become what a job could have typed, so every rule meets them as it meets typed ones.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

import shapely

from takeoff.basics.errors import Fault, JobError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Ring2, distance2
from takeoff.model.faces import RawFaces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.job.walls import OpeningJob, WallsJob
from takeoff.model.roof import Roof
from takeoff.shape.imported.deciding.settle import settle
from takeoff.shape.imported.house_walls.outer_line import outer_line
from takeoff.shape.imported.house_walls.upright_faces import upright_faces
from takeoff.shape.imported.house_walls.wall_sides import DrawnOpening, DrawnSide, drawn_side

_SAME_HEIGHT_MM = MODEL_LIMITS.wall_heights_mm
_FEET_MM = (MODEL_LIMITS.wall_foot_least_mm, MODEL_LIMITS.wall_foot_most_mm)
_OUT_MM2 = MODEL_LIMITS.walls_out_mm2
_TOUCHES, _PART = 0.3, 0.9  # walls at the roof's edge for this share of their length close in all of it, but for this
_LITTLE = 0.5  # share of what lies under a roof with eaves that its walls close in at least
_OUT_MM = MODEL_LIMITS.walls_out_mm
_COVERED = 0.95  # share of a wall that must have a face
_NAME = 60  # letters of an opening's mark


@record
class _Walls:
    """A wall line and its sides by wall number."""

    ring: Ring2
    sides: Mapping[int, DrawnSide]

    def length_mm(self, wall: int) -> float:
        return distance2(self.ring[wall - 1], self.ring[wall % len(self.ring)])


def fill_walls(job: Job, roofs: Sequence[Roof], models: Mapping[str, RawFaces]) -> tuple[Job, tuple[Roof, ...]]:
    """The job with height and openings of its walls, and the roof they stand on with its wall line, where the job gives
    neither elevations nor that roof's wall line by hand; both as they were where it does.

    `models`: what files say, by roof. A height or openings that the job types stay. Raises JobError where the model
    draws no walls that close in a house, and for zones of walls that it does not have.
    """
    walls = job.walls
    roof = next((roof for roof in roofs if walls is not None and walls.roof in (None, roof.name)), None)
    if walls is None or walls.elevations or roof is None or roof.name not in models:
        return job, tuple(roofs)
    if walls.roof is None and any(one.wall_line_mm for one in roofs if one.name not in models):
        return job, tuple(roofs)  # the walls meant are those that are typed
    raw = models[roof.name]
    drawn = _drawn(job, roof, raw)
    _check_numbers(walls, len(drawn.ring), raw.came_from)
    named = [(wall, opening) for wall, side in drawn.sides.items() for opening in side.openings]
    openings = _opening_jobs([pair for pair in named if pair[1].fits])
    height_mm, heights = _frame_height(drawn)
    given = walls.openings or openings
    filled = walls.model_copy(update={"height_mm": walls.height_mm or height_mm, "openings": given})
    findings = [_taken(raw, drawn, walls, filled, openings), *heights, *_doubts(raw, drawn, named)]
    findings += [*_at_edge(raw, drawn, roof), *_little(raw, drawn, roof)]
    findings += _other_models([name for name in models if name != roof.name])
    standing = replace(roof, wall_line_mm=(drawn.ring,), findings=(*roof.findings, *findings))
    return (
        job.model_copy(update={"walls": filled}),
        tuple(standing if one is roof else one for one in roofs),
    )


def _drawn(job: Job, roof: Roof, raw: RawFaces) -> _Walls:
    given = next(one.drawn for one in job.roofs if one.name == roof.name)
    settled = settle(raw, given or ShapeJob(file=raw.came_from))
    faces = upright_faces(raw, settled.points_mm, roof.origin_mm)
    ring = outer_line(faces.corners_mm, roof)
    sides: dict[int, DrawnSide] = {}
    for wall in range(1, len(ring) + 1):
        side = drawn_side(ring[wall - 1], ring[wall % len(ring)], faces)
        if side is not None:
            sides[wall] = side
    under = shapely.Polygon(roof.outline_mm[0]).buffer(_OUT_MM)
    if ring and shapely.Polygon(ring).difference(under).area > _OUT_MM2:
        text = f"walls: {raw.came_from} draws walls outside the outline of roof {roof.name}, at its spouting or its "
        raise JobError(Fault(text + "sheets' ends; give each wall under elevations", "walls"))
    if not ring or not sides:
        text = (
            f"walls: {raw.came_from} draws no walls that close in a house under roof {roof.name}; give each wall under "
        )
        raise JobError(Fault(text + "elevations", "walls"))
    foot = min(side.foot_mm for side in sides.values())
    if not _FEET_MM[0] <= foot <= _FEET_MM[1]:
        text = f"walls: {raw.came_from} draws walls from {foot / 1000.0:.2f} m up, but 0 is the finished floor; "
        raise JobError(Fault(text + "give each wall under elevations, or a model whose floor lies at 0", "walls"))
    return _Walls(ring, sides)


def _check_numbers(walls: WallsJob, count: int, came_from: str) -> None:
    faults: list[str] = []
    for i, zone in enumerate(walls.zones):
        for wall in zone.walls or ():
            if wall > count:
                text = f"there is no wall {wall} in {came_from}; its walls go from 1 to {count}"
                faults.append(Fault(f"walls.zones[{i + 1}].walls: {text}", "walls", "zones", i, "walls"))
    if faults:
        raise JobError(*faults)


def _opening_jobs(openings: Sequence[tuple[int, DrawnOpening]]) -> list[OpeningJob]:
    names = Counter(opening.name[:_NAME] for _, opening in openings)
    return [
        OpeningJob(
            wall=wall,
            from_left_mm=opening.box_mm[0],
            sill_mm=opening.box_mm[1],
            width_mm=opening.box_mm[2],
            height_mm=opening.box_mm[3],
            name=opening.name[:_NAME] if opening.name and names[opening.name[:_NAME]] == 1 else None,
        )
        for wall, opening in openings
    ]


def _frame_height(drawn: _Walls) -> tuple[float, list[Finding]]:
    """The height that most of the walls have at their lower end, by length [mm], and what others have."""
    heights = {wall: min(side.tops_mm) for wall, side in drawn.sides.items()}

    def like(height: float) -> float:
        return sum(drawn.length_mm(wall) for wall, other in heights.items() if abs(other - height) <= _SAME_HEIGHT_MM)

    taken = max(heights.values(), key=lambda height: (round(like(height)), -height))
    others = {wall: height for wall, height in heights.items() if abs(height - taken) > _SAME_HEIGHT_MM}
    if not others:
        return round(taken, 2), []
    listed = ", ".join(f"wall {wall} {height:.0f}" for wall, height in others.items())
    text = f"The model's walls are not of one height: {taken:.0f} mm over the floor was taken for all, but {listed} mm."
    advice = "Give those walls by themselves under elevations, or one height for all."
    return round(taken, 2), [Finding("wall-heights-differ", Severity.WARN, text, advice, _refs(others))]


def _taken(raw: RawFaces, drawn: _Walls, walls: WallsJob, filled: WallsJob, openings: Sequence[OpeningJob]) -> Finding:
    lengths = ", ".join(f"{drawn.length_mm(n) / 1000.0:.2f}" for n in range(1, len(drawn.ring) + 1))
    text = f"{raw.came_from}: the walls are the model's: {len(drawn.ring)}, in order of their numbers {lengths} m long"
    if walls.height_mm is None:
        text += f", frame height {filled.height_mm:.0f} mm"
    if not walls.openings:
        doors = sum(1 for opening in openings if opening.sill_mm <= 0.0)
        text += f", {len(openings)} openings, {doors} of them down to the floor"
    elif openings:
        text += f"; the openings are those of the job ({len(walls.openings)}), the model draws {len(openings)}"
    advice = "Check the elevations; a height or openings that the job gives go before the model's."
    return Finding("walls-drawn", Severity.NOTE, f"{text}.", advice)


def _at_edge(raw: RawFaces, drawn: _Walls, roof: Roof) -> list[Finding]:
    """A warning where the walls stand right under the edge of the roof: most models of towns are drawn so."""
    apart = abs(signed_area(drawn.ring)) - abs(signed_area(roof.outline_mm[0]))
    if abs(apart) > _OUT_MM * sum(drawn.length_mm(n) for n in range(1, len(drawn.ring) + 1)):
        return []
    text = f"{raw.came_from}: its walls stand under the very edge of roof {roof.name}: no eave hangs over them."
    advice = (
        "If the house has eaves: is the roof's edge drawn to the wall line? `edge_is: wall_line`, with the overhangs."
    )
    return [Finding("walls-at-roof-edge", Severity.WARN, text, advice)]


def _little(raw: RawFaces, drawn: _Walls, roof: Roof) -> list[Finding]:
    """A warning where the walls close in a part only of what lies under the roof."""
    house, under = shapely.Polygon(drawn.ring), shapely.Polygon(roof.outline_mm[0], roof.outline_mm[1:])
    share = house.area / under.area
    touching = house.exterior.intersection(under.boundary.buffer(_OUT_MM)).length / house.exterior.length
    if share >= (_PART if touching >= _TOUCHES else _LITTLE):
        return []
    text = (
        f"{raw.came_from}: its walls close in {house.area / 1e6:.2f} m2 of the {under.area / 1e6:.2f} m2 under roof "
        f"{roof.name}; what stands under the rest is not clad here."
    )
    return [Finding("walls-of-a-part", Severity.WARN, text, "Give the other walls by themselves under elevations.")]


def _other_models(names: Sequence[str]) -> list[Finding]:
    """A warning that walls are taken from one model only."""
    if not names:
        return []
    text = (
        f"Walls are taken from the model of one roof; what {', '.join(names)} draws of walls is clad by nothing here."
    )
    advice = "Give those walls by themselves, or in a job of their own."
    return [Finding("other-walls-not-taken", Severity.WARN, text, advice, tuple(names))]


def _doubts(raw: RawFaces, drawn: _Walls, openings: Sequence[tuple[int, DrawnOpening]]) -> list[Finding]:
    found: list[Finding] = []
    bare = [n for n in range(1, len(drawn.ring) + 1) if n not in drawn.sides or drawn.sides[n].covered < _COVERED]
    if bare:
        text = f"{raw.came_from}: walls {', '.join(map(str, bare))} are not drawn over their whole length."
        advice = "Openings in what is missing are not known: give them by hand, or mend the model."
        found.append(Finding("wall-part-missing", Severity.WARN, text, advice, _refs(bare)))
    for wall, opening in openings:
        left, sill, width, height = opening.box_mm
        what = f"{opening.name or 'an opening'} on wall {wall}, {left:.0f} from the left, {width:.0f} x {height:.0f} mm"
        if not opening.fits:
            text = f"{raw.came_from}: {what}, sill {sill:.0f}, reaches out of its wall and was left out."
            found.append(Finding("opening-out-of-wall", Severity.WARN, text, "Give it by hand.", (f"wall {wall}",)))
        elif not opening.square:
            text = f"{raw.came_from}: {what}, has no square shape: its boxed size was taken."
            advice = "Order its trims by its own shape."
            found.append(Finding("opening-not-square", Severity.WARN, text, advice, (f"wall {wall}",)))
    return found


def _refs(walls: Sequence[int] | Mapping[int, float]) -> tuple[str, ...]:
    return tuple(f"wall {wall}" for wall in walls)
