"""What the plan shows: the job's outlines as typed and the shape found for them, as plain values for the browser.

Everything is in mm of the job's plan; nothing is measured here.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, degrees
from typing import Any

from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, Point3, Ring2
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof, RoofPlane
from takeoff.web.entries import figure_words
from takeoff.web.numbers_kept import Tree
from takeoff.web.plan_edits import edge_of_wall, roofs_of, typed_rings

_PLACES = 1  # of a mm: far finer than a screen


def plan_view(tree: Tree, shaped: Takeoff | None, current: bool) -> dict[str, Any]:
    """The view: `roofs` with name, rings and sides (kind, word), `planes` and `lines` of the shape, `north`, and
    whether the shape is of this very text."""
    found = shaped.roofs if shaped is not None else ()
    return {
        "roofs": [_typed_roof(roof) for roof in roofs_of(tree)],
        "planes": [_plane(roof, plane) for roof in found for plane in roof.planes],
        "lines": [
            {
                "id": edge.id,
                "kind": edge.kind.replace(" ", "-"),
                "a": _plan(roof, edge.a_mm),
                "b": _plan(roof, edge.b_mm),
            }
            for roof in found
            for edge in roof.own_edges
        ],
        "north": north_of(tree),
        "current": current,
    }


def north_of(tree: Tree) -> float:
    """Bearing of plan up as typed, 0 where nothing sensible is."""
    value = tree.get("north_deg") if isinstance(tree, dict) else None
    return float(value) % 360.0 if isinstance(value, int | float) and not isinstance(value, bool) else 0.0


def lit_in_plan(mark: str, tree: Tree, shaped: Takeoff | None) -> tuple[str, ...]:
    """The marks of the plan that belong to what is touched, itself first: a sheet's plane, an edge of the shape and the
    outline's edge that it stands on, a gutter's eaves, a wall's edge, a roof's edges."""
    lit = [mark] if mark else []
    roofs = {roof.name: n for n, roof in enumerate(shaped.roofs, 1)} if shaped is not None else {}
    typed = [str(roof.get("name", "main")) if isinstance(roof, dict) else "" for roof in roofs_of(tree)]
    for roof in shaped.roofs if shaped is not None else ():
        lit += [plane.id for plane in roof.planes if mark.startswith(f"{plane.id}.")]
        numbers = [number for edge in roof.own_edges if edge.id == mark for number in edge.outline_edges]
        at = typed.index(roof.name) + 1 if roof.name in typed else roofs[roof.name]
        lit += [f"roof {at} edge {number}" for number in numbers]
    lit += [leg.edge for run in shaped.gutters if run.id == mark for leg in run.legs] if shaped is not None else []
    if mark.startswith("wall ") and mark[5:].isdigit():
        stands = edge_of_wall(tree, int(mark[5:]), walls_drawn(shaped))
        lit += [f"roof {stands[0] + 1} edge {stands[1]}"] if stands else []
    if (which := roof_touched(mark)) is not None and mark == f"roof {which + 1}" and which < len(roofs_of(tree)):
        rings = typed_rings(roofs_of(tree)[which])
        lit += [f"{mark} edge {n}" for n in range(1, len(rings.sides_mm) + 1)] if rings else []
    return tuple(dict.fromkeys(lit))


def roof_touched(mark: str) -> int | None:
    """The roof (from 0) that a mark "roof 1", "roof 1 edge 5" or "roof 1 corner 3" is of."""
    words = mark.split()
    if len(words) in (2, 4) and words[0] == "roof" and words[1].isdigit() and int(words[1]) > 0:
        return int(words[1]) - 1
    return None


def part_touched(mark: str, part: str) -> int | None:
    """The number of the edge or the corner that a mark names, None for another mark."""
    words = mark.split()
    named = len(words) == 4 and roof_touched(mark) is not None and words[2] == part and words[3].isdigit()
    return int(words[3]) if named else None


def walls_drawn(shaped: Takeoff | None) -> Mapping[str, int]:
    """How many walls roofs have, by name: for those that are taken from files."""
    return {roof.name: sum(map(len, roof.wall_line_mm)) for roof in shaped.roofs} if shaped is not None else {}


def _typed_roof(roof: Tree) -> dict[str, Any]:
    name = str(roof.get("name", "main")) if isinstance(roof, dict) else ""
    typed = typed_rings(roof)
    if typed is None:
        return {"name": name, "rings": [], "sides": []}
    edges = roof.get("edges") if isinstance(roof.get("edges"), dict) else {}
    said = [edges.get(number) for number in range(1, len(typed.sides_mm) + 1)]
    return {
        "name": name,
        "line": typed.key,
        "rings": [[list(point) for point in ring] for ring in typed.rings],
        "sides": [
            {"kind": edge_kind(edge), "word": _edge_words(roof, edge), "over": _overhang(roof, edge)} for edge in said
        ],
    }


def _overhang(roof: Mapping[str, Any], edge: object) -> float:
    """How far the roof goes past an edge of a wall line [mm], so that nothing is written over its eave."""
    key = "verge_overhang_mm" if edge_kind(edge) == "gable" else "eave_overhang_mm"
    own = edge.get(key) if isinstance(edge, dict) else None
    value = roof.get(key) if own is None else own
    if edge_kind(edge) == "wall" or roof.get("wall_line") is None or isinstance(value, bool):
        return 0.0
    return float(value) if isinstance(value, int | float) else 0.0


def edge_kind(edge: object) -> str:
    """What an edge of an outline is: "eave", "gable" or "wall"."""
    kind = edge.get("kind") if isinstance(edge, dict) else None
    return str(kind) if kind in ("eave", "gable", "wall") else "eave"


def _edge_words(roof: Mapping[str, Any], edge: object) -> str:
    """A word or two beside an edge's length: what it is and its pitch."""
    kind = edge_kind(edge)
    pitch = edge.get("pitch_deg", roof.get("pitch_deg")) if isinstance(edge, dict) else roof.get("pitch_deg")
    if kind == "eave":
        return f"{figure_words(pitch)}\N{DEGREE SIGN}" if isinstance(pitch, int | float) else "eave"
    return "against a wall" if kind == "wall" else kind


