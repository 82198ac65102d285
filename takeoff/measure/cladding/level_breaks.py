"""Vertical boards longer than their stock: one level break a wall, every board cut on it, never scattered joints.

The break stands where the job says, else on a storey line, else on the head that most openings share, else on a row of
nogs; a flashing runs along it. (Practice: common practice, no source.)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from takeoff.basics.records import record
from takeoff.measure.cladding.face import CRUMB_MM, Face, without
from takeoff.measure.cladding.face_parts import stretches_at
from takeoff.measure.cladding.panels import BoardCut, Panel
from takeoff.model.findings import Finding, Severity

_MOST_BREAKS = 20


@record
class Breaks:
    """Heights of the level breaks of a wall over the floor, what each stands on, and how many boards are shorter than
    the least piece because of them [mm]."""

    levels_mm: tuple[float, ...] = ()
    words: tuple[str, ...] = ()
    short: int = 0


@record
class BreakRule:
    """What breaks go by: the longest piece that stock gives, the least that is cut, a height that the job gives."""

    longest_mm: float
    least_mm: float
    given_mm: float | None = None


def level_breaks(face: Face, panels: Sequence[Panel | BoardCut], nogs_mm: Sequence[float], rule: BreakRule) -> Breaks:
    """The fewest level breaks that bring every board of a wall down to what stock gives, from the foot up.

    A height serves where no board is left shorter than the least piece below or above it; where none does, the one that
    leaves fewest such pieces. Nothing where every board comes out of one length and the job gives no height.
    """
    levels: list[float] = []
    words: list[str] = []
    if rule.given_mm is not None and any(p.start + CRUMB_MM < rule.given_mm < p.end - CRUMB_MM for p in panels):
        levels, words = [rule.given_mm], ["as the job gives it"]
    while len(levels) < _MOST_BREAKS:
        parts = tuple(_parts(panels, levels))
        over = [part for part in parts if part[1] - part[0] > rule.longest_mm + CRUMB_MM]
        if not over:
            break
        found = _best(face, parts, over, nogs_mm, rule)
        if found is None:
            break
        levels.append(found[0])
        words.append(found[1])
    if not levels:
        return Breaks()
    order = sorted(range(len(levels)), key=lambda n: levels[n])
    cut = {round(level, 3) for level in levels}
    short = sum(
        1
        for a, b in _parts(panels, levels)
        if b - a < rule.least_mm - CRUMB_MM and (round(a, 3) in cut or round(b, 3) in cut)
    )
    return Breaks(tuple(levels[n] for n in order), tuple(words[n] for n in order), short)


def _parts(panels: Sequence[Panel | BoardCut], levels: Sequence[float]) -> Iterator[tuple[float, float]]:
    """The boards as cut on some levels, from foot to top of each."""
    rising = sorted(levels)
    for panel in panels:
        inside = [level for level in rising if panel.start + CRUMB_MM < level < panel.end - CRUMB_MM]
        stops = (panel.start, *inside, panel.end)
        yield from pairwise(stops)


def _best(
    face: Face,
    parts: Sequence[tuple[float, float]],
    over: Sequence[tuple[float, float]],
    nogs_mm: Sequence[float],
    rule: BreakRule,
) -> tuple[float, str] | None:
    """The next break: among the heights that boards which are too long reach from their feet, the one that leaves
    fewest short pieces, then fewest boards too long, then by what it stands on, then the highest."""
    most = min(foot for foot, _ in over) + rule.longest_mm
    choices = [(level, rank, words) for level, rank, words in _choices(face, nogs_mm) if level <= most + CRUMB_MM]
    choices.append((most, 3, "as high as stock reaches"))
    rated = []
    for level, rank, words in choices:
        cut = [(foot, top) for foot, top in parts if foot + CRUMB_MM < level < top - CRUMB_MM]
        if not any((foot, top) in over for foot, top in cut):
            continue
        short = sum(min(level - foot, top - level) < rule.least_mm - CRUMB_MM for foot, top in cut)
        long = sum(max(level - foot, top - level) > rule.longest_mm + CRUMB_MM for foot, top in cut)
        rated.append((short, long, rank, -level, level, words))
    if not rated:
        return None
    best = min(rated)
    return best[4], best[5]


def _choices(face: Face, nogs_mm: Sequence[float]) -> Iterator[tuple[float, int, str]]:
    for level in face.levels:
        yield level, 0, "on the storey line"
    heads = [hole.head for hole in face.holes]
    most = max((heads.count(head) for head in heads), default=0)
    for head in sorted({head for head in heads if heads.count(head) == most}):
        yield head, 1, "on the head of the openings"
    for level in nogs_mm:
        yield level, 2, "on a row of nogs"


def break_lines(face: Face, levels_mm: Sequence[float]) -> Iterator[tuple[float, float, float]]:
    """Where the flashing of each break runs: its height and from where to where along the wall, openings left out."""
    for level in levels_mm:
        cuts = [(hole.left, hole.right) for hole in face.holes if hole.foot < level - CRUMB_MM < hole.head - CRUMB_MM]
        for stretch in stretches_at(face, level):
            for a, b in without(stretch, cuts):
                yield level, a, b


def break_findings(wall: int, breaks: Breaks, rule: BreakRule) -> tuple[Finding, ...]:
    """What is told of the breaks of a wall."""
    if not breaks.levels_mm:
        return ()
    where = (f"wall {wall}",)
    heights = ", ".join(
        f"{level:.0f} mm over the floor ({words})" for level, words in zip(breaks.levels_mm, breaks.words, strict=True)
    )
    found = [
        Finding(
            code="level-break",
            severity=Severity.NOTE,
            text=f"Wall {wall}: vertical boards break at {heights}, with a flashing along it; one length gives "
            f"{rule.longest_mm:.0f} mm.",
            advice="Give break_mm in the zone for another height, or order longer boards.",
            refs=where,
        )
    ]
    if breaks.short:
        found.append(
            Finding(
                code="level-break-short-pieces",
                severity=Severity.WARN,
                text=f"Wall {wall}: {breaks.short} boards beside the level break are under {rule.least_mm:.0f} mm.",
                advice="Give break_mm in the zone, clear of heads, sills and the eaves line by as much.",
                refs=where,
            )
        )
    return tuple(found)
