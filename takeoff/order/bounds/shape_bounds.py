"""Bounds of the shape itself: areas against corners, edges against the sides of planes, folds that are none."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import cos, inf, radians

from takeoff.basics.vectors import Point3, cross3, dot3, length3, sub3
from takeoff.model.edge_kinds import INNER_KINDS
from takeoff.model.roof import Roof, RoofEdge, RoofPlane
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import edge_m, ground_of

AREA_SHARE = 0.001  # a rounded corner moves an area by less
AREA_M2 = 0.01
AROUND_SHARE = 0.01
AROUND_M = 0.1
FOLD_DEG = 1.0
FOLD_MM = 1.0
APART_MM = 5.0


def plane_areas(case: Case) -> Iterator[Bounded]:
    """True and plan area of every plane against the area inside its corners."""
    for roof in case.takeoff.roofs:
        for plane in roof.planes:
            inside = ground_of(roof, plane).area_m2
            slack = AREA_SHARE * inside + AREA_M2
            yield _near(plane.area_mm2 / 1e6, inside, slack, "area inside its corners", f"area of {plane.id}", plane.id)
            plan = inside * cos(radians(plane.pitch_deg))
            yield _near(
                plane.plan_area_mm2 / 1e6,
                plan,
                slack,
                "area inside its corners x cos pitch",
                f"plan of {plane.id}",
                plane.id,
            )


def _near(figure: float, at: float, slack: float, from_what: str, of: str, ref: str) -> Bounded:
    return Bounded(figure, at - slack, at + slack, "m2", f"{from_what}, {at:.2f} m2", of, (ref,))


def plane_sides(case: Case) -> Iterator[Bounded]:
    """The edges round a plane against the way round its corners."""
    for roof in case.takeoff.roofs:
        for plane in roof.planes:
            ground = ground_of(roof, plane)
            figure = sum(edge_m(edge) for edge in ground.edges)
            slack = AROUND_SHARE * ground.around_m + AROUND_M
            yield Bounded(
                figure,
                ground.around_m - slack,
                ground.around_m + slack,
                "m",
                f"way round its corners, {ground.around_m:.2f} m",
                f"edges round {plane.id}",
                (plane.id,),
            )


def true_folds(case: Case) -> Iterator[Bounded]:
    """How far the corners of one plane lie off the other at a hip, valley, ridge or change of pitch that turns by
    less than a degree: planes that lie in one are one, and what meets there is no junction [mm]."""
    for roof in case.takeoff.roofs:
        planes = {plane.id: plane for plane in roof.planes}
        for edge in roof.own_edges:
            sides = [planes[face] for face in edge.faces if face in planes]
            if edge.kind in INNER_KINDS and len(sides) == 2:
                bend = 1.0 - dot3(sides[0].frame.n, sides[1].frame.n)
                if bend < 1.0 - cos(radians(FOLD_DEG)):
                    off = max(_off_mm(sides[0], sides[1]), _off_mm(sides[1], sides[0]))
                    yield Bounded(
                        off,
                        FOLD_MM,
                        inf,
                        "mm",
                        "what makes two planes of one",
                        f"{edge.id}, a {edge.kind.value} that hardly turns: {sides[0].id} off {sides[1].id}",
                        (edge.id, sides[0].id, sides[1].id),
                    )


def _off_mm(plane: RoofPlane, other: RoofPlane) -> float:
    """How far the furthest corner of a plane lies off the other plane [mm]."""
    corners = (plane.frame.to_space(point) for point in plane.rings_uv[0])
    return max(abs(dot3(sub3(corner, other.frame.origin_mm), other.frame.n)) for corner in corners)


def edges_apart(case: Case) -> Iterator[Bounded]:
    """How far two edges that leave one place within a degree of each other are apart where the shorter ends [mm]:
    between edges that lie on each other is no plane, and their hip, valley or junction is none."""
    for place in case.places:
        rays = [(edge, _ray(edge, up=True)) for edge in place.low] + [
            (edge, _ray(edge, up=False)) for edge in place.high
        ]
        for (one, a), (two, b) in combinations(rays, 2):
            size = length3(a) * length3(b)
            if one.roof == two.roof and dot3(a, b) > cos(radians(FOLD_DEG)) * size:
                reach = min(length3(a), length3(b))
                apart = reach * length3(cross3(a, b)) / size
                words = "what is no wider than this is no plane"
                of = f"{one.id}, {one.kind.value}, from {two.id}, {two.kind.value}"
                yield Bounded(apart, APART_MM, inf, "mm", words, of, (one.id, two.id))


def _ray(edge: RoofEdge, up: bool) -> Point3:
    return sub3(edge.b_mm, edge.a_mm) if up else sub3(edge.a_mm, edge.b_mm)


def edge_lengths(case: Case) -> Iterator[Bounded]:
    """The length of every edge against the distance between its ends, and no edge so short that nobody cuts it."""
    for roof in case.takeoff.roofs:
        for edge in roof.own_edges:
            yield _length(roof, edge)


def _length(roof: Roof, edge: RoofEdge) -> Bounded:
    at = edge_m(edge)
    ref = f"{edge.id}, {edge.kind.value} of {roof.name}"
    return Bounded(edge.length_mm / 1000.0, at - 0.001, at + 0.001, "m", f"ends {at:.3f} m apart", ref, (edge.id,))
