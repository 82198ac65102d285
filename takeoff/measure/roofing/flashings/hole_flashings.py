"""Flashings of holes: boots for pipes, back flashings behind wide ones, aprons, sides and backs of kerbs.

Type a runs from the hole up to the ridge or apron and laps 150 mm over the sheet below the hole; type b is a tray
round the hole, sealed and riveted at 50 mm (code of practice, penetration design). Common practice for the rest:

     type a: under the ridge           type b
     +------+                          +------+
     |      |                          | +--+ |
     | +--+ |  over 2 crests           | |  | |
     | |  | |  at either side          | +--+ |
     | +--+ |                          +------+
     +------+  150 below the hole
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.flashings.flashing_cover import cover_category
from takeoff.measure.roofing.flashings.flashing_shapes import is_corrugate
from takeoff.measure.terms import product_term
from takeoff.measure.wind import wind_zone
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.site import Site
from takeoff.model.measured import Need
from takeoff.model.openings import Hole
from takeoff.model.products import Profile
from takeoff.model.roof import Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import spans_at

Line = tuple[Made, str, tuple[Term, ...]]  # item, rule, terms
# sorts whose items begin otherwise: a kerb has one back, of one type or the other
_STEMS = {"kerb_back_sealed": "kerb_back"}


def measure_hole_flashings(
    roof: Roof, holes: Sequence[Hole], profile: Profile, site: Site, settings: Settings
) -> Need | None:
    """The flashings of a roof's holes, like ones counted together; None for no holes.

    Raises JobError for a `penetration_type` other than a or b.
    """
    found: dict[str, tuple[Line, list[str]]] = {}
    for hole in holes:
        for line in _lines(roof.plane(hole.plane), hole, profile, site, settings):
            found.setdefault(line[0].id, (line, []))[1].append(hole.id)
    if not found:
        return None
    quantities = tuple(
        Quantity(item, item, float(len(ids)), "each", tuple(ids), Working(rule, terms))
        for item, ((_, rule, terms), ids) in found.items()
    )
    return Need("flashings", quantities, items=tuple(line[0] for line, _ in found.values()))


def is_sealed(settings: Settings) -> bool:
    """Whether back flashings are of type b, sealed and riveted round the hole."""
    return settings.word("penetration_type") == "b"


def riveted_mm(hole: Hole, profile: Profile, site: Site, pitch_deg: float, settings: Settings) -> float:
    """Length of the sealed and riveted edge of a hole's flashing [mm]: round a tray of type b, else 0."""
    if hole.flashing == "boot" or not is_sealed(settings):
        return 0.0
    width, _ = _width(hole, profile, site, pitch_deg, settings)
    past = settings.number("penetration_past_mm")
    if hole.flashing == "kerb":
        past = max(past, settings.number("kerb_back_mm"))
    return 2.0 * (width + hole.length_mm + 2.0 * past)


def rivets_of(edge_mm: float, settings: Settings) -> int:
    """Rivets along an edge that comes round to its start [mm]."""
    return count_up(edge_mm, settings.number("penetration_rivet_mm"), TOLERANCES.same_length_mm)


def _lines(plane: RoofPlane, hole: Hole, profile: Profile, site: Site, settings: Settings) -> list[Line]:
    lines: list[Line] = []
    if hole.flashing != "kerb":
        lines.append(_boot(hole))
    if hole.flashing == "boot and back":
        lines.append(_back(plane, hole, profile, site, settings))
    if hole.flashing == "kerb":
        lines += _kerb(plane, hole, profile, site, settings)
    return lines


def _boot(hole: Hole) -> Line:
    size = f"{hole.diameter_mm:.0f}"
    sort = "flue_boot" if hole.kind == "flue" else "pipe_boot"
    term = Term("diameter", hole.diameter_mm, "mm", ref=hole.id)
    return Made(f"{sort}_{size}", sort, (Mark(MarkKind.PIPE, hole.diameter_mm),)), "one a pipe", (term,)


