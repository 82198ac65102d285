"""The house as parts that can be drawn in space: each a flat shape in a frame, or a stick, under its mark.

Everything lies in the plan's own coordinates, mm, z up. Thicknesses are for the eye alone: shapes lie a little out of
the frame that they belong to, so that what is nearer covers what lies behind it.
"""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Point3, Ring2, add3, unit3
from takeoff.model.basis import Working
from takeoff.model.items import MarkKind
from takeoff.model.order import Takeoff
from takeoff.model.roof import Frame, Roof
from takeoff.model.walls import Elevation
from takeoff.write.house_view import part_words as words
from takeoff.write.house_view.rain_parts import rain_sticks

_UP: Point3 = (0.0, 0.0, 1.0)
# how far out of its frame each kind lies [mm], and how thick a stick is [mm]: for the eye, no size of the building
_OUT = {"sheet": 12.0, "hole": 30.0, "opening": 6.0, "board": 20.0}
_EDGE_MM = 45.0
_BATTEN_MM = 40.0
_TIMBER = (70.0, 45.0)


@record
class Part:
    """One thing to be drawn, under its mark.

    `on`: the plane or wall it belongs to. A flat one has `rings` in `frame`, `out_mm` along its normal: polygons, each
    an outer ring counter-clockwise, then its holes clockwise. A stick has a `line` in space and a section, `wide_mm`
    across and `deep_mm` along the frame's normal (or up). `facts`: what is said of it, a line each. `names`: what else
    order lines call it. `faces`: of an edge, the planes that meet in it.
    """

    mark: str
    kind: str
    on: str
    frame: Frame | None
    facts: tuple[str, ...]
    working: Working | None = None
    rings: tuple[Ring2, ...] = ()
    out_mm: float = 0.0
    line: tuple[Point3, ...] = ()
    wide_mm: float = 0.0
    deep_mm: float = 0.0
    names: tuple[str, ...] = ()
    area_mm2: float = 0.0
    length_mm: float = 0.0
    faces: tuple[str, ...] = ()


def house_parts(takeoff: Takeoff) -> tuple[Part, ...]:
    """Every part of a house: planes, sheets, edges, timber, holes, gutters, pipes, walls, openings, boards, battens."""
    frames: dict[str, Frame] = {}
    parts: list[Part] = []
    for roof in takeoff.roofs:
        moved = {plane.id: _moved(plane.frame, roof.origin_mm) for plane in roof.planes}
        frames |= moved
        parts += _planes(takeoff, roof, moved)
        parts += _edges(takeoff, roof)
    parts += _sheets(takeoff, frames)
    parts += _timber(takeoff, frames)
    parts += [
        Part(
            hole.id, "hole", hole.plane, frames[hole.plane], words.hole_facts(hole), None, (hole.ring_uv,), _OUT["hole"]
        )
        for hole in takeoff.roofing.holes
        if hole.plane in frames
    ]
    for stick in rain_sticks(takeoff):
        parts.append(
            Part(
                stick.mark, stick.kind, stick.run, None, stick.facts, stick.working, line=stick.line,
                wide_mm=stick.wide_mm, deep_mm=stick.deep_mm, names=stick.names, length_mm=stick.length_mm,
            )
        )  # fmt: skip
    parts += _walls(takeoff)
    return tuple(parts)


def _moved(frame: Frame, by: Point3) -> Frame:
    return Frame(add3(frame.origin_mm, by), frame.u, frame.v, frame.n) if any(by) else frame


def _planes(takeoff: Takeoff, roof: Roof, frames: dict[str, Frame]) -> Iterator[Part]:
    for plane in roof.planes:
        facts = words.plane_facts(takeoff, roof, plane)
        working = next((quantity.working for quantity in takeoff.measures if quantity.refs == (plane.id,)), None)
        frame = frames[plane.id]
        yield Part(plane.id, "plane", plane.id, frame, facts, working, plane.rings_uv, area_mm2=plane.area_mm2)
    for face in roof.uprights:
        frame = _moved(face.frame, roof.origin_mm)
        facts = words.upright_facts(face)
        yield Part(face.id, "upright", face.id, frame, facts, None, face.rings_uv, area_mm2=face.area_mm2)


def _edges(takeoff: Takeoff, roof: Roof) -> Iterator[Part]:
    for edge in roof.own_edges:
        runs = [run for run in takeoff.roofing.flashings if run.edge == edge.id]
        yield Part(
            edge.id, "edge", edge.faces[0] if edge.faces else "", None, words.edge_facts(edge, runs),
            runs[0].working if runs else None, line=(add3(edge.a_mm, roof.origin_mm), add3(edge.b_mm, roof.origin_mm)),
            wide_mm=_EDGE_MM, deep_mm=_EDGE_MM, names=tuple(run.run for run in runs), length_mm=edge.length_mm,
            faces=edge.faces,
        )  # fmt: skip


