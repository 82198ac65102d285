"""The engine against 370 outlines with reference roofs that independent exact engines agree on.

The file is open data beside the project (folder named by TAKEOFF_DATA, skipped without it): per outline the plan area
of every edge's face, and heights at sample points. Judged here by our own rule: areas by plane, since the split between
coplanar faces is a convention; tiling; height. Where two collinear fronts of different pitch meet the reference has
both answers and either is accepted; where only gables bound a part there is none, and it must be refused by name.
"""

from __future__ import annotations

import json
import os
from collections import defaultdict
from math import hypot, radians, tan
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep, Skeleton
from takeoff.shape.skeleton.solve import solve

FOLDER = Path(os.environ.get("TAKEOFF_DATA", "")) / "skeleton"
OUTLINES, REFERENCE = FOLDER / "outlines.jsonl", FOLDER / "outlines.ref.jsonl"
pytestmark = pytest.mark.skipif(not ("TAKEOFF_DATA" in os.environ and OUTLINES.exists()), reason="needs TAKEOFF_DATA")

Side = tuple[tuple[float, float], tuple[float, float]]
REL = 1e-6


class Case:
    """One outline: sides, pitches [deg] and starting heights [m] of its edges."""

    def __init__(self, line: dict[str, Any]) -> None:
        self.name = line["id"]
        self.kind = line["cls"]
        self.rings = [[(float(x), float(y)) for x, y in ring] for ring in (line["outer"], *line.get("holes", []))]
        self.sides: list[Side] = [s for r in self.rings for s in zip(r, (*r[1:], r[0]), strict=True)]
        self.pitches = line.get("pitch") or [45.0] * len(self.sides)
        self.starts = line.get("h0") or [0.0] * len(self.sides)

    def solve(self) -> Skeleton:
        """Our roof."""
        profiles = [EdgeProfile(h, (RiseStep(None, p),)) for p, h in zip(self.pitches, self.starts, strict=True)]
        return solve(self.rings, profiles)

    def planes(self) -> list[int]:
        """Number of the plane of each edge: one for edges in one line with one rise."""
        known: list[int] = []
        out = []
        for i in range(len(self.sides)):
            j = next((j for j in known if self.one_plane(i, j)), i)
            known += [j] if j == i else []
            out.append(j)
        return out

    def one_plane(self, i: int, j: int) -> bool:
        """Do two edges carry one plane (1e-5 rad, 0.1 mm)?"""
        if (self.pitches[i], self.starts[i]) != (self.pitches[j], self.starts[j]):
            return False
        (ax, ay), (bx, by) = self.sides[j]
        run = hypot(bx - ax, by - ay)
        ux, uy = (bx - ax) / run, (by - ay) / run
        (px, py), (qx, qy) = self.sides[i]
        length = hypot(qx - px, qy - py)
        turned = (ux * (qy - py) - uy * (qx - px)) / length
        forward = ux * (qx - px) + uy * (qy - py)
        return forward > 0 and abs(turned) < 1e-5 and abs(ux * (py - ay) - uy * (px - ax)) < 1e-4


def by_plane(planes: list[int], areas: list[float]) -> dict[int, float]:
    """Areas added up by plane."""
    out: dict[int, float] = defaultdict(float)
    for plane, area in zip(planes, areas, strict=True):
        out[plane] += area
    return out


def height(case: Case, roof: Skeleton, x: float, y: float) -> float:
    """Height of the roof at a point, from the plane of the face that it lies in (or nearest to it)."""
    best, z = float("inf"), float("nan")
    for face in roof.faces:
        if face.upright:
            continue
        gap = 0.0 if inside(face.rings, x, y) else distance(face.rings[0], x, y)
        if gap < best:
            (ax, ay), (bx, by) = case.sides[face.edge]
            off = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / hypot(bx - ax, by - ay)
            best, z = gap, case.starts[face.edge] + off * tan(radians(case.pitches[face.edge]))
    return z if best < 1e-6 else float("nan")


def inside(rings: Any, x: float, y: float) -> bool:
    """Does a point lie inside rings (crossings of a ray)?"""
    odd = False
    for ring in rings:
        for (ax, ay, _), (bx, by, _) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
                odd = not odd
    return odd


def distance(ring: Any, x: float, y: float) -> float:
    """Plan distance of a point from a ring."""
    best = float("inf")
    for (ax, ay, _), (bx, by, _) in zip(ring, (*ring[1:], ring[0]), strict=True):
        dx, dy = bx - ax, by - ay
        u = max(0.0, min(1.0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
        best = min(best, hypot(x - ax - u * dx, y - ay - u * dy))
    return best


def faults(case: Case, reference: dict[str, Any]) -> str:
    """What is wrong with our roof over one outline, or nothing."""
    try:
        roof = case.solve()
    except ShapeError as refusal:
        named = "Edges" in str(refusal) and "never closes" in str(refusal)
        return "" if reference["a"] is None and named else f"refused: {refusal}"
    areas = [0.0] * len(case.sides)
    for face in roof.faces:
        areas[face.edge] += face.plan_area
    if abs(sum(areas) - reference["area"]) > REL * reference["area"]:
        return f"areas add up to {sum(areas)}, not {reference['area']}"
    if reference["a"] is None:
        return "" if case.kind.startswith("x_") else "solved where no roof exists"
    for tail in ("", "_slow") if reference.get("policy") else ("",):
        due = by_plane(case.planes(), reference["a" + tail])
        got = by_plane(case.planes(), areas)
        off = max(abs(got[k] - a) / max(a, 1e-3 * reference["area"]) for k, a in due.items())
        samples = reference.get("s" + tail) or []
        dz = max((abs(height(case, roof, x, y) - z) for x, y, z in samples), default=0.0)
        if off <= REL and dz <= REL * reference["zmax"] + 1e-7:
            return ""
    return f"planes off by {off:.1e}, heights by {dz:.1e}"


def test_every_outline_by_plane_tiling_and_height() -> None:
    lines = [json.loads(text) for text in OUTLINES.read_text(encoding="utf-8").splitlines()]
    references = {line["id"]: line for line in map(json.loads, REFERENCE.read_text(encoding="utf-8").splitlines())}
    assert len(lines) == 370
    wrong = {}
    for line in lines:
        why = faults(Case(line), references[line["id"]])
        if why:
            wrong[line["id"]] = why
    assert not wrong


def test_the_judge_sees_a_wrong_pitch() -> None:
    lines = [json.loads(text) for text in OUTLINES.read_text(encoding="utf-8").splitlines()]
    references = {line["id"]: line for line in map(json.loads, REFERENCE.read_text(encoding="utf-8").splitlines())}
    line = next(line for line in lines if line["cls"] == "e_convex")
    case = Case(line)
    case.pitches = [case.pitches[0] + 0.01, *case.pitches[1:]]
    assert faults(case, references[line["id"]])
