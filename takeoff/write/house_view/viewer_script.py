"""The 3-D library for the page, out of the mesh library's own viewer, as that is installed; nothing of it is kept here.

The mesh library (MIT) carries three.js (MIT), a plain script that needs no server, in one page of its own. What stands
before the controls and loaders that the page does not use is taken, its licence lines with it. The mesh library itself
is not loaded.
"""

from __future__ import annotations

import zipfile
import zlib
from functools import cache
from importlib.util import find_spec
from pathlib import Path

_ARCHIVE = ("resources", "templates", "viewer.zip")
_PAGE = "viewer.html.template"
_BEGINS, _ENDS = "<script>", "(function(){const _changeEvent"
_LICENCE = ("@license", "SPDX-License-Identifier: MIT")
_MOST_BYTES = 8_000_000  # a page larger than this is not the one that is meant


def viewer_archive() -> Path | None:
    """Where the installed mesh library keeps its viewer; None where there is no such library."""
    spec = find_spec("trimesh")
    return Path(spec.origin).parent.joinpath(*_ARCHIVE) if spec is not None and spec.origin else None


@cache
def viewer_script(archive: Path | None) -> str | None:
    """The 3-D library as the text of a script; None where the archive is missing, or is not laid out as is known."""
    if archive is None:
        return None
    try:
        with zipfile.ZipFile(archive) as packed:
            if packed.getinfo(_PAGE).file_size > _MOST_BYTES:
                return None
            return cut_script(packed.read(_PAGE).decode("utf-8"))
    except (OSError, KeyError, ValueError, zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError):
        return None


def cut_script(page: str) -> str | None:
    """The library alone out of the viewer's page: from its licence to where the controls begin. None for a page that is
    laid out otherwise: without the licence, or with the end of a script inside."""
    start = page.find(_BEGINS)
    end = page.find(_ENDS, start)
    if start < 0 or end < 0:
        return None
    script = page[start + len(_BEGINS) : end].rstrip()
    head = script[:400]
    whole = all(words in head for words in _LICENCE) and script.endswith("}));")
    return script if whole and "</script" not in script.lower() else None
