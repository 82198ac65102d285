"""Walls in profiled sheets, upright: strips by cover as on a roof, each sheet as long as it reaches over its overall
width, bought in the steps of square and raked sheets. Sheets are cut at the mill, openings on site."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from math import ceil

from takeoff.basics.letters import letters
from takeoff.basics.polygons import signed_area
from takeoff.basics.rounding import round_up_mm
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.courses import notched
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.face_parts import net_mm2, seen_parts
from takeoff.measure.cladding.panels import rakes_of
from takeoff.measure.cladding.zones import SHEETS, Zone
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.slabs import highest, lowest, rings_of
from takeoff.shape.strips.strips import StripRun, Widths, cut_strips


def lay_sheets(face: Face, zone: Zone, settings: Settings) -> WallBoards:
    """The sheets of a wall from its left end, with their edges (`marks_mm`) and areas of the face."""
    widths = Widths(zone.board.cover_mm, zone.board.width_mm, settings.flag("count_by_overall"))
    low, high = min(y for part in face.whole for _, y in part[0]) - 1.0, face.peak + 1.0
    rings = tuple(ring for part in seen_parts(face, face.left, face.right, low, high) for ring in part)
    area = SheetedArea(rings, tuple(("",) * len(ring) for ring in rings))
    runs = [run for run in cut_strips(area, face.left, "left", widths) if highest(run.sheet) - lowest(run.sheet) > 1.0]
    strips = max((run.strip for run in runs), default=0)
    pieces = tuple(piece for strip in range(1, strips + 1) for piece in _pieces(face, zone, strip, runs, settings))
    return WallBoards(
        wall=face.wall,
        zone=zone.name,
        direction=SHEETS,
        board=zone.board.id,
        cover_mm=widths.cover_mm,
        board_width_mm=widths.overall_mm,
        courses=strips,
        net_mm2=net_mm2(face),
        gross_mm2=face.gross_mm2,
        pieces=pieces,
        marks_mm=(*(face.left + n * widths.cover_mm for n in range(strips)), face.right),
        working=Working(
            "sheets side by side = ceil((width - (overall - cover)) / cover); each as long as it reaches over its "
            "overall width, rounded up once",
            (
                Term("width of the face", round(face.width, 3), "mm", None, face.group),
                zone.term("cover_mm"),
                zone.term("width_mm"),
                *(settings.term(name) for name in ("count_by_overall", "raked_allowance_mm", "raked_step_mm")),
                settings.term("square_step_mm"),
            ),
        ),
    )


def _pieces(face: Face, zone: Zone, strip: int, runs: list[StripRun], settings: Settings) -> Iterator[BoardPiece]:
    own = sorted((run for run in runs if run.strip == strip), key=lambda run: lowest(run.sheet))
    for i, run in enumerate(own):
        ring = max(rings_of(run.sheet), key=lambda points: abs(signed_area(points)))
        low, high = lowest(run.sheet), highest(run.sheet)
        rakes = rakes_of(ring)
        raked = any(rake > settings.number("square_within_deg") for rake in rakes)
        length = high - low + (settings.number("raked_allowance_mm") if raked else 0.0)
        step = settings.number("raked_step_mm" if raked else "square_step_mm")
        xs = [x for x, _ in ring]
        yield BoardPiece(
            id=f"B{face.tag}.{strip:02d}" + (letters(i + 1) if len(own) > 1 else ""),
            wall=face.wall,
            zone=zone.name,
            row=strip,
            outline_xy=ring,
            length_mm=round_up_mm(length, step, TOLERANCES.same_length_mm),
            notched=notched(face, min(xs), max(xs), low, high),
            rakes_deg=rakes if raked else (0.0, 0.0),
        )


def sheet_lines(
    walls: Iterable[tuple[Zone, WallBoards, int]], settings: Settings
) -> tuple[tuple[Quantity, ...], tuple[Made, ...]]:
    """Sheets by profile and length, the longest first, and the screws that hold them; with the items they are.

    walls: zone, boards and crossings of sheets and battens of each part of a wall.
    """
    own = [(zone, boards, crossed) for zone, boards, crossed in walls if zone.direction == SHEETS]
    if not own:
        return (), ()
    counts: Counter[tuple[str, str, float]] = Counter()
    refs: dict[tuple[str, str, float], list[str]] = {}
    for zone, boards, _ in own:
        for piece in boards.pieces:
            key = (zone.board.id, zone.board.name, piece.length_mm)
            counts[key] += 1
            refs.setdefault(key, []).append(piece.id)
    quantities: list[Quantity] = []
    items: list[Made] = []
    for key in sorted(counts, key=lambda key: (key[0], -key[2])):
        profile, name, length = key
        marks = (Mark(MarkKind.MADE_AS, name), Mark(MarkKind.LENGTH, length))
        made = Made(f"wall sheet {profile} {length:g}", "wall_sheet", marks, family=f"wall sheet {profile}")
        rule = Working("sheets of this length", (Term("sheets", counts[key], "each"), Term("length", length, "mm")))
        items.append(made)
        quantities.append(Quantity(f"cladding.{made.id}", made.id, counts[key], "each", tuple(refs[key]), rule))
    screws, screw = _screws(sum(crossed for _, _, crossed in own), settings)
    return (*quantities, screws), (*items, screw)


def _screws(crossed: int, settings: Settings) -> tuple[Quantity, Made]:
    """Screws with washers: so many where a sheet crosses a batten, and spares."""
    each, spare = settings.number("wall_sheet_screws"), settings.number("nail_spare_pct")
    long = settings.number("wall_sheet_screw_mm")
    made = Made(f"wall_sheet_screw {long:g}", "wall_sheet_screw", (Mark(MarkKind.LENGTH, long),))
    rule = Working(
        "screws = crossings of sheets and battens x screws a crossing x (1 + spare)",
        (
            Term("crossings", crossed, "each"),
            settings.term("wall_sheet_screws"),
            settings.term("wall_sheet_screw_mm"),
            settings.term("nail_spare_pct"),
        ),
    )
    figure = ceil(crossed * each * (1.0 + spare / 100.0) - 1e-9)
    return Quantity("cladding.wall_sheet_screw", made.id, figure, "each", (), rule), made
