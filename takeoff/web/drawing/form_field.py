"""A field that is typed into or chosen from, with its label. Its text is told once it is done: Enter, or on leaving."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from nicegui import ui

from takeoff.web.entries import figure_words


class FormField(ui.element, component="form_field.js"):
    """A field. `bare`: its label is for screen readers, since a heading over it says the same."""

    def __init__(
        self,
        label: str,
        do: Callable[[str], None],
        *,
        value: object = None,
        unit: str = "",
        choices: Mapping[str, str] | None = None,
        bare: bool = False,
        hint: str = "",
        size: int = 8,
    ) -> None:
        """`do` is told the text. `choices`: words by what stands for them."""
        super().__init__()
        self.text = figure_words(value)
        self._version = 0
        listed = None if choices is None else [list(pair) for pair in choices.items()]
        self._props.update(
            label=label, value=self.text, unit=unit, choices=listed, bare=bare, off=False, hint=hint, size=size,
            fault="", version=0,
        )  # fmt: skip

        def typed(given: object) -> None:
            self.text = str(given)[:10_000]
            do(self.text)

        self.on("typed", lambda event: typed(event.args))

    def show(self, value: object) -> None:
        """What stands in the field now; it takes the place of what was typed and not taken."""
        text = figure_words(value)
        if text == self.text and text == self._props["value"]:
            return
        self.text = text
        self._version += 1
        self._props.update(value=text, version=self._version)
        self.update()

    def offer(self, choices: Mapping[str, str]) -> None:
        """What it may be chosen from now."""
        listed = [list(pair) for pair in choices.items()]
        if listed != self._props["choices"]:
            self._props["choices"] = listed
            self.update()

    def turn_off(self, off: bool) -> None:
        """Whether nothing can be typed."""
        if off != self._props["off"]:
            self._props["off"] = off
            self.update()
