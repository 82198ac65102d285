"""The tank panel: rain, use and tanks; what sizes of store give, drawn and as figures, with what goes with them."""

from __future__ import annotations

import asyncio
import base64
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from nicegui import background_tasks, ui

from takeoff.basics.errors import TakeoffError
from takeoff.model.job_edits import Edit
from takeoff.model.rain_series import DailyRain, Rain
from takeoff.read.rain.rain_file import read_rain
from takeoff.storing import Stored, sizes_of, stored_of
from takeoff.web.drawing.form_field import FormField
from takeoff.web.house import News
from takeoff.web.panels.plain_tables import draw_table
from takeoff.web.tab import Tab
from takeoff.web.tank_edits import (
    months_set,
    new_roof_set,
    part_of,
    rain_named,
    tank_added,
    tank_out,
    tank_set,
    tanks_of,
    use_set,
)
from takeoff.web.uploads import file_button, harmless, kept_beside
from takeoff.write.words.words import number, plain

MOST_BYTES = 8_000_000  # as the reader of rain takes
_TANK = {
    "name": "name",
    "volume_l": "holds, L",
    "dead_l": "dead, L",
    "reserve_l": "kept, L",
    "inlet_mm": "inlet, mm",
    "pipes": "pipes",
}


def tank_panel(tab: Tab) -> None:
    """Draws the panel."""
    TankPanel(tab)


