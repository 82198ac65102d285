"""Beside the plan: a picture, a drawing or a page of a PDF laid under it to be traced."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from fastapi import Response
from nicegui import app, ui

from takeoff.basics.errors import UsageError
from takeoff.basics.vectors import Point2
from takeoff.web.desk_head import plain_button
from takeoff.web.entries import figure_words, length_mm
from takeoff.web.tab import Tab
from takeoff.web.under_plan import MOST_BYTES, Laid, UnderPlan, laid_of, read_under
from takeoff.web.uploads import file_button

if TYPE_CHECKING:
    from takeoff.web.panels.plan_panel import PlanHand

_FIELD = "dense outlined stack-label autocomplete=off"
_ENDINGS = ".png,.jpg,.jpeg,.pdf,.dxf,.geojson,.wkt,.csv"


class UnderSide:
    """The block of one tab; what is laid under is the house's, so all tabs show it."""

    def __init__(self, tab: Tab, hand: PlanHand) -> None:
        self.tab, self.hand, self.laid = tab, hand, laid_of(tab.house)
        self.points: tuple[Point2, Point2] | None = None
        _route(self.laid, tab.root)
        with ui.expansion("Lay a plan under, to trace it").props("dense").classes("side-block"):
            file_button(tab, "Choose a PNG, JPEG, PDF or DXF", _ENDINGS, MOST_BYTES, self._took)
            self.room = ui.element("div").classes("entries")
        self.laid.drawers.append(self._told)
        tab.client.on_delete(lambda: self.laid.drawers.remove(self._told))

    def shown(self) -> dict[str, object] | None:
        """What the board draws."""
        under = self.laid.under
        return under.shown(f"{self.tab.root}/under/{self.laid.number}") if under is not None else None

    def draw(self) -> None:
        """Show what can be done with what is laid under."""
        self.room.clear()
        under = self.laid.under
        if under is None:
            return
        with self.room:
            ui.label(f"{under.name}{'' if under.scaled else ': not to scale yet'}").classes("hint")
            if under.paper_mm:
                self._page(under)
            with ui.element("div").classes("acts"):
                plain_button("Scale by two points", lambda: self.hand.set_mode("scale"))
                plain_button("Move it", lambda: self.hand.set_mode("under"))
                plain_button("Take it away", lambda: self.laid.lay(None))
            if self.points is not None:
                apart = ui.input("The two points are apart (mm)").props(_FIELD)
                apart.on("change", lambda: self._measured(str(apart.value or "")))
                apart.run_method("focus")
            ui.label("How strong it shows").classes("hint")
            strong = ui.slider(min=0.1, max=1.0, step=0.1, value=under.opacity).props(
                "aria-label='How strong it shows'"
            )
            strong.on("change", lambda: self._lay(lambda now: replace(now, opacity=float(strong.value))))

    def marked(self, said: dict[str, Any]) -> None:
        """Two points were clicked on what is laid under."""
        (ax, ay), (bx, by) = said["a"], said["b"]
        self.points = ((float(ax), float(ay)), (float(bx), float(by)))
        self.draw()

    def moved(self, said: dict[str, Any]) -> None:
        """It was moved by hand."""
        self._lay(lambda now: now.moved(float(said["dx"]), float(said["dy"])))

    def _page(self, under: UnderPlan) -> None:
        if under.pages > 1:
            page = ui.input(f"Page of {under.pages}", value=str(under.page)).props(_FIELD)
            page.on("change", lambda: self._turned(str(page.value or "")))
        scale = ui.input("Scale of the sheet, 1 to").props(_FIELD)
        if under.scaled:
            scale.set_value(figure_words(round(under.mm / under.paper_mm, 1)))
        scale.on("change", lambda: self._lay(lambda now: now.at_scale(_number(str(scale.value or "")))))

    def _lay(self, made: Any) -> None:
        with self.tab.told():
            if self.laid.under is not None:
                self.laid.lay(made(self.laid.under))

    def _measured(self, text: str) -> None:
        points = self.points
        if points is None:
            return
        with self.tab.told():
            length = length_mm(text)
            if self.laid.under is not None:
                self.points = None
                self.laid.lay(self.laid.under.measured(*points, length))
                self.hand.rest()

    async def _turned(self, text: str) -> None:
        under = self.laid.under
        if under is None:
            return
        with self.tab.told():
            page = int(_number(text))
            new = await asyncio.to_thread(read_under, under.name, under.source, page)
            self.laid.lay(replace(new, mm=under.mm, x=under.x, y=under.y, scaled=under.scaled, opacity=under.opacity))

    async def _took(self, name: str, data: bytes) -> None:
        self.laid.lay(await asyncio.to_thread(read_under, name, data))

    def _told(self) -> None:
        with self.tab.client:
            self.hand.show_under()
            self.draw()


def _number(text: str) -> float:
    try:
        return float(text.replace(",", ".").replace("1:", ""))
    except ValueError:
        raise UsageError(f'"{text[:40]}" is no figure: type one, as 100.') from None


def _route(laid: Laid, root: str) -> None:
    """The address of what is laid under; one for the house."""
    if laid.routed:
        return
    laid.routed = True

    @app.get(f"{root}/under/{{number}}")
    def under(number: int) -> Response:
        held = laid.under
        if held is None or number != laid.number:
            return Response(status_code=404)
        return Response(held.data, media_type=held.mime, headers={"cache-control": "no-store"})
