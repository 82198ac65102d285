"""End laps: only where a single length cannot be brought to the site, in line across the plane.

A lap is for transport, not for expansion: lapped lengths move as one. The lower tier is laid first and lies on top of
its pack. Lap lengths by pitch stand in the tables of the job's code; a lap is screwed through to its purlin.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.sheeting.sheet_ends import tried_ends
from takeoff.model.basis import Term
from takeoff.model.code_rules import LapRow, RuleSet
from takeoff.model.settings import Settings
from takeoff.shape.strips.slabs import Slab, between_heights, connected, highest, lowest
from takeoff.shape.strips.strips import StripRun

_ALL = float("inf")
_LIMIT_DEG = TOLERANCES.limit_deg


@record
class Part:
    """One part of a sheet run, lowest first: its cover and its sheet as slabs, and the lap with the part above [mm]."""

    cover: tuple[Slab, ...]
    sheet: tuple[Slab, ...]
    lap_mm: float = 0.0


@record
class LapLines:
    """Where the feet of upper sheets lie on a plane [mm up its rake], and the lap."""

    foot_v_mm: tuple[float, ...]
    lap_mm: float
    terms: tuple[Term, ...]
    possible: bool = True
    from_deg: float = 0.0  # the lap's length holds from this pitch up


def lap_row(pitch_deg: float, rules: RuleSet) -> LapRow | None:
    """The row of the code's table for a pitch, else that of the code that serves where it has no table; below the
    pitches of a table its first row, which says from where it holds."""
    for row in rules.end_laps:
        below = row.below_deg > 0.0 and pitch_deg < row.below_deg - _LIMIT_DEG
        up_to = row.up_to_deg > 0.0 and pitch_deg <= row.up_to_deg + _LIMIT_DEG
        if below or up_to or row.below_deg == row.up_to_deg == 0.0:
            return row
    return lap_row(pitch_deg, rules.silent) if rules.silent is not None else None


def end_lap(pitch_deg: float, settings: Settings) -> tuple[float, tuple[Term, ...]]:
    """Length of an end lap [mm]: the job's, else by pitch as the code says, with the terms behind it."""
    given = settings.number("end_lap_mm")
    if given > 0.0:
        return given, (settings.term("end_lap_mm"),)
    row = lap_row(pitch_deg, settings.rules)
    if row is None:
        raise KeyError("no code has a table of end laps")
    return row.lap_mm, (Term("pitch", round(pitch_deg, 3), "deg"), Term("end lap", row.lap_mm, "mm", row.basis))


def lap_lines(
    runs: Sequence[StripRun],
    pitch_deg: float,
    longest_mm: float,
    foot_turn_mm: float,
    settings: Settings,
    rows_mm: Sequence[float] = (),
    square_deg: float | None = None,
) -> LapLines | None:
    """Lap lines of a plane in even tiers, None where every run comes in one length.

    `rows_mm`: purlin rows up the plane; the middle of each lap is put on the nearest row that keeps all parts within
    `longest_mm`. `possible` is False where no part could be as short as the longest piece allows.
    """
    if longest_mm == _ALL:
        return None
    long = [run for run in runs if tried_ends(run.sheet, foot_turn_mm, settings, square_deg)[2] > longest_mm]
    if not long:
        return None
    lap, terms = end_lap(pitch_deg, settings)
    row = lap_row(pitch_deg, settings.rules) if settings.number("end_lap_mm") <= 0.0 else None
    from_deg = row.from_deg if row is not None else 0.0
    low = min(lowest(run.sheet) for run in long)
    high = max(highest(run.sheet) for run in long)
    # the most that rounding and rakes can add to any part
    spare = settings.number("raked_allowance_mm") + settings.number("raked_step_mm") + foot_turn_mm
    room = longest_mm - spare
    if room <= lap + settings.number("least_run_mm"):
        return LapLines((), lap, terms, possible=False)
    least = max(2, count_up(high - low - lap, room - lap))
    if rows_mm:
        for tiers in (least, least + 1):
            snapped = _on_rows(_even(low, high, lap, tiers), rows_mm, lap)
            stops = [low, *snapped, high]
            pieces = [b - a + (lap if b != high else 0.0) for a, b in itertools.pairwise(stops)]
            if len(set(snapped)) == len(snapped) and all(lap < piece <= room for piece in pieces):
                return LapLines(tuple(snapped), lap, terms, from_deg=from_deg)
    return LapLines(tuple(_even(low, high, lap, least)), lap, terms, from_deg=from_deg)


def _even(low: float, high: float, lap: float, tiers: int) -> list[float]:
    piece = (high - low + (tiers - 1) * lap) / tiers
    return [low + number * (piece - lap) for number in range(1, tiers)]


def _on_rows(lines: Sequence[float], rows: Sequence[float], lap: float) -> list[float]:
    return [min((row - lap / 2.0 for row in rows), key=lambda foot: (abs(foot - line), foot)) for line in lines]


def split_run(
    run: StripRun,
    laps: LapLines | None,
    longest_mm: float,
    foot_turn: float,
    settings: Settings,
    square_deg: float | None = None,
) -> list[Part]:
    """The parts of one run, lowest first: one where it comes in one length, else cut at as few lap lines as will do."""
    whole = Part(run.cover, run.sheet)
    if laps is None or not laps.possible or tried_ends(run.sheet, foot_turn, settings, square_deg)[2] <= longest_mm:
        return [whole]
    foot, top = lowest(run.sheet), highest(run.sheet)
    inside = [line for line in laps.foot_v_mm if foot < line < top - laps.lap_mm]
    cuts: list[float] = []
    below = -_ALL
    while inside:
        if tried_ends(_span(run.sheet, below, _ALL), foot_turn, settings, square_deg)[2] <= longest_mm:
            break
        fits = [
            line
            for line in inside
            if tried_ends(_span(run.sheet, below, line + laps.lap_mm), foot_turn, settings, square_deg)[2] <= longest_mm
        ]
        line = fits[-1] if fits else inside[0]
        shorter = [other for other in fits if top - other >= settings.number("least_run_mm")]
        if shorter:
            line = shorter[-1]
        cuts.append(line)
        inside = [other for other in inside if other > line]
        below = line
    return _parts(run, cuts, laps.lap_mm)


def _span(slabs: Sequence[Slab], low: float, high: float) -> tuple[Slab, ...]:
    return tuple(part for slab in slabs for part in between_heights(slab, low, high))


def _parts(run: StripRun, cuts: Sequence[float], lap: float) -> list[Part]:
    parts: list[Part] = []
    stops = [-_ALL, *cuts, _ALL]
    for low, high in itertools.pairwise(stops):
        cover = _span(run.cover, low, high)
        for sheet in connected(_span(run.sheet, low, high + lap)):
            own = tuple(slab for slab in cover if any(_within(slab, other) for other in sheet))
            if own:
                parts.append(Part(own, sheet, lap if high < _ALL and highest(sheet) > high else 0.0))
    return parts


def _within(cover: Slab, sheet: Slab) -> bool:
    """True where a slab of a cover lies in a slab of a sheet: the middle of the first is in the second."""
    u = (cover.u0 + cover.u1) / 2.0
    v = (cover.foot_at(u) + cover.top_at(u)) / 2.0
    return sheet.u0 <= u <= sheet.u1 and sheet.foot_at(u) <= v <= sheet.top_at(u)
