"""The fingerprint printed on what is made from a job: it changes with every file that was read for it."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import file_digest, sha256
from pathlib import Path

from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.supplied import SiteMeasure
from takeoff.read.catalogue import catalogue_version


def fingerprint(
    job: Job, base: Path, text: str = "", taped: Sequence[SiteMeasure] = (), office: Office | None = None
) -> str:
    """16 signs from the job (as written in `text`, else its values), the files it names, looked for in `base`, the
    values of the office file and the catalogue's data; 8 more behind a dash for sizes taped on site."""
    found = sha256((text or job.model_dump_json()).encode("utf-8"))
    for path in files_named(job, base):
        if path.is_file():  # where it is not, its reader says so
            with path.open("rb") as file:
                found.update(file_digest(file, "sha256").digest())
    found.update(catalogue_version().encode())
    if office is not None:
        found.update(office.model_dump_json().encode("utf-8"))
    sizes = "".join(f"{measure.plane}/{measure.item}/{measure.mm!r}\n" for measure in taped)
    drawn = found.hexdigest()[:16]
    return f"{drawn}-{sha256(sizes.encode()).hexdigest()[:8]}" if taped else drawn


def is_of_job(found: str, job: Job, base: Path, text: str, office: Office | None = None) -> bool:
    """Whether a fingerprint is of a job as it is now, measured on site or not."""
    drawn = fingerprint(job, base, text, office=office)
    return found == drawn or found.startswith(f"{drawn}-")


def files_named(job: Job, base: Path) -> tuple[Path, ...]:
    """Every file a job names, in the order it names them."""
    files = [roof.drawn.file for roof in job.roofs if roof.drawn is not None]
    files += [wall.file for wall in job.walls.drawn_elevations] if job.walls is not None else []
    files += [job.rain.file] if job.rain.file is not None else []
    return tuple(base / file for file in files)
