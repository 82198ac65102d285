"""How many real roofs are read right: `python tests/crosschecks/import_table.py FOLDER [--step N] [--footprints N]`.

For every set of the open data (roofs_*.jsonl: buildings with areas and edges that independent code measured) a row: how
many were read, close, have the area within 0.1 % and the edges by kind within 0.5 %; how many were refused, by cause; how
many are wrong, and of those how many without a finding that says so. A JSON line a building goes to `--lines FILE`.
Footprints (footprints_*.jsonl) are raised at 25 degrees and taken to their measured quantities.
"""

from __future__ import annotations

import argparse
import json
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from takeoff import pipeline
from takeoff.basics.errors import TakeoffError
from takeoff.basics.face_cutting import cut_face
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.faces import RawFaces, raw_faces
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.imported.roof_from_faces import roof_from_faces

SETTINGS = resolve_settings(Job(job="check"))
SHAPE = ShapeJob(file="house")
AREA, EDGES, LEAST_M = 1e-3, 5e-3, 0.05
LEVEL_DEG = 1.1458  # 2 %: by that alone the sets tell eave from verge and ridge from hip
# the sets tell no aprons apart, call free level edges eaves or high edges by another rule than ours, and know no pitch
# changes: what lies level between two planes is a ridge where it opens downward
WORDS = {
    EdgeKind.HEAD: "eave",
    EdgeKind.APRON_HEAD: "eave",
    EdgeKind.APRON_SIDE: "verge",
    EdgeKind.INTERNAL_GUTTER: "valley_level",
}
# findings that say of a shape that it is not quite the model's
SAYING = ("plane-not-flat", "mesh-snapped", "model-", "roof-opening", "roof-not-closed", "-not-level")


def raw_building(building: dict[str, Any]) -> RawFaces:
    """A building's roof and wall polygons, metres, z up, as a reader would give them."""
    points: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    polygon_of: list[int] = []
    for number, face in enumerate((*building["roof"], *building["wall"])):
        rings = [[(x, y, z) for x, y, z in ring] for ring in face["poly"]]
        first = len(points)
        points += [point for ring in rings for point in ring]
        try:
            cut = cut_face(rings)
        except ValueError:
            continue
        triangles += [(first + a, first + b, first + c) for a, b, c in cut]
        polygon_of += [number] * len(cut)
    return raw_faces(points, triangles, building["id"], polygon_of=polygon_of, stated_unit_mm=1000.0, stated_up="z")


def edge_lengths(roof: Roof) -> Counter[str]:
    """Metres by the catalogue's words."""
    total: Counter[str] = Counter()
    for edge in roof.edges:
        word = WORDS.get(edge.kind, edge.kind.value)
        if edge.kind is EdgeKind.PITCH_CHANGE:
            word = "ridge" if edge.convex else "valley_level"
        if edge.slope_deg < LEVEL_DEG:
            word = {"verge": "eave", "hip": "ridge", "valley": "valley_level"}.get(word, word)
        total[word] += edge.length_mm / 1000.0
    return total


def expected_lengths(edges: dict[str, float] | None) -> Counter[str]:
    """The same of the set's own edges; joints in a plane are none."""
    total: Counter[str] = Counter()
    for word, length in (edges or {}).items():
        if word != "coplanar_joint":
            total["eave" if word in ("high_edge", "flat_edge") else word] += length
    return total


def unlike(found: Counter[str], expected: Counter[str]) -> list[str]:
    """Kinds whose lengths differ, with both."""
    return [
        f"{word} {found[word]:.2f} against {expected[word]:.2f}"
        for word in sorted({*found, *expected})
        if abs(found[word] - expected[word]) > max(LEAST_M, EDGES * expected[word])
    ]


