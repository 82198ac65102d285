"""A pytest plugin: writes down test by test which functions of a numbered copy are called (see touched.py)."""

from __future__ import annotations

import time
from collections.abc import Generator

import pytest
import touched


@pytest.hookimpl(wrapper=True)
def pytest_runtest_setup(item: pytest.Item) -> Generator[None, object, object]:
    """What its fixtures call."""
    began = time.perf_counter()
    touched.names.clear()
    try:
        return (yield)
    finally:
        touched.write(item.nodeid, "setup", time.perf_counter() - began)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """What the test itself calls."""
    began = time.perf_counter()
    try:
        return (yield)
    finally:
        touched.write(item.nodeid, "call", time.perf_counter() - began)
