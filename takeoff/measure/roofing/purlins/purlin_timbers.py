"""The timbers purlins are made of: their section by what carries them, and the lengths they are sold in."""

from __future__ import annotations

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.terms import product_term, word_or
from takeoff.model.basis import SET_IN_JOB, Term
from takeoff.model.job.timber import PurlinsJob
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings


@record
class PurlinTimber:
    """A section laid on its flat: item id, width and depth [mm], what it is sold in."""

    item: str
    name: str
    width_mm: float
    depth_mm: float
    lengths_mm: tuple[int, ...]
    terms: tuple[Term, ...]


def purlin_section(job: PurlinsJob, supports_mm: float, settings: Settings) -> tuple[str, Term]:
    """The job's section, else the narrow or the wide one that the table of fixings goes with these supports."""
    wide = supports_mm > settings.number("purlin_narrow_supports_mm") + TOLERANCES.same_length_mm
    if job.section is None and wide and not settings.given("purlin_section"):
        return settings.word("purlin_wide_section"), settings.term("purlin_wide_section")
    return word_or(job.section, settings, "purlin_section")


def timber_of(section: str, stock: tuple[int, ...], catalogue: Catalogue, term: Term) -> PurlinTimber:
    """The catalogue's timber of that section, else one of the same lengths as ordinary framing."""
    item = f"purlin_{section}"
    sides = section.split("x")
    if len(sides) != 2 or not all(side.isdecimal() and 10 <= int(side) <= 999 for side in sides):
        raise JobError(f"{term.name}: {section!r} is no section; write width x depth in mm, such as 70x45.")
    width, depth = (float(side) for side in sides)
    known = catalogue.timbers.get(item)
    framing = known or catalogue.timbers["purlin_70x45"]
    lengths = stock or framing.lengths_mm
    sold = (
        Term("stock lengths", f"{lengths[0]} to {lengths[-1]}", "mm", SET_IN_JOB)
        if stock
        else product_term(framing, "lengths_mm", f"{lengths[0]} to {lengths[-1]}", "mm")
    )
    name = known.name if known else ""
    return PurlinTimber(item, name, width, depth, lengths, (term, sold))
