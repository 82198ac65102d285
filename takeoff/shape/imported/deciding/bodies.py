"""Which bodies of a model are its roof: each told by size, height and what it likely is; the roof's taken, the others
set aside with a finding each.

A body is a set of faces of one part of the file that hang together by sides that two of them share. A house is often
one body, a roof of slabs several; gutters, boards, caps, panels and chimneys drawn on it are bodies of their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians
from typing import TYPE_CHECKING

import numpy as np
import shapely

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.vectors import dot3
from takeoff.model.faces import RawPart, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.lines import shape_line
from takeoff.shape.imported.joining import connected, sharing
from takeoff.shape.imported.net import Net, part_of_net
from takeoff.shape.imported.patch_borders import plan_shapes
from takeoff.shape.imported.planes import Patch, grow

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from takeoff.shape.imported.joining import Numbers

_STRIP_MM = MODEL_LIMITS.strip_body_mm
_SLOPES = 0.9997  # rise of the normals of what slopes at all: 1.4 degrees
_LEAST_M2 = MODEL_LIMITS.least_body_m2
_BOX_M2 = MODEL_LIMITS.box_m2
_ON = 0.8  # share of a body's plan from which on it lies on, or under, another
_PANEL_MM = MODEL_LIMITS.panel_over_mm
_NEAR_MM = MODEL_LIMITS.one_roof_apart_mm
_TALL_MM = MODEL_LIMITS.roof_over_ground_mm
_HALF = 0.5  # a second roof of more than this share of the first leaves open which is meant
_MOST_TOLD = 30
_ROUGH = 2000  # facets from which on a body that spreads below all others is not looked at closer: terrain
_ASIDE = (StatedPart.GROUND, StatedPart.OPENING, StatedPart.FLOOR, StatedPart.OTHER)


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One body: its number as people are told it, the name of its part, its facets, its lying planes and what they
    cover in plan; area in plan of what slopes [mm2]; box [mm] and what it likely is. `sheet`: nothing in it stands."""

    number: int
    name: str
    part: int
    facets: Numbers
    planes: tuple[Patch, ...]
    shape: BaseGeometry
    slopes_mm2: float
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    likely: str = ""
    sheet: bool = False

    @property
    def width_mm(self) -> float:
        """Mean width in plan: of a ring or a strip, its width."""
        length = float(shapely.length(self.shape))
        return 2.0 * float(shapely.area(self.shape)) / length if length else 0.0

    @property
    def words(self) -> str:
        """Number, name, size and place."""
        x, y, z = ((b - a) / 1000.0 for a, b in zip(self.low, self.high, strict=True))
        called = f"body {self.number}" + (f" ({self.name})" if self.name else "")
        return (
            f"{called}, {x:.2f} x {y:.2f} m and {z:.2f} m high, from {self.low[2] / 1000.0:.2f} m up at "
            f"({round(self.low[0])}, {round(self.low[1])})"
        )


@dataclass(frozen=True, slots=True, eq=False)
class Sorted:
    """The net of what is roof or wall, all bodies told, the numbers of those taken, and what is to be said."""

    net: Net
    bodies: tuple[Body, ...]
    taken: frozenset[int]
    findings: tuple[Finding, ...]


def sort_bodies(net: Net, parts: Sequence[RawPart], name: str, job: ShapeJob, steepest_deg: float) -> Sorted:
    """Sort the bodies of a net. Raises UndecidedError where several roofs may be meant, ShapeError for bodies that the
    job names and the model has not."""
    bodies = find_bodies(net, parts, steepest_deg)
    if len(bodies) == 1:
        return Sorted(net, bodies, frozenset({1}), ())
    used, left = _named(bodies, parts, name, job.use), _named(bodies, parts, name, job.leave_out)
    among = [body for body in bodies if body.number not in left and (not used or body.number in used)]
    judged, taken = (among, {body.number for body in among}) if used else _judged(among, parts, name, job)
    walls = {body.number for body in judged if body.likely == "walls" and body.number not in left}
    upright = [body.facets[_stands(net, body.facets, steepest_deg)] for body in bodies if body.number in walls - taken]
    kept = np.concatenate([*(body.facets for body in bodies if body.number in taken), *upright, np.array([], np.int64)])
    if not len(kept):
        raise ShapeError(f"{name}: holds no roof among {len(bodies)} bodies: {_list(bodies)}")
    told = {body.number: body for body in judged}
    aside = [told.get(body.number, body) for body in bodies if body.number not in taken | walls]
    return Sorted(
        part_of_net(net, np.sort(kept)), tuple(bodies), frozenset(taken), tuple(_findings(aside, name, job, used))
    )


