"""The old set out and the new one in, with a journal, so that a run that is killed leaves what the next can put right.

In the folder lies, while this goes on, `.takeoff-work`: the journal (what is to be done, with hashes), `new` (files to
come) and `old` (files that go). The manifest goes first and comes last: where it is the new one the set is whole and
only cleaning is left; where it is not, everything goes back to what it was. Both can be done any number of times.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from takeoff.basics.errors import UsageError
from takeoff.basics.manifest import MANIFEST, MOST_BYTES
from takeoff.write.folder.disk import Disk, Kind
from takeoff.write.folder.plan import Plan, free_name, parse_plan

WORK = ".takeoff-work"
_JOURNAL, _FRESH, _NEW, _OLD = "journal.json", "journal.new", "new", "old"


def prepare(disk: Disk, out: Path, plan: Plan, files: Mapping[str, bytes]) -> None:
    """Write the journal, then the new files beside the old ones. Nothing that is there is touched."""
    work = out / WORK
    disk.make_folder(work)
    disk.write(work / _FRESH, plan.to_bytes())
    disk.move(work / _FRESH, work / _JOURNAL)
    disk.settle(work)
    disk.make_folder(work / _NEW)
    disk.make_folder(work / _OLD)
    for name, data in files.items():
        disk.write(work / _NEW / name, data)
    disk.settle(work / _NEW)


def exchange(disk: Disk, out: Path, plan: Plan) -> None:
    """The old files out, the new ones in."""
    work = out / WORK
    for name in sorted(plan.before, key=lambda name: name != MANIFEST):
        disk.move(out / name, work / _OLD / name)
    disk.settle(out)
    for name, kept in plan.kept.items():
        if disk.kind(out / name) is Kind.FILE:
            disk.move(out / name, out / kept)
    for name in plan.after:
        if name != MANIFEST:
            disk.move(work / _NEW / name, out / name)
    disk.settle(out)
    disk.move(work / _NEW / MANIFEST, out / MANIFEST)
    disk.settle(out)


def put_right(disk: Disk, out: Path) -> tuple[str, ...]:
    """Finish or undo what a run left in the folder; nothing to do where none did. Returns names of files that somebody
    changed meanwhile and that were kept.

    Raises UsageError for work that is not ours, OSError where a step cannot be done; then the rest can be done later.
    """
    work = out / WORK
    kind = disk.kind(work)
    if kind is Kind.NOTHING:
        return ()
    plan = _journal(disk, work) if kind is Kind.FOLDER else None
    if plan is None:
        _clear_start(disk, work, kind)
        return ()
    done = disk.kind(out / MANIFEST) is Kind.FILE and disk.digest(out / MANIFEST) == plan.after.get(MANIFEST)
    kept = [] if done else _go_back(disk, out, plan)
    kept += _clear(disk, out, plan)
    return tuple(kept)


def _journal(disk: Disk, work: Path) -> Plan | None:
    if disk.kind(work / _JOURNAL) is not Kind.FILE:
        return None
    return parse_plan(disk.read(work / _JOURNAL, MOST_BYTES))


def _clear_start(disk: Disk, work: Path, kind: Kind) -> None:
    """Remove the start of a run that had not written its journal yet. Raises UsageError for anything else."""
    inside = disk.names(work) if kind is Kind.FOLDER else ("",)
    if any(name != _FRESH or disk.kind(work / name) is not Kind.FILE for name in inside):
        raise UsageError(f"{work} was not written by this program; move it, or name another folder with --out")
    for name in inside:
        disk.remove(work / name)
    disk.remove_folder(work)


def _go_back(disk: Disk, out: Path, plan: Plan) -> list[str]:
    """Everything as it was before the run, the manifest last."""
    old, changed = out / WORK / _OLD, []
    for name, digest in plan.after.items():
        # still in `new`, or what stood there not yet in `old`: it was not placed
        waits = disk.kind(out / WORK / _NEW / name) is Kind.FILE
        stands = name in plan.before and disk.kind(old / name) is not Kind.FILE
        placed = not waits and not stands and disk.kind(out / name) is Kind.FILE
        if placed and disk.digest(out / name) == digest:
            disk.remove(out / name)
    for name, kept in plan.kept.items():
        there = disk.kind(out / kept) is Kind.FILE and disk.kind(out / name) is Kind.NOTHING
        if there and disk.digest(out / kept) == plan.changed.get(name):
            disk.move(out / kept, out / name)
    for name in sorted(plan.before, key=lambda name: name == MANIFEST):
        if disk.kind(old / name) is Kind.FILE:
            if disk.kind(out / name) is Kind.FILE:  # somebody has written it meanwhile
                changed.append(_keep(disk, out / name, out, name))
            disk.move(old / name, out / name)
    disk.settle(out)
    return changed


def _clear(disk: Disk, out: Path, plan: Plan) -> list[str]:
    """Remove the work. An old file that is not as it was when the run began is kept: somebody wrote into it."""
    work, changed = out / WORK, []
    for name, digest in plan.before.items():
        if disk.kind(work / _OLD / name) is Kind.FILE:
            if disk.digest(work / _OLD / name) == digest:
                disk.remove(work / _OLD / name)
            else:
                changed.append(_keep(disk, work / _OLD / name, out, name))
    for name in plan.after:
        if disk.kind(work / _NEW / name) is Kind.FILE:
            disk.remove(work / _NEW / name)
    for folder in (work / _OLD, work / _NEW):
        if disk.kind(folder) is Kind.FOLDER:
            disk.remove_folder(folder)
    disk.remove(work / _JOURNAL)
    disk.remove_folder(work)
    return changed


def _keep(disk: Disk, path: Path, out: Path, name: str) -> str:
    kept = free_name(disk, out, name)
    disk.move(path, out / kept)
    return kept
