"""Buttons that take files of the order away."""

from __future__ import annotations

from collections.abc import Sequence

from nicegui import ui


class FileButtons(ui.element, component="file_buttons.js"):
    """A button a file, each as its key and its words."""

    def __init__(self, root: str, files: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self.props["root"] = root
        self.props["files"] = [list(each) for each in files]
        self.props["why"] = ""

    def allow(self, why: str) -> None:
        """Why no file can be taken away, "" where it can."""
        if self.props["why"] != why:
            self.props["why"] = why
            self.update()
