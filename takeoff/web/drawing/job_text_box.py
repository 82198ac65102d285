"""The job file as a text to write in, its lines numbered."""

from __future__ import annotations

from collections.abc import Mapping

from nicegui import ui


class JobTextBox(ui.element, component="job_text_box.js"):
    """Says `wrote` with the text and the version that it was begun from, and `took` with both texts where somebody
    took the change of others. `show`: another text; `go_to`: a line, from 1."""

    def __init__(self, label: str) -> None:
        super().__init__()
        self.props.update(label=label, text="", version=0, marks={})

    def show(self, text: str, version: int) -> None:
        """The text as it is now; what is being typed is not written over, but asked about."""
        self.props.update(text=text, version=version)
        self.update()

    def mark_lines(self, lines: Mapping[int, int]) -> None:
        """Mark lines that something is said of: how much of each."""
        self.props.update(marks={str(line): count for line, count in lines.items()})
        self.update()

    def go_to(self, line: int) -> None:
        """Put the cursor on a line."""
        self.run_method("goTo", line)