def _sheets(takeoff: Takeoff, frames: dict[str, Frame]) -> Iterator[Part]:
    bought = words.bought_words(takeoff)
    for sheets in takeoff.roofing.sheets:
        for piece in sheets.pieces:
            facts = words.sheet_facts(sheets, piece, bought[piece.mark])
            area = sum(signed_area(ring) for ring in piece.cover_uv)
            yield Part(
                piece.mark, "clear sheet" if piece.clear else "sheet", sheets.plane, frames[sheets.plane], facts,
                piece.working, piece.cover_uv, _OUT["sheet"], area_mm2=area, length_mm=piece.reach_mm,
            )  # fmt: skip


def _timber(takeoff: Takeoff, frames: dict[str, Frame]) -> Iterator[Part]:
    """Purlins, trimmers and boards under the sheets: their upper faces lie in the plane."""
    demands = {demand.id: demand for need in takeoff.roofing.needs for demand in need.demands}
    cuts = words.cut_words_by_run(takeoff)
    for line in takeoff.roofing.purlins:
        demand, frame = demands.get(line.run), frames[line.plane]
        item = takeoff.items.get(demand.item) if demand is not None else None
        wide, deep = (
            next((_sides(mark.value) for mark in item.marks if mark.kind is MarkKind.SIZE), _TIMBER)
            if item
            else _TIMBER
        )
        low = tuple(-deep / 2.0 * n for n in frame.n)
        ends = tuple(add3(frame.to_space(end), (low[0], low[1], low[2])) for end in (line.a_uv, line.b_uv))
        facts = words.timber_facts(line, item, cuts.get(line.run, ""))
        length = demand.length_mm if demand is not None else 0.0
        yield Part(
            line.run, "timber", line.plane, frame, facts, demand.working if demand is not None else None,
            line=ends, wide_mm=wide, deep_mm=deep, length_mm=length,
        )  # fmt: skip


def _sides(value: float | str | tuple[float, ...]) -> Point2:
    """Two sides of a section, the first across."""
    return (value[0], value[1]) if isinstance(value, tuple) and len(value) > 1 else _TIMBER


def wall_frame(wall: Elevation, origin_mm: Point3) -> Frame | None:
    """Where a wall stands: x along it, y up, the normal outward. None for one that has no place on the plan."""
    dx, dy = wall.b_mm[0] - wall.a_mm[0], wall.b_mm[1] - wall.a_mm[1]
    if dx == dy == 0.0:
        return None
    along = unit3((dx, dy, 0.0))
    foot = (wall.a_mm[0] + origin_mm[0], wall.a_mm[1] + origin_mm[1], 0.0)
    return Frame(foot, along, _UP, (along[1], -along[0], 0.0))


def _walls(takeoff: Takeoff) -> Iterator[Part]:
    origins = {roof.name: roof.origin_mm for roof in takeoff.roofs}
    first = takeoff.roofs[0].origin_mm if takeoff.roofs else (0.0, 0.0, 0.0)
    for wall in takeoff.elevations:
        frame = wall_frame(wall, origins.get(wall.roof, first))
        if frame is None:
            continue
        zones = [boards for boards in takeoff.cladding.boards if boards.wall == wall.wall]
        area = signed_area(wall.outline_xy)
        facts = words.wall_facts(wall, zones)
        yield Part(wall.id, "wall", wall.id, frame, facts, None, (wall.outline_xy,), area_mm2=area)
        for opening in wall.openings:
            x0, x1 = opening.from_left_mm, opening.from_left_mm + opening.width_mm
            ring = ((x0, opening.sill_mm), (x1, opening.sill_mm), (x1, opening.head_mm), (x0, opening.head_mm))
            facts = words.opening_facts(wall, opening)
            yield Part(
                opening.name, "opening", wall.id, frame, facts, None, (ring,), _OUT["opening"],
                area_mm2=opening.width_mm * opening.height_mm,
            )  # fmt: skip
        for boards in zones:
            kind = "wall sheet" if boards.direction == words.SHEETS else "board"
            for piece in boards.pieces:
                yield Part(
                    piece.id, kind, wall.id, frame, words.board_facts(boards, piece), boards.working,
                    (piece.outline_xy,), _OUT["board"], names=(piece.zone,),
                    area_mm2=signed_area(piece.outline_xy), length_mm=piece.length_mm,
                )  # fmt: skip
        for batten in takeoff.cladding.battens:
            if batten.wall == wall.wall:
                ends = tuple(frame.to_space(end) for end in (batten.a_xy, batten.b_xy))
                yield Part(
                    batten.run, "batten", wall.id, frame, (f"cavity batten on {wall.id}",), None, line=ends,
                    wide_mm=_BATTEN_MM, deep_mm=_BATTEN_MM / 2.0,
                )  # fmt: skip
