"""An imported shape -> Roof: the same planes, edges and nodes that an outline gives.

    triangles --weld, join T-junctions--> net --grow--> planes --snap--> sharp edges
              --sort free borders--> outline and steps --assemble--> planes, edges, nodes
              --move free edges from the line the model is drawn to--> the same, to the outline

What does not close is reported by place; a takeoff of what does close is made only on request, and marked.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import ShapeError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.polygons import rings_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, Ring2, dot3, sub3, unit3
from takeoff.model.edge_kinds import WALL_KINDS, EdgeKind
from takeoff.model.faces import RawFaces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.roof import Covering, Roof, UprightKind
from takeoff.model.settings import Settings
from takeoff.shape.faces.assemble import assemble
from takeoff.shape.faces.closure import closure_faults, perimeter
from takeoff.shape.faces.name_edges import fall_of, level_findings
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Numbering, Plan
from takeoff.shape.imported.choose_planes import Chosen, choose_planes
from takeoff.shape.imported.deciding.bodies import sort_bodies
from takeoff.shape.imported.deciding.floor import floor_of
from takeoff.shape.imported.deciding.settle import settle
from takeoff.shape.imported.eaves import rises_in
from takeoff.shape.imported.kerbs import kerb_borders, kerb_faces
from takeoff.shape.imported.mesh_borders import Border, Borders, outline_rings, sort_borders, step_faces
from takeoff.shape.imported.mesh_moves import edge_moves, move_edges
from takeoff.shape.imported.net import Net, make_net
from takeoff.shape.imported.planes import Patch
from takeoff.shape.imported.raised import Raised, raise_patches

if TYPE_CHECKING:
    from takeoff.model.faces import Points

_NEAR_MM = MODEL_LIMITS.borders_agree_mm
_FIT_MM = MODEL_LIMITS.outline_fit_mm
_LEVEL_PLANE = 0.01  # a model's flat roof is never quite flat; no sheet is laid on a fall of 1 %
_SLIVER_MM2 = MODEL_LIMITS.ring_sliver_mm2
_SLIVER_MM = MODEL_LIMITS.ring_sliver_mm
_WALL_OVER_MM = MODEL_LIMITS.wall_over_mm


def roof_from_faces(
    raw: RawFaces,
    roof_job: RoofJob,
    north_deg: float,
    settings: Settings,
    first_plane: int = 1,
    gutter_width_mm: float = 0.0,
    bare_edges: Collection[int] = (),
) -> Roof:
    """Find the roof in an imported shape.

    Planes may be out of flat by 25 mm and their facets turned by 1 degree; both are reported. An edge that falls less
    than 2 % is level, with a finding. Heights are over the model's floor (deciding/floor.py). A roof edge that is
    drawn to another line than the outline is moved there (mesh_moves): from the spouting's outside by
    `gutter_width_mm`; `bare_edges` are outline edges that carry none. Raises ShapeError, by place, for a shape that is
    no closed roof, unless the job allows a partial one, and for edges that cannot be moved.
    """
    name = roof_job.name
    origin, chosen = _decided(raw, roof_job, settings)
    raised = raise_patches(name, chosen.net, chosen.patches, chosen.walls, chosen.bridged)
    borders = sort_borders(raised.free, _NEAR_MM)
    outline, faults = _outline(name, borders)
    plan = Plan(
        name=name,
        origin_mm=origin,
        outline_mm=outline,
        edge_numbers=_numbers(outline),
        edge_names=("eave",) * sum(len(ring) for ring in outline),
        findings=(*chosen.findings, *_clean_findings(name, chosen.net, raised, chosen.bridged)),
        near_mm=_FIT_MM,
    )
    roof = _put_together(_all_faces(raised, borders, plan), plan, north_deg, first_plane)
    line = roof_job.drawn.edge_is if roof_job.drawn is not None else "outline"
    if line != "outline":
        _refuse_open(roof, roof_job, faults)
        moves_mm = edge_moves(roof, line, roof_job, settings, gutter_width_mm, bare_edges)
        moved = move_edges(roof, line, moves_mm)
        plan = replace(
            plan,
            outline_mm=moved.outline_mm,
            wall_line_mm=plan.outline_mm if line == "wall_line" else (),
            findings=(*plan.findings, *moved.findings),
        )
        roof = _put_together(moved.faces, plan, north_deg, first_plane)
    return _finished(roof, roof_job, faults)


def _decided(raw: RawFaces, roof_job: RoofJob, settings: Settings) -> tuple[Point3, Chosen]:
    """What the model leaves open decided: axis, unit, bodies, floor, planes; places are from the returned origin."""
    job = roof_job.drawn or ShapeJob(file=raw.came_from)
    settled = settle(raw, job)
    origin = _origin(settled.points_mm)
    net = make_net(settled.points_mm - np.array(origin), settled.triangles, settled.polygon_of, settled.part_of)
    bodies = sort_bodies(net, settled.parts, raw.came_from, job, settings.number("model_wall_from_deg"))
    lowest_mm = float(settled.points_mm[raw.triangles, 2].min()) if settled.roof_alone else float("inf")
    floor_mm, said = floor_of(bodies.net, raw.came_from, job, lowest_mm)
    lowered = replace(bodies.net, nodes=bodies.net.nodes - np.array((0.0, 0.0, floor_mm)))
    chosen = choose_planes(lowered, raw.came_from, roof_job, settings, settled.thick, settled.roof_alone)
    return (*origin[:2], floor_mm), replace(
        chosen, findings=(*settled.findings, *bodies.findings, *said, *chosen.findings)
    )


def _all_faces(raised: Raised, borders: Borders, plan: Plan) -> list[Face]:
    """Roof planes, and what stands on their borders: steps, walls that go on, kerbs."""
    sides = OutlineSides(plan)
    kerbs = kerb_borders(plan, borders.outline, raised.patches, sides)
    edge = [border for border in borders.outline if border not in kerbs]
    return [
        *_roof_faces(raised, borders, sides),
        *step_faces(borders),
        *_abutting(raised, edge, sides),
        *kerb_faces(kerbs),
    ]


def _put_together(faces: Sequence[Face], plan: Plan, north_deg: float, first_plane: int) -> Roof:
    return assemble(
        faces,
        plan,
        north_deg,
        Numbering(planes=first_plane - 1),
        flat_mm=TOLERANCES.same_plane_mm,
        flat_deg=TOLERANCES.same_plane_deg / 2,
        straight_mm=TOLERANCES.same_plane_mm,
    )


def _origin(points: Points) -> Point3:
    step = TOLERANCES.local_mm
    if float(np.abs(points[:, :2]).max()) <= step:
        return (0.0, 0.0, 0.0)
    x, y = points[:, :2].min(axis=0).tolist()
    return (float(x // step) * step, float(y // step) * step, 0.0)


def _outline(name: str, borders: Borders) -> tuple[tuple[Ring2, ...], list[str]]:
    """The outline's rings, greatest outer first, and what is wrong with it."""
    try:
        outer, holes = outline_rings(borders, _NEAR_MM)
    except ValueError:
        raise ShapeError(f"roof {name}: the edge of the roof does not run round in one line; faces overlap") from None
    if not outer:
        raise ShapeError(f"roof {name}: the roof has no outer edge; its faces overlap or are inside out")
    faults = [
        f"roof {name}: a part of {rings_area([ring]) / 1e6:.2f} m2 at ({round(ring[0][0])}, {round(ring[0][1])}) "
        "does not touch the rest; give it as a roof of its own, in a file of its own"
        for ring in outer[1:]
        if not _is_sliver(ring)
    ]
    return (outer[0], *holes), faults


