"""The same house laid another way: turned, shifted, typed from another corner, typed clockwise, rounded, taped.

A house is a job as a mapping, before it is read. Everything that names a side by its number or a place by its
coordinates is carried over, so that nothing but the way it is drawn differs. A second mapping, the square house of the
same sides, is got back from what the program made of the drawn one.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, radians, remainder, sin
from typing import Any

from takeoff.model.roof import Roof

House = dict[str, Any]
Point = tuple[float, float]
SURVEY_MM = (1_758_000_123.0, 5_423_000_456.0)


@dataclass(frozen=True)
class Move:
    """How a house is drawn. `start`: points by which each ring begins later; `round_mm` 0 leaves the points as they are;
    `noise_mm`: corners are off by up to so much, each its own way (`seed`)."""

    turn_deg: float = 0.0
    shift_mm: Point = (0.0, 0.0)
    round_mm: float = 0.0
    start: int = 0
    clockwise: bool = False
    noise_mm: float = 0.0
    seed: int = 0

    def place(self, point: Sequence[float]) -> list[float]:
        """Where a point of the square house is drawn."""
        x, y = point
        if self.noise_mm:
            chance = random.Random(f"{self.seed} {x} {y}")
            far, way = self.noise_mm * chance.random(), 2.0 * pi * chance.random()
            x, y = x + far * cos(way), y + far * sin(way)
        c, s = _turn(self.turn_deg)
        moved = (c * x - s * y + self.shift_mm[0], s * x + c * y + self.shift_mm[1])
        return [self.rounded(value) for value in moved]

    def rounded(self, value: float) -> float:
        """A coordinate as the plan gives it."""
        return round(round(value / self.round_mm) * self.round_mm, 6) if self.round_mm else value

    def back(self, point: Sequence[float]) -> Point:
        """A point of the drawn house back on the square one."""
        c, s = _turn(self.turn_deg)
        x, y = point[0] - self.shift_mm[0], point[1] - self.shift_mm[1]
        return (c * x + s * y, c * y - s * x)

    @property
    def words(self) -> str:
        """One line for a person."""
        said = [f"turned {self.turn_deg:g}", f"rounded to {self.round_mm:g}" if self.round_mm else "not rounded"]
        said += [f"corners off by up to {self.noise_mm:g} mm, seed {self.seed}"] if self.noise_mm else []
        said += ["shifted"] if any(self.shift_mm) else []
        return ", ".join([*said, f"start {self.start}", *(["clockwise"] if self.clockwise else [])])


def _turn(deg: float) -> Point:
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    return quarter.get(deg % 360.0, (cos(radians(deg)), sin(radians(deg))))


def _side(old: int, count: int, move: Move) -> int:
    """New 0-based number of a side of a ring."""
    return ((count - 2 - old if move.clockwise else old) - move.start) % count


def _ring(points: Sequence[Any], move: Move) -> list[Any]:
    """Points of a ring in their new order."""
    turned = list(reversed(points)) if move.clockwise else list(points)
    start = move.start % len(turned)
    return turned[start:] + turned[:start]


def _ring_back(points: Sequence[Any], move: Move) -> list[Any]:
    start = -move.start % len(points)
    turned = [*points[start:], *points[:start]]
    return list(reversed(turned)) if move.clockwise else turned


def rings_of(roof: Mapping[str, Any]) -> list[list[Any]]:
    """Outer ring and courtyards of a roof, none for a mesh."""
    outer = roof.get("wall_line") or roof.get("outline")
    return [outer, *roof.get("courtyards", [])] if outer else []


def _numbers(roof: Mapping[str, Any], move: Move) -> Callable[[int], int]:
    """Old 1-based edge number -> new one; courtyards are numbered on."""
    new: dict[int, int] = {}
    first = 1
    for ring in rings_of(roof):
        new |= {first + i: first + _side(i, len(ring), move) for i in range(len(ring))}
        first += len(ring)
    return new.__getitem__


def moved_house(house: House, move: Move) -> House:
    """The job of the same house drawn another way."""
    new = copy.deepcopy(house)
    new["north_deg"] = _bearing(house.get("north_deg", 0.0) + move.turn_deg)
    for i, roof in enumerate(new.get("roofs", [])):
        number = _numbers(house["roofs"][i], move)
        _move_rings(roof, lambda ring: _ring([move.place(point) for point in ring], move))
        if "edges" in roof:
            roof["edges"] = {number(n): edge for n, edge in roof["edges"].items()}
        if "no_spouting_on" in roof:
            roof["no_spouting_on"] = [number(n) for n in roof["no_spouting_on"]]
        for light in roof.get("rooflight_sheets", []):
            light["edge"] = number(light["edge"])
    _move_places(new, move.place)
    if "none_on" in new.get("rainwater", {}):
        number = _numbers(house["roofs"][0], move)
        new["rainwater"]["none_on"] = [number(n) for n in new["rainwater"]["none_on"]]
    if "walls" in new:
        _move_walls(new["walls"], _numbers_of_walls(house, move))
    return new


def _bearing(deg: float) -> float:
    return deg % 360.0


def _numbers_of_walls(house: House, move: Move) -> Callable[[int], int]:
    """Old number of a wall -> new one: walls are numbered through the wall lines of the roofs that have walls."""
    named = house["walls"].get("roof")
    new: dict[int, int] = {}
    for roof in house["roofs"]:
        if named in (None, roof["name"]) and "wall_line" in roof:
            number, before = _numbers(roof, move), len(new)
            sides = sum(len(ring) for ring in rings_of(roof))
            new |= {before + n: before + number(n) for n in range(1, sides + 1)}
    return new.__getitem__


def _move_rings(roof: dict[str, Any], ring: Callable[[list[Any]], list[Any]]) -> None:
    for key in ("wall_line", "outline"):
        if key in roof:
            roof[key] = ring(roof[key])
    if "courtyards" in roof:
        roof["courtyards"] = [ring(court) for court in roof["courtyards"]]


def _move_places(house: House, place: Callable[[Sequence[float]], Sequence[float]]) -> None:
    for roof in house.get("roofs", []):
        for hole in roof.get("penetrations", []):
            hole["at"] = list(place(hole["at"]))
    if "downpipes_at" in house.get("rainwater", {}):
        house["rainwater"]["downpipes_at"] = [list(place(at)) for at in house["rainwater"]["downpipes_at"]]


def _move_walls(walls: dict[str, Any], number: Callable[[int], int]) -> None:
    for part in walls.get("openings", []):
        part["wall"] = number(part["wall"])
    for part in walls.get("grounds", []):
        part["wall"] = number(part["wall"])
    for zone in walls.get("zones", []):
        if "walls" in zone:
            zone["walls"] = [number(n) for n in zone["walls"]]
    if "ground_by_wall" in walls:
        walls["ground_by_wall"] = {number(n): ends for n, ends in walls["ground_by_wall"].items()}


@dataclass(frozen=True)
class Twin:
    """The square house with the sides that the program gave the drawn one. `off_mm`: the most that a corner of it lies
    from where the square house has it; `crooked_mm`: the most by which its sides are out of square still; `said`: the
    sides whose place differs, in words."""

    house: House
    off_mm: float
    crooked_mm: float
    said: tuple[str, ...]


def square_twin(house: House, move: Move, drawn: House, roofs: Sequence[Roof]) -> Twin:
    """The house lying square as `house` does, its corners where the program put those of the drawn house.

    What rounding turned the whole house by is turned back with it: the longest side gives that angle.
    """
    new = copy.deepcopy(house)
    made = [_came_back(roof, own, move) for roof, own in zip(new["roofs"], roofs, strict=True)]
    turn, about = _turned_by([ring for rings in made for ring in rings], _all_rings(house))

    def level(point: Sequence[float]) -> list[float]:
        c, s = cos(turn), sin(turn)
        x, y = point[0] - about[0], point[1] - about[1]
        return [c * x + s * y + about[0], c * y - s * x + about[1]]

    for roof, rings in zip(new["roofs"], made, strict=True):
        left = iter(rings)
        _move_rings(roof, lambda _, left=left: [level(point) for point in next(left)])  # type: ignore[misc]
    drawn_places = copy.deepcopy(drawn)
    _move_places(drawn_places, lambda point: level(move.back(point)))
    for roof, placed in zip(new["roofs"], drawn_places["roofs"], strict=True):
        if "penetrations" in roof:
            roof["penetrations"] = placed["penetrations"]
    if "downpipes_at" in new.get("rainwater", {}):
        new["rainwater"]["downpipes_at"] = drawn_places["rainwater"]["downpipes_at"]
    crooked = _snap(new, house)
    off, said = _moves(house, new)
    return Twin(new, off, crooked, said)


def _came_back(roof: Mapping[str, Any], made: Roof, move: Move) -> list[list[Point]]:
    """The rings of a roof as the program has them, in typed order where the square house stands."""
    x0, y0 = made.origin_mm[0], made.origin_mm[1]
    rings = made.wall_line_mm if "wall_line" in roof else made.outline_mm
    return [_ring_back([move.back((x + x0, y + y0)) for x, y in ring], move) for ring in rings]


def _turned_by(rings: Sequence[Sequence[Point]], was: Sequence[Sequence[Any]]) -> tuple[float, Point]:
    """Angle [radians] by which the longest side lies turned, and its first point."""
    found = []
    for ring, old in zip(rings, was, strict=True):
        for i, (a, p) in enumerate(zip(ring, old, strict=True)):
            b, q = ring[(i + 1) % len(ring)], old[(i + 1) % len(ring)]
            now, then = atan2(b[1] - a[1], b[0] - a[0]), atan2(q[1] - p[1], q[0] - p[0])
            found.append((hypot(q[0] - p[0], q[1] - p[1]), remainder(now - then, 2.0 * pi), a))
    _, turn, about = max(found)
    return turn, about


def moved_mm(drawn: House, roofs: Sequence[Roof]) -> float:
    """The most by which the program moved a corner of the drawn house."""
    worst = 0.0
    for roof, made in zip(drawn["roofs"], roofs, strict=True):
        x0, y0 = made.origin_mm[0], made.origin_mm[1]
        rings = made.wall_line_mm if "wall_line" in roof else made.outline_mm
        for typed, ring in zip(rings_of(roof), rings, strict=True):
            worst = max(worst, *(hypot(b[0] + x0 - a[0], b[1] + y0 - a[1]) for a, b in zip(typed, ring, strict=True)))
    return worst


def _snap(new: House, old: House) -> float:
    """Sides that lie along an axis in the old house are put exactly so in the new one; returns the most that took."""
    worst = 0.0
    for ring, was in zip(_all_rings(new), _all_rings(old), strict=True):
        for axis in (0, 1):
            for run in _runs(was, axis):
                mean = sum(ring[i][axis] for i in run) / len(run)
                worst = max(worst, *(abs(ring[i][axis] - mean) for i in run))
                for i in run:
                    ring[i][axis] = round(mean, 7)
    return worst


def _runs(ring: Sequence[Sequence[float]], axis: int) -> list[list[int]]:
    """Points following each other that share a coordinate, from the first that differs from the one before it."""
    count = len(ring)
    starts = [i for i in range(count) if ring[i][axis] != ring[i - 1][axis]]
    runs = []
    for a, b in zip(starts, (*starts[1:], starts[0] + count), strict=True):
        runs.append([i % count for i in range(a, b)])
    return [run for run in runs if len(run) > 1]


def _all_rings(house: House) -> list[list[Any]]:
    return [ring for roof in house["roofs"] for ring in rings_of(roof)]


def _moves(old: House, new: House) -> tuple[float, tuple[str, ...]]:
    worst, said = 0.0, []
    for number, (was, ring) in enumerate(zip(_all_rings(old), _all_rings(new), strict=True), start=1):
        for i, (a, b) in enumerate(zip(was, ring, strict=True)):
            after, now = was[(i + 1) % len(was)], ring[(i + 1) % len(was)]
            worst = max(worst, hypot(b[0] - a[0], b[1] - a[1]))
            long, length = hypot(after[0] - a[0], after[1] - a[1]), hypot(now[0] - b[0], now[1] - b[1])
            if abs(length - long) > 1e-6:
                said.append(f"ring {number} side {i + 1}: {long:.4f} -> {length:.4f}")
    return worst, tuple(said)
