"""Hidden folders that former versions left in an order folder when they were killed there: found and cleared.

They were named `.takeoff-` and eight signs, and held `new` (the set to come, its manifest last) and `old` (what stood
under its names). Only a folder that holds nothing else is taken for one. A file that its manifest does not know was
edited, or is not of this program: it is kept.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

from takeoff.basics.manifest import FORMAT, MANIFEST, MOST_BYTES, is_plain_name, name_texts
from takeoff.write.folder.disk import Disk, Kind
from takeoff.write.folder.plan import free_name

_HIDDEN = re.compile(r"\.takeoff-[a-z0-9_]{8}")
_NEW, _OLD = "new", "old"
_ENDINGS = frozenset({".csv", ".dxf", ".json", ".svg", ".xlsx"})  # of every file that a set holds


def clear_former(disk: Disk, out: Path) -> tuple[str, ...]:
    """Remove what former versions left in the folder. Returns the names under which files are kept that it cannot prove
    to be its own. Raises OSError where a step cannot be done; then the rest can be done later."""
    kept: list[str] = []
    for name in disk.names(out):
        if _HIDDEN.fullmatch(name) and _is_ours(disk, out / name):
            kept += _cleared(disk, out, out / name)
    return tuple(kept)


def _is_ours(disk: Disk, work: Path) -> bool:
    """Whether a hidden folder holds `new` and `old` and nothing else, and these nothing but files such as a set has."""
    if disk.kind(work) is not Kind.FOLDER:
        return False
    parts = disk.names(work)
    if not parts or not set(parts) <= {_NEW, _OLD} or any(disk.kind(work / part) is not Kind.FOLDER for part in parts):
        return False
    return all(
        is_plain_name(path.name) and path.suffix in _ENDINGS and disk.kind(path) is Kind.FILE
        for part in parts
        for path in _files(disk, work / part)
    )


def _files(disk: Disk, part: Path) -> Iterator[Path]:
    """The files of one part, its manifest last: it says of the others whose they are."""
    names = disk.names(part) if disk.kind(part) is Kind.FOLDER else ()
    return (part / name for name in sorted(names, key=lambda name: name == MANIFEST))


def _cleared(disk: Disk, out: Path, work: Path) -> Iterator[str]:
    for part in (work / _NEW, work / _OLD):
        listed = _listed(disk, part / MANIFEST)
        for path in _files(disk, part):
            # what was still to come nobody has seen; what stood in the folder may have been written in
            if part.name == _NEW or path.name == MANIFEST or disk.digest(path) == listed.get(path.name):
                disk.remove(path)
            else:
                kept = free_name(disk, out, path.name)
                disk.move(path, out / kept)
                yield kept
        if disk.kind(part) is Kind.FOLDER:
            disk.remove_folder(part)
    disk.remove_folder(work)


def _listed(disk: Disk, manifest: Path) -> dict[str, str]:
    """Hashes by name from the manifest of a former version, which carries no hash of its own; none where it is none."""
    if disk.kind(manifest) is not Kind.FILE:
        return {}
    try:
        body = json.loads(disk.read(manifest, MOST_BYTES).decode("utf-8"))
    except (ValueError, RecursionError):
        return {}
    ours = isinstance(body, dict) and body.get("format") == FORMAT
    return (name_texts(body.get("files")) or {}) if ours else {}
