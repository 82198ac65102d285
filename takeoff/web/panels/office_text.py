"""The office file as text, with what is wrong with it, to be saved by an explicit act."""

from __future__ import annotations

from nicegui import ui

from takeoff.basics.errors import TakeoffError
from takeoff.model.job_edits import Edit
from takeoff.web.drawing.form_text import FormText
from takeoff.web.office_draft import OfficeDraft, office_path
from takeoff.web.tab import Tab
from takeoff.write.words.words import plain


class OfficeText:
    """The office file in one tab."""

    def __init__(self, tab: Tab) -> None:
        self.tab = tab
        self.path = office_path(tab.house.copy.path.parent, tab.house.office)
        self.draft = OfficeDraft(self.path, None, "")
        ui.label(
            "What all jobs of this office share: letterhead, suppliers, rates, own products and settings. A job that "
            "says otherwise goes before it. Saving it takes this job off anew."
        )
        with ui.element("div").classes("new-row"):
            self.save_button = ui.button("Save the office file", on_click=self.save).props("outline no-caps dense")
            ui.button("Read it again from the disk", on_click=self.read).props("flat no-caps dense")
            self.state = ui.label().classes("soft").props("role=status")
        self.box = FormText("Office file", self._wrote)
        self.faults = ui.element("ul").classes("faults").props("role=alert")
        self.read()

    def read(self) -> None:
        """As it stands on the disk."""
        with self.tab.told():
            self.draft = OfficeDraft.opened(self.path)
        self.draw()

    def put(self, edit: Edit) -> None:
        """Change one place of its text. Raises UsageError."""
        self.draft.put(edit)
        self.draw()

    def _wrote(self, text: str) -> None:
        self.draft.text = text
        self.draw()

    def save(self) -> None:
        """Write it, and take the job off with it."""
        with self.tab.told():
            self.draft.save()
            self.tab.house.take_office()
        self.draw()

    def draw(self) -> None:
        """Its text, its state and its faults."""
        self.box.show(self.draft.text)
        there = "" if self.draft.saved is not None else ", which is not there yet"
        self.state.set_text(f"{self.path.name}{there}: {'not saved' if self.draft.changed else 'as on the disk'}")
        self.save_button.set_enabled(self.draft.changed)
        self.faults.clear()
        with self.faults:
            for fault in self._faults():
                with ui.element("li"):
                    ui.label(plain(fault))

    def _faults(self) -> tuple[str, ...]:
        try:
            return self.draft.faults
        except TakeoffError as err:
            return tuple(map(str, err.faults))
