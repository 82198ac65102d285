"""Sheets placed on the planes of a roof: set out from the lee end, cut to the sheeted area, marked and measured."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import partial

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.measure.roofing.sheets.crests import CrestLines
from takeoff.measure.roofing.sheets.lay_direction import LayRules, SetOut, raked_start, start_side
from takeoff.measure.roofing.sheets.laying_order import in_laying_order
from takeoff.measure.roofing.sheets.pitch_rules import pitch_findings
from takeoff.measure.roofing.sheets.rooflights import ClearSpan, with_clear
from takeoff.measure.roofing.sheets.sheet_checks import (
    lap_findings,
    movement,
    movement_findings,
    transport_findings,
)
from takeoff.measure.roofing.sheets.sheet_pieces import (
    Ground,
    Laid,
    Laying,
    Tried,
    foot_turn,
    plane_terms,
    sheet_mark,
    sheet_piece,
    tried_piece,
)
from takeoff.measure.roofing.sheets.sheet_trims import plane_trims
from takeoff.measure.roofing.sheets.site_fit import built_place, fit_grounds
from takeoff.measure.roofing.sheets.start_place import start_findings, start_line
from takeoff.measure.roofing.sheets.start_sides import cheaper_ends, with_least_sides
from takeoff.measure.sheeting.end_laps import Part, lap_lines, split_run
from takeoff.measure.sheeting.sheet_ends import square_within, tried_ends
from takeoff.measure.sheeting.short_sheets import cut_from_longer
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.quantities import SheetCount
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetPiece
from takeoff.model.supplied import PlaneFit
from takeoff.shape.strips.plane_lines import edges_on
from takeoff.shape.strips.sheeted_area import move_sides
from takeoff.shape.strips.slabs import highest, lowest
from takeoff.shape.strips.strips import StripRun, Widths, cut_strips, is_crumb, tried_strips


@record
class Beside:
    """What the sheets of a roof have to mind. `bare_edges`: outline edges without spouting; `purlin_rows_mm`: by plane
    id the purlin rows up the plane [mm of v], which end laps are then put over; `clear`: where clear sheets are wanted;
    `fits`: by plane id the frame as measured on site, None where it is as drawn."""

    bare_edges: Collection[int] = ()
    purlin_rows_mm: Mapping[str, Sequence[float]] = field(default_factory=dict)
    clear: Sequence[ClearSpan] = ()
    fits: Mapping[str, PlaneFit] | None = None


def place_sheets(
    roof: Roof,
    roof_job: RoofJob,
    site: Site,
    north_deg: float,
    settings: Settings,
    profile: Profile,
    beside: Beside | None = None,
) -> tuple[PlaneSheets, ...]:
    """The sheets of every plane of a roof that carries sheets, in the roof's order.

    `north_deg`: bearing of plan up. Findings stand in each plane's record; a stop (below least pitch, movement over a
    given limit) does not keep the others from being measured. Raises JobError for a first cover wider than the profile
    covers, and with every clear sheet that finds no sheet it can take the place of.
    """
    minded = beside or Beside()
    laying = _laying(roof, roof_job, site, north_deg, settings, profile, minded)
    grounds, starts, try_lay = _started(laying, minded)
    saving = cheaper_ends(grounds, laying, try_lay.set_all, try_lay.lay)
    if minded.fits:
        grounds, starts = fit_grounds(grounds, starts, minded.fits)
    placed = []
    faults: list[str] = []
    for ground in grounds:
        out = starts.get(ground.plane.id)
        rows = minded.purlin_rows_mm.get(ground.plane.id, ())
        fit = (minded.fits or {}).get(ground.plane.id)
        if out is None:
            sheets = _nothing(ground, laying)
        else:
            drawn = minded.fits is None  # as it was tried
            runs, laid = try_lay.set_out(ground, out) if drawn else _set_out(ground, out, laying, rows)
            sheets = _place(runs, laid, laying, fit)
        sheets, missing = with_clear(sheets, ground.plane, minded.clear, rows, laying)
        placed.append(replace(sheets, pieces=in_laying_order(sheets.pieces)))
        faults += missing
    if faults:
        raise JobError(*faults)
    if placed:
        lee = (_lee_finding(laying),) if roof_job.covering.lay_from is None else ()
        placed[0] = replace(placed[0], findings=(*lee, *saving, *placed[0].findings))
    return cut_from_longer(placed, site, settings)


def count_sheets(
    roof: Roof,
    roof_job: RoofJob,
    site: Site,
    north_deg: float,
    settings: Settings,
    profile: Profile,
    beside: Beside,
) -> tuple[SheetCount, ...] | None:
    """How many sheets `place_sheets` lays on each plane and how long they are; None where they must be laid to be
    counted: with end laps, clear sheets or a frame as measured. Raises JobError as `place_sheets` does."""
    if beside.clear or beside.fits is not None:
        return None
    laying = _laying(roof, roof_job, site, north_deg, settings, profile, beside)
    grounds, starts, try_lay = _started(laying, beside)
    found = []
    for ground in grounds:
        out = starts.get(ground.plane.id)
        tried = try_lay.lay(ground, out) if out is not None else ()
        if any(piece.part for piece in tried):
            return None
        net = ground.area.area_mm2 if out is not None else 0.0
        bought_mm = sum(piece.order_mm for piece in tried)
        found.append(SheetCount(ground.plane.id, len(tried), bought_mm, net, laying.widths.cover_mm))
    return tuple(found)


def _laying(
    roof: Roof,
    roof_job: RoofJob,
    site: Site,
    north_deg: float,
    settings: Settings,
    profile: Profile,
    minded: Beside,
) -> Laying:
    widths = Widths(profile.cover_mm, profile.overall_mm, settings.flag("count_by_overall"))
    square_deg = square_within(settings, measured=minded.fits is not None)
    return Laying(roof, roof_job, site, north_deg, settings, profile, widths, square_deg)


class _Try:
    """Start lines of all planes of a roof, and sheets laid from one as on the frame as drawn, each once."""

    def __init__(self, laying: Laying, minded: Beside) -> None:
        self.laying = replace(laying, square_deg=square_within(laying.settings, measured=False))
        self.rows_mm = minded.purlin_rows_mm
        self.rules = LayRules(laying.widths, laying.profile, laying.job, laying.settings, laying.north_deg)
        self._lines = CrestLines(laying.roof, self.rules)
        self._laid: dict[tuple[str, str, float], Sequence[Tried]] = {}
        self._set: dict[tuple[str, str, float], tuple[tuple[StripRun, ...], Laid]] = {}

    def set_all(self, grounds: Sequence[Ground]) -> Mapping[str, SetOut]:
        """The start line of every plane that has anything to sheet, by its id."""
        return self._lines.set_all(grounds)

    def set_out(self, ground: Ground, out: SetOut) -> tuple[tuple[StripRun, ...], Laid]:
        """The runs of a plane's sheets from a start line, and how they are set out."""
        key = (ground.plane.id, out.side, out.start_u_mm)
        if key not in self._set:
            self._set[key] = _set_out(ground, out, self.laying, self.rows_mm.get(ground.plane.id, ()))
        runs, laid = self._set[key]
        return runs, replace(laid, ground=ground, out=out)

    def lay(self, ground: Ground, out: SetOut) -> Sequence[Tried]:
        """The sheets of a plane from a start line."""
        key = (ground.plane.id, out.side, out.start_u_mm)
        if key not in self._laid:
            self._laid[key] = self._tried(ground, out) or self._as_laid(ground, out)
        return self._laid[key]

    def _tried(self, ground: Ground, out: SetOut) -> Sequence[Tried]:
        """The same of a plane whose sheets all come in one length and are not turned down, without laying them; none of
        any other."""
        laying = self.laying
        if foot_turn(ground.plane, laying.profile, laying.settings):
            return ()
        strips = tried_strips(ground.area, out.start_u_mm, out.side, laying.widths)
        ends = [tried_ends(slabs, 0.0, laying.settings, laying.square_deg, reach) for slabs, reach in strips]
        longest = laying.site.longest_piece_mm or float("inf")
        if any(bought > longest for _, _, bought in ends):
            return ()
        return [Tried(0, bought, foot, top, out.side) for foot, top, bought in ends]

    def _as_laid(self, ground: Ground, out: SetOut) -> Sequence[Tried]:
        runs, laid = self.set_out(ground, out)
        every = [(part, n) for _, parts in _parts(runs, laid, self.laying) for n, part in enumerate(parts)]
        return [tried_piece(part, n, laid, self.laying) for part, n in every]


