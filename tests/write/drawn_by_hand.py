"""What tests of drawings ask alike: points compared, and what a room for words is offered."""

from __future__ import annotations

import pytest

from takeoff.basics.vectors import Point2
from takeoff.write.drawings.label_room import Label


def flat(value: object) -> list[float]:
    return [x for each in value for x in flat(each)] if isinstance(value, (tuple, list)) else [float(value)]  # type: ignore[arg-type]


def same(found: object, wanted: object) -> None:
    assert flat(found) == pytest.approx(flat(wanted), abs=1e-6)


class Offered(list[tuple[list[Label], Point2]]):
    """What a room is offered: labels with what they are for."""
