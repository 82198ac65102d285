"""Who may talk to the page: browsers of this machine that know its token, from the page itself.

Each answer carries a strict content policy: nothing is fetched from anywhere else. The page's library builds its
elements from templates in the browser, so scripts of our own server may be evaluated; others never.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, MutableMapping
from hmac import compare_digest
from http.cookies import CookieError, SimpleCookie
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

_REFUSED = b"This page is for the browser that was given its address: start it again and use the address it prints."


def policy(port: int) -> str:
    """The content policy of every answer: this server alone, no frames of others, no forms sent anywhere."""
    own = f"ws://127.0.0.1:{port} ws://localhost:{port}"
    return (
        "default-src 'none'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
        f"img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self' {own}; frame-src 'self'; "
        "worker-src 'self' blob:; form-action 'none'; base-uri 'none'; frame-ancestors 'self'"
    )


class Guard:
    """Stands before the whole server, pages and sockets alike."""

    def __init__(self, app: App, token: str, port: int) -> None:
        self.app, self.token, self.port = app, token, port
        self.cookie = f"takeoff_page_{port}"
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on what may pass; all else is refused with 403, a socket is closed."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        head = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        if not self._may(scope, head):
            await self._refuse(scope, send)
            return

        async def answered(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *self._added(scope)]
            await send(message)

        await self.app(scope, receive, answered)

    def _may(self, scope: Scope, head: dict[str, str]) -> bool:
        if head.get("host") not in self.hosts:
            return False
        origin = head.get("origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.hosts}:
            return False
        if scope["type"] == "websocket" and origin is None:
            return False
        return self._knows(scope["path"], head.get("cookie", ""))

    def _knows(self, path: str, cookies: str) -> bool:
        if compare_digest(path.split("/")[1].encode("utf-8", "replace"), self.token.encode("ascii")):
            return True
        try:
            found = SimpleCookie(cookies).get(self.cookie)
        except CookieError:
            return False
        return found is not None and compare_digest(found.value.encode("utf-8", "replace"), self.token.encode("ascii"))

    def _added(self, scope: Scope) -> list[tuple[bytes, bytes]]:
        added = {
            "content-security-policy": policy(self.port),
            "x-content-type-options": "nosniff",
            "referrer-policy": "no-referrer",
            "cross-origin-resource-policy": "same-origin",
        }
        if scope["path"].split("/")[1] == self.token:
            added["set-cookie"] = f"{self.cookie}={self.token}; Path=/; HttpOnly; SameSite=Strict"
        return [(name.encode("ascii"), value.encode("ascii")) for name, value in added.items()]

    @staticmethod
    async def _refuse(scope: Scope, send: Send) -> None:
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        await send({"type": "http.response.start", "status": 403, "headers": [(b"content-type", b"text/plain")]})
        await send({"type": "http.response.body", "body": _REFUSED})
