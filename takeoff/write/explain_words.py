"""Why a figure is what it is, for one thing of a takeoff named by its mark: words, working, where it came from."""

from __future__ import annotations

import re
from difflib import get_close_matches
from itertools import chain

from takeoff.model.order import Takeoff
from takeoff.write.explain_roof import roof_entries
from takeoff.write.explain_runs import run_entries
from takeoff.write.explain_site import site_entries
from takeoff.write.explanation import Entry, Explanation
from takeoff.write.words import plain


def explain(takeoff: Takeoff, mark: str) -> tuple[Explanation, ...]:
    """Everything of that name: sheet, plane, edge, order line, run, piece, bar, quantity, gutter, downpipe, board,
    wall, opening, setting. Names of different kinds may coincide (a fascia run and a flashing, say): all are explained.
    Capitals do not matter, nor does a nought before a number (P1.7 is P1.07). Empty where nothing has that name."""
    wanted = plain(mark).lower()
    found = tuple(make() for name, make in _entries(takeoff) if plain(name).lower() == wanted)
    return found or tuple(make() for name, make in _entries(takeoff) if _bare(name) == _bare(mark))


def near_names(takeoff: Takeoff, mark: str) -> tuple[str, ...]:
    """Up to five names like a mark that is none."""
    names = {plain(name).lower(): plain(name) for name, _ in _entries(takeoff)}
    return tuple(names[near] for near in get_close_matches(plain(mark).lower(), names, n=5, cutoff=0.5))


def _bare(name: str) -> str:
    return re.sub(r"(?<![0-9])0+(?=[0-9])", "", plain(name).lower())


def _entries(takeoff: Takeoff) -> chain[Entry]:
    return chain(roof_entries(takeoff), run_entries(takeoff), site_entries(takeoff))
