"""Forms of roofs that are added to a house: what each asks, and the roof it writes into the job.

Each stands at an edge of a roof that is there. Sizes it begins with are common practice; whatever is proposed stands in
a field to be changed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import floor, radians, tan
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.web import rings
from takeoff.web.numbers_kept import Tree
from takeoff.web.plan_edits import free_name, roofs_of, typed_rings, whole
from takeoff.web.plan_view import edge_kind

_FALLS_DEG = 8.0  # as flat as corrugated sheets are laid
_UNDER_MM = 100.0  # a lower roof ends this far under the eave that it goes under
_INTO_MM = 400.0  # a roof that runs into another is drawn on so far past where they meet
_STEP_MM = 10.0


@record
class Host:
    """The edge that a roof is added at: start and directions along it and outwards, from its left end as seen outside;
    its length, overhang, fascia height and pitch; how far in its roof goes on; the roof's name, and whether a wall line
    is typed."""

    start: Point2
    along: Point2
    out: Point2
    length_mm: float
    overhang_mm: float
    fascia_mm: float
    pitch_deg: float
    depth_mm: float
    kind: str
    name: str
    walled: bool

    def at(self, along_mm: float, out_mm: float) -> list[float | int]:
        """A point so far along the edge and so far out."""
        x = self.start[0] + self.along[0] * along_mm + self.out[0] * out_mm
        y = self.start[1] + self.along[1] * along_mm + self.out[1] * out_mm
        return [whole(rings.tidy(x)), whole(rings.tidy(y))]

    def box(self, left_mm: float, right_mm: float, out_mm: float, in_mm: float) -> list[list[float | int]]:
        """A rectangle: its front first, then right, back and left, seen from outside."""
        places = ((left_mm, out_mm), (right_mm, out_mm), (right_mm, in_mm), (left_mm, in_mm))
        return [self.at(along, out) for along, out in places]


@record
class Size:
    """A size that a form asks: its key, its label, its unit ("mm" or "deg") and what it begins with at an edge."""

    key: str
    label: str
    unit: str
    begins: Callable[[Host], float]


@record
class RoofForm:
    """A form: its name, what it is, the three sizes it asks, whether it goes along the whole edge, and what makes the
    roof of an edge, the place of its middle along it [mm] and the sizes."""

    name: str
    says: str
    sizes: tuple[Size, ...]
    whole_edge: bool
    made: Callable[[Host, float, Mapping[str, float]], dict[str, Any]]


def host_of(tree: Tree, roof: int, edge: int) -> Host:
    """The edge of a roof as one to add to. UsageError where it cannot be."""
    held = roofs_of(tree)[roof] if 0 <= roof < len(roofs_of(tree)) else None
    typed = typed_rings(held)
    if held is None or typed is None:
        raise UsageError("this roof is taken from a file: draw the roof to be added by its corners.")
    which, k = typed.at(edge)
    ring = typed.rings[which]
    said = (held.get("edges") or {}).get(edge) or {}
    start, end = ring[k], ring[(k + 1) % len(ring)]
    out, length = rings.outward(ring, k), rings.side_length(ring, k)
    if which:
        out = (-out[0], -out[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    if (signed_area(ring) < 0) is not (which > 0):  # the left end is where the edge ends
        start, along = end, (-along[0], -along[1])
    walled = typed.key == "wall_line"
    pitch = _figure(said.get("pitch_deg"), _figure(held.get("pitch_deg"), 25.0))
    over = _figure(said.get("eave_overhang_mm"), _figure(held.get("eave_overhang_mm"), 0.0)) if walled else 0.0
    fascia = _figure(said.get("fascia_height_mm"), _figure(held.get("fascia_height_mm"), 2400.0))
    far = max((start[0] - x) * out[0] + (start[1] - y) * out[1] for x, y in ring)
    name = str(held.get("name", "main"))
    return Host(start, along, out, length, over, fascia, pitch, far, edge_kind(said), name, walled)


def roof_made(
    tree: Tree, roof: int, edge: int, form: RoofForm, middle_mm: float | None, sizes: Mapping[str, float]
) -> dict[str, Any]:
    """The roof of a form at an edge, with its middle so far from the edge's left end (the middle of the edge for None).
    UsageError says what of it cannot be."""
    host = host_of(tree, roof, edge)
    for size in form.sizes:
        if size.unit == "mm" and not 0 < sizes[size.key] <= 1e5:
            raise UsageError(f"{size.label}: type a length over 0, as 2400 or 2.4 m.")
        if size.unit == "deg" and not 1 <= sizes[size.key] <= 85:
            raise UsageError(f"{size.label}: type 1 to 85 degrees.")
    middle = host.length_mm / 2.0 if middle_mm is None or form.whole_edge else middle_mm
    return {"name": free_name(tree, form.name), **form.made(host, middle, sizes)}


def _verandah(host: Host, _: float, sizes: Mapping[str, float]) -> dict[str, Any]:
    outline = host.box(0.0, host.length_mm, sizes["out_mm"], 0.0)
    return _against(host, outline, sizes["fascia_mm"], sizes["pitch_deg"])


def _lean_to(host: Host, middle: float, sizes: Mapping[str, float]) -> dict[str, Any]:
    half = sizes["width_mm"] / 2.0
    outline = host.box(middle - half, middle + half, sizes["out_mm"], 0.0)
    return _against(host, outline, sizes["fascia_mm"], _FALLS_DEG)


def _against(host: Host, outline: list[list[float | int]], fascia_mm: float, pitch_deg: float) -> dict[str, Any]:
    """One slope that falls away from the edge it stands against."""
    below = {"below": host.name} if host.walled else {}
    edges = {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}
    return {
        "outline": outline,
        **below,
        "fascia_height_mm": whole(fascia_mm),
        "pitch_deg": whole(pitch_deg),
        "edges": edges,
    }


def _porch(host: Host, middle: float, sizes: Mapping[str, float]) -> dict[str, Any]:
    half = sizes["width_mm"] / 2.0
    inside = -500.0 if host.walled else 0.0
    outline = host.box(middle - half, middle + half, sizes["out_mm"], inside)
    below = {"below": host.name} if host.walled else {}
    return {
        "outline": outline,
        **below,
        "fascia_height_mm": whole(sizes["fascia_mm"]),
        "pitch_deg": _FALLS_DEG,
        "edges": _gables(),
    }


def _wing(host: Host, middle: float, sizes: Mapping[str, float]) -> dict[str, Any]:
    _must_be_eave(host)
    half = sizes["width_mm"] / 2.0
    reach = half * tan(radians(sizes["pitch_deg"])) / tan(radians(host.pitch_deg)) + _INTO_MM
    over = host.overhang_mm
    _must_end_inside(host, reach - over)
    outline = host.box(middle - half, middle + half, over + sizes["out_mm"], _down(over - reach))
    return {
        "outline": outline,
        "fascia_height_mm": whole(host.fascia_mm),
        "pitch_deg": whole(sizes["pitch_deg"]),
        "edges": _gables(),
    }


def _dormer(host: Host, middle: float, sizes: Mapping[str, float]) -> dict[str, Any]:
    _must_be_eave(host)
    half, up, front = sizes["width_mm"] / 2.0, tan(radians(host.pitch_deg)), sizes["back_mm"]
    fascia = host.fascia_mm + front * up + sizes["high_mm"]
    reach = (
        front + sizes["high_mm"] / up + half + _INTO_MM
    )  # its ridge, at the pitch of the house, meets the slope there
    over = host.overhang_mm
    _must_end_inside(host, reach - over)
    outline = host.box(middle - half, middle + half, over - front, _down(over - reach))
    return {
        "outline": outline,
        "fascia_height_mm": _down(fascia),
        "pitch_deg": whole(host.pitch_deg),
        "edges": _gables(),
    }


def _gables() -> dict[int, dict[str, str]]:
    return {1: {"kind": "gable"}, 3: {"kind": "gable"}}


def _must_be_eave(host: Host) -> None:
    if host.kind != "eave":
        raise UsageError("this form runs into the slope of a roof: touch one of its eaves.")


def _must_end_inside(host: Host, in_mm: float) -> None:
    if in_mm > host.depth_mm:
        raise UsageError("it would run out at the other side of the roof: make it narrower, lower or flatter.")


def _down(value: float) -> float | int:
    return whole(floor(round(value / _STEP_MM, 6)) * _STEP_MM)


def _figure(value: object, otherwise: float) -> float:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else otherwise


def _under(out_mm: float) -> Callable[[Host], float]:
    """A fascia height from which a slope of so much run still goes under the eave; at a gable end, a man's height."""

    def begins(host: Host) -> float:
        run = max(out_mm - host.overhang_mm, 0.0) if host.walled else out_mm
        return _down(host.fascia_mm - run * tan(radians(_FALLS_DEG)) - _UNDER_MM) if host.kind == "eave" else 2100.0

    return begins


