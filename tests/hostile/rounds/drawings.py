"""Drawings: a house of random shape in every kind of file and unit, moved, mixed up and damaged. One that is only moved
keeps its plan area."""

from __future__ import annotations

import json
import random
from math import cos, pi, sin
from pathlib import Path

from rounds.outcome import Outcome, cause_words, fault_outcome, take_off

KINDS = ("dxf", "geojson", "wkt", "csv")
_UNITS = {"mm": (1.0, 4), "cm": (0.1, 5), "m": (0.001, 6), "in": (1 / 25.4, 1), "ft": (1 / 304.8, 2)}
NEAR = 1e-6
Points = list[tuple[float, float]]


def case(chance: random.Random, folder: Path) -> Outcome:
    """One drawing to its order."""
    points, area = house(chance)
    points = placed(points, chance)
    kind = chance.choice(KINDS)
    unit = "m" if kind in ("geojson", "wkt") else chance.choice(tuple(_UNITS))
    drawn = [(x * _UNITS[unit][0], y * _UNITS[unit][0]) for x, y in points]
    whole = chance.random() < 0.5
    if not whole:
        drawn = spoiled(drawn, chance)
    data = written(kind, drawn, unit, chance)
    if not whole and chance.random() < 0.6:
        data = damaged(data, chance)
    (folder / f"plan.{kind}").write_bytes(data)
    said = f", unit: {unit}" if chance.random() < 0.5 else ""
    text = (
        "job: drawn\nroofs:\n  - {pitch_deg: 25, fascia_height_mm: 2400, "
        f"shape: {{file: plan.{kind}{said}, edge_is: outline}}}}\n"
    )
    evidence = {"job.yaml": text.encode("utf-8"), f"plan.{kind}": data}
    try:
        takeoff = take_off(text, folder)
    except Exception as err:
        return fault_outcome(err, evidence)
    wrong = ""
    found = sum(plane.plan_area_mm2 for roof in takeoff.roofs for plane in roof.planes)
    if whole and abs(found - area) > NEAR * area + 50_000.0 * NEAR:
        wrong = f"{kind} in {unit}: {found / 1e6:.6f} m2 in plan, not {area / 1e6:.6f}"
    stop = takeoff.stops[0].text if takeoff.stopped else ""
    return Outcome(6 if stop else 0, cause_words(stop) or "order", wrong, evidence if wrong else {})


def house(chance: random.Random) -> tuple[Points, float]:
    """An L of whole decimetres, and its area [mm2]."""
    wide, deep = chance.randrange(90, 250) * 100, chance.randrange(70, 160) * 100
    leg, out = chance.randrange(30, wide // 100 - 20) * 100, chance.randrange(20, 90) * 100
    points: Points = [(0, 0), (wide, 0), (wide, deep), (leg, deep), (leg, deep + out), (0, deep + out)]
    return points, float(wide * deep + leg * out)


def placed(points: Points, chance: random.Random) -> Points:
    """Turned, moved as far as survey grids lie, begun at another corner, and drawn either way round."""
    turn = chance.choice((0.0, chance.uniform(0.0, 2.0 * pi)))
    far = chance.choice((0.0, 1e5, 1.7e9))
    moved = [(x * cos(turn) - y * sin(turn) + far, x * sin(turn) + y * cos(turn) + 3.0 * far) for x, y in points]
    start = chance.randrange(len(moved))
    moved = [*moved[start:], *moved[:start]]
    return moved[::-1] if chance.random() < 0.5 else moved


def spoiled(points: Points, chance: random.Random) -> Points:
    """A point lost, doubled, thrown far away or made no number."""
    spoilt, k = list(points), chance.randrange(len(points))
    how = chance.randrange(5)
    if how == 0:
        del spoilt[k]
    elif how == 1:
        spoilt.insert(k, spoilt[k])
    elif how == 2:
        spoilt[k] = (chance.choice((1e15, float("nan"), float("inf"), -1e9)), 0.0)
    elif how == 3:
        spoilt[k], spoilt[0] = spoilt[0], spoilt[k]
    else:
        spoilt = [(x * chance.choice((1e-9, 1e3)), y) for x, y in spoilt]
    return spoilt


def written(kind: str, points: Points, unit: str, chance: random.Random) -> bytes:
    """The ring as a file of one kind."""
    ring = [*points, points[0]]
    if kind == "geojson":
        tree = {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [ring]}}
        return json.dumps(tree).encode()
    if kind == "wkt":
        return f"POLYGON (({', '.join(f'{x!r} {y!r}' for x, y in ring)}))\n".encode()
    if kind == "csv":
        return "\n".join([f"x_{unit},y_{unit}", *(f"{x!r},{y!r}" for x, y in points)]).encode()
    return dxf(points, unit, chance)


def dxf(points: Points, unit: str, chance: random.Random) -> bytes:
    """A plain drawing: a closed polyline, or loose lines mixed up."""
    pairs: list[tuple[int, object]] = [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009")]
    pairs += [(9, "$INSUNITS"), (70, _UNITS[unit][1]), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]
    if chance.random() < 0.5:
        pairs += [(0, "POLYLINE"), (8, "ROOF"), (66, 1), (70, 1)]
        for x, y in points:
            pairs += [(0, "VERTEX"), (8, "ROOF"), (10, x), (20, y)]
        pairs += [(0, "SEQEND"), (8, "ROOF")]
    else:
        sides = list(zip(points, [*points[1:], points[0]], strict=True))
        chance.shuffle(sides)
        for a, b in sides:
            (ax, ay), (bx, by) = (a, b) if chance.random() < 0.5 else (b, a)
            pairs += [(0, "LINE"), (8, "ROOF"), (10, ax), (20, ay), (11, bx), (21, by)]
    pairs += [(0, "ENDSEC"), (0, "EOF")]
    return "".join(f"{code}\n{value!r}\n".replace("'", "") for code, value in pairs).encode()


def damaged(data: bytes, chance: random.Random) -> bytes:
    """Bytes changed, and the end cut off."""
    raw = bytearray(data)
    for _ in range(chance.randrange(1, 20)):
        raw[chance.randrange(len(raw))] = chance.randrange(256)
    return bytes(raw[: chance.choice((len(raw), chance.randrange(1, len(raw) + 1)))])
