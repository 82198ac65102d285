"""Models written by hand, and the one fault that reading them ends with."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.shape_files import read_shape

SQUARE = [(0.0, 0.0, 0.0), (2.0, 0.0, 0.0), (2.0, 3.0, 0.0), (0.0, 3.0, 0.0)]


def written(folder: Path, name: str, content: str | bytes) -> Path:
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def refusal(path: Path) -> str:
    """The one fault that reading a file ends with."""
    with pytest.raises(UnreadableFileError) as caught:
        read_shape(path, ShapeJob(file=path.name))
    (fault,) = caught.value.faults
    return fault
