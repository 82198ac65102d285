"""Roof underlay in whole rolls, and safety mesh. Laps and direction by the code of practice, the rest common practice.

Each plane's area is let out where the underlay goes on (over hips and ridge, into the gutter, up walls) and cut into
strips of the roll's width less the lap. A strip of full width lies in each valley first.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.measure.sundries import mesh_quantities, underlay_sundries
from takeoff.measure.terms import number_or, product_term, quantity, word_or
from takeoff.model.basis import Quantity, Term
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.measured import Need
from takeoff.model.products import Catalogue, Roll
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import band_spans, edges_on, turned
from takeoff.shape.strips.sheeted_area import move_sides

_HORIZONTAL, _VERTICAL = "horizontal", "vertical"


@record
class Strip:
    """One strip of underlay: its plane ("" for a valley), direction and length off the roll [mm]."""

    place: str
    direction: str
    length_mm: float


def measure_underlay(roofs: Roof | Sequence[Roof], job: Job, settings: Settings, catalogue: Catalogue) -> Need:
    """Rolls of underlay and square metres of mesh for one roof, or for several together (rolls are shared).

    Raises JobError for a roll that the catalogue does not have for roofs.
    """
    several = (roofs,) if isinstance(roofs, Roof) else tuple(roofs)
    roll_id, roll_term = word_or(job.underlay.roll, settings, "underlay_roll")
    roll = _roll(roll_id, catalogue)
    strips: list[Strip] = []
    findings: list[Finding] = []
    for roof in several:
        for plane in roof.planes:
            if plane.covering is Covering.SHEETS:
                direction, found = lay_direction(plane, job, settings)
                findings += found
                strips += plane_strips(roof, plane, direction, roll, settings)
        strips += valley_strips(roof, settings)
    if not strips:
        return Need("underlay")
    rolls = _rolls(strips, roll, roll_term, settings)
    planes = [plane for roof in several for plane in roof.planes if plane.covering is Covering.SHEETS]
    area, refs = sum(plane.area_mm2 for plane in planes) / 1e6, tuple(plane.id for plane in planes)
    laps = _taped_mm(strips, roll, rolls.figure)
    quantities = [rolls, *underlay_sundries(area, *laps, refs, settings), *mesh_quantities(area, refs, settings)]
    return Need("underlay", tuple(quantities), findings=(*findings, *_support(strips, job, settings)))


def _roll(roll_id: str, catalogue: Catalogue) -> Roll:
    roll = catalogue.rolls.get(roll_id)
    if roll is None or roll.use != "roof":
        known = ", ".join(sorted(name for name, other in catalogue.rolls.items() if other.use == "roof"))
        raise JobError(f"underlay.roll: no roof underlay {roll_id!r} in the catalogue; it has {known}.")
    return roll


def lay_direction(plane: RoofPlane, job: Job, settings: Settings) -> tuple[str, tuple[Finding, ...]]:
    """Direction of lay of a plane: as asked, but horizontal on support below the least pitch for vertical laying."""
    asked = job.underlay.direction or settings.word("underlay_direction")
    least = settings.number("underlay_vertical_from_deg")
    if plane.pitch_deg >= least - 1e-6:
        return asked, ()
    if job.underlay.direction != _VERTICAL:
        return _HORIZONTAL, ()
    said = Finding(
        "underlay-laid-horizontal",
        Severity.WARN,
        f"{plane.id}: at {plane.pitch_deg:.1f} degrees underlay is laid horizontally on support, not vertically.",
        f"Vertical laying is for {least:g} degrees and more.",
        (plane.id,),
        source=settings.basis("underlay_vertical_from_deg").words(),
    )
    return _HORIZONTAL, (said,)


def plane_strips(roof: Roof, plane: RoofPlane, direction: str, roll: Roll, settings: Settings) -> tuple[Strip, ...]:
    """Strips of a plane, each as long as its longest line: from the eave up, upright ones from its middle out.

    Upright strips are counted so that a plane and its mirror image need the same.
    """
    rows = [(on, on.edge.kind.row) for on in edges_on(roof, plane)]
    trims = {on.edge.id: settings.number(row.underlay) for on, row in rows if row.underlay}
    trims |= {on.edge.id: settings.number(row.underlay_foot) for on, row in rows if row.underlay_foot and not on.is_top}
    rings = move_sides(plane, roof.edges_of(plane.id), trims).rings
    if direction == _VERTICAL:
        rings = turned(rings, (0.0, 0.0), (0.0, 1.0))
    bands = _bands(rings, roll, settings, centred=direction == _VERTICAL)
    return tuple(Strip(plane.id, direction, b - a) for a, b in bands)


def _bands(rings: Sequence[Ring2], roll: Roll, settings: Settings, centred: bool) -> list[tuple[float, float]]:
    lap = settings.number("underlay_lap_mm")
    cover = roll.width_mm - lap
    heights = [y for ring in rings for _, y in ring]
    if not heights:
        return []
    low, high = min(heights), max(heights)
    count = max(1, count_up(high - low - lap, cover))
    start = (low + high - count * cover - lap) / 2.0 if centred else low
    found: list[tuple[float, float]] = []
    for strip in range(count):
        bottom = start + strip * cover
        found += band_spans(rings, max(bottom, low), min(bottom + roll.width_mm, high))
    return found


def valley_strips(roof: Roof, settings: Settings) -> tuple[Strip, ...]:
    """A strip of full width down every valley: lap over its head, and into the gutter at its foot."""
    past = settings.number("underlay_lap_mm") + settings.number("underlay_into_gutter_mm")
    return tuple(
        Strip("", "valley", edge.length_mm + past)
        for edge in roof.own_edges
        if edge.kind is EdgeKind.VALLEY
        and any(p.covering is Covering.SHEETS for p in roof.planes if p.id in edge.faces)
    )


def _rolls(strips: Sequence[Strip], roll: Roll, roll_term: Term, settings: Settings) -> Quantity:
    """Whole rolls: each roll but for one end lap goes into strips."""
    total = sum(strip.length_mm for strip in strips)
    usable = roll.length_mm - settings.number("underlay_lap_mm")
    planes = tuple(dict.fromkeys(strip.place for strip in strips if strip.place))
    by_place = [
        Term(
            f"strips of {place}" if place else "strips in valleys",
            round(sum(s.length_mm for s in strips if s.place == place) / 1000.0, 3),
            "m",
            ref=place,
        )
        for place in dict.fromkeys(strip.place for strip in strips)
    ]
    return quantity(
        "underlay",
        roll.id,
        float(ceil((total - TOLERANCES.same_length_mm) / usable)),
        "roll",
        planes,
        "strips end to end / (roll - end lap), whole rolls",
        *by_place,
        roll_term,
        product_term(roll, "width_mm", roll.width_mm, "mm"),
        product_term(roll, "length_mm", roll.length_mm, "mm"),
        settings.term("underlay_lap_mm"),
        settings.term("underlay_over_hip_mm"),
        settings.term("underlay_into_gutter_mm"),
    )


def _taped_mm(strips: Sequence[Strip], roll: Roll, rolls: float) -> tuple[float, float]:
    """Laps across strips where a roll ends with both sides of every valley strip, and laps between strips of a plane
    [mm]: each strip but the longest of its plane laps its neighbour along its own length."""
    ends = max(0.0, rolls - 1.0) * roll.width_mm
    valleys = sum(2.0 * strip.length_mm for strip in strips if not strip.place)
    sides = 0.0
    for place in dict.fromkeys(strip.place for strip in strips if strip.place):
        lengths = [strip.length_mm for strip in strips if strip.place == place]
        sides += sum(lengths) - max(lengths)
    return ends + valleys, sides


def _support(strips: Sequence[Strip], job: Job, settings: Settings) -> tuple[Finding, ...]:
    """What the underlay needs under it: laid along the purlins always, across them where they are too far apart."""
    found = []
    level = tuple(dict.fromkeys(strip.place for strip in strips if strip.direction == _HORIZONTAL))
    mesh = "the safety mesh carries it" if settings.flag("safety_mesh") else "order mesh or netting under it"
    if level and settings.flag("underlay_support_horizontal"):
        found.append(
            Finding(
                "underlay-needs-support",
                Severity.NOTE,
                f"Underlay laid horizontally needs support unless both its edges lie on purlins: {mesh}.",
                refs=level,
                source=settings.basis("underlay_support_horizontal").words(),
            )
        )
    spacing, _ = number_or(job.purlins.spacing_mm, settings, "purlin_spacing_mm")
    most = settings.number("underlay_span_mm")
    upright = tuple(dict.fromkeys(strip.place for strip in strips if strip.direction == _VERTICAL))
    if upright and spacing > most + TOLERANCES.same_length_mm:
        found.append(
            Finding(
                "underlay-span",
                Severity.WARN,
                f"Underlay spans {spacing:.0f} mm between purlins; it carries itself over {most:.0f} mm: {mesh}.",
                refs=upright,
                source=settings.basis("underlay_span_mm").words(),
            )
        )
    return (*found, *_long_kraft(strips, settings))


def _long_kraft(strips: Sequence[Strip], settings: Settings) -> tuple[Finding, ...]:
    """A warning for runs of kraft underlay over their limit; those of a synthetic one may be of any length."""
    if settings.word("underlay_material") != "kraft":
        return ()
    most = settings.number("underlay_kraft_run_mm")
    over = [strip for strip in strips if strip.length_mm > most + TOLERANCES.same_length_mm]
    if not over:
        return ()
    longest = max(strip.length_mm for strip in over)
    return (
        Finding(
            "underlay-run-too-long",
            Severity.WARN,
            f"Kraft underlay runs {longest / 1e3:.2f} m; {most / 1e3:g} m is its longest run.",
            "Take a synthetic underlay, or lap it at the limit.",
            tuple(dict.fromkeys(strip.place for strip in over if strip.place)),
            source=settings.basis("underlay_kraft_run_mm").words(),
        ),
    )
