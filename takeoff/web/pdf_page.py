"""A page of a PDF as a picture, drawn in a process of its own: the library is compiled, and a file may bring it down.

The process prints one line of JSON (`pages`, `mm`: millimetres of paper for a pixel), then the PNG; for a file that
cannot be read, a line with `fault`.
"""

from __future__ import annotations

import json
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from takeoff.basics.errors import UnreadableFileError

_LONGEST_PX = 3200
_MOST_SECONDS = 60.0
_MOST_MEMORY = 3 << 30
_INCH_MM = 25.4
_POINTS = 72.0
_START = "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from takeoff.web.pdf_page import main; main()"


def page_of_pdf(name: str, data: bytes, page: int) -> tuple[bytes, int, float]:
    """PNG of a page (from 1), how many pages there are, and the millimetres of paper that a pixel is.

    Raises UnreadableFileError for what is no PDF, has a password or no such page, or takes too long.
    """
    with TemporaryDirectory(prefix="takeoff_page_") as folder:
        path = Path(folder) / "page.pdf"
        path.write_bytes(data)
        command = [sys.executable, "-c", _START, json.dumps(sys.path), str(path), str(page)]
        try:
            done = subprocess.run(command, capture_output=True, timeout=_MOST_SECONDS, check=False)
        except subprocess.TimeoutExpired:
            raise UnreadableFileError(f"{name}: takes too long to draw; print the page to a picture") from None
    head, _, png = done.stdout.partition(b"\n")
    try:
        said = json.loads(head)
    except ValueError:
        raise UnreadableFileError(f"{name}: cannot be drawn as a PDF; print the page to a picture") from None
    if "fault" in said:
        raise UnreadableFileError(f"{name}: {said['fault']}")
    return png, int(said["pages"]), float(said["mm"])


def main() -> None:
    """The process: path and page in, the page out."""
    _bound_memory()
    said, png = _drawn(Path(sys.argv[2]).read_bytes(), int(sys.argv[3]))
    sys.stdout.buffer.write(json.dumps(said).encode("ascii") + b"\n" + png)


def _bound_memory() -> None:
    try:
        import resource
    except ImportError:  # no such bounds on this system
        return
    resource.setrlimit(resource.RLIMIT_AS, (_MOST_MEMORY, _MOST_MEMORY))


def _drawn(data: bytes, number: int) -> tuple[dict[str, Any], bytes]:
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
        count = len(document)
        if not 1 <= number <= count:
            return {"fault": f"has pages 1 to {count}; there is no page {number}"}, b""
        page = document[number - 1]
        long = max(page.get_width(), page.get_height())
        if not 0 < long < 1e6:
            return {"fault": "the page has no size; print it to a picture"}, b""
        scale = _LONGEST_PX / long
        picture = page.render(scale=scale).to_pil()
    except pypdfium2.PdfiumError:
        return {"fault": "is no PDF that can be opened; save it again without a password"}, b""
    out = BytesIO()
    picture.convert("RGB").save(out, "PNG")
    return {"pages": count, "mm": _INCH_MM / _POINTS / scale}, out.getvalue()
