"""Timber round holes: purlin rows cut where they cross a hole, trimmers along its sides.

Holes over 300 x 300 mm have framing of their own (code of practice 9.2). Common practice for the rest: a level timber
above and below the hole from rafter to rafter, and one up each side between them; cut purlins are fixed to those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.purlins.purlin_rows import Row
from takeoff.measure.roofing.purlins.trimmers import Trimmer
from takeoff.model.findings import Finding, Severity
from takeoff.model.openings import Hole
from takeoff.model.roof import RoofPlane
from takeoff.shape.strips.plane_lines import long_spans, subtract, supports_under


def crosses(row: Row, hole: Hole, width_mm: float) -> bool:
    """Whether a row's timber of that width would lie in a hole."""
    (u0, v0), (u1, v1) = hole.low_uv, hole.high_uv
    half = width_mm / 2.0
    return v0 - half < row.v_mm < v1 + half and row.span[0] < u1 and row.span[1] > u0


def cut_rows(
    rows: Sequence[Row], holes: Sequence[Hole], trimmers: Sequence[Trimmer], width_mm: float, least_mm: float
) -> tuple[Row, ...]:
    """Rows stopped at the side trimmers of the trimmed holes they cross; stubs under `least_mm` are left out.

    A hole that fits between two rows cuts none. Where a row would lie on a level trimmer, the trimmer takes its place
    from rafter to rafter.
    """
    if not holes and not trimmers:
        return tuple(rows)
    found: list[Row] = []
    for row in rows:
        gaps = [
            (hole.low_uv[0] - width_mm, hole.high_uv[0] + width_mm)
            for hole in holes
            if hole.trimmed and crosses(row, hole, width_mm)
        ]
        gaps += [
            (a[0], b[0])
            for (a, b) in (trimmer.line for trimmer in trimmers)
            if a[1] == b[1] and abs(row.v_mm - a[1]) < width_mm
        ]
        parts = subtract(row.span, gaps) if gaps else (row.span,)
        found += [replace(row, span=part) for part in parts if not gaps or part[1] - part[0] >= least_mm]
    return tuple(found)


def penetration_trimmers(
    plane: RoofPlane, holes: Sequence[Hole], width_mm: float, supports_mm: float, setting_out: str
) -> list[Trimmer]:
    """Four trimmers round each trimmed hole, their inner sides on its sides.

    Those below and above (1 and 2) reach to the rafters on either side of it, or to the end of the plane where there is
    none; those at its left and right (3 and 4) stand between them.
    """
    found = []
    half = width_mm / 2.0
    for hole in holes:
        if not hole.trimmed:
            continue
        (u0, v0), (u1, v1) = hole.low_uv, hole.high_uv
        for number, v in ((1, v0 - half), (2, v1 + half)):
            a, b = _to_rafters(plane, v, (u0 - width_mm, u1 + width_mm), width_mm, supports_mm, setting_out)
            found.append(Trimmer("hole trimmer", hole.id, number, ((a, v), (b, v))))
        for number, u in ((3, u0 - half), (4, u1 + half)):
            found.append(Trimmer("hole trimmer", hole.id, number, ((u, v0), (u, v1))))
    return found


def _to_rafters(
    plane: RoofPlane, v: float, least: tuple[float, float], width_mm: float, supports_mm: float, setting_out: str
) -> tuple[float, float]:
    """A level span at v that covers `least` and ends on rafters, or where the plane ends."""
    spans = [span for span in long_spans(plane.rings_uv, v, width_mm) if span[0] < least[1] and span[1] > least[0]]
    if not spans:
        return least
    low, high = spans[0]
    at = [low + x for x in supports_under(plane, (low, v), (high, v), supports_mm, setting_out)]
    left = [u for u in at if u <= least[0] + TOLERANCES.same_point_mm]
    right = [u for u in at if u >= least[1] - TOLERANCES.same_point_mm]
    return (left[-1] if left else low, right[0] if right else high)


def row_findings(plane: RoofPlane, rows: Sequence[Row], holes: Sequence[Hole], width_mm: float) -> list[Finding]:
    """A note for each small hole, without trimmers, that a purlin row would pass through."""
    found = []
    for hole in holes:
        hit = next((row for row in rows if not hole.trimmed and crosses(row, hole, width_mm)), None)
        if hit is not None:
            found.append(
                Finding(
                    "hole-on-purlin",
                    Severity.WARN,
                    f"{hole.name} comes up through the purlin row {hit.v_mm:.0f} mm up {plane.id}.",
                    "Move it between two rows, or move the row there.",
                    (plane.id, hole.id),
                    hole.at_mm,
                )
            )
    return found
