"""Front door of the skeleton engine."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.vectors import Point2
from takeoff.shape.skeleton.bases import lift_bases
from takeoff.shape.skeleton.compiled import wanted
from takeoff.shape.skeleton.crossings import refuse_crossings
from takeoff.shape.skeleton.ladder import climb
from takeoff.shape.skeleton.prepare import prepare
from takeoff.shape.skeleton.record import EdgeProfile, Skeleton, SkeletonFace


def solve(rings: Sequence[Sequence[Point2]], profiles: Sequence[EdgeProfile], compiled: bool | None = None) -> Skeleton:
    """The roof over an outline (outer ring, then holes), one rise profile an edge, edges numbered on through the holes.

    Edge i runs from corner i of its ring to the next. Lengths and heights in one unit, the caller's. `compiled` asks
    for the path that needs the extra `fast`, or against it; unasked it is taken where it is the faster one. Raises
    ShapeError, naming the 1-based edges and what to change, for an outline or profiles that no roof can stand on.
    """
    plan = prepare(rings, profiles)
    refuse_crossings(plan)
    solution = climb(plan, wanted(len(plan.edges)) if compiled is None else compiled)
    lift_bases(plan, solution)
    ox, oy = plan.origin
    scale, z0 = plan.scale, plan.z0
    points = [(ox + x * scale, oy + y * scale, z0 + t * scale) for x, y, t in solution.nodes]
    lines = solution.lines
    faces = []
    for part in solution.faces:
        f = part.face
        upright = lines.s[f] == 0.0 and not lines.flat[f]
        faces.append(
            SkeletonFace(
                edge=plan.edges[lines.edge[f]].number,
                step=lines.step[f],
                rings=tuple(tuple(points[i] for i in ring) for ring in (part.outer, *part.holes)),
                plan_area=0.0 if upright else part.area * scale * scale,
                upright=upright,
            )
        )
    return Skeleton(tuple(faces), tuple(plan.notes))
