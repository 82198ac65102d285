"""A pytest plugin: writes down test by test which functions of a numbered copy are called (see touched.py)."""

from __future__ import annotations

import time
from collections.abc import Generator

import pytest
import touched


@pytest.hookimpl(wrapper=True)
def pytest_runtest_setup(item: pytest.Item) -> Generator[None, object, object]:
    """What its fixtures call."""
    touched.names.clear()
    return (yield from _written(item, "setup"))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """What the test itself calls."""
    return (yield from _written(item, "call"))


def _written(item: pytest.Item, phase: str) -> Generator[None, object, object]:
    """Run one phase of a test and write its line, whether it passes, skips or fails."""
    began = time.perf_counter()
    red = True
    try:
        outcome = yield
        red = False
        return outcome
    except pytest.skip.Exception:
        red = False
        raise
    finally:
        touched.write(item.nodeid, phase, time.perf_counter() - began, red)
