"""The walls panel: a wall's elevation with its openings, the cladding zones, and what holds for all walls."""

from __future__ import annotations

from functools import partial
from typing import Any

from nicegui import ui

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import Edit
from takeoff.model.walls import Elevation
from takeoff.web.drawing.elevation import ElevationDrawing
from takeoff.web.house import News
from takeoff.web.panels.openings_table import OpeningsTable
from takeoff.web.panels.wall_settings import WallSettings
from takeoff.web.panels.zones_list import ZonesList
from takeoff.web.tab import Tab
from takeoff.web.wall_edits import (
    Place,
    mark_of,
    opening_added,
    opening_copied,
    opening_out,
    opening_placed,
    opening_set,
    rows_of,
)
from takeoff.web.wall_view import band_data, given_data, opening_data, opening_places, wall_data, wall_line, wall_named
from takeoff.web.zone_edits import band_moved
from takeoff.write.words.words import plain

_TOOLS = {"": "Touch and move", "window": "Draw a window", "door": "Draw a door"}
PANEL = "Walls"


def walls_panel(tab: Tab) -> None:
    """Draws the panel."""
    WallsPanel(tab)


class WallsPanel:
    """The panel in one tab: which wall is shown."""

    def __init__(self, tab: Tab) -> None:
        self.tab = tab
        self.number = 1
        self.buttons: dict[int, ui.button] = {}
        self.given: dict[int, list[dict[str, Any]]] = {}  # by wall, what stands in a drawing or a model
        with ui.element("div").classes("walls-panel"):
            self.begin = ui.element("section")
            with ui.element("section").classes("walls-drawn") as self.drawn:
                self._build()
            self.settings = WallSettings(tab, self)
        tab.on(News.TEXT, News.SHAPED, News.ORDERED, News.REFUSED, do=self.draw)
        tab.on_touch(self.touched)
        self.draw()

    def _build(self) -> None:
        with ui.element("nav").classes("walls-list").props('aria-label="Walls"'):
            ui.label("Walls").classes("heading")
            self.list = ui.element("div")
        with ui.element("div").classes("wall-shown"):
            with ui.element("div").classes("tools").props("role=radiogroup aria-label=Tool"):
                self.tools = {
                    tool: ui.button(words, on_click=partial(self.take, tool)).props("flat no-caps dense role=radio")
                    for tool, words in _TOOLS.items()
                }
                self.say = ui.label().classes("soft")
            self.drawing = ElevationDrawing(self.done)
            self.faults = ui.element("ul").classes("faults").props("role=alert")
            self.openings = OpeningsTable(self.tab, self)
            self.zones = ZonesList(self.tab, self)
        self.take("")

    # ---- what is shown

    @property
    def walls(self) -> tuple[Elevation, ...]:
        """The walls of the last shape that was right."""
        shaped = self.tab.house.shaped
        return shaped.elevations if shaped is not None else ()

    @property
    def wall(self) -> Elevation | None:
        """The wall that is shown; None where there are none."""
        return next((wall for wall in self.walls if wall.wall == self.number), self.walls[0] if self.walls else None)

    @property
    def floors(self) -> tuple[float, ...]:
        """Floors of the wall that is shown."""
        return self.wall.floors_mm if self.wall is not None else (0.0,)

    def draw(self) -> None:
        """All of it anew."""
        house, tree, wall = self.tab.house, self.tab.house.tree, self.wall
        self._draw_list()
        if wall is None:
            self.drawing.show(None, [], [])
        else:
            if house.current(News.SHAPED):
                self.given[wall.wall] = given_data(tree, wall)
            openings = [*opening_data(tree, wall), *self.given.get(wall.wall, [])]
            drawn = wall_data(wall, house.ordered, house.current(News.ORDERED))
            self.drawing.show(drawn, openings, band_data(tree, wall))
        self.drawn.set_visibility(bool(tree.get("walls")))
        self._draw_faults()
        self.openings.draw(tree)
        self.zones.draw(tree)
        self.settings.draw(tree)

    def _draw_list(self) -> None:
        """The list; its buttons are made anew where there are other walls, so that a keyboard keeps its place."""
        if list(self.buttons) != [wall.wall for wall in self.walls] or not self.walls:
            self.list.clear()
            with self.list:
                self.buttons = {wall.wall: self._wall_button(wall.wall) for wall in self.walls}
                if not self.walls:
                    ui.label("No wall stands yet." if not self.tab.house.faults else "The job cannot be taken off yet.")
        for wall in self.walls:
            shown, button = wall is self.wall, self.buttons[wall.wall]
            button.set_text(("▸ " if shown else "") + wall_line(wall))
            button.props(f"aria-pressed={str(shown).lower()}")
            button.classes("chosen") if shown else button.classes(remove="chosen")

    def _wall_button(self, number: int) -> ui.button:
        return ui.button(on_click=partial(self.choose, number)).props("flat no-caps dense align=left")

    def _draw_faults(self) -> None:
        house = self.tab.house
        self.faults.clear()
        with self.faults:
            for fault in house.faults if house.current(News.REFUSED) else ():
                with ui.element("li"):
                    ui.label(plain(fault))

    def touched(self) -> None:
        """What is touched anywhere is lit here; of another wall, that wall is shown."""
        mark, house = self.tab.touched, self.tab.house
        wall = wall_named(house.ordered or house.shaped, mark)
        number = wall.wall if wall is not None else self._wall_of_opening(mark)
        if number and number != self.number:
            self.number = number
            self.draw()
        self.drawing.light(mark)
        self.openings.light(mark)

    def _wall_of_opening(self, mark: str) -> int:
        tree = self.tab.house.tree
        rows, places = rows_of(tree, "openings"), opening_places(tree, mark)
        walls = [rows[at].get("wall") for at in places]
        if self.number in walls or not walls or not isinstance(walls[0], int):
            return 0
        return walls[0]

    # ---- what people do

    def choose(self, number: int) -> None:
        """Show another wall."""
        self.number = number
        self.draw()
        if self.wall is not None:
            self.tab.touch(self.wall.id)

    def take(self, tool: str) -> None:
        """Draw windows, doors, or nothing."""
        for name, button in self.tools.items():
            button.props(f"aria-checked={str(name == tool).lower()}")
            button.classes(remove="chosen") if name != tool else button.classes("chosen")
        self.say.set_text("Drag from corner to corner on the wall." if tool else "")
        self.drawing.take(tool)

    def done(self, event: str, given: dict[str, Any]) -> None:
        """Something was done on the drawing."""
        tree, wall = self.tab.house.tree, self.wall
        if wall is None:
            return
        if event == "touched":
            self.tab.touch(str(given.get("mark") or wall.id))
            return
        with self.tab.told():
            if event == "added":
                kind = str(self.drawing.props["tool"] or "window")
                self.put_in(opening_added(tree, wall.wall, Place.of(given), kind, wall.floors_mm))
                self.take("")
            elif event == "changed":
                at = int(given.get("at", -1))
                edits = opening_placed(tree, at, Place.of(given), wall.floors_mm)
                self.tab.edit(*edits, said=f"{self.mark(at)} moved")
            elif event == "out":
                self.take_out(int(given.get("at", -1)))
            elif event == "band":
                at, key = int(given.get("at", -1)), str(given.get("key"))
                self.tab.edit(band_moved(tree, at, key, float(given.get("y", 0.0))), said="a band moved")
            return
        self.draw()

    def put_in(self, edit: Edit) -> None:
        """A new opening, which is then touched."""
        name = edit.value.get("name", "") if isinstance(edit.value, dict) else ""
        if self.tab.edit(edit, said=f"{name} put in"):
            self.tab.touch(plain(str(name)))

    def take_out(self, at: int) -> None:
        """An opening goes; Undo brings it back."""
        mark = self.mark(at)
        with self.tab.told():
            if self.tab.edit(opening_out(self.tab.house.tree, at), said=f"{mark} taken out"):
                self.tab.note(f"{mark} is taken out: Undo brings it back.")

    def copy(self, at: int, wall: str) -> None:
        """An opening once more, here or on another wall."""
        with self.tab.told():
            edit = opening_copied(self.tab.house.tree, at, int(wall or self.number))
            self.put_in(edit)

    def typed(self, at: int, key: str, text: str) -> None:
        """A figure of an opening was typed."""
        with self.tab.told():
            if self.tab.edit(opening_set(self.tab.house.tree, at, key, text), said=f"{self.mark(at)} changed"):
                return
        self.openings.draw(self.tab.house.tree, anew=True)

    def mark(self, at: int) -> str:
        """The mark of an opening by its place in the job."""
        rows = rows_of(self.tab.house.tree, "openings")
        if not 0 <= at < len(rows):
            raise UsageError("that opening is not in the job any more.")
        return plain(mark_of(rows[at], at))
