"""The roof over an outline: front door of the skeleton engine, and how it works.

    o---------------------------o     o  corner of the outline, r  a reflex one
    | .                       . |     -  the outline: fascias seen from above
    |   o===================o   |     .  path of a corner: a hip, or from r a valley
    |   |                   |   |     =  the front at height t, on its way inwards
    |   |         r=========o   |
    |   |         | .         . |     n.p = c + s t   front of a face at height t: n is its unit normal
    |   |         |   r---------o                     inwards, s = cot(pitch), 0 for a vertical face
    |   |         |   |               n1.v = s1       a corner moves at v, so that it stays on both
    |   o=========o   |               n2.v = s2       its fronts
    | .             . |
    o-----------------o

The eaves move inwards as a front while the height rises, each at the speed of its own pitch (Aichholzer and
Aurenhammer, Straight skeletons for general polygonal figures in the plane, 1996: the front, and that it sweeps a roof).
Every corner of the front draws a hip, a valley or a verge. The front is kept as circular lists of corners (Felkel and
Obdrzalek, Straight skeleton implementation, 1998) and changes only at events:

- a piece of front shrinks to nothing, or a reflex corner runs into a piece of front (`front` says when);
- an edge reaches its fascia or the next step of its profile, or a flat top closes the part (`breaks`). Speeds and
  starting heights of each edge's own are the multiplicative and additive weights of Held and Palfrader (Straight
  skeletons with additive and multiplicative weights and their application to the algorithmic generation of roofs and
  terrains, 2017).

An event is not sorted into kinds. All that meets at its point is dissolved at once (`events`): the pieces of front that
still lead away from the point or come in are put in order round it, and each outgoing piece is joined to the next
incoming one counter-clockwise, with a new corner between. Of such corners two sorts have no motion of their own. Where
the two pieces lie on each other a strip has closed: the corner runs along it to the nearer far end, drawing a ridge,
and that end is an event again. Where they lie in one line but differ in pitch, the steeper goes on and the corner runs
along the other to its far end, drawing a level pitch change; but a vertical face never overruns a moving plane.

Each corner's path is a side of the faces on its two sides, so faces are traced (`faces`), never cut, and neighbours
share their nodes bit for bit. A run is checked afterwards (`check`), and repeated with a coarser snap and then with 60
digits until one is sound; if none is, the roof is refused by name (`ladder`). Large outlines look up who can meet whom
in a grid (`windows`).

Where two fronts of one pitch could equally run over the same standing one at the same instant, the one that the queue
takes first does.
"""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.vectors import Point2
from takeoff.shape.skeleton.bases import lift_bases
from takeoff.shape.skeleton.crossings import refuse_crossings
from takeoff.shape.skeleton.ladder import climb
from takeoff.shape.skeleton.prepare import prepare
from takeoff.shape.skeleton.record import EdgeProfile, Skeleton, SkeletonFace


def solve(rings: Sequence[Sequence[Point2]], profiles: Sequence[EdgeProfile]) -> Skeleton:
    """The roof over an outline (outer ring, then holes), one rise profile an edge, edges numbered on through the holes.

    Edge i runs from corner i of its ring to the next. Lengths and heights in one unit, the caller's. Raises
    ShapeError, naming the 1-based edges and what to change, for an outline or profiles that no roof can stand on.
    """
    plan = prepare(rings, profiles)
    refuse_crossings(plan)
    solution = climb(plan)
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
