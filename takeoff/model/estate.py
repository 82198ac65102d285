"""Many houses taken off one after another: what a house comes as, and what is kept of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum

from takeoff.basics.records import record
from takeoff.basics.vectors import Ring2
from takeoff.model.drawings import RawDrawing
from takeoff.model.quantities import HOUSE_FIGURES

Attributes = tuple[tuple[str, object], ...]


@record
class EstateHouse:
    """One house of an estate as its source gives it: `number` in the order of the source, from 1.

    Either `drawing`, its rings in the source's unit, with `attributes` named as the keys of a job, or `job_file`, where
    its own job lies. `refused`: why neither could be read. `unread`: attributes that no job knows.
    """

    number: int
    name: str
    drawing: RawDrawing | None = None
    attributes: Attributes = ()
    job_file: str = ""
    refused: str = ""
    unread: tuple[str, ...] = ()


class HouseState(StrEnum):
    """What became of a house."""

    DONE = "done"
    STOPPED = "stopped"  # a finding withholds its order
    REFUSED = "refused"  # its attributes or its shape cannot be taken off
    LATE = "late"  # it took longer than a house may
    LOST = "lost"  # its process died of it, more than once
    FAULT = "fault"  # the program's own


@record
class SummedLine:
    """What one house buys of an item, over all lengths: `total` in `total_unit`, 0 kg where the mass is not known."""

    delivery: str
    item: str
    name: str
    count: float
    unit: str
    total: float
    total_unit: str
    kg: float


@record
class HouseResult:
    """One row of the table: `figures` by the names of `FIGURES`, findings by code as (severity, how many). `why` says
    what stopped it; `ring_m` is its outline in metres, for the map."""

    number: int
    name: str
    state: HouseState
    why: str = ""
    figures: Mapping[str, float] = field(default_factory=dict)
    findings: Mapping[str, tuple[str, int]] = field(default_factory=dict)
    lines: tuple[SummedLine, ...] = ()
    ring_m: Ring2 = ()


@record
class OddHouse:
    """A house to check by hand: the figure that is furthest from the others', that figure, the middle one of all, and
    how many times the usual spread lies between them."""

    number: int
    name: str
    what: str
    figure: float
    middle: float
    spreads: float


@record
class EstateSummary:
    """An estate as a whole. `states`: houses by what became of them; `totals`: sums of the figures that can be summed;
    `spread`: least, middle and most of some figures; `refusals`: reasons, most frequent first, with how many houses and
    one of them; `findings`: code, severity, findings, houses; `already`: houses that an earlier run had done;
    `unread`: attributes that no job knows, `misspelt` those of them that nearly are one."""

    source: str
    table: str
    with_lines: bool
    already: int
    unread: tuple[str, ...]
    misspelt: tuple[tuple[str, str], ...]
    states: Mapping[str, int]
    totals: Mapping[str, float] = field(default_factory=dict)
    spread: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    odd: tuple[OddHouse, ...] = ()
    refusals: tuple[tuple[str, int, str], ...] = ()
    findings: tuple[tuple[str, str, int, int], ...] = ()
    files: tuple[str, ...] = ()

    @property
    def houses(self) -> int:
        """All of them."""
        return sum(self.states.values())

    @property
    def whole(self) -> bool:
        """Whether every house was taken off."""
        return self.states.get(HouseState.DONE.value, 0) == self.houses


_DECIMALS = {"each": 0, "m": 3, "m2": 3}
# columns of the table of houses: name, how many decimals, what it is
FIGURES: tuple[tuple[str, int, str], ...] = (
    ("corners", 0, "corners of the outlines"),
    ("planes", 0, "roof planes"),
    ("steepest_deg", 2, "steepest pitch"),
    *((figure, _DECIMALS[figure.rpartition("_")[2]], says) for figure, says in HOUSE_FIGURES.items()),
    ("bought_over_net", 4, "sheets_m2 over sheeted_m2"),
)
