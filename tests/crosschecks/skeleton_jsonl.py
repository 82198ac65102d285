"""Solve a file of outlines and write the faces as JSON lines: python tests/crosschecks/skeleton_jsonl.py IN OUT.

In, a line an outline: {"id", "outer": [[x, y]..], "holes": [[..]..], "pitch": [degrees an edge; 90 = gable; absent = 45
all round], "h0": [eave height an edge]}. Out, a line each: {"id", "ok", "ms", "faces": [{"edge", "area" (plan),
"polys": [ring with its holes left out]}], "plan": lengths by kind} or {"id", "ok": false, "err"}.
"""

from __future__ import annotations

import json
import sys
from math import hypot, radians, tan
from pathlib import Path
from time import perf_counter
from typing import Any

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep, Skeleton
from takeoff.shape.skeleton.solve import solve

KINK = 1e-3
"""Gradient jump and slope below which a line counts as flat and as level."""


def case_of(line: dict[str, Any]) -> tuple[list[list[tuple[float, float]]], list[EdgeProfile]]:
    """Rings and profiles of one outline."""
    rings = [[(float(x), float(y)) for x, y in ring] for ring in (line["outer"], *line.get("holes", []))]
    count = sum(map(len, rings))
    pitches = line.get("pitch") or [45.0] * count
    starts = line.get("h0") or [0.0] * count
    return rings, [EdgeProfile(h, (RiseStep(None, p),)) for p, h in zip(pitches, starts, strict=True)]


def answer(line: dict[str, Any]) -> dict[str, Any]:
    """Result line of one outline."""
    rings, profiles = case_of(line)
    start = perf_counter()
    try:
        roof = solve(rings, profiles)
    except ShapeError as fault:
        return {"id": line["id"], "ok": False, "err": str(fault), "ms": (perf_counter() - start) * 1e3}
    ms = (perf_counter() - start) * 1e3
    faces = []
    for face in roof.faces:
        polys = [[[x, y] for x, y, _ in face.rings[0]]] if not face.upright else []
        faces.append({"edge": face.edge, "area": face.plan_area, "polys": polys})
    return {"id": line["id"], "ok": True, "ms": ms, "faces": faces, "plan": lengths(rings, profiles, roof)}


def lengths(rings: list[list[tuple[float, float]]], profiles: list[EdgeProfile], roof: Skeleton) -> dict[str, float]:
    """Plan lengths of the lines where two faces meet, by kind."""
    gradients = []
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            length = hypot(bx - ax, by - ay) or 1.0
            pitch = profiles[len(gradients)].steps[0].pitch_deg
            rise = tan(radians(pitch)) if pitch is not None and pitch < 90 else 0.0
            gradients.append((-(by - ay) / length * rise, (bx - ax) / length * rise))
    sides: dict[tuple[Any, Any], tuple[int, bool]] = {}
    for face in roof.faces:
        for ring3 in face.rings:
            for a, b in zip(ring3, (*ring3[1:], ring3[0]), strict=True):
                sides[(a, b)] = (face.edge, face.upright)
    out = dict.fromkeys(("ridge", "hip", "valley", "flat", "verge"), 0.0)
    for (a, b), (left, left_up) in sides.items():
        other = sides.get((b, a))
        if other is None or (a > b):
            continue
        right, right_up = other
        run = hypot(b[0] - a[0], b[1] - a[1])
        if run == 0.0:
            continue
        out[kind(gradients[left], gradients[right], left_up or right_up, a, b, run)] += run
    return out


def kind(left: Any, right: Any, verge: bool, a: Any, b: Any, run: float) -> str:
    """Kind of the line from a to b by the gradients on its two sides."""
    if verge:
        return "verge"
    jump = ((right[0] - left[0]) * (b[1] - a[1]) - (right[1] - left[1]) * (b[0] - a[0])) / run
    scale = 1.0 + max(hypot(*left), hypot(*right))
    if abs(jump) / scale < KINK:
        return "flat"
    if jump > 0.0:
        return "valley"
    return "ridge" if abs(b[2] - a[2]) / run <= KINK else "hip"


def main() -> None:
    """Read IN, write OUT."""
    source, target = map(Path, sys.argv[1:3])
    with target.open("w", encoding="utf-8") as out:
        for text in source.read_text(encoding="utf-8").splitlines():
            if text.strip():
                out.write(json.dumps(answer(json.loads(text))) + "\n")


if __name__ == "__main__":
    main()
