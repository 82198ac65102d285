"""Clear sheets in place of metal ones: a whole strip, or a part of it with metal above and below.

           +-------+
           | metal |  laps over the clear sheet's head
           +-------+
           | clear |  laps over the metal below
           +-------+
           | metal |
      -----+-------+----- eave
Laps lie over purlins: a clear sheet's ends are moved to the rows nearest to where they were asked for. Common practice,
no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from takeoff.basics.errors import Fault
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.sheets.clear_laps import with_clear_laps
from takeoff.measure.roofing.sheets.pitch_rules import pitch_findings
from takeoff.measure.roofing.sheets.sheet_pieces import Laying
from takeoff.measure.sheeting.cut_corners import with_corners
from takeoff.measure.sheeting.sheet_ends import ends_of, sides_mm
from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RooflightSheetJob
from takeoff.model.products import Profile
from takeoff.model.roof import Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetPiece
from takeoff.shape.strips.plane_lines import spans_at
from takeoff.shape.strips.slabs import Slab, between_heights, cut_slabs, lowest, rings_of

_LIKE_MM = TOLERANCES.row_mm


@record
class ClearSpan:
    """Where clear sheet is wanted on a plane: across at `u_mm`, from `low_mm` to `high_mm` up it; None: to the end."""

    words: str
    plane: str
    u_mm: float
    low_mm: float | None
    high_mm: float | None


def clear_profile(profile: Profile, settings: Settings) -> Profile:
    """The clear sheet of a profile: the same widths, its mass by the setting `rooflight_kg_per_m2`."""
    kg = profile.overall_mm / 1000.0 * settings.number("rooflight_kg_per_m2")
    basis = {**profile.basis, "kg_per_m": settings.basis("rooflight_kg_per_m2")}
    return replace(
        profile, id=f"{profile.id}_clear", name=f"clear sheet, {profile.name}", kg_per_m={0.0: kg}, basis=basis
    )


def clear_spans(
    roof: Roof, given: Sequence[RooflightSheetJob], cover_mm: float
) -> tuple[tuple[ClearSpan, ...], tuple[str, ...]]:
    """Where the job wants clear sheets on the planes of a roof, one span a strip, and faults in sentences."""
    found: list[ClearSpan] = []
    faults: list[str] = []
    for number, light in enumerate(given, start=1):
        words = f"roof {roof.name}: rooflight sheet {number}" + (f" ({light.name})" if light.name else "")
        side = _outline_side(roof, light.edge)
        if side is None:
            text = f"{words}: nothing is left of edge {light.edge} in the outline"
            faults.append(Fault(text, "roofs", roof.name, "rooflight_sheets", number - 1))
            continue
        length = ((side[1][0] - side[0][0]) ** 2 + (side[1][1] - side[0][1]) ** 2) ** 0.5
        for k in range(light.strips):
            along = light.from_left_mm + k * cover_mm
            place = _on_eave(roof, light.edge, side, along / length) if along <= length else None
            if place is None:
                text = f"{words}: {along:g} mm along edge {light.edge} ({length:.0f} mm long) there is no eave"
                faults.append(Fault(text, "roofs", roof.name, "rooflight_sheets", number - 1))
                break
            plane, (u, v) = place
            low = None if light.up_mm is None else v + light.up_mm
            start = v if low is None else low
            high = None if light.length_mm is None else start + light.length_mm
            found.append(ClearSpan(words, plane.id, u, low, high))
    return tuple(found), tuple(faults)


def _outline_side(roof: Roof, edge: int) -> tuple[Point2, Point2] | None:
    """The outline's side of that number, from its left end to its right end seen from outside; None for none."""
    numbers = iter(number for ring in roof.edge_numbers for number in ring)
    for k, ring in enumerate(roof.outline_mm):
        outwards = (signed_area(ring) > 0.0) == (k == 0)
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if next(numbers) == edge:
                return (a, b) if outwards else (b, a)
    return None


def _on_eave(
    roof: Roof, edge: int, side: tuple[Point2, Point2], part: float
) -> tuple[RoofPlane, tuple[float, float]] | None:
    """The plane that rises from an eave at a place along an outline edge, and the place in its axes."""
    (ax, ay), (bx, by) = side
    x, y = ax + part * (bx - ax), ay + part * (by - ay)
    for eave in roof.edges:
        if eave.kind is not EdgeKind.EAVE or edge not in eave.outline_edges:
            continue
        plane = next((plane for plane in roof.planes if plane.id in eave.faces), None)
        if plane is None:
            continue
        u, v = plane.frame.to_plane((x, y, eave.a_mm[2]))
        ends = sorted(plane.frame.to_plane(point)[0] for point in (eave.a_mm, eave.b_mm))
        if ends[0] - _LIKE_MM <= u <= ends[1] + _LIKE_MM:
            return plane, (u, v)
    return None


