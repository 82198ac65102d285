"""The cladding zones of the walls as a list: which walls or part of them, how it runs, with what; in their order."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from takeoff.read.catalogue import load_catalogue
from takeoff.web.drawing.form_field import FormField
from takeoff.web.tab import Tab
from takeoff.web.wall_edits import Row, number_of, rows_of, wall_numbers
from takeoff.web.wall_view import on_wall
from takeoff.web.zone_edits import (
    DIRECTIONS,
    PARTS,
    board_given,
    clad_with,
    zone_added,
    zone_moved_text,
    zone_out,
    zone_set,
)
from takeoff.write.words.words import plain

if TYPE_CHECKING:
    from takeoff.web.panels.walls_panel import WallsPanel

_WAYS = {
    "horizontal": "level boards",
    "vertical": "upright boards",
    "sheets": "upright sheets",
    "none": "not clad",
}
_PART_WORDS = {"from_mm": "from height", "to_mm": "up to", "from_left_mm": "from left", "width_mm": "width"}
_OWN = "own"  # a board of the job's own, by width and cover


def products_for(direction: str, tree: Any) -> dict[str, str]:
    """What a zone may be clad with that way: the name by the id, with its cover."""
    if direction == "none":
        return {}
    catalogue = load_catalogue()
    if direction == "sheets":
        own = tree.get("profiles") if isinstance(tree, dict) else None
        named = {str(name): f"{name}, of the job" for name in own} if isinstance(own, dict) else {}
        return {one.id: f"{one.name}, cover {one.cover_mm:g}" for one in catalogue.profiles.values()} | named
    boards = [one for one in catalogue.boards.values() if one.direction in (direction, "either")]
    return {
        one.id: f"{one.name}, cover {one.cover_mm:g}" if one.cover_mm else f"{one.name}, its cover to be typed"
        for one in boards
    } | {_OWN: "another board, by width and cover"}


def _shown(row: Row, key: str) -> Any:
    """What stands in a field of a zone."""
    if key == "walls":
        walls = row.get("walls")
        return ", ".join(map(str, walls)) if isinstance(walls, list) else ""
    if key == "product":
        board = row.get("profile" if row.get("direction") == "sheets" else "board")
        return _OWN if isinstance(board, dict) else str(board or "")
    if key in ("board width_mm", "board cover_mm"):
        board = row.get("board")
        return number_of(board, key.split()[1]) if isinstance(board, dict) else None
    return str(row.get(key) or "horizontal") if key == "direction" else row.get(key)


def to_be_typed(product: str) -> bool:
    """Whether width and cover of a board must be typed: one of the job's own, or one whose cover nobody publishes."""
    board = load_catalogue().boards.get(product)
    return product == _OWN or (board is not None and board.cover_mm <= 0.0)


