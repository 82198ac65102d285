"""The flat row of quantities, added up from what the stages have measured."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot

from takeoff.measure.rainwater.catchment import level_plan_m2
from takeoff.measure.roofing.purlins.purlin_rows import LEVEL_ROLES
from takeoff.model.drainage import GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import PurlinLine
from takeoff.model.quantities import HOUSE_FIGURES, Figure, edge_name
from takeoff.model.roof import Roof
from takeoff.model.sheets import PlaneSheets
from takeoff.model.walls import WallBoards

_M, _M2 = 1e-3, 1e-6
_UNITS = ("each", "m2", "m")


def house_figures(
    roofs: Sequence[Roof],
    sheets: Sequence[PlaneSheets],
    purlins: Sequence[PurlinLine],
    gutters: Sequence[GutterRun],
    boards: Sequence[WallBoards],
) -> tuple[tuple[Figure, ...], tuple[Figure, ...]]:
    """Figures of the whole house, one for each name of HOUSE_FIGURES, and those of its parts. `roofs` stand in
    place, with what they share edges with, as gutters are traced on them."""
    parts = (
        *_planes(roofs),
        *_edges(roofs),
        *_sheets(sheets),
        *_rows(purlins),
        *_gutters(gutters),
        *_boards(boards),
    )
    total = _totals(parts)
    found = {
        "roof_m2": total.get("area", 0.0),
        "roof_plan_m2": total.get("plan_area", 0.0),
        "upright_m2": sum(face.area_mm2 * _M2 for roof in roofs for face in roof.uprights),
        "sheets_each": total.get("sheets", 0.0),
        "sheets_m": total.get("sheet_length", 0.0),
        "sheeted_m2": total.get("sheeted", 0.0),
        "purlin_rows_each": total.get("purlin_rows", 0.0),
        "purlin_rows_m": total.get("purlin_rows_length", 0.0),
        "roof_timber_m": sum(_length_m(line) for line in purlins),
        "gutters_each": float(len(gutters)),
        "gutters_m": total.get("gutter", 0.0),
        "catchment_m2": sum(run.own_catchment_mm2 for run in gutters) / 1e6 + level_plan_m2(roofs) if gutters else 0.0,
        "wall_m2": total.get("clad", 0.0),
        "wall_gross_m2": sum(wall.gross_mm2 * _M2 for wall in boards),
        "boards_each": total.get("boards", 0.0),
        "boards_m": total.get("board_length", 0.0),
        **{edge_name(kind): 0.0 for kind in EdgeKind},
        **_by_kind(roofs),
    }
    return tuple(Figure(name, found[name], _unit(name)) for name in HOUSE_FIGURES), parts


def _unit(name: str) -> str:
    return next(unit for unit in _UNITS if name.endswith(f"_{unit}"))


def _totals(parts: Iterable[Figure]) -> dict[str, float]:
    found: dict[str, float] = {}
    for figure in parts:
        what = figure.name.split(".", 1)[0]
        found[what] = found.get(what, 0.0) + figure.value
    return found


def _planes(roofs: Sequence[Roof]) -> Iterable[Figure]:
    for plane in (plane for roof in roofs for plane in roof.planes):
        yield Figure(f"area.{plane.id}", plane.area_mm2 * _M2, "m2")
        yield Figure(f"plan_area.{plane.id}", plane.plan_area_mm2 * _M2, "m2")
        yield Figure(f"pitch.{plane.id}", plane.pitch_deg, "degrees")


def _edges(roofs: Sequence[Roof]) -> Iterable[Figure]:
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


def _sheets(sheets: Sequence[PlaneSheets]) -> Iterable[Figure]:
    for plane in sheets:
        yield Figure(f"sheets.{plane.plane}", float(len(plane.pieces)), "each")
        yield Figure(f"sheet_length.{plane.plane}", sum(piece.order_mm for piece in plane.pieces) * _M, "m")
        yield Figure(f"sheeted.{plane.plane}", plane.net_mm2 * _M2, "m2")


def _rows(purlins: Sequence[PurlinLine]) -> Iterable[Figure]:
    by_plane: dict[str, list[PurlinLine]] = {}
    for line in purlins:
        if line.role in LEVEL_ROLES:
            by_plane.setdefault(line.plane, []).append(line)
    for plane, lines in by_plane.items():
        yield Figure(f"purlin_rows.{plane}", float(len({line.row for line in lines})), "each")
        yield Figure(f"purlin_rows_length.{plane}", sum(_length_m(line) for line in lines), "m")


def _length_m(line: PurlinLine) -> float:
    return hypot(line.b_uv[0] - line.a_uv[0], line.b_uv[1] - line.a_uv[1]) * _M


def _gutters(gutters: Sequence[GutterRun]) -> Iterable[Figure]:
    for run in gutters:
        yield Figure(f"gutter.{run.id}", run.length_mm * _M, "m")
        yield Figure(f"catchment.{run.id}", run.plan_catchment_mm2 * _M2, "m2")


def _boards(boards: Sequence[WallBoards]) -> Iterable[Figure]:
    for wall in boards:
        where = f"{wall.wall}.{wall.zone}"
        yield Figure(f"boards.{where}", float(len(wall.pieces)), "each")
        yield Figure(f"board_length.{where}", sum(piece.length_mm for piece in wall.pieces) * _M, "m")
        yield Figure(f"clad.{where}", wall.net_mm2 * _M2, "m2")
