"""What is done to the cladding zones of walls on the page, as edits of the job."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.web.entries import length_mm
from takeoff.web.wall_edits import Row, rows_of, tidy, wall_numbers
from takeoff.write.job_text.edits import edited_text
from takeoff.write.job_text.entries_moved import neighbours_swapped

DIRECTIONS = ("horizontal", "vertical", "sheets", "none")
HEIGHTS = ("from_mm", "to_mm")
LENGTHS = ("from_mm", "to_mm", "from_left_mm", "width_mm", "break_mm")
PARTS = ("the whole wall", "a band", "a width", "the gable triangle")


def clad_with(direction: str, product: str) -> Row:
    """Direction and board or sheet of a zone as the job has them."""
    if direction == "none":
        return {"direction": direction}
    return {"direction": direction, "profile" if direction == "sheets" else "board": product}


def zone_added(tree: Any, part: str, walls: Sequence[int], clad: Row, outline: Sequence[tuple[float, float]]) -> Edit:
    """A zone after the others: the whole of the walls named, or a part of them, to be drawn or typed afterwards. A
    band begins half way up the wall, the triangle of a gable at its lower eave. `outline`: of the wall that is shown.

    Raises UsageError where the wall has no gable.
    """
    place = len(rows_of(tree, "zones"))
    row: Row = {"walls": list(walls)} if walls else {}
    return Edit(("walls", "zones", place), row | _part(part, outline) | clad)


def _part(part: str, outline: Sequence[tuple[float, float]]) -> Row:
    if part == PARTS[0] or not outline:
        return {}
    ys, xs = [y for _, y in outline], [x for x, _ in outline]
    if part == PARTS[1]:
        return {"from_mm": _tens((min(ys) + max(ys)) / 2.0)}
    if part == PARTS[2]:
        return {"from_left_mm": 0, "width_mm": _tens((max(xs) - min(xs)) / 2.0)}
    foot = gable_foot(outline)
    if foot is None:
        raise UsageError("this wall has no gable: its top is level.")
    return {"from_mm": _tens(foot)}


def gable_foot(outline: Sequence[tuple[float, float]]) -> float | None:
    """The height at which the gable of a wall begins: the lower of its eaves; None where its top is level [mm]."""
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    ends = [max(y for x, y in outline if abs(x - at) < 1.0) for at in (left, right)]
    return min(ends) if max(y for _, y in outline) > min(ends) + 1.0 else None


def zone_set(tree: Any, at: int, key: str, text: str) -> tuple[Edit, ...]:
    """A figure or word of a zone as typed; nothing typed takes it out. Raises UsageError."""
    row = _zone(tree, at)
    path = ("walls", "zones", at)
    if key == "walls":
        numbers = wall_numbers(text)
        return (Edit((*path, key), numbers or GONE),)
    if key in LENGTHS:
        return (Edit((*path, key), tidy(length_mm(text, signed=True)) if text.strip() else GONE),)
    if key in ("board width_mm", "board cover_mm"):
        return (Edit((*path, *key.split()), tidy(length_mm(text))),)
    if key == "direction":
        return _turned(row, at, text)
    if key == "product":
        return (Edit((*path, "profile" if row.get("direction") == "sheets" else "board"), text),)
    if key == "even_coursing":
        return (Edit((*path, key), {"yes": True, "no": False}.get(text, GONE)),)
    return (Edit((*path, key), text.strip() or GONE),)


def _turned(row: Row, at: int, direction: str) -> tuple[Edit, ...]:
    """A zone clad another way: what only the other way has goes."""
    if direction not in DIRECTIONS:
        raise UsageError(f"{direction[:20]} is no way to clad: {', '.join(DIRECTIONS)}.")
    kept = {"sheets": ("profile",), "none": ()}.get(direction, ("board",))
    gone: list[str] = [key for key in ("board", "profile") if key in row and key not in kept]
    if direction in ("sheets", "none", "vertical"):
        gone += [key for key in ("even_coursing",) if key in row]
    if direction != "vertical":
        gone += [key for key in ("break_mm",) if key in row]
    return (
        Edit(("walls", "zones", at, "direction"), direction),
        *(Edit(("walls", "zones", at, key), GONE) for key in gone),
    )


def board_given(tree: Any, at: int, width: str, cover: str, kind: str = "") -> Edit:
    """A board of the zone by its width and cover, where the catalogue has no such board or nobody publishes its cover;
    `kind`: how it is cut, "" where that is not said. Raises UsageError."""
    _zone(tree, at)
    own: Row = {"width_mm": tidy(length_mm(width)), "cover_mm": tidy(length_mm(cover))}
    return Edit(("walls", "zones", at, "board"), own | ({"kind": kind} if kind else {}))


def band_moved(tree: Any, at: int, key: str, height: float) -> Edit:
    """The foot (from_mm) or top (to_mm) of a band drawn to another height over the main floor, on steps of 10 mm.
    Raises UsageError."""
    row = _zone(tree, at)
    if key not in HEIGHTS:
        raise UsageError("a band has a foot and a top.")
    now = _tens(height)
    foot, top = (now if name == key else row.get(name) for name in HEIGHTS)
    if isinstance(foot, int | float) and isinstance(top, int | float) and foot >= top:
        raise UsageError("a band begins below its top.")
    return Edit(("walls", "zones", at, key), now)


def zone_out(tree: Any, at: int) -> Edit:
    """A zone taken out. Raises UsageError."""
    _zone(tree, at)
    return Edit(("walls", "zones", at), GONE)


def zone_moved(tree: Any, at: int, by: int) -> tuple[Edit, ...]:
    """A zone earlier (-1) or later (1) in the list; nothing at its ends. Raises UsageError."""
    row = _zone(tree, at)
    to = at + by
    if not 0 <= to < len(rows_of(tree, "zones")):
        return ()
    return Edit(("walls", "zones", at), GONE), Edit(("walls", "zones", to), row, insert=True)


def zone_moved_text(text: str, tree: Any, at: int, by: int) -> str:
    """The job's text with a zone earlier (-1) or later (1), its comments with it. Raises UsageError."""
    edits = zone_moved(tree, at, by)
    swapped = neighbours_swapped(text, ("walls", "zones"), min(at, at + by)) if edits else text
    return edited_text(text, edits) if swapped is None else swapped


def _zone(tree: Any, at: int) -> Row:
    rows = rows_of(tree, "zones")
    if not 0 <= at < len(rows):
        raise UsageError("that zone is not in the job any more.")
    return rows[at]


def _tens(value: float) -> int:
    return round(value / 10.0) * 10
