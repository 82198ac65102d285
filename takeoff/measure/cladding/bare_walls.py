"""A wall before anything is laid on it, and the boards or sheets that are."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.measure.cladding.battens import nog_levels
from takeoff.measure.cladding.courses import lay_courses
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.vertical_boards import lay_vertical
from takeoff.measure.cladding.wall_sheets import Ground, WallLaid, lay_sheets
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.measure.cladding.zones import SHEETS, Zone
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.walls import WallBoards


@record
class BareWall:
    """One wall, or a part of one that a zone takes: `head_mm` is the head over the floor that even courses should meet,
    `longest_mm` the longest piece that a bought board gives (0: sheets), `faces_deg` the bearing that it faces."""

    face: Face
    ends: WallEnds
    zone: Zone
    head_mm: float | None
    longest_mm: int
    faces_deg: float | None


def laid_on(bare: BareWall, catalogue: Catalogue, site: Site, settings: Settings) -> tuple[WallBoards, WallLaid | None]:
    """The boards of a wall, or its sheets with how they are laid."""
    face, zone = bare.face, bare.zone
    if zone.direction == "horizontal":
        return lay_courses(face, zone, settings, bare.head_mm), None
    nogs = nog_levels(face, settings.number("nog_most_mm"))
    if zone.direction != SHEETS:
        return lay_vertical(face, zone, settings, bare.longest_mm, nogs), None
    ground = Ground(catalogue.profiles[zone.board.id], bare.faces_deg, site, nogs)
    laid = lay_sheets(face, bare.ends, zone, ground, settings)
    return laid.boards, laid
