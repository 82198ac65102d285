"""What writing a set into a folder will do to every name in it, decided before anything is touched.

A file is ours where the last manifest says so and its hash is the one written then; one with another hash was changed
by somebody and is kept under another name; anything else under a name we need is somebody's own and stops the run.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from takeoff.basics.errors import UsageError
from takeoff.basics.manifest import (
    MANIFEST,
    MOST_BYTES,
    VERSION,
    Manifest,
    is_plain_name,
    name_texts,
    parse_manifest,
    seal_of,
    sealed_record,
    text_bytes,
)
from takeoff.basics.records import record
from takeoff.write.folder.disk import Disk, Kind

FORMAT = "takeoff-journal"
MOST_KEPT = 9_999


@record
class Plan:
    """Names to hashes. `before`: files of ours that go. `changed`: files of ours that somebody changed, which stay
    under the name in `kept`. `after`: files that come, the manifest last."""

    before: Mapping[str, str]
    changed: Mapping[str, str]
    kept: Mapping[str, str]
    after: Mapping[str, str]

    def to_bytes(self) -> bytes:
        """The plan as the journal's file holds it."""
        body: dict[str, object] = {"format": FORMAT, "version": VERSION}
        body |= {name: dict(getattr(self, name)) for name in _PARTS}
        return text_bytes({**body, "seal": seal_of(body)})


_PARTS = ("before", "changed", "kept", "after")


def parse_plan(data: bytes) -> Plan | None:
    """The plan in a journal's bytes; None for anything this program did not write so."""
    body = sealed_record(data, FORMAT)
    parts = [name_texts(body.get(name)) for name in _PARTS] if body is not None else [None]
    found = [part for part in parts if part is not None]
    if len(found) != len(_PARTS):
        return None
    plan = Plan(*found)
    return plan if all(map(is_plain_name, plan.kept.values())) else None


def plan_set(disk: Disk, out: Path, after: Mapping[str, str]) -> Plan:
    """What is to be done so that `out` holds the files `after` (hash by name, manifest last) and no others of ours.

    Raises UsageError where something under one of the names is not ours, or an edited file cannot be kept.
    """
    listed = _listed(disk, out)
    before: dict[str, str] = {}
    changed: dict[str, str] = {}
    for name in after:
        kind = disk.kind(out / name)
        if kind in (Kind.FOLDER, Kind.OTHER):
            raise UsageError(f"{out / name} is a {kind.value}, not a file of ours; move it, or name another folder")
        if kind is Kind.FILE:
            digest = disk.digest(out / name)
            if digest in (after[name], listed.get(name)):
                before[name] = digest
            elif name in listed:
                changed[name] = digest
            else:
                raise UsageError(
                    f"{out / name} was not written by this program; move it, or name another folder with --out"
                )
    for name in listed:
        if name not in after and disk.kind(out / name) is Kind.FILE:
            digest = disk.digest(out / name)
            (before if digest == listed[name] else changed)[name] = digest
    return Plan(before, changed, _kept_names(disk, out, changed), after)


def _listed(disk: Disk, out: Path) -> dict[str, str]:
    """Hashes by name of the files that the last manifest says are ours, itself among them."""
    kind = disk.kind(out / MANIFEST)
    if kind is Kind.NOTHING:
        return {}
    manifest: Manifest | None = None
    if kind is Kind.FILE:
        data = disk.read(out / MANIFEST, MOST_BYTES)
        manifest = parse_manifest(data)
    if manifest is None:
        raise UsageError(
            f"{out / MANIFEST} is not as this program writes it, so nobody can tell which files here are its own; "
            "move it, or name another folder with --out"
        )
    return {**manifest.files, MANIFEST: disk.digest(out / MANIFEST)}


def _kept_names(disk: Disk, out: Path, changed: Mapping[str, str]) -> dict[str, str]:
    kept: dict[str, str] = {}
    for name in changed:
        kept[name] = free_name(disk, out, name)
    return kept


def free_name(disk: Disk, folder: Path, name: str) -> str:
    """NAME.kept-N with the least N that nothing has. Raises UsageError where there is none left."""
    taken = set(disk.names(folder))
    for number in range(1, MOST_KEPT + 1):
        if (free := f"{name}.kept-{number}") not in taken:
            return free
    raise UsageError(f"{folder / name} was changed since it was written and there are {MOST_KEPT:,} kept of it already")