def with_clear(
    sheets: PlaneSheets, plane: RoofPlane, spans: Sequence[ClearSpan], rows_mm: Sequence[float], laying: Laying
) -> tuple[PlaneSheets, tuple[str, ...]]:
    """The sheets of a plane with clear ones where the spans ask for them, and faults in sentences."""
    faults: list[str] = []
    split = False
    for span in (span for span in spans if span.plane == plane.id):
        pieces, problem = _replaced(sheets, plane, span, rows_mm, laying)
        if problem:
            faults.append(Fault(f"{span.words}: {problem}", "roofs", plane.roof, "rooflight_sheets"))
            continue
        split = split or len(pieces) > len(sheets.pieces)
        sheets = replace(sheets, pieces=pieces)
    if any(piece.clear for piece in sheets.pieces):
        pieces, problem = with_clear_laps(sheets.pieces, laying)
        if problem:
            faults.append(Fault(f"roof {plane.roof}: clear sheets: {problem}", "roofs", plane.roof, "rooflight_sheets"))
        sheets = replace(sheets, pieces=pieces)
        sheets = replace(sheets, findings=(*sheets.findings, *_findings(sheets, plane, split, laying)))
    return sheets, tuple(faults)


def _replaced(
    sheets: PlaneSheets, plane: RoofPlane, span: ClearSpan, rows_mm: Sequence[float], laying: Laying
) -> tuple[tuple[SheetPiece, ...], str]:
    """All pieces of the plane with one span made clear, and what is wrong with the span, "" for nothing."""
    own = [p for p in sheets.pieces if _covers(p, span.u_mm)]
    if not own:
        return sheets.pieces, f"no sheet of {plane.id} lies there"
    if span.low_mm is None and span.high_mm is None:
        if any(piece.clear for piece in own):
            return sheets.pieces, f"{own[0].mark} is a clear sheet already"
        made: dict[str, tuple[SheetPiece, ...]] = {
            p.mark: (replace(p, profile=f"{p.profile}_clear", clear=True),) for p in own
        }
    else:
        piece = _piece_at(own, span)
        if piece is None:
            return sheets.pieces, f"strip {own[0].strip} of {plane.id} has no single sheet all the way there"
        if piece.clear:
            return sheets.pieces, f"{piece.mark} is a clear sheet already"
        parts, problem = _parts(piece, plane, span, rows_mm, laying)
        if problem:
            return sheets.pieces, problem
        made = {piece.mark: parts}
    return _marked(tuple(part for piece in sheets.pieces for part in made.get(piece.mark, (piece,)))), ""


def _covers(piece: SheetPiece, u_mm: float) -> bool:
    us = [u for ring in piece.cover_uv for u, _ in ring]
    return min(us) <= u_mm < max(us)


def _head(piece: SheetPiece) -> float:
    return max(v for _, v in piece.outline_uv)


def _piece_at(own: Sequence[SheetPiece], span: ClearSpan) -> SheetPiece | None:
    """The one sheet that the span lies in: from its foot or above, to its head or below."""
    for piece in sorted(own, key=lambda p: p.foot_v_mm):
        low = piece.foot_v_mm if span.low_mm is None else span.low_mm
        high = _head(piece) if span.high_mm is None else span.high_mm
        if piece.foot_v_mm - _LIKE_MM <= low < high <= _head(piece) + _LIKE_MM:
            return piece
    return None


def _parts(
    piece: SheetPiece, plane: RoofPlane, span: ClearSpan, rows_mm: Sequence[float], laying: Laying
) -> tuple[tuple[SheetPiece, ...], str]:
    """Metal below, clear, metal above, as far as there are such; or what is wrong."""
    lap, lap_terms = laying.settings.number("clear_lap_mm"), (laying.settings.term("clear_lap_mm"),)
    foot, head = piece.foot_v_mm, _head(piece)
    low, high = span.low_mm, span.high_mm
    # what would leave no more metal than a lap goes to the end of the sheet
    low = (
        None
        if low is None or low - foot < lap
        else _on_row(low, [row - lap / 2.0 for row in rows_mm], foot + lap, head)
    )
    high = (
        None
        if high is None or head - high < lap
        else _on_row(high, [row + lap / 2.0 for row in rows_mm], foot, head - lap)
    )
    slabs = _slabs((piece.outline_uv,))
    flat_foot = max(max(slab.foot0, slab.foot1) for slab in slabs)
    flat_head = min(min(slab.top0, slab.top1) for slab in slabs)
    if (low is not None and low < flat_foot) or (high is not None and high > flat_head):
        return (), (
            f"{piece.mark} is cut on the rake there: its sides are whole from {flat_foot - foot:.0f} to "
            f"{flat_head - foot:.0f} mm above its foot"
        )
    start, end = (foot if low is None else low), (head if high is None else high)
    if end - start <= 2.0 * lap:
        return (), f"a clear sheet of {end - start:.0f} mm on {piece.mark} is no longer than its laps"
    feet = [foot, *([low] if low is not None else []), *([high - lap] if high is not None else []), head]
    clear_at = 0 if low is None else 1
    turn = piece.foot_turn_mm
    parts = []
    for number, (a, b) in enumerate(pairwise(feet)):
        last = number == len(feet) - 2
        part_lap = piece.lap_mm if last else lap
        sheet = _between(slabs, -1e12 if not number else a, 1e12 if last else b + lap)
        cover = _between(_slabs(piece.cover_uv), -1e12 if not number else a, 1e12 if last else b)
        made = _part(piece, sheet, cover, turn if not number else 0.0, laying)
        part = replace(
            made,
            foot=piece.foot if not number else made.foot,
            top=piece.top if last else made.top,
            lap_mm=part_lap,
            clear=number == clear_at,
            profile=f"{piece.profile}_clear" if number == clear_at else piece.profile,
            working=Working(made.working.rule, (*made.working.terms, *lap_terms)),
        )
        parts.append(part)
    return tuple(parts), ""


