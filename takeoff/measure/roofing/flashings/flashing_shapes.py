"""Which section a roof edge needs: cover by category, sheets' set-back, pitch, profile -> a bent section.

Cover, crests, turn-downs and upstands: code of practice 8.3. Set-backs are the trims the sheets are cut by.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from takeoff.basics.records import record
from takeoff.measure.roofing.flashings.flashing_cover import Cover
from takeoff.measure.roofing.flashings.fold_sections import (
    Bent,
    Edging,
    apron,
    barge,
    cap,
    head_cap,
    lining,
    pitch_change,
    tray,
)
from takeoff.measure.terms import product_term
from takeoff.model.basis import Term
from takeoff.model.code_rules import ValleyRow
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.products import FlashingProfile, Profile, ProfileKind
from takeoff.model.roof import RoofEdge
from takeoff.model.settings import Settings


@record
class Wanted:
    """What the section of one edge is made for: the edge, the pitches of its planes [degrees], cover, profile, rain."""

    edge: RoofEdge
    pitches_deg: tuple[float, ...]
    cover: Cover
    profile: Profile
    settings: Settings
    rain_mm_per_h: float = 0.0

    def size(self, name: str) -> float:
        """A setting by name [mm]."""
        return self.settings.number(name)

    def by_category(self, start: str, unit: str = "_mm") -> str:
        """Name of the setting of this category of cover."""
        return f"{start}_{self.cover.category}{unit}"


@record
class Shaped:
    """A section, its main included angle, the terms behind its legs, how many of its edges are dressed into the
    profile, which hand it is drawn for ("" where both are alike), and which way its main fold goes where it may go
    either way ("convex", "hollow")."""

    bent: Bent
    angle_deg: float
    terms: tuple[Term, ...]
    soft_edges: int = 0
    hand: str = ""
    way: str = ""


def is_corrugate(profile: Profile) -> bool:
    """Whether flashings across the sheets are dressed into crests (soft edge), not notched over ribs."""
    return profile.kind is ProfileKind.CORRUGATED


def shape_of(product: FlashingProfile, wanted: Wanted) -> Shaped:
    """The section of a flashing for an edge: that of the kind of edge the product is made for. Raises KeyError for an
    eave, which has none."""
    return SHAPES[product.edge_kind](wanted)


def _edging(settings: Settings) -> Edging:
    names = ("flashing_edge_mm", "flashing_hem_mm", "flashing_kick_mm", "valley_return_mm")
    return Edging(*(settings.number(name) for name in names))


def _terms(wanted: Wanted, *names: str) -> tuple[Term, ...]:
    shared = ("flashing_edge_mm", "flashing_hem_mm")
    return (wanted.cover.term, *(wanted.settings.term(name) for name in (*names, *shared)))


def _cap(wanted: Wanted, back: str, factor: float) -> Shaped:
    name = wanted.by_category("flashing_cover")
    wing = wanted.size(back) * factor + wanted.size(name)
    bent = cap(wing, wanted.edge.between_deg, _edging(wanted.settings))
    return Shaped(bent, wanted.edge.between_deg, _terms(wanted, back, name), soft_edges=2)


def _ridge(wanted: Wanted) -> Shaped:
    return _cap(wanted, "ridge_gap_mm", 0.5)


def _hip(wanted: Wanted) -> Shaped:
    return _cap(wanted, "hip_trim_mm", 1.0)


def _valley(wanted: Wanted) -> Shaped:
    wing = wanted.size("valley_gap_mm") / 2.0 + wanted.size("valley_cover_mm")
    terms = _terms(wanted, "valley_gap_mm", "valley_cover_mm", "valley_return_mm")
    row = _valley_row(wanted)
    if row is not None:
        wing = max(wing, row.width_mm / 2.0 - wanted.size("valley_return_mm"))
        terms = (*terms, Term("least width of the sheet", row.width_mm, "mm", row.basis))
    bent = tray(wing, wanted.edge.between_deg, _edging(wanted.settings))
    return Shaped(bent, wanted.edge.between_deg, terms)


def _valley_row(wanted: Wanted) -> ValleyRow | None:
    """The row of the code's own table of valleys for the rain, its last where that is heavier; None without a table."""
    rows = wanted.settings.rules.valleys
    return next((row for row in rows if wanted.rain_mm_per_h <= row.to_mm_per_h), rows[-1] if rows else None)


def over_crests(wanted: Wanted) -> tuple[float, tuple[Term, ...]]:
    """Width of a flashing that runs along the sheets: crests of corrugate, else ribs, by category [mm]."""
    name = wanted.by_category("flashing_crests" if is_corrugate(wanted.profile) else "flashing_ribs", "")
    rib = wanted.profile.rib_pitch_mm
    return wanted.size(name) * rib, (
        wanted.settings.term(name),
        product_term(wanted.profile, "rib_pitch_mm", rib, "mm"),
    )


