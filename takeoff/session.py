"""A job held warm: each edit gives the takeoff anew, and only what it changed is worked out again.

>>> import takeoff
>>> roof = {"outline": [(0, 0), (12000, 0), (12000, 8000), (0, 8000)], "pitch_deg": 25, "fascia_height_mm": 2400}
>>> job = takeoff.Job.model_validate({"job": "Hip roof", "roofs": [{"name": "main", **roof}]}, strict=False)
>>> session = takeoff.Session()
>>> house = session.edit(job).takeoff
>>> edited = session.change({"roofs[1].edges": {2: {"kind": "gable"}}})
>>> edited.changes.roofs, edited.changes.planes
(('main',), ('P1', 'P2', 'P3', 'P4'))
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.basics.superseding import given_up_when
from takeoff.model.job.job import Job
from takeoff.model.memory import KEPT, Memory
from takeoff.model.office import Office
from takeoff.model.order import Takeoff
from takeoff.model.quantities import Quantities
from takeoff.pipeline import Stage, quantities, run, run_file, run_text
from takeoff.read.job.job_file import job_path, parse_job, read_text
from takeoff.read.office.office_file import find_office

K = TypeVar("K")
_STEP = re.compile(r"\.?(?P<key>[A-Za-z_]\w*)|\[(?P<number>\d+)\]")


@record
class ChangedLine:
    """One line of the order that an edit changed: so many of an item in a length (0: it has none) before and now, 0
    where it was or is not there."""

    delivery: str
    item: str
    each_mm: float
    unit: str
    before: float
    now: float


@record
class Changes:
    """What an edit changed, what came and what went, by name: roofs and planes by their shape or their sheets, walls by
    their numbers, gutters, and lines of the order."""

    roofs: tuple[str, ...] = ()
    planes: tuple[str, ...] = ()
    walls: tuple[int, ...] = ()
    gutters: tuple[str, ...] = ()
    lines: tuple[ChangedLine, ...] = ()


@record
class Edited:
    """The takeoff after an edit, and what the edit changed against the one before it."""

    takeoff: Takeoff
    changes: Changes


@record
class TextJob:
    """A job as the text of its file, saved or not yet: where the file stands or will stand, and the office file where
    one is named."""

    text: str
    path: Path
    office: Path | None = None


class Session:
    """A job and all that was worked out for it, in one process.

    What an edit leaves as it was is remembered: up to `kept` pieces of work, the longest unused forgotten beyond that.
    The takeoff of an edit is that of a fresh run of the same job, to the last byte that is written of it. Not for
    several threads at once.
    """

    def __init__(
        self, base: Path = Path(), until: Stage = Stage.ORDER, kept: int = KEPT, office: Office | None = None
    ) -> None:
        """A session that has taken nothing off yet. `base`: the folder that files named in its jobs lie in; `office`:
        what the office says."""
        self.base, self.until, self.memory, self.office = base, until, Memory(kept), office
        self.job: Job | None = None
        self.takeoff: Takeoff | None = None

    @classmethod
    def of_file(cls, path: Path | str, until: Stage = Stage.ORDER, kept: int = KEPT) -> Session:
        """A session of a job file, or job.yaml in a folder, taken off, with the office file beside it. Raises what
        `run_file` raises."""
        path = job_path(Path(path))
        session = cls(path.parent, until, kept, find_office(path.parent, None))
        with session.memory.used():
            session.takeoff = run_file(path, until)
        session.job = parse_job(read_text(path), path.name, session.office)
        return session

    def edit(self, job: Job, newer: Callable[[], bool] | None = None) -> Edited:
        """Take the job as it is now. `newer` is asked between stages and inside cutting: where it says that a newer
        edit waits, this one is given up by Superseded. Raises what `run` raises; then, and where it is given up, the
        session stands as it was, and what was worked out so far is remembered."""
        with self.memory.used(), given_up_when(newer or _nobody):
            takeoff = run(job, self.base, self.until, office=self.office)
        changes = changes_between(self.takeoff, takeoff)
        self.job, self.takeoff = job, takeoff
        return Edited(takeoff, changes)

    def edit_text(self, job: TextJob, newer: Callable[[], bool] | None = None) -> Edited:
        """As `edit`, with the job as the text of its file. Raises what `run_text` raises."""
        takeoff = self.text_until(job, self.until, newer)
        changes = changes_between(self.takeoff, takeoff)
        held = find_office(job.path.parent, job.office)
        self.job, self.takeoff = parse_job(job.text, job.path.name, held), takeoff
        return Edited(takeoff, changes)

    def text_until(self, job: TextJob, until: Stage, newer: Callable[[], bool] | None = None) -> Takeoff:
        """The takeoff of a job given as text as far as a stage, from what is remembered; the session stands as it was.
        Raises what `run_text` raises."""
        with self.memory.used(), given_up_when(newer or _nobody):
            return run_text(job.text, job.path, until, office=job.office)

    def change(self, changes: Mapping[str, object], newer: Callable[[], bool] | None = None) -> Edited:
        """As `edit`, with values for places of the job, called as faults call them: `roofs[1].pitch_deg`, counted from
        1; None takes a value out. Raises UsageError for a place that cannot be, and as `edit`."""
        if self.job is None:
            raise UsageError("the session has no job yet: give it one by edit.")
        return self.edit(changed_job(self.job, changes), newer)

    def quantities(self, job: Job, newer: Callable[[], bool] | None = None) -> Quantities:
        """The quantities of a job without cutting, from what is remembered; the session stands as it was. Raises what
        `quantities` raises."""
        with self.memory.used(), given_up_when(newer or _nobody):
            return quantities(job, self.base, self.office)


def _nobody() -> bool:
    return False


def changed_job(job: Job, changes: Mapping[str, object]) -> Job:
    """The job with other values in some places (see `Session.change`). Raises UsageError for a place that cannot be and
    for values that a job cannot have."""
    from pydantic import ValidationError

    tree = job.model_dump(exclude_unset=True)
    for place, value in changes.items():
        _put(tree, place, value)
    try:
        return Job.model_validate(tree, strict=False)
    except ValidationError as err:
        said = "; ".join(f"{'.'.join(map(str, fault['loc']))}: {fault['msg']}" for fault in err.errors())
        raise UsageError(f"the job cannot be changed so: {said}") from err


def _put(tree: dict[str, Any], place: str, value: object) -> None:
    steps: list[str | int] = [step["key"] if step["key"] else int(step["number"]) for step in _STEP.finditer(place)]
    if not steps or "".join(found[0] for found in _STEP.finditer(place)) != place:
        raise UsageError(f"{place} is no place in a job; write it as roofs[1].pitch_deg.")
    at: Any = tree
    for step in steps[:-1]:
        at = _inside(at, step, place)
    _set(at, steps[-1], value, place)


def _inside(at: Any, step: str | int, place: str) -> Any:
    if isinstance(at, list) and isinstance(step, int) and 1 <= step <= len(at):
        return at[step - 1]
    if isinstance(at, dict):
        found = at.setdefault(step, {})
        if isinstance(found, dict | list):
            return found
    raise UsageError(f"{place}: the job has no {step} there.")


def _set(at: Any, step: str | int, value: object, place: str) -> None:
    if isinstance(at, list) and isinstance(step, int) and 1 <= step <= len(at):
        at[step - 1 : step] = [] if value is None else [value]
    elif isinstance(at, dict) and value is None:
        at.pop(step, None)
    elif isinstance(at, dict):
        at[step] = value
    else:
        raise UsageError(f"{place}: the job has no {step} there.")


def changes_between(before: Takeoff | None, now: Takeoff) -> Changes:
    """What differs between two takeoffs of one house; all of it where there was none before."""
    return Changes(
        roofs=_differ(_roofs(before), _roofs(now)),
        planes=_differ(_planes(before), _planes(now)),
        walls=_differ(_walls(before), _walls(now)),
        gutters=_differ(_gutters(before), _gutters(now)),
        lines=_lines(before, now),
    )


def _differ(before: Mapping[K, object], now: Mapping[K, object]) -> tuple[K, ...]:
    return tuple(name for name in dict.fromkeys((*before, *now)) if before.get(name) != now.get(name))


def _roofs(takeoff: Takeoff | None) -> dict[str, object]:
    return {roof.name: roof for roof in takeoff.roofs} if takeoff is not None else {}


def _gutters(takeoff: Takeoff | None) -> dict[str, object]:
    return {run.id: run for run in takeoff.gutters} if takeoff is not None else {}


def _planes(takeoff: Takeoff | None) -> dict[str, object]:
    if takeoff is None:
        return {}
    sheets = {plane.plane: plane for plane in takeoff.roofing.sheets}
    return {plane.id: (plane, sheets.get(plane.id)) for roof in takeoff.roofs for plane in roof.planes}


def _walls(takeoff: Takeoff | None) -> dict[int, object]:
    if takeoff is None:
        return {}
    boards: dict[int, list[object]] = {}
    for laid in takeoff.cladding.boards:
        boards.setdefault(laid.wall, []).append(laid)
    return {wall.wall: (wall, boards.get(wall.wall)) for wall in takeoff.elevations}


_Line = tuple[str, str, float, str]


def _lines(before: Takeoff | None, now: Takeoff) -> tuple[ChangedLine, ...]:
    was, are = _counts(before), _counts(now)
    return tuple(ChangedLine(*line, was.get(line, 0.0), are.get(line, 0.0)) for line in _differ(was, are))


def _counts(takeoff: Takeoff | None) -> dict[_Line, float]:
    found: dict[_Line, float] = {}
    for line in takeoff.order.lines if takeoff is not None and takeoff.order is not None else ():
        key = (line.delivery, line.item, line.each_mm, line.unit)
        found[key] = found.get(key, 0.0) + line.count
    return found
