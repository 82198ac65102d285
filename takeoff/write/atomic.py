"""A set of files written together: all of them, or the folder as it was, and nothing lost that somebody wrote.

Everything is first written into a hidden folder within the target, with a journal, then moved in by renaming; the
manifest comes last, so a folder with a manifest and no journal holds the whole set that it names. What the last
manifest names and the new set does not is taken away; a file that was changed since is kept as NAME.kept-N; files and
folders of others are left alone, and one under a name that is needed stops the run.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from takeoff.basics.errors import UsageError
from takeoff.basics.interrupts import Stopped, signals_held
from takeoff.basics.manifest import MANIFEST, Manifest, digest_of
from takeoff.model.order_folder import OneWritten, Written
from takeoff.write.folder.disk import Disk, Kind, RealDisk
from takeoff.write.folder.former import clear_former
from takeoff.write.folder.lock import WAIT_S, folder_lock
from takeoff.write.folder.plan import free_name, plan_set
from takeoff.write.folder.swap import exchange, prepare, put_right


def write_set(
    files: Mapping[str, bytes], out: Path, facts: Mapping[str, str], disk: Disk | None = None, wait_s: float = WAIT_S
) -> Written:
    """Write files by name into `out`, which is made if it is not there. `facts` stand in the manifest beside each
    file's hash. Returns the paths in the order given, manifest last, and which changed files were kept.

    Raises UsageError where `out` cannot be a folder or be written to, where another run is writing into it, and where
    something of others has a name that is needed; then nothing has changed, or the message says what has. Raises
    Stopped for a signal that came too late to change anything.
    """
    disk = disk or RealDisk()
    after = {name: digest_of(data) for name, data in files.items()}
    manifest = Manifest(after, facts).to_bytes()
    whole = {**files, MANIFEST: manifest}
    if out.exists() and not out.is_dir():
        raise UsageError(f"{out} is a file, not a folder; name another with --out")
    with _writable(out), folder_lock(out, wait_s):
        kept = _write_locked(disk, out, whole, {**after, MANIFEST: digest_of(manifest)})
    return Written(out, tuple(out / name for name in whole), kept)


def _write_locked(
    disk: Disk, out: Path, files: Mapping[str, bytes], after: Mapping[str, str]
) -> tuple[tuple[str, str], ...]:
    with _steady(out):
        found = (*put_right(disk, out), *clear_former(disk, out))
    plan = plan_set(disk, out, after)
    try:
        prepare(disk, out, plan, files)
        with signals_held() as came:
            exchange(disk, out, plan)
    except BaseException as err:
        _give_up(disk, out, err)
        raise
    late: tuple[str, ...] = ()
    with suppress(OSError):  # the set is whole now: what cannot be cleaned up, the next run does
        late = put_right(disk, out)
    if came:
        raise Stopped(came[0], f"the files in {out} were written before that and are whole")
    names = (*found, *late)
    return (*((name.rpartition(".kept-")[0], name) for name in names), *plan.kept.items())


def _give_up(disk: Disk, out: Path, err: BaseException) -> None:
    """Put the folder back as it was. Raises UsageError where that fails too: the next run can do it."""
    with signals_held():
        try:
            put_right(disk, out)
        except OSError as again:
            raise UsageError(
                f"{_fault_words(out, err)}, and {_fault_words(out, again)}: the folder is not whole until the next "
                "run into it puts it right"
            ) from None


@contextmanager
def _steady(out: Path) -> Iterator[None]:
    """Putting right what an earlier run left: not stopped halfway, and with words of its own where it fails."""
    with signals_held() as came:
        try:
            yield
        except OSError as err:
            raise UsageError(
                f"{_fault_words(out, err)}: an earlier run was stopped while it wrote there, and the folder is not "
                "whole until that file is free"
            ) from None
    if came:
        raise Stopped(came[0])


@contextmanager
def _writable(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as err:
        raise UsageError(f"{_fault_words(path, err)}; nothing was changed") from None


def _fault_words(out: Path, err: BaseException) -> str:
    """What could not be done, naming the file: on some systems a file that is open elsewhere cannot be replaced."""
    if not isinstance(err, OSError):
        return f"{out} cannot be written to"
    path = err.filename if isinstance(err.filename, str) else str(out)
    busy = ", is it open in another program?" if isinstance(err, PermissionError) else ""
    return f"{path} cannot be written to: {err.strerror or err}{busy}"


def write_one(path: Path, data: bytes, disk: Disk | None = None) -> OneWritten:
    """Write one file, whole or not at all. What was there under its name is kept as NAME.kept-N unless it is the same.

    Raises UsageError where it cannot be written; then it is as it was.
    """
    disk = disk or RealDisk()
    with _writable(path):
        if path.is_dir():
            raise UsageError(f"{path} is a folder; name a file")
        with folder_lock(path.parent):
            return OneWritten(path, _write_beside(disk, path, data))


def _write_beside(disk: Disk, path: Path, data: bytes) -> str:
    kind = disk.kind(path)
    if kind is Kind.OTHER:
        raise UsageError(f"{path} is a {kind.value}, not a file; name another")
    if kind is Kind.FILE and disk.digest(path) == digest_of(data):
        return ""
    fresh = path.with_name(f".{path.name}.takeoff-new")  # of a run that was killed, where it is there
    if disk.kind(fresh) is Kind.FILE:
        disk.remove(fresh)
    kept = free_name(disk, path.parent, path.name) if kind is Kind.FILE else ""
    try:
        disk.write(fresh, data)
        if kept:
            disk.move(path, path.with_name(kept))
        disk.move(fresh, path)
    except BaseException:
        if disk.kind(fresh) is Kind.FILE:
            disk.remove(fresh)
        if kept and disk.kind(path) is Kind.NOTHING and disk.kind(path.with_name(kept)) is Kind.FILE:
            disk.move(path.with_name(kept), path)
        raise
    return kept
