"""Whether an XLSX file may be opened at all: a zip file that unfolds to something a list can be, no password, no
document type that could unfold further. Nothing in it is run or fetched.
"""

from __future__ import annotations

import zipfile
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError

MOST_BYTES = 20_000_000  # of the file as it lies on the disk
MOST_UNFOLDED = 40_000_000  # a list of 20 000 rows and 20 columns unfolds to about half of this
MOST_RATIO = 150  # the sheets of a real list shrink to a tenth or a thirtieth
MOST_PARTS = 2000

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_HEAD = 4096


def check_workbook(path: Path) -> None:
    """Raises UnreadableFileError for a file that is no workbook, is encrypted, or unfolds to more than a list holds."""
    try:
        size = path.stat().st_size
        with open(path, "rb") as stream:
            head = stream.read(len(_OLE))
    except OSError as err:
        raise UnreadableFileError(f"{path}: cannot be read: {err.strerror or err}") from None
    if size > MOST_BYTES:
        raise UnreadableFileError(f"{path}: {size:,} bytes, more than a list of {MOST_BYTES:,} bytes can be")
    if head == _OLE:
        raise UnreadableFileError(f"{path}: locked by a password, or in the old binary form; save it as plain XLSX")
    try:
        with zipfile.ZipFile(path) as folder:
            _check_parts(path, folder)
    except (zipfile.BadZipFile, EOFError, NotImplementedError, ValueError) as err:
        raise UnreadableFileError(f"{path}: not an XLSX workbook: {err}") from None


def _check_parts(path: Path, folder: zipfile.ZipFile) -> None:
    parts = folder.infolist()
    if len(parts) > MOST_PARTS:
        raise UnreadableFileError(f"{path}: {len(parts):,} parts, more than the {MOST_PARTS:,} a list is made of")
    unfolded = sum(part.file_size for part in parts)
    folded = sum(part.compress_size for part in parts)
    if unfolded > MOST_UNFOLDED:
        raise UnreadableFileError(
            f"{path}: unfolds to {unfolded:,} bytes, more than the {MOST_UNFOLDED:,} a list can need; "
            "keep only the sheet with the list and save it again"
        )
    if unfolded > 1_000_000 and unfolded > MOST_RATIO * max(folded, 1):
        raise UnreadableFileError(
            f"{path}: unfolds to {unfolded / max(folded, 1):.0f} times its size; no list does, so it is not opened"
        )
    if "xl/workbook.xml" not in {part.filename for part in parts}:
        raise UnreadableFileError(f"{path}: a zip file, but no XLSX workbook in it")
    for part in parts:
        if part.flag_bits & 0x1:
            raise UnreadableFileError(f"{path}: {part.filename} in it is locked by a password")
        if part.filename.endswith((".xml", ".rels")):
            with folder.open(part) as stream:
                start = stream.read(_HEAD).replace(b"\x00", b"")
            if b"<!DOCTYPE" in start or b"<!ENTITY" in start:
                raise UnreadableFileError(f"{path}: {part.filename} declares a document type; no workbook needs one")
