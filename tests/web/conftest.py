"""What the tests of the page share."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def _own_loop(request: pytest.FixtureRequest) -> Iterator[None]:
    """The library that drives the browser keeps its event loop running in this thread between its tests, which forbids
    others to run one of their own: for tests without a browser it is put aside."""
    running = asyncio._get_running_loop()
    if "browser" in request.path.parts or running is None:
        yield
        return
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(running)
