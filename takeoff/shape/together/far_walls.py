"""Edges of a lower roof that are said to stop at a wall where the higher roof has none near."""

from __future__ import annotations

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof
from takeoff.shape.together.overlay import moved, plan_polygon

_NEAR_MM = TOLERANCES.far_wall_mm


def far_wall_edges(lower: Roof, higher: Roof) -> list[Finding]:
    """A warning for every wall edge of the lower roof that no wall of the higher roof is within 1 m of.

    The walls are the higher roof's wall line, or its outline where it has none.
    """
    from shapely.geometry import LineString

    higher = moved(higher, lower.origin_mm)
    house = plan_polygon(higher.wall_line_mm or higher.outline_mm)
    findings: list[Finding] = []
    first = 1
    for which, ring in enumerate(lower.outline_mm):
        numbers = lower.edge_numbers[which] if lower.edge_numbers else range(first, first + len(ring))
        first += len(ring)
        for i, number in enumerate(numbers):
            if number > len(lower.edge_names) or lower.edge_names[number - 1] != "wall":
                continue
            edge = LineString([ring[i], ring[(i + 1) % len(ring)]])
            if edge.distance(house) <= _NEAR_MM:
                continue
            middle = edge.interpolate(0.5, normalized=True)
            findings.append(
                Finding(
                    "wall-edge-without-wall",
                    Severity.WARN,
                    f"edge {number} of {lower.name} is a wall edge, but no wall of {higher.name} is within 1 m of it",
                    "move the roof to the wall, say another kind for the edge, or leave out below",
                    refs=(lower.name, higher.name),
                    at_mm=(middle.x, middle.y, 0.0),
                )
            )
    return findings
