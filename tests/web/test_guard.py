"""Nobody gets in but the browser that was given the address; what gets in finds a strict policy."""

from __future__ import annotations

import asyncio
import re
from typing import Any

import pytest

from takeoff.web import guard
from takeoff.web.guard import Guard

TOKEN = "tkn-1234567890"
HOST = b"127.0.0.1:8840"
HOME = b"http://127.0.0.1:8840"
PAGE = b"<html><script>1</script><script type='module'>2</script></html>"


class Inner:
    """What stands behind the guard; it remembers what came through."""

    def __init__(self, kind: bytes = b"text/html; charset=utf-8", fails: bool = False) -> None:
        self.kind, self.fails, self.seen = kind, fails, []

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        self.seen.append(scope)
        if self.fails:
            raise RuntimeError("inside")
        if scope["type"] == "http":
            while (await receive()).get("more_body"):
                pass
            await send({"type": "http.response.start", "status": 200, "headers": [(b"content-type", self.kind)]})
            await send({"type": "http.response.body", "body": PAGE[:20], "more_body": True})
            await send({"type": "http.response.body", "body": PAGE[20:]})


def ask(
    inner: Inner, path: str, *heads: tuple[bytes, bytes], kind: str = "http", method: str = "GET", body: int = 0
) -> Any:
    """Status or close code, headers and body of what is answered."""
    sent: list[Any] = []
    chunks = iter([{"type": "http.request", "body": b"x" * body, "more_body": True}] * 3)

    async def receive() -> Any:
        return next(chunks, {"type": "http.request", "body": b"", "more_body": False})

    async def send(message: Any) -> None:
        sent.append(message)

    scope = {"type": kind, "path": path, "raw_path": path.encode(), "headers": list(heads)}
    scope |= {"method": method} if kind == "http" else {}
    asyncio.run(Guard(inner, TOKEN, 8840)(scope, receive, send))
    if not sent:
        return None, {}, b""
    head = sent[0]
    return (
        head.get("status", head.get("code")),
        dict(head.get("headers", [])),
        b"".join(m.get("body", b"") for m in sent),
    )


def test_the_address_opens() -> None:
    inner = Inner()
    status, _, body = ask(inner, f"/{TOKEN}/", (b"host", HOST))
    assert (status, inner.seen[0]["path"]) == (200, f"/{TOKEN}/")
    assert body.count(b"<script nonce=") == 2


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "",
        "/other/",
        "/_nicegui/3/static/x.js",
        "/_nicegui_ws/socket.io/",
        f"/{TOKEN[:-1]}/",
        f"/{TOKEN}x/",
        f"//{TOKEN}/",
        f"/%2e/{TOKEN}/",
    ],
)
def test_without_the_token_nothing_is_answered(path: str) -> None:
    for kind in ("http", "websocket"):
        inner = Inner()
        status, _, body = ask(
            inner, path, (b"host", HOST), (b"origin", HOME), (b"cookie", b"x=" + TOKEN.encode()), kind=kind
        )
        assert status in (403, 1008)
        assert inner.seen == []
        assert TOKEN.encode() not in body


@pytest.mark.parametrize(
    "heads",
    [
        (),
        ((b"host", b"evil.example:8840"),),
        ((b"host", b"127.0.0.1:8841"),),
        ((b"host", HOST), (b"host", b"evil.example")),
        ((b"host", HOST), (b"origin", b"http://evil.example")),
        ((b"host", HOST), (b"origin", b"http://127.0.0.1:9999")),
        ((b"host", HOST), (b"origin", b"null")),
        ((b"host", HOST), (b"origin", b"https://127.0.0.1:8840")),
        ((b"host", HOST), (b"sec-fetch-site", b"cross-site"), (b"sec-fetch-mode", b"no-cors")),
        (
            (b"host", HOST),
            (b"sec-fetch-site", b"same-site"),
            (b"sec-fetch-mode", b"navigate"),
            (b"sec-fetch-dest", b"iframe"),
        ),
    ],
)
def test_even_with_the_token_others_are_refused(heads: tuple[tuple[bytes, bytes], ...]) -> None:
    """A name that leads here by a server of names of others, a page of another origin, a frame within one."""
    inner = Inner()
    assert ask(inner, f"/{TOKEN}/", *heads)[0] == 403
    assert inner.seen == []