def _stands(net: Net, facets: Numbers, steepest_deg: float) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = net.normals[facets, 2] <= cos(radians(steepest_deg))
    return found


def find_bodies(net: Net, parts: Sequence[RawPart], steepest_deg: float) -> tuple[Body, ...]:
    """All bodies, those with the most sloping roof first."""
    labels = _labels(net)
    order = np.argsort(labels, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(labels[order])) + 1)
    found = [_body(net, np.sort(facets), parts, steepest_deg, len(groups) > 1) for facets in groups]
    found.sort(key=lambda b: (-round(b.slopes_mm2 / 1e4), -round(float(shapely.area(b.shape)) / 1e4), b.low, b.high))
    return tuple(replace(body, number=number) for number, body in enumerate(found, start=1))


def _labels(net: Net) -> Numbers:
    """A number for each facet that all of its body have: they share sides of exactly two of one part."""
    a, b = sharing(net.keys())
    keys = net.keys()
    _, inverse, times = np.unique(keys, return_inverse=True, return_counts=True)
    one, other = net.sides[a, 0], net.sides[b, 0]
    joins = (times[inverse[a]] == 2) & (net.part_of[one] == net.part_of[other])
    return connected(len(net.corners), one[joins], other[joins])


def _body(net: Net, facets: Numbers, parts: Sequence[RawPart], steepest_deg: float, many: bool) -> Body:
    corners = net.nodes[net.corners[facets]].reshape(-1, 3)
    low, high = ((float(x), float(y), float(z)) for x, y, z in (corners.min(axis=0), corners.max(axis=0)))
    part = int(net.part_of[facets[0]])
    lying = facets[net.normals[facets, 2] > cos(radians(steepest_deg))]
    planes: tuple[Patch, ...] = ()
    sheet = many and _is_sheet(net, facets)
    rough = sheet and len(facets) > _ROUGH
    if many and len(lying) and not rough:
        planes = tuple(patch for patch in grow(net, lying) if float(net.areas[list(patch.facets)].sum()) > 100.0)
    shapes = plan_shapes(net, planes)
    whole = shapely.union_all(shapes) if shapes else shapely.box(low[0], low[1], high[0], high[1])
    slopes = [shape for patch, shape in zip(planes, shapes, strict=True) if patch.normal[2] < _SLOPES]
    area = float(shapely.area(shapely.union_all(slopes))) if slopes else 0.0
    called = parts[part].name or (parts[part].id if len(parts) > 1 else "")
    return Body(
        0,
        called,
        part,
        facets,
        planes,
        whole if shapes else shapely.Polygon(),
        area,
        low,
        high,
        "terrain" * rough,
        sheet,
    )


def _is_sheet(net: Net, facets: Numbers) -> bool:
    """Whether a body is an open sheet that lies low over much: nearly nothing upright."""
    upright = net.normals[facets, 2] < 0.26
    return float(net.areas[facets][upright].sum()) < 0.1 * float(net.areas[facets].sum())


def _named(bodies: Sequence[Body], parts: Sequence[RawPart], name: str, given: Sequence[str | int]) -> set[int]:
    """Numbers of the bodies that a job names, by number, name or id. Raises ShapeError for one that there is not."""
    found: set[int] = set()
    for word in given:
        own = {
            body.number
            for body in bodies
            if body.number == word or (isinstance(word, str) and word in (parts[body.part].name, parts[body.part].id))
        }
        if not own:
            raise ShapeError(f"{name}: there is no body {word}; it has {len(bodies)}: {_list(bodies)}")
        found |= own
    return found


