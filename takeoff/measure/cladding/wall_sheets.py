"""Walls in profiled sheets, upright: set out, cut and lapped by the rules of roof sheets, openings cut on site."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import ceil

from takeoff.basics.letters import letters
from takeoff.basics.records import record
from takeoff.measure.cladding.courses import notched
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.face_parts import net_mm2, seen_parts
from takeoff.measure.cladding.panels import rakes_of
from takeoff.measure.cladding.wall_set_out import WallSetOut, wall_set_out
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.measure.cladding.zones import SHEETS, Zone
from takeoff.measure.sheeting.cut_corners import with_corners
from takeoff.measure.sheeting.end_laps import LapLines, Part, lap_lines, split_run
from takeoff.measure.sheeting.lee_end import wall_start
from takeoff.measure.sheeting.sheet_ends import ends_of, sides_mm
from takeoff.measure.sheeting.short_sheets import cut_from_longer
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue, Profile
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetGroup, SheetPiece
from takeoff.model.walls import BoardPiece, WallBoards
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.slabs import highest, lowest, rings_of
from takeoff.shape.strips.strips import StripRun, Widths, cut_strips

_UPRIGHT_DEG = 90.0  # what a wall's pitch is for the table of end laps


@record
class WallLaid:
    """The sheets of one part of a wall: as boards are drawn and listed, and as sheets are bought."""

    boards: WallBoards
    sheets: PlaneSheets


@record
class Ground:
    """What the sheets of a part of a wall are laid by: its profile, how the wall faces (None where nobody knows), what
    the site takes, and the heights of its battens, which end laps are put over."""

    profile: Profile
    faces_deg: float | None
    site: Site
    rows_mm: Sequence[float]


def lay_sheets(face: Face, ends: WallEnds, zone: Zone, ground: Ground, settings: Settings) -> WallLaid:
    """The sheets of a wall, laid from its lee end, with their edges from the left (`marks_mm`) and areas of the face.

    Rows and marks count from the left. Where the wall is higher than the longest piece of the site they are lapped.
    """
    widths = Widths(zone.board.cover_mm, zone.board.width_mm, settings.flag("count_by_overall"))
    side, why = wall_start(ground.faces_deg, settings)
    out = wall_set_out(face, ends, ground.profile, widths, side, settings)
    low, high = min(y for part in face.whole for _, y in part[0]) - 1.0, face.peak + 1.0
    rings = tuple(ring for part in seen_parts(face, out.left, out.right, low, high) for ring in part)
    area = SheetedArea(rings, tuple(("",) * len(ring) for ring in rings))
    cut = cut_strips(area, out.start, side, widths)
    runs = [run for run in cut if highest(run.sheet) - lowest(run.sheet) > 1.0]
    longest = ground.site.longest_piece_mm or float("inf")
    laps = lap_lines(runs, _UPRIGHT_DEG, longest, 0.0, settings, ground.rows_mm)
    pieces = _placed(face, zone, runs, laps, out, longest, widths, settings)
    sheets = _as_sheets(face, ground.profile, out, widths, rings, pieces)
    strips = max((run.strip for run in runs), default=0)
    boards = WallBoards(
        wall=face.wall,
        zone=zone.name,
        direction=SHEETS,
        board=zone.board.id,
        cover_mm=widths.cover_mm,
        board_width_mm=widths.overall_mm,
        courses=strips,
        net_mm2=net_mm2(face),
        gross_mm2=face.gross_mm2,
        pieces=tuple(
            _as_board(face, zone, piece, piece.strip if side == "left" else strips + 1 - piece.strip)
            for piece in sheets.pieces
        ),
        marks_mm=(out.left, *_lines(out, widths, strips), out.right),
        working=_working(face, zone, replace(out, why=f"; {why}{out.why}"), laps, settings),
        findings=_lap_findings(face, laps, longest),
    )
    return WallLaid(boards, sheets)


def _lines(out: WallSetOut, widths: Widths, strips: int) -> tuple[float, ...]:
    """The lines between the covers of sheets, from the left [mm]."""
    way = 1.0 if out.side == "left" else -1.0
    return tuple(sorted(out.start + way * n * widths.cover_mm for n in range(1, strips)))


def _working(face: Face, zone: Zone, out: WallSetOut, laps: LapLines | None, settings: Settings) -> Working:
    names = ("count_by_overall", "raked_allowance_mm", "raked_step_mm", "square_step_mm", "wall_sheet_short_mm")
    return Working(
        "sheets side by side = ceil((width - (overall - cover)) / cover); each as long as it reaches over its "
        f"overall width, rounded up once{out.why}",
        (
            Term("width of the face", round(face.width, 3), "mm", None, face.group),
            *(Term("short of the end", round(mm, 1), "mm", None, face.group) for mm in out.short if mm > 0.0),
            zone.term("cover_mm"),
            zone.term("width_mm"),
            *(settings.term(name) for name in names),
            *(laps.terms if laps is not None else ()),
        ),
    )


def _placed(
    face: Face,
    zone: Zone,
    runs: Sequence[StripRun],
    laps: LapLines | None,
    out: WallSetOut,
    longest: float,
    widths: Widths,
    settings: Settings,
) -> tuple[SheetPiece, ...]:
    found: list[SheetPiece] = []
    strips = max((run.strip for run in runs), default=0)
    for strip in sorted({run.strip for run in runs}, reverse=out.side == "right"):
        row = strip if out.side == "left" else strips + 1 - strip
        own = sorted((run for run in runs if run.strip == strip), key=lambda run: lowest(run.sheet))
        parts = [(run, n, part) for run in own for n, part in enumerate(split_run(run, laps, longest, 0.0, settings))]
        for place, (run, number, part) in enumerate(parts, start=1):
            mark = f"B{face.tag}.{row:02d}" + (letters(place) if len(parts) > 1 else "")
            found.append(_sheet(mark, face, zone, run, number, part, out, widths, settings))
    return tuple(found)


def _sheet(
    mark: str,
    face: Face,
    zone: Zone,
    run: StripRun,
    number: int,
    part: Part,
    out: WallSetOut,
    widths: Widths,
    settings: Settings,
) -> SheetPiece:
    ends = ends_of(part.sheet, 0.0, settings)
    left, right = sides_mm(part.sheet)
    added = " + raked allowance" if ends.raked else ""
    lapped = f"; lapped {part.lap_mm:.0f} mm under the sheet above" if part.lap_mm else ""
    rule = f"{mark}: bought alone = (reach{added}) rounded up once to the step{lapped}"
    terms = (
        Term("reach", round(ends.reach_mm, 3), "mm", ref=mark),
        *ends.bought.terms,
        Term("bought alone", ends.bought.mm, "mm", ref=mark),
    )
    piece = SheetPiece(
        mark=mark,
        plane=face.group,
        strip=run.strip,
        run=run.run,
        part=number,
        profile=zone.board.id,
        start_side=out.side,
        lap_side="left" if out.side == "right" else "right",
        outline_uv=(),
        cover_uv=rings_of(part.cover),
        reach_mm=ends.reach_mm,
        order_mm=ends.bought.mm,
        left_mm=left,
        right_mm=right,
        foot_v_mm=lowest(part.sheet),
        foot=ends.foot,
        top=ends.top,
        lap_mm=part.lap_mm,
        working=Working(rule, terms),
    )
    before = (run.strip - 1) * widths.cover_mm
    edge = out.start + before if out.side == "left" else out.start - before - widths.overall_mm
    return with_corners(piece, part.sheet, ends, edge)


def _as_sheets(
    face: Face,
    profile: Profile,
    out: WallSetOut,
    widths: Widths,
    rings: tuple[tuple[tuple[float, float], ...], ...],
    pieces: tuple[SheetPiece, ...],
) -> PlaneSheets:
    """The record that sheets are bought by, a wall standing for a roof plane."""
    at = out.left if out.side == "left" else out.right
    words = f"{abs(at):.0f} mm {'left' if at < 0.0 else 'right'} of the left end of the framing"
    return PlaneSheets(
        plane=face.group,
        profile=profile.id,
        start_side=out.side,
        start_u_mm=out.start,
        start_edge=words,
        over_edge=out.side,
        cover_mm=widths.cover_mm,
        overall_mm=widths.overall_mm,
        first_cover_mm=widths.cover_mm - abs(at - out.start),
        sheeted_uv=rings,
        net_mm2=net_mm2(face),
        pieces=pieces,
        movement_mm=0.0,
        snap_u_mm=at,
    )


def _as_board(face: Face, zone: Zone, piece: SheetPiece, row: int) -> BoardPiece:
    ring = piece.outline_uv
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    raked = piece.foot.rake_deg > 0.0 or piece.top.rake_deg > 0.0
    return BoardPiece(
        id=piece.mark,
        wall=face.wall,
        zone=zone.name,
        row=row,
        outline_xy=ring,
        length_mm=piece.order_mm,
        notched=notched(face, min(xs), max(xs), min(ys), max(ys)),
        rakes_deg=rakes_of(ring) if raked else (0.0, 0.0),
        sides_mm=(piece.left_mm, piece.right_mm),
        lap_mm=piece.lap_mm,
    )


def _lap_findings(face: Face, laps: LapLines | None, longest: float) -> tuple[Finding, ...]:
    if laps is None:
        return ()
    if not laps.possible:
        return (
            Finding(
                "longest-wall-sheet-too-short",
                Severity.STOP,
                f"{face.group}: sheets of {longest:.0f} mm are too short to be lapped {laps.lap_mm:.0f} mm.",
                "Let longer pieces come: `site: {longest_piece_mm: 12000}`.",
                refs=(f"wall {face.wall}",),
            ),
        )
    lines = ", ".join(f"{line:.0f}" for line in laps.foot_v_mm)
    return (
        Finding(
            "wall-sheets-lapped",
            Severity.NOTE,
            f"{face.group}: sheets longer than {longest:.0f} mm are lapped {laps.lap_mm:.0f} mm; upper sheets start "
            f"{lines} mm over the floor.",
            "Put a batten or nog under each lap and screw through it, upper sheet over lower.",
            refs=(f"wall {face.wall}",),
        ),
    )


def sheet_crossings(sheets: PlaneSheets, lines_mm: Iterable[float]) -> int:
    """How often sheets cross battens at those heights [mm]; in a lap the sheet above alone is counted, one screw goes
    through both."""
    lines = tuple(lines_mm)
    total = 0
    for piece in sheets.pieces:
        top = piece.foot_v_mm + piece.reach_mm - (piece.lap_mm + CRUMB_MM if piece.lap_mm else -CRUMB_MM)
        total += sum(1 for at in lines if piece.foot_v_mm - CRUMB_MM <= at <= top)
    return total


def sheet_groups(
    walls: Iterable[PlaneSheets], catalogue: Catalogue, site: Site, settings: Settings
) -> tuple[tuple[SheetGroup, ...], tuple[Made, ...]]:
    """The sheets of all walls as orders at the mill, a profile each, and the items they are; sheets that the mill does
    not run so short are cut from longer ones, of any wall."""
    planes: dict[str, list[PlaneSheets]] = {}
    for sheets in walls:
        if sheets.pieces:
            planes.setdefault(sheets.profile, []).append(sheets)
    bmt = settings.number("sheet_bmt_mm")
    groups = []
    for name, own in planes.items():
        profile = catalogue.profiles[name]
        marks = (Mark(MarkKind.MADE_AS, profile.name), Mark(MarkKind.THICK, bmt))
        cut = cut_from_longer(own, site, settings)
        groups.append(SheetGroup(profile, bmt, "", cut, item=Made(f"wall sheet {name}", "wall_sheet", marks)))
    return tuple(groups), tuple(group.item for group in groups if group.item is not None)


def screw_lines(crossed: int, settings: Settings) -> tuple[tuple[Quantity, ...], tuple[Made, ...]]:
    """Screws with washers: so many where a sheet crosses a batten, and spares; nothing without sheets."""
    if not crossed:
        return (), ()
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
    return (Quantity("cladding.wall_sheet_screw", made.id, figure, "each", (), rule),), (made,)