def _started(laying: Laying, minded: Beside) -> tuple[list[Ground], Mapping[str, SetOut], _Try]:
    """The planes of a roof with the side each starts from, their start lines, and how they were tried."""
    planes = [plane for plane in laying.roof.planes if plane.covering is Covering.SHEETS]
    grounds = [_ground(plane, laying, minded.bare_edges) for plane in planes]
    try_lay = _Try(laying, minded)
    grounds = with_least_sides(grounds, laying, try_lay.set_all, try_lay.lay)
    return grounds, try_lay.set_all(grounds), try_lay


def _ground(plane: RoofPlane, laying: Laying, bare_edges: Collection[int]) -> Ground:
    edges = laying.roof.edges_of(plane.id)
    trims = plane_trims(plane, edges, laying.settings, bare_edges)
    area = move_sides(plane, edges, {name: trim.mm for name, trim in trims.items()})
    side, why = start_side(plane, laying.job, laying.north_deg, laying.settings)
    return Ground(plane, area, trims, side, why)


def _set_out(ground: Ground, out: SetOut, laying: Laying, rows: Sequence[float]) -> tuple[tuple[StripRun, ...], Laid]:
    """The runs of a plane's sheets strip by strip, and how they are set out."""
    runs = tuple(
        run for run in cut_strips(ground.area, out.start_u_mm, out.side, laying.widths) if not is_crumb(run.sheet)
    )
    turn = foot_turn(ground.plane, laying.profile, laying.settings)
    longest = laying.site.longest_piece_mm or float("inf")
    laps = lap_lines(runs, ground.plane.pitch_deg, longest, turn, laying.settings, rows, laying.square_deg)
    return runs, Laid(ground, out, laps, turn)


