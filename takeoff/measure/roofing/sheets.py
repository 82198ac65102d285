"""Sheets placed on the planes of a roof: set out from the lee end, cut to the sheeted area, marked and measured."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from takeoff.measure.roofing.crests import crest_shifts
from takeoff.measure.roofing.end_laps import LapLines, Part, lap_lines, split_run
from takeoff.measure.roofing.lay_direction import SetOut, start_side
from takeoff.measure.roofing.sheet_checks import (
    lap_findings,
    movement,
    movement_findings,
    pitch_findings,
    transport_findings,
)
from takeoff.measure.roofing.sheet_ends import Ends, ends_of, sides_mm
from takeoff.measure.roofing.short_sheets import cut_from_longer
from takeoff.measure.roofing.terms import product_term
from takeoff.measure.roofing.trims import Trim, plane_trims
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.job import RoofJob, Site
from takeoff.model.products import Profile
from takeoff.model.roof import Covering, EdgeKind, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetPiece
from takeoff.shape.sheeted_area import SheetedArea, move_sides
from takeoff.shape.slabs import highest, lowest, rings_of
from takeoff.shape.strips import StripRun, Widths, cut_strips


@dataclass(frozen=True, slots=True)
class Ground:
    """What one plane is sheeted by: its area, its trims and its side to start from."""

    plane: RoofPlane
    area: SheetedArea
    trims: Mapping[str, Trim]
    side: str
    why: str


def place_sheets(
    roof: Roof,
    roof_job: RoofJob,
    site: Site,
    north_deg: float,
    settings: Settings,
    profile: Profile,
    *,
    bare_edges: Collection[int] = (),
    purlin_rows_mm: Mapping[str, Sequence[float]] | None = None,
) -> tuple[PlaneSheets, ...]:
    """The sheets of every plane of a roof that carries sheets, in the roof's order.

    `north_deg`: bearing of plan up. `bare_edges`: outline edges without spouting. `purlin_rows_mm`: by plane id the
    purlin rows up the plane [mm of v]; end laps are then put over them. Findings stand in each plane's record; a stop
    (below least pitch, movement over a given limit) does not keep the others from being measured.
    Raises JobError for a first cover wider than the profile covers.
    """
    widths = Widths(profile.cover_mm, profile.overall_mm, settings.flag("count_by_overall"))
    grounds = [
        _ground(roof, plane, roof_job, north_deg, settings, bare_edges)
        for plane in roof.planes
        if plane.covering is Covering.SHEETS
    ]
    shifts = crest_shifts(roof, grounds, widths, profile, roof_job, settings, north_deg)
    placed = []
    for ground in grounds:
        rows = (purlin_rows_mm or {}).get(ground.plane.id, ())
        placed.append(_place(ground, shifts, widths, roof_job, site, north_deg, settings, profile, roof, rows))
    return cut_from_longer(placed, site, settings)


def _ground(
    roof: Roof,
    plane: RoofPlane,
    roof_job: RoofJob,
    north_deg: float,
    settings: Settings,
    bare_edges: Collection[int],
) -> Ground:
    edges = roof.edges_of(plane.id)
    trims = plane_trims(plane, edges, settings, bare_edges)
    area = move_sides(plane, edges, {name: trim.mm for name, trim in trims.items()})
    side, why = start_side(plane, roof_job, north_deg, settings)
    return Ground(plane, area, trims, side, why)


def _place(
    ground: Ground,
    shifts: Mapping[str, SetOut],
    widths: Widths,
    roof_job: RoofJob,
    site: Site,
    north_deg: float,
    settings: Settings,
    profile: Profile,
    roof: Roof,
    rows: Sequence[float],
) -> PlaneSheets:
    plane = ground.plane
    out = shifts.get(plane.id)
    if out is None:
        return _nothing(ground, profile, widths)
    runs = cut_strips(ground.area, out.start_u_mm, out.side, widths)
    turn = _foot_turn(plane, profile, settings)
    longest = site.longest_piece_mm or float("inf")
    laps = lap_lines(runs, plane.pitch_deg, longest, turn, settings, rows)
    pieces: list[SheetPiece] = []
    for run in runs:
        alone = sum(1 for other in runs if other.strip == run.strip) == 1
        parts = split_run(run, laps, longest, turn, settings)
        for number, part in enumerate(parts):
            letter = chr(ord("a") + number) if len(parts) > 1 else ""
            mark = f"{plane.id}.{run.strip:02d}{'' if alone else f'-{run.run}'}{letter}"
            pieces.append(_piece(mark, run, part, number, ground, out, widths, settings, profile, laps, turn, roof))
    run_mm = max((highest(run.sheet) - lowest(run.sheet) for run in runs), default=0.0)
    moved, moved_working = movement(run_mm, settings)
    lapped = any(piece.lap_mm > 0.0 for piece in pieces)
    return PlaneSheets(
        plane=plane.id,
        profile=profile.id,
        start_side=out.side,
        start_u_mm=out.start_u_mm,
        start_edge=out.words,
        over_edge=out.side,
        cover_mm=widths.cover_mm,
        overall_mm=widths.overall_mm,
        first_cover_mm=widths.cover_mm - out.shift_mm,
        sheeted_uv=ground.area.rings,
        net_mm2=ground.area.area_mm2,
        pieces=tuple(pieces),
        movement_mm=moved,
        movement_working=moved_working,
        findings=(
            *pitch_findings(plane, profile, run_mm, lapped, site, settings),
            *movement_findings(plane, profile, moved),
            *lap_findings(plane, laps, longest, settings),
            *transport_findings(plane, pieces, site, settings),
            *_line_findings(plane, out),
        ),
    )


def _nothing(ground: Ground, profile: Profile, widths: Widths) -> PlaneSheets:
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
        plane.id, profile.id, ground.side, 0.0, "", ground.side, widths.cover_mm, widths.overall_mm, 0.0, (), 0.0, (),
        0.0, findings=(finding,),
    )  # fmt: skip


def _foot_turn(plane: RoofPlane, profile: Profile, settings: Settings) -> float:
    """Length for turning a sheet's pans down at the eave: profiles that ask for it, on low pitch."""
    return profile.foot_turn_mm if plane.pitch_deg <= settings.number("foot_turn_up_to_deg") + 1e-6 else 0.0


