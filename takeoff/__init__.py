"""Roof and cladding takeoff: from the shape of a house to cut lists, an order sheet and drawings.

What a script may lean on stands here and is loaded when it is first asked for; the rooms inside may move.

    >>> import takeoff
    >>> roof = {"outline": [(0, 0), (12000, 0), (12000, 8000), (0, 8000)], "pitch_deg": 25, "fascia_height_mm": 2400}
    >>> job = takeoff.Job.model_validate({"job": "Hip roof", "roofs": [roof]}, strict=False)
    >>> done = takeoff.run(job)
    >>> [(gutter.id, gutter.plan_catchment_mm2 / 1e6) for gutter in done.rainwater.gutters]
    [('SP1', 96.0)]
    >>> sorted(plane.id for plane in done.roofs[0].planes)
    ['P1', 'P2', 'P3', 'P4']
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from takeoff.basics.errors import (
        JobError,
        ShapeError,
        TakeoffError,
        UndecidedError,
        UnreadableFileError,
        UsageError,
    )
    from takeoff.basics.superseding import Superseded
    from takeoff.model.job.job import Job
    from takeoff.model.order import Takeoff
    from takeoff.model.quantities import Quantities
    from takeoff.pipeline import Stage, quantities, quantities_of, run, run_file, write_files
    from takeoff.read.job.job_file import read_job
    from takeoff.session import Session
    from takeoff.session_worker import Worker

__version__ = "0.1.0"

__all__ = [
    "Job",
    "JobError",
    "Quantities",
    "Session",
    "ShapeError",
    "Stage",
    "Superseded",
    "Takeoff",
    "TakeoffError",
    "UndecidedError",
    "UnreadableFileError",
    "UsageError",
    "Worker",
    "quantities",
    "quantities_of",
    "read_job",
    "run",
    "run_file",
    "write_files",
]

_HOME = {
    "Job": "takeoff.model.job.job",
    "JobError": "takeoff.basics.errors",
    "ShapeError": "takeoff.basics.errors",
    "UndecidedError": "takeoff.basics.errors",
    "Quantities": "takeoff.model.quantities",
    "Session": "takeoff.session",
    "Stage": "takeoff.pipeline",
    "Superseded": "takeoff.basics.superseding",
    "Takeoff": "takeoff.model.order",
    "TakeoffError": "takeoff.basics.errors",
    "UnreadableFileError": "takeoff.basics.errors",
    "UsageError": "takeoff.basics.errors",
    "Worker": "takeoff.session_worker",
    "quantities": "takeoff.pipeline",
    "quantities_of": "takeoff.pipeline",
    "read_job": "takeoff.read.job.job_file",
    "run": "takeoff.pipeline",
    "run_file": "takeoff.pipeline",
    "write_files": "takeoff.pipeline",
}


def __getattr__(name: str) -> object:
    """A name of the public face, from the room it lives in."""
    if name not in _HOME:
        raise AttributeError(f"module 'takeoff' has no attribute {name!r}")
    found: object = getattr(import_module(_HOME[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """The public names, loaded or not."""
    return sorted([*__all__, "__version__"])
