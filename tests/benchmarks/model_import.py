"""Time and memory of taking a roof from a model: `python tests/benchmarks/model_import.py`.

A gable house of 12 x 8 m with walls, subdivided to 1,000, 10,000 and 100,000 triangles, and a terrain of as many beside
it, written as OBJ and binary STL; reading and raising the roof, in a process of its own each. The measure is the import
of the four core libraries in the same run: numpy, shapely, ezdxf, openpyxl.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from math import sqrt
from pathlib import Path

import numpy as np

CORE = "import time; t=time.perf_counter(); import numpy, shapely, ezdxf, openpyxl; print(time.perf_counter()-t)"
IMPORT = """
import json, resource, sys, time
start = time.perf_counter()
from pathlib import Path
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.read.shape_files import read_shape
from takeoff.shape.imported.roof_from_faces import roof_from_faces
path = Path(sys.argv[1])
job = RoofJob.model_validate({"shape": {"file": path.name, "unit": "m", "up": "z"}})
settings = resolve_settings(Job(job="bench"))
began = time.perf_counter()
raw = read_shape(path, job.shape)
read = time.perf_counter()
roof = roof_from_faces(raw, job, 0.0, settings)
done = time.perf_counter()
area = sum(plane.area_mm2 for plane in roof.planes) / 1e6
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
print(json.dumps({"read": read - began, "raise": done - read, "all": done - start, "mb": peak, "area": area,
                  "planes": len(roof.planes), "triangles": len(raw.triangles)}))
"""


def sheet(a: list[float], b: list[float], d: list[float], n: int) -> np.ndarray:
    """A parallelogram from corner `a` to `b` and `d`, as 2 n n triangles (t, 3, 3)."""
    u, v = np.meshgrid(np.linspace(0, 1, n + 1), np.linspace(0, 1, n + 1), indexing="ij")
    p = np.array(a) + u[..., None] * (np.array(b) - a) + v[..., None] * (np.array(d) - a)
    q = [p[:-1, :-1], p[1:, :-1], p[1:, 1:], p[:-1, 1:]]
    return np.concatenate([np.stack([q[0], q[k], q[k + 1]], axis=2).reshape(-1, 3, 3) for k in (1, 2)])


def house(count: int, terrain: bool) -> np.ndarray:
    """Triangles of the house, some `count`, half of them terrain where asked."""
    n = max(1, round(sqrt((count / 2 if terrain else count) / 12)))
    top = 2.4 + 4.0 / sqrt(3.0)
    parts = [
        sheet([0, 0, 2.4], [12, 0, 2.4], [0, 4, top], n),
        sheet([12, 8, 2.4], [0, 8, 2.4], [12, 4, top], n),
        sheet([0, 0, 0], [12, 0, 0], [0, 0, 2.4], n),
        sheet([12, 8, 0], [0, 8, 0], [12, 8, 2.4], n),
        sheet([0, 8, 0], [0, 0, 0], [0, 8, 2.4], n),
        sheet([12, 0, 0], [12, 8, 0], [12, 0, 2.4], n),
    ]
    if terrain:
        ground = sheet([-40, -40, -0.5], [60, -40, -0.5], [-40, 60, -0.5], max(1, round(sqrt(count / 4))))
        ground[..., 2] += 0.4 * np.sin(ground[..., 0]) * np.cos(0.7 * ground[..., 1])
        parts.append(ground)
    return np.concatenate(parts)


def written(path: Path, triangles: np.ndarray) -> Path:
    """The triangles as a file by the ending of its name."""
    if path.suffix == ".stl":
        rows = np.zeros(len(triangles), dtype=[("n", "<3f4"), ("p", "<9f4"), ("a", "<u2")])
        rows["p"] = triangles.reshape(-1, 9)
        path.write_bytes(bytes(80) + np.uint32(len(triangles)).tobytes() + rows.tobytes())
        return path
    points, inverse = np.unique(np.round(triangles.reshape(-1, 3), 9), axis=0, return_inverse=True)
    lines = [f"v {x:.9f} {y:.9f} {z:.9f}" for x, y, z in points.tolist()]
    lines += [f"f {a} {b} {c}" for a, b, c in (inverse.reshape(-1, 3) + 1).tolist()]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def ran(code: str, *words: str) -> str:
    """What a process of its own prints."""
    return subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True).stdout


def main() -> None:
    """Print a row for each size and kind of file."""
    core = min(float(ran(CORE)) for _ in range(3))
    print(f"import of the core libraries: {core:.2f} s")
    print(
        "| model | triangles | read s | raise s | in all s | x core | MB | area m2 |\n|---|---|---|---|---|---|---|---|"
    )
    with tempfile.TemporaryDirectory() as folder:
        for count in (1_000, 10_000, 100_000):
            for ending, terrain in ((".obj", False), (".stl", False), (".obj", True)):
                path = written(Path(folder) / f"house{ending}", house(count, terrain))
                got = min((json.loads(ran(IMPORT, str(path))) for _ in range(2)), key=lambda one: one["all"])
                name = f"house{' on terrain' if terrain else ''}, {ending[1:].upper()}"
                print(
                    f"| {name} | {got['triangles']} | {got['read']:.2f} | {got['raise']:.2f} | {got['all']:.2f} "
                    f"| {got['all'] / core:.1f} | {got['mb']:.0f} | {got['area']:.3f} |",
                    flush=True,
                )


if __name__ == "__main__":
    main()
