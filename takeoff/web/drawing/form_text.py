"""A text of several lines, told after a pause in typing or on leaving."""

from __future__ import annotations

from collections.abc import Callable

from nicegui import ui


class FormText(ui.element, component="form_text.js"):
    """A text to write in."""

    def __init__(self, label: str, do: Callable[[str], None], rows: int = 18) -> None:
        """`do` is told the text."""
        super().__init__()
        self._version = 0
        self._props.update(label=label, value="", version=0, rows=rows)

        def typed(given: object) -> None:
            self._props["value"] = str(given)
            do(str(given))

        self.on("typed", lambda event: typed(event.args))

    def show(self, text: str) -> None:
        """What stands in it now."""
        if text != self._props["value"]:
            self._version += 1
            self._props.update(value=text, version=self._version)
            self.update()