def _line_findings(plane: RoofPlane, out: SetOut) -> tuple[Finding, ...]:
    if not out.out_of_line_with:
        return ()
    return (
        Finding(
            "crests-out-of-line",
            Severity.NOTE,
            f"Crests of {plane.id} fall {out.out_of_line_mm:.0f} mm out of line with {out.out_of_line_with} "
            "across their ridge.",
            "Where this is seen, give covering: first_cover_mm or move one start.",
            refs=(plane.id, out.out_of_line_with),
        ),
    )


def _piece(
    mark: str,
    run: StripRun,
    part: Part,
    number: int,
    ground: Ground,
    out: SetOut,
    widths: Widths,
    settings: Settings,
    profile: Profile,
    laps: LapLines | None,
    turn: float,
    roof: Roof,
) -> SheetPiece:
    own_turn = turn if number == 0 and _foot_on_eave(part, roof) else 0.0
    ends = ends_of(part.sheet, own_turn, settings)
    left, right = sides_mm(part.sheet)
    return SheetPiece(
        mark=mark,
        plane=ground.plane.id,
        strip=run.strip,
        run=run.run,
        part=number,
        profile=profile.id,
        start_side=out.side,
        lap_side="left" if out.side == "right" else "right",
        outline_uv=rings_of(part.sheet)[0],
        cover_uv=rings_of(part.cover),
        reach_mm=ends.reach_mm,
        order_mm=ends.bought.mm,
        left_mm=left,
        right_mm=right,
        foot_v_mm=lowest(part.sheet),
        foot=ends.foot,
        top=ends.top,
        lap_mm=part.lap_mm,
        working=_working(mark, run, part, ends, own_turn, ground, out, widths, settings, profile, laps),
    )


def _foot_on_eave(part: Part, roof: Roof) -> bool:
    """True where the foot of a sheet lies on an eave or an internal gutter."""
    below = {slab.foot_edge for slab in part.sheet}
    return any(edge.id in below and edge.kind in (EdgeKind.EAVE, EdgeKind.INTERNAL_GUTTER) for edge in roof.edges)


def _working(
    mark: str,
    run: StripRun,
    part: Part,
    ends: Ends,
    turn: float,
    ground: Ground,
    out: SetOut,
    widths: Widths,
    settings: Settings,
    profile: Profile,
    laps: LapLines | None,
) -> Working:
    """Rule and terms of a piece's bought length."""
    added = " + raked allowance" if ends.raked else ""
    added += " + turn-down" if turn else ""
    rule = (
        f"{mark}: bought = (reach{added}) rounded up once to the step; reach is the longest length over the sheet's "
        f"overall width, between its edges moved by their trims; strip {run.strip} from the {out.side}, {out.why}"
    )
    if part.lap_mm:
        rule += f"; lapped {part.lap_mm:.0f} mm under the part above"
    terms = [
        Term("reach", round(ends.reach_mm, 3), "mm", ref=mark),
        *ends.bought.terms,
        Term("bought", ends.bought.mm, "mm", ref=mark),
    ]
    if turn:
        terms.append(product_term(profile, "foot_turn_mm", turn, "mm"))
    terms += [
        product_term(profile, "cover_mm", widths.cover_mm, "mm"),
        product_term(profile, "overall_mm", widths.overall_mm, "mm"),
        settings.term("count_by_overall"),
        Term("start line", round(out.start_u_mm, 3), "mm", ref=ground.plane.id),
        Term("pitch", round(ground.plane.pitch_deg, 3), "deg", ref=ground.plane.id),
    ]
    for name in dict.fromkeys((*ends.foot.edges, *ends.top.edges)):
        trim = ground.trims.get(name)
        if trim is not None:
            terms.append(Term("trim", trim.mm, "mm", trim.terms[0].basis, name))
            terms += [replace(term, ref=name) for term in trim.terms]
    if part.lap_mm and laps is not None:
        terms += laps.terms
    return Working(rule, tuple(terms))
