"""Which limits decided the count of pipes: those without which fewer would do, each with the count without it."""

from __future__ import annotations

from collections.abc import Sequence
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
    tries = _Tries(site, limits, count)
    for together in range(1, 4):
        without_them = ((chosen, tries.fewer(chosen)) for chosen in combinations(names, together))
        found = [Decided(chosen, fewer) for chosen, fewer in without_them if fewer is not None]
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


class _Tries:
    """Searches of one run for fewer pipes than `count` without some of its limits. What several ask is done once."""

    def __init__(self, site: PipeGround, limits: Limits, count: int) -> None:
        self.site, self.limits, self.count = site, limits, count
        self._freed: dict[tuple[str, ...], tuple[Limits, int]] = {}
        # by limits as they bind and places where pipes may stand
        self._found: dict[tuple[Limits, bytes], int | None] = {}

    def fewer(self, names: Sequence[str]) -> int | None:
        """How many pipes do without these limits, if fewer than `count`."""
        free, least = self._without(tuple(name for name in names if name in _LIMITS))
        if least >= self.count:
            return None
        skip = frozenset(names) & frozenset(KEEP_OUTS)
        if skip and self._never(free, least):
            return None
        return self._fewest(free, skip, least)

    def _without(self, names: tuple[str, ...]) -> tuple[Limits, int]:
        """The limits without some, and what the others ask for at least."""
        if names not in self._freed:
            free = without(self.limits, names)
            asked = dict(counts_by_limit(self.site.run, free, self.site.brought_mm2))
            least = max(1, len(self.site.fixed), *(number for name, number in asked.items() if name != VALLEY))
            self._freed[names] = free, least
        return self._freed[names]

    def _never(self, free: Limits, least: int) -> bool:
        """Whether no fewer keep these limits even without any keep-out: then none do without one or two of them."""
        try:
            return self._fewest(free, frozenset(KEEP_OUTS), least) is None
        except SearchTooLongError:  # among all places; among those that keep-outs leave it may end
            return False

    def _fewest(self, free: Limits, skip: frozenset[str], least: int) -> int | None:
        """The fewest pipes, at least so many, that keep these limits without some keep-outs, if fewer than `count`."""
        bound, field = binding(free, self.site.curves[0] is self.site.curves[1]), self.site.field(free, skip)
        key = (bound, field.places_mm.tobytes())
        if key not in self._found:
            places = FewestPipes(field, bound, steps=_MOST_STEPS).best(least, self.count - 1)
            self._found[key] = len(places) if places is not None else None
        return self._found[key]