class ZonesList:
    """The list, in the order of the job; that of the wall shown is marked."""

    def __init__(self, tab: Tab, panel: WallsPanel) -> None:
        self.tab, self.panel = tab, panel
        self.drawn: list[object] | None = None
        self.fields: dict[tuple[int, str], FormField] = {}
        self.items: list[ui.element] = []
        self.asked: dict[int, dict[str, str]] = {}  # zones whose board is being typed: width, cover, kind
        self.new = {"part": PARTS[0], "direction": "horizontal", "product": "", "walls": ""}
        with ui.element("section").classes("zones"):
            ui.label("Cladding, all walls").classes("heading")
            self.list = ui.element("ol").classes("zone-list")
            with ui.element("div").classes("new-row"):
                ui.label("One more zone:")
                FormField("part", partial(self._keep, "part"), value=PARTS[0], choices={part: part for part in PARTS})
                self.walls = FormField("of walls", partial(self._keep, "walls"), hint="this one", size=8)
                FormField("runs", partial(self._way), value="horizontal", choices=_WAYS)
                self.product = FormField("with", partial(self._keep, "product"), choices={})
                ui.button("Add", on_click=self.add).props("outline no-caps dense")
        self._way("horizontal")

    def _keep(self, key: str, text: str) -> None:
        self.new[key] = text

    def _way(self, direction: str) -> None:
        self.new["direction"] = direction
        offered = {
            name: words for name, words in products_for(direction, self.tab.house.tree).items() if not to_be_typed(name)
        }
        self.new["product"] = next(iter(offered), "")
        self.product.offer(offered)
        self.product.show(self.new["product"])

    def add(self) -> None:
        """The zone that is typed."""
        wall = self.panel.wall
        if wall is None:
            return
        with self.tab.told():
            walls = wall_numbers(self.new["walls"]) if self.new["walls"].strip() else [wall.wall]
            clad = clad_with(self.new["direction"], self.new["product"])
            edit = zone_added(self.tab.house.tree, self.new["part"], walls, clad, wall.outline_xy)
            self.tab.edit(edit, said="a zone added")

    def draw(self, tree: Any) -> None:
        """The zones as typed. Rows are made anew where another form is needed, so that a keyboard keeps its place."""
        rows = rows_of(tree, "zones")
        forms = [self._form(at, row) for at, row in enumerate(rows)]
        if forms != self.drawn:
            self.drawn = forms
            self._build(rows, tree)
        number = self.panel.wall.wall if self.panel.wall is not None else 0
        for at, item in enumerate(self.items):
            item.classes("lit") if on_wall(tree, at, number) else item.classes(remove="lit")
        for (at, key), field in self.fields.items():
            field.show(_shown(rows[at], key))

    def _form(self, at: int, row: Row) -> object:
        """What makes the form of a zone: its fields, how it runs, whether its board is being typed."""
        parts = tuple(key for key in (*_PART_WORDS, "polygon") if row.get(key) is not None)
        asked = self.asked.get(at)
        product = _shown(row, "product")
        return parts, row.get("direction"), product, isinstance(row.get("board"), dict), asked and asked["id"]

    def _build(self, rows: list[Row], tree: Any) -> None:
        self.list.clear()
        self.fields, self.items = {}, []
        with self.list:
            for at, row in enumerate(rows):
                with ui.element("li") as item:
                    self._zone(at, row, tree, last=at == len(rows) - 1)
                self.items.append(item)
            if not rows:
                with ui.element("li"):
                    ui.label("No zone yet: the usual board clads every wall, and the order says so.")

    def _zone(self, at: int, row: Row, tree: Any, last: bool) -> None:
        name = f"zone {at + 1}"
        parts = [key for key in _PART_WORDS if row.get(key) is not None]
        rest = "every wall" if parts or row.get("polygon") else "all others"
        self._field(at, "walls", "walls", hint=rest, size=8)
        for key in parts:
            self._field(at, key, _PART_WORDS[key], unit="mm", size=6)
        if row.get("polygon"):
            ui.label(f"a part by its {len(row['polygon'])} corners").classes("soft")
        direction = str(row.get("direction") or "horizontal")
        ways = _WAYS if direction in DIRECTIONS else {direction: plain(direction), **_WAYS}
        self._field(at, "direction", "runs", choices=ways)
        self._product(at, row, direction, tree)
        for words, do, off in (
            ("Earlier", partial(self._move, at, -1), at == 0),
            ("Later", partial(self._move, at, 1), last),
            ("Take out", partial(self._out, at), False),
        ):
            button = ui.button(words, on_click=do).props(f'flat no-caps dense aria-label="{words}: {name}"')
            button.set_enabled(not off)

    def _field(self, at: int, key: str, words: str, **more: Any) -> None:
        self.fields[at, key] = FormField(words, partial(self._set, at, key), **more)

    def _product(self, at: int, row: Row, direction: str, tree: Any) -> None:
        if direction == "none":
            return
        offered, chosen, asked = products_for(direction, tree), _shown(row, "product"), self.asked.get(at)
        if chosen not in offered:
            offered = {chosen: plain(chosen) or "choose", **offered}
        FormField("with", partial(self._clad, at), value=asked["id"] if asked else chosen, choices=offered)
        if asked:
            for key, words in (("width", "its width"), ("cover", "its cover")):
                FormField(words, partial(asked.__setitem__, key), value=asked[key], unit="mm", size=5)
            ui.button("Use this board", on_click=partial(self._use, at)).props("outline no-caps dense")
        elif isinstance(row.get("board"), dict):
            self._field(at, "board width_mm", "width", unit="mm", size=5)
            self._field(at, "board cover_mm", "cover", unit="mm", size=5)

    def _set(self, at: int, key: str, text: str) -> None:
        with self.tab.told():
            if self.tab.edit(*zone_set(self.tab.house.tree, at, key, text), said=f"zone {at + 1} changed"):
                return
        self.drawn = None
        self.draw(self.tab.house.tree)

    def _clad(self, at: int, product: str) -> None:
        if not to_be_typed(product):
            self.asked.pop(at, None)
            self._set(at, "product", product)
        else:
            board = load_catalogue().boards.get(product)
            width, kind = (f"{board.width_mm:g}", board.kind) if board is not None else ("", "")
            self.asked[at] = {"id": product, "width": width, "cover": "", "kind": kind}
            self.draw(self.tab.house.tree)

    def _use(self, at: int) -> None:
        given = self.asked[at]
        with self.tab.told():
            edit = board_given(self.tab.house.tree, at, given["width"], given["cover"], given["kind"])
            del self.asked[at]
            self.tab.edit(edit, said=f"zone {at + 1} changed")

    def _move(self, at: int, by: int) -> None:
        with self.tab.told():
            house = self.tab.house
            house.put(zone_moved_text(house.copy.text, house.tree, at, by), f"zone {at + 1} moved")

    def _out(self, at: int) -> None:
        with self.tab.told():
            self.tab.edit(zone_out(self.tab.house.tree, at), said=f"zone {at + 1} taken out")
