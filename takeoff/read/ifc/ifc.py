"""An IFC file (2x3, 4, 4.3) -> the bodies of one roof's parts, of its building's walls, their openings and floors.

Needs the extra `ifc`. Nothing that a file refers to is opened.
"""

from __future__ import annotations

import json
import subprocess
import sys
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Any

from takeoff.basics.errors import JobError, TakeoffError, UndecidedError, UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.model.faces import RawFaces, RawPart, StatedArea, StatedPart, raw_faces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import LookedBody
from takeoff.read.ifc.step_guard import GREATEST_BYTES, step_faults
from takeoff.read.ifc.worker import MOST_SECONDS

_METRE_MM = 1000.0
_LIBRARY = "ifcopenshell"
_ERRORS: dict[str, type[TakeoffError]] = {"JobError": JobError, "UndecidedError": UndecidedError}
_START = "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from takeoff.read.ifc.worker import main; main()"


def read_ifc(path: Path, shape_job: ShapeJob) -> RawFaces:
    """The roof that the job means, with its building's walls, openings and floors, in metres, z up.

    Raises UnreadableFileError without the reading library and for what is no IFC, of another schema, broken or over the
    bounds; UndecidedError where the job must say which roof, JobError where it names none of them.
    """
    return _raw(path, _read_apart(path, "read", shape_job.part or ""))


def list_ifc(path: Path) -> tuple[tuple[LookedBody, ...], tuple[str, ...]]:
    """The roofs of a file by their ids, and what its house has, in sentences. Raises UnreadableFileError as reading
    does."""
    words = _read_apart(path, "list", "")["words"]
    bodies = tuple(_body(number, *roof) for number, roof in enumerate(words["roofs"], start=1))
    notes = [", ".join(f"{count} {word}" for word, count in words["counts"].items()) + " in the file"]
    if words["storeys"]:
        notes.append(
            "storeys: " + ", ".join(f"{name or 'no name'} at {level:.2f} m" for name, level in words["storeys"])
        )
    return bodies, tuple(notes)


def _body(
    number: int, key: str, name: str, building: str, products: int, low: list[float], high: list[float]
) -> LookedBody:
    spans = [1000.0 * (b - a) for a, b in zip(low, high, strict=True)]
    words = ", ".join(word for word in (name, f"on {building}" if building != name else "") if word)
    size = (max(spans[:2]), min(spans[:2]), spans[2])
    return LookedBody(number, key, f"roof {words}".strip(), size, 1000.0 * low[2], products)


def _checked(path: Path) -> bytes:
    if find_spec(_LIBRARY) is None:
        raise UnreadableFileError(
            f"{path.name}: reading IFC needs {_LIBRARY}, which is not installed; install it with: "
            f"pip install 'takeoff[ifc]', or pip install {_LIBRARY}"
        )
    data = read_bounded(path, GREATEST_BYTES, "model")
    if (fault := step_faults(data)) is not None:
        raise UnreadableFileError(f"{path.name}: {fault}")
    return data


def _read_apart(path: Path, what: str, wanted: str) -> dict[str, Any]:
    """What the worker found, asked to "read" or to "list". Raises UnreadableFileError where it breaks off."""
    import numpy as np

    data = _checked(path)
    command = [sys.executable, "-P", "-c", _START, json.dumps(sys.path), what, path.name, wanted]
    try:
        # the processor's time is bounded in the worker: this is for one that sleeps
        done = subprocess.run(command, input=data, capture_output=True, timeout=3 * MOST_SECONDS, check=False)
    except subprocess.TimeoutExpired:
        done = None
    if done is None or done.returncode != 0:
        raise UnreadableFileError(
            f"{path.name}: the reading library breaks off on it, or takes more than {MOST_SECONDS} s or 4 GB; save it "
            f"again, the house alone{_last_words(done)}"
        )
    with np.load(BytesIO(done.stdout), allow_pickle=False) as packed:
        found = {name: packed[name] for name in ("points", "triangles", "part_of")}
        found["words"] = json.loads(packed["words"].tobytes())
    faults = found["words"].get("faults")
    if faults:
        raise _ERRORS.get(found["words"]["kind"], UnreadableFileError)(*faults)
    return found


def _last_words(done: subprocess.CompletedProcess[bytes] | None) -> str:
    """What the worker said before it broke off, "" where nothing."""
    lines = done.stderr.decode("utf-8", "replace").split("\n") if done is not None else []
    words = next((line.strip() for line in reversed(lines) if line.strip()), "")
    return f" (it said: {''.join(letter for letter in words if letter.isprintable())[:160]})" if words else ""


def _raw(path: Path, found: dict[str, Any]) -> RawFaces:
    words = found["words"]
    return raw_faces(
        found["points"],
        found["triangles"],
        path.name,
        part_of=found["part_of"],
        parts=tuple(RawPart(**{**part, "stated": StatedPart(part["stated"])}) for part in words["parts"]),
        stated_unit_mm=_METRE_MM,
        stated_up="z",
        stated_areas=tuple(StatedArea(**area) for area in words["areas"]),
        findings=tuple(_findings(path, words)),
    )


def _findings(path: Path, words: dict[str, Any]) -> list[Finding]:
    found = []
    if words["no_bearing"]:
        text = f"{path.name}: {words['no_bearing']}: it says nothing of how the plan lies to north"
        found.append(
            Finding("true-north-unknown", Severity.NOTE, text, "give the bearing of plan up from the site plan")
        )
    elif words["bearing"] is not None:
        text = f"{path.name}: true north in the file makes the bearing of plan up {words['bearing']:.1f} degrees"
        found.append(Finding("true-north", Severity.NOTE, text, f"for the job: `north_deg: {words['bearing']:g}`"))
    if words["lost"]:
        text = f"{path.name}: {words['lost']} of its entities are unknown to its schema or broken and were not read"
        found.append(Finding("part-not-read", Severity.WARN, text, "save it again, and look whether a part is missing"))
    if words["without_shape"]:
        listed = ", ".join(words["without_shape"][:8])
        more = f" and {len(words['without_shape']) - 8} more" if len(words["without_shape"]) > 8 else ""
        text = f"{path.name}: parts whose shape cannot be built were left out: {listed}{more}"
        found.append(Finding("part-without-shape", Severity.WARN, text, "look whether one of them matters"))
    return found
