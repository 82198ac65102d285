"""Regression: every command still says, on 80 columns, what is recorded of it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from samples_record import RENEW
from screens_record import SCREENS, screens, sessions


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """What is said now, by file."""
    return dict(screens(tmp_path_factory.mktemp("screens").resolve()))


@pytest.mark.parametrize("name", sessions())
def test_a_command_says_what_is_recorded(name: str, said: dict[str, str]) -> None:
    assert said[name].splitlines() == (SCREENS / f"{name}.txt").read_text(encoding="utf-8").splitlines(), RENEW


def test_every_screen_is_recorded_and_nothing_else() -> None:
    assert sorted(path.stem for path in SCREENS.glob("*.txt")) == sorted(sessions())
