"""The foot of the cladding over a lower roof that stops against the wall (E2/AS1: 35 mm over an adjacent roof)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.edge_kinds import WALL_KINDS
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof, RoofEdge
from takeoff.model.settings import Settings


def roof_clearance(roofs: Sequence[Roof], clad: Sequence[str], settings: Settings) -> tuple[Finding, ...]:
    """A note for each roof whose aprons lie on clad walls of another: what is kept clear there. clad: the roofs whose
    wall lines are clad."""
    found = []
    for roof in roofs:
        aprons = [
            edge
            for edge in roof.own_edges
            if edge.kind in WALL_KINDS
            and any(_on_walls(edge, roof, walled) for walled in roofs if walled.name in clad and walled is not roof)
        ]
        if aprons:
            found.append(_note(roof.name, aprons, settings))
    return tuple(found)


def _on_walls(edge: RoofEdge, roof: Roof, walled: Roof) -> bool:
    dx, dy = (roof.origin_mm[k] - walled.origin_mm[k] for k in (0, 1))
    ends = [(x + dx, y + dy) for x, y, _ in (edge.a_mm, edge.b_mm)]
    return any(all(_off_mm(end, a, b) <= TOLERANCES.same_plane_mm for end in ends) for a, b in _sides(walled))


def _sides(roof: Roof) -> Iterator[tuple[Point2, Point2]]:
    for ring in roof.wall_line_mm:
        yield from zip(ring, (*ring[1:], ring[0]), strict=True)


def _off_mm(at: Point2, a: Point2, b: Point2) -> float:
    """Distance of a point from a side."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = min(max(((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / (dx * dx + dy * dy), 0.0), 1.0)
    return hypot(at[0] - a[0] - t * dx, at[1] - a[1] - t * dy)


def _note(name: str, aprons: Sequence[RoofEdge], settings: Settings) -> Finding:
    limit = settings.term("clearance_roof_mm")
    length = sum(edge.length_mm for edge in aprons) / 1e3
    return Finding(
        "cladding-over-roof",
        Severity.NOTE,
        f"Roof {name} stops against clad walls along {length:.2f} m of apron"
        f" ({', '.join(edge.id for edge in aprons)}): the cladding over it is counted from {float(limit.value):.0f} mm"
        " clear of its apron, which is in the roof's own flashings.",
        "Keep the clearance on site.",
        tuple(edge.id for edge in aprons),
        source=settings.basis("clearance_roof_mm").words(),
    )
