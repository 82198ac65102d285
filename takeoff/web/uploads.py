"""Files that people give to the page: bounded, named harmlessly, and kept beside the job where the job will name them.

file_button(tab, "Open a rain file", ".csv,.txt", 8_000_000, taken)

async def taken(name: str, data: bytes) -> None:
    kept = await kept_beside(tab.house.copy.path.parent, name, data)
    tab.edit(Edit(("rain", "file"), kept), said=f"rain of {name}")
"""

from __future__ import annotations

import asyncio
import re
import unicodedata
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.web.tab import Tab
from takeoff.web.whole_file import write_whole

MOST_BYTES = 200_000_000  # of any one file that is given to the page
_LONGEST = 80  # letters of a name
_ODD = re.compile(r"[^\w.\- ()+]+")
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", re.IGNORECASE)  # names that Windows keeps for itself

Taken = Callable[[str, bytes], Awaitable[None]]


def file_button(tab: Tab, label: str, accept: str, most: int, do: Taken) -> None:
    """A button that takes one file of at most `most` bytes and hands its name and bytes to `do`, whose faults are told
    in the tab. `accept`: ends of names, as ".png,.jpg"."""
    from takeoff.web.drawing.file_button import FileButton

    async def taken(event: Any) -> None:
        with tab.told():
            if event.file.size() > most:
                raise UsageError(too_large(event.file.name, most))
            await do(harmless(event.file.name), await event.file.read())

    def refused(event: Any) -> None:
        with tab.told():
            raise UsageError(too_large(str(event.args.get("name", "")), most))

    button = FileButton(label=label, max_file_size=most, on_upload=taken)
    button.props["accept"] = accept
    button.on("refused", refused)


def too_large(name: str, most: int) -> str:
    """Why a file is not taken."""
    return f"{harmless(name)} is not taken: it may hold {most / 1e6:g} MB, and must be a file that can be read."


def harmless(name: str) -> str:
    """A file's name that is one on every system: no folders, no signs that a system or a reader of YAML takes
    otherwise, neither hidden nor reserved, of at most 80 letters, its end kept."""
    last = unicodedata.normalize("NFC", name).replace("\\", "/").rsplit("/", 1)[-1]
    plain = _ODD.sub("_", last).strip(" ._") or "file"
    stem, dot, end = plain.rpartition(".")
    if not dot or len(end) > 10:
        stem, dot, end = plain, "", ""
    stem = stem.strip(" ._")[: _LONGEST - len(end) - 1] or "file"
    return f"_{stem}{dot}{end}" if _RESERVED.match(f"{stem}{dot}{end}") else f"{stem}{dot}{end}"


async def kept_beside(folder: Path, name: str, data: bytes) -> str:
    """Write a file that was given into a job's folder, under its own name or one with a number where another file has
    that; the name it has. Nothing that is there is written over. Raises UsageError where it cannot be written."""
    return await asyncio.to_thread(_kept, folder, harmless(name), data)


def _kept(folder: Path, name: str, data: bytes) -> str:
    stem, dot, end = name.rpartition(".") if "." in name else (name, "", "")
    for number in range(1, 1000):
        path = folder / (name if number == 1 else f"{stem}-{number}{dot}{end}")
        if not path.is_symlink() and not path.exists():
            write_whole(path, data)
            return path.name
        if path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data:
            return path.name
    raise UsageError(f"{folder / name}: a thousand files of that name are there; move some away.")
