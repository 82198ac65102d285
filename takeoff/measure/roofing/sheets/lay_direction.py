"""Which side of a plane laying starts from, where the first sheet stands, and the words for it.

Square off the eave at the lee end and work towards the wind, so that each free edge faces away from it. The lee end is
one bearing on the plan, resolved plane by plane: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, degrees, hypot, radians, sin

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.measure.sheeting.last_sheet import whole_ribs
from takeoff.measure.sheeting.lee_end import BEARINGS, no_lee_end
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.roofs import RoofJob
from takeoff.model.products import Profile
from takeoff.model.roof import Frame, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.strips import Widths, extent


@record
class SetOut:
    """Where laying of one plane starts.

    `start_u_mm` is where the first sheet's cover would begin, on the start side or outside it by what is cut off its
    free edge; `shift_mm` how far outside; `words` say it for the site, `why` says the rule.
    """

    side: str
    start_u_mm: float
    shift_mm: float
    words: str
    why: str
    out_of_line_mm: float = 0.0
    out_of_line_with: str = ""


def bearing_deg(x: float, y: float, north_deg: float) -> float:
    """Compass bearing of a plan direction, clockwise from north; plan up (+y) bears `north_deg`."""
    return (north_deg + degrees(atan2(x, y))) % 360.0


def bearing_word(bearing: float) -> str:
    """The nearest of eight compass words."""
    return BEARINGS[round(bearing / 45.0) % 8]


def start_side(plane: RoofPlane, roof_job: RoofJob, north_deg: float, settings: Settings) -> tuple[str, str]:
    """("left" or "right" seen from below the eave, the rule that decided).

    A side given in the job for one of the plane's outline edges comes first; then the lee end; a plane whose eave is
    square to the wind starts at its left.
    """
    for number in plane.outline_edges:
        edge = roof_job.edges.get(number)
        if edge is not None and edge.start_side is not None:
            return edge.start_side, f"set in the job for edge {number}"
    lee = roof_job.covering.lay_from or settings.word("lay_from")
    if square_to_wind(plane, roof_job, north_deg, settings):
        return "left", f"the eave is square to the wind, so from its left end (lee end {lee})"
    turned = radians(bearing_deg(plane.frame.u[0], plane.frame.u[1], north_deg) - lee_deg_of(roof_job, settings))
    return ("right" if cos(turned) > 0.0 else "left"), f"from the lee end, {lee}, towards the wind"


def square_to_wind(plane: RoofPlane, roof_job: RoofJob, north_deg: float, settings: Settings) -> bool:
    """True where a plane's eave has no lee end."""
    eave_deg = bearing_deg(plane.frame.u[0], plane.frame.u[1], north_deg)
    return no_lee_end(eave_deg, lee_deg_of(roof_job, settings), settings)


def start_words(plane: RoofPlane, side: str, north_deg: float) -> str:
    """The start line in words: which end of the eave, seen how."""
    sign = 1.0 if side == "right" else -1.0
    end = bearing_word(bearing_deg(sign * plane.frame.u[0], sign * plane.frame.u[1], north_deg))
    return f"square off the eave at the {end} end, on the {side} seen from below the eave"


@record
class LayRules:
    """What every plane of a roof is set out by. `north_deg`: bearing of plan up."""

    widths: Widths
    profile: Profile
    roof_job: RoofJob
    settings: Settings
    north_deg: float


