"""The hand-made takeoff, whole and stopped."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from takeoff.model.order import Takeoff


def load_sample() -> ModuleType:
    """The module beside this one, without needing the tests to be a package."""
    spec = importlib.util.spec_from_file_location("sample_takeoff", Path(__file__).with_name("sample_takeoff.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def sample() -> Takeoff:
    return load_sample().takeoff()


@pytest.fixture(scope="session")
def stopped() -> Takeoff:
    return load_sample().stopped()
