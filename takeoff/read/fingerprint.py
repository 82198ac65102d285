"""The fingerprint printed on what is made from a job: it changes with every file that was read for it."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

from takeoff.model.job.job import Job
from takeoff.model.supplied import SiteMeasure
from takeoff.read.catalogue import catalogue_version


def fingerprint(job: Job, base: Path, text: str = "", taped: Sequence[SiteMeasure] = ()) -> str:
    """16 signs from the job (as written in `text`, else its values), the files it names, looked for in `base`, the
    sizes taped on site, and the catalogue's data."""
    found = sha256((text or job.model_dump_json()).encode("utf-8"))
    for path in files_named(job, base):
        if path.is_file():  # where it is not, its reader says so
            found.update(sha256(path.read_bytes()).digest())
    for measure in taped:
        found.update(f"{measure.plane}/{measure.item}/{measure.mm!r}\n".encode())
    found.update(catalogue_version().encode())
    return found.hexdigest()[:16]


def files_named(job: Job, base: Path) -> tuple[Path, ...]:
    """Every file a job names, in the order it names them."""
    return tuple(base / roof.mesh.file for roof in job.roofs if roof.mesh is not None)
