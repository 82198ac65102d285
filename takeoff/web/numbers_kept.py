"""References to sides kept right: when an outline gets or loses a side, what the job says of edges and walls by number
goes with them.

Edges count from 1 within their roof, courtyards numbered on; walls from 1 over the wall lines of the roofs in order,
then the walls given by themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from takeoff.basics.records import record

Tree = Any
"""A job or a part of one as plain values; whatever else a person typed is left as it is."""


@record
class Piece:
    """Where a stretch of an old side lies now: from `from_mm` to `to_mm` from its start, on the side of the new number,
    `at_mm` from that one's start."""

    new: int
    from_mm: float
    to_mm: float
    at_mm: float = 0.0


@record
class Renumbering:
    """Sides of one outline before and now, counted from 1. `pieces`: of each old side; none where it is gone.
    `was_mm`, `now_mm`: lengths by number. `from_end`: old sides whose left end seen from outside is their end."""

    pieces: Mapping[int, tuple[Piece, ...]]
    was_mm: Mapping[int, float]
    now_mm: Mapping[int, float]
    from_end: frozenset[int] = frozenset()

    def new(self, old: int) -> tuple[int, ...]:
        """The new numbers of an old side."""
        return tuple(dict.fromkeys(piece.new for piece in self.pieces.get(old, ())))

    def joined(self, old: int) -> bool:
        """Whether an old side now ends another, under that one's number."""
        return any(piece.at_mm > 0 for piece in self.pieces.get(old, ()))

    def placed(self, old: int, left_mm: float, width_mm: float) -> tuple[int, float] | None:
        """The side and the distance from its left end of what lay so on an old side; by its middle. None where that
        side is gone."""
        pieces = self.pieces.get(old, ())
        if not pieces:
            return None
        backwards = old in self.from_end
        start = self.was_mm[old] - left_mm - width_mm if backwards else left_mm
        middle = start + width_mm / 2.0
        piece = next((one for one in pieces if middle <= one.to_mm), pieces[-1])
        start += piece.at_mm - piece.from_mm
        left = self.now_mm[piece.new] - start - width_mm if backwards else start
        return piece.new, round(max(left, 0.0), 2)


def whole_sides(origins: Sequence[int | None], was_mm: Sequence[float], now_mm: Sequence[float]) -> Renumbering:
    """Where every side now is a whole old one (its number from 0) or new (None)."""
    pieces = {old + 1: (Piece(new, 0.0, was_mm[old]),) for new, old in enumerate(origins, 1) if old is not None}
    return Renumbering(pieces, _by_number(was_mm), _by_number(now_mm))


def side_parted(k: int, at_mm: float, was_mm: Sequence[float]) -> Renumbering:
    """A corner put in on side k (from 0), so far from its start."""
    pieces: dict[int, tuple[Piece, ...]]
    pieces = {n: (Piece(n if n <= k + 1 else n + 1, 0.0, length),) for n, length in _by_number(was_mm).items()}
    whole = was_mm[k]
    pieces[k + 1] = (Piece(k + 1, 0.0, at_mm), Piece(k + 2, at_mm, whole))
    now = [*was_mm[:k], at_mm, whole - at_mm, *was_mm[k + 1 :]]
    return Renumbering(pieces, _by_number(was_mm), _by_number(now))


def corner_gone(k: int, first: int, count: int, was_mm: Sequence[float], joined_mm: float) -> Renumbering:
    """Corner k (from 0) of a ring taken out, whose sides are numbered from `first` + 1 and are `count`: the side before
    it and the side after it are one, under the number of the one before."""
    before, after = first + (k - 1 - first) % count, k
    order = [n for n in range(len(was_mm)) if n != after]
    new_of = {old: new for new, old in enumerate(order, 1)}
    pieces = {old + 1: (Piece(new, 0.0, was_mm[old]),) for old, new in new_of.items()}
    pieces[after + 1] = (Piece(new_of[before], 0.0, was_mm[after], was_mm[before]),)
    now = [joined_mm if old == before else was_mm[old] for old in order]
    return Renumbering(pieces, _by_number(was_mm), _by_number(now))


def roof_renumbered(roof: Tree, how: Renumbering) -> Tree:
    """A roof whose edges have their new numbers. Where two sides became one, what was said of the first holds."""
    new: dict[str, Any] = dict(roof)
    if isinstance(edges := roof.get("edges"), dict):
        new["edges"] = _keyed(edges, how.new, how.joined)
    if isinstance(bare := roof.get("no_spouting_on"), list):
        new["no_spouting_on"] = _listed(bare, how.new)
    if isinstance(clear := roof.get("rooflight_sheets"), list):
        new["rooflight_sheets"] = _moved(clear, "edge", how.placed)
    return new


