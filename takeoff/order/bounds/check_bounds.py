"""The order held against the bounds of its figures: what lies outside is a stop, so that nothing wrong is ordered."""

from __future__ import annotations

from math import inf

from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Order, Takeoff
from takeoff.order.bounds.bound_rules import RULES
from takeoff.order.bounds.bounded import Bounded, Rule, case_of

_MANY = {"roll": "rolls", "box": "boxes", "tube": "tubes", "bottle": "bottles", "tin": "tins", "each": "pieces"}


def check_bounds(takeoff: Takeoff, order: Order, rules: tuple[Rule, ...] = RULES) -> tuple[Finding, ...]:
    """A stop finding for each figure outside its bounds, with both figures; none for an order that is right.

    `takeoff` is measured, its own order not set yet; `order` is what was made of it.
    """
    case = case_of(takeoff, order)
    return tuple(_stop(rule, bounded) for rule in rules for bounded in rule.check(case) if not bounded.holds)


def _stop(rule: Rule, bounded: Bounded) -> Finding:
    of = f" ({bounded.of})" if bounded.of else ""
    unit = _MANY.get(bounded.unit, bounded.unit)
    return Finding(
        rule.name if rule.name == "plane-without-sheets" else f"out-of-bounds-{rule.name}",
        Severity.STOP,
        f"{rule.figure.capitalize()}{of}: {_number(bounded.figure)} {unit}, but {_allowed(bounded)} "
        f"by another reckoning: {bounded.from_what}.",
        "The order is withheld. Look there on the roof plan for corners a few mm out of line; where the shape is "
        "right, the program is wrong.",
        bounded.refs,
    )


def _allowed(bounded: Bounded) -> str:
    if bounded.high == inf:
        return f"at least {_number(bounded.low)}"
    if bounded.low <= 0.0:
        return f"at most {_number(bounded.high)}"
    if _number(bounded.low) == _number(bounded.high):
        return _number(bounded.low)
    return f"{_number(bounded.low)} to {_number(bounded.high)}"


def _number(value: float) -> str:
    return f"{value:,.3f}".rstrip("0").rstrip(".")
