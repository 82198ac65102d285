"""Beside the plan: a roof taken from a model or a drawing: looked at first, then put into the job and its folder."""

from __future__ import annotations

import asyncio
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from nicegui import events, ui

from takeoff.basics.errors import UsageError
from takeoff.looking import LISTERS, look
from takeoff.model.looked import Looked
from takeoff.web import opened_files, plan_edits
from takeoff.web.opened_files import EDGE_IS, MOST_BYTES, ShapeChoice
from takeoff.web.tab import Tab

if TYPE_CHECKING:
    from takeoff.web.panels.plan_panel import PlanHand

_FLAT = "flat no-caps dense align=left"


class OpenSide:
    """The block of one tab. `data`: the file that is looked at, not in the job's folder yet."""

    def __init__(self, tab: Tab, hand: PlanHand) -> None:
        self.tab, self.hand = tab, hand
        self.name, self.data, self.looked = "", b"", Looked("", "", "", "")
        with ui.expansion("Take a roof from a model or a drawing").props("dense").classes("side-block"):
            words = sorted({ending.rpartition(".")[2].upper() for ending in LISTERS if ending != ".dwg"})
            self.upload = ui.upload(
                label="Choose an OBJ, GLB, IFC, CityJSON, DXF ...", auto_upload=True, max_file_size=MOST_BYTES,
                on_upload=self._took,
                on_rejected=lambda: ui.notify(f"larger than {MOST_BYTES // 1_000_000} MB: save the roof alone."),
            )  # fmt: skip
            self.upload.props("flat bordered square").tooltip(", ".join(words))
            self.room = ui.element("div").classes("entries")

    async def _took(self, event: events.UploadEventArguments) -> None:
        with self.tab.told():
            if event.file.size() > MOST_BYTES:
                raise UsageError(f"{event.file.name}: larger than {MOST_BYTES // 1_000_000} MB: save the roof alone.")
            self.name = opened_files.safe_name(event.file.name)
            self.data = await event.file.read()
            await self._look("")
        self.upload.reset()

    async def _look(self, unit: str) -> None:
        with self.tab.told():
            self.looked = await asyncio.to_thread(_looked_at, self.name, self.data, unit)
            self._draw()

    def _draw(self) -> None:
        looked, choices = self.looked, opened_files.choices_of(self.looked)
        self.room.clear()
        with self.room:
            ui.label(f"{self.name}, {looked.kind}. Unit {looked.unit or 'not known'}: {looked.unit_why}").classes(
                "hint"
            )
            if looked.could_be and looked.open == "unit":
                for unit, size in looked.could_be:
                    ui.button(f"It is drawn in {unit}: {size}", on_click=lambda unit=unit: self._look(unit)).props(
                        _FLAT
                    )
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
            take = ui.button("Put the file beside the job and take this roof").props("outline no-caps dense")
            take.on_click(lambda: self._take(choices[int(shape.value or 0)], str(line.value)))

    async def _take(self, choice: ShapeChoice, edge_is: str) -> None:
        house = self.tab.house
        with self.tab.told():
            folder = house.copy.path.parent
            there = await asyncio.to_thread(opened_files.put_in_folder, folder, self.name, self.data)
            count = len(plan_edits.roofs_of(house.tree))
            roof = opened_files.roof_from(house.tree, choice, edge_is, there, self.hand.new)
            if self.tab.edit(*plan_edits.roof_added(house.tree, roof), said=f"roof taken from {there}"):
                ui.notify(f"{there} stands beside the job file.")
                self.hand.set_mode("touch")
                self.tab.touch(f"roof {count + 1}")
                self.name, self.data = "", b""
                self.room.clear()


def _looked_at(name: str, data: bytes, unit: str) -> Looked:
    with TemporaryDirectory(prefix="takeoff_open_") as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        return look(path, unit=unit)