class TankPanel:
    """The panel in one tab. `tried`: rain of a file that the job does not name yet, with its bytes."""

    def __init__(self, tab: Tab) -> None:
        self.tab = tab
        self.tried: tuple[Rain, bytes] | None = None
        self.sizes = ""
        self.turn = 0
        self.shown = -1
        self.fields: dict[tuple[int, str], FormField] = {}
        with ui.element("div").classes("tank-panel"):
            with ui.element("section").classes("tank-said"):
                self._build_rain()
                self._build_use()
                self._build_tanks()
            with ui.element("section").classes("tank-found"):
                self.state = ui.label().props("role=status")
                self.picture = ui.element("img").classes("tank-picture")
                self.picture.set_visibility(False)
                self.tables = ui.element("div")
        tab.on(News.TEXT, News.REFUSED, do=self.draw)
        tab.on(News.ORDERED, News.REFUSED, do=self.reckon)
        self.draw()
        self.reckon()

    def _build_rain(self) -> None:
        ui.label("Rain").classes("heading")
        with ui.element("div").classes("new-row"):
            file_button(self.tab, "Open or drop a file of daily rain", ".csv,.txt", MOST_BYTES, self.take_file)
            self.keep = ui.button("", on_click=self.keep_file).props("outline no-caps dense")
            self.drop = ui.button("Leave it", on_click=self.leave_file).props("flat no-caps dense")
        self.rain = ui.label()
        with ui.element("div").classes("new-row"):
            self.months = FormField(
                "or mean rain of the months, mm", self._months, hint="twelve figures, January to December", size=34
            )
            self.new_roof = FormField("the roof is new", self._new_roof, choices={"": "no", "yes": "yes"})

    def _build_use(self) -> None:
        ui.label("Use").classes("heading")
        with ui.element("div").classes("new-row"):
            self.people = FormField("people", partial(self._use, "people"), hint="usual", size=5)
            self.litres = FormField(
                "each draws a day", partial(self._use, "litres_a_day"), unit="L", hint="usual", size=5
            )
        self.other_use = ui.label().classes("soft")

    def _build_tanks(self) -> None:
        ui.label("Tanks").classes("heading")
        self.tanks = ui.element("table").classes("typed-table")
        self.new = {"volume": ""}
        with ui.element("div").classes("new-row"):
            FormField("one more, holding", partial(self.new.__setitem__, "volume"), unit="L", size=7)
            ui.button("Add the tank", on_click=self.add_tank).props("outline no-caps dense")
        with ui.element("div").classes("new-row"):
            FormField("sizes to compare", self.compare, unit="L", hint="5000, 10000, 25000", size=24)

    # ---- what people do

    async def take_file(self, name: str, data: bytes) -> None:
        """A file of rain was given: it is read and reckoned with; it is kept by a further act."""
        self.tried = (await asyncio.to_thread(rain_of_bytes, name, data), data)
        self.draw()
        self.reckon()

    async def keep_file(self) -> None:
        """The file of rain is put beside the job, which names it. Nothing is written over."""
        if self.tried is None:
            return
        rain, data = self.tried
        with self.tab.told():
            folder = self.tab.house.copy.path.parent
            name = await kept_beside(folder, rain.source, data)
            if self.tab.edit(*rain_named(self.tab.house.tree, name), said=f"rain of {name}"):
                self.tried = None
        self.draw()

    def leave_file(self) -> None:
        """The file that was tried is forgotten."""
        self.tried = None
        self.draw()
        self.reckon()

    def compare(self, text: str) -> None:
        """Sizes to choose among."""
        with self.tab.told():
            sizes_of(text)
            self.sizes = text
        self.reckon()

    def add_tank(self) -> None:
        """One more tank."""
        with self.tab.told():
            self.tab.edit(tank_added(self.tab.house.tree, self.new["volume"]), said="a tank added")

    def _edit(self, *edits: Edit, said: str) -> None:
        self.tab.edit(*edits, said=said)

    def _months(self, text: str) -> None:
        with self.tab.told():
            self._edit(*months_set(self.tab.house.tree, text), said="rain of the months")

    def _new_roof(self, text: str) -> None:
        self._edit(new_roof_set(text), said="a new roof")

    def _use(self, key: str, text: str) -> None:
        with self.tab.told():
            self._edit(use_set(key, text), said="use of water")

    def _tank(self, at: int, key: str, text: str) -> None:
        with self.tab.told():
            self._edit(tank_set(self.tab.house.tree, at, key, text), said="a tank changed")

    def _tank_out(self, at: int) -> None:
        with self.tab.told():
            self._edit(tank_out(self.tab.house.tree, at), said="a tank taken out")

    # ---- what is shown

    def draw(self) -> None:
        """What is typed."""
        tree = self.tab.house.tree
        rain, use, rows = part_of(tree, "rain"), part_of(tree, "water_use"), tanks_of(tree)
        self.keep.set_visibility(self.tried is not None)
        self.drop.set_visibility(self.tried is not None)
        if self.tried is not None:
            self.keep.set_text(f"Put {plain(self.tried[0].source)} beside the job")
        self.rain.set_text(rain_words(self.tried[0] if self.tried else None, rain))
        self.months.show(" ".join(f"{mm:g}" for mm in _figures(rain.get("monthly_mm"))) or None)
        self.new_roof.show("yes" if rain.get("new_roof") is True else "")
        self.people.show(use.get("people"))
        self.litres.show(use.get("litres_a_day"))
        others = [words for key, words in (("by_use", "by use"), ("by_month", "by month")) if use.get(key)]
        self.other_use.set_text(f"The job file also says what is drawn {' and '.join(others)}." if others else "")
        if len(rows) != self.shown:
            self.shown = len(rows)
            self._draw_tanks(rows)
        for (at, key), field in self.fields.items():
            value = rows[at].get(key)
            field.show(", ".join(map(str, value)) if isinstance(value, list) else value)

    def _draw_tanks(self, rows: list[dict[str, Any]]) -> None:
        self.tanks.clear()
        self.fields = {}
        self.tanks.set_visibility(bool(rows))
        with self.tanks:
            with ui.element("tr"):
                for words in _TANK.values():
                    with ui.element("th"):
                        ui.label(words)
            for at in range(len(rows)):
                with ui.element("tr"):
                    for key, words in _TANK.items():
                        hint, do = "all" if key == "pipes" else "", partial(self._tank, at, key)
                        with ui.element("td"):
                            self.fields[at, key] = FormField(
                                f"{words} of tank {at + 1}", do, bare=True, hint=hint, size=7
                            )
                    with ui.element("td"):
                        ui.button("Take out", on_click=partial(self._tank_out, at)).props("flat no-caps dense")

    def reckon(self) -> None:
        """Reckon the store anew, in a thread; the newest is shown."""
        self.turn += 1
        takeoff = self.tab.house.ordered
        if takeoff is None:
            refused = self.tab.house.current(News.REFUSED)
            words = "The job cannot be taken off yet, so no roof feeds a tank." if refused else "working"
            self.state.set_text(words)
            return
        rain, base = self.tried[0] if self.tried else None, self.tab.house.copy.path.parent
        work = partial(stored_of, takeoff, base, rain, None, sizes_of(self.sizes))
        self.state.set_text("Reckoning the store.")
        background_tasks.create(self._reckoned(self.turn, work))

    async def _reckoned(self, turn: int, work: Any) -> None:
        found: tuple[Stored, str] | None = None
        faults: tuple[str, ...] = ()
        try:
            found = await asyncio.to_thread(_with_picture, work)
        except TakeoffError as err:
            faults = tuple(map(str, err.faults))
        if turn != self.turn:
            return
        with self.tab.client:
            self.show(found, faults)

    def show(self, found: tuple[Stored, str] | None, faults: tuple[str, ...] = ()) -> None:
        """The store as it was reckoned, or why it was not."""
        self.tables.clear()
        self.picture.set_visibility(found is not None and bool(found[0].result.results))
        self.state.set_text(" ".join(map(plain, faults)))
        if found is None:
            return
        stored, picture = found
        area = sum(feed.plan_m2 for feed in stored.result.feeds)
        self.state.set_text(f"{stored.title}; {number(area, 1)} m2 of roof in plan feed it")
        self.picture.props["src"] = picture
        self.picture.props["alt"] = "Size of the store against what it gives, and its level through the worst year"
        self.picture.update()
        with self.tables:
            for table in sorted(stored.tables, key=lambda table: table.title == "Cautions"):
                if table.rows:
                    draw_table(table)


def _with_picture(work: Any) -> tuple[Stored, str]:
    stored = work()
    picture = base64.b64encode(stored.picture.encode("utf-8")).decode("ascii")
    return stored, f"data:image/svg+xml;base64,{picture}"


def rain_of_bytes(name: str, data: bytes) -> Rain:
    """The rain of a file that was given, read as any file of rain is. Raises UnreadableFileError."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / harmless(name)
        path.write_bytes(data)
        return read_rain(path)


def rain_words(tried: Rain | None, said: dict[str, Any]) -> str:
    """Which rain is reckoned with."""
    if tried is not None:
        days = ""
        if isinstance(tried, DailyRain):
            days = f", {tried.start} to {tried.end}, {number(tried.mm_a_year, 0)} mm a year"
        return f"Tried: {plain(tried.source)}{days}. The job does not name it yet."
    if said.get("file"):
        return f"Of the job: {plain(str(said['file']))}."
    if _figures(said.get("monthly_mm")):
        return "Of the job: mean rain of the months, which tells nothing of dry spells."
    return "No rain is known: no curve and no level can be drawn. Take daily rain of ten years or more, date and mm."


def _figures(value: object) -> list[float]:
    """The figures of a list as typed; [] where it is none."""
    return [one for one in value if isinstance(one, int | float)] if isinstance(value, list) else []
