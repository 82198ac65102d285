"""The hand-made takeoff, whole and stopped."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Sequence
from pathlib import Path
from types import ModuleType

import pytest

from takeoff.basics.vectors import Point2
from takeoff.model.order import Takeoff
from takeoff.write.drawings.label_room import Label, Room

sys.path.insert(0, str(Path(__file__).parent))
pytest.register_assert_rewrite("drawn_by_hand")

from drawn_by_hand import Offered  # noqa: E402 - once its asserts are told


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


@pytest.fixture
def offered(monkeypatch: pytest.MonkeyPatch) -> Offered:
    """What a room for words is offered; it takes all."""
    found = Offered()

    def place(_: Room, choices: Sequence[Label], anchor: Point2, least_mm: float = 0.0) -> bool:
        found.append((list(choices), anchor))
        return True

    monkeypatch.setattr(Room, "place", place)
    return found
