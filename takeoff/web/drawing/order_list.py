"""The order as tables and drawings, drawn in the browser in one piece."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from nicegui import ui


class OrderList(ui.element, component="order_list.js"):
    """Shows what `root`/order.json gives, anew for each `number`; tells which mark is touched in it."""

    def __init__(self, root: str, number: int, touched: Callable[[str], None]) -> None:
        super().__init__()
        self.props["root"] = root
        self.props["number"] = number
        self.props["lit"] = []
        self.props["older"] = False
        self.props["stopped"] = []
        self.on("touched", lambda event: touched(str(event.args.get("mark", ""))[:200]))

    def show(self, number: int, older: bool, stopped: Sequence[str]) -> None:
        """What is the newest; whether the house is being worked out anew, and what stops it, in sentences."""
        self.props["number"], self.props["older"], self.props["stopped"] = number, older, list(stopped)
        self.update()

    def light(self, marks: Sequence[str]) -> None:
        """These are touched."""
        self.props["lit"] = list(marks)
        self.update()
