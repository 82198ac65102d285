"""What a drawing's figures are worth in mm: as the job says, else as the file states where that makes a house, else the
one unit that makes a house of it. What stays in doubt is asked for."""

from __future__ import annotations

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.model.faces import MM_PER_UNIT, Unit

# a house is some 3 to 60 m long and 2 m wide at least; a unit in which it is not leaves doubt
HOUSE_MM = (MODEL_LIMITS.plan_least_mm, MODEL_LIMITS.plan_most_mm)
_NARROWEST_MM = MODEL_LIMITS.plan_narrowest_mm


@record
class UnitFound:
    """A unit with why it was taken; none, with the units that could be meant, where nobody can tell."""

    unit: Unit | None
    why: str
    doubt: bool = False  # taken, but worth a warning
    could_be: tuple[Unit, ...] = ()

    @property
    def mm(self) -> float:
        """Millimetres to a unit of the file; 1 where the unit is not known."""
        return MM_PER_UNIT[self.unit] if self.unit is not None else 1.0


def units_that_fit(long: float, narrow: float) -> tuple[Unit, ...]:
    """Units in which a box of the file makes a house.

    >>> units_that_fit(12_000.0, 8_000.0), units_that_fit(696.0, 384.0)
    (('mm',), ('cm', 'in'))
    """
    return tuple(
        unit
        for unit, mm in MM_PER_UNIT.items()
        if HOUSE_MM[0] <= long * mm <= HOUSE_MM[1] and narrow * mm >= _NARROWEST_MM
    )


def find_unit(long: float, narrow: float, said: Unit | None, stated: str, stated_words: str) -> UnitFound:
    """The unit of a shape whose box is `long` by `narrow` in the file. `said`: by the job; `stated`: by the file, with
    where it does so in `stated_words`."""
    fitting = units_that_fit(long, narrow)
    if said is not None:
        return UnitFound(said, "the job says so", doubt=said not in fitting, could_be=fitting)
    if stated:
        own = _unit(stated)
        if own in fitting:
            return UnitFound(own, f"{stated_words}, and its size is a house's")
        # a header may be wrong, and a porch may be small: either would be wrong by a factor of ten
        return UnitFound(None, f"{stated_words}, which makes it no house", could_be=(*fitting, own))
    if len(fitting) == 1:
        return UnitFound(fitting[0], "no other makes a house of it", doubt=True)
    return UnitFound(None, "the file states none", could_be=fitting or tuple(MM_PER_UNIT))


def _unit(word: str) -> Unit:
    return next(unit for unit in MM_PER_UNIT if unit == word)


def size_words(long: float, narrow: float, unit: Unit) -> str:
    """A box as a person reads it.

    >>> size_words(12_000.0, 8_000.0, "mm")
    '12.00 x 8.00 m'
    """
    mm = MM_PER_UNIT[unit]
    return f"{long * mm / 1000.0:.2f} x {narrow * mm / 1000.0:.2f} m"
