"""What a hand does on the plan, as edits of the job: pure functions from the job as typed and a move to its edits.

Roofs count from 0, edges and corners from 1 as the job numbers them, courtyards numbered on. Lengths in mm. All raise
UsageError with what to do instead where a move cannot be made.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.job_edits import GONE, Edit
from takeoff.web import rings
from takeoff.web.numbers_kept import (
    Renumbering,
    Tree,
    corner_gone,
    roof_renumbered,
    side_parted,
    walls_renumbered,
    whole_sides,
)

Edits = tuple[Edit, ...]
TYPED = ("wall_line", "outline")


@record
class Typed:
    """A roof's rings as typed: under which key, the outer ring, then courtyards."""

    key: str
    rings: tuple[Ring2, ...]

    @property
    def sides_mm(self) -> tuple[float, ...]:
        """Lengths of all sides in the order of their numbers."""
        return tuple(rings.side_length(ring, k) for ring in self.rings for k in range(len(ring)))

    def at(self, number: int) -> tuple[int, int]:
        """Ring and place in it of the edge, or corner, of a number. UsageError where there is none."""
        left = number - 1
        for which, ring in enumerate(self.rings):
            if 0 <= left < len(ring):
                return which, left
            left -= len(ring)
        raise UsageError(f"there is no edge {number}; the outline has edges 1 to {len(self.sides_mm)}.")

    def first(self, which: int) -> int:
        """How many sides stand before a ring's own."""
        return sum(len(ring) for ring in self.rings[:which])

    def with_ring(self, which: int, ring: Ring2) -> Typed:
        """With another ring in the place of one."""
        return replace(self, rings=(*self.rings[:which], ring, *self.rings[which + 1 :]))

    @property
    def from_end(self) -> frozenset[int]:
        """Numbers of the sides whose left end, seen from outside, is where they end."""
        backwards = [(signed_area(ring) < 0) is not (which > 0) for which, ring in enumerate(self.rings)]
        each = [back for back, ring in zip(backwards, self.rings, strict=True) for _ in ring]
        return frozenset(number for number, back in enumerate(each, 1) if back)


def typed_rings(roof: Tree) -> Typed | None:
    """A roof's rings, None where it is taken from a file or written so that it cannot be read."""
    if not isinstance(roof, dict):
        return None
    key = next((key for key in TYPED if roof.get(key) is not None), "")
    found = [_ring(roof.get(key)), *(_ring(hole) for hole in _list(roof.get("courtyards")))]
    whole = tuple(ring for ring in found if ring is not None)
    return Typed(key, whole) if key and len(whole) == len(found) else None


def roofs_of(tree: Tree) -> list[Tree]:
    """The roofs of a job as typed."""
    return _list(tree.get("roofs")) if isinstance(tree, dict) else []


def corner_to(tree: Tree, roof: int, corner: int, to: Point2, free: bool = False) -> Edits:
    """A corner set to a place."""
    typed = _typed(tree, roof)
    which, k = typed.at(corner)
    return _redrawn(roof, typed, typed.with_ring(which, rings.corner_moved(typed.rings[which], k, to, free)))


def corner_by(tree: Tree, roof: int, corner: int, shift: Point2) -> Edits:
    """A corner moved by so much."""
    typed = _typed(tree, roof)
    which, k = typed.at(corner)
    return corner_to(tree, roof, corner, _shifted(typed.rings[which][k], shift))


def edge_by(tree: Tree, roof: int, edge: int, shift: Point2, drawn: Mapping[str, int] | None = None) -> Edits:
    """An edge moved square to itself by what of the shift is square to it; a part of a straight wall is drawn out."""
    typed = _typed(tree, roof)
    which, k = typed.at(edge)
    out = rings.outward(typed.rings[which], k)
    by = round(shift[0] * out[0] + shift[1] * out[1], 6)
    ring, origins = rings.drawn_out(typed.rings[which], k, by)
    now = typed.with_ring(which, ring)
    if len(ring) == len(typed.rings[which]):
        return _redrawn(roof, typed, now)
    first, rest = typed.first(which), typed.first(which + 1)
    count = len(typed.sides_mm)
    shifted = [origin if origin is None else origin + first for origin in origins]
    how = whole_sides([*range(first), *shifted, *range(rest, count)], typed.sides_mm, now.sides_mm)
    return _numbered(tree, roof, typed, now, how, drawn)


