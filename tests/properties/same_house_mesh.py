"""The sample that comes from a mesh, turned, shifted, rounded and with its faces in another order."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from same_house import Outcome, may_be_off_mm, ways
from same_house_compare import jumps, order_differences, shape_differences
from same_house_houses import SAMPLES, House, sample
from same_house_moves import Move

from takeoff import pipeline
from takeoff.basics.errors import TakeoffError
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

NAME = "mesh_house"


def moved_mesh(text: str, move: Move, back: bool = False) -> str:
    """An OBJ file in metres with its points moved and its faces begun elsewhere; `back`: the rounded points turned and
    shifted back.

    Each face keeps its first point: once its corners are rounded it is out of flat by that, and where it starts says along
    which diagonal it is bent.
    """
    points, faces = [], []
    for line in text.splitlines():
        kind, *rest = line.split() or [""]
        if kind == "v":
            x, y = move.place([1000.0 * float(rest[0]), 1000.0 * float(rest[1])])
            x, y = move.back((x, y)) if back else (x, y)
            z = move.rounded(1000.0 * float(rest[2]))
            points.append("v " + " ".join(f"{value / 1000.0:.9f}" for value in (x, y, z)))
        elif kind == "f":
            faces.append(line)
    start = move.start % len(faces)
    return "\n".join([*points, *faces[start:], *faces[:start]])


def _take_off(house: House, mesh: str) -> Takeoff:
    with TemporaryDirectory() as folder:
        (Path(folder) / "house.obj").write_text(mesh, "utf-8")
        return pipeline.run(parse_job(json.dumps(house, default=str)), base=Path(folder))


def mesh_outcomes(every: bool) -> list[Outcome]:
    """All ways of the mesh sample but the taped ones: a model is as true as its numbers."""
    house, text = sample(NAME), (SAMPLES / NAME / "house.obj").read_text("utf-8")
    one = _take_off(house, text)
    found = []
    for move in ways(f"sample {NAME}", every):
        if not move.noise_mm:
            drawn = house | {"north_deg": (house.get("north_deg", 0.0) + move.turn_deg) % 360.0}
            square = moved_mesh(text, replace(move, start=0), back=True)
            found.append(_compared(one, drawn, moved_mesh(text, move), _take_off(house, square), move))
    return found


def _compared(one: Takeoff, drawn: House, mesh: str, three: Takeoff, move: Move) -> Outcome:
    """`three`: the model with the same rounded points lying square. It says what rounding alone changes."""
    name = f"sample {NAME}"
    try:
        two = _take_off(drawn, mesh)
    except TakeoffError as err:
        return Outcome(name, move.words, "refusal", err.faults)
    except Exception as err:
        return Outcome(name, move.words, "crash", (f"{type(err).__name__}: {err}",))
    wrong = [*shape_differences(one, two, 6.0 * may_be_off_mm(move)), *order_differences(three, two), *jumps(one, two)]
    if wrong:
        return Outcome(name, move.words, "unexplained", tuple(wrong))
    said = order_differences(one, two)
    return Outcome(name, move.words, "explained" if said else "same", tuple(said))
