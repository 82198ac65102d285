"""A folder with an order in it: what was written into it, and how it is found later."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Written:
    """A set of files as it was written. `kept`: name of a file that somebody had changed, and the name it has now."""

    folder: Path
    paths: tuple[Path, ...]
    kept: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class OneWritten:
    """One file as it was written. `kept`: the name that what was there before has now, "" for nothing."""

    path: Path
    kept: str = ""
