"""Files that a model names: looked for beside it and nowhere else, bounded together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from urllib.parse import unquote

from takeoff.basics.regular_files import read_bounded


class Beside(Mapping[str, bytes]):
    """Files of one folder by name, as the mesh library asks for them; it lists none. All of them together hold at most
    `most` bytes."""

    def __init__(self, folder: Path, most: int) -> None:
        self.folder = folder
        self.left = most

    def __getitem__(self, name: str) -> bytes:
        """A file's bytes. Raises ValueError for a name that leads out of the folder, UnreadableFileError for what is no
        file and for more bytes than are left."""
        plain = unquote(str(name)).strip()
        if not plain or Path(plain).name != plain or "\\" in plain or ":" in plain:
            raise ValueError(f"{plain[:60]!r} is no file beside the model")
        data = read_bounded(self.folder / plain, self.left, "part of a model")
        self.left -= len(data)
        return data

    def __iter__(self) -> Iterator[str]:
        """No names: what is asked for is looked for."""
        return iter(())

    def __len__(self) -> int:
        """None are listed."""
        return 0
