"""Battens of the drained cavity, extra nogs, and the closer at its foot with its vent area.

Behind horizontal boards battens stand on the studs, with one level batten along the top of the wall (cavity battens of
E2/AS1). Behind vertical boards they lie level, castellated or sloped with gaps, at nogs no further apart than setting
nog_most_mm: rows = ceil(height / spacing) + 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, cos, hypot, radians

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.measure.cladding.face import CRUMB_MM, Face, straights, without
from takeoff.measure.cladding.face_parts import columns_at, foot_lines, stretches_at, top_lines
from takeoff.measure.terms import run_working
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import BattenLine
from takeoff.model.products import Timber
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings

JAMB_MM = TOLERANCES.jamb_mm


@record
class Battens:
    """Battens of one wall: their lines for drawings, their runs to be cut, and how many pieces offcuts give."""

    lines: tuple[BattenLine, ...]
    runs: tuple[RunDemand, ...]
    left_out: int = 0


def stud_lines(face: Face, stud_mm: float, wide_mm: float) -> tuple[float, ...]:
    """Middles of the battens on studs, left to right: both ends, every stud from the left, both sides of each opening.

    stud_mm: stud spacing; wide_mm: width of a batten. A common stud within its width of an end or jamb is left out.
    """
    half = wide_mm / 2.0
    fixed = {face.left + half, face.right - half}
    for hole in face.holes:
        fixed |= {x for x in (hole.left - half, hole.right + half) if face.left < x < face.right}
    kept: list[float] = []
    for x in sorted(fixed):
        if not kept or x - kept[-1] > CRUMB_MM:
            kept.append(x)
    common = (n * stud_mm for n in range(1, ceil(max(face.right, 0.0) / stud_mm)))
    free = [
        x for x in common if face.left < x < face.right and all(abs(x - other) > JAMB_MM - CRUMB_MM for other in kept)
    ]
    return tuple(sorted([*kept, *free]))


def battens_on_studs(face: Face, timber: Timber, stud_mm: float, settings: Settings) -> Battens:
    """Vertical battens on every stud, cut round openings, and the level or raked batten along the top."""
    lines: list[tuple[Point2, Point2]] = []
    for x in stud_lines(face, stud_mm, timber.width_mm):
        cuts = [(hole.foot, hole.head) for hole in face.holes if hole.left < x < hole.right]
        lines += [((x, low), (x, high)) for column in columns_at(face, x) for low, high in without(column, cuts)]
    lines += _tops(face)
    return _battens(face, timber, lines, settings)


def nog_levels(face: Face, most_mm: float) -> tuple[float, ...]:
    """Heights of the level batten lines, foot and frame height included, and on up a gable at the same spacing; one
    more at each level break [mm].

    >>> from takeoff.measure.cladding.face import Face
    >>> len(nog_levels(Face(1, 0, 6000, 0, 2400, ((0, 2400), (6000, 2400)), ()), 480))
    6
    """
    height = face.frame_top - face.base
    bays = max(1, count_up(height, most_mm))
    spacing = height / bays
    rows = bays + max(0, count_up(face.peak - face.frame_top, spacing) - 1) + 1
    levels = [face.base + row * spacing for row in range(rows)]
    extra = [level for level in face.breaks if all(abs(level - other) > CRUMB_MM for other in levels)]
    return tuple(sorted([*levels, *extra]))


def battens_at_nogs(face: Face, timber: Timber, settings: Settings) -> Battens:
    """Level battens at the nogs behind vertical boards, cut round openings, and along a raked top.

    Sloped battens (setting vertical_batten) are cut short by setting batten_end_gap_mm at both ends and run along their
    slope.
    """
    lines: list[tuple[Point2, Point2]] = []
    for y in nog_levels(face, settings.number("nog_most_mm")):
        cuts = [(hole.left, hole.right) for hole in face.holes if hole.foot < y < hole.head]
        for stretch in stretches_at(face, max(face.base, min(y, face.peak) - 2.0 * TOLERANCES.same_length_mm)):
            lines += [((a, y), (b, y)) for a, b in without(stretch, cuts)]
    lines += [(a, b) for a, b in _tops(face) if b[0] > a[0] and _not_level_frame(face, a, b)]
    gap = settings.number("batten_end_gap_mm") if settings.word("vertical_batten") == "sloped" else 0.0
    slope = cos(radians(settings.number("batten_slope_deg"))) if gap else 1.0
    return _battens(face, timber, lines, settings, gap, slope)


def _not_level_frame(face: Face, a: Point2, b: Point2) -> bool:
    """Whether a line that a wall ends at above is none that a row of nogs lies on."""
    return abs(b[1] - a[1]) > CRUMB_MM or max(a[1], b[1]) > face.frame_top + CRUMB_MM


def _tops(face: Face) -> Sequence[tuple[Point2, Point2]]:
    """The lines a wall ends at above."""
    return top_lines(face) if face.rings else straights(face.top)


def _battens(
    face: Face,
    timber: Timber,
    lines: list[tuple[Point2, Point2]],
    settings: Settings,
    gap_mm: float = 0.0,
    slope: float = 1.0,
) -> Battens:
    drawn: list[BattenLine] = []
    runs: list[RunDemand] = []
    least, scrap, left_out = settings.number("batten_least_mm"), settings.number("batten_offcut_mm"), 0
    names = ("batten_least_mm", "batten_offcut_mm", *(("batten_end_gap_mm", "batten_slope_deg") if gap_mm else ()))
    terms = tuple(settings.term(name) for name in names)
    for a, b in lines:
        length = hypot(b[0] - a[0], b[1] - a[1]) / slope - 2.0 * gap_mm
        if length <= CRUMB_MM:
            continue
        if length < scrap - CRUMB_MM:
            left_out += 1
            continue
        name = f"K{face.tag}.{len(runs) + 1:02d}"
        drawn.append(BattenLine(face.wall, a, b, name))
        runs.append(
            RunDemand(
                id=name,
                item=timber.id,
                length_mm=length,
                splits_mm=None,
                least_mm=min(least, length / 2.0),
                group=face.group,
                refs=(f"wall {face.wall}",),
                working=run_working("length of the batten line less its gaps", length, f"wall {face.wall}", *terms),
            )
        )
    return Battens(tuple(drawn), tuple(runs), left_out)


def offcut_note(left_out: int, settings: Settings) -> tuple[Finding, ...]:
    """Tells of the batten pieces under setting batten_offcut_mm, which no list of lengths should name."""
    if not left_out:
        return ()
    return (
        Finding(
            code="battens-from-offcuts",
            severity=Severity.NOTE,
            text=f"{left_out} pieces of batten under {settings.number('batten_offcut_mm'):.0f} mm, beside openings, "
            f"come out of offcuts and are in no cut list.",
        ),
    )


def extra_nogs(face: Face, timber: Timber, stud_mm: float, settings: Settings) -> tuple[RunDemand, ...]:
    """Nogs the frame does not have anyway, one for each bay of each added row behind vertical boards.

    A frame has ceil(height / frame_nogs_mm) - 1 rows; vertical boards want one at every batten between the plates.
    """
    rows = nog_levels(face, settings.number("nog_most_mm"))[1:]
    inner = [y for y in rows if abs(y - face.frame_top) > CRUMB_MM]
    has = max(0, count_up(face.frame_top - face.base, settings.number("frame_nogs_mm")) - 1)
    length = stud_mm - settings.number("stud_width_mm")
    names = ("stud_width_mm", "nog_most_mm", "frame_nogs_mm")
    wall = f"wall {face.wall}"
    working = run_working("stud spacing less a stud", length, wall, *(settings.term(name) for name in names))
    bays = 0
    for y in inner[has:]:
        cuts = [(hole.left, hole.right) for hole in face.holes if hole.foot < y < hole.head]
        for stretch in stretches_at(face, y):
            bays += sum(count_up(b - a, stud_mm) for a, b in without(stretch, cuts))
    return tuple(
        RunDemand(f"G{face.tag}.{n:02d}", timber.id, length, refs=(wall,), working=working) for n in range(1, bays + 1)
    )


def foot_stretches(face: Face, at_zones: bool = False) -> tuple[tuple[float, float], ...]:
    """Where the foot of the cladding runs: the wall without openings that go down to it, and without the lines where it
    stands on another zone unless `at_zones` [mm along the wall]."""
    found: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in foot_lines(face):
        low, high = min(y0, y1) - CRUMB_MM, max(y0, y1) + CRUMB_MM
        cuts = [(hole.left, hole.right) for hole in face.holes if hole.foot <= high and hole.head > low + CRUMB_MM]
        if not at_zones:
            cuts += [(a[0], b[0]) for a, b in face.joins if low <= min(a[1], b[1]) and max(a[1], b[1]) <= high]
        found += without((x0, x1), cuts)
    return tuple(found)


def vent_area_mm2(foot_mm: float, per_m_mm2: float) -> float:
    """Open area that the foot of a cavity needs: 1 000 mm2 for each metre (E2/AS1 9.1.8.3, as restated).

    >>> vent_area_mm2(12500, 1000)
    12500.0
    """
    return foot_mm / 1000.0 * per_m_mm2


def vent_check(feet_mm: float, settings: Settings) -> tuple[Quantity, tuple[Finding, ...]]:
    """Vent area wanted along all feet of cladding [mm2], and a stop where the closer that is bought has less."""
    wanted = settings.number("base_vent_mm2_per_m")
    bought = settings.number("closer_vent_mm2_per_m")
    quantity = Quantity(
        id="cladding.vent",
        item="vent area at the foot of the cavity",
        figure=vent_area_mm2(feet_mm, wanted),
        unit="mm2",
        refs=(),
        working=Working(
            "vent area = length of the foot x opening per metre",
            (
                Term("length of the foot", round(feet_mm / 1000.0, 4), "m"),
                settings.term("base_vent_mm2_per_m"),
                settings.term("closer_vent_mm2_per_m"),
            ),
        ),
    )
    if bought >= wanted:
        return quantity, ()
    finding = Finding(
        code="vent-area-too-small",
        severity=Severity.STOP,
        text=f"The base closer opens {bought:g} mm2 a metre; {wanted:g} are wanted: "
        f"{vent_area_mm2(feet_mm, wanted - bought):.0f} mm2 short over {feet_mm / 1000:.1f} m.",
        advice="Buy a closer with more opening.",
        source=settings.basis("base_vent_mm2_per_m").words(),
    )
    return quantity, (finding,)


def closer_runs(face: Face, item: str) -> tuple[RunDemand, ...]:
    """The base closer of one wall, joined anywhere."""
    wall, rule = f"wall {face.wall}", "foot of the cladding, doors left out"
    return tuple(
        RunDemand(f"V{face.tag}.{n}", item, b - a, None, refs=(wall,), working=run_working(rule, b - a, wall))
        for n, (a, b) in enumerate(foot_stretches(face), start=1)
    )
