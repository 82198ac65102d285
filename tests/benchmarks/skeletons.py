"""Time the skeleton engine against general-purpose skeleton libraries, all in one run on the same outlines.

    python tests/benchmarks/skeletons.py OUTLINES.jsonl [--most 4096] [--out table.md]

OUTLINES: a line an outline, {"cls", "outer": [[x, y]..], "holes"}; classes are timed apart and named by their corners.
Timed: points in, faces with heights out, own self-check included, imports left out; for a library its
plain call on its own input form (most give arcs only, which is less). The figure is the median over a class of the
best of some calls. A library counts as right on an outline if the plan length of its inner arcs agrees with ours to
1e-6; only right answers are timed. Libraries are used where installed and never needed:
pysfcgal (GPL-3) and compas_cgal (LGPL-3) are compiled, with exact predicates; py_straight_skeleton (BSD-3),
shapely-polyskel and proj-polyskel (LGPL-3) and ladybug-geometry-polyskel (AGPL-3) are pure Python.
"""

from __future__ import annotations

import argparse
import json
import signal
from collections.abc import Callable, Iterable
from itertools import pairwise
from math import dist, log
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep, Skeleton
from takeoff.shape.skeleton.solve import solve

Rings = list[list[tuple[float, float]]]
Maker = Callable[[Rings], Callable[[], Any]]
Length = Callable[[Any, Rings], float]

EAVE = EdgeProfile(0.0, (RiseStep(None, 45.0),))
LIMIT_S = 30.0
"""A call that takes longer is broken off."""
SLOW_S = 2.0
"""A library that has taken longer than this on an outline is not asked for larger ones."""
PURE = ("py_straight_skeleton", "shapely-polyskel", "proj-polyskel", "ladybug-polyskel")


def arcs_length(arcs: Iterable[tuple[Any, Any]]) -> float:
    """Plan length of arcs given by their ends."""
    return sum(dist(a[:2], b[:2]) for a, b in arcs)


def ours(rings: Rings) -> Callable[[], Skeleton]:
    """Our engine on an outline."""
    profiles = [EAVE] * sum(map(len, rings))
    return lambda: solve(rings, profiles)


def our_length(roof: Skeleton, rings: Rings) -> float:
    """Every inner arc is a side of two faces."""
    sides = [(a, b) for f in roof.faces for r in f.rings for a, b in zip(r, (*r[1:], r[0]), strict=True)]
    return (arcs_length(sides) - perimeter(rings)) / 2.0


def perimeter(rings: Rings) -> float:
    """Length of the outline."""
    return sum(dist(a, b) for r in rings for a, b in zip(r, (*r[1:], r[0]), strict=True))


def pysfcgal() -> tuple[Maker, Length]:
    """Compiled, exact predicates; its arcs have no heights."""
    from pysfcgal.geometry import Polygon

    def make(rings: Rings) -> Callable[[], Any]:
        closed = [[*r, r[0]] for r in rings]
        return lambda: Polygon(closed[0], closed[1:]).straight_skeleton()

    def length(result: Any, rings: Rings) -> float:
        lines = [line.to_coordinates() for line in result]
        return arcs_length((a, b) for line in lines for a, b in pairwise(line))

    return make, length


def compas() -> tuple[Maker, Length]:
    """Compiled, exact predicates."""
    from compas_cgal.straight_skeleton_2 import interior_straight_skeleton

    def make(rings: Rings) -> Callable[[], Any]:
        points = [[x, y, 0.0] for x, y in rings[0]]
        return lambda: interior_straight_skeleton(points, as_graph=False)

    def length(result: Any, rings: Rings) -> float:
        points, indices, edges, _ = result
        where = {int(i): tuple(map(float, p)) for i, p in zip(indices, points, strict=True)}
        return arcs_length((where[int(a)], where[int(b)]) for a, b in edges) - perimeter(rings)

    return make, length


def py_straight_skeleton() -> tuple[Maker, Length]:
    """Pure Python."""
    from py_straight_skeleton import compute_skeleton

    def make(rings: Rings) -> Callable[[], Any]:
        return lambda: compute_skeleton(rings[0], rings[1:])

    def length(result: Any, rings: Rings) -> float:
        arcs = result.arc_iterator()
        return arcs_length(((a.position.x, a.position.y), (b.position.x, b.position.y)) for a, b in arcs)

    return make, length


def subtrees(skeletonize: Callable[..., Any]) -> tuple[Maker, Length]:
    """The libraries that give subtrees want clockwise outlines (their y axis points down)."""

    def make(rings: Rings) -> Callable[[], Any]:
        turned = [r[::-1] for r in rings]
        return lambda: skeletonize(turned[0], turned[1:])

    def length(result: Any, rings: Rings) -> float:
        return arcs_length(((s.source.x, s.source.y), (t.x, t.y)) for s in result for t in s.sinks)

    return make, length


def shapely_polyskel() -> tuple[Maker, Length]:
    """Pure Python."""
    from shapely_polyskel.polyskel import skeletonize

    return subtrees(skeletonize)


def proj_polyskel() -> tuple[Maker, Length]:
    """Pure Python."""
    from proj_polyskel.polyskel import skeletonize

    return subtrees(skeletonize)


def ladybug() -> tuple[Maker, Length]:
    """Pure Python."""
    from ladybug_geometry.geometry2d import Point2D, Polygon2D
    from ladybug_geometry_polyskel.polyskel import skeleton_as_subtree_list

    def make(rings: Rings) -> Callable[[], Any]:
        polygons = [Polygon2D([Point2D(x, y) for x, y in r]) for r in rings]
        return lambda: skeleton_as_subtree_list(polygons[0], polygons[1:] or None, 1e-5)

    def length(result: Any, rings: Rings) -> float:
        return arcs_length(((s.source.x, s.source.y), (t.x, t.y)) for s in result for t in s.sinks)

    return make, length


