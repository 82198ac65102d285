"""What the page's scripts fetch from its own server, under the token: the house, the order, drawings and files."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import cache
from pathlib import Path, PurePath
from urllib.parse import quote

from fastapi import Response
from nicegui import app

from takeoff.basics.errors import TakeoffError
from takeoff.web.downloads import taken_away
from takeoff.web.feed import Feed, feed_of
from takeoff.web.house import House
from takeoff.write.house_view.house_page import live_page

_DRAWING = Path(__file__).parent / "drawing"
_KINDS = {"pdf": "application/pdf", "svg": "image/svg+xml", "json": "application/json", "zip": "application/zip"}


def add_routes(house: House, root: str) -> None:
    """Puts the addresses of a house into the server."""
    feed = feed_of(house)

    async def picture() -> Response:
        return Response(_live(), media_type="text/html")

    async def parts() -> Response:
        return _json(await feed.house_json())

    async def order() -> Response:
        return _json(await feed.order_json())

    async def names() -> Response:
        return await _told(lambda: _names(feed))

    async def drawing(name: str) -> Response:
        return await _told(lambda: _drawing(feed, name))

    async def files(key: str) -> Response:
        return await _told(lambda: _file(house, key))

    app.add_api_route(f"{root}/house", picture)
    app.add_api_route(f"{root}/house.json", parts)
    app.add_api_route(f"{root}/order.json", order)
    app.add_api_route(f"{root}/drawings.json", names)
    app.add_api_route(f"{root}/drawing/{{name}}", drawing)
    app.add_api_route(f"{root}/files/{{key}}", files)


async def _told(make: Callable[[], Awaitable[Response]]) -> Response:
    """An answer, or in words why there is none."""
    try:
        return await make()
    except TakeoffError as err:
        return Response(" ".join(map(str, err.faults)), 409, media_type="text/plain; charset=utf-8")


async def _names(feed: Feed) -> Response:
    return _json(await feed.drawing_names())


async def _drawing(feed: Feed, name: str) -> Response:
    found = await feed.drawing(name)
    if found is None:
        return Response("there is no such drawing.", 404, media_type="text/plain")
    return Response(found, media_type=_KINDS["svg"])


async def _file(house: House, key: str) -> Response:
    name, found = await taken_away(house, key)
    kind = _KINDS.get(PurePath(name).suffix[1:], "application/octet-stream")
    named = {"content-disposition": f"attachment; filename*=utf-8''{quote(name)}", "x-name": quote(name)}
    return Response(found, media_type=kind, headers=named)


def _json(found: bytes) -> Response:
    return Response(found, media_type=_KINDS["json"], headers={"cache-control": "no-store"})


@cache
def _live() -> bytes:
    """The page of the house in space, which the 3-D library stands in."""
    style, script = ((_DRAWING / name).read_text(encoding="utf-8") for name in ("house_link.css", "house_link.js"))
    return live_page(style, script)
