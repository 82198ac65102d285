"""Entries of the job as rows on the page: a label, what is typed, its unit, and what holds where nothing is typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from nicegui import ui

from takeoff.web.plan_entries import Entry, Typed

Enter = Callable[[Entry, str], None]


class EntryRows:
    """Rows for entries; shown again with other entries of the same places, fields stay and keep the cursor."""

    def __init__(self, enter: Enter) -> None:
        self.enter = enter
        self._fields: dict[str, ui.input | ui.select] = {}
        self._entries: dict[str, Entry] = {}
        self._stood: dict[str, str] = {}  # what the job last said in each field
        self._room = ui.element("div").classes("entries")

    def show(self, entries: Sequence[Entry]) -> None:
        """Show these entries."""
        new = {_place(entry): entry for entry in entries}
        same = list(new) == list(self._fields) and all(new[p].choices == self._entries[p].choices for p in new)
        self._entries = new
        if not same:
            self._room.clear()
            self._stood = {}
            with self._room:
                self._fields = {place: self._row(place, entry) for place, entry in new.items()}
        for place, entry in new.items():
            self._fill(place, entry)

    def focus(self, label: str) -> None:
        """Put the cursor into the field of a label."""
        for place, entry in self._entries.items():
            if entry.label == label:
                self._fields[place].run_method("focus")

    def _row(self, place: str, entry: Entry) -> ui.input | ui.select:
        label = f"{entry.label} ({entry.unit})" if entry.unit else entry.label
        if entry.typed is Typed.CHOICE:
            chosen = ui.select(
                {"": "", **dict(entry.choices)}, value="", label=label, on_change=lambda: self._chosen(place)
            )
            chosen.props("dense outlined options-dense stack-label")
            return chosen
        field = ui.input(label).props("dense outlined stack-label autocomplete=off")
        field.on("change", lambda: self._typed(place))
        field.on("keydown.enter", lambda: self._typed(place))
        return field

    def _fill(self, place: str, entry: Entry, always: bool = False) -> None:
        """Show what stands in the job; what is being typed stays while the job says there what it did."""
        field = self._fields[place]
        if isinstance(field, ui.select):
            choices = dict(entry.choices)
            odd = {entry.text: entry.text} if entry.text and entry.text not in choices else {}
            options = {"": f"{entry.otherwise} (not typed)", **choices, **odd}
            if field.options != options:
                field.set_options(options)
        field.props["placeholder"] = entry.otherwise
        if (always or self._stood.get(place, "") != entry.text) and (field.value or "") != entry.text:
            field.set_value(entry.text)
        self._stood[place] = entry.text

    def _typed(self, place: str) -> None:
        entry, field = self._entries.get(place), self._fields.get(place)
        if entry is None or field is None or (field.value or "").strip() == entry.text:
            return
        self.enter(entry, str(field.value or ""))
        now = self._entries.get(place)
        if now is not None and field is self._fields.get(place):  # what could not be taken goes back
            self._fill(place, now, always=True)

    def _chosen(self, place: str) -> None:
        entry, field = self._entries.get(place), self._fields.get(place)
        if entry is not None and field is not None and (field.value or "") != entry.text:
            self.enter(entry, str(field.value or ""))


def _place(entry: Entry) -> str:
    return ".".join(map(str, entry.path)) + entry.label