def _list(bodies: Sequence[Body]) -> str:
    told = "; ".join(body.words for body in bodies[:_MOST_TOLD])
    return told if len(bodies) <= _MOST_TOLD else f"{told}; and {len(bodies) - _MOST_TOLD} smaller ones"


def _judged(bodies: Sequence[Body], parts: Sequence[RawPart], name: str, job: ShapeJob) -> tuple[list[Body], set[int]]:
    """All bodies with what they likely are, and the numbers of those that are roof."""
    stated = any(parts[body.part].stated is StatedPart.ROOF for body in bodies)
    roofs: list[Body] = []
    told: dict[int, Body] = {}
    lowest = min(body.low[2] for body in bodies)
    bodies = [replace(body, likely="terrain") if _is_terrain(body, bodies) else body for body in bodies]
    for body in bodies:
        says = parts[body.part].stated
        if says is StatedPart.WALL:
            told[body.number] = replace(body, likely="walls")
        elif body.likely or says in _ASIDE or (stated and says is not StatedPart.ROOF):
            told[body.number] = replace(body, likely=body.likely or says.value)
        elif not _may_be_roof(body, lowest) and not (stated and says is StatedPart.ROOF):
            continue
        else:
            word = _on_others(body, roofs)
            if word:
                told[body.number] = replace(body, likely=word)
            else:
                roofs.append(body)
    groups = _groups(roofs)
    if len(groups) > 1 and _area(groups[1]) > _HALF * _area(groups[0]):
        asked = f"{name}: holds several roofs apart from each other; say in the job which is meant:"
        raise UndecidedError(asked, *(f"{_line(group, job)} takes {_list(group)}" for group in groups[:10]))
    taken = {body.number for body in groups[0]} if groups else set()
    for group in groups[1:]:
        told |= {body.number: replace(body, likely="another building") for body in group}
    main = [body for body in roofs if body.number in taken]
    judged = [told.get(body.number) or (body if body.number in taken else _guessed(body, main)) for body in bodies]
    return judged, taken


def _is_terrain(body: Body, bodies: Sequence[Body]) -> bool:
    """Whether a body is an open sheet that another, with sloping planes, stands well over in the middle of."""
    if not body.sheet or not body.planes:
        return False
    for other in bodies:
        inside = all(body.low[k] <= other.low[k] and other.high[k] <= body.high[k] for k in (0, 1))
        if other is not body and inside and other.slopes_mm2 > 1e6 * _LEAST_M2 and body.high[2] < other.high[2]:
            over = _mean_over(other, [body])
            if over > _TALL_MM:
                return True
    return False


def _line(group: Sequence[Body], job: ShapeJob) -> str:
    return shape_line(job, "use", [body.number for body in group])


def _area(group: Sequence[Body]) -> float:
    return sum(float(shapely.area(body.shape)) for body in group)


def _may_be_roof(body: Body, lowest: float) -> bool:
    """Whether a body has sloping planes of some size, or lies level well over the lowest of all."""
    if body.width_mm < _STRIP_MM:
        return False
    area = float(shapely.area(body.shape)) / 1e6
    return body.slopes_mm2 / 1e6 > _LEAST_M2 or (area > _BOX_M2 and body.high[2] > lowest + 1800.0)


def _on_others(body: Body, roofs: Sequence[Body]) -> str:
    """What a body is that lies on greater roofs, or under them; "" for one that is roof itself."""
    area = float(shapely.area(body.shape))
    beneath = [roof for roof in roofs if shapely.area(shapely.intersection(roof.shape, body.shape)) > 0.0]
    common = shapely.area(shapely.intersection(shapely.union_all([roof.shape for roof in beneath]), body.shape))
    if not beneath or common < _ON * area:
        return ""
    if any(_alongside(body, roof) for roof in beneath):
        return "panels"
    over = _mean_over(body, beneath)
    if over < 0.0:
        return "underside or ceiling"
    return "chimney or rooflight" if area / 1e6 <= _BOX_M2 else ""


