"""What lies on a roof that does not say so itself: what lies on the roof it belongs to.

Common practice, no source: a house is roofed in one sheet, laid from one end. A lower roof takes what the roof it is
`below` has, any other roof what the first roof of the job has.
"""

from __future__ import annotations

from takeoff.model.job.job import Job
from takeoff.model.job.roofs import CoveringJob, RoofJob

# first_cover_mm is a strip of one roof alone; a thickness belongs to its profile
_SHARED = ("profile", "colour", "lay_from")


def with_coverings(job: Job) -> Job:
    """The job with each roof's covering whole: keys that it does not give come from the roof it belongs to.

    A roof given another profile than that roof has does not take its thickness.
    """
    roofs = {roof.name: roof for roof in job.roofs}
    found: dict[str, CoveringJob] = {}
    for roof in job.roofs:
        _whole(roof, roofs, job.roofs[0], found, ())
    whole = [roof.model_copy(update={"covering": found[roof.name]}) for roof in job.roofs]
    return job.model_copy(update={"roofs": whole})


def _whole(
    roof: RoofJob, roofs: dict[str, RoofJob], first: RoofJob, found: dict[str, CoveringJob], asking: tuple[str, ...]
) -> CoveringJob:
    if roof.name in found:
        return found[roof.name]
    above = roofs.get(roof.below or first.name, first)
    # roofs that lie below each other in a ring have nothing above them
    if above.name == roof.name or above.name in asking:
        found[roof.name] = roof.covering
    else:
        found[roof.name] = _taken(roof.covering, _whole(above, roofs, first, found, (*asking, roof.name)))
    return found[roof.name]


def _taken(own: CoveringJob, above: CoveringJob) -> CoveringJob:
    said = own.model_fields_set
    keys = {key for key in _SHARED if key not in said}
    if "bmt_mm" not in said and ("profile" not in said or own.profile == above.profile):
        keys.add("bmt_mm")
    return own.model_copy(update={key: getattr(above, key) for key in keys})
