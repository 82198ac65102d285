"""The page's server: on this machine alone, at an address with a fresh token."""

from __future__ import annotations

import asyncio
import secrets
import socket
from collections.abc import Callable
from pathlib import Path

from nicegui import app, ui

from takeoff.basics.errors import UsageError
from takeoff.web.desk import desk
from takeoff.web.guard import Guard
from takeoff.web.house import House
from takeoff.web.routes import add_routes
from takeoff.web.tab import Tab

HOST = "127.0.0.1"
_LOOKS_AT_DISK_EVERY_S = 2.0


def free_port(wanted: int) -> int:
    """The port that is wanted, or any free one for 0. Raises UsageError where it is taken."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, wanted))
        except OSError as err:
            raise UsageError(f"port {wanted} cannot be used: {err.strerror}; name another with --port.") from err
        return int(probe.getsockname()[1])


def serve(
    job: Path, port: int, browser: bool, said: Callable[[str], None], otherwise: str, office: Path | None
) -> None:
    """Serve the page of a job until it is stopped. `said` is told the address; `otherwise`: the text of a job that has
    no file yet. Raises UsageError for a port that is taken, UnreadableFileError for a job that is no text."""
    port = free_port(port)
    token = secrets.token_urlsafe(24)
    address = f"http://{HOST}:{port}/{token}/"
    house = House(job, otherwise, office)

    @ui.page(f"/{token}/", title="Takeoff")
    def page() -> None:
        tab = Tab(house, ui.context.client, f"/{token}")
        deaf = house.hear(tab.news)
        tab.client.on_delete(deaf)
        desk(tab)

    add_routes(house, f"/{token}")

    async def begun() -> None:
        house.start(asyncio.get_running_loop())
        said(address)

    app.add_middleware(Guard, token=token, port=port)
    app.on_startup(begun)
    app.on_shutdown(house.close)
    app.timer(_LOOKS_AT_DISK_EVERY_S, house.look_at_disk)
    try:
        ui.run(
            host=HOST, port=port, show=address if browser else False, reload=False, tailwind=False, title="Takeoff",
            show_welcome_message=False, reconnect_timeout=30.0, uvicorn_logging_level="error", favicon=None,
        )  # fmt: skip
    finally:
        house.close()