def _highest(body: Body, x: float, y: float) -> float:
    """Height of a body's planes over a place, -inf beside them."""
    at = shapely.Point(x, y)
    if not shapely.intersects(body.shape, at):
        return float("-inf")
    near = [
        plane.height_at(x, y)
        for plane in body.planes
        if body.low[2] - 1.0 <= plane.height_at(x, y) <= body.high[2] + 1.0
    ]
    return max(near, default=float("-inf"))


def _mean_over(body: Body, beneath: Sequence[Body]) -> float:
    x, y = shapely.get_coordinates(shapely.point_on_surface(body.shape))[0].tolist()
    return _highest(body, x, y) - max(_highest(roof, x, y) for roof in beneath)


def _alongside(body: Body, roof: Body) -> bool:
    """Whether all sloping planes of a body run alongside planes of a roof, close over them."""
    sloping = [plane for plane in body.planes if plane.normal[2] < _SLOPES]
    return bool(sloping) and all(
        any(
            abs(dot3(plane.normal, under.normal)) > 0.9986
            and 0.0 <= plane.through[2] - under.height_at(*plane.through[:2]) <= _PANEL_MM
            for under in roof.planes
        )
        for plane in sloping
    )


def _groups(roofs: Sequence[Body]) -> list[list[Body]]:
    """Roofs that touch or nearly do, the greatest group first."""
    groups: list[list[Body]] = []
    for body in roofs:
        near = [g for g in groups if any(shapely.distance(body.shape, other.shape) <= _NEAR_MM for other in g)]
        merged = [body, *(member for group in near for member in group)]
        groups = [group for group in groups if group not in near]
        groups.append(sorted(merged, key=lambda b: b.number))
    return sorted(groups, key=lambda group: -_area(group))


def _guessed(body: Body, roofs: Sequence[Body]) -> Body:
    """A body that is no roof, with what it likely is."""
    x, y, _ = (b - a for a, b in zip(body.low, body.high, strict=True))
    roof_low = min((roof.low[2] for roof in roofs), default=body.low[2])
    if roofs and _on_others(body, roofs) == "chimney or rooflight":
        word = "chimney or rooflight"
    elif body.width_mm < _STRIP_MM and body.low[2] <= roof_low - 1500.0 and body.high[2] > roof_low - 500.0:
        word = "walls"
    elif not body.planes:
        word = "board or fascia"
    elif body.width_mm < _STRIP_MM:
        word = _strip_word(body, roofs)
    elif body.high[2] <= roof_low + 500.0:
        word = "slab or ground"
    elif any(shapely.intersects(roof.shape, body.shape) for roof in roofs):
        word = "chimney or rooflight"
    else:
        word = "fence or other thing"
    return replace(body, likely=word if max(x, y) > 0.0 else "other thing")


def _strip_word(body: Body, roofs: Sequence[Body]) -> str:
    over = [
        roof
        for roof in roofs
        if shapely.area(shapely.intersection(roof.shape, body.shape)) > _ON * shapely.area(body.shape)
    ]
    sloping = any(plane.normal[2] < _SLOPES for plane in body.planes)
    if over and body.high[2] >= max(roof.high[2] for roof in over) - 300.0:
        return "ridge cap"
    if sloping and body.high[2] - body.low[2] > 400.0:
        return "barge or hip cap"
    return "gutter or fascia"


def _findings(aside: Sequence[Body], name: str, job: ShapeJob, used: set[int]) -> list[Finding]:
    """One finding for each body set aside; small ones beyond some number together."""
    found = []
    for body in aside[:_MOST_TOLD]:
        large = body.likely in ("another building", "") or float(shapely.area(body.shape)) > 1e6 * _BOX_M2
        severity = Severity.WARN if large and not used else Severity.NOTE
        likely = f", likely {body.likely}," if body.likely else ""
        text = f"{name}: {body.words}{likely} was set aside"
        advice = f"if it is part of the roof: {shape_line(job, 'use', sorted({1, body.number}))}"
        found.append(Finding("model-body-set-aside", severity, text, advice))
    if len(aside) > _MOST_TOLD:
        text = f"{name}: {len(aside) - _MOST_TOLD} more bodies, all smaller, were set aside"
        found.append(Finding("model-body-set-aside", Severity.NOTE, text))
    return found
