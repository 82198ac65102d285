"""Which ring of a drawing is meant: candidates for a roof's outline with the courtyards in them, and the one chosen."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.records import record
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.drawn.drawn_rings import DrawnRing, DrawnRings

COURT_SHARE = 0.5  # a ring that takes more of the one round it is its wall line or its eave sooner than a courtyard


@record
class Candidate:
    """A ring that can be a roof's outline, and the rings in it that are its courtyards."""

    ring: DrawnRing
    courtyards: tuple[DrawnRing, ...] = ()

    @property
    def area_mm2(self) -> float:
        """What it encloses, courtyards out."""
        return self.ring.area_mm2 - sum(court.area_mm2 for court in self.courtyards)

    @property
    def edges(self) -> int:
        """How many edges it has, those of courtyards counted on."""
        return sum(len(ring.points_mm) for ring in (self.ring, *self.courtyards))

    @property
    def doubtful(self) -> DrawnRing | None:
        """The courtyard that is too large for one, if there is such."""
        large = (court for court in self.courtyards if court.area_mm2 > COURT_SHARE * self.ring.area_mm2)
        return next(large, None)


def candidates_of(drawn: DrawnRings, shape: ShapeJob | None = None) -> tuple[Candidate, ...]:
    """Candidates in the order of the file. Of the job, `use` and `leave_out` say which rings are looked at, by number
    or name. A ring in another is its courtyard, one in a courtyard a candidate again."""
    rings = [ring for ring in drawn.rings if _looked_at(ring, shape)]
    kept = {(ring.layer.casefold(), ring.number): ring for ring in rings}
    every = {(ring.layer.casefold(), ring.number): ring for ring in drawn.rings}
    holders = {key: _holder(ring, kept, every) for key, ring in kept.items()}

    def depth(key: tuple[str, int]) -> int:
        holder = holders[key]
        return 0 if holder is None else 1 + depth(holder)

    return tuple(
        Candidate(ring, tuple(other for place, other in kept.items() if holders[place] == key))
        for key, ring in kept.items()
        if depth(key) % 2 == 0
    )


def _holder(
    ring: DrawnRing, kept: dict[tuple[str, int], DrawnRing], every: dict[tuple[str, int], DrawnRing]
) -> tuple[str, int] | None:
    """The ring straight round one, of those that are looked at."""
    key = (ring.layer.casefold(), ring.inside)
    while ring.inside and key not in kept:
        ring = every[key]
        key = (ring.layer.casefold(), ring.inside)
    return key if ring.inside else None


def _looked_at(ring: DrawnRing, shape: ShapeJob | None) -> bool:
    if shape is None:
        return True
    names = {str(ring.number), ring.name} - {""}
    used = not shape.use or any(str(one) in names for one in shape.use)
    return used and not any(str(one) in names for one in shape.leave_out)


def of_part(candidates: Sequence[Candidate], part: str) -> tuple[Candidate, ...]:
    """Candidates that the job's `part` means: by name, else by number."""
    named = tuple(one for one in candidates if one.ring.name == part)
    return named or tuple(one for one in candidates if str(one.ring.number) == part)
