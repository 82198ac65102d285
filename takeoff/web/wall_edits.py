"""What is done to walls on the page, as edits of the job: openings put in, moved and taken out; heights and ground.

Places are wall axes: x from the left end seen from outside, y up from the main floor [mm]. `tree` is the job as typed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.model.job_edits import GONE, Edit, EditPath
from takeoff.web.entries import length_mm

STEP_MM = 10.0  # what is drawn falls on whole steps
KINDS = ("window", "door", "meter_box", "vent")
LENGTHS = ("from_left_mm", "sill_mm", "width_mm", "height_mm")
_SIGNED = frozenset(["sill_mm", "ground_mm"])
Row = dict[str, Any]


@record
class Place:
    """Where an opening lies on its wall [mm]: `y` is its sill over the main floor."""

    x: float
    y: float
    w: float
    h: float

    @classmethod
    def of(cls, found: Any) -> Place:
        """What the drawing says. Raises UsageError for what is no place."""
        try:
            return cls(*(float(found[key]) for key in ("x", "y", "w", "h")))
        except (KeyError, TypeError, ValueError):
            raise UsageError("the drawing sent no place.") from None

    def stepped(self) -> Place:
        """The place on whole steps, one step wide and high at least."""
        x, y, w, h = (round(value / STEP_MM) * STEP_MM for value in (self.x, self.y, self.w, self.h))
        return Place(max(x, 0.0), y, max(w, STEP_MM), max(h, STEP_MM))


def walls_of(tree: Any) -> Row:
    """The walls section as typed; {} where there is none."""
    found = tree.get("walls") if isinstance(tree, dict) else None
    return found if isinstance(found, dict) else {}


def rows_of(tree: Any, key: str) -> list[Row]:
    """The entries of a list of the walls section (openings, zones); what is no entry is {}."""
    found = walls_of(tree).get(key)
    return [row if isinstance(row, dict) else {} for row in found] if isinstance(found, list) else []


def tidy(value: float) -> float | int:
    """A figure as it is written: whole ones without a point."""
    return int(value) if float(value).is_integer() else round(float(value), 3)


def number_of(row: Row, key: str, otherwise: float = 0.0) -> float:
    """A figure of an entry; `otherwise` where none is typed."""
    value = row.get(key)
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else otherwise


def floor_of(row: Row, floors: Sequence[float]) -> float:
    """The floor that an opening's sill is counted from, over the main floor [mm]."""
    storey = row.get("storey")
    named = isinstance(storey, int) and not isinstance(storey, bool) and 1 <= storey <= len(floors)
    return float(floors[storey - 1]) if named and isinstance(storey, int) else 0.0


def place_of(row: Row, floors: Sequence[float]) -> Place:
    """Where an opening as typed lies on its wall."""
    x, sill, w, h = (number_of(row, key) for key in LENGTHS)
    return Place(x, sill + floor_of(row, floors), w, h)


def kind_of(row: Row) -> str:
    """What an opening is: as typed, else a door where it goes down to the floor."""
    return str(row.get("kind") or ("door" if number_of(row, "sill_mm") <= 0.0 else "window"))


def mark_of(row: Row, place: int) -> str:
    """The mark of an opening on drawings: its name, else its letter and its place in the job, counted from 1."""
    letter = "D" if number_of(row, "sill_mm") <= 0.0 else "W"
    return str(row.get("name") or f"{letter}{place + 1}")


def next_name(tree: Any, kind: str) -> str:
    """A mark that no opening has yet: W4 after W3."""
    letter = "D" if kind == "door" else "W"
    taken = {mark_of(row, n) for n, row in enumerate(rows_of(tree, "openings"))}
    return next(name for n in range(1, len(taken) + 2) if (name := f"{letter}{n}") not in taken)


