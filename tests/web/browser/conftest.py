"""The page as people meet it: its server as a process of its own, and Debian's Chromium driven by playwright.

    def test_x(page_server, browser_page):
        server = page_server("job: Hut\\nroofs: []\\n")   # a folder of its own, the job file written, the server started
        seen = browser_page(server.address)             # a window; seen.page is playwright's
        other = seen.tab()                              # a second tab of the same browser

A request to another host is refused and told, as is every error of the browser's console: a window that has any fails its
test at the end (`seen.faults`; a test that means one to come empties the list). Skips where Chromium or playwright is not
installed, unless TAKEOFF_REQUIRE_BROWSER=1 forbids it.
"""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from queue import Empty, Queue
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[3]
# software drawing, and no sandbox: tests run as root in a container
_STARTS_WITHIN_S = 90.0  # a machine that does much else
_WAITS_MS = 60_000
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S+/$")


def _heard() -> None:
    signal.signal(signal.SIGINT, signal.default_int_handler)


@dataclass
class PageServer:
    """`takeoff page` as a process. `said`: the lines that it printed so far."""

    job: Path
    options: tuple[str, ...] = ()
    address: str = ""
    said: list[str] = field(default_factory=list)
    process: subprocess.Popen[str] | None = None
    _lines: Queue[str | None] = field(default_factory=Queue)
    _ear: threading.Thread | None = None

    @property
    def folder(self) -> Path:
        return self.job.parent

    def start(self) -> None:
        """Start it, and wait for its address."""
        self._lines, command = Queue(), [sys.executable, "-m", "takeoff", "page", str(self.job), "--no-browser"]
        self.process = subprocess.Popen(
            [*command, *(self.options if "--port" in self.options else ("--port", "0", *self.options))],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=self.folder,
            env={**_environment(), "PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"},
            preexec_fn=_heard,  # also where whoever started the tests does not hear Ctrl-C
        )  # fmt: skip
        self._ear = threading.Thread(target=self._listen, args=(self.process, self._lines), daemon=True)
        self._ear.start()
        while True:
            try:
                line = self._lines.get(timeout=_STARTS_WITHIN_S)
            except Empty:
                line = None
            if line is None:
                self.kill()
                pytest.fail(f"the page did not start: {self.said}")
            if _ADDRESS.match(line):
                self.address = line
                return

    def stop(self, by: signal.Signals = signal.SIGTERM) -> int:
        """End it as people do, by a signal; its exit code."""
        assert self.process is not None
        self.process.send_signal(by)
        code = self.process.wait(30)
        self._closed()
        return code

    def kill(self) -> None:
        """End it as a power cut does."""
        if self.process is not None and self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self._closed()

    def _closed(self) -> None:
        if self._ear is not None:
            self._ear.join(10)
            self._ear = None

    def _listen(self, process: subprocess.Popen[str], lines: Queue[str | None]) -> None:
        assert process.stdout is not None
        with process.stdout:
            for line in process.stdout:
                self.said.append(line.rstrip("\n"))
                lines.put(self.said[-1])
        lines.put(None)


@dataclass
class Seen:
    """A window on the page, and all that went wrong in it."""

    page: Any
    faults: list[str]
    left: bool = False

    def leave(self) -> None:
        """Close it, whatever it complains of from now on: its server is gone."""
        self.left = True
        self.page.close()

    def tab(self, address: str = "") -> Seen:
        """One more tab of the same browser, by default at the same address."""
        other = Seen(self.page.context.new_page(), self.faults)
        other.listen()
        other.page.goto(address or self.page.url)
        return other

    def listen(self) -> None:
        """Hear what the browser complains of."""
        page = self.page
        page.set_default_timeout(_WAITS_MS)
        page.on("console", lambda said: self._heard(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda err: self._heard(str(err)))
        page.on("dialog", lambda dialog: (self._heard(f"dialog {dialog.message}"), dialog.dismiss()))

    def _heard(self, words: str) -> None:
        if not self.left:
            self.faults.append(words)


def _environment() -> dict[str, str]:
    """Ours without what pytest puts in: the page's library behaves otherwise under a test that it takes for its own."""
    return {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "NICEGUI"))}


Serve = Callable[..., PageServer]
Open = Callable[..., Seen]


@pytest.fixture(scope="module")
def page_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Serve]:
    """Starts a server in a folder of its own: `page_server(text=None, *options, job=None)`; `text` is written into its
    job.yaml first (None: there is none yet), `job` names a job file that is there already. Ended after the module."""
    pytest.importorskip("nicegui")
    started: list[PageServer] = []

    def serve(text: str | None = None, *options: str, job: Path | None = None) -> PageServer:
        job = job or tmp_path_factory.mktemp("house") / "job.yaml"
        if text is not None:
            job.write_text(text, encoding="utf-8", newline="")
        server = PageServer(job, options)
        started.append(server)
        server.start()
        return server

    yield serve
    for server in started:
        server.kill()


@pytest.fixture
def browser_page(chromium: Any) -> Iterator[Open]:
    """Opens a window: `browser_page(address, wide=1280, high=720)`, with a memory of its own. At the end of the test
    nothing may have gone wrong in any."""
    contexts: list[Any] = []
    opened: list[Seen] = []

    def open_at(address: str, wide: int = 1280, high: int = 720) -> Seen:
        context = chromium.new_context(viewport={"width": wide, "height": high}, accept_downloads=True)
        contexts.append(context)
        seen = Seen(context.new_page(), [])
        opened.append(seen)
        own = re.compile(r"(https?|wss?)://(127\.0\.0\.1|localhost):\d+/|blob:|data:")

        def route(asked: Any) -> None:
            if own.match(asked.request.url):
                asked.continue_()
            else:
                seen.faults.append(f"asked for {asked.request.url}")
                asked.abort()

        context.route("**/*", route)
        seen.listen()
        seen.page.goto(address)
        return seen

    yield open_at
    for context in contexts:
        context.close()
    assert [fault for seen in opened for fault in seen.faults] == []
