"""The settings as a list to search, and one of them with what it means, may be and rests on, to be set or put back."""

from __future__ import annotations

from nicegui import ui

from takeoff.model.basis import Setting
from takeoff.read.catalogue import default_settings
from takeoff.web.drawing.choice_list import ChoiceList
from takeoff.web.drawing.form_field import FormField
from takeoff.web.setting_rows import (
    ALL,
    WHICH,
    choices_of,
    setting_edit,
    setting_facts,
    setting_reset,
    setting_rows,
    settings_of,
    used_settings,
)
from takeoff.web.tab import Tab
from takeoff.web.tank_edits import part_of
from takeoff.write.words.words import name_words


class SettingsList:
    """The list in one tab. `chosen`: the name of the setting that is shown."""

    def __init__(self, tab: Tab) -> None:
        self.tab = tab
        self.word, self.which, self.chosen = "", ALL, ""
        self.shown = "-"  # the name of the setting whose field stands
        with ui.element("div").classes("two-columns"):
            with ui.element("div"):
                with ui.element("div").classes("new-row"):
                    FormField("find a word", self._find, size=16)
                    FormField("show", self._show, value=ALL, choices={which: which for which in WHICH})
                    self.count = ui.label().classes("soft").props("role=status")
                self.list = ChoiceList("Settings", self.choose, "No setting says that.")
            self.one = ui.element("div").classes("one-setting")

    def _find(self, word: str) -> None:
        self.word = word
        self.draw()

    def _show(self, which: str) -> None:
        self.which = which
        self.draw()

    def choose(self, name: str) -> None:
        """Show one setting."""
        self.chosen = name
        self.draw()

    def draw(self) -> None:
        """The list and the setting that is chosen."""
        house = self.tab.house
        tree, settings = house.tree, settings_of(house.shaped, house.tree)
        rows = setting_rows(settings, tree, used_settings(house.ordered), self.word, self.which)
        self.list.show([(row.name, name_words(row.name), row.value, row.by) for row in rows], self.chosen)
        self.count.set_text(f"{len(rows)} of {len(settings.values)}")
        self._draw_one(settings.values.get(self.chosen))

    def _draw_one(self, setting: Setting | None) -> None:
        """The setting that is chosen; its field is made anew for another one alone, so that a keyboard keeps its
        place."""
        tree = self.tab.house.tree
        typed, code = part_of(tree, "settings"), str(tree.get("code") or "")
        if setting is None or setting.name != self.shown:
            self._build_one(setting)
        if setting is None:
            return
        value = typed.get(setting.name, setting.value)
        self.field.show(str(value).lower() if isinstance(value, bool) else value)
        self.reset.set_visibility(setting.name in typed)
        self.facts.clear()
        facts = [*setting_facts(setting, _usual(code, setting.name), typed)]
        with self.facts:
            for word, says in (*facts, ("in the job file", f"settings: {{{setting.name}: ...}}")):
                with ui.element("dt"):
                    ui.label(word)
                with ui.element("dd"):
                    ui.label(says)

    def _build_one(self, setting: Setting | None) -> None:
        self.shown = setting.name if setting is not None else ""
        self.one.clear()
        with self.one:
            if setting is None:
                ui.label("Choose a setting: what it means, what it may be and what it rests on stand here.")
                return
            ui.label(name_words(setting.name)).classes("heading")
            with ui.element("div").classes("new-row"):
                self.field = FormField("value", self._set, unit=setting.unit, choices=choices_of(setting), size=12)
                self.reset = ui.button("Put back to the usual", on_click=self._reset).props("outline no-caps dense")
            self.facts = ui.element("dl").classes("facts")

    def _set(self, text: str) -> None:
        setting = settings_of(self.tab.house.shaped, self.tab.house.tree).values[self.chosen]
        with self.tab.told():
            if self.tab.edit(setting_edit(setting, text), said=f"setting {name_words(self.chosen)}"):
                return
        self.draw()

    def _reset(self) -> None:
        with self.tab.told():
            edit = setting_reset(self.tab.house.tree, self.chosen)
            self.tab.edit(edit, said=f"setting {name_words(self.chosen)} put back")


def _usual(code: str, name: str) -> Setting | None:
    """The catalogue's own setting, as the code of the job has it."""
    try:
        return default_settings(code).get(name)
    except (KeyError, FileNotFoundError):
        return default_settings().get(name)
