"""Whether an XLSX file may be opened at all: a zip file that unfolds to something a list can be, no password, no
document type that could unfold further. Nothing in it is run or fetched.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError

MOST_BYTES = 20_000_000  # of the file as it lies on the disk
MOST_UNFOLDED = 40_000_000  # a list of 20 000 rows and 20 columns unfolds to about half of this
MOST_RATIO = 150  # the sheets of a real list shrink to a tenth or a thirtieth
MOST_PARTS = 2000
# signs that open or close an element: a list of 20 000 rows and 20 columns has 1.7 million
MOST_MARKS = 4_000_000
MOST_MARKS_BESIDE = 200_000  # outside sheets and their texts: formats, names, properties

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_FOLDS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_CHUNK = 1 << 20
_LONGEST = 10  # of the words looked for below


def check_workbook(path: Path, data: bytes) -> None:
    """Raises UnreadableFileError for a file that is no workbook, is encrypted, or unfolds to more than a list holds."""
    if data[: len(_OLE)] == _OLE:
        raise UnreadableFileError(f"{path}: locked by a password, or in the old binary form; save it as plain XLSX")
    with readable(path, "not an XLSX workbook"), zipfile.ZipFile(io.BytesIO(data)) as folder:
        _check_parts(path, folder)


@contextmanager
def readable(path: Path, words: str) -> Iterator[None]:
    """Faults of a damaged file, whatever part of a library trips over them, as one of ours that begins with `words`."""
    try:
        yield
    except UnreadableFileError:
        raise
    except Exception as err:  # the libraries below raise whatever the damage leads to
        raise UnreadableFileError(f"{path}: {words}: {str(err) or type(err).__name__}") from None


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
    marks = {True: 0, False: 0}
    for part in parts:
        if part.flag_bits & 0x1:
            raise UnreadableFileError(f"{path}: {part.filename} in it is locked by a password")
        if part.compress_type not in _FOLDS:
            raise UnreadableFileError(f"{path}: {part.filename} in it is folded in a way no workbook is")
        if not part.filename.endswith((".png", ".jpeg", ".jpg", ".gif", ".emf", ".wmf", ".bin")):
            of_list = "sheet" in part.filename.lower() or "sharedstrings" in part.filename.lower()
            marks[of_list] += _marks(path, folder, part)
    for of_list, most in ((True, MOST_MARKS), (False, MOST_MARKS_BESIDE)):
        if marks[of_list] > most:
            what = "cells and texts" if of_list else "formats and names"
            raise UnreadableFileError(
                f"{path}: {what} of {marks[of_list]:,} marks, more than the {most:,} a list can need; "
                "copy the list alone into a new workbook"
            )


def _marks(path: Path, folder: zipfile.ZipFile, part: zipfile.ZipInfo) -> int:
    """How many marks a part has. Raises UnreadableFileError for a document type, wherever it stands."""
    count, tail = 0, b""
    with folder.open(part) as stream:
        while chunk := stream.read(_CHUNK):
            count += chunk.count(b"<")
            seen = tail + chunk.replace(b"\x00", b"")
            if b"<!DOCTYPE" in seen or b"<!ENTITY" in seen:
                raise UnreadableFileError(f"{path}: {part.filename} declares a document type; no workbook needs one")
            tail = seen[-_LONGEST:]
    return count
