"""Who may talk to the page: whoever knows its token, from the page itself, at this machine.

Every address of the page begins with the token, those of the page's library too, so nothing hangs on a cookie: a cookie
goes to every port of this machine, and other people's programs may listen there. Each answer carries a strict content
policy: nothing is fetched from anywhere else, and a script that somebody smuggled into a text has not the number that
each answer's own scripts carry. The page's library makes functions of text in the browser (`eval`), which cannot be
taken from it; the texts are the server's own.
"""

from __future__ import annotations

import logging
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from hmac import compare_digest
from typing import Any

from takeoff.web.uploads import MOST_BYTES

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

_ROOM = 1 << 20  # bytes around the file of an upload
_REFUSED = b"This page is for the browser that was given its address: start it again and use the address it prints.\n"
_TOO_LARGE = b"More than this page takes at once.\n"
_FAULT = b"A fault of the program itself, told where it was started. Nothing you drew is lost: load the page again.\n"
_METHODS = {"GET", "HEAD", "POST"}


class TooLargeError(Exception):
    """More bytes came than are taken."""


def policy(port: int, number: str) -> str:
    """The content policy of an answer: this server alone, no frames of others, no forms sent anywhere, of the scripts
    in a page only those that carry `number`."""
    own = f"ws://127.0.0.1:{port} ws://localhost:{port}"
    return (
        f"default-src 'none'; script-src 'self' 'nonce-{number}' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
        f"img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self' {own}; frame-src 'self'; "
        "worker-src 'self' blob:; form-action 'none'; base-uri 'none'; frame-ancestors 'self'"
    )


class Guard:
    """Stands before the whole server, pages and sockets alike."""

    def __init__(self, app: App, token: str, port: int) -> None:
        self.app, self.root, self.port = app, f"/{token}", port
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on what may pass; all else is refused with 403, a socket is closed."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
        elif not self._may(scope):
            await _refuse(scope, send, 403, _REFUSED)
        elif scope["type"] == "websocket":
            await self.app(self._inside(scope), receive, send)
        else:
            await self._answer(self._inside(scope), receive, send)

    def _may(self, scope: Scope) -> bool:
        heads = [(name.decode("latin-1").lower(), value.decode("latin-1")) for name, value in scope["headers"]]
        if [value for name, value in heads if name == "host"] not in [[host] for host in self.hosts]:
            return False
        origins = [value for name, value in heads if name == "origin"]
        own = {f"http://{host}" for host in self.hosts}
        if not own.issuperset(origins) or (scope["type"] == "websocket" and not origins):
            return False
        if _from_elsewhere(scope, dict(heads)):
            return False
        first = "/" + scope["path"].split("/")[1] if scope["path"].startswith("/") else ""
        if not compare_digest(first.encode("utf-8", "replace"), self.root.encode("ascii")):
            return False
        return scope["type"] == "websocket" or scope["method"] in _METHODS

    def _inside(self, scope: Scope) -> Scope:
        """The request as the page's library knows its own addresses: without the token, which it is told to put before
        each that it writes."""
        path = scope["path"]
        while path.startswith(f"{self.root}{self.root}/"):
            path = path.removeprefix(self.root)
        rest = path.removeprefix(self.root)
        if rest.startswith(("/_nicegui/", "/_nicegui_ws/")):
            path = rest
        headers = [(name, value) for name, value in scope["headers"] if not name.lower().startswith(b"x-forwarded-")]
        headers.append((b"x-forwarded-prefix", self.root.encode("ascii")))
        return {**scope, "path": path, "raw_path": path.encode("utf-8"), "headers": headers}

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        answer = _Answer(send, self.port)
        try:
            await self.app(scope, _bounded(scope, receive), answer)
        except TooLargeError:
            if not answer.begun:
                await _refuse(scope, send, 413, _TOO_LARGE)
        except Exception:
            logging.getLogger("takeoff.page").exception("a fault of the program itself, at %s", scope["path"])
            if not answer.begun:
                await _refuse(scope, send, 500, _FAULT)


class _Answer:
    """An answer on its way out: a page is held back until it is whole, and its scripts get the answer's number."""

    def __init__(self, send: Send, port: int) -> None:
        self.send, self.port, self.begun = send, port, False
        self._number = secrets.token_urlsafe(16)
        self._head: Message | None = None
        self._page: list[bytes] = []

    async def __call__(self, message: Message) -> None:
        self.begun = True
        if message["type"] == "http.response.start":
            heads = {name.lower(): value for name, value in message.get("headers", [])}
            message = {**message, "headers": [*message.get("headers", []), *self._added()]}
            if heads.get(b"content-type", b"").startswith(b"text/html"):
                self._head = message
                return
        elif message["type"] == "http.response.body" and self._head is not None:
            self._page.append(message.get("body", b""))
            if not message.get("more_body", False):
                await self._whole()
            return
        await self.send(message)

    async def _whole(self) -> None:
        assert self._head is not None
        body = b"".join(self._page).replace(b"<script", b'<script nonce="' + self._number.encode("ascii") + b'"')
        headers = [(name, value) for name, value in self._head["headers"] if name.lower() != b"content-length"]
        headers.append((b"content-length", str(len(body)).encode("ascii")))
        await self.send({**self._head, "headers": headers})
        await self.send({"type": "http.response.body", "body": body})

    def _added(self) -> list[tuple[bytes, bytes]]:
        return [
            (b"content-security-policy", policy(self.port, self._number).encode("ascii")),
            (b"x-content-type-options", b"nosniff"),
            (b"x-frame-options", b"SAMEORIGIN"),
            (b"referrer-policy", b"no-referrer"),
            (b"cross-origin-resource-policy", b"same-origin"),
            (b"cross-origin-opener-policy", b"same-origin"),
        ]


def _from_elsewhere(scope: Scope, head: dict[str, str]) -> bool:
    """Whether a page of others asks, as browsers say; somebody who follows a link to the address itself is no page."""
    if head.get("sec-fetch-site", "none") in ("same-origin", "none"):
        return False
    follows = head.get("sec-fetch-mode") == "navigate" and head.get("sec-fetch-dest") == "document"
    return not (follows and scope.get("method") == "GET")


def _bounded(scope: Scope, receive: Receive) -> Receive:
    """What comes in, until it is more than the largest file that is taken."""
    most, came = MOST_BYTES + _ROOM, 0

    async def received() -> Message:
        nonlocal came
        message = await receive()
        came += len(message.get("body", b""))
        if came > most:
            raise TooLargeError
        return message

    return received


async def _refuse(scope: Scope, send: Send, status: int, words: bytes) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008})
        return
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(words)).encode("ascii"))]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": words})
