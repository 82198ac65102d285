"""A set of files written together: all of them, or the folder as it was.

Everything is first written into a temporary folder beside the target, then moved in by renaming; the manifest comes
last, so a folder with a manifest holds the whole set that it names. What the last manifest names and the new set does
not is taken away; files of others are left alone.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from takeoff.basics.errors import UsageError

MANIFEST = "manifest.json"
FORMAT = "takeoff-manifest"


def write_set(files: Mapping[str, bytes], out: Path, facts: Mapping[str, str]) -> tuple[Path, ...]:
    """Write files by name into `out`, which is made if it is not there. `facts` stand in the manifest beside each
    file's hash. Returns the paths in the order given, manifest last.

    Raises UsageError where `out` cannot be a folder or be written to; then nothing has changed.
    """
    if out.exists() and not out.is_dir():
        raise UsageError(f"{out} is a file, not a folder; name another with --out")
    manifest = {"format": FORMAT, "version": 1, **facts, "files": {name: _hash(data) for name, data in files.items()}}
    whole = {**files, MANIFEST: (json.dumps(manifest, indent=1, ensure_ascii=False) + "\n").encode("utf-8")}
    was_there = out.exists()
    try:
        out.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=".takeoff-", dir=out))
    except OSError as err:
        raise UsageError(f"{out} cannot be written to: {err.strerror or err}") from None
    try:
        _fill(fresh / "new", whole)
        _swap(fresh, out, tuple(whole))
    except OSError as err:
        raise UsageError(f"{out} cannot be written to: {err.strerror or err}; it is as it was") from None
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
        if not was_there and not any(out.iterdir()):
            out.rmdir()
    return tuple(out / name for name in whole)


def write_one(path: Path, data: bytes) -> Path:
    """Write one file, whole or not at all. Raises UsageError where it cannot be written; then it is as it was."""
    fresh = path.with_name(f".{path.name}.new")
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder; name a file")
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(fresh, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(fresh, path)
    except OSError as err:
        raise UsageError(f"{path} cannot be written to: {err.strerror or err}") from None
    finally:
        fresh.unlink(missing_ok=True)
    return path


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, data in files.items():
        with open(folder / name, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())


def _swap(fresh: Path, out: Path, names: tuple[str, ...]) -> None:
    """Move the old set aside and the new one in, manifest out first and in last; put everything back on a fault."""
    old = fresh / "old"
    old.mkdir()
    stale = [name for name in _stale(out) if name not in names]
    aside: list[str] = []
    placed: list[str] = []
    try:
        for name in (MANIFEST, *(name for name in names if name != MANIFEST), *stale):
            if (out / name).is_symlink() or (out / name).exists():
                os.replace(out / name, old / name)
                aside.append(name)
        for name in names:
            os.replace(fresh / "new" / name, out / name)
            placed.append(name)
    except BaseException:
        for name in placed:
            (out / name).unlink(missing_ok=True)
        for name in reversed(aside):
            os.replace(old / name, out / name)
        raise


def _stale(out: Path) -> tuple[str, ...]:
    """Files of the last manifest that are still as it left them. A manifest that is not ours names none."""
    try:
        manifest = json.loads((out / MANIFEST).read_text(encoding="utf-8"))
        if manifest["format"] != FORMAT:
            return ()
        listed = {str(name): str(digest) for name, digest in manifest["files"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return ()
    found = []
    for name, digest in listed.items():
        path = out / name
        plain_name = Path(name).name == name and name not in ("", ".", "..")
        if plain_name and path.is_file() and not path.is_symlink() and _hash(path.read_bytes()) == digest:
            found.append(name)
    return tuple(found)


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