def edge_length(tree: Tree, roof: int, edge: int, length_mm: float, move_start: bool = False) -> Edits:
    """An edge made so long; its end moves, or its start."""
    typed = _typed(tree, roof)
    which, k = typed.at(edge)
    return _redrawn(roof, typed, typed.with_ring(which, rings.side_set(typed.rings[which], k, length_mm, move_start)))


def corner_on(
    tree: Tree, roof: int, edge: int, at_mm: float | None = None, drawn: Mapping[str, int] | None = None
) -> Edits:
    """A corner put in on an edge, so far from its start, else in its middle; both parts are as the edge was."""
    typed = _typed(tree, roof)
    which, k = typed.at(edge)
    at_mm = rings.tidy(rings.side_length(typed.rings[which], k) / 2.0) if at_mm is None else at_mm
    now = typed.with_ring(which, rings.corner_put_in(typed.rings[which], k, at_mm))
    return _numbered(tree, roof, typed, now, side_parted(edge - 1, at_mm, typed.sides_mm), drawn)


def corner_out(tree: Tree, roof: int, corner: int, drawn: Mapping[str, int] | None = None) -> Edits:
    """A corner taken out; the two edges at it become one, which is as the first of them was."""
    typed = _typed(tree, roof)
    which, k = typed.at(corner)
    now = typed.with_ring(which, rings.corner_taken_out(typed.rings[which], k))
    joined = rings.side_length(now.rings[which], (k - 1) % len(now.rings[which]) if k else len(now.rings[which]) - 1)
    how = corner_gone(corner - 1, typed.first(which), len(typed.rings[which]), typed.sides_mm, joined)
    return _numbered(tree, roof, typed, now, how, drawn)


def roof_by(tree: Tree, roof: int, shift: Point2) -> Edits:
    """A whole roof moved, with its courtyards and holes; downpipes set by hand go with the only roof."""
    typed, held = _typed(tree, roof), roofs_of(tree)[roof]
    moved = [tuple((_moved(x, shift[0]), _moved(y, shift[1])) for x, y in ring) for ring in typed.rings]
    edits = list(_redrawn(roof, typed, replace(typed, rings=tuple(moved))))
    for n, hole in enumerate(_list(held.get("penetrations"))):
        at = _point(hole.get("at")) if isinstance(hole, dict) else None
        if at is not None:
            edits.append(Edit(("roofs", roof, "penetrations", n, "at"), _written((_shifted(at, shift),))[0]))
    rain = tree.get("rainwater")
    if len(roofs_of(tree)) == 1 and isinstance(rain, dict):
        pipes = [_point(one) for one in _list(rain.get("downpipes_at"))]
        if pipes and all(pipes):
            new = _written([_shifted(one, shift) for one in pipes if one])
            edits.append(Edit(("rainwater", "downpipes_at"), new))
    return tuple(edits)


@record
class NewRoof:
    """What a roof that is drawn begins with. `key`: whether its wall line is drawn or its outline. Pitch in degrees,
    lengths in mm."""

    key: str = "wall_line"
    pitch_deg: float = 25.0
    overhang_mm: float = 600.0
    fascia_height_mm: float = 2400.0

    def having(self, key: str, value: float) -> NewRoof:
        """With another value of a key. UsageError for a pitch that no roof has."""
        if key == "pitch_deg":
            if not 1 <= value <= 85:
                raise UsageError("a pitch is 1 to 85 degrees: type one, as 25.")
            return replace(self, pitch_deg=value)
        return replace(self, overhang_mm=value) if key == "overhang_mm" else replace(self, fascia_height_mm=value)


def outline_drawn(tree: Tree, points: Sequence[Point2], new: NewRoof, drawn: Mapping[str, int] | None = None) -> Edits:
    """A roof of an outline that was drawn."""
    ring = rings.new_ring(points)
    roof: dict[str, object] = {
        "name": free_name(tree, "main" if not roofs_of(tree) else "roof"),
        new.key: _written(ring),
    }
    if new.key == "wall_line" and new.overhang_mm:
        roof["eave_overhang_mm"] = whole(new.overhang_mm)
    roof["fascia_height_mm"], roof["pitch_deg"] = whole(new.fascia_height_mm), whole(new.pitch_deg)
    return roof_added(tree, roof, drawn)