def _size(key: str, label: str, begins: Callable[[Host], float] | float, unit: str = "mm") -> Size:
    return Size(key, label, unit, begins if callable(begins) else lambda _: float(begins))


ROOF_FORMS = (
    RoofForm(
        "verandah",
        "one slope along the whole edge, open below",
        (
            _size("out_mm", "Width, from the wall out", 2400.0),
            _size("fascia_mm", "Fascia height", _under(2400.0)),
            _size("pitch_deg", "Pitch", _FALLS_DEG, "deg"),
        ),
        True,
        _verandah,
    ),
    RoofForm(
        "lean-to",
        "one slope against the wall",
        (
            _size("width_mm", "Length along the wall", lambda host: _down(min(3600.0, host.length_mm))),
            _size("out_mm", "Width, from the wall out", 2400.0),
            _size("fascia_mm", "Fascia height", _under(2400.0)),
        ),
        False,
        _lean_to,
    ),
    RoofForm(
        "porch",
        "a small gable roof over a door, under the eave",
        (
            _size("width_mm", "Width over its fascias", 2400.0),
            _size("out_mm", "Out from the wall", 1800.0),
            _size("fascia_mm", "Fascia height", _under(1200.0)),
        ),
        False,
        _porch,
    ),
    RoofForm(
        "wing",
        "a gable roof that runs into the slope, at the same fascia",
        (
            _size("width_mm", "Width over its fascias", lambda host: _down(min(4200.0, host.length_mm * 0.6))),
            _size("out_mm", "Out from the eave", 3000.0),
            _size("pitch_deg", "Pitch", lambda host: host.pitch_deg, "deg"),
        ),
        False,
        _wing,
    ),
    RoofForm(
        "dormer",
        "a small gable roof that stands on the slope",
        (
            _size("width_mm", "Width over its fascias", 1800.0),
            _size("back_mm", "Front back from the eave, in plan", 1200.0),
            _size("high_mm", "Front over the roof", 600.0),
        ),
        False,
        _dormer,
    ),
)
