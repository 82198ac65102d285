"""The board that the plan is drawn on, in the browser: what it is shown, and what it says was done."""

from __future__ import annotations

from typing import Any

from nicegui import ui


class PlanBoard(ui.element, component="plan.js", dependencies=["plan_hand.js"]):
    """A plan in SVG. Events, each with one map: `touched` (mark, length), `corner` (roof, corner, x, y, free), `edge`
    (roof, edge, dx, dy), `put_in` (roof, edge, at), `take_out` (roof, corner), `roof_moved` (roof, dx, dy), `drawn`
    (points), `given_up`, `points` (a, b), `under_moved` (dx, dy), `north` (deg). Roofs count from 0, edges and corners
    from 1; lengths in mm of the job's plan."""

    def __init__(self, view: dict[str, Any]) -> None:
        super().__init__()
        self._props.update(view=view, lit=[], mode="touch", under=None, label="Plan of the house")

    def show(self, **shown: object) -> None:
        """Show other values of `view`, `lit`, `mode` or `under`."""
        if any(self._props.get(name) != value for name, value in shown.items()):
            self._props.update(shown)
            self.update()
