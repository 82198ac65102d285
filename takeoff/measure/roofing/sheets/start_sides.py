"""The side that planes without a lee end start from: the one that buys least.

A plane whose eave is square to the wind has no lee end. Of its two ends it starts at the one from which its sheets are
bought in fewest metres; where both buy the same, at the one from which more rakes can share a length; then at its left.
A square end comes before a raked valley head, since a line is snapped from it. Planes are looked at together, since
crests are brought in line across ridges. Common practice, no source; a side given in the job stands.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import product
from math import cos, floor, radians, sin, tan

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.sheets.lay_direction import SetOut, lee_deg_of, raked_start, square_to_wind
from takeoff.measure.roofing.sheets.sheet_pieces import Ground, Laying, Tried
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import RoofPlane
from takeoff.model.sheets import CutShape
from takeoff.shape.strips.plane_lines import edges_on
from takeoff.shape.strips.strips import extent

_MOST_TOGETHER = 5  # planes whose sides are all tried with each other: 32 ways; more are improved in turn
_SIDES = ("left", "right")
_OTHER = {"left": "right", "right": "left"}
_SAME_MM = TOLERANCES.row_mm
Lay = Callable[[Ground, SetOut], Sequence[Tried]]
# start lines of all planes of a roof, by plane id
SetAll = Callable[[Sequence[Ground]], Mapping[str, SetOut]]


def with_least_sides(grounds: Sequence[Ground], laying: Laying, set_all: SetAll, lay: Lay) -> list[Ground]:
    """The grounds with the start side of every plane without a lee end chosen, and why."""
    found = list(grounds)
    free: list[int] = []
    for place, ground in enumerate(found):
        if not (ground.area.rings and _free(ground, laying)):
            continue
        square = _square_before_valley(ground, laying)
        if square:
            why = f"the eave is square to the wind, so from its square {square} end, not from the valley's head"
            found[place] = replace(ground, side=square, why=why)
        else:
            free.append(place)
    free.sort(key=lambda place: _wind_place(found[place], laying))
    return _Search(found, free, laying, set_all, lay).chosen() if free else found


@record
class OtherEnd:
    """A plane that the wind starts from one end and that would buy `less_mm` less from the other, `side`."""

    plane: RoofPlane
    side: str
    less_mm: float


def cheaper_ends(grounds: Sequence[Ground], laying: Laying, set_all: SetAll, lay: Lay) -> tuple[Finding, ...]:
    """What planes laid from the lee end would buy less from their other end, each turned alone and all together: told,
    never done."""
    ruled = [place for place, ground in enumerate(grounds) if ground.area.rings and _ruled(ground, laying)]
    search = _Search(list(grounds), ruled, laying, set_all, lay)
    sides = tuple(grounds[place].side for place in ruled)
    found = []
    for number, place in enumerate(ruled):
        less = search.plain_mm(sides) - search.plain_mm(_turned(sides, number))
        if less > laying.settings.number("other_end_saves_mm"):
            found.append(OtherEnd(grounds[place].plane, _OTHER[sides[number]], less))
    turned = {one.plane.id: one.side for one in found}
    together = tuple(turned.get(grounds[place].plane.id, side) for place, side in zip(ruled, sides, strict=True))
    less = search.plain_mm(sides) - search.plain_mm(together)
    return _cheaper(found, less, laying) if found and less > 0.0 else ()


def _ruled(ground: Ground, laying: Laying) -> bool:
    """True where the lee rule alone says the side, and the job can say another."""
    edges = ground.plane.outline_edges
    given = [laying.job.edges[n] for n in edges if n in laying.job.edges]
    by_job = not edges or any(edge.start_side is not None for edge in given)
    return not by_job and not square_to_wind(ground.plane, laying.job, laying.north_deg, laying.settings)


def _cheaper(found: Sequence[OtherEnd], less_mm: float, laying: Laying) -> tuple[Finding, ...]:
    each = ", ".join(f"{one.plane.id} {one.less_mm / 1000.0:.2f} m from its {one.side}" for one in found)
    both = f"; all of them {less_mm / 1000.0:.2f} m" if len(found) > 1 else ""
    lines = ", ".join(f"{one.plane.outline_edges[0]}: {{start_side: {one.side}}}" for one in found)
    return (
        Finding(
            "other-end-buys-less",
            Severity.NOTE,
            f"Roof {laying.roof.name} is laid from the lee end; laid towards it, planes would buy less: {each}{both}.",
            f"Free edges then face the wind. Where that may be, add under the roof: `edges: {{{lines}}}`.",
            tuple(one.plane.id for one in found),
            source=laying.settings.basis("other_end_saves_mm").words(),
        ),
    )


def _free(ground: Ground, laying: Laying) -> bool:
    """True where neither the job nor the wind says the side."""
    given = [laying.job.edges[n] for n in ground.plane.outline_edges if n in laying.job.edges]
    if any(edge.start_side is not None for edge in given):
        return False
    return square_to_wind(ground.plane, laying.job, laying.north_deg, laying.settings)


def _square_before_valley(ground: Ground, laying: Laying) -> str:
    """The square end of a plane whose other end is the head of a valley, "" for any other plane."""
    for side in _SIDES:
        other = _OTHER[side]
        if not raked_start(ground.area, side) and raked_start(ground.area, other) and _at_valley(ground, laying, other):
            return side
    return ""


def _at_valley(ground: Ground, laying: Laying, side: str) -> bool:
    """True where the outermost point of a plane on a side is the end of a valley."""
    edges = edges_on(laying.roof, ground.plane)
    us = [u for on in edges for u in (on.a[0], on.b[0])]
    far = min(us) if side == "left" else max(us)
    return any(on.edge.kind is EdgeKind.VALLEY and min(abs(on.a[0] - far), abs(on.b[0] - far)) <= 1.0 for on in edges)


def _wind_place(ground: Ground, laying: Laying) -> tuple[int, float, float]:
    """A plane by where it lies in the wind, whatever its number or the drawing's north: the way it faces, counted from
    the lee end, then its eave's place across the wind and along it [m]."""
    low, high = extent(ground.area)
    x, y, _ = ground.plane.frame.to_space(((low + high) / 2.0, 0.0))
    lee = lee_deg_of(laying.job, laying.settings)
    angle = radians(laying.north_deg - lee)
    across, along = x * cos(angle) + y * sin(angle), y * cos(angle) - x * sin(angle)
    return floor(ground.plane.bearing_deg - lee + 0.37) % 360, round(across / 1000.0, 2), round(along / 1000.0, 2)


