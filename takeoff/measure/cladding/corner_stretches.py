"""How far up a corner which claddings meet: from where both walls are clad up to the higher of their two tops.

A corner is closed as one: where one wall ends under its soffit and the other goes on up to its rake, boards and
flashing of the corner run on to the higher top (common practice, no source). Where a lower roof covers one of them
there is no corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from takeoff.basics.records import record
from takeoff.measure.cladding.face import CRUMB_MM, Face, without
from takeoff.measure.cladding.face_parts import columns_at
from takeoff.model.walls import WallBoards


@record
class PartClad:
    """What one zone clads of a wall: its face, its direction, its boards."""

    face: Face
    direction: str
    boards: WallBoards


@record
class Column:
    """What a wall is clad with at one place from one height to another [mm]; no `part` where it is left out."""

    low: float
    high: float
    part: PartClad | None = None

    @property
    def direction(self) -> str:
        """Direction of the cladding there, "none" where it is left out."""
        return self.part.direction if self.part else "none"


@record
class Stretch:
    """A part of a corner along which two claddings meet [mm over the floor]; `one` and `other` are these."""

    low: float
    high: float
    one: Column
    other: Column

    @property
    def length_mm(self) -> float:
        """How long it is [mm]."""
        return self.high - self.low

    def along_mm(self, side: Column) -> float:
        """How much of a side's own cladding stands along it [mm]."""
        return max(0.0, min(self.high, side.high) - max(self.low, side.low))

    def courses(self) -> int:
        """Courses of level boards along it, of the side that has more."""
        return max(self._courses(self.one), self._courses(self.other))

    def _courses(self, side: Column) -> int:
        if side.part is None or side.direction != "horizontal":
            return 0
        boards = side.part.boards
        low, high = max(self.low, side.low), min(self.high, side.high)
        return sum(y < high - CRUMB_MM and y + boards.cover_mm > low + CRUMB_MM for y in boards.marks_mm)


def columns(whole: Face, parts: Sequence[PartClad], x: float) -> tuple[Column, ...]:
    """What a wall is clad with at a place along it, from the foot up."""
    own = [part for part in parts if part.face.left - CRUMB_MM <= x <= part.face.right + CRUMB_MM]
    found = [Column(low, high, part) for part in own for low, high in columns_at(part.face, x)]
    clad = [(column.low, column.high) for column in found]
    found += [Column(a, b) for reach in columns_at(whole, x) for a, b in without(reach, clad)]
    return tuple(sorted(found, key=lambda column: column.low))


def stretches(one: Sequence[Column], other: Sequence[Column], to_higher: bool = True) -> tuple[Stretch, ...]:
    """What meets at a corner of two walls, from the foot up, each stretch as long as the same two claddings meet.

    The last runs on to the higher of their tops with `to_higher`; a wall that stands against one that goes on past it
    ends at its own.
    """
    heights = sorted({y for column in (*one, *other) for y in (column.low, column.high)})
    found: list[Stretch] = []
    for low, high in _steps(heights):
        a, b = _at(one, (low + high) / 2.0), _at(other, (low + high) / 2.0)
        last = found[-1] if found and low - found[-1].high <= CRUMB_MM else None
        if a and b:
            found.append(Stretch(low, high, a, b))
        elif to_higher and last and (a or b) and max(column.high for column in (other if a else one)) <= low + CRUMB_MM:
            found[-1] = Stretch(last.low, high, last.one, last.other)
    return tuple(found)


def _steps(heights: Sequence[float]) -> Iterator[tuple[float, float]]:
    """The steps between heights, crumbs left out."""
    last = heights[0] if heights else 0.0
    for height in heights:
        if height - last > CRUMB_MM:
            yield last, height
            last = height


def _at(side: Sequence[Column], y: float) -> Column | None:
    return next((column for column in side if column.low < y < column.high), None)
