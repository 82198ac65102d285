"""What a tank is fed in a year from the roof's plan area. How large it must be is the designer's, from daily rain."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.drainage import GutterRun


def yearly_yield_l(plan_m2: float, rain_mm: float, share: float = 0.8, loss_mm: float = 24.0) -> float:
    """Run-off of a year [L]: A x (rain - B) x roof plan area, never below 0 (enHealth, Appendix B).

    `share` A: 0.80 to 0.85; `loss_mm` B: 24 mm a year. 1 mm of rain on 1 m2 is 1 L.

    >>> round(yearly_yield_l(200.0, 750.0))
    116160
    """
    return share * max(0.0, rain_mm - loss_mm) * plan_m2


def yield_quantities(
    gutters: Sequence[GutterRun], rain_mm_per_year: float | None, chosen: Chosen, level_m2: float = 0.0
) -> tuple[Quantity, ...]:
    """The year's run-off of all spouting and of `level_m2` of level roof [L], if every downpipe is led to the tank.

    None where no rain is given.
    """
    if rain_mm_per_year is None or not gutters:
        return ()
    number, term = chosen.settings.number, chosen.settings.term
    plan_m2 = sum(run.own_catchment_mm2 for run in gutters) / 1e6 + level_m2
    figure = yearly_yield_l(plan_m2, rain_mm_per_year, number("tank_runoff_share"), number("tank_loss_mm_per_year"))
    working = Working(
        "A x (rain - B) x plan catchment, every downpipe led to the tank",
        (
            term("tank_runoff_share"),
            Term("rain of an average year", rain_mm_per_year, "mm", SET_IN_JOB),
            term("tank_loss_mm_per_year"),
            Term("plan catchment", round(plan_m2, 3), "m2"),
        ),
    )
    refs = tuple(run.id for run in gutters)
    return (Quantity("tank yearly yield", "Run-off of an average year to the tank", figure, "L", refs, working),)
