"""Whether sizes taped on the frame can be true: against each other, against the drawing, and plane against plane."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import sqrt

from takeoff.basics.polygons import foot_and_head
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, distance2
from takeoff.measure.roofing.sheets.site_suspect import suspect_words, suspects
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof, RoofEdge, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.supplied import SITE_ITEMS, SiteMeasure

# item -> its two corners: foot left 0, foot right 1, head left 2, head right 3
LENGTHS: Mapping[str, tuple[int, int]] = {
    "rafter left": (0, 2),
    "rafter right": (1, 3),
    "eave": (0, 1),
    "ridge": (2, 3),
    "diagonal 1": (0, 3),
    "diagonal 2": (1, 2),
}
_SIDES = SITE_ITEMS[:4]


def drawn_lengths(plane: RoofPlane) -> Mapping[str, float]:
    """What the six sizes of a plane measure as drawn [mm]."""
    corners = foot_and_head(plane.rings_uv[0])
    return {item: distance2(corners[i], corners[j]) for item, (i, j) in LENGTHS.items()}


def needed(plane: RoofPlane) -> tuple[str, ...]:
    """The sizes without which a plane is not measured: its sides, but for one that is a point."""
    drawn = drawn_lengths(plane)
    return tuple(item for item in _SIDES if drawn[item] > TOLERANCES.tape_point_mm)


def plane_findings(plane: RoofPlane, taped: Mapping[str, float], settings: Settings) -> list[Finding]:
    """What is wrong with the sizes of one plane: off the drawing, rafters out of parallel, sides that do not close."""
    drawn = drawn_lengths(plane)
    tolerance = settings.number("measure_tolerance_mm")
    far = settings.number("measure_off_drawing_mm")
    found: list[Finding] = []
    for item, mm in taped.items():
        off = mm - drawn[item]
        if abs(off) > far:
            words = f"{off:+.0f} mm against the drawing's {drawn[item]:.0f}, more than {far:.0f} mm"
            found.append(_stop("measure-off-drawing", plane.id, f"{item} taped {mm:.0f} mm is {words}."))
        elif abs(off) > tolerance:
            text = f"{plane.id}: {item} taped {mm:.0f} mm is {off:+.0f} mm against the drawing's {drawn[item]:.0f}."
            advice = "Tape it again; if it is so, flashings and purlins ordered as drawn may not fit."
            found.append(Finding("measure-from-drawing", Severity.WARN, text, advice, (plane.id,)))
    if "rafter left" in taped and "rafter right" in taped:
        twist = (taped["rafter left"] - drawn["rafter left"]) - (taped["rafter right"] - drawn["rafter right"])
        if abs(twist) > tolerance:
            text = f"left and right rafter differ by {abs(twist):.0f} mm more than drawn, more than {tolerance:.0f} mm."
            found.append(_stop("rafters-out-of-parallel", plane.id, text))
    ridge = closing_ridge(taped)
    if ridge is not None and drawn["ridge"] > TOLERANCES.tape_point_mm and drawn["eave"] > TOLERANCES.tape_point_mm:
        gap = taped["ridge"] - ridge
        if not abs(gap) <= tolerance:
            text = (
                f"rafters, eave and diagonals make a ridge of {ridge:.0f} mm, taped {taped['ridge']:.0f}: "
                f"{gap:+.0f} mm, more than {tolerance:.0f} mm."
            )
            found.append(_stop("diagonals-do-not-close", plane.id, text))
    if any(finding.severity is Severity.STOP for finding in found):
        named = suspect_words(suspects(taped, drawn, closing_ridge, settings))
        found = [replace(f, text=f.text + named) if f.severity is Severity.STOP else f for f in found]
    return found


def _stop(code: str, plane: str, text: str) -> Finding:
    advice = "Tape again. If it is so, see to the frame, or set the tolerance in the job's settings."
    return Finding(code, Severity.STOP, f"{plane}: {text}", advice, (plane,))


def closing_ridge(taped: Mapping[str, float]) -> float | None:
    """The ridge that follows from the other five sizes; None unless all six are taped, not a number where the others
    make no plane at all.

    Both heads are where the arcs of a rafter and a diagonal meet over the eave.
    """
    if any(item not in taped for item in LENGTHS):
        return None
    eave = taped["eave"]
    left = _over(eave, taped["rafter left"], taped["diagonal 2"])
    right = _over(eave, taped["diagonal 1"], taped["rafter right"])
    return float("nan") if left is None or right is None else distance2(left, right)


def _over(base: float, from_left: float, from_right: float) -> Point2 | None:
    """The point over a base from (0, 0) to (base, 0) at those distances from its ends, None where there is none."""
    x = (from_left**2 - from_right**2 + base**2) / (2.0 * base)
    square = from_left**2 - x**2
    return (x, sqrt(square)) if square > 0.0 else None


def shared_findings(roofs: Sequence[Roof], measures: Sequence[SiteMeasure], settings: Settings) -> list[Finding]:
    """Edges that two planes share, taped from both, must agree."""
    tolerance = settings.number("measure_tolerance_mm")
    found: list[Finding] = []
    for roof in roofs:
        by_edge: dict[str, list[SiteMeasure]] = {}
        for measure in measures:
            edge = _edge_of(roof, measure)
            if edge is not None:
                by_edge.setdefault(edge.id, []).append(measure)
        for name, taped in by_edge.items():
            low, high = min(taped, key=lambda m: m.mm), max(taped, key=lambda m: m.mm)
            if high.mm - low.mm > tolerance:
                text = (
                    f"{name}: taped {low.mm:.0f} mm as {low.item} of {low.plane} but {high.mm:.0f} mm as {high.item} "
                    f"of {high.plane}, more than {tolerance:.0f} mm apart."
                )
                advice = "It is one edge: tape it again."
                found.append(Finding("edge-taped-twice", Severity.STOP, text, advice, (name, low.plane, high.plane)))
    return found


def _edge_of(roof: Roof, measure: SiteMeasure) -> RoofEdge | None:
    """The roof edge that a taped side runs along from end to end, None where it is no edge or only part of one."""
    plane = next((plane for plane in roof.planes if plane.id == measure.plane), None)
    if plane is None or measure.item not in _SIDES:
        return None
    corners = foot_and_head(plane.rings_uv[0])
    ends = [corners[i] for i in LENGTHS[measure.item]]
    for edge in roof.edges_of(plane.id):
        a, b = plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)
        for p, q in ((a, b), (b, a)):
            if distance2(p, ends[0]) <= TOLERANCES.tape_on_mm and distance2(q, ends[1]) <= TOLERANCES.tape_on_mm:
                return edge
    return None
