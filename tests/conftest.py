"""What all tests share: one browser, and an event loop for who needs one."""

from __future__ import annotations

import asyncio
import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest

_CHROMIUM = shutil.which("chromium")
_SWITCHES = ("--no-sandbox", "--disable-dev-shm-usage", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """One browser for all tests of a process: the library that drives it takes no second one in a thread."""
    if _CHROMIUM is None:
        if os.environ.get("TAKEOFF_REQUIRE_BROWSER") == "1":
            pytest.fail("Chromium is not installed and TAKEOFF_REQUIRE_BROWSER=1 asks for it")
        pytest.skip("Chromium is not installed")
    playwright = pytest.importorskip("playwright.sync_api")
    with playwright.sync_playwright() as started:
        running = started.chromium.launch(executable_path=_CHROMIUM, args=list(_SWITCHES))
        yield running
        running.close()


@pytest.fixture(autouse=True)
def _own_loop(request: pytest.FixtureRequest) -> Iterator[None]:
    """The library that drives the browser keeps its event loop running in this thread between its tests, which forbids
    others to run one of their own: for tests without the browser it is put aside."""
    running = asyncio._get_running_loop()
    if "chromium" in request.fixturenames or running is None:
        yield
        return
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(running)