class _Search:
    """Sides tried together; sheets of a plane are laid once for each start line met."""

    def __init__(self, grounds: list[Ground], free: list[int], laying: Laying, set_all: SetAll, lay: Lay) -> None:
        self.grounds, self.free, self.laying = grounds, free, laying
        self.set_all, self.lay = set_all, lay
        self.laid: dict[tuple[str, str, float], Sequence[Tried]] = {}
        self._bought_mm: dict[tuple[str, ...], float] = {}
        self._saved_mm: dict[tuple[str, ...], float] = {}
        self._last: tuple[tuple[str, ...] | None, list[Tried]] = (None, [])

    def chosen(self) -> list[Ground]:
        """The grounds with the sides that buy least, in words what the other side would buy."""
        if len(self.free) <= _MOST_TOGETHER:
            ways = list(product(_SIDES, repeat=len(self.free)))
            least = min(round(self.plain_mm(sides)) for sides in ways)
            best = min((sides for sides in ways if round(self.plain_mm(sides)) == least), key=self._rank)
        else:
            best = self._in_turn()
        found = self._with(best)
        for number, place in enumerate(self.free):
            found[place] = replace(found[place], why=self._why(best, number))
        return found

    def _in_turn(self) -> tuple[str, ...]:
        """Each plane turned where that buys less, until none is: from all left, by where they lie on the ground."""
        best = ("left",) * len(self.free)
        for _ in range(4):
            before = best
            for number in range(len(best)):
                best = min((best, _turned(best, number)), key=self._rank)
            if best == before:
                break
        return best

    def _rank(self, sides: tuple[str, ...]) -> tuple[float, float, tuple[str, ...]]:
        return (round(self.plain_mm(sides)), -round(self.pairs_mm(sides)), sides)

    def _with(self, sides: tuple[str, ...]) -> list[Ground]:
        found = list(self.grounds)
        for place, side in zip(self.free, sides, strict=True):
            found[place] = replace(found[place], side=side)
        return found

    def plain_mm(self, sides: tuple[str, ...]) -> float:
        """What the roof buys plain with the free planes laid from those sides [mm]."""
        if sides not in self._bought_mm:
            self._bought_mm[sides] = sum([piece.order_mm for piece in self._laid_from(sides)])
        return self._bought_mm[sides]

    def pairs_mm(self, sides: tuple[str, ...]) -> float:
        """What pairs of rakes could save of it at most [mm]."""
        if sides not in self._saved_mm:
            self._saved_mm[sides] = _pairs_mm(self._laid_from(sides), self.laying)
        return self._saved_mm[sides]

    def _laid_from(self, sides: tuple[str, ...]) -> list[Tried]:
        if sides != self._last[0]:
            grounds = self._with(sides)
            starts = self.set_all(grounds)
            pieces = [piece for g in grounds if (out := starts.get(g.plane.id)) for piece in self._pieces(g, out)]
            self._last = sides, pieces
        return self._last[1]

    def _pieces(self, ground: Ground, out: SetOut) -> Sequence[Tried]:
        key = (ground.plane.id, out.side, round(out.start_u_mm, 3))
        if key not in self.laid:
            self.laid[key] = self.lay(ground, out)
        return self.laid[key]

    def _why(self, best: tuple[str, ...], number: int) -> str:
        side = best[number]
        other = _turned(best, number)
        more = self.plain_mm(other) - self.plain_mm(best)
        words = f"the eave is square to the wind, so from its {side} end"
        if more > _SAME_MM:
            return f"{words}, which buys {more / 1000.0:.2f} m less than from its {_OTHER[side]}"
        if self.pairs_mm(best) - self.pairs_mm(other) > _SAME_MM:
            return f"{words}: either buys the same, from here more rakes can share a length"
        return f"{words}: either buys the same"


def _turned(sides: tuple[str, ...], number: int) -> tuple[str, ...]:
    return (*sides[:number], _OTHER[sides[number]], *sides[number + 1 :])


def _pairs_mm(pieces: Sequence[Tried], laying: Laying) -> float:
    """What pairs of whole rakes can save at most [mm]: of each hand and rake one rake over the sheet for every two that
    lie the right way; lengths are not looked at."""
    counts: dict[tuple[str, int], list[int]] = {}
    for piece in pieces:
        for end, cut in (("top", piece.top), ("foot", piece.foot)):
            if cut.shape is CutShape.RAKED:
                rises = cut.hand if end == "top" else _OTHER[cut.hand]
                way = (end == "top") == (piece.start_side == "left")
                counts.setdefault((rises, round(cut.rake_deg)), [0, 0])[way] += 1
    same = laying.profile.half_turn_same
    return sum(
        (sum(both) // 2 if same else min(both)) * laying.widths.overall_mm * tan(radians(rake))
        for (_, rake), both in counts.items()
    )
