"""The button that takes a file, chosen or dropped on it."""

from __future__ import annotations

from nicegui import ui


class FileButton(ui.upload, component="file_button.js"):
    """As the library's own, drawn as one of our buttons. Says `refused` with name and size of one not taken."""
