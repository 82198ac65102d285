"""Tables of a code of our own, for rules of roofing by hand."""

from __future__ import annotations

from dataclasses import replace

from takeoff.model.basis import Basis, Status
from takeoff.model.code_rules import (
    RuleSet,
    WindZone,
)
from takeoff.model.job.site import Site
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.roof import Frame, RoofPlane
from takeoff.model.settings import Settings

SEEN = Basis(Status.SEEN, "a book", "a clause")
OTHER = Basis(Status.SEEN, "another book")
FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
SITE = Site()
RIBBED = Profile(
    "rib", "Five Rib", ProfileKind.TRAPEZOIDAL, 760.0, 820.0, 190.0, 29.0, True, 940.0, {0.4: 4.0}, {"*": SEEN}
)  # fmt: skip


def with_values(settings: Settings, rules: RuleSet | None = None, **values: object) -> Settings:
    changed = {name: replace(settings.values[name], value=value) for name, value in values.items()}  # type: ignore[arg-type]
    return Settings({**settings.values, **changed}, rules=rules or settings.rules)


def rules(silent: RuleSet | None = None, name: str = "own", **tables: object) -> RuleSet:
    zones = (WindZone("low", 32.0), WindZone("very_high", 50.0), WindZone("extra_high", 55.0))
    return RuleSet(name, f"Code {name}", "s", "v", "d", zones, zone_basis=OTHER, silent=silent, **tables)  # type: ignore[arg-type]


def plane(pitch: float, **more: object) -> RoofPlane:
    square = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    return replace(RoofPlane("P1", "main", FRAME, (square,), (1,), 1, pitch, 0.0, 24e6, 24e6), **more)  # type: ignore[arg-type]