def free_name(tree: Tree, wanted: str) -> str:
    """A name for a roof that no other has: the one wanted, else with a number after it."""
    taken = set(map(_name, roofs_of(tree)))
    numbers = (f"{wanted} {n}" for n in range(2, len(taken) + 3))
    return wanted if wanted not in taken else next(name for name in numbers if name not in taken)


def roof_added(tree: Tree, roof: Mapping[str, object], drawn: Mapping[str, int] | None = None) -> Edits:
    """A roof after the last; walls given by themselves are numbered on after its walls."""
    count = len(roofs_of(tree))
    typed = typed_rings(roof)
    new = len(typed.sides_mm) if typed is not None and typed.key == "wall_line" and _walled(tree, roof) else 0
    at = Edit(("roofs",), [dict(roof)]) if not count else Edit(("roofs", count), dict(roof))
    more = Renumbering({}, {}, dict.fromkeys(range(1, new + 1), 0.0))
    return (at, *_on_walls(tree, _walls_before(tree, count, drawn or {}), more))


def roof_gone(tree: Tree, roof: int, drawn: Mapping[str, int] | None = None) -> Edits:
    """A roof taken out, with what the job says of its walls."""
    if not 0 <= roof < len(roofs_of(tree)):
        raise UsageError("there is no such roof.")
    counts = _wall_counts(tree, drawn or {})
    gone = Renumbering({}, dict.fromkeys(range(1, counts[roof] + 1), 0.0), {})
    return (*_unnamed(tree, roof), Edit(("roofs", roof), GONE), *_on_walls(tree, sum(counts[:roof]), gone))


def _unnamed(tree: Tree, roof: int) -> Edits:
    """What names a roof, taken out: roofs cut at its wall, walls on it alone, its storeys, bare edges of the first."""
    name = _name(roofs_of(tree)[roof])
    edits = [
        Edit(("roofs", n, "below"), GONE)
        for n, one in enumerate(roofs_of(tree))
        if n != roof and isinstance(one, dict) and one.get("below") == name
    ]
    rain, walls = tree.get("rainwater"), tree.get("walls")
    if roof == 0 and isinstance(rain, dict) and "none_on" in rain:
        edits.append(Edit(("rainwater", "none_on"), GONE))
    if isinstance(walls, dict) and walls.get("roof") == name:
        edits.append(Edit(("walls", "roof"), GONE))
    storeys = _list(walls.get("storeys")) if isinstance(walls, dict) else []
    gone = [n for n, one in enumerate(storeys) if isinstance(one, dict) and one.get("roof") == name]
    edits += [Edit(("walls", "storeys", n), GONE) for n in reversed(gone)]
    return tuple(edits)


def _name(roof: Tree) -> str:
    return str(roof.get("name", "main")) if isinstance(roof, dict) else ""


def corner_at(tree: Tree, roof: int, corner: int) -> Point2:
    """Where a corner stands."""
    typed = _typed(tree, roof)
    which, k = typed.at(corner)
    return typed.rings[which][k]


def end_words(tree: Tree, roof: int, edge: int) -> tuple[str, str]:
    """In words of the plan, which end of an edge moves: its end, and its start."""
    typed = _typed(tree, roof)
    which, k = typed.at(edge)
    ring = typed.rings[which]
    (ax, ay), (bx, by) = ring[k], ring[(k + 1) % len(ring)]
    if abs(bx - ax) >= abs(by - ay):
        words = ("right end moves", "left end moves")
        return words if bx > ax else (words[1], words[0])
    words = ("upper end moves", "lower end moves")
    return words if by > ay else (words[1], words[0])


def _redrawn(roof: int, was: Typed, now: Typed) -> Edits:
    """Edits of the rings alone, and of those that differ."""
    edits = []
    for which, (old, new) in enumerate(zip(was.rings, now.rings, strict=True)):
        if old != new:
            path = ("roofs", roof, was.key) if which == 0 else ("roofs", roof, "courtyards", which - 1)
            edits.append(Edit(path, _written(new)))
    return tuple(edits)


