"""What the page shows of a small house and what each of its fields and buttons does to the job, as text.

    python tests/web/page_record.py     # writes the record anew, after each difference was looked at

A record is no check value: it says that something changed, and where.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from hand import Hand, below, changed, name_of, page
from houses import EMPTY, HUT, NO_WALLS, REFUSED
from nicegui import ui

from takeoff.model.findings import Finding, Severity
from takeoff.web.desk import PANELS

RECORD = Path(__file__).with_name("record")
_NAMES = [name for name, _ in PANELS]
_LONG = 160  # letters of a value that are recorded; of a longer one its beginning and how long it is
_TEXTS = ("1234", "odd", "")
_STATE = (
    "value",
    "model-value",
    "chosen",
    "mode",
    "tool",
    "lit",
    "aria-pressed",
    "aria-checked",
    "aria-disabled",
    "disable",
)
_QUIET = re.compile(r"runMethod\(\d+, ")

_MARKS = (
    "roof 1", "roof 1 edge 1", "roof 1 edge 2", "roof 1 corner 3", "roof 2", "roof 2 edge 3", "roof 9", "E1", "P1", "W1",
    "wall 2", "L1",
)  # fmt: skip
FOUND = (
    Finding("made-up", Severity.NOTE, "Said of no place.", "Nothing need be done."),
    Finding("made-up", Severity.WARN, "Said of two walls.", refs=("wall 1", "wall 2"), source="job.yaml:17:3"),
    Finding("made-up", Severity.STOP, "Said of a plane.", "Look at it.", refs=("P1",), source="job.yaml:9:5"),
    Finding("code-missing", Severity.NOTE, "Said of the code."),
)
# what a drawing says was done on it: panel, its name, event, what the browser sends
_PLAN = (
    ("touched", {"mark": "roof 1 edge 2", "length": True}),
    ("touched", {"mark": "roof 1 edge 3"}),
    ("corner", {"roof": 0, "corner": 3, "x": 7500, "y": 5000, "free": False}),
    ("corner", {"roof": 0, "corner": 3, "x": 7500, "y": 5000, "free": True}),
    ("corner_by", {"roof": 0, "corner": 2, "dx": 100, "dy": -50}),
    ("edge", {"roof": 0, "edge": 2, "dx": 300, "dy": 40}),
    ("edge", {"roof": 1, "edge": 1, "dx": 30, "dy": -400}),
    ("put_in", {"roof": 0, "edge": 1, "at": 2000}),
    ("put_in", {"roof": 0, "edge": 1, "at": 1}),
    ("put_in", {"roof": 0, "edge": 1, "at": 0}),
    ("take_out", {"roof": 0, "corner": 4}),
    ("roof_moved", {"roof": 1, "dx": 250, "dy": -120}),
    ("drawn", {"points": [[10000, 0], [14000, 0], [14000, 3000], [10000, 3000]]}),
    ("drawn", {"points": [[10000, 0], [14000, 0]]}),
    ("north", {"deg": 375.0}),
    ("given_up", {}),
    ("edge", "no map"),
)
_WALL = (
    ("touched", {"mark": "W1"}),
    ("touched", {}),
    ("added", {"x": 2500, "y": 800, "w": 1000, "h": 1150}),
    ("changed", {"at": 0, "x": 950, "y": 850, "w": 1250, "h": 1160}),
    ("changed", {"at": 9, "x": 950, "y": 850, "w": 1250, "h": 1160}),
    ("out", {"at": 1}),
    ("out", {}),
    ("band", {"at": 2, "key": "from_mm", "y": 1500}),
    ("band", {"at": 0, "key": "from_mm", "y": 1500}),
)


def recorded() -> dict[str, str]:
    """The record: a text by the name of its file."""
    found = {}
    with _page(HUT) as hand:
        hand.found = FOUND
        hand.take_off()
        for name in _NAMES:
            hand.front(name)
            found[f"{name.lower().replace(' ', '_')}_shown"] = "\n".join(outline(hand.panel(name)))
            found[f"{name.lower().replace(' ', '_')}_does"] = "\n".join(does(hand, name))
        found["frame_does"] = "\n".join(does(hand, ""))
        found["touched"] = "\n".join(touched(hand))
    for name, text in (("empty", EMPTY), ("no_walls", NO_WALLS), ("refused", REFUSED)):
        with _page(text) as hand:
            hand.found = FOUND[:1]
            found[name] = "\n".join(states(hand))
    return {name: f"{text}\n" for name, text in found.items()}


def outline(element: ui.element, depth: int = 0) -> Iterator[str]:
    """Elements below each other: what they are, their classes, what they are given, their words, what they hear."""
    if "plain-table" in element.classes:  # what the papers say has tests of its own
        yield f"{'  ' * depth}table {name_of(element)[:20]}"
        return
    if not element.visible:
        yield f"{'  ' * depth}(not seen) {element.tag}"
        return
    words = getattr(element, "_text", None)
    classes = "".join(f".{one}" for one in element.classes)
    props = " ".join(f"{key}={_short(value)}" for key, value in element.props.items() if key != "url")
    hears = ",".join(sorted({one.type for one in element._event_listeners.values()}))
    yield "  " * depth + " ".join(
        part
        for part in (_kind(element) + classes, props, repr(words) if words else "", f"<{hears}>" if hears else "")
        if part
    )
    for slot in element.slots.values():
        for child in slot.children:
            yield from outline(child, depth + 1)


def does(hand: Hand, panel: str) -> list[str]:
    """What each field and button of a panel ("": of what stands beside the panels) does; each is put back again."""
    found = []
    for name, nth, event, value, act in _acts(hand, panel):
        back = _where(hand, panel)
        before, shown = hand.text, _seen(hand, panel)
        act()
        came = changed("\n".join(shown), "\n".join(_seen(hand, panel)))
        found.append(f"{name}{f' #{nth}' if nth > 1 else ''} <{event}> {_short(value)}")
        found += [f"    job {line}" for line in changed(before, hand.text)]
        found += [f"    step: {hand.house.copy.back}"] if hand.text != before else []
        found += [f"    said: {words}" for words in hand.said]
        found += [f"    ran: {_short(_QUIET.sub('', code))}" for code in hand.ran if "updateValue" not in code]
        found += [f"    touched: {hand.tab.touched}"] if hand.tab.touched else []
        found += [f"    front: {hand.tab.front}"] if hand.tab.front != back[0] else []
        found += [f"    page {_short(line)}" for line in came]
        _put_back(hand, panel, back, before)
    return found


def touched(hand: Hand) -> list[str]:
    """What lights up, and what can be typed, for each kind of mark."""
    found = []
    for panel in ("Plan", "Walls"):
        hand.front(panel)
        for mark in _MARKS:
            hand.touch("")
            hand.ran.clear()
            hand.touch(mark)
            found += [f"{panel}: {mark}", *(f"  {line}" for line in _lit(hand, panel))]
            found += [f"  {line}" for line in hand.shown(panel)[9:-4] if panel == "Plan"]
    hand.touch("")
    return found


def states(hand: Hand) -> list[str]:
    """The page of a house that is not in order: as it is opened, and after the worker's answers."""
    found = []
    for words in ("as opened", "after the worker's answers"):
        for name in (name for name in _NAMES if name != "Products"):  # which shows the same of every house
            hand.front(name)
            found += [f"{words}: {name}", *_said_on(hand, name)]
        hand.front("Plan")
        found += [f"{words}: around", *_frame(hand)]
        hand.take_off()
    return [*found, *(does(hand, "Walls") if hand.text == NO_WALLS else ())]