def set_out(
    plane: RoofPlane, area: SheetedArea, side: str, why: str, rules: LayRules, crest_shift_mm: float = 0.0
) -> SetOut:
    """Start line of one plane.

    The first sheet shows `first_cover_mm` of the job; else the start is moved out by `crest_shift_mm` (to bring crests
    in line) and then by the fewest whole ribs that leave the last sheet its least crests.
    Raises JobError for a first cover wider than the profile's cover.
    """
    low, high = extent(area)
    widths, profile, roof_job = rules.widths, rules.profile, rules.roof_job
    first = roof_job.covering.first_cover_mm
    if first is not None:
        if first > widths.cover_mm:
            raise JobError(
                f"roof {roof_job.name}: covering.first_cover_mm {first:g} is more than the profile's cover "
                f"{widths.cover_mm:g}"
            )
        shift = widths.cover_mm - first
        why += "; first cover set in the job"
    else:
        ribs = whole_ribs(high - low + crest_shift_mm, widths, profile, rules.settings)
        shift = crest_shift_mm + ribs * profile.rib_pitch_mm
        if crest_shift_mm > 0.05:
            why += "; moved out by part of a rib to bring crests in line across the ridge"
        if ribs:
            why += f"; moved out by {ribs} whole ribs so that the last sheet keeps its crests"
    start = low - shift if side == "left" else high + shift
    return SetOut(side, start, shift, start_words(plane, side, rules.north_deg), why)


def lee_place(frame: Frame, u_mm: float, north_deg: float, lee_deg: float) -> float:
    """How far towards the lee a point of a plane's start side lies [mm]."""
    angle = radians(lee_deg - north_deg)
    x, y = frame.origin_mm[0] + frame.u[0] * u_mm, frame.origin_mm[1] + frame.u[1] * u_mm
    return x * sin(angle) + y * cos(angle)


def ridge_neighbours(roof: Roof, plane: RoofPlane) -> tuple[RoofPlane, ...]:
    """Planes across a ridge whose sheets run in the same plan line, in the roof's order."""
    found: list[RoofPlane] = []
    for edge in roof.edges_of(plane.id):
        if edge.kind is not EdgeKind.RIDGE:
            continue
        for other in roof.planes:
            if other.id in edge.faces and other.id != plane.id and other not in found and _opposed(plane, other):
                found.append(other)
    return tuple(found)


def _opposed(a: RoofPlane, b: RoofPlane) -> bool:
    """True where two planes' level axes run against each other within a tenth of a degree."""
    return a.frame.u[0] * b.frame.u[0] + a.frame.u[1] * b.frame.u[1] < -cos(radians(0.1))


def crest_gap(plane: RoofPlane, start_u_mm: float, other: RoofPlane, other_u_mm: float, rib_mm: float) -> float:
    """How far the start of `plane` must move outwards to fall on a crest line of `other`, 0 <= gap < rib [mm].

    Both are measured along the first plane's level axis in plan; outwards is away from the plane's middle.
    """
    spot = other.frame.to_space((other_u_mm, 0.0))
    along = plane.frame.to_plane(spot)[0]
    middle = sum(u for u, _ in plane.rings_uv[0]) / len(plane.rings_uv[0])
    outwards = 1.0 if start_u_mm > middle else -1.0
    gap = (outwards * (along - start_u_mm)) % rib_mm
    # a crumb short of a whole rib is in line
    return 0.0 if rib_mm - gap < 0.5 or gap < 0.5 else gap


def raked_start(area: SheetedArea, side: str) -> bool:
    """True where the start side of an area is a corner, not an upright free edge: there a part of a rib is not seen."""
    low, high = extent(area)
    at = low if side == "left" else high
    upright = 0.0
    for ring in area.rings:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if abs(a[0] - at) < 1.0 and abs(b[0] - at) < 1.0:
                upright += hypot(b[0] - a[0], b[1] - a[1])
    return upright < 100.0


def lee_deg_of(roof_job: RoofJob, settings: Settings) -> float:
    """Compass bearing of the lee end."""
    return 45.0 * BEARINGS.index(roof_job.covering.lay_from or settings.word("lay_from"))


def by_lee(places: Sequence[tuple[bool, float, str]]) -> list[str]:
    """Plane ids by (starts at a raked corner, place towards the lee): those that cannot move first, then from the lee;
    ties in the order given."""
    return [name for _, _, name in sorted(places, key=lambda place: (place[0], -round(place[1], 1)))]
