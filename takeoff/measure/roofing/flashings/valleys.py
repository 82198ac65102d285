"""Checks of valley trays: slope, width, depth, joints, and how much roof drains into one.

Sources: E2/AS1 as restated in a building research magazine (widths, catchment), the metal roofing code of practice
(slope, joints). Where a downpipe stands is the drainage's check, not this one's.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.flashings.junctions import bare_feet
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import FlashingRun
from takeoff.model.roof import Roof, RoofEdge
from takeoff.model.settings import Settings
from takeoff.shape.water.fall_lines import FallLines
from takeoff.shape.water.falling import roof_under

_LEAST_DROP_MM = TOLERANCES.same_roof_mm


def valley_catchment_m2(roof: Roof) -> dict[str, float]:
    """Plan area that drains through each valley, by edge id [m2]: what falls beside it and what valleys above bring."""
    caught = frozenset(edge.id for edge in roof.edges if edge.kind in (EdgeKind.EAVE, EdgeKind.INTERNAL_GUTTER))
    found = {edge.id: 0.0 for edge in roof.edges if edge.kind is EdgeKind.VALLEY}
    for landing in FallLines(roof, caught).landings():
        if landing.curtain.via in found:
            found[landing.curtain.via] += landing.curtain.area_mm2 / 1e6
    return found


def tray_width_mm(run: FlashingRun) -> float:
    """Width of a valley tray between its returns, along its two wings [mm]."""
    return float(sum(mm for name, mm in run.section.legs if name == "wing")) if run.section else 0.0


def valley_findings(roof: Roof, runs: Sequence[FlashingRun], settings: Settings) -> tuple[Finding, ...]:
    """What is worth a word on each valley of a roof."""
    edges = {edge.id: edge for edge in roof.edges if edge.kind is EdgeKind.VALLEY}
    trays = [run for run in runs if run.edge in edges]
    if not trays:
        return ()
    catchment = valley_catchment_m2(roof)
    found: list[Finding] = []
    for run in trays:
        edge = edges[run.edge]
        pitch = min(plane.pitch_deg for plane in roof.planes if plane.id in edge.faces)
        found += _tray(run, edge, settings)
        found += _flat(run, edge, pitch, settings)
        found += _large(edge, catchment[edge.id], settings)
    return tuple(found)


def foot_findings(roof: Roof, bare: Collection[int], roofs: Sequence[Roof]) -> tuple[Finding, ...]:
    """What every valley runs on to whose foot has no gutter: the highest of `roofs` under it, else the ground."""
    found = []
    for valley in bare_feet(roof, bare):
        low = min(valley.a_mm, valley.b_mm, key=lambda point: point[2])
        x, y, z = low[0] + roof.origin_mm[0], low[1] + roof.origin_mm[1], low[2]
        under = roof_under((x, y, z - _LEAST_DROP_MM), [other for other in roofs if other.name != roof.name])
        on = f"roof {under.roof.name}, {under.plane.id}" if under is not None else "the ground"
        found.append(
            Finding(
                "valley-foot-at-bare-eave",
                Severity.NOTE,
                f"Valley {valley.id}: no gutter hangs at its foot; its water runs past the eave on to {on}.",
                "See that it does no harm there, or hang gutters on all eaves, under the roof: `no_spouting_on: []`.",
                (valley.id,),
                low,
            )
        )
    return tuple(found)


def _finding(
    code: str, severity: Severity, edge: RoofEdge, text: str, advice: str, settings: Settings, basis: str
) -> Finding:
    source = settings.basis(basis).words()
    return Finding(code, severity, f"Valley {edge.id}: {text}.", advice, (edge.id,), edge.a_mm, source)


def _tray(run: FlashingRun, edge: RoofEdge, settings: Settings) -> list[Finding]:
    found = []
    least_slope, least_width = settings.number("valley_least_slope_deg"), settings.number("valley_least_width_mm")
    if edge.slope_deg < least_slope:
        found.append(
            _finding(
                "valley-slope-below-least",
                Severity.WARN,
                edge,
                f"slopes {edge.slope_deg:.1f} degrees; the least is {least_slope:g}",
                "Raise the pitch, or have the valley designed.",
                settings,
                "valley_least_slope_deg",
            )
        )
    width = tray_width_mm(run)
    if width < least_width - TOLERANCES.same_length_mm:
        found.append(
            _finding(
                "valley-too-narrow",
                Severity.WARN,
                edge,
                f"the tray is {width:.0f} mm wide between its returns; the least is {least_width:.0f}",
                "Widen the gap between the sheets or their cover over the tray.",
                settings,
                "valley_least_width_mm",
            )
        )
    return found


def _flat(run: FlashingRun, edge: RoofEdge, pitch_deg: float, settings: Settings) -> list[Finding]:
    limit = settings.number("valley_depth_up_to_deg")
    if pitch_deg > limit + 1e-6:
        return []
    depth = settings.number("valley_depth_mm")
    text = f"at a pitch of {pitch_deg:.1f} degrees make the tray at least {depth:.0f} mm deep"
    if pitch_deg < limit - 1e-6:
        text += " and in one piece, or seal its joints"
    return [
        _finding(
            "valley-flat",
            Severity.NOTE,
            edge,
            text,
            "Fix it at the upper end only.",
            settings,
            "valley_depth_up_to_deg",
        )
    ]


def _large(edge: RoofEdge, catchment_m2: float, settings: Settings) -> list[Finding]:
    limit = settings.number("valley_needs_downpipe_m2")
    if catchment_m2 <= limit + 1e-9:
        return []
    return [
        _finding(
            "valley-large-catchment",
            Severity.NOTE,
            edge,
            f"{catchment_m2:.1f} m2 of roof drain into it, more than {limit:g}",
            "A downpipe stands within 2 m of its foot.",
            settings,
            "valley_needs_downpipe_m2",
        )
    ]
