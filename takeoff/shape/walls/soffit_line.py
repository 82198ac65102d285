"""The soffit line: where cladding ends under an eave, whatever the frame behind it does.

A level soffit runs from the wall to the lower edge of the fascia, so boards above that line would be hidden. A raked
soffit follows the sheets up to the wall.
"""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.shape.walls.wall_edges import WallEdge
from takeoff.shape.walls.wall_tops import Top

LEAST_MM = TOLERANCES.least_soffit_mm


def soffit_line(roof: Roof, edge: WallEdge, over: Top, given_mm: float | None, settings: Settings) -> float | None:
    """Height of the soffit over the finished floor where it meets a wall [mm]; None where no soffit lies over it.

    `over`: the roof over the wall (`roof_over_wall`); `given_mm`: a level soffit's height that the job gives. Settings:
    soffit (level or raked), soffit_drop_mm (level: below the sheets at the outline, the fascia's lower edge),
    roof_depth_mm (raked: below the sheets over the wall), fascia_board_thickness_mm.
    """
    kind = settings.word("soffit")
    if edge.rises or edge.overhang_mm - settings.number("fascia_board_thickness_mm") < LEAST_MM:
        return None
    if kind == "raked":
        return min(y for _, y in over) - settings.number("roof_depth_mm") if over else None
    if given_mm is not None:
        return given_mm
    heights = [
        min(run.a_mm[2], run.b_mm[2])
        for run in roof.edges
        if run.kind is EdgeKind.EAVE and edge.outline_edge in run.outline_edges
    ]
    return min(heights) - settings.number("soffit_drop_mm") if heights else None


def soffit_notes(
    stops: Iterable[tuple[int, float, float]], given_mm: float | None, settings: Settings
) -> tuple[Finding, ...]:
    """Tells of the walls, as (wall, frame height, soffit line) [mm], whose cladding ends under the frame height.

    Walls of the same two heights share a note.
    """
    walls: dict[tuple[float, float], list[int]] = {}
    for wall, frame, line in stops:
        if line < frame - TOLERANCES.same_length_mm:
            walls.setdefault((frame, line), []).append(wall)
    how = f"the fascia height less {settings.number('soffit_drop_mm'):.0f} mm"
    if given_mm is not None:
        how = "as the job gives it"
    if settings.word("soffit") == "raked":
        how = f"the sheets over the wall less {settings.number('roof_depth_mm'):.0f} mm"
    return tuple(
        Finding(
            code="cladding-to-soffit-line",
            severity=Severity.NOTE,
            text=f"{'Wall' if len(numbers) == 1 else 'Walls'} {', '.join(map(str, numbers))}: the soffit line is at "
            f"{line:.0f} mm over the floor ({how}), the frame at {frame:.0f} mm: boards end at the soffit line, "
            f"{frame - line:.0f} mm lower.",
            advice=_elsewhere(frame, settings),
            refs=tuple(f"wall {number}" for number in numbers),
        )
        for (frame, line), numbers in walls.items()
    )


def _elsewhere(frame_mm: float, settings: Settings) -> str:
    """What to write where a soffit is not at the line that was taken: a level one's height as far up as the frame."""
    if settings.word("soffit") == "raked":
        return "If the soffit is elsewhere, give its drop below the sheets over the wall."
    return (
        f"If the soffit is elsewhere, give its height over the floor, `rainwater: {{soffit_mm: {frame_mm:g}}}`, or its "
        "drop below the fascia height."
    )


def bare_under_soffit(lines: Iterable[tuple[int, float]], frame_mm: float, settings: Settings) -> tuple[Finding, ...]:
    """Tells of the walls, as (wall, soffit line) [mm], whose frame ends so far under their level soffit that the mould
    there does not close the strip over the cladding (setting course_top_gap_mm). Walls of one line share a note."""
    if settings.word("soffit") == "raked":
        return ()
    walls: dict[float, list[int]] = {}
    for wall, line in lines:
        if line > frame_mm + settings.number("course_top_gap_mm"):
            walls.setdefault(line, []).append(wall)
    return tuple(
        Finding(
            code="bare-under-soffit",
            severity=Severity.NOTE,
            text=f"{'Wall' if len(numbers) == 1 else 'Walls'} {', '.join(map(str, numbers))}: the frame ends at "
            f"{frame_mm:.0f} mm over the floor, the soffit line is at {line:.0f} mm: boards end with the frame, "
            f"nothing clads the {line - frame_mm:.0f} mm above it.",
            advice="If boards go up to the soffit, give the height of the walls up to that line.",
            refs=tuple(f"wall {number}" for number in numbers),
        )
        for line, numbers in walls.items()
    )


def soffit_below_head(wall: int, opening: str, head_mm: float, line_mm: float) -> Finding:
    """Tells of a wall that keeps its frame height because an opening reaches over its soffit line [mm]."""
    return Finding(
        code="head-over-soffit-line",
        severity=Severity.WARN,
        text=f"Wall {wall}: the head of {opening} at {head_mm:.0f} mm is over the soffit line at {line_mm:.0f} mm: "
        f"boards are counted to the frame height.",
        advice="Lower the opening, or give the true height of the soffit over the floor.",
        refs=(f"wall {wall}",),
    )
