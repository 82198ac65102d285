"""house.html: the house to turn and touch, its order and its planes, in one file that needs no network and no server.

The scripts and the style are files beside this one; the 3-D library comes out of an installed package when the page is
written. Texts of the job are in the data alone, which is JSON that cannot end its own element; the scripts put them on
the page as texts, never as markup.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from html import escape
from pathlib import Path

from takeoff.model.order import Takeoff
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.svg import svg_text
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.house_view.page_data import page_data
from takeoff.write.house_view.viewer_script import viewer_archive, viewer_script
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import plain

_IN_SPACE = ("start.js", "turning.js", "facing.js", "house_3d.js", "showing.js")
SCRIPTS = (*_IN_SPACE, "touched.js", "planes.js", "main.js")
_FOLDER = Path(__file__).parent / "page"
_PLACES = re.compile(r"\$([a-z_]+)")
_LIBRARY_WORDS = "The view in space is drawn by three.js (MIT licence), whose notice stands in this file."
_NO_ENDS = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


def house_page(takeoff: Takeoff, archive: Path | None = None) -> bytes:
    """The page as UTF-8; the same bytes for the same takeoff and library. `archive`: where the 3-D library is, None
    for the installed one; where there is none, a view as SVG stands in and the page says so."""
    library = viewer_script(archive if archive is not None else viewer_archive())
    said = trade_words(takeoff)
    texts = {
        "title": escape(plain(takeoff.job.job)),
        "style": _asset("page.css"),
        "stand_in": "" if library else _view(takeoff),
        "maker": _LIBRARY_WORDS if library else "",
        "data": safe_json(page_data(takeoff, house_parts(takeoff), said)),
        "library": library or "",
        "script": "".join(_asset(name) for name in SCRIPTS),
    }
    return _filled(texts)


def live_page(style: str, script: str) -> bytes:
    """The page with the scripts that draw a house in space, and no house yet: `script` takes them, one after another,
    to `takeHouse`; `style` says what of the page is shown. UTF-8."""
    library = viewer_script(viewer_archive())
    texts = {
        "title": "House",
        "style": _asset("page.css") + style,
        "stand_in": "",
        "maker": _LIBRARY_WORDS if library else "",
        "data": "null",
        "library": library or "",
        "script": "".join(_asset(name) for name in _IN_SPACE) + script,
    }
    return _filled(texts)


def _filled(texts: Mapping[str, str]) -> bytes:
    parts = _PLACES.split(_asset("page.html"))
    # every other part is the name of what stands in its place, so that what is put in is not looked through again
    page = "".join(texts[part] if at % 2 else part for at, part in enumerate(parts))
    return page.encode("utf-8")


def safe_json(data: object) -> str:
    """JSON for inside a script element: no sign in it can end the element or begin a comment.

    >>> safe_json("</script>")
    '"\\\\u003c/script\\\\u003e"'
    """
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for sign, spelled in _NO_ENDS.items():
        text = text.replace(sign, spelled)
    return text


@cache
def _asset(name: str) -> str:
    return (_FOLDER / name).read_text(encoding="utf-8")


def _view(takeoff: Takeoff) -> str:
    """The roof seen from one side, as SVG to stand inside a page."""
    view = roof_view(takeoff)
    return svg_text(view).strip() if view is not None else ""
