"""The house in space, in a frame of its own inside the page."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from nicegui import ui
from nicegui.events import GenericEventArguments


class HouseView(ui.element, component="house_view.js"):
    """Draws what `root`/house.json gives, anew for each `number`; tells which mark is touched in it, "" for none."""

    def __init__(self, root: str, number: int, touched: Callable[[str], None]) -> None:
        super().__init__()
        self.props["root"] = root
        self.props["number"] = number
        self.props["lit"] = []
        self.on("touched", lambda event: touched(_mark(event)))

    def show(self, number: int) -> None:
        """There is something newer."""
        self.props["number"] = number
        self.update()

    def light(self, marks: Sequence[str]) -> None:
        """These are touched."""
        self.props["lit"] = list(marks)
        self.update()


def _mark(event: GenericEventArguments) -> str:
    return str(event.args.get("mark", ""))[:200]
