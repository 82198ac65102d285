"""What others hand in: a cut list to be checked, sizes taped on the frame."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.model.findings import Finding


@record
class SuppliedLine:
    """One line of a supplied cut list: `count` sheets of `length_mm`. `row` is its 1-based row in the file; `plane` is
    the plane as we name it ("P1") or as the list does, "" where it names none."""

    row: int
    count: int
    length_mm: float
    plane: str = ""
    profile: str = ""
    mark: str = ""


@record
class SuppliedList:
    """A supplied cut list as read. `sheet` is the worksheet's name, "" for a text file."""

    file: str
    sheet: str
    lines: tuple[SuppliedLine, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def by_plane(self) -> bool:
        """True where every line names its plane."""
        return bool(self.lines) and all(line.plane for line in self.lines)


@record
class SiteMeasure:
    """One size taped on the frame: `item` is one of SITE_ITEMS. `row` is its 1-based row in the file."""

    plane: str
    item: str
    mm: float
    row: int = 0


# the sizes taped on a plane, in the order they are taped; diagonal 1 runs from the foot at the left to the head at the
# right, diagonal 2 from the foot at the right to the head at the left
SITE_ITEMS = ("rafter left", "rafter right", "eave", "ridge", "diagonal 1", "diagonal 2")


@record
class PlaneFit:
    """How a plane as built differs from the plane as drawn, in plane axes [mm]: its four corners (foot left, foot
    right, head left, head right) as drawn and as measured. Where a plane ends in a point, two corners are one."""

    plane: str
    drawn_uv: tuple[Point2, Point2, Point2, Point2]
    built_uv: tuple[Point2, Point2, Point2, Point2]


@record
class SiteFit:
    """The frame as measured: the sizes taped, how each measured plane differs from the drawn one, and whether every
    sheeted plane is measured (`whole`)."""

    measures: tuple[SiteMeasure, ...]
    fits: tuple[PlaneFit, ...]
    whole: bool
    findings: tuple[Finding, ...] = ()
