"""The elevation of a wall in the browser: openings are drawn, moved and resized on it, bands drawn higher or lower."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nicegui import ui

Data = dict[str, Any]
EVENTS = ("added", "changed", "out", "touched", "band")


class ElevationDrawing(ui.element, component="elevation.js"):
    """A wall drawn. It answers with one event for each thing done (EVENTS), with its figures in wall axes [mm]."""

    def __init__(self, do: Callable[[str, Data], None]) -> None:
        """`do` is told the event and its figures."""
        super().__init__()
        self._version = 0
        self._props.update(wall=None, openings=[], bands=[], tool="", touched="", version=0)
        for event in EVENTS:
            self.on(event, lambda given, event=event: do(event, given.args if isinstance(given.args, dict) else {}))

    def show(self, wall: Data | None, openings: list[Data], bands: list[Data]) -> None:
        """Draw this; what was drawn by hand and not taken is gone."""
        self._version += 1
        self._props.update(wall=wall, openings=openings, bands=bands, version=self._version)
        self.update()

    def light(self, mark: str) -> None:
        """What is touched, by its mark."""
        self._props["touched"] = mark
        self.update()

    def take(self, tool: str) -> None:
        """What a rectangle drawn now becomes: window or door; "" for nothing."""
        self._props["tool"] = tool
        self.update()
