"""Drawings written by hand, and the one fault that reading them ends with."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.drawings import RawDrawing
from takeoff.read.outlines.drawing_files import read_drawing

RING = ((0.0, 0.0), (900.0, 0.0), (900.0, 700.0))


def read(folder: Path, name: str, text: str | bytes) -> RawDrawing:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_drawing(path)


def refused(folder: Path, name: str, text: str | bytes) -> str:
    with pytest.raises(UnreadableFileError) as caught:
        read(folder, name, text)
    (fault,) = caught.value.faults
    return fault