def _numbered(
    tree: Tree, roof: int, was: Typed, now: Typed, how: Renumbering, drawn: Mapping[str, int] | None
) -> Edits:
    """Edits of the rings, and of all that goes by the number of a side."""
    how = replace(how, from_end=was.from_end)
    edits = list(_redrawn(roof, was, now))
    held = roofs_of(tree)[roof]
    renumbered = roof_renumbered(held, how)
    edits += [Edit(("roofs", roof, key), value) for key, value in renumbered.items() if value != held.get(key)]
    rain = tree.get("rainwater")
    bare = _list(rain.get("none_on")) if isinstance(rain, dict) and roof == 0 else []
    if bare:
        new = list(dict.fromkeys(n for old in bare for n in (how.new(old) if isinstance(old, int) else (old,))))
        edits += [Edit(("rainwater", "none_on"), new)] if new != bare else []
    if was.key == "wall_line" and _walled(tree, held):
        before = _walls_before(tree, roof, drawn or {})
        edits += _on_walls(tree, before, how)
    return tuple(edits)


def _on_walls(tree: Tree, before: int, how: Renumbering) -> Edits:
    """Edits of the `walls` where the sides of an outline whose walls begin after number `before` are renumbered."""
    walls = tree.get("walls") if isinstance(tree, dict) else None
    if not isinstance(walls, dict):
        return ()
    new = walls_renumbered(walls, before, how)
    return tuple(Edit(("walls", key), value) for key, value in new.items() if value != walls.get(key))


def _walled(tree: Tree, roof: Mapping[str, object]) -> bool:
    """Whether the wall line of a roof is one that walls are numbered on."""
    walls = tree.get("walls") if isinstance(tree, dict) else None
    if not isinstance(walls, dict):
        return False
    named = walls.get("roof")
    return named is None or named == roof.get("name", "main")


def _wall_counts(tree: Tree, drawn: Mapping[str, int]) -> list[int]:
    """How many walls stand on each roof. `drawn`: of roofs that are taken from files, by name."""
    counts = []
    for roof in roofs_of(tree):
        typed = typed_rings(roof)
        own = len(typed.sides_mm) if typed is not None and typed.key == "wall_line" else 0
        own = own if typed is not None else drawn.get(_name(roof), 0)
        counts.append(own if isinstance(roof, dict) and _walled(tree, roof) else 0)
    return counts


def _walls_before(tree: Tree, roof: int, drawn: Mapping[str, int]) -> int:
    return sum(_wall_counts(tree, drawn)[:roof])


def wall_of(tree: Tree, roof: int, edge: int, drawn: Mapping[str, int] | None = None) -> int:
    """The number of the wall on an edge, 0 where none stands there."""
    counts = _wall_counts(tree, drawn or {})
    return sum(counts[:roof]) + edge if 0 <= roof < len(counts) and 1 <= edge <= counts[roof] else 0


def edge_of_wall(tree: Tree, wall: int, drawn: Mapping[str, int] | None = None) -> tuple[int, int] | None:
    """Roof (from 0) and edge that a wall stands on; None for walls given by themselves."""
    for roof, count in enumerate(_wall_counts(tree, drawn or {})):
        if 1 <= wall <= count:
            return roof, wall
        wall -= count
    return None


def _typed(tree: Tree, roof: int) -> Typed:
    held = roofs_of(tree)
    typed = typed_rings(held[roof]) if 0 <= roof < len(held) else None
    if typed is None:
        raise UsageError("this roof is taken from a file: change it there, or draw it here anew.")
    return typed


def _written(ring: Sequence[Point2]) -> list[list[float | int]]:
    return [[whole(x), whole(y)] for x, y in ring]


def whole(value: float) -> float | int:
    """A figure as it is typed: whole where it is."""
    return int(value) if value == int(value) else value


def _moved(value: float, by: float) -> float:
    return rings.tidy(value + by)


def _shifted(at: Point2, shift: Point2) -> Point2:
    return (_moved(at[0], shift[0]), _moved(at[1], shift[1]))


def _ring(value: object) -> Ring2 | None:
    points = [_point(one) for one in value] if isinstance(value, list) else []
    found = tuple(one for one in points if one is not None)
    return found if len(found) == len(points) and len(found) >= rings.FEWEST else None


def _point(value: object) -> Point2 | None:
    if not isinstance(value, list) or len(value) != 2:
        return None
    if not all(isinstance(one, int | float) and not isinstance(one, bool) for one in value):
        return None
    return (float(value[0]), float(value[1]))


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
