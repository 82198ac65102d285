"""The frame as taped against the frame as drawn: what disagrees, and the sheets' ground moved to what was built.

A plane is held at the four ends of its lowest and its highest line. Six lengths between them are taped, one more than
the four points need, so a misread tape shows. The built corners are those nearest to the drawn ones that have the taped
lengths (least squares); between them every point of the plane moves as its corners do: along a line up the plane as its
two ends, across it in between. What lies beside or beyond the corners moves with the nearest of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import hypot

from takeoff.basics.polygons import foot_and_head
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, distance2
from takeoff.measure.roofing.sheets.lay_direction import SetOut
from takeoff.measure.roofing.sheets.sheet_pieces import Ground
from takeoff.measure.roofing.sheets.site_checks import LENGTHS, drawn_lengths, needed, plane_findings, shared_findings
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.supplied import PlaneFit, SiteFit, SiteMeasure
from takeoff.shape.strips.strips import extent

_ROUNDS = 12  # of the least squares: each at least squares a millimetre's error
TAPE_MM = TOLERANCES.tape_mm
_LOOSE = 1e-3  # weight of staying where drawn against keeping a taped length


def fit_planes(roofs: Sequence[Roof], measures: Sequence[SiteMeasure], settings: Settings) -> SiteFit:
    """How each measured plane differs from its drawing. Stop findings where sizes disagree with each other by more than
    `measure_tolerance_mm` or with the drawing by more than `measure_off_drawing_mm`."""
    findings: list[Finding] = []
    fits: list[PlaneFit] = []
    missing: list[str] = []
    for roof in roofs:
        for plane in roof.planes:
            taped = {measure.item: measure.mm for measure in measures if measure.plane == plane.id}
            lacking = [item for item in needed(plane) if item not in taped]
            if plane.covering is Covering.SHEETS and lacking:
                missing.append(f"{plane.id} ({', '.join(lacking)})" if taped else plane.id)
            if not taped:
                continue
            found = plane_findings(plane, taped, settings)
            findings += found
            if not any(finding.severity is Severity.STOP for finding in found):
                drawn = drawn_lengths(plane)
                # a tape is read to the mm: within half of one a size is as drawn
                exact = {item: drawn[item] if abs(mm - drawn[item]) <= TAPE_MM else mm for item, mm in taped.items()}
                fits.append(fit_plane(plane, exact))
    findings += shared_findings(roofs, measures, settings)
    if missing:
        text = f"Not measured, so taken as drawn: {'; '.join(missing)}."
        findings.append(Finding("not-measured", Severity.WARN, text, "Tape them before the list goes to the mill."))
    return SiteFit(tuple(measures), tuple(fits), not missing, tuple(findings))


def fit_plane(plane: RoofPlane, taped: Mapping[str, float]) -> PlaneFit:
    """The built corners of a plane: those nearest to the drawn ones that have the taped lengths, by item [mm].

    The lowest line stays where it is drawn, its middle kept; of a plane that stands on a point, the highest one.
    """
    import numpy as np

    drawn = foot_and_head(plane.rings_uv[0])
    # corners in one place move as one
    slots = [next(j for j in range(i + 1) if distance2(drawn[i], drawn[j]) < 1.0) for i in range(4)]
    at = np.array(drawn, dtype=float)
    start = at.copy()
    for _ in range(_ROUNDS):
        rows, rest = [], []
        for item, (i, j) in LENGTHS.items():
            i, j = slots[i], slots[j]
            if item not in taped or i == j:
                continue
            gap = at[j] - at[i]
            size = float(np.hypot(*gap))
            row = np.zeros((4, 2))
            row[j], row[i] = gap / size, -gap / size
            rows.append(row.ravel())
            rest.append(taped[item] - size)
        rows += list(_LOOSE * np.eye(8))
        rest += list(_LOOSE * (start - at).ravel())
        at = at + np.linalg.lstsq(np.array(rows), np.array(rest), rcond=None)[0].reshape(4, 2)
    points = [(float(at[slots[i]][0]), float(at[slots[i]][1])) for i in range(4)]
    return PlaneFit(plane.id, drawn, _levelled(drawn, points))


def _levelled(drawn: Sequence[Point2], built: Sequence[Point2]) -> tuple[Point2, Point2, Point2, Point2]:
    """Built corners turned and shifted so that their lowest line (else the highest) lies on the drawn one."""
    i, j = (0, 1) if distance2(drawn[0], drawn[1]) >= 1.0 else (2, 3)
    a, b = built[i], built[j]
    size = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    c, s = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    to = ((drawn[i][0] + drawn[j][0]) / 2.0, (drawn[i][1] + drawn[j][1]) / 2.0)
    moved = []
    for x, y in built:
        dx, dy = x - middle[0], y - middle[1]
        moved.append((to[0] + dx * c + dy * s, to[1] + dy * c - dx * s))
    return moved[0], moved[1], moved[2], moved[3]


def built_place(fit: PlaneFit, point: Point2) -> Point2:
    """Where a point of the drawn plane lies on the built one [mm]."""
    left, right, top_left, top_right = fit.drawn_uv
    high = top_left[1] - left[1]
    t = _share(point[1] - left[1], high)
    start = left[0] + t * (top_left[0] - left[0])
    s = _share(point[0] - start, right[0] + t * (top_right[0] - right[0]) - start)
    weights = ((1.0 - s) * (1.0 - t), s * (1.0 - t), (1.0 - s) * t, s * t)
    du = sum(w * (b[0] - d[0]) for w, b, d in zip(weights, fit.built_uv, fit.drawn_uv, strict=True))
    dv = sum(w * (b[1] - d[1]) for w, b, d in zip(weights, fit.built_uv, fit.drawn_uv, strict=True))
    return (point[0] + du, point[1] + dv)


def _share(part: float, whole: float) -> float:
    return min(1.0, max(0.0, part / whole)) if abs(whole) > 1e-6 else 0.5


def fit_grounds(
    grounds: Sequence[Ground], starts: Mapping[str, SetOut], fits: Mapping[str, PlaneFit]
) -> tuple[list[Ground], dict[str, SetOut]]:
    """Grounds with their sheeted areas as built; each start line keeps its distance from the start side as drawn."""
    moved: list[Ground] = []
    found = dict(starts)
    for ground in grounds:
        fit, out = fits.get(ground.plane.id), starts.get(ground.plane.id)
        if fit is None or out is None:
            moved.append(ground)
            continue
        rings = tuple(tuple(built_place(fit, point) for point in ring) for ring in ground.area.rings)
        area = replace(ground.area, rings=rings)
        moved.append(replace(ground, area=area))
        (low, high), (new_low, new_high) = extent(ground.area), extent(area)
        shift = new_low - low if out.side == "left" else new_high - high
        found[ground.plane.id] = replace(out, start_u_mm=out.start_u_mm + shift)
    return moved, found
