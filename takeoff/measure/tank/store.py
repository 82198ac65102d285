"""A store day by day, for many sizes at once: one loop over days, arrays over sizes.

V content, Q run-off, D wanted, Y drawn, S size, all in litres (Jenkins et al. 1978; Fewkes and Butler 2000):

yield after spillage    Y = min(D, V)        V' = min(V + Q - Y, S - Y)
yield before spillage   Y = min(D, V + Q)    V' = min(V + Q - Y, S)

and what spills is V + Q - Y - V'. Under a floor (dead store and reserve) nothing is drawn.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from takeoff.basics.records import record

Floats = NDArray[np.float64]
AFTER, BEFORE = "yield_after_spillage", "yield_before_spillage"


@record
class Days:
    """What became of the water on every day (rows) for every size (columns), litres. `content_l` has a row more: the
    first is the start."""

    content_l: Floats
    drawn_l: Floats
    carted_l: Floats | None
    inflow_l: Floats

    @property
    def spilt_l(self) -> Floats:
        """What ran over, day by day."""
        carted = 0.0 if self.carted_l is None else self.carted_l
        before = self.content_l[:-1] + self.inflow_l[:, None] + carted
        return np.asarray(before - self.drawn_l - self.content_l[1:])


def run_store(
    inflow_l: Floats,
    wanted_l: Floats,
    sizes_l: Floats,
    rule: str = AFTER,
    floor_l: float = 0.0,
    start_l: float = 0.0,
    truck_l: float = 0.0,
) -> Days:
    """Every day of every size. `floor_l`: dead store and reserve; `start_l`: content at the start, never over the size.
    `truck_l` over 0: loads of so much are brought as soon as a day would run short, as many as it takes.

    >>> import numpy as np
    >>> q = np.array([500.0, 0, 900, 0, 0, 100, 1500, 0])
    >>> days = run_store(q, np.full(8, 300.0), np.array([1000.0]))
    >>> days.drawn_l.sum(), days.content_l[-1, 0], days.spilt_l.sum()
    (np.float64(1700.0), np.float64(600.0), np.float64(700.0))
    """
    days, count = len(inflow_l), len(sizes_l)
    # contents are kept over the floor: below 0 nothing is drawn
    content = np.empty((days + 1, count))
    content[0] = np.minimum(start_l, sizes_l) - floor_l
    drawn = np.empty((days, count))
    carted = np.zeros((days, count)) if truck_l > 0.0 else None
    room = sizes_l - floor_l
    low = bool((content[0] < 0.0).any())
    wanted, inflow = wanted_l.tolist(), inflow_l.tolist()
    rows, draws = list(content), list(drawn)
    step = _after if rule == AFTER else _before
    held = np.empty(count)
    for day in range(days):
        here, draw = rows[day], draws[day]
        if carted is not None:
            have = here if rule == AFTER else here + inflow[day]
            carted[day] = _loads(have, wanted[day], truck_l, room - here)
            here = here + carted[day]
        step(here, inflow[day], wanted[day], room, draw, rows[day + 1], held)
        if low:
            low = _under_floor(here, inflow[day], wanted[day], room, draw, rows[day + 1], rule)
    return Days(content + floor_l, drawn, carted, inflow_l)


def _loads(have: Floats, wanted: float, truck_l: float, free_l: Floats) -> Floats:
    """Litres brought in loads so that what is wanted can be drawn: of each load as much as there is room for."""
    short = np.maximum(wanted - have, 0.0)
    whole = np.ceil(short / truck_l - 1e-12) * truck_l
    return np.asarray(np.minimum(whole, np.maximum(free_l, short)))


def _after(here: Floats, inflow: float, wanted: float, room: Floats, draw: Floats, then: Floats, held: Floats) -> None:
    np.minimum(here, wanted, out=draw)
    np.add(here, inflow, out=held)
    np.minimum(held, room, out=held)
    np.subtract(held, draw, out=then)


def _before(here: Floats, inflow: float, wanted: float, room: Floats, draw: Floats, then: Floats, held: Floats) -> None:
    np.add(here, inflow, out=held)
    np.minimum(held, wanted, out=draw)
    np.subtract(held, draw, out=held)
    np.minimum(held, room, out=then)


def _under_floor(
    here: Floats, inflow: float, wanted: float, room: Floats, draw: Floats, then: Floats, rule: str
) -> bool:
    """A day where some store may lie under its floor: nothing is drawn there. Whether any still does."""
    have = here if rule == AFTER else here + inflow
    np.clip(have, 0.0, wanted, out=draw)
    most = room if rule == AFTER else room + draw
    np.subtract(np.minimum(here + inflow, most), draw, out=then)
    return bool((then < 0.0).any())
