"""One placed sheet: its mark, outline, ends, sides, bought length, and the working that explains it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.sheets.lay_direction import SetOut
from takeoff.measure.roofing.sheets.sheet_trims import Trim
from takeoff.measure.sheeting.cut_corners import corners_of
from takeoff.measure.sheeting.end_laps import LapLines, Part
from takeoff.measure.sheeting.sheet_ends import Ends, ends_of, sides_mm, tried_ends
from takeoff.measure.terms import product_term
from takeoff.model.basis import Term, Working
from takeoff.model.edge_kinds import FOOT_KINDS
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.roof import Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import EndCut, SheetPiece
from takeoff.shape.strips.plane_lines import edges_on
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.slabs import Slab, lowest, rings_of
from takeoff.shape.strips.strips import StripRun, Widths

_UPRIGHT_MM = TOLERANCES.upright_mm


@record
class Laying:
    """What all sheets of one roof share; an end within `square_deg` of square is cut square."""

    roof: Roof
    job: RoofJob
    site: Site
    north_deg: float
    settings: Settings
    profile: Profile
    widths: Widths
    square_deg: float


@record
class Ground:
    """What one plane is sheeted by: its area, its trims, the side laying starts from and why."""

    plane: RoofPlane
    area: SheetedArea
    trims: Mapping[str, Trim]
    side: str
    why: str


@record
class Laid:
    """One plane set out: its ground, start line and lap lines; `foot_turn_mm` for turning pans down at its eave."""

    ground: Ground
    out: SetOut
    laps: LapLines | None
    foot_turn_mm: float


def sheet_mark(plane: str, run: StripRun, alone: bool, part: int, parts: int) -> str:
    """P3.07; P3.07-2 for the second run of a strip cut by a hole; P3.07a, P3.07b for end-lapped parts."""
    letter = chr(ord("a") + part) if parts > 1 else ""
    return f"{plane}.{run.strip:02d}{'' if alone else f'-{run.run}'}{letter}"


def foot_turn(plane: RoofPlane, profile: Profile, settings: Settings) -> float:
    """Length for turning a sheet's pans down at the eave: profiles that ask for it, on low pitch [mm]."""
    return profile.foot_turn_mm if is_turned_down(plane.pitch_deg, settings) else 0.0


def is_turned_down(pitch_deg: float, settings: Settings) -> bool:
    """Whether pans are turned down at an eave: below the code's pitch, not on it."""
    return pitch_deg < settings.number("turn_down_below_deg") - 1e-6


@record
class Tried:
    """A sheet as it is tried where laying might start: its part of a run, how long it is bought, how its ends are
    cut."""

    part: int
    order_mm: float
    foot: EndCut
    top: EndCut
    start_side: str


def tried_piece(part: Part, number: int, laid: Laid, laying: Laying) -> Tried:
    """One sheet as `sheet_piece` lays it, without what is drawn and explained of it."""
    turn = _turn(part, number, laid, laying)
    foot, top, bought_mm = tried_ends(part.sheet, turn, laying.settings, laying.square_deg)
    return Tried(number, bought_mm, foot, top, laid.out.side)


@record
class PlaneTerms:
    """What explains every sheet of a plane: terms that all have, and by edge id those of the sheets that end at it."""

    shared: tuple[Term, ...]
    trims: Mapping[str, tuple[Term, ...]]


def plane_terms(laid: Laid, laying: Laying) -> PlaneTerms:
    """The terms of a plane that is set out."""
    plane, profile, widths = laid.ground.plane, laying.profile, laying.widths
    shared = (
        product_term(profile, "cover_mm", widths.cover_mm, "mm"),
        product_term(profile, "overall_mm", widths.overall_mm, "mm"),
        laying.settings.term("count_by_overall"),
        Term("start line", round(laid.out.start_u_mm, 3), "mm", ref=plane.id),
        Term("pitch", round(plane.pitch_deg, 3), "deg", ref=plane.id),
    )
    trims = {
        name: (Term("trim", trim.mm, "mm", ref=name), *[replace(term, ref=name) for term in trim.terms])
        for name, trim in laid.ground.trims.items()
    }
    return PlaneTerms(shared, trims)