def _said_on(hand: Hand, panel: str) -> list[str]:
    """What is seen of a panel, the tables of the papers left out."""
    papers = {id(each) for one in hand.elements(panel) if "plain-table" in one.classes for each in below(one)}
    return [line for one in below(hand.panel(panel), False) if id(one) not in papers and (line := _line(hand, one))]


def _page(text: str) -> Any:
    return page(text, Path(tempfile.mkdtemp()))


def _around(hand: Hand, hidden: bool = True) -> list[ui.element]:
    """What stands around the panels."""
    panels = {id(one) for name in _NAMES for one in hand.elements(name)}
    return [one for one in below(hand.client.layout, hidden) if id(one) not in panels]


def _frame(hand: Hand) -> list[str]:
    return [line for one in _around(hand, hidden=False) if (line := _line(hand, one))]


def _line(hand: Hand, element: ui.element) -> str:
    words = str(getattr(element, "_text", None) or element.props.get("label") or "")
    title = element.props.get("title")
    line = f"{words}{f' ({title})' if title else ''}".replace(str(hand.house.copy.path.parent), "FOLDER")
    return re.sub(r"of \d{3}$", "of all", line)  # as many settings as there are


def _seen(hand: Hand, panel: str) -> list[str]:
    """Words on the panel and in dialogs, what is chosen and what lies in fields; what is hidden is said so."""
    dialogs = [one for one in hand.client.content.default_slot.children if isinstance(one, ui.dialog)]
    inside = [each for root in (hand.panel(panel), *dialogs) for each in below(root)] if panel else _around(hand)
    roots = (hand.panel(panel), *dialogs) if panel else (hand.client.layout,)
    seen = {id(one) for root in roots for one in below(root, hidden=False)}
    found = []
    for one in inside:
        state = [str(one.props[key]) for key in _STATE if one.props.get(key)]
        classes = [name for name in one.classes if name in ("lit", "chosen")]
        line = " ".join(part for part in (_line(hand, one), *state, *classes) if part)
        found += [f"{'' if id(one) in seen else '(hidden) '}{line}"] if line else []
    return found


