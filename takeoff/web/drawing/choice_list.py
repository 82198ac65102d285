"""A list of which one row is chosen, by pointer or by the arrow keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from nicegui import ui

Row = tuple[str, str, str, str]  # its key, then three columns


class ChoiceList(ui.element, component="choice_list.js"):
    """A list of rows."""

    def __init__(self, label: str, do: Callable[[str], None], none: str = "") -> None:
        """`do` is told the key of what is chosen; `none`: what stands where there are no rows."""
        super().__init__()
        self._props.update(label=label, rows=[], chosen="", none=none)
        self.on("chosen", lambda event: do(str(event.args)))

    def show(self, rows: Sequence[Row], chosen: str) -> None:
        """These rows, that one chosen."""
        listed = [list(row) for row in rows]
        if listed != self._props["rows"] or chosen != self._props["chosen"]:
            self._props.update(rows=listed, chosen=chosen)
            self.update()
