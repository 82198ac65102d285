"""Which limits decided the count of pipes: those without which fewer would do, each with the count without it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import combinations

from takeoff.basics.records import record
from takeoff.measure.rainwater.fewest_pipes import FewestPipes, SearchTooLongError
from takeoff.measure.rainwater.limits import (
    CAPACITY,
    INSIDE,
    LENGTH,
    OPENING,
    SECTION,
    SPACING,
    VALLEY,
    Limits,
    binding,
    counts_by_limit,
    without,
)
from takeoff.measure.rainwater.placing import KEEP_OUTS, ROOM, PipeGround

TOGETHER = "all limits together"
ONE = "a gutter has one at least"
_LIMITS = (CAPACITY, SECTION, LENGTH, SPACING, VALLEY)
# over either a run is not searched again for each limit: what each asks for by itself is said
_MOST_PLACES = 1500
_MOST_STEPS = 3e6  # places looked at in one search; a ring of 140 m takes a third of it


# how many pipes do by limits as they bind and where they may stand; None: no fewer
_Known = dict[tuple[Limits, bytes], int | None]


@record
class Decided:
    """Limits that together decided the count, and how many pipes would do without them."""

    limits: tuple[str, ...]
    without: int

    @property
    def words(self) -> str:
        """As it is printed: "capacity (2 without it)"."""
        return f"{' and '.join(self.limits)} ({self.without} without {'it' if len(self.limits) == 1 else 'them'})"


def decided(site: PipeGround, limits: Limits, count: int) -> str:
    """What decided that a run has so many pipes, in words."""
    if count <= 1:
        return ONE
    if len(site.field(limits).places_mm) <= _MOST_PLACES:
        with suppress(SearchTooLongError):
            return _searched(site, limits, count)
    asking = counts_by_limit(site.run, limits, site.brought_mm2)
    return " and ".join(name for name, asked in asking if asked >= count) or TOGETHER


def _searched(site: PipeGround, limits: Limits, count: int) -> str:
    """As `decided`, by a search without each limit, and without two and three of them."""
    names = [name for name in (*_LIMITS, *KEEP_OUTS) if _asked(name, site, limits)]
    known: _Known = {}
    for together in range(1, 4):
        found = [one for chosen in combinations(names, together) for one in _lower(site, limits, chosen, count, known)]
        if found:
            return "; ".join(one.words for one in found)
    return TOGETHER


def _asked(name: str, site: PipeGround, limits: Limits) -> bool:
    """Whether a limit is one at all on this run."""
    there = {
        CAPACITY: limits.capacity_mm2 > 0.0,
        SECTION: limits.section_mm2 > 0.0,
        VALLEY: any(foot.plan_catchment_mm2 > limits.valley_from_mm2 for foot in site.run.valleys),
        INSIDE: bool(site.inside),
        OPENING: bool(site.blocked),
        ROOM: site.roof_below,
    }
    return there.get(name, True)


def _lower(site: PipeGround, limits: Limits, names: Sequence[str], count: int, known: _Known) -> Iterator[Decided]:
    """How many pipes do without these limits, if fewer than `count`. `known`: what other searches found."""
    free = without(limits, tuple(names))
    asked = dict(counts_by_limit(site.run, free, site.brought_mm2))
    least = max(1, len(site.fixed), *(number for name, number in asked.items() if name != VALLEY))
    if least >= count:
        return
    skip = frozenset(name for name in names if name in KEEP_OUTS)
    if skip and _none(site, free, (least, count - 1), known):
        return
    fewer = _fewest(site, free, skip, (least, count - 1), known)
    if fewer is not None:
        yield Decided(tuple(names), fewer)


def _none(site: PipeGround, limits: Limits, between: tuple[int, int], known: _Known) -> bool:
    """Whether no count keeps these limits even without any keep-out: then none does without one or two of them."""
    try:
        return _fewest(site, limits, frozenset(KEEP_OUTS), between, known) is None
    except SearchTooLongError:  # among all places; among those that keep-outs leave it may end
        return False


def _fewest(
    site: PipeGround, limits: Limits, skip: frozenset[str], between: tuple[int, int], known: _Known
) -> int | None:
    """The fewest pipes, within these counts, that keep limits without some keep-outs; None where none do."""
    bound, field = binding(limits, site.curves[0] is site.curves[1]), site.field(limits, skip)
    key = (bound, field.places_mm.tobytes())
    if key not in known:
        found = FewestPipes(field, bound, steps=_MOST_STEPS).best(*between)
        known[key] = len(found) if found is not None else None
    return known[key]