def _plan(roof: Roof, at: Point3) -> list[float]:
    return [round(at[0] + roof.origin_mm[0], _PLACES), round(at[1] + roof.origin_mm[1], _PLACES)]


def _plane(roof: Roof, plane: RoofPlane) -> dict[str, Any]:
    """A plane in plan: its rings, and in its middle the arrow of its fall with the pitch."""
    rings = [[_plan(roof, plane.frame.to_space(point)) for point in ring] for ring in plane.rings_uv]
    fall_x, fall_y, _ = plane.frame.n
    along = max((point[0] for point in plane.rings_uv[0]), default=0.0)
    up = max((point[1] for point in plane.rings_uv[0]), default=0.0)
    return {
        "id": plane.id,
        "rings": rings,
        "at": _plan(roof, plane.frame.to_space(_middle(plane.rings_uv[0]))),
        "turn": _screen_angle(fall_x, fall_y),
        "px": round(min(along, up), _PLACES),
        "words": f"{plane.id}  {plane.pitch_deg:.4g}\N{DEGREE SIGN}",
    }


def _screen_angle(x: float, y: float) -> float:
    """Degrees by which an arrow to the right is turned clockwise to point that way on the plan."""
    return round(-degrees(atan2(y, x)), 2)


def _middle(ring: Ring2) -> Point2:
    """The middle of a ring's area, its first corner where it has none."""
    area = signed_area(ring)
    if not area:
        return ring[0]
    x = y = 0.0
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        part = ax * by - bx * ay
        x, y = x + (ax + bx) * part, y + (ay + by) * part
    return (x / (6.0 * area), y / (6.0 * area))