def _on_row(wanted: float, places: Sequence[float], low: float, high: float) -> float:
    """The place over a row nearest to the one wanted, within limits; the one wanted where there is none."""
    return min((v for v in places if low <= v <= high), key=lambda v: abs(v - wanted), default=wanted)


def _slabs(rings: Sequence[Ring2]) -> tuple[Slab, ...]:
    return cut_slabs(rings, [[""] * len(ring) for ring in rings])


def _between(slabs: Sequence[Slab], low: float, high: float) -> tuple[Slab, ...]:
    return tuple(part for slab in slabs for part in between_heights(slab, low, high))


def _part(
    piece: SheetPiece, sheet: tuple[Slab, ...], cover: tuple[Slab, ...], turn_mm: float, laying: Laying
) -> SheetPiece:
    ends = ends_of(sheet, turn_mm, laying.settings, laying.square_deg)
    left, right = sides_mm(sheet)
    terms = (
        Term("reach", round(ends.reach_mm, 3), "mm", ref=piece.mark),
        *ends.bought.terms,
        Term("bought alone", ends.bought.mm, "mm", ref=piece.mark),
    )
    rule = "part of a strip with a clear sheet in it: bought alone = reach with its laps, rounded up once to the step"
    left_u_mm = piece.outline_uv[0][0] - piece.corners_mm[0][0]
    part = replace(
        piece,
        cover_uv=rings_of(cover),
        reach_mm=ends.reach_mm,
        order_mm=ends.bought.mm,
        left_mm=left,
        right_mm=right,
        foot_v_mm=lowest(sheet),
        foot_turn_mm=turn_mm,
        working=Working(rule, terms),
    )
    return with_corners(part, sheet, ends, left_u_mm)


def _marked(pieces: tuple[SheetPiece, ...]) -> tuple[SheetPiece, ...]:
    """Parts of a run lettered from its foot where there are several."""
    counts: dict[tuple[int, int], int] = {}
    for piece in pieces:
        counts[piece.strip, piece.run] = counts.get((piece.strip, piece.run), 0) + 1
    seen: dict[tuple[int, int], int] = {}
    found = []
    for piece in pieces:
        key = (piece.strip, piece.run)
        part = seen[key] = seen.get(key, -1) + 1
        bare = re.sub(r"[a-z]$", "", piece.mark)
        mark = f"{bare}{chr(ord('a') + part)}" if counts[key] > 1 else bare
        found.append(replace(piece, mark=mark, part=part))
    return tuple(found)


def _findings(sheets: PlaneSheets, plane: RoofPlane, split: bool, laying: Laying) -> list[Finding]:
    marks = tuple(piece.mark for piece in sheets.pieces if piece.clear)
    found = [
        Finding(
            "clear-sheet",
            Severity.WARN,
            f"{len(marks)} clear sheets on {plane.id}: translucent sheet is not to be walked on.",
            "Mesh under them, and a plan for whoever works above.",
            (plane.id, *marks),
            source=Basis(Status.SEEN, "metal roofing code of practice", "13.6").words(),
        )
    ]
    if split:
        run = max(_head(piece) - piece.foot_v_mm for piece in sheets.pieces)
        known = {finding.text for finding in sheets.findings}
        lapped = pitch_findings(plane, laying.profile, run, True, laying.site, laying.settings)
        found += [finding for finding in lapped if finding.text not in known]
    return found


def metal_and_clear(sheets: PlaneSheets) -> tuple[PlaneSheets, PlaneSheets | None]:
    """The plane's sheets as two orders at the mill: metal ones, and clear ones where there are any."""
    clear = tuple(piece for piece in sheets.pieces if piece.clear)
    if not clear:
        return sheets, None
    net = sum(abs(signed_area(ring)) for piece in clear for ring in piece.cover_uv)
    metal = tuple(piece for piece in sheets.pieces if not piece.clear)
    return (
        replace(sheets, pieces=metal, net_mm2=sheets.net_mm2 - net),
        replace(sheets, profile=f"{sheets.profile}_clear", pieces=clear, net_mm2=net),
    )


def hole_in_clear(sheets: PlaneSheets, ring_uv: Ring2) -> str:
    """Mark of a clear sheet that a hole lies in, "" for none: its corners against the covers."""
    for piece in sheets.pieces:
        if piece.clear and any(a <= u < b for u, v in ring_uv for a, b in spans_at(piece.cover_uv, v)):
            return piece.mark
    return ""