LIBRARIES: dict[str, Callable[[], tuple[Maker, Length]]] = {
    "pysfcgal": pysfcgal,
    "compas_cgal": compas,
    "py_straight_skeleton": py_straight_skeleton,
    "shapely-polyskel": shapely_polyskel,
    "proj-polyskel": proj_polyskel,
    "ladybug-polyskel": ladybug,
}


class TooLongError(Exception):
    """A call ran past its limit."""


def stop(*_: Any) -> None:
    """Alarm."""
    raise TooLongError


def timed(call: Callable[[], Any], calls: int) -> tuple[float, Any]:
    """Best time [s] of some calls, fewer if they are long, and the last result."""
    best = float("inf")
    result = None
    begun = perf_counter()
    for _ in range(calls):
        start = perf_counter()
        result = call()
        best = min(best, perf_counter() - start)
        if perf_counter() - begun > 1.0:
            break
    return best, result


def competitors() -> dict[str, tuple[Maker, Length]]:
    """Ours and every library that is installed."""
    out: dict[str, tuple[Maker, Length]] = {"takeoff": (ours, our_length)}
    for name, load in LIBRARIES.items():
        try:
            out[name] = load()
        except ImportError:
            print(f"{name} is not installed")
    return out


def race(outlines: list[Rings], runners: dict[str, tuple[Maker, Length]], dropped: set[str]) -> dict[str, list[Any]]:
    """Per runner the time [ms] on each outline of a class, or None where it failed or was wrong."""
    out: dict[str, list[Any]] = {name: [] for name in runners}
    for rings in outlines:
        due = our_length(ours(rings)(), rings)
        for name, (make, length) in runners.items():
            if name in dropped:
                continue
            start = perf_counter()
            signal.setitimer(signal.ITIMER_REAL, LIMIT_S)
            try:
                best, result = timed(make(rings), 15)
                right = abs(length(result, rings) - due) <= 1e-6 * due
            except (
                TooLongError,
                ShapeError,
                ArithmeticError,
                LookupError,
                RuntimeError,
                TypeError,
                ValueError,
                AttributeError,
            ):
                best, right = 0.0, False
            signal.setitimer(signal.ITIMER_REAL, 0.0)
            out[name].append(best * 1e3 if right else None)
            if perf_counter() - start > 15.0 * SLOW_S or best > SLOW_S:
                dropped.add(name)
    return out


def cell(times: list[Any]) -> str:
    """Median [ms], and how many were right if not all."""
    good = [t for t in times if t is not None]
    if not times:
        return "-"
    share = "" if len(good) == len(times) else f" ({len(good)}/{len(times)})"
    return (f"{median(good):.3g}" if good else "x") + share


def ratio(mine: list[Any], others: list[list[Any]]) -> str:
    """Median over the outlines of our time over the fastest other that is right on it."""
    shares = []
    for i, t in enumerate(mine):
        rivals = [o[i] for o in others if i < len(o) and o[i] is not None]
        if t is not None and rivals:
            shares.append(t / min(rivals))
    return f"{median(shares):.2f}" if shares else "-"


def table(classes: dict[str, list[Rings]], runners: dict[str, tuple[Maker, Length]]) -> list[str]:
    """Lines of the table, in Markdown, and the exponents."""
    names = list(runners)
    mine = [name for name in names if name.startswith("takeoff")]
    heads = [*names, *(f"{m} / {o}" for m in mine for o in ("pure", "pysfcgal"))]
    lines = ["| class | " + " | ".join(heads) + " |", "|---" * (len(heads) + 1) + "|"]
    dropped: set[str] = set()
    points: dict[str, list[tuple[float, float]]] = {}
    for cls, outlines in classes.items():
        times = race(outlines, runners, dropped)
        row = [cell(times[name]) for name in names]
        for m in mine:
            row.append(ratio(times[m], [times[p] for p in PURE if p in times]))
            row.append(ratio(times[m], [times["pysfcgal"]] if "pysfcgal" in times else []))
            if len(outlines[0][0]) >= 64 and times[m] and all(times[m]):
                points.setdefault(f"{m}, {cls.rstrip('0123456789')}", []).append(
                    (log(len(outlines[0][0])), log(median(times[m])))
                )
        lines.append(f"| {cls} | " + " | ".join(row) + " |")
        print(lines[-1], flush=True)
    for name, pairs in points.items():
        if len(pairs) > 1:
            mx, my = sum(p[0] for p in pairs) / len(pairs), sum(p[1] for p in pairs) / len(pairs)
            slope = sum((x - mx) * (y - my) for x, y in pairs) / sum((x - mx) ** 2 for x, _ in pairs)
            lines.append(f"exponent of time over corners from 64 on ({name}): {slope:.2f}")
    return lines


def main() -> None:
    """Read the outlines, print the table."""
    parser = argparse.ArgumentParser(description="time the skeleton engine against libraries")
    parser.add_argument("outlines", type=Path)
    parser.add_argument("--most", type=int, default=4096, help="largest outline timed, in corners")
    parser.add_argument("--out", type=Path, help="write the table here too")
    options = parser.parse_args()
    classes: dict[str, list[Rings]] = {}
    for text in options.outlines.read_text(encoding="utf-8").splitlines():
        line = json.loads(text)
        rings = [[(float(x), float(y)) for x, y in r] for r in (line["outer"], *line.get("holes", []))]
        if sum(map(len, rings)) <= options.most:
            classes.setdefault(line["cls"], []).append(rings)
    signal.signal(signal.SIGALRM, stop)
    lines = table(classes, competitors())
    print("\n".join(lines))
    if options.out:
        options.out.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