def walls_renumbered(walls: Tree, before: int, how: Renumbering) -> Tree:
    """The `walls` of a job with new numbers, where the sides are those of an outline whose walls begin after number
    `before`; the walls beyond it are numbered on."""
    last, further = before + len(how.was_mm), len(how.now_mm) - len(how.was_mm)

    def new(wall: int) -> tuple[int, ...]:
        if before < wall <= last:
            return tuple(before + n for n in how.new(wall - before))
        return (wall if wall <= before else wall + further,)

    def placed(wall: int, left_mm: float, width_mm: float) -> tuple[int, float] | None:
        if not before < wall <= last:
            return new(wall)[0], left_mm
        found = how.placed(wall - before, left_mm, width_mm)
        return (found[0] + before, found[1]) if found else None

    done: dict[str, Any] = dict(walls)
    for key in ("openings", "grounds"):
        if isinstance(walls.get(key), list):
            done[key] = _moved(walls[key], "wall", placed)
    if isinstance(walls.get("on_concrete"), list):
        done["on_concrete"] = _listed(walls["on_concrete"], new)
    if isinstance(walls.get("ground_by_wall"), dict):
        done["ground_by_wall"] = _levels(walls["ground_by_wall"], before, how, new)
    if isinstance(walls.get("zones"), list):
        done["zones"] = [_zone(zone, new) for zone in walls["zones"]]
        done["zones"] = [zone for zone in done["zones"] if zone is not None]
    return done


def _levels(
    by_wall: Mapping[Any, Any], before: int, how: Renumbering, new: Callable[[int], tuple[int, ...]]
) -> dict[Any, Any]:
    """Ground at the left and right end of walls: straight between them where a wall is parted, and from the first one's
    start to the second one's end where two are joined."""
    done: dict[Any, Any] = {}
    ends: dict[int, list[tuple[float, Any, Any, bool]]] = {}
    for wall, levels in by_wall.items():
        pieces = how.pieces.get(wall - before, ()) if _whole(wall) else ()
        if not pieces or not isinstance(levels, list) or len(levels) != 2 or not all(map(_is_figure, levels)):
            done |= dict.fromkeys(new(wall) if _whole(wall) else (wall,), levels)
            continue
        backwards = wall - before in how.from_end
        start, end = reversed(levels) if backwards else levels
        length = how.was_mm[wall - before] or 1.0
        for piece in pieces:
            a, b = (start + (end - start) * at / length for at in (piece.from_mm, piece.to_mm))
            ends.setdefault(before + piece.new, []).append((piece.at_mm, a, b, backwards))
    for number, parts in ends.items():
        parts.sort(key=lambda part: part[0])
        along = [_tidy(parts[0][1]), _tidy(parts[-1][2])]
        done[number] = along[::-1] if parts[0][3] else along
    return done


def _zone(zone: Tree, new: Callable[[int], tuple[int, ...]]) -> Tree:
    """A zone on its walls' new numbers; None where all of them are gone."""
    if not isinstance(zone, dict) or not isinstance(zone.get("walls"), list):
        return zone
    walls = _listed(zone["walls"], new)
    return {**zone, "walls": walls} if walls or not zone["walls"] else None


def _by_number(lengths: Sequence[float]) -> dict[int, float]:
    return dict(enumerate(lengths, 1))


def _whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _keyed(
    by_number: Mapping[Any, Any], new: Callable[[int], tuple[int, ...]], joined: Callable[[int], bool]
) -> dict[Any, Any]:
    """What is said by number; of two that come to one number the one that kept it holds."""
    done: dict[Any, Any] = {}
    later: dict[Any, Any] = {}
    for key, said in by_number.items():
        for number in new(key) if _whole(key) else (key,):
            (later if _whole(key) and joined(key) else done).setdefault(number, said)
    return {**done, **{number: said for number, said in later.items() if number not in done}}


def _listed(numbers: Sequence[Any], new: Callable[[int], tuple[int, ...]]) -> list[Any]:
    found = [number for old in numbers for number in (new(old) if _whole(old) else (old,))]
    return list(dict.fromkeys(found))


def _moved(rows: Sequence[Any], key: str, placed: Callable[[int, float, float], tuple[int, float] | None]) -> list[Any]:
    """Things that lie on a side by its number and a distance from its left end; those of a side that is gone go too."""
    done: list[Any] = []
    for row in rows:
        if not isinstance(row, dict) or not _whole(row.get(key)):
            done.append(row)
            continue
        left, width = row.get("from_left_mm"), row.get("width_mm")
        there = placed(row[key], _figure(left), _figure(width))
        if there is not None:
            now = {key: there[0]} if left is None or there[1] == left else {key: there[0], "from_left_mm": there[1]}
            done.append({**row, **now})
    return done


def _is_figure(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _tidy(value: float) -> float | int:
    """A level as it is typed: whole where it is.

    >>> _tidy(-375.0), _tidy(-362.504)
    (-375, -362.5)
    """
    value = round(value, 2)
    return int(value) if value == int(value) else value


def _figure(value: object) -> float:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else 0.0
