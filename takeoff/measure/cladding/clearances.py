"""The foot of the cladding over the ground: paved 100 mm, unpaved 175 mm (code of practice for metal cladding)."""

from __future__ import annotations

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import Status
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation

# a limit that is only remembered or customary warns; one that was read, or that the job sets, stops the order
_BINDING = frozenset({Status.SEEN, Status.SEEN_RESTATED, Status.SET_IN_JOB, Status.DERIVED})


def check_clearance(elevation: Elevation, settings: Settings, assumed: bool = False) -> tuple[Finding, ...]:
    """A finding for each end of a wall whose cladding ends too near the ground. [mm]

    It stops the order where the limit (settings clearance_paved_mm, clearance_unpaved_mm) was read in its source or is
    set in the job, and warns where it is only remembered or where the ground level is only `assumed`.
    """
    name = "clearance_paved_mm" if elevation.paved else "clearance_unpaved_mm"
    limit, basis = settings.number(name), settings.basis(name)
    severity = Severity.STOP if basis.status in _BINDING and not assumed else Severity.WARN
    sides = [
        (f"At the {side} end of", elevation.base_mm - ground)
        for side, ground in zip(("left", "right"), elevation.ground_mm, strict=True)
    ]
    if elevation.ground_mm[0] == elevation.ground_mm[1]:
        sides = [("Along", sides[0][1])]
    near = [(where, clear) for where, clear in sides if clear < limit - TOLERANCES.same_length_mm]
    return tuple(
        Finding(
            code="cladding-near-ground",
            severity=severity,
            text=f"{where} {elevation.id} the cladding ends {clear:.0f} mm over "
            f"{'paved' if elevation.paved else 'unpaved'} ground; {limit:g} mm are wanted.",
            advice=f"Lower the ground by {limit - clear:.0f} mm there, or raise the floor.",
            refs=(f"wall {elevation.wall}",),
            source=basis.words(),
        )
        for where, clear in near
    )
