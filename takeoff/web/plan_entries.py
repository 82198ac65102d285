"""What can be typed of the thing touched on the plan: an edge, a roof, the house.

Each entry says what is typed, what holds where nothing is, and how a text becomes an edit of the job; an empty field
takes the key out again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import Enum
from functools import partial
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.model.job.edges import RISE_WORDS
from takeoff.model.job_edits import GONE, Edit, EditPath, value_at
from takeoff.read.outlines.drawing_files import is_drawing
from takeoff.web.entries import degrees, figure_words, length_mm
from takeoff.web.numbers_kept import Tree
from takeoff.web.plan_edits import Edits, roofs_of, typed_rings, whole
from takeoff.web.plan_view import edge_kind

Choices = tuple[tuple[str, str], ...]
"""Word of the job and what the page shows for it."""

_KINDS: Choices = (("eave", "eave"), ("gable", "gable"), ("wall", "against a wall"))
_SIDES: Choices = (("left", "left"), ("right", "right"))
_BEARINGS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
_EMPTIED = ("edges", "site", "covering", "rainwater")  # sections that say nothing once their last key is out


class Typed(Enum):
    """How an entry is read."""

    LENGTH = "mm"
    HEIGHT = "mm over the floor"
    DEGREES = "\N{DEGREE SIGN}"
    FIGURE = ""
    WORDS = "words"
    CHOICE = "choice"


@record
class Entry:
    """A field: where it stands in the job, its label, how it is read, what is typed there now ("" for nothing), and
    what holds without it, in words. `unit` is shown after a figure."""

    path: EditPath
    label: str
    typed: Typed
    text: str
    otherwise: str = ""
    choices: Choices = ()
    unit: str = ""


def entered(tree: Tree, entry: Entry, text: str) -> Edits:
    """The edits of a text typed into an entry. UsageError says what to type."""
    if entry.path[-1] == "name":
        return renamed(tree, int(entry.path[1]), text.strip())
    value = read_entry(entry, text)
    upright = value in ("gable", "wall") and "edges" in entry.path
    return (*_eave_words_out(tree, entry.path[:-1] if upright else ()), set_or_out(tree, entry.path, value))


def _eave_words_out(tree: Tree, edge: EditPath) -> Edits:
    """What only an eave can say goes where an edge becomes upright."""
    said = _map(value_at(tree, edge)) if edge else {}
    return tuple(Edit((*edge, key), GONE) for key in ("pitch_deg", "start_side", *RISE_WORDS) if key in said)


def read_entry(entry: Entry, text: str) -> object:
    """What a text says in an entry; GONE for an empty one. UsageError says what to type."""
    clean = text.strip()
    if not clean:
        return GONE
    if entry.typed in (Typed.LENGTH, Typed.HEIGHT):
        return whole(length_mm(clean, signed=entry.typed is Typed.HEIGHT))
    if entry.typed is Typed.DEGREES:
        return whole(degrees(clean))
    if entry.typed is Typed.FIGURE:
        return _figure(clean, entry.label)
    if entry.typed is Typed.CHOICE and clean not in dict(entry.choices):
        raise UsageError(f"{entry.label}: choose one of {', '.join(word for _, word in entry.choices)}.")
    return clean


def set_or_out(tree: Tree, path: EditPath, value: object) -> Edit:
    """A value set, or taken out with the sections around it that would be left empty."""
    if value is not GONE:
        return Edit(path, value)
    while len(path) > 1 and _alone(tree, path):
        path = path[:-1]
    return Edit(path, GONE)


def edge_entries(tree: Tree, roof: int, edge: int) -> tuple[Entry, ...]:
    """What can be said of an edge of an outline."""
    held = _map(roofs_of(tree)[roof])
    own = _map(_map(held.get("edges")).get(edge))
    at: EditPath = ("roofs", roof, "edges", edge)
    kind, of = edge_kind(own), partial(_entry, own, at)
    found = [
        of("kind", "Kind", Typed.CHOICE, "eave", _KINDS),
        of("pitch_deg", "Pitch", Typed.DEGREES, _as_roof(held, "pitch_deg")),
        of("fascia_height_mm", "Fascia height", Typed.HEIGHT, _as_roof(held, "fascia_height_mm")),
    ]  # fmt: skip
    if kind != "eave":
        del found[1]
    if held.get("wall_line") is not None and kind != "wall":
        key = "verge_overhang_mm" if kind == "gable" else "eave_overhang_mm"
        found.append(of(key, "Overhang", Typed.LENGTH, _as_roof(held, key, "0")))
    if kind == "eave":
        found.append(of("start_side", "Sheets start at", Typed.CHOICE, "chosen by rule", _SIDES))
    return tuple(found)


def roof_entries(tree: Tree, roof: int, profiles: Iterable[str]) -> tuple[Entry, ...]:
    """What can be said of a roof. `profiles`: the sheet profiles that can be named."""
    held = _map(roofs_of(tree)[roof])
    cover = _map(held.get("covering"))
    at: EditPath = ("roofs", roof)
    first = _map(_map(roofs_of(tree)[0]).get("covering")).get("profile", "corrugated") if roof else "corrugated"
    of, of_cover = partial(_entry, held, at), partial(_entry, cover, (*at, "covering"))
    others = tuple(str(_map(one).get("name", "main")) for n, one in enumerate(roofs_of(tree)) if n != roof)
    found = [
        of("name", "Name", Typed.WORDS, "main"),
        of("pitch_deg", "Pitch", Typed.DEGREES, "none: each eave needs its own"),
        of("fascia_height_mm", "Fascia height", Typed.HEIGHT, "none: each edge needs its own"),
        of("eave_overhang_mm", "Overhang at eaves", Typed.LENGTH, "0"),
        of("verge_overhang_mm", "Overhang at gables", Typed.LENGTH, "0"),
        of("below", "Cut at the wall of", Typed.CHOICE, "no other roof", _plain(others)),
        of_cover("profile", "Sheet profile", Typed.CHOICE, str(first), _plain(profiles)),
        of_cover("bmt_mm", "Metal thickness", Typed.FIGURE, "as the profile has it", unit="mm"),
        of_cover("colour", "Colour", Typed.WORDS, "none said"),
        of_cover("lay_from", "Lay from", Typed.CHOICE, "not said", _plain(_BEARINGS)),
    ]  # fmt: skip
    if held.get("wall_line") is None and typed_rings(held) is not None:
        found = [one for one in found if one.path[-1] not in ("eave_overhang_mm", "verge_overhang_mm")]
    if _from_model(held):
        found = [one for one in found if one.text or one.path[-1] not in ("pitch_deg", "fascia_height_mm")]
    return tuple(one for one in found if one.path[-1] != "below" or others)


def _from_model(roof: Mapping[Any, Any]) -> bool:
    """Whether a roof is taken from a model, which has its pitches and heights itself."""
    shape = _map(roof.get("shape") or roof.get("mesh"))
    return bool(shape) and not is_drawing(str(shape.get("file", "")))


def house_entries(tree: Tree, zones: Iterable[str], zone: str) -> tuple[Entry, ...]:
    """What can be said of the house. `zones`: the wind zones of its code, `zone` the one taken where none is said."""
    site = _map(_map(tree).get("site"))
    of, of_job = partial(_entry, site, ("site",)), partial(_entry, _map(tree), ())
    return (
        of_job("job", "Name of the job", Typed.WORDS, "needed on every paper"),
        of_job("north_deg", "Plan up points to", Typed.DEGREES, "0: north"),
        of("wind_zone", "Wind zone", Typed.CHOICE, f"{zone}, with a warning", _plain(zones)),
        of("rain_mm_per_h", "Rain for gutters", Typed.FIGURE, "the code's own", unit="mm/h"),
        of("rain_mm_per_year", "Rain of a year", Typed.FIGURE, "not said", unit="mm"),
        of("longest_piece_mm", "Longest piece to the site", Typed.LENGTH, "no limit"),
    )  # fmt: skip


def renamed(tree: Tree, roof: int, name: str) -> Edits:
    """A roof called otherwise, and what names it. UsageError for a name that another roof has, or none."""
    held = _map(roofs_of(tree)[roof])
    was = str(held.get("name", "main"))
    others = [str(_map(one).get("name", "main")) for n, one in enumerate(roofs_of(tree)) if n != roof]
    if not name:
        raise UsageError("a roof needs a name: type one.")
    if name in others:
        raise UsageError(f"another roof is called {name}: type another name.")
    edits = [Edit(("roofs", roof, "name"), name)]
    for n, one in enumerate(roofs_of(tree)):
        if _map(one).get("below") == was:
            edits.append(Edit(("roofs", n, "below"), name))
    walls = _map(_map(tree).get("walls"))
    if walls.get("roof") == was:
        edits.append(Edit(("walls", "roof"), name))
    storeys = walls.get("storeys")
    for n, storey in enumerate(storeys if isinstance(storeys, list) else ()):
        if _map(storey).get("roof") == was:
            edits.append(Edit(("walls", "storeys", n, "roof"), name))
    return tuple(edits)


def _alone(tree: Tree, path: EditPath) -> bool:
    """Whether the section around a key holds nothing else and may go with it."""
    above = value_at(tree, path[:-1])
    section = path[-2] in _EMPTIED or (len(path) > 2 and path[-3] == "edges")
    return isinstance(above, dict) and section and set(above) <= {path[-1]}


def _figure(text: str, label: str) -> float | int:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not abs(value) < 1e9:
        raise UsageError(f'{label}: "{text[:40]}" is no figure: type one, as 110 or 0.55.')
    return whole(value)


def _map(value: object) -> Mapping[Any, Any]:
    return value if isinstance(value, dict) else {}


def _entry(
    section: Mapping[Any, Any],
    at: EditPath,
    key: str,
    label: str,
    typed: Typed,
    otherwise: str,
    choices: Choices = (),
    unit: str = "",
) -> Entry:
    """An entry of a section of the job that stands at a path."""
    usual = {Typed.LENGTH: "mm", Typed.HEIGHT: "mm", Typed.DEGREES: "\N{DEGREE SIGN}"}
    return Entry((*at, key), label, typed, _said(section, key), otherwise, choices, unit or usual.get(typed, ""))


def _said(section: object, key: str) -> str:
    return figure_words(_map(section).get(key))


def _as_roof(roof: Mapping[str, Any], key: str, none: str = "none") -> str:
    value = roof.get(key)
    return f"{figure_words(value)}, as the roof" if value is not None else none


def _plain(words: Iterable[str]) -> Choices:
    return tuple((word, word.replace("_", " ")) for word in words)