def one_building(building: dict[str, Any]) -> dict[str, Any]:
    """What came of one building."""
    line: dict[str, Any] = {"id": building["id"], "clean": building["clean"], "edges_ok": building["edges_ok"]}
    try:
        roof = roof_from_faces(raw_building(building), RoofJob(shape=SHAPE), 0.0, SETTINGS)
    except TakeoffError as err:
        return line | {"refused": cause(err.faults[0]), "said": err.faults[0]}
    except Exception as err:
        return line | {"refused": f"crash {type(err).__name__}", "said": str(err)}
    area = sum(plane.area_mm2 for plane in roof.planes) / 1e6
    said = sorted({finding.code for finding in roof.findings if finding.severity is not Severity.FIXED})
    line |= {"area": round(area, 4), "expected": building["sum"]["roof_true"], "closed": roof.closed, "said": said}
    line["area_ok"] = abs(area - line["expected"]) <= AREA * line["expected"]
    differ = unlike(edge_lengths(roof), expected_lengths(building["edges"]))
    line |= {"edges": differ, "edges_right": not differ}
    return line | {"told": any(mark in code for mark in SAYING for code in said)}


def cause(fault: str) -> str:
    """A fault without its names, places and figures."""
    text = re.sub(r"^roof \w+: ", "", fault)
    text = re.sub(r"\(-?\d+, -?\d+\)( at height -?\d+)?", "PLACE", text)
    return re.sub(r"-?\d+(\.\d+)?|\b[A-Z]\d+\b", "N", text)[:90]


def read_lines(path: Path, step: int) -> Iterator[dict[str, Any]]:
    """Every `step`th line of a set."""
    with path.open(encoding="utf-8") as lines:
        for number, line in enumerate(lines):
            if number % step == 0:
                yield json.loads(line)


def row(lines: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """The figures of one set."""
    read = [line for line in lines if "refused" not in line]
    clean = [line for line in lines if line["clean"]]
    sharp = [line for line in lines if line["edges_ok"]]
    wrong = [line for line in read if not line["area_ok"] or (line["edges_ok"] and not line["edges_right"])]
    return {
        "buildings": len(lines),
        "read": len(read),
        "closed": sum(line["closed"] for line in read),
        "area of clean": f"{sum(line.get('area_ok', False) for line in clean)}/{len(clean)}",
        "edges of edges_ok": f"{sum(line.get('edges_right', False) for line in sharp)}/{len(sharp)}",
        "wrong": len(wrong),
        "wrong, unsaid": sum(not line["told"] for line in wrong),
        "refused": dict(Counter(line["refused"] for line in lines if "refused" in line).most_common()),
    }


def one_footprint(footprint: dict[str, Any]) -> str:
    """How far an outline at 25 degrees comes: "measured", or the cause of its stop."""
    rings = [[(1000.0 * x, 1000.0 * y) for x, y in ring] for ring in footprint["footprint"]]
    job = {
        "job": "footprint",
        "roofs": [{"outline": rings[0], "courtyards": rings[1:], "pitch_deg": 25.0, "fascia_height_mm": 2400.0}],
    }
    try:
        takeoff = pipeline.run(Job.model_validate(job, strict=False), until=pipeline.Stage.MEASURE)
    except TakeoffError as err:
        return cause(err.faults[0])
    except Exception as err:
        return f"crash {type(err).__name__}"
    return "measured" if takeoff.roofs else "nothing"


def main(words: Sequence[str] | None = None) -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--step", type=int, default=1, help="every so many buildings")
    asked.add_argument("--footprints", type=int, default=0, help="every so many footprints; 0: none")
    asked.add_argument("--lines", type=Path, help="file for a JSON line a building")
    given = asked.parse_args(words)
    out = given.lines.open("w", encoding="utf-8") if given.lines else None
    for path in sorted(given.folder.glob("roofs_*.jsonl")):
        lines = [one_building(building) for building in read_lines(path, given.step)]
        if out:
            out.writelines(json.dumps({"set": path.stem, **line}) + "\n" for line in lines)
        print(path.stem, *(f"{key} {value}" for key, value in row(lines).items()), sep=" | ", flush=True)
    for path in sorted(given.folder.glob("footprints_*.jsonl")) if given.footprints else ():
        ends = Counter(one_footprint(footprint) for footprint in read_lines(path, given.footprints))
        print(path.stem, dict(ends.most_common()), sep=" | ", flush=True)


if __name__ == "__main__":
    np.seterr(all="ignore")
    main()
