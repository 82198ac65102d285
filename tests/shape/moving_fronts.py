"""Fronts of the skeleton engine put together by hand: faces, vertices and what they need around them."""

from __future__ import annotations

from math import hypot
from types import SimpleNamespace
from typing import Any

EPS, TINY, BIG, FAST, GOOD = 0.01, 1e-9, 1e300, 1000.0, 1e-3
EAST, NORTH_EAST = (1.0, 0.0), (0.6, 0.8)  # ways that a piece of front runs; its normal lies to the left


def lines(*given: tuple[float, float, float, float]) -> dict[str, list[float]]:
    """Faces by (nx, ny, c, s)."""
    return {name: [row[k] for row in given] for k, name in enumerate(("nx", "ny", "c", "s"))}


def points(*given: tuple[float, float, float, float, float]) -> dict[str, list[float]]:
    """Vertices by (x, y, time, vx, vy); their speeds are the lengths of their ways."""
    rows = {name: [row[k] for row in given] for k, name in enumerate(("px", "py", "pt", "vx", "vy"))}
    return {**rows, "speed": [hypot(row[3], row[4]) for row in given]}


def made(faces: dict[str, list[float]], moving: dict[str, list[float]], **more: Any) -> Any:
    count = len(moving["px"])
    ring = {"nxt": [(k + 1) % count for k in range(count)], "prv": [(k - 1) % count for k in range(count)]}
    rest = {
        "own": [0] * count, "fin": [0] * count, "alive": [1] * count, "reflex": [0] * count, "act": list(range(count)),
        "tally": [count, 0, 0, count, 0, 0, 0], "tol": [EPS, TINY, BIG, FAST, GOOD], "hit_t": [BIG] * count, "grid": [0] * 5,
    }  # fmt: skip
    return SimpleNamespace(**{**faces, **moving, **ring, **rest, **more})


def along(way: tuple[float, float], s: float, up: float = 0.0) -> tuple[float, float]:
    """A place by its way along a piece from (1, 2) and its way to the left of it."""
    return (1.0 + s * way[0] - up * way[1], 2.0 + s * way[1] + up * way[0])


def hitting() -> Any:
    """A reflex vertex 2 that runs from (4, 1) at time 1 by (0.5, 1) at pieces that come down: at height 7 - 0.5 t from x = 0 to 4,
    at 10 - 0.5 t from x = 3 to 9. It reaches the first line at t = 1 + (6.5 - 1) / 1.5 (x = 5.83, not on it), the other at
    1 + (9.5 - 1) / 1.5 = 6.667 at x = 6.83."""
    faces = lines((0.0, -1.0, -7.0, 0.5), (0.0, -1.0, -10.0, 0.5), (1.0, 0.0, -99.0, 0.0))
    moving = points(
        (4.0, 7.0, 0.0, 0.0, -0.5), (0.0, 7.0, 0.0, 0.0, -0.5), (4.0, 1.0, 1.0, 0.5, 1.0),
        (9.0, 10.0, 0.0, 0.0, -0.5), (3.0, 10.0, 0.0, 0.0, -0.5),
    )  # fmt: skip
    return made(
        faces,
        moving,
        own=[0, 2, 2, 1, 2],
        nxt=[1, 2, 3, 4, 0],
        reflex=[0, 0, 1, 0, 0],
        ract=[2],
        tally=[5, 0, 0, 5, 1, 0, 0],
    )


WHEN = 1.0 + 8.5 / 1.5


def turned(F: Any, way: tuple[float, float], move: tuple[float, float]) -> Any:
    """A front turned so that what ran along x runs along a way, then moved."""
    (x, y), (mx, my) = way, move

    def turn(px: float, py: float) -> tuple[float, float]:
        return (px * x - py * y, px * y + py * x)

    for first, second in (("nx", "ny"), ("vx", "vy"), ("px", "py")):
        both = [turn(*pair) for pair in zip(getattr(F, first), getattr(F, second), strict=True)]
        setattr(F, first, [pair[0] for pair in both])
        setattr(F, second, [pair[1] for pair in both])
    F.px, F.py = [px + mx for px in F.px], [py + my for py in F.py]
    F.c = [c + nx * mx + ny * my for c, nx, ny in zip(F.c, F.nx, F.ny, strict=True)]
    return F
