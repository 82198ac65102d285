"""Beside the plan: a roof taken from a model or a drawing: looked at first, then put into the job and its folder."""

from __future__ import annotations

import asyncio
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from nicegui import ui

from takeoff.looking import LISTERS, look
from takeoff.model.looked import Looked
from takeoff.web import opened_files, plan_edits
from takeoff.web.desk_head import plain_button
from takeoff.web.opened_files import EDGE_IS, ShapeChoice
from takeoff.web.tab import Tab
from takeoff.web.uploads import MOST_BYTES, file_button, kept_beside

if TYPE_CHECKING:
    from takeoff.web.panels.plan_panel import PlanHand


class OpenSide:
    """The block of one tab. `data`: the file that is looked at, not in the job's folder yet."""

    def __init__(self, tab: Tab, hand: PlanHand) -> None:
        self.tab, self.hand = tab, hand
        self.name, self.data, self.looked = "", b"", Looked("", "", "", "")
        with ui.expansion("Take a roof from a model or a drawing").props("dense").classes("side-block"):
            endings = ",".join(dict.fromkeys(f".{one.rpartition('.')[2]}" for one in LISTERS if one != ".dwg"))
            file_button(tab, "Choose an OBJ, GLB, IFC, CityJSON, DXF ...", endings, MOST_BYTES, self._took)
            self.room = ui.element("div").classes("entries")

    async def _took(self, name: str, data: bytes) -> None:
        self.name, self.data = name, data
        await self._look("")

    async def _look(self, unit: str) -> None:
        with self.tab.told():
            self.looked = await asyncio.to_thread(_looked_at, self.name, self.data, unit)
            self._draw()

    def _draw(self) -> None:
        looked, choices = self.looked, opened_files.choices_of(self.looked)
        self.room.clear()
        with self.room:
            unit = f"Unit {looked.unit or 'not known'}: {looked.unit_why}"
            ui.label(f"{self.name}, {looked.kind}. {unit}").classes("hint")
            if looked.could_be and looked.open == "unit":
                for unit, size in looked.could_be:
                    plain_button(f"It is drawn in {unit}: {size}", partial(self._look, unit))
                return
            for note in looked.notes[:4]:
                ui.label(note).classes("hint")
            if not choices:
                ui.label("There is nothing in it that can be a roof.")
                return
            shape = ui.radio({n: one.words for n, one in enumerate(choices)}, value=0).props("dense")
            line = ui.select(dict(EDGE_IS), value="outline", label="Its edge is drawn to").props("dense outlined")
            if choices[0].outline:
                ui.label("Pitch, overhang and fascia are those that a drawn roof begins with.").classes("hint")

            async def take() -> None:
                await self._take(choices[int(shape.value or 0)], str(line.value))

            plain_button("Put the file beside the job and take this roof", take)

    async def _take(self, choice: ShapeChoice, edge_is: str) -> None:
        house = self.tab.house
        with self.tab.told():
            there = await kept_beside(house.copy.path.parent, self.name, self.data)
            count = len(plan_edits.roofs_of(house.tree))
            roof = opened_files.roof_from(house.tree, choice, edge_is, there, self.hand.new)
            if self.tab.edit(*plan_edits.roof_added(house.tree, roof), said=f"roof taken from {there}"):
                self.tab.note(f"{there} stands beside the job file.")
                self.hand.set_mode("touch")
                self.tab.touch(f"roof {count + 1}")
                self.name, self.data = "", b""
                self.room.clear()


def _looked_at(name: str, data: bytes, unit: str) -> Looked:
    with TemporaryDirectory(prefix="takeoff_open_") as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        return look(path, unit=unit)