def opening_added(tree: Any, wall: int, place: Place, kind: str, floors: Sequence[float] = (0.0,)) -> Edit:
    """An opening put into a wall where it was drawn or typed, on steps of 10 mm, under the next free name. One that
    begins above an upper floor is on that storey."""
    place = place.stepped()
    storey = max((n for n, floor in enumerate(floors, start=1) if floor <= place.y), default=1)
    floor = floors[storey - 1] if storey > 1 else 0.0
    row: Row = {
        "wall": wall,
        "name": next_name(tree, kind),
        "from_left_mm": tidy(place.x),
        "sill_mm": tidy(place.y - floor),
        "width_mm": tidy(place.w),
        "height_mm": tidy(place.h),
    }
    if storey > 1:
        row["storey"] = storey
    if kind != kind_of(row):
        row["kind"] = kind
    return Edit(("walls", "openings", len(rows_of(tree, "openings"))), row)


def opening_placed(tree: Any, at: int, place: Place, floors: Sequence[float] = (0.0,)) -> tuple[Edit, ...]:
    """An opening drawn elsewhere or larger: of its figures those alone that changed. Raises UsageError where there is
    no such opening."""
    row = _opening(tree, at)
    sill = place.y - floor_of(row, floors)
    now = dict(zip(LENGTHS, (place.x, sill, place.w, place.h), strict=True))
    if place.w <= 0.0 or place.h <= 0.0:
        raise UsageError("an opening has a width and a height.")
    kept = _kind_kept(row, sill)
    return (
        *(
            Edit(_path(at, key), tidy(value))
            for key, value in now.items()
            if abs(value - number_of(row, key, -1e9)) > 0.5
        ),
        *([Edit(_path(at, "kind"), kept)] if kept else []),
    )


def _kind_kept(row: Row, sill: float) -> str:
    """The kind that must be said now so that a window that is drawn down to the floor stays one, and a door that is
    lifted a door; "" where it is said or need not be."""
    if row.get("kind"):
        return ""
    before = kind_of(row)
    return before if before != kind_of({"sill_mm": sill}) else ""


def opening_set(tree: Any, at: int, key: str, text: str) -> Edit:
    """A figure or word of an opening as it was typed. Raises UsageError for what cannot be read."""
    _opening(tree, at)
    if key in LENGTHS:
        value: Any = tidy(length_mm(text, signed=key in _SIGNED))
    elif key in ("wall", "storey"):
        value = whole_number(text, key) if text.strip() else GONE
    else:
        value = text.strip() or GONE
    if value is GONE and key == "wall":
        raise UsageError("an opening is on a wall: type its number.")
    return Edit(_path(at, key), value)


def opening_out(tree: Any, at: int) -> Edit:
    """An opening taken out. Raises UsageError where there is no such opening."""
    _opening(tree, at)
    return Edit(("walls", "openings", at), GONE)


def opening_copied(tree: Any, at: int, wall: int) -> Edit:
    """The same opening once more, under the next free name: on another wall at the same place, on its own wall one
    width further right of the last that stands there."""
    row = dict(_opening(tree, at))
    row["name"] = next_name(tree, kind_of(row))
    if wall == row.get("wall"):
        ends = [
            number_of(other, "from_left_mm") + number_of(other, "width_mm")
            for other in rows_of(tree, "openings")
            if other.get("wall") == wall
        ]
        width = number_of(row, "width_mm")
        row["from_left_mm"] = tidy(round((max(ends) + width) / STEP_MM) * STEP_MM)
    row["wall"] = wall
    return Edit(("walls", "openings", len(rows_of(tree, "openings"))), row)


def wall_numbers(text: str) -> list[int]:
    """Numbers of walls as typed: "2, 4" or "4-6". Raises UsageError."""
    found: list[int] = []
    for word in text.replace(",", " ").split():
        first, _, last = word.partition("-")
        if not first.isdecimal() or not (last or first).isdecimal() or len(word) > 9:
            raise UsageError(f'"{word[:20]}" is no wall: type numbers, as 2, 4 or 4-6.')
        low, high = int(first), int(last or first)
        if high < low or high - low > 500:
            raise UsageError(f'"{word[:20]}" is no row of walls: type the lower number first, as 4-6.')
        found += [number for number in range(low, high + 1) if number not in found]
    return found


def whole_number(text: str, what: str) -> int:
    """A whole number as typed. Raises UsageError."""
    if not text.strip().isdecimal() or len(text.strip()) > 6:
        raise UsageError(f"{what.replace('_', ' ')}: type a whole number, as 2.")
    return int(text)