def sheet_piece(
    mark: str, run: StripRun, part: Part, number: int, laid: Laid, laying: Laying, terms: PlaneTerms
) -> SheetPiece:
    """One sheet as laid; `number` 0 is the lowest of end-lapped parts, `terms` are those of its plane."""
    turn = _turn(part, number, laid, laying)
    ends = ends_of(part.sheet, turn, laying.settings, laying.square_deg)
    left, right = sides_mm(part.sheet)
    corners = corners_of(part.sheet, ends, sheet_left_mm(run.strip, laid.out, laying.widths))
    piece = SheetPiece(
        mark=mark,
        plane=laid.ground.plane.id,
        strip=run.strip,
        run=run.run,
        part=number,
        profile=laying.profile.id,
        start_side=laid.out.side,
        lap_side="left" if laid.out.side == "right" else "right",
        outline_uv=corners.outline_uv,
        cover_uv=rings_of(part.cover),
        reach_mm=ends.reach_mm,
        order_mm=ends.bought.mm,
        left_mm=left,
        right_mm=right,
        foot_v_mm=lowest(part.sheet),
        foot=corners.foot,
        top=corners.top,
        foot_turn_mm=turn,
        lap_mm=part.lap_mm,
        notched=ends.notched,
        corners_mm=corners.corners_mm,
        long_point_mm=corners.long_point_mm,
        working=Working(_rule(mark, run, part, ends, turn, laid), _terms(mark, part, ends, turn, laid, laying, terms)),
    )
    return replace(piece, beside=_beside(piece, part.sheet, laid.ground, laying.roof)) if piece.notched else piece


def _beside(piece: SheetPiece, slabs: Sequence[Slab], ground: Ground, roof: Roof) -> tuple[str, ...]:
    """The roof edges along which a sheet is notched: those inside its outline that its ends do not follow, across it
    and up it."""
    across = [name for slab in slabs for name in (slab.foot_edge, slab.top_edge) if name]
    us = [u for u, _ in piece.outline_uv]
    upright = []
    for on in edges_on(roof, ground.plane):
        (u, low), (_, high) = on.a, on.b
        if abs(on.b[0] - u) > _UPRIGHT_MM or not min(us) + _UPRIGHT_MM < u < max(us) - _UPRIGHT_MM:
            continue
        if min(max(low, high), _head(piece)) - max(min(low, high), piece.foot_v_mm) > _UPRIGHT_MM:
            upright.append(on.edge.id)
    ends = (*piece.foot.edges, *piece.top.edges)
    return tuple(name for name in dict.fromkeys((*across, *upright)) if name not in ends)


def _head(piece: SheetPiece) -> float:
    return max(v for _, v in piece.outline_uv)


def sheet_left_mm(strip: int, out: SetOut, widths: Widths) -> float:
    """Where the left edge of a strip's uncut sheet lies in its plane [mm of u]; strips count from the start side."""
    before = (strip - 1) * widths.cover_mm
    return out.start_u_mm + before if out.side == "left" else out.start_u_mm - before - widths.overall_mm


def _turn(part: Part, number: int, laid: Laid, laying: Laying) -> float:
    """What a sheet's foot is turned down [mm]."""
    if not laid.foot_turn_mm or number:
        return 0.0
    return laid.foot_turn_mm if _foot_on_eave(part, laying.roof) else 0.0


def _foot_on_eave(part: Part, roof: Roof) -> bool:
    below = {slab.foot_edge for slab in part.sheet}
    return any(edge.id in below and edge.kind in FOOT_KINDS for edge in roof.edges)


def _rule(mark: str, run: StripRun, part: Part, ends: Ends, turn: float, laid: Laid) -> str:
    added = " + raked allowance" if ends.raked else ""
    added += " + turn-down" if turn else ""
    rule = (
        f"{mark}: bought alone = (reach{added}) rounded up once to the step; reach is the longest length over "
        f"the sheet's overall width, between its edges moved by their trims; strip {run.strip} from the "
        f"{laid.out.side}, {laid.out.why}"
    )
    if part.lap_mm:
        rule += f"; lapped {part.lap_mm:.0f} mm under the part above"
    return rule


def _terms(
    mark: str, part: Part, ends: Ends, turn: float, laid: Laid, laying: Laying, of_plane: PlaneTerms
) -> tuple[Term, ...]:
    terms = [
        Term("reach", round(ends.reach_mm, 3), "mm", ref=mark),
        *ends.bought.terms,
        Term("bought alone", ends.bought.mm, "mm", ref=mark),
    ]
    if turn:
        terms.append(product_term(laying.profile, "foot_turn_mm", turn, "mm"))
    terms += of_plane.shared
    for name in dict.fromkeys((*ends.foot.edges, *ends.top.edges)):
        terms += of_plane.trims.get(name, ())
    if part.lap_mm and laid.laps is not None:
        terms += laid.laps.terms
    return tuple(terms)
