"""What is said of walls above a roof: what they add where gutters and pipes are sized, or that they are left out."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.drainage import GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof, RoofEdge
from takeoff.shape.water.wall_water import tops_under

_LEAST_MM2 = TOLERANCES.wall_above_mm2
_LEAST_MM = TOLERANCES.wall_above_mm


def wall_findings(gutters: Sequence[GutterRun], roofs: Sequence[Roof], chosen: Chosen) -> tuple[Finding, ...]:
    """One note on the walls that count, or on those that do not, and one on walls of unknown height."""
    aprons = [(roof, edge) for roof in roofs for edge in roof.edges if _is_apron(edge)]
    if not aprons:
        return ()
    share, source = chosen.settings.number("walls_above_share"), chosen.settings.basis("walls_above_share").words()
    refs = tuple(edge.id for _, edge in aprons)
    if share <= 0.0:
        text = "Walls above roofs are left out where gutters and downpipes are sized."
        advice = "To take half of them, as the code does, leave out the setting of their share."
        return (Finding("walls-above-left-out", Severity.NOTE, text, advice, refs, source=source),)
    adding = [run for run in gutters if run.wall_mm2 > _LEAST_MM2]
    found: list[Finding] = []
    if adding:
        sums = ", ".join(f"{run.id} {run.wall_mm2 / 1e6:.2f} m2" for run in adding)
        height = chosen.settings.number("walls_above_to_mm") / 1000.0
        text = (
            f"Walls above roofs, {share:g} of their area to {height:g} m, join the catchment that gutters and downpipes"
            f" are sized by: {sums}. They fill no tank."
        )
        advice = "To leave them out, add to the job: `settings: {walls_above_share: 0}`."
        found.append(
            Finding("walls-above", Severity.NOTE, text, advice, tuple(run.id for run in adding), source=source)
        )
    unknown = tuple(edge.id for roof, edge in aprons if not (_stands_over(roof, edge) or tops_under(roof, edge, roofs)))
    if unknown and chosen.settings.number("wall_above_if_not_shaped_mm") <= 0.0:
        found.append(_unknown(unknown))
    return tuple(found)


def _is_apron(edge: RoofEdge) -> bool:
    return edge.kind in (EdgeKind.APRON_HEAD, EdgeKind.APRON_SIDE)


def _stands_over(roof: Roof, edge: RoofEdge) -> bool:
    """Whether some upright face at the edge stands higher than it."""
    top = max(edge.a_mm[2], edge.b_mm[2])
    faces = [face for face in roof.uprights if face.id in edge.faces]
    return any(face.frame.to_space(point)[2] > top + _LEAST_MM for face in faces for point in face.rings_uv[0])


def _unknown(edges: tuple[str, ...]) -> Finding:
    return Finding(
        "wall-above-unknown",
        Severity.NOTE,
        f"How high the wall above {', '.join(edges)} stands is not in the job: what runs off it is not counted.",
        "Add to the job, with the height of your wall: `settings: {wall_above_if_not_shaped_mm: 2400}`.",
        edges,
    )