def _place(runs: Sequence[StripRun], laid: Laid, laying: Laying, fit: PlaneFit | None) -> PlaneSheets:
    built = partial(built_place, fit) if fit is not None else _as_drawn
    ground, out = laid.ground, laid.out
    plane, settings, profile, widths = ground.plane, laying.settings, laying.profile, laying.widths
    pieces = _pieces(runs, laid, laying)
    longest = laying.site.longest_piece_mm or float("inf")
    run_mm = max((highest(run.sheet) - lowest(run.sheet) for run in runs), default=0.0)
    moved, moved_working = movement(run_mm, settings)
    lapped = any(piece.lap_mm > 0.0 for piece in pieces)
    line = start_line(plane, edges_on(laying.roof, plane), out, widths, built)
    return PlaneSheets(
        plane=plane.id,
        profile=profile.id,
        start_side=out.side,
        start_u_mm=out.start_u_mm,
        snap_u_mm=line.u_mm,
        start_edge=f"{line.words}, {out.words}",
        over_edge=out.side,
        cover_mm=widths.cover_mm,
        overall_mm=widths.overall_mm,
        first_cover_mm=widths.cover_mm - out.shift_mm,
        sheeted_uv=ground.area.rings,
        net_mm2=ground.area.area_mm2,
        pieces=pieces,
        movement_mm=moved,
        movement_working=moved_working,
        findings=(
            *pitch_findings(plane, profile, run_mm, lapped, laying.site, settings),
            *movement_findings(plane, profile, run_mm, moved, settings),
            *lap_findings(plane, laid.laps, longest),
            *transport_findings(pieces, laying.site, settings),
            *_line_findings(plane, out),
            *start_findings(ground, laying),
        ),
        last_wide_mm=_last_wide(ground, out, pieces, widths),
    )


