"""Room for words on an elevation."""

from __future__ import annotations

from takeoff.model.walls import Elevation
from takeoff.write.drawings.drawing import Sketch
from takeoff.write.drawings.label_room import Room


def wall_room(sketch: Sketch, wall: Elevation) -> Room:
    """Room for words on a wall, off its outline and its openings."""
    room = Room(sketch)
    for ring in (wall.outline_xy, *wall.covered_xy):
        room.add_ring(ring)
    for opening in wall.openings:
        left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
        low, high = opening.sill_mm, opening.head_mm
        room.add_ring(((left, low), (right, low), (right, high), (left, high)))
        # a board's words keep off the whole of it, not only off its frame
        room.boxes.append(((left, low), (right, low), (right, high), (left, high)))
    return room
