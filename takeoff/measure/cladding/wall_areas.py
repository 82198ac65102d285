"""Areas of the cladding: gross, openings and net by wall, by zone and by the way walls face [m2]."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from takeoff.basics.records import record
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.face_parts import net_mm2
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Quantity, Term, Working

FACINGS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@record
class Clad:
    """A part of a wall that one zone clads; `bearing_deg` the way the wall faces, None where nobody knows."""

    face: Face
    zone: Zone
    bearing_deg: float | None


def facing(bearing_deg: float) -> str:
    """The nearest of eight ways that a bearing looks.

    >>> facing(0.0), facing(22.4), facing(22.6), facing(359.0)
    ('north', 'north', 'north-east', 'north')
    """
    return FACINGS[round(bearing_deg / 45.0) % 8]


def wall_areas(parts: Sequence[Clad], whole: Iterable[Face]) -> Iterator[Quantity]:
    """Gross, openings and net of every wall, zone and facing; of a wall with a zone that is left out, that area too.

    whole: the faces of the walls before zones; they say what is left out.
    """
    for face in whole:
        own = [part for part in parts if part.face.wall == face.wall]
        if own:
            yield from _three(f"wall {face.wall}", own, (f"wall {face.wall}",))
        left = face.gross_mm2 - sum(part.face.gross_mm2 for part in own)
        if left > 1e4:
            rule = Working(
                "face of the wall less what its zones clad", (Term("face", round(face.gross_mm2 / 1e6, 6), "m2"),)
            )
            name = f"wall {face.wall}.left_out"
            yield Quantity(name, "wall area, left out", left / 1e6, "m2", (f"wall {face.wall}",), rule)
    for zone in dict.fromkeys(part.zone.name for part in parts):
        yield from _three(zone, [part for part in parts if part.zone.name == zone], (zone,))
    faced = [part for part in parts if part.bearing_deg is not None]
    for way in FACINGS:
        own = [part for part in faced if part.bearing_deg is not None and facing(part.bearing_deg) == way]
        if own:
            yield from _three(f"facing {way}", own, tuple(dict.fromkeys(f"wall {part.face.wall}" for part in own)))


def _three(name: str, parts: Sequence[Clad], refs: tuple[str, ...]) -> Iterator[Quantity]:
    gross = sum(part.face.gross_mm2 for part in parts)
    net = sum(net_mm2(part.face) for part in parts)
    terms = [
        term
        for part in parts
        for term in (
            Term("width of the face", round(part.face.width, 3), "mm", None, part.face.group),
            Term("height to the frame", round(part.face.frame_top - part.face.base, 3), "mm", None, part.face.group),
        )
    ]
    terms += [Term("openings", round((gross - net) / 1e6, 6), "m2", None, name)]
    terms += [zone.term("thickness_mm") for zone in {part.zone.name: part.zone for part in parts}.values()]
    rule = Working("area of the cladding face, up to its raked top; net of openings", tuple(terms))
    for what, area in (("net", net), ("openings", max(0.0, gross - net)), ("gross", gross)):
        yield Quantity(f"{name}.{what}", f"wall area, {what}", area / 1e6, "m2", refs, rule)
