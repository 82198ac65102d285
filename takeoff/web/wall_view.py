"""What the drawing of a wall shows, as plain data: its shape, boards as cut, lines, and openings as they are typed.

Wall axes [mm]: x from the left end seen from outside, y up from the main floor. No figure is made here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from typing import Any

from takeoff.basics.vectors import Ring2
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation, WallBoards
from takeoff.web.wall_edits import Row, kind_of, mark_of, number_of, place_of, rows_of
from takeoff.write.house_view.part_words import board_facts
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.words import compass_words, name_words, plain, whole

Data = dict[str, Any]


def wall_named(takeoff: Takeoff | None, mark: str) -> Elevation | None:
    """The wall of a mark: its own ("wall 2"), or that of one of its boards."""
    if takeoff is None:
        return None
    number = next((zone.wall for zone in takeoff.cladding.boards for piece in zone.pieces if piece.id == mark), None)
    return next((wall for wall in takeoff.elevations if mark == wall.id or wall.wall == number), None)


def wall_line(wall: Elevation) -> str:
    """A wall in a list: its number or name, length and side."""
    own = f"wall {wall.wall}"
    name = plain(wall.id) if wall.id == own else f"{own}, {plain(wall.id)}"
    side = "" if not wall.roof else f", faces {compass_words(wall.bearing_deg)}"
    return f"{name}: {whole(wall.width_mm)} mm{side}"


def wall_data(wall: Elevation, ordered: Takeoff | None, newest: bool) -> Data:
    """The wall as it is drawn. `ordered`: whose boards are shown, also those of an older text while newer ones are
    worked out, as long as the wall has the same shape."""
    same = ordered if _same_wall(wall, ordered) else None
    zones = [zone for zone in same.cladding.boards if zone.wall == wall.wall] if same is not None else []
    return {
        "number": wall.wall,
        "words": wall_line(wall),
        "width": round(wall.width_mm, 1),
        "outline": _flat(wall.outline_xy),
        "covered": [_flat(ring) for ring in wall.covered_xy],
        "base": round(wall.base_mm, 1),
        "floors": [round(level, 1) for level in wall.floors_mm],
        "ground": [round(level, 1) for level in wall.ground_mm],
        "grounds": [
            {"line": [part.left_mm, part.level_mm, part.right_mm, part.level_mm], "words": plain(part.kind)}
            for part in wall.grounds
        ],
        "boards": list(chain.from_iterable(_boards(zone, same) for zone in zones)),
        "old": not newest,
        "lines": list(_lines(wall.wall, zones, same)),
    }


def _same_wall(wall: Elevation, ordered: Takeoff | None) -> bool:
    """Whether an order has a wall of that number with the same outline."""
    old = ordered.elevations if ordered is not None else ()
    return any(one.wall == wall.wall and one.outline_xy == wall.outline_xy for one in old)


def _boards(zone: WallBoards, ordered: Takeoff | None) -> Iterator[Data]:
    cuts = cut_pieces(ordered.order if ordered is not None else None)
    for piece in zone.pieces:
        cut = " + ".join(str(one.length_mm) for one in cuts.get(piece.id, ()))
        facts = (plain(piece.id), *board_facts(zone, piece), *([f"cut {cut} mm"] if cut else []))
        yield {"mark": piece.id, "ring": _flat(piece.outline_xy), "words": "; ".join(facts)}


def _lines(number: int, zones: Sequence[WallBoards], ordered: Takeoff | None) -> Iterator[Data]:
    """Corners, flashings and lines where claddings meet, each with what it is."""
    for zone in zones:
        for line in zone.flashed_xy:
            yield {"line": _flat(line), "words": "flashing of a level break or of another zone"}
    for junction in ordered.cladding.junctions if ordered is not None else ():
        for wall, line in junction.lines:
            if wall == number:
                yield {"line": _flat(line), "words": f"{plain(junction.detail)}: {plain(junction.words)}"}


def opening_data(tree: Any, wall: Elevation) -> list[Data]:
    """The openings of a wall as they are typed, each by its place in the job."""
    found = []
    for at, row in enumerate(rows_of(tree, "openings")):
        if row.get("wall") == wall.wall:
            place = place_of(row, wall.floors_mm)
            floor = place.y - number_of(row, "sill_mm")
            found.append(_opening(at, mark_of(row, at), kind_of(row), (place.x, place.y, place.w, place.h), floor))
    return found


def given_data(tree: Any, wall: Elevation) -> list[Data]:
    """The openings of a wall that are not typed: those of a drawing or a model, which stand as they are there."""
    typed = {mark_of(row, at) for at, row in enumerate(rows_of(tree, "openings"))}
    return [
        _opening(-1 - n, one.name, one.kind or "opening", (one.from_left_mm, one.sill_mm, one.width_mm, one.height_mm))
        for n, one in enumerate(wall.openings)
        if one.name not in typed
    ]


def _opening(at: int, mark: str, kind: str, place: tuple[float, float, float, float], floor: float = 0.0) -> Data:
    x, y, w, h = place
    named = {"at": at, "mark": plain(mark), "kind": name_words(kind), "given": at < 0, "floor": round(floor, 1)}
    return named | {"x": x, "y": y, "w": w, "h": h}


def opening_places(tree: Any, mark: str) -> list[int]:
    """The places in the job of the openings of a mark."""
    return [at for at, row in enumerate(rows_of(tree, "openings")) if plain(mark_of(row, at)) == mark]


def band_data(tree: Any, wall: Elevation) -> list[Data]:
    """The zones that are bands of a wall, with the heights that can be drawn higher or lower."""
    return [
        {
            "at": at,
            "name": f"zone {at + 1}",
            "words": f"zone {at + 1}: {clad_words(row)}",
            "from": row.get("from_mm"),
            "to": row.get("to_mm"),
            "left": number_of(row, "from_left_mm"),
            "right": number_of(row, "from_left_mm") + number_of(row, "width_mm", wall.width_mm),
        }
        for at, row in enumerate(rows_of(tree, "zones"))
        if (row.get("from_mm") is not None or row.get("to_mm") is not None) and on_wall(tree, at, wall.wall)
    ]


def on_wall(tree: Any, at: int, number: int) -> bool:
    """Whether a zone as typed is one of a wall's: it names it, is a part of every wall, or takes the walls that no
    whole zone names."""
    rows = rows_of(tree, "zones")
    walls = rows[at].get("walls")
    if isinstance(walls, list):
        return number in walls
    if _part_of_wall(rows[at]):
        return True
    named = [row["walls"] for row in rows if isinstance(row.get("walls"), list) and not _part_of_wall(row)]
    return not any(number in others for others in named)


def _part_of_wall(row: Row) -> bool:
    keys = ("from_mm", "to_mm", "from_left_mm", "width_mm", "polygon")
    return any(row.get(key) is not None for key in keys)


def clad_words(row: Row) -> str:
    """What a zone is clad with, in words."""
    board = row.get("profile") if row.get("direction") == "sheets" else row.get("board")
    if isinstance(board, dict):
        board = f"board {number_of(board, 'width_mm'):g}, cover {number_of(board, 'cover_mm'):g}"
    direction = str(row.get("direction") or "horizontal")
    if direction == "none":
        return "left out"
    return ", ".join(plain(str(part)) for part in (direction, board) if part)


def _flat(ring: Ring2) -> list[float]:
    return [round(value, 1) for point in ring for value in point]
