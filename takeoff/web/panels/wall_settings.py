"""What holds for all walls: heights, ground, studs, cavity, wrap; and how walls are begun where a house has none."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from takeoff.read.catalogue import load_catalogue
from takeoff.web.drawing.form_field import FormField
from takeoff.web.panels.wall_levels import WallLevels
from takeoff.web.tab import Tab
from takeoff.web.wall_edits import elevation_added, walls_begun, walls_of, walls_set

if TYPE_CHECKING:
    from takeoff.web.panels.walls_panel import WallsPanel

_LENGTHS = {
    "height_mm": "frame height",
    "ground_mm": "ground, over the floor",
    "stud_mm": "studs at",
    "cavity_mm": "cavity",
}
_YES = {"": "as usual", "yes": "yes", "no": "no"}
_LINED = ("wall_line", "shape", "mesh")


def lacks_lines(tree: Any) -> bool:
    """Whether no roof of a job as typed has a line or a model that walls could stand on."""
    roofs = tree.get("roofs") if isinstance(tree, dict) else None
    found = [roof for roof in roofs if isinstance(roof, dict)] if isinstance(roofs, list) else []
    return not any(roof.get(key) for roof in found for key in _LINED)


class WallSettings:
    """The settings of the walls section, or the form that begins it."""

    def __init__(self, tab: Tab, panel: WallsPanel) -> None:
        self.tab, self.panel = tab, panel
        self.start = {"height": "2400", "ground": "-300", "board": "bevel_187"}
        self.alone = {"name": "", "width": "", "height": "2400"}
        with ui.element("section").classes("wall-begin") as self.begin:
            self._build_begin()
        with ui.element("section").classes("wall-settings") as self.section:
            self._build()

    def _build_begin(self) -> None:
        boards = {one.id: one.name for one in load_catalogue().boards.values() if one.cover_mm > 0.0}
        self.start["board"] = next(iter(boards), "")
        ui.label("Clad the walls").classes("heading")
        ui.label(
            "This house has no walls: no boards, wrap or battens are in its order, gables stand open, and downpipes go "
            "down no wall. Openings and zones come after the first board."
        )
        self.lacking = ui.label(
            "The roofs of this house are drawn by their fascia, not by their walls: such walls have no place on the "
            "plan and are given one by one, below. Or draw the roof by its wall line in the plan."
        )
        with ui.element("div").classes("new-row") as self.with_lines:
            FormField("height, floor to soffit or plate", partial(self._start, "height"), value="2400", unit="mm")
            FormField("ground, over the floor", partial(self._start, "ground"), value="-300", unit="mm")
            FormField("board", partial(self._start, "board"), value=self.start["board"], choices=boards)
            ui.button("Clad the walls", on_click=self.begin_walls).props("outline no-caps dense")
        self._build_alone()

    def _build_alone(self) -> None:
        with ui.element("div").classes("new-row"):
            ui.label("A wall by itself:")
            FormField("name", partial(self._alone, "name"), size=14)
            FormField("width", partial(self._alone, "width"), unit="mm")
            FormField("height", partial(self._alone, "height"), value="2400", unit="mm")
            ui.button("Add the wall", on_click=self.add_alone).props("outline no-caps dense")

    def _build(self) -> None:
        wraps = {"": "the usual one"} | {
            one.id: one.name for one in load_catalogue().rolls.values() if one.use == "wall"
        }
        ui.label("All walls").classes("heading")
        with ui.element("div").classes("new-row"):
            self.fields = {
                key: FormField(words, partial(self._set, key), unit="mm", hint="usual")
                for key, words in _LENGTHS.items()
            }
            self.fields["wrap"] = FormField("wrap", partial(self._set, "wrap"), choices=wraps)
            self.fields["paved"] = FormField("ground is paved", partial(self._set, "paved"), choices=_YES)
            self.fields["gables"] = FormField("gables are clad", partial(self._set, "gables"), choices=_YES)
            concrete = partial(self._set, "on_concrete")
            self.fields["on_concrete"] = FormField("walls on concrete", concrete, hint="none", size=8)
            self.fields["stock_mm"] = FormField(
                "boards are sold in", partial(self._set, "stock_mm"), unit="mm", hint="usual", size=18
            )
        self.levels = WallLevels(self.tab, self.panel)
        self._build_alone()

    def _start(self, key: str, text: str) -> None:
        self.start[key] = text

    def _alone(self, key: str, text: str) -> None:
        self.alone[key] = text

    def begin_walls(self) -> None:
        """The walls section as typed."""
        with self.tab.told():
            edit = walls_begun(self.start["height"], self.start["ground"], self.start["board"])
            self.tab.edit(edit, said="walls clad")

    def add_alone(self) -> None:
        """A wall by itself as typed."""
        with self.tab.told():
            edit = elevation_added(self.tab.house.tree, self.alone["name"], self.alone["width"], self.alone["height"])
            self.tab.edit(edit, said=f"{self.alone['name']} added")

    def _set(self, key: str, text: str) -> None:
        with self.tab.told():
            self.tab.edit(walls_set(key, text), said=f"walls: {key.removesuffix('_mm')} changed")

    def draw(self, tree: Any) -> None:
        """What is typed."""
        walls = walls_of(tree)
        self.begin.set_visibility(not walls)
        self.section.set_visibility(bool(walls))
        self.lacking.set_visibility(lacks_lines(tree))
        self.with_lines.set_visibility(not lacks_lines(tree))
        for key, field in self.fields.items():
            value = walls.get(key)
            if isinstance(value, list):
                value = ", ".join(map(str, value))
            field.show(("yes" if value else "no") if isinstance(value, bool) else value)
        self.levels.draw(tree)
