"""Measures of a roof: areas by plane and in all, pitch, lengths by kind of edge; each with its working.

Figures are not rounded: that is done where they are shown.
"""

from __future__ import annotations

from takeoff.model.basis import Basis, Quantity, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Roof, RoofEdge, RoofPlane

_M2 = 1e-6
_M = 1e-3
_MEASURED = Basis(Status.DERIVED, "measured on the roof's shape")


def measure_roof(roof: Roof) -> tuple[Quantity, ...]:
    """Areas [m2], pitches [degrees] and edge lengths [m] of one roof.

    Ids: `area.P1`, `plan_area.P1`, `pitch.P1`; `area.<roof>`, `plan_area.<roof>`, `upright_area.<roof>` for the whole;
    `length.<roof>.<kind>`, `plan_length.<roof>.<kind>` for every kind of edge the roof has.
    """
    found: list[Quantity] = []
    for plane in roof.planes:
        found += _plane(plane)
    found += _totals(roof)
    for kind in EdgeKind:
        edges = [edge for edge in roof.own_edges if edge.kind is kind]
        if edges:
            found += _lengths(roof.name, kind, edges)
    return tuple(found)


def _measured(name: str, value: float, unit: str, ref: str) -> Term:
    return Term(name, value, unit, _MEASURED, ref)


def _plane(plane: RoofPlane) -> list[Quantity]:
    plan = _measured("plan area", plane.plan_area_mm2 * _M2, "m2", plane.id)
    pitch = _measured("pitch", plane.pitch_deg, "degrees", plane.id)
    refs = (plane.id,)
    border = Working("area inside the plane's border, in plan", (plan,))
    return [
        Quantity(
            f"area.{plane.id}",
            f"roof plane {plane.id}, true area",
            plane.area_mm2 * _M2,
            "m2",
            refs,
            Working("plan area / cos(pitch)", (plan, pitch)),
        ),
        Quantity(f"plan_area.{plane.id}", f"roof plane {plane.id}, plan area", _plan_m2(plane), "m2", refs, border),
        Quantity(
            f"pitch.{plane.id}",
            f"roof plane {plane.id}, pitch",
            plane.pitch_deg,
            "degrees",
            refs,
            Working("pitch of the plane", (pitch,)),
        ),
    ]


def _plan_m2(plane: RoofPlane) -> float:
    """Plan area of a plane [m2]."""
    return plane.plan_area_mm2 * _M2


def _totals(roof: Roof) -> list[Quantity]:
    true = tuple(_measured(f"area of {p.id}", p.area_mm2 * _M2, "m2", p.id) for p in roof.planes)
    plan = tuple(_measured(f"plan area of {p.id}", _plan_m2(p), "m2", p.id) for p in roof.planes)
    upright = tuple(_measured(f"area of {u.id}", u.area_mm2 * _M2, "m2", u.id) for u in roof.uprights)
    named = (("area", "true area", true), ("plan_area", "plan area", plan), ("upright_area", "upright faces", upright))
    return [
        Quantity(
            f"{key}.{roof.name}",
            f"roof {roof.name}, {says}",
            sum(float(term.value) for term in terms),
            "m2",
            tuple(term.ref for term in terms),
            Working("sum over the faces", terms),
        )
        for key, says, terms in named
        if terms
    ]


def _lengths(roof: str, kind: EdgeKind, edges: list[RoofEdge]) -> list[Quantity]:
    slug = kind.value.replace(" ", "_")
    refs = tuple(edge.id for edge in edges)
    true = tuple(_measured(f"length of {e.id}", e.length_mm * _M, "m", e.id) for e in edges)
    plan = tuple(_measured(f"plan length of {e.id}", e.plan_length_mm * _M, "m", e.id) for e in edges)
    return [
        Quantity(
            f"{key}.{roof}.{slug}",
            f"roof {roof}, {kind}, {says}",
            sum(float(term.value) for term in terms),
            "m",
            refs,
            Working(f"sum over the {kind} edges", terms),
        )
        for key, says, terms in (("length", "true length", true), ("plan_length", "plan length", plan))
    ]
