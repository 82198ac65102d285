"""The ground along the wall that is shown, and the storeys of the walls: levels over the main floor."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from takeoff.model.job_edits import Edit
from takeoff.web.drawing.form_field import FormField
from takeoff.web.tab import Tab
from takeoff.web.wall_edits import ground_of, ground_set, rows_of, storey_added, storey_set
from takeoff.write.words.words import plain

if TYPE_CHECKING:
    from takeoff.web.panels.walls_panel import WallsPanel


def roof_names(tree: Any) -> dict[str, str]:
    """Roofs that walls may stand under, by name as typed."""
    roofs = tree.get("roofs") if isinstance(tree, dict) else None
    found = [roof for roof in roofs if isinstance(roof, dict)] if isinstance(roofs, list) else []
    return {name: plain(name) for roof in found if roof.get("wall_line") and (name := str(roof.get("name", "main")))}


class WallLevels:
    """Ground and storeys."""

    def __init__(self, tab: Tab, panel: WallsPanel) -> None:
        self.tab, self.panel = tab, panel
        self.shown: object = None
        self.fields: dict[tuple[int, str], FormField] = {}
        with ui.element("div").classes("new-row"):
            self.heading = ui.label()
            self.ends = [
                FormField(words, partial(self._ground, end), unit="mm", hint="usual", size=6)
                for end, words in enumerate(("at its left end", "at its right end"))
            ]
        self.table = ui.element("table").classes("typed-table")
        with ui.element("div").classes("new-row") as self.more:
            self.roof = FormField("one more storey, under roof", self._keep, choices={})
            ui.button("Add the storey", on_click=self.add).props("outline no-caps dense")
        self.new = ""

    def _keep(self, roof: str) -> None:
        self.new = roof

    def draw(self, tree: Any) -> None:
        """What is typed."""
        wall = self.panel.wall
        self.heading.set_text(f"Ground of wall {wall.wall}, over the floor:" if wall is not None else "")
        held = ground_of(tree, wall.wall) if wall is not None else None
        for end, field in enumerate(self.ends):
            field.show(held[end] if held is not None else None)
        roofs = roof_names(tree)
        self.more.set_visibility(bool(roofs))
        self.roof.offer(roofs)
        if self.new not in roofs:
            self.new = next(iter(roofs), "")
        self.roof.show(self.new)
        rows = rows_of(tree, "storeys")
        if (len(rows), roofs) != self.shown:
            self.shown = (len(rows), roofs)
            self._build(len(rows), roofs)
        for (at, key), field in self.fields.items():
            field.show(rows[at].get(key))

    def _build(self, count: int, roofs: dict[str, str]) -> None:
        self.table.clear()
        self.table.set_visibility(count > 0)
        self.fields = {}
        with self.table:
            with ui.element("tr"):
                for words in ("storey under roof", "floor, mm", "frame height, mm", ""):
                    with ui.element("th"):
                        ui.label(words)
            for at in range(count):
                with ui.element("tr"):
                    for key, words in (("roof", "roof"), ("floor_mm", "floor"), ("height_mm", "frame height")):
                        with ui.element("td"):
                            choices = roofs if key == "roof" else None
                            do = partial(self._storey, at, key)
                            label = f"{words} of storey {at + 1}"
                            self.fields[at, key] = FormField(label, do, choices=choices, bare=True, size=7)
                    with ui.element("td"):
                        do = partial(self._storey, at, "out", "")
                        ui.button("Take out", on_click=do).props("flat no-caps dense")

    def _ground(self, end: int, text: str) -> None:
        wall = self.panel.wall
        if wall is not None:
            with self.tab.told():
                usual = wall.ground_mm[end]
                self._edit(ground_set(self.tab.house.tree, wall.wall, end, text, usual), "ground of a wall")

    def _storey(self, at: int, key: str, text: str) -> None:
        with self.tab.told():
            self._edit(storey_set(self.tab.house.tree, at, key, text), "a storey changed")

    def add(self) -> None:
        """One more storey."""
        with self.tab.told():
            self._edit(storey_added(self.tab.house.tree, self.new), "a storey added")

    def _edit(self, edit: Edit, said: str) -> None:
        self.tab.edit(edit, said=said)