def _is_sliver(ring: Ring2) -> bool:
    """Whether a ring is what welding leaves between two planes, no part and no opening of a roof."""
    area = rings_area([ring])
    return area < _SLIVER_MM2 or 2.0 * area < _SLIVER_MM * perimeter([ring])


def _numbers(rings: Sequence[Ring2]) -> tuple[tuple[int, ...], ...]:
    numbers = []
    first = 1
    for ring in rings:
        numbers.append(tuple(range(first, first + len(ring))))
        first += len(ring)
    return tuple(numbers)


def _roof_faces(raised: Raised, borders: Borders, sides: OutlineSides) -> list[Face]:
    own: dict[int, list[Border]] = defaultdict(list)
    for border in borders.outline:
        own[border.patch].append(border)
    faces = []
    for number, (patch, rings) in enumerate(zip(raised.patches, raised.rings, strict=True)):
        eaves = [border for border in own[number] if rises_in(patch, border)]
        level = _is_level(patch, rings)
        full = tuple(_with_extra(ring, borders) for ring in rings)
        faces.append(
            Face(
                rings_mm=full,
                normal=(0.0, 0.0, 1.0) if level else patch.normal,
                outline_edges=sides.under([border.ends for border in eaves], (), single=True),
                pitch_deg=0.0 if level else None,
                covering=Covering.OTHER if level else Covering.SHEETS,
                fascia_mm=min(p[2] for ring in rings for p in ring),
                flat_error_mm=max(patch.off_mm, patch.strip_mm),
            )
        )
    return faces


def _is_level(patch: Patch, rings: Sequence[Sequence[Point3]]) -> bool:
    heights = [patch.height_at(p[0], p[1]) for p in rings[0]]
    return fall_of(patch.normal) < _LEVEL_PLANE or max(heights) - min(heights) <= TOLERANCES.same_plane_mm


def _with_extra(ring: Sequence[Point3], borders: Borders) -> tuple[Point3, ...]:
    """A ring with the points that splitting its free borders put on it."""
    full: list[Point3] = []
    for i, a in enumerate(ring):
        full.append(a)
        full.extend(borders.extra.get((a, ring[(i + 1) % len(ring)]), ()))
    return tuple(borders.same.get(point, point) for point in full)