def _lit(hand: Hand, panel: str) -> Iterator[str]:
    for one in hand.elements(panel):
        if one.props.get("lit") or one.props.get("touched"):
            yield f"lit: {one.props.get('lit') or one.props.get('touched')}"
        if "lit" in one.classes:
            yield f"lit: {name_of(one)}"
    for code in hand.ran:
        yield f"ran: {_short(_QUIET.sub('', code))}"


def _acts(hand: Hand, panel: str) -> list[tuple[str, int, str, object, Callable[[], None]]]:
    """Everything that can be done on a panel now, each found again by its name when its turn comes."""
    found: list[tuple[str, int, str, object, Callable[[], None]]] = []
    counts: dict[str, int] = {}
    for one in hand.elements(panel) if panel else _around(hand):
        if not one.visible or not one._event_listeners:
            continue
        name = name_of(one) or _kind(one)
        counts[name] = nth = counts.get(name, 0) + 1
        for event, value in _values(one):
            found.append((name, nth, event, value, _act(hand, panel, name, nth, event, value)))
    return found


def _act(hand: Hand, panel: str, name: str, nth: int, event: str, value: object) -> Callable[[], None]:
    def act() -> None:
        inside = hand.elements(panel) if panel else _around(hand)
        listening = [
            one for one in inside if one.visible and one._event_listeners and (name_of(one) or _kind(one)) == name
        ]
        if len(listening) < nth:
            hand.said.append(f"not there any more: {name}")
            return
        element: Any = listening[nth - 1]
        if event in ("set", "change"):
            hand.live(lambda: element.set_value(value))
            if event == "change":
                hand.tell(element, "change")
        else:
            hand.tell(element, event, value)

    return act


def _values(one: ui.element) -> list[tuple[str, object]]:
    """Events of an element, with what the browser would send."""
    events = {listener.type for listener in one._event_listeners.values()}
    kind = type(one).__name__
    if kind == "PlanBoard":
        return list(_PLAN)
    if kind == "ElevationDrawing":
        return list(_WALL)
    if isinstance(one, (ui.select, ui.radio)):
        options = list(one.options)
        return [("set", value) for value in dict.fromkeys((options[0], options[1 % len(options)], options[-1]))]
    if isinstance(one, (ui.input, ui.slider)):
        return (
            [("change", value) for value in (_texts(one.value) if isinstance(one, ui.input) else (0.8,))]
            if "change" in events
            else []
        )
    if kind == "FormField" and one.props["choices"] is not None:
        keys = [key for key, _ in one.props["choices"]]
        return [("typed", key) for key in dict.fromkeys((keys[0], keys[-1]))] if keys else []
    if "typed" in events:
        return [("typed", text) for text in _texts(one.props["value"])]
    if "pressed" in events:
        return [("pressed", key) for key in ("undo", "redo")]
    if kind == "ChoiceList":
        return [("chosen", row[0]) for row in one.props["rows"][:2]]
    return [("click", {})] if "click" in events else []


def _texts(stands: object) -> tuple[str, ...]:
    """What is typed into a field: where it is empty it is not emptied."""
    return _TEXTS if stands else _TEXTS[:2]


def _where(hand: Hand, panel: str) -> tuple[str]:
    return (hand.tab.front,)


def _put_back(hand: Hand, panel: str, where: tuple[str], text: str) -> None:
    for dialog in [one for one in hand.client.content.default_slot.children if isinstance(one, ui.dialog)]:
        hand.live(dialog.delete)
    if hand.text != text:
        while hand.text != text:
            hand.live(hand.house.undo)
        hand.take_off()
    walls = hand.house.shaped.elevations if hand.house.shaped is not None and panel == "Walls" else ()
    for mark in (*(wall.id for wall in walls[:1]), ""):  # the first wall is shown again
        hand.touch(mark)
    if hand.tab.front != where[0]:
        hand.front(where[0])
    hand.said.clear()
    hand.ran.clear()


def _kind(element: ui.element) -> str:
    kind = type(element).__name__
    return element.tag if kind == "Element" else kind


def _short(value: object) -> str:
    text = value if isinstance(value, str) else repr(value)
    return text if len(text) <= _LONG else f"{text[:_LONG]}... {len(text)} letters"


def write() -> None:
    RECORD.mkdir(exist_ok=True)
    for path in RECORD.glob("*.txt"):
        path.unlink()
    for name, text in recorded().items():
        (RECORD / f"{name}.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write()
