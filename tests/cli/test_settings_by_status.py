"""Values that stay from memory are listed by one command, and those of a code by another word."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.listing import setting_lines
from takeoff.model.basis import Status
from takeoff.read.catalogue import default_settings


def test_what_is_from_memory_is_listed_and_nothing_else() -> None:
    lines = list(setting_lines(status="memory"))
    named = {line.split(":")[0] for line in lines if not line.startswith("    ") and " " not in line.split(":")[0]}
    known = default_settings()
    assert named == {name for name, setting in known.items() if setting.basis.status is Status.MEMORY}
    assert any(line.startswith("profiles tray_400: cover") for line in lines)
    # sourced since: rows of downpipes, areas of gutters, laps, purlin sizes
    assert not any(line.startswith(("downpipes", "purlin_", "end_lap")) for line in lines)
    assert not any("area" in line for line in lines if line.startswith("gutters"))


def test_settings_of_a_code() -> None:
    line = next(iter(setting_lines("flashing_lap_mm", code="au")))
    assert line.startswith("flashing_lap_mm: 75 mm")
    line = next(iter(setting_lines("flashing_lap_mm")))
    assert line.startswith("flashing_lap_mm: 150 mm")


def test_words_there_are_not() -> None:
    with pytest.raises(UsageError, match="no status is called 'memry'; did you mean memory"):
        list(setting_lines(status="memry"))
    with pytest.raises(UsageError, match="no code is called 'uk'"):
        list(setting_lines(code="uk"))