def walls_begun(height: str, ground: str, board: str) -> Edit:
    """The walls section of a house that has none: height and ground as typed, and what clads every wall. Raises
    UsageError for what is no length."""
    return Edit(
        ("walls",),
        {
            "height_mm": tidy(length_mm(height)),
            "ground_mm": tidy(length_mm(ground, signed=True)),
            "zones": [{"direction": "horizontal", "board": board}],
        },
    )


def elevation_added(tree: Any, name: str, width: str, height: str) -> Edit:
    """A wall given by itself, without a wall line. Raises UsageError."""
    if not name.strip():
        raise UsageError("a wall by itself has a name: type one, as north side.")
    row = {"name": name.strip(), "width_mm": tidy(length_mm(width)), "height_mm": tidy(length_mm(height))}
    return Edit(("walls", "elevations", len(rows_of(tree, "elevations"))), row)


def walls_set(key: str, text: str) -> Edit:
    """A figure or word that holds for all walls, as typed; nothing typed takes it out. Raises UsageError."""
    path = ("walls", key)
    if not text.strip():
        return Edit(path, GONE)
    if key in ("paved", "gables"):
        return Edit(path, text == "yes")
    if key == "wrap":
        return Edit(path, text)
    if key == "on_concrete":
        return Edit(path, wall_numbers(text))
    if key == "stock_mm":
        return Edit(path, [round(length_mm(word)) for word in re.sub(r"\s+(?=m)", "", text.replace(",", " ")).split()])
    return Edit(path, tidy(length_mm(text, signed=key in _SIGNED)))


def ground_set(tree: Any, wall: int, end: int, text: str, usual: float) -> Edit:
    """The ground at the left (0) or right (1) end of one wall, over the floor, as typed; the other end as it is, else
    the usual level. Nothing typed takes the wall's own ground out. Raises UsageError."""
    if not text.strip():
        return Edit(("walls", "ground_by_wall", wall), GONE)
    held = ground_of(tree, wall)
    levels = list(held if held is not None else (usual, usual))
    levels[end] = length_mm(text, signed=True)
    return Edit(("walls", "ground_by_wall", wall), [tidy(level) for level in levels])


def ground_of(tree: Any, wall: int) -> tuple[float, float] | None:
    """The ground at both ends of a wall, where the job says one for it."""
    found = walls_of(tree).get("ground_by_wall")
    pair = found.get(wall) if isinstance(found, dict) else None
    if not isinstance(pair, list) or len(pair) != 2 or not all(isinstance(one, int | float) for one in pair):
        return None
    return float(pair[0]), float(pair[1])


def storey_added(tree: Any, roof: str) -> Edit:
    """One more storey on the wall line of a roof, its floor where the last ends and as high as that, to be typed over;
    the first is as high as the walls. Raises UsageError where these have no height."""
    rows = rows_of(tree, "storeys")
    below = [row for row in rows if row.get("roof") == roof]
    height = number_of(below[-1], "height_mm") if below else number_of(walls_of(tree), "height_mm")
    if height <= 0.0:
        raise UsageError("type the frame height of the walls first: a storey is as high, until you type another.")
    floor = number_of(below[-1], "floor_mm") + height if below else 0.0
    return Edit(("walls", "storeys", len(rows)), {"roof": roof, "floor_mm": tidy(floor), "height_mm": tidy(height)})


def storey_set(tree: Any, at: int, key: str, text: str) -> Edit:
    """A figure or the roof of a storey as typed. Raises UsageError."""
    if not 0 <= at < len(rows_of(tree, "storeys")):
        raise UsageError("that storey is not in the job any more.")
    if key == "out":
        return Edit(("walls", "storeys", at), GONE)
    value: Any = text if key == "roof" else tidy(length_mm(text, signed=key == "floor_mm"))
    return Edit(("walls", "storeys", at, key), value)


def _opening(tree: Any, at: int) -> Row:
    rows = rows_of(tree, "openings")
    if not 0 <= at < len(rows):
        raise UsageError("that opening is not in the job any more.")
    return rows[at]


def _path(at: int, key: str) -> EditPath:
    return ("walls", "openings", at, key)
