"""The folder of an order as it is now against its manifest: whole, edited since, or not whole. Changes nothing."""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.manifest import MANIFEST, MOST_BYTES, Manifest, parse_manifest
from takeoff.basics.regular_files import read_bounded
from takeoff.model.order_folder import FolderState
from takeoff.read.lists.list_rows import read_tables
from takeoff.read.lists.raw_table import Cell, RawTable
from takeoff.read.results.data_node import Node

SHEET, DATA = "order_sheet.xlsx", "takeoff.json"
MOST_FILE = 1_000_000_000
MOST_DATA = 300_000_000
MOST_NAMED = 20
_NEAR = 0.0005  # totals have at most three decimals
_CHUNK = 1 << 20


def read_folder_state(folder: Path) -> FolderState:
    """How a folder is found. Raises UnreadableFileError where there is no folder."""
    if not folder.is_dir():
        raise UnreadableFileError(f"{folder}: is no folder; name the one that --out named")
    if not os.path.lexists(folder / MANIFEST):
        why = f"{MANIFEST} is not there: no order was written here, or a run was stopped while it wrote; run it again"
        return FolderState(folder, faults=(why,))
    manifest = parse_manifest(read_bounded(folder / MANIFEST, MOST_BYTES, "manifest"))
    if manifest is None:
        return FolderState(folder, faults=(f"{MANIFEST} is not as the program wrote it, so it proves nothing",))
    faults: list[str] = []
    edited: list[str] = []
    for name, digest in manifest.files.items():
        found = _digest(folder / name)
        if found is None:
            faults.append(f"{name} is not there, or is no file")
        elif found != digest:
            edited.append(name)
    state = _compared(folder, manifest, edited) if not faults else FolderState(folder)
    if state.differing and not {SHEET, DATA} & set(edited):
        faults.append(f"the totals of {SHEET} are not those of {DATA}: {', '.join(state.differing[:MOST_NAMED])}")
    return FolderState(
        folder,
        job=manifest.facts.get("job", ""),
        fingerprint=manifest.facts.get("job_hash", ""),
        files=len(manifest.files),
        faults=(*faults, *state.faults),
        edited=tuple(edited),
        differing=state.differing,
        lines=state.lines,
        notes=state.notes,
    )


def _digest(path: Path) -> str | None:
    """The hash of a file; None for no file, "" for one larger than any that is written."""
    try:
        status = path.lstat()
        if not stat.S_ISREG(status.st_mode):
            return None
        if status.st_size > MOST_FILE:
            return ""
        total = sha256()
        with open(path, "rb") as stream:
            while chunk := stream.read(_CHUNK):
                total.update(chunk)
    except OSError:
        return None
    return total.hexdigest()


def _compared(folder: Path, manifest: Manifest, edited: list[str]) -> FolderState:
    """Whether data and sheet are of the manifest's job and say the same."""
    if SHEET not in manifest.files or DATA not in manifest.files:
        return FolderState(folder, notes=(f"there is no {SHEET} with a {DATA} to compare it with",))
    try:
        data = Node(json.loads(read_bounded(folder / DATA, MOST_DATA, "result").decode("utf-8")), DATA)
        ours = _data_totals(data)
        theirs = _sheet_totals(folder / SHEET)
    except (UnreadableFileError, ValueError, RecursionError) as err:
        return FolderState(folder, notes=(f"the totals were not compared: {err}",))
    faults: tuple[str, ...] = ()
    stated = data.text("job_hash") if data.has("job_hash") else ""
    if stated != manifest.facts.get("job_hash", "") and DATA not in edited:
        faults = (f"{DATA} is of another job (fingerprint {stated}) than {MANIFEST}",)
    return FolderState(folder, differing=tuple(_differing(ours, theirs)), lines=len(ours), faults=faults)


def _data_totals(data: Node) -> dict[int, float]:
    """Totals of the order's lines by their number; none where it was withheld."""
    if not data.has("order"):
        return {}
    return {n: line.number("total") for n, line in enumerate(data.at("order").items("lines"), start=1)}


def _sheet_totals(path: Path) -> dict[tuple[int, int], float | None]:
    """Totals of the sheet Order by first and last line number of each row; None for a total that is no figure."""
    found: dict[tuple[int, int], float | None] = {}
    for table in read_tables(path):
        if table.sheet == "Order":
            columns = _columns(table)
            for row in table.rows:
                lines = _numbers(row.cells[columns["line"]]) if columns and columns["line"] < len(row.cells) else None
                if lines is not None:
                    total = row.cells[columns["total"]] if columns["total"] < len(row.cells) else None
                    found[lines] = float(total) if isinstance(total, int | float) else None
    return found


def _columns(table: RawTable) -> Mapping[str, int]:
    for row in table.rows[:20]:
        if "line" in row.cells and "total" in row.cells:
            return {"line": row.cells.index("line"), "total": row.cells.index("total")}
    return {}


def _numbers(cell: Cell) -> tuple[int, int] | None:
    """ "7" or "3 to 12" as first and last line."""
    first, _, last = str(cell or "").partition(" to ")
    if not first.isdecimal() or not (last or first).isdecimal() or len(first) > 9 or len(last) > 9:
        return None
    return int(first), int(last or first)


def _differing(ours: Mapping[int, float], theirs: Mapping[tuple[int, int], float | None]) -> list[str]:
    """Lines of which sheet and data say different things, in words."""
    found = []
    seen: set[int] = set()
    for (first, last), total in theirs.items():
        lines = [n for n in ours if first <= n <= last]
        seen.update(lines)
        wanted = sum(ours[n] for n in lines)
        name = f"line {first}" if first == last else f"lines {first} to {last}"
        if total is None or not lines or abs(total - wanted) > _NEAR * max(1, len(lines)):
            found.append(f"{name} ({'no figure' if total is None else f'{total:,.3f}'}, data {wanted:,.3f})")
    missing = [n for n in ours if n not in seen]
    return found + [f"line {n} (not on the sheet, data {ours[n]:,.3f})" for n in missing]
