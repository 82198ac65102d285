"""Models: the sample's, saved in every format, moved, split and damaged. A model that is only moved keeps its areas."""

from __future__ import annotations

import random
from functools import cache
from math import cos, pi, sin
from pathlib import Path

import numpy as np
import trimesh

from rounds.outcome import SAMPLES, Outcome, cause_words, fault_outcome, take_off

FORMATS = ("obj", "stl", "ply", "glb", "off")
NEAR = 1e-3


@cache
def sample() -> tuple[tuple[tuple[float, float, float], ...], tuple[tuple[int, int, int], ...]]:
    mesh = trimesh.load(SAMPLES / "mesh_house" / "house.obj", process=False, force="mesh")
    return tuple(map(tuple, mesh.vertices.tolist())), tuple(map(tuple, mesh.faces.tolist()))


@cache
def sample_job() -> str:
    return (SAMPLES / "mesh_house" / "job.yaml").read_text(encoding="utf-8")


@cache
def plain_area() -> float:
    return area(take_off(sample_job(), SAMPLES / "mesh_house"))


def area(takeoff: object) -> float:
    """The planes of all roofs together [m2]."""
    return sum(plane.area_mm2 for roof in takeoff.roofs for plane in roof.planes) / 1e6  # type: ignore[attr-defined]


def case(chance: random.Random, folder: Path) -> Outcome:
    """One model to its order."""
    points, faces = sample()
    vertices, triangles = np.array(points), np.array(faces)
    moved = chance.random() < 0.4
    turn = chance.uniform(0, 2 * pi)
    x, y = vertices[:, 0].copy(), vertices[:, 1].copy()
    vertices[:, 0], vertices[:, 1] = x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)
    vertices += [chance.uniform(-50, 50), chance.uniform(-50, 50), 0.0]
    if not moved:
        vertices, triangles = changed(vertices, triangles, chance)
    kind = chance.choice(FORMATS)
    # unmerged points are written as they are
    data = trimesh.Trimesh(vertices, triangles, process=False).export(file_type=kind)
    data = data.encode("utf-8") if isinstance(data, str) else bytes(data)
    if not moved and chance.random() < 0.5:
        raw = bytearray(data)
        for _ in range(chance.randrange(1, 20)):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
        data = bytes(raw[: chance.choice((len(raw), chance.randrange(1, len(raw) + 1)))])
    (folder / f"house.{kind}").write_bytes(data)
    text = sample_job().replace("house.obj", f"house.{kind}")
    evidence = {"job.yaml": text.encode("utf-8"), f"house.{kind}": data}
    try:
        takeoff = take_off(text, folder)
    except Exception as err:
        return fault_outcome(err, evidence)
    wrong = ""
    if moved and abs(area(takeoff) - plain_area()) > NEAR * plain_area():
        wrong = f"moved by a turn of {turn:.3f} it has {area(takeoff):.3f} m2 of roof, not {plain_area():.3f}"
    stop = takeoff.stops[0].text if takeoff.stopped else ""
    return Outcome(6 if stop else 0, cause_words(stop) or "order", wrong, evidence if wrong else {})


def changed(vertices: np.ndarray, triangles: np.ndarray, chance: random.Random) -> tuple[np.ndarray, np.ndarray]:
    """Faces lost, doubled or turned over, points moved or far away."""
    how = chance.randrange(7)
    if how == 0:
        keep = np.array([chance.random() < 0.9 for _ in triangles])
        return vertices, triangles[keep] if keep.any() else triangles
    if how == 1:
        return vertices, np.vstack([triangles, triangles[: chance.randrange(1, len(triangles))]])
    if how == 2:
        return vertices, np.array([t[::-1] if chance.random() < 0.3 else t for t in triangles])
    if how == 3:
        return vertices + np.array([[chance.gauss(0, 0.02) for _ in range(3)] for _ in vertices]), triangles
    if how == 4:
        vertices[chance.randrange(len(vertices))] = [chance.choice((1e9, -1e9, 0.0, float("nan"))) for _ in range(3)]
        return vertices, triangles
    if how == 5:
        return vertices[triangles.ravel()], np.arange(triangles.size).reshape(-1, 3)
    return vertices * chance.choice((0.001, 1000.0, -1.0, 25.4)), triangles