def _width(
    hole: Hole, profile: Profile, site: Site, pitch_deg: float, settings: Settings
) -> tuple[float, tuple[Term, ...]]:
    """Width of a flashing across the sheets: over the hole and so many crests or ribs at either side [mm]."""
    zone, _ = wind_zone(site, settings)
    cover = cover_category(zone, pitch_deg, settings)
    name = f"flashing_{'crests' if is_corrugate(profile) else 'ribs'}_{cover.category}"
    side = settings.number(name) * profile.rib_pitch_mm
    terms = (
        Term("hole", hole.width_mm, "mm", ref=hole.id),
        settings.term(name),
        product_term(profile, "rib_pitch_mm", profile.rib_pitch_mm, "mm"),
        cover.term,
    )
    return hole.width_mm + 2.0 * side, terms


def _top_v(plane: RoofPlane, hole: Hole) -> float:
    """Where the plane ends above the middle of a hole [mm up it]."""
    upright = tuple(tuple((v, u) for u, v in ring) for ring in plane.rings_uv)
    u, v = hole.centre_uv
    return next(high for low, high in spans_at(upright, u) if low < v < high)


def _back(plane: RoofPlane, hole: Hole, profile: Profile, site: Site, settings: Settings) -> Line:
    """The tray that a boot stands on."""
    width, terms = _width(hole, profile, site, plane.pitch_deg, settings)
    if is_sealed(settings):
        past = settings.number("penetration_past_mm")
        length = hole.length_mm + 2.0 * past
        terms = (*terms, settings.term("penetration_past_mm"), settings.term("penetration_lap_b_mm"))
        return _tray("sealed_flashing_under_a_boot", width, length, "hole and what it goes past it", terms)
    lap = settings.number("penetration_lap_a_mm")
    length = _top_v(plane, hole) - hole.low_uv[1] + lap
    terms = (*terms, settings.term("penetration_lap_a_mm"))
    return _tray("back_flashing_under_a_boot", width, length, "from the top past the hole", terms)


def _tray(sort: str, width: float, length: float, rule: str, terms: tuple[Term, ...]) -> Line:
    across, up = ceil(width - 0.01), ceil(length - 0.01)
    made = Made(f"{_STEMS.get(sort, sort)}_{across}x{up}", sort, (Mark(MarkKind.SPREAD, (float(across), float(up))),))
    return made, f"{rule}; width over the crests at either side", terms


def _kerb(plane: RoofPlane, hole: Hole, profile: Profile, site: Site, settings: Settings) -> list[Line]:
    """Apron at the foot, left and right sides, and the back."""
    width, terms = _width(hole, profile, site, plane.pitch_deg, settings)
    up, lap = settings.number("kerb_up_mm"), settings.number("penetration_lap_a_mm")
    kerb, over = settings.term("kerb_up_mm"), settings.term("penetration_lap_a_mm")
    side_mm = ceil(hole.length_mm + 2.0 * lap - 0.01)
    length = Term("hole", hole.length_mm, "mm", ref=hole.id)
    lines = [_tray("kerb_apron", width, lap + up, "lap over the sheet below and up the kerb", (*terms, over, kerb))]
    for hand in ("left", "right"):
        marks = (Mark(MarkKind.HAND, hand), Mark(MarkKind.LONG, float(side_mm)))
        made = Made(f"kerb_side_{hand}_{side_mm}", "kerb_side", marks)
        lines.append((made, "hole and laps at both ends", (length, over, kerb)))
    if is_sealed(settings):
        back, why = settings.number("kerb_back_mm") + up, settings.term("kerb_back_mm")
        rule = "up the slope, sealed and riveted, and up the kerb"
        lines.append(_tray("kerb_back_sealed", width, back, rule, (*terms, why, kerb)))
    else:
        back = _top_v(plane, hole) - hole.high_uv[1] + up
        lines.append(_tray("kerb_back", width, back, "from the top to the hole and up the kerb", terms))
    return lines
