"""Room for words on an elevation."""

from __future__ import annotations

from math import cos, radians, sin

from takeoff.model.walls import Elevation
from takeoff.write.drawings.drawing import Circle, Dimension, Fill, Line, Polyline, Sketch, Text
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.overlaps import Box


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


_UNDER_WORDS = frozenset(["WALL-BOARD", "WALL-BATTEN"])  # lines that may run under words


def drawn_room(sketch: Sketch, page: Box) -> Room:
    """Room for words beside all that stands on a sketch; `page` is what they may stand on [mm]."""
    room = Room(sketch, within=page)
    for item in sketch.items:
        match item:
            case Text():
                # a text stands on its base line, a label round the middle of its capitals
                up = 0.0 if item.middle else item.height_mm / 2.0
                turn = radians(item.angle_deg)
                at = (item.at_mm[0] - up * sin(turn), item.at_mm[1] + up * cos(turn))
                paper = item.height_mm / sketch.scale
                room.keep([Label(item.layer, at, item.text, paper, item.angle_deg, item.align)])
            case Dimension():
                _keep_dimension(room, item)
            case Line() if item.layer not in _UNDER_WORDS:
                room.lines.append((item.a_mm, item.b_mm))
            case Polyline() if item.layer not in _UNDER_WORDS:
                closed = item.points_mm if item.closed else item.points_mm[:-1]
                room.lines += zip(closed, (*item.points_mm[1:], item.points_mm[0]), strict=False)
            case Circle():
                room.boxes.append(room.square(item.at_mm, item.radius_mm / sketch.scale))
            case Line() | Polyline() | Fill():
                pass
    return room


def _keep_dimension(room: Room, item: Dimension) -> None:
    """A dimension's line, extension lines and figure."""
    feet = item.feet()
    room.lines += [(feet[0], feet[1]), (item.a_mm, feet[0]), (item.b_mm, feet[1])]
    room.keep_figure(item)