def _abutting(raised: Raised, outline: Sequence[Border], sides: OutlineSides) -> list[Face]:
    """Upright faces over the outline where a wall of the model goes on above the roof's edge."""
    found = []
    for border in outline:
        a, b = border.ends
        top = _wall_top(raised, a, b)
        if top > max(a[2], b[2]) + _WALL_OVER_MM:
            along = sub3(b, a)
            normal = unit3((-along[1], along[0], 0.0))
            ring = ((b[0], b[1], top), (a[0], a[1], top), a, b)
            own = sides.under([border.ends], (), single=True)
            found.append(Face((tuple(reversed(ring)),), normal, own, upright=UprightKind.ABUTTING))
    return found


def _wall_top(raised: Raised, a: Point3, b: Point3) -> float:
    """Greatest height of the model's walls over the middle of an edge in plan."""
    x, y, z = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2
    line = unit3((b[0] - a[0], b[1] - a[1], 0.0))
    top = float("-inf")
    for wall, border in zip(raised.walls, raised.wall_borders, strict=True):
        if abs(dot3(wall.normal, line)) > 0.02 or abs(dot3(sub3((x, y, z), wall.through), wall.normal)) > _NEAR_MM:
            continue
        top = max(top, _top_at(border, (x, y, z), line))
    return top


def _top_at(border: Sequence[tuple[Point3, Point3]], at: Point3, line: Point3) -> float:
    """Height of a wall's upper border where a vertical through `at` meets it; -inf beside it."""
    found = float("-inf")
    for a, b in border:
        s, t = ((p[0] - at[0]) * line[0] + (p[1] - at[1]) * line[1] for p in (a, b))
        if min(s, t) < 0.0 < max(s, t):
            found = max(found, a[2] + (b[2] - a[2]) * (-s) / (t - s))
    return found


def _clean_findings(name: str, net: Net, raised: Raised, bridged: Collection[int]) -> list[Finding]:
    findings = []
    if net.crumbs or net.doubles:
        text = f"roof {name}: {net.crumbs} faces without area and {net.doubles} repeated faces were left out"
        findings.append(Finding("mesh-cleaned", Severity.FIXED, text))
    if raised.moved_mm > TOLERANCES.same_plane_mm and not bridged:
        text = f"roof {name}: corners were moved by up to {raised.moved_mm:.0f} mm to bring them onto their planes"
        findings.append(Finding("mesh-snapped", Severity.FIXED, text, "check the lengths of hips and valleys on site"))
    return findings


def _refuse_open(roof: Roof, job: RoofJob, faults: Sequence[str]) -> list[str]:
    """What keeps a roof from closing. Raises ShapeError for any of it, unless the job allows a partial roof."""
    # an imported border wanders by what its points were moved: that much area may be missing along it
    slack_mm2 = TOLERANCES.same_plane_mm * perimeter(roof.outline_mm)
    rounding_mm = slack_mm2 / (4 * perimeter(roof.outline_mm))
    found = [*faults, *closure_faults(roof, rounding_mm, TOLERANCES.same_plane_mm)]
    if found and not job.allow_partial:
        raise ShapeError(*found, f"roof {job.name}: mend the model, or say allow_partial: true to take off what closes")
    return found


def _finished(roof: Roof, job: RoofJob, faults: Sequence[str]) -> Roof:
    """Name the outline's edges, check closure, add what was found."""
    findings = [*roof.findings, *level_findings(roof), *_flat_findings(roof), *_hole_findings(roof)]
    faults = _refuse_open(roof, job, faults)
    findings += [Finding("roof-not-closed", Severity.WARN, fault, "this takeoff is partial") for fault in faults]
    return replace(
        roof, edge_names=_edge_names(roof), closed=not faults, partial=bool(faults), findings=tuple(findings)
    )


def _edge_names(roof: Roof) -> tuple[str, ...]:
    kinds: dict[int, set[EdgeKind]] = defaultdict(set)
    for edge in roof.edges:
        for number in edge.outline_edges:
            kinds[number].add(edge.kind)
    names = []
    for number in range(1, len(roof.edge_names) + 1):
        if EdgeKind.EAVE in kinds[number]:
            names.append("eave")
        else:
            names.append("wall" if kinds[number] & WALL_KINDS else "gable")
    return tuple(names)


def _flat_findings(roof: Roof) -> list[Finding]:
    return [
        Finding(
            "plane-not-flat",
            Severity.WARN,
            f"roof {roof.name}: plane {plane.id} is out of flat by {plane.flat_error_mm:.0f} mm; it was taken as one",
            "check it on site before sheets are cut",
            refs=(plane.id,),
        )
        for plane in roof.planes
        if plane.flat_error_mm > TOLERANCES.same_plane_mm
    ]


def _hole_findings(roof: Roof) -> list[Finding]:
    return [
        Finding(
            "roof-opening",
            Severity.WARN,
            f"roof {roof.name}: there is an opening of {rings_area([ring]) / 1e6:.2f} m2 at "
            f"({round(ring[0][0])}, {round(ring[0][1])})",
            "if the roof is whole there, a face is missing from the model",
        )
        for ring in roof.outline_mm[1:]
    ]