def _as_drawn(point: Point2) -> Point2:
    return point


def _last_wide(ground: Ground, out: SetOut, pieces: Sequence[SheetPiece], widths: Widths) -> float:
    """Width of the last sheet where it ends at a square end of the plane, narrower than its cover, else 0 [mm]."""
    last = max((piece.strip for piece in pieces), default=0)
    us = [u for piece in pieces if piece.strip == last for u, _ in piece.outline_uv]
    end = "left" if out.side == "right" else "right"
    if not us or raked_start(ground.area, end) or max(us) - min(us) >= widths.cover_mm - TOLERANCES.same_point_mm:
        return 0.0
    return max(us) - min(us)


def _parts(runs: Sequence[StripRun], laid: Laid, laying: Laying) -> Iterator[tuple[StripRun, Sequence[Part]]]:
    """Every run and its sheets, the lowest first."""
    longest = laying.site.longest_piece_mm or float("inf")
    for run in runs:
        yield run, split_run(run, laid.laps, longest, laid.foot_turn_mm, laying.settings, laying.square_deg)


def _pieces(runs: Sequence[StripRun], laid: Laid, laying: Laying) -> tuple[SheetPiece, ...]:
    """Every sheet of a plane with its mark, as laid."""
    strips = Counter([run.strip for run in runs])
    terms = plane_terms(laid, laying)
    pieces = []
    for run, parts in _parts(runs, laid, laying):
        for number, part in enumerate(parts):
            mark = sheet_mark(laid.ground.plane.id, run, strips[run.strip] == 1, number, len(parts))
            pieces.append(sheet_piece(mark, run, part, number, laid, laying, terms))
    return tuple(pieces)


def _nothing(ground: Ground, laying: Laying) -> PlaneSheets:
    """The record of a plane that its trims leave nothing of."""
    plane = ground.plane
    finding = Finding(
        "nothing-to-sheet",
        Severity.WARN,
        f"{plane.id} is smaller than the trims of its edges: it gets no sheet.",
        "Check the outline there; a flashing may cover it.",
        refs=(plane.id,),
        at_mm=plane.frame.origin_mm,
    )
    return PlaneSheets(
        plane=plane.id,
        profile=laying.profile.id,
        start_side=ground.side,
        start_u_mm=0.0,
        start_edge="",
        over_edge=ground.side,
        cover_mm=laying.widths.cover_mm,
        overall_mm=laying.widths.overall_mm,
        first_cover_mm=laying.widths.cover_mm,
        sheeted_uv=(),
        net_mm2=0.0,
        pieces=(),
        movement_mm=0.0,
        findings=(finding,),
    )


def _lee_finding(laying: Laying) -> Finding:
    lee = laying.settings.word("lay_from")
    return Finding(
        "lee-end-not-given",
        Severity.NOTE,
        f"Roof {laying.roof.name}: the job does not say where laying starts; the {lee} end was taken as the lee end.",
        "Add the end away from the prevailing wind to the job: `settings: {lay_from: east}`.",
        refs=(laying.roof.name,),
        source=laying.settings.basis("lay_from").words(),
    )


def _line_findings(plane: RoofPlane, out: SetOut) -> tuple[Finding, ...]:
    if not out.out_of_line_with:
        return ()
    return (
        Finding(
            "crests-out-of-line",
            Severity.NOTE,
            f"Crests of {plane.id} fall {out.out_of_line_mm:.0f} mm out of line with {out.out_of_line_with} "
            "across their ridge.",
            "Where this is seen, move one start, or add under the roof: `covering: {first_cover_mm: 600}`.",
            refs=(plane.id, out.out_of_line_with),
        ),
    )
