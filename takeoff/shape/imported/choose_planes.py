"""Which faces of a model are the planes of its roof: in the open, wide enough to be sheeted, on one side of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, radians
from typing import TYPE_CHECKING

import numpy as np
import shapely

from takeoff.basics.errors import ShapeError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, dot3, unit3
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.settings import Settings
from takeoff.shape.faces.closure import place
from takeoff.shape.imported.deciding.lines import shape_line
from takeoff.shape.imported.gaps import close_gaps
from takeoff.shape.imported.level_lines import levelled
from takeoff.shape.imported.narrow import absorbed
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.patch_borders import plan_shapes
from takeoff.shape.imported.planes import Patch, grow, widths
from takeoff.shape.imported.sky import Sky, look_up

if TYPE_CHECKING:
    from takeoff.shape.imported.joining import Numbers

STEEPEST_ROOF_DEG = MODEL_LIMITS.steepest_roof_deg
_COVERED = 0.5  # a plane with more of it under others is no roof
_DOUBLED = 0.02  # share of a plane that may lie in one place with others where only what closes is taken
_THICK_MM = (MODEL_LIMITS.slab_least_mm, MODEL_LIMITS.slab_most_mm)
_LEAST_STEEP_M2 = MODEL_LIMITS.least_steep_m2
_ALONGSIDE = 0.9997  # cosine of 1.4 degrees, from which on two faces are the two of one slab


@record
class Chosen:
    """The planes of a roof and the walls under it, in a net whose gaps are closed; what is to be said of them.
    `bridged`: nodes that gaps were closed at, which may move as far as those gape."""

    net: Net
    patches: tuple[Patch, ...]
    walls: tuple[Patch, ...]
    bridged: frozenset[int]
    findings: tuple[Finding, ...]


def choose_planes(
    net: Net, came_from: str, job: RoofJob, settings: Settings, skins: bool = False, roof_alone: bool = False
) -> Chosen:
    """Planes and walls of a net; `skins`: of slabs whose other faces are gone; `roof_alone`: of faces that the file
    says are roof, so that the lowest of them is no ground. Raises ShapeError where no roof is.

    Settings: model_wall_from_deg, model_least_fold_deg, model_least_plane_mm, model_gap_mm.
    """
    name = job.name
    shape = job.drawn
    steepest = settings.number("model_wall_from_deg")
    if shape is not None and shape.steep == "roof":
        steepest = STEEPEST_ROOF_DEG
    lying, steep = _sorted_by_pitch(net, steepest)
    found = grow(net, lying if roof_alone else _without_ground(net, lying), settings.number("model_least_fold_deg"))
    walls = tuple(_stood_up(patch) for patch in grow(net, steep))
    findings: list[Finding] = []
    wide, narrow = _by_width(net, found, settings.number("model_least_plane_mm"))
    grown, gone = absorbed(net, found, narrow)
    found = tuple(grown.get(number, patch) for number, patch in enumerate(found))
    narrow = [number for number in narrow if number not in gone]
    sky = look_up(found, plan_shapes(net, found))
    in_the_open = [i for i in wide if sky.covered[i] <= _COVERED]
    if job.allow_partial:
        in_the_open = _once(in_the_open, sky)
    if not in_the_open:
        raise ShapeError(
            f"roof {name}: {came_from} holds no roof: no face in the open lies flatter than {steepest:g} degrees"
        )
    slabs = _undersides(found, sky, in_the_open, wide)
    if slabs:
        in_the_open = [i for i in in_the_open if i in slabs or not _is_cut_end(net, found, slabs, i)]
        other = shape is not None and shape.face == "underside"
        findings.append(_thickness(name, net, found, slabs, other))
        if other:
            in_the_open = [slabs.get(i, i) for i in in_the_open]
    findings += _covered_findings(name, net, found, sky, wide, slabs)
    findings += _folded_findings(name, net, [found[i] for i in in_the_open])
    findings += _steep_findings(name, net, walls, shape)
    dropped = [found[i] for i in narrow if sky.covered[i] <= _COVERED]
    findings += _narrow_findings(name, net, dropped, settings.number("model_least_plane_mm"))
    chosen = tuple(found[i] for i in in_the_open)
    thick = [skins or i in slabs or i in slabs.values() for i in in_the_open]
    chosen = levelled(net, chosen)
    closed = close_gaps(net, chosen, thick, settings.number("model_gap_mm"))
    if closed.pairs:
        text = f"roof {name}: planes that gape by up to {closed.widest_mm:.0f} mm in {came_from} were brought together"
        advice = "check the height of the ridge on site"
        findings.append(Finding("model-gap-closed", Severity.WARN, text, advice))
    return Chosen(closed.net, chosen, walls, closed.nodes, tuple(findings))


def _stood_up(patch: Patch) -> Patch:
    """A steep patch taken as upright, with a mark where it leans."""
    leans = patch.normal[2] > cos(radians(STEEPEST_ROOF_DEG))
    return replace(patch, normal=unit3((*patch.normal[:2], 0.0)), leans=leans)


def _sorted_by_pitch(net: Net, steepest_deg: float) -> tuple[Numbers, Numbers]:
    """Facets that lie and facets that stand."""
    lies = net.normals[:, 2] > cos(radians(steepest_deg))
    return np.flatnonzero(lies), np.flatnonzero(~lies)


def _without_ground(net: Net, lying: Numbers) -> Numbers:
    """Lying facets but for those at the very bottom of a model that has anything above them."""
    if not len(net.sides):
        return lying
    bottom = float(net.nodes[net.sides[:, 1], 2].min()) + TOLERANCES.same_plane_mm
    above = lying[net.nodes[net.corners[lying], 2].max(axis=1) > bottom]
    return above if len(above) else lying


def _by_width(net: Net, found: Sequence[Patch], least_mm: float) -> tuple[list[int], list[int]]:
    """Patches wide enough to be planes, and the others; crumbs are neither."""
    sizes = [float(net.areas[list(patch.facets)].sum()) for patch in found]
    kept = [i for i, size in enumerate(sizes) if size > TOLERANCES.least_area_mm2]
    measured = dict(zip(kept, widths(net, [found[i] for i in kept]), strict=True))
    return [i for i in kept if measured[i] >= least_mm], [i for i in kept if measured[i] < least_mm]


def _once(open_ones: Sequence[int], sky: Sky) -> list[int]:
    """Planes that cover their plan once, of those that overlap the greater."""
    kept: list[int] = []
    for i in sorted(open_ones, key=lambda i: -float(shapely.area(sky.shapes[i]))):
        over = shapely.union_all([shapely.intersection(sky.shapes[i], sky.shapes[other]) for other in kept])
        if float(shapely.area(over)) <= _DOUBLED * float(shapely.area(sky.shapes[i])):
            kept.append(i)
    return sorted(kept)


def _undersides(found: Sequence[Patch], sky: Sky, tops: Sequence[int], wide: Sequence[int]) -> dict[int, int]:
    """The underside of each top that has one: alongside it, under most of it, no thicker than slabs are."""
    hidden = [i for i in wide if i not in set(tops) and sky.covered[i] > _COVERED]
    slabs = {}
    for top in tops:
        for under in hidden:
            if abs(dot3(found[top].normal, found[under].normal)) < _ALONGSIDE:
                continue
            if not _THICK_MM[0] <= _thick(found[top], found[under]) <= _THICK_MM[1]:
                continue
            common = shapely.area(shapely.intersection(sky.shapes[top], sky.shapes[under]))
            if common > 0.7 * max(shapely.area(sky.shapes[top]), shapely.area(sky.shapes[under])):
                slabs[top] = under
                break
    return slabs


def _is_cut_end(net: Net, found: Sequence[Patch], slabs: dict[int, int], number: int) -> bool:
    """Whether a face in the open is where a slab was cut square: as wide as slabs are thick, and square to one."""
    (width,) = widths(net, [found[number]])
    return any(
        width <= 1.05 * _thick(found[top], found[under]) and abs(dot3(found[number].normal, found[top].normal)) < 0.05
        for top, under in slabs.items()
    )


def _thick(top: Patch, under: Patch) -> float:
    """How far a plane lies under another, square to it [mm]."""
    return -dot3(_sub(under.through, top.through), top.normal)


def _sub(a: Point3, b: Point3) -> Point3:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _thickness(name: str, net: Net, found: Sequence[Patch], slabs: dict[int, int], underside: bool) -> Finding:
    """Which face was taken, and what the other would make."""
    drops = [_thick(found[top], found[under]) / found[top].normal[2] for top, under in slabs.items()]
    runs = [_slope_length(net, found[top]) - _slope_length(net, found[under]) for top, under in slabs.items()]
    taken, other, way = ("undersides", "tops", "higher") if underside else ("tops", "undersides", "lower")
    longest = max(runs, key=abs)
    longer = "longer" if (longest < 0) is not underside else "shorter"
    text = (
        f"roof {name}: its planes are slabs up to {max(_thick(found[t], found[u]) for t, u in slabs.items()):.0f} mm "
        f"thick; their {taken} were taken. Their {other} lie {max(drops):.0f} mm {way} and are up to "
        f"{abs(longest):.0f} mm {longer} up the slope"
    )
    word = "top" if underside else "underside"
    return Finding(
        "model-has-thickness", Severity.WARN, text, f"say face: {word} in the job's shape if those are meant"
    )


def _slope_length(net: Net, patch: Patch) -> float:
    """Length of a patch up its slope [mm]."""
    x, y, z = patch.normal
    level = (x * x + y * y) ** 0.5
    if level == 0.0:
        return 0.0
    up = np.array((-x * z / level, -y * z / level, level))
    return float(np.ptp(net.nodes[net.corners[list(patch.facets)].ravel()] @ up))


def _covered_findings(
    name: str, net: Net, found: Sequence[Patch], sky: Sky, wide: Sequence[int], slabs: dict[int, int]
) -> list[Finding]:
    """Sloping faces under others that are neither undersides, cut ends of slabs nor level ceilings: somebody must know
    they are out."""
    under = [
        i
        for i in wide
        if sky.covered[i] > _COVERED
        and found[i].normal[2] < _ALONGSIDE
        and i not in slabs.values()
        and not any(abs(dot3(found[i].normal, top.normal)) >= _ALONGSIDE for k, top in enumerate(found) if k != i)
        and not _is_cut_end(net, found, slabs, i)
    ]
    if not under:
        return []
    area = sum(float(net.areas[list(found[i].facets)].sum()) for i in under) / 1e6
    text = (
        f"roof {name}: sloping faces of {area:.2f} m2 that lie under others were left out of the roof; the first is at "
        f"{place(found[under[0]].through)}"
    )
    return [Finding("model-face-covered", Severity.WARN, text, "mend the model if the roof is there")]


def _folded_findings(name: str, net: Net, chosen: Sequence[Patch]) -> list[Finding]:
    """Faces that the file draws as one and that lie in several planes."""
    numbers = [np.unique(net.polygon_of[list(patch.facets)]) for patch in chosen]
    folded, times = np.unique(np.concatenate(numbers), return_counts=True)
    count = int((times > 1).sum())
    if not count:
        return []
    first = int(folded[times > 1][0])
    where = next(patch for patch, own in zip(chosen, numbers, strict=True) if first in own)
    faces = "1 face is" if count == 1 else f"{count} faces are"
    text = (
        f"roof {name}: {faces} drawn as one but folded, and taken as several planes; one is at {place(where.through)}"
    )
    return [Finding("model-face-folded", Severity.WARN, text, "check there on site, or mend the model")]


def _steep_findings(name: str, net: Net, walls: Sequence[Patch], shape: ShapeJob | None) -> list[Finding]:
    """Faces that are steep for a roof and lean too far for a wall."""
    leaning = [patch for patch in walls if patch.leans]
    area = sum(float(net.areas[list(patch.facets)].sum()) for patch in leaning) / 1e6
    if area < _LEAST_STEEP_M2 or shape is None:
        return []
    text = f"roof {name}: {area:.2f} m2 of steep faces were taken as walls; the first is at {place(leaning[0].through)}"
    advice = f"if sheets lie on them, say so: {shape_line(shape, 'steep', 'roof')}"
    return [Finding("model-steep-faces", Severity.WARN, text, advice)]


def _narrow_findings(name: str, net: Net, dropped: Sequence[Patch], least_mm: float) -> list[Finding]:
    if not dropped:
        return []
    area = sum(float(net.areas[list(patch.facets)].sum()) for patch in dropped) / 1e6
    strips = "1 face" if len(dropped) == 1 else f"{len(dropped)} faces"
    text = (
        f"roof {name}: {strips} narrower than {least_mm:g} mm, {area:.2f} m2 together, were left out of the roof; the "
        f"first is at {place(dropped[0].through)}"
    )
    return [Finding("model-narrow-face", Severity.NOTE, text, "edges of slabs, boards and rims of gutters are no roof")]
