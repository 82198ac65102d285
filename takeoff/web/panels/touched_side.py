"""Beside the plan: what can be typed of what is touched, of the house, and of a roof about to be drawn."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from takeoff.model.job_edits import EditPath, value_at
from takeoff.web import plan_edits, plan_entries, rise_forms
from takeoff.web.desk_head import plain_button
from takeoff.web.entries import degrees, figure_words, length_mm
from takeoff.web.entry_rows import EntryRows
from takeoff.web.plan_edits import typed_rings
from takeoff.web.plan_entries import Entry, Typed
from takeoff.web.plan_facts import known_profiles, shape_words, wind_zones
from takeoff.web.plan_view import edge_kind, lit_in_plan, part_touched, roof_touched
from takeoff.web.tab import Tab

if TYPE_CHECKING:
    from takeoff.web.panels.plan_panel import PlanHand

_MOST_CORNERS = 60


class TouchedSide:
    """The side of one tab. `draw` shows what is touched now; what stays the same keeps its fields and the cursor."""

    def __init__(self, tab: Tab, hand: PlanHand, aside: ui.element) -> None:
        self.tab, self.house, self.hand, self.aside = tab, tab.house, hand, aside
        self.move_start = False
        self._shown: tuple[object, ...] = ("nothing yet",)
        self._rows: list[tuple[EntryRows, Callable[[], tuple[Entry, ...]]]] = []
        self._redraws: list[Callable[[], None]] = []
        self._room = ui.element("section").classes("touched-side")
        tab.on_touch(self.draw)

    # ---- what is shown

    def draw(self) -> None:
        """Show what is touched now."""
        tree = self.house.tree
        at = self._touched(tree)
        if at != self._shown:
            self._shown = at
            self._rows, self._redraws = [], []
            self._room.clear()
            self.aside.run_method("scrollTo", 0, 0)
            with self._room:
                _SECTIONS[str(at[0])](self, *at[1:])
        for rows, entries in self._rows:
            rows.show(entries())
        for redraw in self._redraws:
            redraw()

    def focus_length(self) -> None:
        """Put the cursor where the length of the edge touched is typed."""
        for rows, _ in self._rows:
            rows.focus("Length")

    def _touched(self, tree: Any) -> tuple[object, ...]:
        """What is shown, with all that asks for other fields."""
        if self.hand.drawing:
            return ("drawing", self.hand.new.key)
        mark = self.tab.touched
        if roof_touched(mark) is None:
            mark = next((one for one in lit_in_plan(mark, tree, self.house.shaped) if "edge" in one), mark)
        roof, roofs = roof_touched(mark), plan_edits.roofs_of(tree)
        if roof is None or roof >= len(roofs):
            return ("shape", mark) if mark and shape_words(mark, self.house.shaped) else ("house", len(roofs))
        typed = typed_rings(roofs[roof])
        count = len(typed.sides_mm) if typed is not None else 0
        edge, corner = part_touched(mark, "edge"), part_touched(mark, "corner")
        if edge is not None and edge <= count:
            at = ("roofs", roof, "edges", edge)
            return ("edge", roof, edge, rise_forms.rise_of(tree, at), self._is_eave(tree, roof, edge))
        if corner is not None and corner <= count:
            return ("corner", roof, corner)
        return ("roof", roof, count, rise_forms.rise_of(tree, ("roofs", roof)))

    def _is_eave(self, tree: Any, roof: int, edge: int) -> bool:
        return edge_kind(value_at(tree, ("roofs", roof, "edges", edge))) == "eave"

    # ---- sections

    def _drawing(self, key: str) -> None:
        self._title("The roof that is drawn begins with", "")
        self._add(self._new_entries, self._new_entered)
        line = "the outside of the framing" if key == "wall_line" else "the outer face of fascia or barge"
        self._say(f"What is drawn is {line}. All of this can be changed later.")

    def _house(self, count: int) -> None:
        self._title("The house", "")
        self._add(lambda: plan_entries.house_entries(self.house.tree, *wind_zones(self.house.tree)), self._enter)
        if count:
            self._say("Touch an edge, a corner or a roof on the plan to change it.")
        for n, roof in enumerate(plan_edits.roofs_of(self.house.tree)):
            name = str(roof.get("name", "main")) if isinstance(roof, dict) else "roof"
            plain_button(f"Roof {name}", partial(self.tab.touch, f"roof {n + 1}"))

    def _shape(self, mark: str) -> None:
        self._title(mark, "of the shape, as worked out")
        words = ui.label().classes("facts")

        def say() -> None:
            words.set_text(shape_words(mark, self.house.shaped))

        self._redraws.append(say)
        self._back("The house", "")

    def _edge(self, roof: int, edge: int, rise: str, eave: bool) -> None:
        self._title(f"Edge {edge}", f"of roof {self._name(roof)}")
        self._add(lambda: self._length_entry(roof, edge), partial(self._length_entered, roof, edge))
        ends = self._ends(roof, edge)
        moves = ui.radio(dict(enumerate(ends)), value=int(self.move_start)).props("dense inline").classes("moves")
        moves.on_value_change(lambda event: setattr(self, "move_start", bool(event.value)))
        self._add(lambda: plan_entries.edge_entries(self.house.tree, roof, edge), self._enter)
        if eave or rise == "half_hip_from_mm":
            self._rise(("roofs", roof, "edges", edge), rise)
        with ui.element("div").classes("acts"):
            plain_button("Put a corner in its middle", lambda: self.hand.put_corner(roof, edge, None))
            plain_button("Add a roof here", lambda: self.hand.add_roof(roof, edge))
        self._back(f"Roof {self._name(roof)}", f"roof {roof + 1}")

    def _corner(self, roof: int, corner: int) -> None:
        self._title(f"Corner {corner}", f"of roof {self._name(roof)}")
        self._add(lambda: self._corner_entries(roof, corner), partial(self._corner_entered, roof, corner))
        plain_button("Take this corner out", lambda: self.hand.take_corner_out(roof, corner))
        self._back(f"Roof {self._name(roof)}", f"roof {roof + 1}")

    def _roof(self, roof: int, count: int, rise: str) -> None:
        self._title(f"Roof {self._name(roof)}", "" if count else "taken from a file")
        profiles = known_profiles(self.house.tree, self.house.ordered or self.house.shaped)
        self._add(lambda: plan_entries.roof_entries(self.house.tree, roof, profiles), self._enter)
        if count:
            self._rise(("roofs", roof), rise)
            with ui.expansion("Corners by number").classes("corners").props("dense"):
                for corner in range(1, min(count, _MOST_CORNERS) + 1):
                    self._add(partial(self._corner_entries, roof, corner), partial(self._corner_entered, roof, corner))
                if count > _MOST_CORNERS:
                    self._say(f"{count - _MOST_CORNERS} more: touch them on the plan, or see the job file.")
            self._add(lambda: _MOVES, partial(self._roof_moved, roof))
        plain_button("Take this roof out", lambda: self.hand.take_roof_out(roof))
        self._back("The house", "")

    def _rise(self, at: EditPath, rise: str) -> None:
        with ui.element("fieldset").classes("rises"):
            with ui.element("legend"):
                ui.label("How it rises")
            for form in rise_forms.forms_of(at):
                chosen = form.key == rise
                button = ui.button(on_click=partial(self._rise_chosen, at, form)).props("flat no-caps dense")
                button.classes("rise chosen" if chosen else "rise")
                button.props(f"aria-pressed={'true' if chosen else 'false'}")
                button.tooltip(form.says)
                with button:
                    with ui.element("svg").props('viewBox="0 0 60 36" aria-hidden=true'):
                        ui.element("path").props(f'd="{form.picture}"')
                    ui.label(form.name)
            if rise == "rise":
                self._say("It rises in steps that are written in the job file.")
        self._add(lambda: rise_forms.rise_entries(self.house.tree, at), self._enter)

    # ---- parts of sections

    def _title(self, text: str, under: str) -> None:
        with ui.element("h2"):
            ui.label(text)
        if under:
            ui.label(under).classes("under")

    def _say(self, text: str) -> None:
        ui.label(text).classes("hint")

    def _back(self, words: str, mark: str) -> None:
        plain_button(f"\N{LEFTWARDS ARROW} {words}", partial(self.tab.touch, mark))

    def _add(self, entries: Callable[[], tuple[Entry, ...]], enter: Callable[[Entry, str], None]) -> None:
        self._rows.append((EntryRows(enter), entries))

    def _name(self, roof: int) -> str:
        held = plan_edits.roofs_of(self.house.tree)[roof]
        return str(held.get("name", "main")) if isinstance(held, dict) else ""

    # ---- what is typed

    def _enter(self, entry: Entry, text: str) -> None:
        said = f"{entry.label.lower()}: {text.strip() or 'not typed'}"
        self.hand.change(lambda tree: plan_entries.entered(tree, entry, text), said)

    def _rise_chosen(self, at: EditPath, form: rise_forms.RiseForm) -> None:
        self.hand.change(lambda tree: rise_forms.rise_given(tree, at, form), f"rises as {form.name}")

    def _length_entry(self, roof: int, edge: int) -> tuple[Entry, ...]:
        typed = typed_rings(plan_edits.roofs_of(self.house.tree)[roof])
        length = typed.sides_mm[edge - 1] if typed is not None and edge <= len(typed.sides_mm) else 0.0
        return (Entry(("length",), "Length", Typed.LENGTH, figure_words(round(length, 2)), "", (), "mm"),)

    def _length_entered(self, roof: int, edge: int, _: Entry, text: str) -> None:
        start = self.move_start
        self.hand.change(
            lambda tree: plan_edits.edge_length(tree, roof, edge, length_mm(text), start),
            f"edge {edge} made {text.strip()}",
        )

    def _ends(self, roof: int, edge: int) -> tuple[str, str]:
        return plan_edits.end_words(self.house.tree, roof, edge)

    def _corner_entries(self, roof: int, corner: int) -> tuple[Entry, ...]:
        x, y = plan_edits.corner_at(self.house.tree, roof, corner)
        return (
            Entry(("x", corner), f"Corner {corner}, x", Typed.HEIGHT, figure_words(x), "", (), "mm"),
            Entry(("y", corner), f"Corner {corner}, y", Typed.HEIGHT, figure_words(y), "", (), "mm"),
        )

    def _corner_entered(self, roof: int, corner: int, entry: Entry, text: str) -> None:
        def edits(tree: Any) -> plan_edits.Edits:
            x, y = plan_edits.corner_at(tree, roof, corner)
            value = length_mm(text, signed=True)
            return plan_edits.corner_to(tree, roof, corner, (value, y) if entry.path[0] == "x" else (x, value))

        self.hand.change(edits, f"corner {corner} set")

    def _roof_moved(self, roof: int, entry: Entry, text: str) -> None:
        def edits(tree: Any) -> plan_edits.Edits:
            by = length_mm(text, signed=True)
            return plan_edits.roof_by(tree, roof, (by, 0.0) if entry.path[0] == "right" else (0.0, by))

        self.hand.change(edits, f"roof moved {entry.path[0]} {text.strip()}")

    def _new_entries(self) -> tuple[Entry, ...]:
        new = self.hand.new
        pitch = Entry(("pitch_deg",), "Pitch", Typed.DEGREES, figure_words(new.pitch_deg), "", (), "\N{DEGREE SIGN}")
        fascia = Entry(
            ("fascia_height_mm",), "Fascia height", Typed.HEIGHT, figure_words(new.fascia_height_mm), "", (), "mm"
        )
        over = Entry(("overhang_mm",), "Overhang at eaves", Typed.LENGTH, figure_words(new.overhang_mm), "", (), "mm")
        return (pitch, fascia, over) if new.key == "wall_line" else (pitch, fascia)

    def _new_entered(self, entry: Entry, text: str) -> None:
        with self.tab.told():
            key = str(entry.path[0])
            value = degrees(text) if key == "pitch_deg" else length_mm(text, signed=key == "fascia_height_mm")
            self.hand.new = self.hand.new.having(key, value)
        self.draw()


_MOVES = tuple(Entry((way,), f"Move the roof {way}", Typed.HEIGHT, "", "0", (), "mm") for way in ("right", "up"))
_SECTIONS: dict[str, Callable[..., None]] = {
    "drawing": TouchedSide._drawing,
    "house": TouchedSide._house,
    "shape": TouchedSide._shape,
    "edge": TouchedSide._edge,
    "corner": TouchedSide._corner,
    "roof": TouchedSide._roof,
}
