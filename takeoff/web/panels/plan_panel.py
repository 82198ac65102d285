"""The plan: where a house is drawn and turned, and beside it what can be typed of what is touched."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from nicegui import events, ui

from takeoff.web import plan_edits
from takeoff.web.desk_head import plain_button
from takeoff.web.drawing.plan_board import PlanBoard
from takeoff.web.feed import feed_of
from takeoff.web.house import News
from takeoff.web.panels.add_roof import add_roof
from takeoff.web.panels.open_side import OpenSide
from takeoff.web.panels.touched_side import TouchedSide
from takeoff.web.panels.under_side import UnderSide
from takeoff.web.plan_edits import Edits, NewRoof
from takeoff.web.plan_entries import set_or_out
from takeoff.web.plan_view import lit_in_plan, part_touched, plan_view, roof_touched, walls_drawn
from takeoff.web.tab import Tab
from takeoff.web.touches import line_of, places_of

_MODES = {
    "touch": "Touch and move",
    "walls": "Draw walls",
    "outline": "Draw an outline",
    "move": "Move a roof",
}
_MOST_LIT = 500
_DRAWS = {"walls": "wall_line", "outline": "outline"}


def plan_panel(tab: Tab) -> None:
    """Draws the panel."""
    PlanHand(tab)


class PlanHand:
    """The panel of one tab: the mode that the hand is in, and what a roof that is drawn begins with."""

    def __init__(self, tab: Tab) -> None:
        self.tab, self.house = tab, tab.house
        self.new = NewRoof()
        self.mode = "touch"
        self._tools: dict[str, ui.element] = {}
        with ui.element("div").classes("plan-room"):
            with ui.element("div").classes("plan-left"):
                self._toolbar()
                self.board = PlanBoard(self._view())
            with ui.element("aside").classes("plan-side").props("aria-label='What is touched'") as aside:
                self.side = TouchedSide(tab, self, aside)
                self.under = UnderSide(tab, self)
                OpenSide(tab, self)
        self._hear()
        self.rest()
        self._lit()
        self.show_under()
        self.under.draw()
        tab.on(News.TEXT, News.SHAPED, News.REFUSED, do=self._draw)
        tab.on_touch(self._lit)

    # ---- drawn

    def _toolbar(self) -> None:
        with ui.element("div").classes("plan-tools").props("role=toolbar aria-label='What the hand does'"):
            for mode, words in _MODES.items():
                self._tools[mode] = plain_button(words, partial(self.set_mode, mode))
            plain_button("Add a roof", self._add_roof)
            ui.element("span").classes("gap")
            for words, does in (("Whole plan", "fit"), ("Nearer", "nearer"), ("Further", "further")):
                plain_button(words, partial(self._look, does))

    def _look(self, does: str) -> None:
        if does == "fit":
            self.board.run_method("fit")
        else:
            self.board.run_method("zoom", 0.8 if does == "nearer" else 1.25)

    def _view(self) -> dict[str, Any]:
        return plan_view(self.house.tree, self.house.shaped, self.house.current(News.SHAPED))

    def _draw(self) -> None:
        self.board.show(view=self._view())
        self._lit()
        self.side.draw()

    def _lit(self) -> None:
        house, mark, data = self.house, self.tab.touched, feed_of(self.house).known
        known = house.ordered if house.current(News.ORDERED) else house.shaped
        marks = [mark]
        if data is not None and line_of(data, mark) is not None:  # what a line of the order goes to
            marks += [str(data["parts"][place]["m"]) for place in places_of(data, (mark,))]
        lit = dict.fromkeys(one for each in marks for one in lit_in_plan(each, house.tree, known))
        self.board.show(lit=list(lit)[:_MOST_LIT])

    def set_mode(self, mode: str) -> None:
        """Put the hand into a mode: one of the tools, or "scale" or "under" with what is laid under the plan."""
        self.mode = mode
        for name, button in self._tools.items():
            button.props(f"aria-pressed={'true' if name == mode else 'false'}")
        if mode in _DRAWS:
            self.new = replace(self.new, key=_DRAWS[mode])
        self.board.show(mode="draw" if mode in _DRAWS else mode)
        self.side.draw()

    def rest(self) -> None:
        """Put the hand into the mode that comes first: drawing, where nothing is drawn yet."""
        self.set_mode("touch" if plan_edits.roofs_of(self.house.tree) else "walls")

    def show_under(self) -> None:
        """Draw what is laid under the plan."""
        self.board.show(under=self.under.shown())

    @property
    def drawing(self) -> bool:
        """Whether an outline is being drawn."""
        return self.mode in _DRAWS

    # ---- what the hand did

    def _hear(self) -> None:
        heard: dict[str, Callable[[dict[str, Any]], None]] = {
            "touched": self._touched,
            "corner": self._corner,
            "corner_by": self._corner_by,
            "edge": self._edge,
            "put_in": self._put_in,
            "take_out": self._take_out,
            "roof_moved": self._roof_moved,
            "drawn": self._drawn,
            "given_up": lambda _: self.rest(),
            "north": self._north,
            "points": self.under.marked,
            "under_moved": self.under.moved,
        }  # fmt: skip
        for name, do in heard.items():
            self.board.on(name, partial(self._said, do))

    def _said(self, do: Callable[[dict[str, Any]], None], event: events.GenericEventArguments) -> None:
        if isinstance(event.args, dict):
            do(event.args)

    def change(self, made: Callable[[Any], Edits], said: str) -> bool:
        """Edit the job by edits made from it as it is now; faults are told. Whether it was done."""
        done = False
        with self.tab.told():
            edits = made(self.house.tree)
            done = not edits or self.tab.edit(*edits, said=said)
        self.board.run_method("settle")
        return done

    def _walls(self) -> dict[str, int]:
        return dict(walls_drawn(self.house.shaped))

    def _north(self, said: dict[str, Any]) -> None:
        turned = plan_edits.whole(float(said["deg"]) % 360)
        self.change(lambda tree: (set_or_out(tree, ("north_deg",), turned),), "north turned")

    def _touched(self, said: dict[str, Any]) -> None:
        self.tab.touch(str(said.get("mark", ""))[:80])
        if said.get("length"):
            self.side.focus_length()

    def _corner(self, said: dict[str, Any]) -> None:
        roof, corner, to = int(said["roof"]), int(said["corner"]), (float(said["x"]), float(said["y"]))
        free = bool(said.get("free"))
        self.change(lambda tree: plan_edits.corner_to(tree, roof, corner, to, free), f"corner {corner} moved")

    def _corner_by(self, said: dict[str, Any]) -> None:
        roof, corner, by = int(said["roof"]), int(said["corner"]), (float(said["dx"]), float(said["dy"]))
        self.change(lambda tree: plan_edits.corner_by(tree, roof, corner, by), f"corner {corner} moved")

    def _edge(self, said: dict[str, Any]) -> None:
        roof, edge, by = int(said["roof"]), int(said["edge"]), (float(said["dx"]), float(said["dy"]))
        self.change(lambda tree: plan_edits.edge_by(tree, roof, edge, by, self._walls()), f"edge {edge} moved")

    def _put_in(self, said: dict[str, Any]) -> None:
        at = float(said["at"])
        self.put_corner(int(said["roof"]), int(said["edge"]), at if at > 0 else None)

    def put_corner(self, roof: int, edge: int, at_mm: float | None) -> None:
        """A corner put in on an edge, in its middle where no place is said."""
        if self.change(
            lambda tree: plan_edits.corner_on(tree, roof, edge, at_mm, self._walls()), f"corner put in on edge {edge}"
        ):
            self.tab.touch(f"roof {roof + 1} edge {edge}")

    def _take_out(self, said: dict[str, Any]) -> None:
        self.take_corner_out(int(said["roof"]), int(said["corner"]))

    def take_corner_out(self, roof: int, corner: int) -> None:
        """A corner taken out."""
        done = self.change(
            lambda tree: plan_edits.corner_out(tree, roof, corner, self._walls()), f"corner {corner} taken out"
        )
        if done:
            self.tab.touch(f"roof {roof + 1}")

    def take_roof_out(self, roof: int) -> None:
        """A roof taken out."""
        if self.change(lambda tree: plan_edits.roof_gone(tree, roof, self._walls()), "roof taken out"):
            self.tab.touch("")

    def _add_roof(self) -> None:
        """At the edge touched, by whatever mark; told to touch one otherwise."""
        shown = lit_in_plan(self.tab.touched, self.house.tree, self.house.shaped)
        mark = next((one for one in shown if part_touched(one, "edge") is not None), "")
        roof, edge = roof_touched(mark), part_touched(mark, "edge")
        if roof is None or edge is None:
            self.tab.say("Touch the edge that the new roof is to stand at, then add it.")
        else:
            self.add_roof(roof, edge)

    def add_roof(self, roof: int, edge: int) -> None:
        """Ask for the form and the sizes of a roof that is added at an edge."""
        add_roof(self.tab, roof, edge, lambda made, said: self.change(made, said), self._walls)

    def _roof_moved(self, said: dict[str, Any]) -> None:
        roof, by = int(said["roof"]), (float(said["dx"]), float(said["dy"]))
        self.change(lambda tree: plan_edits.roof_by(tree, roof, by), "roof moved")

    def _drawn(self, said: dict[str, Any]) -> None:
        points = [(float(x), float(y)) for x, y in said["points"]][:2000]
        count = len(plan_edits.roofs_of(self.house.tree))
        if self.change(lambda tree: plan_edits.outline_drawn(tree, points, self.new, self._walls()), "outline drawn"):
            self.set_mode("touch")
            self.tab.touch(f"roof {count + 1}")
