"""The page's server: on this machine alone, at an address with a fresh token."""

from __future__ import annotations

import asyncio
import os
import secrets
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from nicegui import app, background_tasks, ui

from takeoff.basics.errors import UsageError
from takeoff.basics.interrupts import Stopped
from takeoff.web.desk import desk
from takeoff.web.guard import Guard
from takeoff.web.house import House
from takeoff.web.routes import add_routes
from takeoff.web.tab import Tab
from takeoff.write.folder.lock import file_lock

HOST = "127.0.0.1"
_LOOKS_AT_DISK_EVERY_S = 2.0
_ENDS_WITHIN_S = 2
_ASKS_EVERY_S = 0.02


def free_port(wanted: int) -> int:
    """The port that is wanted, or any free one for 0. Raises UsageError where it is taken."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, wanted))
            probe.listen(1)
        except OSError as err:
            raise UsageError(f"port {wanted} cannot be used: {err.strerror}; name another with --port.") from err
        return int(probe.getsockname()[1])


@contextmanager
def job_held(job: Path) -> Iterator[None]:
    """No second page works on the same job file, by whatever name; the hold dies with its process. Its folder is made.
    Raises UsageError naming who holds it, and where the folder cannot be made; one that cannot be written to is not
    held."""
    real = Path(os.path.realpath(job))

    def busy(who: str) -> str:
        return f"{job} is open in another page ({who}): go on there, or end that one first."

    held = file_lock(real.with_name(f".{real.name}.page"), busy)
    try:
        held.__enter__()
    except OSError as err:
        if not real.parent.is_dir():
            raise UsageError(f"{real.parent} cannot be made: {err.strerror or err}.") from err
        yield
        return
    try:
        yield
    finally:
        held.__exit__(None, None, None)


def serve(
    job: Path, port: int, browser: bool, said: Callable[[str], None], otherwise: str, office: Path | None
) -> None:
    """Serve the page of a job until it is stopped. `said` is told the address; `otherwise`: the text of a job that has
    no file yet. Raises UsageError for a port that is taken and a job that another page holds, UnreadableFileError for
    a job that is no text; Stopped when it is told to end, with what is not saved."""
    port = free_port(port)
    with job_held(job):
        house = House(job, otherwise, office)
        try:
            _run(house, port, browser, said)
        except Stopped as stop:
            raise Stopped(stop.number, standing(house)) from None
        finally:
            house.close()


async def _takes_calls(port: int) -> bool:
    try:
        _, writer = await asyncio.open_connection(HOST, port)
    except OSError:
        return False
    writer.close()
    return True


def standing(house: House) -> str:
    """What stands when the page ends."""
    copy = house.copy
    if not copy.changed or (copy.saved is None and not copy.back):
        return f"{copy.path} is as it was last saved"
    if copy.unkept:
        return f"what was not saved of {copy.path} is lost: {copy.unkept}"
    return f"what is not saved of {copy.path} is kept: the next start finds it"


def _run(house: House, port: int, browser: bool, said: Callable[[str], None]) -> None:
    token = secrets.token_urlsafe(24)
    root = f"/{token}"
    address = f"http://{HOST}:{port}{root}/"

    @ui.page(f"{root}/", title="Takeoff", language="en-GB")
    def page() -> None:
        tab = Tab(house, ui.context.client, root)
        tab.client.on_delete(house.hear(tab.news))
        tab.client.on_exception(tab.fault)
        desk(tab)

    add_routes(house, f"/{token}")

    async def answers() -> None:
        """The address is told once the server takes calls: it begins to listen after what it does at its start."""
        while not await _takes_calls(port):
            await asyncio.sleep(_ASKS_EVERY_S)
        said(address)

    async def begun() -> None:
        house.start(asyncio.get_running_loop())
        background_tasks.create(answers())

    app.add_middleware(Guard, token=token, port=port)
    app.on_startup(begun)
    app.on_shutdown(house.close)
    app.timer(_LOOKS_AT_DISK_EVERY_S, house.look_at_disk)
    ui.run(
        host=HOST, port=port, show=address if browser else False, reload=False, tailwind=False, title="Takeoff",
        show_welcome_message=False, reconnect_timeout=30.0, uvicorn_logging_level="error", favicon=None,
        timeout_graceful_shutdown=_ENDS_WITHIN_S, server_header=False, date_header=False, proxy_headers=False,
    )  # fmt: skip
