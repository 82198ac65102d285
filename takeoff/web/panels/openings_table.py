"""The openings of a wall as a table to type in, and a line to put another in by its sizes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from takeoff.basics.errors import UsageError
from takeoff.web.drawing.form_field import FormField
from takeoff.web.entries import length_mm
from takeoff.web.tab import Tab
from takeoff.web.wall_edits import (
    KINDS,
    LENGTHS,
    Place,
    floor_of,
    kind_of,
    mark_of,
    opening_added,
    rows_of,
    whole_number,
)
from takeoff.write.words.words import name_words, plain

if TYPE_CHECKING:
    from takeoff.web.panels.walls_panel import WallsPanel

_WORDS = {"from_left_mm": "from left", "sill_mm": "sill", "width_mm": "width", "height_mm": "height"}
_ORDER = ("width_mm", "height_mm", "sill_mm", "from_left_mm")
_KIND_WORDS = {kind: name_words(kind) for kind in KINDS}


class OpeningsTable:
    """The table of the wall that is shown."""

    def __init__(self, tab: Tab, panel: WallsPanel) -> None:
        self.tab, self.panel = tab, panel
        self.shown: tuple[int, dict[int, str]] = (0, {})
        self.fields: dict[tuple[int, str], FormField] = {}
        self.rows: dict[int, tuple[str, ui.element]] = {}  # by place in the job, with the mark
        with ui.element("section").classes("openings") as self.section:
            self.heading = ui.label().classes("heading")
            self.table = ui.element("table").classes("typed-table")
            self._build_new()

    def _build_new(self) -> None:
        self.new = {"kind": "window", "width_mm": "", "height_mm": "", "sill_mm": "", "from_left_mm": "", "storey": ""}
        with ui.element("div").classes("new-row"):
            ui.label("One more, by its sizes:")
            self.blanks = {
                "kind": FormField("kind", partial(self._keep, "kind"), value="window", choices=_KIND_WORDS),
                **{key: FormField(_WORDS[key], partial(self._keep, key), unit="mm", size=6) for key in _ORDER},
                "storey": FormField("storey", partial(self._keep, "storey"), size=2),
            }
            ui.button("Put in", on_click=self.put_in).props("outline no-caps dense")

    def _keep(self, key: str, text: str) -> None:
        self.new[key] = text

    def put_in(self) -> None:
        """An opening of the sizes typed."""
        wall = self.panel.wall
        if wall is None:
            return
        with self.tab.told():
            tree, floors = self.tab.house.tree, wall.floors_mm
            missing = [_WORDS[key] for key in ("width_mm", "height_mm", "from_left_mm") if not self.new[key].strip()]
            if missing:
                raise UsageError(f"type {', '.join(missing)} of the opening too.")
            storey = whole_number(self.new["storey"], "storey") if self.new["storey"].strip() else None
            floor = floor_of({"storey": storey}, floors)
            sill = length_mm(self.new["sill_mm"] or "0", signed=True) + floor
            x, w, h = (length_mm(self.new[key]) for key in ("from_left_mm", "width_mm", "height_mm"))
            self.panel.put_in(opening_added(tree, wall.wall, Place(x, sill, w, h), self.new["kind"], floors))
            for key in ("from_left_mm",):
                self.new[key] = ""
                self.blanks[key].show("")

    def draw(self, tree: Any, anew: bool = False) -> None:
        """The openings as typed, none where no wall stands. Rows are made anew where others stand on the wall, or are
        called otherwise."""
        wall = self.panel.wall
        self.section.set_visibility(wall is not None)
        number = wall.wall if wall is not None else 0
        rows = rows_of(tree, "openings")
        places = {at: plain(mark_of(row, at)) for at, row in enumerate(rows) if row.get("wall") == number}
        self.heading.set_text(f"Openings of wall {number}, mm" if places else f"Wall {number} has no openings yet")
        self.blanks["storey"].set_visibility(wall is not None and len(wall.floors_mm) > 1)
        if anew or (number, places) != self.shown:
            self.shown = (number, places)
            self._build(places, wall is not None and len(wall.floors_mm) > 1)
        for (at, key), field in self.fields.items():
            field.show(kind_of(rows[at]) if key == "kind" else rows[at].get(key))
        self.light(self.tab.touched)

    def _build(self, places: Mapping[int, str], storeys: bool) -> None:
        self.table.clear()
        self.fields, self.rows = {}, {}
        self.table.set_visibility(bool(places))
        keys = ["name", "kind", *_ORDER, *(["storey"] if storeys else [])]
        with self.table:
            with ui.element("tr"):
                for words in ("", "name", "kind", *(_WORDS[key] for key in _ORDER), *keys[6:], "", "copy to"):
                    with ui.element("th"):
                        ui.label(words)
            for at, mark in places.items():
                with ui.element("tr") as row:
                    self._row(at, keys, mark)
                self.rows[at] = (mark, row)

    def _row(self, at: int, keys: list[str], mark: str) -> None:
        with ui.element("td"):
            ui.button(mark, on_click=partial(self.tab.touch, mark)).props("flat no-caps dense")
        for key in keys:
            words = f"{_WORDS.get(key, key)} of {mark}"
            choices = _KIND_WORDS if key == "kind" else None
            size = 5 if key in LENGTHS else 2 if key == "storey" else 8
            with ui.element("td"):
                do = partial(self.panel.typed, at, key)
                self.fields[at, key] = FormField(words, do, choices=choices, bare=True, size=size)
        with ui.element("td"):
            ui.button("Take out", on_click=partial(self.panel.take_out, at)).props("flat no-caps dense")
        with ui.element("td"):
            here = {"": "", **{str(wall.wall): f"wall {wall.wall}" for wall in self.panel.walls}}
            FormField(f"copy {mark} to", partial(self._copy, at), value="", choices=here, bare=True)

    def _copy(self, at: int, wall: str) -> None:
        if wall:
            self.panel.copy(at, wall)

    def light(self, mark: str) -> None:
        """The row of what is touched."""
        for name, row in self.rows.values():
            row.classes("lit") if name == mark else row.classes(remove="lit")
