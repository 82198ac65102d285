"""The flat row of quantities, added up from what the stages have measured."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import hypot

from takeoff.measure.rainwater.catchment import level_plan_m2
from takeoff.measure.roofing.purlins.purlin_rows import LEVEL_ROLES
from takeoff.model.drainage import GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import PurlinLine
from takeoff.model.quantities import HOUSE_FIGURES, UNIT_OF, BoardCount, Figure, SheetCount, edge_name
from takeoff.model.roof import Roof, RoofPlane
from takeoff.model.sheets import PlaneSheets
from takeoff.model.walls import WallBoards

_M, _M2 = 1e-3, 1e-6


def house_figures(
    roofs: Sequence[Roof],
    sheets: Sequence[SheetCount],
    purlins: Sequence[PurlinLine],
    gutters: Sequence[GutterRun],
    boards: Sequence[BoardCount],
) -> tuple[tuple[Figure, ...], tuple[Figure, ...]]:
    """Figures of the whole house, one for each name of HOUSE_FIGURES, and those of its parts."""
    planes = [plane for roof in roofs for plane in roof.planes]
    laid, rows = [_laid(plane) for plane in sheets], _rows(purlins)
    nailed = [_nailed(wall) for wall in boards]
    found = {
        "roof_m2": sum(plane.area_mm2 * _M2 for plane in planes),
        "roof_plan_m2": sum(plane.plan_area_mm2 * _M2 for plane in planes),
        "upright_m2": sum(face.area_mm2 * _M2 for roof in roofs for face in roof.uprights),
        "sheets_each": sum(count for count, _, _ in laid),
        "sheets_m": sum(metres for _, metres, _ in laid),
        "sheets_m2": sum(plane.bought_mm * plane.cover_mm * _M2 for plane in sheets),
        "sheeted_m2": sum(area for _, _, area in laid),
        "purlin_rows_each": sum(count for count, _ in rows.values()),
        "purlin_rows_m": sum(metres for _, metres in rows.values()),
        "roof_timber_m": sum(_length_m(line) for line in purlins),
        "gutters_each": float(len(gutters)),
        "gutters_m": sum(run.length_mm * _M for run in gutters),
        "catchment_m2": sum(run.own_catchment_mm2 for run in gutters) / 1e6 + level_plan_m2(roofs) if gutters else 0.0,
        "wall_m2": sum(area for _, _, area in nailed),
        "wall_gross_m2": sum(wall.gross_mm2 * _M2 for wall in boards),
        "boards_each": sum(count for count, _, _ in nailed),
        "boards_m": sum(metres for _, metres, _ in nailed),
        **_by_kind(roofs),
    }
    house = tuple(Figure(name, float(found.get(name, 0.0)), UNIT_OF[name]) for name in HOUSE_FIGURES)
    parts = (
        *_named((plane.id for plane in planes), map(_sizes, planes), _OF_PLANES),
        *_edges(roofs),
        *_named((plane.plane for plane in sheets), laid, _OF_SHEETS),
        *_named(rows, rows.values(), _OF_ROWS),
        *_named((run.id for run in gutters), map(_water, gutters), _OF_GUTTERS),
        *_named((f"{wall.wall}.{wall.zone}" for wall in boards), nailed, _OF_BOARDS),
    )
    return house, parts


# what the figures of a part are called, and what they are in
_OF_PLANES = (("area", "m2"), ("plan_area", "m2"), ("pitch", "degrees"))
_OF_SHEETS = (("sheets", "each"), ("sheet_length", "m"), ("sheeted", "m2"))
_OF_ROWS = (("purlin_rows", "each"), ("purlin_rows_length", "m"))
_OF_GUTTERS = (("gutter", "m"), ("catchment", "m2"))
_OF_BOARDS = (("boards", "each"), ("board_length", "m"), ("clad", "m2"))


def _named(
    parts: Iterable[str], values: Iterable[tuple[float, ...]], names: Sequence[tuple[str, str]]
) -> Iterator[Figure]:
    for part, own in zip(parts, values, strict=True):
        for (name, unit), value in zip(names, own, strict=True):
            yield Figure(f"{name}.{part}", value, unit)


def _sizes(plane: RoofPlane) -> tuple[float, ...]:
    return plane.area_mm2 * _M2, plane.plan_area_mm2 * _M2, plane.pitch_deg


def _edges(roofs: Sequence[Roof]) -> Iterator[Figure]:
    for roof in roofs:
        own = roof.own_edges
        for kind in EdgeKind:
            lengths = [edge.length_mm * _M for edge in own if edge.kind is kind]
            if lengths:
                yield Figure(f"length.{roof.name}.{kind.value.replace(' ', '_')}", sum(lengths), "m")


def _by_kind(roofs: Sequence[Roof]) -> dict[str, float]:
    found: dict[str, float] = {}
    for edge in (edge for roof in roofs for edge in roof.own_edges):
        name = edge_name(edge.kind)
        found[name] = found.get(name, 0.0) + edge.length_mm * _M
    return found


def counted(plane: PlaneSheets) -> SheetCount:
    """The sheets of a plane that were laid, counted."""
    bought_mm = sum(piece.order_mm for piece in plane.pieces)
    return SheetCount(plane.plane, len(plane.pieces), bought_mm, plane.net_mm2, plane.cover_mm)


def _laid(plane: SheetCount) -> tuple[float, ...]:
    return float(plane.count), plane.bought_mm * _M, plane.net_mm2 * _M2


def _rows(purlins: Sequence[PurlinLine]) -> dict[str, tuple[float, ...]]:
    by_plane: dict[str, list[PurlinLine]] = {}
    for line in purlins:
        if line.role in LEVEL_ROLES:
            by_plane.setdefault(line.plane, []).append(line)
    return {
        plane: (float(len({line.row for line in lines})), sum(_length_m(line) for line in lines))
        for plane, lines in by_plane.items()
    }


def _length_m(line: PurlinLine) -> float:
    return hypot(line.b_uv[0] - line.a_uv[0], line.b_uv[1] - line.a_uv[1]) * _M


def _water(run: GutterRun) -> tuple[float, ...]:
    return run.length_mm * _M, run.plan_catchment_mm2 * _M2


def boards_counted(wall: WallBoards) -> BoardCount:
    """The boards of a zone on a wall that were laid, counted."""
    length_mm = sum(piece.length_mm for piece in wall.pieces)
    return BoardCount(wall.wall, wall.zone, len(wall.pieces), length_mm, wall.net_mm2, wall.gross_mm2)


def _nailed(wall: BoardCount) -> tuple[float, ...]:
    return float(wall.count), wall.length_mm * _M, wall.net_mm2 * _M2
