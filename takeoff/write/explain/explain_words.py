"""Why a figure is what it is, for one thing of a takeoff named by its mark: words, working, where it came from."""

from __future__ import annotations

import re
from itertools import chain

from takeoff.basics.nearest import nearest
from takeoff.model.order import Takeoff
from takeoff.write.explain.explain_roof import roof_entries
from takeoff.write.explain.explain_runs import run_entries
from takeoff.write.explain.explain_site import site_entries
from takeoff.write.explain.explanation import Entry, Explanation
from takeoff.write.words.words import plain

# words before a number or a mark, and the letters of the marks they stand for; an edge by number is the job's own
_KINDS = {
    "plane": "P",
    "line": "L",
    "order line": "L",
    "gutter": "SP",
    "downpipe": "DP",
    "opening": "",
    "sheet": "",
    "edge": "",
    "run": "",
    "piece": "",
    "setting": "",
}
_ASKED_FOR = {"tank": "catchment", "rain": "catchment", "water": "catchment"}
_MOST_NEAR = 5


def explain(takeoff: Takeoff, mark: str) -> tuple[Explanation, ...]:
    """Everything of that name: sheet, plane, edge, order line, run, piece, bar, quantity, gutter, downpipe, board,
    wall, opening, setting. Names of different kinds may coincide (a fascia run and a flashing, say): all are explained.
    Capitals do not matter, nor does a nought before a number (P1.7 is P1.07). The order sheet numbers its lines 1, 2,
    3: a number alone is that line. `edge 1` is the job's edge 1, `plane 1`, `line 21` and `sheet P1.07` say the kind
    first. Empty where nothing has that name."""
    wanted = plain(mark).lower()
    found = tuple(make() for name, make in _entries(takeoff) if plain(name).lower() == wanted)
    found = found or tuple(make() for name, make in _entries(takeoff) if _bare(name) == _bare(mark))
    return found or _by_kind(takeoff, wanted)


def _by_kind(takeoff: Takeoff, wanted: str) -> tuple[Explanation, ...]:
    """What a number alone, or a kind and a number or mark, stands for."""
    if wanted.isdecimal():
        return explain(takeoff, f"L{wanted}")
    kind, _, name = wanted.rpartition(" ")
    if kind not in _KINDS:
        return ()
    if kind == "edge" and name.isdecimal():
        on = [edge.id for roof in takeoff.roofs for edge in roof.own_edges if int(name) in edge.outline_edges]
        return tuple(one for edge in dict.fromkeys(on) for one in explain(takeoff, edge))
    if not name.isdecimal():
        return explain(takeoff, name)
    return explain(takeoff, f"{_KINDS[kind]}{name}") if _KINDS[kind] else ()


def near_names(takeoff: Takeoff, mark: str) -> tuple[str, ...]:
    """Up to five names like a mark that is none, marks of its own kind before others; where none of its kind is like
    it, from the first to the last of them."""
    wanted = plain(mark).lower()
    names = {plain(name).lower(): plain(name) for name, _ in _entries(takeoff)}
    asked = _ASKED_FOR.get(wanted)
    if asked:
        return tuple(name for name in names.values() if name.startswith(asked))[:_MOST_NEAR]
    own = [name for name in names if _shape(name) == _shape(wanted)]
    near = nearest(wanted, own, _MOST_NEAR, likeness=0.5)
    if own and not near and any(sign.isdigit() for sign in wanted):
        ends = (names[own[0]], names[own[-1]])
        return (ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}",)
    others = nearest(wanted, names, _MOST_NEAR, likeness=0.5)
    return tuple(names[name] for name in list(dict.fromkeys([*near, *others]))[:_MOST_NEAR])


def _shape(name: str) -> str:
    """The kind of a mark: its letters, any number for each of its numbers."""
    return re.sub(r"[0-9]+", "#", name)


def _bare(name: str) -> str:
    return re.sub(r"(?<![0-9])0+(?=[0-9])", "", plain(name).lower())


def _entries(takeoff: Takeoff) -> chain[Entry]:
    return chain(roof_entries(takeoff), run_entries(takeoff), site_entries(takeoff))
