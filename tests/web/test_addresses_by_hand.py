"""What the page's own server answers under its addresses: bodies, kinds and codes."""

from __future__ import annotations

import asyncio
import sys
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

pytest.importorskip("nicegui")
sys.path.insert(0, str(Path(__file__).parent))

from hand import own_loop

from takeoff.basics.errors import UsageError
from takeoff.web import routes
from takeoff.web.panels import under_side


class App:
    """A server that keeps what is put into it by its address."""

    def __init__(self) -> None:
        self.kept: dict[str, Any] = {}

    def add_api_route(self, path: str, endpoint: Any) -> None:
        self.kept[path] = endpoint

    def get(self, path: str) -> Any:
        return lambda endpoint: self.kept.setdefault(path, endpoint)


class Feed:
    async def house_json(self) -> bytes:
        return b'"house"'

    async def order_json(self) -> bytes:
        return b'"order"'

    async def drawing_names(self) -> bytes:
        raise UsageError("not yet", "wait")

    async def drawing(self, name: str) -> bytes | None:
        return None if name == "none" else f"<{name}>".encode()


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch) -> App:
    found = App()
    monkeypatch.setattr(routes, "app", found)
    monkeypatch.setattr(routes, "feed_of", lambda house: Feed())
    monkeypatch.setattr(routes, "live_page", lambda style, script: f"{style[:5]}|{script[:5]}".encode())
    monkeypatch.setattr(routes, "_live", routes._live.__wrapped__)

    async def taken(house: str, key: str) -> tuple[str, bytes]:
        return f"{house} é.{key}", key.encode()

    monkeypatch.setattr(routes, "taken_away", taken)
    house: Any = "hut"
    routes.add_routes(house, "/t")
    return found


def answered(app: App, path: str, *given: Any) -> Any:
    with own_loop(), closing(asyncio.new_event_loop()) as loop:
        return loop.run_until_complete(app.kept[path](*given))


def asked(app: App, path: str, *given: Any) -> tuple[int, bytes, str]:
    answer = answered(app, path, *given)
    return answer.status_code, answer.body, answer.headers["content-type"]


def test_what_is_fetched_under_the_token(app: App) -> None:
    assert list(app.kept) == [
        "/t/house", "/t/house.json", "/t/order.json", "/t/drawings.json", "/t/drawing/{name}", "/t/files/{key}",
    ]  # fmt: skip
    style, script = ((routes._DRAWING / name).read_text("utf-8")[:5] for name in ("house_link.css", "house_link.js"))
    assert asked(app, "/t/house") == (200, f"{style}|{script}".encode(), "text/html; charset=utf-8")
    assert asked(app, "/t/house.json") == (200, b'"house"', "application/json")
    assert asked(app, "/t/order.json") == (200, b'"order"', "application/json")
    assert asked(app, "/t/drawings.json") == (409, b"not yet wait", "text/plain; charset=utf-8")
    assert asked(app, "/t/drawing/{name}", "plan") == (200, b"<plan>", "image/svg+xml")
    assert asked(app, "/t/drawing/{name}", "none") == (404, b"there is no such drawing.", "text/plain; charset=utf-8")


@pytest.mark.parametrize(
    ("key", "kind"), [("pdf", "application/pdf"), ("zip", "application/zip"), ("xlsx", "application/octet-stream")]
)
def test_a_file_is_taken_away_under_its_name(app: App, key: str, kind: str) -> None:
    answer = answered(app, "/t/files/{key}", key)
    assert (answer.status_code, answer.body, answer.headers["content-type"]) == (200, key.encode(), kind)
    name = f"hut%20%C3%A9.{key}"
    assert answer.headers["content-disposition"] == f"attachment; filename*=utf-8''{name}"
    assert answer.headers["x-name"] == name


def test_what_is_laid_under_is_fetched_by_its_number(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once for a house; what is gone or another is not there."""
    found = App()
    monkeypatch.setattr(under_side, "app", found)
    laid: Any = SimpleNamespace(routed=False, under=SimpleNamespace(data=b"png", mime="image/png"), number=3)
    under_side._route(laid, "/t")
    under_side._route(laid, "/other")
    assert list(found.kept) == ["/t/under/{number}"]
    under = found.kept["/t/under/{number}"]
    answer = under(3)
    assert (answer.status_code, answer.body, answer.headers["content-type"]) == (200, b"png", "image/png")
    assert answer.headers["cache-control"] == "no-store"
    assert under(2).status_code == 404
    laid.under = None
    assert under(3).status_code == 404
