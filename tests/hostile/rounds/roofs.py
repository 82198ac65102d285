"""Outlines with a second method. Over a rectilinear outline of one pitch the roof stands as high as the nearest boundary
is far, measured along the axes; over a convex outline as high as the lowest of its edges' planes. Heights at points.

Corners may be put in order by up to 3 mm: that they moved no further is looked at first, then heights stand over the
corners as they are then."""

from __future__ import annotations

import itertools
import random
from math import cos, dist, pi, radians, sin, tan
from pathlib import Path

import yaml
from shapely.geometry import Point, Polygon

from rounds.houses import grid_outline
from rounds.outcome import Outcome, cause_words, fault_outcome
from takeoff import pipeline
from takeoff.model.roof import Roof
from takeoff.read.job.job_file import parse_job

POINTS = 24
NEAR_MM = 1.0
MOVED_MM = 3.0  # what putting an outline in order may move a corner by


def convex_outline(chance: random.Random) -> Polygon:
    """Corners on a stretched circle, in the order of their bearing."""
    count = chance.randrange(3, 12)
    angles = sorted(chance.uniform(0, 2 * pi) for _ in range(count))
    wide, deep, turn = chance.uniform(4e3, 2e4), chance.uniform(4e3, 2e4), chance.uniform(0, pi)
    ring = [(wide * cos(a), deep * sin(a)) for a in angles]
    ring = [(x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)) for x, y in ring]
    shape = Polygon([(round(x), round(y)) for x, y in ring])
    sides = [
        Point(a).distance(Point(b)) for a, b in zip(shape.exterior.coords, shape.exterior.coords[1:], strict=False)
    ]
    return shape if shape.is_valid and shape.area > 1e7 and min(sides) > 300 else convex_outline(chance)


def axis_distance(shape: Polygon, x: float, y: float) -> float:
    """How far the boundary is from a point inside, the greater of the two axes counting [mm]."""
    ring = list(shape.exterior.coords)
    best = float("inf")
    for (ax, ay), (bx, by) in itertools.pairwise(ring):
        dx = max(min(ax, bx) - x, 0.0, x - max(ax, bx))
        dy = max(min(ay, by) - y, 0.0, y - max(ay, by))
        best = min(best, max(dx, dy))
    return best


def edge_height(ring: list[tuple[float, float]], pitches: list[float], x: float, y: float) -> float:
    """The lowest of the planes that rise inward from each edge [mm]."""
    heights = []
    for (ax, ay), (bx, by), pitch in zip(ring, [*ring[1:], ring[0]], pitches, strict=True):
        length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
        heights.append(abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length * tan(radians(pitch)))
    return min(heights)


def height_at(roof: Roof, x: float, y: float) -> list[float]:
    """Heights of the planes over a point, from each plane's point and direction in space."""
    found = []
    for plane in roof.planes:
        f = plane.frame
        o, n = f.origin_mm, f.n
        z = o[2] - ((x - o[0]) * n[0] + (y - o[1]) * n[1]) / n[2]
        d = (x - o[0], y - o[1], z - o[2])
        uv = Point(sum(d[k] * f.u[k] for k in range(3)), sum(d[k] * f.v[k] for k in range(3)))
        if Polygon(plane.rings_uv[0], plane.rings_uv[1:]).buffer(0.01).contains(uv):
            found.append(z)
    return found


def case(chance: random.Random, _folder: Path) -> Outcome:
    """One outline, its roof checked at points."""
    if chance.random() < 0.5:
        shape = grid_outline(chance, chance.randrange(2, 14))
        pitches = [chance.choice((10.0, 25.0, 40.0, 60.0))] * (len(shape.exterior.coords) - 1)
        square = True
    else:
        shape = convex_outline(chance)
        pitches = [chance.uniform(8, 60) for _ in range(len(shape.exterior.coords) - 1)]
        square = False
    ring = [(float(x), float(y)) for x, y in list(shape.exterior.coords)[:-1]]
    job = {"job": "x", "roofs": [{"outline": [list(p) for p in ring], "fascia_height_mm": 0, "pitch_deg": pitches[0],
                                  "edges": {n: {"pitch_deg": p} for n, p in enumerate(pitches, start=1)}}]}  # fmt: skip
    text = yaml.safe_dump(job, sort_keys=False)
    evidence = {"job.yaml": text.encode("utf-8")}
    try:
        takeoff = pipeline.run(parse_job(text), until=pipeline.Stage.SHAPE)
    except Exception as err:
        return fault_outcome(err, evidence)
    roof = takeoff.roofs[0]
    typed, (ox, oy, _) = ring, roof.origin_mm
    ring = [(x + ox, y + oy) for x, y in roof.outline_mm[0]]
    moved = max(dist(a, b) for a, b in zip(typed, ring, strict=False))
    if len(ring) != len(typed) or moved > MOVED_MM + 1e-6:
        return Outcome(0, "roof", f"{len(typed)} corners became {len(ring)}, moved by up to {moved:.2f} mm", evidence)
    shape = Polygon(ring)
    left, low, right, high = shape.bounds
    for _ in range(POINTS):
        x, y = chance.uniform(left, right), chance.uniform(low, high)
        if not shape.buffer(-5.0).contains(Point(x, y)):
            continue
        wanted = axis_distance(shape, x, y) * tan(radians(pitches[0])) if square else edge_height(ring, pitches, x, y)
        found = height_at(roof, x - ox, y - oy)
        if not any(abs(z - wanted) <= NEAR_MM + 1e-4 * wanted for z in found):
            return Outcome(
                0, "roof", f"at {x:.0f}, {y:.0f} it stands {found} high, by the second method {wanted:.2f}", evidence
            )
    return Outcome(6, cause_words(takeoff.stops[0].text)) if takeoff.stopped else Outcome(0, "roof")