def _face(wanted: Wanted) -> tuple[float, tuple[Term, ...]]:
    """Depth of a face that hangs past the sheets: the profile's depth and the turn-down."""
    name = wanted.by_category("flashing_turn_down_smooth")
    depth = wanted.profile.depth_mm
    terms = (product_term(wanted.profile, "depth_mm", depth, "mm"), wanted.settings.term(name))
    return depth + wanted.size(name), terms


def _verge(wanted: Wanted) -> Shaped:
    top, top_terms = over_crests(wanted)
    face, face_terms = _face(wanted)
    bent = barge(top + wanted.size("verge_trim_mm"), face, _edging(wanted.settings))
    terms = (*_terms(wanted, "verge_trim_mm", "flashing_kick_mm"), *top_terms, *face_terms)
    return Shaped(bent, 90.0, terms, hand="right")


def _upstand(wanted: Wanted) -> tuple[float, float, Term]:
    """Upstand against the wall, its hem (none where the cover asks for none), and the setting's term."""
    wall = "profiled" if wanted.settings.flag("flashing_wall_profiled") else "smooth"
    name = wanted.by_category(f"flashing_upstand_{wall}")
    hemmed = not (wall == "profiled" and wanted.cover.category == "c")
    return wanted.size(name), wanted.size("flashing_hem_mm") if hemmed else 0.0, wanted.settings.term(name)


def _apron_head(wanted: Wanted) -> Shaped:
    cover = wanted.by_category("flashing_cover")
    upstand, hem, term = _upstand(wanted)
    foot = wanted.size("apron_head_trim_mm") + wanted.size(cover)
    # the wall stands plumb, the sheets fall away from it: 90 degrees and the pitch
    angle = 90.0 + wanted.pitches_deg[0]
    bent = apron(upstand, hem, foot, angle, _edging(wanted.settings))
    return Shaped(bent, angle, (*_terms(wanted, "apron_head_trim_mm", cover), term), soft_edges=1)


def _apron_side(wanted: Wanted) -> Shaped:
    top, top_terms = over_crests(wanted)
    upstand, hem, term = _upstand(wanted)
    bent = apron(upstand, hem, top + wanted.size("apron_side_trim_mm"), 90.0, _edging(wanted.settings))
    return Shaped(bent, 90.0, (*_terms(wanted, "apron_side_trim_mm"), *top_terms, term), hand="left")


def _head(wanted: Wanted) -> Shaped:
    cover = wanted.by_category("flashing_cover")
    face, face_terms = _face(wanted)
    top = wanted.size("head_trim_mm") + wanted.size(cover)
    bent = head_cap(top, face, wanted.pitches_deg[0], _edging(wanted.settings))
    terms = (*_terms(wanted, "head_trim_mm", cover, "flashing_kick_mm"), *face_terms)
    return Shaped(bent, 90.0 - wanted.pitches_deg[0], terms, soft_edges=1)


def _pitch_change(wanted: Wanted) -> Shaped:
    cover = wanted.by_category("flashing_cover")
    down = wanted.size("pitch_change_under_mm") + wanted.size(cover)
    flat, steep = min(wanted.pitches_deg), max(wanted.pitches_deg)
    upper = flat if wanted.edge.convex else steep
    bend = 180.0 - wanted.edge.between_deg
    edging = _edging(wanted.settings)
    bent = pitch_change(wanted.size("pitch_change_up_mm"), down, upper, -bend if wanted.edge.convex else bend, edging)
    terms = (*_terms(wanted, "pitch_change_up_mm", "pitch_change_under_mm", cover), Term("steeper pitch", steep, "deg"))
    way = "convex" if wanted.edge.convex else "hollow"
    return Shaped(bent, wanted.edge.between_deg, terms, soft_edges=1, way=way)


def _internal_gutter(wanted: Wanted) -> Shaped:
    names = ("internal_gutter_width_mm", "internal_gutter_depth_mm", "internal_gutter_flange_mm")
    base, depth, flange = (wanted.size(name) for name in names)
    return Shaped(lining(base, depth, flange), 90.0, tuple(wanted.settings.term(name) for name in names))


SHAPES: Mapping[str, Callable[[Wanted], Shaped]] = {
    EdgeKind.RIDGE: _ridge,
    EdgeKind.HIP: _hip,
    EdgeKind.VALLEY: _valley,
    EdgeKind.VERGE: _verge,
    EdgeKind.APRON_HEAD: _apron_head,
    EdgeKind.APRON_SIDE: _apron_side,
    EdgeKind.HEAD: _head,
    EdgeKind.PITCH_CHANGE: _pitch_change,
    EdgeKind.INTERNAL_GUTTER: _internal_gutter,
}
