"""Keys that hold for the whole page."""

from __future__ import annotations

from nicegui import ui


class Keys(ui.element, component="keys.js"):
    """Says `pressed` with "undo", "redo" or "save"; not for a field that steps back by itself."""
