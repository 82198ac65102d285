"""What a bound is: a figure of the order, and what the shape of the house allows it to be."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from takeoff.model.order import Order, Takeoff


@dataclass(frozen=True, slots=True)
class Bounded:
    """One figure and its bounds, all in `unit`. `of`: what the figure is of, "" where the rule says it all; `from_what`:
    the geometry that the bounds were worked out from, with its own figures; `refs`: ids of what it stands on."""

    figure: float
    low: float
    high: float
    unit: str
    from_what: str
    of: str = ""
    refs: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether the figure lies within its bounds; a crumb of floating point is no fault."""
        slack = 1e-6 * max(1.0, abs(self.low), abs(self.high))
        return self.low - slack <= self.figure <= self.high + slack


@dataclass(frozen=True, slots=True)
class Case:
    """What the rules look at: the takeoff, whose own `order` is not set yet, and the order made from it."""

    takeoff: Takeoff
    order: Order


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: short name, the figure it is about, what bounds it in words, and why its margin is what it is."""

    name: str
    figure: str
    bound: str
    margin: str
    check: Callable[[Case], Iterable[Bounded]]
