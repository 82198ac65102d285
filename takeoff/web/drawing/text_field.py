"""A field of one line that says what was typed when it is finished."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nicegui import ui


class TextField(ui.element, component="text_field.js"):
    """`do` hears what was typed; where it answers False the field shows again what stands."""

    def __init__(self, label: str, do: Callable[[str], bool], most: int = 200, hint: str = "") -> None:
        super().__init__()
        self.props.update(label=label, value="", most=most, hint=hint, turn=0)
        self._do = do
        self.on("typed", self._typed)

    def show(self, value: str) -> None:
        """What stands in it; what is being typed stays."""
        if self.props["value"] != value:
            self.props.update(value=value)
            self.update()

    def _typed(self, event: Any) -> None:
        if not self._do(str(event.args or "")):
            self.props.update(turn=self.props["turn"] + 1)
            self.update()