def test_a_link_to_the_address_may_be_followed() -> None:
    heads = ((b"sec-fetch-site", b"cross-site"), (b"sec-fetch-mode", b"navigate"), (b"sec-fetch-dest", b"document"))
    assert ask(Inner(), f"/{TOKEN}/", (b"host", HOST), *heads)[0] == 200
    assert ask(Inner(), f"/{TOKEN}/", (b"host", HOST), *heads, method="POST")[0] == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(method: str) -> None:
    assert ask(Inner(), f"/{TOKEN}/", (b"host", HOST), method=method)[0] == 403


def test_a_socket_must_say_where_it_comes_from() -> None:
    path = f"/{TOKEN}/_nicegui_ws/socket.io/"
    inner = Inner()
    assert ask(inner, path, (b"host", HOST), kind="websocket")[0] == 1008
    assert ask(inner, path, (b"host", HOST), (b"origin", b"http://localhost:1"), kind="websocket")[0] == 1008
    assert inner.seen == []
    ask(inner, path, (b"host", HOST), (b"origin", HOME), kind="websocket")
    assert inner.seen[0]["path"] == "/_nicegui_ws/socket.io/"


def test_the_library_finds_its_own_addresses_and_ours_keep_the_token() -> None:
    inner = Inner()
    for path in (f"/{TOKEN}/_nicegui/3/x.js", f"/{TOKEN}/{TOKEN}/house.glb", f"/{TOKEN}/house.glb"):
        ask(inner, path, (b"host", HOST), (b"x-forwarded-prefix", b"/evil"), (b"x-forwarded-host", b"evil"))
    assert [scope["path"] for scope in inner.seen] == ["/_nicegui/3/x.js", f"/{TOKEN}/house.glb", f"/{TOKEN}/house.glb"]
    for scope in inner.seen:
        assert [v for k, v in scope["headers"] if k.startswith(b"x-forwarded")] == [b"/" + TOKEN.encode()]


def test_each_answer_has_a_policy_of_its_own() -> None:
    policies = []
    for _ in range(2):
        _, heads, body = ask(Inner(), f"/{TOKEN}/", (b"host", HOST))
        policies.append(heads[b"content-security-policy"].decode())
        number = re.findall(r"'nonce-([\w-]+)'", policies[-1])
        assert set(re.findall(rb'nonce="([\w-]+)"', body)) == {number[0].encode()}
        assert int(heads[b"content-length"]) == len(body)
    assert policies[0] != policies[1]
    scripts = re.search(r"script-src ([^;]+)", policies[0])
    assert scripts is not None
    assert "'unsafe-inline'" not in scripts[1]
    for word in ("default-src 'none'", "base-uri 'none'", "form-action 'none'", "frame-ancestors 'self'"):
        assert word in policies[0]
    assert not re.search(r"https?:|\*", policies[0].replace("ws://", ""))


def test_other_kinds_of_file_are_not_touched() -> None:
    _, heads, body = ask(Inner(b"text/javascript"), f"/{TOKEN}/x.js", (b"host", HOST))
    assert body == PAGE
    assert heads[b"x-content-type-options"] == b"nosniff"


def test_a_fault_within_shows_no_inside(caplog: pytest.LogCaptureFixture) -> None:
    status, _, body = ask(Inner(fails=True), f"/{TOKEN}/", (b"host", HOST))
    assert status == 500
    assert b"Traceback" not in body
    assert b"inside" not in body
    assert b"fault of the program" in body
    assert "RuntimeError: inside" in caplog.text


def test_what_comes_in_has_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "MOST_BYTES", 1000)
    monkeypatch.setattr(guard, "_ROOM", 100)
    assert ask(Inner(), f"/{TOKEN}/up", (b"host", HOST), method="POST", body=300)[0] == 200
    assert ask(Inner(), f"/{TOKEN}/up", (b"host", HOST), method="POST", body=400)[0] == 413
