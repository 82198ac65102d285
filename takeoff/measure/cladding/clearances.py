"""The foot of the cladding over the ground: paved 100 mm, unpaved 175 mm (code of practice for metal cladding)."""

from __future__ import annotations

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import Status
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation

# a limit that is only remembered or customary warns; one that was read, or that the job sets, stops the order
_BINDING = frozenset({Status.SEEN, Status.SEEN_RESTATED, Status.SET_IN_JOB, Status.SET_IN_OFFICE, Status.DERIVED})


def check_clearance(elevation: Elevation, settings: Settings, assumed: bool = False) -> tuple[Finding, ...]:
    """A finding for each end of a wall, and each part of the ground along it, over which cladding ends too near. [mm]

    It stops the order where the limit (settings clearance_paved_mm, clearance_unpaved_mm, clearance_deck_mm) was read
    in its source or is set in the job, and warns where it is only remembered or where the ground level is only
    `assumed`. Cladding of an upper storey, or over a lower roof, does not come down to the ground.
    """
    kind = "paved" if elevation.paved else "unpaved"
    found: list[Finding] = []
    ends = _bare_ends(elevation)
    sides = [
        (f"At the {side} end of", elevation.base_mm - ground)
        for side, ground, bare in zip(("left", "right"), elevation.ground_mm, ends, strict=True)
        if bare
    ]
    if elevation.ground_mm[0] == elevation.ground_mm[1] and sides:
        sides = [("Along", sides[0][1])]
    for where, clear in sides:
        found += _near(where, clear, kind, elevation, settings, assumed)
    for part in elevation.grounds:
        where = f"From {part.left_mm:.0f} to {part.right_mm:.0f} mm along"
        found += _near(where, elevation.base_mm - part.level_mm, part.kind, elevation, settings, False)
    return tuple(found)


def _bare_ends(elevation: Elevation) -> tuple[bool, bool]:
    """Whether the ground at either end is what the wall says, and no part with a level of its own."""
    slack = TOLERANCES.same_point_mm
    left = any(part.left_mm <= slack for part in elevation.grounds)
    right = any(part.right_mm >= elevation.width_mm - slack for part in elevation.grounds)
    whole = any(p.left_mm <= slack and p.right_mm >= elevation.width_mm - slack for p in elevation.grounds)
    level = elevation.ground_mm[0] == elevation.ground_mm[1]
    return (not (whole if level else left), not (whole if level else right))


def _near(
    where: str, clear: float, kind: str, elevation: Elevation, settings: Settings, assumed: bool
) -> tuple[Finding, ...]:
    name = f"clearance_{kind}_mm"
    limit, basis = settings.number(name), settings.basis(name)
    if clear >= limit - TOLERANCES.same_length_mm:
        return ()
    what = "a deck" if kind == "deck" else f"{kind} ground"
    lower = "deck" if kind == "deck" else "ground"
    return (
        Finding(
            code="cladding-near-ground",
            severity=Severity.STOP if basis.status in _BINDING and not assumed else Severity.WARN,
            text=f"{where} {elevation.id} the cladding ends {clear:.0f} mm over {what}; {limit:g} mm are wanted.",
            advice=f"Lower the {lower} by {limit - clear:.0f} mm there, or raise the floor.",
            refs=(f"wall {elevation.wall}",),
            source=basis.words(),
        ),
    )
