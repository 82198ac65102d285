"""The boards of a wall counted, where nobody asks for their pieces: cut as they are laid, and nothing else of them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from takeoff.measure.cladding.bare_walls import BareWall, laid_on
from takeoff.measure.cladding.battens import nog_levels
from takeoff.measure.cladding.courses import course_lines
from takeoff.measure.cladding.face_parts import net_mm2
from takeoff.measure.cladding.panels import BoardCut, level_cuts
from takeoff.measure.cladding.short_pieces import too_short_beside
from takeoff.measure.cladding.storey_rod import set_out
from takeoff.measure.cladding.vertical_boards import board_lines, break_rule, cut_boards
from takeoff.measure.cladding.zones import SHEETS
from takeoff.measure.house_figures import boards_counted
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.quantities import BoardCount
from takeoff.model.settings import Settings


def count_boards(bare: BareWall, catalogue: Catalogue, site: Site, settings: Settings) -> BoardCount:
    """The boards or sheets that `laid_on` gives, counted: the same figures to the last digit."""
    face, zone = bare.face, bare.zone
    if zone.direction == SHEETS:
        return boards_counted(laid_on(bare, catalogue, site, settings)[0])
    level = zone.direction == "horizontal"
    cuts = _courses(bare, settings) if level else _upright(bare, settings)
    least = settings.number("board_short_mm")
    lengths = [cut.end - cut.start for cut in cuts if not _left_out(bare, cut, 0 if level else 1, least)]
    return BoardCount(face.wall, zone.name, len(lengths), sum(lengths), net_mm2(face), face.gross_mm2)


def _left_out(bare: BareWall, cut: BoardCut, along: int, least_mm: float) -> bool:
    return too_short_beside(bare.face, cut.rings[0], cut.end - cut.start, along, least_mm) is not None


def _courses(bare: BareWall, settings: Settings) -> Iterator[BoardCut]:
    laid = set_out(bare.face, bare.zone, settings, bare.head_mm)
    for row in range(laid.count):
        yield from level_cuts(bare.face, *course_lines(bare.face, bare.zone, laid, row))


def _upright(bare: BareWall, settings: Settings) -> list[BoardCut]:
    face, zone = bare.face, bare.zone
    strips = tuple(pairwise(board_lines(face, zone, settings).marks_mm))
    lap = zone.board.width_mm - zone.board.cover_mm
    nogs = nog_levels(face, settings.number("nog_most_mm"))
    cuts, _ = cut_boards(face, strips, lap, nogs, break_rule(zone, settings, bare.longest_mm))
    return [cut for own in cuts for cut in own]
