"""The wall lines of a building: which roofs have walls, how they are numbered, from which floor to which height.

Walls are numbered as their roofs and edges are typed: the first roof with a wall line from 1, the next from there on.
"""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.nearest import did_you_mean
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import StoreyJob, WallsJob
from takeoff.model.roof import Roof


@record
class WallLine:
    """A wall line that is clad: its roof, the number before its first wall, the floors of its storeys over the finished
    main floor, lowest first, and the height of its frame over that floor [mm]."""

    roof: Roof
    before: int
    floors_mm: tuple[float, ...]
    frame_mm: float

    @property
    def walls(self) -> int:
        """How many walls it has."""
        return edges_of(self.roof)


def edges_of(roof: Roof) -> int:
    """How many edges the wall line of a roof has, courtyards in."""
    return sum(len(ring) for ring in roof.wall_line_mm)


def wall_lines(walls: WallsJob, roofs: tuple[Roof, ...], faults: list[str]) -> tuple[WallLine, ...]:
    """The wall lines that are clad: of the roof that the job names, else of every roof that has one; none where the
    walls are given by themselves and no height is, or no wall line. What cannot be is added to `faults`."""
    lined = any(roof.wall_line_mm for roof in roofs)
    if walls.elevations and not walls.storeys and (walls.height_mm is None or not lined):
        return ()
    if not roofs:
        faults.append("walls: there is no roof to take a wall line from; give the walls as elevations.")
        return ()
    named = _named(walls, roofs, faults)
    faults += _storey_faults(walls.storeys, roofs)
    found: list[WallLine] = []
    before = 0
    for roof in named:
        storeys = [storey for storey in walls.storeys if storey.roof == roof.name]
        if not storeys and walls.height_mm is None:
            faults.append("walls.height_mm: give the frame height, finished floor to the soffit line or plate [mm].")
            break
        floors = tuple(storey.floor_mm for storey in storeys) or (0.0,)
        frame = storeys[-1].floor_mm + storeys[-1].height_mm if storeys else walls.height_mm or 0.0
        found.append(WallLine(roof, before, floors, frame))
        before += edges_of(roof)
    return tuple(found)


def _named(walls: WallsJob, roofs: tuple[Roof, ...], faults: list[str]) -> tuple[Roof, ...]:
    if walls.roof is None:
        lined = tuple(roof for roof in roofs if roof.wall_line_mm)
        if not lined:
            name = roofs[0].name
            faults.append(f"walls: roof {name} has no wall line; give its wall_line, or the walls as elevations.")
        return lined
    names = [roof.name for roof in roofs]
    if walls.roof not in names:
        faults.append(f"walls.roof: there is no roof {walls.roof}{did_you_mean(walls.roof, names, '.')}")
        return ()
    roof = roofs[names.index(walls.roof)]
    if not roof.wall_line_mm:
        faults.append(f"walls: roof {roof.name} has no wall line; give its wall_line, or the walls as elevations.")
    return (roof,)


def _storey_faults(storeys: list[StoreyJob], roofs: tuple[Roof, ...]) -> Iterator[str]:
    """Storeys of roofs that have no wall line, and of one roof out of their order."""
    lined = [roof.name for roof in roofs if roof.wall_line_mm]
    last: dict[str, tuple[int, StoreyJob]] = {}
    for number, storey in enumerate(storeys, start=1):
        where = f"walls.storeys[{number}]"
        if storey.roof not in lined:
            meant = did_you_mean(storey.roof, lined, ".")
            yield f"{where}.roof: there is no roof {storey.roof} with a wall line{meant}"
            continue
        if storey.roof in last:
            below, other = last[storey.roof]
            top = other.floor_mm + other.height_mm
            if storey.floor_mm < top - TOLERANCES.same_point_mm:
                yield (
                    f"{where}.floor_mm: {storey.floor_mm:g} is under the top of storey {below} ({top:g}); give the "
                    f"storeys of {storey.roof} from the lowest up, each floor over the frame below it."
                )
        last[storey.roof] = (number, storey)


def unclad_lines(walls: WallsJob, roofs: tuple[Roof, ...], clad: tuple[str, ...]) -> tuple[Finding, ...]:
    """A warning for every wall line that nothing clads. `clad`: the roofs whose walls are."""
    return tuple(
        Finding(
            code="wall-line-unclad",
            severity=Severity.WARN,
            text=f"The wall line of roof {roof.name} is clad by nothing in this order.",
            advice="To clad it too, add under the walls: "
            f"`storeys: [{{roof: {roof.name}, floor_mm: 0, height_mm: {walls.height_mm or 2400:g}}}]`.",
            refs=(roof.name,),
        )
        for roof in roofs
        if roof.wall_line_mm and roof.name not in clad
    )
