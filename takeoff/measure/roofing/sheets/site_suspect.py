"""Which taped size, put right, makes all sizes of a plane agree: the one to tape again first.

Six sizes hold a plane that five fix: any one of them could be the wrong one. That one is named which, put right, comes
nearest to the drawing with all the others: a frame is out by little, a misread tape by much.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import isfinite

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.settings import Settings

_ROUNDS = 40
_NEAR_MM = TOLERANCES.taped_twice_mm
_STEP_MM = TOLERANCES.tape_mm
_TWICE = 2.0  # another size is named as well unless it leaves the plane more than so many times as far off

# the ridge that follows from the other five sizes, None where not all are there
Closing = Callable[[Mapping[str, float]], float | None]


@record
class Suspect:
    """A size that may be misread: taped, and what makes all agree [mm]; `off_mm` is how far the plane is then off the
    drawing at most."""

    item: str
    taped_mm: float
    right_mm: float
    off_mm: float

    @property
    def words(self) -> str:
        """ "diagonal 2 is 30 mm long: with 9849 all sizes agree"."""
        by = self.taped_mm - self.right_mm
        return f"{self.item} is {abs(by):.0f} mm {'long' if by > 0.0 else 'short'}: with {self.right_mm:.0f} all agree"


def suspects(
    taped: Mapping[str, float], drawn: Mapping[str, float], closing: Closing, settings: Settings
) -> tuple[Suspect, ...]:
    """The size to tape again, and others that would do about as well; none where no single size makes all agree."""
    tolerance = settings.number("measure_tolerance_mm")
    found = []
    for item in taped:
        right = (
            _closing_value(item, taped, drawn, closing) if len(taped) == len(drawn) else _parallel(item, taped, drawn)
        )
        if right is None or abs(right - taped[item]) <= _NEAR_MM:
            continue
        offs = [abs((right if other == item else mm) - drawn[other]) for other, mm in taped.items()]
        found.append(Suspect(item, taped[item], right, max(offs)))
    found.sort(key=lambda one: (round(one.off_mm, 1), -abs(one.taped_mm - one.right_mm)))
    fair = [one for one in found if one.off_mm <= max(tolerance, settings.number("measure_off_drawing_mm"))]
    return tuple(one for one in fair[:2] if one.off_mm <= _TWICE * fair[0].off_mm + 1.0)


def suspect_words(found: tuple[Suspect, ...]) -> str:
    """The suspects in a sentence, "" for none."""
    return f" {'; or '.join(one.words for one in found)}." if found else ""


def _closing_value(item: str, taped: Mapping[str, float], drawn: Mapping[str, float], closing: Closing) -> float | None:
    """What a size must be for all six to close: a root near the drawn value, by secants."""

    def gap(mm: float) -> float:
        sizes = {**taped, item: mm}
        ridge = closing(sizes)
        return float("nan") if ridge is None else sizes["ridge"] - ridge

    x0, x1 = drawn[item], drawn[item] + _STEP_MM
    g0, g1 = gap(x0), gap(x1)
    for _ in range(_ROUNDS):
        if not (isfinite(g0) and isfinite(g1)):
            return None
        if abs(g1) <= _NEAR_MM / 10.0:
            return x1
        if g1 == g0:
            return None
        x0, x1, g0 = x1, x1 - g1 * (x1 - x0) / (g1 - g0), g1
        g1 = gap(x1)
    return None


def _parallel(item: str, taped: Mapping[str, float], drawn: Mapping[str, float]) -> float | None:
    """Without diagonals only rafters can disagree: what one must be to run parallel to the other."""
    pair = {"rafter left": "rafter right", "rafter right": "rafter left"}
    other = pair.get(item)
    if other is None or other not in taped or drawn[item] <= 0.0:
        return None
    return drawn[item] + taped[other] - drawn[other]
